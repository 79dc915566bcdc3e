//! Re-checks: at a torque the joint allows, after a rest as long as the joint asks.

use std::collections::BTreeMap;

use reseat_measure::{Place, Quantity};

use crate::codes;
use crate::finding::{Finding, Severity};
use crate::model::{Asked, Deed, Procedure, Step};
use crate::prove::Proof;

/// Re-checks at a torque outside the window of their joint.
pub(crate) fn torques(
    procedure: &Procedure,
    step: &Step,
    pointer: &str,
    findings: &mut Vec<Finding>,
) {
    for (ask_at, ask) in step.asks.iter().enumerate() {
        let Asked::Recheck { joint: id, at } = ask else {
            continue;
        };
        let entries = procedure.joints.iter();
        let of_step = entries.filter(|joint| joint.id == *id && step.when.may_meet(&joint.when));
        for joint in of_step {
            let within = |torque: &Quantity| {
                let judged = joint.window.judge(torque);
                judged.is_ok_and(|judged| judged.place == Place::Within)
            };
            // A target outside its own window is said of the joint.
            let Some(target) = joint.passes.last().filter(|target| within(target)) else {
                continue;
            };
            if within(at) {
                continue;
            }
            findings.push(Finding::new(
                codes::RECHECK_OUTSIDE_WINDOW,
                Severity::Error,
                format!("{pointer}/asks/{ask_at}/recheck/at"),
                format!(
                    "{id} is re-checked at {at}, outside its window {}.",
                    joint.window
                ),
                format!("Re-check at the target, {target}."),
            ));
        }
    }
}

impl<'p> Proof<'p> {
    /// Rests before each re-check, counted from the last tightening of its joint.
    pub(crate) fn rests(&mut self, steps: &[&'p Step]) {
        // Minutes rested since the joint was tightened, and the step of the last rest.
        let mut rested: BTreeMap<&str, (u32, usize)> = BTreeMap::new();
        for (number, step) in steps.iter().enumerate() {
            for deed in &step.does {
                match deed {
                    Deed::Tighten { joint } => drop(rested.insert(joint, (0, number))),
                    Deed::Recheck { joint } => self.rested(joint, rested.get(joint.as_str())),
                    _ => {}
                }
            }
            for ask in &step.asks {
                if let Asked::Rest { minutes } = ask {
                    for (so_far, last) in rested.values_mut() {
                        (*so_far, *last) = (so_far.saturating_add(*minutes), number);
                    }
                }
            }
        }
    }

    /// A joint never rested is re-checked too early, which the assembly says.
    fn rested(&mut self, joint: &str, rested: Option<&(u32, usize)>) {
        let at = self.assembly.joint(joint);
        let wanted = at.and_then(|at| self.procedure.joints[at].recheck_after);
        if let (Some(wanted), Some((minutes @ 1.., step))) = (wanted, rested)
            && *minutes < wanted
        {
            self.fault(
                *step,
                codes::REST_TOO_SHORT,
                format!(
                    "{joint} rests {minutes} min before its re-check; it asks for {wanted} min."
                ),
                "Write the rest as long as the joint asks in recheck_after.",
            );
        }
    }
}
