//! Answers that are readings, values worked out, or looks at a vent.

use reseat_procedure::model::Asked;

use super::ask::{Inner, Point};
use super::body::{self, Body, KINDS_OF_VENT};
use super::command::Given;
use super::decide::AskedNow;
use super::fitness::Need;
use super::reading::{self, Slot};
use super::state::Rebuild;
use super::zero::ZeroPart;
use crate::log::Stamp;
use crate::refusal::{Refusal, Work};
use crate::register::Register;

/// Of [`KINDS_OF_VENT`].
pub(super) const NOTHING_CAME: &str = "nothing came";

/// Whether what came from a vent lets zero stand.
pub(super) fn vent_clears(came: &str, first_time: bool) -> bool {
    match came {
        "flowed and stopped" => true,
        NOTHING_CAME => !first_time,
        _ => false,
    }
}

impl Rebuild {
    /// What came from a vent. The first time a side is vented something must be seen to flow: a vent from which nothing comes may be blocked.
    pub(super) fn vented(
        &self,
        step: &str,
        ask: Option<u32>,
        side: &str,
        number: u32,
        first_time: bool,
    ) -> Body {
        let came = KINDS_OF_VENT[number as usize - 1];
        let (clear, finds) = match ask {
            Some(ask) => {
                let again = self.tries_at(step, ask) > 0;
                let nothing = first_time && came == NOTHING_CAME;
                (vent_clears(came, first_time), nothing && again)
            }
            None => self.gate_vent(side, came),
        };
        let finding = finds.then(|| self.next_finding());
        body::Vented {
            step: step.to_owned(),
            ask,
            side: side.to_owned(),
            came: came.to_owned(),
            clear,
            finding,
        }
        .into()
    }

    /// What a vent looked at in a gate says: whether it lets zero stand, and whether it opens a finding. Where something was let in,
    /// vented by no written act and seen to flow from no vent, a vent from which nothing comes may be blocked: it is looked at
    /// once more, and then a person decides.
    pub(super) fn gate_vent(&self, side: &str, came: &str) -> (bool, bool) {
        if came != NOTHING_CAME || !self.is_unvented() {
            return (vent_clears(came, false), false);
        }
        let again = self.nothing_came_last(side);
        (again, again)
    }

    pub(super) fn answer_measured(
        &self,
        now: &AskedNow<'_>,
        given: Given,
    ) -> Result<Body, Refusal> {
        let AskedNow {
            register,
            stamp,
            step,
            ask,
            asked,
            inner,
        } = *now;
        let state = self
            .line(step)
            .and_then(|line| line.asks.get(ask as usize))
            .ok_or(Work::NotAskedNow)?;
        match (asked, given) {
            (Asked::Reading(measured), Given::Reading(typed)) if *inner == Inner::Beside => {
                let (_, instrument) = measured.beside.clone().unwrap_or_default();
                let unit = Self::beside_unit(register, measured, &instrument);
                self.may_use(register, stamp, &instrument, &Need::beside(&instrument))?;
                let mut slot = Slot::new(step, unit);
                slot.thing = Some(format!("{}/beside", measured.id));
                slot.instruments = vec![instrument];
                reading::take(register, slot, &typed)
            }
            (Asked::Reading(measured), Given::Reading(typed)) => {
                let mut slot = Slot::new(step, measured.unit);
                slot.thing = Some(measured.id.clone());
                slot.attempt = self.attempt_at(step, &measured.id);
                slot.window = measured.window;
                if let Some(need) = self.need_of_reading(step, measured) {
                    let point = Point::Asked(step.to_owned(), ask, inner.clone());
                    let name = self.in_use(register, stamp, &point, &need);
                    self.may_use(register, stamp, &name, &need)?;
                    slot.instruments.push(name);
                }
                slot.proves = measured.proves.is_some();
                slot.finding = measured.proves.is_none().then(|| self.next_finding());
                if let (Some((label, _)), Some((_, value))) = (&measured.beside, &state.beside) {
                    slot.with.insert(label.clone(), value.clone());
                }
                reading::take(register, slot, &typed)
            }
            (Asked::Computed { id, window, .. }, Given::Done) => {
                let written = self
                    .line(step)
                    .and_then(|line| self.step_of(line))
                    .ok_or(Work::NotAskedNow)?;
                let value = self.computed(written, asked).ok_or_else(|| Work::Digits {
                    why: "The value cannot be worked out from these readings.".to_owned(),
                })?;
                let mut slot = Slot::new(step, window.unit());
                slot.thing = Some(id.clone());
                slot.attempt = self.attempt_at(step, id);
                slot.window = Some(*window);
                slot.from = self.computed_from(written, asked);
                slot.finding = Some(self.next_finding());
                reading::take_computed(slot, &value)
            }
            (Asked::Zero { by_vent }, given) => {
                let Inner::Line(line) = inner else {
                    return Err(Work::NotAskedNow.into());
                };
                let parts = self.zero_parts(by_vent);
                let part = parts.get(*line as usize).ok_or(Work::NotAskedNow)?;
                self.zero_answer(register, stamp, step, Some(ask), *part, given)
            }
            _ => Err(Work::WrongKind.into()),
        }
    }

    /// Which attempt at this thing the next reading is. Struck ones count: they stay on the first page.
    fn attempt_at(&self, step: &str, thing: &str) -> u32 {
        let before = self
            .readings
            .values()
            .filter(|kept| kept.line == step && kept.thing.as_deref() == Some(thing))
            .count();
        before as u32 + 1
    }

    /// One part of a zero check, written or asked as a gate.
    pub(super) fn zero_answer(
        &self,
        register: &Register,
        stamp: &Stamp,
        step: &str,
        ask: Option<u32>,
        part: ZeroPart<'_>,
        given: Given,
    ) -> Result<Body, Refusal> {
        match (part, given) {
            (ZeroPart::Gauge(side), Given::Reading(typed)) => {
                let zero = self
                    .procedure
                    .zero
                    .iter()
                    .find(|zero| zero.id == side)
                    .ok_or(Work::NotAskedNow)?;
                let need = Need::zero(&zero.instrument, &zero.window);
                self.may_use(register, stamp, &zero.instrument, &need)?;
                let mut slot = Slot::new(step, zero.window.unit());
                slot.thing = Some(format!("zero/{side}"));
                slot.proves = true;
                slot.window = Some(zero.window);
                slot.instruments = vec![zero.instrument.clone()];
                reading::take(register, slot, &typed)
            }
            (ZeroPart::Vent(side), Given::Choice(number)) => {
                Ok(self.vented(step, ask, side, number, false))
            }
            _ => Err(Work::WrongKind.into()),
        }
    }
}
