//! Answers to a step's plain asks, its verification, its hold and its signatures.

use reseat_procedure::model::{Asked, Leads, Role, Verify};

use super::ask::Inner;
use super::body::{self, Body, KINDS_OF_VENT};
use super::command::Given;
use super::due::ZeroPart;
use super::reading::{self, Slot};
use super::state::Rebuild;
use crate::log::{Clock, Stamp};
use crate::refusal::{Refusal, Work};
use crate::register::Register;

impl Rebuild {
    #[expect(
        clippy::too_many_arguments,
        reason = "an answer, its place and its stamp are each needed once"
    )]
    pub(super) fn answer_plain(
        &self,
        register: &Register,
        stamp: &Stamp,
        step: &str,
        ask: u32,
        asked: &Asked,
        inner: &Inner,
        given: Given,
    ) -> Result<Body, Refusal> {
        let step = step.to_owned();
        match (asked, given) {
            (Asked::Choice { question, answers }, Given::Choice(number)) => {
                let answer = &answers[number as usize - 1];
                let leads = match answer.leads {
                    Leads::On => "on".to_owned(),
                    Leads::Again => "again".to_owned(),
                    Leads::Finding => format!("finding {}", self.next_finding()),
                };
                Ok(body::Answered {
                    step,
                    ask,
                    question: question.clone(),
                    answer: answer.label.clone(),
                    leads,
                }
                .into())
            }
            (
                Asked::Orientation {
                    question,
                    answers,
                    right,
                },
                Given::Choice(number),
            ) => {
                let index = number as usize - 1;
                let answer = answers
                    .get(index)
                    .map_or("cannot tell", String::as_str)
                    .to_owned();
                let leads = if index == *right { "on" } else { "again" }.to_owned();
                Ok(body::Answered {
                    step,
                    ask,
                    question: question.clone(),
                    answer,
                    leads,
                }
                .into())
            }
            (Asked::Text { question }, Given::Text(text)) => Ok(body::Wrote {
                step,
                ask,
                question: question.clone(),
                text,
                agrees: None,
            }
            .into()),
            (Asked::Nameplate, Given::Text(text)) => {
                let serial: String = self
                    .started
                    .unit_serial
                    .chars()
                    .rev()
                    .take(4)
                    .collect::<Vec<_>>()
                    .into_iter()
                    .rev()
                    .collect();
                let agrees = text.eq_ignore_ascii_case(&serial)
                    || text.eq_ignore_ascii_case(&self.started.unit_serial);
                let question =
                    "Last four characters of the serial, read on the nameplate".to_owned();
                Ok(body::Wrote {
                    step,
                    ask,
                    question,
                    text,
                    agrees: Some(agrees),
                }
                .into())
            }
            (Asked::Person { question, .. }, Given::Person(id)) => {
                let person = register.person(id).ok_or(Work::NobodySuch)?;
                let person = body::PersonCopy {
                    id: person.id,
                    name: person.name.clone(),
                    fact: person.fact,
                };
                Ok(body::Named {
                    step,
                    ask,
                    question: question.clone(),
                    person,
                }
                .into())
            }
            (Asked::Count { question, expected }, Given::Count(counted)) => {
                Ok(self.counted(step, ask, question, counted, expected.map(u64::from)))
            }
            (Asked::Balance, Given::Count(counted)) => {
                if let Some(first) = self.unbalanced().first() {
                    return Err(Work::StillOpen {
                        count: self.unbalanced().len(),
                        first: first.clone(),
                    }
                    .into());
                }
                Ok(self.counted(
                    step,
                    ask,
                    "Parts left over on the bench that the list does not name",
                    counted,
                    Some(0),
                ))
            }
            (Asked::ToolsOut, Given::Count(counted)) => Ok(self.counted(
                step,
                ask,
                "Wrenches, picks, rags and covers left in or on the unit",
                counted,
                Some(0),
            )),
            (Asked::Vent { side }, Given::Choice(number)) => {
                Ok(self.vented(&step, Some(ask), side, number, true))
            }
            (Asked::OwnLocks { .. }, Given::Text(number)) => {
                let owner = Self::actor(register, stamp)?;
                Ok(body::OwnLock {
                    owner,
                    number,
                    on: true,
                    step: Some(step),
                    ask: Some(ask),
                }
                .into())
            }
            (Asked::Rest { minutes } | Asked::Wait { minutes }, given) => {
                self.waited(stamp, step, ask, *minutes, &given)
            }
            (Asked::Dispositions, given) => self.disposed(step, ask, inner, &given),
            (Asked::Decisions, Given::Choice(number)) => {
                let part = self
                    .to_decide()
                    .into_iter()
                    .next()
                    .ok_or(Work::NotAskedNow)?;
                let disposition = ["keep", "replace", "scrap"][number as usize - 1].to_owned();
                Ok(body::Disposed {
                    step,
                    ask,
                    line: 0,
                    parts: vec![part],
                    disposition,
                    counted: None,
                }
                .into())
            }
            (Asked::Decisions, Given::Done) => Ok(self.done_body(&step, Some(ask))),
            _ => Err(Work::WrongKind.into()),
        }
    }

    fn counted(
        &self,
        step: String,
        ask: u32,
        question: &str,
        counted: u64,
        expected: Option<u64>,
    ) -> Body {
        let wrong = expected.is_some_and(|expected| expected != counted);
        let tries = self
            .line(&step)
            .and_then(|line| line.asks.get(ask as usize))
            .map_or(0, |state| state.tries);
        let finding = (wrong && tries > 0).then(|| self.next_finding());
        body::Counted {
            step,
            ask,
            question: question.to_owned(),
            counted,
            expected,
            finding,
        }
        .into()
    }

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
        let clear = match came {
            "flowed and stopped" => true,
            "nothing came" => !first_time,
            _ => false,
        };
        let tries = ask
            .and_then(|ask| self.line(step).and_then(|line| line.asks.get(ask as usize)))
            .map_or(0, |state| state.tries);
        let finding =
            (first_time && came == "nothing came" && tries > 0).then(|| self.next_finding());
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

    fn waited(
        &self,
        stamp: &Stamp,
        step: String,
        ask: u32,
        minutes: u32,
        given: &Given,
    ) -> Result<Body, Refusal> {
        let state = self
            .line(&step)
            .and_then(|line| line.asks.get(ask as usize))
            .ok_or(Work::NotAskedNow)?;
        let Some(begun) = &state.rest else {
            return Ok(body::RestBegun { step, ask, minutes }.into());
        };
        if stamp.clock == Clock::Doubted || begun.clock == Clock::Doubted {
            return match given {
                Given::Choice(1) => Ok(body::RestOver {
                    step,
                    ask,
                    judged_by: "person".to_owned(),
                }
                .into()),
                _ => Err(Work::NotYet {
                    until: "a person says so".to_owned(),
                }
                .into()),
            };
        }
        let until = super::time::minutes_after(&begun.utc, minutes).ok_or(Work::BadTime)?;
        if super::time::minutes_between(&until, &stamp.utc).is_none_or(|left| left < 0)
            || until > stamp.utc
        {
            return Err(Work::NotYet {
                until: super::time::clock_face(&until, &stamp.offset),
            }
            .into());
        }
        Ok(body::RestOver {
            step,
            ask,
            judged_by: "clock".to_owned(),
        }
        .into())
    }

    fn disposed(
        &self,
        step: String,
        ask: u32,
        inner: &Inner,
        given: &Given,
    ) -> Result<Body, Refusal> {
        let Inner::Line(line) = inner else {
            return Err(Work::NotAskedNow.into());
        };
        if *line == 0 {
            let Given::Count(counted) = given else {
                return Err(Work::WrongKind.into());
            };
            let parts: Vec<String> = self
                .procedure
                .parts_on(&self.route.choices)
                .filter(|part| part.single_use && self.off.contains_key(&part.id))
                .map(|part| part.id.clone())
                .collect();
            let pieces: u32 = parts.iter().filter_map(|part| self.off.get(part)).sum();
            if *counted != u64::from(pieces) {
                return Ok(self.counted(
                    step,
                    ask,
                    "Single-use pieces discarded",
                    *counted,
                    Some(u64::from(pieces)),
                ));
            }
            return Ok(body::Disposed {
                step,
                ask,
                line: 0,
                parts,
                disposition: "discard".to_owned(),
                counted: Some(*counted),
            }
            .into());
        }
        let Given::Choice(number) = given else {
            return Err(Work::WrongKind.into());
        };
        let part = self
            .reusable_off()
            .get(*line as usize - 1)
            .cloned()
            .ok_or(Work::NotAskedNow)?;
        let disposition = ["keep", "inspect", "discard"][*number as usize - 1].to_owned();
        Ok(body::Disposed {
            step,
            ask,
            line: *line,
            parts: vec![part],
            disposition,
            counted: None,
        }
        .into())
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "an answer, its place and its stamp are each needed once"
    )]
    pub(super) fn answer_measured(
        &self,
        register: &Register,
        stamp: &Stamp,
        step: &str,
        ask: u32,
        asked: &Asked,
        inner: &Inner,
        given: Given,
    ) -> Result<Body, Refusal> {
        let state = self
            .line(step)
            .and_then(|line| line.asks.get(ask as usize))
            .ok_or(Work::NotAskedNow)?;
        match (asked, given) {
            (Asked::Reading(measured), Given::Reading(typed)) if *inner == Inner::Beside => {
                let (_, instrument) = measured.beside.clone().unwrap_or_default();
                let unit = register
                    .instrument(&instrument)
                    .map_or(measured.unit, |instrument| instrument.scale);
                let mut slot = Slot::new(step, unit);
                slot.thing = Some(format!("{}/beside", measured.id));
                slot.instruments = vec![instrument];
                reading::take(register, stamp, slot, &typed)
            }
            (Asked::Reading(measured), Given::Reading(typed)) => {
                let mut slot = Slot::new(step, measured.unit);
                slot.thing = Some(measured.id.clone());
                slot.attempt = state.tries + 1;
                slot.window = measured.window;
                slot.instruments.clone_from(&measured.instruments);
                slot.finding = measured.proves.is_none().then(|| self.next_finding());
                if let (Some((label, _)), Some((_, value))) = (&measured.beside, &state.beside) {
                    slot.with.insert(label.clone(), value.clone());
                }
                reading::take(register, stamp, slot, &typed)
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
                slot.attempt = state.tries + 1;
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
                let mut slot = Slot::new(step, zero.window.unit());
                slot.thing = Some(format!("zero/{side}"));
                slot.window = Some(zero.window);
                slot.instruments = vec![zero.instrument.clone()];
                reading::take(register, stamp, slot, &typed)
            }
            (ZeroPart::Vent(side), Given::Choice(number)) => {
                Ok(self.vented(step, ask, side, number, false))
            }
            _ => Err(Work::WrongKind.into()),
        }
    }

    pub(super) fn answer_blind(&self, step: &str, ask: u32, given: Given) -> Result<Body, Refusal> {
        let asked = self.asked(step, ask).ok_or(Work::NotAskedNow)?;
        let first = self
            .line(step)
            .and_then(|line| line.asks.get(ask as usize))
            .and_then(|state| state.last.clone());
        let (question, answer) = match (asked, given) {
            (Asked::Count { question, .. }, Given::Count(counted)) => {
                (question.clone(), counted.to_string())
            }
            (Asked::Choice { question, answers }, Given::Choice(number)) => {
                (question.clone(), answers[number as usize - 1].label.clone())
            }
            (
                Asked::Orientation {
                    question, answers, ..
                },
                Given::Choice(number),
            ) => (
                question.clone(),
                answers
                    .get(number as usize - 1)
                    .map_or("cannot tell", String::as_str)
                    .to_owned(),
            ),
            _ => return Err(Work::WrongKind.into()),
        };
        let agrees = first.as_deref() == Some(answer.as_str());
        let finding = (!agrees).then(|| self.next_finding());
        Ok(body::VerifiedAnswer {
            step: step.to_owned(),
            ask,
            question,
            answer,
            agrees,
            finding,
        }
        .into())
    }

    pub(super) fn answer_verify(
        &self,
        register: &Register,
        stamp: &Stamp,
        step: &str,
    ) -> Result<Body, Refusal> {
        let person = Self::actor(register, stamp)?;
        let line = self.line(step).ok_or(Work::NotAskedNow)?;
        if line.hands.contains(&person.id) {
            return Err(Work::OwnWork { name: person.name }.into());
        }
        Self::must_hold(register, &person, Role::Verifier)?;
        let independent = self
            .step_of(line)
            .is_some_and(|step| step.verify == Some(Verify::Independent));
        let how = if independent {
            "independent"
        } else {
            "concurrent"
        };
        Ok(body::Verified {
            step: step.to_owned(),
            how: how.to_owned(),
            person,
            register: register.head(),
        }
        .into())
    }

    pub(super) fn must_hold(
        register: &Register,
        person: &body::PersonCopy,
        role: Role,
    ) -> Result<(), Refusal> {
        if register
            .person(person.id)
            .is_some_and(|known| known.has(role))
        {
            return Ok(());
        }
        Err(Work::NotAllowed {
            name: person.name.clone(),
            role: role.word(),
        }
        .into())
    }

    pub(super) fn answer_hold(
        &self,
        register: &Register,
        stamp: &Stamp,
        step: &str,
    ) -> Result<Body, Refusal> {
        let person = Self::actor(register, stamp)?;
        let written = self
            .line(step)
            .and_then(|line| self.step_of(line))
            .ok_or(Work::NotAskedNow)?;
        let role = written.hold.ok_or(Work::NotAskedNow)?;
        Self::must_hold(register, &person, role)?;
        let proves = Self::has_deed(written, |deed| {
            matches!(deed, reseat_procedure::model::Deed::Prove { .. })
        });
        if proves && (!self.sides_proved() || self.lock_missing().is_some()) {
            return Err(Work::NotZero {
                why: "a side is not read, or a lock is off".to_owned(),
            }
            .into());
        }
        Ok(body::Released {
            step: step.to_owned(),
            gate: false,
            role: role.word().to_owned(),
            person,
            register: register.head(),
        }
        .into())
    }

    pub(super) fn answer_sign(
        &self,
        register: &Register,
        stamp: &Stamp,
        step: &str,
        ask: u32,
        inner: &Inner,
    ) -> Result<Body, Refusal> {
        let open = self.open_items_but(step);
        if let Some(first) = open.first() {
            return Err(Work::StillOpen {
                count: open.len(),
                first: first.text.clone(),
            }
            .into());
        }
        let person = Self::actor(register, stamp)?;
        let meaning = if *inner == Inner::Line(0) {
            "performed"
        } else {
            "verified"
        };
        if meaning == "verified" {
            if self.performers().contains(&person.id) {
                return Err(Work::OwnWork { name: person.name }.into());
            }
            Self::must_hold(register, &person, Role::Verifier)?;
        }
        Ok(body::SignedOff {
            step: step.to_owned(),
            ask,
            meaning: meaning.to_owned(),
            person,
            register: register.head(),
        }
        .into())
    }
}
