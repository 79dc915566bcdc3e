//! Line mode through the built program: a whole rebuild from the shipped script, refusals, an input that ends early.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod answers_in_words;
#[path = "../house/mod.rs"]
mod house;
mod refusals;
mod robot;
mod shipped_script;
mod silence;
mod terminal;
mod words;

use std::path::{Path, PathBuf};

use house::{House, Ran};

const CLOSES_THE_OPEN_ONE: &str =
    "Ines Falk\nclose-incomplete given up for the test; bonnet on, J1 not tight\n";

const STARTS: &str = "WO 1\nTP-0388\n1\nK 1\nInes Falk\n";

fn scripts() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/scripts")
}

/// Line mode with these arguments and this input.
fn plain(house: &House, args: &[&str], input: &str) -> Ran {
    house.line_mode(&house.path("secrets"), args, input.as_bytes())
}

fn close_the_open_one(house: &House) {
    plain(house, &["--tag", "FV-3302"], CLOSES_THE_OPEN_ONE).exits(0);
}

/// A demo site whose open rebuild was closed, and line mode at FV-3302 with this input.
fn started_anew(input: &str) -> (House, Ran) {
    let house = House::demo();
    close_the_open_one(&house);
    let ran = plain(&house, &["--tag", "FV-3302"], input);
    (house, ran)
}

/// Codes of all that was refused.
fn codes(ran: &Ran) -> Vec<&str> {
    ran.lines("! ")
        .into_iter()
        .map(|line| line[2..].split(':').next().unwrap())
        .collect()
}

/// The shipped script.
fn script() -> String {
    std::fs::read_to_string(scripts().join("fv-3302.txt")).unwrap()
}

/// The record of the newest rebuild of FV-3302, as `show --json` gives it.
fn newest(house: &House) -> serde_json::Value {
    let past = house.run(&["history", "FV-3302", "--json"]).json();
    let record = past[0]["record"].as_str().unwrap();
    house.run(&["show", record, "--json"]).json()
}
