//! Pages of a procedure that were read, left and taken up again in the same run of the program.

use reseat::keys::Stroke;
use reseat::screen::Screen;
use reseat::screen::message::{Effect, Message, Outcome};
use reseat::screen::sight::PagesSight;

use crate::{Seat, samples};

#[test]
fn what_was_read_is_there_again_for_who_says_that_he_read_it() {
    let mut seat = Seat::at_the_register();
    seat.open("FV-3302.json");
    let of = seat.read_of().1;
    seat.read(7);
    seat.press(Stroke::Esc);
    assert!(matches!(seat.model.screen, Screen::Register(_)));
    assert_eq!(
        seat.sentence(),
        format!("7 of {of} pages read; kept while the program runs.")
    );
    // Opened again nothing counts as read: the next person may be another.
    seat.open("FV-3302.json");
    assert_eq!(seat.read_of(), (0, of));
    assert_eq!(
        seat.sentence(),
        format!("7 of {of} pages read here before. R: it was you. Enter: from the cover.")
    );
    seat.press(Stroke::Char('r'));
    assert_eq!(seat.read_of(), (7, of));
    seat.press(Stroke::Char('u'));
    assert_eq!(seat.pages().at, 7);
    // The time of both sittings counts.
    assert!(
        seat.pages().seconds_before >= 6,
        "{}",
        seat.pages().seconds_before
    );
    seat.press(Stroke::Char('r'));
    assert_eq!(seat.sentence(), "Nothing was read here before.");
}

#[test]
fn who_read_nothing_of_it_cannot_approve_on_what_another_read() {
    let mut seat = Seat::at_the_register();
    seat.open("FV-3302.json");
    let of = seat.read_of().1;
    seat.read(of);
    seat.press(Stroke::Esc);
    seat.open("FV-3302.json");
    seat.press(Stroke::Char('a'));
    let said = seat.model.common.said.clone().unwrap();
    assert_eq!(said.code, "not-read-through");
    // He leaves without having read: what the first one read still waits for him.
    seat.press(Stroke::Left);
    seat.press(Stroke::Esc);
    seat.open("FV-3302.json");
    assert!(
        seat.sentence().starts_with(&format!("{of} of {of} pages")),
        "{}",
        seat.sentence()
    );
}

#[test]
fn what_was_read_of_one_text_counts_for_no_other() {
    let mut seat = Seat::at_the_register();
    seat.open("FV-3302.json");
    seat.read(3);
    seat.press(Stroke::Esc);
    seat.open("PCV-2107.json");
    assert_eq!(seat.sentence(), "");
    seat.press(Stroke::Char('r'));
    assert_eq!(seat.read_of().0, 0);
    seat.read(2);
    seat.press(Stroke::Esc);
    // Each is kept by itself.
    seat.open("FV-3302.json");
    seat.press(Stroke::Char('r'));
    assert_eq!(seat.read_of().0, 3);
}

#[test]
fn leaving_the_program_with_pages_read_is_asked_once_more() {
    let mut seat = Seat::at_the_register();
    seat.model.screen = Screen::Blank;
    seat.open("FV-3302.json");
    let of = seat.read_of().1;
    seat.read(2);
    assert_eq!(seat.press(Stroke::Esc), []);
    assert_eq!(
        seat.sentence(),
        format!("2 of {of} pages read; leaving forgets them. Esc again leaves.")
    );
    // Another key takes the question back.
    seat.press(Stroke::Enter);
    assert_eq!(seat.press(Stroke::Esc), []);
    assert_eq!(seat.press(Stroke::Esc), [Effect::Quit]);
    // Without a home nobody approves, so there is nothing to lose.
    let mut reader = Seat::at_the_register();
    reader.model.screen = Screen::Blank;
    let sight = PagesSight {
        approvers: None,
        ..samples::lists::pages("FV-3302.json", None)
    };
    reader.tell(Message::Came(Box::new(Outcome::Pages(Box::new(sight)))));
    reader.read(2);
    assert_eq!(reader.press(Stroke::Esc), [Effect::Quit]);
}
