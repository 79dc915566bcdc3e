//! The page on the record format names every kind of a register, and says of each whether it is signed.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

use reseat_procedure::model::Role;
use reseat_record::register::{Body, InstrumentKind, is_signed};

const PAGE: &str = include_str!("../../../docs/record-format.md");

/// Rows of the table of kinds: kind and who signs.
fn rows() -> Vec<(&'static str, &'static str)> {
    let section = PAGE
        .split("## 7. ")
        .nth(1)
        .unwrap()
        .split("## 8. ")
        .next()
        .unwrap();
    section
        .lines()
        .filter_map(|line| line.strip_prefix("| `"))
        .map(|line| {
            let kind = line.split('`').next().unwrap();
            let signer = line.trim_end_matches(" |").rsplit(" | ").next().unwrap();
            (kind, signer)
        })
        .collect()
}

#[test]
fn every_kind_stands_on_the_page_once_with_its_signer() {
    let rows = rows();
    let named: Vec<&str> = rows.iter().map(|(kind, _)| *kind).collect();
    assert_eq!(named, Body::KINDS, "in the order of the program's own list");
    for (kind, signer) in rows {
        assert_eq!(is_signed(kind), signer != "–", "{kind}: {signer}");
    }
}

#[test]
fn words_that_stand_in_records_stand_on_the_page() {
    let page = PAGE.split_whitespace().collect::<Vec<_>>().join(" ");
    for kind in InstrumentKind::ALL {
        assert!(page.contains(kind.word()), "{kind}");
    }
    for role in Role::ALL {
        assert!(
            page.contains(&format!("`{}`", role.word())),
            "{}",
            role.word()
        );
    }
    for prefix in [
        "reseat entry 1",
        "reseat sign 1",
        "reseat found 1",
        "reseat demo entry 1",
        "reseat demo sign 1",
        "reseat demo found 1",
    ] {
        assert!(page.contains(&format!("`{prefix}\\n`")), "{prefix}");
    }
}
