//! Procedures approved by name or file, after reading, and retired.

use reseat::desk::{Desk, SetTime};
use serde_json::json;

use crate::house::{CLOCK, House};

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
    args("FV-3302.json", "1 March", "Tomas Brel").exits(2);
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
