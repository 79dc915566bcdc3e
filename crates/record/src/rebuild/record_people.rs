//! Entries that name a person, in the words of the record. Whoever wrote an entry stands beside its words already, so they
//! name him no second time.

use super::body::{self, Body, PersonCopy, TakenUp};
use super::state::Rebuild;
use super::weight::{Weighed, grave, plain, told};
use crate::log::Id;

/// Whoever wrote an entry, by id and by name.
#[derive(Clone, Copy)]
pub(super) struct Writer<'a> {
    pub(super) id: Option<Id>,
    pub(super) name: &'a str,
}

impl Writer<'_> {
    fn is(&self, person: &PersonCopy) -> bool {
        self.id == Some(person.id)
    }

    /// A word and the name of another person; nothing for whoever wrote the entry himself.
    fn said(&self, word: &str, person: &PersonCopy) -> String {
        if self.is(person) {
            String::new()
        } else {
            format!(" {word} {}", person.name)
        }
    }

    /// ` by NAME (role)`, or ` (role)` alone of whoever wrote the entry himself.
    fn acting(&self, person: &PersonCopy, role: &str) -> String {
        if self.is(person) {
            format!(" ({role})")
        } else {
            format!(" by {} ({role})", person.name)
        }
    }
}

/// Who took the work up, and the group's locks he took over with it.
fn taken_up_words(body: &TakenUp, writer: Writer<'_>) -> String {
    let by = writer.said("by", &body.person);
    let words = format!("taken up{by} after a {}", body.after);
    if body.locks.is_empty() {
        return words;
    }
    let numbers: Vec<&str> = body.locks.values().map(String::as_str).collect();
    format!("{words}, the group's locks with it: {}", numbers.join(", "))
}

/// A handover as one line: from whom, to whom or how left, what he wrote.
fn handed_over_words(body: &body::HandedOver, writer: Writer<'_>) -> String {
    let to = match (&body.to, &body.left) {
        (Some(to), _) => format!(" to {}", to.name),
        (None, Some(left)) => format!(" to nobody, left: {left}"),
        (None, None) => String::new(),
    };
    format!(
        "handed over{}{to}: {}; {}, next {}",
        writer.said("by", &body.person),
        body.words,
        body.unit,
        body.next
    )
}

/// A lock on or off, by or of whom.
fn lock_words(body: &Body, writer: Writer<'_>) -> Option<Weighed> {
    Some(match body {
        Body::OwnLock(body) => {
            let of = writer.said("of", &body.owner);
            let stands = if body.on { "on" } else { "off" };
            let text = format!("own lock {}{of} {stands}", body.number);
            plain(text)
        }
        Body::LockOff(body) => {
            let number = &body.number;
            // An own lock hangs on the box; its point in the entry is the id of its owner.
            let own = body.point == "own" || body.point.starts_with("own:");
            let (lock, at) = if own {
                ("own lock", String::new())
            } else {
                ("lock", format!(" at {}", body.point))
            };
            let text = if body.owner == writer.name {
                format!("{lock} {number} recorded OFF{at} by its owner")
            } else {
                format!("{lock} {number} of {} recorded OFF{at}", body.owner)
            };
            grave(text)
        }
        Body::LockOn(body) => {
            let by = writer.said("by", &body.owner);
            let text = format!("lock {} on {}{by}", body.number, body.point);
            told(text)
        }
        _ => return None,
    })
}

/// The person an entry names with his id.
fn person_of(body: &Body) -> Option<&PersonCopy> {
    Some(match body {
        Body::Started(body) => &body.performer,
        Body::TakenUp(body) => &body.person,
        Body::HandedOver(body) => &body.person,
        Body::Named(body) => &body.person,
        Body::Verified(body) => &body.person,
        Body::Released(body) => &body.person,
        Body::SignedOff(body) => &body.person,
        Body::Decided(body) => &body.person,
        Body::StruckSeen(body) => &body.person,
        Body::Deviation(body) => &body.person,
        Body::RevisionKept(body) => &body.person,
        Body::OwnLock(body) => &body.owner,
        Body::LockOn(body) => &body.owner,
        _ => return None,
    })
}

impl Rebuild {
    /// The name of a person as an entry of the record copied it, without the register.
    pub(super) fn name_known(&self, id: Id) -> Option<String> {
        self.entries.iter().find_map(|entry| {
            let body = Body::read(entry)?;
            let person = person_of(&body).filter(|person| person.id == id)?;
            Some(person.name.clone())
        })
    }

    /// Words, weight and whether it belongs on the first page; none for an entry that names nobody.
    pub(super) fn people_words(&self, body: &Body, writer: Writer<'_>) -> Option<Weighed> {
        Some(match body {
            Body::TakenUp(body) => plain(taken_up_words(body, writer)),
            Body::HandedOver(body) => told(handed_over_words(body, writer)),
            Body::Named(body) if writer.is(&body.person) => {
                plain(format!("{} the same person", body.question))
            }
            Body::Named(body) => plain(format!("{} {}", body.question, body.person.name)),
            Body::Verified(body) => plain(format!(
                "{}: verified ({}){}",
                self.step_words(&body.step),
                body.how,
                writer.said("by", &body.person)
            )),
            Body::Released(body) => {
                let what = if body.gate {
                    "zero check".to_owned()
                } else {
                    format!("{}:", self.step_words(&body.step))
                };
                let acting = writer.acting(&body.person, &body.role);
                plain(format!("{what} released{acting}"))
            }
            Body::SignedOff(body) if writer.is(&body.person) => plain(body.meaning.clone()),
            Body::SignedOff(body) => plain(format!("{}: {}", body.meaning, body.person.name)),
            Body::Decided(body) => told(format!(
                "finding {}: {}{}",
                body.finding,
                body.decision,
                writer.acting(&body.person, &body.role)
            )),
            Body::StruckSeen(body) => told(format!(
                "typed wrong: entry {} struck, {}, seen by {}",
                body.entry,
                body.reason,
                if writer.is(&body.person) {
                    "a second person"
                } else {
                    &body.person.name
                }
            )),
            Body::Deviation(body) => told(format!(
                "added step before {}: {} ({}), approved{}",
                self.step_words(&body.before),
                body.text,
                body.reason,
                writer.acting(&body.person, &body.role)
            )),
            Body::RevisionKept(body) => told(format!(
                "{}: went on with revision {}, {}{}",
                super::record_lines::newer_words(body.revision.as_deref()),
                body.kept,
                body.reason,
                writer.acting(&body.person, &body.role)
            )),
            other => return lock_words(other, writer),
        })
    }
}
