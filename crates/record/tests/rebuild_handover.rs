//! Handover in two parts, and what each kind of STOP leads to.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, ODDE, SEFTON, Site};
use reseat_record::log::Id;
use reseat_record::rebuild::{Command, Point, StopKind};
use reseat_record::register::{LEFT_STATES, SiteSaid};

const WORK: &str = "plug-on";

fn to(person: Id) -> Command {
    Command::HandOver {
        words: "plug lies on the cloth".into(),
        to: Some(person),
        left: None,
    }
}

fn to_nobody(left: &str) -> Command {
    Command::HandOver {
        words: "end of shift".into(),
        to: None,
        left: Some(left.into()),
    }
}

fn texts(site: &Site, member: &str) -> Vec<String> {
    let value = site.last(member);
    let texts = value.as_array().unwrap().iter();
    texts
        .map(|text| text.as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn the_outgoing_part_stands_alone_and_names_who_takes_up() {
    let mut site = Site::at(WORK);
    site.does(to(ODDE), FALK).unwrap();
    assert_eq!(site.last_kind(), "handed_over/1");
    assert_eq!(site.last("to")["name"], "Rurik Odde");
    assert_eq!(site.last("unit"), "APART");
    assert!(!texts(&site, "loose").is_empty());
    assert!(site.last("next").as_str().unwrap().contains("plug"));
    assert!(site.last("locks").as_str().unwrap().contains("V-3301"));
    let lock = site.last("own_lock").as_str().unwrap().to_owned();
    let ask = site.ask();
    assert!(
        ask.notice[0].contains("by Ines Falk to Rurik Odde: plug lies on the cloth"),
        "{:?}",
        ask.notice
    );
    let stays =
        format!("Own lock {lock} of Ines Falk stays on until the next person's own lock is on");
    assert!(
        ask.detail.iter().any(|line| line.starts_with(&stays)),
        "{:?}",
        ask.detail
    );
}

#[test]
fn the_outgoing_lock_comes_off_by_its_owner_once_the_incoming_one_is_on() {
    let mut site = Site::at(WORK);
    site.does(to(ODDE), FALK).unwrap();
    site.resumes(ODDE);
    assert_eq!(site.ask().point, Point::LockBack("own".into()));
    site.types("902").unwrap();
    assert_eq!(site.ask().point, Point::Gate(0));
    let says = |site: &Site| {
        let detail = site.ask().detail;
        detail
            .iter()
            .any(|line| line.contains("Ines Falk takes it off himself, now"))
    };
    assert!(says(&site), "{:?}", site.ask().detail);
    let own = Command::LockOff {
        point: "own".into(),
        absent_owner: None,
    };
    site.does(own, FALK).unwrap();
    assert!(!says(&site), "{:?}", site.ask().detail);
    assert_eq!(site.ask().point, Point::Gate(0));
}

#[test]
fn to_nobody_takes_a_state_the_site_allows() {
    let mut site = Site::at(WORK);
    for (command, code) in [
        (to_nobody("as it lies"), "state-not-allowed"),
        (to(FALK), "hand-over-to"),
        (to(SEFTON), "not-allowed"),
        (to(Id::from_bytes([9; 10])), "nobody-such"),
        (
            Command::HandOver {
                words: "x".into(),
                to: None,
                left: None,
            },
            "hand-over-to",
        ),
        (
            Command::HandOver {
                words: "x".into(),
                to: Some(ODDE),
                left: Some(LEFT_STATES[0].into()),
            },
            "hand-over-to",
        ),
    ] {
        assert_eq!(site.refused(command, FALK), code);
    }
    site.does(to_nobody(LEFT_STATES[0]), FALK).unwrap();
    assert_eq!(site.last("left"), LEFT_STATES[0]);
    assert!(site.rebuild().summary().state.starts_with("LEFT TO NOBODY"));
    assert_eq!(site.refused(to_nobody(LEFT_STATES[0]), FALK), "paused");
}

#[test]
fn a_site_names_its_own_states() {
    let mut site = Site::at(WORK);
    let own = "blinded, drained, tagged";
    let before = site.register.site().unwrap().clone();
    site.keep(
        reseat_record::register::Command::SetSite(SiteSaid {
            rule: before.rule,
            pause_minutes: before.pause_minutes,
            zero_minutes: before.zero_minutes,
            look_again_minutes: before.look_again_minutes,
            shift_hours: before.shift_hours,
            day_checks: before.day_checks,
            left_states: vec![own.into()],
        }),
        SEFTON,
    );
    assert_eq!(
        site.refused(to_nobody(LEFT_STATES[0]), FALK),
        "state-not-allowed"
    );
    site.does(to_nobody("Blinded, drained, tagged"), FALK)
        .unwrap();
    assert_eq!(site.last("left"), own);
}

#[test]
fn nobody_leaves_test_energy_to_nobody() {
    let mut site = Site::at("hold-70");
    assert_eq!(
        site.refused(to_nobody(LEFT_STATES[0]), FALK),
        "left-under-test"
    );
    site.does(to(ODDE), FALK).unwrap();
}

#[test]
fn a_pause_becomes_a_handover_and_never_a_short_one() {
    let mut site = Site::at(WORK);
    site.does(Command::Pause { by_itself: false }, FALK)
        .unwrap();
    site.does(to_nobody(LEFT_STATES[0]), FALK).unwrap();
    site.resumes(FALK);
    assert_eq!(site.ask().point, Point::Gate(0));
}

#[test]
fn facts_are_kept_also_while_the_work_is_paused() {
    let mut site = Site::at(WORK);
    site.does(Command::Pause { by_itself: false }, FALK)
        .unwrap();
    site.does(
        Command::Find {
            words: "scratch on the plug".into(),
        },
        FALK,
    )
    .unwrap();
    site.does(
        Command::Dropped {
            what: "pick".into(),
        },
        FALK,
    )
    .unwrap();
    site.does(
        Command::WaitForPart {
            part: "seat ring".into(),
        },
        FALK,
    )
    .unwrap();
    assert!(site.rebuild().is_paused());
    assert!(site.rebuild().summary().state.starts_with("WAITING"));
    site.resumes(FALK);
    site.goes_on(|ask| matches!(ask.point, Point::Finding(1)));
}

/// Each kind of STOP says what to do, and what it left behind is met again before the work goes on.
#[test]
fn each_kind_of_stop_leads_somewhere() {
    for (kind, says, finding) in [
        (StopKind::Leak, "made safer", true),
        (StopKind::LockMoved, "which lock came off", true),
        (StopKind::Dropped, "Look for it", true),
        (StopKind::CalledAway, "look again is enough", false),
        (StopKind::Hurt, "Help people first", true),
    ] {
        let mut site = Site::at(WORK);
        site.does(Command::Stop { kind }, FALK).unwrap();
        let ask = site.ask();
        assert_eq!(ask.point, Point::Resume);
        assert!(
            ask.detail.iter().any(|line| line.contains(says)),
            "{kind:?}: {:?}",
            ask.detail
        );
        site.resumes(FALK);
        if finding {
            assert_eq!(site.ask().point, Point::Gate(0), "{kind:?}");
            site.goes_on(|ask| matches!(ask.point, Point::Finding(1)));
        } else {
            assert_eq!(site.ask().point, Point::LookAgain);
        }
    }
}

#[test]
fn what_made_safer_says_at_which_step() {
    let mut site = Site::at(WORK);
    let command = Command::Safer {
        step: None,
        words: "drain U opened".into(),
    };
    site.does(command, FALK).unwrap();
    assert_eq!(site.last("at"), WORK);
}

#[test]
fn no_question_names_a_key_of_the_screens() {
    let mut site = Site::new();
    site.start();
    let named = |site: &Site| {
        let ask = site.ask();
        let lines = ask.detail.iter().chain(&ask.notice).chain([&ask.prompt]);
        lines
            .filter(|line| {
                (1..=12).any(|key| {
                    line.split(|c: char| !c.is_alphanumeric())
                        .any(|word| word == format!("F{key}"))
                })
            })
            .cloned()
            .collect::<Vec<_>>()
    };
    loop {
        assert_eq!(named(&site), Vec::<String>::new());
        if !site.step() {
            break;
        }
    }
    let mut site = Site::at(WORK);
    site.does(
        Command::LockOff {
            point: "V-3301".into(),
            absent_owner: None,
        },
        FALK,
    )
    .unwrap();
    assert_eq!(named(&site), Vec::<String>::new());
    let mut site = Site::at(WORK);
    site.does(
        Command::Find {
            words: "scratch".into(),
        },
        FALK,
    )
    .unwrap();
    site.picks("go on");
    assert_eq!(named(&site), Vec::<String>::new());
}
