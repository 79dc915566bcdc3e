//! Pages of a procedure that were read, left and taken up again in the same run of the program.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

mod samples;

use std::time::{Duration, Instant};

use reseat::keys::Stroke;
use reseat::screen::message::{Effect, Message, Outcome};
use reseat::screen::pages::Pages;
use reseat::screen::sight::PagesSight;
use reseat::screen::{Model, Screen, update};
use reseat::theme::Scheme;

struct Seat {
    model: Model,
    now: Instant,
}

impl Seat {
    /// With the register open, from which pages are chosen.
    fn at_the_register() -> Self {
        let mut seat = Self {
            model: Model::new(Scheme::Dim, Duration::from_mins(10)),
            now: Instant::now(),
        };
        seat.tell(Message::Resized(80, 24));
        seat.tell(Message::Came(Box::new(Outcome::Register {
            sight: samples::register(),
            changed: false,
        })));
        assert!(matches!(seat.model.screen, Screen::Register(_)));
        seat
    }

    fn open(&mut self, name: &str) {
        let sight = samples::pages(name, None);
        self.tell(Message::Came(Box::new(Outcome::Pages(Box::new(sight)))));
    }

    fn tell(&mut self, message: Message) -> Vec<Effect> {
        let effects = update(&mut self.model, message, self.now);
        update(&mut self.model, Message::Drawn, self.now);
        self.now += Duration::from_secs(1);
        effects
    }

    fn press(&mut self, stroke: Stroke) -> Vec<Effect> {
        self.tell(Message::Key {
            stroke,
            repeat: false,
        })
    }

    fn pages(&self) -> &Pages {
        let Screen::Pages(pages) = &self.model.screen else {
            panic!("{:?}", self.model.screen)
        };
        pages
    }

    /// Reads on until so many pages count as read.
    fn read(&mut self, wanted: usize) {
        for _ in 0..2_000 {
            if self.read_of().0 >= wanted {
                return;
            }
            self.press(Stroke::Enter);
        }
        panic!("{:?}", self.read_of());
    }

    fn read_of(&self) -> (usize, usize) {
        self.pages().reading.read_of()
    }

    fn said(&self) -> String {
        let said = self.model.common.said.as_ref();
        said.map(|said| said.sentence.clone()).unwrap_or_default()
    }
}

#[test]
fn what_was_read_is_there_again_for_who_says_that_he_read_it() {
    let mut seat = Seat::at_the_register();
    seat.open("FV-3302.json");
    let of = seat.read_of().1;
    seat.read(7);
    seat.press(Stroke::Esc);
    assert!(matches!(seat.model.screen, Screen::Register(_)));
    assert_eq!(
        seat.said(),
        format!("7 of {of} pages read; kept while the program runs.")
    );
    // Opened again nothing counts as read: the next person may be another.
    seat.open("FV-3302.json");
    assert_eq!(seat.read_of(), (0, of));
    assert_eq!(
        seat.said(),
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
    assert_eq!(seat.said(), "Nothing was read here before.");
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
        seat.said().starts_with(&format!("{of} of {of} pages")),
        "{}",
        seat.said()
    );
}

#[test]
fn what_was_read_of_one_text_counts_for_no_other() {
    let mut seat = Seat::at_the_register();
    seat.open("FV-3302.json");
    seat.read(3);
    seat.press(Stroke::Esc);
    seat.open("PCV-2107.json");
    assert_eq!(seat.said(), "");
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
        seat.said(),
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
        ..samples::pages("FV-3302.json", None)
    };
    reader.tell(Message::Came(Box::new(Outcome::Pages(Box::new(sight)))));
    reader.read(2);
    assert_eq!(reader.press(Stroke::Esc), [Effect::Quit]);
}
