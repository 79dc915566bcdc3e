//! `reseat recall`: every reading of an instrument that was found out, judged again, and put in doubt by one signed entry.

use reseat_measure::Quantity;
use reseat_record::log::Sealed;
use reseat_record::recall::{Recall, Touched};
use reseat_record::refusal::Refusal;
use reseat_record::register::{BenchPoint, Command};
use serde_json::json;

use super::act::Actor;
use super::history::minute;
use super::secret::Source;
use super::{Answer, Context, Stop, table};
use crate::desk::{Desk, Fault};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Name of the instrument on site
    #[arg(value_name = "INSTRUMENT")]
    instrument: String,
    /// What the bench found: the true value, then what it showed, such as "100 N·m = 108 N·m"; give it once for each point
    #[arg(long, required = true, value_name = "TRUE = SHOWED", value_parser = point)]
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
    /// The person who signs, by name or id; without one the readings are only listed
    #[arg(long, value_name = "PERSON", requires = "reason")]
    by: Option<String>,
    #[command(flatten)]
    source: Source,
    /// Write JSON: instrument, since, signed, and readings with record, entry, time, what, reading, window, stands and corrected
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
    let signs = args.by.as_ref().filter(|_| !args.list).cloned();
    let mut desk = if signs.is_some() {
        context.work()?
    } else {
        context.read()?
    };
    let (instrument, since) = {
        let known = desk
            .register()
            .instrument(&args.instrument)
            .ok_or_else(|| {
                Fault::from(Refusal::NoInstrument {
                    id: args.instrument.clone(),
                })
            })?;
        let since = args.since.clone();
        (
            known.id.clone(),
            since.unwrap_or_else(|| known.calibration.calibrated.clone()),
        )
    };
    let touched = readings(&desk, &instrument, &since, &args.found)?;
    if let Some(by) = &signs
        && !touched.is_empty()
    {
        let command = Command::Recall {
            instrument: instrument.clone(),
            since: None,
            found: args.found.clone(),
            readings: touched.iter().map(|one| one.doubted).collect(),
            reason: args.reason.clone().unwrap_or_default(),
        };
        let by = Actor::named(by.clone(), args.source).sit_down(&mut desk, context)?;
        desk.change(command, &by)?;
    }
    let signed = signs.is_some() && !touched.is_empty();
    if args.json {
        let readings: Vec<_> = touched.iter().map(as_json).collect();
        context.out.json(&json!({"instrument": instrument, "since": since, "signed": signed, "readings": readings}))?;
        return Ok(Answer::Yes);
    }
    print(&touched, &instrument, &since, signed, context)?;
    Ok(Answer::Yes)
}

fn readings(
    desk: &Desk,
    instrument: &str,
    since: &str,
    found: &[BenchPoint],
) -> Result<Vec<Touched>, Stop> {
    let recall = Recall::new(instrument, Some(since), found).map_err(|error| {
        Stop::words(
            format!("The bench points say nothing: {error}."),
            "Give each as \"TRUE = SHOWED\", both with their unit.",
        )
    })?;
    let mut touched = Vec::new();
    desk.history()
        .entries_holding("reading/1", instrument, |bytes| {
            touched.extend(
                Sealed::read(bytes)
                    .ok()
                    .and_then(|sealed| recall.judge(&sealed)),
            );
        })?;
    Ok(touched)
}

fn as_json(one: &Touched) -> serde_json::Value {
    json!({"record": one.stream.to_string(), "entry": one.number, "time": one.utc, "what": one.what,
           "reading": one.means, "window": one.window, "stands": one.stands, "corrected": one.corrected})
}

fn print(
    touched: &[Touched],
    instrument: &str,
    since: &str,
    signed: bool,
    context: &mut Context,
) -> Result<(), Stop> {
    if touched.is_empty() {
        return context
            .out
            .line(&format!("No reading of {instrument} since {since}."));
    }
    let rows: Vec<Vec<String>> = touched
        .iter()
        .map(|one| {
            vec![
                one.stream.to_string(),
                one.number.to_string(),
                minute(&one.utc),
                one.what.clone(),
                one.means.clone(),
                one.window.clone().unwrap_or_default(),
                one.corrected.clone().unwrap_or_default(),
                one.stands.clone(),
            ]
        })
        .collect();
    table::print(
        &mut context.out,
        &[
            "record", "entry", "time", "what", "reading", "window", "true", "stands",
        ],
        &rows,
    )?;
    let count = touched.len();
    context.out.line(&if signed {
        format!("{count} readings of {instrument} since {since} are IN DOUBT, by one signed entry of the register.")
    } else {
        format!("{count} readings of {instrument} since {since}. Nothing was written; give --reason and --by to put them in doubt.")
    })
}
