//! Stored energy that no gauge shows: a spring, heat, a volume trapped between valves.
//!
//! Source: 29 CFR 1910.147(d)(5)(i), all stored or residual energy is relieved, disconnected, restrained or otherwise rendered
//! safe once the locks are on; (f)(1)(v), after a test everything is de-energized and controlled anew as (d) has it, before the
//! servicing goes on. So hands go into work that comes before the act which let energy in only after each such energy was
//! relieved since; work that comes after it was made ready by the zero proved since.

use std::collections::BTreeMap;

use serde_json::{Map, Value};

use super::{Model, Step, text};

/// What the model keeps of energies that no gauge shows.
#[derive(Clone, Default)]
pub(super) struct Stored {
    /// The steps that relieve each, by its id.
    by: BTreeMap<String, Vec<String>>,
    /// The entry that relieved each last.
    relieved: BTreeMap<String, u64>,
    /// The entry that let energy in last, and the place of its step.
    let_in: Option<(u64, usize)>,
    /// How often energy was let in.
    filled: u64,
    /// How often one was relieved that energy let in had filled again.
    again: u64,
    /// How often hands went into work before the letting-in, everything relieved since.
    taken_back: u64,
}

impl Stored {
    /// The energies of a procedure that have no side of zero, with the steps that relieve them.
    pub(super) fn of(procedure: &Value, steps: &BTreeMap<String, Step>) -> Self {
        let list = |member: &str| procedure[member].as_array().into_iter().flatten();
        let by = list("energies")
            .filter_map(|energy| energy["id"].as_str())
            .filter(|energy| !list("zero").any(|side| side["energy"] == *energy))
            .map(|energy| {
                let relieving = steps
                    .iter()
                    .filter(|(_, step)| step.relieves.iter().any(|named| named == energy));
                let ids = relieving.map(|(id, _)| id.clone()).collect();
                (energy.to_owned(), ids)
            })
            .collect();
        Self {
            by,
            ..Self::default()
        }
    }
}

impl Model {
    /// Energy that a step lets in fills every spring, body and trapped volume again.
    pub(super) fn fills_again(&mut self, place: usize) {
        self.stored.let_in = Some((self.count, place));
        self.stored.filled += 1;
    }

    /// The last answer of a step that relieves something.
    pub(super) fn takes_relief(&mut self, kind: &str, body: &Map<String, Value>) {
        let id = text(body, "step");
        let Some(step) = self.steps.get(id) else {
            return;
        };
        let last = body.get("ask").and_then(Value::as_u64);
        let last = last.map_or(0, |ask| ask + 1) >= step.asks;
        let relieved = match kind {
            "reading/1" => {
                text(body, "outcome") == "ACCEPT"
                    && step.reads_last.as_deref() == Some(text(body, "thing"))
            }
            "answered/1" => last && text(body, "leads") == "on",
            "vented/1" => last && body["clear"] == true,
            "done/1" | "rest_over/1" | "counted/1" | "wrote/1" => last,
            _ => false,
        };
        if !relieved {
            return;
        }
        for energy in &step.relieves {
            let before = self.stored.relieved.insert(energy.clone(), self.count);
            let filled = self.stored.let_in.map(|(entry, _)| entry);
            let sideless = self.stored.by.contains_key(energy);
            self.stored.again += u64::from(sideless && before.is_some() && before < filled);
        }
    }

    /// An energy that no gauge shows and that is not relieved, with hands about to go in; none where all are.
    pub(super) fn unrelieved(&self, step: &Step) -> Option<String> {
        if !step.relieves.is_empty() {
            return None;
        }
        self.stored.by.iter().find_map(|(energy, steps)| {
            let relieved = self.stored.relieved.get(energy);
            match (relieved, self.stored.let_in) {
                (Some(at), Some((entry, place))) if *at < entry && step.place < place => {
                    Some(format!("{energy} not relieved since energy was let in"))
                }
                // A step that only some options have relieves what only they fill.
                (None, _) => steps
                    .iter()
                    .filter_map(|id| self.steps.get(id))
                    .any(|known| !known.optional && known.place < step.place)
                    .then(|| format!("{energy} never relieved")),
                _ => None,
            }
        })
    }

    /// Counts hands that went in, rightly, where energy had been.
    pub(super) fn notes_taken_back(&mut self, kind: &str, body: &Map<String, Value>) {
        let Some(step) = self.steps.get(text(body, "step")) else {
            return;
        };
        let acts = matches!(kind, "done/1" | "pulled/1" | "clicked/1" | "reading/1");
        let before = self.stored.let_in.filter(|(_, place)| step.place < *place);
        if acts && step.energy == "zero" && step.relieves.is_empty() && before.is_some() {
            self.stored.taken_back += u64::from(!self.stored.by.is_empty());
        }
    }

    /// How often energy was let in, an energy that no gauge shows was relieved again, and hands went in before the letting-in.
    pub fn stored_energy(&self) -> [u64; 3] {
        let stored = &self.stored;
        [stored.filled, stored.again, stored.taken_back]
    }
}
