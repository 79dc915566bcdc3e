//! The leak of a hold inside a rebuild: worked out from five readings, with the temperature taken out, and judged.
//!
//! SOURCE: n = (V/R)·(p2/T2 − p1/T1)/t, 40 CFR 1065.644, with R of CODATA 2018; the figures are worked by hand beside each.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::Site;
use reseat_procedure::Choices;
use reseat_record::rebuild::{Point, recheck};

/// FV-3302 with the leak of a volume of 2 L in place of the drop of its shell test.
fn with_leak(window: &str) -> &'static [u8] {
    let drop = r#"{"computed": {"id": "shell-drop", "label": "drop", "from": ["shell-start", "shell-end"], "how": "drop", "window": "..1.0 bar"}},"#;
    let leak = r#"{"reading": {"id": "warm-start", "label": "temperature at start", "unit": "°C"}},
            {"reading": {"id": "warm-end", "label": "temperature at end", "unit": "°C"}},
            {"reading": {"id": "held", "label": "time held", "unit": "min"}},
            {"computed": {"id": "shell-leak", "label": "leak", "from": ["shell-start", "warm-start", "shell-end", "warm-end", "held"],
              "how": {"leak": {"volume": "2 L"}}, "window": "WINDOW"}},"#;
    let text = include_str!("../../../procedures/FV-3302.json");
    assert!(text.contains(drop));
    let text = text.replace(drop, &leak.replace("WINDOW", window));
    text.leak().as_bytes()
}

fn held(window: &str, end: &str, warm: &str) -> Site {
    let mut site = Site::following(with_leak(window), Choices::default());
    for (thing, typed) in [
        ("shell-start", "70.0"),
        ("warm-start", "20"),
        ("shell-end", end),
        ("warm-end", warm),
        ("held", "10"),
    ] {
        site.readings
            .insert(thing.into(), [typed.to_owned()].into());
    }
    site.start();
    site.goes_on(|ask| matches!(&ask.point, Point::Asked(step, 6, _) if step == "hold-70"));
    site.step();
    site
}

#[test]
fn a_leak_is_worked_out_with_the_temperature_taken_out_and_judged() {
    // p1 = 7 101 325 Pa, T1 = 293.15 K, p2 = 7 091 325 Pa at the same temperature, 600 s:
    //   Δn/t = 0.002 / 8.314462618 × (−10 000 / 293.15) / 600 = −1.367 57e-5 mol/s, out of the volume;
    //   × 8.314462618 × 273.15 / 101 325 × 60e6 = 18.39 mL/min at 0 °C and 101.325 kPa.
    let site = held("..20 mL/min", "69.9", "20");
    assert_eq!(site.last("thing"), "shell-leak");
    assert_eq!(site.last("means"), "18.39 mL/min");
    assert_eq!(site.last("place"), "WITHIN");
    assert_eq!(site.last("method"), "computed");
    assert_eq!(site.last("from").as_array().unwrap().len(), 5);
    let procedure = reseat_procedure::read(with_leak("..20 mL/min")).unwrap();
    assert_eq!(recheck(&procedure, &site.entries), []);
    // The same drop is no leak where the gas cooled: 293.15 × 7 091 325 / 7 101 325 = 292.737 K, which is 19.587 °C.
    let site = held("..20 mL/min", "69.9", "19.587");
    let leak: f64 = site
        .last("means")
        .as_str()
        .unwrap()
        .split(' ')
        .next()
        .unwrap()
        .parse()
        .unwrap();
    assert!(leak.abs() < 0.1, "{leak}");
    // More than its limit is a finding, as any test that fails.
    let site = held("..18 mL/min", "69.9", "20");
    assert_eq!(site.last("place"), "HIGH");
    assert!(
        site.last("finding").is_number(),
        "{:?}",
        site.entries.last()
    );
}
