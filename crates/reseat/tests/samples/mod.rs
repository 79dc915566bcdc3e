//! Sample sights of the invented Tern Point site, as the runner would hand them over. Numbers are illustrative.

#![allow(dead_code, reason = "the benchmark uses a part of it")]

pub(crate) mod verdicts;

use std::time::Duration;

use reseat::screen::message::RecallAsked;
use reseat::screen::sight::{
    HomeSight, Offer, PagesSight, PastLine, RecallLine, RecallSight, RegisterLine, RegisterSight,
    ResumeSight, StartSight, UnitLine, UnitSight, WorkSight,
};
use reseat_measure::{Place, Unit, Window};
use reseat_procedure::model::{SignalWord, Warning};
use reseat_record::log::{Hash, Id};
use reseat_record::rebuild::ask::{GroupLine, Neighbour, StepAt};
use reseat_record::rebuild::view::{
    DecayLine, DecayPoint, DecayView, EnergyLine, Gauge, GuardBand, JointView, Mark, OpenItem,
    PartLine, PlanLine, RecordLine, Repeat, RepeatsView, StepLine, Strip, Tone, Way,
};
use reseat_record::rebuild::{Ask, Bench, Inner, Point, Wants};
use reseat_report::Record;

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
        wait_left: None,
        by: Some(id(2)),
        people: people(),
        may_leave: false,
        unsealed: std::collections::BTreeSet::new(),
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

pub(crate) fn joint(high: bool) -> JointView {
    let place = |value: &str, place| (value.to_owned(), Some(place));
    let none = || (String::new(), None);
    let mut marks = vec![
        Mark::Done,
        Mark::Done,
        Mark::Done,
        Mark::Open,
        Mark::Done,
        Mark::Next,
        Mark::Done,
        Mark::Open,
    ];
    let mut values = vec![
        place("121 N·m", Place::Within),
        place("121 N·m", Place::Within),
        place("122 N·m", Place::Within),
        none(),
        place("123 N·m", Place::Within),
        none(),
        place("124 N·m", Place::Within),
        none(),
    ];
    let mut readings = vec![
        (400, Place::Within),
        (467, Place::Within),
        (533, Place::Within),
        (600, Place::Within),
    ];
    if high {
        marks[5] = Mark::High;
        values[5] = place("169 N·m", Place::High);
        readings.push((3600, Place::High));
    }
    JointView {
        title: "J1 body to bonnet".into(),
        wrench: "TW-19 dial 40-200 N·m".into(),
        condition: "nickel anti-seize, nut face".into(),
        fasteners_named: "nuts".into(),
        fasteners: 8,
        order: vec![1, 5, 3, 7, 2, 6, 4, 8],
        pass: 3,
        passes: 3,
        target: "122 N·m".into(),
        prevailing: String::new(),
        next: (!high).then_some(6),
        marks,
        lines: texts(&["pass 1   8 of 8 at 40 N·m", "pass 2   8 of 8 at 80 N·m"]),
        values,
        gauge: Some(Gauge {
            guard: None,
            low: "115".into(),
            high: "130 N·m".into(),
            readings,
        }),
    }
}

const LOCKED: &str = "LOCKED 4 of 4, yours on, ZERO READ 14:21 (31 min)";

fn warn(word: SignalWord, text: &str) -> Vec<Warning> {
    vec![Warning {
        word,
        text: text.into(),
    }]
}

pub(crate) fn tightening() -> WorkSight {
    let wants = Wants::Reading {
        unit: Unit::NewtonMetre,
        reference: None,
        instrument: "TW-19".into(),
        window: Window::parse("115..130 N·m").ok(),
    };
    let mut ask = ask(
        106,
        "Tighten the bonnet nuts.",
        wants,
        "dial reading of nut 6",
        Bench::Joint("J1".into()),
    );
    ask.point = Point::Asked("s106".into(), 1, Inner::Fastener(3, 6, 1));
    ask.warnings = warn(
        SignalWord::Warning,
        "A stud under load can break. Keep your face out of its line.",
    );
    WorkSight {
        joint: Some(joint(false)),
        last: texts(&["nut 1  122   nut 5  120   nut 3  121"]),
        ..work(ask, strip("Reassemble", LOCKED, Tone::Held))
    }
}

/// Tightening under a guarded rule: U 2 N·m of the wrench taken off each end of the window.
pub(crate) fn guarded() -> WorkSight {
    let mut sight = tightening();
    let guard = GuardBand {
        accepts: (Some(133), Some(867)),
        words: "accepted 117..128 N·m (guarded, U 2 N·m)".into(),
    };
    sight.ask.guard = Some(guard.clone());
    if let Some(gauge) = sight.joint.as_mut().and_then(|joint| joint.gauge.as_mut()) {
        gauge.guard = Some(guard);
    }
    sight
}

/// A nut pulled with a click wrench, in the same pass.
pub(crate) fn clicking(next: u32) -> WorkSight {
    let mut sight = pass(next);
    sight.ask.wants = Wants::Fastener {
        next,
        of: 8,
        says: "clicked",
        instead: &["clicked without moving", "did not click"],
    };
    sight.ask.prompt = format!("Pull nut {next} until it clicks at 80 N·m");
    sight
}

pub(crate) fn pass(next: u32) -> WorkSight {
    let mut sight = tightening();
    sight.ask.wants = Wants::Fastener {
        next,
        of: 8,
        says: "pulled",
        instead: &[],
    };
    sight.ask.prompt = format!("pull nut {next} to 80 N·m, then its number");
    sight.ask.point = Point::Asked("s106".into(), 1, Inner::Fastener(2, next, 1));
    if let Some(joint) = &mut sight.joint {
        joint.pass = 2;
        joint.next = Some(next);
        joint.target = "80 N·m".into();
        joint.lines.truncate(1);
        joint.values = vec![(String::new(), None); 8];
        joint.marks = (1..=8)
            .map(|nut| if nut == next { Mark::Next } else { Mark::Open })
            .collect();
    }
    sight
}

pub(crate) fn high() -> WorkSight {
    let wants = Wants::Choice(texts(&[
        "stud and nut replaced, gasket gap even: this pass again from nut 1",
        "gasket unloaded or crushed unevenly: new gasket, all passes again",
        "wait for the lead: finding, work stops at this joint",
    ]));
    let mut ask = ask(
        106,
        "Tighten the bonnet nuts.",
        wants,
        "which, and what did you see?",
        Bench::Joint("J1".into()),
    );
    ask.point = Point::AfterHigh(812);
    ask.notice = texts(&[
        "Nut 6 HIGH by 39 N·m. The pattern stops here.",
        "169 N·m is 70 % of yield at the highest friction of this lubricant, 93 % at the lowest: the stud may have stretched. The reading stays in the record.",
    ]);
    ask.detail =
        texts(&["Slacken nut 6 until it turns by hand. Look at the gasket gap on both sides."]);
    WorkSight {
        joint: Some(joint(true)),
        ..work(ask, strip("Reassemble", LOCKED, Tone::Held))
    }
}

pub(crate) fn isolating() -> WorkSight {
    let mut ask = ask(
        31,
        "Hang lock and tag on AV-3302.",
        Wants::Text,
        "lock number on AV-3302",
        Bench::Isolation,
    );
    ask.warnings = warn(
        SignalWord::Warning,
        "Pressure can be trapped on either side of the plug.",
    );
    work(
        ask,
        strip(
            "Make safe",
            "NOT LOCKED: 1 of 3 on, zero not proved",
            Tone::Watch,
        ),
    )
}

pub(crate) fn lock_off() -> WorkSight {
    let wants = Wants::Choice(texts(&[
        "vent, cap, back off, lower: whatever makes it safer",
        "put lock 418 or another back on HV-3304",
        "hand over, or leave it with a tag",
    ]));
    let mut ask = ask(106, "", wants, "which?", Bench::Isolation);
    ask.step = None;
    ask.point = Point::LockBack("HV-3304".into());
    ask.notice =
        texts(&["Hands off. Lock 418 on HV-3304 is recorded off by its owner, Falk, 15:38."]);
    ask.detail = texts(&["What is open now:"]);
    work(
        ask,
        strip(
            "Reassemble",
            "LOCKED 3 of 4: lock 418 recorded OFF 15:38",
            Tone::Stop,
        ),
    )
}

pub(crate) fn orientation() -> WorkSight {
    let wants = Wants::Choice(texts(&["sharp edge", "chamfered edge", "cannot tell"]));
    let mut ask = ask(
        102,
        "Fit the seat ring, sharp edge down.",
        wants,
        "edge",
        Bench::Steps,
    );
    ask.blank = true;
    ask.detail = texts(&["Which edge touches the depth gauge first?"]);
    ask.warnings = warn(
        SignalWord::Notice,
        "A scratch on the seating edge leaks. Set the ring down on cloth only.",
    );
    work(
        ask,
        strip(
            "Reassemble",
            "LOCKED 4 of 4, yours on, ZERO READ 13:41 (21 min)",
            Tone::Held,
        ),
    )
}

pub(crate) fn plain_act() -> WorkSight {
    let mut ask = ask(
        103,
        "Fit the cage, its window to the outlet.",
        Wants::Act,
        "the cage is in",
        Bench::Steps,
    );
    ask.group = [
        (103, "Fit the cage, its window to the outlet."),
        (104, "Lay the bonnet gasket in its groove."),
        (105, "Wipe both flange faces with lint-free cloth."),
    ]
    .into_iter()
    .map(|(number, text)| GroupLine {
        number,
        text: text.into(),
    })
    .collect();
    work(ask, strip("Reassemble", LOCKED, Tone::Held))
}

pub(crate) fn waiting(over: bool) -> WorkSight {
    let wants = Wants::Wait {
        until: Some("2026-03-12T18:46:00.000Z".into()),
        over,
    };
    let ask = ask(
        120,
        "Let the gasket rest for 4 h before the re-check.",
        wants,
        "rest until 19:46",
        Bench::Steps,
    );
    WorkSight {
        wait_left: (!over).then_some(Duration::from_secs(40)),
        ..work(ask, strip("Rest", LOCKED, Tone::Watch))
    }
}

pub(crate) fn testing() -> WorkSight {
    let wants = Wants::Reading {
        unit: Unit::Bar,
        reference: Some(reseat_measure::Reference::Gauge),
        instrument: "PG-14".into(),
        window: Window::parse("94.4.. bar g").ok(),
    };
    let mut ask = ask(
        140,
        "Shell test, water, stage 2 of 2: 96 bar, hold 10 min.",
        wants,
        "PG-14 at 20:15",
        Bench::Test,
    );
    ask.warnings = warn(
        SignalWord::Danger,
        "A body under 96 bar can throw a stud. Behind the screen, 3 m clear.",
    );
    WorkSight {
        test: texts(&[
            "20:05   48 bar    stage 1",
            "20:10   96.0 bar  start of hold",
            "20:12   95.8 bar",
        ]),
        gauge: Some(Gauge {
            guard: None,
            low: "94.4".into(),
            high: "bar g".into(),
            readings: vec![(700, Place::Within), (620, Place::Within)],
        }),
        ..work(
            ask,
            strip(
                "Test",
                "UNDER TEST, HANDS OFF  water 96 bar in the body",
                Tone::Stop,
            ),
        )
    }
}

/// Opening read rising and falling: 11.9, 12.0, 12.1 and 11.7, 11.8, worked by hand as mean 11.9, spread 0.2, means 12.0 and
/// 11.75.
pub(crate) fn repeating() -> WorkSight {
    let wants = Wants::Reading {
        unit: Unit::Bar,
        reference: Some(reseat_measure::Reference::Gauge),
        instrument: "PG-14".into(),
        window: Window::parse("11.5..12.5 bar g").ok(),
    };
    let prompt = "holding pressure 3, falling, on PG-14";
    let ask = ask(
        141,
        "Read the holding pressure, falling, three times.",
        wants,
        prompt,
        Bench::Window("holding-3".into()),
    );
    let read = |entry, way, text| Repeat {
        entry,
        way: Some(way),
        value: reseat_measure::Quantity::parse(text).unwrap(),
    };
    let within = |at| (at, Place::Within);
    WorkSight {
        repeats: Some(Box::new(RepeatsView {
            name: "opening and holding pressure".into(),
            set: "12 bar g".into(),
            unit: "bar".into(),
            decimals: 2,
            figures: Some(reseat_measure::SetPoint {
                error: -0.1,
                repeatability: 0.2,
                hysteresis: Some(0.25),
                deviation: None,
                mean: 11.9,
            }),
            marks: Gauge {
                guard: None,
                low: "11.5".into(),
                high: "12.5 bar g".into(),
                readings: [400, 500, 600, 200, 300].map(within).to_vec(),
            },
            readings: vec![
                read(501, Way::Rising, "11.9 bar g"),
                read(502, Way::Rising, "12.0 bar g"),
                read(503, Way::Rising, "12.1 bar g"),
                read(504, Way::Falling, "11.7 bar g"),
                read(505, Way::Falling, "11.8 bar g"),
            ],
            of: 6,
        })),
        ..work(
            ask,
            strip("Test", "UNDER TEST, HANDS OFF  air 12 bar", Tone::Stop),
        )
    }
}

/// A hold of 10 min from 70.0 to 69.4 bar, looked at twice on the way; it may fall 1.0 bar.
pub(crate) fn holding() -> WorkSight {
    let readings = [
        (0.0, "70.0"),
        (200.0, "69.8"),
        (410.0, "69.6"),
        (612.0, "69.4"),
    ];
    held(
        &readings,
        DecayLine {
            start: 70.0,
            per_second: -0.6 / 612.0,
        },
    )
}

/// The same with a start and an end alone, and too much gone.
pub(crate) fn held_of_two() -> WorkSight {
    held(
        &[(0.0, "70.0"), (600.0, "68.7")],
        DecayLine {
            start: 70.0,
            per_second: -1.3 / 600.0,
        },
    )
}

fn held(readings: &[(f64, &str)], line: DecayLine) -> WorkSight {
    let ask = ask(
        151,
        "Hold 70 bar for 10 min.",
        Wants::Act,
        "Take it: drop",
        Bench::Window("shell-drop".into()),
    );
    let bar = |text: &str| reseat_measure::Quantity::parse(text).unwrap();
    let view = DecayView {
        label: "drop".into(),
        unit: Unit::Bar,
        readings: readings
            .iter()
            .zip(511..)
            .map(|((seconds, text), entry)| DecayPoint {
                entry,
                seconds: *seconds,
                value: bar(&format!("{text} bar g")),
            })
            .collect(),
        whole: true,
        by_clock: true,
        line: Some(line),
        minutes: 10,
        allowed: bar("1.0 bar"),
        falls: true,
    };
    WorkSight {
        decay: Some(Box::new(view)),
        ..work(
            ask,
            strip("Test", "UNDER TEST, HANDS OFF  water 70 bar", Tone::Stop),
        )
    }
}

pub(crate) fn open_items() -> WorkSight {
    let wants = Wants::Signature {
        meaning: "performed",
        among: people()[..2].to_vec(),
    };
    let mut ask = ask(
        168,
        "Sign the record.",
        wants,
        "who signs as performer?",
        Bench::Open,
    );
    ask.kind = "signature";
    let item = |text: &str, remedy: &str| OpenItem {
        text: text.into(),
        remedy: remedy.into(),
    };
    WorkSight {
        open: vec![
            item(
                "Finding 2: scratch on the seat ring, not decided.",
                "Sefton or another releaser decides it.",
            ),
            item(
                "Step 104 is NOT VERIFIED.",
                "A verifier looks and signs, or a finding is written.",
            ),
            item(
                "Lock 418 is not recorded off.",
                "Its owner takes it off and says so.",
            ),
        ],
        ..work(
            ask,
            strip("Sign", "TOGETHER, NOT TESTED  3 of 4 locks on", Tone::Watch),
        )
    }
}

pub(crate) fn balance() -> WorkSight {
    let ask = ask(
        100,
        "Count the parts before the joint hides them.",
        Wants::Count,
        "parts on the bench",
        Bench::Parts,
    );
    work(ask, strip("Reassemble", LOCKED, Tone::Held))
}

pub(crate) fn hostile() -> WorkSight {
    let mut sight = plain_act();
    sight.ask.prompt = "a\u{202e}b \u{1b}[2J c\u{200b}d".into();
    sight.ask.detail = texts(&["\u{2066}x\u{9b}31m"]);
    sight.strip.name = "\u{202e}evlav".into();
    sight
}

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
        beside: String::new(),
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
            line("J2 1", "59 N·m", "", "cannot say"),
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
