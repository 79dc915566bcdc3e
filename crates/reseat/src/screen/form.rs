//! A form: lines with fields, then one line that takes it.
//!
//! Enter and Tab go from line to line; nothing is taken before the last line, and the key that led there does not take
//! it. What was typed stays when a form is left and opened again; secrets do not.

use super::field::{Field, Shown};
use crate::keys::{Action, Stroke};

/// Name of the line that takes the words of the site's key: a secret, shown while it is typed because it is long.
pub const WORDS: &str = "words";

/// What stands on a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Slot {
    /// Typed text.
    Text(Field),
    /// One of several.
    Pick {
        /// The choices.
        labels: Vec<String>,
        /// The one picked.
        at: Option<usize>,
    },
    /// Some of several.
    Ticks {
        /// The choices.
        labels: Vec<String>,
        /// Which are ticked.
        on: Vec<bool>,
        /// Where the cursor stands.
        at: usize,
    },
}

/// One line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// Name used by the screen.
    pub name: &'static str,
    /// Label.
    pub label: String,
    /// What stands on it.
    pub slot: Slot,
    /// What is wanted, below the form while the line is current.
    pub hint: String,
}

/// A form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Form {
    /// Heading.
    pub title: String,
    /// Sentences above the lines.
    pub lead: Vec<String>,
    /// The lines.
    pub lines: Vec<Line>,
    /// The current line; as many as there are lines: the one that takes the form.
    pub at: usize,
    /// What taking it does, in words.
    pub takes: String,
}

/// What a key did to a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Did {
    /// Nothing beyond the form.
    Stayed,
    /// The key led on to the last line.
    Arrived,
    /// The key wants the form taken.
    Takes,
    /// The key is none of the form's.
    Nothing,
}

/// What to do about a line without an answer.
pub const FILL_IN: &str = "Fill it in; nothing was written.";

impl Form {
    /// A form without lines.
    pub fn new(title: impl Into<String>, takes: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            lead: Vec::new(),
            lines: Vec::new(),
            at: 0,
            takes: takes.into(),
        }
    }

    /// With sentences above the lines.
    #[must_use]
    pub fn lead(mut self, sentences: &[&str]) -> Self {
        self.lead = sentences
            .iter()
            .map(|sentence| (*sentence).to_owned())
            .collect();
        self
    }

    /// With a line of text.
    #[must_use]
    pub fn text(self, name: &'static str, label: &str, limit: usize, hint: &str) -> Self {
        self.line(name, label, Slot::Text(Field::new(limit)), hint)
    }

    /// With a line whose text is shown as a count only.
    #[must_use]
    pub fn secret(self, name: &'static str, label: &str, limit: usize, hint: &str) -> Self {
        self.line(name, label, Slot::Text(Field::counted(limit)), hint)
    }

    /// With a choice of one.
    #[must_use]
    pub fn pick(self, name: &'static str, label: &str, labels: Vec<String>, hint: &str) -> Self {
        let at = (labels.len() == 1).then_some(0);
        self.line(name, label, Slot::Pick { labels, at }, hint)
    }

    /// With a choice of some.
    #[must_use]
    pub fn ticks(self, name: &'static str, label: &str, labels: Vec<String>, hint: &str) -> Self {
        let on = vec![false; labels.len()];
        self.line(name, label, Slot::Ticks { labels, on, at: 0 }, hint)
    }

    /// With this text already on the line of this name.
    #[must_use]
    pub fn filled(mut self, name: &str, text: &str) -> Self {
        for line in self.lines.iter_mut().filter(|line| line.name == name) {
            if let Slot::Text(field) = &mut line.slot {
                field.offer(text);
            }
        }
        self
    }

    /// With these choices, by their label, already ticked on the line of this name.
    #[must_use]
    pub fn ticked_already(mut self, name: &str, chosen: &[&str]) -> Self {
        for line in self.lines.iter_mut().filter(|line| line.name == name) {
            if let Slot::Ticks { labels, on, .. } = &mut line.slot {
                *on = labels
                    .iter()
                    .map(|label| chosen.contains(&label.as_str()))
                    .collect();
            }
        }
        self
    }

    fn line(mut self, name: &'static str, label: &str, slot: Slot, hint: &str) -> Self {
        self.lines.push(Line {
            name,
            label: label.to_owned(),
            slot,
            hint: hint.to_owned(),
        });
        self
    }

    /// The text typed on the line of this name, without blanks at its ends; empty if there is no such line.
    pub fn typed(&self, name: &str) -> &str {
        self.field(name).map_or("", |field| field.text().trim())
    }

    /// The field of the line of this name.
    pub fn field(&self, name: &str) -> Option<&Field> {
        self.lines
            .iter()
            .find(|line| line.name == name)
            .and_then(|line| match &line.slot {
                Slot::Text(field) => Some(field),
                _ => None,
            })
    }

    /// What is picked on the line of this name.
    pub fn picked(&self, name: &str) -> Option<usize> {
        self.lines
            .iter()
            .find(|line| line.name == name)
            .and_then(|line| match &line.slot {
                Slot::Pick { at, .. } => *at,
                _ => None,
            })
    }

    /// What is ticked on the line of this name.
    pub fn ticked(&self, name: &str) -> Vec<usize> {
        let on = self
            .lines
            .iter()
            .find(|line| line.name == name)
            .map(|line| match &line.slot {
                Slot::Ticks { on, .. } => on.as_slice(),
                _ => &[],
            });
        on.unwrap_or_default()
            .iter()
            .enumerate()
            .filter(|(_, on)| **on)
            .map(|(at, _)| at)
            .collect()
    }

    /// Whether the line of this name holds an answer.
    pub fn answered(&self, name: &str) -> bool {
        self.lines
            .iter()
            .find(|line| line.name == name)
            .is_some_and(|line| match &line.slot {
                Slot::Text(field) => !field.text().trim().is_empty(),
                Slot::Pick { at, .. } => at.is_some(),
                Slot::Ticks { on, .. } => on.contains(&true),
            })
    }

    /// The names of its lines.
    pub fn names(&self) -> Vec<&'static str> {
        self.lines.iter().map(|line| line.name).collect()
    }

    /// Goes to the first of the lines named that has no answer yet, and says so.
    pub fn go_to_unanswered(&mut self, needed: &[&str]) -> Option<String> {
        let name = needed.iter().find(|name| !self.answered(name))?;
        self.go_to(name);
        let line = self.lines.iter().find(|line| line.name == *name);
        let label = line.map_or("", |line| line.label.as_str());
        Some(format!("\"{label}\" has no answer yet."))
    }

    /// Goes to the line of this name.
    pub fn go_to(&mut self, name: &str) {
        if let Some(at) = self.lines.iter().position(|line| line.name == name) {
            self.at = at;
        }
    }

    /// The field being typed in, if the current line has one.
    pub fn open_field(&mut self) -> Option<&mut Field> {
        match self.lines.get_mut(self.at).map(|line| &mut line.slot) {
            Some(Slot::Text(field)) => Some(field),
            _ => None,
        }
    }

    /// Whether the current line takes text.
    pub fn typing(&self) -> bool {
        matches!(
            self.lines.get(self.at).map(|line| &line.slot),
            Some(Slot::Text(_))
        )
    }

    /// Whether the current line is the one that takes the form.
    pub fn at_end(&self) -> bool {
        self.at >= self.lines.len()
    }

    /// A key.
    pub fn press(&mut self, stroke: Stroke, action: Option<Action>) -> Did {
        if let Some(field) = self.open_field() {
            if action.is_some_and(|action| field.edit(action)) {
                return Did::Stayed;
            }
            if let (None, Some(letter)) = (action, stroke.typed()) {
                field.insert(letter.encode_utf8(&mut [0; 4]));
                return Did::Stayed;
            }
        } else if self.choose(stroke, action) {
            return Did::Stayed;
        }
        match action {
            Some(Action::Take | Action::TakeOther) if self.at_end() => Did::Takes,
            Some(Action::Take | Action::NextField) if !self.at_end() => {
                self.at += 1;
                if self.at_end() {
                    Did::Arrived
                } else {
                    Did::Stayed
                }
            }
            Some(Action::FieldBefore) => {
                self.at = self.at.saturating_sub(1);
                Did::Stayed
            }
            _ => Did::Nothing,
        }
    }

    /// A key on a line of choices. Whether it was one.
    fn choose(&mut self, stroke: Stroke, action: Option<Action>) -> bool {
        let digit = stroke
            .digit()
            .filter(|digit| *digit >= 1)
            .map(|digit| digit as usize - 1);
        match self.lines.get_mut(self.at).map(|line| &mut line.slot) {
            Some(Slot::Pick { labels, at }) => match (action, digit) {
                (Some(Action::Right), _) => {
                    *at = Some(at.map_or(0, |at| (at + 1) % labels.len().max(1)));
                }
                (Some(Action::Left), _) => {
                    *at = Some(
                        at.map_or(0, |at| (at + labels.len().max(1) - 1) % labels.len().max(1)),
                    );
                }
                (_, Some(digit)) if digit < labels.len() => *at = Some(digit),
                _ => return false,
            },
            Some(Slot::Ticks { labels, on, at }) => match (action, digit) {
                (Some(Action::Right), _) => *at = (*at + 1) % labels.len().max(1),
                (Some(Action::Left), _) => {
                    *at = (*at + labels.len().max(1) - 1) % labels.len().max(1);
                }
                (Some(Action::TakeOther), _) if *at < on.len() => on[*at] = !on[*at],
                (_, Some(digit)) if digit < on.len() => {
                    *at = digit;
                    on[digit] = !on[digit];
                }
                _ => return false,
            },
            _ => return false,
        }
        true
    }

    /// Clears what must not be kept while the form is out of sight.
    pub fn forget_secrets(&mut self) {
        for line in &mut self.lines {
            if let Slot::Text(field) = &mut line.slot
                && (field.shown() == Shown::Counted || line.name == WORDS)
            {
                field.clear();
            }
        }
    }

    /// Whether anything was typed or chosen.
    pub fn touched(&self) -> bool {
        self.lines.iter().any(|line| match &line.slot {
            Slot::Text(field) => !field.is_empty(),
            Slot::Pick { labels, at } => at.is_some() && labels.len() > 1,
            Slot::Ticks { on, .. } => on.contains(&true),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form() -> Form {
        Form::new("Person", "enrol")
            .text("name", "name", 10, "")
            .ticks(
                "roles",
                "roles",
                vec!["performer".into(), "lead".into()],
                "",
            )
            .pick("shift", "shift", vec!["day".into(), "night".into()], "")
    }

    #[test]
    fn enter_goes_on_and_only_the_last_line_takes() {
        let mut form = form();
        assert_eq!(form.press(Stroke::Char('A'), None), Did::Stayed);
        assert_eq!(form.press(Stroke::Enter, Some(Action::Take)), Did::Stayed);
        assert_eq!(form.press(Stroke::Char('2'), None), Did::Stayed);
        assert_eq!(form.ticked("roles"), [1]);
        assert_eq!(form.press(Stroke::Enter, Some(Action::Take)), Did::Stayed);
        assert_eq!(
            form.go_to_unanswered(&["name", "shift"]).as_deref(),
            Some("\"shift\" has no answer yet.")
        );
        assert_eq!(form.press(Stroke::Right, Some(Action::Right)), Did::Stayed);
        assert_eq!(form.picked("shift"), Some(0));
        assert_eq!(form.press(Stroke::Enter, Some(Action::Take)), Did::Arrived);
        assert_eq!(
            form.press(Stroke::Space, Some(Action::TakeOther)),
            Did::Takes
        );
        assert_eq!(form.typed("name"), "A");
    }

    #[test]
    fn a_digit_beyond_the_choices_picks_nothing() {
        let mut form = form();
        form.go_to("shift");
        form.press(Stroke::Char('7'), None);
        assert_eq!(form.picked("shift"), None);
    }
}
