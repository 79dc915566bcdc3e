//! By which rules a record's readings were judged: one line of its head.

use super::body::{Body, Reading};
use super::state::Rebuild;
use crate::log::Entry;

/// Who named a rule, and which.
#[derive(PartialEq, Eq)]
struct Named {
    rule: String,
    whose: String,
}

impl Rebuild {
    /// `Judged by simple acceptance, the site's rule`; every other rule follows with the entry from which on it judged.
    #[must_use]
    pub fn judged_by(&self) -> String {
        let mut met: Vec<(Named, u64)> = Vec::new();
        for (number, named) in self.entries.iter().filter_map(|entry| self.named(entry)) {
            if met.iter().all(|(known, _)| *known != named) {
                met.push((named, number));
            }
        }
        let mut told = met.into_iter().map(|(named, number)| {
            let Named { rule, whose } = named;
            (format!("{rule}, {whose}"), number)
        });
        let Some((first, _)) = told.next() else {
            return "Nothing is judged yet".to_owned();
        };
        told.fold(format!("Judged by {first}"), |all, (words, number)| {
            format!("{all}; from entry {number} on by {words}")
        })
    }

    /// The rule that judged an entry; none where none was chosen: counts, values worked out and what proves zero are judged by
    /// their limits alone, whatever the rule.
    fn named(&self, entry: &Entry) -> Option<(u64, Named)> {
        let Some(Body::Reading(body)) = Body::read(entry) else {
            return None;
        };
        let rule = body.rule.as_deref()?;
        let zero = |thing: &String| thing.starts_with("zero/");
        let alone = matches!(body.method.as_str(), "count" | "computed")
            || body.thing.as_ref().is_some_and(zero)
            || self.reads_proof(&body);
        let rule = match rule {
            _ if alone => return None,
            "simple" => "simple acceptance".to_owned(),
            other => format!("the rule {other}"),
        };
        let own = |joint: &String| {
            self.joint(joint)
                .is_some_and(|written| written.rule.is_some())
        };
        let whose = match (&body.joint, &body.ruled) {
            (_, Some(fact)) => format!("the site's rule by entry {} of the register", fact.number),
            (Some(joint), None) if body.fastener.is_some() && own(joint) => {
                format!("the rule of {joint} in the procedure")
            }
            _ => "the site's rule".to_owned(),
        };
        Some((entry.number, Named { rule, whose }))
    }

    fn reads_proof(&self, body: &Reading) -> bool {
        let asked = self
            .ask_of(body)
            .and_then(|ask| self.asked(&body.step, ask as u32));
        matches!(asked, Some(reseat_procedure::model::Asked::Reading(measured)) if measured.proves.is_some())
    }
}
