//! Quantities and windows: what is read, what is refused, and that printing and parsing are inverse.

use core::cmp::Ordering;

use proptest::prelude::*;
use reseat_measure::{
    Dimension, Limit, Place, Quantity, QuantityError, Reference, Rounding, Unit, Window,
};

use crate::{q, w};

#[test]
fn spellings_people_type() {
    let pairs = [
        ("31 ft-lb", "31 lbf·ft"),
        ("31 ft·lb", "31 lbf·ft"),
        ("31ftlb", "31 lbf·ft"),
        ("31 lb-ft", "31 lbf·ft"),
        ("31 FT-LBS", "31 lbf·ft"),
        ("31 foot-pounds", "31 lbf·ft"),
        ("300 in-lb", "300 lbf·in"),
        ("300 inlb", "300 lbf·in"),
        ("300 inch-lbs", "300 lbf·in"),
        ("12 in.-lb.", "12 lbf·in"),
        ("300 lbf.in", "300 lbf·in"),
        ("300 in lbs", "300 lbf·in"),
        ("12,5Nm", "12.5 N·m"),
        ("12.50 N.m", "12.50 N·m"),
        ("12 N*m", "12 N·m"),
        ("12 NM", "12 N·m"),
        ("5 mNm", "5 mN·m"),
        ("5 MNm", "5 MN·m"),
        ("50 cNm", "50 cN·m"),
        ("2 kgf-m", "2 kgf·m"),
        ("20 kgf.cm", "20 kgf·cm"),
        ("16 oz-in", "16 ozf·in"),
        ("45 psig", "45 psi g"),
        ("45 PSIA", "45 psi a"),
        ("45 psi", "45 psi"),
        ("3.5 bar g", "3.5 bar g"),
        ("3.5 barg", "3.5 bar g"),
        ("3.5 bar(g)", "3.5 bar g"),
        ("101.325 kPa abs", "101.325 kPa a"),
        ("1 MPa", "1 MPa"),
        ("2 kg/cm2 g", "2 kgf/cm² g"),
        ("12 inH2O(60°F) g", "12 inH2O(60°F) g"),
        ("12 in H2O (conv) d", "12 inH2O(conv) d"),
        ("30 inHg(conv) a", "30 inHg(conv) a"),
        (".02 mm", "0.02 mm"),
        ("+3 bar d", "3 bar d"),
        ("-0.1 bar g", "-0.1 bar g"),
        ("\u{2212}0,1 bar g", "-0.1 bar g"),
        ("007 mm", "7 mm"),
        ("-0.00 mm", "0.00 mm"),
        ("0.0016 in.", "0.0016 in"),
        ("45 C", "45 °C"),
        ("78 ml/min", "78 mL/min"),
        ("3 bubbles/min", "3 bubbles/min"),
        ("2 drops", "2 drops"),
        ("3 turns", "3 turns"),
        ("0.5 %", "0.5 %"),
        ("10 g", "10 g"),
        ("5 µm", "5 µm"),
        ("5 μm", "5 µm"),
        ("25.2 scfm", "25.2 scfm"),
        ("40 lb/in", "40 lbf/in"),
        ("1234,567 mm", "1234.567 mm"),
        ("0,125 mm", "0.125 mm"),
    ];
    for (typed, canonical) in pairs {
        assert_eq!(q(typed).to_string(), canonical, "{typed}");
    }
}

#[test]
fn refused_with_a_sentence() {
    let refused = [
        ("", "nothing was typed"),
        ("12", "has no unit"),
        ("12.5", "has no unit"),
        ("bar", "is not a number"),
        ("1,234 N·m", "two ways"),
        ("1.234,5 N·m", "two ways"),
        ("1 234 N·m", "two ways"),
        ("1'234 N·m", "two ways"),
        ("1e3 N·m", "power of ten"),
        ("1/4 in", "fraction"),
        ("5-6 N·m", "two numbers"),
        ("5–6 N·m", "two numbers"),
        ("5 gal", "did you mean gal(US)"),
        ("25. N·m", "is not a number"),
        ("1234567890123 Pa", "at most 12"),
        ("0.0000000000001 m", "at most 12"),
        ("5 mnm", "could be mN·m or MN·m"),
        ("5 mPa", "did you mean MPa"),
        ("12 inH2O", "which column"),
        ("12 inHg g", "which column"),
        ("12 N·m g", "belong to pressures only"),
        ("12 furlong", "not a unit"),
        ("12 ftlbz", "did you mean lbf·ft"),
        ("NaN N·m", "is not a number"),
        ("--3 mm", "is not a number"),
        ("٣ mm", "is not a number"),
    ];
    for (typed, part) in refused {
        let sentence = Quantity::parse(typed).expect_err(typed).to_string();
        assert!(sentence.contains(part), "{typed:?}: {sentence}");
    }
}

#[test]
fn every_spelling_of_the_table_names_one_unit() {
    for unit in Unit::all() {
        assert_eq!(Unit::parse(unit.symbol()), Ok(*unit));
        assert_eq!(unit.symbol().parse::<Unit>(), Ok(*unit));
    }
}

#[test]
fn digits_are_bound_to_the_scale() {
    let gauge = |typed| Quantity::from_digits(typed, Unit::Bar, Some(Reference::Gauge));
    assert_eq!(
        gauge("3,50").map(|q| q.to_string()),
        Ok("3.50 bar g".to_owned())
    );
    assert_eq!(
        gauge("3.5 bar").map(|q| q.to_string()),
        Ok("3.5 bar g".to_owned())
    );
    assert_eq!(
        gauge("3.5 barg").map(|q| q.to_string()),
        Ok("3.5 bar g".to_owned())
    );
    for other in ["3.5 psi", "3.5 bar a", "3.5 N·m", "3.5 x"] {
        assert!(
            matches!(gauge(other), Err(QuantityError::NotTheScale { .. })),
            "{other}"
        );
    }
    assert!(gauge("").is_err() && gauge("bar").is_err());
}

#[test]
fn comparison_is_exact() {
    // The frozen example: an inclusive limit must be met by its own worth in another unit.
    assert_eq!(
        q("300 lbf·in").cmp_exact(&q("25 lbf·ft")),
        Ok(Ordering::Equal)
    );
    assert_eq!(
        q("300.000000001 lbf·in").cmp_exact(&q("25 lbf·ft")),
        Ok(Ordering::Greater)
    );
    assert_eq!(
        q("100 psi g").cmp_exact(&q("1600 ozf/in² g")),
        Ok(Ordering::Equal)
    );
    assert_eq!(q("212 °F").cmp_exact(&q("100 °C")), Ok(Ordering::Equal));
    assert_eq!(q("-40 °F").cmp_exact(&q("-40 °C")), Ok(Ordering::Equal));
    assert_eq!(
        q("999999999999 inHg(conv) a").cmp_exact(&q("0.000000000001 psi a")),
        Ok(Ordering::Greater)
    );
    assert!(matches!(
        q("1 bar g").cmp_exact(&q("1 bar")),
        Err(QuantityError::DifferentReference { .. })
    ));
    assert!(matches!(
        q("1 bar g").cmp_exact(&q("1 psi a")),
        Err(QuantityError::DifferentReference { .. })
    ));
    assert!(matches!(
        q("1 N·m").cmp_exact(&q("1 N")),
        Err(QuantityError::DifferentKind { .. })
    ));
    assert!(matches!(
        q("1 drops").cmp_exact(&q("1 bubbles")),
        Err(QuantityError::DifferentKind { .. })
    ));
}

#[test]
fn windows_print_and_refuse() {
    for text in [
        "115..130 N·m",
        "3.4.. bar g",
        "..0.05 mm",
        "-0.1..0.1 bar g",
        "0.0..0.10 bar d",
        "62..72 lbf·in",
    ] {
        assert_eq!(w(text).to_string(), text);
    }
    assert_eq!(w("25..30 ft-lb").to_string(), "25..30 lbf·ft");
    assert_eq!(w(" 0,5 .. .7 mm ").to_string(), "0.5..0.7 mm");
    let refused = [
        ("130..115 N·m", "impossible"),
        ("115..130", "has no unit"),
        (".. N·m", "not a window"),
        ("115 N·m", "not a window"),
        ("25 ft-lb..30 ft-lb", "not a window"),
        ("1,000..2 bar", "two ways"),
        ("1..2 bar x", "not a unit"),
    ];
    for (text, part) in refused {
        let sentence = Window::parse(text).expect_err(text).to_string();
        assert!(sentence.contains(part), "{text:?}: {sentence}");
    }
}

#[test]
fn verdicts_and_distances() {
    let cases = [
        (
            "115..130 N·m",
            "122 N·m",
            Place::Within,
            "7 N·m",
            Limit::Low,
        ),
        (
            "115..130 N·m",
            "125.5 N·m",
            Place::Within,
            "4.5 N·m",
            Limit::High,
        ),
        (
            "115..130 N·m",
            "130.0 N·m",
            Place::Within,
            "0.0 N·m",
            Limit::High,
        ),
        (
            "115..130 N·m",
            "130.1 N·m",
            Place::High,
            "0.1 N·m",
            Limit::High,
        ),
        ("115..130 N·m", "114 N·m", Place::Low, "1 N·m", Limit::Low),
        (
            "25..30 lbf·ft",
            "300 lbf·in",
            Place::Within,
            "0 lbf·ft",
            Limit::Low,
        ),
        (
            "25..30 lbf·ft",
            "299 lbf·in",
            Place::Low,
            "0.083333 lbf·ft",
            Limit::Low,
        ),
        (
            "..0.05 mm",
            "0.002 in",
            Place::High,
            "0.0008 mm",
            Limit::High,
        ),
        (
            "3.4.. bar g",
            "3.5 bar g",
            Place::Within,
            "0.1 bar",
            Limit::Low,
        ),
        (
            "-0.1..0.1 bar g",
            "-0.2 bar g",
            Place::Low,
            "0.1 bar",
            Limit::Low,
        ),
        ("20..45 °C", "113 °F", Place::Within, "0 °C", Limit::High),
    ];
    for (window, reading, place, distance, from) in cases {
        let judged = w(window).judge(&q(reading)).expect(window);
        assert_eq!(
            (
                judged.place,
                judged.distance.to_string().as_str(),
                judged.from
            ),
            (place, distance, from),
            "{window} {reading}"
        );
    }
    let exact = w("25..30 lbf·ft")
        .exact_distance(&q("299 lbf·in"))
        .map(reseat_measure::Rational::to_f64);
    assert_eq!(exact, Ok(1.0 / 12.0));
    assert!(w("1..2 bar").exact_distance(&q("1.5 bar g")).is_err());
    assert!(w("1..2 bar").judge(&q("1.5 bar g")).is_err());
    let taken = w("1..2 bar")
        .taking_reference(Some(Reference::Gauge))
        .and_then(|w| w.judge(&q("1.5 bar g")));
    assert_eq!(taken.map(|j| j.place), Ok(Place::Within));
}

#[test]
fn shown_limits_never_allow_more() {
    assert_eq!(
        w("25..30 lbf·ft")
            .shown_in(Unit::NewtonMetre, 1)
            .map(|w| w.to_string()),
        Ok("33.9..40.6 N·m".to_owned())
    );
    assert_eq!(
        w("115..130 N·m")
            .shown_at(&q("0.5 lbf·ft"))
            .map(|w| w.to_string()),
        Ok("85.0..95.5 lbf·ft".to_owned())
    );
    assert_eq!(
        w("115..130 N·m")
            .shown_at(&q("2 N·m"))
            .map(|w| w.to_string()),
        Ok("116..130 N·m".to_owned())
    );
    assert!(matches!(
        w("1.01..1.02 bar").shown_at(&q("0.1 bar")),
        Err(QuantityError::NoMarkInside { .. })
    ));
}

#[test]
fn prevailing_torque_raises_the_window() {
    // FAA AC 43.13-1B 7-40: final torque is the desired torque and the friction drag.
    assert_eq!(
        w("90..105 lbf·in")
            .raised_by(&q("20 lbf·in"))
            .map(|w| w.to_string()),
        Ok("110..125 lbf·in".to_owned())
    );
    assert_eq!(
        w("..10 lbf·ft")
            .raised_by(&q("6 lbf·in"))
            .map(|w| w.to_string()),
        Ok("..10.5 lbf·ft".to_owned())
    );
    assert!(w("90..105 lbf·in").raised_by(&q("20 mm")).is_err());
    assert_eq!(q("98 lbf·in").sum(&q("12.5 lbf·in")), Ok(q("110.5 lbf·in")));
    assert_eq!(
        q("3.5 bar g")
            .difference(&q("50 psi g"))
            .map(|q| q.to_string()),
        Ok("0.052621 bar d".to_owned())
    );
    assert_eq!(q("41 °C").difference(&q("104 °F")), Ok(q("1 °C")));
}

#[test]
fn rounding_has_a_direction() {
    let to = |decimals, rounding| {
        q("25 lbf·ft")
            .to(Unit::NewtonMetre, decimals, rounding)
            .map(|q| q.to_string())
    };
    assert_eq!(to(2, Rounding::Down), Ok("33.89 N·m".to_owned()));
    assert_eq!(to(2, Rounding::Up), Ok("33.90 N·m".to_owned()));
    assert_eq!(to(2, Rounding::Nearest), Ok("33.90 N·m".to_owned()));
    assert_eq!(
        q("-2.5 mm")
            .to(Unit::Millimetre, 0, Rounding::Nearest)
            .map(|q| q.to_string()),
        Ok("-3 mm".to_owned())
    );
    assert_eq!(
        q("-2.5 mm")
            .to(Unit::Millimetre, 0, Rounding::Up)
            .map(|q| q.to_string()),
        Ok("-2 mm".to_owned())
    );
}

#[test]
fn serde_writes_the_canonical_text() {
    let json = serde_json::to_string(&(
        q("31 ft-lb"),
        w("3.4.. barg"),
        Unit::PoundForceInch,
        Place::High,
    ))
    .expect("json");
    assert_eq!(json, r#"["31 lbf·ft","3.4.. bar g","lbf·in","HIGH"]"#);
    let back: (Quantity, Window, Unit, Place) = serde_json::from_str(&json).expect("back");
    assert_eq!(
        back,
        (
            q("31 lbf·ft"),
            w("3.4.. bar g"),
            Unit::PoundForceInch,
            Place::High
        )
    );
    assert!(serde_json::from_str::<Quantity>("\"12\"").is_err());
    assert!(serde_json::from_str::<Quantity>("12").is_err());
}

#[test]
fn references_belong_to_pressures() {
    for unit in Unit::all() {
        let made = Quantity::from_digits("1", *unit, Some(Reference::Gauge));
        assert_eq!(
            made.is_ok(),
            unit.dimension() == Dimension::Pressure,
            "{unit}"
        );
    }
}

/// Any quantity that can be typed.
fn any_quantity() -> impl Strategy<Value = Quantity> {
    let digits = -999_999_999_999i64..=999_999_999_999;
    (digits, 0u8..=6, 0..Unit::all().len(), 0u8..4).prop_map(
        |(digits, decimals, unit, reference)| {
            let unit = Unit::all()[unit];
            let reference = match reference {
                1 => Some(Reference::Gauge),
                2 => Some(Reference::Absolute),
                3 => Some(Reference::Differential),
                _ => None,
            }
            .filter(|_| unit.dimension() == Dimension::Pressure);
            let decimal = reseat_measure::Decimal::new(digits, decimals).expect("in bounds");
            Quantity::new(decimal, unit, reference).expect("allowed")
        },
    )
}

proptest! {
    #[test]
    fn print_and_parse_are_inverse(quantity in any_quantity()) {
        let text = quantity.to_string();
        prop_assert_eq!(Quantity::parse(&text), Ok(quantity));
        prop_assert_eq!(Quantity::parse(&text).map(|q| q.to_string()), Ok(text));
    }

    #[test]
    fn parsing_never_panics(text in "\\PC{0,24}") {
        let _ = Quantity::parse(&text);
        let _ = Window::parse(&text);
        let _ = Unit::parse(&text);
    }

    #[test]
    fn parsing_near_text_never_panics(text in "[-+−.,0-9 eE/x·°()a-zA-Z²%]{0,16}") {
        if let Ok(quantity) = Quantity::parse(&text) {
            prop_assert_eq!(Quantity::parse(&quantity.to_string()), Ok(quantity));
        }
        if let Ok(window) = Window::parse(&text) {
            prop_assert_eq!(Window::parse(&window.to_string()), Ok(window));
        }
    }

    #[test]
    fn windows_print_and_parse_inverse(a in -99_999i64..99_999, wide in 0i64..99_999, decimals in 0u8..4, ends in 0u8..3, unit in 0..Unit::all().len()) {
        let low = reseat_measure::Decimal::new(a, decimals).expect("low");
        let high = reseat_measure::Decimal::new(a + wide, decimals).expect("high");
        let window = Window::new((ends != 1).then_some(low), (ends != 2).then_some(high), Unit::all()[unit], None).expect("window");
        prop_assert_eq!(Window::parse(&window.to_string()), Ok(window));
    }

    #[test]
    fn conversion_there_and_back_is_exact(quantity in any_quantity(), other: proptest::sample::Index) {
        let kin: Vec<Unit> = Unit::all().iter().copied().filter(|u| u.dimension() == quantity.dimension()).collect();
        let other = *other.get(&kin);
        let there = quantity.exact_in(other).expect("same kind");
        // Back by the exact factors: value = (there + offset)·factor / own factor - own offset.
        let back = if quantity.dimension() == Dimension::Temperature {
            there.plus(other.offset()).and_then(|v| v.times(other.factor())).and_then(|v| v.over(quantity.unit().factor()))
                .and_then(|v| v.minus(quantity.unit().offset()))
        } else {
            there.times(other.factor().over(quantity.unit().factor()).expect("factor"))
        };
        prop_assert_eq!(back, Ok(quantity.decimal().to_rational()));
    }

    #[test]
    fn verdict_is_monotone_in_the_reading(low in 0i64..5_000, wide in 0i64..5_000, a in 0i64..15_000, b in 0i64..15_000, in_feet: bool) {
        let window = Window::parse(&format!("{}.{:02}..{}.{:02} lbf·in", low / 100, low % 100, (low + wide) / 100, (low + wide) % 100)).expect("window");
        let unit = if in_feet { Unit::PoundForceFoot } else { Unit::PoundForceInch };
        let rank = |n: i64| {
            let reading = Quantity::new(reseat_measure::Decimal::new(n, 2).expect("n"), unit, None).expect("reading");
            match window.judge(&reading).expect("judged").place { Place::Low => 0, Place::Within => 1, Place::High => 2 }
        };
        prop_assert!(a.min(b) == a.max(b) || rank(a.min(b)) <= rank(a.max(b)));
    }
}
