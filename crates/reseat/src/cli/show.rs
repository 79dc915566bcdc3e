//! `reseat show`: one record in full.

use reseat_history::History;
use reseat_record::log::{Id, Sealed, to_hex};
use reseat_record::rebuild::Rebuild;
use reseat_record::recall::{in_doubt, with_doubt};
use reseat_record::register::Register;
use reseat_report::{Record, chain_words};
use serde_json::{Value, json};

use super::history::minute;
use super::out::Out;
use super::verify::{open, record};
use super::{Answer, Context, Stop, table};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The record by its identifier, or a beginning of four or more characters
    #[arg(value_name = "RECORD")]
    record: String,
    /// Write JSON: stream, demo, state, signed, in_doubt (entry, instrument, stands), and the entries exactly as they were signed
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
    let register = register_of(&history);
    let doubts = register
        .as_ref()
        .map(|register| in_doubt(register, &stream))
        .unwrap_or_default();
    if args.json {
        // The entries go out as their very bytes, so they are not parsed and printed anew.
        let exact: Vec<String> = entries
            .iter()
            .map(|bytes| String::from_utf8_lossy(bytes).into_owned())
            .collect();
        let state = Value::String(state);
        let in_doubt: Vec<Value> = doubts
            .iter()
            .map(|doubt| json!({"entry": doubt.number, "instrument": doubt.instrument, "stands": doubt.place}))
            .collect();
        let in_doubt = Value::Array(in_doubt);
        context.out.drawn(&format!(
            "{{\"stream\":\"{stream}\",\"demo\":{demo},\"state\":{state},\"signed\":{signed},\"in_doubt\":{in_doubt},\"entries\":[{}]}}",
            exact.join(",\n")
        ))?;
        return Ok(Answer::Yes);
    }
    let read = register
        .as_ref()
        .and_then(|register| read_back(&history, &stream, &entries, &sealed, register));
    if let Some(read) = read {
        let text = reseat_report::text(&read, Out::columns());
        return text
            .lines()
            .try_for_each(|line| context.out.line(line))
            .map(|()| Answer::Yes);
    }
    let demo = if demo { "  DEMO" } else { "" };
    context.out.line(&format!("Record {stream}{demo}"))?;
    let state = with_doubt(state, doubts.len());
    context.out.line(&format!("State  {state}"))?;
    context
        .out
        .line(&format!("Log    {}", chain_words(&entries)))?;
    context.out.line("")?;
    let numbered = sealed.iter().zip(1_u64..);
    let rows: Vec<Vec<String>> = numbered
        .map(|(sealed, number)| cells(sealed.as_ref(), number))
        .collect();
    let heading = ["entry", "time", "kind", "signed", "what it says"];
    table::print(&mut context.out, &heading, &rows)?;
    Ok(Answer::Yes)
}

/// A rebuild's record in words; none for a register, and for a record that cannot be read back whole: that one is shown raw.
fn read_back(
    history: &History,
    stream: &Id,
    bytes: &[Vec<u8>],
    sealed: &[Option<Sealed>],
    register: &Register,
) -> Option<Record> {
    let entries: Vec<Sealed> = sealed.iter().flatten().cloned().collect();
    let first = entries.first()?;
    let text = history.text(&Rebuild::bound_text(first)?).ok()??;
    let rebuild = Rebuild::replay(reseat_procedure::read(&text).ok()?, &entries).ok()?;
    if rebuild.is_newer() {
        return None;
    }
    let demo = first.entry.demo;
    Some(Record::of(stream, &rebuild, register, bytes, demo))
}

/// The register of this home; none if it cannot be read back.
fn register_of(history: &History) -> Option<Register> {
    let register = history.register().ok()??;
    let stored = history.entries(&register).ok()?;
    let said: Vec<Sealed> = stored
        .iter()
        .filter_map(|bytes| Sealed::read(bytes).ok())
        .collect();
    Register::replay(register, &said).ok()
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
