//! The demo site: made, taken up again, made anew; and what it holds.

#![allow(clippy::unwrap_used)]

mod house;

use house::{CLOCK, House};
use serde_json::{Value, json};

fn demo(house: &House, args: &[&str]) -> house::Ran {
    let at = house.home();
    let mut command = house.command();
    command
        .args(["demo", "--no-screen", "--at"])
        .arg(at)
        .args(args);
    House::ran(&mut command)
}

#[test]
fn the_demo_holds_two_years_and_one_rebuild_in_the_middle_of_a_joint() {
    let house = House::empty();
    demo(&house, &[])
        .exits(0)
        .says("Ines Falk     tern day shift     240601  performer, verifier")
        .says("made in");

    let units = house.run(&["units", "--json"]);
    let units = units.exits(0).json();
    assert_eq!(units.as_array().unwrap().len(), 3);
    assert_eq!(
        (&units[0]["tag"], &units[0]["serial"]),
        (&json!("FV-3302"), &json!("TP-0388")),
        "open ones first"
    );
    assert!(
        units[0]["state"].as_str().unwrap().starts_with("PAUSED"),
        "{units}"
    );

    let past = house.run(&["history", "FV-3302", "--json"]);
    let past = past.exits(0).json();
    let outcomes: Vec<&Value> = past
        .as_array()
        .unwrap()
        .iter()
        .map(|row| &row["outcome"])
        .collect();
    assert_eq!(
        outcomes,
        [
            &json!(null),
            &json!("signed"),
            &json!("INCOMPLETE"),
            &json!("signed"),
            &json!("signed")
        ]
    );
    assert!(
        past[4]["started"].as_str().unwrap().starts_with("2024-03"),
        "two years back: {past}"
    );
    assert_eq!(
        house
            .run(&["history", "--serial", "tp-0388", "--json"])
            .json(),
        past
    );

    let verified = house.run(&["verify", "--all", "--json"]);
    let verified = verified.exits(0).json();
    let results: Vec<&str> = verified
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row["result"].as_str().unwrap())
        .collect();
    assert_eq!(
        results,
        ["whole", "whole", "whole", "whole", "whole", "open"]
    );
}

#[test]
fn the_past_has_its_failures_and_they_stand_first() {
    let house = House::empty();
    demo(&house, &[]).exits(0);
    let past = house.run(&["history", "FV-3302", "--json"]).json();
    let show = |row: usize| house.run(&["show", past[row]["record"].as_str().unwrap()]);
    let leak = show(1);
    leak.exits(0)
        .says("Failed, struck, overridden")
        .says("HIGH");
    // How energy was controlled stands in the record with who and when, a spring's release too.
    leak.says("How energy was controlled, by the rule 29 CFR 1910.147")
        .says("    locks        A-1 on breaker of pump P-31, Ines Falk ")
        .says("    released     turns by hand, Ines Falk ");
    show(2).exits(0).says("INCOMPLETE");
    show(3).exits(0).says("HIGH").says("LOW");
    let exact = house.run(&["show", past[1]["record"].as_str().unwrap(), "--json"]);
    let exact = exact.exits(0).json();
    assert_eq!(
        (&exact["signed"], &exact["demo"]),
        (&json!(true), &json!(true))
    );
    assert_eq!(exact["entries"][0]["kind"], "started/1");
    let open = house.run(&["show", past[0]["record"].as_str().unwrap(), "--json"]);
    let open = open.exits(0).json();
    let entries = open["entries"].as_array().unwrap();
    let pulled = |entry: &&Value| entry["kind"] == "pulled/1" && entry["body"]["pass"] == 2;
    assert_eq!(
        entries.iter().filter(pulled).count(),
        3,
        "three nuts of pass 2 are in"
    );
    assert_eq!(entries.last().unwrap()["kind"], "paused/1");
}

#[test]
fn the_demo_is_taken_up_again_and_made_anew_when_asked() {
    let house = House::empty();
    demo(&house, &[]).exits(0).says("made in");
    let record =
        |house: &House| house.run(&["history", "FV-3302", "--json"]).json()[0]["record"].clone();
    let before = record(&house);
    demo(&house, &[]).exits(0).says("taken up again in");
    assert_eq!(record(&house), before);
    demo(&house, &["--fresh"]).exits(0).says("made in");
    assert_ne!(record(&house), before);
    let left: Vec<_> = std::fs::read_dir(house.path(""))
        .unwrap()
        .map(|entry| entry.unwrap().file_name())
        .collect();
    assert_eq!(left, ["home"], "nothing is left beside it");
}

#[test]
fn a_demo_is_never_made_over_something_else() {
    let house = House::empty();
    std::fs::create_dir(house.home()).unwrap();
    std::fs::write(house.home().join("letter.txt"), "mine").unwrap();
    for args in [&[][..], &["--fresh"]] {
        demo(&house, args)
            .exits(2)
            .says("holds no demo site")
            .says("--at DIR");
    }
    assert_eq!(
        std::fs::read_to_string(house.home().join("letter.txt")).unwrap(),
        "mine"
    );

    let real = House::empty();
    let founding = reseat::desk::Founding {
        site: "Tern Point".into(),
        rule: "29 CFR 1910.147".into(),
        lead_name: "Mbali Sefton".into(),
        passphrase: zeroize::Zeroizing::new("osmosis runs uphill".into()),
        pin: zeroize::Zeroizing::new("314159".into()),
    };
    let time = Box::new(reseat::desk::SystemTime::new());
    reseat::desk::Desk::found(&real.home(), &founding, time).unwrap();
    for args in [&[][..], &["--fresh"]] {
        demo(&real, args).exits(2).says("holds no demo site");
    }
    House::ran(real.command().env_remove("RESEAT_DEMO_CLOCK").arg("people"))
        .exits(0)
        .says("Mbali Sefton");
}

#[test]
fn arguments_of_the_demo_that_cannot_be() {
    let house = House::empty();
    house
        .run(&["demo", "--no-screen", "--at", "here"])
        .exits(2)
        .says("--at gives \"here\"");
    house
        .run(&["demo", "--site", "atlantis"])
        .exits(2)
        .says("tern-point");
    let file = house.write("file", "x");
    house
        .run(&["demo", "--no-screen", "--at", &file.to_string_lossy()])
        .exits(2)
        .says("help: ");
    let below = format!("{}/demo", file.to_string_lossy());
    house
        .run(&["demo", "--no-screen", "--at", &below])
        .exits(2)
        .says("help: ");
    let mut late = house.command();
    late.env("RESEAT_DEMO_CLOCK", "soon")
        .args(["demo", "--no-screen", "--at"])
        .arg(house.home());
    House::ran(&mut late).exits(2).says("is no instant");
    assert!(CLOCK.ends_with("+01:00"));
}

#[test]
fn a_digit_changed_in_an_entry_of_a_rebuild_is_found_at_that_entry() {
    let house = House::empty();
    demo(&house, &[]).exits(0);
    let record = house.run(&["history", "FV-3302", "--json"]).json()[2]["record"]
        .as_str()
        .unwrap()
        .to_owned();
    let time = Box::new(reseat::desk::SetTime::at(CLOCK).unwrap());
    let desk = reseat::desk::Desk::read(&house.home(), time).unwrap();
    let entries = desk
        .history()
        .entries(&reseat_record::log::Id::parse(&record).unwrap())
        .unwrap();
    drop(desk);
    let whole = std::fs::read(house.home().join("history.db")).unwrap();
    let last = entries.len() - 1;
    for index in (1..last).step_by(11).chain([last]) {
        // The hash of the entry before stands in one entry only; entry 1 has none.
        let member = b"\"previous\":\"";
        let start = entries[index]
            .windows(member.len())
            .position(|window| window == member)
            .unwrap();
        let needle = &entries[index][start..start + member.len() + 64];
        let at = whole
            .windows(needle.len())
            .position(|window| window == needle)
            .expect("the entry stands in the file");
        let mut changed = whole.clone();
        let digit = &mut changed[at + member.len() + 20];
        *digit = if *digit == b'0' { b'1' } else { b'0' };
        std::fs::write(house.home().join("history.db"), &changed).unwrap();
        let list = house.run(&["verify", &record, "--json"]);
        let list = list.exits(1).json();
        assert_eq!(
            (&list[0]["result"], &list[0]["entry"]),
            (&json!("tampered"), &json!(index + 1))
        );
    }
}
