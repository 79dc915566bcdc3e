//! What line mode refuses: answers that do not fit, secrets that are wrong, rebuilds that cannot be asked, hostile text.

use reseat::desk::{Desk, SetTime};
use reseat_record::log::Id;

use crate::house::{CLOCK, House, SECRETS};
use crate::{STARTS, close_the_open_one, codes, newest, plain, started_anew};

#[test]
fn a_start_is_refused_answer_by_answer_until_it_fits() {
    let house = House::demo();
    close_the_open_one(&house);
    let ran = plain(
        &house,
        &[],
        "XX-1\nPCV-9\npause\n\nFV-3302\n= WO 1\nTP-0399\nplate painted over\n2\nno such\n1\nK 1\nNobody At All\n\
         Ines Falk\nInes Falk\nMbali Sefton\nleave\n",
    );
    ran.exits(1);
    assert_eq!(
        codes(&ran),
        [
            "no-such-tag",
            "no-such-tag",
            "not-yet-open",
            "empty",
            "not-an-offer",
            "not-an-offer",
            "not-an-offer",
            "not-an-offer",
        ]
    );
    let asked: Vec<&str> = ran
        .lines("? ")
        .into_iter()
        .map(|line| line.split(':').next().unwrap())
        .collect();
    assert_eq!(
        asked.last(),
        Some(&"? text permit"),
        "a lead signed the start"
    );
    assert!(asked.contains(&"? text mismatch"), "{asked:?}");
    let shown = newest(&house);
    let first = &shown["entries"][0];
    assert_eq!(
        first["body"]["mismatch"],
        "Serial read as TP-0399, the register has TP-0388. plate painted over"
    );
}

#[test]
fn answers_that_do_not_fit_are_refused_and_write_nothing() {
    let (house, ran) = started_anew(&format!(
        "{STARTS}= PTW 1, 24 h\n3\nperhaps\nallowed\n121\ndone now\nrun on 4\nstop\nstop everything\nreopen J1\n\
             reopen J1 because\ndeviation look | no signer\ndeviation look | why by Ines Falk\n\
             deviation look | why by Nobody\nlock-off X | one\nlock-off V-1\nclock soon\nwrong never mind\nfinding\n\
             not-applicable no need\nsafer permit words\nleave\n"
    ));
    ran.exits(1);
    assert_eq!(
        codes(&ran),
        [
            "not-an-offer",
            "not-an-offer",
            "not-done",
            "not-done",
            "no-duration",
            "no-stop-kind",
            "no-stop-kind",
            "two-parts",
            "no-joint",
            "two-parts",
            "added-at-zero",
            "nobody-of-that-name",
            "three-facts",
            "no-lock",
            "no-local-time",
            "not-strikable",
            "empty",
            "must-be-done",
            "not-safer",
        ]
    );
    assert_eq!(
        ran.lines("kept ").len(),
        2,
        "only the two answers that fit were kept"
    );
    assert_eq!(newest(&house)["entries"].as_array().unwrap().len(), 3);
}

#[test]
fn secrets_that_are_wrong_or_missing_are_said_and_the_rest_goes_on() {
    let house = House::demo();
    let broken = house.write(
        "broken",
        "Ines Falk\ttern day shift\t240601\n\nRurik Odde tern late shift\n",
    );
    house
        .line_mode(&broken, &["--tag", "FV-3302"], b"Ines Falk\n")
        .exits(2)
        .says("Line 3 of ")
        .says("is not name, TAB, passphrase, TAB, PIN");
    house
        .line_mode(&house.path("absent"), &["--tag", "FV-3302"], b"")
        .exits(2)
        .says("cannot be read");

    // Named by identifier; one passphrase and one PIN are wrong.
    let people = house.run(&["people", "--json"]).json();
    let id = |name: &str| {
        let of = |person: &&serde_json::Value| person["name"] == name;
        people.as_array().unwrap().iter().find(of).unwrap()["id"]
            .as_str()
            .unwrap()
            .to_owned()
    };
    let by_id = house.write(
        "by-id",
        &format!("{}\ttern day shift\t999999\n", id("Ines Falk")),
    );
    let ran = house.line_mode(&by_id, &["--tag", "FV-3302"], b"Rurik Odde\nInes Falk\n");
    ran.exits(1);
    assert_eq!(codes(&ran), ["no-passphrase", "wrong-pin"]);
    let wrong = house.write(
        "wrong",
        &format!("{}\ttern night shift\t240601\n", id("Ines Falk")),
    );
    let ran = house.line_mode(&wrong, &["--tag", "FV-3302"], b"Ines Falk\n");
    ran.exits(1);
    assert_eq!(codes(&ran), ["wrong-passphrase"]);
    let right = house.write(
        "right",
        &format!("{}\ttern day shift\t240601\n", id("Ines Falk")),
    );
    let ran = house.line_mode(&right, &["--tag", "FV-3302"], b"ines falk\nleave\n");
    ran.exits(1);
    assert_eq!(codes(&ran), [""; 0]);
    for secret in ["tern day shift", "240601", "tern night shift", "999999"] {
        assert!(!ran.out.contains(secret) && !ran.err.contains(secret));
    }
}

#[test]
fn what_cannot_be_asked_ends_with_two() {
    let house = House::demo();
    plain(&house, &["--tag", "XX-1"], "")
        .exits(2)
        .says("No place \"XX-1\" is on the register.");
    plain(&house, &["--rebuild", "ZZZZ"], "").exits(2);
    plain(&house, &["--rebuild", "Z"], "")
        .exits(2)
        .says("too short");
    plain(&house, &["--tag", "FV-3302", "--rebuild", "ZZZZ"], "").exits(2);
    house.run(&["--tag", "FV-3302"]).exits(2).says("--plain");
    house
        .run(&["--plain", "units"])
        .exits(2)
        .says("--plain stands without a command");
    let past = house.run(&["history", "FV-3302", "--json"]).json();
    let closed = past[1]["record"].as_str().unwrap();
    plain(&house, &["--rebuild", closed], "")
        .exits(2)
        .says("This rebuild is closed.");
    let empty = House::empty();
    empty.write("secrets", SECRETS);
    plain(&empty, &[], "").exits(2).says("No site was founded");

    // Held by another session; who only asks is told so, and nothing is written.
    let time = SetTime::at(CLOCK).unwrap();
    let mut desk = Desk::open(&house.home(), Box::new(time)).unwrap();
    let falk = desk.register().person_named("Ines Falk").unwrap().id;
    desk.unseal(&falk, "tern day shift").unwrap();
    desk.check_pin(&falk, "240601").unwrap();
    let stream = Id::parse(past[0]["record"].as_str().unwrap()).unwrap();
    let held = desk.take_up(&stream, &falk).unwrap();
    plain(&house, &["--tag", "FV-3302"], "Ines Falk\n")
        .exits(2)
        .says("Another session on this laptop works on this rebuild.");
    drop(held);
}

#[test]
fn text_of_others_sends_nothing_to_the_terminal() {
    let (_, ran) = started_anew(&format!(
        "{STARTS}\u{1b}[2Jx\n= a\u{202e}b\nfinding \u{7}\n= ? none -: Signed. 18:00\nleave\n"
    ));
    ran.exits(1);
    assert_eq!(codes(&ran), ["bad-text", "bad-text", "bad-text"]);
    ran.says("! bad-text: What was typed holds a control character (U+0007).");
    assert!(!ran.out.contains(['\u{1b}', '\u{202e}', '\u{7}']));
    assert!(
        ran.lines("? none").is_empty(),
        "what was typed cannot pass for a prompt"
    );
}
