//! A procedure page by page: what the technician will see of each step, what was found there, and the stack it leaves.
//!
//! A page counts as read once its last line was on the screen and the person went on from it. Approving wants every page
//! of every choice of options; the bytes approved are the bytes that were read here. Whoever leaves in between finds what
//! was read again while the program runs, and says that it was he who read it.

use std::time::Instant;

use reseat_procedure::{Page, Reading, Severity};
use reseat_record::log::Id;

use super::deeds::{Purpose, sheet};
use super::message::Effect;
use super::model::{Common, Press, Screen};
use super::overlay::{Overlay, scroll_by};
use super::pages_view::rows;
use super::register_forms::Entering;
use super::sight::PagesSight;
use crate::desk::PagesRead;
use crate::keys::Action;

/// Rows of the head and of the keys.
const BESIDES: u16 = 6;

/// What was read of a procedure and left; kept while the program runs.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftReading {
    bytes: Vec<u8>,
    reading: Reading,
    seconds: u64,
}

/// A procedure under reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Pages {
    /// The text, and what was read of it.
    pub reading: Reading,
    /// The exact bytes.
    pub bytes: Vec<u8>,
    /// Who may approve; none where no home is open.
    pub approvers: Option<Vec<(Id, String)>>,
    /// Everybody not retired.
    pub people: Vec<(Id, String)>,
    /// The choice of options shown, among [`Reading::routes`].
    pub route: usize,
    /// Its pages.
    pub pages: Vec<Page>,
    /// The page shown.
    pub at: usize,
    /// First row shown.
    pub scroll: usize,
    /// Its first row was on the screen, so that going on from its last one means that it was read.
    pub from_top: bool,
    /// When the first key came.
    pub begun: Option<Instant>,
    /// Seconds of reading before it was left and taken up again.
    pub seconds_before: u64,
    /// What was read of these bytes before, until somebody says that he read it.
    pub left_before: Option<LeftReading>,
    /// Leaving would forget what was read; the next Esc does it.
    pub forgets: bool,
    /// The screen it was opened from; none where the program was started for it.
    pub back: Option<Box<Screen>>,
}

impl Pages {
    /// The cover of a procedure.
    pub fn new(sight: PagesSight, back: Option<Box<Screen>>) -> Self {
        let pages = sight.reading.pages(0);
        Self {
            reading: sight.reading,
            bytes: sight.bytes,
            approvers: sight.approvers,
            people: sight.people,
            route: 0,
            pages,
            at: 0,
            scroll: 0,
            from_top: true,
            begun: None,
            seconds_before: 0,
            left_before: None,
            forgets: false,
            back,
        }
    }

    /// What was read of these bytes before is offered to whoever read it.
    pub fn offer(&mut self, common: &mut Common) {
        let same = |left: &LeftReading| left.bytes == self.bytes;
        let Some(at) = common.left_readings.iter().position(same) else {
            return;
        };
        let left = common.left_readings.remove(at);
        let (read, of) = left.reading.read_of();
        self.left_before = Some(left);
        common.note(format!(
            "{read} of {of} pages read here before. R: it was you. Enter: from the cover."
        ));
    }

    fn take_up(&mut self, common: &mut Common) {
        let Some(left) = self.left_before.take() else {
            common.note("Nothing was read here before.");
            return;
        };
        self.reading.see_also(&left.reading);
        self.seconds_before += left.seconds;
        let (read, of) = self.reading.read_of();
        common.note(format!(
            "{read} of {of} pages read by you. U leads to the next one."
        ));
    }

    /// Esc: back to where it was opened, with what was read kept; or out of the program. None where it is asked again first.
    pub fn back(&mut self, press: &Press, common: &mut Common) -> Option<Option<Screen>> {
        let (read, of) = self.reading.read_of();
        let Some(back) = self.back.take() else {
            // Nobody approves without a home, so nothing is lost there.
            if self.approvers.is_none() || read == 0 || self.forgets {
                return Some(None);
            }
            self.forgets = true;
            common.note(format!(
                "{read} of {of} pages read; leaving forgets them. Esc again leaves."
            ));
            return None;
        };
        let left = if read > 0 {
            Some(LeftReading {
                bytes: std::mem::take(&mut self.bytes),
                seconds: self.seconds(press.now),
                reading: self.reading.clone(),
            })
        } else {
            self.left_before.take()
        };
        common.left_readings.extend(left);
        common.asked_anew();
        if read > 0 {
            common.note(format!(
                "{read} of {of} pages read; kept while the program runs."
            ));
        }
        Some(Some(*back))
    }

    /// Seconds of reading, before it was left and since.
    fn seconds(&self, now: Instant) -> u64 {
        let since = self
            .begun
            .map_or(0, |begun| now.duration_since(begun).as_secs());
        self.seconds_before + since
    }

    /// The page shown.
    pub fn page(&self) -> Option<&Page> {
        self.pages.get(self.at)
    }

    /// Rows of the page, and rows there are for it.
    fn rows(&self, common: &Common) -> (usize, usize) {
        let (columns, high) = common.size;
        let lines = self
            .page()
            .map_or(0, |page| rows(page, self, columns).len());
        (lines, usize::from(high.saturating_sub(BESIDES)).max(1))
    }

    /// A key; back is the update's business.
    pub fn press(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        self.begun.get_or_insert(press.now);
        self.forgets = false;
        let (lines, room) = self.rows(common);
        self.from_top |= self.scroll == 0;
        let to_end = self.from_top && self.scroll + room >= lines;
        // A key that the terminal says is held reads nothing.
        if press.repeat {
            return Vec::new();
        }
        // What was refused was read; the next key is about another page.
        common.said = None;
        match press.action {
            Some(Action::GoOn) if self.scroll + room < lines => {
                self.scroll = (self.scroll + room).min(lines - room);
            }
            Some(Action::GoOn | Action::Right) => {
                self.leave(to_end);
                if self.at + 1 < self.pages.len() {
                    self.go(self.at + 1);
                } else {
                    self.say_end(common);
                }
            }
            Some(Action::Left) => self.go(self.at.saturating_sub(1)),
            Some(Action::Top) => self.go(0),
            Some(Action::End) => self.go(self.pages.len().saturating_sub(1)),
            Some(Action::NextFinding) => self.next_finding(to_end, common),
            Some(Action::NextUnread) => {
                self.leave(to_end);
                match self.reading.unread(self.route) {
                    Some((route, at)) => {
                        self.turn(route);
                        self.go(at);
                    }
                    None => common.note("Every page was read."),
                }
            }
            Some(Action::Options) => self.next_options(common),
            Some(Action::Resume) => self.take_up(common),
            Some(Action::Add) => {
                self.leave(to_end);
                self.approve(self.seconds(press.now), common);
            }
            action => scroll_by(&mut self.scroll, action, room, lines),
        }
        Vec::new()
    }

    /// The page shown is left; if its end was shown, it was read.
    fn leave(&mut self, to_end: bool) {
        if to_end && let Some(page) = self.pages.get(self.at) {
            self.reading.see(page);
        }
    }

    fn go(&mut self, at: usize) {
        (self.at, self.scroll, self.from_top) = (at, 0, true);
    }

    fn turn(&mut self, route: usize) {
        if route != self.route {
            self.route = route;
            self.pages = self.reading.pages(route);
        }
    }

    fn say_end(&self, common: &mut Common) {
        let (read, of) = self.reading.read_of();
        common.note(if read == of {
            "The last page, and every page was read.".to_owned()
        } else {
            format!("The last page of these options; {read} of {of} pages read. U leads to the next one.")
        });
    }

    fn next_finding(&mut self, to_end: bool, common: &mut Common) {
        self.leave(to_end);
        let count = self.pages.len();
        let ahead = (1..=count).map(|step| (self.at + step) % count.max(1));
        match ahead
            .into_iter()
            .find(|at| !self.pages[*at].findings.is_empty())
        {
            Some(at) => {
                self.go(at);
                self.show_finding(common);
            }
            None => common.note("Nothing was found on these options."),
        }
    }

    /// Scrolls to what was found, where it lies below the first rows.
    fn show_finding(&mut self, common: &Common) {
        let (lines, room) = self.rows(common);
        let Some(page) = self.page() else { return };
        let found = rows(page, self, common.size.0)
            .iter()
            .position(super::pages_view::Row::begins_finding);
        let last = lines.saturating_sub(room);
        self.scroll = found.map_or(0, |row| row.min(last));
        self.from_top = self.scroll == 0;
    }

    /// The same step under the next choice of options.
    fn next_options(&mut self, common: &mut Common) {
        if self.reading.routes().len() < 2 {
            common.note("This procedure has no options.");
            return;
        }
        let here = self.page().and_then(|page| page.step.clone());
        self.turn((self.route + 1) % self.reading.routes().len());
        let same = here.and_then(|here| {
            self.pages
                .iter()
                .position(|page| page.step.as_ref().is_some_and(|step| step.id == here.id))
        });
        let at = same.unwrap_or_else(|| self.at.min(self.pages.len().saturating_sub(1)));
        self.go(at);
    }

    fn approve(&self, seconds: u64, common: &mut Common) {
        let Some(approvers) = &self.approvers else {
            common.refuse(
                "no-home",
                "No home is open, so nothing is approved here.",
                "Approve it from the register, on its procedures.",
            );
            return;
        };
        let errors = self.reading.count(Severity::Error);
        if errors > 0 {
            common.refuse(
                "not-proven",
                format!("Errors found in the procedure: {errors}."),
                "N leads from one to the next; its author puts them right.",
            );
            return;
        }
        if !self.reading.is_whole() {
            let (read, of) = self.reading.read_of();
            common.refuse(
                "not-read-through",
                format!("{read} of {of} pages of the procedure were read."),
                "U leads to the next one that was not.",
            );
            return;
        }
        let procedure = self.reading.procedure();
        let entering = Entering::Approval {
            bytes: self.bytes.clone(),
            shown: format!("{} rev {}", procedure.number, procedure.revision),
            read: PagesRead::of(&self.reading, seconds, None),
            warnings: self.reading.count(Severity::Warning),
        };
        let sheet = sheet(
            Purpose::Register(entering),
            self.people.clone(),
            approvers.clone(),
            common,
        );
        common.open(Overlay::Form(Box::new(sheet)));
    }
}
