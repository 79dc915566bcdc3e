//! People, units, instruments and procedures on the command line, and bad input for each of their arguments.

#![allow(clippy::unwrap_used)]

mod house;

use house::{CLOCK, House};
use reseat::desk::{Desk, SetTime};
use serde_json::json;

const INSTRUMENT: [&str; 18] = [
    "--serial",
    "W-119",
    "--kind",
    "dial torque wrench",
    "--scale",
    "N·m",
    "--range",
    "40..200 N·m",
    "--resolution",
    "1 N·m",
    "--certificate",
    "C-26-19",
    "--calibrated",
    "2026-01-10",
    "--due",
    "2027-01-10",
    "--deviation",
    "4 % of reading",
];

#[test]
fn a_lead_enrols_gives_roles_and_retires() {
    let house = House::founded();
    let added = house.by(
        "Mbali Sefton",
        &[
            "people",
            "add",
            "Ines Falk",
            "--role",
            "performer",
            "--role",
            "verifier",
        ],
    );
    assert_eq!(
        house.plain(&added.exits(0).out),
        "Ines Falk is enrolled, id [ID]\n"
    );
    house
        .by(
            "mbali sefton",
            &["people", "roles", "Ines Falk", "--role", "performer"],
        )
        .exits(0);
    house
        .by(
            "Mbali Sefton",
            &["people", "retire", "Ines Falk", "--reason", "left the site"],
        )
        .exits(0);
    let list = house.run(&["people", "--json"]);
    let falk = list
        .exits(0)
        .json()
        .as_array()
        .unwrap()
        .iter()
        .find(|one| one["name"] == "Ines Falk")
        .unwrap()
        .clone();
    assert_eq!(
        (&falk["roles"], &falk["retired"]),
        (&json!(["performer"]), &json!(true))
    );
    let shown = house.run(&["people"]);
    assert_eq!(
        house.plain(&shown.exits(0).out),
        "name          id                   roles\n\
         Mbali Sefton  [ID]  lead\n\
         Tomas Brel    [ID]  author\n\
         Yara Quist    [ID]  approver\n\
         Ines Falk     [ID]  retired\n"
    );
}

#[test]
fn a_refusal_is_said_with_its_remedy_and_exit_1() {
    let house = House::founded();
    let not_lead = house.by(
        "Tomas Brel",
        &["people", "add", "Ines Falk", "--role", "performer"],
    );
    not_lead.exits(1).says("error: ").says("help: ");
    house
        .by(
            "Mbali Sefton",
            &["people", "add", "Tomas Brel", "--role", "performer"],
        )
        .exits(1)
        .says("already on the register");
    house
        .by(
            "Nobody",
            &["people", "retire", "Tomas Brel", "--reason", "x"],
        )
        .exits(1)
        .says("not on the register");
    house
        .by(
            "Mbali Sefton",
            &["people", "retire", "Nobody", "--reason", "x"],
        )
        .exits(1)
        .says("not on the register");
    house
        .by(
            "Mbali Sefton",
            &["people", "retire", "Mbali Sefton", "--reason", "x"],
        )
        .exits(1);
    let steering = "a\u{1b}[2J";
    house
        .by(
            "Mbali Sefton",
            &["people", "retire", "Tomas Brel", "--reason", steering],
        )
        .exits(1)
        .says("control character");
}

#[test]
fn wrong_words_in_arguments_are_exit_2_and_name_what_may_stand_there() {
    let house = House::founded();
    house
        .by("Mbali Sefton", &["people", "add", "X", "--role", "boss"])
        .exits(2)
        .says("performer, verifier");
    house
        .by("Mbali Sefton", &["people", "add", "X"])
        .exits(2)
        .says("--role");
    house
        .run(&["people", "add", "X", "--role", "lead"])
        .exits(2)
        .says("--by");
    house.run(&["peple"]).exits(2).says("people");
    let mut wrong = INSTRUMENT;
    for (place, value, says) in [
        (3, "hammer", "a kind is one of"),
        (5, "furlongs", "--scale"),
        (7, "40-200 N·m", "--range"),
        (7, "200..40 N·m", "--range"),
        (9, "1", "--resolution"),
        (17, "about right", "4 % of reading"),
    ] {
        let before = std::mem::replace(&mut wrong[place], value);
        let args: Vec<&str> = ["instruments", "add", "TW-19"]
            .into_iter()
            .chain(wrong)
            .collect();
        house.by("Mbali Sefton", &args).exits(2).says(says);
        wrong[place] = before;
    }
    for point in ["V-1;brine", "V-1;brine;half;shut"] {
        house
            .by(
                "Mbali Sefton",
                &["units", "place", "FV-1", "--name", "x", "--point", point],
            )
            .exits(2)
            .says("--point");
    }
}

#[test]
fn passphrase_files_that_do_not_help_are_named() {
    let house = House::founded();
    let args = [
        "people",
        "retire",
        "Tomas Brel",
        "--reason",
        "x",
        "--by",
        "Mbali Sefton",
    ];
    house
        .run(&args)
        .exits(2)
        .says("no terminal")
        .says("--passphrase-file");
    let with = |name: &str| {
        House::ran(
            house
                .command()
                .args(args)
                .arg("--passphrase-file")
                .arg(house.path(name)),
        )
    };
    with("nowhere").exits(2).says("cannot be read");
    house.write("short", "Mbali Sefton\tosmosis runs uphill\n");
    with("short").exits(2).says("Line 1 of");
    house.write("other", "Tomas Brel\tx\t1\n");
    with("other").exits(2).says("no line for Mbali Sefton");
    house.write("wrong", "Mbali Sefton\twrong passphrase\t314159\n");
    with("wrong").exits(1).says("does not open");
    house.write("pin", "Mbali Sefton\tosmosis runs uphill\t000000\n");
    with("pin").exits(1).says("Wrong PIN. 4 tries are left.");
}

#[test]
fn units_stand_in_places_and_move() {
    let house = House::founded();
    house
        .run(&["units"])
        .exits(0)
        .says("No places or units yet");
    let place = [
        "units",
        "place",
        "FV-3302",
        "--name",
        "brine reject",
        "--point",
        "V-3301;brine;isolating;shut",
    ];
    house.by("Mbali Sefton", &place).exits(0);
    let unit = [
        "units",
        "add",
        "TP-0388",
        "--name",
        "brine reject control valve",
        "--model",
        "DN50 globe",
        "--at",
        "FV-3302",
    ];
    house.by("Mbali Sefton", &unit).exits(0);
    let list = house.run(&["units", "--json"]);
    let expected = json!([{"tag": "FV-3302", "serial": "TP-0388", "name": "brine reject control valve", "model": "DN50 globe",
                           "state": "NO REBUILD HERE YET", "record": null, "in_doubt": 0}]);
    assert_eq!(list.exits(0).json(), expected);
    house
        .by("Mbali Sefton", &["units", "remove", "TP-0388", "FV-3302"])
        .exits(0);
    assert_eq!(
        house.run(&["units"]).exits(0).out,
        "tag      serial   name                        state\n\
         FV-3302           brine reject                NO UNIT FITTED\n         \
                  TP-0388  brine reject control valve  NO REBUILD HERE YET\n"
    );
    house
        .by("Mbali Sefton", &["units", "fit", "TP-0388", "FV-9999"])
        .exits(1);
    house
        .by("Mbali Sefton", &["units", "fit", "TP-9999", "FV-3302"])
        .exits(1);
}

#[test]
fn instruments_come_are_quarantined_and_go() {
    let house = House::founded();
    let add: Vec<&str> = ["instruments", "add", "TW-19"]
        .into_iter()
        .chain(INSTRUMENT)
        .collect();
    house.by("Mbali Sefton", &add).exits(0);
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
            1,
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
            1,
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
            1,
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
        (1, &["--deviation", "0.1 bar"], "permissible deviation"),
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
fn the_words_of_the_site_give_the_last_lead_a_new_key() {
    let house = House::founded();
    house.write("new", "Mbali Sefton\tosmosis runs downhill\t314159\n");
    let lead = |words: &str| {
        let mut command = house.command();
        command
            .args(["people", "lead", "Mbali Sefton", "--words"])
            .arg(house.path(words));
        House::ran(command.arg("--passphrase-file").arg(house.path("new")))
    };
    lead("missing").exits(2).says("cannot be read");
    house.write("few", "acorn alder amber");
    lead("few")
        .exits(1)
        .says("ords typed: 3; the paper has 33.");
    lead("words").exits(0).says("Mbali Sefton has a new key.");
    let args = ["people", "retire", "Tomas Brel", "--reason", "x"];
    house
        .by("Mbali Sefton", &args)
        .exits(1)
        .says("does not open");
    house.write("secrets", "Mbali Sefton\tosmosis runs downhill\t314159\n");
    house.by("Mbali Sefton", &args).exits(0);
}

#[test]
fn shipped_procedures_come_unapproved_and_are_approved_by_name_or_file() {
    let house = House::founded();
    let list = house.run(&["procedures", "--json"]);
    let list = list.exits(0).json();
    let shipped = list
        .as_array()
        .unwrap()
        .iter()
        .find(|row| row["number"] == "P-33-A")
        .unwrap()
        .clone();
    assert_eq!(
        (&shipped["stands"], &shipped["approver"]),
        (&json!("shipped, not approved"), &json!(null))
    );
    let args = [
        "approve",
        "FV-3302.json",
        "--author",
        "Tomas Brel",
        "--walked-by",
        "Tomas Brel",
        "--walked-on",
        "2026-03-01",
    ];
    house.by("Tomas Brel", &args).exits(1);
    house
        .reads("Yara Quist", &args, 20)
        .exits(1)
        .says("page 21 of ")
        .says("Nothing was done");
    house
        .run(&["procedures"])
        .exits(0)
        .says("shipped, not approved");
    let read = house.reads("Yara Quist", &args, 400);
    read.exits(0)
        .says("Revision C of P-33-A is approved for this site.")
        .says("after it: ");
    house.by("Yara Quist", &args).exits(1);
    house.run(&["procedures"]).exits(0).says("approved");
    house
        .by(
            "Yara Quist",
            &[
                "procedures",
                "retire",
                "P-33-A",
                "C",
                "--reason",
                "replaced",
            ],
        )
        .exits(0);
    house.run(&["procedures"]).exits(0).says("superseded");
}

#[test]
fn a_broken_file_is_not_approved_and_bad_arguments_are_named() {
    let house = House::founded();
    let file = house.write("broken.json", "{\"format\":1}");
    let file = file.to_string_lossy().into_owned();
    let args = |file: &str, day: &str, author: &str| {
        let args = [
            "approve",
            file,
            "--author",
            author,
            "--walked-by",
            "Tomas Brel",
            "--walked-on",
            day,
        ];
        house.by("Yara Quist", &args)
    };
    args(&file, "2026-03-01", "Tomas Brel")
        .exits(1)
        .says("missing-member")
        .says("is not approved");
    args("nowhere.json", "2026-03-01", "Tomas Brel")
        .exits(2)
        .says("cannot be read");
    args("FV-3302.json", "1 March", "Tomas Brel").exits(1);
    args("FV-3302.json", "2026-03-01", "Nobody")
        .exits(1)
        .says("not on the register");
    args("FV-3302.json", "2026-03-01", "Yara Quist").exits(1);
    house
        .by(
            "Mbali Sefton",
            &["procedures", "retire", "P-1", "A", "--reason", "x"],
        )
        .exits(1);
}

#[test]
fn an_approval_keeps_what_was_read_and_warnings_want_a_reason() {
    let house = House::founded();
    let text = std::fs::read_to_string(shipped("FV-3302.json")).unwrap();
    let passes = "\"passes\": [\"40 N·m\", \"80 N·m\", \"122 N·m\"]";
    assert!(text.contains(passes), "the passes of J1");
    let warned = text.replacen(passes, "\"passes\": [\"40 N·m\", \"122 N·m\"]", 1);
    house.write("warned.json", &warned);
    house
        .run(&["check", "warned.json"])
        .exits(0)
        .says("0 errors, 1 warning, 0 notes");
    let args = |more: &[&'static str]| {
        let mut args = vec![
            "approve",
            "warned.json",
            "--author",
            "Tomas Brel",
            "--walked-by",
            "Tomas Brel",
            "--walked-on",
            "2026-03-01",
        ];
        args.extend(more);
        args
    };
    house
        .reads("Yara Quist", &args(&[]), 400)
        .exits(1)
        .says("no reason why they may stand");
    house
        .reads(
            "Yara Quist",
            &args(&["--reason", "two passes by the maker of the ring"]),
            400,
        )
        .exits(0);
    let desk = Desk::read(&house.home(), Box::new(SetTime::at(CLOCK).unwrap())).unwrap();
    let approval = desk.register().approved_now("P-33-A").unwrap();
    let read = approval.read.as_ref().unwrap();
    assert_eq!((read.routes, read.pages == read.of), (1, true));
    assert!(read.of > 160, "{}", read.of);
    assert_eq!(read.findings[0].code, "pass-steps");
    assert_eq!(
        read.reason.as_deref(),
        Some("two passes by the maker of the ring")
    );
}

fn shipped(name: &str) -> std::path::PathBuf {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../procedures")
        .join(name)
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
    let mut add = vec!["instruments", "add", "TW-19"];
    add.extend(INSTRUMENT);
    house.by("Mbali Sefton", &add).exits(0);
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
