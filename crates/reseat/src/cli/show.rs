//! `reseat show`: one record in full.

use reseat_record::log::{Chain, Sealed, to_hex, verify_chain};
use serde_json::Value;

use super::history::minute;
use super::verify::{open, record};
use super::{Answer, Context, Stop, table};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The record by its identifier, or a beginning of four or more characters
    #[arg(value_name = "RECORD")]
    record: String,
    /// Write JSON: stream, demo, state, signed, and the entries exactly as they were signed
    #[arg(long)]
    json: bool,
}

pub(super) fn run(args: &Args, context: &mut Context) -> Result<Answer, Stop> {
    let history = open(context)?;
    let stream = record(&history, &args.record)?;
    let entries = history.entries(&stream)?;
    let row = history
        .rows_of(&stream)?
        .into_iter()
        .next()
        .map(|listed| listed.row);
    let state = row.as_ref().map_or_else(String::new, |row| {
        row.outcome.clone().unwrap_or_else(|| row.state.clone())
    });
    let sealed: Vec<Option<Sealed>> = entries
        .iter()
        .map(|bytes| Sealed::read(bytes).ok())
        .collect();
    let demo = sealed.iter().flatten().any(|sealed| sealed.entry.demo);
    let signed = sealed
        .iter()
        .flatten()
        .any(|sealed| sealed.entry.kind == SIGNED_OFF);
    if args.json {
        // The entries go out as their very bytes, so they are not parsed and printed anew.
        let exact: Vec<String> = entries
            .iter()
            .map(|bytes| String::from_utf8_lossy(bytes).into_owned())
            .collect();
        let state = Value::String(state);
        context.out.drawn(&format!(
            "{{\"stream\":\"{stream}\",\"demo\":{demo},\"state\":{state},\"signed\":{signed},\"entries\":[{}]}}",
            exact.join(",\n")
        ))?;
        return Ok(Answer::Yes);
    }
    let chain = match verify_chain(entries.iter().map(Vec::as_slice)) {
        Chain::Whole { head } => {
            format!("chain whole, {} entries, head {}", head.number, head.hash)
        }
        Chain::Empty => "no entries".to_owned(),
        Chain::Newer { number, what, .. } => format!("entry {number}: {what}"),
        Chain::Broken { number, reason } => format!("NOT WHOLE at entry {number}: {reason}"),
    };
    let demo = if demo { "  DEMO" } else { "" };
    context.out.line(&format!("Record {stream}{demo}"))?;
    context.out.line(&format!("State  {state}"))?;
    context.out.line(&format!("Log    {chain}"))?;
    context.out.line("")?;
    let rows: Vec<Vec<String>> = sealed
        .iter()
        .zip(1_u64..)
        .map(|(sealed, number)| cells(sealed.as_ref(), number))
        .collect();
    table::print(
        &mut context.out,
        &["entry", "time", "kind", "signed", "what it says"],
        &rows,
    )?;
    Ok(Answer::Yes)
}

/// The kind that ends a rebuild.
const SIGNED_OFF: &str = "signed_off/1";

fn cells(sealed: Option<&Sealed>, number: u64) -> Vec<String> {
    let Some(sealed) = sealed else {
        return vec![
            number.to_string(),
            String::new(),
            "unreadable".into(),
            String::new(),
            String::new(),
        ];
    };
    let entry = &sealed.entry;
    let signed = entry
        .signature
        .as_ref()
        .map_or_else(String::new, |signature| {
            to_hex(&signature.key)[..8].to_owned()
        });
    let members: Vec<String> = entry
        .body
        .iter()
        .map(|(name, value)| format!("{name} {}", said(value)))
        .collect();
    vec![
        number.to_string(),
        minute(&entry.utc),
        entry.kind.clone(),
        signed,
        members.join(" · "),
    ]
}

/// A member's value as a person reads it: texts without quotes, the rest as JSON.
fn said(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}
