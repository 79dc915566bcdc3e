//! `reseat verify`: whether records are whole, and which entry is not.
//!
//! Works from the bytes: it opens no desk, since a home with a tampered register opens none.

use reseat_history::{Copy, Found, History, Home, Origin};
use reseat_record::log::{Chain, Head, Id, Sealed, verify_chain};
use reseat_record::rebuild::{self, Rebuild, must_sign};
use reseat_record::register::{Founded, Register};
use reseat_record::verify::{pinned, register_signatures, signatures};
use serde_json::json;

use super::{Answer, Context, Stop, table};
use crate::desk::Fault;

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Records by their identifier, or a beginning of four or more characters; none: all of them
    #[arg(value_name = "RECORD")]
    records: Vec<String>,
    /// Every record and register of this home
    #[arg(long, conflicts_with = "records")]
    all: bool,
    /// Write JSON: an array with record, result, entry and reason
    #[arg(long)]
    json: bool,
}

/// What was found of one copy of a record.
struct Outcome {
    record: Id,
    result: &'static str,
    entry: Option<u64>,
    reason: String,
}

pub(super) fn run(args: &Args, context: &mut Context) -> Result<Answer, Stop> {
    let history = open(context)?;
    let copies = if args.records.is_empty() {
        history.copies()?
    } else {
        let mut chosen = Vec::new();
        for typed in &args.records {
            chosen.extend(history.copies_of(&record(&history, typed)?)?);
        }
        chosen
    };
    let mut outcomes = Vec::with_capacity(copies.len());
    for copy in &copies {
        outcomes.push(judge(&history, copy)?);
    }
    let bad = outcomes
        .iter()
        .filter(|outcome| !matches!(outcome.result, "whole" | "open") || outcome.entry.is_some())
        .count();
    if args.json {
        let list: Vec<_> = outcomes
            .iter()
            .map(|outcome| {
                json!({"record": outcome.record.to_string(), "result": outcome.result, "entry": outcome.entry,
                       "reason": outcome.reason})
            })
            .collect();
        context.out.json(&json!(list))?;
    } else {
        let rows: Vec<Vec<String>> = outcomes
            .into_iter()
            .map(|outcome| {
                let entry = outcome
                    .entry
                    .map(|number| number.to_string())
                    .unwrap_or_default();
                vec![
                    outcome.record.to_string(),
                    outcome.result.to_owned(),
                    entry,
                    outcome.reason,
                ]
            })
            .collect();
        table::print(
            &mut context.out,
            &["record", "result", "entry", "reason"],
            &rows,
        )?;
    }
    Ok(if bad == 0 { Answer::Yes } else { Answer::No })
}

/// The history of the home, for reading.
pub(super) fn open(context: &Context) -> Result<History, Stop> {
    let root = context.around.home()?;
    Context::time()?;
    Ok(History::open_read_only(&Home::look(root)?)?)
}

/// The record that an identifier or its beginning names.
pub(super) fn record(history: &History, typed: &str) -> Result<Id, Stop> {
    match history.find(typed)? {
        Found::One(id) => Ok(id),
        Found::None => Err(Fault::NoRebuild {
            typed: typed.to_owned(),
        }
        .into()),
        Found::Many(ids) => Err(Fault::ManyRecords {
            typed: typed.to_owned(),
            ids,
        }
        .into()),
        Found::TooShort => Err(Fault::ShortBeginning {
            typed: typed.to_owned(),
        }
        .into()),
    }
}

fn judge(history: &History, copy: &Copy) -> Result<Outcome, Stop> {
    let origin = match &copy.origin {
        Origin::Home => String::new(),
        Origin::Brought(words) => format!("Brought in: {words}. "),
    };
    let outcome = |result, entry, reason: &str| Outcome {
        record: copy.stream,
        result,
        entry,
        reason: format!("{origin}{reason}").trim_end().to_owned(),
    };
    let entries = match history.entries_of(copy) {
        Ok(entries) => entries,
        Err(fault) => return Ok(outcome("unreadable", None, &fault.sentence())),
    };
    let judged = match verify_chain(entries.iter().map(Vec::as_slice)) {
        Chain::Empty => return Ok(outcome("unreadable", None, "It has no entry.")),
        Chain::Broken { number, reason } => broken(history, copy, number, &reason.to_string())?,
        Chain::Newer { number, what, .. } => Judged::Bad {
            result: "newer",
            entry: number,
            reason: format!("{what}."),
        },
        Chain::Whole { head } => match stored_otherwise(history, copy, &head)? {
            Some(bad) => bad,
            None => deeper(history, &entries)?,
        },
    };
    Ok(match judged {
        Judged::Whole => outcome("whole", None, ""),
        Judged::Open => outcome("open", None, ""),
        Judged::Bad {
            result,
            entry,
            reason,
        } => outcome(result, Some(entry), &reason),
    })
}

/// A chain that does not hold. An entry without a signature is found out by the hash in the one after it; the hash stored
/// beside it says which of the two was changed.
fn broken(history: &History, copy: &Copy, number: u64, reason: &str) -> Result<Judged, Stop> {
    let changed = history
        .disagreements(copy)?
        .into_iter()
        .find(|changed| *changed < number);
    Ok(match changed {
        Some(changed) => tampered(changed, "The entry is not the one that was hashed.".into()),
        None => tampered(number, format!("{reason}.")),
    })
}

/// What is stored beside a whole chain and says other than its entries: stream, columns, head.
fn stored_otherwise(history: &History, copy: &Copy, head: &Head) -> Result<Option<Judged>, Stop> {
    if head.stream != copy.stream {
        let reason = format!("The entries are those of {}.", head.stream);
        return Ok(Some(tampered(1, reason)));
    }
    if let Some(number) = history.disagreements(copy)?.first() {
        let reason = "The stored columns say other than the entry.".to_owned();
        return Ok(Some(tampered(*number, reason)));
    }
    let rows = history.rows_of(&copy.stream)?;
    let row = rows
        .iter()
        .find(|listed| listed.copy == *copy)
        .map(|listed| &listed.row)
        .filter(|row| row.head > head.number);
    Ok(row.map(|row| {
        let first = head.number + 1;
        let reason = format!("Entries {first} to {} are missing.", row.head);
        tampered(first, reason)
    }))
}

/// What the meaning of the entries says, the chain being whole.
enum Judged {
    Whole,
    Open,
    Bad {
        result: &'static str,
        entry: u64,
        reason: String,
    },
}

fn tampered(entry: u64, reason: String) -> Judged {
    Judged::Bad {
        result: "tampered",
        entry,
        reason,
    }
}

fn deeper(history: &History, stored: &[Vec<u8>]) -> Result<Judged, Stop> {
    let entries: Vec<Sealed> = stored
        .iter()
        .filter_map(|bytes| Sealed::read(bytes).ok())
        .collect();
    let Some(first) = entries.first() else {
        return Ok(Judged::Whole);
    };
    if first.entry.kind == Founded::KIND {
        Ok(of_register(&entries))
    } else {
        of_rebuild(history, &entries)
    }
}

/// A rebuild: its signatures against the register it rests on, and whether it has ended.
fn of_rebuild(history: &History, entries: &[Sealed]) -> Result<Judged, Stop> {
    let mut state = Judged::Open;
    for sealed in entries {
        let entry = &sealed.entry;
        match rebuild::Body::read(entry) {
            None => {
                let reason = format!("Written by a newer reseat (kind {}).", entry.kind);
                return Ok(Judged::Bad {
                    result: "newer",
                    entry: entry.number,
                    reason,
                });
            }
            Some(rebuild::Body::SignedOff(_) | rebuild::Body::ClosedIncomplete(_)) => {
                state = Judged::Whole;
            }
            Some(_) => {}
        }
    }
    let pin = entries.iter().find_map(pinned);
    let Some(Ok(pin)) = pin else {
        let reason = "It does not say which register it rests on.".to_owned();
        return Ok(Judged::Bad {
            result: "tampered",
            entry: 1,
            reason,
        });
    };
    let Some(register) = register_of(history, &pin.stream)? else {
        let reason = format!(
            "The register {} it rests on is not here, or does not hold.",
            pin.stream
        );
        return Ok(Judged::Bad {
            result: "unreadable",
            entry: 1,
            reason,
        });
    };
    Ok(
        match signatures(&register, entries, must_sign).into_iter().next() {
            Some(finding) => Judged::Bad {
                result: "tampered",
                entry: finding.number,
                reason: finding.reason,
            },
            None => worked_out_again(history, entries, state)?,
        },
    )
}

/// Verdicts worked out again from the numbers and the bound procedure. A difference is a finding, not tampering: the bytes
/// are those that were signed, and the record stays whole or open.
fn worked_out_again(history: &History, entries: &[Sealed], state: Judged) -> Result<Judged, Stop> {
    let text = match entries.first().and_then(Rebuild::bound_text) {
        Some(hash) => history.text(&hash)?,
        None => None,
    };
    let Some(procedure) = text.and_then(|text| reseat_procedure::read(&text).ok()) else {
        return Ok(state);
    };
    let differs = rebuild::recheck(&procedure, entries).into_iter().next();
    Ok(match (differs, state) {
        (Some((entry, reason)), Judged::Whole) => Judged::Bad {
            result: "whole",
            entry,
            reason,
        },
        (Some((entry, reason)), _) => Judged::Bad {
            result: "open",
            entry,
            reason,
        },
        (None, state) => state,
    })
}

/// A register held here, folded; none where it is not here or its chain does not hold.
fn register_of(history: &History, stream: &Id) -> Result<Option<Register>, Stop> {
    let stored = history.entries(stream)?;
    let entries: Result<Vec<Sealed>, _> = stored.iter().map(|bytes| Sealed::read(bytes)).collect();
    Ok(entries
        .ok()
        .filter(|entries| !entries.is_empty())
        .and_then(|entries| Register::replay(*stream, &entries).ok()))
}

fn of_register(entries: &[Sealed]) -> Judged {
    let Some(first) = entries.first() else {
        return Judged::Whole;
    };
    let register = match Register::replay(first.entry.stream, entries) {
        Ok(register) => register,
        Err(damage) => {
            return Judged::Bad {
                result: "tampered",
                entry: first.entry.number,
                reason: format!("{damage}."),
            };
        }
    };
    if let Some((number, kind)) = register.newer() {
        let reason = format!("Written by a newer reseat (kind {kind}).");
        return Judged::Bad {
            result: "newer",
            entry: number,
            reason,
        };
    }
    match register_signatures(&register, entries).into_iter().next() {
        Some(finding) => Judged::Bad {
            result: "tampered",
            entry: finding.number,
            reason: finding.reason,
        },
        None => Judged::Whole,
    }
}
