//! State against command: what each command gives in each state of a register, and who may give it.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod register_site;

use std::collections::BTreeSet;

use register_site::*;
use reseat_measure::{Quantity, Unit, Window};
use reseat_procedure::model::Role;
use reseat_record::log::{Entry, Hash, Id, Sealed, Stamp};
use reseat_record::refusal::Refusal;
use reseat_record::register::{
    BenchPoint, Body, Calibration, Command, Coverage, DoubtedRebuild, EntryNamed, FindingShown,
    InstrumentSaid, PlaceSaid, ReadThrough, Register, Scale, SiteSaid, StillStands, UnitSaid,
};
use serde_json::Map;

fn nobody() -> Id {
    Id::from_bytes([200; 10])
}

fn named() -> EntryNamed {
    EntryNamed {
        stream: Id::from_bytes([5; 10]),
        number: 7,
        hash: Hash::of(b"reading"),
    }
}

fn values() -> SiteSaid {
    SiteSaid {
        rule: "29 CFR 1910.147".into(),
        pause_minutes: 8,
        zero_minutes: 45,
        look_again_minutes: 20,
        shift_hours: 8,
        day_checks: false,
        left_states: Vec::new(),
    }
}

fn recall() -> Command {
    let named = named();
    Command::Recall {
        instrument: "TW-19".into(),
        since: None,
        from: None,
        found: vec![BenchPoint {
            bench: Quantity::parse("100 N·m").unwrap(),
            showed: Quantity::parse("109 N·m").unwrap(),
        }],
        rebuilds: vec![{
            let mut rebuild = DoubtedRebuild::new(named.stream, named.hash);
            rebuild.name(named.number, named.hash, StillStands::Low);
            rebuild
        }],
        reason: "found out on the bench".into(),
    }
}

/// One good command of each sort for the whole bench, with the person who may give it.
fn good() -> Vec<(&'static str, Command, Id)> {
    let quarantine = || Command::Quarantine {
        id: "TW-19".into(),
        reason: "dropped".into(),
    };
    let supersede = Command::Supersede {
        number: "P-33-A".into(),
        revision: "A".into(),
        sha256: Hash::of(b"A"),
        reason: "wrong".into(),
    };
    let mut renewed = calibration();
    renewed.certificate = "C-2002".into();
    vec![
        (
            "enrol",
            enrol(ODDE, "Rurik Odde", &[Role::Performer]),
            SEFTON,
        ),
        (
            "give roles",
            Command::GiveRoles {
                person: FALK,
                roles: [Role::Performer].into(),
            },
            SEFTON,
        ),
        (
            "retire",
            Command::Retire {
                person: FALK,
                reason: "left".into(),
            },
            SEFTON,
        ),
        (
            "change key",
            Command::ChangeKey {
                person: FALK,
                key: public(70),
                reason: "forgot".into(),
            },
            SEFTON,
        ),
        ("add place", Command::AddPlace(place("PRV-2107")), SEFTON),
        (
            "change place",
            Command::ChangePlace(PlaceSaid {
                name: "feed valve".into(),
                ..place("FV-3302")
            }),
            SEFTON,
        ),
        ("add unit", Command::AddUnit(unit("TP-33-0500")), SEFTON),
        (
            "change unit",
            Command::ChangeUnit(UnitSaid {
                model: "CV-80".into(),
                ..unit("TP-33-0417")
            }),
            SEFTON,
        ),
        (
            "fit",
            Command::Fit {
                tag: "FV-3303".into(),
                serial: "TP-33-0418".into(),
            },
            FALK,
        ),
        (
            "remove",
            Command::Remove {
                tag: "FV-3302".into(),
                serial: "TP-33-0417".into(),
            },
            FALK,
        ),
        (
            "add instrument",
            Command::AddInstrument(wrench("TW-20", "88-2042")),
            SEFTON,
        ),
        (
            "renew",
            Command::RenewCalibration {
                id: "TW-19".into(),
                calibration: renewed,
            },
            SEFTON,
        ),
        (
            "check",
            Command::CheckForDay {
                id: "TW-19".into(),
                seen: "zeroed".into(),
                passed: true,
            },
            FALK,
        ),
        ("quarantine", quarantine(), FALK),
        (
            "withdraw",
            Command::Withdraw {
                id: "TW-19".into(),
                reason: "worn out".into(),
            },
            SEFTON,
        ),
        ("approve", approve("B"), QUIST),
        ("supersede", supersede, QUIST),
        ("set site", Command::SetSite(values()), SEFTON),
        (
            "judge by",
            Command::JudgeBy {
                rule: "guarded".parse().unwrap(),
            },
            SEFTON,
        ),
        (
            "agree clock",
            Command::AgreeClock {
                day: "2026-03-12".into(),
            },
            FALK,
        ),
        (
            "give clock",
            Command::GiveClock {
                given: "2026-03-12T12:00:00.000Z".into(),
                machine: None,
            },
            FALK,
        ),
        ("recall", recall(), SEFTON),
        (
            "remark",
            Command::Remark {
                text: "guard loose".into(),
                of: None,
            },
            FALK,
        ),
        (
            "amend",
            Command::Amend {
                of: named(),
                text: "gland dry after 1 h".into(),
                answers: None,
            },
            FALK,
        ),
    ]
}

#[test]
fn every_good_command_gives_an_entry_of_a_known_kind_and_none_changes_the_state_by_deciding() {
    let mut kinds = BTreeSet::new();
    for (what, command, by) in good() {
        let mut bench = Bench::whole();
        let before = bench.register.clone();
        let entry = bench
            .register
            .decide(command.clone(), &bench.stamp(Some(by)))
            .unwrap_or_else(|refusal| panic!("{what}: {refusal}"));
        assert_eq!(bench.register, before, "{what}");
        let body = Body::read(&entry.kind, &entry.body)
            .unwrap_or_else(|| panic!("{what}: {}", entry.kind));
        assert_eq!(body.members(), entry.body, "{what}");
        kinds.insert(entry.kind);
        bench.does(command, Some(by)).unwrap();
        assert_ne!(bench.register, before, "{what}");
    }
    // The kinds not in the list are made by commands that need another state.
    let other = ["founded/1", "taken_on_again/1", "returned/1", "ran_on/1"];
    let all: BTreeSet<String> = Body::KINDS.iter().map(ToString::to_string).collect();
    assert_eq!(
        all,
        kinds.into_iter().chain(other.map(String::from)).collect()
    );
}

#[test]
fn nothing_is_written_before_founding() {
    let bench = Bench::new();
    for (what, command, by) in good() {
        assert_eq!(bench.refuses(command, Some(by)), "not-founded", "{what}");
    }
    assert_eq!(
        Bench::founded().refuses(found(), Some(SEFTON)),
        "already-founded"
    );
}

#[test]
fn strangers_the_retired_and_nobody_write_nothing() {
    let mut bench = Bench::whole();
    bench
        .does(
            Command::Retire {
                person: BREL,
                reason: "left".into(),
            },
            Some(SEFTON),
        )
        .unwrap();
    for (what, command, _) in good() {
        assert_eq!(
            bench.refuses(command.clone(), Some(nobody())),
            "no-person",
            "{what}"
        );
        assert_eq!(
            bench.refuses(command.clone(), Some(BREL)),
            "person-retired",
            "{what}"
        );
        let unnamed = bench.refuses(command, None);
        assert!(
            ["nobody-named", "lead-is-there"].contains(&unnamed),
            "{what}: {unnamed}"
        );
    }
}

#[test]
fn each_role_may_do_what_is_its_own_and_no_more() {
    // Falk is performer and verifier, Quist approver and author, Sefton lead.
    let free = [
        "fit",
        "remove",
        "check",
        "quarantine",
        "agree clock",
        "give clock",
        "remark",
        "amend",
    ];
    for (what, command, by) in good() {
        for person in [FALK, QUIST, SEFTON] {
            let found = Bench::whole()
                .register
                .decide(command.clone(), &Bench::whole().stamp(Some(person)));
            if free.contains(&what) || person == by {
                assert!(found.is_ok(), "{what}");
            } else {
                assert_eq!(found.unwrap_err().code(), "role-wanted", "{what}");
            }
        }
    }
}

#[test]
fn another_home_a_demo_or_a_bad_stamp_writes_nothing() {
    let bench = Bench::whole();
    let refuse = |change: fn(&mut Stamp)| {
        let mut stamp = bench.stamp(Some(FALK));
        change(&mut stamp);
        bench
            .register
            .decide(
                Command::Remark {
                    text: "x".into(),
                    of: None,
                },
                &stamp,
            )
            .unwrap_err()
            .code()
    };
    assert_eq!(
        refuse(|stamp| stamp.home = Id::from_bytes([3; 10])),
        "other-home"
    );
    assert_eq!(refuse(|stamp| stamp.demo = true), "demo-mixed");
    assert_eq!(refuse(|stamp| stamp.utc = "now".into()), "bad-stamp");
    assert_eq!(refuse(|stamp| stamp.offset = "CET".into()), "bad-stamp");
    assert_eq!(
        refuse(|stamp| stamp.acted = Some("earlier".into())),
        "bad-stamp"
    );
}

#[test]
fn what_a_newer_reseat_wrote_makes_the_register_read_only() {
    let mut member = Bench::whole().entries[9].entry.clone();
    let bench = Bench::whole();
    member.number = bench.register.head().number + 1;
    member.previous = bench.register.head().hash;
    member.body.insert("colour".into(), "grey".into());
    member.signature = None;
    let next = |kind: &str| {
        Entry::next(
            &bench.register.head(),
            &bench.stamp(Some(FALK)),
            kind,
            1,
            Map::new(),
        )
    };
    let mut envelope = next("remark/1");
    envelope.body.insert("text".into(), "x".into());
    envelope.beyond.insert("weather".into(), "fair".into());
    for entry in [
        next("remark/2"),
        next("reading/1"),
        next("remark/1"),
        member,
        envelope,
    ] {
        let mut bench = Bench::whole();
        let sealed = entry.seal().unwrap();
        bench.register.apply(&sealed).unwrap();
        bench.entries.push(sealed);
        assert!(bench.register.newer().is_some());
        assert_eq!(bench.register.head(), bench.entries.last().unwrap().head());
        for (what, command, by) in good() {
            assert_eq!(
                bench.refuses(command, Some(by)),
                "written-by-newer",
                "{what}"
            );
        }
        // What follows moves the head and changes nothing else.
        let people = bench.register.people().count();
        let late = Bench::whole()
            .register
            .decide(
                enrol(ODDE, "Rurik Odde", &[Role::Performer]),
                &bench.stamp(Some(SEFTON)),
            )
            .unwrap();
        let late = Entry {
            number: bench.register.head().number + 1,
            previous: bench.register.head().hash,
            ..late
        };
        bench.register.apply(&late.seal().unwrap()).unwrap();
        assert_eq!(bench.register.people().count(), people);
    }
}

#[test]
fn people_are_refused_with_the_reason() {
    let bench = Bench::whole();
    let lead = Some(SEFTON);
    let key_of = |key: [u8; 32]| Command::Enrol {
        person: ODDE,
        name: "Rurik Odde".into(),
        roles: [Role::Performer].into(),
        key,
    };
    for (command, code) in [
        (enrol(FALK, "Other", &[Role::Performer]), "id-taken"),
        (enrol(ODDE, "INES FALK", &[Role::Performer]), "name-taken"),
        (enrol(ODDE, "", &[Role::Performer]), "text"),
        (enrol(ODDE, "Odde\u{202e}", &[Role::Performer]), "text"),
        (enrol(ODDE, "Rurik Odde", &[]), "no-roles"),
        (key_of(public(FALK.bytes()[0])), "key-taken"),
        (key_of(site_key().verifying_key().to_bytes()), "key-taken"),
        (
            key_of({
                let mut neutral = [0; 32];
                neutral[0] = 1;
                neutral
            }),
            "key-unusable",
        ),
        (
            Command::GiveRoles {
                person: nobody(),
                roles: [Role::Lead].into(),
            },
            "no-person",
        ),
        (
            Command::GiveRoles {
                person: FALK,
                roles: [Role::Performer, Role::Verifier].into(),
            },
            "nothing-changes",
        ),
        (
            Command::GiveRoles {
                person: FALK,
                roles: BTreeSet::new(),
            },
            "no-roles",
        ),
        (
            Command::GiveRoles {
                person: SEFTON,
                roles: [Role::Releaser].into(),
            },
            "last-lead",
        ),
        (
            Command::Retire {
                person: SEFTON,
                reason: "left".into(),
            },
            "last-lead",
        ),
        (
            Command::Retire {
                person: FALK,
                reason: " ".into(),
            },
            "text",
        ),
        (
            Command::TakeOnAgain {
                person: FALK,
                roles: [Role::Performer].into(),
                key: public(80),
            },
            "not-retired",
        ),
        (
            Command::ChangeKey {
                person: FALK,
                key: public(FALK.bytes()[0]),
                reason: "x".into(),
            },
            "key-taken",
        ),
        (
            Command::ChangeKey {
                person: nobody(),
                key: public(80),
                reason: "x".into(),
            },
            "no-person",
        ),
    ] {
        assert_eq!(bench.refuses(command.clone(), lead), code, "{command:?}");
    }
}

#[test]
fn a_key_that_was_ever_somebodys_is_nobody_elses() {
    let mut bench = Bench::whole();
    bench
        .does(
            Command::ChangeKey {
                person: FALK,
                key: public(80),
                reason: "forgot".into(),
            },
            Some(SEFTON),
        )
        .unwrap();
    let old = Command::Enrol {
        person: ODDE,
        name: "Rurik Odde".into(),
        roles: [Role::Performer].into(),
        key: public(FALK.bytes()[0]),
    };
    assert_eq!(bench.refuses(old, Some(SEFTON)), "key-taken");
}

#[test]
fn places_and_units_are_refused_with_the_reason() {
    let bench = Bench::whole();
    let lead = Some(SEFTON);
    let pair = |tag: &str, serial: &str| (tag.to_owned(), serial.to_owned());
    let fit = |(tag, serial)| Command::Fit { tag, serial };
    let remove = |(tag, serial)| Command::Remove { tag, serial };
    let point = place("X").points.remove(0);
    for (command, code) in [
        (Command::AddPlace(place("fv-3302")), "tag-taken"),
        (Command::AddPlace(place("FV\t3304")), "text"),
        (Command::AddPlace(place(&"X".repeat(25))), "text"),
        (
            Command::AddPlace(PlaceSaid {
                redundant_with: Some("fv-3304".into()),
                ..place("FV-3304")
            }),
            "redundant-with-itself",
        ),
        (
            Command::AddPlace(PlaceSaid {
                redundant_with: Some("FV-9".into()),
                ..place("FV-3304")
            }),
            "no-place",
        ),
        (
            Command::AddPlace(PlaceSaid {
                points: vec![point; 65],
                ..place("FV-3304")
            }),
            "too-many",
        ),
        (Command::ChangePlace(place("FV-9")), "no-place"),
        (Command::ChangePlace(place("FV-3302")), "nothing-changes"),
        (Command::AddUnit(unit("tp-33-0417")), "serial-taken"),
        (
            Command::AddUnit(UnitSaid {
                model: String::new(),
                ..unit("TP-9")
            }),
            "text",
        ),
        (Command::ChangeUnit(unit("TP-9")), "no-unit"),
        (Command::ChangeUnit(unit("TP-33-0417")), "nothing-changes"),
        (fit(pair("FV-9", "TP-33-0418")), "no-place"),
        (fit(pair("FV-3303", "TP-9")), "no-unit"),
        (fit(pair("FV-3302", "TP-33-0418")), "place-holds"),
        (fit(pair("FV-3303", "TP-33-0417")), "unit-fitted"),
        (remove(pair("FV-3303", "TP-33-0417")), "not-fitted"),
        (remove(pair("FV-3302", "TP-33-0418")), "not-fitted"),
    ] {
        assert_eq!(bench.refuses(command.clone(), lead), code, "{command:?}");
    }
}

#[test]
fn instruments_are_refused_with_the_reason() {
    let bench = Bench::whole();
    let good = || wrench("TW-20", "88-2042");
    let with = |change: fn(&mut InstrumentSaid)| {
        let mut said = good();
        change(&mut said);
        bench.refuses(Command::AddInstrument(said), Some(SEFTON))
    };
    let window = |text| Window::parse(text).unwrap();
    assert_eq!(with(|said| said.id = "tw-19".into()), "instrument-taken");
    assert_eq!(with(|said| said.serial = "88-2041".into()), "serial-taken");
    assert_eq!(
        with(|said| said.scale = Scale {
            unit: Unit::parse("bar").unwrap(),
            reference: None
        }),
        "scale-unfit"
    );
    assert_eq!(
        with(|said| said.range = Window::parse("..200 N·m").unwrap()),
        "range-open"
    );
    assert_eq!(
        with(|said| said.range = Window::parse("30..150 lbf·ft").unwrap()),
        "not-on-scale"
    );
    assert_eq!(
        with(|said| said.usable = Some(Window::parse("30..200 N·m").unwrap())),
        "usable-beyond-range"
    );
    assert_eq!(
        with(|said| said.usable = Some(Window::parse("40..201 N·m").unwrap())),
        "usable-beyond-range"
    );
    assert_eq!(
        with(|said| said.resolution = Quantity::parse("1 lbf·ft").unwrap()),
        "not-on-scale"
    );
    assert_eq!(
        with(|said| said.resolution = Quantity::parse("0 N·m").unwrap()),
        "not-above-zero"
    );
    // Exactly the range is usable.
    let whole = InstrumentSaid {
        usable: Some(window("40..200 N·m")),
        ..good()
    };
    assert!(
        bench
            .register
            .decide(Command::AddInstrument(whole), &bench.stamp(Some(SEFTON)))
            .is_ok()
    );
    let certified = |change: fn(&mut Calibration)| {
        let mut calibration = calibration();
        change(&mut calibration);
        bench.refuses(
            Command::RenewCalibration {
                id: "TW-19".into(),
                calibration,
            },
            Some(SEFTON),
        )
    };
    assert_eq!(certified(|_| {}), "nothing-changes");
    assert_eq!(certified(|said| said.due = "2026-02-30".into()), "no-day");
    assert_eq!(
        certified(|said| said.due.clone_from(&said.calibrated)),
        "due-before-calibrated"
    );
    assert_eq!(
        certified(|said| said.deviation = "0.05 bar".parse().unwrap()),
        "not-on-scale"
    );
    assert_eq!(certified(|said| said.coverage = None), "coverage-alone");
    assert_eq!(certified(|said| said.uncertainty = None), "coverage-alone");
    assert_eq!(
        certified(|said| said.uncertainty = Some(Quantity::parse("0.1 bar").unwrap())),
        "not-on-scale"
    );
    assert_eq!(
        certified(
            |said| said.coverage = Some(Coverage(reseat_measure::Decimal::parse("0").unwrap()))
        ),
        "not-above-zero"
    );
    assert_eq!(
        certified(|said| said.certificate = "\u{1b}[2J".into()),
        "text"
    );
}

#[test]
fn an_instrument_out_of_service_takes_only_what_brings_it_back_or_ends_it() {
    let id = || "TW-19".to_owned();
    let words = || "seen".to_owned();
    let commands = || {
        [
            Command::CheckForDay {
                id: id(),
                seen: words(),
                passed: true,
            },
            Command::Quarantine {
                id: id(),
                reason: words(),
            },
            Command::Return {
                id: id(),
                reason: words(),
            },
            Command::Withdraw {
                id: id(),
                reason: words(),
            },
            Command::RenewCalibration {
                id: id(),
                calibration: Calibration {
                    certificate: "C-3".into(),
                    ..calibration()
                },
            },
        ]
    };
    let codes = |bench: &Bench| {
        commands().map(|command| {
            bench
                .register
                .decide(command, &bench.stamp(Some(SEFTON)))
                .map_or_else(|refusal| refusal.code(), |_| "given")
        })
    };
    let mut bench = Bench::whole();
    assert_eq!(
        codes(&bench),
        ["given", "given", "not-quarantined", "given", "given"]
    );
    bench
        .does(
            Command::Quarantine {
                id: id(),
                reason: words(),
            },
            Some(FALK),
        )
        .unwrap();
    assert_eq!(
        codes(&bench),
        [
            "already-quarantined",
            "already-quarantined",
            "given",
            "given",
            "given"
        ]
    );
    bench
        .does(
            Command::Withdraw {
                id: id(),
                reason: words(),
            },
            Some(SEFTON),
        )
        .unwrap();
    assert_eq!(codes(&bench), ["instrument-withdrawn"; 5]);
    let unknown = Command::Quarantine {
        id: "TW-\u{202e}99".into(),
        reason: words(),
    };
    let refusal = bench
        .register
        .decide(unknown, &bench.stamp(Some(FALK)))
        .unwrap_err();
    assert_eq!(refusal.code(), "no-instrument");
    assert!(!refusal.sentence().contains('\u{202e}'), "{refusal}");
}

#[test]
fn approvals_sites_clocks_and_recalls_are_refused_with_the_reason() {
    let bench = Bench::whole();
    let but = |change: &dyn Fn(&mut Id, &mut Id, &mut String, &mut ReadThrough)| {
        let mut approve = approve("B");
        if let Command::Approve {
            author,
            walked_by,
            walked_on,
            read,
            ..
        } = &mut approve
        {
            change(author, walked_by, walked_on, read);
        }
        approve
    };
    let with_author = |id| but(&|author, _, _, _| *author = id);
    let walked = |id, day: &str| {
        but(&|_, by, on, _| {
            *by = id;
            day.clone_into(on);
        })
    };
    let having_read = |change: &dyn Fn(&mut ReadThrough)| but(&|_, _, _, read| change(read));
    let shown = |code: &str, weight: &str| FindingShown {
        code: code.into(),
        weight: weight.into(),
        step: None,
    };
    let supersede = |revision: &str| Command::Supersede {
        number: "P-33-A".into(),
        revision: revision.into(),
        sha256: Hash::of(revision.as_bytes()),
        reason: "wrong".into(),
    };
    let recalled = |readings: bool, found: bool| {
        let Command::Recall {
            instrument,
            since,
            from,
            found: points,
            rebuilds: list,
            reason,
        } = recall()
        else {
            unreachable!()
        };
        let (points, list) = (
            if found { points } else { vec![] },
            if readings { list } else { vec![] },
        );
        Command::Recall {
            instrument,
            since,
            from,
            found: points,
            rebuilds: list,
            reason,
        }
    };
    for (command, by, code) in [
        (with_author(QUIST), QUIST, "author-approves"),
        (with_author(FALK), QUIST, "role-wanted"),
        (with_author(nobody()), QUIST, "no-person"),
        (walked(nobody(), "2026-03-01"), QUIST, "no-person"),
        (walked(FALK, "last week"), QUIST, "no-day"),
        (approve("A"), QUIST, "already-approved"),
        (
            having_read(&|read| read.pages = 169),
            QUIST,
            "not-read-through",
        ),
        (
            having_read(&|read| (read.pages, read.of) = (0, 0)),
            QUIST,
            "not-read-through",
        ),
        (
            having_read(&|read| {
                read.findings = vec![shown("no-hand-start", "error")];
                read.reason = Some("it is known".into());
            }),
            QUIST,
            "not-proven",
        ),
        (
            having_read(&|read| {
                read.findings = vec![shown("pass-steps", "note"), shown("negative", "warning")];
            }),
            QUIST,
            "warnings-stand",
        ),
        (
            having_read(&|read| read.reason = Some(" ".into())),
            QUIST,
            "text",
        ),
        (supersede("B"), QUIST, "not-approved"),
        (
            Command::SetSite(SiteSaid {
                pause_minutes: 0,
                ..values()
            }),
            SEFTON,
            "out-of-bounds",
        ),
        (
            Command::SetSite(SiteSaid {
                left_states: vec!["locked".into(); 10],
                ..values()
            }),
            SEFTON,
            "out-of-bounds",
        ),
        (
            Command::SetSite(SiteSaid {
                shift_hours: 25,
                ..values()
            }),
            SEFTON,
            "out-of-bounds",
        ),
        (
            Command::AgreeClock {
                day: "today".into(),
            },
            FALK,
            "no-day",
        ),
        (
            Command::GiveClock {
                given: "noon".into(),
                machine: None,
            },
            FALK,
            "no-instant",
        ),
        (Command::RunOn { seconds: 60 }, FALK, "demo-only"),
        (recalled(false, true), SEFTON, "recall-empty"),
        (recalled(true, false), SEFTON, "recall-empty"),
    ] {
        assert_eq!(
            bench.refuses(command.clone(), Some(by)),
            code,
            "{command:?}"
        );
    }
    let mut superseded = Bench::whole();
    superseded.does(supersede("A"), Some(QUIST)).unwrap();
    assert_eq!(
        superseded.refuses(supersede("A"), Some(QUIST)),
        "already-superseded"
    );
}

#[test]
fn a_recall_and_an_amendment_are_kept_with_what_they_speak_of() {
    let mut bench = Bench::whole();
    let sealed = bench.does(recall(), Some(SEFTON)).unwrap();
    let doubt = &bench.register.in_doubt()[0];
    assert_eq!(
        (doubt.instrument.as_str(), doubt.number, doubt.fact.hash),
        ("TW-19", 7, sealed.hash)
    );
    bench
        .does(
            Command::Amend {
                of: named(),
                text: "gland dry".into(),
                answers: Some("look again".into()),
            },
            Some(FALK),
        )
        .unwrap();
    let said = &bench.register.said()[0];
    assert_eq!(
        (said.by, said.of, said.amendment, said.text.as_str()),
        (Some(FALK), Some(named()), true, "gland dry")
    );
}

#[test]
fn every_refusal_has_its_own_code_and_full_sentences() {
    let codes: BTreeSet<_> = Refusal::CODES.iter().collect();
    assert_eq!(codes.len(), Refusal::CODES.len());
    for code in codes {
        assert!(
            code.bytes()
                .all(|byte| byte.is_ascii_lowercase() || byte == b'-'),
            "{code}"
        );
    }
    let taken = Refusal::NameTaken {
        name: "Ines Falk".into(),
    };
    assert_eq!(
        taken.to_string(),
        "Ines Falk is already on the register. Give a name that tells them apart."
    );
    let wanted = Refusal::RoleWanted {
        name: "Ines Falk".into(),
        role: Role::Approver,
    };
    assert_eq!(
        wanted.sentence(),
        "Ines Falk is not an approver on the register."
    );
}

#[test]
fn any_flipped_byte_of_a_register_is_found() {
    let bench = Bench::whole();
    let whole: Vec<Vec<u8>> = bench
        .entries
        .iter()
        .map(|sealed| sealed.bytes.clone())
        .collect();
    for place in 0..whole.len() {
        for at in (0..whole[place].len()).step_by(7) {
            let mut damaged = whole.clone();
            damaged[place][at] ^= 1;
            let chain = reseat_record::log::verify_chain(damaged.iter().map(Vec::as_slice));
            // The last entry of this bench is a signed approval, so nothing is left that only a later entry could hold.
            assert!(
                !matches!(chain, reseat_record::log::Chain::Whole { .. }),
                "entry {} byte {at}",
                place + 1
            );
        }
    }
}

#[test]
fn a_register_read_back_from_its_bytes_decides_the_same() {
    let bench = Bench::whole();
    let read: Vec<Sealed> = bench
        .entries
        .iter()
        .map(|sealed| Sealed::read(&sealed.bytes).unwrap())
        .collect();
    let again = Register::replay(STREAM, &read).unwrap();
    for (what, command, by) in good() {
        let stamp = bench.stamp(Some(by));
        assert_eq!(
            again.decide(command.clone(), &stamp),
            bench.register.decide(command, &stamp),
            "{what}"
        );
    }
}

#[test]
fn an_approval_says_what_was_read_and_why_warnings_stand() {
    let mut bench = Bench::whole();
    let mut command = approve("B");
    if let Command::Approve { read, .. } = &mut command {
        read.findings = vec![FindingShown {
            code: "pass-steps".into(),
            weight: "warning".into(),
            step: Some("tighten-j1".into()),
        }];
        read.reason = Some("two passes, by the maker of the ring".into());
    }
    let sealed = bench.does(command, Some(QUIST)).unwrap();
    assert_eq!(sealed.entry.body["read"]["pages"], 170);
    assert_eq!(
        sealed.entry.body["read"]["findings"][0]["step"],
        "tighten-j1"
    );
    let standing = bench.register.approved_now("P-33-A").unwrap();
    let read = standing.read.as_ref().unwrap();
    assert_eq!(
        read.reason.as_deref(),
        Some("two passes, by the maker of the ring")
    );
    assert_eq!((read.count("warning"), read.count("error")), (1, 0));
}
