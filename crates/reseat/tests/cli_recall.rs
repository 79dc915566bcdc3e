//! A wrench found out, worked by hand, in the demo home.

#![allow(clippy::unwrap_used)]

mod house;

use house::House;
use serde_json::json;

#[test]
fn every_reading_of_a_wrench_found_out_is_put_in_doubt_by_one_signed_entry() {
    let house = House::empty();
    let mut make = house.command();
    make.args(["demo", "--no-screen", "--at"]).arg(house.home());
    House::ran(&mut make).exits(0);
    house.write("secrets", "Mbali Sefton\ttern lead hand\t240600\n");
    // By hand: the bench found 10 N·m too much everywhere from 60 to 190 N·m, so a reading of R was R − 10 in truth.
    let recall = |more: &[&str]| {
        let mut args = vec!["recall", "TW-19", "--since", "2024-01-01", "--json"];
        args.extend(["--found", "50 N·m = 60 N·m", "--found", "180 N·m = 190 N·m"]);
        args.extend(more);
        args.into_iter().map(str::to_owned).collect::<Vec<String>>()
    };
    let words = recall(&[]);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let listed = house.run(&words).exits(0).json();
    assert_eq!(listed["signed"], json!(false));
    let readings = listed["readings"].as_array().unwrap();
    assert!(!readings.is_empty());
    let number = |value: &serde_json::Value| -> f64 {
        value
            .as_str()
            .unwrap()
            .split(' ')
            .next()
            .unwrap()
            .parse()
            .unwrap()
    };
    for one in readings {
        let truth = number(&one["reading"]) - 10.0;
        assert!((number(&one["corrected"]) - truth).abs() < 1e-9, "{one}");
        let low: f64 = one["window"]
            .as_str()
            .unwrap()
            .split("..")
            .next()
            .unwrap()
            .parse()
            .unwrap();
        assert_eq!(one["stands"] == "now LOW", truth < low, "{one}");
    }
    let record = readings[0]["record"].as_str().unwrap();
    let before = house.run(&["show", record]);
    assert!(!before.exits(0).out.contains("IN DOUBT"));
    let words = recall(&["--reason", "dropped"]);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let signed = house.by("Mbali Sefton", &words).exits(0).json();
    assert_eq!(signed["signed"], json!(true));
    assert_eq!(signed["readings"], listed["readings"]);
    house
        .run(&["show", record])
        .exits(0)
        .says("IN DOUBT: TW-19 was found out");
    house.run(&["verify", "--all"]).exits(0);
}
