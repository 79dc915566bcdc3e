//! Slips put into a sound text: each is found at its place, and doing what its remedy says clears it.

use reseat_procedure::{Finding, check};

/// Something an author got wrong.
pub(crate) struct Slip {
    /// What the author got wrong: this text became that.
    pub(crate) put: (&'static str, &'static str),
    pub(crate) code: &'static str,
    /// Text of the line at which it must be named.
    pub(crate) at: &'static str,
    /// The first words there are marked from this text on; empty: the beginning of the step.
    pub(crate) mark: &'static str,
    /// What the remedy must say.
    pub(crate) remedy: &'static str,
    /// What the author does then: this text becomes that.
    pub(crate) mend: (&'static str, &'static str),
}

/// The text with one passage put for another, which stands in it exactly once.
fn with(text: &str, (this, that): (&str, &str)) -> String {
    assert_eq!(text.matches(this).count(), 1, "{this}");
    text.replacen(this, that, 1)
}

/// Line and column, from 1, in Unicode scalars.
fn place(text: &str, line: &str, mark: &str) -> (usize, usize) {
    let mut found = text
        .lines()
        .enumerate()
        .filter(|(_, each)| each.contains(line));
    let (at, whole) = found.next().unwrap_or_else(|| panic!("no line has {line}"));
    assert!(found.next().is_none(), "two lines have {line}");
    let begins = if mark.is_empty() { "{" } else { mark };
    let column = whole.split_once(begins).unwrap().0.chars().count() + 1;
    (at + 1, column)
}

pub(crate) fn told(findings: &[Finding]) -> String {
    let lines: Vec<String> = findings
        .iter()
        .map(|found| {
            let (line, column) = (found.line, found.column);
            format!("{line}:{column} {} {}", found.code, found.message)
        })
        .collect();
    lines.join("\n")
}

/// Puts each slip into the text, finds it, and mends it as its remedy says; then nothing is left.
pub(crate) fn each_is_found_and_mended(written: &str, slips: &[Slip]) {
    for slip in slips {
        let slipped = with(written, slip.put);
        let findings = check(slipped.as_bytes());
        let found = findings
            .iter()
            .find(|found| found.code == slip.code)
            .unwrap_or_else(|| panic!("{} is not among\n{}", slip.code, told(&findings)));
        assert_eq!(
            (found.line, found.column),
            place(&slipped, slip.at, slip.mark),
            "{}",
            slip.code
        );
        assert!(
            found.remedy.contains(slip.remedy),
            "{}: {}",
            slip.code,
            found.remedy
        );
        let mended = with(&slipped, slip.mend);
        let left = check(mended.as_bytes());
        assert!(
            left.is_empty(),
            "{} mended, still\n{}",
            slip.code,
            told(&left)
        );
    }
}
