//! The running rebuild as lines for paper: what is done stands ticked, what is left has blanks to be filled in by hand and
//! entered late.

use reseat_procedure::outline::{OutlinedStep, outline};

use super::state::{Line, Rebuild};
use super::time::day_and_clock;
use crate::log::Stamp;

/// Longest line of the sheet, in characters: a page of plain text.
const COLUMNS: usize = 78;

impl Rebuild {
    /// The sheet as lines of plain text, as things stand at the stamp.
    #[must_use]
    pub fn sheet_lines(&self, stamp: &Stamp) -> Vec<String> {
        let started = &self.started;
        let mut lines = vec![
            format!(
                "{} {}, serial {}",
                started.place_tag, started.unit_name, started.unit_serial
            ),
            format!("Record {}", self.head.stream),
            format!(
                "{} revision {}, kit lot {}, work order {}",
                started.procedure, started.revision, started.kit_lot, started.work_order
            ),
            format!("State {}", self.state_words()),
            self.locks_words(),
            format!(
                "Printed {} from entry {}",
                day_and_clock(&stamp.utc, &stamp.offset),
                self.head.number
            ),
            String::new(),
            "Marked [x] is in the record. What is done from this paper is entered late, by who did it, \
             in this order, with its time. It proves no zero: zero is read anew before work goes on at \
             the screen. Every act under ZERO wants all locks on and this filled in first:"
                .to_owned(),
        ];
        for side in &self.procedure.zero {
            lines.push(format!(
                "  zero {}: gauge ________ reads ________  vent: what came __________  at ____ by ____",
                side.label
            ));
        }
        let outlined = outline(&self.procedure, &self.route.choices);
        let steps: Vec<&OutlinedStep> = outlined
            .sections
            .iter()
            .flat_map(|section| &section.steps)
            .collect();
        let mut section = String::new();
        for (index, line) in self.lines.iter().enumerate() {
            let title = self
                .section_of(index)
                .map(|section| section.title.clone())
                .unwrap_or_default();
            if title != section {
                lines.push(String::new());
                lines.push(title.to_uppercase());
                section = title;
            }
            let written = steps.iter().find(|step| step.id == line.id).copied();
            self.sheet_line(index, line, written, &mut lines);
        }
        lines.iter().flat_map(|line| broken(line)).collect()
    }

    fn sheet_line(
        &self,
        index: usize,
        line: &Line,
        written: Option<&OutlinedStep>,
        lines: &mut Vec<String>,
    ) {
        let number = match self.number(index) {
            0 => "   +".to_owned(),
            number => format!("{number:>4}"),
        };
        let text = self.text_of(line);
        if self.complete(line) {
            lines.push(format!("[x] {number}  {text}  {}", self.stands(line)));
            return;
        }
        let Some(written) = written else {
            lines.push(format!("[ ] {number}  {text}"));
            lines.push(blank("done"));
            return;
        };
        for warning in &written.warnings {
            lines.push(format!("          {warning}"));
        }
        lines.push(format!(
            "[ ] {number}  {text}  {}",
            match self.stands(line) {
                stands if stands.is_empty() => String::new(),
                stands => format!("({stands})"),
            }
        ));
        if written.asks.is_empty() {
            lines.push(blank("done"));
        }
        for (at, ask) in written.asks.iter().enumerate() {
            let closed = line.asks.get(at).is_some_and(|ask| ask.closed.is_some());
            if closed {
                lines.push(format!("          [x] {ask}"));
            } else {
                lines.push(format!("          {ask}"));
                lines.push(blank("read or seen ____________ instrument ________"));
                self.fastener_blanks(line, at, lines);
            }
        }
        for mark in &written.marks {
            lines.push(format!("          * {mark}: ____________"));
        }
    }

    /// A blank for each fastener of each pass of a joint that is still to be pulled, in the order they are pulled.
    fn fastener_blanks(&self, line: &Line, ask: usize, lines: &mut Vec<String>) {
        let asked = self.step_of(line).and_then(|step| step.asks.get(ask));
        let Some(reseat_procedure::model::Asked::Tighten { joint }) = asked else {
            return;
        };
        let Some(written) = self.joint(joint) else {
            return;
        };
        let order = super::joint::order_of(written);
        let state = self.joint_state(joint);
        let under_way = state.pass.max(1);
        for (pass, torque) in (1..).zip(&written.passes) {
            if pass < under_way {
                continue;
            }
            let blanks: Vec<String> = order
                .iter()
                .filter(|fastener| pass > under_way || !state.pulled.contains(fastener))
                .map(|fastener| format!("{fastener} ____"))
                .collect();
            lines.push(format!(
                "            pass {pass}, {torque}: {}",
                blanks.join("  ")
            ));
        }
    }
}

fn blank(what: &str) -> String {
    format!("          {what}  time ______ initials ______")
}

/// A line broken at the width of the sheet; what follows stands as far in as its text.
fn broken(line: &str) -> Vec<String> {
    if line.chars().count() <= COLUMNS {
        return vec![line.trim_end().to_owned()];
    }
    let inset: usize = line.chars().take_while(|letter| *letter == ' ').count();
    let inset = if line.starts_with('[') { 10 } else { inset + 2 };
    let mut lines = Vec::new();
    let mut now = String::new();
    for word in line.split(' ') {
        if now.chars().count() + 1 + word.chars().count() > COLUMNS && !now.trim().is_empty() {
            lines.push(now.trim_end().to_owned());
            now = " ".repeat(inset.saturating_sub(1));
        }
        if !lines.is_empty() || !now.is_empty() || word.is_empty() {
            now.push(' ');
        }
        now.push_str(word);
    }
    lines.push(now.trim_end().to_owned());
    lines
}
