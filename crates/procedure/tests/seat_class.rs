//! Seat tests by class and port: the window worked out from the class, and a written one held against it.
#![allow(clippy::unwrap_used, reason = "a test")]

use reseat_procedure::model::{Asked, Procedure};
use reseat_procedure::{builtin, check, codes, read};

const SOUND: &str = include_str!("cases/sound.json");

/// The sound case with one more answer in its test.
fn with(ask: &str) -> Vec<u8> {
    let after = r#""how": "drop", "window": "..0.3 bar"}},"#;
    assert!(SOUND.contains(after));
    SOUND
        .replace(after, &format!("{after}\n{ask},"))
        .into_bytes()
}

fn reading(limits: &str) -> Vec<u8> {
    with(&format!(
        r#"{{"reading": {{"id": "leak", "label": "seat leak", {limits}}}}}"#
    ))
}

fn limit(procedure: &Procedure, thing: &str) -> (String, String) {
    let mut steps = procedure.sections.iter().flat_map(|section| &section.steps);
    steps
        .find_map(|step| {
            step.asks.iter().find_map(|asked| match asked {
                Asked::Reading(measured) if measured.id == thing => Some((
                    measured.window?.to_string(),
                    measured.seat.as_ref()?.words_in(measured.unit),
                )),
                Asked::Computed {
                    id, window, seat, ..
                } if id == thing => {
                    Some((window.to_string(), seat.as_ref()?.words_in(window.unit())))
                }
                _ => None,
            })
        })
        .unwrap()
}

/// Figures: ANSI/FCI 70-2 table 2 (class VI: 2 in 0.45 mL/min, 3 bubbles a minute) and its rules for IV (0.01 % of rated capacity)
/// and V (0.0005 mL/min per inch of port and psi), as `measure` has them with their sources.
#[test]
fn without_a_window_the_class_gives_it() {
    for (limits, window, words) in [
        (
            r#""unit": "bubbles/min", "seat": {"class": "VI", "port": "2 in"}"#,
            "..3 bubbles/min",
            "Class VI, port 2 in, allows 3 bubbles/min (ANSI/FCI 70-2)",
        ),
        (
            r#""seat": {"class": "VI", "port": "51 mm"}"#,
            "..0.45 mL/min",
            "Class VI, port 51 mm, allows 0.45 mL/min (ANSI/FCI 70-2)",
        ),
        (
            r#""unit": "L/h", "seat": {"class": "IV", "rated": "46.8 m³/h"}"#,
            "..4.68 L/h",
            "Class IV, rated flow 46.8 m³/h, allows 4.68 L/h (ANSI/FCI 70-2)",
        ),
        (
            r#""seat": {"class": "V", "port": "2 in", "drop": "50 psi"}"#,
            "..0.05 mL/min",
            "Class V, port 2 in, pressure drop 50 psi, allows 0.05 mL/min (ANSI/FCI 70-2, 0.0005 mL/min water per inch of port and psi)",
        ),
    ] {
        let text = reading(limits);
        let found = limit(&read(&text).unwrap(), "leak");
        assert_eq!(found, (window.to_owned(), words.to_owned()), "{limits}");
        assert!(!said(&text).contains(&codes::SEAT_OVER_CLASS), "{limits}");
    }
}

#[test]
fn a_value_worked_out_takes_its_window_from_the_class_too() {
    let text = with(
        r#"{"reading": {"id": "one", "label": "one", "unit": "mL/min"}},
           {"computed": {"id": "leak", "label": "leak", "from": ["one"], "how": "mean", "seat": {"class": "VI", "port": "3 in"}}}"#,
    );
    let (window, _) = limit(&read(&text).unwrap(), "leak");
    assert_eq!(window, "..0.9 mL/min");
}

fn said(text: &[u8]) -> Vec<&'static str> {
    check(text).iter().map(|finding| finding.code).collect()
}

#[test]
fn what_gives_no_limit_is_named_at_its_place() {
    for (limits, code) in [
        (r#""seat": {"class": "VI"}"#, codes::MISSING_MEMBER),
        (
            r#""seat": {"class": "IV", "port": "2 in"}"#,
            codes::MISSING_MEMBER,
        ),
        (
            r#""seat": {"class": "VII", "port": "2 in"}"#,
            codes::UNKNOWN_WORD,
        ),
        (
            r#""seat": {"class": "VI", "port": "17 in"}"#,
            codes::BAD_QUANTITY,
        ),
        (
            r#""seat": {"class": "VI", "port": "2 bar"}"#,
            codes::BAD_QUANTITY,
        ),
        (
            r#""seat": {"class": "VI", "port": "2"}"#,
            codes::BAD_QUANTITY,
        ),
        (
            r#""unit": "bar", "seat": {"class": "VI", "port": "2 in"}"#,
            codes::BAD_UNIT,
        ),
        // Above a port of 8 in the table counts no bubbles.
        (
            r#""unit": "bubbles/min", "seat": {"class": "VI", "port": "10 in"}"#,
            codes::BAD_UNIT,
        ),
        (
            r#""window": "..0.451 mL/min", "seat": {"class": "VI", "port": "2 in"}"#,
            codes::SEAT_OVER_CLASS,
        ),
    ] {
        let codes = said(&reading(limits));
        assert!(codes.contains(&code), "{limits}: {codes:?}");
    }
    let nothing = with(
        r#"{"reading": {"id": "one", "label": "one", "unit": "mL/min"}},
           {"computed": {"id": "leak", "label": "leak", "from": ["one"], "how": "mean"}}"#,
    );
    assert!(said(&nothing).contains(&codes::MISSING_MEMBER));
    let within = reading(r#""window": "..0.45 mL/min", "seat": {"class": "VI", "port": "2 in"}"#);
    assert!(!said(&within).contains(&codes::SEAT_OVER_CLASS));
}

/// FV-3302: Kv 25 at 3.5 bar of water, 25·√3.5 = 46.77 m³/h; TCV-KB-02: Cv 46 at 50 psi, 46·√50 = 325.27 gal(US)/min (the
/// definitions of Kv and Cv for water); 0.01 % of either is the limit the site has.
#[test]
fn the_shipped_seat_tests_hold_their_class() {
    let named = |name: &str| {
        let (_, bytes) = builtin()
            .iter()
            .find(|(file, _)| file.contains(name))
            .unwrap();
        read(bytes).unwrap()
    };
    for (name, thing, words) in [
        (
            "FV-3302",
            "seat-leak",
            "Class IV, rated flow 46.8 m³/h, allows 78 mL/min (ANSI/FCI 70-2)",
        ),
        (
            "TCV-KB-02",
            "seat-leak",
            "Class IV, rated flow 325.3 gal(US)/min, allows 123.139 mL/min (ANSI/FCI 70-2)",
        ),
        (
            "BPR-VENT-11",
            "seat-leak-3",
            "Class VI, port 3 in, allows 6 bubbles/min (ANSI/FCI 70-2)",
        ),
    ] {
        assert_eq!(limit(&named(name), thing).1, words, "{name}");
    }
}
