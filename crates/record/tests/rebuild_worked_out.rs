//! A value worked out from a value worked out before it in the same step.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::Site;
use reseat_procedure::Choices;
use reseat_record::rebuild::recheck;

#[test]
fn a_value_may_rest_on_one_worked_out_before_it() {
    // The heights of a screw read twice each: their means, and how far the one lies above the other.
    let written = include_str!("../../../procedures/FV-3302.json");
    let drop = r#"{"computed": {"id": "shell-drop", "label": "drop", "from": ["shell-start", "shell-end"], "how": "drop", "window": "..1.0 bar"}},"#;
    let reading = |id: &str| {
        format!(
            r#"{{"reading": {{"id": "{id}", "label": "{id}", "unit": "mm", "instruments": ["DG-1"]}}}},"#
        )
    };
    let mean = |id: &str, from: &str| {
        format!(
            r#"{{"computed": {{"id": "{id}", "label": "{id}", "from": {from}, "how": "mean", "window": "0..100 mm"}}}},"#
        )
    };
    let asks = [
        drop.to_owned(),
        reading("high-1"),
        reading("high-2"),
        reading("low-1"),
        reading("low-2"),
        mean("high", r#"["high-1", "high-2"]"#),
        mean("low", r#"["low-1", "low-2"]"#),
        r#"{"computed": {"id": "pressed", "label": "pressed", "from": ["high", "low"], "how": "difference", "window": "20..25 mm"}},"#.to_owned(),
    ];
    assert!(written.contains(drop));
    let bytes = written.replace(drop, &asks.concat()).leak().as_bytes();
    let mut site = Site::following(bytes, Choices::default());
    for (thing, typed) in [
        ("shell-end", "69.8"),
        ("leak-1", "40"),
        ("leak-2", "40"),
        ("leak-3", "40"),
        ("high-1", "30.10"),
        ("high-2", "30.20"),
        ("low-1", "7.70"),
        ("low-2", "7.60"),
    ] {
        site.readings
            .insert(thing.into(), [typed.to_owned()].into());
    }
    site.start();
    site.until("vent-70");
    let pressed = site.entries.iter().find(|sealed| {
        sealed.entry.kind == "reading/1"
            && sealed.entry.body.get("thing") == Some(&"pressed".into())
    });
    let body = &pressed.unwrap().entry.body;
    // 30.15 less 7.65.
    assert_eq!(body["means"], "22.500 mm");
    assert_eq!(body["place"], "WITHIN");
    assert_eq!(body["from"].as_array().unwrap().len(), 2);
    assert_eq!(recheck(site.rebuild().procedure(), &site.entries), []);
}
