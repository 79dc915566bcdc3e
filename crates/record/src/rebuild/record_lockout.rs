//! Acts at locks, permits and what was cleared, in the words of the record.

use super::body::{Body, Done};
use super::weight::{Weighed, plain, told};

/// An act, and whose locks came off with it where another person hung them.
pub(super) fn done_words(step: String, body: &Done) -> String {
    let hung = body.hung_by.iter().map(|(point, name)| {
        let number = body.locks_off.get(point).map_or("", String::as_str);
        format!("lock {number} hung by {name}, taken over")
    });
    std::iter::once(step)
        .chain(hung)
        .collect::<Vec<_>>()
        .join("; ")
}

/// An act at a permit, or what was cleared, in words.
pub(super) fn lockout_words(body: &Body) -> Weighed {
    match body {
        Body::Permit(body) => plain(format!("new {}: {}", body.permit.what, body.text)),
        Body::PermitSeen(body) if body.valid => told(format!(
            "{} {} still valid, by a person's watch",
            body.what, body.number
        )),
        Body::PermitSeen(body) => told(format!(
            "{} {} ended, by a person's watch",
            body.what, body.number
        )),
        Body::Cleared(body) => plain(format!(
            "{} before energy is let in: {}",
            body.what,
            if body.what == "tools" {
                format!("{} left", body.answer)
            } else {
                body.answer.clone()
            }
        )),
        _ => plain(body.kind().to_owned()),
    }
}
