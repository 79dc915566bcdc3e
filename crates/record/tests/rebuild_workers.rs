//! Locks of several workers: own locks taken off for a test in any order and passed on at a handover one after the other, the
//! group's locks taken over by a signature, a permit that ends during the return.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, ODDE, SEFTON, Site};
use reseat_procedure::Choices;
use reseat_record::rebuild::{AbsentOwner, Command, Point, StopKind, Wants};
use reseat_record::register::LEFT_STATES;

const CO2: &[u8] = include_bytes!("../../../procedures/PRV-CO2-04.json");

/// Two own locks on the box where the test takes them off.
fn two_locks_before_the_test() -> Site {
    let mut site = Site::following(CO2, Choices::default());
    site.start();
    site.until("test-own-off");
    site.goes_on(|ask| matches!(&ask.wants, Wants::Person(among) if among.len() == 2));
    site
}

#[test]
fn for_a_test_own_locks_come_off_in_any_order() {
    // Sefton verified at the unit.
    for first in [FALK, SEFTON] {
        let mut site = two_locks_before_the_test();
        assert_eq!(site.due(), "test-own-off");
        site.types(&first.to_string()).unwrap();
        assert_eq!(site.due(), "test-own-off", "the other's lock is still on");
        assert!(
            !matches!(site.ask().point, Point::LockBack(_)),
            "whoever took his off first is not asked for it again: {:#?}",
            site.ask()
        );
        site.step();
        assert_ne!(site.due(), "test-own-off");
        site.restarts_alike();
    }
}

#[test]
fn a_lock_is_hung_now_and_never_late_whoever_wrote_it() {
    let mut site = Site::at("lock-a5");
    let command = site.ask().answer("").unwrap();
    let mut stamp = site.stamp(FALK);
    stamp.acted = Some(stamp.utc.clone());
    let refused = site
        .rebuild()
        .decide(&site.register, command.clone(), &stamp);
    assert_eq!(refused.unwrap_err().code(), "not-late");
    // An entry of another hand, whose chain holds, hangs none either.
    let now = site.stamp(FALK);
    let mut entry = site
        .rebuild()
        .decide(&site.register, command, &now)
        .unwrap();
    entry.acted = Some(entry.utc.clone());
    site.keeps(entry, FALK);
    assert_eq!(site.due(), "lock-a5", "it is still to be hung");
    site.restarts_alike();
}

fn own_off() -> Command {
    Command::LockOff {
        point: "own".into(),
        absent_owner: None,
    }
}

fn off(owner: reseat_record::log::Id) -> Command {
    Command::OwnLock {
        owner,
        number: None,
    }
}

fn hand_over(to: Option<reseat_record::log::Id>) -> Command {
    Command::HandOver {
        words: "plug lies on the cloth".into(),
        to,
        left: to.is_none().then(|| LEFT_STATES[0].to_owned()),
    }
}

// 29 CFR 1910.147(f)(4): orderly transfer between off-going and oncoming people.

#[test]
fn the_outgoing_lock_stays_on_until_the_incoming_one_is_on() {
    let mut site = Site::at("plug-on");
    site.does(hand_over(Some(ODDE)), FALK).unwrap();
    for command in [own_off(), off(FALK)] {
        assert_eq!(
            site.refused(command, FALK),
            "incoming-first",
            "not taken up yet"
        );
    }
    site.resumes(ODDE);
    assert_eq!(site.ask().point, Point::LockBack("own".into()));
    for command in [own_off(), off(FALK)] {
        assert_eq!(
            site.refused(command, FALK),
            "incoming-first",
            "his is not on yet"
        );
    }
    // Paused before it is on: the order holds.
    site.does(Command::Pause { by_itself: false }, ODDE)
        .unwrap();
    assert_eq!(site.refused(own_off(), FALK), "incoming-first");
    site.resumes(ODDE);
    site.types("902").unwrap();
    site.does(own_off(), FALK).unwrap();
    assert_eq!(site.refused(own_off(), FALK), "no-lock");
    site.restarts_alike();
}

#[test]
fn a_lock_that_is_off_all_the_same_has_its_ways_into_the_record() {
    let mut site = Site::at("plug-on");
    site.does(hand_over(Some(ODDE)), FALK).unwrap();
    let absent = Command::LockOff {
        point: format!("own:{FALK}"),
        absent_owner: Some(AbsentOwner {
            not_on_site: "gate log".into(),
            attempts: "phoned twice".into(),
            told: "at the gate".into(),
        }),
    };
    site.clone().does(absent, ODDE).unwrap();
    let moved = Command::Stop {
        kind: StopKind::LockMoved,
    };
    site.does(moved, FALK).unwrap();
    assert_eq!(site.last_kind(), "stopped/1");
}

#[test]
fn left_to_nobody_the_owner_takes_his_lock_with_him() {
    let mut site = Site::at("plug-on");
    site.does(hand_over(None), FALK).unwrap();
    let says = |site: &Site| {
        site.ask()
            .detail
            .iter()
            .any(|line| line.contains("Its owner takes it off"))
    };
    assert!(says(&site), "{:#?}", site.ask().detail);
    site.does(own_off(), FALK).unwrap();
    assert!(!says(&site));
    site.resumes(ODDE);
    assert_eq!(site.ask().point, Point::LockBack("own".into()));
}

#[test]
fn whoever_takes_the_work_up_after_another_takes_the_groups_locks_over_by_his_signature() {
    let mut site = Site::at("plug-on");
    let lock = |by| {
        let command = Command::LockOff {
            point: "V-3301".into(),
            absent_owner: None,
        };
        (command, by)
    };
    let (command, by) = lock(ODDE);
    assert_eq!(
        site.refused(command, by),
        "not-owner",
        "the work is not his"
    );
    site.pauses(2, FALK);
    assert_eq!(
        site.last("locks"),
        serde_json::Value::Null,
        "the same person takes nothing over"
    );
    site.does(hand_over(Some(ODDE)), FALK).unwrap();
    let told = site.ask().detail;
    assert!(
        told.iter()
            .any(|line| line.contains("takes the group's locks over")),
        "{told:#?}"
    );
    site.resumes(ODDE);
    assert!(
        site.last("locks")["V-3301"].is_string(),
        "{}",
        site.last("locks")
    );
    let lines = site.rebuild().record_lines(&site.register);
    assert!(
        lines
            .last()
            .unwrap()
            .text
            .contains("the group's locks with it: "),
        "{}",
        lines.last().unwrap().text
    );
    site.does(lock(ODDE).0, ODDE).unwrap();
    assert_eq!(site.last("owner"), "Ines Falk");
}

#[test]
fn in_the_return_it_is_said_and_kept_whose_lock_comes_off() {
    let mut site = Site::at("plug-on");
    site.does(hand_over(Some(ODDE)), FALK).unwrap();
    site.resumes(ODDE);
    site.goes_on(|ask| matches!(ask.point, Point::Gate(_)));
    site.does(own_off(), FALK).unwrap();
    let hung_by = |site: &Site| {
        let ask = site.ask();
        ask.detail
            .iter()
            .any(|line| line.contains("was hung by Ines Falk"))
    };
    site.goes_on(|ask| {
        ask.detail
            .iter()
            .any(|line| line.contains("was hung by Ines Falk"))
    });
    let mut seen = 0;
    while hung_by(&site) {
        seen += 1;
        site.step();
        let body = &site.entries.last().unwrap().entry.body;
        let names = body["hung_by"].as_object().unwrap();
        assert!(names.values().all(|name| name == "Ines Falk"), "{body:?}");
        let lines = site.rebuild().record_lines(&site.register);
        assert!(
            lines
                .last()
                .unwrap()
                .text
                .contains("hung by Ines Falk, taken over")
        );
        site.goes_on(|ask| {
            matches!(ask.wants, Wants::Nothing)
                || ask
                    .detail
                    .iter()
                    .any(|line| line.contains("was hung by Ines Falk"))
        });
    }
    assert!(seen >= 2, "{seen}");
    site.restarts_alike();
}

// A permit covers the work at the unit until operations have it back.

/// In the return, where an act at the unit is due, with a permit that ended an hour ago.
fn return_with_an_ended_permit() -> Site {
    let mut site = Site::new();
    site.permit = "4711, 20 h";
    site.start();
    site.until("unlock-a4");
    site.seconds += 24 * 3600;
    site
}

#[test]
fn an_ended_permit_stops_the_acts_of_the_return_and_what_looks_or_clears_stays_open() {
    let mut site = return_with_an_ended_permit();
    assert_eq!(
        site.ask().point,
        Point::Permit("permit".into()),
        "{:#?}",
        site.ask()
    );
    let act = Command::Answer {
        point: Point::Act("unlock-a4".into()),
        given: reseat_record::rebuild::Given::Done,
    };
    assert_eq!(site.refused(act, FALK), "permit-ended");
    let safer = Command::Safer {
        step: None,
        words: "drain U opened".into(),
    };
    site.does(safer, FALK).unwrap();
    site.types("4712, 10 h").unwrap();
    assert!(!matches!(site.ask().point, Point::Permit(_)));

    // Counting tools, people clear and own locks off are no acts a permit holds back.
    for step in ["own-locks-off", "tools-at-end"] {
        let mut site = Site::new();
        site.permit = "4711, 20 h";
        site.start();
        if !site
            .rebuild()
            .procedure()
            .sections
            .iter()
            .flat_map(|s| &s.steps)
            .any(|s| s.id == step)
        {
            panic!("no step {step}");
        }
        site.until(step);
        site.seconds += 24 * 3600;
        assert!(
            !matches!(site.ask().point, Point::Permit(_)),
            "{step}: {:?}",
            site.ask().point
        );
    }
}

#[test]
fn once_operations_have_the_unit_back_no_permit_is_asked_for() {
    let mut site = Site::new();
    site.permit = "4711, 20 h";
    site.start();
    let returned = |site: &Site| {
        let last = site.entries.last().unwrap();
        last.entry.kind == "released/1" && last.entry.body["role"] == "operations"
    };
    let mut taken_back = false;
    site.until("unlock-a4");
    while !taken_back {
        assert!(site.step(), "operations never took it back");
        taken_back = returned(&site);
    }
    site.seconds += 24 * 3600;
    site.until("");
    assert!(
        site.entries
            .iter()
            .all(|sealed| sealed.entry.kind != "permit/1")
    );
    assert!(site.rebuild().ended().is_some());
}
