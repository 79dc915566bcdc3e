//! The page on safety rules names tests and files that exist, and every paragraph it must.

#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "a test: it reads the tree it stands in, and a failure is what it shows"
)]

use std::path::{Path, PathBuf};

const PAGE: &str = include_str!("../../../docs/safety.md");

/// Folders in which the page names files: tests and code as its head says, and the whole tree.
const FOLDERS: [&str; 4] = [
    "crates/record/tests",
    "crates/record/src/rebuild",
    "crates/reseat/src",
    "",
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// Words that stand as code in a text of the page.
fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split('`').skip(1).step_by(2)
}

fn is_file(word: &str) -> bool {
    Path::new(word)
        .extension()
        .is_some_and(|ending| ending == "rs")
}

/// The text of a file as the page names it.
fn text_of(file: &str) -> Option<String> {
    FOLDERS
        .iter()
        .find_map(|folder| std::fs::read_to_string(root().join(folder).join(file)).ok())
}

/// Whether a text has the function, constant or type of this name; a word that ends in … names functions that begin so.
fn has(text: &str, word: &str) -> bool {
    match word.strip_suffix('…') {
        Some(beginning) => text.contains(&format!("fn {beginning}")),
        None => ["fn {}(", "fn {}<", "const {}:", "struct {} "]
            .iter()
            .any(|wanted| text.contains(&wanted.replace("{}", word))),
    }
}

/// A name as Rust has them, so long that it can only be a test's.
fn is_test(word: &str) -> bool {
    word.trim_end_matches('…').matches('_').count() >= 3
}

/// All test files of the packages that the page is about.
fn tests() -> Vec<String> {
    let mut folders = ["record", "reseat", "procedure"]
        .map(|package| root().join("crates").join(package).join("tests"))
        .to_vec();
    let mut found = Vec::new();
    while let Some(folder) = folders.pop() {
        for item in std::fs::read_dir(folder).unwrap() {
            let path = item.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if is_file(&path.to_string_lossy()) {
                found.push(std::fs::read_to_string(path).unwrap());
            }
        }
    }
    assert!(found.len() > 50, "the tests were not found");
    found
}

#[test]
fn every_file_named_on_the_page_exists() {
    let mut named = 0;
    for word in words(PAGE).filter(|word| is_file(word)) {
        named += 1;
        assert!(text_of(word).is_some(), "{word} is no file");
    }
    assert!(named > 100, "{named}");
}

#[test]
fn every_test_named_on_the_page_exists() {
    let tests = tests();
    let mut named = 0;
    for word in words(PAGE).filter(|word| is_test(word)) {
        named += 1;
        assert!(
            tests.iter().any(|text| has(text, word)),
            "{word} is no test"
        );
    }
    assert!(named > 25, "{named}");
}

#[test]
fn what_the_page_names_after_a_file_stands_in_that_file() {
    let mut held = 0;
    let rows = PAGE.lines().filter(|line| line.starts_with('|'));
    for part in rows.flat_map(|row| row.split([';', '|'])) {
        let mut file: Option<(&str, String)> = None;
        for word in words(part) {
            if is_file(word) {
                file = text_of(word).map(|text| (word, text));
            } else if let (Some((name, text)), false) = (&file, word.ends_with('/')) {
                held += 1;
                assert!(has(text, word), "{word} is not in {name}");
            }
        }
    }
    assert!(held > 100, "{held}");
}

#[test]
fn every_paragraph_is_named() {
    for paragraph in [
        "(d)(1)",
        "(d)(2)",
        "(d)(3)",
        "(d)(4)(i)",
        "(d)(4)(iii)",
        "(d)(5)(i)",
        "(d)(5)(ii)",
        "(d)(6)",
        "(e)(1)",
        "(e)(2)(i)",
        "(e)(2)(ii)",
        "(e)(3)",
        "(f)(1)(i), (ii)",
        "(f)(1)(iii)",
        "(f)(1)(iv)",
        "(f)(1)(v)",
        "(f)(3)(i)",
        "(f)(3)(ii)(B)",
        "(f)(3)(ii)(D)",
        "(f)(4)",
    ] {
        assert!(PAGE.contains(&format!("| {paragraph}")), "{paragraph}");
    }
}
