//! Answers at a joint.

use reseat_measure::joint::Condition;
use reseat_measure::{Quantity, Window};
use reseat_procedure::model::{Asked, Gap, Joint, Rounds};

use super::apply_joint::READ_AGAIN;
use super::ask::{Ask, Inner, Wants};
use super::body::{self, Body};
use super::command::Given;
use super::decide::AskedNow;
use super::fitness::Need;
use super::joint::Tells;
use super::question_joint::{CLICKED, NOT_CLICKED, OTHER_CONDITION};
use super::reading::{self, Slot, copy};
use super::state::Rebuild;
use crate::log::Stamp;
use crate::refusal::{Refusal, Work};
use crate::register::{Instrument, Register};

impl Rebuild {
    pub(super) fn answer_joint(&self, now: &AskedNow<'_>, given: Given) -> Result<Body, Refusal> {
        let (step, inner) = (now.step, now.inner);
        match (now.asked, given) {
            (Asked::Condition { joint }, Given::Choice(number)) => {
                self.condition(step, now.ask, joint, number)
            }
            (Asked::Recheck { joint, at }, given @ (Given::Fastener(_) | Given::Choice(_))) => {
                let Inner::Fastener(fastener, ..) = inner else {
                    return Err(Work::NotAskedNow.into());
                };
                let moved = matches!(given, Given::Choice(_));
                Ok(body::Rechecked {
                    step: step.to_owned(),
                    joint: joint.clone(),
                    fastener: *fastener,
                    moved,
                    at: at.to_string(),
                    finding: moved.then(|| self.next_finding()),
                }
                .into())
            }
            (Asked::Tighten { joint }, given) => {
                let written = self.joint_now(joint).ok_or(Work::NotAskedNow)?;
                self.tighten(now.register, now.stamp, step, &written, inner, given)
            }
            _ => Err(Work::WrongKind.into()),
        }
    }

    fn condition(&self, step: &str, ask: u32, joint: &str, number: u32) -> Result<Body, Refusal> {
        let written = self.joint(joint).ok_or(Work::NotAskedNow)?;
        let wanted = wanted_condition(written);
        let seen = Condition::ALL
            .get(number as usize - 1)
            .map_or(OTHER_CONDITION, |condition| condition.name());
        Ok(body::Condition {
            step: step.to_owned(),
            ask,
            joint: joint.to_owned(),
            condition: seen.to_owned(),
            agrees: seen == wanted,
            written: wanted,
        }
        .into())
    }

    fn tighten(
        &self,
        register: &Register,
        stamp: &Stamp,
        step: &str,
        joint: &Joint,
        inner: &Inner,
        given: Given,
    ) -> Result<Body, Refusal> {
        let state = self.joint_state(&joint.id);
        let wrench = state
            .wrench
            .as_ref()
            .map(|wrench| wrench.id.clone())
            .unwrap_or_default();
        let (step, id) = (step.to_owned(), joint.id.clone());
        match (inner, given) {
            (Inner::Setting(pass), Given::Reading(typed)) => {
                let asked = SettingAsked {
                    step,
                    pass: *pass,
                    queried: None,
                };
                self.setting(register, stamp, joint, asked, &typed)
            }
            (
                Inner::Fastener(fastener, pass, attempt),
                given @ (Given::Fastener(_) | Given::Choice(_)),
            ) if state.tells() == Tells::Click => {
                let did = match given {
                    Given::Choice(number) => NOT_CLICKED.get(number as usize - 1),
                    _ => Some(&CLICKED),
                };
                Ok(body::Clicked {
                    step,
                    joint: id,
                    pass: *pass,
                    fastener: *fastener,
                    attempt: *attempt,
                    did: (*did.ok_or(Work::NotAskedNow)?).to_owned(),
                }
                .into())
            }
            (Inner::Fastener(fastener, pass, _), Given::Fastener(_)) => {
                self.wrench_fit(register, stamp, joint)?;
                let to = joint
                    .passes
                    .get(*pass as usize - 1)
                    .map(ToString::to_string)
                    .unwrap_or_default();
                Ok(body::Pulled {
                    step,
                    joint: id,
                    pass: *pass,
                    fastener: *fastener,
                    to,
                    instrument: wrench,
                    prevailing: self.prevailing_text(joint),
                }
                .into())
            }
            (Inner::Fastener(fastener, pass, attempt), Given::Reading(typed)) => {
                self.wrench_fit(register, stamp, joint)?;
                let slot = self.torque_slot(&step, joint, *fastener, *pass, *attempt, true);
                reading::take(register, slot, &typed)
            }
            (Inner::Round(round), Given::Count(moved)) => self.round(step, joint, *round, moved),
            (Inner::Gap(number), given) => self.gap(register, stamp, step, joint, *number, given),
            (Inner::SetBack, Given::Done) => Ok(body::SetBack {
                step,
                joint: id,
                instrument: wrench,
            }
            .into()),
            _ => Err(Work::WrongKind.into()),
        }
    }

    /// The wrench in hand at a joint, if it may still be used there.
    fn wrench_fit<'r>(
        &self,
        register: &'r Register,
        stamp: &Stamp,
        joint: &Joint,
    ) -> Result<&'r Instrument, Refusal> {
        let state = self.joint_state(&joint.id);
        let wrench = state.wrench.as_ref().ok_or(Work::NotAskedNow)?;
        let need = Need::wrench(joint, Some(&wrench.id), &state);
        self.may_use(register, stamp, &wrench.id, &need)
    }

    fn torque_slot<'a>(
        &self,
        step: &'a str,
        joint: &'a Joint,
        fastener: u32,
        pass: u32,
        attempt: u32,
        ask_slip: bool,
    ) -> Slot<'a> {
        let state = self.joint_state(&joint.id);
        let mut slot = Slot::new(step, joint.window.unit());
        slot.joint = Some(&joint.id);
        slot.fastener = Some(fastener);
        slot.pass = Some(pass);
        slot.attempt = attempt;
        slot.window = Some(joint.window);
        slot.instruments = state
            .wrench
            .iter()
            .map(|wrench| wrench.id.clone())
            .collect();
        slot.condition = Some(
            state
                .condition
                .clone()
                .unwrap_or_else(|| joint.condition.clone()),
        );
        slot.prevailing = self.prevailing_text(joint);
        slot.adapter = state.adapter;
        slot.rule = joint.rule;
        slot.ask_slip = ask_slip;
        slot
    }

    fn prevailing_text(&self, joint: &Joint) -> Option<String> {
        self.prevailing(joint).map(|read| read.to_string())
    }

    /// The setting of a click wrench: exactly the pass's torque before the last pass, inside the window in the last.
    fn setting(
        &self,
        register: &Register,
        stamp: &Stamp,
        joint: &Joint,
        asked: SettingAsked,
        typed: &str,
    ) -> Result<Body, Refusal> {
        let SettingAsked {
            step,
            pass,
            queried,
        } = asked;
        let state = self.joint_state(&joint.id);
        let instrument = self.wrench_fit(register, stamp, joint)?;
        let digits = |why: &dyn ToString| {
            Refusal::from(Work::Digits {
                why: why.to_string(),
            })
        };
        let showed = Quantity::from_digits(typed, instrument.scale, instrument.reference)
            .map_err(|why| digits(&why))?;
        let mut slot = Slot::new(&step, joint.window.unit());
        slot.joint = Some(&joint.id);
        slot.pass = Some(pass);
        slot.attempt = state.attempts + 1;
        if let Some(off) = reading::off_scale(&slot, instrument, &showed, typed)? {
            return Ok(off.into());
        }
        let means = super::at_nut(state.adapter.as_ref(), showed).ok_or(Work::NotAskedNow)?;
        let (window, required) = super::recheck::setting_window(
            joint,
            pass,
            &instrument.resolution,
            state.adapter.as_ref(),
        )
        .ok_or(Work::NotAskedNow)?;
        if queried.is_none()
            && let Some(queried) =
                reading::queried(&slot, &window, &means, typed, &[copy(instrument)])?
        {
            return Ok(queried.into());
        }
        let place = window.judge(&means).map_err(|why| digits(&why))?.place;
        Ok(body::Setting {
            step,
            joint: joint.id.clone(),
            pass,
            typed: typed.trim().to_owned(),
            means: means.to_string(),
            required,
            place: place.to_string(),
            instrument: copy(instrument),
            condition: state
                .condition
                .clone()
                .unwrap_or_else(|| joint.condition.clone()),
            prevailing: self.prevailing_text(joint),
            queried,
            adapter: state
                .adapter
                .map(|adapter| body::AdapterUse::of(&adapter, &showed)),
        }
        .into())
    }

    fn round(&self, step: String, joint: &Joint, round: u32, moved: u64) -> Result<Body, Refusal> {
        let high = u64::from(joint.fasteners);
        let moved = u32::try_from(moved)
            .ok()
            .filter(|moved| u64::from(*moved) <= high)
            .ok_or_else(|| Work::NotAnOffer {
                typed: moved.to_string(),
                high,
            })?;
        let finding = match joint.rounds {
            Rounds::UpTo(most) if round >= most && moved > 0 => Some(self.next_finding()),
            _ => None,
        };
        let at = joint
            .passes
            .last()
            .map(ToString::to_string)
            .unwrap_or_default();
        Ok(body::Round {
            step,
            joint: joint.id.clone(),
            round,
            moved,
            at,
            finding,
        }
        .into())
    }

    fn gap(
        &self,
        register: &Register,
        stamp: &Stamp,
        step: String,
        joint: &Joint,
        number: u32,
        given: Given,
    ) -> Result<Body, Refusal> {
        match (&joint.gap, given) {
            (Some(Gap::Spread { limit, instrument }), Given::Reading(typed)) => {
                self.may_use(register, stamp, instrument, &Need::beside(instrument))?;
                let mut slot = Slot::new(&step, limit.unit());
                slot.joint = Some(&joint.id);
                slot.thing = Some(format!("gap/{number}"));
                slot.instruments = vec![instrument.clone()];
                reading::take(register, slot, &typed)
            }
            (Some(Gap::Spread { limit, .. }), Given::Done) => {
                let spread = self.gap_spread(&joint.id).ok_or(Work::NotAskedNow)?;
                let mut slot = Slot::new(&step, limit.unit());
                slot.joint = Some(&joint.id);
                slot.thing = Some("gap/spread".to_owned());
                slot.window = Window::parse(&format!("..{limit}")).ok();
                slot.from = self
                    .joint_state(&joint.id)
                    .gap
                    .iter()
                    .map(|(entry, _)| *entry)
                    .collect();
                slot.finding = Some(self.next_finding());
                reading::take_computed(slot, &spread)
            }
            (Some(Gap::Closed { feeler, instrument }), Given::Choice(answer)) => {
                self.may_use(register, stamp, instrument, &Need::beside(instrument))?;
                let enters = answer == 2;
                Ok(body::Feeler {
                    step,
                    joint: joint.id.clone(),
                    feeler: feeler.to_string(),
                    enters,
                    finding: enters.then(|| self.next_finding()),
                }
                .into())
            }
            _ => Err(Work::WrongKind.into()),
        }
    }

    /// "This scale" judges the digits as typed; another scale means reading again on the hardware.
    pub(super) fn answer_queried(
        &self,
        register: &Register,
        stamp: &Stamp,
        entry: u64,
        given: &Given,
    ) -> Result<Body, Refusal> {
        let Given::Choice(number) = *given else {
            return Err(Work::WrongKind.into());
        };
        let (id, state) = self
            .joints
            .iter()
            .find(|(_, state)| {
                state
                    .queried
                    .as_ref()
                    .is_some_and(|(number, ..)| *number == entry)
            })
            .ok_or(Work::NotAskedNow)?;
        let joint = &self.joint_now(id).ok_or(Work::NotAskedNow)?;
        let step = self
            .due()
            .map(|index| self.lines[index].id.clone())
            .ok_or(Work::NoStepDue)?;
        if number == 2 {
            return Ok(body::QueryAnswered {
                step,
                entry,
                answer: READ_AGAIN.to_owned(),
            }
            .into());
        }
        let typed = state
            .queried
            .as_ref()
            .map(|(_, typed, _)| typed.clone())
            .unwrap_or_default();
        let (fastener, pass, attempt) = match super::joint::due(joint, state) {
            Some(Inner::Fastener(fastener, pass, attempt)) => (fastener, pass, attempt),
            Some(Inner::Setting(pass)) => {
                let asked = SettingAsked {
                    step,
                    pass,
                    queried: Some(entry),
                };
                return self.setting(register, stamp, joint, asked, &typed);
            }
            _ => return Err(Work::NotAskedNow.into()),
        };
        self.wrench_fit(register, stamp, joint)?;
        let mut slot = self.torque_slot(&step, joint, fastener, pass, attempt, false);
        slot.from = vec![entry];
        reading::take(register, slot, &typed)
    }

    /// Whether an answer of the ask can carry a reading.
    #[must_use]
    pub fn takes_reading(ask: &Ask) -> bool {
        matches!(ask.wants, Wants::Reading { .. })
    }
}

/// A setting of a click wrench that is asked for.
struct SettingAsked {
    step: String,
    pass: u32,
    /// The entry that kept it without a verdict, once it was said which scale was read.
    queried: Option<u64>,
}

/// The condition that the window of a joint is written for, by its name in the list.
pub(super) fn wanted_condition(written: &Joint) -> String {
    Condition::parse(&written.condition).map_or_else(
        |_| written.condition.clone(),
        |condition| condition.name().to_owned(),
    )
}
