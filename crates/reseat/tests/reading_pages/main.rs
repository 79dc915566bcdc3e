//! A procedure read page by page on the screen: what counts as read, and pages that were left and taken up again.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

mod counted;
mod left;
#[path = "../samples/mod.rs"]
mod samples;

use std::time::{Duration, Instant};

use ratatui::Terminal;
use ratatui::backend::TestBackend;
use reseat::keys::Stroke;
use reseat::screen::message::{Effect, Message, Outcome};
use reseat::screen::pages::Pages;
use reseat::screen::sight::PagesSight;
use reseat::screen::{Model, Screen, update, view};
use reseat::theme::Scheme;

/// Who reads: keys go in, effects come out, a second goes by with each.
struct Seat {
    model: Model,
    now: Instant,
}

impl Seat {
    fn at(sight: PagesSight, columns: u16, rows: u16) -> Self {
        let model = Model::new(Scheme::Dim, Duration::from_mins(10));
        let mut seat = Self {
            model,
            now: Instant::now(),
        };
        seat.tell(Message::Resized(columns, rows));
        seat.tell(Message::Came(Box::new(Outcome::Pages(Box::new(sight)))));
        seat
    }

    /// With the register open, from which pages are chosen.
    fn at_the_register() -> Self {
        let mut seat = Self {
            model: Model::new(Scheme::Dim, Duration::from_mins(10)),
            now: Instant::now(),
        };
        seat.tell(Message::Resized(80, 24));
        seat.tell(Message::Came(Box::new(Outcome::Register {
            sight: samples::lists::register(),
            changed: false,
        })));
        assert!(matches!(seat.model.screen, Screen::Register(_)));
        seat
    }

    fn open(&mut self, name: &str) {
        let sight = samples::lists::pages(name, None);
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

    fn step(&self) -> String {
        let step = self.pages().page().unwrap().step.as_ref();
        step.map(|step| step.id.clone()).unwrap_or_default()
    }

    /// What was said, without its code.
    fn sentence(&self) -> String {
        let said = self.model.common.said.as_ref();
        said.map(|said| said.sentence.clone()).unwrap_or_default()
    }

    fn said(&self) -> String {
        let said = self.model.common.said.as_ref();
        said.map(|said| format!("{} {}", said.code, said.sentence))
            .unwrap_or_default()
    }

    fn text(&self) -> String {
        let (columns, rows) = self.model.common.size;
        let mut terminal = Terminal::new(TestBackend::new(columns, rows)).unwrap();
        terminal.draw(|frame| view(&self.model, frame)).unwrap();
        let buffer = terminal.backend().buffer().clone();
        buffer
            .content
            .chunks(usize::from(columns))
            .map(|row| {
                row.iter()
                    .map(ratatui::buffer::Cell::symbol)
                    .collect::<String>()
                    + "\n"
            })
            .collect()
    }
}
