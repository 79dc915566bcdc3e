//! Sample sights beside the work: units, a start, a record, the register, pages of a procedure, a recall.

use super::{id, people, strip, texts};
use reseat::screen::message::RecallAsked;
use reseat::screen::sight::{
    HomeSight, Offer, PagesSight, PastLine, RecallLine, RecallSight, RegisterLine, RegisterSight,
    ResumeSight, StartSight, UnitLine, UnitSight,
};
use reseat_record::log::Hash;
use reseat_record::rebuild::view::{PlanLine, RecordLine, Strip, Tone};
use reseat_report::Record;

pub(crate) fn home() -> HomeSight {
    let unit = |tag: &str, serial: &str, name: &str, state: &str, open| UnitLine {
        tag: tag.into(),
        serial: serial.into(),
        name: name.into(),
        state: state.into(),
        open,
    };
    HomeSight {
        site: "Tern Point desalination plant".into(),
        demo: true,
        units: vec![
            unit(
                "FV-3302",
                "TP-0388",
                "brine reject control valve",
                "PAUSED, TOGETHER, NOT TIGHT",
                Some(id(77)),
            ),
            unit(
                "PCV-2107",
                "TP-0417",
                "permeate flush regulator",
                "RETURNED 12 Mar 2026",
                None,
            ),
            unit(
                "PCV-2108",
                "TP-0418",
                "its spare",
                "RETURNED 2 Feb 2026",
                None,
            ),
            unit(
                "PSV-4110",
                "",
                "membrane relief valve",
                "NO UNIT FITTED",
                None,
            ),
            unit(
                "",
                "TP-0502",
                "brine reject control valve",
                "IN STORE",
                None,
            ),
        ],
        notices: Vec::new(),
        clock: "2026-03-12 14:52".into(),
        clock_may_be_agreed: true,
        people: people(),
    }
}

pub(crate) fn unit() -> UnitSight {
    let past = |byte, started: &str, closed: &str, by: &str, outcome: &str, signed| PastLine {
        in_doubt: 0,
        stream: id(byte),
        started: started.into(),
        closed: closed.into(),
        by: by.into(),
        outcome: outcome.into(),
        signed,
    };
    UnitSight {
        unit: home().units[0].clone(),
        model: "GV-80".into(),
        beside: None,
        past: vec![
            past(
                77,
                "12 Mar 2026",
                "",
                "Odde",
                "PAUSED, TOGETHER, NOT TIGHT",
                false,
            ),
            past(70, "30 Jul 2025", "31 Jul 2025", "Falk", "RETURNED", true),
            past(
                69,
                "18 Nov 2024",
                "19 Nov 2024",
                "Odde",
                "RETURNED, joint redone",
                true,
            ),
        ],
    }
}

pub(crate) fn start() -> StartSight {
    StartSight {
        unit: home().units[0].clone(),
        warnings: Vec::new(),
        offers: vec![Offer {
            sha256: Hash::ZERO,
            number: "P-33-A rev C".into(),
            title: "brine reject control valve".into(),
            options: vec![(
                "positioner".into(),
                "positioner fitted".into(),
                vec![
                    ("yes".into(), "with positioner".into()),
                    ("no".into(), "without".into()),
                ],
            )],
            kit: "K-3302-S".into(),
        }],
        performers: people()[..2].to_vec(),
        leads: people()[2..3].to_vec(),
    }
}

pub(crate) fn resume() -> ResumeSight {
    ResumeSight {
        tag_known: false,
        stream: id(77),
        strip: Strip {
            who: "who?".into(),
            ..strip(
                "Reassemble",
                "PAUSED 15:41, TOGETHER, NOT TIGHT",
                Tone::Watch,
            )
        },
        lines: texts(&[
            "Last kept: nut 3 clicked in pass 2 of 3, Odde 15:41. The laptop was off since.",
            "Loose: bonnet nuts 7 2 6 4 8 in pass 2; gland follower; yoke.",
            "At the unit, with your own eyes:",
            "locks on, by number; PG-12 and vent: reading, what came out; which nut carries the last mark.",
        ]),
        others: Vec::new(),
        people: people()[..2].to_vec(),
    }
}

pub(crate) fn record() -> Record {
    let line = |number, time: &str, text: &str, tone, first_page| RecordLine {
        number,
        time: time.into(),
        by: "Odde".into(),
        text: text.into(),
        tone,
        first_page,
    };
    let mut lines = vec![
        line(
            1,
            "08:02",
            "Started: work order 4711, P-33-A rev C, kit lot 24-119.",
            Tone::Plain,
            false,
        ),
        line(
            2,
            "08:05",
            "Operations released the unit (Vrang).",
            Tone::Held,
            false,
        ),
        line(
            3,
            "14:53",
            "Nut 6 of J1, pass 3: 169 N·m on TW-19, window 115..130 N·m: HIGH by 39 N·m, REJECT.",
            Tone::Stop,
            true,
        ),
        line(
            4,
            "14:58",
            "After HIGH: stud and nut replaced, gasket gap even; this pass again.",
            Tone::Watch,
            true,
        ),
    ];
    lines.extend((5..40).map(|number| {
        line(
            number,
            "15:10",
            "Nut tightened, 122 N·m on TW-19: WITHIN, ACCEPT.",
            Tone::Plain,
            false,
        )
    }));
    Record {
        title: "FV-3302 brine reject control valve, serial TP-0388".into(),
        state: texts(&[
            "P-33-A rev C   RETURNED 13 Mar 2026   signed by Odde and Sefton",
            "Chain of 39 entries: whole. Every signature verified.",
        ]),
        lines,
        rule: "29 CFR 1910.147".into(),
        plan: vec![
            PlanLine {
                source: "brine, upstream".into(),
                kind: "process pressure".into(),
                size: "64 bar".into(),
                isolated_at: texts(&["breaker of pump P-31 off", "V-3301 shut"]),
                method: "breaker of P-31 open, V-3301 shut, drain U open".into(),
                locks: texts(&[
                    "A-1 on breaker of pump P-31, Odde 08:25",
                    "A-2 on V-3301, Odde 08:26",
                ]),
                released: "vent of upstream: flowed and stopped, Odde 08:30".into(),
                proof: "upstream: 0.1 bar g on PG-12, Odde 08:43 (2 more, the last 14:11)".into(),
                note: String::new(),
            },
            PlanLine {
                source: "actuator spring".into(),
                kind: "spring".into(),
                size: "0.4 to 2.0 bar over 20 mm".into(),
                isolated_at: Vec::new(),
                method: "plug open, coupling pin turns by hand".into(),
                locks: Vec::new(),
                released: "turns by hand, Odde 08:47".into(),
                proof: String::new(),
                note: String::new(),
            },
        ],
        demo: true,
    }
}

/// A shipped procedure in which this text was put for that, at its cover, with its approvers.
pub(crate) fn pages(name: &str, put: Option<(&str, &str)>) -> PagesSight {
    let shipped = reseat_procedure::builtin();
    let (_, bytes) = shipped.iter().find(|(file, _)| *file == name).unwrap();
    let text = String::from_utf8(bytes.to_vec()).unwrap();
    let text = match put {
        Some((this, that)) => {
            assert!(text.contains(this), "{this}");
            text.replacen(this, that, 1)
        }
        None => text,
    };
    PagesSight {
        reading: reseat_procedure::Reading::of(text.as_bytes()).unwrap(),
        bytes: text.into_bytes(),
        approvers: Some(vec![(id(9), "Yara Quist".to_owned())]),
        people: people(),
    }
}

pub(crate) fn recall() -> RecallSight {
    let line = |what: &str, reading: &str, truth: &str, stands: &str| RecallLine {
        tag: "FV-3302".into(),
        day: "2026-03-12".into(),
        what: what.into(),
        reading: reading.into(),
        truth: truth.into(),
        stands: stands.into(),
        changed: !stands.starts_with("still"),
    };
    RecallSight {
        asked: RecallAsked {
            instrument: "TW-19".into(),
            since: None,
            found: vec![("91".into(), "100".into()), ("130".into(), "140".into())],
        },
        title: "TW-19  dial torque wrench  40..200 N·m".into(),
        since: "2025-10-20".into(),
        check: "entry 31 of the register".into(),
        service: " still in service ".into(),
        points: texts(&["91 N·m → 100 N·m", "130 N·m → 140 N·m"]),
        lines: vec![
            line("J1 1", "123 N·m", "113.425 N·m", "now LOW"),
            line("J1 5", "130 N·m", "120.25 N·m", "still WITHIN"),
            line("J2 1", "59 N·m", "", "cannot say: outside the bench points"),
        ],
        sum: "1 now LOW, 1 cannot say, 1 still WITHIN. Enter puts them in doubt.".into(),
        signers: people()[2..3].to_vec(),
        demo: true,
    }
}

pub(crate) fn register() -> RegisterSight {
    let line = |key: &str, columns: &[&str], retired| RegisterLine {
        key: key.into(),
        columns: texts(columns),
        retired,
    };
    RegisterSight {
        site_values: [
            "29 CFR 1910.147",
            "10",
            "240",
            "30",
            "12",
            "no",
            "",
            "simple",
        ]
        .map(Into::into),
        site: "Tern Point desalination plant".into(),
        demo: true,
        lists: [
            vec![
                line(
                    &id(1).to_string(),
                    &["Ines Falk", "performer, verifier"],
                    false,
                ),
                line(
                    &id(2).to_string(),
                    &["Rurik Odde", "performer, verifier"],
                    false,
                ),
                line(
                    &id(3).to_string(),
                    &["Mbali Sefton", "releaser, verifier, lead"],
                    false,
                ),
                line(&id(9).to_string(), &["Otto Brandt", "performer"], true),
            ],
            vec![line(
                "FV-3302",
                &["FV-3302", "brine reject", "TP-0388"],
                false,
            )],
            vec![line(
                "TP-0388",
                &["TP-0388", "GV-80", "brine reject control valve", "FV-3302"],
                false,
            )],
            vec![line(
                "TW-19",
                &["TW-19", "dial wrench", "40..200 N·m", "8812", "2026-04-18"],
                false,
            )],
            vec![line(
                "00",
                &[
                    "P-33-A",
                    "C",
                    "brine reject control valve",
                    "approved by Yara Quist",
                ],
                false,
            )],
        ],
        leads: people()[2..3].to_vec(),
        approvers: people()[3..].to_vec(),
        people: people(),
    }
}
