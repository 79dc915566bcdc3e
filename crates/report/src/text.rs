//! The record as plain text lines.

use reseat_record::rebuild::view::{PlanLine, RecordLine};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::record::{Part, Record};

/// The record as text: title, state, what failed, how energy was controlled, every entry. With a width no line is wider than it
/// (40 columns at least); without one each entry is one line, so that it can be searched.
#[must_use]
pub fn text(record: &Record, width: Option<usize>) -> String {
    let width = width.map_or(usize::MAX, |width| width.max(40));
    let mut out = Lines {
        width,
        text: String::new(),
    };
    if record.demo {
        out.put("", "DEMO RECORD: invented site, invented people.");
    }
    out.put("", &record.title);
    let names = record.lines.iter().map(|line| line.by.width());
    let by = names.max().unwrap_or_default();
    for part in record.parts() {
        match part {
            Part::Heading(text) | Part::Said(text) => out.put("", &text),
            Part::Entry(line) => out.put(&head(line, by), &line.text),
            Part::Energy(line) => out.energy(line),
            Part::Gap => out.text.push('\n'),
        }
    }
    out.text
}

/// Number, time and name of an entry; its words go on beside them.
fn head(line: &RecordLine, by: usize) -> String {
    let fill = " ".repeat(by.saturating_sub(line.by.width()));
    format!("{:>4}  {:<6} {}{fill}  ", line.number, line.time, line.by)
}

struct Lines {
    width: usize,
    text: String,
}

impl Lines {
    fn energy(&mut self, line: &PlanLine) {
        self.put("  ", &line.heading());
        for (name, said) in line.rows() {
            self.put(&format!("    {name:<12} "), &said);
        }
    }

    /// A line under its head, broken at blanks; what goes on below is indented as far as the head is wide.
    fn put(&mut self, head: &str, text: &str) {
        // Beside a head that leaves no room the words go on below it.
        let indent = head.width().min(self.width / 2);
        self.text.push_str(head);
        let mut used = head.width();
        let mut fresh = true;
        for word in text.split(' ') {
            if !fresh && used + 1 + word.width() > self.width {
                used = self.go_on(indent);
                fresh = true;
            }
            if !fresh {
                self.text.push(' ');
                used += 1;
            }
            fresh = false;
            for character in word.chars() {
                let wide = character.width().unwrap_or_default();
                if used + wide > self.width {
                    used = self.go_on(indent);
                }
                self.text.push(character);
                used += wide;
            }
        }
        self.end();
    }

    /// Ends the line and begins the next, indented; how far it is filled.
    fn go_on(&mut self, indent: usize) -> usize {
        self.end();
        self.text.extend(std::iter::repeat_n(' ', indent));
        indent
    }

    fn end(&mut self) {
        self.text.truncate(self.text.trim_end_matches(' ').len());
        self.text.push('\n');
    }
}
