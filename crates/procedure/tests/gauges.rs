//! Gauges: the limits of zero against the error of the gauge, and ranges that are stated.

use reseat_procedure::{Severity, check};

const SOUND: &str = include_str!("cases/sound.json");

/// Codes found in the sound case with the window of zero, there and at its reading, and the gauge written so.
fn found(window: &str, gauge: &str) -> Vec<(&'static str, Severity)> {
    read_within(window, window, gauge)
}

fn read_within(window: &str, reading: &str, gauge: &str) -> Vec<(&'static str, Severity)> {
    let side = "\"instrument\": \"PG-1\", \"window\": \"-0.1..0.1 bar g\"";
    let written = "\"range\": \"0..25 bar g\", \"error\": \"0.05 bar\"";
    assert!(SOUND.contains(side) && SOUND.contains(written));
    let text = SOUND
        .replace(
            side,
            &format!("\"instrument\": \"PG-1\", \"window\": \"{window}\""),
        )
        .replace(
            "\"label\": \"inlet\", \"window\": \"-0.1..0.1 bar g\"",
            &format!("\"label\": \"inlet\", \"window\": \"{reading}\""),
        )
        .replace(written, gauge);
    let findings = check(text.as_bytes());
    findings
        .iter()
        .map(|finding| (finding.code, finding.severity))
        .collect()
}

#[test]
fn the_limits_of_zero_are_no_narrower_than_the_error_of_the_gauge() {
    let error = |error: &str| format!("\"range\": \"0..25 bar g\", \"error\": \"{error}\"");
    let narrow = [("zero-window-narrow", Severity::Warning)];
    assert_eq!(found("-0.1..0.1 bar g", &error("0.1 bar")), []);
    assert_eq!(found("-0.1..0.1 bar g", &error("0.101 bar")), narrow);
    // Either end by itself, and in another unit: 0.1 bar is 10 kPa.
    assert_eq!(found("-0.05..0.1 bar g", &error("0.1 bar")), narrow);
    assert_eq!(found("-0.1..0.05 bar g", &error("0.1 bar")), narrow);
    assert_eq!(found("-0.1..0.1 bar g", &error("10 kPa")), []);
    assert_eq!(found("-0.1..0.1 bar g", &error("10.1 kPa")), narrow);
}

#[test]
fn a_gauge_without_error_is_held_against_a_window_without_width_alone() {
    let range = "\"range\": \"0..25 bar g\"";
    assert_eq!(found("-0.1..0.1 bar g", range), []);
    assert_eq!(
        found("0..0 bar g", range),
        [("zero-window-narrow", Severity::Warning)]
    );
}

#[test]
fn pressure_is_let_in_on_a_gauge_that_states_its_range() {
    assert_eq!(
        found("-0.1..0.1 bar g", "\"error\": \"0.05 bar\""),
        [("gauge-without-range", Severity::Warning)]
    );
}

/// A scale that is zero from end to end refuses nothing: bar for mbar.
#[test]
fn the_limits_of_zero_end_before_the_scale_of_the_gauge() {
    let gauge = "\"range\": \"0..60 kPa g\", \"error\": \"1 kPa\"";
    let told = |window: &str| -> bool {
        let found = found(window, gauge);
        found.contains(&("zero-window-wide", Severity::Error))
    };
    assert!(!told("-2..2 kPa g"));
    assert!(!told("-2..59 kPa g"));
    assert!(told("-2..60 kPa g"));
    // 60 kPa is 0.6 bar.
    assert!(!told("-0.1..0.59 bar g"));
    assert!(told("-2..2 bar g"));
}

#[test]
fn a_reading_of_zero_has_the_limits_of_its_side() {
    let gauge = "\"range\": \"0..25 bar g\", \"error\": \"0.05 bar\"";
    let differs = [("zero-window-differs", Severity::Error)];
    let read = |reading: &str| read_within("-0.1..0.1 bar g", reading, gauge);
    assert_eq!(read("-10..10 kPa g"), []);
    assert_eq!(read("-10..10.1 kPa g"), differs);
    assert_eq!(read("..0.1 bar g"), differs);
    assert_eq!(read("-0.1..0.1 kPa g"), differs);
}
