//! What acts at the unit make of joints: slackened, cracked and taken apart; run on, tightened and re-checked.

use crate::assembly::{Assembly, Fault, JointState, State};
use crate::codes;
use crate::model::{Deed, Joint};

/// Joints with fewer fasteners than this come apart without a crack of their own: gland nuts, lock nuts.
pub(crate) const CRACKED_FROM: u32 = 4;

impl Assembly<'_> {
    pub(crate) fn open(
        &self,
        state: &mut State,
        deed: &Deed,
        joint: &str,
        faults: &mut Vec<Fault>,
    ) {
        let Some(at) = self.reached(state, joint, true, faults) else {
            return;
        };
        let written = &self.procedure.joints[at];
        if matches!(deed, Deed::Slacken { .. }) {
            self.void_tests(state, written.boundary.as_deref());
        }
        let now = &mut state.joints[at];
        match deed {
            Deed::Slacken { .. } => slacken(joint, now, faults),
            Deed::Crack { .. } => crack(joint, now, faults),
            _ => unfasten(written, now, faults),
        }
    }

    pub(crate) fn close(
        &self,
        state: &mut State,
        deed: &Deed,
        joint: &str,
        faults: &mut Vec<Fault>,
    ) {
        let Some(at) = self.reached(state, joint, false, faults) else {
            return;
        };
        let written = &self.procedure.joints[at];
        let missing = written
            .clamps
            .iter()
            .filter_map(|part| self.part(part))
            .find(|part| state.parts[*part].on < self.procedure.parts[*part].count);
        if let Some(part) = missing {
            let message = format!(
                "{joint} is closed before {} is on.",
                self.procedure.parts[part].id
            );
            faults.push(Fault::new(
                codes::CLAMPED_PART_MISSING,
                message,
                "Fit what the joint clamps before its fasteners.",
            ));
        }
        let now = &mut state.joints[at];
        match deed {
            Deed::HandStart { .. } => hand_start(written, now, faults),
            Deed::Tighten { .. } => tighten(joint, now, faults),
            _ => recheck(joint, now, faults),
        }
    }

    /// The joint a wrench goes on, opened or closed, with what that needs: safe hands, zero to open it, nothing over it.
    fn reached(
        &self,
        state: &State,
        joint: &str,
        opened: bool,
        faults: &mut Vec<Fault>,
    ) -> Option<usize> {
        let Some(at) = self.joint(joint) else {
            faults.push(no_joint(joint));
            return None;
        };
        // The lock nut of a setting screw holds no pressure: it is slackened so that its spring can be relieved, and
        // locked while the set-point is read, so with the pressure on.
        if !self.procedure.joints[at].setting {
            self.hands_on(state, joint, faults);
            if opened {
                self.zero(state, joint, faults);
            }
        }
        self.joint_covered(state, at, faults);
        Some(at)
    }

    /// A split pin, lock plate or cap over the fasteners comes off before a wrench goes on.
    fn joint_covered(&self, state: &State, at: usize, faults: &mut Vec<Fault>) {
        let written = &self.procedure.joints[at];
        if let Some(over) = self.is_on(state, &written.under) {
            let message = format!("{} is worked on while {over} is on.", written.id);
            faults.push(Fault::new(
                codes::JOINT_COVERED,
                message,
                "Take off what lies over the fasteners first; fit it after the last pass.",
            ));
        }
    }

    /// Threads get the lubricant their window is written for, before the fasteners are run on.
    pub(crate) fn lubricate_joints(
        &self,
        state: &mut State,
        joints: &[String],
        with: &str,
        faults: &mut Vec<Fault>,
    ) {
        for joint in joints {
            let Some(at) = self.joint(joint) else {
                faults.push(no_joint(joint));
                continue;
            };
            if state.joints[at].fastened {
                let message =
                    format!("The threads of {joint} get {with} after its fasteners are on.");
                faults.push(Fault::new(
                    codes::LUBRICANT_LATE,
                    message,
                    "Lubricate before the hand-start.",
                ));
            }
            let own = &self.procedure.joints[at].lubricant;
            if own.as_deref() != Some(with) {
                let (what, remedy) = match own {
                    Some(own) => (
                        format!("its window is written for {own}"),
                        format!("Name {own} in this step; another lubricant needs another window."),
                    ),
                    None => (
                        "its window is written for no lubricant".to_owned(),
                        "Leave this out, or write lubricant, condition and window at the joint."
                            .to_owned(),
                    ),
                };
                let message = format!("{joint} gets {with}; {what}.");
                faults.push(Fault::new(codes::LUBRICANT_WRONG, message, remedy));
            }
            state.joints[at].lubricated = true;
        }
    }
}

fn slacken(joint: &str, now: &mut JointState, faults: &mut Vec<Fault>) {
    if now.slack {
        faults.push(Fault::new(
            codes::OPENED_TWICE,
            format!("{joint} is slack already."),
            "Leave one of the two out.",
        ));
    }
    (now.slack, now.rested) = (true, false);
}

fn crack(joint: &str, now: &mut JointState, faults: &mut Vec<Fault>) {
    if !now.slack || !now.fastened || now.cracked {
        let message = format!("{joint} is cracked open where it is not slack, fasteners on.");
        faults.push(Fault::new(
            codes::CRACK_ORDER,
            message,
            "Slacken, then crack with the fasteners still on, then take them off.",
        ));
    }
    now.cracked = true;
}

fn unfasten(written: &Joint, now: &mut JointState, faults: &mut Vec<Fault>) {
    let joint = &written.id;
    if !now.fastened {
        faults.push(Fault::new(
            codes::OPENED_TWICE,
            format!("The fasteners of {joint} are off already."),
            "Leave one of the two out.",
        ));
    }
    if !now.slack {
        let message = format!("The fasteners of {joint} come off before they are slackened.");
        faults.push(Fault::new(
            codes::CRACK_ORDER,
            message,
            "Slacken them in an earlier step.",
        ));
    }
    let wanted = written.crack || written.boundary.is_some() && written.fasteners >= CRACKED_FROM;
    if wanted && !now.cracked {
        let message = format!("The fasteners of {joint} come off before it is cracked open.");
        faults.push(Fault::new(
            codes::CRACK_ORDER,
            message,
            "Crack the joint away from you with its fasteners still on.",
        ));
    }
    (now.fastened, now.hand_started, now.lubricated) = (false, false, false);
}

fn hand_start(written: &Joint, now: &mut JointState, faults: &mut Vec<Fault>) {
    let joint = &written.id;
    if now.fastened {
        let message = format!("The fasteners of {joint} are run on by hand, but they are on.");
        faults.push(Fault::new(
            codes::HAND_START_TWICE,
            message,
            "Leave one of the two out.",
        ));
    }
    if let (Some(lubricant), false) = (&written.lubricant, now.lubricated) {
        let message = format!("{joint} is hand-started before {lubricant} is on its threads.");
        faults.push(Fault::new(
            codes::LUBRICANT_MISSING,
            message,
            "Put the lubricant on first; the window is written for it.",
        ));
    }
    (now.fastened, now.hand_started) = (true, true);
}

fn tighten(joint: &str, now: &mut JointState, faults: &mut Vec<Fault>) {
    if !now.hand_started {
        let message = format!("{joint} is tightened without a hand-start.");
        faults.push(Fault::new(
            codes::NO_HAND_START,
            message,
            "Run every fastener on by hand first, at least 3 turns.",
        ));
    }
    if !now.slack {
        let message = format!("{joint} is tightened, but it is tight.");
        faults.push(Fault::new(
            codes::TIGHTENED_TWICE,
            message,
            "Leave one out; to check a tight joint write a re-check.",
        ));
    }
    (now.slack, now.cracked, now.fastened) = (false, false, true);
    (now.rested, now.rechecked, now.tested) = (false, false, false);
}

fn recheck(joint: &str, now: &mut JointState, faults: &mut Vec<Fault>) {
    if now.slack || !now.rested {
        let message = format!("{joint} is re-checked before it is tight and rested.");
        faults.push(Fault::new(
            codes::RECHECK_TOO_EARLY,
            message,
            "Tighten, rest, then re-check.",
        ));
    }
    now.rechecked = true;
}

fn no_joint(joint: &str) -> Fault {
    let message = format!("With these options there is no joint {joint}, so no window.");
    Fault::new(
        codes::NO_WINDOW,
        message,
        "Give the joint a window for this choice, or the step a condition.",
    )
}
