//! `reseat calc`: every example of its help, published examples, and every kind of bad input. One file for each subject.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::unreadable_literal,
    reason = "a test that fails must say so; published figures stay as printed"
)]

mod bench;
mod examples;
#[path = "../house/mod.rs"]
mod house;
mod input;
mod joint;
mod life;
mod order;
mod reading;

use house::{House, Ran};
use serde_json::Value;

/// The words of a command as a shell parts them; only single quotes quote.
fn words(command: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (part, text) in command.split('\'').enumerate() {
        if part % 2 == 1 {
            words.push(text.to_owned());
        } else {
            words.extend(text.split_whitespace().map(str::to_owned));
        }
    }
    words
}

fn calc(command: &str) -> Ran {
    House::ran(House::empty().command().arg("calc").args(words(command)))
}

#[track_caller]
fn numbers(command: &str) -> Value {
    let ran = House::ran(
        House::empty()
            .command()
            .args(["calc", "--json"])
            .args(words(command)),
    );
    ran.exits(0).json()
}

#[track_caller]
fn says(command: &str, sentence: &str) {
    let ran = calc(command);
    assert_eq!(ran.exits(0).out, format!("{sentence}\n"));
    assert_eq!(ran.err, "");
}

/// One line, exit 2, nothing on standard output.
#[track_caller]
fn refuses(command: &str, parts: &[&str]) {
    let ran = calc(command);
    let ran = ran.exits(2);
    assert_eq!(ran.out, "");
    assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
    for part in parts {
        assert!(ran.err.contains(part), "not said: {part}\n{}", ran.err);
    }
}

#[track_caller]
fn close(found: &Value, wanted: f64, relative: f64) {
    let number = found
        .as_f64()
        .unwrap_or_else(|| panic!("{found} is no number"));
    assert!(
        (number - wanted).abs() <= relative * wanted.abs(),
        "{number} is not {wanted}"
    );
}

#[track_caller]
fn keys(found: &Value, wanted: &[&str]) {
    let mut wanted: Vec<&str> = wanted.to_vec();
    wanted.sort_unstable();
    let mut keys: Vec<&str> = found
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    keys.sort_unstable();
    assert_eq!(keys, wanted);
}

/// A command with one option given another value, or given at all.
fn changed(command: &str, name: &str, value: &str) -> String {
    let mut words = words(command);
    match words.iter().position(|word| word == name) {
        Some(at) => words[at + 1] = value.into(),
        None => words.extend([name.into(), value.into()]),
    }
    format!("'{}'", words.join("' '"))
}
