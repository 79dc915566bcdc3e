//! Acceptance limits of the decision rules: by hand, and against the rule that judges.

use reseat_measure::acceptance::{Acceptance, acceptance};
use reseat_measure::rule::{Outcome, Rule, Uncertainty, decide};
use reseat_measure::{Quantity, Window};

fn of(window: &str, uncertainty: &str, rule: &str) -> Option<Acceptance> {
    acceptance(
        &Window::parse(window).unwrap(),
        &uncertainty.parse::<Uncertainty>().unwrap(),
        rule.parse().unwrap(),
    )
    .unwrap()
}

fn near(found: Option<f64>, wanted: f64) {
    let found = found.unwrap();
    assert!((found - wanted).abs() < 1e-6, "{found} for {wanted}");
}

#[test]
fn a_guard_band_takes_the_expanded_uncertainty_off_each_end() {
    // ILAC-G8:09/2019, 4.2.2: w = U, so AL = TL - U and TL + U. By hand.
    for rule in ["guarded", "four"] {
        let limits = of("115..130 N·m", "2 N·m (k = 2)", rule).unwrap();
        near(limits.low, 117.0);
        near(limits.high, 128.0);
    }
    // A share of the reading: the lowest x with x - 0.02 x = 115, the highest with x + 0.02 x = 130. By hand.
    let limits = of("115..130 N·m", "2 % (k = 2)", "guarded").unwrap();
    near(limits.low, 115.0 / 0.98);
    near(limits.high, 130.0 / 1.02);
    // One limit only.
    let limits = of("..78 mL/min", "3 mL/min (k = 2)", "guarded").unwrap();
    assert_eq!(limits.low, None);
    near(limits.high, 75.0);
    let limits = of("60.. N·m", "1.5 N·m (k = 2)", "guarded").unwrap();
    near(limits.low, 61.5);
    assert_eq!(limits.high, None);
}

#[test]
fn a_probability_asked_for_moves_the_limit_by_its_quantile() {
    // 0.95 one-sided: 1.644854 standard uncertainties inside (standard normal table; value from memory). u = U / k = 1 N·m.
    let limits = of("100..200 N·m", "2 N·m (k = 2)", "probability 0.95").unwrap();
    assert!(
        (limits.low.unwrap() - 101.644_854).abs() < 1e-5,
        "{limits:?}"
    );
    assert!(
        (limits.high.unwrap() - 198.355_146).abs() < 1e-5,
        "{limits:?}"
    );
    // 0.975: 1.959964.
    let limits = of("..10 bar", "0.2 bar (k = 2)", "probability 0.975").unwrap();
    assert!(
        (limits.high.unwrap() - (10.0 - 0.195_996_4)).abs() < 1e-6,
        "{limits:?}"
    );
}

#[test]
fn where_the_guard_bands_meet_nothing_is_accepted() {
    assert_eq!(of("115..118 N·m", "2 N·m (k = 2)", "guarded"), None);
    assert_eq!(
        of("115..118 N·m", "2 N·m (k = 1)", "probability 0.95"),
        None
    );
    assert!(of("115..118 N·m", "2 N·m (k = 2)", "simple").is_some());
}

#[test]
fn the_limits_are_those_of_the_rule_that_judges() {
    for rule in ["guarded", "four", "probability 0.95", "probability 0.999"] {
        for (window, uncertainty) in [
            ("115..130 N·m", "2 N·m (k = 2)"),
            ("115..130 N·m", "1.5 % (k = 2)"),
            ("..78 N·m", "2 N·m (k = 3)"),
        ] {
            let limits = of(window, uncertainty, rule).unwrap();
            let window = Window::parse(window).unwrap();
            let uncertainty: Uncertainty = uncertainty.parse().unwrap();
            let ruled: Rule = rule.parse().unwrap();
            let outcome = |value: f64| {
                let reading = Quantity::parse(&format!("{value:.6} N·m")).unwrap();
                decide(&window, &reading, Some(&uncertainty), ruled)
                    .unwrap()
                    .outcome
            };
            for (end, inward) in [(limits.low, 1.0), (limits.high, -1.0)] {
                let Some(end) = end else { continue };
                assert_eq!(
                    outcome(end + 0.001 * inward),
                    Outcome::Accept,
                    "{rule} {window}"
                );
                assert_ne!(
                    outcome(end - 0.001 * inward),
                    Outcome::Accept,
                    "{rule} {window}"
                );
            }
        }
    }
}
