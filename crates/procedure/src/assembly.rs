//! The assembly a procedure acts on, and what each act makes of it.
//!
//! [`Assembly::after`] is the one transition: pure, no clock, no file. The proof folds it over routes; a parts ledger
//! and a drawing of the stack fold the same function over what was really done.

use std::collections::BTreeMap;

use crate::codes;
use crate::model::{Deed, EnergyState, PointKind, Procedure};
use crate::route::Choices;

/// What a fault says; the proof gives it place and severity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Its finding code.
    pub code: &'static str,
    /// What is wrong, a sentence.
    pub message: String,
    /// What to do, a sentence.
    pub remedy: String,
}

impl Fault {
    pub(crate) fn new(
        code: &'static str,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            code,
            message: message.into(),
            remedy: remedy.into(),
        }
    }
}

/// One act upon the assembly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Act<'a> {
    /// A deed of a step, in the state of energy the step is written for.
    Deed(&'a Deed, EnergyState),
    /// Each worker's own lock goes on.
    OwnLocksOn,
    /// Each worker's own lock comes off.
    OwnLocksOff,
    /// A hold that proves zero is released by the role named.
    ZeroReleased,
}

/// A point of isolation, drain or vent.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct PointState {
    /// Holds its source back, or was opened as a drain.
    pub isolated: bool,
    /// Its lock is on.
    pub locked: bool,
}

/// A part or group of like parts.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct PartState {
    /// Pieces on now.
    pub on: u32,
    /// Pieces taken off so far.
    pub off: u32,
    /// Pieces fitted so far.
    pub fitted: u32,
    /// Verified since it was fitted.
    pub verified: bool,
}

/// A joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JointState {
    /// Slackened and not tightened since.
    pub slack: bool,
    /// Broken open, fasteners on.
    pub cracked: bool,
    /// Fasteners are on, be it by hand.
    pub fastened: bool,
    /// Fasteners were run on by hand since they came off.
    pub hand_started: bool,
    /// Its lubricant was put on since the fasteners came off.
    pub lubricated: bool,
    /// Rested since it was last tightened.
    pub rested: bool,
}

/// What the assembly is like at one moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct State {
    /// By index of the procedure's points.
    pub points: Vec<PointState>,
    /// By index of the procedure's energies: let out or relieved.
    pub released: Vec<bool>,
    /// By index of the procedure's zero sides: proved since anything voided it.
    pub proved: Vec<bool>,
    /// By index of the procedure's parts.
    pub parts: Vec<PartState>,
    /// By index of the procedure's joints.
    pub joints: Vec<JointState>,
    /// By index of the procedure's covers: on.
    pub covers: Vec<bool>,
    /// Chambers and energies with test energy in, by name.
    pub let_in: Vec<String>,
    /// Each worker's own lock is on.
    pub own_locks: bool,
    /// Zero was proved and released at least once.
    pub zero_released: bool,
}

/// The assembly as one choice of options leaves it.
#[derive(Debug)]
pub struct Assembly<'p> {
    pub(crate) procedure: &'p Procedure,
    points: BTreeMap<&'p str, usize>,
    energies: BTreeMap<&'p str, usize>,
    sides: BTreeMap<&'p str, usize>,
    parts: BTreeMap<&'p str, usize>,
    joints: BTreeMap<&'p str, usize>,
    covers: BTreeMap<&'p str, usize>,
    /// For each part the indexes of the joints that clamp it.
    pub(crate) clamped_by: Vec<Vec<usize>>,
}

fn index<'p>(names: impl Iterator<Item = (usize, &'p str)>) -> BTreeMap<&'p str, usize> {
    names.map(|(at, name)| (name, at)).collect()
}

impl<'p> Assembly<'p> {
    /// The assembly of a procedure under these choices.
    pub fn new(procedure: &'p Procedure, choices: &Choices) -> Self {
        let parts = index(
            procedure
                .parts
                .iter()
                .enumerate()
                .filter(|(_, part)| choices.meet(&part.when))
                .map(|(at, part)| (at, part.id.as_str())),
        );
        let joints = index(
            procedure
                .joints
                .iter()
                .enumerate()
                .filter(|(_, joint)| choices.meet(&joint.when))
                .map(|(at, joint)| (at, joint.id.as_str())),
        );
        let mut clamped_by = vec![Vec::new(); procedure.parts.len()];
        for joint in joints.values() {
            for part in &procedure.joints[*joint].clamps {
                if let Some(part) = parts.get(part.as_str()) {
                    clamped_by[*part].push(*joint);
                }
            }
        }
        Self {
            procedure,
            points: index(
                procedure
                    .points
                    .iter()
                    .enumerate()
                    .map(|(at, point)| (at, point.id.as_str())),
            ),
            energies: index(
                procedure
                    .energies
                    .iter()
                    .enumerate()
                    .map(|(at, energy)| (at, energy.id.as_str())),
            ),
            sides: index(
                procedure
                    .zero
                    .iter()
                    .enumerate()
                    .map(|(at, side)| (at, side.id.as_str())),
            ),
            parts,
            joints,
            covers: index(
                procedure
                    .covers
                    .iter()
                    .enumerate()
                    .map(|(at, cover)| (at, cover.id.as_str())),
            ),
            clamped_by,
        }
    }

    /// The unit in service: everything on and tight, nothing isolated.
    pub fn in_service(&self) -> State {
        let whole = JointState {
            slack: false,
            cracked: false,
            fastened: true,
            hand_started: true,
            lubricated: true,
            rested: true,
        };
        let mut parts = vec![PartState::default(); self.procedure.parts.len()];
        for at in self.parts.values() {
            parts[*at].on = self.procedure.parts[*at].count;
        }
        State {
            points: vec![PointState::default(); self.procedure.points.len()],
            released: vec![false; self.procedure.energies.len()],
            proved: vec![false; self.procedure.zero.len()],
            parts,
            joints: vec![whole; self.procedure.joints.len()],
            covers: vec![false; self.procedure.covers.len()],
            let_in: Vec::new(),
            own_locks: false,
            zero_released: false,
        }
    }

    /// Index of a part present under these choices.
    pub fn part(&self, id: &str) -> Option<usize> {
        self.parts.get(id).copied()
    }

    /// Index of the joint of this name under these choices.
    pub fn joint(&self, id: &str) -> Option<usize> {
        self.joints.get(id).copied()
    }

    pub(crate) fn part_indexes(&self) -> impl Iterator<Item = usize> + '_ {
        self.parts.values().copied()
    }

    pub(crate) fn joint_indexes(&self) -> impl Iterator<Item = usize> + '_ {
        self.joints.values().copied()
    }

    /// The state after an act.
    ///
    /// # Errors
    /// The first thing wrong with doing this act in this state.
    pub fn after(&self, state: &State, act: &Act<'_>) -> Result<State, Fault> {
        let mut next = state.clone();
        let mut faults = Vec::new();
        self.apply(&mut next, act, &mut faults);
        match faults.into_iter().next() {
            None => Ok(next),
            Some(fault) => Err(fault),
        }
    }

    /// Does the act whatever is wrong with it, and says everything that is; so a proof can go on.
    pub fn apply(&self, state: &mut State, act: &Act<'_>, faults: &mut Vec<Fault>) {
        match act {
            Act::OwnLocksOn => state.own_locks = true,
            Act::OwnLocksOff => state.own_locks = false,
            Act::ZeroReleased => state.zero_released = true,
            Act::Deed(deed, energy) => self.deed(state, deed, *energy, faults),
        }
    }

    fn deed(&self, state: &mut State, deed: &Deed, energy: EnergyState, faults: &mut Vec<Fault>) {
        match deed {
            Deed::Isolate { .. }
            | Deed::Lock { .. }
            | Deed::Unlock { .. }
            | Deed::Restore { .. }
            | Deed::Release { .. }
            | Deed::Prove { .. } => {
                self.isolation(state, deed, energy, faults);
            }
            Deed::LetIn { chamber, .. } => {
                state.proved.iter_mut().for_each(|side| *side = false);
                if !state.let_in.contains(chamber) {
                    state.let_in.push(chamber.clone());
                }
            }
            Deed::LetOut { chamber } => {
                let before = state.let_in.len();
                state.let_in.retain(|inside| inside != chamber);
                if before == state.let_in.len() {
                    let message = format!("{chamber} is vented here, but nothing was let into it.");
                    faults.push(Fault::new(
                        codes::VENTED_EMPTY,
                        message,
                        "Vent what was let in, by the same name.",
                    ));
                }
            }
            Deed::Slacken { joint } | Deed::Crack { joint } | Deed::Unfasten { joint } => {
                self.open(state, deed, joint, faults);
            }
            Deed::HandStart { joint } | Deed::Tighten { joint } | Deed::Recheck { joint } => {
                self.close(state, deed, joint, faults);
            }
            Deed::Off { part, count } => self.off(state, part, *count, faults),
            Deed::On { part, count } => self.on(state, part, *count, faults),
            Deed::CoverOn { cover } => self.cover(state, cover, true, faults),
            Deed::CoverOff { cover } => self.cover(state, cover, false, faults),
            Deed::Lubricate {
                parts,
                joints,
                with,
            } => self.lubricate(state, parts, joints, with, faults),
            Deed::Verify { parts } => self.verify(state, parts, faults),
            Deed::Rest => state
                .joints
                .iter_mut()
                .for_each(|joint| joint.rested |= !joint.slack),
            Deed::Clean { .. } | Deed::Inspect { .. } | Deed::Test | Deed::Scrap => {}
        }
    }

    fn isolation(
        &self,
        state: &mut State,
        deed: &Deed,
        energy: EnergyState,
        faults: &mut Vec<Fault>,
    ) {
        match deed {
            Deed::Isolate { point } => {
                if let Some(at) = self.points.get(point.as_str()) {
                    if state.points[*at].isolated {
                        faults.push(Fault::new(
                            codes::ISOLATED_TWICE,
                            format!("{point} is isolated already."),
                            "Leave one of the two out.",
                        ));
                    }
                    state.points[*at].isolated = true;
                }
            }
            Deed::Lock { point } => {
                let Some(at) = self.points.get(point.as_str()) else {
                    return;
                };
                if state.points[*at].locked {
                    faults.push(Fault::new(
                        codes::LOCKED_TWICE,
                        format!("{point} is locked already."),
                        "Leave one of the two out.",
                    ));
                }
                if self.procedure.points[*at].kind == PointKind::Isolating
                    && !state.points[*at].isolated
                {
                    let message = format!("The lock goes on {point} before {point} is isolated.");
                    faults.push(Fault::new(
                        codes::LOCKED_BEFORE_ISOLATED,
                        message,
                        "Isolate first, then lock (29 CFR 1910.147(d)(3) and (4)).",
                    ));
                }
                state.points[*at].locked = true;
            }
            Deed::Unlock { point } => self.unlock(state, point, energy, faults),
            Deed::Restore { point } => {
                let Some(at) = self.points.get(point.as_str()) else {
                    return;
                };
                if state.points[*at].locked {
                    let message = format!("{point} is put back while its lock is on.");
                    faults.push(Fault::new(
                        codes::RESTORED_UNDER_LOCK,
                        message,
                        "Take the lock off in an earlier step.",
                    ));
                }
                state.points[*at].isolated = false;
                state.proved.iter_mut().for_each(|side| *side = false);
            }
            Deed::Release { energy } => {
                if let Some(point) = self.unlocked_point(state, Some(energy)) {
                    let message =
                        format!("{energy} is released before {point} is isolated and locked.");
                    faults.push(Fault::new(
                        codes::RELEASED_TOO_EARLY,
                        message,
                        "Isolate and lock first, then release (29 CFR 1910.147(d)(5)).",
                    ));
                }
                if let Some(at) = self.energies.get(energy.as_str()) {
                    state.released[*at] = true;
                }
            }
            Deed::Prove { side } => self.prove_side(state, side, faults),
            _ => {}
        }
    }

    fn unlock(&self, state: &mut State, point: &str, energy: EnergyState, faults: &mut Vec<Fault>) {
        let Some(at) = self.points.get(point) else {
            return;
        };
        if !state.points[*at].locked {
            faults.push(Fault::new(
                codes::LOCK_NOT_ON,
                format!("The lock of {point} comes off, but it is not on."),
                "Hang it first, or leave this out.",
            ));
        }
        let isolating = self.procedure.points[*at].kind == PointKind::Isolating;
        if isolating && matches!(energy, EnergyState::Isolating | EnergyState::Zero) {
            let message = format!("The lock of {point} comes off while work goes on.");
            faults.push(Fault::new(
                codes::LOCK_OFF_EARLY,
                message,
                "Take isolation locks off on return, or in the written sequence of a test.",
            ));
        }
        if isolating && energy == EnergyState::Returning && state.own_locks {
            let message = format!("The lock of {point} comes off before the workers' own locks.");
            faults.push(Fault::new(
                codes::OWN_LOCKS_FIRST,
                message,
                "Own locks come off first, each by its owner.",
            ));
        }
        state.points[*at].locked = false;
    }

    fn prove_side(&self, state: &mut State, side: &str, faults: &mut Vec<Fault>) {
        let Some(at) = self.sides.get(side) else {
            return;
        };
        let energy = &self.procedure.zero[*at].energy;
        if let Some(point) = self.unlocked_point(state, Some(energy)) {
            let message =
                format!("Zero is proved on {side} before {point} is isolated and locked.");
            faults.push(Fault::new(
                codes::PROVED_TOO_EARLY,
                message,
                "Isolate and lock every point of this source first.",
            ));
        }
        if self
            .energies
            .get(energy.as_str())
            .is_some_and(|energy| !state.released[*energy])
        {
            let message = format!("Zero is proved on {side} before {energy} is released.");
            faults.push(Fault::new(
                codes::PROVED_BEFORE_RELEASE,
                message,
                "Vent or bleed first, then read (29 CFR 1910.147(d)(6)).",
            ));
        }
        if let Some(inside) = state.let_in.first() {
            let message = format!("Zero is proved on {side} while test energy is in {inside}.");
            faults.push(Fault::new(
                codes::PROVED_UNDER_TEST,
                message,
                "Vent the test first.",
            ));
        }
        state.proved[*at] = true;
    }

    /// A point of this energy, or of any, that is not isolated and locked as it must be.
    pub(crate) fn unlocked_point(&self, state: &State, energy: Option<&str>) -> Option<&'p str> {
        self.procedure
            .points
            .iter()
            .zip(&state.points)
            .filter(|(point, _)| {
                point.kind == PointKind::Isolating
                    && energy.is_none_or(|energy| point.energy == energy)
            })
            .find(|(point, now)| !now.isolated || (point.lock.is_some() && !now.locked))
            .map(|(point, _)| point.id.as_str())
    }

    fn cover(&self, state: &mut State, cover: &str, on: bool, faults: &mut Vec<Fault>) {
        let Some(at) = self.covers.get(cover) else {
            return;
        };
        if state.covers[*at] == on {
            let (code, message) = if on {
                (
                    codes::COVER_ON_TWICE,
                    format!("{cover} goes on, but it is on already."),
                )
            } else {
                (
                    codes::COVER_NOT_ON,
                    format!("{cover} comes off, but it is not on."),
                )
            };
            faults.push(Fault::new(code, message, "Log it once on and once off."));
        }
        state.covers[*at] = on;
    }
}
