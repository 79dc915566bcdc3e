//! Places and units with their state in words, open rebuilds first. Typing, or a scanner that types, finds a tag; its last
//! character opens it.

use ratatui::layout::Rect;

use super::deeds::Purpose;
use super::draw::{Pen, Wrapped, columns, draw_chosen, line_role};
use super::field::Field;
use super::message::Effect;
use super::model::{Common, Press};
use super::overlay::{Overlay, scroll_by, type_into};
use super::sight::{HomeSight, UnitLine};
use crate::keys::Action;
use crate::theme::Role;

/// The first screen.
#[derive(Debug, Clone, PartialEq)]
pub struct Home {
    /// What it shows.
    pub sight: HomeSight,
    /// What is typed to find a unit.
    pub find: Field,
    /// The line chosen among those found.
    pub chosen: usize,
}

impl Home {
    /// The screen for a sight.
    pub fn new(sight: HomeSight) -> Self {
        Self {
            sight,
            find: Field::new(40),
            chosen: 0,
        }
    }

    /// The same screen with fresh content: what was typed and chosen stays.
    pub fn renewed(&mut self, sight: HomeSight) {
        self.sight = sight;
        self.chosen = self.chosen.min(self.found().len().saturating_sub(1));
    }

    /// The lines that what is typed finds; a tag or serial typed in full alone.
    pub fn found(&self) -> Vec<&UnitLine> {
        let wanted = self.find.text().trim().to_lowercase();
        let exact: Vec<&UnitLine> = self
            .sight
            .units
            .iter()
            .filter(|unit| {
                !wanted.is_empty()
                    && (unit.tag.to_lowercase() == wanted || unit.serial.to_lowercase() == wanted)
            })
            .collect();
        if !exact.is_empty() {
            return exact;
        }
        let holds = |text: &str| text.to_lowercase().contains(&wanted);
        self.sight
            .units
            .iter()
            .filter(|unit| holds(&unit.tag) || holds(&unit.serial) || holds(&unit.name))
            .collect()
    }

    /// A key.
    pub fn press(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        match press.action {
            Some(Action::Take) => {
                let Some(unit) = self.found().get(self.chosen).copied().cloned() else {
                    common.refuse(
                        "nothing-found",
                        "No tag, serial or name on the register holds that.",
                        "Type less, or add the unit in the register (F5).",
                    );
                    return Vec::new();
                };
                if unit.serial.is_empty() {
                    common.refuse(
                        "place-empty",
                        format!("No unit is fitted in {}.", unit.tag),
                        "Fit one in the register (F5).",
                    );
                    return Vec::new();
                }
                if common.takes(press) {
                    vec![self.open(&unit)]
                } else {
                    Vec::new()
                }
            }
            Some(Action::Register) => vec![Effect::LoadRegister],
            Some(Action::Clock) => {
                let shown = super::clock::Shown {
                    local: self.sight.clock.clone(),
                    may_be_agreed: self.sight.clock_may_be_agreed,
                };
                let people = self.sight.people.clone();
                let sheet =
                    super::deeds::sheet(Purpose::Clock(shown), people.clone(), people, common);
                common.open(Overlay::Form(Box::new(sheet)));
                Vec::new()
            }
            Some(Action::Up | Action::Down | Action::PageUp | Action::PageDown) => {
                let count = self.found().len();
                let page = usize::from(common.size.1.saturating_sub(10)).max(1);
                // The choice moves over every line, so that the last page is one line long.
                scroll_by(
                    &mut self.chosen,
                    press.action,
                    page,
                    count.saturating_sub(1) + page,
                );
                Vec::new()
            }
            Some(action) => {
                self.find.edit(action);
                self.chosen = 0;
                Vec::new()
            }
            None => {
                type_into(&mut self.find, press, common);
                self.chosen = 0;
                self.opened_by_last(press, common)
            }
        }
    }

    /// What opening a unit loads: the work on it where there is some under way, and there the unit is one key further; else the
    /// unit.
    fn open(&self, unit: &UnitLine) -> Effect {
        match unit.open {
            Some(stream) => Effect::LoadResume {
                stream,
                tag_typed: self.find.text().trim().to_owned(),
            },
            None => Effect::LoadUnit(unit.serial.clone()),
        }
    }

    /// A tag typed in full opens its unit by its last character, as a PIN is taken by its last digit, where no other tag or serial
    /// goes on from there. Nothing is written by it. An Enter of habit behind it, or a scanner's, is spent.
    fn opened_by_last(&self, press: &Press, common: &mut Common) -> Vec<Effect> {
        let wanted = self.find.text().trim().to_lowercase();
        let begins = |text: &str| text.to_lowercase().starts_with(&wanted);
        let mut begun = self
            .sight
            .units
            .iter()
            .filter(|unit| !wanted.is_empty() && (begins(&unit.tag) || begins(&unit.serial)));
        let (Some(unit), None) = (begun.next(), begun.next()) else {
            return Vec::new();
        };
        let in_full = unit.tag.to_lowercase() == wanted && !unit.serial.is_empty();
        if !in_full || !common.takes(press) {
            return Vec::new();
        }
        common.guard.enter_comes_behind();
        vec![self.open(unit)]
    }

    /// Draws it; the cursor's place.
    pub fn draw(&self, pen: &mut Pen, area: Rect) -> (u16, u16) {
        let y = self.draw_site(pen, area);
        let found = self.found();
        self.draw_units(pen, area, y, &found);
        let bottom = area.height.saturating_sub(1);
        pen.rule(area, bottom.saturating_sub(1));
        let label = "tag as read, serial or name  ";
        let x = pen.text(area, 2, bottom, label, Role::Question);
        let cursor = pen.field(area, x, bottom, &self.find, 24).1;
        let chosen = found.get(self.chosen);
        let hint = match chosen.and_then(|unit| unit.open) {
            Some(_) => "Enter: to the work",
            None => "Enter opens it",
        };
        pen.text(
            area,
            area.width.saturating_sub(columns(hint) + 1),
            bottom,
            hint,
            Role::Key,
        );
        cursor
    }

    /// The site, how many rebuilds are open, and what is to be known; the row below.
    fn draw_site(&self, pen: &mut Pen, area: Rect) -> u16 {
        pen.text(area, 1, 0, &self.sight.site, Role::Heading);
        pen.text_right(area, 1, 0, "places and units", Role::Aside);
        let open = self
            .sight
            .units
            .iter()
            .filter(|unit| unit.open.is_some())
            .count();
        let count = match open {
            0 => "no rebuild is open".to_owned(),
            1 => "1 rebuild is open".to_owned(),
            more => format!("{more} rebuilds are open"),
        };
        pen.text(area, 1, 1, &count, Role::Text);
        pen.rule(area, 2);
        let mut y = 3;
        for notice in &self.sight.notices {
            y = pen.wrapped(area, 1, y, notice, Role::Watch);
        }
        y
    }

    /// The units found, down to where the question stands.
    fn draw_units(&self, pen: &mut Pen, area: Rect, top: u16, found: &[&UnitLine]) {
        // Columns: tag, serial, name, state.
        let wide = area.width.saturating_sub(80);
        // A tag is read whole: its column is as wide as the longest one, where that leaves the others room.
        let units = self.sight.units.iter();
        let longest = units.map(|unit| columns(&unit.tag)).max().unwrap_or(0);
        let tags = (longest + 4).clamp(13 + wide / 8, 20 + wide / 8);
        let more = tags - (13 + wide / 8);
        let at = [3, tags, 23 + wide / 6 + more, 50 + wide / 3];
        for (x, head) in at.into_iter().zip(["tag", "serial", "name", "state"]) {
            pen.text(area, x, top, head, Role::Aside);
        }
        let lines: Vec<Wrapped> = found
            .iter()
            .enumerate()
            .map(|(place, unit)| {
                let role = line_role(place, self.chosen);
                let state = match unit.open {
                    Some(_) => Role::Watch,
                    None => role,
                };
                let texts = [
                    (unit.tag.as_str(), role),
                    (&unit.serial, role),
                    (&unit.name, role),
                    (&unit.state, state),
                ];
                Wrapped::new(&texts, &at, area.width)
            })
            .collect();
        let first = top + 1;
        let place = (first, first + area.height.saturating_sub(first + 3));
        let (y, shown) = draw_chosen(pen, area, place, &lines, self.chosen);
        if found.is_empty() {
            let text = if self.sight.units.is_empty() {
                "The register holds no place and no unit yet. F5 opens the register."
            } else {
                "Nothing on the register holds that."
            };
            pen.text(area, 3, y, text, Role::Text);
        } else if shown < found.len() {
            let more = format!(" {} more below ", found.len() - shown);
            pen.text_right(area, 0, area.height.saturating_sub(3), &more, Role::Key);
        }
    }
}
