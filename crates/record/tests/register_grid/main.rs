//! State against command: what each command gives in each state of a register, and who may give it.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod commands;
mod refusals;
#[path = "../register_site/mod.rs"]
mod register_site;

use register_site::*;
use reseat_measure::Quantity;
use reseat_procedure::model::Role;
use reseat_record::log::{Hash, Id};
use reseat_record::register::{
    BenchPoint, Command, DoubtedRebuild, EntryNamed, PlaceSaid, SiteSaid, StillStands, UnitSaid,
};

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
