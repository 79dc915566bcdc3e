//! The leak of a hold inside a rebuild: worked out from five readings, with the temperature taken out, and judged.
//!
//! SOURCE: n = (V/R)·(p2/T2 − p1/T1)/t, 40 CFR 1065.644, with R of CODATA 2018; the figures are worked by hand beside each.

use reseat_record::rebuild::recheck;

use crate::rebuild_site::Site;
use crate::{LEAK, held, with_leak};

/// Held, and the leak worked out.
fn worked_out(window: &str, end: &str, warm: &str) -> Site {
    let mut site = held(window, (end, warm), LEAK);
    site.step();
    site
}

#[test]
fn a_leak_is_worked_out_with_the_temperature_taken_out_and_judged() {
    // p1 = 7 101 325 Pa, T1 = 293.15 K, p2 = 7 091 325 Pa at the same temperature, 600 s:
    //   Δn/t = 0.002 / 8.314462618 × (−10 000 / 293.15) / 600 = −1.367 57e-5 mol/s, out of the volume;
    //   × 8.314462618 × 273.15 / 101 325 × 60e6 = 18.39 mL/min at 0 °C and 101.325 kPa.
    let site = worked_out("..20 mL/min", "69.9", "20");
    assert_eq!(site.last("thing"), "shell-leak");
    assert_eq!(site.last("means"), "18.39 mL/min");
    assert_eq!(site.last("place"), "WITHIN");
    assert_eq!(site.last("method"), "computed");
    assert_eq!(site.last("from").as_array().unwrap().len(), 5);
    let procedure = reseat_procedure::read(with_leak("..20 mL/min")).unwrap();
    assert_eq!(recheck(&procedure, &site.entries), []);
    // The same drop is no leak where the gas cooled: 293.15 × 7 091 325 / 7 101 325 = 292.737 K, which is 19.587 °C.
    let site = worked_out("..20 mL/min", "69.9", "19.587");
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
    let site = worked_out("..18 mL/min", "69.9", "20");
    assert_eq!(site.last("place"), "HIGH");
    assert!(
        site.last("finding").is_number(),
        "{:?}",
        site.entries.last()
    );
}
