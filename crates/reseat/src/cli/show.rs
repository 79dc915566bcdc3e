//! `reseat show`: one record in full.

use reseat_history::History;
use reseat_record::log::{Chain, Sealed, to_hex, verify_chain};
use reseat_record::rebuild::Rebuild;
use reseat_record::rebuild::view::RecordLine;
use reseat_record::recall::{in_doubt, with_doubt};
use reseat_record::register::Register;
use reseat_record::text::counted;
use serde_json::{Value, json};

use super::history::minute;
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
    let chain = match verify_chain(entries.iter().map(Vec::as_slice)) {
        Chain::Whole { head } => {
            let entries = counted(entries.len(), "entry", "entries");
            format!("chain whole, {entries}, head {}", head.hash)
        }
        Chain::Empty => "no entries".to_owned(),
        Chain::Newer { number, what, .. } => format!("entry {number}: {what}"),
        Chain::Broken { number, reason } => format!("NOT WHOLE at entry {number}: {reason}"),
    };
    let demo = if demo { "  DEMO" } else { "" };
    context.out.line(&format!("Record {stream}{demo}"))?;
    let state = with_doubt(state, doubts.len());
    context.out.line(&format!("State  {state}"))?;
    context.out.line(&format!("Log    {chain}"))?;
    context.out.line("")?;
    let entries = sealed.iter().flatten();
    if let Some((lines, plan)) =
        register.and_then(|register| read_back(&history, entries, &register))
    {
        print_lines(&lines, context)?;
        context.out.line("")?;
        for line in plan {
            context.out.line(&line)?;
        }
    } else {
        let numbered = sealed.iter().zip(1_u64..);
        let rows: Vec<Vec<String>> = numbered
            .map(|(sealed, number)| cells(sealed.as_ref(), number))
            .collect();
        let heading = ["entry", "time", "kind", "signed", "what it says"];
        table::print(&mut context.out, &heading, &rows)?;
    }
    Ok(Answer::Yes)
}

/// A rebuild's lines in words, and its energy plan; none for a register, and for a record that cannot be read back whole: that
/// one is shown raw.
fn read_back<'a>(
    history: &History,
    entries: impl Iterator<Item = &'a Sealed>,
    register: &Register,
) -> Option<(Vec<RecordLine>, Vec<String>)> {
    let entries: Vec<Sealed> = entries.cloned().collect();
    let first = entries.first()?;
    let text = history.text(&Rebuild::bound_text(first)?).ok()??;
    let rebuild = Rebuild::replay(reseat_procedure::read(&text).ok()?, &entries).ok()?;
    if rebuild.is_newer() {
        return None;
    }
    let mut plan = vec![format!(
        "Energy plan, rule followed: {}",
        rebuild.started().rule
    )];
    plan.extend(
        rebuild
            .energy_plan()
            .iter()
            .map(|line| format!("  {}", line.words())),
    );
    Some((rebuild.record_lines(register), plan))
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

/// What must be seen first, then everything in order.
fn print_lines(lines: &[RecordLine], context: &mut Context) -> Result<(), Stop> {
    let row = |line: &RecordLine| {
        vec![
            line.number.to_string(),
            line.time.clone(),
            line.by.clone(),
            line.text.clone(),
        ]
    };
    let first: Vec<Vec<String>> = lines
        .iter()
        .filter(|line| line.first_page)
        .map(row)
        .collect();
    if !first.is_empty() {
        context
            .out
            .line("Failed, struck, overridden, not applicable, added, found:")?;
        table::print(
            &mut context.out,
            &["entry", "time", "by", "what happened"],
            &first,
        )?;
        context.out.line("")?;
    }
    let mut all: Vec<&RecordLine> = lines.iter().collect();
    all.sort_by_key(|line| line.number);
    let all: Vec<Vec<String>> = all.into_iter().map(row).collect();
    table::print(
        &mut context.out,
        &["entry", "time", "by", "what happened"],
        &all,
    )
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
