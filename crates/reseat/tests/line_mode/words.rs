//! Words said at any time: what each writes, a rest, a handover; the guide names them all.

use std::path::Path;

use crate::{House, STARTS, codes, newest, plain, script, started_anew};

#[test]
fn words_said_at_any_time_write_what_they_say() {
    let (house, ran) = started_anew(&format!(
        "# a remark\n{STARTS}= stop valve permit 12, 24 h\nsafer cock U shut\nrun on 1 h 30 min\npause\npause\n\
             # who\nInes Falk\nWrite the permit number and its end time.\nstop called-away\nInes Falk\n\
             write the permit number and its end time.\nopen\nsteps\nparts\nrecord\njoint\nagain\nhelp\nclose-incomplete tried enough\nrecord\ndone\nleave\nnot read\n"
    ));
    ran.exits(0);
    assert_eq!(codes(&ran), ["paused", "nothing-asked"]);
    let past = house.run(&["history", "FV-3302", "--json"]).json();
    assert_eq!(past[0]["outcome"], "INCOMPLETE");
    let shown = newest(&house);
    let kinds: Vec<&str> = shown["entries"]
        .as_array()
        .unwrap()
        .iter()
        .map(|entry| entry["kind"].as_str().unwrap())
        .collect();
    assert_eq!(
        kinds,
        [
            "started/1",
            "wrote/1",
            "safer/1",
            "ran_on/1",
            "paused/1",
            "taken_up/1",
            "observed/1",
            "stopped/1",
            "taken_up/1",
            "observed/1",
            "closed_incomplete/1",
        ]
    );
    for line in [
        "part: ",
        "entry 2: ",
        "joint: nothing.",
        "help: run on DURATION",
    ] {
        ran.says(line);
    }
}

#[test]
fn a_rest_names_its_end_and_an_empty_line_before_it_is_refused() {
    let script = script();
    let (before, _) = script.split_once("run on ").unwrap();
    let (_, ran) = started_anew(&format!("{before}\n121\nrun on 10 min\n\nleave\n"));
    ran.exits(1);
    assert_eq!(codes(&ran), ["not-yet", "nothing-but-time"]);
    let waits = ran.lines("? wait ");
    assert!(waits[0].contains("10 min: earliest "), "{waits:?}");
    assert!(waits.last().unwrap().contains("Go on."), "{waits:?}");
    assert!(
        ran.lines("? ").last().unwrap().starts_with("? "),
        "{}",
        ran.out
    );
    assert!(
        !ran.lines("? ").last().unwrap().starts_with("? wait"),
        "the empty line went on"
    );
}

#[test]
fn a_handover_is_signed_by_both_and_forgets_what_was_typed() {
    let (house, ran) = started_anew(&format!(
        "{STARTS}= PTW 1, 24 h\nhand-over permit written, nothing odd, laptop is next to Rurik Odde\nRurik Odde\nleave\n"
    ));
    ran.exits(1);
    assert_eq!(codes(&ran), [""; 0]);
    let shown = newest(&house);
    let ends = shown["entries"].as_array().unwrap();
    let of = |at: usize| (&ends[at]["kind"], ends[at]["signature"].is_object());
    assert_eq!(of(2), (&"handed_over/1".into(), true));
    assert_eq!(of(3), (&"taken_up/1".into(), true));
    assert_ne!(ends[2]["by"], ends[3]["by"]);
}

#[test]
fn the_guide_names_every_word_and_every_kind() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/line-mode.md");
    let page = std::fs::read_to_string(page).unwrap();
    for word in reseat::line::WORDS {
        assert!(
            page.contains(&format!("`{}", word.word)),
            "{} is not in docs/line-mode.md",
            word.word
        );
    }
    for kind in [
        "act",
        "choice",
        "reading",
        "count",
        "text",
        "fastener",
        "signature",
        "person",
        "wait",
        "none",
    ] {
        assert!(page.contains(&format!("| `{kind}` |")), "{kind}");
    }
}

/// Whoever finds the unit after its record was closed has its tag still.
#[test]
fn work_closed_unfinished_keeps_the_text_for_its_tag() {
    let house = House::demo();
    let closed = plain(
        &house,
        &["--tag", "FV-3302"],
        "Ines Falk\nclose-incomplete bonnet on, J1 not tight\n",
    );
    closed.exits(0);
    let tag = house.run(&["tag", "FV-3302"]);
    tag.exits(0).says("STATE INCOMPLETE, APART").says("LOOSE");
    house.run(&["tag", "PCV-2107"]).exits(2);
}
