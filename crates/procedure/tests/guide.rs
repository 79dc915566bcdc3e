//! The guide for authors: its example is whole and free of findings, its table of findings is the program's own.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "a test reads and renews the guide"
)]

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use reseat_procedure::{check, codes, severity};

const START: &str = "<!-- findings -->\n";
const END: &str = "<!-- end of findings -->";

fn path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/authoring.md")
}

/// All blocks of JSON in the guide, one under the other.
#[test]
fn the_example_of_the_guide_is_free_of_findings() {
    let guide = std::fs::read_to_string(path()).unwrap();
    let mut text = String::new();
    let mut inside = false;
    for line in guide.lines() {
        match line {
            "```json" => inside = true,
            "```" => inside = false,
            _ if inside => {
                text.push_str(line);
                text.push('\n');
            }
            _ => {}
        }
    }
    assert!(text.len() > 4_000);
    let findings = check(text.as_bytes());
    assert!(findings.is_empty(), "{findings:#?}\n{text}");
}

/// The tables of style and of the sums of a joint name codes that exist, each with a bad file; and every code of style
/// stands there with its source.
#[test]
fn the_rules_of_the_guide_are_codes_with_bad_files() {
    let guide = std::fs::read_to_string(path()).unwrap();
    let tables = guide
        .split("## Style")
        .nth(1)
        .unwrap()
        .split("The verbs known")
        .next()
        .unwrap();
    let cases = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let mut named = Vec::new();
    for row in tables.lines().filter(|line| line.starts_with("| ")) {
        let cells: Vec<&str> = row.trim_matches('|').split(" | ").collect();
        if cells[1].trim() == "Code" {
            continue;
        }
        assert!(
            cells.len() == 3 && cells[2].trim().len() > 5,
            "no source: {row}"
        );
        for code in cells[1].split('`').skip(1).step_by(2) {
            assert!(reseat_procedure::explain(code).is_some(), "{code}");
            let file = |kind: &str| cases.join(format!("{kind}-{code}.json")).exists();
            assert!(file("prove") || file("read"), "{code} has no bad file");
            named.push(code.to_owned());
        }
    }
    for style in [
        codes::TWO_ACTS,
        codes::VERB_FIRST,
        codes::CONDITION_LATE,
        codes::PASSIVE,
        codes::NEGATIVE,
        codes::LONG_TEXT,
        codes::ACT_IN_WARNING,
        codes::SIGNAL_WORD_IN_ACT,
        codes::SIGNAL_WORD_WEAK,
        codes::SIGNAL_WORD_STRONG,
        codes::BARE_NUMBER,
        codes::VAGUE_WORDS,
        codes::OVER_75,
        codes::SLIP_OVER_90,
        codes::WINDOW_NARROW,
        codes::DRY_STAINLESS,
    ] {
        assert!(named.iter().any(|code| code == style), "{style}");
    }
}

/// After a change of the codes run `RESEAT_BLESS=1 cargo test -p reseat-procedure --test guide`.
#[test]
fn the_table_of_findings_is_fresh() {
    let guide = std::fs::read_to_string(path()).unwrap();
    let (front, rest) = guide.split_once(START).unwrap();
    let (_, back) = rest.split_once(END).unwrap();
    let mut table = String::from("| Code | Weight | Meaning |\n|---|---|---|\n");
    for (code, text) in codes::ALL {
        writeln!(
            table,
            "| `{code}` | {} | {} |",
            severity(code).word(),
            text.replace('|', "\\|")
        )
        .unwrap();
    }
    let fresh = format!("{front}{START}{table}{END}{back}");
    if std::env::var_os("RESEAT_BLESS").is_some() {
        std::fs::write(path(), &fresh).unwrap();
    }
    assert!(
        fresh == std::fs::read_to_string(path()).unwrap(),
        "docs/authoring.md is stale"
    );
}
