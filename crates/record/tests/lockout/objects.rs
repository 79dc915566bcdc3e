//! What the model objects to: hands-on work that must not have been taken, and energy let in too early.

use serde_json::{Map, Value};

use super::{Model, Permit, Step, seconds, text};

impl Model {
    /// Whether this entry is work with the hands inside the unit, and why it must not have been taken if so.
    pub fn objects(
        &self,
        kind: &str,
        body: &Map<String, Value>,
        utc: &str,
        clock: &str,
    ) -> Option<String> {
        let step = self.steps.get(text(body, "step"));
        let acts = matches!(
            kind,
            "begun/1"
                | "done/1"
                | "answered/1"
                | "setting/1"
                | "clicked/1"
                | "pulled/1"
                | "ready/1"
                | "round/1"
                | "set_back/1"
                | "feeler/1"
                | "condition/1"
                | "rechecked/1"
                | "counted/1"
                | "disposed/1"
                | "wrote/1"
        ) || (kind == "reading/1" && !text(body, "thing").starts_with("zero/"));
        if let Some(why) = step.and_then(|step| self.lets_in_too_early(step, acts, kind)) {
            return Some(why);
        }
        if let Some(why) =
            step.and_then(|step| self.returned_without_a_permit(step, kind, utc, clock))
        {
            return Some(why);
        }
        if let Some(why) = step.and_then(|step| self.verified_without_a_lock(step, kind, body)) {
            return Some(why);
        }
        let step = step.filter(|_| acts)?;
        if step.safer || step.check || !matches!(step.energy.as_str(), "zero" | "test") {
            return None;
        }
        if self.paused.is_some() {
            return Some("paused".into());
        }
        // In a test the points it frees may be off; which of its steps is due the model does not know.
        let freed = |point: &str| {
            self.steps
                .values()
                .any(|known| known.energy == "test" && known.frees.iter().any(|free| free == point))
        };
        let mut off = self.hung_once.difference(&self.on);
        if let Some(point) = off.find(|point| step.energy == "zero" || !freed(point)) {
            return Some(format!("lock of {point} is off"));
        }
        // A test by plant energy takes own locks off; which of its steps is due the model does not know.
        let tested_without = step.energy == "test" && self.tests_without_own;
        if self.own_wanted && !tested_without && !self.own.contains(&self.who) {
            return Some("no own lock".into());
        }
        if let Some(what) = self.permit_ended(utc, clock) {
            return Some(format!("{what} has ended"));
        }
        if step.energy == "test" {
            return None;
        }
        self.unproved(utc, clock).or_else(|| self.unrelieved(step))
    }

    /// Why hands may not be inside at this moment, if so: a lock off, energy in, zero not proved or too old.
    fn unproved(&self, utc: &str, clock: &str) -> Option<String> {
        if let Some(point) = self.ever.difference(&self.on).next() {
            return Some(format!("lock of {point} is off, whoever wrote it off"));
        }
        if self.own_ever && !self.own.contains(&self.who) {
            return Some("no own lock with the hands inside".into());
        }
        if self.energy_in {
            return Some("energy is in".into());
        }
        if self.look_due.is_some_and(|at| !self.proved_since(at)) {
            return Some("not looked again".into());
        }
        for (side, has_vent) in &self.sides {
            let fresh = |mark: Option<&(u64, i64, String)>| {
                mark.is_some_and(|(at, _, by)| *at > self.void && by == clock)
            };
            let gauge = fresh(self.gauge.get(side));
            let alone = self.alone.get(side).is_some_and(|at| *at > self.void);
            if !(gauge || alone) || (*has_vent && !fresh(self.vent.get(side))) {
                return Some(format!("{side} not proved"));
            }
            let oldest = if gauge {
                self.gauge.get(side)
            } else {
                self.vent.get(side)
            };
            let age = oldest.map_or(i64::MAX, |(_, read, _)| seconds(utc) - read);
            if age < 0 || age > self.limit_s {
                return Some(format!("{side} read {age} s ago"));
            }
        }
        (self.wants_release && self.released <= self.void).then(|| "not released".into())
    }

    /// Plant energy let in while somebody or something is in its way.
    pub(super) fn lets_in_too_early(&self, step: &Step, acts: bool, kind: &str) -> Option<String> {
        let energizes = match step.energy.as_str() {
            "test" => !step.frees.is_empty() || (step.opens && !self.live.is_empty()),
            "returning" => !step.frees.is_empty() || step.opens,
            _ => false,
        };
        if !energizes || step.safer || !(acts || kind == "rest_begun/1") {
            return None;
        }
        if !self.own.is_empty() {
            return Some("energy let in with an own lock on".into());
        }
        if !self.tools_clear {
            return Some("energy let in, tools not counted out".into());
        }
        (!self.people_clear).then(|| "energy let in, people not clear".into())
    }

    /// An act at the unit in the return, before operations have it back, under a permit that has ended.
    fn returned_without_a_permit(
        &self,
        step: &Step,
        kind: &str,
        utc: &str,
        clock: &str,
    ) -> Option<String> {
        let clears = step.clears.0 || step.clears.1;
        if kind != "done/1" || step.energy != "returning" || step.safer || clears || self.back {
            return None;
        }
        let what = self.permit_ended(utc, clock)?;
        Some(format!("{what} has ended, and the unit is not returned"))
    }

    /// A verifier at the locked-out unit without a lock of his own.
    pub(super) fn verified_without_a_lock(
        &self,
        step: &Step,
        kind: &str,
        body: &Map<String, Value>,
    ) -> Option<String> {
        let wanted = match step.energy.as_str() {
            "zero" => self.own_ever,
            "test" => self.own_wanted && !self.tests_without_own,
            _ => false,
        };
        if !wanted {
            return None;
        }
        match kind {
            "verified/1" => {
                let person = body["person"]["id"].as_str().unwrap_or_default();
                (!self.own.contains(person)).then(|| "verifier without an own lock".into())
            }
            "verified_answer/1" => (self.own.iter().filter(|own| **own != self.who).count() == 0)
                .then(|| "nobody but the performer has an own lock".into()),
            _ => None,
        }
    }

    /// The paper that has ended, or of which nobody can say that it has not.
    fn permit_ended(&self, utc: &str, clock: &str) -> Option<String> {
        let now = seconds(utc);
        let ended = |permit: &Permit| match (permit.ends, clock) {
            (Some(ends), "trusted" | "given") => ends <= now,
            _ => permit.word.as_ref().is_none_or(|(at, valid, by)| {
                !valid || by != clock || !(0..=30 * 60 + 59).contains(&(now - at))
            }),
        };
        self.permits
            .iter()
            .find(|(_, permit)| ended(permit))
            .map(|(what, _)| what.clone())
    }
}
