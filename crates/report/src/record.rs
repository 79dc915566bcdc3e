//! A rebuild's record as its reader meets it: what it is, what failed, how energy was controlled, then every entry.

use reseat_record::log::{Chain, Id, verify_chain};
use reseat_record::rebuild::Rebuild;
use reseat_record::rebuild::view::{PlanLine, RecordLine};
use reseat_record::recall::{in_doubt, with_doubt};
use reseat_record::register::Register;
use reseat_record::text::counted;

/// A rebuild's record read back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Record {
    /// Tag, unit, serial.
    pub title: String,
    /// Procedure, dates and outcome; state; by which rule it was judged; identifier and whether its chain is whole.
    pub state: Vec<String>,
    /// Every entry in words, what belongs on the first page in front.
    pub lines: Vec<RecordLine>,
    /// The rule the site follows for the control of energy.
    pub rule: String,
    /// Each source and stored energy, and how it was controlled.
    pub plan: Vec<PlanLine>,
    /// Whether it is a demo record.
    pub demo: bool,
}

/// A piece of the record, in the order it is read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Part<'a> {
    /// Over what follows.
    Heading(String),
    /// An entry.
    Entry(&'a RecordLine),
    /// A source or stored energy.
    Energy(&'a PlanLine),
    /// A sentence.
    Said(String),
    /// An empty line.
    Gap,
}

impl Record {
    /// Reads the record back; `entries` are its bytes as stored, from which the chain is verified.
    #[must_use]
    pub fn of(
        stream: &Id,
        rebuild: &Rebuild,
        register: &Register,
        entries: &[Vec<u8>],
        demo: bool,
    ) -> Self {
        let started = rebuild.started();
        let summary = rebuild.summary();
        let outcome = match (&summary.outcome, summary.closed.as_deref().map(day)) {
            (Some(outcome), Some(closed)) => format!("{outcome} {closed}"),
            (Some(outcome), None) => outcome.clone(),
            (None, _) => "open".to_owned(),
        };
        let doubts = in_doubt(register, stream).len();
        Self {
            title: format!(
                "{} {}, serial {}",
                started.place_tag, started.unit_name, started.unit_serial
            ),
            state: vec![
                format!(
                    "{} rev {}   started {} by {}   {outcome}",
                    started.procedure,
                    started.revision,
                    day(&summary.started),
                    summary.by
                ),
                with_doubt(summary.state, doubts),
                format!("{}.", rebuild.judged_by()),
                format!("Record {stream}. {}", chain_words(entries)),
            ],
            lines: rebuild.record_lines(register),
            rule: started.rule.clone(),
            plan: rebuild.energy_plan(),
            demo,
        }
    }

    /// Everything below the title, in order: failures and exceptions, control of energy, every entry.
    #[must_use]
    pub fn parts(&self) -> Vec<Part<'_>> {
        let mut parts: Vec<Part<'_>> = self.state.iter().cloned().map(Part::Heading).collect();
        parts.push(Part::Gap);
        let first: Vec<&RecordLine> = self.lines.iter().filter(|line| line.first_page).collect();
        if first.is_empty() {
            let none = "Nothing failed, was struck, overridden, not applicable or deviated from.";
            parts.push(Part::Said(none.to_owned()));
        } else {
            let heading = "Failed, struck, overridden, not applicable, deviations, findings";
            parts.push(Part::Heading(format!("{heading}: {}", first.len())));
            parts.extend(first.into_iter().map(Part::Entry));
        }
        if !self.plan.is_empty() {
            parts.push(Part::Gap);
            let heading = format!("How energy was controlled, by the rule {}", self.rule);
            parts.push(Part::Heading(heading));
            parts.extend(self.plan.iter().map(Part::Energy));
        }
        parts.push(Part::Gap);
        parts.push(Part::Heading(match self.lines.len() {
            1 => "The one entry".to_owned(),
            all => format!("All {all} entries in order"),
        }));
        let mut every: Vec<&RecordLine> = self.lines.iter().collect();
        every.sort_by_key(|line| line.number);
        parts.extend(every.into_iter().map(Part::Entry));
        parts.push(Part::Gap);
        let end = "Whether a unit may be pressurized is decided at the unit; this record proves nothing about energy.";
        parts.push(Part::Said(end.to_owned()));
        parts
    }
}

/// Whether the chain of these bytes holds, and its last hash.
#[must_use]
pub fn chain_words(entries: &[Vec<u8>]) -> String {
    match verify_chain(entries.iter().map(Vec::as_slice)) {
        Chain::Whole { head } => format!(
            "Chain of {}: whole; every signature holds under the key it names. Last hash {}",
            counted(entries.len(), "entry", "entries"),
            head.hash
        ),
        Chain::Empty => "There are no entries.".to_owned(),
        Chain::Newer { number, what, .. } => {
            format!("Entry {number} was written by a newer reseat ({what}): no state is claimed.")
        }
        Chain::Broken { number, reason } => {
            format!("THE CHAIN BREAKS at entry {number}: {reason}. Do not rely on this record.")
        }
    }
}

fn day(utc: &str) -> &str {
    utc.get(..10).unwrap_or(utc)
}
