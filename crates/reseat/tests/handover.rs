//! Handover at the desk and what goes onto paper: keys forgotten, tag and sheet printed, two programs on one rebuild.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod demo_desk;
mod house;

use std::path::Path;

use demo_desk::{id, open_demo, pin, sit_down_all};
use house::House;
use reseat::desk::{Desk, Fault, KeyFault};
use reseat_record::log::Id;
use reseat_record::rebuild::{Command, Point, TAG_COLUMNS};
use reseat_record::register;

fn demo_house() -> House {
    let house = House::empty();
    open_demo(&house.home());
    house
}

fn desk(root: &Path) -> Desk {
    let (mut desk, _) = open_demo(root);
    sit_down_all(&mut desk);
    desk
}

fn open_stream(desk: &Desk) -> Id {
    let rows = desk.past("TP-0388").unwrap();
    rows.iter().find(|row| row.closed.is_none()).unwrap().stream
}

fn to(person: Id) -> Command {
    Command::HandOver {
        words: "end of shift".into(),
        to: Some(person),
        left: None,
    }
}

#[test]
fn a_handover_seals_the_key_of_the_outgoing_person_and_of_nobody_else() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = desk(&folder.path().join("home"));
    let (falk, odde) = (id(&desk, "Ines Falk"), id(&desk, "Rurik Odde"));
    let stream = open_stream(&desk);
    pin(&mut desk, &falk);
    let mut open = desk.take_up(&stream, &falk).unwrap();
    pin(&mut desk, &falk);
    desk.act(&mut open, to(odde), &falk, Some(&falk)).unwrap();
    assert!(!desk.is_unsealed(&falk), "handed over");
    assert!(desk.is_unsealed(&odde));
    assert!(matches!(
        desk.check_pin(&falk, "000000"),
        Err(Fault::Key(KeyFault::NotOpen))
    ));
}

#[test]
fn whoever_takes_up_from_another_seals_that_persons_key() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = desk(&folder.path().join("home"));
    let (falk, odde) = (id(&desk, "Ines Falk"), id(&desk, "Rurik Odde"));
    let stream = open_stream(&desk);
    pin(&mut desk, &falk);
    let mut open = desk.take_up(&stream, &falk).unwrap();
    assert!(desk.is_unsealed(&falk), "the same person goes on");
    let pause = Command::Pause { by_itself: false };
    desk.act(&mut open, pause, &falk, None).unwrap();
    drop(open);
    pin(&mut desk, &odde);
    let open = desk.take_up(&stream, &odde).unwrap();
    assert_eq!(open.rebuild.who().unwrap().name, "Rurik Odde");
    assert!(!desk.is_unsealed(&falk));
    assert!(desk.is_unsealed(&odde));
}

#[test]
fn a_second_program_may_look_and_not_work_and_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path().join("home");
    let mut first = desk(&root);
    let falk = id(&first, "Ines Falk");
    let stream = open_stream(&first);
    pin(&mut first, &falk);
    let mut open = first.take_up(&stream, &falk).unwrap();
    let mut second = desk(&root);
    pin(&mut second, &falk);
    let refused = second.take_up(&stream, &falk).unwrap_err();
    assert_eq!(refused, Fault::HeldElsewhere);
    assert!(!refused.sentence().is_empty() && !refused.remedy().is_empty());
    let head = open.rebuild.head().number;
    assert_eq!(second.look(&stream).unwrap().head().number, head);
    // What the first writes is there when the second looks again, and the hold ends with the first.
    let pause = Command::Pause { by_itself: false };
    first.act(&mut open, pause, &falk, None).unwrap();
    assert!(second.look(&stream).unwrap().is_paused());
    drop(open);
    pin(&mut second, &falk);
    assert!(second.take_up(&stream, &falk).is_ok());
}

#[test]
fn a_change_of_the_register_by_another_program_is_seen_before_the_next_decision() {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path().join("home");
    let mut first = desk(&root);
    let (falk, odde) = (id(&first, "Ines Falk"), id(&first, "Rurik Odde"));
    let stream = open_stream(&first);
    pin(&mut first, &falk);
    let mut open = first.take_up(&stream, &falk).unwrap();
    let mut second = desk(&root);
    let lead = second
        .register()
        .holders(reseat_procedure::model::Role::Lead)
        .next()
        .unwrap()
        .id;
    pin(&mut second, &lead);
    second
        .change(
            register::Command::Retire {
                person: odde,
                reason: "left the site".into(),
            },
            &lead,
        )
        .unwrap();
    let handed = Command::HandOver {
        words: "as it lies".into(),
        to: Some(odde),
        left: None,
    };
    pin(&mut first, &falk);
    let refused = first
        .act(&mut open, handed, &falk, Some(&falk))
        .unwrap_err();
    assert_eq!(refused.code(), "nobody-such");
}

#[test]
fn a_second_open_rebuild_of_one_unit_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = desk(&folder.path().join("home"));
    let falk = id(&desk, "Ines Falk");
    let stream = open_stream(&desk);
    let started = desk.look(&stream).unwrap().started().clone();
    pin(&mut desk, &falk);
    let again = reseat_record::rebuild::Start {
        work_order: "WO 2".into(),
        tag: started.tag,
        serial: started.serial,
        mismatch: None,
        unit: started.unit_serial,
        procedure: started.sha256,
        choices: reseat_procedure::Choices(started.choices),
        kit_lot: "24-1".into(),
        performer: falk,
    };
    let refused = desk.start(again).unwrap_err();
    assert!(
        matches!(refused, Fault::OpenAlready { record, .. } if record == stream),
        "{refused}"
    );
}

#[test]
fn the_tag_is_short_enough_for_paper_and_says_what_matters() {
    let house = demo_house();
    let ran = house.run(&["tag", "FV-3302"]);
    ran.exits(0);
    let lines: Vec<&str> = ran.out.lines().collect();
    assert!(
        lines.iter().all(|line| line.chars().count() <= TAG_COLUMNS),
        "{lines:#?}"
    );
    for needed in [
        "DO NOT OPERATE",
        "FV-3302",
        "serial TP-0388",
        "PAUSED",
        "LOCK ",
        "LOOSE",
        "DO NOT take a lock off",
        "NEXT",
        "RECORD",
        "BY Ines Falk",
        "proves no zero",
    ] {
        assert!(ran.out.contains(needed), "{needed}: {}", ran.out);
    }
    assert!(!ran.out.contains("SAFE"));
    let record = lines
        .iter()
        .find_map(|line| line.strip_prefix("RECORD "))
        .unwrap();
    assert_eq!(house.run(&["tag", record]).out, ran.out);
    house.run(&["tag", "XX-1099"]).exits(2);
}

#[test]
fn the_sheet_ticks_what_is_done_and_leaves_blanks_for_the_rest() {
    let house = demo_house();
    let ran = house.run(&["outline", "--rebuild", "FV-3302"]);
    ran.exits(0);
    let out = &ran.out;
    assert!(out.lines().all(|line| line.chars().count() <= 79), "{out}");
    let done = out.lines().filter(|line| line.starts_with("[x]")).count();
    let left = out.lines().filter(|line| line.starts_with("[ ]")).count();
    assert!(done > 20 && left > 20, "{done} {left}");
    let first_left = out
        .lines()
        .position(|line| line.starts_with("[ ]"))
        .unwrap();
    assert!(
        !out.lines()
            .skip(first_left)
            .any(|line| line.starts_with("[x]")),
        "in order"
    );
    for needed in [
        "initials",
        "instrument",
        "time",
        "zero ",
        "pass 2",
        "Record ",
    ] {
        assert!(out.contains(needed), "{needed}");
    }
}

#[test]
fn an_open_rebuild_without_a_proof_of_zero_is_never_taken_up_straight_into_work() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = desk(&folder.path().join("home"));
    let falk = id(&desk, "Ines Falk");
    let stream = open_stream(&desk);
    pin(&mut desk, &falk);
    let open = desk.take_up(&stream, &falk).unwrap();
    let ask = open.rebuild.ask(desk.register(), &desk.stamp(Some(falk)));
    assert!(matches!(ask.point, Point::Gate(_) | Point::LockBack(_)));
}
