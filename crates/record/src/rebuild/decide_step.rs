//! Answers to a step's plain asks, its verification, its hold and its signatures.

use reseat_procedure::model::{Asked, Leads};

use super::ask::Inner;
use super::body::{self, Body};
use super::command::Given;
use super::decide::AskedNow;
use super::state::Rebuild;
use crate::log::{Clock, Stamp};
use crate::refusal::{Refusal, Work};

impl Rebuild {
    pub(super) fn answer_plain(&self, now: &AskedNow<'_>, given: Given) -> Result<Body, Refusal> {
        let (step, ask) = (now.step.to_owned(), now.ask);
        match (now.asked, given) {
            (Asked::Choice { question, answers }, Given::Choice(number)) => {
                let answer = &answers[number as usize - 1];
                let leads = match answer.leads {
                    Leads::On => "on".to_owned(),
                    Leads::Again => "again".to_owned(),
                    Leads::Finding => format!("finding {}", self.next_finding()),
                };
                Ok(body::Answered {
                    step,
                    ask,
                    question: question.clone(),
                    answer: answer.label.clone(),
                    leads,
                }
                .into())
            }
            (
                Asked::Orientation {
                    question,
                    answers,
                    right,
                },
                Given::Choice(number),
            ) => {
                let index = number as usize - 1;
                let answer = answers
                    .get(index)
                    .map_or("cannot tell", String::as_str)
                    .to_owned();
                let leads = if index == *right { "on" } else { "again" }.to_owned();
                Ok(body::Answered {
                    step,
                    ask,
                    question: question.clone(),
                    answer,
                    leads,
                }
                .into())
            }
            (Asked::Text { question, .. }, Given::Text(text)) => Ok(body::Wrote {
                step,
                ask,
                question: question.clone(),
                permit: Self::permit_of(now.asked, &text, now.stamp)?,
                text,
                agrees: None,
            }
            .into()),
            (Asked::Nameplate, Given::Text(text)) => {
                let agrees = is_serial(&text, &self.started.unit_serial);
                let question =
                    "Last four characters of the serial, read on the nameplate".to_owned();
                Ok(body::Wrote {
                    step,
                    ask,
                    question,
                    text,
                    agrees: Some(agrees),
                    permit: None,
                }
                .into())
            }
            (_, given) => self.answer_counted(now, given),
        }
    }

    fn answer_counted(&self, now: &AskedNow<'_>, given: Given) -> Result<Body, Refusal> {
        let (step, ask) = (now.step.to_owned(), now.ask);
        match (now.asked, given) {
            (Asked::Person { question, .. }, Given::Person(id)) => Ok(body::Named {
                step,
                ask,
                question: question.clone(),
                person: Self::known(now.register, id)?,
            }
            .into()),
            (Asked::Count { question, expected }, Given::Count(counted)) => {
                Ok(self.counted(step, ask, question, counted, expected.map(u64::from)))
            }
            (Asked::Balance, Given::Count(counted)) => {
                if let Some(first) = self.unbalanced().first() {
                    return Err(Work::StillOpen {
                        count: self.unbalanced().len(),
                        first: first.clone(),
                    }
                    .into());
                }
                Ok(self.counted(
                    step,
                    ask,
                    "Parts left over on the bench that the list does not name",
                    counted,
                    Some(0),
                ))
            }
            (Asked::ToolsOut, Given::Count(counted)) => Ok(self.counted(
                step,
                ask,
                "Wrenches, picks, rags and covers left in or on the unit",
                counted,
                Some(0),
            )),
            (Asked::Vent { side }, Given::Choice(number)) => {
                Ok(self.vented(&step, Some(ask), side, number, true))
            }
            (Asked::OwnLocks { .. }, Given::Text(number)) => {
                let owner = Self::actor(now.register, now.stamp)?;
                self.number_free(&number, None)?;
                Ok(body::OwnLock {
                    owner,
                    number,
                    on: true,
                    step: Some(step),
                    ask: Some(ask),
                }
                .into())
            }
            (Asked::Rest { minutes } | Asked::Wait { minutes }, given) => {
                self.waited(now.stamp, step, ask, *minutes, &given)
            }
            (Asked::Dispositions, given) => self.disposed(step, ask, now.inner, &given),
            (Asked::Decisions, Given::Choice(number)) => self.decided_part(step, ask, number),
            (Asked::Decisions, Given::Done) => Ok(self.done_body(&step, Some(ask))),
            _ => Err(Work::WrongKind.into()),
        }
    }

    /// What is done with the next part that waits for a person to decide.
    fn decided_part(&self, step: String, ask: u32, number: u32) -> Result<Body, Refusal> {
        let part = self
            .to_decide()
            .into_iter()
            .next()
            .ok_or(Work::NotAskedNow)?;
        let disposition = ["keep", "replace", "scrap"][number as usize - 1].to_owned();
        Ok(body::Disposed {
            step,
            ask,
            line: 0,
            parts: vec![part],
            disposition,
            counted: None,
        }
        .into())
    }

    fn counted(
        &self,
        step: String,
        ask: u32,
        question: &str,
        counted: u64,
        expected: Option<u64>,
    ) -> Body {
        let wrong = expected.is_some_and(|expected| expected != counted);
        let finding = (wrong && self.tries_at(&step, ask) > 0).then(|| self.next_finding());
        body::Counted {
            step,
            ask,
            question: question.to_owned(),
            counted,
            expected,
            finding,
        }
        .into()
    }

    /// Tries at an ask that did not close it.
    pub(super) fn tries_at(&self, step: &str, ask: u32) -> u32 {
        self.line(step)
            .and_then(|line| line.asks.get(ask as usize))
            .map_or(0, |state| state.tries)
    }

    fn waited(
        &self,
        stamp: &Stamp,
        step: String,
        ask: u32,
        minutes: u32,
        given: &Given,
    ) -> Result<Body, Refusal> {
        let state = self
            .line(&step)
            .and_then(|line| line.asks.get(ask as usize))
            .ok_or(Work::NotAskedNow)?;
        let Some(begun) = &state.rest else {
            return Ok(body::RestBegun { step, ask, minutes }.into());
        };
        if stamp.clock == Clock::Doubted || begun.clock == Clock::Doubted {
            return match given {
                Given::Choice(1) => Ok(body::RestOver {
                    step,
                    ask,
                    judged_by: "person".to_owned(),
                }
                .into()),
                _ => Err(Work::NotYet {
                    until: "a person says so".to_owned(),
                }
                .into()),
            };
        }
        let until = super::time::minutes_after(&begun.utc, minutes).ok_or(Work::BadTime)?;
        if until > stamp.utc {
            return Err(Work::NotYet {
                until: super::time::clock_face(&until, &stamp.offset),
            }
            .into());
        }
        Ok(body::RestOver {
            step,
            ask,
            judged_by: "clock".to_owned(),
        }
        .into())
    }

    fn disposed(
        &self,
        step: String,
        ask: u32,
        inner: &Inner,
        given: &Given,
    ) -> Result<Body, Refusal> {
        let Inner::Line(line) = inner else {
            return Err(Work::NotAskedNow.into());
        };
        if *line == 0 {
            let Given::Count(counted) = given else {
                return Err(Work::WrongKind.into());
            };
            let off = self.single_use_off();
            let pieces = pieces_of(&off);
            if *counted != pieces {
                return Ok(self.counted(
                    step,
                    ask,
                    "Single-use pieces discarded",
                    *counted,
                    Some(pieces),
                ));
            }
            return Ok(body::Disposed {
                step,
                ask,
                line: 0,
                parts: off.into_iter().map(|(part, _)| part.to_owned()).collect(),
                disposition: "discard".to_owned(),
                counted: Some(*counted),
            }
            .into());
        }
        let Given::Choice(number) = given else {
            return Err(Work::WrongKind.into());
        };
        let part = self
            .reusable_off()
            .get(*line as usize - 1)
            .cloned()
            .ok_or(Work::NotAskedNow)?;
        let disposition = ["keep", "inspect", "discard"][*number as usize - 1].to_owned();
        Ok(body::Disposed {
            step,
            ask,
            line: *line,
            parts: vec![part],
            disposition,
            counted: None,
        }
        .into())
    }
}

/// How many pieces these parts are.
pub(super) fn pieces_of(off: &[(&str, u32)]) -> u64 {
    off.iter().map(|(_, pieces)| u64::from(*pieces)).sum()
}

/// Whether what was read on the nameplate is the serial of a unit, or its last four characters.
pub(super) fn is_serial(text: &str, serial: &str) -> bool {
    let start = serial.char_indices().rev().nth(3).map_or(0, |(at, _)| at);
    text.eq_ignore_ascii_case(&serial[start..]) || text.eq_ignore_ascii_case(serial)
}
