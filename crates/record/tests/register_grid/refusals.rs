//! What is refused of people, places, units, instruments and approvals, each with its reason.

use crate::register_site::*;
use crate::{nobody, recall, values};
use reseat_measure::{Quantity, Unit, Window};
use reseat_procedure::model::Role;
use reseat_record::log::{Hash, Id};
use reseat_record::refusal::Refusal;
use reseat_record::register::{
    Calibration, Command, Coverage, FindingShown, InstrumentSaid, PlaceSaid, ReadThrough, Scale,
    SiteSaid, UnitSaid,
};
use std::collections::BTreeSet;

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
