//! What cannot be: the error names what was given, and what is wrong with it.

use reseat_measure::life::{Life, LifeError, kaplan_meier, weibull};
use reseat_measure::pressure::{Hold, change_of_leak_pa};
use reseat_measure::regulator::set_point_error_percent;
use reseat_measure::seat::{SeatClass, allowance, nominal_size};

use crate::{close, q};

fn held(p1: &str, p2: &str, t1: &str, atmosphere: &str) -> Result<Hold, String> {
    let [p1, p2, t1, t2] = [p1, p2, t1, "20 °C"].map(q);
    Hold::new(
        &q("2 L"),
        [&p1, &p2],
        [&t1, &t2],
        &q("70 s"),
        &q(atmosphere),
    )
    .map_err(|error| error.to_string())
}

#[test]
fn pressures_of_a_hold_say_gauge_or_absolute_and_are_possible() {
    for (p1, p2, t1, atmosphere, words) in [
        (
            "25 kPa",
            "50 kPa g",
            "20 °C",
            "101 kPa a",
            "25 kPa does not say gauge or absolute",
        ),
        (
            "25 kPa g",
            "50 kPa",
            "20 °C",
            "101 kPa a",
            "50 kPa does not say gauge or absolute",
        ),
        (
            "25 kPa g",
            "50 kPa g",
            "20 °C",
            "101 kPa g",
            "101 kPa g is no atmosphere; give it absolute",
        ),
        (
            "25 kPa g",
            "50 kPa g",
            "20 °C",
            "101 kPa",
            "101 kPa is no atmosphere; give it absolute",
        ),
        (
            "25 kPa g",
            "50 kPa g",
            "20 °C",
            "0 kPa a",
            "0 kPa a is no atmosphere; give it absolute and above 0",
        ),
        (
            "-200 kPa g",
            "50 kPa g",
            "20 °C",
            "101 kPa a",
            "-200 kPa g is below a perfect vacuum",
        ),
        (
            "25 kPa g",
            "-1 kPa a",
            "20 °C",
            "101 kPa a",
            "-1 kPa a is below a perfect vacuum",
        ),
        (
            "25 kPa g",
            "50 kPa g",
            "-300 °C",
            "101 kPa a",
            "-300 °C is colder than absolute zero",
        ),
        (
            "25 kPa g",
            "50 kPa g",
            "0 K",
            "101 kPa a",
            "0 K is colder than absolute zero",
        ),
    ] {
        let refused = held(p1, p2, t1, atmosphere).unwrap_err();
        assert!(refused.starts_with(words), "{refused}");
    }
    let refused =
        set_point_error_percent(&q("7 kPa g"), &q("7 kPa g"), &q("101 kPa g")).unwrap_err();
    assert!(
        refused.to_string().contains("is no atmosphere"),
        "{refused}"
    );
    // A gauge below the atmosphere is a vacuum, and may be.
    assert!(held("-90 kPa g", "-80 kPa g", "20 °C", "101.325 kPa a").is_ok());
}

/// 20 mL/min at 0 °C and 101.325 kPa into 2 L at 293.15 K for 600 s, by hand: 20e-6 / 60 × 101 325 / 273.15 × 600 × 293.15 / 0.002 =
/// 10 874.4 Pa; and a hold with that change gives the leak back.
#[test]
fn the_change_that_a_leak_makes_gives_the_leak_back() {
    let change = change_of_leak_pa(20.0, 0.002, 293.15, 600.0);
    assert!(close(change, 10_874.40, 1e-6), "{change}");
    let hold = Hold {
        volume_m3: 0.002,
        p1_pa: 7e6,
        p2_pa: 7e6 + change,
        t1_k: 293.15,
        t2_k: 293.15,
        time_s: 600.0,
    };
    assert!(close(hold.leak().sccm_0c, 20.0, 1e-9), "{:?}", hold.leak());
}

/// Between rows by the square of the diameter; from one row to the next it never falls. 28 mm: (784 − 625) / (1444 − 625) × 0.15 + 0.15.
#[test]
fn class_vi_between_its_ports() {
    let most = |port: &str| allowance(SeatClass::VI, Some(&q(port)), None, None).map(|a| a.ml_min);
    assert!(close(
        most("28 mm").unwrap(),
        0.15 + 159.0 / 819.0 * 0.15,
        1e-12
    ));
    // Within 2 mm of a row it is the row's.
    for (port, row) in [
        ("27 mm", 0.15),
        ("23 mm", 0.15),
        ("49 mm", 0.45),
        ("53 mm", 0.45),
    ] {
        assert_eq!(most(port), Ok(row), "{port}");
    }
    let mut last = 0.0;
    for tenths in 10..4080 {
        let allowed = most(&format!("{}.{} mm", tenths / 10, tenths % 10)).unwrap();
        assert!(allowed >= last, "{tenths}");
        last = allowed;
    }
    for port in ["17 in", "500 mm"] {
        let refused = most(port).unwrap_err().to_string();
        assert!(refused.contains(&format!("a port of {port}")), "{refused}");
    }
}

/// ISO 6708 and ASME B36.10, from memory.
#[test]
fn a_nominal_diameter_is_its_pipe_size() {
    for (size, nps) in [
        ("80 mm", 3.0),
        ("100 mm", 4.0),
        ("65 mm", 2.5),
        ("50 mm", 2.0),
        ("300 mm", 12.0),
        ("350 mm", 14.0),
        ("600 mm", 24.0),
        ("3 in", 3.0),
        ("0.25 in", 0.25),
    ] {
        assert_eq!(nominal_size(&q(size)), Ok(nps), "{size}");
    }
    assert!(
        close(nominal_size(&q("76.2 mm")).unwrap(), 3.0, 1e-12),
        "a length that is no DN"
    );
    for size in ["-3 in", "0 mm", "3 bar"] {
        let refused = nominal_size(&q(size)).unwrap_err().to_string();
        assert!(
            refused.starts_with(&format!("{size} is no length")),
            "{refused}"
        );
    }
}

#[test]
fn lives_that_make_no_line_say_why() {
    let life = |hours: f64, failed: bool| Life { hours, failed };
    let running = [life(100.0, false), life(200.0, false)];
    assert_eq!(weibull(&running), Err(LifeError::NothingFailed));
    assert_eq!(kaplan_meier(&running), Ok(Vec::new()));
    let words = weibull(&running).unwrap_err().to_string();
    assert!(words.starts_with("nothing failed yet"), "{words}");
    assert_eq!(
        weibull(&[life(100.0, true), life(200.0, false)]),
        Err(LifeError::TooFewFailures(1))
    );
    let words = weibull(&[life(100.0, true); 3]).unwrap_err().to_string();
    assert!(words.ends_with("all 3 came at once"), "{words}");
}
