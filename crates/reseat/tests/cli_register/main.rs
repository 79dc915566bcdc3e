//! People, units, instruments and procedures on the command line, and bad input for each of their arguments.

#![allow(clippy::unwrap_used)]

mod dates_and_signs;
#[path = "../house/mod.rs"]
mod house;
mod instruments;
mod people;
mod procedures;
mod units;

use house::{House, INSTRUMENT};

#[test]
fn wrong_words_in_arguments_are_exit_2_and_name_what_may_stand_there() {
    let house = House::founded();
    house
        .by("Mbali Sefton", &["people", "add", "X", "--role", "boss"])
        .exits(2)
        .says("performer, verifier");
    house
        .by("Mbali Sefton", &["people", "add", "X"])
        .exits(2)
        .says("--role");
    house
        .run(&["people", "add", "X", "--role", "lead"])
        .exits(2)
        .says("--by");
    house.run(&["peple"]).exits(2).says("people");
    let mut wrong = INSTRUMENT;
    for (place, value, says) in [
        (3, "hammer", "a kind is one of"),
        (5, "furlongs", "--scale"),
        (7, "40-200 N·m", "--range"),
        (7, "200..40 N·m", "--range"),
        (9, "1", "--resolution"),
        (17, "about right", "4 % of reading"),
    ] {
        let before = std::mem::replace(&mut wrong[place], value);
        let args: Vec<&str> = ["instruments", "add", "TW-19"]
            .into_iter()
            .chain(wrong)
            .collect();
        house.by("Mbali Sefton", &args).exits(2).says(says);
        wrong[place] = before;
    }
    for point in ["V-1;brine", "V-1;brine;half;shut"] {
        house
            .by(
                "Mbali Sefton",
                &["units", "place", "FV-1", "--name", "x", "--point", point],
            )
            .exits(2)
            .says("--point");
    }
}
