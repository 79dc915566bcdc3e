//! Sample sights under test: a hold, repeated readings, a fall of pressure.

use super::{ask, strip, texts, warn, work};
use reseat::screen::sight::WorkSight;
use reseat_measure::{Place, Unit, Window};
use reseat_procedure::model::SignalWord;
use reseat_record::rebuild::view::{
    Allowed, DecayLine, DecayPoint, DecayView, Gauge, Repeat, RepeatsView, Tone, Way,
};
use reseat_record::rebuild::{Bench, Wants};

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
        "Take it: drop",
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
        "Take it: drop",
        &[(0.0, "70.0"), (600.0, "68.7")],
        DecayLine {
            start: 70.0,
            per_second: -1.3 / 600.0,
        },
    )
}

/// A hold of gas: 70.0 to 69.9 bar in 10 min while it warmed by half a degree, which hides more of the leak than is seen.
pub(crate) fn leaking() -> WorkSight {
    let mut sight = held(
        "Take it: leak",
        &[(0.0, "70.0"), (600.0, "69.9")],
        DecayLine {
            start: 70.0,
            per_second: -0.2207 / 600.0,
        },
    );
    if let Some(view) = &mut sight.decay {
        view.label = "leak".into();
        view.readings[1].at = 69.7793;
        view.allowed = Allowed::Leak(reseat_measure::Quantity::parse("30 mL/min").unwrap());
        view.limit = Some(69.8369);
    }
    sight
}

fn held(question: &str, readings: &[(f64, &str)], line: DecayLine) -> WorkSight {
    let ask = ask(
        151,
        "Hold 70 bar for 10 min.",
        Wants::Act,
        question,
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
                at: text.parse().unwrap(),
            })
            .collect(),
        whole: true,
        by_clock: true,
        line: Some(line),
        minutes: 10.0,
        allowed: Allowed::Change(bar("1.0 bar")),
        limit: Some(69.0),
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

/// A seat that lets gas into its shut chamber: 0.50 to 1.30 psi in 5 min while the wall cooled, which hides more than is seen.
pub(crate) fn let_by() -> WorkSight {
    let mut ask = ask(
        125,
        "Read the seat over 5 min, screw free: outlet rise.",
        Wants::Act,
        "Take it: seat leak",
        Bench::Window("seat-leak".into()),
    );
    ask.detail = vec![
        "seat leak is 9.953 mL/min, window ..8 mL/min.".into(),
        "Worked out: leak into 36 in³ at 0 °C and 101.325 kPa from outlet at start, outlet chamber wall at start, outlet after 5 min, \
         outlet chamber wall after 5 min, time held."
            .into(),
    ];
    let psi = |text: &str| reseat_measure::Quantity::parse(&format!("{text} psi g")).unwrap();
    let reading = |entry, seconds, text: &str, at| DecayPoint {
        entry,
        seconds,
        value: psi(text),
        at,
    };
    let view = DecayView {
        label: "seat leak".into(),
        unit: Unit::Psi,
        readings: vec![
            reading(511, 0.0, "0.50", 0.5),
            reading(514, 300.0, "1.30", 1.7850),
        ],
        whole: true,
        by_clock: true,
        line: Some(DecayLine {
            start: 0.5,
            per_second: 1.2850 / 300.0,
        }),
        minutes: 5.0,
        allowed: Allowed::Leak(reseat_measure::Quantity::parse("8 mL/min").unwrap()),
        limit: Some(1.5329),
        falls: false,
    };
    WorkSight {
        decay: Some(Box::new(view)),
        ..work(
            ask,
            strip("Test", "UNDER TEST, HANDS OFF  CO2 250 psi", Tone::Stop),
        )
    }
}

/// The set spring of a regulator against its figures: pressed too far for its set-point.
pub(crate) fn too_soft() -> WorkSight {
    let mut ask = ask(
        125,
        "Wind the screw in to 3.5 bar.",
        Wants::Act,
        "Take it: outlet pressure by the spring's figures",
        Bench::Window("spring-carries".into()),
    );
    ask.detail = vec![
        "outlet pressure by the spring's figures is 4.200 bar g, window 3.1..3.9 bar g.".into(),
        "Worked out: spring 60 N/mm on 38.5 cm², pressed by the difference of screw above case at first touch of the spring and screw \
         above case at 3.5 bar."
            .into(),
        "HIGH: the spring is softer or the diaphragm larger than its figure. LOW: stiffer or smaller.".into(),
    ];
    WorkSight {
        gauge: Some(Gauge {
            guard: None,
            low: "3.1".into(),
            high: "3.9 bar g".into(),
            readings: Vec::new(),
        }),
        ..work(
            ask,
            strip("Test", "UNDER TEST, HANDS OFF  water 10 bar", Tone::Stop),
        )
    }
}
