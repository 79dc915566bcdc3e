//! A leak that is counted into its volume, as past a seat into a shut chamber: the same sums as out of it, the other way round.
//!
//! SOURCE: n = (V/R)·(p2/T2 − p1/T1)/t, 40 CFR 1065.644, worked by hand beside each.

use reseat_record::rebuild::recheck;
use reseat_record::rebuild::view::DecayView;

use crate::rebuild_site::Site;
use crate::{LEAK, followed, with_leak_by};

fn bytes(window: &str) -> &'static [u8] {
    with_leak_by(r#"{"volume": "2 L", "into": true}"#, window)
}

fn held(window: &str, end: &str, warm: &str) -> Site {
    followed(bytes(window), (end, warm), LEAK)
}

fn seen(site: &Site) -> DecayView {
    site.rebuild().decay("hold-70").unwrap()
}

#[test]
fn what_comes_in_is_positive_and_a_rise_is_held_against_the_limit() {
    // 70.0 to 70.1 bar at 20 °C in 600 s: 10 000 Pa more, 18.39 mL/min at 0 °C and 101.325 kPa into 2 L.
    let mut site = held("..20 mL/min", "70.1", "20");
    let picture = seen(&site);
    assert_eq!(
        picture.words(),
        "2 readings, 70.0 bar g to 70.1 bar g in 10 min, +0.100 bar with the temperature taken out; \
         may leak 20 mL/min, a rise of 0.109 bar in 10 min"
    );
    assert!(!picture.falls);
    // 20 mL/min makes 10 874.4 Pa.
    assert!((picture.limit.unwrap() - (70.0 + 0.108_744)).abs() < 1e-6);
    assert_eq!(
        site.ask().detail[1],
        "Worked out: leak into 2 L at 0 °C and 101.325 kPa from water at start, temperature at start, water at end, temperature at end, \
         time held."
    );
    site.step();
    assert_eq!(site.last("means"), "18.39 mL/min");
    assert_eq!(site.last("place"), "WITHIN");
    let procedure = reseat_procedure::read(bytes("..20 mL/min")).unwrap();
    assert_eq!(recheck(&procedure, &site.entries), []);
}

#[test]
fn a_rise_that_warmth_made_is_no_leak_and_cold_hides_one() {
    // Warmed to 293.15 · 7 111 325 / 7 101 325 = 293.563 K, 20.413 °C: the whole rise is warmth.
    let mut site = held("..20 mL/min", "70.1", "20.413");
    site.step();
    let leak = |site: &Site| -> f64 {
        let means = site.last("means");
        means
            .as_str()
            .unwrap()
            .split(' ')
            .next()
            .unwrap()
            .parse()
            .unwrap()
    };
    assert!(leak(&site).abs() < 0.1, "{}", leak(&site));
    // Cooled by half a degree: 71.11325 · 293.15 / 292.65 = 71.234 75, a rise of 0.2215 bar with the temperature taken out.
    let mut site = held("..20 mL/min", "70.1", "19.5");
    assert!((seen(&site).readings[1].at - 70.2215).abs() < 1e-4);
    site.step();
    assert_eq!(site.last("place"), "HIGH");
}

#[test]
fn picture_and_verdict_never_differ() {
    for (window, end, place) in [
        ("..18.39 mL/min", "70.1", "WITHIN"),
        ("..18.38 mL/min", "70.1", "HIGH"),
        ("-20..20 mL/min", "69.9", "WITHIN"),
        ("-10..20 mL/min", "69.9", "LOW"),
        ("..20 mL/min", "69.9", "WITHIN"),
    ] {
        let mut site = held(window, end, "20");
        let picture = seen(&site);
        let (at, limit) = (picture.readings[1].at, picture.limit.unwrap());
        let beyond = if picture.falls {
            at < limit
        } else {
            at > limit
        };
        site.step();
        assert_eq!(site.last("place"), place, "{window}");
        assert_eq!(beyond, place != "WITHIN", "{window}: {picture:?}");
    }
}
