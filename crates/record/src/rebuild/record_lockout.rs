//! Locks, permits and what was cleared, in the words of the record.

use super::body::{Body, Done, TakenUp};
use super::view::Tone;

/// Who took the work up, and the group's locks he took over with it.
pub(super) fn taken_up_words(body: &TakenUp) -> String {
    let words = format!("taken up by {} after a {}", body.person.name, body.after);
    if body.locks.is_empty() {
        return words;
    }
    let numbers: Vec<&str> = body.locks.values().map(String::as_str).collect();
    format!("{words}, the group's locks with it: {}", numbers.join(", "))
}

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

/// Words, weight and whether it belongs on the first page.
pub(super) fn lockout_words(body: &Body) -> (String, Tone, bool) {
    let plain = |text: String| (text, Tone::Plain, false);
    let told = |text: String| (text, Tone::Watch, true);
    let grave = |text: String| (text, Tone::Stop, true);
    match body {
        Body::OwnLock(body) => plain(format!(
            "own lock {} of {} {}",
            body.number,
            body.owner.name,
            if body.on { "on" } else { "off" }
        )),
        Body::LockOff(body) => grave(format!(
            "lock {} of {} recorded OFF at {}",
            body.number, body.owner, body.point
        )),
        Body::LockOn(body) => told(format!(
            "lock {} on {} by {}",
            body.number, body.point, body.owner.name
        )),
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
