//! The prevailing torque of a locking nut: measured by a step before the joint is tightened, on every route.

use reseat_measure::Unit;

use crate::codes;
use crate::finding::{Finding, Severity};
use crate::model::{Asked, Joint, Measured, Procedure, Step};
use crate::prove::all_choices;
use crate::shape::shown;

/// Findings about prevailing torques that nothing measures in time.
pub(crate) fn prevailing(procedure: &Procedure) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (at, joint) in procedure.joints.iter().enumerate() {
        let Some((member, message)) = fault(procedure, joint) else {
            continue;
        };
        findings.push(Finding::new(
            codes::PREVAILING_NOT_READ,
            Severity::Error,
            format!("/joints/{at}/{member}"),
            message,
            "Name in \u{201c}prevailing_read\u{201d} a torque reading that stands before the tightening and always applies.",
        ));
    }
    findings
}

fn fault(procedure: &Procedure, joint: &Joint) -> Option<(&'static str, String)> {
    let id = match (&joint.prevailing, &joint.prevailing_read) {
        (None, None) => return None,
        (Some(_), None) => {
            let message = format!(
                "{} has a prevailing torque, but names no reading that measures it.",
                joint.id
            );
            return Some(("prevailing", message));
        }
        (None, Some(_)) => {
            let message = format!(
                "{} names a reading of its prevailing torque, but no limits of it.",
                joint.id
            );
            return Some(("prevailing_read", message));
        }
        (Some(_), Some(id)) => id,
    };
    let unread = all_choices(procedure).iter().any(|choices| {
        // Another entry of the joint holds on the other routes.
        procedure.joint(&joint.id, choices) == Some(joint)
            && !read_in_time(
                procedure
                    .route(choices)
                    .places
                    .iter()
                    .map(|place| procedure.step(*place)),
                joint,
                id,
            )
    });
    unread.then(|| {
        let message = format!(
            "{} is tightened on some route with no torque reading \u{201c}{}\u{201d} before it.",
            joint.id,
            shown(id)
        );
        ("prevailing_read", message)
    })
}

/// Whether each tightening of the joint has the reading before it.
fn read_in_time<'p>(steps: impl Iterator<Item = &'p Step>, joint: &Joint, id: &str) -> bool {
    let mut read = false;
    for step in steps {
        for ask in &step.asks {
            match ask {
                Asked::Reading(measured) if measured.id == id => {
                    read |= measures_torque(measured) && !step.not_applicable;
                }
                Asked::Tighten { joint: tightened } if *tightened == joint.id && !read => {
                    return false;
                }
                _ => {}
            }
        }
    }
    true
}

fn measures_torque(measured: &Measured) -> bool {
    measured.unit.dimension() == Unit::NewtonMetre.dimension()
}
