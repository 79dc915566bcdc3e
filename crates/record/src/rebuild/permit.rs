//! Permits and gas tests: number and end time as written, what an end time that has passed stops, and who is asked while the
//! clock cannot tell.

use reseat_procedure::model::{Asked, Deed, EnergyState, Role};

use super::ask::{Bench, Point, Wants};
use super::body::{self, Body, PermitSaid};
use super::question::Question;
use super::state::{Mark, Rebuild};
use super::time::{day_and_clock, end_after, face_from, minutes_between};
use crate::log::{Clock, Stamp};
use crate::refusal::{Refusal, Work};

/// From so many minutes before its end on the time left is shown.
const SHOWN_MINUTES: i64 = 30;
/// So long a person's word that a permit is valid at his watch is taken, by the clock nobody trusts, in minutes.
const WORD_MINUTES: i64 = 30;

/// A permit or gas test as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct PermitState {
    pub(super) number: String,
    ends: Option<String>,
    /// When a person last said whether it is valid, and what he said.
    said: Option<(Mark, bool)>,
}

/// How a permit stands at the moment of a stamp.
enum Standing {
    /// Minutes left, where the clock can say.
    Valid(Option<i64>),
    Ended,
    /// The clock cannot tell: a person is asked.
    AskPerson,
}

impl PermitState {
    fn standing(&self, stamp: &Stamp) -> Standing {
        if let (Some(ends), true) = (&self.ends, stamp.clock != Clock::Doubted) {
            // Both stand in the one form of the record, so texts compare as times.
            if *ends <= stamp.utc {
                return Standing::Ended;
            }
            return Standing::Valid(minutes_between(&stamp.utc, ends));
        }
        match &self.said {
            Some((_, false)) => Standing::Ended,
            Some((mark, true))
                if mark.clock == stamp.clock
                    && minutes_between(&mark.utc, &stamp.utc)
                        .is_some_and(|ago| (0..=WORD_MINUTES).contains(&ago)) =>
            {
                Standing::Valid(None)
            }
            _ => Standing::AskPerson,
        }
    }

    /// Its end on the clock of the stamp, with the day where that is not today.
    pub(super) fn end_words(&self, stamp: &Stamp) -> String {
        self.ends.as_ref().map_or_else(
            || "an end not known".to_owned(),
            |ends| face_from(ends, &stamp.utc, &stamp.offset),
        )
    }
}

impl Rebuild {
    /// What a written permit says: its number and when it ends.
    ///
    /// The end is the last `18:00` of the text, that day or the next time the clock shows it; `2026-03-13 18:00` names the
    /// day, `8 h` counts from now. One that has ended already is refused, where the clock can say.
    pub(super) fn permit_said(
        what: &str,
        text: &str,
        stamp: &Stamp,
    ) -> Result<PermitSaid, Refusal> {
        let (number, ends) =
            end_after(text, &stamp.utc, &stamp.offset).ok_or_else(|| Work::PermitEnd {
                what: what.to_owned(),
            })?;
        if stamp.clock != Clock::Doubted && ends <= stamp.utc {
            return Err(Work::PermitPast {
                what: what.to_owned(),
                ended: day_and_clock(&ends, &stamp.offset),
            }
            .into());
        }
        Ok(PermitSaid {
            what: what.to_owned(),
            number,
            ends: (stamp.clock != Clock::Doubted).then_some(ends),
        })
    }

    /// The permit of a written text, where it is one.
    pub(super) fn permit_of(
        asked: &Asked,
        text: &str,
        stamp: &Stamp,
    ) -> Result<Option<PermitSaid>, Refusal> {
        match asked {
            Asked::Text {
                permit: Some(what), ..
            } => Self::permit_said(what, text, stamp).map(Some),
            _ => Ok(None),
        }
    }

    /// Whether this line is work at the unit that a permit covers: from the first act with the hands inside until operations
    /// have the unit back.
    fn under_permit(&self, index: usize) -> bool {
        match self.energy_at(index) {
            EnergyState::Zero | EnergyState::Test => true,
            EnergyState::Returning => !self.taken_back(index),
            EnergyState::Running | EnergyState::Isolating => false,
        }
    }

    /// Whether operations took the unit back by a signature before this line.
    fn taken_back(&self, index: usize) -> bool {
        self.lines[..index].iter().any(|line| {
            line.released.is_some()
                && self.step_of(line).is_some_and(|step| {
                    step.energy == EnergyState::Returning && step.hold == Some(Role::Operations)
                })
        })
    }

    /// Whether an ended permit holds this line back. In the return it holds the acts at the unit; counting tools, people clear,
    /// own locks off, reading, looking and signing stay open.
    fn held_by_permit(&self, index: usize) -> bool {
        if !self.under_permit(index) {
            return false;
        }
        let line = &self.lines[index];
        let Some(step) = self
            .step_of(line)
            .filter(|step| step.energy == EnergyState::Returning)
        else {
            return true;
        };
        let open = line.asks.iter().position(|ask| ask.closed.is_none());
        let acts = match open {
            Some(open) => step.asks.get(open) == Some(&Asked::Done),
            None => step.asks.is_empty() && line.acted.is_none(),
        };
        acts && !Self::has_deed(step, |deed| {
            matches!(deed, Deed::ToolsClear | Deed::PeopleClear)
        })
    }

    /// A permit that stops hands-on work at this line: ended, or not known to be valid.
    pub(super) fn permit_due(&self, index: usize, stamp: &Stamp) -> Option<Point> {
        if !self.held_by_permit(index) {
            return None;
        }
        self.permits
            .iter()
            .find_map(|(what, permit)| match permit.standing(stamp) {
                Standing::Valid(_) => None,
                Standing::Ended => Some(Point::Permit(what.clone())),
                Standing::AskPerson => Some(Point::PermitSeen(what.clone())),
            })
    }

    /// Time left, where it is short, for the notice above an act.
    pub(super) fn permit_notice(&self, stamp: &Stamp) -> Vec<String> {
        let working = self.due().is_some_and(|due| {
            self.under_permit(due) || self.energy_at(due) != EnergyState::Returning
        });
        self.permits
            .iter()
            .filter(|_| working && self.ended.is_none())
            .filter_map(|(what, permit)| match permit.standing(stamp) {
                Standing::Valid(Some(left)) if left < SHOWN_MINUTES => Some(format!(
                    "{} {} ends {}, {left} min left.",
                    capital(what),
                    permit.number,
                    permit.end_words(stamp)
                )),
                _ => None,
            })
            .collect()
    }

    /// Words of the strip while an ended permit stops the work.
    pub(super) fn permit_stop(&self, index: usize, stamp: &Stamp) -> Option<String> {
        match self.permit_due(index, stamp)? {
            Point::Permit(what) => {
                let permit = self.permits.get(&what)?;
                Some(format!(
                    "{what} {} ENDED {}",
                    permit.number,
                    permit.end_words(stamp)
                ))
            }
            _ => None,
        }
    }

    pub(super) fn permit_question(&self, what: &str, stamp: &Stamp, seen: bool) -> Question {
        let (number, ends) = self.permits.get(what).map_or_else(
            || (String::new(), String::new()),
            |permit| (permit.number.clone(), permit.end_words(stamp)),
        );
        let question = if seen {
            Question::choice(
                format!("Is {what} {number} still valid at your watch?"),
                &["valid", "ended"],
            )
            .notice(format!(
                "The clock cannot say when {what} {number} ends ({ends}): a person does."
            ))
        } else {
            Question::new(
                "text",
                format!("Number of the new {what} and its end time"),
                Wants::Text,
            )
            .notice(format!(
                "Hands off. {} {number} has ended ({ends}).",
                capital(what)
            ))
        };
        question
            .detail("Open now: make safer (F3), pause or hand over.")
            .bench(Bench::Isolation)
    }

    pub(super) fn answer_permit(
        &self,
        what: &str,
        text: &str,
        stamp: &Stamp,
    ) -> Result<Body, Refusal> {
        let permit = Self::permit_said(what, text, stamp)?;
        Ok(body::Permit {
            step: self.due_id(),
            text: text.to_owned(),
            permit,
        }
        .into())
    }

    pub(super) fn answer_permit_seen(&self, what: &str, valid: bool) -> Body {
        body::PermitSeen {
            step: self.due_id(),
            what: what.to_owned(),
            number: self
                .permits
                .get(what)
                .map(|permit| permit.number.clone())
                .unwrap_or_default(),
            valid,
        }
        .into()
    }

    pub(super) fn carry_permit(&mut self, said: &PermitSaid) {
        self.permits.insert(
            said.what.clone(),
            PermitState {
                number: said.number.clone(),
                ends: said.ends.clone(),
                said: None,
            },
        );
    }

    pub(super) fn carry_permit_seen(&mut self, what: &str, valid: bool, mark: &Mark) {
        if let Some(permit) = self.permits.get_mut(what) {
            permit.said = Some((mark.clone(), valid));
        }
    }

    /// What a person said of a permit holds no longer once the unit was left.
    pub(super) fn forget_permits_seen(&mut self) {
        for permit in self.permits.values_mut() {
            permit.said = permit.said.take().filter(|(_, valid)| !valid);
        }
    }
}

fn capital(what: &str) -> String {
    let mut letters = what.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
