//! Sentences put together from parts end once and hold no empty part, whatever the parts end with.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, Site};
use reseat_procedure::{all_choices, builtin, read};
use reseat_record::rebuild::{Command, Point};

/// What no sentence holds: an end behind an end, an empty part.
const WRONG: [&str; 7] = [".,", ".;", ". .", "?.", ":;", ": ;", ",,"];

fn is_wrong(text: &str) -> bool {
    // A window is written with two points between its ends: "..0.2 bar".
    let doubled = text.match_indices("..").any(|(at, _)| {
        let before = text[..at].chars().next_back();
        let after = text[at + 2..].chars().next();
        let limit = |letter: Option<char>| {
            letter.is_some_and(|letter| letter.is_ascii_digit() || letter == '-')
        };
        !limit(before) && !limit(after)
    });
    doubled || WRONG.iter().any(|wrong| text.contains(wrong))
}

#[test]
fn nothing_asked_told_or_kept_is_doubled_or_empty() {
    let mut wrong = std::collections::BTreeSet::new();
    for (file, bytes) in builtin() {
        let procedure = read(bytes).unwrap();
        let choices = all_choices(&procedure).into_iter().next().unwrap();
        let mut site = Site::following(bytes, choices);
        site.start();
        let mut steps = 0;
        loop {
            let ask = site.ask();
            steps += 1;
            // Now and then the work is paused: what that tells is put together from many parts.
            if steps % 40 == 0 && !matches!(ask.point, Point::Resume | Point::Closed) {
                site.does(Command::Pause { by_itself: false }, FALK)
                    .unwrap();
            }
            let ask = site.ask();
            for text in ask.detail.iter().chain(&ask.notice).chain([&ask.prompt]) {
                if is_wrong(text) {
                    wrong.insert(format!("{file}: {text}"));
                }
            }
            for line in site.rebuild().tag_lines(&site.register, &site.stamp(FALK)) {
                if is_wrong(&line) {
                    wrong.insert(format!("{file}, tag: {line}"));
                }
            }
            if !site.step() {
                break;
            }
        }
        for line in site.rebuild().record_lines(&site.register) {
            if is_wrong(&line.text) {
                wrong.insert(format!("{file}, record: {}", line.text));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
