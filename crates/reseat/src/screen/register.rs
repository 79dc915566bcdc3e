//! The register: people, places, units, instruments, procedures; add, retire, fit, approve. A lead signs each change.

use ratatui::layout::Rect;

use super::deeds::{Purpose, sheet};
use super::draw::{Pen, columns};
use super::message::{Effect, RecallAsked};
use super::model::{Common, Press};
use super::overlay::{Overlay, scroll_by};
use super::register_forms::Entering;
use super::sight::{List, RegisterLine, RegisterSight};
use crate::keys::Action;
use crate::theme::Role;

/// The register.
#[derive(Debug, Clone, PartialEq)]
pub struct Register {
    /// What it shows.
    pub sight: RegisterSight,
    /// The list shown.
    pub list: List,
    /// The line chosen.
    pub chosen: usize,
}

impl Register {
    /// The screen for a sight.
    pub fn new(sight: RegisterSight) -> Self {
        Self {
            sight,
            list: List::People,
            chosen: 0,
        }
    }

    /// The screen at one line of a list.
    pub fn at(sight: RegisterSight, list: List, key: &str) -> Self {
        let lines = sight.list(list);
        let chosen = lines.iter().position(|line| line.key == key);
        Self {
            chosen: chosen.unwrap_or_default(),
            list,
            sight,
        }
    }

    /// The same list with fresh content.
    pub fn renewed(&mut self, sight: RegisterSight) {
        self.sight = sight;
        self.chosen = self
            .chosen
            .min(self.sight.list(self.list).len().saturating_sub(1));
    }

    fn line(&self) -> Option<&RegisterLine> {
        self.sight.list(self.list).get(self.chosen)
    }

    /// A key.
    pub fn press(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        match press.action {
            Some(Action::Back) => return vec![Effect::LoadHome],
            Some(Action::Left) => self.turn(List::ALL.len() - 1),
            Some(Action::Right) => self.turn(1),
            Some(Action::Add | Action::Take) if self.list == List::Procedures => {
                return match self.line() {
                    Some(line) => vec![Effect::LoadPages(line.key.clone())],
                    None => Vec::new(),
                };
            }
            Some(
                Action::Add
                | Action::Retire
                | Action::NewKey
                | Action::Fit
                | Action::Change
                | Action::Quarantine
                | Action::FromFile
                | Action::SiteValues
                | Action::ByWords,
            ) => match self.entering(press.action) {
                Ok(entering) => self.open(entering, common),
                Err((sentence, remedy)) => common.refuse("not-here", sentence, remedy),
            },
            Some(Action::Bench) => match (self.list, self.line()) {
                (List::Instruments, Some(line)) => {
                    return vec![Effect::LoadRecall(RecallAsked {
                        instrument: line.key.clone(),
                        ..RecallAsked::default()
                    })];
                }
                _ => common.refuse(
                    "not-here",
                    "Only an instrument is found out on the bench.",
                    "Turn to the instruments with Left or Right and choose one.",
                ),
            },
            action => {
                let page = usize::from(common.size.1.saturating_sub(9)).max(1);
                let lines = self.sight.list(self.list).len();
                scroll_by(
                    &mut self.chosen,
                    action,
                    page,
                    lines.saturating_sub(1) + page,
                );
            }
        }
        Vec::new()
    }

    fn turn(&mut self, by: usize) {
        self.list = List::ALL[(self.list as usize + by) % List::ALL.len()];
        self.chosen = 0;
    }

    fn entering(&self, action: Option<Action>) -> Result<Entering, (&'static str, &'static str)> {
        let nothing = (
            "Nothing is chosen in this list.",
            "Choose a line with Up and Down first.",
        );
        let line = || self.line().ok_or(nothing);
        let shown = |line: &RegisterLine| line.columns.first().cloned().unwrap_or_default();
        Ok(match (action, self.list) {
            (Some(Action::Add), List::People) => Entering::Person,
            (Some(Action::Add), List::Places) => Entering::Place,
            (Some(Action::Add), List::Units) => Entering::Unit,
            (Some(Action::Add), List::Instruments) => Entering::Instrument,
            (Some(Action::SiteValues), _) => Entering::SiteValues(self.sight.site_values.clone()),
            (Some(Action::ByWords), List::People) => Entering::LeadByWords,
            (Some(Action::FromFile), List::Procedures) => Entering::PagesOfFile,
            (Some(Action::Change), list) if list != List::Procedures => {
                let line = line()?;
                Entering::Anew(list, line.key.clone(), line.columns.clone())
            }
            (Some(Action::Quarantine), List::Instruments) => {
                let line = line()?;
                Entering::Quarantine(line.key.clone(), line.retired)
            }
            (Some(Action::Retire), List::Places | List::Units) => {
                return Err((
                    "A place or a unit stays on the register for ever.",
                    "F takes a unit out of its place.",
                ));
            }
            (Some(Action::Retire), list) => {
                let line = line()?;
                Entering::Retirement(list, line.key.clone(), shown(line))
            }
            (Some(Action::NewKey), List::People) => {
                let line = line()?;
                Entering::NewKey(line.key.clone(), shown(line))
            }
            (Some(Action::Fit), List::Units) => Entering::Fit(line()?.key.clone()),
            (Some(Action::NewKey), _) => {
                return Err((
                    "Only a person has a key.",
                    "Turn to the people with Left or Right.",
                ));
            }
            (Some(Action::Change | Action::FromFile), _) => {
                return Err((
                    "A procedure is not changed here: its exact bytes are approved.",
                    "On the procedures O approves another revision from a file.",
                ));
            }
            (Some(Action::Quarantine), _) => {
                return Err((
                    "Only an instrument is quarantined.",
                    "Turn to the instruments with Left or Right.",
                ));
            }
            (Some(Action::ByWords), _) => {
                return Err((
                    "The site's words enrol a person.",
                    "Turn to the people with Left or Right.",
                ));
            }
            _ => {
                return Err((
                    "Only a unit is fitted in a place.",
                    "Turn to the units with Left or Right.",
                ));
            }
        })
    }

    fn open(&self, entering: Entering, common: &mut Common) {
        let (people, signers) = (&self.sight.people, &self.sight.leads);
        let sheet = sheet(
            Purpose::Register(entering),
            people.clone(),
            signers.clone(),
            common,
        );
        common.open(Overlay::Form(Box::new(sheet)));
    }

    /// Draws it.
    pub fn draw(&self, pen: &mut Pen, area: Rect) {
        pen.text(area, 1, 0, &self.sight.site, Role::Heading);
        pen.text_right(area, 1, 0, "the register", Role::Aside);
        let mut x = 1;
        for list in List::ALL {
            let here = list == self.list;
            let text = if here {
                format!("[{}]", list.title())
            } else {
                format!(" {} ", list.title())
            };
            x = pen.text(area, x, 1, &text, if here { Role::Due } else { Role::Text }) + 1;
        }
        pen.rule(area, 2);
        // Columns share the room there is.
        let heads = self.list.columns();
        let wanted: usize = heads.iter().map(|(_, width)| width + 1).sum();
        let spare = usize::from(area.width).saturating_sub(wanted + 4) / heads.len();
        let mut edges = vec![3u16];
        for (_, width) in heads {
            let last = edges[edges.len() - 1];
            edges.push(last + u16::try_from(width + 1 + spare).unwrap_or(0));
        }
        for (column, (head, _)) in heads.iter().enumerate() {
            pen.text(area, edges[column], 3, head, Role::Aside);
        }
        let lines = self.sight.list(self.list);
        let rows = usize::from(area.height.saturating_sub(6));
        let from = (self.chosen + 1).saturating_sub(rows);
        let mut y = 4;
        for (at, line) in lines.iter().enumerate().skip(from).take(rows) {
            let chosen = at == self.chosen;
            let role = match (chosen, line.retired) {
                (true, _) => Role::Due,
                (false, true) => Role::Aside,
                (false, false) => Role::Text,
            };
            pen.text(area, 1, y, if chosen { "▸" } else { " " }, role);
            for (column, text) in line.columns.iter().enumerate().take(heads.len()) {
                let edge = edges[column + 1].saturating_sub(1).min(area.width);
                pen.text(
                    Rect {
                        width: edge,
                        ..area
                    },
                    edges[column],
                    y,
                    text,
                    role,
                );
            }
            if line.retired {
                let mark = self.list.past_word();
                pen.text(
                    area,
                    area.width.saturating_sub(columns(mark)),
                    y,
                    mark,
                    Role::Watch,
                );
            }
            y += 1;
        }
        if lines.is_empty() {
            pen.text(area, 3, y, "Nothing yet. A adds.", Role::Text);
        }
        let bottom = area.height.saturating_sub(2);
        pen.rule(area, bottom);
        pen.text(area, 1, bottom + 1, self.list.keys_line(), Role::Text);
    }
}
