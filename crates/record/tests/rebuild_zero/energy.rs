//! Energy let in, making safe broken off, and what makes safer, which is open throughout.

use reseat_record::log::Clock;
use reseat_record::rebuild::{Command, Given, Point, StopKind};

use crate::rebuild_site::{FALK, ODDE, Site};
use crate::{WORK, lock_off};

#[test]
fn energy_let_in_leaves_only_what_the_test_writes_until_zero_is_read() {
    let mut site = Site::at("fill");
    site.types("").unwrap();
    assert!(
        site.rebuild()
            .strip(&site.stamp(FALK))
            .state
            .contains("UNDER TEST, HANDS OFF")
    );
    site.does(
        Command::Reopen {
            joint: "J1".into(),
            reason: "weeps".into(),
        },
        FALK,
    )
    .unwrap();
    assert!(
        matches!(site.ask().point, Point::LockBack(_)),
        "{:?}",
        site.ask().point
    );
    let act = Command::Answer {
        point: Point::Act("hand-start-j1".into()),
        given: Given::Done,
    };
    while site.due() != "condition-j1" || !matches!(site.ask().point, Point::Asked(..)) {
        assert_eq!(site.refused(act.clone(), FALK), "not-asked-now");
        assert!(site.step());
    }
    assert_eq!(
        site.entries
            .iter()
            .filter(|sealed| sealed.entry.kind == "released/1" && sealed.entry.body["gate"] == true)
            .count(),
        1
    );
}

#[test]
fn make_safe_broken_off_is_proved_before_its_hold() {
    // Zero read, then the program ends before the hold: the hold wants the sides read again, it has no other way on.
    for step in ["reopen-drain-u", "lock-a6", "spring-free", "zero-hold"] {
        let mut site = Site::at(step);
        site.restarts(ODDE);
        site.until("mark-bonnet");
        let kinds: Vec<&str> = site
            .entries
            .iter()
            .map(|sealed| sealed.entry.kind.as_str())
            .collect();
        let from = kinds
            .iter()
            .rposition(|kind| *kind == "taken_up/1")
            .unwrap();
        let zeros = site.entries[from..]
            .iter()
            .filter(|sealed| {
                sealed.entry.kind == "reading/1"
                    && sealed.entry.body["thing"]
                        .as_str()
                        .is_some_and(|thing| thing.starts_with("zero/"))
            })
            .count();
        assert_eq!(zeros, 3, "{step}");
    }
    // A lock off while isolating: back on before the hold.
    let mut site = Site::at("spring-free");
    site.does(lock_off("V-3303"), FALK).unwrap();
    site.goes_on(|ask| matches!(ask.point, Point::LockBack(_) | Point::Hold(_)));
    assert_eq!(site.ask().point, Point::LockBack("V-3303".into()));
    site.until("mark-bonnet");
}

#[test]
fn what_makes_safer_is_open_in_every_state() {
    let written = |step: &str| Command::Safer {
        step: Some(step.into()),
        words: String::new(),
    };
    let words = Command::Safer {
        step: None,
        words: "opened drain U".into(),
    };
    let open = |site: &mut Site, what: &str| {
        site.does(words.clone(), FALK)
            .unwrap_or_else(|refusal| panic!("{what}: {refusal}"));
        site.does(written("vent-70"), FALK)
            .unwrap_or_else(|refusal| panic!("{what}: {refusal}"));
    };
    let mut states: Vec<(&str, Site)> = [
        "permit",
        "lock-a2",
        WORK,
        "tighten-j1",
        "rest",
        "fill",
        "hold-70",
        "zero-after-test",
        "unlock-a2",
        "sign",
    ]
    .into_iter()
    .map(|step| (step, Site::at(step)))
    .collect();
    let mut with = |name, deed: &dyn Fn(&mut Site)| {
        let mut site = Site::at(WORK);
        deed(&mut site);
        states.push((name, site));
    };
    with("paused", &|site| {
        site.does(Command::Pause { by_itself: false }, FALK)
            .unwrap();
    });
    with("stopped", &|site| {
        site.does(
            Command::Stop {
                kind: StopKind::Leak,
            },
            FALK,
        )
        .unwrap();
    });
    with("waiting", &|site| {
        site.does(Command::WaitForPart { part: "x".into() }, FALK)
            .unwrap();
    });
    with("handed over", &|site| {
        site.does(
            Command::HandOver {
                words: "x".into(),
                to: Some(ODDE),
                left: None,
            },
            FALK,
        )
        .unwrap();
    });
    with("lock off", &|site| {
        site.does(lock_off("V-3301"), FALK).unwrap();
    });
    with("restarted", &|site| site.restarts(ODDE));
    with("finding", &|site| {
        site.does(Command::Find { words: "x".into() }, FALK)
            .unwrap();
    });
    with("doubted", &|site| site.clock = Clock::Doubted);
    with("looking", &|site| site.pauses(5, FALK));
    for (name, mut site) in states {
        let before = site.ask().point;
        open(&mut site, name);
        assert_eq!(site.ask().point, before, "{name}: nothing else moved on");
    }
    // Due and asking nothing, it is done with that; not written as safer, it is refused.
    let mut site = Site::at("vent-70");
    site.does(written("vent-70"), FALK).unwrap();
    assert_eq!(site.due(), "drain-d-cylinder");
    assert_eq!(site.refused(written(WORK), FALK), "not-safer");
    assert_eq!(
        site.refused(
            Command::Safer {
                step: None,
                words: " ".into()
            },
            FALK
        ),
        "empty"
    );
}

#[test]
fn a_due_act_that_makes_safer_waits_for_no_lock() {
    let mut site = Site::at("vent-70");
    site.does(lock_off("V-3301"), FALK).unwrap();
    assert_eq!(site.ask().point, Point::Act("vent-70".into()));
    site.types("").unwrap();
    assert_eq!(site.ask().point, Point::LockBack("V-3301".into()));
}

#[test]
fn while_energy_is_in_the_written_act_that_lets_it_out_next_is_known_and_may_be_written_at_once() {
    let site = Site::at(WORK);
    assert_eq!(site.rebuild().venting_due(), None, "nothing is in yet");
    let mut site = Site::at("fill");
    site.types("").unwrap();
    let (step, text) = site.rebuild().venting_due().unwrap();
    assert!(text.starts_with("Vent "), "{text}");
    let safer = Command::Safer {
        step: Some(step.clone()),
        words: String::new(),
    };
    site.does(safer, FALK).unwrap();
    assert_eq!(site.last_kind(), "safer/1");
    assert_eq!(site.last("step"), step.as_str());
    assert_eq!(site.last("words"), text.as_str());
    // Once the act was done in its order, the next one is offered.
    site.until(&step);
    site.goes_on(|ask| ask.step.as_ref().is_none_or(|at| at.id != step));
    let next = site.rebuild().venting_due();
    assert!(next.is_none_or(|(id, _)| id != step));
}
