//! What is still open when a route ends: parts out, joints loose, locks on, energy in, tests not done.

use std::collections::BTreeMap;

use reseat_measure::Quantity;

use crate::assembly::{Fault, State};
use crate::codes;
use crate::model::{Asked, Deed, PointKind, Step};
use crate::prove::Proof;
use crate::prove_order;

/// Where things were last opened, taken off, hung or let in, so that what stays open is named there.
#[derive(Default)]
pub(crate) struct Opened<'p> {
    at: BTreeMap<(&'static str, &'p str), usize>,
    /// By chamber: the pressure last let in, where one is written.
    pressure: BTreeMap<&'p str, Option<Quantity>>,
}

impl<'p> Proof<'p> {
    /// What is still open when the last step is done.
    pub(crate) fn at_end(&mut self, state: &State, opened: &Opened<'p>, steps: &[&Step]) {
        let last = steps.len().saturating_sub(1);
        self.parts_left(state, opened, last);
        self.joints_left(state, opened, last);
        self.points_left(state, opened, last);
        self.in_hand_left(state, opened, last);
        self.wanted(state, opened, last);
        if state.own_locks {
            let hung = steps.iter().rposition(|step| {
                let mut asks = step.asks.iter();
                asks.any(|ask| matches!(ask, Asked::OwnLocks { .. }))
            });
            self.fault(
                hung.unwrap_or(last),
                codes::OWN_LOCKS_LEFT_ON,
                "The workers' own locks never come off.".to_owned(),
                "Ask for own locks off on return.",
            );
        }
        self.faults
            .extend(prove_order::order(self.procedure, &self.assembly, steps));
    }

    fn parts_left(&mut self, state: &State, opened: &Opened<'p>, last: usize) {
        let procedure = self.procedure;
        for at in self.assembly.part_indexes().collect::<Vec<_>>() {
            let (part, now) = (&procedure.parts[at], state.parts[at]);
            let step = opened.step("off", &part.id).unwrap_or(last);
            // Of a part that never goes on again nothing else is said.
            let gone = now.on == 0 && now.off > 0;
            if gone {
                let message = format!("{} is taken off and never fitted.", part.id);
                self.fault(
                    step,
                    codes::PART_NOT_REFITTED,
                    message,
                    "Write the step that fits it, or its replacement.",
                );
            } else if now.on < part.count {
                let message = format!(
                    "{} of {} are on at the end; the unit has {}.",
                    now.on, part.id, part.count
                );
                self.fault(
                    step,
                    codes::COUNT_DIFFERS,
                    message,
                    "Make the pieces fitted as many as the unit has.",
                );
            } else if part.single_use && now.off > 0 && now.fitted < now.off {
                let message = format!(
                    "{} of {} come off, {} new ones go on.",
                    now.off, part.id, now.fitted
                );
                self.fault(
                    step,
                    codes::COUNT_DIFFERS,
                    message,
                    "Make count off and count on the same.",
                );
            }
            if part.from_kit && now.fitted < part.count && !gone {
                let message = format!(
                    "The kit has {} new {}; {} are fitted.",
                    part.count, part.id, now.fitted
                );
                let fault = Fault::new(
                    codes::KIT_PART_NOT_FITTED,
                    message,
                    "Write the steps that take the old ones off and fit the new ones.",
                );
                // A part that no step touches is wrong where it is declared.
                self.faults.push(match opened.step("off", &part.id) {
                    Some(step) => (Some(step), fault),
                    None => (None, fault.at(format!("/parts/{at}"))),
                });
            }
        }
    }

    fn joints_left(&mut self, state: &State, opened: &Opened<'p>, last: usize) {
        let procedure = self.procedure;
        for at in self.assembly.joint_indexes().collect::<Vec<_>>() {
            if state.joints[at].slack {
                let joint = &procedure.joints[at].id;
                let step = opened.step("joint", joint).unwrap_or(last);
                let message = format!(
                    "{joint} is opened and never tightened through its last pass after that."
                );
                self.fault(
                    step,
                    codes::JOINT_NOT_TIGHTENED,
                    message,
                    "Write the step that tightens it.",
                );
            }
        }
        for at in self.assembly.joint_indexes().collect::<Vec<_>>() {
            let (joint, now) = (&procedure.joints[at], state.joints[at]);
            if let (Some(chamber), false, false) = (&joint.boundary, now.slack, now.tested) {
                self.not_tested(&joint.id, chamber, opened, last);
            }
        }
    }

    /// A joint that no test proves: named where its chamber is raised too little or for nothing, else where it was opened.
    fn not_tested(&mut self, joint: &str, chamber: &str, opened: &Opened<'p>, last: usize) {
        let wanted = self
            .procedure
            .chambers
            .iter()
            .find(|known| known.id == chamber)
            .and_then(|known| known.test);
        let tightened = opened.step("tighten", joint);
        let raised = opened
            .step("let in", chamber)
            .filter(|raised| tightened.is_none_or(|tightened| *raised > tightened));
        let Some(raised) = raised else {
            let message = format!(
                "{joint} was opened, but no test proves it at the pressure of its chamber."
            );
            let step = opened.step("joint", joint).unwrap_or(last);
            return self.fault(
                step,
                codes::NOT_TESTED,
                message,
                "Write a test of its chamber after the tightening.",
            );
        };
        let pressure = opened.pressure.get(chamber).copied().flatten();
        let reaches = |wanted: &Quantity| {
            pressure.is_some_and(|now| now.cmp_exact(wanted).is_ok_and(std::cmp::Ordering::is_ge))
        };
        // Told without the joint: all that close the chamber want the same mending.
        let (message, remedy) = match wanted {
            Some(wanted) if !reaches(&wanted) => (
                match pressure {
                    Some(now) => format!(
                        "{chamber} is raised to {now} here; its joints are proved at {wanted}."
                    ),
                    None => format!(
                        "{chamber} is raised to no pressure here; its joints are proved at {wanted}."
                    ),
                },
                format!("Raise it to {wanted} for a test after the last tightening."),
            ),
            _ => (
                format!("{chamber} is raised here, but no test is done while it holds."),
                "Write test, or run, in a step before it is vented.".to_owned(),
            ),
        };
        self.fault(raised, codes::NOT_TESTED, message, &remedy);
    }

    fn points_left(&mut self, state: &State, opened: &Opened<'p>, last: usize) {
        let procedure = self.procedure;
        for (at, (point, now)) in procedure.points.iter().zip(&state.points).enumerate() {
            if now.locked {
                let message = format!("The lock of {} is never taken off again.", point.id);
                self.fault(
                    opened.step("lock", &point.id).unwrap_or(last),
                    codes::LOCK_LEFT_ON,
                    message,
                    "Write the step that takes it off on return.",
                );
            } else if now.isolated {
                let (left, remedy) = match point.kind {
                    PointKind::Isolating => (
                        "is never put back",
                        "Write the step that opens it on return.",
                    ),
                    PointKind::Drain => (
                        "is open and never shut",
                        "Write the step that shuts it on return.",
                    ),
                };
                let by_release = (self.assembly.only_drain(&point.energy) == Some(at))
                    .then(|| opened.step("release", &point.energy))
                    .flatten();
                let step = opened
                    .step("isolate", &point.id)
                    .max(by_release)
                    .unwrap_or(last);
                self.fault(
                    step,
                    codes::POINT_NOT_RESTORED,
                    format!("{} {left}.", point.id),
                    remedy,
                );
            }
        }
    }

    /// Covers and test energy that are still there.
    fn in_hand_left(&mut self, state: &State, opened: &Opened<'p>, last: usize) {
        let procedure = self.procedure;
        for (cover, on) in procedure.covers.iter().zip(&state.covers) {
            if *on {
                let message = format!("{} goes on and never comes off.", cover.id);
                self.fault(
                    opened.step("cover", &cover.id).unwrap_or(last),
                    codes::COVER_LEFT_ON,
                    message,
                    "Write the step that takes it off.",
                );
            }
        }
        for (inside, _) in &state.let_in {
            let message = format!("What is let into {inside} for the test is never vented.");
            self.fault(
                opened.step("let in", inside).unwrap_or(last),
                codes::ENERGY_LEFT_IN,
                message,
                "Write the step that vents it.",
            );
        }
    }

    /// Tests and verifications that the declarations ask for and no step does.
    fn wanted(&mut self, state: &State, opened: &Opened<'p>, last: usize) {
        let procedure = self.procedure;
        for (test, done) in procedure.tests.iter().zip(&state.run) {
            if !*done {
                let let_in = test
                    .needs
                    .iter()
                    .filter_map(|name| opened.step("let in", name));
                let step = let_in.max().unwrap_or(last);
                let message = format!(
                    "The test {} is not done after its joints were last closed.",
                    test.id
                );
                self.fault(
                    step,
                    codes::TEST_NOT_DONE,
                    message,
                    "Write the step that does it, with run.",
                );
            }
        }
        for at in self.assembly.part_indexes().collect::<Vec<_>>() {
            let (part, now) = (&procedure.parts[at], state.parts[at]);
            if part.to_verify && now.fitted > 0 && !now.seen {
                let message = format!("{} is fitted, but nobody verifies it.", part.id);
                self.fault(
                    opened.step("on", &part.id).unwrap_or(last),
                    codes::NEVER_VERIFIED,
                    message,
                    "Write the step in which another person verifies it.",
                );
            }
        }
    }
}

impl<'p> Opened<'p> {
    pub(crate) fn note(&mut self, deed: &'p Deed, number: usize) {
        let key = match deed {
            Deed::Off { part, .. } => ("off", part),
            Deed::On { part, .. } => ("on", part),
            Deed::Slacken { joint } | Deed::Crack { joint } | Deed::Unfasten { joint } => {
                ("joint", joint)
            }
            Deed::Lock { point } => ("lock", point),
            Deed::Isolate { point } => ("isolate", point),
            Deed::Release { energy } => ("release", energy),
            Deed::CoverOn { cover } => ("cover", cover),
            Deed::LetIn {
                chamber, pressure, ..
            } => {
                self.pressure.insert(chamber, *pressure);
                ("let in", chamber)
            }
            Deed::Tighten { joint } => ("tighten", joint),
            _ => return,
        };
        self.at.insert((key.0, key.1.as_str()), number);
    }

    fn step(&self, kind: &'static str, name: &str) -> Option<usize> {
        self.at.get(&(kind, name)).copied()
    }
}
