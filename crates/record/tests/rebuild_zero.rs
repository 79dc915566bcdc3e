//! Every way zero goes stale, the gate it leads to, and the way from the gate to work; what makes safer is open throughout;
//! the clock that is doubted, steps back, or is given by a person.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, ODDE, Site};
use reseat_record::log::Clock;
use reseat_record::rebuild::{AbsentOwner, Command, Given, Point, StopKind, Wants};

const WORK: &str = "plug-on";

fn lock_off(point: &str) -> Command {
    Command::LockOff {
        point: point.into(),
        absent_owner: None,
    }
}

fn absent(point: &str) -> Command {
    let facts = AbsentOwner {
        not_on_site: "gate log 14:10".into(),
        attempts: "phoned twice, home and mobile".into(),
        told: "at the gate before his next shift".into(),
    };
    Command::LockOff {
        point: point.into(),
        absent_owner: Some(facts),
    }
}

/// Work is refused by a hand-made point, the gate is asked, and proof with its release leads back to the same step.
fn gate_leads_back(site: &mut Site, released: bool) {
    let act = Command::Answer {
        point: Point::Act(WORK.into()),
        given: Given::Done,
    };
    assert_eq!(site.refused(act.clone(), site.performer), "not-asked-now");
    let mut signed = false;
    let mut asked = 0;
    while site.ask().point != Point::Act(WORK.into()) {
        let refused = site.refused(act.clone(), site.performer);
        assert!(
            matches!(refused, "not-asked-now" | "permit-ended"),
            "{refused}"
        );
        let ask = site.ask();
        signed |=
            matches!(ask.point, Point::Gate(_)) && matches!(ask.wants, Wants::Signature { .. });
        assert!(site.step());
        asked += 1;
        assert!(asked < 15, "{:#?}", site.ask());
    }
    assert_eq!(signed, released, "release of the gate");
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn a_lock_off_by_its_owner_wants_it_back_and_zero_anew() {
    let mut site = Site::at(WORK);
    site.does(lock_off("V-3301"), FALK).unwrap();
    assert_eq!(site.ask().point, Point::LockBack("V-3301".into()));
    gate_leads_back(&mut site, true);
}

#[test]
fn another_persons_lock_comes_off_only_by_the_absent_owner_route() {
    let mut site = Site::at(WORK);
    assert_eq!(site.refused(lock_off("V-3301"), ODDE), "not-owner");
    assert_eq!(site.refused(lock_off("own"), ODDE), "no-lock");
    assert_eq!(
        site.refused(lock_off(&format!("own:{FALK}")), ODDE),
        "not-owner"
    );
    let mut hollow = absent("V-3301");
    if let Command::LockOff {
        absent_owner: Some(facts),
        ..
    } = &mut hollow
    {
        facts.attempts = " ".into();
    }
    assert_eq!(site.refused(hollow, ODDE), "empty");
    site.does(absent("V-3301"), ODDE).unwrap();
    assert_eq!(site.last("attempts"), "phoned twice, home and mobile");
    gate_leads_back(&mut site, true);
    let mut site = Site::at(WORK);
    site.does(absent(&format!("own:{FALK}")), ODDE).unwrap();
    assert_eq!(site.ask().point, Point::LockBack("own".into()));
    gate_leads_back(&mut site, true);
}

#[test]
fn the_owner_takes_his_lock_off_also_while_another_has_the_work() {
    let mut site = Site::at(WORK);
    site.pauses(5, ODDE);
    site.does(lock_off("V-3301"), FALK).unwrap();
    assert_eq!(site.last("owner"), "Ines Falk");
    gate_leads_back(&mut site, true);
}

#[test]
fn a_handover_wants_the_incoming_persons_own_lock_and_own_zero() {
    let mut site = Site::at(WORK);
    let words = || "plug lies on the cloth".to_owned();
    assert_eq!(
        site.refused(
            Command::HandOver {
                words: words(),
                to: Some(ODDE),
                left: None
            },
            ODDE
        ),
        "signs-himself"
    );
    site.does(
        Command::HandOver {
            words: words(),
            to: Some(ODDE),
            left: None,
        },
        FALK,
    )
    .unwrap();
    assert!(
        site.last("next")
            .as_str()
            .is_some_and(|next| next.contains("plug"))
    );
    assert!(site.rebuild().summary().state.starts_with("HANDED OVER"));
    assert!(site.ask().notice[0].contains("plug lies on the cloth"));
    site.resumes(ODDE);
    assert_eq!(site.ask().point, Point::LockBack("own".into()));
    gate_leads_back(&mut site, true);
}

#[test]
fn a_handover_to_nobody_taken_back_by_the_same_person_is_proved_in_full() {
    let mut site = Site::at(WORK);
    site.does(
        Command::HandOver {
            words: "end of shift".into(),
            to: None,
            left: Some("isolated and locked, vented, openings covered".into()),
        },
        FALK,
    )
    .unwrap();
    site.resumes(FALK);
    assert_eq!(site.ask().point, Point::Gate(0));
    gate_leads_back(&mut site, true);
}

#[test]
fn the_program_ended_and_a_long_pause_want_the_full_check() {
    let mut site = Site::at(WORK);
    site.restarts(FALK);
    gate_leads_back(&mut site, true);
    let mut site = Site::at(WORK);
    site.pauses(
        i64::from(site.rebuild().started().look_again_minutes) + 1,
        FALK,
    );
    gate_leads_back(&mut site, true);
}

#[test]
fn a_short_pause_wants_another_look_and_no_release() {
    let mut site = Site::at(WORK);
    site.pauses(
        i64::from(site.rebuild().started().look_again_minutes) - 1,
        FALK,
    );
    assert_eq!(site.ask().point, Point::LookAgain);
    gate_leads_back(&mut site, false);
}

#[test]
fn a_pause_by_itself_counts_from_the_last_key() {
    let mut site = Site::at(WORK);
    let (pause, look) = (
        site.rebuild().started().pause_minutes,
        site.rebuild().started().look_again_minutes,
    );
    site.seconds += i64::from(pause) * 60;
    site.does(Command::Pause { by_itself: true }, FALK).unwrap();
    site.seconds += i64::from(look - pause) * 60 + 60;
    site.resumes(FALK);
    assert_eq!(
        site.ask().point,
        Point::Gate(0),
        "the ten minutes without a key are part of the pause"
    );
}

#[test]
fn a_look_that_shows_pressure_or_flow_is_no_look() {
    for flow in [false, true] {
        let mut site = Site::at(WORK);
        site.pauses(5, FALK);
        if flow {
            site.types("0.0").unwrap();
            site.picks("still flowing");
        } else {
            site.types("1.5").unwrap();
            assert_eq!(site.last("place"), "HIGH");
        }
        assert_eq!(site.ask().point, Point::Gate(0));
        gate_leads_back(&mut site, true);
    }
}

#[test]
fn every_stop_but_called_away_wants_the_full_check() {
    for kind in StopKind::ALL
        .into_iter()
        .filter(|kind| *kind != StopKind::CalledAway)
    {
        let mut site = Site::at(WORK);
        site.does(Command::Stop { kind }, FALK).unwrap();
        site.resumes(FALK);
        assert_eq!(site.ask().point, Point::Gate(0), "{kind:?}");
        gate_leads_back(&mut site, true);
    }
}

#[test]
fn zero_grows_old_and_is_read_anew_by_the_performer_alone() {
    let mut site = Site::at(WORK);
    site.seconds += i64::from(site.rebuild().started().zero_minutes) * 60 + 60;
    assert_eq!(site.ask().point, Point::Gate(0));
    assert!(
        site.ask().notice.join(" ").contains("too old"),
        "{:#?}",
        site.ask()
    );
    gate_leads_back(&mut site, false);
}

#[test]
fn a_clock_doubted_after_the_proof_and_believed_again_each_want_proof() {
    let mut site = Site::at(WORK);
    site.clock = Clock::Doubted;
    assert_eq!(site.ask().point, Point::Gate(0));
    assert!(
        site.ask().notice.join(" ").contains("clock"),
        "{:#?}",
        site.ask()
    );
    while site.ask().point != Point::Act(WORK.into()) {
        assert!(site.step());
    }
    // A person gives date and time: what was read by the other clock counts no longer.
    let utc = site.stamp(FALK).utc;
    site.does(Command::GiveClock { utc }, FALK).unwrap();
    site.clock = Clock::Given;
    assert_eq!(site.ask().point, Point::Gate(0));
    gate_leads_back(&mut site, false);
}

#[test]
fn a_clock_stepped_back_to_1970_or_ahead_to_2099_voids_zero() {
    for seconds in [-86_400, -1_773_000_000, 2_303_000_000] {
        let mut site = Site::at(WORK);
        site.seconds += seconds;
        // A clock that far off is not believed; a day back it may be, and zero is void all the same.
        if seconds.abs() > 86_400 {
            site.clock = Clock::Doubted;
        }
        assert_eq!(site.ask().point, Point::Gate(0), "{seconds}");
        gate_leads_back(&mut site, false);
    }
}

#[test]
fn a_pause_under_a_doubted_clock_is_never_short() {
    let mut site = Site::at(WORK);
    site.clock = Clock::Doubted;
    while site.ask().point != Point::Act(WORK.into()) {
        assert!(site.step());
    }
    site.pauses(1, FALK);
    gate_leads_back(&mut site, true);
}

#[test]
fn a_given_time_lies_after_what_was_believed_and_may_lie_before_what_was_not() {
    let mut site = Site::at(WORK);
    let give = |utc: &str| Command::GiveClock { utc: utc.into() };
    assert_eq!(
        site.refused(give("1970-01-01T00:00:00.000Z"), FALK),
        "bad-time"
    );
    assert_eq!(
        site.refused(give("2026-03-12T23:00:00.000+01:00"), FALK),
        "bad-time"
    );
    let now = site.stamp(FALK).utc;
    // The clock runs to 2099 and is doubted; an entry is made; the right time can still be given.
    site.clock = Clock::Doubted;
    site.seconds += 2_303_000_000;
    site.does(
        Command::Find {
            words: "clock shows 2099".into(),
        },
        FALK,
    )
    .unwrap();
    site.does(give(&now), FALK).unwrap();
}

#[test]
fn a_rest_asks_a_person_while_the_clock_is_doubted() {
    let mut site = Site::at("rest");
    site.types("").unwrap();
    assert_eq!(site.last_kind(), "rest_begun/1");
    assert_eq!(
        site.refused(site.ask().answer("").unwrap(), FALK),
        "not-yet"
    );
    site.clock = Clock::Doubted;
    site.seconds += 60;
    assert!(
        site.ask().notice.join(" ").contains("CLOCK NOT TRUSTED"),
        "{:#?}",
        site.ask()
    );
    assert_eq!(
        site.refused(site.ask().answer("2").unwrap(), FALK),
        "not-yet"
    );
    site.types("1").unwrap();
    assert_eq!(site.last("judged_by"), "person");
    // A rest begun under doubt asks a person although the clock is believed again.
    let mut site = Site::at("rest");
    site.clock = Clock::Doubted;
    site.goes_on(|ask| ask.kind == "act" && ask.step.as_ref().is_some_and(|at| at.id == "rest"));
    site.types("").unwrap();
    site.clock = Clock::Trusted;
    assert!(
        matches!(site.ask().wants, Wants::Choice(_)),
        "{:#?}",
        site.ask()
    );
}

#[test]
fn the_age_of_zero_is_not_asked_to_end_a_wait() {
    let mut site = Site::at("rest");
    site.types("").unwrap();
    site.seconds += 241 * 60;
    site.types("").unwrap();
    assert_eq!(site.last_kind(), "rest_over/1");
    assert_eq!(
        site.due(),
        "zero-after-rest",
        "the written check serves as the gate, never asked twice"
    );
    assert!(matches!(site.ask().point, Point::Asked(..)));
}

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
fn a_drain_lock_taken_off_where_nothing_is_let_in_voids_zero() {
    // In FV-3302 A-5 comes off with air in; taken off by hand before, it is a lock off like any other.
    let mut site = Site::at(WORK);
    site.does(lock_off("drain U"), FALK).unwrap();
    assert_eq!(site.ask().point, Point::LockBack("drain U".into()));
    gate_leads_back(&mut site, true);
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
fn a_stop_on_top_of_a_pause_makes_it_neither_shorter_nor_lighter() {
    let mut site = Site::at(WORK);
    site.does(Command::Pause { by_itself: false }, FALK)
        .unwrap();
    site.seconds += 3 * 3600;
    let called_away = Command::Stop {
        kind: StopKind::CalledAway,
    };
    site.does(called_away.clone(), FALK).unwrap();
    site.resumes(FALK);
    assert_eq!(site.ask().point, Point::Gate(0));
    let mut site = Site::at(WORK);
    let words = "end of shift".to_owned();
    site.does(
        Command::HandOver {
            words,
            to: Some(ODDE),
            left: None,
        },
        FALK,
    )
    .unwrap();
    site.does(called_away, FALK).unwrap();
    site.resumes(FALK);
    assert_eq!(site.ask().point, Point::Gate(0));
}

#[test]
fn a_check_that_a_short_pause_cuts_in_two_begins_anew() {
    let mut site = Site::at(WORK);
    site.restarts(FALK);
    site.step();
    assert_eq!(site.ask().point, Point::Gate(1));
    site.pauses(1, FALK);
    assert_eq!(site.ask().point, Point::Gate(0));
    gate_leads_back(&mut site, true);
}
