//! Starting a rebuild: work order, tag and serial typed as read on the nameplate, procedure, options, kit lot, performer.
//!
//! Tag and serial are compared with the register as they are typed. Where one differs, a line for the lead's reason
//! appears and the lead signs the start instead of the performer.

use std::collections::BTreeMap;

use ratatui::layout::Rect;
use reseat_procedure::Choices;
use reseat_record::rebuild;

use super::deeds::NOTE;
use super::draw::Pen;
use super::form::{Did, FILL_IN, Form, Slot};
use super::message::Effect;
use super::model::{Common, Press};
use super::overlay::{Overlay, draw_form, say_overflow};
use super::sight::{Offer, StartSight};
use super::sign::{Pending, Sign};
use crate::keys::Action;
use crate::theme::Role;

/// Names of the lines that ask the options of a procedure.
const OPTIONS: [&str; 8] = [
    "option1", "option2", "option3", "option4", "option5", "option6", "option7", "option8",
];

/// Starting a rebuild.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// What there is to choose from.
    pub sight: StartSight,
    /// The form.
    pub form: Form,
    /// The offer whose options the form asks.
    offer: Option<usize>,
}

/// Why the list of procedures is empty.
const NO_PROCEDURE: &str = "No procedure for this model is approved on this site: an approver reads one under Register, procedures, and signs it (Esc, Esc, F5).";

impl Start {
    /// The screen for a sight; a form left before is taken up again.
    pub fn new(sight: StartSight, common: &mut Common) -> Self {
        let title = format!("Start a rebuild: {} {}", sight.unit.tag, sight.unit.name);
        let offers = sight
            .offers
            .iter()
            .map(|offer| format!("{}, {}", offer.number, offer.title))
            .collect();
        let performers = sight
            .performers
            .iter()
            .map(|(_, name)| name.clone())
            .collect();
        let fresh = Form::new(title, "start; signed")
            .text("work_order", "work order", 40, "As on the paper.")
            .text(
                "tag",
                "tag, as read at the unit",
                24,
                "Read it off the tag, not off this screen.",
            )
            .text(
                "serial",
                "serial, as read",
                40,
                "Read it off the nameplate.",
            )
            .pick(
                "procedure",
                "procedure",
                offers,
                "Approved on this site for this model.",
            )
            .text("kit_lot", "kit lot", 40, "As on the bag.")
            .pick("performer", "performer", performers, "Who does the work.");
        let mut told: Vec<&str> = sight.warnings.iter().map(String::as_str).collect();
        if sight.offers.is_empty() {
            told.push(NO_PROCEDURE);
        }
        let fresh = fresh.lead(&told);
        let mut start = Self {
            form: common.unparked(fresh),
            sight,
            offer: None,
        };
        start.refit();
        start
    }

    /// Whether what was typed differs from the register; nothing typed differs from nothing.
    pub fn mismatch(&self) -> bool {
        let differs =
            |typed: &str, known: &str| !typed.is_empty() && !typed.eq_ignore_ascii_case(known);
        differs(self.form.typed("tag"), &self.sight.unit.tag)
            || differs(self.form.typed("serial"), &self.sight.unit.serial)
    }

    fn chosen_offer(&self) -> Option<&Offer> {
        self.form
            .picked("procedure")
            .and_then(|at| self.sight.offers.get(at))
    }

    /// Adds and takes away the lines that depend on others.
    fn refit(&mut self) {
        let has = self.form.lines.iter().any(|line| line.name == "mismatch");
        // The line appears once the reader has left the nameplate's lines, so that it does not jump about while he types.
        let reading = self.form.at <= 2;
        if self.mismatch() && !has && !reading {
            let extra = Form::new("", "").text(
                "mismatch",
                "why it differs (lead)",
                NOTE,
                "Tag or serial differ from the register. A lead says why, and signs.",
            );
            let at = 3;
            self.form.lines.splice(at..at, extra.lines);
            self.form.at = at;
        } else if !self.mismatch() && has {
            self.form.lines.retain(|line| line.name != "mismatch");
        }
        let picked = self.form.picked("procedure");
        if picked != self.offer {
            self.offer = picked;
            self.form.lines.retain(|line| !OPTIONS.contains(&line.name));
            let options = self
                .chosen_offer()
                .map(|offer| offer.options.clone())
                .unwrap_or_default();
            let mut extra = Form::new("", "");
            for (name, (_, question, values)) in OPTIONS.into_iter().zip(&options) {
                extra = extra.pick(
                    name,
                    question,
                    values.iter().map(|(_, label)| label.clone()).collect(),
                    "",
                );
            }
            let after = self
                .form
                .lines
                .iter()
                .position(|line| line.name == "procedure")
                .map_or(0, |at| at + 1);
            self.form.lines.splice(after..after, extra.lines);
        }
    }

    /// A key.
    pub fn press(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        if press.action == Some(Action::Back) {
            common.park(self.form.clone());
            return vec![Effect::LoadUnit(self.sight.unit.serial.clone())];
        }
        let did = self.form.press(press.stroke, press.action);
        let at_end = self.form.at_end();
        self.refit();
        match did {
            Did::Takes if common.takes(press) => self.take(common),
            Did::Arrived => {
                if at_end && self.form.at_end() {
                    common.guard.asked_anew();
                    common.guard.spend(press.stroke);
                }
            }
            _ => say_overflow(self.form.open_field(), common),
        }
        Vec::new()
    }

    fn take(&mut self, common: &mut Common) {
        let names = self.form.names();
        if let Some(sentence) = self.form.go_to_unanswered(&names) {
            let empty_choice = matches!(
                self.form.lines.get(self.form.at).map(|line| &line.slot),
                Some(Slot::Pick { labels, .. }) if labels.is_empty()
            );
            let remedy = if empty_choice {
                "Add it in the register (Esc, Esc, F5)."
            } else {
                FILL_IN
            };
            common.refuse("empty", sentence, remedy);
            return;
        }
        let performer = self
            .form
            .picked("performer")
            .and_then(|at| self.sight.performers.get(at))
            .cloned();
        let (Some(offer), Some(performer)) = (self.chosen_offer().cloned(), performer) else {
            return;
        };
        let chosen = self.chosen(&offer, performer.0);
        let sign = if chosen.mismatch.is_some() {
            Sign::new(
                "a lead starts it although the nameplate differs",
                self.sight.leads.clone(),
                Pending::Start(chosen),
                common,
            )
        } else {
            Sign::new(
                "performed: starts the rebuild",
                vec![performer],
                Pending::Start(chosen),
                common,
            )
        };
        common.open(Overlay::Sign(Box::new(sign)));
    }

    fn chosen(&self, offer: &Offer, performer: reseat_record::log::Id) -> rebuild::Start {
        let said = |name: &str| self.form.typed(name).to_owned();
        let options = OPTIONS
            .iter()
            .zip(&offer.options)
            .filter_map(|(name, (id, _, values))| {
                let (value, _) = values.get(self.form.picked(name)?)?;
                Some((id.clone(), value.clone()))
            });
        rebuild::Start {
            work_order: said("work_order"),
            tag: said("tag"),
            serial: said("serial"),
            mismatch: self.mismatch().then(|| said("mismatch")),
            unit: self.sight.unit.serial.clone(),
            procedure: offer.sha256,
            choices: Choices(options.collect::<BTreeMap<_, _>>()),
            kit_lot: said("kit_lot"),
            performer,
        }
    }

    /// Draws it; the cursor's place.
    pub fn draw(&self, pen: &mut Pen, area: Rect, common: &Common) -> Option<(u16, u16)> {
        let cursor = draw_form(pen, area, &self.form, common.guard.act_keys());
        if let Some(offer) = self.chosen_offer().filter(|offer| !offer.kit.is_empty()) {
            pen.text_right(area, 1, 0, &format!("kit {}", offer.kit), Role::Aside);
        }
        cursor
    }
}
