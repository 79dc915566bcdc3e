//! Rebuilds at the desk, on disk: the demo's paused one taken up and worked to its signatures by the robot.

#![allow(clippy::unwrap_used, clippy::panic)]

mod demo_desk;

use std::time::Duration;

use demo_desk::{id, open_demo, pin, sit_down_all};
use reseat::demo::{robot::Doing, robot::Robot};
use reseat::desk::{Desk, Fault, KeyFault, Open, SetTime};
use reseat_history::RebuildRow;
use reseat_record::rebuild::{Command, Ended, Inner, Point, Start};

fn paused(desk: &Desk) -> RebuildRow {
    desk.past("TP-0388")
        .unwrap()
        .into_iter()
        .find(|row| row.closed.is_none())
        .unwrap()
}

/// Answers one ask through the desk; false when nothing more is asked.
fn step(desk: &mut Desk, time: &SetTime, open: &mut Open, robot: &mut Robot) -> bool {
    let stamp = desk.stamp(Some(robot.performer));
    let ask = open.rebuild.ask(desk.register(), &stamp);
    match robot.answer(&open.rebuild, desk.register(), &stamp, &ask) {
        Doing::Nothing => return false,
        Doing::Waits { .. } => time.pass(Duration::from_mins(1)),
        Doing::Types { text, by } => {
            let command = ask.answer(&text).unwrap();
            pin(desk, &by);
            let performer = robot.performer;
            desk.act(open, command, &performer, Some(&by))
                .unwrap_or_else(|fault| panic!("{fault} at {ask:#?}"));
            time.pass(Duration::from_secs(robot.pace(&ask)));
        }
    }
    true
}

#[test]
fn the_paused_rebuild_is_taken_up_through_zero_on_the_same_nut_and_signed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut desk, time) = open_demo(&folder.path().join("home"));
    assert_eq!(
        desk.clock().doubt(),
        None,
        "whoever sits down is not asked about the clock first"
    );
    sit_down_all(&mut desk);
    let falk = id(&desk, "Ines Falk");
    let stream = paused(&desk).stream;
    assert_eq!(
        desk.take_up(&stream, &falk).unwrap_err(),
        Fault::Key(KeyFault::PinFirst)
    );
    pin(&mut desk, &falk);
    let mut open = desk.take_up(&stream, &falk).unwrap();
    let mut robot = Robot::new(falk, 11);
    robot.ordinary = [
        ("bush-bore", "16.1"),
        ("shell-end", "69.8"),
        ("verify-coupling", "11"),
    ]
    .into();
    let mut gates = 0;
    loop {
        let ask = open.rebuild.ask(desk.register(), &desk.stamp(Some(falk)));
        gates += usize::from(matches!(ask.point, Point::Gate(_)));
        if matches!(ask.point, Point::Asked(_, _, Inner::Fastener(..))) {
            assert_eq!(
                ask.point,
                Point::Asked("tighten-j1".into(), 0, Inner::Fastener(7, 2, 1)),
                "the nut that was due"
            );
            break;
        }
        assert!(step(&mut desk, &time, &mut open, &mut robot));
    }
    assert!(gates > 0, "zero is proved anew before the first nut");
    while step(&mut desk, &time, &mut open, &mut robot) {}
    assert_eq!(open.rebuild.ended(), Some(Ended::Signed));
    let row = desk.past("TP-0388").unwrap().remove(0);
    assert_eq!(
        (row.outcome.as_deref(), row.head),
        (Some("signed"), open.rebuild.head().number)
    );
    let read = desk.look(&stream).unwrap();
    assert!(
        read == open.rebuild,
        "what was read back is what was worked on"
    );
    drop(desk);
    let (desk, _) = open_demo(&folder.path().join("home"));
    assert_eq!(desk.home_rows().unwrap()[0].open, None);
}

#[test]
fn a_rebuild_is_held_by_one_session_and_looked_at_by_all() {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path().join("home");
    let (mut first, time) = open_demo(&root);
    let (mut second, _) = open_demo(&root);
    let stream = paused(&first).stream;
    let falk = id(&first, "Ines Falk");
    for desk in [&mut first, &mut second] {
        sit_down_all(desk);
        pin(desk, &falk);
    }
    let before = second.look(&stream).unwrap().head();
    let mut open = first.take_up(&stream, &falk).unwrap();
    assert_eq!(
        second.take_up(&stream, &falk).unwrap_err(),
        Fault::HeldElsewhere
    );
    assert_eq!(
        second.look(&stream).unwrap().head().number,
        before.number + 1,
        "looking shows what was written"
    );
    let mut robot = Robot::new(falk, 3);
    step(&mut first, &time, &mut open, &mut robot);
    drop(open);
    pin(&mut second, &falk);
    assert!(second.take_up(&stream, &falk).is_ok(), "free again");
}

#[test]
fn a_unit_has_one_open_rebuild_and_a_start_takes_the_performers_pin() {
    let folder = tempfile::tempdir().unwrap();
    let (mut desk, _) = open_demo(&folder.path().join("home"));
    sit_down_all(&mut desk);
    let falk = id(&desk, "Ines Falk");
    let row = paused(&desk);
    let start = || Start {
        work_order: "WO 1".into(),
        tag: "FV-3302".into(),
        serial: "TP-0388".into(),
        mismatch: None,
        unit: "TP-0388".into(),
        procedure: desk.register().approvals()[0].sha256,
        choices: reseat_procedure::Choices::default(),
        kit_lot: "K1".into(),
        performer: falk,
    };
    let start = start();
    let refused = desk.start(start.clone()).unwrap_err();
    assert_eq!(
        refused,
        Fault::OpenAlready {
            serial: "TP-0388".into(),
            record: row.stream
        }
    );

    pin(&mut desk, &falk);
    let mut open = desk.take_up(&row.stream, &falk).unwrap();
    pin(&mut desk, &falk);
    let close = Command::CloseIncomplete {
        reason: "part missing; bonnet stays on".into(),
    };
    desk.act(&mut open, close, &falk, None).unwrap();
    drop(open);
    assert_eq!(
        desk.start(start.clone()).unwrap_err(),
        Fault::Key(KeyFault::PinFirst)
    );
    pin(&mut desk, &falk);
    let open = desk.start(start).unwrap();
    assert_eq!(open.rebuild.head().number, 1);
    assert_eq!(paused(&desk).stream, open.stream());
}

#[test]
fn letting_a_demo_clock_run_on_is_kept_by_the_home() {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path().join("home");
    let (mut desk, _) = open_demo(&root);
    sit_down_all(&mut desk);
    let falk = id(&desk, "Ines Falk");
    let stream = paused(&desk).stream;
    pin(&mut desk, &falk);
    let mut open = desk.take_up(&stream, &falk).unwrap();
    desk.act(&mut open, Command::RunOn { minutes: 240 }, &falk, None)
        .unwrap();
    assert_eq!(desk.stamp(None).utc, "2026-03-12T16:00:00.000Z");
    drop((open, desk));
    let (desk, _) = open_demo(&root);
    assert_eq!(desk.stamp(None).utc, "2026-03-12T16:00:00.000Z");
}

/// A sister valve in a place of its own, its rebuild worked until J1 asks for its wrench.
fn sister_at_j1(desk: &mut Desk, time: &SetTime) -> (Open, Robot) {
    use reseat_record::register::{Command as Change, PlaceSaid, UnitSaid};
    let (lead, falk) = (id(desk, "Mbali Sefton"), id(desk, "Ines Falk"));
    let procedure = desk
        .register()
        .approved_now("P-33-A")
        .map(|approval| approval.sha256)
        .unwrap();
    let model = desk.procedure(&procedure).unwrap().models[0].clone();
    let (tag, serial) = ("FV-3303".to_owned(), "TP-0389".to_owned());
    let name = "brine reject control valve, train 4".to_owned();
    let place = PlaceSaid {
        tag: tag.clone(),
        name: name.clone(),
        points: Vec::new(),
        redundant_with: None,
    };
    let unit = UnitSaid {
        serial: serial.clone(),
        model,
        name,
    };
    for change in [
        Change::AddPlace(place),
        Change::AddUnit(unit),
        Change::Fit {
            tag: tag.clone(),
            serial: serial.clone(),
        },
    ] {
        pin(desk, &lead);
        desk.change(change, &lead).unwrap();
    }
    pin(desk, &falk);
    let start = Start {
        work_order: "4472".into(),
        tag,
        serial: serial.clone(),
        mismatch: None,
        unit: serial,
        procedure,
        choices: reseat_procedure::Choices::default(),
        kit_lot: "24-120".into(),
        performer: falk,
    };
    let mut open = desk.start(start).unwrap();
    let mut robot = Robot::new(falk, 12);
    robot.ordinary = [
        ("found-signal", "1.2"),
        ("bush-bore", "16.1"),
        ("count-threads", "11"),
        ("gland-drops", "1"),
        ("verify-coupling", "11"),
    ]
    .into();
    loop {
        let ask = open.rebuild.ask(desk.register(), &desk.stamp(Some(falk)));
        if matches!(&ask.point, Point::Asked(step, _, Inner::Numbered) if step == "tighten-j1") {
            return (open, robot);
        }
        assert!(step(desk, time, &mut open, &mut robot), "{ask:#?}");
    }
}

#[test]
fn a_wrench_in_use_at_another_open_rebuild_is_refused_with_its_tag_and_joint_until_it_is_free() {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path().join("home");
    let (mut first, time) = open_demo(&root);
    sit_down_all(&mut first);
    let falk = id(&first, "Ines Falk");
    // The demo's rebuild was paused in the middle of J1, with TW-19 in hand.
    let held = first.look(&paused(&first).stream).unwrap().booked();
    assert_eq!(
        (held[0].instrument.as_str(), held[0].joint.as_str()),
        ("TW-19", "J1")
    );
    let (mut open, _) = sister_at_j1(&mut first, &time);
    let ask = open.rebuild.ask(first.register(), &first.stamp(Some(falk)));
    assert!(ask.offered.fit.is_empty());
    assert_eq!(
        ask.offered.lines(),
        ["Not offered: TW-19, booked at J1 of FV-3302, not closed yet."]
    );
    let take = ask.answer("").unwrap();
    let Fault::Refused(refusal) = first.act(&mut open, take.clone(), &falk, None).unwrap_err()
    else {
        panic!("taken although it is in use elsewhere");
    };
    assert_eq!(refusal.code(), "instrument-booked");
    assert!(refusal.sentence().contains("J1 of FV-3302"), "{refusal}");
    // Another program on the same laptop ends the work that holds it.
    let (mut second, _) = open_demo(&root);
    sit_down_all(&mut second);
    pin(&mut second, &falk);
    let stream = paused(&second).stream;
    let mut other = second.take_up(&stream, &falk).unwrap();
    pin(&mut second, &falk);
    let end = Command::CloseIncomplete {
        reason: "the wrench is wanted elsewhere".into(),
    };
    second.act(&mut other, end, &falk, None).unwrap();
    first.act(&mut open, take, &falk, None).unwrap();
    assert_eq!(open.rebuild.booked()[0].tag, "FV-3303");
}

#[test]
fn an_instrument_that_fell_is_out_of_service_on_the_register_with_the_same_act() {
    let folder = tempfile::tempdir().unwrap();
    let (mut desk, _) = open_demo(&folder.path().join("home"));
    sit_down_all(&mut desk);
    let falk = id(&desk, "Ines Falk");
    let stream = paused(&desk).stream;
    pin(&mut desk, &falk);
    let mut open = desk.take_up(&stream, &falk).unwrap();
    let fell = Command::InstrumentDropped {
        instrument: "TW-19".into(),
    };
    desk.act(&mut open, fell.clone(), &falk, None).unwrap();
    let known = desk.register().instrument("TW-19").unwrap();
    assert!(known.quarantined());
    let why = known.out_of_service.clone().unwrap();
    assert!(why.starts_with("dropped at FV-3302"), "{why}");
    let head = desk.register().head();
    // Said twice, the register is told once.
    desk.act(&mut open, fell, &falk, None).unwrap();
    assert_eq!(desk.register().head(), head);
    assert!(open.rebuild.booked().is_empty());
}
