//! Own locks on the box: who must have one on before he acts at the unit, and who is still on.
//!
//! 29 CFR 1910.147(f)(3)(ii)(D): each worker hangs a lock of his own on the group lock box when he begins and takes it off
//! when he stops. That goes for the person at the keys, for whoever takes the work up, and for the verifier at the unit.

use std::collections::BTreeMap;

use reseat_procedure::model::{Asked, Deed, EnergyState, PointKind, Role, Verify};

use super::ask::{Bench, Point, Wants};
use super::body::{self, Body};
use super::question::Question;
use super::state::{Hung, Line, Rebuild};
use super::time::clock_face;
use super::view::{BoxLine, LockBox};
use crate::log::{Id, Stamp};
use crate::refusal::{Refusal, Work};
use crate::register::Register;

/// Longest number on an own lock, in characters.
const LONGEST_NUMBER: usize = 24;

impl Rebuild {
    /// Whether everybody at work must have an own lock on the box when this line is due. Work with the hands inside wants
    /// it from the first time it was hung, also where a written test took it off and nothing written put it back.
    pub(super) fn own_lock_due(&self, due: usize) -> bool {
        let whole = self.whole_lockout_at(due);
        self.lines[..due]
            .iter()
            .filter_map(|line| self.step_of(line))
            .flat_map(|step| &step.asks)
            .fold(false, |wanted, asked| match asked {
                Asked::OwnLocks { .. } => true,
                Asked::OwnLocksOff => wanted && whole,
                _ => wanted,
            })
    }

    /// Whether the person at the keys acts at the unit without a lock of his own when this line is due. While own locks come
    /// off for a test one by one, whoever took his off first does not hang it again.
    pub(super) fn own_lock_missing(&self, due: usize) -> bool {
        self.who.as_ref().is_some_and(|who| {
            self.own_lock_due(due)
                && !self.own_locks.contains_key(&who.id)
                && !self.own_off_due(due)
        })
    }

    /// Whether this line asks now whose own lock came off.
    fn own_off_due(&self, index: usize) -> bool {
        let Some(line) = self.lines.get(index) else {
            return false;
        };
        let open = line.asks.iter().position(|ask| ask.closed.is_none());
        open.zip(self.step_of(line))
            .is_some_and(|(open, step)| step.asks.get(open) == Some(&Asked::OwnLocksOff))
    }

    /// Who may verify this line: holds the role and did nothing of this line.
    pub(super) fn verifiers(register: &Register, line: &Line) -> Vec<(Id, String)> {
        Self::holders(register, Role::Verifier)
            .into_iter()
            .filter(|(id, _)| !line.hands.contains(id))
            .collect()
    }

    fn at_the_keys(&self, id: Id) -> bool {
        self.who.as_ref().is_some_and(|who| who.id == id)
    }

    /// Whether a verifier of this line stands at the locked-out unit, so that he needs a lock of his own.
    pub(super) fn verified_at_the_unit(&self, index: usize) -> bool {
        let locked_out = matches!(
            self.energy_at(index),
            EnergyState::Isolating | EnergyState::Zero | EnergyState::Test
        );
        locked_out && self.own_lock_due(index)
    }

    /// A verifier must hang his own lock first: before the act where he watches it, before his own look where he looks later.
    pub(super) fn worker_due(&self, register: &Register, index: usize) -> Option<Point> {
        let line = &self.lines[index];
        let step = self.step_of(line)?;
        let verify = step.verify.filter(|_| line.verified.is_none())?;
        let now = verify == Verify::Concurrent || self.acts_in(line, step);
        if !now || !self.verified_at_the_unit(index) {
            return None;
        }
        let others = self.workers(register, &line.id);
        let on = others.iter().any(|(id, _)| self.own_locks.contains_key(id));
        (!on && !others.is_empty()).then(|| Point::Worker(line.id.clone()))
    }

    /// Verifiers who may be named with their lock, in the order of their numbers.
    fn workers(&self, register: &Register, step: &str) -> Vec<(Id, String)> {
        self.line(step).map_or_else(Vec::new, |line| {
            let mut verifiers = Self::verifiers(register, line);
            verifiers.retain(|(id, _)| !self.at_the_keys(*id));
            verifiers
        })
    }

    pub(super) fn worker_question(&self, register: &Register, step: &str) -> Question {
        let mut question = Question::new(
            "text",
            "Verifier's number here, a space, the number of his own lock now on the box",
            Wants::Text,
        )
        .notice("The verifier works at the unit: he hangs his own lock first.")
        .bench(Bench::Isolation);
        for (at, (_, name)) in self.workers(register, step).iter().enumerate() {
            question.detail.push(format!("{} {name}", at + 1));
        }
        question
    }

    pub(super) fn answer_worker(
        &self,
        register: &Register,
        step: &str,
        text: &str,
    ) -> Result<Body, Refusal> {
        let workers = self.workers(register, step);
        let (at, number) = text
            .split_once(char::is_whitespace)
            .ok_or(Work::WorkerLock)?;
        let (id, _) = at
            .parse::<usize>()
            .ok()
            .and_then(|at| workers.get(at.checked_sub(1)?))
            .ok_or(Work::WorkerLock)?;
        self.own_lock_on(register, *id, number)
    }

    /// A lock of his own on or off, outside the written acts: any worker hangs one, and takes off none but his own.
    pub(super) fn decide_own_lock(
        &self,
        register: &Register,
        stamp: &Stamp,
        owner: Id,
        number: Option<&str>,
    ) -> Result<Body, Refusal> {
        if let Some(number) = number {
            return self.own_lock_on(register, owner, number);
        }
        let hung = self.own_locks.get(&owner).ok_or_else(|| Work::NoLock {
            point: "the box by that person".to_owned(),
        })?;
        if stamp.by != Some(owner) {
            return Err(Work::NotOwner {
                owner: hung.name.clone(),
            }
            .into());
        }
        self.outgoing_stays(owner)?;
        Ok(body::OwnLock {
            owner: Self::known(register, owner)?,
            number: hung.number.clone(),
            on: false,
            step: None,
            ask: None,
        }
        .into())
    }

    fn own_lock_on(&self, register: &Register, owner: Id, number: &str) -> Result<Body, Refusal> {
        let number = super::decide::said(number)?;
        if number.chars().count() > LONGEST_NUMBER {
            return Err(Work::WorkerLock.into());
        }
        let person = register
            .person(owner)
            .filter(|person| !person.retired)
            .ok_or(Work::NobodySuch)?;
        if let Some(hung) = self.own_locks.get(&owner) {
            return Err(Work::LockOnAlready {
                number: hung.number.clone(),
                name: hung.name.clone(),
            }
            .into());
        }
        self.number_free(&number, None)?;
        Ok(body::OwnLock {
            owner: Self::known(register, person.id)?,
            number,
            on: true,
            step: None,
            ask: None,
        }
        .into())
    }

    /// The lock box of the group: the locks whose keys lie in it, and whose own locks hold it shut. None where the
    /// procedure has none.
    #[must_use]
    pub fn lock_box(&self) -> Option<LockBox> {
        let name = self
            .lines
            .iter()
            .filter_map(|line| self.step_of(line))
            .flat_map(|step| &step.asks)
            .find_map(|asked| match asked {
                Asked::OwnLocks { lock_box } => Some(lock_box.clone()),
                _ => None,
            })?;
        let keys = self
            .locks
            .iter()
            .filter(|(point, hung)| hung.on && self.is_isolating(point))
            .map(|(_, hung)| hung.number.clone())
            .collect();
        let mut hung: Vec<_> = self.own_locks.values().collect();
        hung.sort_by_key(|hung| hung.mark.entry);
        let on = hung
            .into_iter()
            .map(|hung| BoxLine {
                number: hung.number.clone(),
                name: hung.name.clone(),
                since: clock_face(&hung.mark.utc, &hung.mark.offset),
            })
            .collect();
        Some(LockBox { name, keys, on })
    }

    /// The lock of a point, where another person hung it than the one who has the work in hand.
    pub(super) fn hung_by_another(&self, point: &str) -> Option<&Hung> {
        let hung = self.locks.get(point).filter(|hung| hung.on)?;
        let who = self.who.as_ref().map(|who| who.id);
        (hung.owner_id.is_some() && hung.owner_id != who).then_some(hung)
    }

    /// Says whose locks come off with this step, where another person hung them.
    pub(super) fn others_locks_off(&self, step: &str) -> Vec<String> {
        let written = self.line(step).and_then(|line| self.step_of(line));
        let deeds = written.map_or(&[][..], |step| &step.does);
        let off = deeds.iter().filter_map(|deed| match deed {
            Deed::Unlock { point } => Some((point, self.hung_by_another(point)?)),
            _ => None,
        });
        off.map(|(point, hung)| {
            let label = self.point(point).map_or(point.as_str(), |known| &known.label);
            format!(
                "Lock {} on {label} was hung by {} at {}. You took the group's locks over by your signature.",
                hung.number,
                hung.owner,
                clock_face(&hung.mark.utc, &hung.mark.offset)
            )
        })
        .collect()
    }

    /// The group's locks that a person takes over when he takes the work up after another: point and number.
    pub(super) fn locks_taken_over(&self, by: Id) -> BTreeMap<String, String> {
        if self.at_the_keys(by) {
            return BTreeMap::new();
        }
        let on = self.locks.iter().filter(|(_, hung)| hung.on);
        on.map(|(point, hung)| (point.clone(), hung.number.clone()))
            .collect()
    }

    /// Whether a point holds energy back; one that only the register names does.
    pub(super) fn is_isolating(&self, point: &str) -> bool {
        self.point(point)
            .is_none_or(|known| known.kind == PointKind::Isolating)
    }
}
