//! Seat tests against the leakage class they name: a written window never allows more than the class.

use crate::codes;
use crate::finding::{Finding, Severity};
use crate::model::{Asked, Procedure, SeatLimit};

/// Findings about windows that let more through than their class.
pub(crate) fn seats(procedure: &Procedure) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (section_at, section) in procedure.sections.iter().enumerate() {
        for (step_at, step) in section.steps.iter().enumerate() {
            for (ask_at, asked) in step.asks.iter().enumerate() {
                let Some((member, message)) = fault(asked) else {
                    continue;
                };
                let mut finding = Finding::new(
                    codes::SEAT_OVER_CLASS,
                    Severity::Error,
                    format!("/sections/{section_at}/steps/{step_at}/asks/{ask_at}/{member}/window"),
                    message,
                    "Lower the top of the window to what the class allows, or leave \u{201c}window\u{201d} out: it is then worked out from the class.",
                );
                finding.step = Some(step.id.clone());
                findings.push(finding);
            }
        }
    }
    findings
}

fn fault(asked: &Asked) -> Option<(&'static str, String)> {
    let (member, label, window, seat): (_, _, _, &SeatLimit) = match asked {
        Asked::Reading(measured) => (
            "reading",
            &measured.label,
            measured.window?,
            measured.seat.as_ref()?,
        ),
        Asked::Computed {
            label,
            window,
            seat,
            ..
        } => ("computed", label, *window, seat.as_ref()?),
        _ => return None,
    };
    seat.is_passed_by(&window).then(|| {
        let allowed = seat.words_in(window.unit());
        (
            member,
            format!("The window of {label}, {window}, is not held by its class: {allowed}."),
        )
    })
}
