//! A hold judged by its leak: worked out and judged, and its picture.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

#[path = "../forge/mod.rs"]
mod forge;
mod into;
mod judged;
mod picture;
#[path = "../rebuild_site/mod.rs"]
mod rebuild_site;
mod shipped;

use rebuild_site::Site;
use reseat_procedure::Choices;
use reseat_record::rebuild::{Inner, Point};

/// The ask of the hold at which the leak is worked out.
const LEAK: u32 = 6;

/// FV-3302 with its shell held as 2 L of gas; the temperature at the start is read before the wait.
fn with_leak(window: &str) -> &'static [u8] {
    with_leak_by(r#"{"volume": "2 L"}"#, window)
}

/// The same with its leak counted as it is told here.
fn with_leak_by(leak: &str, window: &str) -> &'static [u8] {
    let written = include_str!("../../../../procedures/FV-3302.json");
    let start = r#""window": "69..71 bar g", "instruments": ["PG-12"]}},"#;
    let drop = r#"{"computed": {"id": "shell-drop", "label": "drop", "from": ["shell-start", "shell-end"], "how": "drop", "window": "..1.0 bar"}},"#;
    let asks = r#"{"reading": {"id": "warm-end", "label": "temperature at end", "unit": "°C"}},
            {"reading": {"id": "held", "label": "time held", "unit": "min"}},
            {"computed": {"id": "shell-leak", "label": "leak", "from": ["shell-start", "warm-start", "shell-end", "warm-end", "held"],
              "how": {"leak": LEAK}, "window": "WINDOW"}},"#;
    let warm =
        r#"{"reading": {"id": "warm-start", "label": "temperature at start", "unit": "°C"}},"#;
    assert!(written.contains(start) && written.contains(drop));
    let text = written
        .replace(start, &format!("{start}\n            {warm}"))
        .replace(drop, &asks.replace("LEAK", leak).replace("WINDOW", window));
    text.leak().as_bytes()
}

/// Held from 70.0 bar at 20 °C, up to the ask of this number.
fn held(window: &str, reads: (&str, &str), ask: u32) -> Site {
    followed(with_leak(window), reads, ask)
}

/// The same by a procedure of these bytes.
fn followed(bytes: &'static [u8], (end, warm): (&str, &str), ask: u32) -> Site {
    let mut site = Site::following(bytes, Choices::default());
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
    site.goes_on(|now| matches!(&now.point, Point::Asked(step, at, Inner::Whole) if step == "hold-70" && *at == ask));
    site
}
