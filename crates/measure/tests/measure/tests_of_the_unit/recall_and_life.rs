//! Recall of an instrument by hand, and the life of parts against published values.

use crate::{close, q, w};
use proptest::prelude::*;
use reseat_measure::life::{adjusted_orders, median_rank_benard, median_rank_exact};
use reseat_measure::{
    BenchPoint, CannotSay, ErrorCurve, Life, LifeError, Place, Quantity, RecallError, Rejudged,
    Unit, kaplan_meier, weibull,
};

fn bench(points: &[(&str, &str)]) -> ErrorCurve {
    let points: Vec<_> = points
        .iter()
        .map(|(truth, shown)| BenchPoint {
            truth: q(truth),
            shown: q(shown),
        })
        .collect();
    ErrorCurve::new(&points).expect("curve")
}

#[test]
fn recall_by_hand() {
    // The wrench shows 4, 6 and 8 % too much at 40, 100 and 200 N·m.
    let curve = bench(&[
        ("100 N·m", "106 N·m"),
        ("40 N·m", "41.6 N·m"),
        ("200 N·m", "216 N·m"),
    ]);
    let window = w("115..130 N·m");
    let again = |reading| curve.rejudge(&window, &q(reading)).expect("judged");
    // 122: 100 + (122 − 106)/(216 − 106)·100 = 114.545…: was WITHIN, now LOW.
    let found = again("122 N·m");
    assert_eq!(found.to_string(), "now LOW");
    assert!(
        matches!(found, Rejudged::Placed { before: Place::Within, now: Place::Low, corrected } if corrected == q("114.55 N·m"))
    );
    assert!(found.has_changed());
    // 122.5 is exactly 115: the limit is inclusive, still WITHIN.
    assert_eq!(again("122.5 N·m").to_string(), "still WITHIN");
    assert_eq!(again("139 N·m").to_string(), "now WITHIN");
    assert_eq!(again("140 N·m").to_string(), "still HIGH");
    assert_eq!(again("41.6 N·m").to_string(), "still LOW");
    assert_eq!(
        again("41.5 N·m"),
        Rejudged::CannotSay(CannotSay::OutsideBench)
    );
    assert_eq!(again("217 N·m").to_string(), "cannot say");
    // A wrench that shows too little over-tightens.
    let low = bench(&[("50 N·m", "45 N·m"), ("150 N·m", "135 N·m")]);
    assert_eq!(
        low.rejudge(&window, &q("120 N·m")).map(|r| r.to_string()),
        Ok("now HIGH".to_owned())
    );
    // Bench and reading in other units than the window.
    assert_eq!(
        low.rejudge(&w("85..95 lbf·ft"), &q("120 N·m"))
            .map(|r| r.to_string()),
        Ok("now HIGH".to_owned())
    );
    // One point speaks of itself only.
    let one = bench(&[("100 N·m", "108 N·m")]);
    assert_eq!(
        one.rejudge(&w("95..105 N·m"), &q("108 N·m"))
            .map(|r| r.to_string()),
        Ok("now WITHIN".to_owned())
    );
    assert_eq!(
        one.rejudge(&w("95..105 N·m"), &q("107 N·m"))
            .map(|r| r.to_string()),
        Ok("cannot say".to_owned())
    );
    // Sticking: it shows more while less is true.
    let stuck = bench(&[
        ("100 N·m", "100 N·m"),
        ("98 N·m", "110 N·m"),
        ("120 N·m", "120 N·m"),
    ]);
    assert_eq!(
        stuck.rejudge(&window, &q("105 N·m")),
        Ok(Rejudged::CannotSay(CannotSay::BenchNotRising))
    );
    assert_eq!(
        stuck.rejudge(&window, &q("110 N·m")),
        Ok(Rejudged::CannotSay(CannotSay::BenchNotRising))
    );
    assert_eq!(
        stuck.rejudge(&window, &q("119 N·m")).map(|r| r.to_string()),
        Ok("still WITHIN".to_owned())
    );
    let twice = [("100 N·m", "106 N·m"), ("101 N·m", "106 N·m")].map(|(t, s)| BenchPoint {
        truth: q(t),
        shown: q(s),
    });
    assert!(matches!(
        ErrorCurve::new(&twice),
        Err(RecallError::TwoTruths(_))
    ));
    assert!(matches!(ErrorCurve::new(&[]), Err(RecallError::NoPoints)));
    assert!(curve.rejudge(&w("1..2 bar"), &q("1 bar")).is_err());
}

fn lives(failed: &[f64], good: &[(f64, usize)]) -> Vec<Life> {
    let mut all: Vec<Life> = failed
        .iter()
        .map(|hours| Life {
            hours: *hours,
            failed: true,
        })
        .collect();
    for (hours, count) in good {
        all.extend((0..*count).map(|_| Life {
            hours: *hours,
            failed: false,
        }));
    }
    all
}

#[test]
fn weibull_of_the_nist_handbook() {
    // NIST/SEMATECH e-Handbook 8.4.1.3, data of 8.2.2.1: ten failures, ten still running at 500 h.
    let data = lives(
        &[
            54.0, 187.0, 216.0, 240.0, 244.0, 335.0, 361.0, 373.0, 375.0, 386.0,
        ],
        &[(500.0, 10)],
    );
    let found = weibull(&data).expect("fit");
    // Printed 606.5280 and 1.7208; the last digit of the page is its solver's.
    assert!(close(found.scale.value, 606.528, 1e-5) && close(found.shape.value, 1.7208, 1e-5));
    assert!(
        close(found.scale.value, 606.5275580035728, 1e-10)
            && close(found.shape.value, 1.720797260801353, 1e-10)
    );
    assert!(close(found.loglik, -75.135, 1e-5) && close(found.aic, 154.27, 1e-5));
    assert!(close(found.mean, 540.737, 1e-5) && close(found.deviation, 323.806, 1e-5));
    // Second opinions run by hand: lifelines 0.30.3 and reliability 0.9.0.
    assert!(
        close(found.scale.value, 606.5275351592707, 1e-6)
            && close(found.shape.value, 1.7207972095510353, 1e-6)
    );
    // Limits from a numerically differentiated likelihood in (ln scale, 1/shape), run by hand.
    for (limits, low, high) in [
        (found.shape, 0.9712661150, 3.0487455158),
        (found.scale, 405.08927818, 908.13481973),
        (found.b10, 83.875132442, 320.75490794),
    ] {
        assert!(
            close(limits.low, low, 1e-5) && close(limits.high, high, 1e-5),
            "{limits:?}"
        );
    }
    assert!(
        close(found.b10.value, 164.02243866, 1e-9)
            && close(found.failed_by(found.b10.value), 0.1, 1e-12)
    );
    assert!(matches!(
        weibull(&lives(&[10.0], &[(20.0, 5)])),
        Err(LifeError::TooFewFailures(1))
    ));
    assert!(matches!(
        weibull(&lives(&[10.0, 10.0], &[])),
        Err(LifeError::AtOnce(2))
    ));
    assert!(matches!(
        weibull(&lives(&[10.0, -1.0], &[])),
        Err(LifeError::Hours { row: 2, .. })
    ));
    assert!(weibull(&lives(&[10.0, f64::NAN], &[])).is_err());
    // Huge and tiny ages do not overflow.
    assert!(weibull(&lives(&[1e-9, 1e9, 5e8], &[])).is_ok());
}

#[test]
fn kaplan_meier_of_the_nist_handbook() {
    // NIST/SEMATECH e-Handbook 8.2.1.5: 20 units (data and first lines read, the rest computed).
    let data = lives(
        &[10.0, 32.0, 56.0, 98.0, 122.0, 181.0],
        &[(50.0, 1), (100.0, 1), (125.0, 1), (150.0, 1), (200.0, 10)],
    );
    let steps = kaplan_meier(&data).expect("curve");
    assert_eq!(
        steps.iter().map(|s| s.at_risk).collect::<Vec<_>>(),
        [20, 19, 17, 16, 14, 11]
    );
    for (step, survival) in steps.iter().zip([
        0.95,
        0.9,
        0.8470588235294116,
        0.7941176470588234,
        0.7373949579831932,
        0.6703590527119938,
    ]) {
        assert!(close(step.survival, survival, 1e-12) && step.failed == 1);
    }
    // Greenwood at the first step: √(0.95·0.05/20).
    assert!(close(steps[0].error, (0.95f64 * 0.05 / 20.0).sqrt(), 1e-12));
    assert_eq!(
        kaplan_meier(&lives(&[5.0, 5.0], &[])).expect("curve")[0].survival,
        0.0
    );
    assert!(kaplan_meier(&[]).expect("curve").is_empty());
}

#[test]
fn median_ranks() {
    let benard = [
        0.12962962962962962,
        0.31481481481481477,
        0.5,
        0.6851851851851851,
        0.8703703703703703,
    ];
    let exact = [
        0.12944943670387585,
        0.3138101704556974,
        0.5,
        0.6861898295443025,
        0.8705505632961241,
    ];
    for (i, (b, e)) in (1..=5).map(f64::from).zip(benard.into_iter().zip(exact)) {
        assert!(close(median_rank_benard(i, 5.0), b, 1e-12));
        assert!(
            close(median_rank_exact(i, 5.0), e, 1e-9),
            "{}",
            median_rank_exact(i, 5.0)
        );
    }
    // One taken out, two failed: increment 4/3 (Johnson's rule from memory, computed).
    let orders = adjusted_orders(&lives(&[4.0, 4.5], &[(3.0, 1)])).expect("orders");
    assert!(
        close(orders[0], 1.3333333333333333, 1e-12) && close(orders[1], 2.6666666666666665, 1e-12)
    );
    assert_eq!(
        adjusted_orders(&lives(&[43.0, 67.0, 92.0, 94.0, 149.0], &[])),
        Ok(vec![1.0, 2.0, 3.0, 4.0, 5.0])
    );
}

proptest! {
    #[test]
    fn survival_only_falls(ages in proptest::collection::vec((1u16..1000, any::<bool>()), 0..40)) {
        let data: Vec<Life> = ages.iter().map(|(hours, failed)| Life { hours: f64::from(*hours), failed: *failed }).collect();
        let steps = kaplan_meier(&data).expect("curve");
        prop_assert!(steps.windows(2).all(|pair| pair[1].survival <= pair[0].survival && pair[1].hours > pair[0].hours));
        prop_assert!(steps.iter().all(|step| (0.0..=1.0).contains(&step.survival)));
    }

    #[test]
    fn weibull_does_not_mind_the_unit(ages in proptest::collection::vec(1.0f64..1000.0, 3..30), factor in 0.001f64..1000.0) {
        let make = |k: f64| ages.iter().enumerate().map(|(i, t)| Life { hours: t * k, failed: i % 3 != 2 }).collect::<Vec<_>>();
        if let (Ok(a), Ok(b)) = (weibull(&make(1.0)), weibull(&make(factor))) {
            prop_assert!(close(a.shape.value, b.shape.value, 1e-6) && close(a.scale.value * factor, b.scale.value, 1e-6));
            prop_assert!(a.shape.low <= a.shape.value && a.shape.value <= a.shape.high);
        }
    }

    #[test]
    fn no_error_changes_no_verdict(n in 0i64..20_000) {
        let curve = bench(&[("0 N·m", "0 N·m"), ("77.7 N·m", "77.7 N·m"), ("200 N·m", "200 N·m")]);
        let reading = Quantity::new(reseat_measure::Decimal::new(n, 2).expect("n"), Unit::NewtonMetre, None).expect("reading");
        let found = curve.rejudge(&w("115..130 N·m"), &reading).expect("judged");
        prop_assert!(!found.has_changed());
        let untouched = matches!(found, Rejudged::Placed { corrected, .. } if corrected.cmp_exact(&reading) == Ok(core::cmp::Ordering::Equal));
        prop_assert!(untouched, "{:?}", found);
    }
}
