//! A record read back in full, failures first. Reading writes nothing.

use ratatui::layout::Rect;
use reseat_record::rebuild::view::{RecordLine, Tone};

use reseat_record::text::counted;

use super::draw::{Pen, wrap};
use super::message::Effect;
use super::model::{Common, Press, Screen};
use super::overlay::scroll_by;
use super::sight::RecordSight;
use crate::theme::Role;

/// A record read back.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// What it shows.
    pub sight: RecordSight,
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

    /// Every row: first what belongs on the first page, then everything in order.
    fn rows(&self, width: u16) -> Vec<(String, Role)> {
        let mut rows = Vec::new();
        for line in &self.sight.state {
            rows.extend(
                wrap(line, usize::from(width.saturating_sub(3)))
                    .into_iter()
                    .map(|line| (line, Role::Heading)),
            );
        }
        rows.push((String::new(), Role::Text));
        let first: Vec<&RecordLine> = self
            .sight
            .lines
            .iter()
            .filter(|line| line.first_page)
            .collect();
        if first.is_empty() {
            rows.push((
                "Nothing failed, was struck, overridden, not applicable or deviated from."
                    .to_owned(),
                Role::Text,
            ));
        } else {
            let heading = "Failed, struck, overridden, not applicable, deviations, findings";
            rows.push((format!("{heading}: {}", first.len()), Role::Heading));
            for line in first {
                push_line(&mut rows, line, width);
            }
        }
        rows.push((String::new(), Role::Text));
        rows.push((
            match self.sight.lines.len() {
                1 => "The one entry".to_owned(),
                all => format!("All {all} entries in order"),
            },
            Role::Heading,
        ));
        for line in &self.sight.lines {
            push_line(&mut rows, line, width);
        }
        rows.push((String::new(), Role::Text));
        let end = "Whether a unit may be pressurized is decided at the unit; this record proves nothing about energy.";
        rows.extend(
            wrap(end, usize::from(width.saturating_sub(3)))
                .into_iter()
                .map(|line| (line, Role::Aside)),
        );
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

fn push_line(rows: &mut Vec<(String, Role)>, line: &RecordLine, width: u16) {
    let role = match line.tone {
        Tone::Plain => Role::Text,
        Tone::Held => Role::Done,
        Tone::Watch => Role::Watch,
        Tone::Stop => Role::High,
    };
    let head = format!(
        "{:>4}  {:<6} {:<12} ",
        line.number,
        line.time,
        super::draw::cut(&line.by, 12)
    );
    let indent = unicode_width::UnicodeWidthStr::width(head.as_str());
    let room = usize::from(width).saturating_sub(indent + 3);
    for (at, text) in wrap(&line.text, room).into_iter().enumerate() {
        let lead = if at == 0 {
            head.clone()
        } else {
            " ".repeat(indent)
        };
        rows.push((format!("{lead}{text}"), role));
    }
}
