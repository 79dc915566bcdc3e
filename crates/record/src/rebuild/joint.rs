//! A joint under work: which fastener, pass, round or gap reading is due, and what each entry does to it.

use std::borrow::Cow;

use reseat_measure::order;
use reseat_procedure::model::{Asked, Deed, EnergyState, Gap, Joint, Pattern, Rounds};

use super::ask::Inner;
use super::state::{JointState, Rebuild};

/// How the wrench in use tells its torque.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tells {
    /// Set beforehand, clicks.
    Click,
    /// Shows the torque reached.
    Shows,
}

impl JointState {
    pub(super) fn tells(&self) -> Tells {
        match &self.wrench {
            Some(wrench) if wrench.kind.starts_with("click") => Tells::Click,
            _ => Tells::Shows,
        }
    }
}

/// The order of tightening of a joint, positions from 1.
pub(super) fn order_of(joint: &Joint) -> Vec<u32> {
    let count = joint.fasteners;
    let pattern = match joint.pattern {
        Pattern::Cross => order::Pattern::Cross,
        Pattern::Straight => order::Pattern::Straight,
        Pattern::Circular | Pattern::Single | Pattern::FlatByFlat => order::Pattern::Circular,
    };
    let published = u8::try_from(count)
        .ok()
        .and_then(|count| order::order(count, pattern).ok());
    // One fastener, or a count no pattern is made for, goes round in plain order.
    published.map_or_else(
        || (1..=count).collect(),
        |order| order.into_iter().map(u32::from).collect(),
    )
}

/// What is due at the joint; none when it is closed.
pub(super) fn due(joint: &Joint, state: &JointState) -> Option<Inner> {
    if state.wrench.is_none() {
        return Some(Inner::Numbered);
    }
    let order = order_of(joint);
    let passes = joint.passes.len() as u32;
    let pass = state.pass.max(1);
    if pass <= passes {
        if state.tells() == Tells::Click && !state.settings.contains_key(&pass) {
            return Some(Inner::Setting(pass));
        }
        let next = order
            .iter()
            .find(|fastener| !state.pulled.contains(fastener))?;
        return Some(Inner::Fastener(*next, pass, state.attempts + 1));
    }
    if let Some(round) = round_due(joint, state) {
        return Some(Inner::Round(round));
    }
    match &joint.gap {
        Some(Gap::Spread { .. }) if !state.gap_closed => {
            return Some(Inner::Gap(state.gap.len() as u32 + 1));
        }
        Some(Gap::Closed { .. }) if !state.gap_closed => return Some(Inner::Gap(1)),
        _ => {}
    }
    if state.tells() == Tells::Click && !state.set_back {
        return Some(Inner::SetBack);
    }
    None
}

fn round_due(joint: &Joint, state: &JointState) -> Option<u32> {
    if state.accepted {
        return None;
    }
    let done = state.rounds.len() as u32;
    match joint.rounds {
        Rounds::None => None,
        Rounds::Exactly(count) => (done < count).then_some(done + 1),
        Rounds::UpTo(most) => (state.rounds.last() != Some(&0) && done < most).then_some(done + 1),
    }
}

impl Rebuild {
    /// The joint of this name on the route.
    pub(super) fn joint(&self, id: &str) -> Option<&Joint> {
        self.procedure.joint(id, &self.route.choices)
    }

    pub(super) fn joint_state(&self, id: &str) -> Cow<'_, JointState> {
        self.joints
            .get(id)
            .map_or_else(|| Cow::Owned(JointState::default()), Cow::Borrowed)
    }

    /// All passes again, with what was stated of threads and wrench; a closed step opens and later tests are void.
    pub(super) fn restart_joint(&mut self, joint: &str) {
        self.joints.entry(joint.to_owned()).or_default().restart();
        let state = self.joints.entry(joint.to_owned()).or_default();
        state.pass = 1;
        state.again = Some("All passes again, from the first.".to_owned());
        state.lines.push("joint started again".to_owned());
        self.void_readings_of(joint);
        self.reopen_steps_of(joint, false);
    }

    /// A closed joint opened: its readings and every later test are void; hand-start and condition are asked anew.
    pub(super) fn reopen_joint(&mut self, joint: &str) {
        self.joints.insert(
            joint.to_owned(),
            JointState {
                loose: true,
                ..JointState::default()
            },
        );
        self.void_readings_of(joint);
        self.prevailing_of_opened(joint);
        self.reopen_steps_of(joint, true);
    }

    fn reopen_steps_of(&mut self, joint: &str, from_start: bool) {
        let mut tightening = None;
        let mut first = None;
        let prevailing = self
            .joint(joint)
            .and_then(|joint| joint.prevailing_read.clone());
        for index in 0..self.lines.len() {
            let Some(step) = self.step_of(&self.lines[index]) else {
                continue;
            };
            let names = |asked: &Asked| match asked {
                Asked::Tighten { joint: named } | Asked::Recheck { joint: named, .. } => {
                    named == joint
                }
                Asked::Condition { joint: named } => from_start && named == joint,
                Asked::Reading(measured) => from_start && prevailing.as_ref() == Some(&measured.id),
                _ => false,
            };
            let starts = from_start
                && step
                    .does
                    .iter()
                    .any(|deed| matches!(deed, Deed::HandStart { joint: named } if named == joint));
            let tightens = step
                .asks
                .iter()
                .any(|asked| matches!(asked, Asked::Tighten { joint: named } if named == joint));
            let concerns = starts || step.asks.iter().any(names);
            if tightens {
                tightening = Some(self.lines[index].id.clone());
            }
            if concerns && !self.lines[index].hands.is_empty() {
                first = first.or_else(|| Some(self.lines[index].id.clone()));
                self.reopen_line(index, 0);
            }
        }
        if let Some(step) = tightening {
            self.void_later_rests(&step);
            // A joint that is tightened in a test may begin before it: the whole of the test then stands on nothing.
            self.void_later_tests(&first.unwrap_or(step));
        }
    }

    fn void_later_rests(&mut self, after: &str) {
        let Some(start) = self.line_index(after) else {
            return;
        };
        for index in start + 1..self.lines.len() {
            let rest = self.step_of(&self.lines[index]).is_some_and(|step| {
                step.energy == EnergyState::Zero
                    && step
                        .asks
                        .iter()
                        .any(|asked| matches!(asked, Asked::Rest { .. }))
            });
            if rest && !self.lines[index].hands.is_empty() {
                self.reopen_line(index, 0);
            }
        }
    }

    pub(super) fn strike_joint_reading(
        &mut self,
        joint: &str,
        pass: u32,
        fastener: u32,
        entry: u64,
    ) {
        let Some(written) = self.joint(joint).cloned() else {
            return;
        };
        let state = self.joints.entry(joint.to_owned()).or_default();
        let standing = state
            .values
            .get(&fastener)
            .is_some_and(|(number, _, _)| *number == entry);
        if !standing {
            return;
        }
        state.values.remove(&fastener);
        state.attempts = 0;
        state.again = Some(format!("{fastener} read again on the hardware."));
        if state.after_high == Some(entry) {
            state.after_high = None;
        }
        if state.pass > pass {
            // The last pass was complete: only this fastener is open again, and what followed is done anew.
            state.pass = pass;
            state.pulled = order_of(&written)
                .into_iter()
                .filter(|other| *other != fastener)
                .collect();
            state.rounds.clear();
            state.gap.clear();
            state.gap_closed = false;
            state.accepted = false;
        } else {
            state.pulled.retain(|other| *other != fastener);
        }
        state.rechecked.clear();
        self.reopen_closed_joint(joint);
    }

    /// A joint whose step was closed is open again at the slot struck: its re-check, rests and every later test with it.
    pub(super) fn reopen_closed_joint(&mut self, joint: &str) {
        if self.tightening_closed(joint) {
            self.joints.entry(joint.to_owned()).or_default().loose = true;
            self.reopen_steps_of(joint, false);
        }
    }

    /// Whether the step that tightens the joint has its answer.
    pub(super) fn tightening_closed(&self, joint: &str) -> bool {
        self.lines.iter().any(|line| {
            self.step_of(line).is_some_and(|step| {
                step.asks.iter().zip(&line.asks).any(|(asked, ask)| {
                    ask.closed.is_some()
                        && matches!(asked, Asked::Tighten { joint: named } if named == joint)
                })
            })
        })
    }

    /// Locks moved: every joint left mid-pattern starts again.
    pub(super) fn restart_open_joints(&mut self) {
        let open: Vec<String> = self
            .joints
            .iter()
            .filter(|(id, state)| state.under_way() && !self.tightening_closed(id))
            .map(|(id, _)| id.clone())
            .collect();
        for joint in open {
            self.restart_joint(&joint);
        }
    }

    fn void_readings_of(&mut self, joint: &str) {
        for kept in self.readings.values_mut() {
            let torque = kept
                .joint
                .as_ref()
                .is_some_and(|(named, ..)| named == joint);
            if torque || kept.gap_of.as_deref() == Some(joint) {
                kept.struck = true;
            }
        }
    }

    /// How many separate answers an ask wants.
    pub(super) fn parts_of(&self, asked: &Asked) -> u32 {
        match asked {
            Asked::Zero { by_vent } => self.zero_parts(by_vent).len() as u32,
            Asked::Dispositions => 1 + self.reusable_off().len() as u32,
            Asked::Sign => 2,
            _ => 1,
        }
    }
}
