//! Late entry: what was done meanwhile, while the laptop was dead or both hands were busy, written down afterwards.
//!
//! A late entry carries the time of the act beside its own. It is judged as of that time, goes through the same questions in
//! the same order, and says what was done; it never proves zero, hangs no lock and releases nothing: those are done now.

use std::borrow::Cow;
use std::sync::Arc;

use reseat_procedure::model::{Asked, Deed};

use super::ask::Point;
use super::body::Body;
use super::command::Command;
use super::state::{Rebuild, Stale};
use super::time::day_and_clock;
use crate::log::{Entry, Stamp, is_utc};
use crate::refusal::{Refusal, Work};
use crate::register::Register;

/// Up to the minute of a UTC time: the sheet has no seconds.
const MINUTE: usize = "2026-03-12T14:10".len();

/// The stamp an answer is judged by: a late one as of the time of the act.
pub(super) fn as_of(stamp: &Stamp) -> Cow<'_, Stamp> {
    match &stamp.acted {
        None => Cow::Borrowed(stamp),
        Some(acted) => Cow::Owned(Stamp {
            utc: acted.clone(),
            ..stamp.clone()
        }),
    }
}

impl Rebuild {
    /// The earliest time a late entry may name, in UTC: that of the last act entered, to the minute. Pauses, taking up, locks
    /// and checks made since do not count.
    #[must_use]
    pub fn late_from(&self) -> String {
        let is_act = |entry: &&Arc<Entry>| Body::read(entry).is_some_and(|body| self.is_act(&body));
        let last = self.entries.iter().rev().find(is_act);
        last.map_or_else(
            || self.started_mark.utc.clone(),
            |entry| entry.acted.clone().unwrap_or_else(|| entry.utc.clone()),
        )
    }

    /// Whether an entry says what was done for a step, in the order of the work.
    pub(super) fn is_act(&self, body: &Body) -> bool {
        match body {
            Body::Vented(body) => body.ask.is_some(),
            Body::Released(body) => !body.gate,
            Body::Reading(body) => {
                let check = body
                    .thing
                    .as_deref()
                    .is_some_and(|it| it.starts_with("zero/"));
                !check || self.ask_of(body).is_some()
            }
            Body::Begun(_)
            | Body::Done(_)
            | Body::Answered(_)
            | Body::Wrote(_)
            | Body::Named(_)
            | Body::Counted(_)
            | Body::Setting(_)
            | Body::Clicked(_)
            | Body::Pulled(_)
            | Body::Ready(_)
            | Body::Round(_)
            | Body::SetBack(_)
            | Body::Feeler(_)
            | Body::Condition(_)
            | Body::Rechecked(_)
            | Body::RestBegun(_)
            | Body::RestOver(_)
            | Body::Disposed(_)
            | Body::Verified(_)
            | Body::VerifiedAnswer(_)
            | Body::SignedOff(_)
            | Body::NotApplicable(_) => true,
            _ => false,
        }
    }

    /// Why this moment is none at which a late entry was done.
    ///
    /// # Errors
    /// `late-order` before the last act entered, `late-future` after the stamp's own time, `bad-time` where it is none.
    pub fn late_moment(&self, acted: &str, stamp: &Stamp) -> Result<(), Refusal> {
        if !is_utc(acted) {
            return Err(Work::BadTime.into());
        }
        let from = self.late_from();
        if acted.get(..MINUTE) < from.get(..MINUTE) {
            let last = day_and_clock(&from, &stamp.offset);
            return Err(Work::LateOrder { last }.into());
        }
        if *acted > *stamp.utc {
            let now = day_and_clock(&stamp.utc, &stamp.offset);
            return Err(Work::LateFuture { now }.into());
        }
        Ok(())
    }

    /// The body of a late entry.
    pub(super) fn decide_late(
        &self,
        register: &Register,
        command: Command,
        stamp: &Stamp,
        acted: &str,
    ) -> Result<Body, Refusal> {
        self.late_moment(acted, stamp)?;
        let stamp = &*as_of(stamp);
        match command {
            Command::Answer { point, given } => {
                if let Some(what) = self.not_late(&point) {
                    return Err(Work::NotLate { what }.into());
                }
                // Something that is not entered late stands before what was answered: that is named, not the answer.
                let due = self.point_due(register, stamp);
                if due != point
                    && let Some(what) = self.not_late(&due)
                {
                    return Err(Work::NotLate { what }.into());
                }
                self.answer(register, stamp, &point, given)
            }
            command @ (Command::Safer { .. }
            | Command::Find { .. }
            | Command::Dropped { .. }
            | Command::NotApplicable { .. }
            | Command::TakeInstrument { .. }
            | Command::Adapter { .. }) => {
                if matches!(command, Command::NotApplicable { .. })
                    && let Some(what) = self.not_late(&self.point_due(register, stamp))
                {
                    return Err(Work::NotLate { what }.into());
                }
                self.exception(register, stamp, command)
            }
            _ => Err(Work::NotLate { what: "This" }.into()),
        }
    }

    /// What this point asks that is done now and never entered late; none where a late entry may answer it.
    pub(super) fn not_late(&self, point: &Point) -> Option<&'static str> {
        match point {
            Point::Act(step) if self.hangs_a_lock(step) => Some("A lock"),
            Point::Asked(step, ask, _)
                if self.asked(step, *ask) == Some(&Asked::Done) && self.hangs_a_lock(step) =>
            {
                Some("A lock")
            }
            Point::Begin(_)
            | Point::Act(_)
            | Point::Verify(_)
            | Point::AfterHigh(_)
            | Point::Queried(_) => None,
            Point::Asked(step, ask, _) => match self.asked(step, *ask)? {
                Asked::Zero { .. } | Asked::Vent { .. } => Some("A zero check"),
                Asked::Reading(measured) if measured.proves.is_some() => {
                    Some("A reading that proves a side")
                }
                Asked::OwnLocks { .. } | Asked::OwnLocksOff => Some("An own lock"),
                Asked::Sign => Some("A signature"),
                _ => None,
            },
            Point::Resume => Some("Taking up"),
            Point::LookAgain | Point::Observed | Point::Gate(_) => Some("A zero check"),
            Point::LockBack(_) | Point::Worker(_) => Some("A lock"),
            Point::DayCheck(_) => Some("The day's check"),
            Point::Clear(_) => Some("Clearing before energy is let in"),
            Point::Permit(_) | Point::PermitSeen(_) => Some("A permit"),
            Point::VerifyAsked(..) => Some("An independent look"),
            Point::Hold(_) => Some("A release"),
            Point::Finding(_) | Point::FindingSigned(_) => Some("A decision on a finding"),
            Point::Revision(_) | Point::RevisionSigned(_) => Some("A reason to go on"),
            Point::Closed | Point::Newer => Some("Anything more"),
        }
    }

    /// Whether the written act of this step puts a lock on.
    fn hangs_a_lock(&self, step: &str) -> bool {
        self.line(step)
            .and_then(|line| self.step_of(line))
            .is_some_and(|step| Self::has_deed(step, |deed| matches!(deed, Deed::Lock { .. })))
    }

    /// Whether what a late entry says is carried into the state. `decide` gives none that proves, locks or clears; one that
    /// came from elsewhere all the same is read and counts for nothing.
    pub(super) fn late_counts(&self, body: &Body) -> bool {
        match body {
            Body::Vented(_)
            | Body::Released(_)
            | Body::LookedAgain(_)
            | Body::LockOn(_)
            | Body::Permit(_)
            | Body::PermitSeen(_)
            | Body::Cleared(_)
            | Body::Checked(_)
            | Body::SignedOff(_) => false,
            Body::OwnLock(body) => !body.on,
            Body::Done(body) => body.locks_on.is_empty(),
            Body::Reading(body) => {
                let proves = self.ask_of(body).is_some_and(|ask| {
                    matches!(self.asked(&body.step, ask as u32),
                        Some(Asked::Reading(measured)) if measured.proves.is_some())
                });
                let thing = body.thing.as_deref().unwrap_or_default();
                !proves && !thing.starts_with("zero/")
            }
            _ => true,
        }
    }

    /// After a late entry zero is proved anew before hands go on, and tools and people are cleared anew before energy comes in:
    /// the program was not there when it was done.
    pub(super) fn after_late(&mut self) {
        self.tools_clear = false;
        self.people_clear = false;
        if self.zero_matters() {
            self.void_zero(Stale::Late);
        }
    }

    /// What stands above every question while entries are late.
    pub(super) fn late_notice(&self, stamp: &Stamp, point: &Point) -> Vec<String> {
        let Some(acted) = &stamp.acted else {
            return Vec::new();
        };
        let mut lines = vec![format!(
            "LATE ENTRY: done {}. Each person enters what he did himself.",
            day_and_clock(acted, &stamp.offset)
        )];
        if let Some(what) = self.not_late(point) {
            lines.push(format!(
                "{what} is not entered late: end the late entry and do it now, at the unit."
            ));
        }
        lines
    }
}
