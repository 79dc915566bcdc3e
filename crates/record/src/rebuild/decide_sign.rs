//! Verification, hold points and signatures: who may, and what each says.

use reseat_procedure::model::{Asked, Role, Verify};

use super::ask::Inner;
use super::body::{self, Body};
use super::command::Given;
use super::state::Rebuild;
use crate::log::Stamp;
use crate::refusal::{Refusal, Work};
use crate::register::Register;

impl Rebuild {
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
        let at_the_unit = self
            .line_index(step)
            .is_some_and(|index| self.verified_at_the_unit(index));
        if at_the_unit && !self.own_locks.contains_key(&person.id) {
            return Err(Work::OwnLockFirst.into());
        }
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
            answers: line
                .verify_asked
                .values()
                .map(|(entry, _)| *entry)
                .collect(),
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
