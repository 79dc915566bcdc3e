//! The tree against its own rules: arrows between packages, file lengths, module docs, forbidden names.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .ancestors()
        .nth(2)
        .unwrap()
        .to_owned()
}

fn sources() -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![root().join("crates"), root().join("tests")];
    while let Some(folder) = folders.pop() {
        for item in std::fs::read_dir(folder).unwrap() {
            let path = item.unwrap().path();
            if path.is_dir() {
                if !path.ends_with("target") {
                    folders.push(path);
                }
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                found.push(path);
            }
        }
    }
    assert!(found.len() > 50, "the tree was not found");
    found
}

/// What each package may use of the others; docs/architecture.md says the same.
fn arrows() -> BTreeMap<&'static str, &'static [&'static str]> {
    BTreeMap::from([
        ("reseat-measure", &[][..]),
        ("reseat-procedure", &["reseat-measure"]),
        ("reseat-record", &["reseat-measure", "reseat-procedure"]),
        (
            "reseat-history",
            &["reseat-measure", "reseat-procedure", "reseat-record"],
        ),
        (
            "reseat-report",
            &["reseat-measure", "reseat-procedure", "reseat-record"],
        ),
        (
            "reseat",
            &[
                "reseat-measure",
                "reseat-procedure",
                "reseat-record",
                "reseat-history",
                "reseat-report",
            ],
        ),
    ])
}

#[test]
fn no_arrow_runs_the_other_way() {
    let metadata = cargo_metadata::MetadataCommand::new()
        .manifest_path(root().join("Cargo.toml"))
        .other_options(vec!["--offline".to_owned()])
        .no_deps()
        .exec()
        .unwrap();
    let allowed = arrows();
    let packages: BTreeSet<String> = metadata
        .packages
        .iter()
        .map(|package| package.name.to_string())
        .collect();
    assert_eq!(packages, allowed.keys().map(ToString::to_string).collect());
    for package in &metadata.packages {
        let may = allowed[package.name.as_str()];
        for dependency in &package.dependencies {
            if packages.contains(&dependency.name)
                && dependency.kind == cargo_metadata::DependencyKind::Normal
            {
                assert!(
                    may.contains(&dependency.name.as_str()),
                    "{} must not use {}",
                    package.name,
                    dependency.name
                );
            }
        }
    }
}

#[test]
fn every_source_file_says_what_it_is_for() {
    for path in sources() {
        let text = std::fs::read_to_string(&path).unwrap();
        let first = text
            .lines()
            .find(|line| !line.trim().is_empty())
            .unwrap_or_default();
        assert!(
            first.starts_with("//!"),
            "{} does not begin with //!",
            path.display()
        );
    }
}

/// Most lines of a file, its comments and its tests with them.
const LINES_OF_A_FILE: usize = 600;

#[test]
fn no_file_grows_past_its_limit() {
    let mut long = Vec::new();
    for path in sources() {
        let lines = std::fs::read_to_string(&path).unwrap().lines().count();
        if lines > LINES_OF_A_FILE {
            let shown = path.strip_prefix(root()).unwrap().display().to_string();
            long.push(format!("{shown} has {lines} lines"));
        }
    }
    assert!(
        long.is_empty(),
        "which two subjects stand there?\n{}",
        long.join("\n")
    );
}

/// Clippy counts the lines of functions; it reads the nearest `clippy.toml` alone, so each must say the limit. Only what the
/// packages are made of is held to it: a test may hold a long table of cases.
#[test]
fn clippy_limits_the_functions_of_every_package() {
    let mut limits = vec![root().join("clippy.toml")];
    for package in std::fs::read_dir(root().join("crates")).unwrap() {
        let package = package.unwrap().path();
        let library = std::fs::read_to_string(package.join("src/lib.rs")).unwrap();
        assert!(
            library.contains("\n#![warn(clippy::too_many_lines)]\n"),
            "{} does not watch its functions",
            package.display()
        );
        limits.extend(Some(package.join("clippy.toml")).filter(|file| file.exists()));
    }
    assert!(limits.len() >= 5, "the limits were not found");
    for file in limits {
        let text = std::fs::read_to_string(&file).unwrap();
        assert!(
            text.lines()
                .any(|line| line == "too-many-lines-threshold = 70"),
            "{} sets no limit",
            file.display()
        );
    }
}

#[test]
fn only_history_names_sql_and_only_reseat_names_a_terminal() {
    for path in sources() {
        let shown = path.strip_prefix(root()).unwrap().display().to_string();
        let text = std::fs::read_to_string(&path).unwrap();
        if shown.starts_with("crates") && !shown.contains("history") {
            assert!(!text.contains("rusqlite"), "{shown} names the database");
        }
        let pure = [
            "crates/measure",
            "crates/procedure",
            "crates/record",
            "crates/report",
        ]
        .iter()
        .any(|part| shown.starts_with(part));
        if pure {
            assert!(
                !text.contains("crossterm") && !text.contains("ratatui"),
                "{shown} names a terminal"
            );
        }
    }
}

#[test]
fn the_log_names_nothing_else_of_its_crate() {
    for path in sources()
        .iter()
        .filter(|path| path.components().any(|part| part.as_os_str() == "log"))
    {
        let text = std::fs::read_to_string(path).unwrap();
        for other in [
            "crate::register",
            "crate::rebuild",
            "crate::refusal",
            "crate::verify",
        ] {
            assert!(!text.contains(other), "{} names {other}", path.display());
        }
    }
}

#[test]
fn nothing_is_left_open_in_the_code() {
    // Spelled in two halves so that this file does not find itself.
    let open = [
        concat!("TO", "DO"),
        concat!("FIX", "ME"),
        concat!("#[ig", "nore"),
        concat!("unimple", "mented!"),
        concat!("to", "do!("),
    ];
    for path in sources() {
        let text = std::fs::read_to_string(&path).unwrap();
        for word in open {
            assert!(!text.contains(word), "{} holds {word}", path.display());
        }
    }
}
