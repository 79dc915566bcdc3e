//! Which point is due now: the order in which questions come, safety first.

use reseat_procedure::model::{Asked, EnergyState, Step, Verify};

use super::ask::{Inner, Point};
use super::joint;
use super::state::{About, Finding, Line, Rebuild, Stale};
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
    /// How zero stands now. Never stored: worked out each time from locks, proofs and the stamp.
    pub(super) fn zero(&self, stamp: &Stamp) -> Zero {
        if let Some(words) = &self.let_in {
            return Zero::LetIn(words.clone());
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
        let oldest = self.oldest_proof();
        let doubt = stamp.clock == Clock::Doubted && self.proofs_trusted();
        if doubt {
            return Zero::Void("the clock is not trusted");
        }
        let age = oldest.and_then(|utc| super::time::minutes_between(&utc, &stamp.utc));
        if age.is_some_and(|minutes| minutes > i64::from(self.started.zero_minutes) || minutes < 0)
        {
            return Zero::Void("the reading is too old");
        }
        if self.look {
            return Zero::LookAgain;
        }
        Zero::Stands(age)
    }

    fn proofs_trusted(&self) -> bool {
        self.proofs
            .values()
            .flat_map(|proof| [&proof.reading, &proof.vent])
            .flatten()
            .any(|(mark, _)| mark.clock != Clock::Doubted)
    }

    /// Time of the oldest gauge reading (or vent look, where that proves the side) among the proofs.
    pub(super) fn oldest_proof(&self) -> Option<String> {
        self.proofs
            .values()
            .filter_map(|proof| proof.reading.as_ref().or(proof.vent.as_ref()))
            .map(|(mark, _)| mark.utc.clone())
            .min()
    }

    /// A lock that must be on and is not: the point's id, or `own`.
    pub(super) fn lock_missing(&self) -> Option<String> {
        if let Some((point, _)) = self.locks.iter().find(|(_, hung)| !hung.on) {
            return Some(point.clone());
        }
        let who = self.who.as_ref()?;
        (self.own_locks_due && !self.own_locks.contains_key(&who.id)).then(|| "own".to_owned())
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

    /// The part of a gate that is due: the first whose proof is missing; the number after the last is the release.
    fn gate_part(&self) -> u32 {
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

    /// The point due now.
    pub(super) fn due_point(&self, stamp: &Stamp) -> Point {
        if self.newer {
            return Point::Newer;
        }
        if self.ended.is_some() {
            return Point::Closed;
        }
        if self.pause.is_some() {
            return Point::Resume;
        }
        let Some(index) = self.due() else {
            return Point::Closed;
        };
        let line = &self.lines[index];
        let energy = self.energy_at(index);
        let step = self.step_of(line);
        let hands_on = matches!(energy, EnergyState::Zero | EnergyState::Test);
        if hands_on && let Some(point) = self.lock_missing() {
            return Point::LockBack(point);
        }
        if let Some(point) = self.gate(stamp, energy, step) {
            return point;
        }
        if self.observe {
            return Point::Observed;
        }
        if let Some(point) = self.after_high_due().or_else(|| self.finding_due(index)) {
            return point;
        }
        match step {
            None => Point::Act(line.id.clone()),
            Some(step) => self.step_point(line, step),
        }
    }

    fn gate(&self, stamp: &Stamp, energy: EnergyState, step: Option<&Step>) -> Option<Point> {
        if energy != EnergyState::Zero {
            return None;
        }
        let exempt = step.is_some_and(|step| step.safer || Self::is_zero_check(step));
        if exempt {
            return None;
        }
        match self.zero(stamp) {
            Zero::Stands(_) => None,
            Zero::LookAgain => Some(Point::LookAgain),
            Zero::LetIn(_) | Zero::Void(_) => Some(Point::Gate(self.gate_from(stamp))),
        }
    }

    /// Which part of the gate is due; proofs that are too old or made before the clock was doubted count as missing.
    fn gate_from(&self, stamp: &Stamp) -> u32 {
        let parts = self.zero_parts(&[]).len() as u32;
        let part = self.gate_part();
        if part < parts || self.needs_release || self.stale.is_some() || self.let_in.is_some() {
            return part;
        }
        // Every proof is in, yet zero does not stand: it is the age or the clock, so the oldest is read again first.
        let oldest = self.oldest_proof();
        let renewed = self.zero_parts(&[]).iter().position(|part| {
            let ZeroPart::Gauge(side) = part else {
                return false;
            };
            self.proofs
                .get(*side)
                .and_then(|proof| proof.reading.as_ref())
                .is_some_and(|(mark, _)| {
                    let too_old =
                        super::time::minutes_between(&mark.utc, &stamp.utc).is_none_or(|minutes| {
                            minutes > i64::from(self.started.zero_minutes) || minutes < 0
                        });
                    too_old || oldest.as_ref() == Some(&mark.utc)
                })
        });
        renewed.map_or(part, |index| index as u32)
    }

    fn after_high_due(&self) -> Option<Point> {
        let queried = self
            .joints
            .values()
            .find_map(|joint| joint.queried.as_ref())
            .map(|(entry, ..)| Point::Queried(*entry));
        queried.or_else(|| {
            self.joints
                .values()
                .find_map(|joint| joint.after_high)
                .map(Point::AfterHigh)
        })
    }

    /// The finding that stops work now. Findings of an inspection wait for the section's own decision step, where one is written.
    fn finding_due(&self, index: usize) -> Option<Point> {
        let finding = self.findings.iter().find(|finding| {
            finding.decided.is_none() && !self.waits_for_decisions(finding, index)
        })?;
        Some(if finding.proposed.is_some() {
            Point::FindingSigned(finding.number)
        } else {
            Point::Finding(finding.number)
        })
    }

    fn waits_for_decisions(&self, finding: &Finding, due: usize) -> bool {
        let About::Slot { line, .. } = &finding.about else {
            return false;
        };
        let Some(section) = self
            .line(line)
            .and_then(|line| line.place)
            .map(|place| place.section)
        else {
            return false;
        };
        let deciding = |candidate: &Line| {
            candidate
                .place
                .is_some_and(|place| place.section == section)
                && self
                    .step_of(candidate)
                    .is_some_and(|step| step.asks.contains(&Asked::Decisions))
                && !self.complete(candidate)
        };
        let Some(at) = self.lines.iter().position(deciding) else {
            return false;
        };
        due < at
    }

    /// Whether an undecided finding about this very slot is parked for the section's decision step.
    pub(super) fn parked(&self, line: &str, ask: usize) -> bool {
        self.findings.iter().any(|finding| {
            finding.decided.is_none()
                && finding.about
                    == About::Slot {
                        line: line.to_owned(),
                        ask,
                    }
                && self
                    .line_index(line)
                    .is_some_and(|index| self.waits_for_decisions(finding, index))
        })
    }

    fn step_point(&self, line: &Line, step: &Step) -> Point {
        if step.start_apart && line.begun.is_none() && line.hands.is_empty() {
            return Point::Begin(line.id.clone());
        }
        if step.asks.is_empty() && line.acted.is_none() {
            return Point::Act(line.id.clone());
        }
        let open = |(index, ask): (usize, &super::state::AskState)| {
            ask.closed.is_none() && !self.parked(&line.id, index)
        };
        if let Some(ask) = line.asks.iter().enumerate().position(open) {
            return Point::Asked(line.id.clone(), ask as u32, self.inner(line, step, ask));
        }
        if step.verify.is_some() && line.verified.is_none() {
            if step.verify == Some(Verify::Independent)
                && let Some(ask) = Self::blind_ask(line, step)
            {
                return Point::VerifyAsked(line.id.clone(), ask);
            }
            return Point::Verify(line.id.clone());
        }
        Point::Hold(line.id.clone())
    }

    /// The next ask the independent verifier answers for himself.
    fn blind_ask(line: &Line, step: &Step) -> Option<u32> {
        step.asks
            .iter()
            .enumerate()
            .filter(|(_, asked)| {
                matches!(
                    asked,
                    Asked::Count { .. } | Asked::Choice { .. } | Asked::Orientation { .. }
                )
            })
            .map(|(index, _)| index as u32)
            .find(|index| !line.verify_asked.contains(index))
    }

    fn inner(&self, line: &Line, step: &Step, ask: usize) -> Inner {
        let state = &line.asks[ask];
        match &step.asks[ask] {
            Asked::Tighten { joint } => self
                .joint(joint)
                .and_then(|written| joint::due(written, &self.joint_state(joint)))
                .unwrap_or(Inner::Whole),
            Asked::Recheck { joint, .. } => {
                let done = self.joint_state(joint).rechecked.len() as u32;
                let order = self.joint(joint).map(joint::order_of).unwrap_or_default();
                Inner::Fastener(order.get(done as usize).copied().unwrap_or(done + 1), 0, 1)
            }
            Asked::Reading(measured) if measured.beside.is_some() && state.beside.is_none() => {
                Inner::Beside
            }
            Asked::Zero { .. } | Asked::Dispositions | Asked::Decisions | Asked::Sign => {
                Inner::Line(state.lines)
            }
            _ => Inner::Whole,
        }
    }

    /// Parts that came off and may be kept.
    pub(super) fn reusable_off(&self) -> Vec<String> {
        self.procedure
            .parts_on(&self.route.choices)
            .filter(|part| !part.single_use && self.off.contains_key(&part.id))
            .map(|part| part.id.clone())
            .collect()
    }

    /// Parts still "inspect".
    pub(super) fn to_decide(&self) -> Vec<String> {
        self.dispositions
            .iter()
            .filter(|(_, disposition)| *disposition == "inspect")
            .map(|(part, _)| part.clone())
            .collect()
    }
}
