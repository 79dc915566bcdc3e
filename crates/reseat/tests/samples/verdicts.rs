//! Sample sights of readings that do not simply pass: beyond strength, not accepted, over a prevailing torque, worn.

use reseat_measure::{Place, Unit, Window};
use reseat_record::rebuild::view::{Gauge, GuardBand, Mark, Tone};
use reseat_record::rebuild::{Bench, Inner, Point, Wants};

use super::joint::joint;
use super::{LOCKED, ask, strip, texts, work};
use reseat::screen::sight::WorkSight;

/// 215 N·m on a nut of J1: above what the stud carries at the lowest friction. Nothing that keeps the stud is offered.
pub(crate) fn stretched() -> WorkSight {
    let wants = Wants::Choice(texts(&[
        "stud and nut replaced, gasket gap even: this pass again from the first",
        "stud and nut replaced, gasket crushed unevenly: new gasket, all passes again",
        "wait for the lead: finding, work stops at this joint",
    ]));
    let mut ask = ask(
        106,
        "Tighten the bonnet nuts.",
        wants,
        "Which, and what did you see?",
        Bench::Joint("J1".into()),
    );
    ask.point = Point::AfterHigh(812);
    ask.notice = texts(&[
        "6 HIGH by 85 N·m. The pattern stops here.",
        "215 N·m is 89 % of the 0.2 % yield at the highest friction of this condition, 118 % at the lowest: the stud has stretched or may have: stud and nut are replaced.",
        "The reading stays in the record.",
    ]);
    ask.detail =
        texts(&["Slacken 6 until it turns by hand. Look at the gasket gap on both sides."]);
    let mut view = joint(true);
    view.values[5] = ("215 N·m".to_owned(), Some(Place::High));
    if let Some(reading) = view
        .gauge
        .as_mut()
        .and_then(|gauge| gauge.readings.last_mut())
    {
        *reading = (6667, Place::High);
    }
    WorkSight {
        joint: Some(view),
        ..work(ask, strip("Reassemble", LOCKED, Tone::Held))
    }
}

/// 116 N·m in 115..130 N·m under four outcomes with U 2 N·m: in the window, too near its low limit.
pub(crate) fn not_accepted() -> WorkSight {
    let wants = Wants::Choice(texts(&[
        "pull on in one smooth motion, then read again",
        "wait for the lead: finding, a person with the role decides",
    ]));
    let mut ask = ask(
        106,
        "Tighten the bonnet nuts.",
        wants,
        "It closes nothing yet. What is done?",
        Bench::Joint("J1".into()),
    );
    ask.point = Point::AfterHigh(812);
    ask.notice = texts(&[
        "6 WITHIN, CONDITIONAL ACCEPT by the rule four: 1 N·m inside the low limit. The pattern stops here.",
        "The reading stays in the record.",
    ]);
    let guard = GuardBand {
        accepts: (Some(133), Some(867)),
        words: "accepted 117..128 N·m (four, U 2 N·m)".into(),
    };
    ask.guard = Some(guard.clone());
    let mut view = joint(false);
    view.values[5] = ("116 N·m".to_owned(), Some(Place::Within));
    if let Some(gauge) = view.gauge.as_mut() {
        gauge.readings.push((67, Place::Within));
        gauge.guard = Some(guard);
    }
    WorkSight {
        joint: Some(view),
        ..work(ask, strip("Reassemble", LOCKED, Tone::Held))
    }
}

/// Locking nuts that turn at 12 lbf·in before they clamp: it stands in target and window.
pub(crate) fn prevailing() -> WorkSight {
    let wants = Wants::Reading {
        unit: Unit::PoundForceInch,
        reference: None,
        instrument: "TW-3".into(),
        window: Window::parse("105..115 lbf·in").ok(),
    };
    let mut ask = ask(
        88,
        "Tighten the clamp nuts.",
        wants,
        "dial reading of 2, on TW-3 (98 lbf·in + prevailing 12 lbf·in)",
        Bench::Joint("J4".into()),
    );
    ask.point = Point::Asked("s88".into(), 1, Inner::Fastener(2, 1, 1));
    let mut view = joint(false);
    view.title = "J4 clamp".into();
    view.wrench = "TW-3 dial 30-150 lbf·in".into();
    view.condition = "clean and dry".into();
    view.fasteners = 2;
    view.order = vec![1, 2];
    (view.pass, view.passes) = (1, 1);
    view.target = "110 lbf·in".into();
    view.prevailing = "98 lbf·in + prevailing 12 lbf·in".into();
    view.next = Some(2);
    view.marks = vec![Mark::Done, Mark::Next];
    view.lines.clear();
    view.values = vec![
        ("109 lbf·in".to_owned(), Some(Place::Within)),
        (String::new(), None),
    ];
    view.gauge = Some(Gauge {
        guard: None,
        low: "105".into(),
        high: "115 lbf·in".into(),
        readings: vec![(400, Place::Within)],
    });
    WorkSight {
        joint: Some(view),
        ..work(ask, strip("Reassemble", LOCKED, Tone::Held))
    }
}

/// A stem against its wear limit of 15.950 mm: read worn, sent to rework, and asked again.
pub(crate) fn worn() -> WorkSight {
    let wants = Wants::Reading {
        unit: Unit::Millimetre,
        reference: None,
        instrument: "MI-1".into(),
        window: Window::parse("15.950.. mm").ok(),
    };
    let mut ask = ask(
        64,
        "Measure the stem where it runs in the bush.",
        wants,
        "stem, on MI-1",
        Bench::Window("stem-in-bush".into()),
    );
    ask.notice = texts(&["Before: 15.930 mm LOW."]);
    WorkSight {
        gauge: Some(Gauge {
            guard: None,
            low: "15.950 mm".into(),
            high: String::new(),
            readings: vec![(-100, Place::Low)],
        }),
        ..work(ask, strip("Inspect", LOCKED, Tone::Held))
    }
}
