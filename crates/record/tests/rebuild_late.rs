//! What was done meanwhile, entered late: what is taken and what is refused, in which order, and that zero is never fresh by it.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, ODDE, Site};
use reseat_record::log::{Clock, Entry, Stamp};
use reseat_record::rebuild::{Ask, Command, Given, Inner, Point, StopKind, Wants};
use reseat_record::refusal::Refusal;

/// The stamp of now with an act so many seconds ago.
fn ago(site: &Site, seconds: i64) -> Stamp {
    let now = site.stamp(site.performer);
    let then = chrono::DateTime::parse_from_rfc3339(&now.utc).unwrap();
    let then = then.with_timezone(&chrono::Utc) - chrono::Duration::seconds(seconds);
    Stamp {
        acted: Some(then.to_rfc3339_opts(chrono::SecondsFormat::Millis, true)),
        ..now
    }
}

fn late_ask(site: &Site, seconds: i64) -> Ask {
    let stamp = ago(site, seconds);
    site.rebuild().ask(&site.register, &stamp)
}

fn decides(site: &Site, command: Command, seconds: i64) -> Result<Entry, Refusal> {
    let stamp = ago(site, seconds);
    site.rebuild().decide(&site.register, command, &stamp)
}

/// Answers what is asked late, as of so many seconds ago.
fn enters(site: &mut Site, text: &str, seconds: i64) {
    let command = late_ask(site, seconds).answer(text).unwrap();
    let entry = decides(site, command, seconds).unwrap();
    let by = site.performer;
    site.keeps(entry, by);
}

fn code(site: &Site, command: Command, seconds: i64) -> &'static str {
    decides(site, command, seconds).unwrap_err().code()
}

/// The laptop was dead for an hour while the work went on; taken up again by the same person.
fn dead_for_an_hour(step: &str) -> Site {
    let mut site = Site::at(step);
    site.seconds += 3600;
    site.restarts(FALK);
    site
}

#[test]
fn hands_on_acts_are_entered_late_past_the_gate_and_zero_is_asked_when_work_goes_on() {
    let mut site = dead_for_an_hour("plug-on");
    assert!(matches!(site.ask().point, Point::Gate(_)), "zero first");
    let ask = late_ask(&site, 1800);
    assert_eq!(ask.step.as_ref().unwrap().id, "plug-on");
    assert!(
        ask.notice[0].starts_with("LATE ENTRY: done 2026-03-12 "),
        "{:?}",
        ask.notice
    );
    let acts = site.entries.len();
    enters(&mut site, "", 1800);
    let entry = &site.entries[acts].entry;
    assert!(entry.acted.is_some() && entry.utc > entry.acted.clone().unwrap());
    let lines = site.rebuild().record_lines(&site.register);
    assert!(
        lines
            .last()
            .unwrap()
            .text
            .contains("entered late, done 2026-03-12 ")
    );
    site.restarts_alike();
    assert!(
        matches!(site.ask().point, Point::Gate(0)),
        "zero is as void as before"
    );
}

#[test]
fn zero_that_stood_is_void_after_a_late_act() {
    let mut site = Site::at("plug-on");
    assert!(
        matches!(site.ask().point, Point::Act(_) | Point::Asked(..)),
        "zero stands"
    );
    enters(&mut site, "", 10);
    assert!(
        matches!(site.ask().point, Point::Gate(0)),
        "{:?}",
        site.ask().point
    );
    site.goes_on(|ask| !matches!(ask.point, Point::Gate(_)));
    site.restarts_alike();
}

#[test]
fn a_moment_lies_between_the_last_act_and_now() {
    let site = dead_for_an_hour("plug-on");
    let act = || late_ask(&site, 60).answer("").unwrap();
    assert_eq!(code(&site, act(), 7200), "late-order");
    assert_eq!(code(&site, act(), -60), "late-future");
    let mut stamp = ago(&site, 60);
    stamp.acted = Some("yesterday".into());
    let refused = site.rebuild().decide(&site.register, act(), &stamp);
    assert_eq!(refused.unwrap_err().code(), "bad-time");
    decides(&site, act(), 0).unwrap();
}

#[test]
fn one_late_act_is_not_before_the_other() {
    let mut site = dead_for_an_hour("plug-on");
    enters(&mut site, "", 1200);
    let act = Command::Find {
        words: "a scratch on the seat".into(),
    };
    assert_eq!(code(&site, act.clone(), 2400), "late-order");
    decides(&site, act, 600).unwrap();
}

#[test]
fn checks_made_since_do_not_hinder_what_was_done_before_them() {
    let mut site = dead_for_an_hour("plug-on");
    site.goes_on(|ask| !matches!(ask.point, Point::Gate(_) | Point::Observed));
    enters(&mut site, "", 1800);
    assert!(
        matches!(site.ask().point, Point::Gate(0)),
        "and those checks prove nothing now"
    );
}

#[test]
fn what_proves_locks_or_signs_is_refused_late_at_every_question() {
    let mut site = Site::new();
    site.start();
    let (mut refused, mut taken) = (0, 0);
    for _ in 0..3000 {
        let live = site.ask();
        if matches!(live.wants, Wants::Nothing) {
            break;
        }
        // The answer to the live question, given late: taken only where the step itself may be entered late.
        if let Some(command) = answer(&live) {
            let zero_or_sign = matches!(
                live.point,
                Point::Gate(_)
                    | Point::LookAgain
                    | Point::Observed
                    | Point::LockBack(_)
                    | Point::Worker(_)
                    | Point::Clear(_)
                    | Point::Permit(_)
                    | Point::Hold(_)
                    | Point::VerifyAsked(..)
                    | Point::Finding(_)
                    | Point::FindingSigned(_)
            );
            match decides(&site, command, 0) {
                Err(refusal) if refusal.code() == "not-late" => refused += 1,
                Err(refusal) => panic!("{} at {live:#?}", refusal.code()),
                Ok(entry) => {
                    assert!(!zero_or_sign, "{live:#?}");
                    let body = serde_json::to_string(&entry.body).unwrap();
                    assert!(!body.contains("\"zero/"), "{body}");
                    assert!(
                        !["vented/1", "released/1", "own_lock/1", "signed_off/1"]
                            .contains(&entry.kind.as_str()),
                        "{}",
                        entry.kind
                    );
                    taken += 1;
                }
            }
        }
        if !site.step() {
            break;
        }
    }
    assert!(
        refused > 15 && taken > 150,
        "{refused} refused, {taken} taken"
    );
}

/// The first answer an ask takes.
fn answer(ask: &Ask) -> Option<Command> {
    let text = match &ask.wants {
        Wants::Act => "",
        Wants::Choice(_) | Wants::Signature { .. } | Wants::Person(_) => "1",
        Wants::Fastener { next, .. } => return ask.answer(&next.to_string()).ok(),
        _ => return None,
    };
    let command = ask.answer(text).ok()?;
    // Another than the person at the keys signs for himself.
    match (&ask.wants, &command) {
        (
            Wants::Signature { .. },
            Command::Answer {
                point,
                given: Given::Person(id),
            },
        ) if *id != FALK && !point_refused(point) => None,
        _ => Some(command),
    }
}

fn point_refused(point: &Point) -> bool {
    matches!(
        point,
        Point::Hold(_) | Point::FindingSigned(_) | Point::Gate(_)
    )
}

#[test]
fn what_is_no_act_is_refused_late_and_what_makes_safer_is_taken() {
    let site = dead_for_an_hour("plug-on");
    let words = || "as on the sheet".to_owned();
    for command in [
        Command::Pause { by_itself: false },
        Command::Stop {
            kind: StopKind::Leak,
        },
        Command::OwnLock {
            owner: ODDE,
            number: Some("7".into()),
        },
        Command::LockOff {
            point: "V-3301".into(),
            absent_owner: None,
        },
        Command::HandOver {
            words: words(),
            to: Some(ODDE),
            left: None,
        },
        Command::CloseIncomplete { reason: words() },
        Command::Reopen {
            joint: "J1".into(),
            reason: words(),
        },
        Command::GiveClock {
            utc: "2026-03-12T14:00:00.000Z".into(),
        },
    ] {
        assert_eq!(code(&site, command, 600), "not-late");
    }
    for command in [
        Command::Safer {
            step: None,
            words: words(),
        },
        Command::Find { words: words() },
        Command::Dropped { what: words() },
    ] {
        let entry = decides(&site, command, 600).unwrap();
        assert!(entry.acted.is_some());
    }
}

#[test]
fn a_verification_entered_late_is_still_signed_by_its_verifier() {
    let mut site = Site::at("plug-on");
    let found = (0..400).any(|_| matches!(site.ask().point, Point::Verify(_)) || !site.step());
    assert!(found && matches!(site.ask().point, Point::Verify(_)));
    let ask = site.ask();
    let Wants::Signature { among, .. } = &ask.wants else {
        panic!("{ask:#?}")
    };
    let verifier = among[0].0;
    assert!(
        among.iter().all(|(id, _)| *id != FALK),
        "never his own work"
    );
    let command = ask.answer(&verifier.to_string()).unwrap();
    assert_eq!(code(&site, command.clone(), 1), "signs-himself");
    let stamp = Stamp {
        by: Some(verifier),
        ..ago(&site, 1)
    };
    let entry = site
        .rebuild()
        .decide(&site.register, command, &stamp)
        .unwrap();
    assert!(reseat_record::rebuild::must_sign(&entry.kind) && entry.acted.is_some());
}

#[test]
fn a_wait_that_began_late_counts_from_when_it_began() {
    let mut site = Site::new();
    site.start();
    site.goes_on(|ask| matches!(ask.wants, Wants::Wait { .. }));
    // Back to the question before it: what begins the rest.
    let mut again = Site::new();
    again.start();
    let before = site.commands.len() - 1;
    for _ in 0..3000 {
        if again.commands.len() == before {
            break;
        }
        assert!(again.step());
    }
    again.seconds += 7200;
    let command = late_ask(&again, 7000).answer(match late_ask(&again, 7000).wants {
        Wants::Act => "",
        _ => "1",
    });
    let entry = decides(&again, command.unwrap(), 7000).unwrap();
    let began = entry.acted.clone().unwrap();
    again.keeps(entry, FALK);
    let Wants::Wait {
        until: Some(until), ..
    } = late_ask(&again, 0).wants
    else {
        panic!("{:#?}", late_ask(&again, 0))
    };
    let instant = |utc: &str| chrono::DateTime::parse_from_rfc3339(utc).unwrap();
    assert!(instant(&until) > instant(&began));
    let now = again.stamp(FALK).utc;
    let live = site.rebuild().ask(&site.register, &site.stamp(FALK));
    let Wants::Wait {
        until: Some(live_until),
        ..
    } = live.wants
    else {
        panic!()
    };
    let live_began = site.entries.last().unwrap().entry.utc.clone();
    assert_eq!(
        instant(&until) - instant(&began),
        instant(&live_until) - instant(&live_began),
        "as long as ever, from the act and not from {now}"
    );
}

#[test]
fn a_late_entry_that_would_prove_zero_counts_for_nothing() {
    let mut site = dead_for_an_hour("plug-on");
    let gate = site.ask();
    let Wants::Reading { .. } = gate.wants else {
        panic!("{gate:#?}")
    };
    let command = gate.answer("0.0").unwrap();
    let mut entry = site
        .rebuild()
        .decide(&site.register, command, &site.stamp(FALK))
        .unwrap();
    // Written by no program of this kind: the chain holds all the same.
    entry.acted = Some(entry.utc.clone());
    assert_eq!(entry.clock, Clock::Trusted);
    site.keeps(entry, FALK);
    assert!(
        matches!(site.ask().point, Point::Gate(0)),
        "{:?}",
        site.ask().point
    );
}

#[test]
fn a_pass_of_a_joint_is_entered_late_fastener_by_fastener() {
    let mut site = Site::at("tighten-j1");
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Fastener(1, 1, 1))));
    site.seconds += 3600;
    site.restarts(FALK);
    for _ in 0..3 {
        let Wants::Fastener { next, .. } = late_ask(&site, 1000).wants else {
            panic!("{:#?}", late_ask(&site, 1000))
        };
        enters(&mut site, &next.to_string(), 1000);
        assert_eq!(site.last_kind(), "pulled/1");
    }
    assert!(matches!(site.ask().point, Point::Gate(0)));
}
