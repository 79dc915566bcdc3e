//! Every rule of a rebuild: a command becomes one entry, or a refusal that says what to do.

use std::collections::BTreeMap;

use reseat_procedure::model::Asked;

use super::ask::{Inner, LONGEST_TEXT, Point, Wants};
use super::body::{self, Body, Done, PersonCopy, RULES};
use super::command::{Command, Given};
use super::state::{Ended, Rebuild};
use crate::log::{Clock, Entry, Id, Stamp};
use crate::refusal::{Refusal, Work};
use crate::register::Register;
use crate::text::clean_text;

/// What a step asks now, with all that an answer to it is held against.
pub(super) struct AskedNow<'a> {
    pub(super) register: &'a Register,
    pub(super) stamp: &'a Stamp,
    pub(super) step: &'a str,
    pub(super) ask: u32,
    pub(super) asked: &'a Asked,
    pub(super) inner: &'a Inner,
}

impl Rebuild {
    /// The entry a command gives now, unsigned; where [`body::must_sign`] says so, the person in the stamp signs it.
    ///
    /// # Errors
    /// A refusal with its remedy; nothing is lost by it.
    pub fn decide(
        &self,
        register: &Register,
        command: Command,
        stamp: &Stamp,
    ) -> Result<Entry, Refusal> {
        if self.newer {
            return Err(Work::Newer.into());
        }
        if self.ended.is_some() {
            return Err(Work::Ended.into());
        }
        let body = match command {
            late if let Some(acted) = &stamp.acted => {
                self.decide_late(register, late, stamp, acted)?
            }
            Command::Answer { point, given } => self.answer(register, stamp, &point, given)?,
            other => self.exception(register, stamp, other)?,
        };
        Ok(self.entry(stamp, &body))
    }

    pub(super) fn entry(&self, stamp: &Stamp, body: &Body) -> Entry {
        Entry::next(&self.head, stamp, body.kind(), RULES, body.members())
    }

    /// The person in the stamp, as the register knows him.
    pub(super) fn actor(register: &Register, stamp: &Stamp) -> Result<PersonCopy, Refusal> {
        let person = stamp
            .by
            .and_then(|id| register.person(id))
            .filter(|person| !person.retired)
            .ok_or(Work::NobodySuch)?;
        Ok(PersonCopy {
            id: person.id,
            name: person.name.clone(),
            fact: person.fact,
        })
    }

    /// The next finding's number.
    pub(super) fn next_finding(&self) -> u32 {
        self.findings
            .iter()
            .map(|finding| finding.number)
            .max()
            .unwrap_or(0)
            + 1
    }

    pub(super) fn answer(
        &self,
        register: &Register,
        stamp: &Stamp,
        point: &Point,
        given: Given,
    ) -> Result<Body, Refusal> {
        let due = self.point_due(register, stamp);
        if due != *point {
            return Err(self.held_back(&due, point));
        }
        if let Given::Instrument(name) = &given {
            return self.take_instrument(register, stamp, point, name);
        }
        self.gauge_fit(register, stamp, point)?;
        let question = self.question(register, stamp, point);
        fits(&question.wants, &given)?;
        let given = match given {
            Given::Text(text) => Given::Text(said(&text)?),
            other => other,
        };
        if let (Wants::Signature { .. }, Given::Person(id)) = (&question.wants, &given)
            && stamp.by != Some(*id)
        {
            return Err(Work::SignsHimself.into());
        }
        match point {
            Point::Newer | Point::Closed => Err(Work::NothingAsked.into()),
            Point::Resume
            | Point::LookAgain
            | Point::Observed
            | Point::Gate(_)
            | Point::LockBack(_)
            | Point::Finding(_)
            | Point::FindingSigned(_) => self.answer_proof(register, stamp, point, given),
            Point::Revision(_) | Point::RevisionSigned(_) => {
                self.answer_revision(register, stamp, given)
            }
            Point::DayCheck(id) => Self::answer_check(register, id, &given),
            Point::Worker(_) | Point::Clear(_) | Point::Permit(_) | Point::PermitSeen(_) => {
                self.answer_lockout(register, stamp, point, &given)
            }
            Point::AfterHigh(entry) => self.answer_after_high(*entry, &question.notice, &given),
            Point::Queried(entry) => self.answer_queried(register, stamp, *entry, &given),
            Point::Begin(step) => Ok(body::Begun { step: step.clone() }.into()),
            Point::Act(step) => {
                self.written_numbers_free(step)?;
                Ok(self.done_body(step, None))
            }
            Point::Asked(step, ask, inner) => {
                self.answer_asked(register, stamp, step, *ask, inner, given)
            }
            Point::VerifyAsked(step, ask) => self.answer_blind(step, *ask, given),
            Point::Verify(step) => self.answer_verify(register, stamp, step),
            Point::Hold(step) => self.answer_hold(register, stamp, step),
        }
    }

    /// The body of an act done, with the locks its step puts on or takes off and the energy it lets in.
    pub(super) fn done_body(&self, step: &str, ask: Option<u32>) -> Body {
        let written = self.line(step).and_then(|line| self.step_of(line));
        let mut done = Done {
            step: step.to_owned(),
            ask,
            locks_on: BTreeMap::default(),
            locks_off: BTreeMap::default(),
            hung_by: BTreeMap::default(),
            lets_in: None,
        };
        if let Some(written) = written {
            let completes = written.asks.len() <= ask.map_or(0, |ask| ask as usize + 1);
            for deed in written.does.iter().filter(|_| completes) {
                let (point, on) = match deed {
                    reseat_procedure::model::Deed::Lock { point } => (point, true),
                    reseat_procedure::model::Deed::Unlock { point } => (point, false),
                    _ => continue,
                };
                let number = self
                    .point(point)
                    .and_then(|point| point.lock.clone())
                    .unwrap_or_default();
                if !on && let Some(hung) = self.hung_by_another(point) {
                    done.hung_by.insert(point.clone(), hung.owner.clone());
                }
                let locks = if on {
                    &mut done.locks_on
                } else {
                    &mut done.locks_off
                };
                locks.insert(point.clone(), number);
            }
            done.lets_in.clone_from(&written.lets_in);
        }
        done.into()
    }

    fn answer_asked(
        &self,
        register: &Register,
        stamp: &Stamp,
        step: &str,
        ask: u32,
        inner: &Inner,
        given: Given,
    ) -> Result<Body, Refusal> {
        let now = AskedNow {
            register,
            stamp,
            step,
            ask,
            asked: self.asked(step, ask).ok_or(Work::NotAskedNow)?,
            inner,
        };
        match now.asked {
            Asked::Done => {
                self.written_numbers_free(step)?;
                Ok(self.done_body(step, Some(ask)))
            }
            Asked::OwnLocksOff => self.own_off(register, stamp, Some((step, ask)), &given),
            Asked::Tighten { .. } | Asked::Recheck { .. } | Asked::Condition { .. } => {
                self.answer_joint(&now, given)
            }
            Asked::Reading(_) | Asked::Computed { .. } | Asked::Zero { .. } => {
                self.answer_measured(&now, given)
            }
            Asked::Sign => self.answer_sign(register, stamp, step, ask, inner),
            _ => self.answer_plain(&now, given),
        }
    }

    /// Why an answer is refused while something else is due: what keeps hands off or energy out is named.
    fn held_back(&self, due: &Point, given: &Point) -> Refusal {
        let at_step = matches!(
            given,
            Point::Begin(_)
                | Point::Act(_)
                | Point::Asked(..)
                | Point::VerifyAsked(..)
                | Point::Verify(_)
        );
        match due {
            Point::Clear(_) if at_step => self.not_cleared(due),
            Point::Permit(what) | Point::PermitSeen(what) if at_step => {
                Some(Work::PermitEnded { what: what.clone() }.into())
            }
            Point::Worker(_) if at_step => Some(Work::OwnLockFirst.into()),
            _ => None,
        }
        .unwrap_or_else(|| Work::NotAskedNow.into())
    }

    fn answer_lockout(
        &self,
        register: &Register,
        stamp: &Stamp,
        point: &Point,
        given: &Given,
    ) -> Result<Body, Refusal> {
        match (point, given) {
            (Point::Worker(step), Given::Text(text)) => self.answer_worker(register, step, text),
            (Point::Clear(clearing), given) => self.answer_clear(register, stamp, *clearing, given),
            (Point::Permit(what), Given::Text(text)) => self.answer_permit(what, text, stamp),
            (Point::PermitSeen(what), Given::Choice(number)) => {
                Ok(self.answer_permit_seen(what, *number == 1))
            }
            _ => Err(Work::WrongKind.into()),
        }
    }

    /// An own lock off: the performer's own by one key, another person's by naming him. At a written ask, or before energy is
    /// let in.
    pub(super) fn own_off(
        &self,
        register: &Register,
        stamp: &Stamp,
        at: Option<(&str, u32)>,
        given: &Given,
    ) -> Result<Body, Refusal> {
        let owner = match given {
            Given::Person(id) => Self::known(register, *id)?,
            _ => Self::actor(register, stamp)?,
        };
        let number = match self.own_locks.get(&owner.id) {
            Some(hung) => hung.number.clone(),
            None if self.own_locks.is_empty() => String::new(),
            None => return Err(Work::NoLock { point: owner.name }.into()),
        };
        Ok(body::OwnLock {
            owner,
            number,
            on: false,
            step: at.map(|(step, _)| step.to_owned()),
            ask: at.map(|(_, ask)| ask),
        }
        .into())
    }

    /// A person of the register, as copied into entries; retired ones too, whose lock may still hang.
    pub(super) fn known(register: &Register, id: Id) -> Result<PersonCopy, Refusal> {
        let person = register.person(id).ok_or(Work::NobodySuch)?;
        Ok(PersonCopy {
            id: person.id,
            name: person.name.clone(),
            fact: person.fact,
        })
    }

    /// The latest time of this record that was believed. A clock that ran wild and was doubted sets no floor.
    pub(super) fn clock_floor(&self) -> Option<String> {
        self.entries
            .iter()
            .filter(|entry| entry.clock != Clock::Doubted)
            .map(|entry| entry.utc.clone())
            .max()
    }

    /// How it ended and when, for the list of rebuilds.
    pub(super) fn ended_words(&self) -> Option<&'static str> {
        self.ended.as_ref().map(|(ended, _)| match ended {
            Ended::Signed => "signed",
            Ended::Incomplete => "INCOMPLETE",
        })
    }
}

/// Words as they may stand in an entry: something, on one line, nothing hidden.
pub(super) fn said(text: &str) -> Result<String, Refusal> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Work::Empty.into());
    }
    clean_text(text, LONGEST_TEXT).map_err(|fault| {
        Work::BadText {
            why: fault.to_string(),
        }
        .into()
    })
}

/// Whether what was given is of the kind wanted.
fn fits(wants: &Wants, given: &Given) -> Result<(), Refusal> {
    let fits = match (wants, given) {
        (Wants::Act | Wants::Wait { .. }, Given::Done)
        | (Wants::Reading { .. }, Given::Reading(_))
        | (Wants::Count, Given::Count(_))
        | (Wants::Text, Given::Text(_)) => true,
        (Wants::Choice(labels), Given::Choice(number)) => {
            (1..=labels.len()).contains(&(*number as usize))
        }
        (Wants::Fastener { instead, .. }, Given::Choice(number)) => {
            (1..=instead.len()).contains(&(*number as usize))
        }
        (Wants::Fastener { next, .. }, Given::Fastener(typed)) => {
            if typed != next {
                return Err(Work::NotNext {
                    typed: *typed,
                    next: *next,
                }
                .into());
            }
            true
        }
        (Wants::Signature { among, .. } | Wants::Person(among), Given::Person(id)) => {
            among.iter().any(|(known, _)| known == id)
        }
        _ => false,
    };
    if fits {
        Ok(())
    } else {
        Err(Work::WrongKind.into())
    }
}
