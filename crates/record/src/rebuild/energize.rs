//! Letting plant energy in: temporarily for a test (29 CFR 1910.147(f)(1)), and in the return to service ((e)(1) to (3)).
//!
//! Before either, tools are counted out, people are clear and told, and every own lock is off the box. Where the procedure
//! asks that, its answers serve; where it does not, the program asks. After a test the locks go back on and zero is proved.

use reseat_procedure::model::{Asked, Deed, EnergyState, Step};

use super::ask::{Clearing, Point};
use super::body::{self, Body};
use super::command::Given;
use super::question::Question;
use super::state::Rebuild;
use crate::log::Stamp;
use crate::refusal::{Refusal, Work};
use crate::register::Register;

/// Answers on people; the first lets energy in.
const PEOPLE: &[&str] = &["everybody clear, and told", "not yet"];

/// Whether what was answered of tools or people lets energy in; none for another question.
pub(super) fn clears(what: &str, answer: &str) -> Option<bool> {
    match what {
        "tools" => Some(answer == "0"),
        "people" => Some(PEOPLE.first() == Some(&answer)),
        _ => None,
    }
}

impl Rebuild {
    /// While energy is in: the next written act that lets it out and makes safer, by its step id and its text.
    #[must_use]
    pub fn venting_due(&self) -> Option<(String, String)> {
        let due = self.due().filter(|_| !self.let_in.is_empty())?;
        let lines = self.lines.iter().skip(due);
        let mut open = lines.filter(|line| !self.complete(line));
        let vents = |step: &Step| {
            step.safer && Self::has_deed(step, |deed| matches!(deed, Deed::LetOut { .. }))
        };
        let line = open.find(|line| self.step_of(line).is_some_and(vents))?;
        Some((line.id.clone(), self.text_of(line)))
    }

    /// Whether work at this line wants the whole lockout back: with the hands inside, or proving zero. A lock that a written
    /// test took off counts as required there although nothing written put it back.
    pub(super) fn whole_lockout_at(&self, due: usize) -> bool {
        let Some(line) = self.lines.get(due) else {
            return false;
        };
        self.energy_at(due) == EnergyState::Zero
            || self.step_of(line).is_some_and(|step| {
                step.energy != EnergyState::Returning && step.asks.iter().any(proves)
            })
    }

    /// Isolating points whose lock a written test has taken off and not yet put back when this line is due.
    pub(super) fn live_points(&self, due: usize) -> Vec<&str> {
        let mut live: Vec<&str> = Vec::new();
        for line in &self.lines[..due.min(self.lines.len())] {
            let Some(step) = self.step_of(line) else {
                continue;
            };
            if line.not_applicable.is_some() || step.energy == EnergyState::Returning {
                continue;
            }
            for deed in &step.does {
                match deed {
                    Deed::Unlock { point } if self.is_isolating(point) => live.push(point),
                    Deed::Lock { point } => live.retain(|open| open != point),
                    _ => {}
                }
            }
        }
        live
    }

    /// Whether the act of this line takes a barrier against plant energy away, or lets that energy in.
    fn energizes(&self, index: usize) -> bool {
        let Some(step) = self.step_of(&self.lines[index]).filter(|step| !step.safer) else {
            return false;
        };
        let frees = |step: &Step| {
            Self::has_deed(
                step,
                |deed| matches!(deed, Deed::Unlock { point } if self.is_isolating(point)),
            )
        };
        let opens = |step: &Step| {
            step.lets_in.is_some()
                || Self::has_deed(step, |deed| match deed {
                    Deed::Restore { point } => self.is_isolating(point),
                    Deed::LetIn { .. } => true,
                    _ => false,
                })
        };
        match step.energy {
            EnergyState::Test => {
                frees(step) || (opens(step) && !self.live_points(index).is_empty())
            }
            EnergyState::Returning => frees(step) || opens(step),
            _ => false,
        }
    }

    /// What is still to be cleared before the act of this line lets plant energy in.
    pub(super) fn clear_due(&self, index: usize) -> Option<Point> {
        if !self.energizes(index) {
            return None;
        }
        let clearing = if !self.tools_clear {
            Clearing::Tools
        } else if !self.people_clear {
            Clearing::People
        } else if !self.own_locks.is_empty() {
            Clearing::OwnLocks
        } else {
            return None;
        };
        Some(Point::Clear(clearing))
    }

    pub(super) fn clear_question(&self, clearing: Clearing) -> Question {
        let why = "Nothing is let in yet: tools, people and own locks are cleared first.";
        let question = match clearing {
            Clearing::Tools => self.tools_question(),
            Clearing::People => Question::choice(
                "Is everybody clear of the unit, and told that energy comes in?",
                PEOPLE,
            ),
            Clearing::OwnLocks => self.own_off_question(),
        };
        question.notice(why)
    }

    pub(super) fn answer_clear(
        &self,
        register: &Register,
        stamp: &Stamp,
        clearing: Clearing,
        given: &Given,
    ) -> Result<Body, Refusal> {
        let step = self.due_id();
        let (what, answer) = match (clearing, given) {
            (Clearing::Tools, Given::Count(left)) => ("tools", left.to_string()),
            (Clearing::People, Given::Choice(number)) => {
                ("people", PEOPLE[*number as usize - 1].to_owned())
            }
            (Clearing::OwnLocks, given) => return self.own_off(register, stamp, None, given),
            _ => return Err(Work::WrongKind.into()),
        };
        Ok(body::Cleared {
            step,
            what: what.to_owned(),
            clear: clears(what, &answer).unwrap_or_default(),
            answer,
        }
        .into())
    }

    /// Why nothing is let in at this line, for a refusal; none where nothing holds it back.
    pub(super) fn not_cleared(&self, point: &Point) -> Option<Refusal> {
        let Point::Clear(clearing) = point else {
            return None;
        };
        let why = match clearing {
            Clearing::Tools => {
                "tools are not counted out since the last work at the unit".to_owned()
            }
            Clearing::People => "people are not recorded as clear and told".to_owned(),
            Clearing::OwnLocks => {
                let on: Vec<String> = self
                    .own_locks
                    .values()
                    .map(|hung| format!("own lock {} of {}", hung.number, hung.name))
                    .collect();
                format!("still on the box: {}", on.join(", "))
            }
        };
        Some(Work::NotCleared { why }.into())
    }

    /// Work with the hands at the unit: tools lie there again and people stand there.
    pub(super) fn disturbs(&mut self, index: usize) {
        let quiet = self.step_of(&self.lines[index]).is_some_and(|step| {
            Self::is_zero_check(step)
                || step.asks.iter().any(|asked| {
                    matches!(asked, Asked::ToolsOut | Asked::Rest { .. } | Asked::Balance)
                })
        });
        if self.energy_at(index) == EnergyState::Zero && !quiet {
            self.tools_clear = false;
            self.people_clear = false;
        }
    }
}

/// Whether an answer proves zero on a side.
fn proves(asked: &Asked) -> bool {
    match asked {
        Asked::Zero { .. } => true,
        Asked::Reading(measured) => measured.proves.is_some(),
        _ => false,
    }
}
