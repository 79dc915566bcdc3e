//! Lives of units from a file.

use crate::house::House;
use crate::{close, keys};
use serde_json::Value;
use serde_json::json;

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
