//! A unit: its nameplate, its past rebuilds newest first, and the way to start, resume or read one.

use ratatui::layout::Rect;

use super::draw::Pen;
use super::message::Effect;
use super::model::{Common, Press};
use super::overlay::scroll_by;
use super::sight::UnitSight;
use crate::keys::Action;
use crate::theme::Role;

/// A unit and its past.
#[derive(Debug, Clone, PartialEq)]
pub struct Unit {
    /// What it shows.
    pub sight: UnitSight,
    /// The rebuild chosen.
    pub chosen: usize,
}

impl Unit {
    /// The screen for a sight.
    pub fn new(sight: UnitSight) -> Self {
        Self { sight, chosen: 0 }
    }

    /// A key.
    pub fn press(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        match press.action {
            Some(Action::Back) => vec![Effect::LoadHome],
            Some(Action::Take) => match self.sight.past.get(self.chosen) {
                Some(past) if common.takes(press) => vec![Effect::LoadRecord(past.stream)],
                Some(_) => Vec::new(),
                None => {
                    common.refuse(
                        "no-record",
                        "This unit has no record yet.",
                        "S starts a rebuild.",
                    );
                    Vec::new()
                }
            },
            Some(Action::Start) => match self.sight.unit.open {
                Some(_) => {
                    common.refuse(
                        "rebuild-open",
                        "A rebuild of this unit is open.",
                        "R takes it up again; one unit has one open rebuild.",
                    );
                    Vec::new()
                }
                None => vec![Effect::LoadStart(self.sight.unit.serial.clone())],
            },
            Some(Action::Resume) => {
                if let Some(stream) = self.sight.unit.open {
                    return vec![Effect::LoadResume(stream)];
                }
                common.refuse(
                    "nothing-open",
                    "No rebuild of this unit is open.",
                    "S starts one.",
                );
                Vec::new()
            }
            action => {
                let page = usize::from(common.size.1.saturating_sub(12)).max(1);
                scroll_by(
                    &mut self.chosen,
                    action,
                    page,
                    self.sight.past.len().saturating_sub(1) + page,
                );
                Vec::new()
            }
        }
    }

    /// Draws it.
    pub fn draw(&self, pen: &mut Pen, area: Rect) {
        let unit = &self.sight.unit;
        let x = pen.text(
            area,
            1,
            0,
            if unit.tag.is_empty() {
                "not fitted"
            } else {
                &unit.tag
            },
            Role::Heading,
        );
        let x = pen.text(area, x + 2, 0, &unit.name, Role::Text);
        pen.text(
            area,
            x + 2,
            0,
            &format!("serial {}", unit.serial),
            Role::Heading,
        );
        let role = if unit.open.is_some() {
            Role::Watch
        } else {
            Role::Text
        };
        let x = pen.text(
            area,
            1,
            1,
            &format!("model {}", self.sight.model),
            Role::Text,
        );
        if let Some(beside) = &self.sight.beside {
            pen.text(
                area,
                x + 3,
                1,
                &format!("its spare stands at {beside}"),
                Role::Text,
            );
        }
        pen.text_right(area, 1, 1, &unit.state, role);
        pen.rule(area, 2);
        let wide = area.width.saturating_sub(80);
        let at = [3, 16 + wide / 8, 29 + wide / 6, 43 + wide / 3];
        for (x, head) in at.into_iter().zip(["started", "closed", "by", "outcome"]) {
            pen.text(area, x, 3, head, Role::Aside);
        }
        let rows = usize::from(area.height.saturating_sub(8));
        let from = (self.chosen + 1).saturating_sub(rows);
        let mut y = 4;
        for (place, past) in self.sight.past.iter().enumerate().skip(from).take(rows) {
            let chosen = place == self.chosen;
            let role = if chosen { Role::Due } else { Role::Text };
            pen.text(area, 1, y, if chosen { "▸" } else { " " }, role);
            let closed = if past.closed.is_empty() {
                "open"
            } else {
                &past.closed
            };
            for (column, text) in [past.started.as_str(), closed, &past.by]
                .into_iter()
                .enumerate()
            {
                let within = Rect {
                    width: at[column + 1].saturating_sub(1).min(area.width),
                    ..area
                };
                pen.text(within, at[column], y, text, role);
            }
            let outcome = if past.signed {
                format!("signed, {}", past.outcome)
            } else {
                past.outcome.clone()
            };
            pen.text(
                area,
                at[3],
                y,
                &outcome,
                if past.closed.is_empty() {
                    Role::Watch
                } else {
                    role
                },
            );
            y += 1;
        }
        if self.sight.past.is_empty() {
            pen.text(
                area,
                3,
                y,
                "No rebuild of this unit is on record.",
                Role::Text,
            );
        }
        if from + rows < self.sight.past.len() {
            let more = format!(" {} more below ", self.sight.past.len() - from - rows);
            pen.text_right(area, 0, area.height.saturating_sub(4), &more, Role::Key);
        }
        let bottom = area.height.saturating_sub(3);
        pen.rule(area, bottom);
        let next = if unit.open.is_some() {
            "R takes the open rebuild up again."
        } else {
            "S starts a rebuild."
        };
        pen.text(area, 2, bottom + 1, next, Role::Question);
        pen.text(
            area,
            2,
            bottom + 2,
            "Enter reads the record chosen; reading writes nothing.",
            Role::Text,
        );
    }
}
