//! `reseat history`: the rebuilds at a place or of a unit.

use reseat_history::RebuildRow;
use reseat_record::recall::{doubts_by_rebuild, with_doubt};
use reseat_record::refusal::Refusal;
use serde_json::json;

use super::{Answer, Context, Stop, table};
use crate::desk::Fault;

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Tag of the place
    #[arg(required_unless_present = "serial", conflicts_with = "serial")]
    tag: Option<String>,
    /// Serial of the unit, wherever it was
    #[arg(long)]
    serial: Option<String>,
    /// Write JSON: an array with record, started, closed, by, outcome, tag, serial, state and in_doubt (how many readings)
    #[arg(long)]
    json: bool,
}

pub(super) fn run(args: &Args, context: &mut Context) -> Result<Answer, Stop> {
    let desk = context.read()?;
    let rows = match (&args.tag, &args.serial) {
        (_, Some(serial)) => {
            if desk.register().unit(serial).is_none() {
                return Err(Fault::from(Refusal::NoUnit {
                    serial: serial.clone(),
                })
                .into());
            }
            desk.past(serial)?
        }
        (Some(tag), None) => {
            if desk.register().place(tag).is_none() {
                return Err(Fault::from(Refusal::NoPlace { tag: tag.clone() }).into());
            }
            desk.past_at(tag)?
        }
        (None, None) => Vec::new(),
    };
    let doubts = doubts_by_rebuild(desk.register());
    let in_doubt = |row: &RebuildRow| doubts.get(&row.stream).copied().unwrap_or_default();
    if args.json {
        let rows: Vec<_> = rows.iter().map(|row| as_json(row, in_doubt(row))).collect();
        context.out.json(&json!(rows))?;
    } else if rows.is_empty() {
        context.out.line("No rebuild yet.")?;
    } else {
        let rows: Vec<Vec<String>> = rows
            .iter()
            .map(|row| as_cells(row, in_doubt(row)))
            .collect();
        table::print(
            &mut context.out,
            &["record", "serial", "started", "closed", "by", "outcome"],
            &rows,
        )?;
    }
    Ok(Answer::Yes)
}

fn as_json(row: &RebuildRow, in_doubt: usize) -> serde_json::Value {
    json!({"record": row.stream.to_string(), "started": row.started, "closed": row.closed, "by": row.by,
           "outcome": row.outcome, "tag": row.tag, "serial": row.serial, "state": row.state, "in_doubt": in_doubt})
}

fn as_cells(row: &RebuildRow, in_doubt: usize) -> Vec<String> {
    vec![
        row.stream.to_string(),
        row.serial.clone().unwrap_or_default(),
        minute(&row.started),
        row.closed
            .as_deref()
            .map_or_else(|| "open".to_owned(), minute),
        row.by.clone().unwrap_or_default(),
        with_doubt(
            row.outcome.clone().unwrap_or_else(|| row.state.clone()),
            in_doubt,
        ),
    ]
}

/// `2026-03-12T12:55:02.120Z` as `2026-03-12 12:55Z`.
pub(super) fn minute(utc: &str) -> String {
    match (utc.get(..10), utc.get(11..16)) {
        (Some(day), Some(time)) => format!("{day} {time}Z"),
        _ => utc.to_owned(),
    }
}
