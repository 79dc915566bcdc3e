//! The prevailing torque of a locking nut: what a step reads is added to the passes and the window of its joint.

use reseat_measure::{Quantity, QuantityError};
use reseat_procedure::model::{Asked, Joint};

use super::state::Rebuild;

/// The joint with passes and window raised by the prevailing torque read (final torque is wanted torque and prevailing
/// torque, FAA AC 43.13-1B 7-40).
///
/// # Errors
/// The quantities do not add up.
pub(super) fn raised(joint: &Joint, read: &Quantity) -> Result<Joint, QuantityError> {
    let mut joint = joint.clone();
    joint.window = joint.window.raised_by(read)?;
    for pass in &mut joint.passes {
        *pass = pass.sum(read)?;
    }
    Ok(joint)
}

/// The torque of a pass as written, with what is added: `98 lbf·in + prevailing 12 lbf·in`.
pub(super) fn words(written: &Joint, pass: u32, read: &str) -> Option<String> {
    let torque = written.passes.get((pass as usize).checked_sub(1)?)?;
    Some(format!("{torque} + prevailing {read}"))
}

impl Rebuild {
    /// The prevailing torque that stands for a joint; none where it has none, or where its reading is not in.
    pub(super) fn prevailing(&self, joint: &Joint) -> Option<Quantity> {
        let wanted = joint.prevailing_read.as_ref()?;
        let entry = self.lines.iter().find_map(|line| {
            let asks = &self.step_of(line)?.asks;
            asks.iter()
                .zip(&line.asks)
                .find_map(|(asked, state)| match asked {
                    Asked::Reading(measured) if measured.id == *wanted => state.reading,
                    _ => None,
                })
        })?;
        Self::quantity(&self.readings.get(&entry)?.means)
    }

    /// The joint as it is tightened now: as written, or raised by its prevailing torque; none while that is not read.
    pub(super) fn joint_now(&self, id: &str) -> Option<Joint> {
        let written = self.joint(id)?;
        if written.prevailing_read.is_none() {
            return Some(written.clone());
        }
        raised(written, &self.prevailing(written)?).ok()
    }

    /// What is added to a pass of the joint, in words; none where nothing is.
    pub(super) fn prevailing_words(&self, id: &str, pass: u32) -> Option<String> {
        let written = self.joint(id)?;
        words(written, pass, &self.prevailing(written)?.to_string())
    }

    /// The prevailing torque was struck: every joint tightened by it starts again, for its window was another.
    pub(super) fn prevailing_struck(&mut self, thing: &str) {
        let concerned: Vec<String> = self
            .joints
            .iter()
            .filter(|(id, state)| {
                state.under_way()
                    && self
                        .joint(id)
                        .is_some_and(|joint| joint.prevailing_read.as_deref() == Some(thing))
            })
            .map(|(id, _)| id.clone())
            .collect();
        for joint in concerned {
            self.restart_joint(&joint);
        }
    }

    /// A joint opened again gets its nut anew: what was read of it no longer stands.
    pub(super) fn prevailing_of_opened(&mut self, joint: &str) {
        let Some(thing) = self
            .joint(joint)
            .and_then(|joint| joint.prevailing_read.clone())
        else {
            return;
        };
        for kept in self.readings.values_mut() {
            if kept.thing.as_deref() == Some(thing.as_str()) {
                kept.struck = true;
            }
        }
    }
}
