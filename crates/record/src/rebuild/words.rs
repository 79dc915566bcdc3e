//! States of the unit and the work in words: never more than was recorded.

use reseat_procedure::model::{Deed, EnergyState};

use super::state::{Ended, Line, Rebuild};
use super::time::clock_face;
use super::view::{OpenItem, Tone};
use super::zero::Zero;
use crate::log::Stamp;

impl Rebuild {
    /// State of the unit for whoever comes to it: what is in it first, then whether it is apart, tight, tested.
    pub(super) fn unit_words(&self) -> String {
        if let Some(what) = self.in_it_words() {
            return format!("UNDER TEST, HANDS OFF: {what}");
        }
        let built = self.built_words();
        match self.due().map(|due| self.energy_at(due)) {
            Some(EnergyState::Running) => format!("IN SERVICE, {built}"),
            Some(EnergyState::Returning) => format!("RETURNING, {built}"),
            Some(EnergyState::Isolating) => format!("ZERO NOT PROVED, {built}"),
            _ => built.to_owned(),
        }
    }

    /// How far the unit is together: apart, not tight, not tested, or as before.
    fn built_words(&self) -> &'static str {
        let apart = self.off.iter().any(|(part, off)| {
            self.on.get(part).copied().unwrap_or(0) < *off && self.goes_on(part)
        });
        let begun = !self.off.is_empty();
        if apart {
            "APART"
        } else if self.joints.values().any(|joint| joint.loose) {
            "TOGETHER, NOT TIGHT"
        } else if begun && self.tests_open() {
            "TOGETHER, NOT TESTED"
        } else if begun {
            "TOGETHER, TESTED"
        } else {
            "NOT OPENED"
        }
    }

    /// Whether the part, or a new one in its place, is to go on again on this route.
    fn goes_on(&self, part: &str) -> bool {
        self.route.places.iter().any(|place| {
            Self::has_deed(
                self.procedure.step(*place),
                |deed| matches!(deed, Deed::On { part: named, .. } if named == part),
            )
        })
    }

    fn tests_open(&self) -> bool {
        self.lines.iter().any(|line| {
            self.step_of(line)
                .is_some_and(|step| step.energy == EnergyState::Test)
                && !self.complete(line)
        })
    }

    /// Locks recorded on, those that the procedure hangs and that are not on, and own locks.
    pub(super) fn locks_words(&self) -> String {
        let is_on = |point: &str| self.locks.get(point).is_some_and(|hung| hung.on);
        let points = &self.procedure.points;
        let hangs = |id: &str| {
            let deed = |deed: &Deed| matches!(deed, Deed::Lock { point } if point == id);
            self.lines.iter().any(|line| {
                line.not_applicable.is_none()
                    && self
                        .step_of(line)
                        .is_some_and(|step| Self::has_deed(step, deed))
            })
        };
        let on: Vec<String> = points
            .iter()
            .filter_map(|point| Some((point, self.locks.get(&point.id)?)))
            .filter(|(_, hung)| hung.on)
            .map(|(point, hung)| format!("{} on {}", hung.number, point.label))
            .collect();
        let off: Vec<String> = points
            .iter()
            .filter(|point| hangs(&point.id) && !is_on(&point.id))
            .map(|point| point.label.clone())
            .collect();
        let own: Vec<String> = self
            .own_locks
            .values()
            .map(|hung| format!("{} {}", hung.number, hung.name))
            .collect();
        let or_none = |list: Vec<String>| {
            let list = list.join(", ");
            if list.is_empty() {
                "none".to_owned()
            } else {
                list
            }
        };
        let count = format!("{} of {}", on.len(), on.len() + off.len());
        let off = if off.is_empty() {
            String::new()
        } else {
            format!(" Not locked: {}.", off.join(", "))
        };
        format!(
            "Locks recorded on, {count}: {}. Own locks: {}.{off}",
            or_none(on),
            or_none(own)
        )
    }

    /// Whether the isolating part of the work has been left behind.
    fn isolated_before(&self) -> bool {
        self.due().is_none_or(|due| {
            self.lines[..due].iter().any(|line| {
                self.step_of(line)
                    .is_some_and(|step| step.energy == EnergyState::Isolating)
            })
        })
    }

    /// State in words for the list of rebuilds, without the clock.
    pub(super) fn state_words(&self) -> String {
        if self.newer {
            return "written by a newer reseat".to_owned();
        }
        match (&self.ended, &self.pause) {
            (Some((Ended::Signed, _)), _) => "RETURNED".to_owned(),
            (Some((Ended::Incomplete, _)), _) => format!("INCOMPLETE, {}", self.unit_words()),
            (None, Some(pause)) => {
                let at = clock_face(&pause.mark.utc, &pause.mark.offset);
                match (&pause.stop, &pause.waiting_for) {
                    _ if pause.handed_over.is_some() => {
                        let part = pause.handed_over.as_ref();
                        let headline = part.map_or("", super::handover::Part::headline);
                        format!("{headline} {at}, {}", self.unit_words())
                    }
                    (Some(why), _) => format!("STOP {at} ({why}), {}", self.unit_words()),
                    (_, Some(part)) => format!("WAITING FOR PART ({part}), {}", self.unit_words()),
                    _ => format!("PAUSED {at}, {}", self.unit_words()),
                }
            }
            (None, None) => self.unit_words(),
        }
    }

    /// State on the strip, with locks and the age of the last zero reading, and its weight.
    pub(super) fn strip_state(&self, stamp: &Stamp) -> (String, Tone) {
        if self.newer || self.ended.is_some() {
            return (self.state_words(), Tone::Plain);
        }
        if self.pause.is_some() {
            return (self.state_words(), Tone::Watch);
        }
        let Some(due) = self.due() else {
            return (self.state_words(), Tone::Plain);
        };
        let energy = self.energy_at(due);
        let (on, of) = (
            self.locks.values().filter(|hung| hung.on).count(),
            self.required_locks(),
        );
        let zero = self.zero(stamp);
        let in_it = self.in_it_words();
        if let Some(lock) = self
            .lock_missing()
            .filter(|_| matches!(energy, EnergyState::Zero | EnergyState::Test))
        {
            let missing = self.lock_missing_words(&lock);
            let words = match in_it {
                Some(what) => format!("UNDER TEST, HANDS OFF  {what}; {missing}"),
                None if lock == "own" => missing,
                None => format!("LOCKED {on} of {of}: {missing}"),
            };
            return (words, Tone::Stop);
        }
        if let Some(words) = self.permit_stop(due, stamp) {
            return (format!("HANDS OFF: {words}"), Tone::Stop);
        }
        if let Some(what) = in_it.filter(|_| energy != EnergyState::Returning) {
            return (format!("UNDER TEST, HANDS OFF  {what}"), Tone::Stop);
        }
        match (energy, zero) {
            (EnergyState::Running, _) => ("IN SERVICE, not isolated".to_owned(), Tone::Plain),
            (EnergyState::Returning, _) => ("RETURNING".to_owned(), Tone::Watch),
            (EnergyState::Isolating, _) if !self.sides_proved() => (
                format!("NOT LOCKED: {on} of {of} on, zero not proved"),
                Tone::Watch,
            ),
            (EnergyState::Isolating, _) => (
                format!("LOCKED {on} of {of}, zero read, not released"),
                Tone::Watch,
            ),
            (_, Zero::Stands(age)) => (self.held_words(on, of, age), Tone::Held),
            (_, Zero::LookAgain) => (format!("LOCKED {on} of {of}: look again"), Tone::Watch),
            (_, Zero::Void(why)) => (format!("LOCKED {on} of {of}, ZERO VOID: {why}"), Tone::Stop),
            (_, Zero::LetIn(what)) => (format!("UNDER TEST, HANDS OFF  {what}"), Tone::Stop),
        }
    }

    /// Which lock is not on that must be.
    pub(super) fn lock_missing_words(&self, lock: &str) -> String {
        if lock == "own" {
            return "your own lock is not recorded on".to_owned();
        }
        let label = self.point(lock).map_or(lock, |point| &point.label);
        self.locks.get(lock).map_or_else(
            || format!("{label} not locked"),
            |hung| {
                let at = clock_face(&hung.mark.utc, &hung.mark.offset);
                format!("lock {} recorded OFF {at}", hung.number)
            },
        )
    }

    fn held_words(&self, on: usize, of: usize, age: Option<i64>) -> String {
        let yours = self
            .who
            .as_ref()
            .is_some_and(|who| self.own_locks.contains_key(&who.id));
        let yours = if yours { ", yours on" } else { "" };
        let read = self
            .proofs
            .values()
            .filter_map(|proof| proof.reading.as_ref())
            .map(|(mark, _)| mark)
            .min_by(|a, b| a.utc.cmp(&b.utc))
            .map_or_else(String::new, |mark| clock_face(&mark.utc, &mark.offset));
        match age {
            Some(minutes) => {
                format!("LOCKED {on} of {of}{yours}, ZERO READ {read} ({minutes} min)")
            }
            None => format!("LOCKED {on} of {of}{yours}, ZERO READ {read}"),
        }
    }

    /// Locks that are hung or still to be hung before hands-on work.
    fn required_locks(&self) -> usize {
        if self.isolated_before()
            && self
                .due()
                .is_some_and(|due| self.energy_at(due) != EnergyState::Isolating)
        {
            return self.locks.len();
        }
        self.procedure
            .points
            .iter()
            .filter(|point| point.lock.is_some())
            .count()
            .max(self.locks.len())
    }

    /// What is loose or off.
    pub(super) fn loose(&self) -> Vec<String> {
        let mut loose: Vec<String> = Vec::new();
        for (id, state) in self.joints.iter().filter(|(_, state)| state.loose) {
            let label = self.joint(id).map_or("", |joint| joint.label.as_str());
            match self.joint(id) {
                Some(written) if state.under_way() => {
                    let left: Vec<String> = super::joint::order_of(written)
                        .into_iter()
                        .filter(|fastener| !state.pulled.contains(fastener))
                        .map(|fastener| fastener.to_string())
                        .collect();
                    let named = &written.fasteners_named;
                    loose.push(format!(
                        "{id} {label}: {named} {} in pass {} of {}",
                        left.join(" "),
                        state.pass,
                        written.passes.len()
                    ));
                }
                _ => loose.push(format!("{id} {label}")),
            }
        }
        let apart: Vec<&str> = self
            .off
            .iter()
            .filter(|(part, off)| {
                self.on.get(*part).copied().unwrap_or(0) < **off && self.goes_on(part)
            })
            .map(|(part, _)| self.part_label(part))
            .collect();
        if !apart.is_empty() {
            loose.push(format!("off: {}", apart.join(", ")));
        }
        for cover in &self.covers {
            loose.push(format!("{cover} on"));
        }
        loose
    }

    pub(super) fn next_words(&self) -> String {
        self.due().map_or_else(
            || "nothing".to_owned(),
            |index| {
                format!(
                    "{} {}",
                    self.number(index),
                    self.text_of(&self.lines[index])
                )
            },
        )
    }

    /// The last entry in words, for taking up.
    pub(super) fn last_kept(&self) -> Option<String> {
        let entry = self.entries.iter().rev().find(|entry| {
            !matches!(
                entry.kind.as_str(),
                "paused/1" | "handed_over/1" | "stopped/1" | "taken_up/1" | "waiting/1"
            )
        })?;
        let line = self.record_line_of(entry, None);
        Some(format!("{} {} ({})", line.text, line.by, line.time))
    }

    /// How a line stands in words.
    pub(super) fn stands(&self, line: &Line) -> String {
        if line.not_applicable.is_some() {
            return "not applicable".to_owned();
        }
        if self.complete(line) {
            let mark = line
                .released
                .as_ref()
                .or(line.verified.as_ref())
                .or(line.acted.as_ref())
                .or_else(|| {
                    line.asks
                        .iter()
                        .filter_map(|ask| ask.closed.as_ref())
                        .next_back()
                });
            let proof = self.proof_of(line);
            return mark.map_or_else(String::new, |mark| {
                format!("{proof} {}", clock_face(&mark.utc, &mark.offset))
            });
        }
        let Some(step) = self.step_of(line) else {
            return String::new();
        };
        if line.hands.is_empty() {
            return if line.voided > 0 {
                "to be done again".to_owned()
            } else {
                String::new()
            };
        }
        if self.acts_in(line, step) && step.verify.is_some() && line.verified.is_none() {
            return "NOT VERIFIED".to_owned();
        }
        "begun".to_owned()
    }

    /// By what a complete line was proved: the signature, the one reading with its verdict, or that it was done.
    fn proof_of(&self, line: &Line) -> String {
        if line.released.is_some() {
            return "released".to_owned();
        }
        if line.verified.is_some() {
            return "verified".to_owned();
        }
        let mut readings = self
            .readings
            .values()
            .filter(|kept| kept.line == line.id && !kept.struck);
        match (readings.next(), readings.next()) {
            (Some(only), None) => match only.place {
                Some(place) => format!("{} {}", only.means, place),
                None => only.means.clone(),
            },
            _ => "done".to_owned(),
        }
    }

    /// Parts whose pieces off and on do not agree although every act that puts them on is done or passed over.
    pub(super) fn unbalanced(&self) -> Vec<String> {
        let due = self.due().unwrap_or(self.lines.len());
        let mut found = Vec::new();
        for (part, off) in &self.off {
            let later = self.lines[due..]
                .iter()
                .filter_map(|line| self.step_of(line))
                .any(|step| {
                    Self::has_deed(
                        step,
                        |deed| matches!(deed, Deed::On { part: named, .. } if named == part),
                    )
                });
            let on = self.on.get(part).copied().unwrap_or(0);
            if self.goes_on(part) && !later && on != *off {
                found.push(format!("{}: off {off}, on {on}", self.part_label(part)));
            }
        }
        found
    }

    /// What still stands open and keeps the record from being signed.
    #[must_use]
    pub fn open_items(&self) -> Vec<OpenItem> {
        self.open_items_but("")
    }

    pub(super) fn open_items_but(&self, step: &str) -> Vec<OpenItem> {
        let mut open = Vec::new();
        for finding in self
            .findings
            .iter()
            .filter(|finding| finding.decided.is_none())
        {
            open.push(item(
                format!("Finding {}: {}", finding.number, finding.words),
                "A person with the role decides and signs.",
            ));
        }
        open.extend(self.steps_left_but(step));
        for finding in &self.findings {
            if let Some((_, decision, _)) = &finding.decided
                && matches!(decision.as_str(), "swap unit" | "scrap unit")
            {
                open.push(item(
                    format!("Finding {}: {decision}", finding.number),
                    "Close this work INCOMPLETE.",
                ));
            }
        }
        open.extend(self.locks_left());
        for cover in &self.covers {
            open.push(item(
                format!("{cover} is recorded on the unit"),
                "Take it off in its step.",
            ));
        }
        for text in self.unbalanced() {
            open.push(item(text, "Count again; find the piece."));
        }
        if let Some(words) = self.let_in_words() {
            open.push(item(
                format!("{words} was let in, zero not read since"),
                "Vent and prove zero.",
            ));
        }
        open
    }

    fn steps_left_but(&self, step: &str) -> impl Iterator<Item = OpenItem> {
        let lines = self.lines.iter().enumerate();
        let left = lines.filter(move |(_, line)| line.id != step && !self.complete(line));
        left.map(|(index, line)| {
            let what = if self.stands(line) == "NOT VERIFIED" {
                "NOT VERIFIED"
            } else {
                "not done"
            };
            let text = self.text_of(line);
            let text = text.trim_end_matches('.');
            item(format!("{} {text}: {what}", self.number(index)), "Do it.")
        })
    }

    /// Locks recorded: a point's, on or off, until its step is done; and the workers' own.
    fn locks_left(&self) -> Vec<OpenItem> {
        let mut left = Vec::new();
        for (point, hung) in &self.locks {
            let label = self
                .point(point)
                .map_or(point.as_str(), |point| point.label.as_str());
            left.push(item(
                format!(
                    "Lock {} on {label} is recorded {}",
                    hung.number,
                    if hung.on { "on" } else { "off" }
                ),
                "Take it off in its step.",
            ));
        }
        for hung in self.own_locks.values() {
            left.push(item(
                format!("Own lock {} of {} is recorded on", hung.number, hung.name),
                "Its owner takes it off.",
            ));
        }
        left
    }
}

fn item(text: String, remedy: &str) -> OpenItem {
    OpenItem {
        text,
        remedy: remedy.to_owned(),
    }
}
