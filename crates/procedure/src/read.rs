//! Reading a procedure: its text by format number and structure alone, every finding at once.
//!
//! Four looks, each of which lets the next one work on firm ground: is it JSON; is the format number known; does the
//! shape fit the schema, member by member; do the values hold together (quantities, windows, names). A look that
//! finds errors ends the reading, after it has gone through the whole text.

use jsonc_parser::ast::Value as Tree;

use crate::codes;
use crate::convert;
use crate::finding::{Finding, Severity};
use crate::model::{self, Procedure};
use crate::shape::departures;
use crate::source::Source;
use crate::wire;

/// Most findings reported of one look; more would drown the first.
pub const MOST_FINDINGS: usize = 500;

/// Reads a procedure from the bytes of its file.
///
/// # Errors
/// Every finding about format and structure, in the order of the text. Whether the procedure is *right* is not
/// looked at.
pub fn read(bytes: &[u8]) -> Result<Procedure, Vec<Finding>> {
    let source = Source::parse(bytes).map_err(|finding| vec![*finding])?;
    read_source(&source, bytes)
}

pub(crate) fn read_source(source: &Source<'_>, bytes: &[u8]) -> Result<Procedure, Vec<Finding>> {
    if let Some(finding) = foreign_format(source) {
        return Err(placed(source, vec![finding]));
    }
    let found = departures(source);
    if !found.is_empty() {
        return Err(placed(source, found));
    }
    let wire: wire::Procedure = match serde_json::from_slice(bytes) {
        Ok(wire) => wire,
        Err(error) => {
            let remedy = "Mend the text at the place the message names.";
            let message = format!("The text cannot be taken in: {error}.");
            return Err(placed(
                source,
                vec![Finding::new(
                    codes::NOT_JSON,
                    Severity::Error,
                    "",
                    message,
                    remedy,
                )],
            ));
        }
    };
    convert::procedure(&wire).map_err(|found| placed(source, found))
}

/// The format number comes before everything: a newer format may have members this release calls unknown.
fn foreign_format(source: &Source<'_>) -> Option<Finding> {
    let Tree::Object(object) = source.root() else {
        return None;
    };
    let number = object.get_number("format")?.value;
    if number == model::FORMAT.to_string() {
        return None;
    }
    let message = format!(
        "The procedure is written in format {}; this release reads format {}.",
        crate::shape::shown(number),
        model::FORMAT
    );
    let remedy = "Use the release of reseat it was written for, or write it in this format.";
    Some(Finding::new(
        codes::FORMAT_UNKNOWN,
        Severity::Error,
        "/format",
        message,
        remedy,
    ))
}

/// Gives findings their line, column, step and number, in the order of the text.
pub(crate) fn placed(source: &Source<'_>, mut findings: Vec<Finding>) -> Vec<Finding> {
    // Finding a place costs a look along its line; what would not be told is not looked for.
    if findings.len() > 2 * MOST_FINDINGS {
        findings.sort_by_key(|finding| finding.severity != Severity::Error);
        findings.truncate(2 * MOST_FINDINGS);
    }
    let options = matches!(source.root(), Tree::Object(object) if object.get_array("options").is_some_and(|list| !list.elements.is_empty()));
    for finding in &mut findings {
        if finding.line == 0 {
            source.locate(finding);
        }
        if finding.step.is_none() {
            step_of(source, finding, !options);
        }
    }
    findings.sort_by_key(|finding| (finding.line, finding.column));
    findings.truncate(MOST_FINDINGS);
    findings
}

/// The author's id of the step a pointer leads into, and its number where no option can change it.
fn step_of(source: &Source<'_>, finding: &mut Finding, numbered: bool) {
    let mut segments = finding.pointer.split('/').skip(1);
    let (Some("sections"), Some(section), Some("steps"), Some(step)) = (
        segments.next(),
        segments.next(),
        segments.next(),
        segments.next(),
    ) else {
        return;
    };
    let (Ok(section), Ok(step)) = (section.parse::<usize>(), step.parse::<usize>()) else {
        return;
    };
    let Tree::Object(root) = source.root() else {
        return;
    };
    let steps_of = |tree: &Tree<'_>| match tree {
        Tree::Object(object) => object
            .get_array("steps")
            .map_or(0, |steps| steps.elements.len()),
        _ => 0,
    };
    let Some(sections) = root.get_array("sections") else {
        return;
    };
    if numbered {
        finding.number = Some(
            sections
                .elements
                .iter()
                .take(section)
                .map(steps_of)
                .sum::<usize>()
                + step
                + 1,
        );
    }
    if let Some(Tree::Object(section)) = sections.elements.get(section)
        && let Some(Tree::Object(step)) = section
            .get_array("steps")
            .and_then(|steps| steps.elements.get(step))
        && let Some(id) = step.get_string("id")
    {
        finding.step = Some(crate::shape::shown(&id.value));
    }
}
