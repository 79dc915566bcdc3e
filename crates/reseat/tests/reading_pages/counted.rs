//! A procedure read page by page on the screen: what counts as read, where the keys lead, and what approving wants.

use reseat::desk::Approving;
use reseat::keys::Stroke;
use reseat::screen::message::{Change, Effect, Message, Outcome};
use reseat::screen::sight::PagesSight;

use crate::{Seat, samples};

/// Hand-start of J1 left out.
const SLIP: (&str, &str) = (
    "\"does\": [{\"hand_start\": \"J1\"}]",
    "\"does\": [{\"clean\": []}]",
);
/// One pass of J1 left out: a warning.
const WARNED: (&str, &str) = (
    "[\"40 N·m\", \"80 N·m\", \"122 N·m\"]",
    "[\"40 N·m\", \"122 N·m\"]",
);

#[test]
fn every_word_of_every_page_is_seen_by_going_on_at_80_by_24() {
    let mut seat = Seat::at(samples::lists::pages("FV-3302.json", Some(SLIP)), 80, 24);
    let plain = |text: &str| -> String {
        text.chars()
            .filter(|letter| !letter.is_whitespace())
            .collect()
    };
    let mut shown = String::new();
    let mut page = seat.pages().at;
    let mut checked = 0;
    for _ in 0..900 {
        for line in seat.text().lines().skip(4).take(18) {
            // The left side alone: what the technician sees and what was found.
            shown.push_str(&plain(line.split('│').next().unwrap()));
        }
        let before = seat.pages().page().unwrap().clone();
        seat.press(Stroke::Enter);
        if seat.pages().at != page || seat.said().contains("last page") {
            page = seat.pages().at;
            let step = before.step.as_ref();
            let texts = step
                .map(|step| vec![step.text.clone()])
                .unwrap_or_default()
                .into_iter()
                .chain(step.map(|step| step.warnings.clone()).unwrap_or_default())
                .chain(step.map(|step| step.asks.clone()).unwrap_or_default())
                .chain(before.cover.clone())
                .chain(before.findings.iter().map(|found| found.message.clone()))
                .chain(before.findings.iter().map(|found| found.remedy.clone()));
            for text in texts {
                assert!(shown.contains(&plain(&text)), "{text}\nin {shown}");
                checked += 1;
            }
            shown.clear();
        }
        if seat.said().contains("last page") {
            break;
        }
    }
    assert!(checked > 300, "{checked}");
    assert!(seat.pages().reading.is_whole());
}

#[test]
fn the_stack_shows_every_part_and_joint_at_both_sizes() {
    for (columns, rows) in [(80, 24), (160, 50)] {
        let mut seat = Seat::at(samples::lists::pages("FV-3302.json", None), columns, rows);
        seat.press(Stroke::Enter);
        while seat.pages().at == 0 {
            seat.press(Stroke::Enter);
        }
        let stack = seat.pages().page().unwrap().stack.clone().unwrap();
        let mut shown = String::new();
        for _ in 0..6 {
            let text = seat.text();
            for line in text.lines() {
                let right = line.split('│').nth(1).unwrap_or_default().to_owned();
                shown.extend(right.chars().filter(|letter| !letter.is_whitespace()));
            }
            seat.press(Stroke::PageDown);
        }
        for line in &stack.lines {
            let plain: String = line.label.split_whitespace().collect();
            assert!(shown.contains(&plain), "{} at {columns}", line.label);
        }
    }
}

#[test]
fn a_page_passed_before_its_end_is_not_read_and_a_held_key_reads_nothing() {
    let mut seat = Seat::at(samples::lists::pages("BPR-VENT-11.json", None), 60, 20);
    assert_eq!(seat.pages().reading.read_of().0, 0);
    seat.press(Stroke::Right);
    assert_eq!((seat.pages().at, seat.pages().reading.read_of().0), (1, 0));
    seat.press(Stroke::Char('u'));
    assert_eq!(seat.pages().at, 0, "U leads back to what was passed");
    for _ in 0..50 {
        seat.tell(Message::Key {
            stroke: Stroke::Enter,
            repeat: true,
        });
    }
    assert_eq!((seat.pages().at, seat.pages().reading.read_of().0), (0, 0));
}

#[test]
fn n_leads_to_the_finding_and_o_keeps_the_step_under_other_options() {
    let mut seat = Seat::at(samples::lists::pages("FV-3302.json", Some(SLIP)), 80, 24);
    seat.press(Stroke::Char('n'));
    assert_eq!(seat.step(), "tighten-j1");
    assert!(
        seat.text().contains("error[no-hand-start]"),
        "{}",
        seat.text()
    );
    assert!(seat.text().contains("remedy:"), "{}", seat.text());
    seat.press(Stroke::Char('o'));
    assert!(seat.said().contains("no options"), "{}", seat.said());
    let mut seat = Seat::at(samples::lists::pages("BPR-VENT-11.json", None), 80, 24);
    seat.press(Stroke::Char('n'));
    assert!(seat.said().contains("Nothing was found"), "{}", seat.said());
    for _ in 0..40 {
        seat.press(Stroke::Right);
    }
    let (step, options) = (seat.step(), seat.text());
    seat.press(Stroke::Char('o'));
    assert_eq!((seat.step(), seat.pages().route), (step, 1));
    assert_ne!(options, seat.text());
    for _ in 1..seat.pages().reading.routes().len() {
        seat.press(Stroke::Char('o'));
    }
    assert_eq!(seat.pages().route, 0, "round and back");
}

#[test]
fn approving_wants_no_error_every_page_and_a_reason_for_warnings() {
    let mut seat = Seat::at(samples::lists::pages("FV-3302.json", Some(SLIP)), 80, 24);
    seat.press(Stroke::Char('a'));
    assert!(seat.said().starts_with("not-proven"), "{}", seat.said());
    let mut seat = Seat::at(samples::lists::pages("FV-3302.json", Some(WARNED)), 80, 24);
    seat.press(Stroke::Char('a'));
    assert!(
        seat.said().starts_with("not-read-through"),
        "{}",
        seat.said()
    );
    for _ in 0..900 {
        seat.press(Stroke::Enter);
    }
    assert!(
        seat.said().contains("every page was read"),
        "{}",
        seat.said()
    );
    seat.press(Stroke::Char('a'));
    assert!(
        seat.text().contains("Approve P-33-A rev"),
        "{}",
        seat.text()
    );
    for (answer, enters) in [("1", 1), ("1", 1), ("2026-03-01", 1)] {
        for letter in answer.chars() {
            seat.press(Stroke::Char(letter));
        }
        for _ in 0..enters {
            seat.press(Stroke::Enter);
        }
    }
    seat.press(Stroke::Enter);
    seat.press(Stroke::Space);
    assert!(
        seat.said().contains("why its warnings may stand"),
        "{}",
        seat.said()
    );
    for letter in "two".chars() {
        seat.press(Stroke::Char(letter));
    }
    seat.press(Stroke::Enter);
    seat.press(Stroke::Space);
    for letter in "quist".chars() {
        seat.press(Stroke::Char(letter));
    }
    seat.press(Stroke::Enter);
    for letter in "pass".chars() {
        seat.press(Stroke::Char(letter));
    }
    seat.press(Stroke::Enter);
    seat.tell(Message::Came(Box::new(Outcome::Unsealed(
        samples::id(9),
        6,
    ))));
    for letter in "240605".chars() {
        seat.press(Stroke::Char(letter));
    }
    seat.press(Stroke::Enter);
    let effects = seat.tell(Message::Came(Box::new(Outcome::PinRight(samples::id(9)))));
    let [
        Effect::Change {
            change: Change::Approve(Approving { read, bytes, .. }),
            by,
        },
    ] = &effects[..]
    else {
        panic!("{effects:?}\n{}", seat.text())
    };
    assert_eq!(*by, samples::id(9));
    assert_eq!((read.pages, read.reason.as_deref()), (read.of, Some("two")));
    assert!(read.of > 160 && read.seconds > 160, "{read:?}");
    assert_eq!(
        bytes,
        &samples::lists::pages("FV-3302.json", Some(WARNED)).bytes
    );
}

#[test]
fn without_a_home_it_is_only_read_and_esc_leaves() {
    let sight = PagesSight {
        approvers: None,
        ..samples::lists::pages("FV-3302.json", None)
    };
    let mut seat = Seat::at(sight, 80, 24);
    seat.press(Stroke::Char('a'));
    assert!(seat.said().starts_with("no-home"), "{}", seat.said());
    assert_eq!(seat.press(Stroke::Esc), [Effect::Quit]);
}
