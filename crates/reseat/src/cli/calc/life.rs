//! `reseat calc life`: how long parts last, from a file of lives.

use std::path::{Path, PathBuf};

use csv::{ReaderBuilder, StringRecord, Trim};
use reseat_measure::life::{Limited, SurvivalStep, Weibull};
use reseat_measure::{Life, LifeError, kaplan_meier, weibull};
use serde_json::{Value, json};

use super::super::Stop;
use super::input::bare;
use super::{Said, rounded};

#[derive(Debug, clap::Args)]
pub(super) struct LifeArgs {
    /// CSV file with the columns hours and failed (true, or false for a part still good); others are passed over
    file: PathBuf,
}

pub(super) fn life(args: &LifeArgs) -> Result<Said, Stop> {
    let lives = read(&args.file)?;
    let refused = |error: LifeError| wrong_file(&args.file, &error.to_string());
    let steps = kaplan_meier(&lives).map_err(refused)?;
    // Too few failures are no mistake: the share still good is told all the same.
    let (line, words) = match weibull(&lives) {
        Ok(line) => (weibull_json(&line), weibull_words(&line)),
        Err(
            error @ (LifeError::NothingFailed
            | LifeError::TooFewFailures(_)
            | LifeError::AtOnce(_)
            | LifeError::NoFit),
        ) => (Value::Null, format!("No Weibull line: {error}.")),
        Err(error) => return Err(refused(error)),
    };
    let failed = lives.iter().filter(|life| life.failed).count();
    Ok(Said {
        sentences: vec![
            format!(
                "{} lives: {failed} failed, {} still good when last seen.",
                lives.len(),
                lives.len() - failed
            ),
            words,
        ],
        table: (!steps.is_empty()).then(|| {
            (
                vec!["hours", "at risk", "failed", "still good"],
                steps.iter().map(row_of).collect(),
            )
        }),
        json: json!({
            "weibull": line,
            "kaplan_meier": steps.iter().map(step_json).collect::<Vec<_>>(),
        }),
    })
}

fn weibull_json(line: &Weibull) -> Value {
    json!({
        "shape": line.shape.value,
        "shape_low": line.shape.low,
        "shape_high": line.shape.high,
        "scale": line.scale.value,
        "scale_low": line.scale.low,
        "scale_high": line.scale.high,
        "b10": line.b10.value,
        "b10_low": line.b10.low,
        "b10_high": line.b10.high,
        "mean": line.mean,
        "loglik": line.loglik,
    })
}

fn weibull_words(line: &Weibull) -> String {
    let of = |value: Limited| {
        format!(
            "{} ({} to {})",
            rounded(value.value, 4),
            rounded(value.low, 4),
            rounded(value.high, 4)
        )
    };
    format!(
        "Weibull shape {}, scale {} h, B10 {} h, mean {} h; in brackets the 95 % limits.",
        of(line.shape),
        of(line.scale),
        of(line.b10),
        rounded(line.mean, 4)
    )
}

fn step_json(step: &SurvivalStep) -> Value {
    json!({
        "hours": step.hours,
        "at_risk": step.at_risk,
        "failed": step.failed,
        "survival": step.survival,
    })
}

fn row_of(step: &SurvivalStep) -> Vec<String> {
    vec![
        rounded(step.hours, 6),
        step.at_risk.to_string(),
        step.failed.to_string(),
        rounded(step.survival, 4),
    ]
}

fn wrong_file(file: &Path, words: &str) -> Stop {
    Stop::words(format!("{}: {words}.", file.display()), "")
}

/// The lives of a file; each thing wrong is said with its row (as an editor counts lines) and column.
fn read(file: &Path) -> Result<Vec<Life>, Stop> {
    let wrong = |words: &str| wrong_file(file, words);
    let bytes = std::fs::read(file).map_err(|error| {
        wrong(&format!(
            "the file could not be read ({error}); give the path of a CSV file"
        ))
    })?;
    let text = std::str::from_utf8(&bytes)
        .map_err(|_| wrong("the file is not UTF-8 text; save it as CSV in UTF-8"))?;
    // Spreadsheets put a mark in front, which is no part of the first column's name.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = ReaderBuilder::new()
        .trim(Trim::All)
        .flexible(true)
        .from_reader(text.as_bytes());
    let heading = reader
        .headers()
        .map_err(|error| wrong(&format!("{error}; write the columns hours and failed")))?
        .clone();
    let columns = (
        column(file, &heading, "hours")?,
        column(file, &heading, "failed")?,
    );
    let mut lives = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| wrong(&format!("{error}; correct that row")))?;
        let life = life_of(&record, columns).map_err(|(column, words)| {
            let row = row_of_record(text, &record);
            wrong(&format!("row {row}, column {column}: {words}"))
        })?;
        lives.push(life);
    }
    if lives.is_empty() {
        return Err(wrong(
            "no lives stand under the heading; write one row for each part, for example 54,true",
        ));
    }
    Ok(lives)
}

fn column(file: &Path, heading: &StringRecord, name: &str) -> Result<usize, Stop> {
    let mut found = heading
        .iter()
        .enumerate()
        .filter(|(_, text)| text.eq_ignore_ascii_case(name))
        .map(|(at, _)| at);
    let words = match (found.next(), found.next()) {
        (Some(at), None) => return Ok(at),
        (Some(_), Some(_)) => "stands twice in the heading; leave one",
        (None, _) => "is missing; write hours,failed as the first line",
    };
    Err(wrong_file(
        file,
        &format!("row 1: the column {name} {words}"),
    ))
}

/// The row of the file, counted from 1 as an editor counts its lines.
fn row_of_record(text: &str, record: &StringRecord) -> usize {
    let start = record
        .position()
        .and_then(|position| usize::try_from(position.byte()).ok())
        .unwrap_or(0);
    // A record is said to begin before the empty lines in front of it.
    let rest = text.get(start..).unwrap_or_default();
    let ahead = rest.trim_start_matches(['\r', '\n']);
    let before = &text[..text.len() - ahead.len()];
    before.replace("\r\n", "\n").matches(['\r', '\n']).count() + 1
}

/// The life of a row, or the column that is wrong and what to do.
fn life_of(
    record: &StringRecord,
    (hours_at, failed_at): (usize, usize),
) -> Result<Life, (&'static str, String)> {
    let hours_text = record.get(hours_at).unwrap_or_default();
    let hours = bare(hours_text).map_err(|words| ("hours", words))?;
    if hours.digits() <= 0 {
        return Err((
            "hours",
            format!("{hours_text} hours is no life; write a number above 0"),
        ));
    }
    let failed_text = record.get(failed_at).unwrap_or_default();
    let failed = match failed_text.to_ascii_lowercase().as_str() {
        "true" | "yes" | "1" => true,
        "false" | "no" | "0" => false,
        _ => {
            return Err((
                "failed",
                format!("{failed_text:?} says neither; write true (failed) or false (still good)"),
            ));
        }
    };
    Ok(Life {
        hours: hours.to_f64(),
        failed,
    })
}
