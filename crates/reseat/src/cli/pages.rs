//! `reseat pages`: a procedure page by page on the screens.
//!
//! And the same on plain lines, as its approver does: each step of each choice of options with its
//! findings and what the unit is like after it. Enter goes on; nothing is approved before the last page.

use std::path::{Path, PathBuf};
use std::time::Instant;

use reseat_procedure::{Page, Reading, Stack, Stands, builtin, read};

use super::check::{Checked, check, print};
use super::out::Out;
use super::{Answer, Context, Stop, screens, typed};
use crate::desk::PagesRead;

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Procedure file, or the name of a shipped one
    #[arg(value_name = "FILE")]
    file: PathBuf,
}

/// The exact bytes of a procedure file, or of a shipped procedure named like one.
pub(super) fn bytes(file: &Path) -> Result<Vec<u8>, Stop> {
    let shipped = builtin()
        .iter()
        .find(|(name, _)| file.as_os_str() == *name && !file.exists());
    match shipped {
        Some((_, bytes)) => Ok(bytes.to_vec()),
        None => Ok(check(file)?.bytes),
    }
}

pub(super) fn run(args: &Args, context: &mut Context) -> Result<Answer, Stop> {
    let bytes = bytes(&args.file)?;
    // What is no procedure is said as check says it, with its line.
    if read(&bytes).is_err() {
        let found = Checked::of(bytes);
        print(&args.file, &found, &mut context.out)?;
        return Err(Stop::words(
            format!("{} cannot be read as a procedure.", args.file.display()),
            "Mend what is named above, then ask again.",
        ));
    }
    screens::pages(bytes)
}

/// Leads through every page that differs on some route.
pub(super) fn read_through(
    bytes: &[u8],
    reason: Option<String>,
    context: &mut Context,
) -> Result<PagesRead, Stop> {
    let mut reading = Reading::of(bytes).map_err(|_| {
        Stop::words(
            "The procedure cannot be read page by page.",
            "Run reseat check on it.",
        )
    })?;
    let begun = Instant::now();
    let out = &mut context.out;
    let mut route = 0;
    let mut announced = None;
    while let Some((next, at)) = reading.unread(route) {
        route = next;
        if announced != Some(route) {
            announced = Some(route);
            route_line(&reading, route, out)?;
        }
        let pages = reading.pages(route);
        // On one route page after page, until one comes that was read on another.
        for page in &pages[at..] {
            if reading.was_seen(page) {
                continue;
            }
            for line in lines(page) {
                out.line(&line)?;
            }
            let (read, of) = reading.read_of();
            out.prompt(&format!("page {} of {of}; Enter goes on: ", read + 1));
            typed::line("Nothing was approved; start again.")?;
            reading.see(page);
        }
    }
    Ok(PagesRead::of(&reading, begun.elapsed().as_secs(), reason))
}

fn route_line(reading: &Reading, route: usize, out: &mut Out) -> Result<(), Stop> {
    let choices = &reading.routes()[route];
    if choices.0.is_empty() {
        return Ok(());
    }
    let words: Vec<String> = choices
        .0
        .iter()
        .map(|(option, value)| format!("{option} {value}"))
        .collect();
    out.line(&format!("With {}:", words.join(", ")))
}

/// A page in lines of plain text.
fn lines(page: &Page) -> Vec<String> {
    let mut lines = vec![String::new()];
    match &page.step {
        None => {
            lines.push(page.section.clone());
            lines.extend(page.cover.iter().map(|line| format!("  {line}")));
        }
        Some(step) => {
            lines.push(format!("{}, energy {}", page.section, step.energy));
            lines.extend(
                step.warnings
                    .iter()
                    .map(|warning| format!("      {warning}")),
            );
            lines.push(format!("{:>4}  {}", step.number, step.text));
            lines.extend(step.asks.iter().map(|ask| format!("      - {ask}")));
            lines.extend(step.marks.iter().map(|mark| format!("      * {mark}")));
        }
    }
    for finding in &page.findings {
        lines.push(format!(
            "  {}[{}]: {}",
            finding.severity.word(),
            finding.code,
            finding.message
        ));
        lines.push(format!("  remedy: {}", finding.remedy));
    }
    if let Some(stack) = &page.stack {
        lines.extend(stack_lines(stack));
    }
    lines
}

/// What is not on and tight after the step, and what changed with it.
fn stack_lines(stack: &Stack) -> Vec<String> {
    let told: Vec<String> = stack
        .lines
        .iter()
        .filter(|line| line.changed || line.stands != Stands::On)
        .map(|line| match &line.joint {
            Some(joint) => format!("{joint} {}: {}", line.label, line.words),
            None => format!("{}: {}", line.label, line.words),
        })
        .collect();
    let mut lines = Vec::new();
    if !told.is_empty() {
        lines.push(format!("      after it: {}", told.join("; ")));
    }
    if !stack.covers.is_empty() {
        lines.push(format!("      on beside: {}", stack.covers.join("; ")));
    }
    if !stack.let_in.is_empty() {
        lines.push(format!("      in: {}", stack.let_in.join("; ")));
    }
    lines
}
