//! Decision rules and slipped units; instruments, their fitness and adapters in a part of their own.

mod acceptance;
mod instruments;
mod limits;

use proptest::prelude::*;
use reseat_measure::rule::{conformity, upper_tail};
use reseat_measure::{
    Decimal, Outcome, Place, Quantity, Rule, RuleError, Slip, Uncertainty, Unit, Window, decide,
    slip_candidates,
};

use crate::{q, w};

/// y, u, TL, TU, probability. Source: JCGM 106:2012 7.4 (inputs of the oil example; value computed, printed 0.66 from memory), a published
/// test of N(10, 0.4) in 9..11 (nonconformance 0.01242), and the torque window 30..34 N·m with u = 0.5 (computed).
const CONFORMITY: [(f64, f64, f64, f64, f64); 6] = [
    (13.6, 1.8, 12.5, 16.3, 0.6626297864953079),
    (10.0, 0.4, 9.0, 11.0, 0.9875806693484477),
    (32.0, 0.5, 30.0, 34.0, 0.9999366575163338),
    (33.0, 0.5, 30.0, 34.0, 0.9772498670652331),
    (34.0, 0.5, 30.0, 34.0, 0.4999999999999994),
    (34.5, 0.5, 30.0, 34.0, 0.15865525393145707),
];

#[test]
fn probabilities_of_jcgm_106() {
    for (y, u, low, high, wanted) in CONFORMITY {
        let found = conformity(y, u, Some(low), Some(high));
        assert!((found - wanted).abs() < 1e-14, "{y}: {found} {wanted}");
    }
    assert!((1.0 - conformity(10.0, 0.4, Some(9.0), Some(11.0)) - 0.01242).abs() < 5e-6);
    // One-sided quantiles of the normal distribution.
    for (p, z) in [
        (0.8, 0.8416212335729143),
        (0.9, 1.2815515655446004),
        (0.95, 1.6448536269514722),
        (0.975, 1.959963984540054),
        (0.99, 2.3263478740408408),
        (0.999, 3.090232306167813),
    ] {
        assert!((1.0 - upper_tail(z) - p).abs() < 1e-14, "{p}");
    }
    // The deep tail, where one minus a sum would lose its digits (half the C library's erfc of 6/√2, run by hand).
    assert!((upper_tail(6.0) / 9.865876450377012e-10 - 1.0).abs() < 1e-13);
    // Chance of false acceptance at an acceptance limit w = r·U from the tolerance limit, k = 2. ILAC-G8:09/2019 (rows 3, 1.5, 0.83, -1 from
    // memory; w = U below 2.5 % and w = 0 at most 50 % read).
    for (ratio, chance) in [
        (3.0, 9.865877004244794e-10),
        (1.5, 0.0013498980316301035),
        (1.0, 0.02275013194817921),
        (0.83, 0.048457226266722775),
        (0.0, 0.5),
        (-1.0, 0.9772498680518208),
    ] {
        let found = upper_tail(2.0 * ratio);
        assert!((found - chance).abs() < 1e-15, "{ratio}: {found}");
    }
}

#[test]
fn rules_of_ilac_g8() {
    let window = w("30..34 N·m");
    let uncertainty = Uncertainty::parse("1.0 N·m", "2").expect("uncertainty");
    let table = [
        // reading, place, simple, guarded, four, probability 0.95
        (
            "32 N·m",
            Place::Within,
            "ACCEPT",
            "ACCEPT",
            "ACCEPT",
            "ACCEPT",
        ),
        (
            "33 N·m",
            Place::Within,
            "ACCEPT",
            "ACCEPT",
            "ACCEPT",
            "ACCEPT",
        ),
        (
            "33.1 N·m",
            Place::Within,
            "ACCEPT",
            "REJECT",
            "CONDITIONAL ACCEPT",
            "ACCEPT",
        ),
        (
            "33.2 N·m",
            Place::Within,
            "ACCEPT",
            "REJECT",
            "CONDITIONAL ACCEPT",
            "REJECT",
        ),
        (
            "34 N·m",
            Place::Within,
            "ACCEPT",
            "REJECT",
            "CONDITIONAL ACCEPT",
            "REJECT",
        ),
        (
            "34.1 N·m",
            Place::High,
            "REJECT",
            "REJECT",
            "CONDITIONAL REJECT",
            "REJECT",
        ),
        (
            "35 N·m",
            Place::High,
            "REJECT",
            "REJECT",
            "CONDITIONAL REJECT",
            "REJECT",
        ),
        (
            "35.01 N·m",
            Place::High,
            "REJECT",
            "REJECT",
            "REJECT",
            "REJECT",
        ),
        (
            "31 N·m",
            Place::Within,
            "ACCEPT",
            "ACCEPT",
            "ACCEPT",
            "ACCEPT",
        ),
        (
            "30.99 N·m",
            Place::Within,
            "ACCEPT",
            "REJECT",
            "CONDITIONAL ACCEPT",
            "ACCEPT",
        ),
        (
            "29.5 N·m",
            Place::Low,
            "REJECT",
            "REJECT",
            "CONDITIONAL REJECT",
            "REJECT",
        ),
        ("28 N·m", Place::Low, "REJECT", "REJECT", "REJECT", "REJECT"),
    ];
    for (reading, place, simple, guarded, four, probability) in table {
        for (rule, wanted) in [
            ("simple", simple),
            ("guarded", guarded),
            ("four", four),
            ("probability 0.95", probability),
        ] {
            let rule: Rule = rule.parse().expect("rule");
            let found = decide(&window, &q(reading), Some(&uncertainty), rule).expect("decided");
            assert_eq!(
                (found.judgement.place, found.outcome.words()),
                (place, wanted),
                "{reading} {rule}"
            );
        }
    }
    let at_limit = decide(&window, &q("34 N·m"), Some(&uncertainty), Rule::Four).expect("decided");
    assert_eq!(at_limit.probability_text().as_deref(), Some("0.500000"));
}

#[test]
fn rules_need_what_they_need() {
    let window = w("25..30 lbf·ft");
    let plain = decide(&window, &q("300 in-lb"), None, Rule::Simple).expect("decided");
    assert_eq!(
        (plain.judgement.place, plain.outcome, plain.probability),
        (Place::Within, Outcome::Accept, None)
    );
    for rule in ["guarded", "four", "probability 0.95"] {
        let rule = rule.parse().expect("rule");
        assert!(matches!(
            decide(&window, &q("300 in-lb"), None, rule),
            Err(RuleError::NeedsUncertainty(_))
        ));
    }
    // A percentage counts on the reading: 2 % of 25 lbf·ft is 0.5, k = 2 gives u = 0.25; at the limit, half.
    let percent = Uncertainty::parse("2 %", "2").expect("uncertainty");
    let found = decide(&window, &q("300 in-lb"), Some(&percent), Rule::Guarded).expect("decided");
    assert_eq!(found.outcome, Outcome::Reject);
    assert_eq!(found.probability_text().as_deref(), Some("0.500000"));
    let on_guard = decide(
        &window,
        &q("25.51021 lbf·ft"),
        Some(&percent),
        Rule::Guarded,
    )
    .expect("decided");
    assert_eq!(on_guard.outcome, Outcome::Accept);
    let under_guard =
        decide(&window, &q("25.5102 lbf·ft"), Some(&percent), Rule::Guarded).expect("decided");
    assert_eq!(under_guard.outcome, Outcome::Reject);
    for (size, coverage) in [
        ("-1 %", "2"),
        ("1 %", "0"),
        ("1 %", "-2"),
        ("1", "2"),
        ("1 %", "x"),
    ] {
        assert!(
            Uncertainty::parse(size, coverage).is_err(),
            "{size} {coverage}"
        );
    }
    for bad in [
        "probability 0.5",
        "probability 1",
        "probability 95",
        "probability",
        "strict",
        "",
    ] {
        assert!(bad.parse::<Rule>().is_err(), "{bad}");
    }
    for text in ["simple", "guarded", "four", "probability 0.950"] {
        assert_eq!(
            text.parse::<Rule>().map(|rule| rule.to_string()),
            Ok(text.to_owned())
        );
    }
    assert_eq!(
        "0.5 N·m (k = 2)"
            .parse::<Uncertainty>()
            .map(|u| u.to_string()),
        Ok("0.5 N·m (k = 2)".to_owned())
    );
    assert_eq!(
        "1 %".parse::<Uncertainty>().map(|u| u.to_string()),
        Ok("1 % (k = 2)".to_owned())
    );
    assert!("1 psi".parse::<Uncertainty>().map_or(true, |u| {
        decide(&window, &q("26 ft-lb"), Some(&u), Rule::Four).is_err()
    }));
}

#[test]
fn every_slip_between_every_pair_of_units_is_found() {
    let units = [
        Unit::NewtonMetre,
        Unit::PoundForceFoot,
        Unit::PoundForceInch,
    ];
    for scale in units {
        for read_as in units {
            let wanted = Decimal::new(1000, 1).expect("hundred");
            let window = Window::new(
                Some(Decimal::new(98, 0).expect("low")),
                Some(Decimal::new(102, 0).expect("high")),
                scale,
                None,
            )
            .expect("window");
            // The number on the other scale that is the wanted torque, typed as if it stood on this one.
            let number = Quantity::new(wanted, scale, None)
                .and_then(|q| q.to(read_as, 3, reseat_measure::Rounding::Nearest))
                .expect("number");
            let typed = Quantity::new(number.decimal(), scale, None).expect("typed");
            let found = slip_candidates(&window, &typed).expect("looked for");
            if scale == read_as {
                assert!(found.is_empty());
                continue;
            }
            assert_ne!(window.judge(&typed).expect("judged").place, Place::Within);
            let hit = found
                .iter()
                .find(|c| c.slip.units() == (read_as, scale))
                .unwrap_or_else(|| panic!("{read_as} typed on {scale}"));
            assert_eq!(
                window.judge(&hit.torque).map(|j| j.place),
                Ok(Place::Within)
            );
        }
    }
    for (slip, factor) in Slip::ALL.into_iter().zip([
        12.0,
        1.0 / 12.0,
        1.3558179483314,
        1.0 / 1.3558179483314,
        8.85074579,
        1.0 / 8.85074579,
    ]) {
        assert!(
            (slip.factor().expect("factor").to_f64() / factor - 1.0).abs() < 1e-9,
            "{}",
            slip.words()
        );
    }
    // Issue example: 1200 read on lbf·in, typed on a lbf·ft wrench.
    let found = slip_candidates(&w("95..106 lbf·ft"), &q("1200 lbf·ft")).expect("looked for");
    assert_eq!(
        found
            .iter()
            .map(|c| (c.slip, c.torque.to_string()))
            .collect::<Vec<_>>(),
        [(Slip::OverTwelve, "100 lbf·ft".to_owned())]
    );
    // A plain wrong value is no slip, nor is one of another kind.
    assert!(
        slip_candidates(&w("95..106 lbf·ft"), &q("110 lbf·ft"))
            .expect("looked for")
            .is_empty()
    );
    assert!(
        slip_candidates(&w("1..2 bar"), &q("12 bar"))
            .expect("looked for")
            .is_empty()
    );
    assert!(
        slip_candidates(&w("95.. lbf·ft"), &q("20 lbf·ft"))
            .expect("looked for")
            .len()
            >= 2
    );
}

#[test]
fn stories_of_slipped_units() {
    // 13.2 typed on the in-lb scale of a pilot joint: LOW, but 158.4 in-lb had it been ft-lb.
    let window = w("144..168 in-lb");
    assert_eq!(
        window.judge(&q("13.2 in-lb")).map(|j| j.place),
        Ok(Place::Low)
    );
    let found = slip_candidates(&window, &q("13.2 in-lb")).expect("looked for");
    assert!(
        found
            .iter()
            .any(|c| c.slip == Slip::TimesTwelve && c.torque.to_string() == "158.4 lbf·in")
    );
    // 90 ft-lb taken as 90 in-lb, 44 ft-lb taken as 44 N·m.
    assert!(
        !slip_candidates(&w("85..95 ft-lb"), &q("90 in-lb"))
            .expect("looked for")
            .is_empty()
    );
    assert!(
        !slip_candidates(&w("55..63 N·m"), &q("44 N·m"))
            .expect("looked for")
            .is_empty()
    );
}

proptest! {
    #[test]
    fn probability_is_a_probability(y in -1e3f64..1e3, u in 0.0f64..100.0, low in -1e3f64..1e3, wide in 0.0f64..1e3) {
        let p = conformity(y, u, Some(low), Some(low + wide));
        prop_assert!((0.0..=1.0).contains(&p));
        let one_sided = conformity(y, u, Some(low), None);
        prop_assert!((0.0..=1.0).contains(&one_sided) && one_sided + 1e-12 >= p);
    }

    #[test]
    fn one_half_at_a_limit_far_from_the_other(low in -1e3f64..1e3, u in 0.01f64..10.0, far in 12.0f64..50.0) {
        let high = low + far * u;
        for y in [low, high] {
            prop_assert!((conformity(y, u, Some(low), Some(high)) - 0.5).abs() < 1e-9);
        }
    }

    #[test]
    fn guarded_is_never_laxer_than_simple(n in 0i64..6_000, size in 0i64..500) {
        let window = w("20..40 N·m");
        let reading = Quantity::new(Decimal::new(n, 2).expect("n"), Unit::NewtonMetre, None).expect("reading");
        let uncertainty = Uncertainty::parse(&format!("{}.{:02} N·m", size / 100, size % 100), "2").expect("uncertainty");
        let outcome = |rule| decide(&window, &reading, Some(&uncertainty), rule).expect("decided").outcome;
        if outcome(Rule::Guarded) == Outcome::Accept {
            prop_assert_eq!(outcome(Rule::Simple), Outcome::Accept);
        }
        let four = outcome(Rule::Four);
        prop_assert_eq!(four == Outcome::Accept, outcome(Rule::Guarded) == Outcome::Accept);
        prop_assert_eq!(matches!(four, Outcome::Accept | Outcome::ConditionalAccept), outcome(Rule::Simple) == Outcome::Accept);
    }
}
