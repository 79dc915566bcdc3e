//! At a limit and with one limit only: what is shown, judged and believed there.

use proptest::prelude::*;
use reseat_measure::acceptance::acceptance;
use reseat_measure::instrument::{Fitness, Instrument, Standing, Unfit, fitness};
use reseat_measure::{Adapter, InstrumentKind, Outcome, Place, Rule, Uncertainty, decide};

use crate::{q, w};

const RULES: [&str; 4] = ["guarded", "four", "probability 0.9", "probability 0.999"];

proptest! {
    /// A thousandth of the uncertainty to either side of a limit shown, the rule that judges agrees with it: for one limit or
    /// two, an amount or a share of the reading, above and below nought.
    #[test]
    fn the_limits_shown_are_those_judged_by(
        low in -500_i32..500,
        width in 1_i32..400,
        one_sided in 0..3,
        share in any::<bool>(),
        size in 1_i64..50,
        rule in 0..RULES.len(),
    ) {
        let (from, to) = (format!("{low}"), format!("{}", low + width));
        let window = match one_sided {
            0 => w(&format!("{from}..{to} bar")),
            1 => w(&format!("{from}.. bar")),
            _ => w(&format!("..{to} bar")),
        };
        let unit = if share { "%" } else { "bar" };
        let uncertainty: Uncertainty = format!("0.{size:02} {unit} (k = 2)").parse().unwrap();
        let ruled: Rule = RULES[rule].parse().unwrap();
        let accepts = |value: f64| {
            let reading = q(&format!("{value:.9} bar"));
            decide(&window, &reading, Some(&uncertainty), ruled).unwrap().outcome == Outcome::Accept
        };
        let Some(shown) = acceptance(&window, &uncertainty, ruled).unwrap() else {
            prop_assert!(!accepts(f64::midpoint(f64::from(low), f64::from(low + width))));
            return Ok(());
        };
        prop_assert_eq!(shown.low.is_some(), window.low().is_some());
        prop_assert_eq!(shown.high.is_some(), window.high().is_some());
        for (end, inward) in [(shown.low, 1e-6), (shown.high, -1e-6)] {
            if let Some(end) = end {
                prop_assert!(accepts(end + inward), "{} {}", window, end);
                prop_assert!(!accepts(end - inward), "{} {}", window, end);
            }
        }
    }
}

/// One half at the only limit, the normal distribution's share to either side of it (z = 1: 0.841345, z = 3: 0.998650, JCGM 106:2012,
/// 7.4), and no tail at the end that is open.
#[test]
fn with_one_limit_only_the_other_tail_counts_for_nothing() {
    let uncertainty: Uncertainty = "2 N·m (k = 2)".parse().unwrap();
    let chance = |window: &str, reading: &str| {
        let decision = decide(&w(window), &q(reading), Some(&uncertainty), Rule::Simple).unwrap();
        decision.probability_text().unwrap()
    };
    for (window, inward) in [("..130 N·m", -1), ("130.. N·m", 1)] {
        for (steps, wanted) in [
            (0, "0.500000"),
            (1, "0.841345"),
            (-1, "0.158655"),
            (3, "0.998650"),
            (-3, "0.001350"),
            (100, "1.000000"),
        ] {
            let reading = format!("{} N·m", 130 + inward * steps);
            assert_eq!(chance(window, &reading), wanted, "{window} {reading}");
        }
    }
    // On the limit it is in, and no rule that counts the uncertainty accepts it.
    for window in ["..130 N·m", "130.. N·m", "115..130 N·m"] {
        let at = |rule: &str| {
            decide(
                &w(window),
                &q("130 N·m"),
                Some(&uncertainty),
                rule.parse().unwrap(),
            )
            .unwrap()
        };
        assert_eq!(at("simple").judgement.place, Place::Within);
        assert_eq!(at("simple").outcome, Outcome::Accept);
        assert_eq!(at("guarded").outcome, Outcome::Reject);
        assert_eq!(at("four").outcome, Outcome::ConditionalAccept);
        assert_eq!(at("probability 0.95").outcome, Outcome::Reject);
    }
}

/// Noughts behind the point are not typed: a number with fewer digits than the instrument resolves is that number, nothing is rounded
/// towards a limit, and one step of the scale beyond it is beyond it.
#[test]
fn fewer_digits_than_the_scale_resolves_are_judged_as_typed() {
    let gauge = gauge("0..16 bar", "0.05 bar", "0.16 bar");
    let window = w("9.0..10.0 bar");
    let judge =
        |typed: &str| decide(&window, &gauge.read(typed).unwrap(), None, Rule::Simple).unwrap();
    for typed in ["10", "10.0", "10.00", "9", "9.0", "9.00"] {
        let judgement = judge(typed).judgement;
        assert_eq!(judgement.place, Place::Within, "{typed}");
        assert_eq!(judgement.distance.decimal().digits(), 0, "{typed}");
    }
    assert_eq!(judge("10.05").judgement.place, Place::High);
    assert_eq!(judge("10.001").judgement.place, Place::High);
    assert_eq!(judge("8.95").judgement.place, Place::Low);
    assert_eq!(judge("8.999").judgement.place, Place::Low);
}

fn gauge(range: &str, step: &str, deviation: &str) -> Instrument {
    let deviation = deviation.parse().unwrap();
    Instrument::new(InstrumentKind::PressureGauge, w(range), q(step), deviation).unwrap()
}

fn fit(gauge: &Instrument, window: &str) -> Fitness {
    fitness(gauge, &w(window), Standing::default()).unwrap()
}

/// With one limit the tolerance is the size of that limit: 4 × 0.16 bar = 0.64 bar.
#[test]
fn a_gauge_is_held_against_the_only_limit_of_a_window() {
    let gauge = gauge("0..16 bar", "0.05 bar", "0.16 bar");
    for (window, fits) in [
        ("..0.64 bar", true),
        ("..0.63 bar", false),
        ("0.64.. bar", true),
        ("0.63.. bar", false),
        ("..16 bar", true),
    ] {
        assert_eq!(fit(&gauge, window).fits(), fits, "{window}");
    }
    // Nothing may pass: no gauge with an error tells nothing from a little.
    assert!(matches!(
        fit(&gauge, "..0 bar").against.as_slice(),
        [Unfit::ErrorTooLarge { .. }]
    ));
    assert!(matches!(
        fit(&gauge, "..17 bar").against.as_slice(),
        [Unfit::OutOfRange { .. }]
    ));
    assert!(matches!(
        fit(&gauge, "-1.. bar").against.as_slice(),
        [Unfit::OutOfRange { .. }]
    ));
    assert!((fit(&gauge, "..1.6 bar").error_share - 0.1).abs() < 1e-12);
}

/// A share of the reading is largest at the end farther from nought: 5 % of 0.9 bar is 0.045 bar, four times that is 0.18 bar; at
/// the other end, 0.7 bar, it would have been 0.14 bar and the window wide enough.
#[test]
fn below_nought_the_error_is_that_of_the_deeper_vacuum() {
    let gauge = gauge("-1..0 bar", "0.01 bar", "5 % of reading");
    assert!(!fit(&gauge, "-0.9..-0.73 bar").fits());
    assert!(fit(&gauge, "-0.9..-0.72 bar").fits());
}

proptest! {
    /// What the wrench shows inside its window is inside the window at the nut, at every angle.
    #[test]
    fn a_window_through_an_adapter_never_shows_more_than_it_holds(
        low in 10_u32..200,
        width in 1_u32..60,
        length in -110_i32..200,
        angle in 0_u32..180,
        at in 0_u32..=1000,
    ) {
        let given = ["300 mm".to_owned(), format!("{length} mm"), format!("{angle} deg")].map(|text| q(&text));
        let Ok(adapter) = Adapter::new(given[0], given[1], given[2]) else {
            return Ok(());
        };
        let window = w(&format!("{low}..{} N·m", low + width));
        let shown = adapter.window_shown(&window).unwrap();
        let ends = [shown.low(), shown.high()].map(|end| end.unwrap().decimal().to_f64());
        for value in [ends[0], ends[1], ends[0] + (ends[1] - ends[0]) * f64::from(at) / 1000.0] {
            let at_nut = value * adapter.ratio();
            let (low, high) = (f64::from(low) - 1e-9, f64::from(low + width) + 1e-9);
            prop_assert!((low..=high).contains(&at_nut), "{} shows {} for {}", adapter.ratio(), shown, window);
        }
    }
}
