//! Commands that read: their output, their JSON, their exit codes; homes that cannot be read.

#![allow(clippy::unwrap_used)]

mod house;

use std::io::Read;
use std::process::Stdio;

use house::{CLOCK, House, copy_folder};
use reseat::desk::{Desk, Founding, SystemTime};
use serde_json::json;
use zeroize::Zeroizing;

#[test]
fn help_and_version_are_answers() {
    let house = House::empty();
    house.run(&["--help"]).exits(0).says("Usage: reseat");
    house.run(&["--version"]).exits(0).says("reseat 0.1.0");
    for command in [
        "units",
        "history",
        "show",
        "check",
        "verify",
        "people",
        "instruments",
        "procedures",
        "approve",
    ] {
        house.run(&[command, "--help"]).exits(0).says("--home");
    }
    for command in [
        "units",
        "history",
        "show",
        "check",
        "verify",
        "people",
        "instruments",
        "procedures",
    ] {
        house.run(&[command, "--help"]).exits(0).says("--json");
    }
}

#[test]
fn a_home_where_nothing_was_founded_is_exit_2_and_is_left_alone() {
    let house = House::empty();
    for args in [
        &["units"][..],
        &["people"],
        &["history", "FV-1"],
        &["verify"],
        &["show", "K7QF"],
    ] {
        house.run(args).exits(2).says("error: ").says("help: ");
    }
    assert!(!house.home().exists());
}

#[test]
fn homes_that_cannot_be_are_refused_in_words() {
    let house = House::founded();
    House::ran(house.command().env("RESEAT_HOME", "here").arg("units"))
        .exits(2)
        .says("RESEAT_HOME gives \"here\"");
    house
        .run(&["--home", "here", "units"])
        .exits(2)
        .says("--home gives \"here\"");
    house
        .run(&["units", "--home", &house.home().to_string_lossy()])
        .exits(0);
    let file = house.write("file", "x");
    house
        .run(&["--home", &file.to_string_lossy(), "units"])
        .exits(2);
    std::fs::write(
        house.home().join("history.db"),
        "this is no history, only words",
    )
    .unwrap();
    house.run(&["units"]).exits(2).says("help: ");
}

#[test]
fn without_a_terminal_the_screens_do_not_open() {
    House::founded()
        .run(&[])
        .exits(2)
        .says("The screens need a terminal");
}

#[test]
fn a_clock_set_by_hand_stops_a_real_home_and_a_bad_one_any() {
    let house = House::empty();
    let founding = Founding {
        site: "Tern Point".into(),
        rule: "29 CFR 1910.147".into(),
        lead_name: "Mbali Sefton".into(),
        passphrase: Zeroizing::new("osmosis runs uphill".into()),
        pin: Zeroizing::new("314159".into()),
    };
    Desk::found(&house.home(), &founding, Box::new(SystemTime::new())).unwrap();
    house
        .run(&["units"])
        .exits(2)
        .says("RESEAT_DEMO_CLOCK is set, and this is not a demo home.");
    House::ran(house.command().env_remove("RESEAT_DEMO_CLOCK").arg("units")).exits(0);
    let demo = House::founded();
    for bad in [
        "yesterday",
        "",
        "2026-02-30T00:00:00.000Z",
        "2026-03-12T06:00:00.000Z+25:00",
    ] {
        House::ran(demo.command().env("RESEAT_DEMO_CLOCK", bad).arg("units"))
            .exits(2)
            .says("is no instant");
    }
    House::ran(demo.command().env("RESEAT_DEMO_CLOCK", CLOCK).arg("units")).exits(0);
}

#[test]
fn identifiers_are_taken_by_an_unambiguous_beginning() {
    let house = House::founded();
    let list = house.run(&["verify", "--json"]);
    let list = list.exits(0).json();
    let register = list[0]["record"].as_str().unwrap();
    assert_eq!(
        list,
        json!([{"record": register, "result": "whole", "entry": null, "reason": ""}])
    );
    house
        .run(&["verify", &register[..4].to_lowercase()])
        .exits(0)
        .says("whole");
    house
        .run(&["verify", &register[..3]])
        .exits(2)
        .says("too short");
    let missing = if register.starts_with("ZZZZ") {
        "YYYY"
    } else {
        "ZZZZ"
    };
    house
        .run(&["verify", missing])
        .exits(2)
        .says("No record here begins with");
    house.run(&["show", missing]).exits(2);
    house.run(&["verify", "--all", register]).exits(2);
}

#[test]
fn a_record_is_shown_whole_and_exact() {
    let house = House::founded();
    let list = house.run(&["verify", "--json"]);
    let register = list.exits(0).json()[0]["record"]
        .as_str()
        .unwrap()
        .to_owned();
    let shown = house.run(&["show", &register, "--json"]);
    let shown = shown.exits(0).json();
    assert_eq!(
        (&shown["stream"], &shown["demo"], &shown["signed"]),
        (&json!(register), &json!(true), &json!(false))
    );
    let desk = Desk::read(
        &house.home(),
        Box::new(reseat::desk::SetTime::at(CLOCK).unwrap()),
    )
    .unwrap();
    let entries = desk.history().entries(&desk.register().stream()).unwrap();
    let text = house.run(&["show", &register, "--json"]).out;
    for bytes in &entries {
        assert!(
            text.contains(std::str::from_utf8(bytes).unwrap()),
            "the entries stand there byte for byte"
        );
    }
    house
        .run(&["show", &register])
        .exits(0)
        .says("Chain of 3 entries: whole")
        .says("founded/1");
}

#[test]
fn history_asks_for_a_place_or_a_serial() {
    let house = House::founded();
    house.run(&["history"]).exits(2).says("<TAG>");
    house.run(&["history", "FV-1", "--serial", "X"]).exits(2);
    house.run(&["history", "FV-1"]).exits(1);
    house.run(&["history", "--serial", "X"]).exits(1);
}

#[test]
fn procedure_files_that_are_none_are_exit_2() {
    let house = House::empty();
    house.run(&["check"]).exits(2).says("FILE");
    house
        .run(&["check", "nowhere.json"])
        .exits(2)
        .says("cannot be read");
    for (name, text, code) in [
        ("json", "{\"format\":1,", "not-json"),
        ("bom", "\u{feff}{}", "byte-order-mark"),
        ("newer", "{\"format\":2}", "format-unknown"),
        ("deep", &"[".repeat(100_000), "too-deep"),
    ] {
        let file = house.write(name, text);
        house
            .run(&["check", &file.to_string_lossy()])
            .exits(2)
            .says(code);
    }
    std::fs::write(house.path("latin"), b"{\"title\": \"d\xe9bit\"}").unwrap();
    house
        .run(&["check", &house.path("latin").to_string_lossy()])
        .exits(2)
        .says("not-utf8");
    let steering = house.write("steer", "{\"format\":1,\"number\":\"\u{202e}P\u{7f}\"}");
    let checked = house.run(&["check", &steering.to_string_lossy()]);
    checked.exits(1).says("control-character");
    assert!(
        !checked.out.contains('\u{202e}') && !checked.out.contains('\u{7f}'),
        "{}",
        checked.out
    );
}

#[test]
fn findings_have_the_promised_shape() {
    let house = House::empty();
    let file = house.write("p.json", "{\"format\":1}");
    let found = house.run(&["check", "--json", &file.to_string_lossy()]);
    let found = found.exits(1).json();
    let first = found[0].as_object().unwrap();
    let members: Vec<&str> = first.keys().map(String::as_str).collect();
    let mut expected = [
        "file", "code", "severity", "step", "number", "line", "column", "options", "message",
        "remedy",
    ];
    expected.sort_unstable();
    assert_eq!(members, expected);
    assert_eq!(
        (&first["severity"], &first["line"], &first["column"]),
        (&json!("error"), &json!(1), &json!(1))
    );
}

#[test]
fn a_reader_who_leaves_early_is_no_error() {
    let house = House::founded();
    let register = house.run(&["verify", "--json"]).json()[0]["record"]
        .as_str()
        .unwrap()
        .to_owned();
    let mut child = house
        .command()
        .args(["show", &register])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    assert_eq!(child.wait().unwrap().code(), Some(0));
    let mut said = String::new();
    child
        .stderr
        .take()
        .unwrap()
        .read_to_string(&mut said)
        .unwrap();
    assert_eq!(said, "");
}

#[test]
fn a_byte_changed_in_any_entry_of_the_register_is_found() {
    let house = House::founded();
    let desk = Desk::read(
        &house.home(),
        Box::new(reseat::desk::SetTime::at(CLOCK).unwrap()),
    )
    .unwrap();
    let entries = desk.history().entries(&desk.register().stream()).unwrap();
    drop(desk);
    for (number, bytes) in (1..).zip(&entries) {
        let copy = House::empty();
        copy_folder(&house.home(), &copy.home());
        // The log beside the file was written back at the end of the session, so every byte stands in the file itself.
        let file = copy.home().join("history.db");
        let mut database = std::fs::read(&file).unwrap();
        let whole = bytes.as_slice();
        let at = database
            .windows(whole.len())
            .position(|window| window == whole);
        // A digit of the signature's last half: its members stand in the order of their names.
        let member = whole
            .windows(9)
            .position(|window| window == b"\"ed25519\"")
            .unwrap();
        let digit = &mut database[at.expect("the entry stands in the file") + member + 20];
        *digit = if *digit == b'0' { b'1' } else { b'0' };
        std::fs::write(&file, database).unwrap();
        let list = copy.run(&["verify", "--json"]);
        let list = list.exits(1).json();
        assert_eq!(
            (&list[0]["result"], &list[0]["entry"]),
            (&json!("tampered"), &json!(number))
        );
        copy.run(&["units"])
            .exits(1)
            .says("does not hold at entry")
            .says("reseat verify --all");
    }
}

#[test]
fn a_history_of_a_newer_schema_is_refused_and_left_alone() {
    let house = House::founded();
    let file = house.home().join("history.db");
    let mut database = std::fs::read(&file).unwrap();
    // The schema number is SQLite's user version: offset 60 of the file's header, big-endian (sqlite.org, file format, 1.3).
    database[60..64].copy_from_slice(&99_u32.to_be_bytes());
    std::fs::write(&file, &database).unwrap();
    for args in [&["units"][..], &["verify"], &["people"], &["reindex"]] {
        house.run(args).exits(2).says("help: ");
    }
    house
        .by(
            "Mbali Sefton",
            &["people", "retire", "Tomas Brel", "--reason", "x"],
        )
        .exits(2);
    assert_eq!(std::fs::read(&file).unwrap(), database);
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_under_the_output_is_said() {
    let house = House::founded();
    let full = std::fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .unwrap();
    let output = house.command().arg("people").stdout(full).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(
        String::from_utf8(output.stderr)
            .unwrap()
            .contains("The output could not be written")
    );
}

#[test]
fn the_index_is_made_anew_and_says_the_same() {
    let house = House::demo();
    let read = |house: &House| {
        [
            house.run(&["units"]).out,
            house.run(&["history", "FV-3302"]).out,
        ]
    };
    let before = read(&house);
    house
        .run(&["reindex"])
        .exits(0)
        .says("The index is made anew.");
    assert_eq!(read(&house), before);
    House::empty().run(&["reindex"]).exits(2);
}
