//! Instruments, their certificates and service, and the decision rule that wants an uncertainty of them.

use serde_json::json;

use crate::house::House;

#[test]
fn instruments_come_are_quarantined_and_go() {
    let house = House::founded();
    house.adds_a_wrench();
    let list = house.run(&["instruments", "--json"]);
    let expected = json!([{"id": "TW-19", "serial": "W-119", "kind": "dial torque wrench", "scale": "N·m",
        "range": "40..200 N·m", "usable": null, "resolution": "1 N·m", "deviation": "4 % of reading", "uncertainty": null,
        "coverage": null, "certificate": "C-26-19", "calibrated": "2026-01-10", "due": "2027-01-10",
        "service": "in service", "in_doubt": 0}]);
    assert_eq!(list.exits(0).json(), expected);
    // A new certificate with its uncertainty; a permissible deviation of nothing is one.
    let renew = |more: &[&str]| {
        let args = [
            "instruments",
            "renew",
            "TW-19",
            "--certificate",
            "C-26-88",
            "--calibrated",
            "2026-02-01",
            "--due",
            "2027-02-01",
        ];
        house.by("Mbali Sefton", &[args.as_slice(), more].concat())
    };
    renew(&[
        "--deviation",
        "0 N·m",
        "--uncertainty",
        "1 %",
        "--coverage",
        "2",
    ])
    .exits(0);
    let one = house.run(&["instruments", "--json"]).exits(0).json()[0].clone();
    assert_eq!(
        (&one["deviation"], &one["uncertainty"], &one["coverage"]),
        (&json!("0 N·m"), &json!("1 %"), &json!("2"))
    );
    assert_eq!(
        (&one["certificate"], &one["calibrated"]),
        (&json!("C-26-88"), &json!("2026-02-01"))
    );
    for (code, more, says) in [
        (
            2,
            ["--deviation", "4 % of reading", "--uncertainty", "1 %"].as_slice(),
            "--coverage",
        ),
        (
            2,
            &["--deviation", "4 % of reading", "--coverage", "2"],
            "--uncertainty",
        ),
        (
            2,
            &[
                "--deviation",
                "4 % of reading",
                "--uncertainty",
                "little",
                "--coverage",
                "2",
            ],
            "--uncertainty",
        ),
        (
            2,
            &[
                "--deviation",
                "4 % of reading",
                "--uncertainty",
                "1 %",
                "--coverage",
                "two",
            ],
            "--coverage",
        ),
        (2, &["--deviation", "-4 % of reading"], "--deviation"),
        (
            2,
            &[
                "--deviation",
                "4 % of reading",
                "--uncertainty",
                "1 bar",
                "--coverage",
                "2",
            ],
            "uncertainty",
        ),
        (
            2,
            &[
                "--deviation",
                "4 % of reading",
                "--uncertainty",
                "0 N·m",
                "--coverage",
                "2",
            ],
            "uncertainty",
        ),
        (
            2,
            &[
                "--deviation",
                "4 % of reading",
                "--uncertainty",
                "1 %",
                "--coverage",
                "0",
            ],
            "coverage factor",
        ),
        (2, &["--deviation", "0.1 bar"], "permissible deviation"),
    ] {
        renew(more).exits(code).says(says);
    }
    house
        .by(
            "Mbali Sefton",
            &["instruments", "quarantine", "TW-19", "--reason", "dropped"],
        )
        .exits(0);
    house.run(&["instruments"]).exits(0).says("quarantined");
    house
        .by(
            "Mbali Sefton",
            &["instruments", "return", "TW-19", "--reason", "bench check"],
        )
        .exits(0);
    house
        .by(
            "Mbali Sefton",
            &["instruments", "withdraw", "TW-19", "--reason", "worn"],
        )
        .exits(0);
    house
        .by(
            "Mbali Sefton",
            &["instruments", "return", "TW-19", "--reason", "x"],
        )
        .exits(1);
    house
        .by(
            "Mbali Sefton",
            &["instruments", "quarantine", "TW-20", "--reason", "x"],
        )
        .exits(1);
}

#[test]
fn a_lead_sets_the_decision_rule_and_hears_who_lacks_an_uncertainty() {
    let house = House::founded();
    let said = house.run(&["rule"]);
    assert_eq!(said.exits(0).out, "simple, until the site names another\n");
    assert_eq!(
        house.run(&["rule", "--json"]).exits(0).json(),
        json!({"rule": "simple", "since": null})
    );
    house.adds_a_wrench();
    let set = house.by("Mbali Sefton", &["rule", "set", "probability 0.95"]);
    assert!(
        set.exits(0)
            .out
            .starts_with("Readings are judged by the rule \"probability 0.95\"")
            && set.out.contains("states none for TW-19"),
        "{}",
        set.out
    );
    let shown = house.run(&["rule", "--json"]).exits(0).json();
    assert_eq!(shown["rule"], "probability 0.95");
    assert!(shown["since"].is_number());
    house
        .by("Mbali Sefton", &["rule", "set", "probability 0.95"])
        .exits(1);
    for bad in ["by eye", "probability", "probability 0.3", ""] {
        house.by("Mbali Sefton", &["rule", "set", bad]).exits(2);
    }
    house.run(&["verify"]).exits(0);
}
