//! What the model knows of late entries: words about work done before, which prove nothing and after which nothing stands.

use serde_json::{Map, Value};

use super::{Model, text};

/// Kinds that a late entry never is: each is done now, at the unit, or it is no act.
const NEVER_LATE: &[&str] = &[
    "taken_up/1",
    "paused/1",
    "stopped/1",
    "handed_over/1",
    "looked_again/1",
    "observed/1",
    "vented/1",
    "released/1",
    "lock_on/1",
    "lock_off/1",
    "own_lock/1",
    "permit/1",
    "permit_seen/1",
    "cleared/1",
    "checked/1",
    "signed_off/1",
    "reopened/1",
    "decided/1",
    "verified_answer/1",
];

impl Model {
    /// Why this may not be entered late.
    pub fn objects_late(&self, kind: &str, body: &Map<String, Value>) -> Option<String> {
        if NEVER_LATE.contains(&kind) {
            return Some(format!("{kind} entered late"));
        }
        if self.paused.is_some() && !matches!(kind, "found/1" | "dropped/1" | "safer/1") {
            return Some("entered late while paused".into());
        }
        let hung = body.get("locks_on").and_then(Value::as_object);
        if hung.is_some_and(|hung| !hung.is_empty()) {
            return Some("a lock hung late".into());
        }
        let step = self.steps.get(text(body, "step"));
        let thing = text(body, "thing");
        let proves = thing.starts_with("zero/")
            || step.is_some_and(|step| step.proves.iter().any(|(id, _)| id == thing));
        if kind == "reading/1" && proves {
            return Some("zero read late".into());
        }
        let acts = !matches!(kind, "found/1" | "dropped/1" | "safer/1" | "taken/1");
        step.and_then(|step| {
            self.lets_in_too_early(step, acts, kind)
                .or_else(|| self.verified_without_a_lock(step, kind, body))
        })
    }

    /// Takes a late entry in: whatever it says, zero, tools and people are void after it.
    pub fn takes_late(
        &mut self,
        kind: &str,
        body: &Map<String, Value>,
        by: &str,
        utc: &str,
        clock: &str,
    ) {
        self.takes(kind, body, by, utc, clock);
        self.tools_clear = false;
        self.people_clear = false;
        self.voids(true);
    }

    /// Takes an entry in, and says why it must not have been written where that is so.
    pub fn reads(
        &mut self,
        kind: &str,
        body: &Map<String, Value>,
        by: &str,
        utc: &str,
        clock: &str,
        late: bool,
    ) -> Option<String> {
        if late {
            let why = self.objects_late(kind, body);
            self.takes_late(kind, body, by, utc, clock);
            return why;
        }
        let why = self.objects(kind, body, utc, clock);
        self.takes(kind, body, by, utc, clock);
        why
    }
}
