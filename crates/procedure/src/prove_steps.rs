//! What can be seen step by step, whatever the route: asks that match deeds, tests within limits, names used.

use std::collections::BTreeSet;

use crate::codes;
use crate::finding::{Finding, Severity};
use crate::model::{Asked, Deed, Gap, Procedure, Step, When};
use crate::prove_acts::reads;
use crate::{prove_gauges, prove_recheck};

/// Longest model of a unit that the register keeps, in characters.
const MOST_MODEL: usize = 40;

/// Findings about every step and about names nobody uses.
pub(crate) fn steps(procedure: &Procedure) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (section_at, section) in procedure.sections.iter().enumerate() {
        for (step_at, step) in section.steps.iter().enumerate() {
            let pointer = format!("/sections/{section_at}/steps/{step_at}");
            asks_and_deeds(step, &pointer, &mut findings);
            counted(procedure, step, &pointer, &mut findings);
            for deed in &step.does {
                if let Deed::LetIn {
                    chamber,
                    pressure: Some(pressure),
                    gauge,
                    ..
                } = deed
                {
                    prove_gauges::let_in(
                        procedure,
                        chamber,
                        pressure,
                        gauge.as_deref(),
                        &pointer,
                        &mut findings,
                    );
                }
            }
            orientation_given_away(step, &pointer, &mut findings);
            prove_recheck::torques(procedure, step, &pointer, &mut findings);
        }
        let works = section.steps.iter().any(|step| !step.does.is_empty());
        if works && section.ppe.is_empty() {
            findings.push(Finding::new(
                codes::NO_PPE,
                codes::severity(codes::NO_PPE),
                format!("/sections/{section_at}/title"),
                format!("{} says nothing of what to wear.", section.title),
                "List it in ppe of the section, such as glasses and gloves.",
            ));
        }
    }
    unused(procedure, &mut findings);
    declared(procedure, &mut findings);
    findings
}

/// What can be seen in the declarations alone.
fn declared(procedure: &Procedure, findings: &mut Vec<Finding>) {
    for (at, model) in procedure.models.iter().enumerate() {
        let long = model.chars().count();
        if long > MOST_MODEL {
            let message = format!(
                "The model has {long} characters; the register keeps at most {MOST_MODEL}."
            );
            findings.push(Finding::new(
                codes::MODEL_TOO_LONG,
                Severity::Error,
                format!("/models/{at}"),
                message,
                "Write the model as it will stand on the register, shorter.",
            ));
        }
    }
    for (at, part) in procedure.parts.iter().enumerate() {
        if part.from_kit && !part.single_use {
            let message = format!(
                "The kit brings a new {}, but the old one may be used again.",
                part.id
            );
            findings.push(Finding::new(
                codes::KIT_PART_KEPT,
                codes::severity(codes::KIT_PART_KEPT),
                format!("/parts/{at}"),
                message,
                "Write single_use, or leave from_kit out.",
            ));
        }
    }
}

fn asks_and_deeds(step: &Step, pointer: &str, findings: &mut Vec<Finding>) {
    let mut asked = BTreeSet::new();
    let mut done = BTreeSet::new();
    for ask in &step.asks {
        match ask {
            Asked::Tighten { joint } => asked.insert(format!("tighten {joint}")),
            Asked::Recheck { joint, .. } => asked.insert(format!("recheck {joint}")),
            Asked::Rest { .. } => asked.insert("rest".to_owned()),
            _ => false,
        };
    }
    for deed in &step.does {
        match deed {
            Deed::Tighten { joint } => done.insert(format!("tighten {joint}")),
            Deed::Recheck { joint } => done.insert(format!("recheck {joint}")),
            Deed::Rest => done.insert("rest".to_owned()),
            _ => false,
        };
    }
    for (what, have, lack) in asked
        .difference(&done)
        .map(|what| (what, "asks", "does"))
        .chain(done.difference(&asked).map(|what| (what, "does", "asks")))
    {
        let message = format!(
            "The step {have} \u{201c}{what}\u{201d}, but \u{201c}{lack}\u{201d} has nothing of it."
        );
        findings.push(Finding::new(
            codes::ASKS_DIFFER,
            Severity::Error,
            pointer,
            message,
            "Write it in both.",
        ));
    }
    for deed in &step.does {
        if let Deed::Prove { side } = deed
            && step.hold.is_none()
            && !reads(step, side)
        {
            let message =
                format!("Zero is proved on {side} here, but nothing is read or looked at.");
            findings.push(Finding::new(
                codes::ASKS_DIFFER,
                Severity::Error,
                pointer,
                message,
                "Ask a reading that proves the side, or the zero check; a step that reads out zero names with hold who releases it.",
            ));
        }
    }
}

/// A count that is asked where the fasteners of a joint come off expects as many as there are. Parts are counted by their
/// ledger line; a count asked with them may be of what lies there in all.
fn counted(procedure: &Procedure, step: &Step, pointer: &str, findings: &mut Vec<Finding>) {
    let handled: Vec<(BTreeSet<u32>, &str)> = step
        .does
        .iter()
        .filter_map(|deed| match deed {
            Deed::Unfasten { joint } => {
                let same = procedure.joints.iter().filter(|known| known.id == *joint);
                Some((same.map(|known| known.fasteners).collect(), joint.as_str()))
            }
            _ => None,
        })
        .collect();
    let counts = step
        .asks
        .iter()
        .enumerate()
        .filter_map(|(at, ask)| match ask {
            Asked::Count { expected, .. } => Some((at, (*expected)?)),
            _ => None,
        });
    // With several counts or several things it is not said which is which.
    if let ([(many, what)], [(at, expected)]) = (&handled[..], &counts.collect::<Vec<_>>()[..])
        && !many.is_empty()
        && !many.contains(expected)
    {
        let there: Vec<String> = many.iter().map(u32::to_string).collect();
        let there = there.join(" or ");
        findings.push(Finding::new(
            codes::COUNT_DIFFERS,
            Severity::Error,
            format!("{pointer}/asks/{at}"),
            format!("The count expects {expected}, but {what} has {there}."),
            format!("Expect {there}, or put the number of {what} right."),
        ));
    }
}

/// Words of the right answer, found in no wrong one, that already stand in the act's text.
fn orientation_given_away(step: &Step, pointer: &str, findings: &mut Vec<Finding>) {
    for ask in &step.asks {
        let Asked::Orientation {
            question,
            answers,
            right,
        } = ask
        else {
            continue;
        };
        let words = |text: &str| -> BTreeSet<String> {
            text.split(|letter: char| !letter.is_alphanumeric())
                .filter(|word| word.chars().count() > 1)
                .map(str::to_lowercase)
                .collect()
        };
        let Some(answer) = answers.get(*right) else {
            continue;
        };
        let wrong: BTreeSet<String> = answers
            .iter()
            .enumerate()
            .filter(|(at, _)| at != right)
            .flat_map(|(_, text)| words(text))
            .collect();
        let told: BTreeSet<String> = words(&step.text).union(&words(question)).cloned().collect();
        if let Some(word) = words(answer)
            .difference(&wrong)
            .find(|word| told.contains(*word))
        {
            let message = format!(
                "The text gives the answer away: \u{201c}{word}\u{201d} stands in it and in the right answer alone."
            );
            findings.push(Finding::new(
                codes::ORIENTATION_GIVEN_AWAY,
                Severity::Error,
                pointer,
                message,
                "Ask an independent fact: which mark shows, how far it stands.",
            ));
        }
    }
}

fn unused(procedure: &Procedure, findings: &mut Vec<Finding>) {
    let used = Used::of(procedure);
    let mut say = |member: &str, at: usize, what: &str, id: &str| {
        let message = format!("The {what} \u{201c}{id}\u{201d} is declared, but no step uses it.");
        findings.push(Finding::new(
            codes::UNUSED_NAME,
            Severity::Warning,
            format!("/{member}/{at}/id"),
            message,
            "Use it, or remove it.",
        ));
    };
    let lists: [(&str, &str, Vec<&String>); 8] = [
        (
            "options",
            "option",
            procedure.options.iter().map(|item| &item.id).collect(),
        ),
        (
            "points",
            "point",
            procedure.points.iter().map(|item| &item.id).collect(),
        ),
        (
            "chambers",
            "chamber",
            procedure.chambers.iter().map(|item| &item.id).collect(),
        ),
        (
            "tests",
            "test",
            procedure.tests.iter().map(|item| &item.id).collect(),
        ),
        (
            "parts",
            "part",
            procedure.parts.iter().map(|item| &item.id).collect(),
        ),
        (
            "joints",
            "joint",
            procedure.joints.iter().map(|item| &item.id).collect(),
        ),
        (
            "covers",
            "cover",
            procedure.covers.iter().map(|item| &item.id).collect(),
        ),
        (
            "instruments",
            "instrument",
            procedure.instruments.iter().map(|item| &item.id).collect(),
        ),
    ];
    for (member, what, ids) in lists {
        for (at, id) in ids.into_iter().enumerate() {
            if !used.0.contains(&(what, id.as_str())) {
                say(member, at, what, id);
            }
        }
    }
}

/// Names that something uses, by kind.
struct Used<'p>(BTreeSet<(&'static str, &'p str)>);

impl<'p> Used<'p> {
    fn of(procedure: &'p Procedure) -> Self {
        let mut used = Self(BTreeSet::new());
        for when in procedure
            .joints
            .iter()
            .map(|joint| &joint.when)
            .chain(procedure.parts.iter().map(|part| &part.when))
            .chain(procedure.energies.iter().map(|energy| &energy.when))
            .chain(procedure.points.iter().map(|point| &point.when))
            .chain(procedure.zero.iter().map(|side| &side.when))
            .chain(procedure.tests.iter().map(|test| &test.when))
        {
            used.when(when);
        }
        for test in &procedure.tests {
            used.0
                .extend(test.needs.iter().map(|name| ("chamber", name.as_str())));
            used.0
                .extend(test.at.iter().map(|(name, _)| ("chamber", name.as_str())));
        }
        for side in &procedure.zero {
            used.0.insert(("instrument", &side.instrument));
        }
        for joint in &procedure.joints {
            used.0.extend(
                joint
                    .wrenches
                    .iter()
                    .map(|wrench| ("instrument", wrench.as_str())),
            );
            used.0.extend(
                joint
                    .boundary
                    .iter()
                    .map(|chamber| ("chamber", chamber.as_str())),
            );
            if let Some(Gap::Spread { instrument, .. } | Gap::Closed { instrument, .. }) =
                &joint.gap
            {
                used.0.insert(("instrument", instrument));
            }
        }
        for step in procedure.steps() {
            used.when(&step.when);
            step.asks.iter().for_each(|ask| used.ask(ask));
            step.does.iter().for_each(|deed| used.deed(deed));
        }
        used
    }

    fn when(&mut self, when: &'p When) {
        self.0
            .extend(when.0.iter().map(|(option, _)| ("option", option.as_str())));
    }

    fn ask(&mut self, ask: &'p Asked) {
        if let Asked::Reading(measured) = ask {
            self.0.extend(
                measured
                    .instruments
                    .iter()
                    .map(|instrument| ("instrument", instrument.as_str())),
            );
            self.0.extend(
                measured
                    .beside
                    .iter()
                    .map(|(_, instrument)| ("instrument", instrument.as_str())),
            );
        }
    }

    fn deed(&mut self, deed: &'p Deed) {
        match deed {
            Deed::Isolate { point }
            | Deed::Lock { point }
            | Deed::Unlock { point }
            | Deed::Restore { point } => {
                self.0.insert(("point", point));
            }
            Deed::LetIn { chamber, gauge, .. } => {
                self.0.insert(("chamber", chamber));
                self.0
                    .extend(gauge.iter().map(|gauge| ("instrument", gauge.as_str())));
            }
            Deed::Off { part, .. } | Deed::On { part, .. } => {
                self.0.insert(("part", part));
            }
            Deed::Run { test } => {
                self.0.insert(("test", test));
            }
            Deed::CoverOn { cover } | Deed::CoverOff { cover } => {
                self.0.insert(("cover", cover));
            }
            Deed::Slacken { joint } | Deed::Unfasten { joint } | Deed::Tighten { joint } => {
                self.0.insert(("joint", joint));
            }
            _ => {}
        }
    }
}
