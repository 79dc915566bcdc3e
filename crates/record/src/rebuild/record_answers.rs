//! Answers to what a step asks, in the words of the record; one that is not as it must be is marked.

use super::body::Body;
use super::state::Rebuild;
use super::weight::{Weighed, grave, plain, told};

impl Rebuild {
    pub(super) fn answer_words(&self, body: &Body) -> Weighed {
        match body {
            Body::Answered(body) => {
                let text = format!(
                    "{} {} {}",
                    self.step_words(&body.step),
                    body.question,
                    body.answer
                );
                if body.leads == "on" {
                    plain(text)
                } else {
                    told(text)
                }
            }
            Body::Vented(body) => {
                let text = format!("vent of {}: {}", body.side, body.came);
                if body.clear { plain(text) } else { told(text) }
            }
            Body::Wrote(body) => {
                let text = format!("{} {}", body.question, body.text);
                if body.agrees == Some(false) {
                    told(format!("{text}: not this unit"))
                } else {
                    plain(text)
                }
            }
            Body::Counted(body) => {
                let text = format!("{} {}", body.question, body.counted);
                match body.expected {
                    Some(expected) if expected != body.counted => {
                        told(format!("{text}, list says {expected}"))
                    }
                    _ => plain(text),
                }
            }
            Body::Observed(body) => {
                let text = format!("{} {}", body.question, body.answer);
                if body.agrees {
                    plain(text)
                } else {
                    grave(format!("{text}, recorded {}", body.recorded))
                }
            }
            Body::VerifiedAnswer(body) => {
                let text = format!("verifier: {} {}", body.question, body.answer);
                if body.agrees {
                    plain(text)
                } else {
                    grave(format!("{text}, not as the performer"))
                }
            }
            other => plain(other.kind().to_owned()),
        }
    }
}
