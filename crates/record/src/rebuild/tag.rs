//! What goes onto paper: the text for the tag of an unfinished unit, and what the outgoing person is shown.

use super::state::{Ended, Mark, Rebuild};
use super::time::day_and_clock;
use crate::log::{Id, Stamp};
use crate::register::Register;

/// Longest line of the tag, in characters: what is written by hand on a paper tag without breaking it.
pub const TAG_COLUMNS: usize = 36;

impl Rebuild {
    /// The text for the paper tag of the unit as it stands now, in lines of [`TAG_COLUMNS`] at most: what it is, its state,
    /// locks, what is loose, what not to do, the record, who and when.
    #[must_use]
    pub fn tag_lines(&self, register: &Register, stamp: &Stamp) -> Vec<String> {
        let mut lines = Vec::new();
        let mut say = |head: &str, text: &str| lines.extend(broken(head, text));
        say("DO NOT OPERATE", "");
        say("", &self.started.place_tag);
        say("", &self.started.unit_name);
        say("serial", &self.started.unit_serial);
        say("STATE", &self.state_words());
        let left = self
            .pause
            .as_ref()
            .and_then(|pause| pause.handed_over.as_ref())
            .and_then(super::handover::Part::left);
        if let Some(left) = left {
            say("LEFT", left);
        }
        let locks: Vec<String> = self
            .locks
            .iter()
            .filter(|(_, hung)| hung.on)
            .map(|(point, hung)| {
                let label = self
                    .point(point)
                    .map_or(point.as_str(), |point| &point.label);
                format!("{} {label}", hung.number)
            })
            .collect();
        if locks.is_empty() {
            say("LOCKS", "none recorded on");
        }
        for lock in &locks {
            say("LOCK", lock);
        }
        for off in self.locks.values().filter(|hung| !hung.on) {
            say("LOCK OFF", &off.number);
        }
        for own in self.own_lock_list() {
            say("OWN LOCK", &own);
        }
        for loose in self.loose() {
            say("LOOSE", &loose);
        }
        for not in self.not_to_do() {
            say("DO NOT", not);
        }
        if let Some(words) = self.in_it_words() {
            say("IN IT", &format!("{words}. Keep clear, vent first."));
        }
        say("NEXT", &self.next_words());
        say("RECORD", &self.head.stream.to_string());
        let (by, mark) = self.written_by();
        let name = by.map_or_else(String::new, |id| self.name_of(register, id));
        let at = mark.map_or_else(
            || day_and_clock(&stamp.utc, &stamp.offset),
            |mark| day_and_clock(&mark.utc, &mark.offset),
        );
        say("BY", &name);
        say("AT", &at);
        say("", "This tag proves no zero: read it anew.");
        lines
    }

    /// What the outgoing person is shown before he adds his words: unit, what is loose, what is next, locks.
    #[must_use]
    pub fn outgoing_lines(&self) -> Vec<String> {
        let loose = self.loose();
        let loose = if loose.is_empty() {
            "nothing recorded".to_owned()
        } else {
            loose.join("; ")
        };
        vec![
            format!("Unit: {}. Loose: {loose}.", self.unit_words()),
            format!("Next: {}", self.next_words()),
            self.locks_words(),
        ]
    }

    /// Whether the outgoing part is written and nobody has taken up since.
    #[must_use]
    pub fn is_handed_over(&self) -> bool {
        self.pause
            .as_ref()
            .is_some_and(|pause| pause.handed_over.is_some())
    }

    /// What the tag warns of; where nothing is isolated nor opened, only that work began.
    fn not_to_do(&self) -> Vec<&'static str> {
        if self.locks.is_empty() && self.off.is_empty() {
            return vec!["begin without the record: work on it has begun"];
        }
        let mut not = vec!["take a lock off", "open, shut or pressurize anything"];
        if !self.loose().is_empty() {
            not.push("touch what is loose or off");
        }
        not
    }

    fn own_lock_list(&self) -> Vec<String> {
        let own = self.own_locks.values();
        own.map(|hung| format!("{} {}", hung.number, hung.name))
            .collect()
    }

    /// Who wrote how it stands, and when: the pause, the end, or whoever has it in hand.
    fn written_by(&self) -> (Option<Id>, Option<&Mark>) {
        let held = self.who.as_ref().map(|who| who.id);
        match (&self.ended, &self.pause) {
            (Some((Ended::Signed | Ended::Incomplete, mark)), _) => (mark.by, Some(mark)),
            (None, Some(pause)) => (pause.mark.by.or(held), Some(&pause.mark)),
            (None, None) => (held, None),
        }
    }

    fn name_of(&self, register: &Register, id: Id) -> String {
        let known = register.person(id).map(|person| person.name.clone());
        known
            .or_else(|| self.name_known(id))
            .unwrap_or_else(|| id.to_string())
    }
}

/// One entry of the tag in lines of the tag's width; lines after the first stand two further in.
fn broken(head: &str, text: &str) -> Vec<String> {
    let all = format!("{head} {text}");
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in all.split_whitespace() {
        let mut word = word;
        let long = line.chars().count() + 1 + word.chars().count() > TAG_COLUMNS;
        if long && !line.trim().is_empty() {
            lines.push(std::mem::replace(&mut line, " ".to_owned()));
        }
        // A word longer than the tag is broken where the tag ends.
        while line.chars().count() + 1 + word.chars().count() > TAG_COLUMNS {
            let room = TAG_COLUMNS - line.chars().count() - 1;
            let cut = word
                .char_indices()
                .nth(room)
                .map_or(word.len(), |(at, _)| at);
            let (now, later) = word.split_at(cut);
            lines.push(format!("{line} {now}"));
            " ".clone_into(&mut line);
            word = later;
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines.push(line);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_longer_than_the_tag_and_no_letter_is_lost() {
        for (head, text) in [
            ("LOOSE", "J1 bonnet: nuts 7 2 6 4 8 in pass 2 of 4"),
            ("", "a"),
            ("DO NOT OPERATE", ""),
            ("NEXT", &"x".repeat(90)),
            ("NEXT", &format!("Fit {} and go on", "ü".repeat(50))),
        ] {
            let lines = broken(head, text);
            assert!(
                lines.iter().all(|line| line.chars().count() <= TAG_COLUMNS),
                "{lines:?}"
            );
            let letters = |text: &str| text.split_whitespace().collect::<String>();
            assert_eq!(letters(&lines.concat()), letters(&format!("{head}{text}")));
        }
    }
}
