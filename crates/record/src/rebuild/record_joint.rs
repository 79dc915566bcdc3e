//! Acts at joints, in the words of the record.

use super::body::{self, Body};
use super::weight::{Weighed, grave, plain, told};

/// An act at a joint in words.
pub(super) fn joint_words(body: &Body) -> Weighed {
    match body {
        Body::Ready(body) => plain(format!(
            "{}: {} in hand, numbered: {}",
            body.joint, body.instrument.id, body.numbering
        )),
        Body::Setting(body) => set_words(body),
        Body::Clicked(body) => {
            let text = format!(
                "{} {} pass {}: {}",
                body.joint, body.fastener, body.pass, body.did
            );
            if body.did == "clicked" {
                plain(text)
            } else {
                told(text)
            }
        }
        Body::Pulled(body) => plain(format!(
            "{} {} pass {}: pulled to {}, {}",
            body.joint, body.fastener, body.pass, body.to, body.instrument
        )),
        Body::Round(body) => round_words(body),
        Body::SetBack(body) => plain(format!("{} set back to its lowest", body.instrument)),
        Body::Feeler(body) => feeler_words(body),
        Body::Condition(body) => {
            let text = format!("{} threads and nut faces: {}", body.joint, body.condition);
            if body.agrees {
                plain(text)
            } else {
                told(format!("{text}, written for {}", body.written))
            }
        }
        Body::Rechecked(body) => recheck_words(body),
        Body::AfterHigh(body) => after_high_words(body),
        Body::Reopened(body) => told(format!(
            "{} opened again: {}; its readings and later tests are void",
            body.joint, body.reason
        )),
        other => plain(other.kind().to_owned()),
    }
}

fn set_words(body: &body::Setting) -> Weighed {
    let text = format!(
        "{} pass {}: {} set to {}",
        body.joint, body.pass, body.instrument.id, body.means
    );
    let text = match &body.adapter {
        Some(adapter) => format!("{text} at the nut, {} on the wrench", adapter.showed),
        None => text,
    };
    if body.place == "WITHIN" {
        plain(text)
    } else {
        told(format!("{text} {}, must be {}", body.place, body.required))
    }
}

fn round_words(body: &body::Round) -> Weighed {
    let text = format!(
        "{} round {}: {} moved at {}",
        body.joint, body.round, body.moved, body.at
    );
    if body.finding.is_some() {
        grave(text)
    } else {
        plain(text)
    }
}

fn feeler_words(body: &body::Feeler) -> Weighed {
    let text = format!(
        "{}: {} feeler {}",
        body.joint,
        body.feeler,
        if body.enters {
            "enters"
        } else {
            "enters nowhere"
        }
    );
    if body.enters {
        grave(text)
    } else {
        plain(text)
    }
}

fn recheck_words(body: &body::Rechecked) -> Weighed {
    let text = format!(
        "{} {} at {}: {}",
        body.joint,
        body.fastener,
        body.at,
        if body.moved { "moved" } else { "did not move" }
    );
    if body.moved { grave(text) } else { plain(text) }
}

fn after_high_words(body: &body::AfterHigh) -> Weighed {
    let what = match (&body.stretched, &body.percent) {
        (Some(true), Some(percent)) => {
            format!(", {percent} of strength, stud and nut replaced")
        }
        (_, Some(percent)) => format!(", {percent} of strength"),
        _ => String::new(),
    };
    told(format!(
        "{} after the torque of entry {}{what}: {}",
        body.joint, body.entry, body.choice
    ))
}
