//! Every screen drawn from sample sights, with its styles, at 80x24 and 160x50; the key rules; the pictures of the docs.
//!
//! `INSTA_UPDATE=always` rewrites the snapshots, `UPDATE_PICTURES=1` the pictures and `docs/keys.md`. The snapshots are taken
//! in this file: their names begin with the module that takes them.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

mod answers;
mod pictures;
#[path = "../samples/mod.rs"]
mod samples;
mod scenes;
mod seen_whole;
mod shown;
mod signing;
mod small_screens;
mod ways;

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::time::{Duration, Instant};

use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::{Buffer, Cell};
use reseat::keys::Stroke;
use reseat::screen::message::{Effect, Message, Outcome, Said};
use reseat::screen::sight::WorkSight;
use reseat::screen::{Model, update, view};
use reseat::theme::Scheme;
use scenes::scenes;

/// A model with its own time and size: keys go in, effects and screens come out.
struct Seat {
    model: Model,
    now: Instant,
    columns: u16,
    rows: u16,
}

impl Seat {
    fn at(columns: u16, rows: u16) -> Self {
        let mut model = Model::new(Scheme::Dim, Duration::from_mins(10));
        let now = Instant::now();
        update(&mut model, Message::Resized(columns, rows), now);
        Self {
            model,
            now,
            columns,
            rows,
        }
    }

    fn showing(outcome: Outcome) -> Self {
        let mut seat = Self::at(80, 24);
        seat.came(outcome);
        seat
    }

    fn working(sight: WorkSight) -> Self {
        Self::showing(Outcome::Acted(Box::new(sight)))
    }

    /// An outcome comes, is drawn, and is looked at for a second.
    fn came(&mut self, outcome: Outcome) -> Vec<Effect> {
        let effects = update(&mut self.model, Message::Came(Box::new(outcome)), self.now);
        self.read();
        effects
    }

    /// The screen is drawn and looked at for a second.
    fn read(&mut self) {
        update(&mut self.model, Message::Drawn, self.now);
        self.now += Duration::from_secs(1);
    }

    fn press(&mut self, stroke: Stroke) -> Vec<Effect> {
        let effects = update(
            &mut self.model,
            Message::Key {
                stroke,
                repeat: false,
            },
            self.now,
        );
        update(&mut self.model, Message::Drawn, self.now);
        effects
    }

    /// Keys with a second before each.
    fn keys(&mut self, strokes: &[Stroke]) -> Vec<Effect> {
        let mut effects = Vec::new();
        for stroke in strokes {
            effects.extend(self.press(*stroke));
            self.read();
        }
        effects
    }

    fn types(&mut self, text: &str) -> Vec<Effect> {
        let strokes: Vec<Stroke> = text
            .chars()
            .map(|letter| {
                if letter == ' ' {
                    Stroke::Space
                } else {
                    Stroke::Char(letter)
                }
            })
            .collect();
        self.keys(&strokes)
    }

    fn screen(&self) -> Buffer {
        let mut terminal = Terminal::new(TestBackend::new(self.columns, self.rows)).unwrap();
        terminal.draw(|frame| view(&self.model, frame)).unwrap();
        terminal.backend().buffer().clone()
    }

    fn text(&self) -> String {
        text_of(&self.screen())
    }

    fn said(&self) -> &Said {
        self.model.common.said.as_ref().expect("something was said")
    }
}

fn text_of(screen: &Buffer) -> String {
    let width = usize::from(screen.area.width);
    let rows = screen
        .content
        .chunks(width)
        .map(|row| row.iter().map(Cell::symbol).collect::<String>());
    rows.map(|row| row.trim_end().to_owned())
        .collect::<Vec<_>>()
        .join("\n")
}

/// The text of a screen, then the stretches of each row by style; each style is named by a letter.
fn styled(screen: &Buffer) -> String {
    let mut out = text_of(screen);
    out.push_str("\n~\n");
    let mut names: BTreeMap<String, char> = BTreeMap::new();
    for (y, row) in screen
        .content
        .chunks(usize::from(screen.area.width))
        .enumerate()
    {
        let mut line = String::new();
        let mut last = String::new();
        for (x, cell) in row.iter().enumerate() {
            let look = format!("{:?}/{:?}/{:?}", cell.fg, cell.bg, cell.modifier);
            if look != last {
                let next = char::from(b'a' + u8::try_from(names.len()).unwrap());
                let name = names.entry(look.clone()).or_insert(next);
                let _ = write!(line, " {x}{name}");
                last = look;
            }
        }
        let _ = writeln!(out, "{y:>2}{line}");
    }
    for (look, name) in &names {
        let _ = writeln!(out, "{name} {look}");
    }
    out
}

fn drawn(model: &Model, columns: u16, rows: u16) -> Buffer {
    let mut seat = Seat::at(columns, rows);
    seat.model = model.clone();
    update(&mut seat.model, Message::Resized(columns, rows), seat.now);
    seat.screen()
}

#[test]
fn every_screen_at_80_by_24() {
    for (name, model) in scenes() {
        insta::assert_snapshot!(format!("{name}_80x24"), styled(&drawn(&model, 80, 24)));
    }
}

#[test]
fn every_screen_at_160_by_50() {
    for (name, model) in scenes() {
        insta::assert_snapshot!(format!("{name}_160x50"), styled(&drawn(&model, 160, 50)));
    }
}
