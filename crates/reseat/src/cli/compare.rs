//! `reseat compare`: what changed between two revisions of a procedure.

use std::path::PathBuf;

use reseat_procedure::{Change, compare};
use serde_json::json;

use super::{Answer, Context, Stop, check};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Procedure file, old
    #[arg(value_name = "OLD")]
    old: PathBuf,
    /// Procedure file, new
    #[arg(value_name = "NEW")]
    new: PathBuf,
    /// Write JSON: an array with fate, about, old, new and words
    #[arg(long)]
    json: bool,
}

pub(super) fn run(args: &Args, context: &mut Context) -> Result<Answer, Stop> {
    let old = check::procedure(&args.old, context)?;
    let new = check::procedure(&args.new, context)?;
    let changes = compare(&old, &new);
    if args.json {
        context.out.json(&json!(changes))?;
        return Ok(Answer::Yes);
    }
    let title = |procedure: &reseat_procedure::Procedure| {
        format!("{} revision {}", procedure.number, procedure.revision)
    };
    context
        .out
        .line(&format!("{} to {}", title(&old), title(&new)))?;
    let mut about = None;
    for change in &changes {
        let heading = heading(change);
        if about.as_ref() != Some(&heading) {
            context.out.line("")?;
            context.out.line(&heading)?;
            about = Some(heading);
        }
        context
            .out
            .line(&format!("  {}: {}", change.fate.word(), change.words))?;
    }
    if !changes.is_empty() {
        context.out.line("")?;
        if title(&old) == title(&new) {
            context.out.line(&format!(
                "Both are {}: give the new text a revision of its own before it is approved.",
                title(&new)
            ))?;
        }
    }
    context.out.line(&match changes.len() {
        0 => "nothing changed".to_owned(),
        1 => "1 change".to_owned(),
        many => format!("{many} changes"),
    })?;
    Ok(Answer::Yes)
}

fn heading(change: &Change) -> String {
    match (change.old, change.new) {
        (Some(old), Some(new)) if old == new => format!("{}, number {old}", change.about),
        (Some(old), Some(new)) => format!("{}, number {old}, now {new}", change.about),
        (Some(old), None) => format!("{}, was number {old}", change.about),
        (None, Some(new)) => format!("{}, now number {new}", change.about),
        (None, None) => change.about.clone(),
    }
}
