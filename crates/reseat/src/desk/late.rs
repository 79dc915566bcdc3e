//! Late entry and whole passes at the desk: the time answers are entered as of, and a row of answers entered one by one.
//!
//! No rule stands here. Each answer of a row goes through the same question as if it were given alone.

use reseat_record::log::{Id, Stamp};
use reseat_record::rebuild::view::Mark;
use reseat_record::rebuild::{Ask, Bench, Command, Inner, Point, Rebuild, Wants};
use reseat_record::refusal::Work;

use super::{ClockFault, Desk, Fault, Open};

/// A whole pass of a joint at once, in its order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Row {
    /// Every fastener clicked, or pulled to the torque of the pass.
    All,
    /// What was read at each, in the joint's order, as typed.
    Read(Vec<String>),
}

impl Row {
    /// `all`, or values with spaces between.
    pub fn read(typed: &str) -> Self {
        if typed.trim() == "all" {
            Self::All
        } else {
            Self::Read(typed.split_whitespace().map(str::to_owned).collect())
        }
    }
}

/// What became of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RowEntered {
    /// How many entries it gave.
    pub entered: usize,
    /// The fastener whose reading was not WITHIN, where the row stopped.
    pub stopped_at: Option<u32>,
    /// How many values were not taken.
    pub left: usize,
}

impl RowEntered {
    /// In words.
    pub fn words(&self) -> String {
        match (self.stopped_at, self.left) {
            (Some(at), left) => format!(
                "{} entered. Stopped at {at}: not WITHIN. {left} not taken.",
                self.entered
            ),
            (None, 0) => format!("{} entered, each for itself, in order.", self.entered),
            (None, left) => format!(
                "{} entered. Something else is asked before the next; {left} not taken.",
                self.entered
            ),
        }
    }
}

/// Where a row goes on: step, pass, fastener, attempt.
type At = (String, u32, u32, u32);

fn at(ask: &Ask) -> Option<At> {
    match &ask.point {
        // A re-check is no pass of tightening.
        Point::Asked(step, _, Inner::Fastener(fastener, pass, attempt)) if *pass > 0 => {
            Some((step.clone(), *pass, *fastener, *attempt))
        }
        _ => None,
    }
}

impl Desk {
    /// What an answer to this rebuild carries now: with the time of the act while entries are late.
    pub fn stamp_at(&self, open: &Open, by: Option<Id>) -> Stamp {
        Stamp {
            acted: open.late.clone(),
            ..self.stamp(by)
        }
    }

    /// The same for a command: only answers and what may be entered late carry it; pause, STOP and locks are always now.
    pub(super) fn stamp_of(&self, open: &Open, command: &Command, by: Id) -> Stamp {
        let late = matches!(
            command,
            Command::Answer { .. }
                | Command::Safer { .. }
                | Command::Find { .. }
                | Command::Dropped { .. }
                | Command::NotApplicable { .. }
                | Command::TakeInstrument { .. }
                | Command::Adapter { .. }
        );
        if late {
            self.stamp_at(open, Some(by))
        } else {
            self.stamp(Some(by))
        }
    }

    /// From now on answers are entered late, as done at this local time: `14:10`, the last time the clock showed it, or
    /// `2026-03-12 14:10`. Writes nothing.
    ///
    /// # Errors
    /// [`ClockFault::NoLocalTime`]; `late-order`, `late-future`.
    pub fn enter_late(&self, open: &mut Open, typed: &str) -> Result<(), Fault> {
        let typed = typed.trim();
        let stamp = self.stamp(None);
        let utc = if typed.contains([' ', 'T']) {
            self.clock.read_local(typed)?
        } else {
            self.last_time(typed, &stamp.utc)?
        };
        open.rebuild.late_moment(&utc, &stamp)?;
        open.late = Some(utc);
        Ok(())
    }

    /// From now on answers are of now again.
    pub fn end_late(open: &mut Open) {
        open.late = None;
    }

    /// The last time the local clock showed this, today or yesterday.
    fn last_time(&self, typed: &str, now: &str) -> Result<String, ClockFault> {
        let day = self.clock.day();
        let today = self.clock.read_local(&format!("{day} {typed}"));
        // The day is the program's own: what is told to be no time is what was typed.
        let today = today.map_err(|_| ClockFault::NoLocalTime {
            typed: typed.chars().take(40).collect(),
        })?;
        if *today <= *now {
            return Ok(today);
        }
        let yesterday = day
            .parse::<chrono::NaiveDate>()
            .ok()
            .and_then(|day| day.pred_opt());
        match yesterday {
            Some(day) => self.clock.read_local(&format!("{day} {typed}")),
            None => Ok(today),
        }
    }

    /// A whole pass: one entry for each fastener, asked anew each time. Stops at the first that is not WITHIN, and wherever
    /// something else is asked.
    ///
    /// # Errors
    /// `no-row`, `row-length` before anything is written; as [`Desk::act`] for a single answer: those before it stand.
    pub fn row(&mut self, open: &mut Open, row: &Row, by: &Id) -> Result<RowEntered, Fault> {
        let first = self.asked_now(open, by);
        let count = fits(&open.rebuild, &first, row)?;
        let start = at(&first).ok_or_else(|| Fault::Refused(Work::NotAskedNow.into()))?;
        let mut done = RowEntered {
            entered: 0,
            stopped_at: None,
            left: count,
        };
        let mut ask = first;
        for number in 0..count {
            let Some(here) = at(&ask).filter(|here| here.0 == start.0 && here.1 == start.1) else {
                break;
            };
            let text = match (row, &ask.wants) {
                (Row::All, Wants::Fastener { next, .. }) => next.to_string(),
                (Row::Read(values), Wants::Reading { .. }) => values[number].clone(),
                _ => break,
            };
            let command = ask.answer(&text)?;
            self.act(open, command, by, None)?;
            done.entered += 1;
            done.left -= 1;
            ask = self.asked_now(open, by);
            if stands_still(&here, &ask) {
                done.stopped_at = Some(here.2);
                break;
            }
        }
        Ok(done)
    }

    fn asked_now(&self, open: &Open, by: &Id) -> Ask {
        let stamp = self.stamp_at(open, Some(*by));
        open.rebuild.ask(self.register(), &stamp)
    }
}

/// Whether what is asked now is about the fastener just entered: pulled on, queried, decided on.
fn stands_still(here: &At, ask: &Ask) -> bool {
    match at(ask) {
        Some(now) => now.0 == here.0 && now.1 == here.1 && now.2 == here.2,
        None => matches!(
            ask.point,
            Point::AfterHigh(_) | Point::Queried(_) | Point::Finding(_)
        ),
    }
}

/// How many entries the row gives where it is asked.
fn fits(rebuild: &Rebuild, ask: &Ask, row: &Row) -> Result<usize, Fault> {
    let joint = match &ask.bench {
        Bench::Joint(id) => rebuild.joint_view(id),
        _ => None,
    };
    let (Some(joint), Some((.., attempt))) = (joint, at(ask)) else {
        let wants = "something else";
        return Err(Fault::Refused(Work::NoRow { wants }.into()));
    };
    let open = joint
        .marks
        .iter()
        .filter(|mark| matches!(mark, Mark::Open | Mark::Next | Mark::Low))
        .count();
    match (row, &ask.wants) {
        // "Back it off, pull again" is answered at that one; passed over in a row it would stand as never asked.
        (Row::All, Wants::Fastener { .. }) if attempt > 1 => {
            let wants = "the one alone that did not move when the wrench clicked";
            Err(Fault::Refused(Work::NoRow { wants }.into()))
        }
        (Row::All, Wants::Fastener { .. }) => Ok(open),
        (Row::Read(values), Wants::Reading { .. }) => {
            let given = values.len();
            if given == open {
                Ok(open)
            } else {
                Err(Fault::Refused(Work::RowLength { given, open }.into()))
            }
        }
        (Row::All, _) => {
            let wants = "a reading of each";
            Err(Fault::Refused(Work::NoRow { wants }.into()))
        }
        (Row::Read(_), _) => {
            let wants = "all, where each is clicked or pulled";
            Err(Fault::Refused(Work::NoRow { wants }.into()))
        }
    }
}
