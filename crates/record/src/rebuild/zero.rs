//! Zero is worked out, never stored: locks that must be on, proofs on every side, and what has voided them since.

use reseat_procedure::model::{Asked, Deed, EnergyState, Step, ZeroSide};

use super::ask::Point;
use super::state::{Line, Mark, Rebuild, Stale};
use super::time::{minutes_between, seconds_between};
use crate::log::{Clock, Stamp};

/// A part of a zero check: the gauge of a side, or its vent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ZeroPart<'a> {
    Gauge(&'a str),
    Vent(&'a str),
}

/// How zero stands at the moment of a stamp.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Zero {
    /// Proved on every side; minutes since the oldest reading, if the clock can say.
    Stands(Option<i64>),
    /// A look again is due after a short pause.
    LookAgain,
    /// Energy is in.
    LetIn(String),
    /// Not proved, or void.
    Void(&'static str),
}

impl Rebuild {
    /// How zero stands now: locks, proofs and what has happened since, held against the stamp.
    pub(super) fn zero(&self, stamp: &Stamp) -> Zero {
        if let Some(words) = self.let_in_words() {
            return Zero::LetIn(words);
        }
        if self.lock_missing().is_some() {
            return Zero::Void(Stale::LockOff.words());
        }
        if !self.sides_proved() {
            return Zero::Void(self.stale.unwrap_or(Stale::NeverProved).words());
        }
        if self.needs_release || self.stale.is_some() {
            return Zero::Void("the check is not released");
        }
        if let Some(why) = self.lapsed(&stamp.utc, stamp.clock) {
            return Zero::Void(why.words());
        }
        if self.look {
            return Zero::LookAgain;
        }
        let age = self
            .oldest_proof()
            .and_then(|utc| minutes_between(&utc, &stamp.utc));
        Zero::Stands(age)
    }

    /// Why the proofs hold no longer although nothing happened at the unit: their age, or another clock than they were read by.
    pub(super) fn lapsed(&self, utc: &str, clock: Clock) -> Option<Stale> {
        let mut marks = self
            .proofs
            .values()
            .flat_map(|proof| [&proof.reading, &proof.vent])
            .flatten();
        if marks.any(|(mark, _)| mark.clock != clock) {
            return Some(Stale::ClockChanged);
        }
        let age = seconds_between(&self.oldest_proof()?, utc);
        let limit = i64::from(self.started.zero_minutes) * 60;
        age.is_none_or(|age| age < 0 || age > limit)
            .then_some(Stale::TooOld)
    }

    /// Time of the oldest gauge reading (or vent look, where that proves the side) among the proofs.
    pub(super) fn oldest_proof(&self) -> Option<String> {
        self.proofs
            .values()
            .filter_map(|proof| proof.reading.as_ref().or(proof.vent.as_ref()))
            .map(|(mark, _)| mark.utc.clone())
            .min()
    }

    /// Points whose lock must be on when this line is due: hung by an act before it and not taken off by one before it. Lines
    /// after it count for nothing, so that work taken back from the return wants every lock on again.
    fn required_points(&self, due: usize) -> Vec<&str> {
        let mut required: Vec<&str> = Vec::new();
        let whole = self.whole_lockout_at(due);
        let done = self.lines[..due]
            .iter()
            .filter(|line| line.not_applicable.is_none());
        for deed in done
            .filter_map(|line| self.step_of(line))
            .flat_map(|step| &step.does)
        {
            match deed {
                Deed::Lock { point } if !required.contains(&point.as_str()) => required.push(point),
                // What a test took off is wanted again before hands or a zero check, written back on or not.
                Deed::Unlock { point } if !(whole && self.is_isolating(point)) => {
                    required.retain(|hung| hung != point);
                }
                _ => {}
            }
        }
        if !required.is_empty() {
            required.extend(self.points_of_the_place());
        }
        required
    }

    /// A lock that must be on and is not: the point's id, or `own`.
    pub(super) fn lock_missing(&self) -> Option<String> {
        let due = self.due().unwrap_or(self.lines.len());
        let off = self
            .required_points(due)
            .into_iter()
            .find(|point| !self.locks.get(*point).is_some_and(|hung| hung.on));
        if let Some(point) = off {
            return Some(point.to_owned());
        }
        self.own_lock_missing(due).then(|| "own".to_owned())
    }

    /// A lock that must be on before this act of making safe: the own lock of whoever took the work up meanwhile, and before
    /// zero is proved every lock of the unit's own points.
    fn lock_due_isolating(&self, index: usize) -> Option<String> {
        if self.energy_at(index) != EnergyState::Isolating {
            return None;
        }
        if self.whole_lockout_at(index) {
            return self.lock_missing();
        }
        self.own_lock_missing(index).then(|| "own".to_owned())
    }

    /// The parts of a zero check in order; sides in `by_vent` are proved by the vent alone.
    pub(super) fn zero_parts<'a>(&'a self, by_vent: &[String]) -> Vec<ZeroPart<'a>> {
        let mut parts = Vec::new();
        for side in &self.procedure.zero {
            let vent_alone = side.vent.is_some() && by_vent.contains(&side.id);
            if !vent_alone {
                parts.push(ZeroPart::Gauge(&side.id));
            }
            if side.vent.is_some() {
                parts.push(ZeroPart::Vent(&side.id));
            }
        }
        parts
    }

    /// Whether every side has a proof that is newer than whatever voided zero last.
    pub(super) fn sides_proved(&self) -> bool {
        !self.procedure.zero.is_empty()
            && self.procedure.zero.iter().all(|side| self.is_proved(side))
    }

    /// Whether all of a side's proof was taken since zero was void: its gauge, and its vent where it has one.
    pub(super) fn is_proved(&self, side: &ZeroSide) -> bool {
        self.proofs.get(&side.id).is_some_and(|proof| {
            let vent_seen = side.vent.is_none() || proof.vent.is_some();
            (proof.reading.is_some() && vent_seen) || (proof.by_vent && proof.vent.is_some())
        })
    }

    /// The part of a gate that is due: the first whose proof is missing; the number after the last is the release. Proofs that
    /// have lapsed are all taken anew.
    pub(super) fn gate_part(&self, stamp: &Stamp) -> u32 {
        if self.sides_proved() && self.lapsed(&stamp.utc, stamp.clock).is_some() {
            return 0;
        }
        let parts = self.zero_parts(&[]);
        let missing = parts.iter().position(|part| match part {
            ZeroPart::Gauge(side) => self
                .proofs
                .get(*side)
                .is_none_or(|proof| proof.reading.is_none() && !proof.by_vent),
            ZeroPart::Vent(side) => self
                .proofs
                .get(*side)
                .is_none_or(|proof| proof.vent.is_none()),
        });
        missing.unwrap_or(parts.len()) as u32
    }

    /// What must be put right before the line due: a lock back on, zero read, a look again. None where its own act is open:
    /// before isolation, while isolating, in a written test, while returning, and for every act that makes safer.
    pub(super) fn proof_due(&self, index: usize, stamp: &Stamp) -> Option<Point> {
        let line = &self.lines[index];
        let step = self.step_of(line);
        if step.is_some_and(|step| step.safer) && !self.hold_due(line, step) && !self.broken_off {
            return None;
        }
        let energy = self.energy_at(index);
        let proving = self.hold_due(line, step);
        let hands_on = self.broken_off || matches!(energy, EnergyState::Zero | EnergyState::Test);
        let lock = if hands_on || proving {
            self.lock_missing()
        } else {
            self.lock_due_isolating(index)
        };
        if let Some(point) = lock {
            return Some(Point::LockBack(point));
        }
        if proving {
            let proved = self.sides_proved() && self.lapsed(&stamp.utc, stamp.clock).is_none();
            return (!proved).then(|| Point::Gate(self.gate_part(stamp)));
        }
        let exempt =
            step.is_some_and(|step| Self::is_zero_check(step) || Self::only_time_due(line, step));
        if exempt {
            return None;
        }
        let zero = if energy == EnergyState::Zero || self.broken_off {
            self.zero(stamp)
        } else {
            Zero::Stands(None)
        };
        match zero {
            Zero::Stands(_) => self.permit_due(index, stamp),
            Zero::LookAgain => Some(Point::LookAgain),
            Zero::LetIn(_) | Zero::Void(_) => Some(Point::Gate(self.gate_part(stamp))),
        }
    }

    /// Whether only the release is left of a step that says zero is proved.
    fn hold_due(&self, line: &Line, step: Option<&Step>) -> bool {
        step.is_some_and(|step| {
            step.hold.is_some()
                && self.acts_in(line, step)
                && (step.verify.is_none() || line.verified.is_some())
                && Self::has_deed(step, |deed| matches!(deed, Deed::Prove { .. }))
        })
    }

    /// Whether nothing but time is asked of the line now: waiting is no act at the unit.
    fn only_time_due(line: &Line, step: &Step) -> bool {
        let due = line.asks.iter().position(|ask| ask.closed.is_none());
        due.and_then(|due| step.asks.get(due))
            .is_some_and(|asked| matches!(asked, Asked::Rest { .. } | Asked::Wait { .. }))
    }

    /// Whether the check asked now is a gate of the program, before an act that wants zero.
    pub(super) fn gate_under_way(&self) -> bool {
        self.due().is_some_and(|due| {
            let step = self.step_of(&self.lines[due]);
            self.energy_at(due) == EnergyState::Zero && !step.is_some_and(Self::is_zero_check)
        })
    }

    /// A part of a check asked as a gate comes in. Where the proofs it follows have lapsed, the check begins anew with it.
    pub(super) fn gate_begins(&mut self, mark: &Mark) {
        if !self.sides_proved() {
            return;
        }
        if let Some(why) = self.lapsed(&mark.utc, mark.clock) {
            self.void_zero(why);
        }
    }

    /// The last part of a check that only age or clock called for needs no release: nothing happened at the unit.
    pub(super) fn gate_ends(&mut self) {
        let renewed = matches!(self.stale, Some(Stale::TooOld | Stale::ClockChanged));
        if renewed && !self.needs_release && self.sides_proved() {
            self.stale = None;
        }
    }
}
