//! A wrench found out, worked by hand, in the demo home.

#![allow(clippy::unwrap_used)]

mod house;

use house::House;
use reseat::desk::{Desk, SetTime};
use serde_json::json;

#[test]
fn every_reading_of_a_wrench_found_out_is_put_in_doubt_by_one_signed_entry() {
    let house = House::demo();
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
    let tag = readings[0]["tag"].as_str().unwrap();
    let serial = readings[0]["serial"].as_str().unwrap();
    assert!(
        !house
            .run(&["history", tag])
            .exits(0)
            .out
            .contains("IN DOUBT")
    );
    // A passphrase file leaves nobody to be asked after the list: without --yes it is a list and no more.
    let words = recall(&["--reason", "dropped"]);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let unasked = house.by("Mbali Sefton", &words).exits(0).json();
    assert_eq!(
        (&unasked["signed"], &unasked["readings"]),
        (&json!(false), &listed["readings"])
    );
    let words = recall(&["--reason", "dropped", "--yes"]);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let ran = house.by("Mbali Sefton", &words);
    ran.exits(0).says("TW-19 is still in service");
    // The list stands on standard error before the passphrase is taken.
    assert!(
        ran.err.contains("stands") && ran.err.contains(record),
        "{}",
        ran.err
    );
    let signed = ran.json();
    assert_eq!(signed["signed"], json!(true));
    assert_eq!(signed["readings"], listed["readings"]);
    // IN DOUBT from then on, wherever the record or the wrench is listed.
    house
        .run(&["show", record])
        .exits(0)
        .says("IN DOUBT: TW-19 was found out");
    let of_record = readings.iter().filter(|one| one["record"] == record);
    let entries: Vec<_> = of_record.map(|one| one["entry"].clone()).collect();
    let shown = house.run(&["show", record, "--json"]).exits(0).json();
    let doubted = shown["in_doubt"].as_array().unwrap();
    assert_eq!(
        doubted
            .iter()
            .map(|one| one["entry"].clone())
            .collect::<Vec<_>>(),
        entries
    );
    assert!(
        doubted.iter().all(|one| one["instrument"] == "TW-19"),
        "{doubted:?}"
    );
    for args in [
        ["history", tag].as_slice(),
        &["history", "--serial", serial],
    ] {
        let (many, count) = (&[args, &["--json"]].concat(), entries.len());
        let rows = house.run(many).exits(0).json();
        let row = rows
            .as_array()
            .unwrap()
            .iter()
            .find(|row| row["record"] == record)
            .unwrap();
        assert_eq!(row["in_doubt"], json!(count));
        assert!(
            !row["outcome"].to_string().contains("DOUBT")
                && !row["state"].to_string().contains("DOUBT"),
            "as it was: {row}"
        );
        house
            .run(args)
            .exits(0)
            .says(&format!("{count} readings IN DOUBT"));
    }
    let instruments = house.run(&["instruments", "--json"]).exits(0).json();
    for one in instruments.as_array().unwrap() {
        let count = if one["id"] == "TW-19" {
            readings.len()
        } else {
            0
        };
        assert_eq!(one["in_doubt"], json!(count), "{one}");
    }
    house
        .run(&["instruments"])
        .exits(0)
        .says(&format!("{} readings IN DOUBT", readings.len()));
    house.run(&["verify", "--all"]).exits(0);
    // The entry names its last good check, or the moment from which readings were looked at.
    let desk = Desk::read(&house.home(), Box::new(SetTime::at(house::CLOCK).unwrap())).unwrap();
    let stream = desk.register().stream();
    let stored = desk.history().entries(&stream).unwrap();
    let last: serde_json::Value = serde_json::from_slice(stored.last().unwrap()).unwrap();
    assert_eq!(last["kind"], "recall/1");
    assert_eq!(
        last["body"]["from"], "2023-12-31T23:00:00.000Z",
        "midnight at +01:00"
    );
    assert_eq!(
        last["body"].get("since"),
        None,
        "no certificate of that day is on the register"
    );
    let named: usize = last["body"]["rebuilds"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|rebuild| ["within", "low", "high", "cannot_say"].map(|place| &rebuild[place]))
        .filter_map(|list| Some(list.as_array()?.len()))
        .sum();
    assert_eq!(named, readings.len());
}

#[test]
fn without_a_day_the_last_good_check_is_the_latest_certificate_and_the_entry_names_it() {
    let house = House::demo();
    let mut args = vec![
        "recall",
        "TW-19",
        "--found",
        "50 N·m = 60 N·m",
        "--found",
        "180 N·m = 190 N·m",
    ];
    let listed = house
        .run(&[args.as_slice(), &["--json"]].concat())
        .exits(0)
        .json();
    let instruments = house.run(&["instruments", "--json"]).exits(0).json();
    let wrench = instruments
        .as_array()
        .unwrap()
        .iter()
        .find(|one| one["id"] == "TW-19")
        .unwrap()
        .clone();
    assert_eq!(listed["since"], wrench["calibrated"]);
    args.extend(["--reason", "bench", "--yes"]);
    house
        .by("Mbali Sefton", &args)
        .exits(0)
        .says("IN DOUBT, by one signed entry");
    let desk = Desk::read(&house.home(), Box::new(SetTime::at(house::CLOCK).unwrap())).unwrap();
    let stored = desk.history().entries(&desk.register().stream()).unwrap();
    let last: serde_json::Value = serde_json::from_slice(stored.last().unwrap()).unwrap();
    let number = last["body"]["since"]["number"].as_u64().unwrap();
    let check: serde_json::Value =
        serde_json::from_slice(&stored[usize::try_from(number).unwrap() - 1]).unwrap();
    assert_eq!(
        (&check["kind"], &check["body"]["id"]),
        (&json!("calibration_renewed/1"), &json!("TW-19"))
    );
}

#[test]
fn bad_input_is_refused_with_a_sentence() {
    let house = House::demo();
    let good = ["--found", "50 N·m = 60 N·m"];
    for (code, args, said) in [
        (2, vec!["recall", "TW-19"], "--found"),
        (
            2,
            vec!["recall", "TW-19", "--found", "9 % high"],
            "a bench point reads",
        ),
        (2, vec!["recall", "TW-19", "--found", "50 = 60"], "unit"),
        (
            2,
            vec!["recall", "TW-19", "--found", "50 N·m = 60 furlong"],
            "furlong",
        ),
        (
            2,
            vec!["recall", "TW-19", "--found", "50 bar = 60 bar"],
            "unit of the scale",
        ),
        (
            2,
            vec![
                "recall",
                "TW-19",
                "--found",
                "90 N·m = 99 N·m",
                "--found",
                "50 N·m = 60 N·m",
            ],
            "do not rise",
        ),
        (
            2,
            vec![
                "recall",
                "TW-19",
                "--found",
                "50 N·m = 60 N·m",
                "--found",
                "51 N·m = 60 N·m",
            ],
            "two different true values",
        ),
        (
            1,
            [vec!["recall", "TW-99"], good.to_vec()].concat(),
            "TW-99",
        ),
        (
            2,
            [
                vec!["recall", "TW-19", "--since", "yesterday"],
                good.to_vec(),
            ]
            .concat(),
            "yesterday",
        ),
        (
            2,
            [
                vec!["recall", "TW-19", "--since", "2026-02-30"],
                good.to_vec(),
            ]
            .concat(),
            "2026-02-30",
        ),
        (
            2,
            [
                vec!["recall", "TW-19", "--by", "Mbali Sefton"],
                good.to_vec(),
            ]
            .concat(),
            "--reason",
        ),
        (
            2,
            [vec!["recall", "TW-19", "--yes"], good.to_vec()].concat(),
            "--by",
        ),
    ] {
        house.run(&args).exits(code).says(said);
    }
    // A performer may not put readings in doubt.
    house.write("secrets", "Ines Falk\ttern day shift\t240601\n");
    let args = [
        vec![
            "recall",
            "TW-19",
            "--since",
            "2024-01-01",
            "--reason",
            "x",
            "--yes",
        ],
        good.to_vec(),
    ]
    .concat();
    house.by("Ines Falk", &args).exits(1);
}
