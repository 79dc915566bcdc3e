//! Late entry and a whole pass at once, as words of line mode.

use super::{Heeded, Session, Talk};
use crate::desk::{Desk, Open, Row};

impl<T: Talk> Session<'_, T> {
    /// `late 14:10`, `late 2026-03-12 14:10`, `late off`.
    pub(super) fn late(&mut self, open: &mut Open, rest: &str) -> Heeded<(), T::Lost> {
        if rest == "off" {
            Desk::end_late(open);
            return self.say("late: off. Answers are of now.");
        }
        match self.desk.enter_late(open, rest) {
            Ok(()) => self.say("late: on, until late off."),
            Err(fault) => self.soft(fault),
        }
    }

    /// `row all`, `row 121 122 123`.
    pub(super) fn row(&mut self, open: &mut Open, rest: &str) -> Heeded<(), T::Lost> {
        let before = open.rebuild.head().number;
        let by = open.rebuild.who().map(|who| who.id);
        let by = by.unwrap_or(open.rebuild.started().performer.id);
        let done = self.desk.row(open, &Row::read(rest), &by);
        // What was entered before it stopped stands and is told either way.
        self.kept(open, before)?;
        match done {
            Ok(entered) => self.say(&format!("row: {}", entered.words())),
            Err(fault) => self.soft(fault),
        }
    }
}
