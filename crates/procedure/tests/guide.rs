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
