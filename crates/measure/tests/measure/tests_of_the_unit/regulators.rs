//! Springs, set pressure, droop, lock-up and repeats of a set point, against published values.

use crate::{close, q};
use reseat_measure::regulator::{
    blowdown, creep, droop, lock_up, set_point, set_point_error_percent, spring_coils,
    spring_deflection_mm, spring_rate_n_mm, travel_percent,
};
use reseat_measure::{Direction, RegulatorError};

#[test]
fn springs_of_the_textbook() {
    // Springs, examples 10.1, 10.3 and 10.4 of a textbook companion (from memory: design of machine elements).
    let g = q("81370 MPa");
    let rate = spring_rate_n_mm(&g, &q("7 mm"), &q("42 mm"), 8.0).expect("rate");
    assert!(close(rate, 41.202980324074076, 1e-12));
    let deflection = spring_deflection_mm(rate, &q("1250 N")).expect("deflection");
    assert!(close(
        spring_deflection_mm(rate, &q("-1250 N")).expect("pulled"),
        -deflection,
        1e-12
    ));
    assert!(spring_deflection_mm(rate, &q("1250 mm")).is_err());
    assert!(spring_deflection_mm(0.0, &q("1250 N")).is_err());
    assert!(close(deflection, 30.3376112642427, 1e-12));
    // Free length: ten coils of 7 mm, nine gaps of 1 mm, the deflection. Printed 109.337611.
    assert!(close(10.0 * 7.0 + 9.0 + deflection, 109.337611, 1e-8));
    assert!(close(
        spring_coils(&g, &q("21 mm"), &q("150 mm"), 75.0).expect("coils"),
        7.814775,
        1e-6
    ));
    let rate = (300.0 - 150.0) / (35.0 - 30.0);
    assert!(close(
        spring_coils(&g, &q("4 mm"), &q("24 mm"), rate).expect("coils"),
        6.278549,
        1e-6
    ));
    // A second textbook's example 10-1: printed 4.13 lbf/in (from memory).
    let shigley = spring_rate_n_mm(&q("11850000 psi"), &q("0.037 in"), &q("0.4 in"), 10.5)
        .expect("rate")
        / 4.4482216152605
        * 25.4;
    assert!(close(shigley, 4.131102650669641, 1e-9));
    assert!(matches!(
        spring_rate_n_mm(&g, &q("7 mm"), &q("42 mm"), 0.0),
        Err(RegulatorError::Coils(_))
    ));
    assert!(
        spring_rate_n_mm(&g, &q("7 N"), &q("42 mm"), 8.0).is_err()
            && spring_rate_n_mm(&g, &q("-7 mm"), &q("42 mm"), 8.0).is_err()
    );
}

#[test]
fn set_pressure_droop_and_error() {
    // Droop example: 150 lbf/in on 20 in² pressed 2.0 in gives 15 psi; 1.5 in of travel leaves 3.75 psi.
    assert_eq!(
        droop(&q("15.0 psi g"), &q("3.75 psi g")),
        Ok(q("11.25 psi d"))
    );
    // Measurement Canada S-G-03, part 16 clause 2.1 and part 18 clause 3.1.
    let error = |reading, set| {
        set_point_error_percent(&q(reading), &q(set), &q("101.325 kPa a")).expect("error")
    };
    assert!(close(
        error("7.1 kPa g", "7.0 kPa g"),
        0.09231479344564933,
        1e-9
    ));
    assert!(close(
        error("36.0 kPa g", "34.5 kPa g"),
        1.1043622308117063,
        1e-9
    ));
    assert!(set_point_error_percent(&q("7.1 kPa"), &q("7.0 kPa g"), &q("101.325 kPa a")).is_err());
    assert!(
        set_point_error_percent(&q("7.1 kPa g"), &q("7.0 kPa g"), &q("101.325 kPa g")).is_err()
    );
}

#[test]
fn repeats_of_a_set_point() {
    use Direction::{Falling, Rising};
    let repeats = [
        ("5.98", Rising),
        ("6.00", Rising),
        ("6.02", Rising),
        ("6.08", Falling),
        ("6.10", Falling),
        ("6.06", Falling),
    ]
    .map(|(n, d)| (q(&format!("{n} bar g")), d));
    let found = set_point(&q("6.0 bar g"), &repeats).expect("set-point");
    // By hand: means 6.00 and 6.08; all 6.04; spreads 0.04 and 0.04; squares 2·0.0008 over 4.
    assert!((found.error - 0.04).abs() < 1e-12 && (found.repeatability - 0.04).abs() < 1e-12);
    assert!(
        (found.hysteresis.expect("both") - 0.08).abs() < 1e-12
            && (found.deviation.expect("some") - 0.02).abs() < 1e-12
    );
    let one_way = set_point(&q("6.0 bar g"), &repeats[..1]).expect("set-point");
    assert_eq!(
        (one_way.hysteresis, one_way.deviation, one_way.repeatability),
        (None, None, 0.0)
    );
    assert!(matches!(
        set_point(&q("6.0 bar g"), &[]),
        Err(RegulatorError::NoRepeats)
    ));
    assert!(set_point(&q("6.0 bar a"), &repeats).is_err());
    assert_eq!(
        lock_up(&q("6.00 bar g"), &q("6.25 bar g")),
        Ok(q("0.25 bar d"))
    );
    assert_eq!(
        creep(&q("6.25 bar g"), &q("6.30 bar g")),
        Ok(q("0.05 bar d"))
    );
    assert_eq!(
        blowdown(&q("8.0 bar g"), &q("7.2 bar g")),
        Ok(q("0.8 bar d"))
    );
    assert!(close(
        travel_percent(&q("15 mm"), &q("5 mm"), &q("25 mm")).expect("travel"),
        50.0,
        1e-12
    ));
    assert!(travel_percent(&q("15 mm"), &q("5 mm"), &q("5 mm")).is_err());
}
