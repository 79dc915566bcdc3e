//! Answers that lead back to work, findings decided, readings struck.

use reseat_procedure::model::Role;

use super::ask::Point;
use super::body::{self, Body, KINDS_OF_VENT};
use super::command::{Command, Given};
use super::decide_measured::vent_clears;
use super::state::Rebuild;
use crate::log::{Entry, Id, Stamp};
use crate::refusal::{Refusal, Work};
use crate::register::Register;

impl Rebuild {
    pub(super) fn answer_proof(
        &self,
        register: &Register,
        stamp: &Stamp,
        point: &Point,
        given: Given,
    ) -> Result<Body, Refusal> {
        match (point, given) {
            (Point::Resume, Given::Person(_)) => self.taken_up_body(register, stamp, "pause"),
            (Point::LookAgain, Given::Choice(number)) => {
                let came = KINDS_OF_VENT[number as usize - 1];
                Ok(body::LookedAgain {
                    came: came.to_owned(),
                    clear: vent_clears(came, false),
                }
                .into())
            }
            (Point::LookAgain, given @ Given::Reading(_)) => {
                let parts = self.zero_parts(&[]);
                let part = parts.first().ok_or(Work::NotAskedNow)?;
                self.zero_answer(register, stamp, &self.due_id(), None, *part, given)
            }
            (Point::Observed, Given::Choice(number)) => {
                let (question, answers, right) = self.observed();
                let answer = answers
                    .get(number as usize - 1)
                    .cloned()
                    .unwrap_or_default();
                let agrees = number as usize - 1 == right;
                Ok(body::Observed {
                    question,
                    answer,
                    recorded: answers.get(right).cloned().unwrap_or_default(),
                    agrees,
                    finding: (!agrees).then(|| self.next_finding()),
                }
                .into())
            }
            (Point::Gate(part), given) => self.answer_gate(register, stamp, *part, given),
            (Point::LockBack(lock), Given::Text(number)) => {
                let owner = Self::actor(register, stamp)?;
                self.number_free(&number, Some(lock))?;
                if lock == "own" {
                    return Ok(body::OwnLock {
                        owner,
                        number,
                        on: true,
                        step: None,
                        ask: None,
                    }
                    .into());
                }
                Ok(body::LockOn {
                    point: lock.clone(),
                    number,
                    owner,
                }
                .into())
            }
            (Point::Finding(number), Given::Choice(choice)) => {
                let decision = self.decisions_of(*number)[choice as usize - 1].to_owned();
                Ok(body::Proposed {
                    finding: *number,
                    decision,
                }
                .into())
            }
            (Point::FindingSigned(number), Given::Person(_)) => {
                self.decided_body(register, stamp, *number)
            }
            _ => Err(Work::WrongKind.into()),
        }
    }

    pub(super) fn due_id(&self) -> String {
        self.due()
            .map(|index| self.lines[index].id.clone())
            .unwrap_or_default()
    }

    fn answer_gate(
        &self,
        register: &Register,
        stamp: &Stamp,
        part: u32,
        given: Given,
    ) -> Result<Body, Refusal> {
        let parts = self.zero_parts(&[]);
        let step = self.due_id();
        if let Some(part) = parts.get(part as usize) {
            return self.zero_answer(register, stamp, &step, None, *part, given);
        }
        let person = Self::actor(register, stamp)?;
        let role = self.procedure.zero_release;
        Self::must_hold(register, &person, role)?;
        self.other_eyes(person.id, &person.name)?;
        if !self.sides_proved() {
            return Err(Work::NotZero {
                why: "a side is not read".to_owned(),
            }
            .into());
        }
        Ok(body::Released {
            step,
            gate: true,
            role: role.word().to_owned(),
            person,
            register: register.head(),
        }
        .into())
    }

    fn decided_body(
        &self,
        register: &Register,
        stamp: &Stamp,
        number: u32,
    ) -> Result<Body, Refusal> {
        let finding = self
            .findings
            .iter()
            .find(|finding| finding.number == number)
            .ok_or(Work::NotAskedNow)?;
        let decision = finding.proposed.clone().ok_or(Work::NotAskedNow)?;
        let person = Self::actor(register, stamp)?;
        let role = Self::deciding_role(&decision);
        Self::must_hold(register, &person, role)?;
        Ok(body::Decided {
            finding: number,
            decision,
            person,
            role: role.word().to_owned(),
            register: register.head(),
        }
        .into())
    }

    fn taken_up_body(
        &self,
        register: &Register,
        stamp: &Stamp,
        after: &str,
    ) -> Result<Body, Refusal> {
        let person = Self::actor(register, stamp)?;
        Self::must_hold(register, &person, Role::Performer)?;
        Ok(body::TakenUp {
            locks: self.locks_taken_over(person.id),
            person,
            after: after.to_owned(),
            register: register.head(),
        }
        .into())
    }

    /// The entry of a person who opens the rebuild for work after the program ended. Looking needs none.
    ///
    /// # Errors
    /// The rebuild has ended, a newer reseat wrote here, or the person may not perform.
    pub fn take_up(&self, register: &Register, stamp: &Stamp) -> Result<Entry, Refusal> {
        if self.newer {
            return Err(Work::Newer.into());
        }
        if self.ended.is_some() {
            return Err(Work::Ended.into());
        }
        let body = self.taken_up_body(register, stamp, "restart")?;
        Ok(self.entry(stamp, &body))
    }

    pub(super) fn decide_strike(
        &self,
        register: &Register,
        stamp: &Stamp,
        command: Command,
    ) -> Result<Body, Refusal> {
        let Command::Strike {
            entry,
            reason,
            seen_by,
        } = command
        else {
            return Err(Work::WrongKind.into());
        };
        let proposed = self
            .findings
            .iter()
            .find(|finding| finding.decided.is_none() && finding.proposed.is_some());
        let reason = super::decide::said(&reason)?;
        if let (None, Some(finding)) = (entry, proposed) {
            return Ok(body::Withdrawn {
                finding: finding.number,
                reason,
            }
            .into());
        }
        if let (None, Some(_), Point::RevisionSigned(_)) = (
            entry,
            &self.revision_reason,
            self.due_point(register, stamp),
        ) {
            return Ok(body::RevisionReasonBack { reason }.into());
        }
        // A number that is still asked about is no reading yet: taken back, it is read again.
        let queried = self
            .joints
            .values()
            .find_map(|joint| joint.queried.as_ref());
        if let (None, Some((asked, ..))) = (entry, queried) {
            return Ok(body::QueryAnswered {
                step: self.due_id(),
                entry: *asked,
                answer: format!("typed wrong: {reason}"),
            }
            .into());
        }
        let number = match entry {
            Some(number) => number,
            None => self.last_reading().ok_or(Work::NotStrikable)?,
        };
        let kept = self
            .readings
            .get(&number)
            .filter(|kept| !kept.struck)
            .ok_or(Work::NotStrikable)?;
        if kept.accepted {
            return Ok(body::Struck {
                entry: number,
                reason,
            }
            .into());
        }
        self.strike_seen(register, stamp, number, reason, seen_by)
    }

    /// A failed reading: a second person looked at the hardware, and he signs.
    fn strike_seen(
        &self,
        register: &Register,
        stamp: &Stamp,
        number: u64,
        reason: String,
        seen_by: Option<Id>,
    ) -> Result<Body, Refusal> {
        let id = seen_by.ok_or(Work::SecondLook)?;
        let person = Self::actor(register, stamp)?;
        if person.id != id {
            return Err(Work::SecondLook.into());
        }
        if self.performers().contains(&id) {
            return Err(Work::OwnWork { name: person.name }.into());
        }
        // He looks at the hardware: at the locked-out unit with a lock of his own.
        let at_the_unit = self.due().is_some_and(|due| self.verified_at_the_unit(due));
        if at_the_unit && !self.own_locks.contains_key(&id) {
            return Err(Work::OwnLockFirst.into());
        }
        Ok(body::StruckSeen {
            entry: number,
            reason,
            person,
            register: register.head(),
        }
        .into())
    }

    /// The reading entered last that still stands.
    #[must_use]
    pub fn last_reading(&self) -> Option<u64> {
        self.readings
            .iter()
            .rev()
            .find(|(_, kept)| !kept.struck)
            .map(|(number, _)| *number)
    }

    /// Whether striking that reading takes a second person.
    #[must_use]
    pub fn strike_needs_second(&self, entry: u64) -> bool {
        self.readings.get(&entry).is_some_and(|kept| !kept.accepted)
    }
}
