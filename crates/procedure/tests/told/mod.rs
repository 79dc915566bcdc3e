//! Bad files of `tests/cases`, and what is said about each, as the reviewed snapshots keep it.

#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "a test reads its case files"
)]

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use reseat_procedure::Finding;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases")
}

pub(crate) fn case(name: &str) -> Vec<u8> {
    std::fs::read(folder().join(name)).unwrap()
}

/// Case files that begin so, in order: each name, and the code by which it is bad.
pub(crate) fn cases(beginning: &str) -> Vec<(String, String)> {
    let mut cases: Vec<(String, String)> = std::fs::read_dir(folder())
        .unwrap()
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .filter_map(|name| {
            let rest = name.strip_prefix(beginning)?.strip_suffix(".json")?;
            let code = rest.split('.').next().unwrap().to_owned();
            Some((name, code))
        })
        .collect();
    cases.sort();
    cases
}

/// Findings as the snapshots have them.
pub(crate) fn said(findings: &[Finding]) -> String {
    let mut text = String::new();
    for finding in findings {
        // Behind the text typed stands the sentence of another crate, which is tested there.
        let foreign = ["bad-quantity", "bad-window", "bad-unit"].contains(&finding.code);
        let message = finding
            .message
            .split("\u{201d}: ")
            .next()
            .filter(|_| foreign)
            .unwrap_or(&finding.message);
        let step = finding
            .step
            .as_deref()
            .map_or(String::new(), |step| format!(" step {step}"));
        let number = finding
            .number
            .map_or(String::new(), |number| format!(" number {number}"));
        let options = if finding.options.is_empty() {
            String::new()
        } else {
            format!(" {:?}", finding.options)
        };
        writeln!(
            text,
            "{}:{} {} [{}]{step}{number}{options}",
            finding.line,
            finding.column,
            finding.severity.word(),
            finding.code
        )
        .unwrap();
        writeln!(text, "    {message}\n    {}", finding.remedy).unwrap();
    }
    text
}
