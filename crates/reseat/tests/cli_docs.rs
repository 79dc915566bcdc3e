//! The page of commands is the one the program would write.

#![allow(clippy::unwrap_used)]

use std::path::Path;

/// Set to anything, it writes the page instead of comparing it.
const WRITE: &str = "RESEAT_WRITE_DOCS";

#[test]
fn docs_commands_is_fresh() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/commands.md");
    let made = reseat::cli::commands_page();
    if std::env::var_os(WRITE).is_some() {
        std::fs::write(&page, &made).unwrap();
    }
    let kept = std::fs::read_to_string(&page).unwrap_or_default();
    assert!(
        kept == made,
        "docs/commands.md is stale: run the test once with {WRITE}=1"
    );
}
