//! The picture of a hold that is judged by its leak: from the leak as judged, with the temperature taken out.
//!
//! SOURCE: n = (V/R)·(p2/T2 − p1/T1)/t, 40 CFR 1065.644, worked by hand: 20 mL/min at 0 °C and 101.325 kPa out of 2 L for 600 s at
//! 293.15 K is 20e-6 / 60 × 101 325 / 273.15 × 600 × 293.15 / 0.002 = 10 874.4 Pa, 0.1087 bar.

use reseat_measure::Quantity;
use reseat_record::rebuild::view::{Allowed, DecayView};

use crate::rebuild_site::Site;
use crate::{LEAK, held};

fn view(site: &Site) -> DecayView {
    site.rebuild().decay("hold-70").unwrap()
}

const WAIT: u32 = 2;
const AFTER: u32 = 7;

#[test]
fn the_picture_takes_the_temperature_out_and_shows_how_far_the_leak_may_take_it() {
    let site = held("..20 mL/min", ("69.9", "20"), LEAK);
    let seen = view(&site);
    assert_eq!(
        seen.words(),
        "2 readings, 70.0 bar g to 69.9 bar g in 10 min, -0.100 bar with the temperature taken out; \
         may leak 20 mL/min, a fall of 0.109 bar in 10 min"
    );
    assert!(seen.whole && seen.by_clock && seen.falls);
    assert_eq!(
        seen.allowed,
        Allowed::Leak(Quantity::parse("20 mL/min").unwrap())
    );
    assert!((seen.limit.unwrap() - (70.0 - 0.108_744)).abs() < 1e-6);
    let line = seen.line.unwrap();
    assert!((line.per_second * 600.0 + 0.1).abs() < 1e-4, "{line:?}");
    // Warmed by half a degree, 69.9 bar hides 0.12 bar more: 69.9 + 1.01325 = 70.91325, × 293.15 / 293.65 = 70.7925; less 1.01325.
    let site = held("..20 mL/min", ("69.9", "20.5"), LEAK);
    let seen = view(&site);
    assert!(
        (seen.readings[1].at - 69.779_25).abs() < 1e-3,
        "{:?}",
        seen.readings
    );
    assert!(seen.readings[1].at < seen.limit.unwrap());
    assert_eq!(seen.readings[1].value.to_string(), "69.9 bar g", "as read");
}

#[test]
fn the_record_says_it_behind_the_leak() {
    let site = held("..20 mL/min", ("69.9", "20"), AFTER);
    let lines = site.rebuild().record_lines(&site.register);
    let told: Vec<&String> = lines
        .iter()
        .map(|line| &line.text)
        .filter(|text| text.contains("with the temperature taken out; may leak 20 mL/min"))
        .collect();
    assert!(
        told.len() == 1 && told[0].contains("18.39 mL/min"),
        "{told:?}"
    );
}

#[test]
fn picture_and_verdict_never_differ() {
    for (window, reads, place) in [
        ("..18.39 mL/min", ("69.9", "20"), "WITHIN"),
        ("..18.38 mL/min", ("69.9", "20"), "HIGH"),
        ("-20..20 mL/min", ("70.1", "20"), "WITHIN"),
        ("-10..20 mL/min", ("70.1", "20"), "LOW"),
        ("..20 mL/min", ("70.1", "20"), "WITHIN"),
    ] {
        let mut site = held(window, reads, LEAK);
        let seen = view(&site);
        let (at, limit) = (seen.readings[1].at, seen.limit.unwrap());
        let beyond = if seen.falls { at < limit } else { at > limit };
        site.step();
        assert_eq!(site.last("place"), place, "{window}");
        assert_eq!(beyond, place != "WITHIN", "{window}: {seen:?}");
    }
}

#[test]
fn nothing_is_drawn_of_what_is_not_read_yet() {
    assert_eq!(
        held("..20 mL/min", ("69.9", "20"), 0)
            .rebuild()
            .decay("hold-70"),
        None
    );
    let seen = view(&held("..20 mL/min", ("69.9", "20"), 1));
    assert_eq!(
        (seen.limit, seen.words().as_str()),
        (None, "1 reading, 70.0 bar g; may leak 20 mL/min")
    );
    for ask in WAIT..LEAK {
        let seen = view(&held("..20 mL/min", ("69.9", "20"), ask));
        assert_eq!((seen.readings.len(), seen.line), (1, None), "{ask}");
        assert!(seen.limit.is_some());
        assert_eq!(
            seen.words(),
            "1 reading, 70.0 bar g; may leak 20 mL/min, a fall of 0.109 bar in 10 min"
        );
    }
    // Limits on gas that comes in are none on what leaks out.
    let site = held("-20.. mL/min", ("69.9", "20"), LEAK);
    assert_eq!(site.rebuild().decay("hold-70"), None);
}

/// 4 × 0.16 bar / 0.108 744 bar × 10 min = 58.86 min.
#[test]
fn the_gauge_is_held_against_the_change_that_the_allowed_leak_makes() {
    let site = held("..20 mL/min", ("69.9", "20"), WAIT);
    let ask = site.ask();
    assert_eq!(ask.notice[0], "HOLD TOO SHORT FOR PG-12.");
    assert!(
        ask.notice[1]
            .contains("it can tell a change of 0.109 bar (20 mL/min) in 10 min after 58.9 min."),
        "{ask:#?}"
    );
}
