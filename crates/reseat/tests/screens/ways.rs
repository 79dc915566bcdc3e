//! Ways out of a question and back: STOP, the pause by itself, home, the record.

use std::time::Duration;

use reseat::keys::Stroke;
use reseat::screen::message::{Effect, Message, Outcome};
use reseat::screen::{deadline, update};
use reseat_record::rebuild::{Command, StopKind};

use crate::{Seat, samples};

#[test]
fn stop_is_one_key_then_what_happened() {
    let mut seat = Seat::working(samples::joint::tightening());
    assert_eq!(seat.keys(&[Stroke::F(9)]), []);
    assert_eq!(seat.keys(&[Stroke::Esc, Stroke::F(9)]), []);
    let stop = Effect::Act {
        command: Command::Stop {
            kind: StopKind::Dropped,
        },
        signer: None,
    };
    assert_eq!(seat.keys(&[Stroke::Char('3')]), [stop]);
}

#[test]
fn the_work_pauses_by_itself_and_a_wait_does_not() {
    let mut seat = Seat::working(samples::joint::tightening());
    seat.press(Stroke::Char('1'));
    let pause = Effect::Act {
        command: Command::Pause { by_itself: true },
        signer: None,
    };
    let mut ticks = 0;
    let effects = loop {
        seat.now = deadline(&seat.model).unwrap();
        let effects = update(&mut seat.model, Message::Tick, seat.now);
        ticks += 1;
        if effects != [Effect::LookAgain] {
            break effects;
        }
        update(
            &mut seat.model,
            Message::Came(Box::new(Outcome::Seen(Box::new(
                samples::joint::tightening(),
            )))),
            seat.now,
        );
    };
    assert_eq!(effects, std::slice::from_ref(&pause));
    // Once a minute for the strip, no more.
    assert!(ticks <= 11, "{ticks}");
    // What was half typed is still there.
    assert!(seat.text().contains("[1 "));
    // The laptop slept: the first key only pauses.
    let mut seat = Seat::working(samples::acts::plain_act());
    seat.press(Stroke::Char('x'));
    seat.now += Duration::from_mins(30);
    assert_eq!(seat.press(Stroke::Space), [pause]);
    let mut seat = Seat::working(samples::acts::waiting(false));
    seat.now = deadline(&seat.model).unwrap();
    assert_eq!(
        update(&mut seat.model, Message::Tick, seat.now),
        [Effect::LookAgain]
    );
    let mut seat = Seat::showing(Outcome::Home(samples::lists::home()));
    seat.press(Stroke::Char('x'));
    assert_eq!(deadline(&seat.model), None);
}

#[test]
fn home_finds_a_tag_as_typed_or_scanned() {
    let mut seat = Seat::showing(Outcome::Home(samples::lists::home()));
    seat.types("pcv-21");
    assert!(seat.text().contains("PCV-2108") && !seat.text().contains("PSV-4110"));
    // The last character of a tag opens it.
    assert_eq!(seat.types("08"), [Effect::LoadUnit("TP-0418".into())]);
    let mut seat = Seat::showing(Outcome::Home(samples::lists::home()));
    update(
        &mut seat.model,
        Message::Paste("TP-0388\r".into()),
        seat.now,
    );
    assert_eq!(
        seat.keys(&[Stroke::Enter]),
        [Effect::LoadResume {
            stream: samples::id(77),
            tag_typed: "TP-0388".into(),
        }]
    );
    let mut seat = Seat::showing(Outcome::Home(samples::lists::home()));
    seat.keys(&[Stroke::Down, Stroke::Down, Stroke::Down, Stroke::Enter]);
    assert_eq!(seat.said().code, "place-empty");
}

#[test]
fn the_record_is_read_from_the_running_rebuild_and_back() {
    let mut seat = Seat::working(samples::joint::tightening());
    seat.types("12");
    assert_eq!(
        seat.keys(&[Stroke::F(7)]),
        [Effect::LoadRecord(samples::id(77))]
    );
    seat.came(Outcome::Record(samples::lists::record()));
    let text = seat.text();
    let first = text.find("Failed, struck").unwrap();
    assert!(first < text.find("How energy was controlled").unwrap());
    seat.keys(&[Stroke::PageDown]);
    assert!(seat.text().contains("All 39 entries"));
    seat.keys(&[Stroke::End]);
    assert!(seat.text().contains("this record proves"));
    seat.keys(&[Stroke::Esc]);
    assert!(seat.text().contains("[12 "));
}
