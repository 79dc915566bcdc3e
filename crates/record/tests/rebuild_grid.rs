//! Every kind of state a rebuild can be in against every kind of command: the entry it gives, or the code that refuses it.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::semicolon_if_nothing_returned
)] // test code: a failure is what the test shows

mod rebuild_site;

use std::fmt::Write as _;

use rebuild_site::{BREL, FALK, ODDE, QUIST, SEFTON, Site};
use reseat_record::log::{Hash, Id};
use reseat_record::rebuild::{Ask, Command, Given, Inner, Point, StopKind};
use reseat_record::register;

fn does(site: &mut Site, command: Command) {
    let by = site.performer;
    site.does(command, by).unwrap();
}

fn last_pass() -> Site {
    let mut site = Site::at("tighten-j1");
    site.goes_on(|ask: &Ask| matches!(ask.point, Point::Asked(_, _, Inner::Fastener(1, 3, _))));
    site
}

fn from(mut site: Site, deed: impl Fn(&mut Site)) -> Site {
    deed(&mut site);
    site
}

/// A newer revision is approved while the rebuild runs.
fn overtake(site: &mut Site) {
    site.keep(
        register::Command::Approve {
            number: site.rebuild().procedure().number.clone(),
            revision: "next".into(),
            sha256: Hash::of(b"the next text"),
            author: BREL,
            walked_by: ODDE,
            walked_on: "2026-03-11".into(),
            read: rebuild_site::read_through(),
        },
        QUIST,
    );
}

fn held_up() -> Vec<(&'static str, Site)> {
    let at = || Site::at("plug-on");
    vec![
        (
            "paused",
            from(at(), |site| does(site, Command::Pause { by_itself: false })),
        ),
        (
            "stopped",
            from(at(), |site| {
                does(
                    site,
                    Command::Stop {
                        kind: StopKind::Leak,
                    },
                )
            }),
        ),
        (
            "waiting for part",
            from(at(), |site| {
                does(
                    site,
                    Command::WaitForPart {
                        part: "seat".into(),
                    },
                )
            }),
        ),
        (
            "handed over",
            from(at(), |site| {
                does(
                    site,
                    Command::HandOver {
                        words: "as it lies".into(),
                        to: Some(ODDE),
                        left: None,
                    },
                )
            }),
        ),
        (
            "lock off",
            from(at(), |site| {
                does(
                    site,
                    Command::LockOff {
                        point: "V-3301".into(),
                        absent_owner: None,
                    },
                );
            }),
        ),
        (
            "permit ended",
            from(at(), |site| {
                site.seconds += 86_400;
                site.goes_on(|ask| matches!(ask.point, Point::Permit(_)));
            }),
        ),
        ("look again", from(at(), |site| site.pauses(5, FALK))),
        ("gate", from(at(), |site| site.restarts(FALK))),
        (
            "finding",
            from(at(), |site| {
                does(
                    site,
                    Command::Find {
                        words: "scratch".into(),
                    },
                )
            }),
        ),
        (
            "decision proposed",
            from(at(), |site| {
                does(
                    site,
                    Command::Find {
                        words: "scratch".into(),
                    },
                );
                site.picks("go on");
            }),
        ),
        ("revision overtaken", from(at(), overtake)),
        (
            "reason to go on",
            from(at(), |site| {
                overtake(site);
                site.types("only a drawing number changed").unwrap();
            }),
        ),
        (
            "closed INCOMPLETE",
            from(at(), |site| {
                does(
                    site,
                    Command::CloseIncomplete {
                        reason: "seat cracked".into(),
                    },
                )
            }),
        ),
        (
            "written by a newer",
            from(at(), |site| {
                let command = Command::Find { words: "x".into() };
                let mut entry = site
                    .rebuild()
                    .decide(&site.register, command, &site.stamp(FALK))
                    .unwrap();
                entry.kind = "dreamt/1".into();
                site.keeps(entry, FALK);
            }),
        ),
    ]
}

fn states() -> Vec<(&'static str, Site)> {
    let mut states = vec![
        ("running", Site::at("permit")),
        ("isolating", Site::at("lock-a2")),
        ("zero proved", Site::at("plug-on")),
        ("joint, last pass", last_pass()),
        (
            "after a HIGH",
            from(last_pass(), |site| site.types("140").unwrap()),
        ),
        (
            "scale queried",
            from(last_pass(), |site| site.types("90").unwrap()),
        ),
        (
            "verifier's own lock wanted",
            from(Site::at("permit"), |site| {
                site.goes_on(|ask| matches!(ask.point, Point::Worker(_)));
            }),
        ),
        (
            "verifier wanted",
            from(Site::at("seat-gasket-on"), |site| site.types("").unwrap()),
        ),
        (
            "resting",
            from(Site::at("rest"), |site| site.types("").unwrap()),
        ),
        ("test, nothing in", Site::at("people-clear")),
        ("under test", Site::at("hold-70")),
        ("returning", Site::at("unlock-a2")),
        ("signing", Site::at("sign")),
    ];
    states.extend(held_up());
    states
}

fn commands(site: &Site) -> Vec<(&'static str, Command, Id)> {
    let by = FALK;
    let lock = || "V-3301".to_owned();
    vec![
        (
            "answer asked elsewhere",
            Command::Answer {
                point: Point::Act("draw-split-pin".into()),
                given: Given::Done,
            },
            by,
        ),
        (
            "made safer",
            Command::Safer {
                step: None,
                words: "opened drain U".into(),
            },
            by,
        ),
        ("pause", Command::Pause { by_itself: false }, by),
        (
            "stop",
            Command::Stop {
                kind: StopKind::Leak,
            },
            by,
        ),
        (
            "typed wrong",
            Command::Strike {
                entry: None,
                reason: "slip".into(),
                seen_by: None,
            },
            by,
        ),
        (
            "find",
            Command::Find {
                words: "scratch".into(),
            },
            by,
        ),
        (
            "not applicable",
            Command::NotApplicable {
                reason: "none here".into(),
            },
            by,
        ),
        (
            "deviate, releaser",
            Command::Deviate {
                text: "wipe it".into(),
                reason: "wet".into(),
            },
            SEFTON,
        ),
        (
            "deviate, performer",
            Command::Deviate {
                text: "wipe it".into(),
                reason: "wet".into(),
            },
            by,
        ),
        (
            "dropped",
            Command::Dropped {
                what: "pick".into(),
            },
            by,
        ),
        (
            "wait for part",
            Command::WaitForPart {
                part: "seat".into(),
            },
            by,
        ),
        (
            "lock off, owner",
            Command::LockOff {
                point: lock(),
                absent_owner: None,
            },
            by,
        ),
        (
            "lock off, other",
            Command::LockOff {
                point: lock(),
                absent_owner: None,
            },
            ODDE,
        ),
        (
            "a worker's own lock on",
            Command::OwnLock {
                owner: ODDE,
                number: Some("422".into()),
            },
            by,
        ),
        (
            "another's own lock off",
            Command::OwnLock {
                owner: SEFTON,
                number: None,
            },
            by,
        ),
        (
            "reopen J1",
            Command::Reopen {
                joint: "J1".into(),
                reason: "weeps".into(),
            },
            by,
        ),
        (
            "break off the test",
            Command::BreakOff {
                reason: "it leaks".into(),
            },
            by,
        ),
        (
            "hand over",
            Command::HandOver {
                words: "as it lies".into(),
                to: Some(ODDE),
                left: None,
            },
            by,
        ),
        (
            "close INCOMPLETE",
            Command::CloseIncomplete {
                reason: "seat cracked".into(),
            },
            by,
        ),
        (
            "give the clock",
            Command::GiveClock {
                utc: site.stamp(by).utc,
            },
            by,
        ),
        ("run on", Command::RunOn { minutes: 5 }, by),
    ]
}

#[test]
fn every_state_against_every_command() {
    let mut table = String::new();
    for (name, site) in states() {
        writeln!(table, "{name}").unwrap();
        for (said, command, by) in commands(&site) {
            let answer = match site
                .rebuild()
                .decide(&site.register, command, &site.stamp(by))
            {
                Ok(entry) => entry.kind,
                Err(refusal) => format!("! {}", refusal.code()),
            };
            writeln!(table, "    {said:<24}{answer}").unwrap();
        }
        let taken = match site.rebuild().take_up(&site.register, &site.stamp(FALK)) {
            Ok(entry) => entry.kind,
            Err(refusal) => format!("! {}", refusal.code()),
        };
        writeln!(table, "    {:<24}{taken}", "opened for work").unwrap();
    }
    insta::assert_snapshot!("every_state_against_every_command", table);
}
