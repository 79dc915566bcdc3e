//! A unit: its nameplate, its past rebuilds newest first, and the way to start, resume or read one.

use ratatui::layout::Rect;
use reseat_record::recall::with_doubt;

use super::draw::{Pen, Wrapped, columns, draw_chosen, line_role};
use super::message::Effect;
use super::model::{Common, Press};
use super::overlay::scroll_by;
use super::sight::{PastLine, UnitSight};
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
                    return vec![Effect::LoadResume {
                        stream,
                        tag_typed: String::new(),
                    }];
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

    /// The nameplate: as many rows as it takes to lose nothing; the first row below it.
    fn draw_nameplate(&self, pen: &mut Pen, area: Rect) -> u16 {
        let unit = &self.sight.unit;
        let tag = if unit.tag.is_empty() {
            "not fitted"
        } else {
            &unit.tag
        };
        let serial = format!("serial {}", unit.serial);
        let model = format!("model {}", self.sight.model);
        let beside = self
            .sight
            .beside
            .as_ref()
            .map(|beside| format!("its spare stands at {beside}"))
            .unwrap_or_default();
        let open = if unit.open.is_some() {
            Role::Watch
        } else {
            Role::Text
        };
        let (heading, text) = (Role::Heading, Role::Text);
        let y = flow(
            pen,
            area,
            0,
            &[(tag, heading), (&unit.name, text), (&serial, heading)],
        );
        let plain = columns(&model) + columns(&beside) + columns(&unit.state) + 8;
        if plain <= area.width {
            flow(pen, area, y, &[(&model, text), (&beside, text)]);
            pen.text_right(area, 1, y, &unit.state, open);
            y + 1
        } else {
            let y = flow(pen, area, y, &[(&model, text), (&beside, text)]);
            pen.wrapped(area, 1, y, &unit.state, open)
        }
    }

    /// Draws it.
    pub fn draw(&self, pen: &mut Pen, area: Rect) {
        let unit = &self.sight.unit;
        let top = self.draw_nameplate(pen, area);
        pen.rule(area, top);
        let wide = area.width.saturating_sub(80);
        let at = [3, 16 + wide / 8, 29 + wide / 6, 43 + wide / 3];
        for (x, head) in at.into_iter().zip(["started", "closed", "by", "outcome"]) {
            pen.text(area, x, top + 1, head, Role::Aside);
        }
        let rows = area.height.saturating_sub(top + 6);
        let lines: Vec<Wrapped> = (0..)
            .zip(&self.sight.past)
            .map(|(place, past)| wrapped(past, line_role(place, self.chosen), &at, area.width))
            .collect();
        let place = (top + 2, top + 2 + rows);
        let (y, shown) = draw_chosen(pen, area, place, &lines, self.chosen);
        if self.sight.past.is_empty() {
            pen.text(
                area,
                3,
                y,
                "No rebuild of this unit is on record.",
                Role::Text,
            );
        }
        if shown < self.sight.past.len() {
            let more = format!(" {} more below ", self.sight.past.len() - shown);
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

fn wrapped(past: &PastLine, role: Role, edges: &[u16], width: u16) -> Wrapped {
    let is_open = past.closed.is_empty();
    let closed = if is_open { "open" } else { &past.closed };
    let outcome = if past.signed {
        format!("signed, {}", past.outcome)
    } else {
        past.outcome.clone()
    };
    let outcome = with_doubt(outcome, past.in_doubt);
    let watched = is_open || past.in_doubt > 0;
    let texts = [
        (past.started.as_str(), role),
        (closed, role),
        (&past.by, role),
        (&outcome, if watched { Role::Watch } else { role }),
    ];
    Wrapped::new(&texts, edges, width)
}

/// Texts one beside the other, going on in the next row where one has no room; the next free row.
fn flow(pen: &mut Pen, area: Rect, mut y: u16, parts: &[(&str, Role)]) -> u16 {
    let mut x = 1;
    for (text, role) in parts.iter().filter(|(text, _)| !text.is_empty()) {
        if x > 1 && x + columns(text) > area.width {
            (x, y) = (1, y + 1);
        }
        if x + columns(text) > area.width {
            y = pen.wrapped(area, x, y, text, *role).saturating_sub(1);
            x = area.width;
        } else {
            x = pen.text(area, x, y, text, *role) + 2;
        }
    }
    y + 1
}
