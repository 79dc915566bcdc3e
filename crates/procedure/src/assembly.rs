//! The assembly a procedure acts on, and what each act makes of it.
//!
//! [`Assembly::after`] is the one transition: pure, no clock, no file. The proof folds it over routes; a parts ledger
//! and a drawing of the stack fold the same function over what was really done.

use std::collections::BTreeMap;

use crate::codes;
use reseat_measure::Quantity;

use crate::model::{Deed, EnergyState, Procedure};
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
    /// Place in the text as a JSON pointer, where it is about no act.
    pub(crate) place: Option<String>,
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
            place: None,
        }
    }

    /// The same, about this place of the text.
    pub(crate) fn at(mut self, place: String) -> Self {
        self.place = Some(place);
        self
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
    /// A wait of the step runs out.
    Waited,
}

/// A point of isolation, drain or vent.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct PointState {
    /// Holds its source back, or was opened as a drain.
    pub isolated: bool,
    /// Its lock is on.
    pub locked: bool,
    /// A drain that stood open and was shut since.
    pub shut_again: bool,
    /// A wait ran out since it was shut.
    pub waited: bool,
}

impl PointState {
    /// Holds its source back from here on, or stands open as a drain.
    pub(crate) fn stands_isolated(&mut self) {
        (self.isolated, self.shut_again, self.waited) = (true, false, false);
    }
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
    /// Verified by another person since it was fitted: a step that verifies it, not the orientation its fitter is asked.
    pub seen: bool,
    /// Cleaned since it came off.
    pub cleaned: bool,
    /// Got its own lubricant since it came off.
    pub lubricated: bool,
    /// Steps that measured it or looked it over since it came off.
    pub inspected: u32,
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
    /// Re-checked since it was last tightened.
    pub rechecked: bool,
    /// Proved under pressure since it was last tightened.
    pub tested: bool,
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
    /// Chambers and energies with test energy in, by name, with the pressure where one is written.
    pub let_in: Vec<(String, Option<Quantity>)>,
    /// By index of the procedure's chambers: liquid ran through its high point without air since it was last opened.
    pub filled: Vec<bool>,
    /// By index of the procedure's tests: done since the joints it tests were last slackened.
    pub run: Vec<bool>,
    /// Each worker's own lock is on.
    pub own_locks: bool,
    /// Zero was proved and released at least once.
    pub zero_released: bool,
}

/// The assembly as one choice of options leaves it.
#[derive(Debug)]
pub struct Assembly<'p> {
    pub(crate) procedure: &'p Procedure,
    pub(crate) points: BTreeMap<&'p str, usize>,
    pub(crate) energies: BTreeMap<&'p str, usize>,
    pub(crate) sides: BTreeMap<&'p str, usize>,
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
            rechecked: true,
            tested: true,
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
            filled: vec![false; self.procedure.chambers.len()],
            run: vec![false; self.procedure.tests.len()],
            own_locks: false,
            zero_released: false,
        }
    }

    /// Index of a part present under these choices.
    pub fn part(&self, id: &str) -> Option<usize> {
        self.parts.get(id).copied()
    }

    pub(crate) fn cover_index(&self, id: &str) -> Option<usize> {
        self.covers.get(id).copied()
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
            Act::OwnLocksOff => {
                if !state.own_locks {
                    faults.push(Fault::new(
                        codes::OWN_LOCKS_NOT_ON,
                        "The workers' own locks come off, but they are not on.",
                        "Ask for own locks before it, or leave this out.",
                    ));
                }
                state.own_locks = false;
            }
            Act::ZeroReleased => state.zero_released = true,
            Act::Waited => state
                .points
                .iter_mut()
                .for_each(|point| point.waited = point.shut_again),
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
            Deed::LetIn {
                points,
                chamber,
                pressure,
                ..
            } => {
                self.stand(
                    state,
                    points,
                    &format!("{chamber} is filled or raised"),
                    faults,
                );
                self.let_in(state, chamber, pressure.as_ref(), faults);
            }
            Deed::LetOut { chamber } => let_out(state, chamber, faults),
            Deed::Test | Deed::Run { .. } => {
                if let Deed::Run { test } = deed {
                    self.run(state, test, faults);
                }
                self.test(state, faults);
                // What the return lets in is the service itself; once looked at it is test energy no more.
                if energy == EnergyState::Returning {
                    state.let_in.clear();
                }
            }
            Deed::Clean { parts } => self.clean(state, parts),
            Deed::Slacken { joint } | Deed::Crack { joint } | Deed::Unfasten { joint } => {
                self.open(state, deed, joint, faults);
            }
            Deed::HandStart { joint } | Deed::Tighten { joint } | Deed::Recheck { joint } => {
                self.close(state, deed, joint, faults);
            }
            Deed::Off { part, count } => self.off(state, part, *count, faults),
            Deed::On { part, count } => self.on(state, part, *count, faults),
            Deed::CoverOn { cover } => self.cover(state, cover, (true, energy), faults),
            Deed::CoverOff { cover } => self.cover(state, cover, (false, energy), faults),
            Deed::Lubricate {
                parts,
                joints,
                with,
            } => {
                self.lubricate_parts(state, parts, with, faults);
                self.lubricate_joints(state, joints, with, faults);
            }
            Deed::Verify { parts } => self.verify(state, parts, faults),
            Deed::Rest => state
                .joints
                .iter_mut()
                .for_each(|joint| joint.rested |= !joint.slack),
            Deed::Inspect { parts } => self.inspect(state, parts, faults),
            Deed::Scrap | Deed::ToolsClear | Deed::PeopleClear => {}
        }
    }

    fn clean(&self, state: &mut State, parts: &[String]) {
        for (part, now) in self.procedure.parts.iter().zip(&mut state.parts) {
            if (parts.is_empty() && now.on == 0) || parts.contains(&part.id) {
                now.cleaned = true;
            }
        }
    }

    fn cover(
        &self,
        state: &mut State,
        cover: &str,
        (on, energy): (bool, EnergyState),
        faults: &mut Vec<Fault>,
    ) {
        let Some(at) = self.covers.get(cover) else {
            return;
        };
        if energy == EnergyState::Zero {
            self.hands_on(state, cover, faults);
        }
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

/// What was let in goes out again, by the same name.
fn let_out(state: &mut State, chamber: &str, faults: &mut Vec<Fault>) {
    let before = state.let_in.len();
    state.let_in.retain(|(inside, _)| inside != chamber);
    if before == state.let_in.len() {
        let message = format!("{chamber} is vented here, but nothing was let into it.");
        faults.push(Fault::new(
            codes::VENTED_EMPTY,
            message,
            "Vent what was let in, by the same name.",
        ));
    }
}
