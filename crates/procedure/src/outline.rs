//! What the technician will see of a procedure for one choice of options.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::model::Procedure;
use crate::nearest::offer;
use crate::route::Choices;
use crate::words;

/// Why options could not be chosen.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ChoiceFault {
    /// The procedure has no option of this name.
    #[error("The procedure has no option \"{option}\". {offer}")]
    NoOption {
        /// As given.
        option: String,
        /// What may have been meant.
        offer: String,
    },
    /// The option has no such value.
    #[error("Option \"{option}\" has no value \"{value}\". {offer}")]
    NoValue {
        /// The option.
        option: String,
        /// As given.
        value: String,
        /// What may be chosen.
        offer: String,
    },
    /// The option was given more than once.
    #[error("Option \"{0}\" is chosen twice.")]
    Twice(String),
    /// An option is still open.
    #[error("Option \"{option}\" is not chosen: {question} One of: {values}.")]
    Open {
        /// The option.
        option: String,
        /// Its question.
        question: String,
        /// Its values.
        values: String,
    },
}

/// A choice of every option of a procedure from pairs of option and value.
///
/// # Errors
/// The first pair that names nothing of the procedure, or the first option left open.
pub fn choose(procedure: &Procedure, given: &[(String, String)]) -> Result<Choices, ChoiceFault> {
    let mut chosen: BTreeMap<String, String> = BTreeMap::new();
    for (name, value) in given {
        let Some(option) = procedure.options.iter().find(|option| option.id == *name) else {
            return Err(ChoiceFault::NoOption {
                option: name.clone(),
                offer: match procedure.options.as_slice() {
                    [] => "It has none.".to_owned(),
                    options => offer(name, options.iter().map(|option| option.id.as_str())),
                },
            });
        };
        if !option.values.iter().any(|(id, _)| id == value) {
            return Err(ChoiceFault::NoValue {
                option: name.clone(),
                value: value.clone(),
                offer: format!("It has {}.", ids(&option.values)),
            });
        }
        if chosen.insert(name.clone(), value.clone()).is_some() {
            return Err(ChoiceFault::Twice(name.clone()));
        }
    }
    match procedure
        .options
        .iter()
        .find(|option| !chosen.contains_key(&option.id))
    {
        Some(option) => Err(ChoiceFault::Open {
            option: option.id.clone(),
            question: option.question.clone(),
            values: ids(&option.values),
        }),
        None => Ok(Choices(chosen)),
    }
}

fn ids(values: &[(String, String)]) -> String {
    let ids: Vec<&str> = values.iter().map(|(id, _)| id.as_str()).collect();
    ids.join(", ")
}

/// A procedure as the technician will see it on one route.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Outline {
    /// Number of the procedure.
    pub number: String,
    /// Its revision.
    pub revision: String,
    /// What is rebuilt.
    pub title: String,
    /// Who wrote it.
    pub author: String,
    /// Options chosen, by id.
    pub options: BTreeMap<String, String>,
    /// Sections that have a step on this route, in order.
    pub sections: Vec<OutlinedSection>,
}

/// One section of an [`Outline`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OutlinedSection {
    /// Title on the strip.
    pub title: String,
    /// What to wear.
    pub ppe: Vec<String>,
    /// Its steps on this route.
    pub steps: Vec<OutlinedStep>,
}

/// One step of an [`Outline`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OutlinedStep {
    /// Number shown, from 1 over the whole route.
    pub number: usize,
    /// The author's name for it.
    pub id: String,
    /// State of energy it is done in.
    pub energy: &'static str,
    /// Warnings, signal word first.
    pub warnings: Vec<String>,
    /// The act.
    pub text: String,
    /// Answers wanted, in words, in order.
    pub asks: Vec<String>,
    /// Verification, hold, energy let in and the like, in words.
    pub marks: Vec<String>,
}

/// What is seen on the route of `choices`. The right answers of orientation questions are not in it.
pub fn outline(procedure: &Procedure, choices: &Choices) -> Outline {
    let mut sections: Vec<OutlinedSection> = Vec::new();
    let mut last = None;
    for (at, place) in procedure.route(choices).places.iter().enumerate() {
        let (section, step) = (procedure.section(*place), procedure.step(*place));
        let outlined = OutlinedStep {
            number: at + 1,
            id: step.id.clone(),
            energy: words::energy(step.energy),
            warnings: step
                .warnings
                .iter()
                .map(|warning| format!("{}: {}", warning.word.word(), warning.text))
                .collect(),
            text: step.text.clone(),
            asks: step
                .asks
                .iter()
                .map(|ask| words::ask(ask, |id| procedure.joint(id, choices)))
                .collect(),
            marks: words::marks(step, |id| procedure.joint(id, choices)),
        };
        match sections.last_mut() {
            Some(open) if last == Some(place.section) => open.steps.push(outlined),
            _ => sections.push(OutlinedSection {
                title: section.title.clone(),
                ppe: section.ppe.clone(),
                steps: vec![outlined],
            }),
        }
        last = Some(place.section);
    }
    Outline {
        number: procedure.number.clone(),
        revision: procedure.revision.clone(),
        title: procedure.title.clone(),
        author: procedure.author.clone(),
        options: choices.0.clone(),
        sections,
    }
}

/// The letter of an ask, from 0: a to z, then aa and on.
fn letter(at: usize) -> String {
    let last = char::from(b'a' + u8::try_from(at % 26).unwrap_or(0));
    match at / 26 {
        0 => last.to_string(),
        more => format!("{}{last}", letter(more - 1)),
    }
}

impl Outline {
    /// How many steps there are.
    pub fn len(&self) -> usize {
        self.sections
            .iter()
            .map(|section| section.steps.len())
            .sum()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.sections.is_empty()
    }

    /// The outline as lines of plain text, not yet broken to a width. Several asks of a step carry letters.
    pub fn lines(&self) -> Vec<String> {
        let mut lines = vec![
            format!("{} revision {}: {}", self.number, self.revision, self.title),
            match self.len() {
                1 => format!("1 step, written by {}", self.author),
                steps => format!("{steps} steps, written by {}", self.author),
            },
        ];
        for (option, value) in &self.options {
            lines.push(format!("with {option} {value}"));
        }
        for section in &self.sections {
            lines.push(String::new());
            lines.push(section.title.to_uppercase());
            if !section.ppe.is_empty() {
                lines.push(format!("Wear: {}", section.ppe.join(", ")));
            }
            let mut state = None;
            for step in &section.steps {
                if state != Some(step.energy) {
                    lines.push(format!("State of energy: {}", step.energy));
                    state = Some(step.energy);
                }
                for warning in &step.warnings {
                    lines.push(format!("      {warning}"));
                }
                lines.push(format!("{:>4}  {}", step.number, step.text));
                match step.asks.as_slice() {
                    [only] => lines.push(format!("      - {only}")),
                    several => {
                        for (at, ask) in several.iter().enumerate() {
                            lines.push(format!("      {} {ask}", letter(at)));
                        }
                    }
                }
                for mark in &step.marks {
                    lines.push(format!("      * {mark}"));
                }
            }
        }
        lines
    }
}

#[cfg(test)]
mod tests {
    use super::letter;

    #[test]
    fn letters_go_on_after_z() {
        let letters: Vec<String> = [0, 25, 26, 51, 52].into_iter().map(letter).collect();
        assert_eq!(letters, ["a", "z", "aa", "az", "ba"]);
    }
}
