//! A record read back in full, failures first. Reading writes nothing.

use ratatui::layout::Rect;
use reseat_record::rebuild::view::{RecordLine, Tone};
use reseat_report::Part;

use reseat_record::text::counted;

use super::draw::{Pen, wrap};
use super::message::Effect;
use super::model::{Common, Press, Screen};
use super::overlay::scroll_by;
use crate::theme::Role;

/// A record read back.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// What it shows.
    pub sight: reseat_report::Record,
    /// First row shown.
    pub scroll: usize,
    /// The screen it was opened from.
    pub back: Box<Screen>,
}

impl Record {
    /// A key; back is the update's business.
    pub fn press(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        let width = common.size.0;
        let rows = usize::from(common.size.1.saturating_sub(5));
        let lines = self.rows(width).len();
        scroll_by(&mut self.scroll, press.action, rows.max(1), lines);
        Vec::new()
    }

    /// Every row, in the order of the record's parts.
    fn rows(&self, width: u16) -> Vec<(String, Role)> {
        let mut rows = Vec::new();
        for part in self.sight.parts() {
            match part {
                Part::Heading(text) => push_words(&mut rows, ("", &text), Role::Heading, width),
                Part::Said(text) => push_words(&mut rows, ("", &text), Role::Text, width),
                Part::Entry(line) => push_entry(&mut rows, line, width),
                Part::Energy(line) => {
                    push_words(&mut rows, ("  ", &line.heading()), Role::Text, width);
                    for (name, said) in line.rows() {
                        let head = format!("    {name:<12} ");
                        push_words(&mut rows, (&head, &said), Role::Aside, width);
                    }
                }
                Part::Gap => rows.push((String::new(), Role::Text)),
            }
        }
        rows
    }

    /// Draws it.
    pub fn draw(&self, pen: &mut Pen, area: Rect) {
        pen.text(area, 1, 0, &self.sight.title, Role::Heading);
        pen.text_right(area, 1, 0, "record", Role::Aside);
        pen.rule(area, 1);
        let rows = self.rows(area.width);
        let room = usize::from(area.height.saturating_sub(2));
        let from = self.scroll.min(rows.len().saturating_sub(room));
        for (y, (text, role)) in (2u16..).zip(rows.iter().skip(from).take(room)) {
            pen.text(area, 1, y, text, *role);
        }
        let below = rows.len().saturating_sub(from + room);
        if below > 0 {
            pen.text_right(
                area,
                1,
                1,
                &format!(" {} below ", counted(below, "more line", "more lines")),
                Role::Key,
            );
        }
    }
}

fn push_entry(rows: &mut Vec<(String, Role)>, line: &RecordLine, width: u16) {
    let role = match line.tone {
        Tone::Plain => Role::Text,
        Tone::Held => Role::Done,
        Tone::Watch => Role::Watch,
        Tone::Stop => Role::High,
    };
    let by = super::draw::cut(&line.by, 12);
    let head = format!("{:>4}  {:<6} {by:<12} ", line.number, line.time);
    push_words(rows, (&head, &line.text), role, width);
}

/// Words beside their head; what does not fit goes on below, beside it too.
fn push_words(rows: &mut Vec<(String, Role)>, (head, words): (&str, &str), role: Role, width: u16) {
    let indent = unicode_width::UnicodeWidthStr::width(head);
    let room = usize::from(width).saturating_sub(indent + 3);
    for (at, text) in wrap(words, room).into_iter().enumerate() {
        let lead = if at == 0 {
            head.to_owned()
        } else {
            " ".repeat(indent)
        };
        rows.push((format!("{lead}{text}"), role));
    }
}
