//! Every example of the bench's sums as it is promised, with the members it gives and no others.

use serde_json::{Value, json};

use crate::house::House;
use crate::{close, keys, numbers, words};

#[test]
fn convert_and_judge() {
    // 25 × 0.3048 × 4.4482216152605 N·m (exact).
    let found = numbers("convert '25 ft-lb' N.m");
    keys(&found, &["value", "unit"]);
    close(&found["value"], 33.895_448_708_285_01, 1e-15);
    assert_eq!(found["unit"], "N·m");
    let members = [
        "verdict",
        "outcome",
        "distance",
        "from",
        "unit",
        "probability",
    ];
    let judge = "judge --window '25..30 ft-lb' --reading '300 in-lb'";
    let found = numbers(judge);
    keys(&found, &members);
    assert_eq!(
        (&found["verdict"], &found["unit"], &found["probability"]),
        (&json!("WITHIN"), &json!("lbf·ft"), &Value::Null)
    );
    // Exactly on its low limit: one half of the readings that it may have been lie below (Φ(0), the other limit is far).
    for rule in ["simple", "guarded", "four", "probability"] {
        let mut asked = format!("{judge} --uncertainty '2 %' --coverage 2 --rule {rule}");
        if rule == "probability" {
            asked.push_str(" --probability 0.95");
        }
        let found = numbers(&asked);
        keys(&found, &members);
        assert_eq!(
            (&found["verdict"], &found["distance"], &found["from"]),
            (&json!("WITHIN"), &json!(0.0), &json!("low"))
        );
        close(&found["probability"], 0.5, 1e-9);
        let outcome = match rule {
            "simple" => "ACCEPT",
            "four" => "CONDITIONAL ACCEPT",
            _ => "REJECT",
        };
        assert_eq!(found["outcome"], outcome, "{rule}");
    }
}

#[test]
fn adapter_preload_and_torque() {
    // By hand: 100 × 12/(12 + 6) and 100 × 12/(12 − 6).
    let found =
        numbers("adapter --torque '100 in-lb' --lever '12 in' --adapter '6 in' --angle '0 deg'");
    keys(&found, &["setting", "unit"]);
    close(&found["setting"], 200.0 / 3.0, 1e-14);
    assert_eq!(found["unit"], "lbf·in");
    let shorter = numbers("adapter --torque '100 in-lb' --lever '12 in' --adapter '-6 in'");
    close(&shorter["setting"], 200.0, 1e-14);
    // By hand: 31 × 12/(0.2 × 0.375) = 4960 lbf.
    let found = numbers(
        "preload --thread '3/8-16 UNC' --grade 'SAE J429 5' --torque '31 ft-lb' --nut-factor 0.2",
    );
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
    close(&found["preload_lbf"], 4960.0, 1e-14);
    // By hand: 75 % of 85 ksi on the area, times K·D.
    let tight =
        numbers("torque --thread '3/8-16 UNC' --grade 'SAE J429 5' --percent 75 --nut-factor 0.2");
    keys(&tight, &["torque_nm", "torque_lbf_ft", "preload_n"]);
    let clamp = found["stress_area_in2"].as_f64().unwrap() * 0.75 * 85_000.0;
    close(&tight["torque_lbf_ft"], 0.2 * 0.375 * clamp / 12.0, 1e-12);
    close(&tight["preload_n"], clamp * 4.448_221_615_260_5, 1e-12);
}

#[test]
fn order_decay_seat_and_spring() {
    assert_eq!(
        numbers("order 8"),
        json!({"order": [1, 5, 3, 7, 2, 6, 4, 8]})
    );
    let found = numbers("order 8 --pattern circular");
    assert_eq!(found["order"], json!([1, 2, 3, 4, 5, 6, 7, 8]));
    // 40 CFR 1065.644, worked example: printed 0.00030 mol/s (from memory).
    let found = numbers(
        "decay --volume '2 L' --p1 '25.3 kPa a' --p2 '50.6 kPa a' --t1 '293.15 K' --t2 '293.15 K' --time '70 s'",
    );
    keys(&found, &["leak_mol_s", "leak_pa_m3_s", "leak_sccm_0c"]);
    close(&found["leak_mol_s"], 0.000_296_57, 5e-6);
    close(&found["leak_pa_m3_s"], 0.002 * 25_300.0 / 70.0, 1e-12);
    // ANSI/FCI 70-2, class VI table.
    let found = numbers("seat --class VI --port '2 in'");
    assert_eq!(
        found,
        json!({"limit_ml_min": 0.45, "limit_bubbles_min": 3.0})
    );
    // By hand: G·d⁴/(8·D³·n) = 81370 × 2401/(8 × 74088 × 8).
    let found = numbers(
        "spring --modulus '81370 MPa' --wire '7 mm' --mean '42 mm' --coils 8 --load '1250 N'",
    );
    keys(&found, &["rate_n_mm", "deflection_mm"]);
    close(&found["rate_n_mm"], 195_369_370.0 / 4_741_632.0, 1e-12);
    close(
        &found["deflection_mm"],
        1250.0 * 4_741_632.0 / 195_369_370.0,
        1e-12,
    );
    // Measurement Canada S-G-03: (7.1 − 7.0)/(7.0 + 101.325).
    let found = numbers(
        "setpoint-error --reading '7.1 kPa g' --set '7.0 kPa g' --atmosphere '101.325 kPa a'",
    );
    keys(&found, &["error_percent"]);
    close(&found["error_percent"], 10.0 / 108.325, 1e-12);
}

#[test]
fn life() {
    let house = House::empty();
    house.write("lives.csv", "hours,failed\n10,1\n50,0\n32,1\n56,1\n98,1\n");
    let ran = House::ran(
        house
            .command()
            .args(["calc", "--json"])
            .args(words("life lives.csv")),
    );
    let found = ran.exits(0).json();
    for member in ["shape", "scale", "loglik", "mean", "b10"] {
        assert!(found["weibull"][member].is_number(), "{member}: {found}");
    }
    // Kaplan-Meier by hand: 4/5, then × 3/4, then one is withdrawn at 50, then × 1/2, then × 0/1.
    let lines = found["kaplan_meier"].as_array().unwrap();
    let wanted = [
        (10.0, 5, 0.8),
        (32.0, 4, 0.6),
        (56.0, 2, 0.3),
        (98.0, 1, 0.0),
    ];
    assert_eq!(lines.len(), wanted.len());
    for (line, (hours, at_risk, survival)) in lines.iter().zip(wanted) {
        keys(line, &["hours", "at_risk", "failed", "survival"]);
        assert_eq!(
            (&line["hours"], &line["at_risk"], &line["failed"]),
            (&json!(hours), &json!(at_risk), &json!(1))
        );
        assert!(
            (line["survival"].as_f64().unwrap() - survival).abs() < 1e-12,
            "{line}"
        );
    }
}
