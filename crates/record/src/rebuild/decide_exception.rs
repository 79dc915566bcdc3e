//! What is decided outside the order of the steps: pause, STOP, findings, added steps, locks off, and the like.

use reseat_procedure::model::EnergyState;

use super::body::{self, Body};
use super::command::{Command, StopKind};
use super::decide::said;
use super::state::Rebuild;
use crate::log::{Id, Stamp};
use crate::refusal::{Refusal, Work};
use crate::register::Register;

impl Rebuild {
    /// Commands that are there whatever is asked.
    pub(super) fn exception(
        &self,
        register: &Register,
        stamp: &Stamp,
        command: Command,
    ) -> Result<Body, Refusal> {
        match command {
            Command::Safer { step, words } => self.decide_safer(step, &words),
            Command::Pause { by_itself } => self.decide_pause(by_itself),
            Command::Stop { kind } => Ok(self.decide_stop(kind)),
            Command::LockOff {
                point,
                absent_owner,
            } => self.decide_lock_off(stamp, &point, absent_owner.as_ref()),
            Command::OwnLock { owner, number } => {
                self.decide_own_lock(register, stamp, owner, number.as_deref())
            }
            Command::GiveClock { utc } => {
                if !crate::log::is_utc(&utc) || self.clock_floor().is_some_and(|floor| utc < floor)
                {
                    return Err(Work::BadTime.into());
                }
                Ok(body::ClockGiven { utc }.into())
            }
            Command::RunOn { minutes } => {
                if !self.demo {
                    return Err(Work::RealClock.into());
                }
                Ok(body::RanOn { minutes }.into())
            }
            Command::CloseIncomplete { reason } => {
                let person = Self::actor(register, stamp)?;
                // Whoever finds the unit after the record is closed finds nobody who knows that it is under pressure.
                if let Some(what) = self.in_it_words() {
                    return Err(Work::LeftUnderTest { what }.into());
                }
                Ok(body::ClosedIncomplete {
                    reason: said(&reason)?,
                    unit: self.unit_words(),
                    remains: self
                        .open_items()
                        .into_iter()
                        .map(|item| item.text)
                        .collect(),
                    person,
                    register: register.head(),
                }
                .into())
            }
            Command::Strike { .. } => self.decide_strike(register, stamp, command),
            // What fell fell, whether the work is paused or not.
            Command::InstrumentDropped { instrument } => {
                self.decide_dropped(register, &instrument, false)
            }
            Command::HandOver { words, to, left } => {
                self.decide_hand_over(register, stamp, &words, to, left)
            }
            // Facts are kept also while the work is paused.
            Command::Find { .. } | Command::Dropped { .. } | Command::WaitForPart { .. } => {
                self.working_exception(register, stamp, command)
            }
            Command::Answer { .. } => Err(Work::WrongKind.into()),
            _ if self.pause.is_some() => Err(Work::Paused.into()),
            other => self.working_exception(register, stamp, other),
        }
    }

    fn working_exception(
        &self,
        register: &Register,
        stamp: &Stamp,
        command: Command,
    ) -> Result<Body, Refusal> {
        let due = self.due().map(|index| self.lines[index].id.clone());
        match command {
            Command::Find { words } => Ok(body::Found {
                finding: self.next_finding(),
                step: due,
                words: said(&words)?,
            }
            .into()),
            Command::Adapter { said } => self.decide_adapter(register, stamp, said),
            Command::TakeInstrument { instrument } => {
                let point = self.point_due(register, stamp);
                self.take_instrument(register, stamp, &point, &instrument)
            }
            Command::Dropped { what } if register.instrument(what.trim()).is_some() => {
                self.decide_dropped(register, &what, true)
            }
            Command::Dropped { what } => Ok(body::Dropped {
                what: said(&what)?,
                finding: self.next_finding(),
            }
            .into()),
            Command::WaitForPart { part } => Ok(body::Waiting {
                part: said(&part)?,
                unit: self.unit_words(),
            }
            .into()),
            Command::NotApplicable { reason } => {
                let step = due.ok_or(Work::NoStepDue)?;
                self.refuse_while_overtaken(register, stamp)?;
                self.decide_not_applicable(step, &reason)
            }
            Command::Deviate { text, reason } => {
                let index = self.due().ok_or(Work::NoStepDue)?;
                // What is released again is released before any hands go in.
                if self.energy_at(index) != EnergyState::Zero || self.is_release_again(index) {
                    return Err(Work::AddedAtZero.into());
                }
                let before = self.lines[index].id.clone();
                self.decide_added_step(register, stamp, before, &text, &reason)
            }
            Command::Reopen { joint, reason } => self.decide_reopen(joint, &reason),
            Command::BreakOff { reason } => {
                if self.in_it_words().is_none() {
                    return Err(Work::NoTest.into());
                }
                Ok(body::TestBrokenOff {
                    reason: said(&reason)?,
                }
                .into())
            }
            _ => Err(Work::WrongKind.into()),
        }
    }

    fn decide_not_applicable(&self, step: String, reason: &str) -> Result<Body, Refusal> {
        let permitted = self
            .line(&step)
            .and_then(|line| self.step_of(line))
            .is_some_and(|step| step.not_applicable);
        if !permitted {
            return Err(Work::MustBeDone.into());
        }
        let reason = said(reason)?;
        Ok(body::NotApplicable { step, reason }.into())
    }

    /// A step before the one due, released by the person at the keys in one of the roles that may.
    fn decide_added_step(
        &self,
        register: &Register,
        stamp: &Stamp,
        before: String,
        text: &str,
        reason: &str,
    ) -> Result<Body, Refusal> {
        use reseat_procedure::model::Role;
        let person = Self::actor(register, stamp)?;
        let role = [Role::Releaser, Role::Approver]
            .into_iter()
            .find(|role| {
                register
                    .person(person.id)
                    .is_some_and(|known| known.has(*role))
            })
            .ok_or_else(|| Work::NotAllowed {
                name: person.name.clone(),
                role: Role::Releaser.word(),
            })?;
        let number = self
            .lines
            .iter()
            .filter(|line| line.place.is_none())
            .count()
            + 1;
        Ok(body::Deviation {
            id: format!("added-{number}"),
            before,
            text: said(text)?,
            reason: said(reason)?,
            person,
            role: role.word().to_owned(),
            register: register.head(),
        }
        .into())
    }

    /// A decision, no act: what is asked next is locks and zero, also from the middle of a test or the return.
    fn decide_reopen(&self, joint: String, reason: &str) -> Result<Body, Refusal> {
        let closed = self
            .joints
            .get(&joint)
            .is_some_and(super::state::JointState::under_way);
        if !closed || self.joint(&joint).is_none() {
            return Err(Work::NoJoint { joint }.into());
        }
        let reason = said(reason)?;
        Ok(body::Reopened { joint, reason }.into())
    }

    fn decide_safer(&self, step: Option<String>, words: &str) -> Result<Body, Refusal> {
        let written = step
            .as_deref()
            .and_then(|step| Some(self.text_of(self.line(step)?)));
        let words = match (written, words.trim()) {
            (Some(written), "") => written,
            _ => said(words)?,
        };
        if let Some(step) = &step {
            let safer = self
                .line(step)
                .and_then(|line| self.step_of(line))
                .is_some_and(|step| step.safer);
            if !safer {
                return Err(Work::NotSafer { step: step.clone() }.into());
            }
        }
        let at = self.due().map(|index| self.lines[index].id.clone());
        Ok(body::Safer { step, at, words }.into())
    }

    fn decide_pause(&self, by_itself: bool) -> Result<Body, Refusal> {
        if self.pause.is_some() {
            return Err(Work::Paused.into());
        }
        Ok(body::Paused {
            by_itself,
            unit: self.unit_words(),
            loose: self.loose(),
            next: self.next_words(),
        }
        .into())
    }

    fn decide_stop(&self, kind: StopKind) -> Body {
        let finding = matches!(
            kind,
            StopKind::Leak | StopKind::LockMoved | StopKind::Dropped | StopKind::Hurt
        )
        .then(|| self.next_finding());
        body::Stopped {
            why: kind.words().to_owned(),
            unit: self.unit_words(),
            finding,
        }
        .into()
    }

    fn decide_lock_off(
        &self,
        stamp: &Stamp,
        point: &str,
        absent: Option<&super::command::AbsentOwner>,
    ) -> Result<Body, Refusal> {
        let point = self.lock_said(point.trim());
        let other = point.strip_prefix("own:").and_then(|id| Id::parse(id).ok());
        let (number, owner) = if point == "own" || other.is_some() {
            let me = stamp.by.ok_or(Work::NobodySuch)?;
            let id = other.unwrap_or(me);
            if id != me && absent.is_none() {
                let owner = self.own_locks.get(&id).map(|hung| hung.name.clone());
                return Err(Work::NotOwner {
                    owner: owner.unwrap_or_default(),
                }
                .into());
            }
            if absent.is_none() {
                self.outgoing_stays(id)?;
            }
            self.own_locks
                .get(&id)
                .map(|hung| (hung.number.clone(), hung.name.clone()))
                .ok_or_else(|| Work::NoLock {
                    point: "your own point".to_owned(),
                })?
        } else {
            let hung = self
                .locks
                .get(&point)
                .filter(|hung| hung.on)
                .ok_or_else(|| Work::NoLock {
                    point: point.clone(),
                })?;
            // Who hung it, and who took the group's locks over by his signature.
            let mine = stamp.by.is_some()
                && (hung.owner_id == stamp.by || self.who.as_ref().map(|who| who.id) == stamp.by);
            if !mine && absent.is_none() {
                return Err(Work::NotOwner {
                    owner: self.holder_of(hung),
                }
                .into());
            }
            (hung.number.clone(), hung.owner.clone())
        };
        Ok(body::LockOff {
            point,
            number,
            owner,
            not_on_site: absent.map(|facts| said(&facts.not_on_site)).transpose()?,
            attempts: absent.map(|facts| said(&facts.attempts)).transpose()?,
            told: absent.map(|facts| said(&facts.told)).transpose()?,
        }
        .into())
    }
}
