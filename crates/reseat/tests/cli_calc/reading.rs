//! Conversions, verdicts by each rule, adapters.

use crate::{calc, changed, close, keys, numbers, refuses, says};
use serde_json::json;

#[test]
fn convert() {
    // 25 × 1.3558179483314004 N·m (NIST SP 811, B.8: exact from lbf and ft).
    let found = numbers("convert '25 ft-lb' N.m");
    keys(&found, &["value", "unit"]);
    close(&found["value"], 33.89544870828501, 1e-15);
    assert_eq!(found["unit"], "N·m");
    says("convert '25 ft-lb' N.m", "25 lbf·ft is 33.8954 N·m.");
    says("convert '300 in-lb' ft-lb", "300 lbf·in is 25 lbf·ft.");
    says("convert '-40 °F' °C", "-40 °F is -40 °C.");
    says("convert '45 psig' bar", "45 psi g is 3.10264 bar g.");
    says("convert '45 psig' barg", "45 psi g is 3.10264 bar g.");
    // The switch stands where people put it.
    let behind = calc("convert '-40 °F' °C --json");
    assert_eq!(
        behind.exits(0).json(),
        json!({"value": -40.0, "unit": "°C"})
    );

    refuses("convert 25 N.m", &["\"25\" has no unit", "type the unit"]);
    refuses("convert '' N.m", &["nothing was typed"]);
    refuses("convert 'lots of N·m' N.m", &["not a number"]);
    refuses(
        "convert '25 ft-lb' bar",
        &["lbf·ft is a torque and bar is a pressure"],
    );
    refuses(
        "convert '25 ft-lb' ''",
        &["UNIT: nothing was typed; type a unit"],
    );
    refuses(
        "convert '25 ft-lb' furlong",
        &["\"furlong\" is not a unit known here"],
    );
    refuses("convert '5 Mpsi' bar", &["did you mean psi?\n"]);
    refuses(
        "convert '25 inH2O' Pa",
        &["does not say which column is meant"],
    );
    refuses("convert '6 bar g' 'psi a'", &["type psi without g, a or d"]);
    refuses("convert '6 bar' 'psi g'", &["type psi without g, a or d"]);
}

#[test]
fn judge() {
    let found = numbers("judge --window '25..30 ft-lb' --reading '300 in-lb'");
    assert_eq!(
        found,
        json!({"verdict": "WITHIN", "outcome": "ACCEPT", "distance": 0.0, "from": "low", "unit": "lbf·ft", "probability": null})
    );
    says(
        "judge --window '25..30 ft-lb' --reading '300 in-lb'",
        "300 lbf·in is WITHIN 25..30 lbf·ft, exactly on its low limit. By the rule simple: ACCEPT.",
    );
    says(
        "judge --window '115..130 N·m' --reading '131.5 N·m'",
        "131.5 N·m is HIGH, 1.5 N·m above 115..130 N·m. By the rule simple: REJECT.",
    );
    let low = numbers("judge --window '25..30 ft-lb' --reading '299 in-lb'");
    assert_eq!(
        (&low["verdict"], &low["from"]),
        (&json!("LOW"), &json!("low"))
    );
    close(&low["distance"], 1.0 / 12.0, 1e-15);
    // Negative limits and readings.
    let below = numbers("judge --window '-0.2..-0.1 bar g' --reading '-0.3 bar g'");
    assert_eq!(below["verdict"], "LOW");
    close(&below["distance"], 0.1, 1e-15);
    let open = numbers("judge --window '..0.05 mm' --reading '0.02 mm'");
    assert_eq!(
        (&open["verdict"], &open["from"]),
        (&json!("WITHIN"), &json!("high"))
    );
}

#[test]
fn judge_by_each_rule() {
    // Normal law, tables: 1.2 N·m inside a far limit with a standard uncertainty of 1 N·m is Φ(1.2) = 0.884930 (JCGM 106:2012, 7.4).
    let base = "judge --window '100..200 N·m' --reading '101.2 N·m' --uncertainty '2 N·m'";
    let with = |more: &str| numbers(&format!("{base} {more}"));
    for (rule, outcome) in [
        ("--rule simple", "ACCEPT"),
        ("--rule guarded", "REJECT"),
        ("--rule four", "CONDITIONAL ACCEPT"),
        ("--rule probability", "REJECT"),
        ("--rule probability --probability 0.88", "ACCEPT"),
        ("--rule 'probability 0.88'", "ACCEPT"),
    ] {
        let found = with(rule);
        assert_eq!(found["outcome"], outcome, "{rule:?}");
        assert!((found["probability"].as_f64().unwrap() - 0.8849303).abs() < 1e-6);
    }
    // The same expanded uncertainty with k = 1 is a standard uncertainty of 2: Φ(0.6) = 0.725747.
    let wider = with("--coverage 1");
    assert!((wider["probability"].as_f64().unwrap() - 0.7257469).abs() < 1e-6);
    // A percentage is one of the reading: 2 % of 101.2 with k = 2 is 1.012; Φ(1.2/1.012) = 0.882142.
    let percent =
        numbers("judge --window '100..200 N·m' --reading '101.2 N·m' --uncertainty '2 %'");
    assert!((percent["probability"].as_f64().unwrap() - 0.882142).abs() < 1e-3);
    let out = numbers(
        "judge --window '100..200 N·m' --reading '99 N·m' --uncertainty '2 N·m' --rule four",
    );
    assert_eq!(
        (&out["verdict"], &out["outcome"]),
        (&json!("LOW"), &json!("CONDITIONAL REJECT"))
    );
    says(
        &format!("{base} --rule four"),
        "101.2 N·m is WITHIN 100..200 N·m, 1.2 N·m inside its low limit. By the rule four: CONDITIONAL ACCEPT, probability of conformity 0.884930.",
    );
}

#[test]
fn judge_refuses() {
    let judge = |window: &str, reading: &str, parts: &[&str]| {
        refuses(
            &format!("judge --window '{window}' --reading '{reading}'"),
            parts,
        );
    };
    judge(
        "30..25 ft-lb",
        "26 ft-lb",
        &[
            "--window: the window 30..25 is impossible",
            "swap or correct",
        ],
    );
    judge("25..30", "26 ft-lb", &["--window", "has no unit"]);
    judge("25 ft-lb", "26 ft-lb", &["is not a window", "low..high"]);
    judge(".. ft-lb", "26 ft-lb", &["is not a window"]);
    judge("", "26 ft-lb", &["--window: nothing was typed"]);
    judge("25..30 ft-lb", "26", &["--reading: \"26\" has no unit"]);
    judge(
        "25..30 ft-lb",
        "26 bar",
        &["bar is a pressure and lbf·ft is a torque"],
    );
    judge(
        "5..6 bar g",
        "5.5 bar a",
        &["absolute and gauge pressure cannot be compared"],
    );
    for (more, parts) in [
        ("--rule guarded", ["calc judge", "needs the uncertainty"]),
        (
            "--rule lenient",
            ["--rule", "simple, guarded, four or probability"],
        ),
        ("--uncertainty 2", ["--uncertainty", "has no unit"]),
        ("--uncertainty '-2 %'", ["--uncertainty", "impossible"]),
        ("--uncertainty '2 bar'", ["calc judge", "bar is a pressure"]),
        (
            "--uncertainty '2 %' --coverage 0",
            ["(k = 0)", "coverage factor above 0"],
        ),
        (
            "--uncertainty '2 %' --coverage two",
            ["--coverage", "not a bare number"],
        ),
        ("--coverage 2", ["--coverage", "give --uncertainty too"]),
        (
            "--uncertainty '2 %' --rule probability --probability 1.5",
            ["--probability", "below 1"],
        ),
        (
            "--uncertainty '2 %' --probability 0.9",
            ["--probability", "take --rule probability"],
        ),
    ] {
        let base = "judge --window '25..30 N·m' --reading '26 N·m'";
        refuses(&format!("{base} {more}"), &parts);
    }
}

#[test]
fn adapter() {
    // US Navy NAVEDTRA 14315, figures 3-44 and 3-45: 100 lbf·in, 12 in lever, 6 in adapter, printed 66.7.
    let found = numbers("adapter --torque '100 in-lb' --lever '12 in' --adapter '6 in'");
    keys(&found, &["setting", "unit"]);
    close(&found["setting"], 200.0 / 3.0, 1e-15);
    assert_eq!(found["unit"], "lbf·in");
    says(
        "adapter --torque '100 in-lb' --lever '12 in' --adapter '6 in'",
        "Set 66.67 lbf·in on the wrench for 100 lbf·in at the fastener: lever 12 in, adapter 6 in at 0 °.",
    );
    // An aircraft maintenance manual, paragraph 2-90 (28 Feb 1989): 30 lbf·ft, 1 ft, 0.25 ft, printed 24.
    let found = numbers("adapter --torque '30 ft-lb' --lever '1 ft' --adapter '0.25 ft'");
    close(&found["setting"], 24.0, 1e-15);
    // A negative adapter shortens: 100 × 12/(12 − 2) = 120. Turned round by half a turn it is the same.
    for (length, angle) in [
        ("-2 in", "0 deg"),
        ("2 in", "180 deg"),
        ("2 in", "-180 deg"),
    ] {
        let found = numbers(&format!(
            "adapter --torque '100 in-lb' --lever '12 in' --adapter '{length}' --angle '{angle}'"
        ));
        close(&found["setting"], 120.0, 1e-15);
    }
    // US Army TM 9-254, figure 4-6: L = lever + adapter × cos a; square on it changes nothing, at 60° it counts half.
    let at = |angle: &str| {
        numbers(&format!(
            "adapter --torque '100 N·m' --lever '12 in' --adapter '6 in' --angle '{angle}'"
        ))
    };
    close(&at("90 deg")["setting"], 100.0, 1e-15);
    close(&at("60 deg")["setting"], 80.0, 1e-12);

    let example = "adapter --torque '100 in-lb' --lever '12 in' --adapter '6 in'";
    for (name, value, part) in [
        (
            "--torque",
            "100",
            "--torque: \"100\" has no unit; type a torque with its unit",
        ),
        (
            "--torque",
            "100 bar",
            "--torque: 100 bar is a pressure; type a torque",
        ),
        (
            "--torque",
            "-100 in-lb",
            "--torque: a torque of -100 lbf·in tightens nothing; give one above 0",
        ),
        (
            "--torque",
            "0 in-lb",
            "a torque of 0 lbf·in tightens nothing",
        ),
        (
            "--lever",
            "12",
            "has no unit; type a length with its unit, for example 12 mm",
        ),
        ("--adapter", "6", "--adapter: \"6\" has no unit"),
        (
            "--adapter",
            "",
            "--adapter: nothing was typed; type a length",
        ),
        ("--angle", "30", "--angle: \"30\" has no unit"),
        ("--lever", "0 in", "lever 0 in is impossible"),
        ("--lever", "-12 in", "lever -12 in is impossible"),
        ("--adapter", "-12 in", "leaves no lever"),
    ] {
        refuses(&changed(example, name, value), &[part]);
    }
}
