//! Texts made to keep the proof busy with few options: acts that each look through everything declared.
#![allow(clippy::unwrap_used, reason = "a test")]

use reseat_procedure::{Finding, check};
use serde_json::{Value, json};

fn sound() -> Value {
    serde_json::from_str(include_str!("cases/sound.json")).unwrap()
}

/// The sound case with so many parts, and a step of so many deeds.
fn with(parts: usize, deeds: usize, deed: &Value) -> Vec<Finding> {
    let mut text = sound();
    let list = text["parts"].as_array_mut().unwrap();
    list.extend((0..parts).map(|at| json!({"id": format!("p{at}"), "label": "p"})));
    let step = json!({"id": "much", "text": "Wash the parts.", "does": vec![deed; deeds]});
    let steps = text["sections"][1]["steps"].as_array_mut().unwrap();
    let clean = steps.iter().position(|step| step["id"] == "clean").unwrap();
    steps.insert(clean, step);
    check(text.to_string().as_bytes())
}

fn refused(findings: &[Finding]) -> bool {
    let codes: Vec<&str> = findings.iter().map(|finding| finding.code).collect();
    if codes.contains(&"too-many-routes") {
        assert_eq!(codes.len(), 1);
        assert!(findings[0].message.contains("looks in all"), "{codes:?}");
    }
    codes.contains(&"too-many-routes")
}

/// Two routes, 40,000 deeds, 30,000 parts: each deed goes through every part.
#[test]
fn many_acts_upon_many_things_are_refused_before_any_work() {
    assert!(refused(&with(30_000, 40_000, &json!({"clean": []}))));
    // As many of either alone are proved.
    assert!(!refused(&with(30_000, 10, &json!({"clean": []}))));
    assert!(!refused(&with(10, 40_000, &json!({"clean": []}))));
}

/// The names in a deed count: each is looked for among all that is declared.
#[test]
fn names_in_a_deed_count_as_acts() {
    let names: Vec<String> = (0..400).map(|at| format!("p{at}")).collect();
    assert!(refused(&with(5_000, 1_000, &json!({"verify": names}))));
    assert!(!refused(&with(500, 10, &json!({"verify": names}))));
}
