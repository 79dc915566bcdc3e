//! `reseat calc`: every example of its help, published examples, and every kind of bad input.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::unreadable_literal,
    reason = "a test that fails must say so; published figures stay as printed"
)]

mod house;

use house::{House, Ran};
use serde_json::{Value, json};

/// The words of a command as a shell parts them; only single quotes quote.
fn words(command: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (part, text) in command.split('\'').enumerate() {
        if part % 2 == 1 {
            words.push(text.to_owned());
        } else {
            words.extend(text.split_whitespace().map(str::to_owned));
        }
    }
    words
}

fn calc(command: &str) -> Ran {
    House::ran(House::empty().command().arg("calc").args(words(command)))
}

#[track_caller]
fn numbers(command: &str) -> Value {
    let ran = House::ran(
        House::empty()
            .command()
            .args(["calc", "--json"])
            .args(words(command)),
    );
    ran.exits(0).json()
}

#[track_caller]
fn says(command: &str, sentence: &str) {
    let ran = calc(command);
    assert_eq!(ran.exits(0).out, format!("{sentence}\n"));
    assert_eq!(ran.err, "");
}

/// One line, exit 2, nothing on standard output.
#[track_caller]
fn refuses(command: &str, parts: &[&str]) {
    let ran = calc(command);
    let ran = ran.exits(2);
    assert_eq!(ran.out, "");
    assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
    for part in parts {
        assert!(ran.err.contains(part), "not said: {part}\n{}", ran.err);
    }
}

#[track_caller]
fn close(found: &Value, wanted: f64, relative: f64) {
    let number = found
        .as_f64()
        .unwrap_or_else(|| panic!("{found} is no number"));
    assert!(
        (number - wanted).abs() <= relative * wanted.abs(),
        "{number} is not {wanted}"
    );
}

#[track_caller]
fn keys(found: &Value, wanted: &[&str]) {
    let mut wanted: Vec<&str> = wanted.to_vec();
    wanted.sort_unstable();
    let mut keys: Vec<&str> = found
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    keys.sort_unstable();
    assert_eq!(keys, wanted);
}

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

/// Grade, size, clamp lbf (75 % of SAE J429 proof load), torque lbf·ft at K 0.20.
/// Source: grade 5 and 8 tightening torque guide after IFI 5th edition, Technical Data N-12/N-16.
const TORQUES: [(&str, &str, f64, f64); 20] = [
    ("5", "1/4-20", 2025.0, 8.0),
    ("5", "5/16-18", 3338.0, 17.0),
    ("5", "3/8-16", 4950.0, 31.0),
    ("5", "7/16-14", 6788.0, 50.0),
    ("5", "1/2-13", 9075.0, 76.0),
    ("5", "9/16-12", 11625.0, 109.0),
    ("5", "5/8-11", 14400.0, 150.0),
    ("5", "3/4-10", 21300.0, 266.0),
    ("5", "7/8-9", 29475.0, 430.0),
    ("5", "1-8", 38625.0, 644.0),
    ("8", "1/4-20", 2850.0, 12.0),
    ("8", "5/16-18", 4725.0, 25.0),
    ("8", "3/8-16", 6975.0, 44.0),
    ("8", "7/16-14", 9600.0, 70.0),
    ("8", "1/2-13", 12750.0, 106.0),
    ("8", "9/16-12", 16350.0, 153.0),
    ("8", "5/8-11", 20325.0, 212.0),
    ("8", "3/4-10", 30075.0, 376.0),
    ("8", "7/8-9", 41550.0, 606.0),
    ("8", "1-8", 54525.0, 909.0),
];

#[test]
fn torques_of_the_ifi_based_table() {
    for (grade, size, clamp_lbf, torque_lbf_ft) in TORQUES {
        let bolt = format!("--thread {size} --grade {grade} --nut-factor 0.2");
        let found = numbers(&format!("torque --percent 75 {bolt}"));
        keys(&found, &["torque_nm", "torque_lbf_ft", "preload_n"]);
        // The table rounds its proof loads, so clamp and torque from area and strength agree to a percent, and half a unit of print.
        close(&found["preload_n"], clamp_lbf * 4.4482216152605, 1e-2);
        let torque = found["torque_lbf_ft"].as_f64().unwrap();
        assert!(
            (torque - torque_lbf_ft).abs() <= 0.5 + 0.01 * torque_lbf_ft,
            "{grade} {size}: {torque}"
        );
        close(&found["torque_nm"], torque * 1.3558179483314004, 1e-14);
        let back = numbers(&format!("preload --torque '{torque:.9} ft-lb' {bolt}"));
        close(&back["percent_of_proof"], 75.0, 1e-9);
    }
}

#[test]
fn preload_and_torque() {
    let args =
        "preload --thread '3/8-16 UNC' --grade 'SAE J429 5' --torque '31 ft-lb' --nut-factor 0.2";
    let found = numbers(args);
    keys(
        &found,
        &[
            "stress_area_mm2",
            "stress_area_in2",
            "preload_n",
            "preload_lbf",
            "percent_of_proof",
        ],
    );
    // By hand: 31 × 12/(0.2 × 0.375) = 4960 lbf. Area π/4·(0.375 − 0.9743/16)² in² (ASME B1.1, printed 0.0775). Proof 85 ksi (SAE J429).
    close(&found["preload_lbf"], 4960.0, 1e-14);
    close(&found["preload_n"], 4960.0 * 4.4482216152605, 1e-14);
    close(&found["stress_area_in2"], 0.0775, 1e-3);
    let area_in2 = std::f64::consts::FRAC_PI_4 * (0.375f64 - 0.9743 / 16.0).powi(2);
    close(&found["stress_area_in2"], area_in2, 1e-12);
    close(&found["stress_area_mm2"], area_in2 * 645.16, 1e-12);
    close(
        &found["percent_of_proof"],
        100.0 * 4960.0 / (area_in2 * 85_000.0),
        1e-12,
    );
    says(
        args,
        "31 lbf·ft on 3/8-16 UNC at K 0.2 gives 22063 N (4960 lbf), 75.3 % of the proof of SAE J429 5: above 75 %, which needs an engineer's reason. Stress area 49.99 mm² (0.07749 in²).",
    );
    // ISO 898-1: M16 of 8.8 has a proof load of 91 000 N on its tabulated area of 157 mm².
    let metric = numbers("torque --thread M16 --grade 8.8 --percent '100 %' --nut-factor 0.2");
    close(&metric["preload_n"], 91_000.0, 5e-3);
    close(
        &metric["torque_nm"],
        0.2 * 0.016 * metric["preload_n"].as_f64().unwrap(),
        1e-14,
    );
    calc("torque --thread M16 --grade A4-80 --percent 60 --nut-factor 0.16")
        .exits(0)
        .says("60 % of the 0.2 % yield of ISO 3506-1 A4-80");
    calc("preload --thread M16 --grade 8.8 --torque '400 N·m' --nut-factor 0.2")
        .exits(0)
        .says("the bolt would stretch for good");
}

#[test]
fn preload_and_torque_refuse() {
    let example = "preload --thread M16 --grade 8.8 --torque '31 N·m' --nut-factor 0.2";
    for (name, value, parts) in [
        ("--thread", "3/8-17 UNC", ["the nearest are", "3/8-16 UNC"]),
        ("--thread", "M17", ["M16×2", "type one of those"]),
        ("--thread", "", ["--thread", "is not a thread known here"]),
        ("--grade", "8.9", ["ISO 898-1 8.8", "type one of those"]),
        (
            "--grade",
            "F593C",
            ["--grade", "has no strength for M16×2 here"],
        ),
        ("--torque", "31", ["--torque", "has no unit"]),
        (
            "--torque",
            "31 N",
            ["--torque", "31 N is a force; type a torque"],
        ),
        (
            "--torque",
            "-31 N·m",
            ["-31 N·m tightens nothing", "give one above 0"],
        ),
        (
            "--torque",
            "0 N·m",
            ["0 N·m tightens nothing", "give one above 0"],
        ),
        (
            "--nut-factor",
            "2",
            ["nut factor 2 is impossible", "between 0.05 and 0.5"],
        ),
        (
            "--nut-factor",
            "-0.2",
            ["nut factor -0.2 is impossible", "between"],
        ),
        (
            "--nut-factor",
            "slippery",
            ["--nut-factor", "not a bare number"],
        ),
    ] {
        refuses(&changed(example, name, value), &parts);
    }
    for (percent, part) in [
        ("0", "0 percent of proof is impossible"),
        ("-75", "-75 percent of proof is impossible"),
        ("most", "not a bare number"),
    ] {
        refuses(
            &format!("torque --thread M16 --grade 8.8 --percent {percent} --nut-factor 0.2"),
            &[part],
        );
    }
}

/// Published cross patterns, as positions clockwise from the top in the order of tightening. Source: bolting work sheet in the style of ASME
/// PCC-1, sketches of 4, 8, 12, 16, 20 and 24 bolts.
const CROSS: [(&str, &[u8]); 6] = [
    ("4", &[1, 3, 2, 4]),
    ("8", &[1, 5, 3, 7, 2, 6, 4, 8]),
    ("12", &[1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12]),
    (
        "16",
        &[1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16],
    ),
    (
        "20",
        &[
            1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19,
        ],
    ),
    (
        "24",
        &[
            1, 13, 7, 19, 4, 16, 10, 22, 2, 14, 8, 20, 5, 17, 11, 23, 3, 15, 9, 21, 6, 18, 12, 24,
        ],
    ),
];

#[test]
fn orders_of_the_published_patterns() {
    for (count, positions) in CROSS {
        assert_eq!(
            numbers(&format!("order '{count}'")),
            json!({"order": positions})
        );
        assert_eq!(
            numbers(&format!("order '{count}' --pattern cross")),
            json!({"order": positions})
        );
    }
    // US Army TB 9-3950-253-13&P (July 2009): the second star of 12, and a row of nine labelled 9 7 5 3 1 2 4 6 8 from the left.
    assert_eq!(
        numbers("order 12 --pattern cross-2"),
        json!({"order": [1, 7, 4, 10, 2, 8, 6, 12, 5, 11, 9, 3]})
    );
    let labels = [9, 7, 5, 3, 1, 2, 4, 6, 8];
    let row: Vec<usize> = (1..=9)
        .map(|turn| 1 + labels.iter().position(|label| *label == turn).unwrap())
        .collect();
    assert_eq!(numbers("order 9 --pattern straight"), json!({"order": row}));
    assert_eq!(
        numbers("order 5 --pattern circular"),
        json!({"order": [1, 2, 3, 4, 5]})
    );
    says(
        "order 8",
        "Tighten in this order, cross, positions numbered clockwise from the top: 1, 5, 3, 7, 2, 6, 4, 8.",
    );
    for (count, part) in [
        ("1", "no order for 1 fasteners; give a number from 2 to 64"),
        ("65", "from 2 to 64"),
        ("300", "no order for 300 fasteners"),
        ("-8", "\"-8\" is no count of fasteners"),
        ("eight", "type a whole number from 2 to 64"),
        ("8.5", "type a whole number"),
    ] {
        refuses(&format!("order '{count}'"), &[part]);
    }
    refuses(
        "order 8 --pattern zigzag",
        &["--pattern", "cross, cross-2, circular, straight"],
    );
    refuses(
        "order 8 --pattern cross-2",
        &["published for 12 fasteners only"],
    );
}

#[test]
fn every_order_is_a_permutation_with_its_pairs() {
    // Even n: successive pairs are n/2 apart; odd n: (n ± 1)/2.
    for count in 2u8..=64 {
        let found = numbers(&format!("order {count}"));
        let order: Vec<u8> = serde_json::from_value(found["order"].clone()).unwrap();
        let mut sorted = order.clone();
        sorted.sort_unstable();
        assert_eq!(sorted, (1..=count).collect::<Vec<u8>>());
        for pair in order.chunks_exact(2) {
            let apart = pair[0].abs_diff(pair[1]);
            assert!(
                apart == count / 2 || apart == count.div_ceil(2),
                "{count}: {pair:?}"
            );
        }
    }
}

/// A command with one option given another value, or given at all.
fn changed(command: &str, name: &str, value: &str) -> String {
    let mut words = words(command);
    match words.iter().position(|word| word == name) {
        Some(at) => words[at + 1] = value.into(),
        None => words.extend([name.into(), value.into()]),
    }
    format!("'{}'", words.join("' '"))
}

/// The worked example of 40 CFR 1065.644.
const HOLD: &str = "decay --volume '2 L' --p1 '25.3 kPa a' --p2 '50.6 kPa a' --t1 '293.15 K' --t2 '293.15 K' --time '70 s'";

/// That hold with other values.
fn hold(others: &[(&str, &str)]) -> String {
    others
        .iter()
        .fold(HOLD.to_owned(), |command, (name, value)| {
            changed(&command, name, value)
        })
}

#[test]
fn decay() {
    // 40 CFR 1065.644, worked example: 2 L from 25.3 to 50.6 kPa in 70 s at 293.15 K; 0.00029657 mol/s (printed 0.00030, from memory).
    let found = numbers(HOLD);
    keys(&found, &["leak_mol_s", "leak_pa_m3_s", "leak_sccm_0c"]);
    close(&found["leak_mol_s"], 0.00029657, 5e-6);
    // V·Δp/t = 0.002 × 25300/70, and the same in cm³/min at 273.15 K and 101 325 Pa.
    close(&found["leak_pa_m3_s"], 0.7228571428571429, 1e-12);
    // The gas constant falls out; a table worked with two of them has 398.83929.
    let sccm = 0.7228571428571429 * 273.15 / 293.15 / 101_325.0 * 60e6;
    close(&found["leak_sccm_0c"], sccm, 1e-12);
    close(&found["leak_sccm_0c"], 398.83929, 2e-6);
    says(
        HOLD,
        "Gas leaks into the volume: 0.0002966 mol/s, 0.7229 Pa·m³/s at the first temperature, 398.8 sccm at 0 °C.",
    );
    // The same in gauge: 25.3 − 101.325 and 50.6 − 101.325, and in °C and mL.
    let gauge = numbers(&hold(&[
        ("--p1", "-76.025 kPa g"),
        ("--p2", "-50.725 kPa g"),
        ("--t1", "20 °C"),
        ("--t2", "20 °C"),
        ("--volume", "2000 mL"),
    ]));
    close(
        &gauge["leak_mol_s"],
        found["leak_mol_s"].as_f64().unwrap(),
        1e-12,
    );
    // On a mountain the same gauge reading is less gas, but the change is the same.
    let high = numbers(&hold(&[
        ("--p1", "-50 kPa g"),
        ("--p2", "-24.7 kPa g"),
        ("--atmosphere", "80 kPa a"),
    ]));
    close(
        &high["leak_mol_s"],
        found["leak_mol_s"].as_f64().unwrap(),
        1e-12,
    );
    // Pressure that falls as the gas cools is no leak: 600/300 is 590/295.
    let cooled = hold(&[
        ("--p1", "600 kPa a"),
        ("--p2", "590 kPa a"),
        ("--t1", "300 K"),
        ("--t2", "295 K"),
    ]);
    assert!(numbers(&cooled)["leak_mol_s"].as_f64().unwrap().abs() < 1e-15);
    // Out of the volume is negative.
    let falls = hold(&[("--p1", "50.6 kPa a"), ("--p2", "25.3 kPa a")]);
    close(&numbers(&falls)["leak_mol_s"], -0.00029657, 5e-6);
    calc(&falls)
        .exits(0)
        .says("Gas leaks out of the volume: 0.0002966 mol/s");
}

#[test]
fn decay_refuses() {
    for (name, value, parts) in [
        ("--volume", "2", ["--volume", "has no unit"]),
        ("--volume", "-2 L", ["-2 L is impossible", "above 0"]),
        (
            "--volume",
            "2 mm",
            ["--volume", "2 mm is a length; type a volume"],
        ),
        ("--p1", "25.3", ["--p1", "type a pressure with its unit"]),
        (
            "--p1",
            "25.3 kPa",
            ["25.3 kPa does not say gauge or absolute", "write g or a"],
        ),
        (
            "--p2",
            "50.6 kPa d",
            ["50.6 kPa d does not say gauge or absolute", "write g or a"],
        ),
        (
            "--p1",
            "-200 kPa g",
            ["-200 kPa g is impossible", "above 0"],
        ),
        (
            "--t1",
            "293.15",
            [
                "--t1",
                "type a temperature with its unit, for example 20 °C",
            ],
        ),
        ("--t2", "-300 °C", ["-300 °C is impossible", "above 0"]),
        ("--time", "0 s", ["0 s is impossible", "above 0"]),
        ("--time", "soon", ["--time", "is not a number"]),
        (
            "--atmosphere",
            "1 bar g",
            ["1 bar g does not say", "absolute"],
        ),
    ] {
        refuses(&hold(&[(name, value)]), &parts);
    }
}

#[test]
fn seat() {
    // ANSI/FCI 70-2, class VI table: 2 in, 0.45 mL/min, 3 bubbles a minute.
    let found = numbers("seat --class VI --port '2 in'");
    assert_eq!(
        found,
        json!({"limit_ml_min": 0.45, "limit_bubbles_min": 3.0})
    );
    says(
        "seat --class VI --port '2 in'",
        "Class VI allows at most 0.45 mL/min, 3 bubbles/min (ANSI/FCI 70-2).",
    );
    for (port, ml_min, bubbles) in [
        ("1 in", 0.15, 1.0),
        ("38 mm", 0.30, 2.0),
        ("2.5 in", 0.60, 4.0),
        ("3 in", 0.90, 6.0),
        ("102 mm", 1.70, 11.0),
        ("6 in", 4.0, 27.0),
        ("8 in", 6.75, 45.0),
    ] {
        let found = numbers(&format!("seat --class vi --port '{port}'"));
        close(&found["limit_ml_min"], ml_min, 1e-15);
        close(&found["limit_bubbles_min"], bubbles, 1e-15);
    }
    // ANSI/FCI 70-3-2004 for regulators goes on to 16 in, without bubbles.
    assert_eq!(
        numbers("seat --class VI --port '16 in'"),
        json!({"limit_ml_min": 28.4, "limit_bubbles_min": null})
    );
    // Shares of the rated flow (II 0.5 %, III 0.1 %, IV 0.01 %); V: 0.0005 mL/min for each inch of port and psi of drop.
    for (class, ml_min) in [("II", 500.0), ("III", 100.0), ("IV", 10.0)] {
        let found = numbers(&format!("seat --class '{class}' --rated '100 L/min'"));
        close(&found["limit_ml_min"], ml_min, 1e-12);
        assert_eq!(found["limit_bubbles_min"], Value::Null);
    }
    let five = numbers("seat --class V --port '2 in' --dp '100 psi'");
    close(&five["limit_ml_min"], 0.1, 1e-12);

    refuses(
        "seat --class VII",
        &["--class", "type II, III, IV, V or VI"],
    );
    refuses(
        "seat --class VI",
        &["class VI needs the port diameter; give it"],
    );
    refuses(
        "seat --class IV --port '2 in'",
        &["class IV needs the rated flow"],
    );
    refuses(
        "seat --class V --port '2 in'",
        &["class V needs the pressure drop"],
    );
    refuses("seat --class VI --port 2", &["--port", "has no unit"]);
    refuses(
        "seat --class VI --port '-2 in'",
        &["-2 in is no length above 0"],
    );
    refuses(
        "seat --class VI --port '2 in²'",
        &["--port", "2 in² is a surface; type a length"],
    );
    refuses(
        "seat --class VI --port '20 in'",
        &["the table ends at 16 in"],
    );
    refuses(
        "seat --class IV --rated '100 bar'",
        &["--rated", "type a flow"],
    );
    refuses(
        "seat --class V --port '2 in' --dp '-5 psi'",
        &["no pressure above 0"],
    );
}

#[test]
fn spring() {
    // Springs, example 10.1 of a textbook companion (from memory: design of machine elements): free length printed 109.337611 mm, which is ten
    // coils of 7 mm, nine gaps of 1 mm and the deflection under 1250 N.
    let args = "spring --modulus '81370 MPa' --wire '7 mm' --mean '42 mm' --coils 8";
    let loaded = format!("{args} --load '1250 N'");
    let found = numbers(&loaded);
    keys(&found, &["rate_n_mm", "deflection_mm"]);
    close(&found["rate_n_mm"], 41.202980324074076, 1e-12);
    let free = 79.0 + found["deflection_mm"].as_f64().unwrap();
    assert!((free - 109.337611).abs() < 1e-6);
    says(
        &loaded,
        "The spring's rate is 41.2 N/mm; 1250 N presses it together by 30.34 mm.",
    );
    assert_eq!(numbers(args)["deflection_mm"], Value::Null);
    says(args, "The spring's rate is 41.2 N/mm.");
    says(
        &changed(&loaded, "--load", "-1250 N"),
        "The spring's rate is 41.2 N/mm; -1250 N pulls it out by 30.34 mm.",
    );
    // A second textbook's example 10-1: printed 4.13 lbf/in (from memory); 1 lbf/in is 0.175126835 N/mm (NIST SP 811, B.8: 175.1268 N/m).
    let inch =
        numbers("spring --modulus '11850000 psi' --wire '0.037 in' --mean '0.4 in' --coils 10.5");
    close(&inch["rate_n_mm"], 4.13 * 0.1751268, 1e-3);

    for (name, value, part) in [
        ("--modulus", "81370", "type a pressure with its unit"),
        ("--modulus", "-81370 MPa", "-81370 MPa is impossible"),
        ("--wire", "7 N", "7 N is a force; type a length"),
        ("--wire", "0 mm", "0 mm is impossible"),
        ("--mean", "-42 mm", "-42 mm is impossible"),
        (
            "--coils",
            "0",
            "0 active coils are impossible; give a number above 0",
        ),
        ("--coils", "8 coils", "\"8 coils\" is not a bare number"),
        (
            "--load",
            "1250",
            "type a force with its unit, for example 1250 N",
        ),
        ("--load", "1250 kg", "1250 kg is a mass; type a force"),
    ] {
        refuses(&changed(&loaded, name, value), &[part]);
    }
}

#[test]
fn setpoint_error() {
    // Measurement Canada S-G-03, part 16 clause 2.1 and part 18 clause 3.1: E = (Po − Pset)/(Pset + Ps)·100.
    let args =
        |reading: &str, set: &str| format!("setpoint-error --reading '{reading}' --set '{set}'");
    let found = numbers(&changed(
        &args("7.1 kPa g", "7.0 kPa g"),
        "--atmosphere",
        "101.325 kPa a",
    ));
    keys(&found, &["error_percent"]);
    close(&found["error_percent"], 0.1 / 108.325 * 100.0, 1e-9);
    close(
        &numbers(&args("36.0 kPa g", "34.5 kPa g"))["error_percent"],
        1.1043622308117063,
        1e-9,
    );
    close(
        &numbers(&args("137.325 kPa a", "34.5 kPa g"))["error_percent"],
        1.1043622308117063,
        1e-9,
    );
    says(
        &args("7.1 kPa g", "7.0 kPa g"),
        "7.1 kPa g is 0.09231 % of the absolute set pressure above 7.0 kPa g.",
    );
    says(
        &args("6.9 kPa g", "7.0 kPa g"),
        "6.9 kPa g is 0.09231 % of the absolute set pressure below 7.0 kPa g.",
    );
    refuses(
        &args("7.1 kPa", "7.0 kPa g"),
        &["7.1 kPa does not say gauge or absolute"],
    );
    refuses(&args("7.1 kPa g", "7.0"), &["--set", "has no unit"]);
    refuses(
        &args("7.1 N·m", "7.0 kPa g"),
        &["--reading", "7.1 N·m is a torque; type a pressure"],
    );
    refuses(
        &args("7.1 kPa g", "-200 kPa g"),
        &["-200 kPa g is impossible"],
    );
    refuses(&args("-5 kPa a", "7.0 kPa g"), &["-5 kPa a is impossible"]);
    refuses(
        &changed(&args("7.1 kPa g", "7.0 kPa g"), "--atmosphere", "1 bar g"),
        &["1 bar g", "absolute"],
    );
}

fn lives(text: &str) -> (House, String) {
    let house = House::empty();
    house.write("lives.csv", text);
    (house, "lives.csv".into())
}

#[track_caller]
fn fitted(text: &str) -> Value {
    let (house, file) = lives(text);
    house
        .run(&["calc", "life", &file, "--json"])
        .exits(0)
        .json()
}

#[test]
fn weibull_of_the_nist_handbook() {
    // NIST/SEMATECH e-Handbook 8.4.1.3, data of 8.2.2.1: ten failures, ten units still running at 500 h.
    let mut text = String::from("hours,failed\n");
    text += &[54, 187, 216, 240, 244, 335, 361, 373, 375, 386]
        .map(|hours| format!("{hours},true\n"))
        .concat();
    text.push_str(&"500,false\n".repeat(10));
    let found = fitted(&text);
    keys(&found, &["weibull", "kaplan_meier"]);
    let weibull = &found["weibull"];
    keys(
        weibull,
        &[
            "shape",
            "shape_low",
            "shape_high",
            "scale",
            "scale_low",
            "scale_high",
            "b10",
            "b10_low",
            "b10_high",
            "mean",
            "loglik",
        ],
    );
    close(&weibull["scale"], 606.528, 1e-5);
    close(&weibull["shape"], 1.7208, 1e-5);
    close(&weibull["loglik"], -75.135, 1e-5);
    close(&weibull["mean"], 540.737, 1e-5);
    // B10 is scale·(−ln 0.9)^(1/shape).
    close(
        &weibull["b10"],
        606.5275 * (-(0.9f64.ln())).powf(1.0 / 1.720797),
        1e-5,
    );
    for name in ["shape", "scale", "b10"] {
        let at = |end: &str| weibull[format!("{name}{end}")].as_f64().unwrap();
        assert!(at("_low") < at("") && at("") < at("_high"), "{name}");
    }
    let (house, file) = lives(&text);
    house
        .run(&["calc", "life", &file])
        .exits(0)
        .says("20 lives: 10 failed, 10 still good when last seen.")
        .says("Weibull shape 1.721 (")
        .says("scale 606.5 (")
        .says("mean 540.7 h")
        .says("hours  at risk  failed  still good\n54     20       1       0.95\n");
}

#[test]
fn kaplan_meier_of_the_nist_handbook() {
    // NIST/SEMATECH e-Handbook 8.2.1.5: 20 units; columns turned round, one more column, capitals, spaces and other words for yes and no.
    let mut text = String::from("Failed, Hours, serial\n");
    text += &[10, 32, 56, 98, 122, 181]
        .map(|hours| format!("yes, {hours}, A\n"))
        .concat();
    text += &[50, 100, 125, 150]
        .map(|hours| format!("0,{hours},\"B, spare\"\n"))
        .concat();
    text.push_str(&"no,200\n".repeat(10));
    let found = fitted(&text);
    let steps = found["kaplan_meier"].as_array().unwrap();
    keys(&steps[0], &["hours", "at_risk", "failed", "survival"]);
    let at_risk: Vec<u64> = steps
        .iter()
        .map(|step| step["at_risk"].as_u64().unwrap())
        .collect();
    assert_eq!(at_risk, [20, 19, 17, 16, 14, 11]);
    let wanted = [
        0.95,
        0.9,
        0.8470588235,
        0.7941176471,
        0.7373949580,
        0.6703590527,
    ];
    for (step, survival) in steps.iter().zip(wanted) {
        close(&step["survival"], survival, 1e-9);
        assert_eq!(step["failed"], 1);
    }
}

#[test]
fn too_few_failures_still_tell_what_is_known() {
    let text = "\u{feff}hours,failed\n100,1\n200,0\n";
    let found = fitted(text);
    assert_eq!(found["weibull"], Value::Null);
    assert_eq!(
        found["kaplan_meier"],
        json!([{"hours": 100.0, "at_risk": 2, "failed": 1, "survival": 0.5}])
    );
    let (house, file) = lives(text);
    house
        .run(&["calc", "life", &file])
        .exits(0)
        .says("No Weibull line: a Weibull line needs at least two failures at different times; there are 1.");
}

#[test]
fn a_bad_file_of_lives_names_row_and_column() {
    for (text, part) in [
        (
            "hours,failed\n54,true\n-1,true\n",
            "row 3, column hours: -1 hours is no life; write a number above 0",
        ),
        (
            "hours,failed\n0,true\n",
            "row 2, column hours: 0 hours is no life",
        ),
        (
            "hours,failed\n54,true\nlong,true\n",
            "row 3, column hours: \"long\" is not a bare number",
        ),
        ("hours,failed\n1e3,true\n", "row 2, column hours"),
        (
            "hours,failed\n,true\n",
            "row 2, column hours: nothing stands there",
        ),
        (
            "hours,failed\n54,perhaps\n",
            "row 2, column failed: \"perhaps\" says neither; write true (failed) or false",
        ),
        ("hours,failed\n54\n", "row 2, column failed"),
        ("failed,hours\ntrue,5 h\n", "row 2, column hours"),
        (
            "hours,failed\r\n\r\n54,true\r\n60,sure\r\n",
            "row 4, column failed",
        ),
        (
            "hours,failed\n\n54,true\n\n60,sure\n",
            "row 5, column failed",
        ),
        (
            "hours\n54\n",
            "row 1: the column failed is missing; write hours,failed as the first line",
        ),
        ("54,true\n", "row 1: the column hours is missing"),
        (
            "hours,failed,hours\n54,true,3\n",
            "row 1: the column hours stands twice",
        ),
        ("hours,failed\n", "no lives stand under the heading"),
        ("", "row 1: the column hours is missing"),
    ] {
        let (house, file) = lives(text);
        let ran = house.run(&["calc", "life", &file]);
        assert_eq!(ran.exits(2).err.lines().count(), 1, "{}", ran.err);
        assert!(
            ran.err.starts_with("error: lives.csv: ") && ran.err.contains(part),
            "{part}\n{}",
            ran.err
        );
        assert_eq!(ran.out, "");
    }
    let house = House::empty();
    std::fs::write(house.path("latin.csv"), b"hours,failed\n54,tru\xe9\n").unwrap();
    house
        .run(&["calc", "life", "latin.csv"])
        .exits(2)
        .says("is not UTF-8 text");
    house
        .run(&["calc", "life", "none.csv"])
        .exits(2)
        .says("none.csv: the file could not be read");
}

#[test]
fn help_and_missing_arguments() {
    let help = calc("--help");
    for name in [
        "convert",
        "judge",
        "adapter",
        "preload",
        "torque",
        "order",
        "decay",
        "seat",
        "spring",
        "setpoint-error",
        "life",
    ] {
        help.exits(0).says(name);
        calc(&format!("{name} --help"))
            .exits(0)
            .says("Usage: reseat calc");
        // Nothing given is asked for by name.
        calc(name).exits(2).says("required");
    }
    calc("").exits(2).says("Usage: reseat calc");
    calc("guess").exits(2).says("guess");
}

#[test]
fn typed_text_does_not_steer_the_terminal() {
    let ran = calc("convert '25 \u{1b}[2Jlb' N.m");
    assert!(!ran.exits(2).err.contains('\u{1b}'));
    let ran = calc("judge --window '25..30 N·m' --reading '26 N·m' --rule '\u{202e}elpmis'");
    assert!(!ran.exits(2).err.contains('\u{202e}'));
}
