//! Sample sights of a joint being tightened: a reading, a pass, a click wrench, a guarded window, HIGH.

use super::{LOCKED, ask, strip, texts, warn, work};
use reseat::screen::sight::WorkSight;
use reseat_measure::{Place, Unit, Window};
use reseat_procedure::model::SignalWord;
use reseat_record::rebuild::view::{Gauge, GuardBand, JointView, Mark, Tone};
use reseat_record::rebuild::{Bench, Inner, Point, Wants};

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
        load: "at most 73 % of the 0.2 % yield, at least 359 kN; last 68 %".into(),
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
        "169 N·m is 70 % of the 0.2 % yield at the highest friction of this lubricant, 93 % at the lowest: the stud may have stretched. The reading stays in the record.",
    ]);
    ask.detail =
        texts(&["Slacken nut 6 until it turns by hand. Look at the gasket gap on both sides."]);
    WorkSight {
        joint: Some(joint(true)),
        ..work(ask, strip("Reassemble", LOCKED, Tone::Held))
    }
}
