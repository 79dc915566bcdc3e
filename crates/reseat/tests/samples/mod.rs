//! Sample sights of the invented Tern Point site, as the runner would hand them over. Numbers are illustrative.
//!
//! Here what all of them share; the sights by subject beneath.

#![allow(dead_code, reason = "each test and the benchmark use a part of it")]

pub(crate) mod acts;
pub(crate) mod joint;
pub(crate) mod lists;
pub(crate) mod test;
pub(crate) mod verdicts;

use reseat::screen::sight::WorkSight;
use reseat_procedure::model::{SignalWord, Warning};
use reseat_record::log::Id;
use reseat_record::rebuild::ask::{Neighbour, StepAt};
use reseat_record::rebuild::view::{EnergyLine, PartLine, StepLine, Strip, Tone};
use reseat_record::rebuild::{Ask, Bench, Point, Wants};

pub(crate) fn id(byte: u8) -> Id {
    Id::from_bytes([byte; 10])
}

fn texts(texts: &[&str]) -> Vec<String> {
    texts.iter().map(|text| (*text).to_owned()).collect()
}

pub(crate) fn people() -> Vec<(Id, String)> {
    ["Ines Falk", "Rurik Odde", "Mbali Sefton", "Piet Vrang"]
        .iter()
        .zip(1..)
        .map(|(name, byte)| (id(byte), (*name).to_owned()))
        .collect()
}

pub(crate) fn strip(section: &str, state: &str, tone: Tone) -> Strip {
    Strip {
        tag: "FV-3302".into(),
        name: "brine reject control valve".into(),
        serial: "TP-0388".into(),
        who: "Odde".into(),
        time: "14:52".into(),
        procedure: "P-33-A rev C".into(),
        section: section.into(),
        state: state.into(),
        tone,
        demo: true,
    }
}

fn step(number: u32, text: &str, before: &str, after: &str) -> StepAt {
    StepAt {
        id: format!("s{number}"),
        number,
        of: 168,
        section: "Reassemble".into(),
        text: text.into(),
        ppe: texts(&["glasses", "cut-resistant gloves"]),
        before: Some(Neighbour {
            number: number - 1,
            text: before.into(),
            stands: "done 14:46".into(),
        }),
        after: Some(Neighbour {
            number: number + 1,
            text: after.into(),
            stands: String::new(),
        }),
        verify: None,
        hold: None,
        not_applicable: false,
    }
}

pub(crate) fn ask(number: u32, text: &str, wants: Wants, prompt: &str, bench: Bench) -> Ask {
    Ask {
        offered: reseat_record::rebuild::Offered::default(),
        guard: None,
        point: Point::Act(format!("s{number}")),
        step: Some(step(
            number,
            text,
            "Hand-start 8 nuts, at least 3 turns each.",
            "Pack the stem: bottom ring, 5 V-rings lips down, top ring.",
        )),
        kind: "act",
        prompt: prompt.into(),
        detail: Vec::new(),
        wants,
        warnings: Vec::new(),
        notice: Vec::new(),
        group: Vec::new(),
        blank: false,
        bench,
    }
}

pub(crate) fn work(ask: Ask, strip: Strip) -> WorkSight {
    WorkSight {
        stream: id(77),
        ask,
        strip,
        energy: energy(),
        energy_asked: None,
        joint: None,
        gauge: None,
        repeats: None,
        decay: None,
        steps: steps(),
        lockout: vec![
            "Rule followed: 29 CFR 1910.147.".into(),
            "Box LB-A: 21 Rurik Odde since 12:51, keys 417 418 in it.".into(),
        ],
        parts: parts(),
        open: Vec::new(),
        test: Vec::new(),
        last: Vec::new(),
        venting: None,
        wait_left: None,
        by: Some(id(2)),
        people: people(),
        may_leave: false,
        unsealed: std::collections::BTreeMap::new(),
        outgoing: None,
        tag: None,
        write_tag: false,
    }
}

fn energy() -> Vec<EnergyLine> {
    let line =
        |source: &str, at: &str, lock: &str, owner: &str, released: &str, zero: &str, complete| {
            EnergyLine {
                source: source.into(),
                method: format!("process pressure, by {at}"),
                isolated_at: at.into(),
                lock: lock.into(),
                owner: owner.into(),
                released: released.into(),
                zero: zero.into(),
                complete,
            }
        };
    vec![
        line(
            "brine, up, 64 bar",
            "HV-3301 shut",
            "417",
            "Falk",
            "brine, stopped",
            "0.0 PG-12 13:31",
            true,
        ),
        line(
            "brine, downstream",
            "HV-3304 shut",
            "418",
            "Falk",
            "",
            "",
            false,
        ),
        line("actuator air 5 bar", "AV-3302", "", "", "", "", false),
        line("actuator spring", "stored", "", "", "", "", false),
    ]
}

fn steps() -> Vec<StepLine> {
    [
        (101, "Fit the new seat gasket.", "done 13:58", false),
        (102, "Fit the seat ring.", "done 14:02", false),
        (
            103,
            "Fit the cage, its window to the outlet.",
            "done 14:20",
            false,
        ),
        (
            104,
            "Lower the bonnet onto the body.",
            "NOT VERIFIED",
            false,
        ),
        (
            105,
            "Hand-start 8 nuts, at least 3 turns each.",
            "done 14:46",
            false,
        ),
        (106, "Tighten the bonnet nuts.", "due", true),
        (
            107,
            "Pack the stem: bottom ring, 5 V-rings lips down, top ring.",
            "",
            false,
        ),
        (108, "Fit the gland follower.", "", false),
    ]
    .into_iter()
    .map(|(number, text, stands, due)| StepLine {
        number,
        text: text.into(),
        stands: stands.into(),
        due,
    })
    .collect()
}

fn parts() -> Vec<PartLine> {
    [
        ("bonnet nut M16", 8, 8, 0, "keep"),
        ("seat gasket", 1, 1, 1, "discard, new from kit"),
        ("seat ring", 1, 1, 1, "keep"),
        ("V-ring", 5, 5, 0, "discard"),
        ("lock washer", 1, 1, 0, "discard"),
    ]
    .into_iter()
    .map(|(part, required, off, on, disposition)| PartLine {
        part: part.into(),
        required,
        off,
        on,
        disposition: disposition.into(),
    })
    .collect()
}

const LOCKED: &str = "LOCKED 4 of 4, yours on, ZERO READ 14:21 (31 min)";

fn warn(word: SignalWord, text: &str) -> Vec<Warning> {
    vec![Warning {
        word,
        text: text.into(),
    }]
}
