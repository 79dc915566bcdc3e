//! `reseat recall`: every reading of an instrument that was found out, judged again, and put in doubt by one signed entry.

use reseat_measure::Quantity;
use reseat_record::register::{BenchPoint, Service};
use reseat_record::text::counted;
use serde_json::json;

use super::act::Actor;
use super::history::minute;
use super::secret::Source;
use super::{Answer, Context, Stop, table};
use crate::desk::{Desk, RecallLine, RecallSheet};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Name of the instrument on site
    #[arg(value_name = "INSTRUMENT")]
    instrument: String,
    /// What the bench found: the true value, then what it showed, such as "100 N·m = 108 N·m"; give it once for each point,
    /// from the lowest true value to the highest
    #[arg(long, required = true, value_name = "TRUE = SHOWED", value_parser = point, allow_hyphen_values = true)]
    found: Vec<BenchPoint>,
    /// Day of its last good check; otherwise the day of calibration on the register
    #[arg(long, value_name = "DAY")]
    since: Option<String>,
    /// Only list the readings, even if a person is named
    #[arg(long)]
    list: bool,
    /// Why, for the register
    #[arg(long)]
    reason: Option<String>,
    /// The person who signs once the list was shown, by name or id; without one the readings are only listed
    #[arg(long, value_name = "PERSON", requires = "reason")]
    by: Option<String>,
    #[command(flatten)]
    source: Source,
    /// Sign although --passphrase-file leaves nobody to be asked after the list; without the file the passphrase is asked then
    #[arg(long, requires = "by")]
    yes: bool,
    /// Write JSON: instrument, since, signed, and readings with record, entry, time, what, reading, window, stands, why
    /// (where it cannot say), corrected, was, tag and serial
    #[arg(long)]
    json: bool,
}

fn point(text: &str) -> Result<BenchPoint, String> {
    let (bench, showed) = text
        .split_once('=')
        .ok_or("a bench point reads \"100 N·m = 108 N·m\": the true value, then what it showed")?;
    let read = |text: &str| Quantity::parse(text).map_err(|error| error.to_string());
    Ok(BenchPoint {
        bench: read(bench)?,
        showed: read(showed)?,
    })
}

pub(super) fn run(args: Args, context: &mut Context) -> Result<Answer, Stop> {
    let asked = args.yes || !args.source.given();
    let signs = args.by.filter(|_| asked && !args.list);
    let mut desk = if signs.is_some() {
        context.work()?
    } else {
        context.read()?
    };
    let sheet = desk.recall_sheet(&args.instrument, args.since.as_deref(), args.found)?;
    let rows = cells(&sheet);
    if args.json {
        // Whoever signs sees the list first; the document comes once, when it is known whether it was signed.
        if signs.is_some() {
            table::aside(&mut context.out, HEADING, &rows);
        }
    } else {
        print(&sheet, &rows, context)?;
    }
    let signed = match signs {
        Some(by) if !sheet.lines.is_empty() => {
            let by = Actor::named(by, args.source).sit_down(&mut desk, context)?;
            desk.recall(&sheet, args.reason.as_deref().unwrap_or_default(), &by)?;
            true
        }
        _ => false,
    };
    if args.json {
        let readings: Vec<_> = sheet.lines.iter().map(as_json).collect();
        let (instrument, since) = (&sheet.instrument, &sheet.since.day);
        context.out.json(&json!({"instrument": instrument, "since": since, "signed": signed, "readings": readings}))?;
    } else if !sheet.lines.is_empty() {
        conclude(&sheet, signed, context)?;
    }
    if signed {
        still_in_service(&desk, &sheet.instrument, context);
    }
    Ok(Answer::Yes)
}

fn as_json(line: &RecallLine) -> serde_json::Value {
    let one = &line.touched;
    json!({"record": one.stream.to_string(), "entry": one.number, "time": one.utc, "what": one.what,
           "reading": *one.means, "window": one.window.as_deref(), "stands": *one.stands, "corrected": one.corrected.as_deref(),
           "why": one.why,
           "was": one.was.map(|was| was.to_string()), "tag": line.tag, "serial": line.serial})
}

const HEADING: &[&str] = &[
    "record", "entry", "tag", "time", "what", "reading", "window", "true", "stands",
];

fn cells(sheet: &RecallSheet) -> Vec<Vec<String>> {
    let row = |line: &RecallLine| {
        let one = &line.touched;
        let doubted = if one.dated { "" } else { " CLOCK NOT TRUSTED" };
        vec![
            one.stream.to_string(),
            one.number.to_string(),
            line.tag.clone(),
            format!("{}{doubted}", minute(&one.utc)),
            one.what.clone(),
            one.means.to_string(),
            one.window.as_deref().unwrap_or_default().to_owned(),
            one.corrected.as_deref().unwrap_or_default().to_owned(),
            line.stands(),
        ]
    };
    sheet.lines.iter().map(row).collect()
}

fn print(sheet: &RecallSheet, rows: &[Vec<String>], context: &mut Context) -> Result<(), Stop> {
    let (instrument, day) = (&sheet.instrument, &sheet.since.day);
    if rows.is_empty() {
        context
            .out
            .line(&format!("No reading of {instrument} since {day}."))?;
    } else {
        table::print(&mut context.out, HEADING, rows)?;
    }
    for (record, entry) in &sheet.unread {
        context.out.line(&format!(
            "Entry {entry} of record {record} rests on {instrument} and cannot be read: see `reseat verify {record}`."
        ))?;
    }
    Ok(())
}

fn conclude(sheet: &RecallSheet, signed: bool, context: &mut Context) -> Result<(), Stop> {
    let (count, instrument, day) = (sheet.lines.len(), &sheet.instrument, &sheet.since.day);
    let readings = counted(count, "reading", "readings");
    let are = if count == 1 { "is" } else { "are" };
    context.out.line(&if signed {
        format!("{readings} of {instrument} since {day} {are} IN DOUBT, by one signed entry of the register.")
    } else {
        format!(
            "{readings} of {instrument} since {day}. Nothing was written; give --reason and --by to put them in doubt, and \
             --yes beside a passphrase file."
        )
    })
}

/// An instrument found out that may still be used is said to be one.
fn still_in_service(desk: &Desk, instrument: &str, context: &mut Context) {
    let used = desk
        .register()
        .instrument(instrument)
        .is_some_and(|known| known.service == Service::InService);
    if used {
        context.out.aside(&format!(
            "{instrument} is still in service: `reseat instruments quarantine {instrument}` takes it out of use."
        ));
    }
}
