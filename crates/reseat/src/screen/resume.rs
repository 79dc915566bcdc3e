//! Taking a rebuild up again: what was last kept, what is loose, what to look at; then who, and which unit this is.
//!
//! Nothing is written before the person has signed. The end of the tag is asked, read at the unit: the eye checks that
//! the laptop and the unit before it belong together.

use ratatui::layout::Rect;

use super::draw::{Pen, wrap};
use super::form::{Did, Form};
use super::message::Effect;
use super::model::{Common, Press};
use super::overlay::{Overlay, say_overflow, scroll_by};
use super::sight::ResumeSight;
use super::sign::{Pending, Sign, TAKES_UP, find};
use super::work_view::STRIP_ROWS;
use crate::desk::ends_tag;
use crate::keys::Action;
use crate::theme::Role;

/// Taking a rebuild up again.
#[derive(Debug, Clone, PartialEq)]
pub struct Resume {
    /// What it shows.
    pub sight: ResumeSight,
    /// Who, and the end of the tag.
    pub form: Form,
    /// First line shown of what is to be read.
    pub scroll: usize,
}

impl Resume {
    /// The screen for a sight.
    pub fn new(sight: ResumeSight) -> Self {
        let who = Form::new("", "take it up; signed").text("who", "badge or name", 60, "");
        let form = if sight.tag_known {
            who
        } else {
            let label = "last characters of the tag, as read at the unit";
            who.text("tag", label, 24, "")
        };
        Self {
            sight,
            form,
            scroll: 0,
        }
    }

    /// A key.
    pub fn press(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        match press.action {
            Some(Action::Back) => return vec![Effect::LoadUnit(self.sight.strip.serial.clone())],
            Some(Action::ReadRecord) => return vec![Effect::LoadRecord(self.sight.stream)],
            // The last field takes the whole: two lines need no third to take them.
            Some(Action::Take) if self.at_last() => {
                self.take(press, common);
                return Vec::new();
            }
            Some(Action::NextField) if self.at_last() => return Vec::new(),
            Some(Action::PageUp | Action::PageDown) => {
                let (width, rows) = common.size;
                let room = usize::from(rows.saturating_sub(STRIP_ROWS + 6)).max(1);
                let lines = self.rows(width).len();
                scroll_by(&mut self.scroll, press.action, room, lines);
                return Vec::new();
            }
            _ => {}
        }
        if self.form.press(press.stroke, press.action) == Did::Stayed {
            say_overflow(self.form.open_field(), common);
        }
        Vec::new()
    }

    fn at_last(&self) -> bool {
        self.form.at + 1 >= self.form.lines.len()
    }

    fn take(&mut self, press: &Press, common: &mut Common) {
        let Some(person) = find(self.form.typed("who"), &self.sight.people) else {
            self.form.go_to("who");
            common.refuse(
                "nobody-of-that-name",
                "Nobody who may take the work up is called that, or several are.",
                "Type the whole name of a performer; a lead gives the role under Register, people.",
            );
            return;
        };
        let tag = &self.sight.strip.tag;
        if !self.sight.tag_known
            && let Err(sentence) = ends_tag(self.form.typed("tag"), tag, &self.sight.others)
        {
            common.refuse(
                "other-tag",
                sentence,
                "Read the tag at the unit and type at least its last two characters, more where two end alike; if it is another unit, Esc goes back.",
            );
            return;
        }
        if common.takes(press) {
            let sign = Sign::new(
                TAKES_UP,
                vec![person],
                Pending::TakeUp(self.sight.stream),
                common,
            );
            common.open(Overlay::Sign(Box::new(sign)));
        }
    }

    /// What is to be read, in rows.
    fn rows(&self, width: u16) -> Vec<String> {
        let room = usize::from(width.saturating_sub(4));
        let lines = self.sight.lines.iter();
        lines.flat_map(|line| wrap(line, room)).collect()
    }

    /// Draws it below the strip; the cursor's place.
    pub fn draw(&self, pen: &mut Pen, area: Rect) -> Option<(u16, u16)> {
        let bottom = area.height.saturating_sub(3);
        let rows = self.rows(area.width);
        let room = usize::from(bottom.saturating_sub(1));
        let from = self.scroll.min(rows.len().saturating_sub(room));
        let mut y = 0;
        for (row, line) in rows.iter().enumerate().skip(from).take(room) {
            let role = if row == 0 { Role::Heading } else { Role::Text };
            pen.text(area, 2, y, line, role);
            y += 1;
        }
        let hidden = rows.len().saturating_sub(from + room);
        let names: Vec<String> = self
            .sight
            .people
            .iter()
            .enumerate()
            .map(|(at, (_, name))| format!("{} {name}", at + 1))
            .collect();
        pen.rule(area, bottom);
        if hidden > 0 {
            let note = format!(" {hidden} more, PgDn ");
            pen.text_right(area, 1, bottom, &note, Role::Key);
        }
        pen.text(area, 2, y.max(bottom - 1), &names.join("   "), Role::Aside);
        if self.sight.tag_known {
            let known = format!("tag {}, as typed", self.sight.strip.tag);
            pen.text(area, 2, bottom + 2, &known, Role::Aside);
        }
        let mut cursor = None;
        for (at, line) in self.form.lines.iter().enumerate() {
            let row = bottom + 1 + u16::try_from(at).unwrap_or(0);
            let current = at == self.form.at;
            let x = pen.text(
                area,
                2,
                row,
                &line.label,
                if current { Role::Question } else { Role::Aside },
            );
            if let super::form::Slot::Text(field) = &line.slot {
                let (_, place) = pen.field(area, x + 3, row, field, 20);
                cursor = if current { Some(place) } else { cursor };
            }
        }
        cursor
    }
}
