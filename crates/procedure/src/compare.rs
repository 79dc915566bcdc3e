//! What changed from one revision of a procedure to another, in the field's words.
//!
//! Everything is compared by the author's names: steps, parts, joints, energies by their id. A step that keeps its id
//! but changes its order among the others has moved; the fewest moves that explain the new order are named.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use crate::compare_facets as facets;
use crate::compare_facets::Facets;
use crate::model::{Procedure, Section, Step};

/// What became of a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Fate {
    /// Only the new revision has it.
    Added,
    /// Only the old revision has it.
    Removed,
    /// Same name, other place in the order of work.
    Moved,
    /// Same name, other content.
    Changed,
}

impl Fate {
    /// The word used in output.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Added => "added",
            Self::Removed => "removed",
            Self::Moved => "moved",
            Self::Changed => "changed",
        }
    }
}

/// One change.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Change {
    /// What became of the thing.
    pub fate: Fate,
    /// What it is about, with its name: `joint J1`, `step tighten`, `procedure`.
    pub about: String,
    /// Number of the step in the old revision; none for other things and where options decide it.
    pub old: Option<usize>,
    /// Number of the step in the new revision; none for other things and where options decide it.
    pub new: Option<usize>,
    /// The change in words.
    pub words: String,
}

impl Change {
    fn of(fate: Fate, about: impl Into<String>, words: impl Into<String>) -> Self {
        Self {
            fate,
            about: about.into(),
            old: None,
            new: None,
            words: words.into(),
        }
    }
}

/// Every change from `old` to `new`: the procedure itself, what is declared, then the steps in the order of `new`.
/// Empty where the two say the same.
pub fn compare(old: &Procedure, new: &Procedure) -> Vec<Change> {
    let mut changes = Vec::new();
    differences(
        "procedure",
        &facets::procedure(old),
        &facets::procedure(new),
        &mut changes,
    );
    declared(&facets::declared(old), &facets::declared(new), &mut changes);
    sections(&old.sections, &new.sections, &mut changes);
    steps(old, new, &mut changes);
    changes
}

fn differences(about: &str, old: &Facets, new: &Facets, changes: &mut Vec<Change>) {
    for ((name, was), (_, is)) in old.iter().zip(new) {
        if was != is {
            let words = match (was.as_str(), is.as_str()) {
                ("", _) => format!("{name} is now {is}"),
                (_, "") => format!("{name} was {was}, is none"),
                _ => format!("{name} was {}, is {}", told_apart(was), told_apart(is)),
            };
            changes.push(Change::of(Fate::Changed, about, words));
        }
    }
}

fn declared(old: &[(String, Facets)], new: &[(String, Facets)], changes: &mut Vec<Change>) {
    let of_old: BTreeMap<&str, &Facets> = by_name(old);
    let of_new: BTreeMap<&str, &Facets> = by_name(new);
    for (name, facets) in old {
        match of_new.get(name.as_str()) {
            Some(now) => differences(name, facets, now, changes),
            None => changes.push(Change::of(Fate::Removed, name, told(facets))),
        }
    }
    for (name, facets) in new {
        if !of_old.contains_key(name.as_str()) {
            changes.push(Change::of(Fate::Added, name, told(facets)));
        }
    }
}

/// Whole sentences in quotation marks, so that a sentence within a sentence has its ends.
fn told_apart(value: &str) -> String {
    if value.contains(['.', '?']) && value.contains(' ') && !value.contains("..") {
        format!("\u{201c}{value}\u{201d}")
    } else {
        value.to_owned()
    }
}

fn by_name(list: &[(String, Facets)]) -> BTreeMap<&str, &Facets> {
    list.iter()
        .map(|(name, facets)| (name.as_str(), facets))
        .collect()
}

/// Every facet that says something.
fn told(facets: &Facets) -> String {
    let told: Vec<String> = facets
        .iter()
        .filter(|(_, value)| !value.is_empty())
        .map(|(name, value)| format!("{name} {value}"))
        .collect();
    told.join("; ")
}

fn sections(old: &[Section], new: &[Section], changes: &mut Vec<Change>) {
    for section in old {
        let about = format!("section {}", section.id);
        match new.iter().find(|now| now.id == section.id) {
            Some(now) => {
                differences(
                    &about,
                    &facets::section(section),
                    &facets::section(now),
                    changes,
                );
            }
            None => changes.push(Change::of(Fate::Removed, about, section.title.clone())),
        }
    }
    for section in new {
        if !old.iter().any(|was| was.id == section.id) {
            let about = format!("section {}", section.id);
            changes.push(Change::of(Fate::Added, about, section.title.clone()));
        }
    }
    let common = |list: &[Section], other: &[Section]| -> Vec<String> {
        list.iter()
            .filter(|section| other.iter().any(|also| also.id == section.id))
            .map(|section| section.id.clone())
            .collect()
    };
    let (was, is) = (common(old, new), common(new, old));
    if was != is {
        let words = format!("order was {}, is {}", was.join(", "), is.join(", "));
        changes.push(Change::of(Fate::Moved, "sections", words));
    }
}

/// A step with where it stands.
struct Standing<'p> {
    step: &'p Step,
    section: &'p str,
    number: usize,
    after: Option<&'p str>,
}

fn standing(procedure: &Procedure) -> Vec<Standing<'_>> {
    let mut all: Vec<Standing<'_>> = Vec::new();
    for section in &procedure.sections {
        for step in &section.steps {
            let after = all.last().map(|before| before.step.id.as_str());
            all.push(Standing {
                step,
                section: &section.id,
                number: all.len() + 1,
                after,
            });
        }
    }
    all
}

impl Standing<'_> {
    fn place(&self) -> String {
        self.after.map_or_else(
            || "first of all".to_owned(),
            |before| format!("after {before}"),
        )
    }
}

fn steps(old: &Procedure, new: &Procedure, changes: &mut Vec<Change>) {
    let (was, is) = (standing(old), standing(new));
    let of_old: BTreeMap<&str, (usize, &Standing<'_>)> = was
        .iter()
        .enumerate()
        .map(|(at, standing)| (standing.step.id.as_str(), (at, standing)))
        .collect();
    let new_ids: BTreeSet<&str> = is
        .iter()
        .map(|standing| standing.step.id.as_str())
        .collect();
    let numbered = |procedure: &Procedure, number| procedure.options.is_empty().then_some(number);
    for gone in was
        .iter()
        .filter(|was| !new_ids.contains(was.step.id.as_str()))
    {
        let words = format!("it stood {}: {}", gone.place(), gone.step.text);
        changes.push(Change {
            old: numbered(old, gone.number),
            ..Change::of(Fate::Removed, format!("step {}", gone.step.id), words)
        });
    }
    let order: Vec<usize> = is
        .iter()
        .filter_map(|now| of_old.get(now.step.id.as_str()).map(|(at, _)| *at))
        .collect();
    let stayed = longest_rising(&order);
    for now in &is {
        let about = format!("step {}", now.step.id);
        let Some((at, then)) = of_old.get(now.step.id.as_str()) else {
            let words = format!("it stands {}: {}", now.place(), now.step.text);
            changes.push(Change {
                new: numbered(new, now.number),
                ..Change::of(Fate::Added, about, words)
            });
            continue;
        };
        let mut found = Vec::new();
        if !stayed.contains(at) {
            let words = format!("it stood {}, stands {}", then.place(), now.place());
            found.push(Change::of(Fate::Moved, about.clone(), words));
        }
        if then.section != now.section {
            let words = format!(
                "it stood in section {}, stands in {}",
                then.section, now.section
            );
            found.push(Change::of(Fate::Moved, about.clone(), words));
        }
        differences(
            &about,
            &facets::step(then.step),
            &facets::step(now.step),
            &mut found,
        );
        for (what, was, is) in facets::lists(then.step, now.step) {
            list(&about, what, &was, &is, &mut found);
        }
        for change in &mut found {
            change.old = numbered(old, then.number);
            change.new = numbered(new, now.number);
        }
        changes.append(&mut found);
    }
}

/// Changes of a list of sentences: what went, what came, or only another order. One that went and one that came in
/// the same place is a change.
fn list(about: &str, what: &str, was: &[String], is: &[String], changes: &mut Vec<Change>) {
    let mut came: Vec<&String> = is.iter().collect();
    let mut went: Vec<&String> = Vec::new();
    for line in was {
        match came.iter().position(|other| *other == line) {
            Some(at) => {
                came.remove(at);
            }
            None => went.push(line),
        }
    }
    if went.is_empty() && came.is_empty() && was != is {
        let words = format!(
            "order of its {what}s was {}, is {}",
            was.join("; "),
            is.join("; ")
        );
        changes.push(Change::of(Fate::Changed, about, words));
    }
    if was.len() == is.len() && went.len() == came.len() {
        for (went, came) in went.iter().zip(&came) {
            let words = format!("{what} was {}, is {}", told_apart(went), told_apart(came));
            changes.push(Change::of(Fate::Changed, about, words));
        }
        return;
    }
    for went in went {
        changes.push(Change::of(
            Fate::Changed,
            about,
            format!("{what} no more: {went}"),
        ));
    }
    for came in came {
        changes.push(Change::of(
            Fate::Changed,
            about,
            format!("{what} new: {came}"),
        ));
    }
}

/// The members of a longest rising run of different numbers, not necessarily side by side.
fn longest_rising(numbers: &[usize]) -> BTreeSet<usize> {
    // `ends[n]` is the place of the smallest number that ends a run of n + 1.
    let mut ends: Vec<usize> = Vec::new();
    let mut before: Vec<Option<usize>> = vec![None; numbers.len()];
    for (at, number) in numbers.iter().enumerate() {
        let length = ends.partition_point(|end| numbers[*end] < *number);
        before[at] = length.checked_sub(1).map(|shorter| ends[shorter]);
        if length == ends.len() {
            ends.push(at);
        } else {
            ends[length] = at;
        }
    }
    let mut stayed = BTreeSet::new();
    let mut next = ends.last().copied();
    while let Some(at) = next {
        stayed.insert(numbers[at]);
        next = before[at];
    }
    stayed
}

#[cfg(test)]
mod tests {
    use super::longest_rising;

    #[test]
    fn one_that_moved_leaves_the_others_where_they_are() {
        let stayed = longest_rising(&[0, 3, 1, 2, 4]);
        assert_eq!(stayed.into_iter().collect::<Vec<_>>(), [0, 1, 2, 4]);
        assert_eq!(longest_rising(&[2, 1, 0]).len(), 1);
        assert!(longest_rising(&[]).is_empty());
    }
}
