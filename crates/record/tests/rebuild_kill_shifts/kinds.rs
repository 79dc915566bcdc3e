//! What kind of entry the program was killed after, told from the entries alone.

use std::collections::BTreeMap;

use reseat_record::log::{Entry, Id};

use crate::rebuild_site::{FALK, ODDE};

/// Each of these must be among the entries after which the program is killed.
pub(crate) const WANTED: [&str; 22] = [
    "the outgoing part, written and signed",
    "the incoming person's signature",
    "the incoming person's own lock on",
    "zero read for the incoming person",
    "zero released for the incoming person",
    "the outgoing person's own lock off",
    "left to nobody in a state the site allows",
    "taken back from nobody",
    "a pause by itself",
    "a look again after it",
    "a lock recorded off",
    "a lock on again",
    "an own lock off by the absent-owner route",
    "an act entered late",
    "own locks off for a test",
    "an isolating lock off for a test",
    "plant energy let in for a test",
    "plant energy let in again",
    "own locks on again after a test",
    "a failed test",
    "a joint opened again",
    "what no gauge shows released again",
];

/// How often the program was killed after each.
#[derive(Default)]
pub(crate) struct Kinds {
    times: BTreeMap<&'static str, usize>,
    /// Who handed over, from the handover to the first act after it.
    handed_over: Option<Id>,
    to_nobody: bool,
    opened: bool,
    let_in: usize,
}

fn has(entry: &Entry, member: &str) -> bool {
    entry.body.get(member).is_some_and(|value| !value.is_null())
}

fn is(entry: &Entry, member: &str, value: &str) -> bool {
    entry.body.get(member).is_some_and(|said| *said == value)
}

impl Kinds {
    /// Takes in the entry that was kept last when the program was killed.
    pub(crate) fn killed_after(&mut self, entry: &Entry) {
        for what in self.of(entry) {
            *self.times.entry(what).or_default() += 1;
        }
    }

    fn of(&mut self, entry: &Entry) -> Vec<&'static str> {
        let mut of = Vec::from_iter(self.of_handover(entry));
        of.extend(self.of_test(entry));
        let facts = ["not_on_site", "attempts", "told"];
        let absent = facts.iter().all(|fact| has(entry, fact));
        let own = |entry: &Entry| {
            let point = entry.body["point"].as_str().unwrap_or_default();
            point.starts_with("own")
        };
        let plain = match entry.kind.as_str() {
            "paused/1" if entry.body["by_itself"] == true => "a pause by itself",
            "looked_again/1" => "a look again after it",
            "lock_off/1" if own(entry) && absent => "an own lock off by the absent-owner route",
            "lock_off/1" if !own(entry) => "a lock recorded off",
            "lock_on/1" => "a lock on again",
            "reopened/1" => "a joint opened again",
            _ => "",
        };
        of.extend(Some(plain).filter(|plain| !plain.is_empty()));
        of.extend(entry.acted.as_ref().map(|_| "an act entered late"));
        of
    }

    /// The two parts of a handover; they end with the first act at the unit.
    fn of_handover(&mut self, entry: &Entry) -> Option<&'static str> {
        match entry.kind.as_str() {
            "handed_over/1" => {
                self.handed_over = entry.by;
                self.to_nobody = has(entry, "left");
                assert!(entry.signature.is_some());
                Some(if self.to_nobody {
                    "left to nobody in a state the site allows"
                } else {
                    "the outgoing part, written and signed"
                })
            }
            "taken_up/1" if self.handed_over.is_some() => {
                assert!(entry.signature.is_some());
                assert_ne!(entry.by, self.handed_over);
                Some(if self.to_nobody {
                    "taken back from nobody"
                } else {
                    "the incoming person's signature"
                })
            }
            "begun/1" | "done/1" | "answered/1" | "pulled/1" => {
                self.handed_over = None;
                None
            }
            _ if self.handed_over.is_none() || self.to_nobody => None,
            "own_lock/1" if entry.body["owner"]["id"] == ODDE.to_string() => {
                Some("the incoming person's own lock on")
            }
            "lock_off/1" if entry.by == Some(FALK) && is(entry, "point", "own") => {
                Some("the outgoing person's own lock off")
            }
            "reading/1" if entry.by == Some(ODDE) && of_zero(entry) => {
                Some("zero read for the incoming person")
            }
            "released/1" => Some("zero released for the incoming person"),
            _ => None,
        }
    }

    /// A test by plant energy, and the work taken back before it.
    fn of_test(&mut self, entry: &Entry) -> Option<&'static str> {
        let step = entry.body.get("step").and_then(|step| step.as_str());
        self.opened |= entry.kind == "reopened/1";
        match (step?, entry.kind.as_str()) {
            ("test-own-off", "own_lock/1") => Some("own locks off for a test"),
            ("test-unlock-b-1", "done/1") => Some("an isolating lock off for a test"),
            ("test-end-own", "own_lock/1") => Some("own locks on again after a test"),
            ("soap-inlet-joints-250", "reading/1") if has(entry, "finding") => {
                Some("a failed test")
            }
            ("crack-v-c41-60-125", "rest_begun/1") if is_first(entry) => {
                self.let_in += 1;
                Some(if self.let_in == 1 {
                    "plant energy let in for a test"
                } else {
                    "plant energy let in again"
                })
            }
            ("read-warm" | "back-screw-until-turns", "answered/1" | "counted/1") if self.opened => {
                Some("what no gauge shows released again")
            }
            _ => None,
        }
    }

    /// Whether the program was killed after each kind of entry.
    pub(crate) fn holds(&self) {
        for what in WANTED {
            assert!(
                self.times.contains_key(what),
                "never killed after {what}: {:#?}",
                self.times
            );
        }
    }
}

/// A reading of a side of zero.
fn of_zero(entry: &Entry) -> bool {
    let thing = entry.body.get("thing").and_then(|thing| thing.as_str());
    thing.is_some_and(|thing| thing.starts_with("zero/"))
}

/// The first wait of its step.
fn is_first(entry: &Entry) -> bool {
    entry.body.get("ask").is_some_and(|ask| *ask == 0)
}
