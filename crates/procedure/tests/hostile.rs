//! Texts made to keep the proof busy: many options, and findings that only long choices of them explain.
#![allow(clippy::unwrap_used, reason = "a test")]

use reseat_procedure::{Finding, Reading, all_choices, check, read};
use serde_json::{Value, json};

fn sound() -> Value {
    serde_json::from_str(include_str!("cases/sound.json")).unwrap()
}

/// The sound case with so many options of two values more; its own ring stays the first.
fn with_options(more: usize) -> Value {
    let mut text = sound();
    let options = text["options"].as_array_mut().unwrap();
    for at in 0..more {
        options.push(json!({"id": format!("o{at}"), "question": "Which?", "values": [{"id": "a", "label": "a"}, {"id": "b", "label": "b"}]}));
    }
    text
}

fn checked(text: &Value) -> Vec<Finding> {
    check(text.to_string().as_bytes())
}

/// Each shim loses a piece for each option that is `b`, then six more: too many on every route with at least six `b`.
/// No choice of fewer options says that, so that the search for each goes through thousands of masks.
#[test]
fn findings_on_half_of_4096_routes_are_named_truly() {
    const SHIMS: usize = 8;
    let mut text = with_options(11);
    for shim in 0..SHIMS {
        let id = format!("shim {shim}");
        text["parts"]
            .as_array_mut()
            .unwrap()
            .push(json!({"id": id, "label": "shim", "count": 11, "under": ["cap"]}));
        let steps = text["sections"][1]["steps"].as_array_mut().unwrap();
        let after = steps
            .iter()
            .position(|step| step["id"] == "basket-off")
            .unwrap();
        for at in (0..11).rev() {
            steps.insert(after + 1, json!({"id": format!("{id} off {at}"), "text": "Lift out the shim.", "does": [{"off": {"part": id}}], "when": {format!("o{at}"): ["b"]}}));
        }
        steps.insert(after + 12, json!({"id": format!("{id} off more"), "text": "Lift out the shims.", "does": [{"off": {"part": id, "count": 6}}]}));
    }
    let procedure = read(text.to_string().as_bytes()).unwrap();
    assert_eq!(all_choices(&procedure).len(), 4096);
    let findings = checked(&text);
    let found: Vec<&Finding> = findings
        .iter()
        .filter(|finding| finding.code == "part-not-on")
        .collect();
    for shim in 0..SHIMS {
        // Pieces on when the six come off, so many routes so many messages: each is said of the routes it is true of.
        let step = format!("shim {shim} off more");
        let of_shim = found
            .iter()
            .filter(|finding| finding.step.as_deref() == Some(step.as_str()));
        let mut told = 0;
        for finding in of_shim {
            told += 1;
            let b = finding
                .options
                .values()
                .filter(|value| *value == "b")
                .count();
            assert!(b >= 6, "{finding:?}");
        }
        assert!(told > 0, "{step}");
    }
}

/// More than 8,000,000 acts on routes: refused before any work, by the proof and by the reading alike.
#[test]
fn too_many_acts_on_too_many_routes_are_refused() {
    let mut text = with_options(11);
    let steps = text["sections"][0]["steps"].as_array_mut().unwrap();
    for at in 0..2_000 {
        steps.push(json!({"id": format!("tell {at}"), "text": "Tell the control room."}));
    }
    let findings = checked(&text);
    assert_eq!(findings.len(), 1, "{findings:?}");
    assert_eq!(findings[0].code, "too-many-routes");
    assert!(
        findings[0]
            .message
            .contains("4096 choices of options with 21"),
        "{}",
        findings[0].message
    );
    assert!(findings[0].line > 0);
    let refused = Reading::of(text.to_string().as_bytes()).unwrap_err();
    assert_eq!(refused[0].code, "too-many-routes");
    // The same acts on two routes are proved.
    text["options"].as_array_mut().unwrap().truncate(1);
    let findings = checked(&text);
    assert!(
        findings
            .iter()
            .all(|finding| finding.code != "too-many-routes"),
        "{findings:?}"
    );
}
