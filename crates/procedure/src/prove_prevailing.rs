//! The prevailing torque of a locking nut: measured by a step before the joint is tightened, on every route.

use std::collections::BTreeSet;

use reseat_measure::Unit;

use crate::assembly::Fault;
use crate::codes;
use crate::finding::{Finding, Severity};
use crate::model::{Asked, Joint, Measured, Procedure, Step};
use crate::prove::Proof;
use crate::shape::shown;

const REMEDY: &str = "Name in \u{201c}prevailing_read\u{201d} a torque reading that stands before the tightening and always applies.";

/// Joints that declare one half of it alone.
pub(crate) fn halves(procedure: &Procedure) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (at, joint) in procedure.joints.iter().enumerate() {
        let (member, lacks) = match (&joint.prevailing, &joint.prevailing_read) {
            (Some(_), None) => (
                "prevailing",
                "has a prevailing torque, but names no reading that measures it",
            ),
            (None, Some(_)) => (
                "prevailing_read",
                "names a reading of its prevailing torque, but no limits of it",
            ),
            _ => continue,
        };
        findings.push(Finding::new(
            codes::PREVAILING_NOT_READ,
            Severity::Error,
            format!("/joints/{at}/{member}"),
            format!("{} {lacks}.", joint.id),
            REMEDY,
        ));
    }
    findings
}

impl<'p> Proof<'p> {
    /// Each tightening of a locking nut has its reading before it.
    pub(crate) fn prevailing(&mut self, steps: &[&'p Step]) {
        let mut read: BTreeSet<&str> = BTreeSet::new();
        for step in steps {
            for ask in &step.asks {
                match ask {
                    Asked::Reading(measured)
                        if measures_torque(measured) && !step.not_applicable =>
                    {
                        read.insert(&measured.id);
                    }
                    Asked::Tighten { joint } => {
                        if let Some(at) = self.assembly.joint(joint) {
                            let unread = unread(&self.procedure.joints[at], at, &read);
                            self.faults.extend(unread.map(|fault| (None, fault)));
                        }
                    }
                    _ => {}
                }
            }
        }
    }
}

fn unread(joint: &Joint, at: usize, read: &BTreeSet<&str>) -> Option<Fault> {
    let id = joint.prevailing.and(joint.prevailing_read.as_deref())?;
    (!read.contains(id)).then(|| {
        let message = format!(
            "{} is tightened with no torque reading \u{201c}{}\u{201d} before it.",
            joint.id,
            shown(id)
        );
        Fault::new(codes::PREVAILING_NOT_READ, message, REMEDY)
            .at(format!("/joints/{at}/prevailing_read"))
    })
}

fn measures_torque(measured: &Measured) -> bool {
    measured.unit.dimension() == Unit::NewtonMetre.dimension()
}
