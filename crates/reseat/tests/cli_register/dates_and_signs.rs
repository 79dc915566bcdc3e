//! Quantities with a leading minus, and days that have not come: told in the program's own words, exit 2.

use crate::house::House;

/// `instruments add` of a gauge with other values in place.
fn adds<'a>(others: &[(&'a str, &'a str)]) -> Vec<&'a str> {
    let mut args = vec!["instruments", "add", "PG-40"];
    for (name, value) in [
        ("--serial", "G-140"),
        ("--kind", "pressure gauge"),
        ("--scale", "bar g"),
        ("--range", "-1..10 bar g"),
        ("--resolution", "0.05 bar"),
        ("--certificate", "C-26-40"),
        ("--calibrated", "2026-01-10"),
        ("--due", "2027-01-10"),
        ("--deviation", "0.1 bar"),
    ] {
        let other = others.iter().find(|(other, _)| *other == name);
        args.extend([name, other.map_or(value, |(_, value)| *value)]);
    }
    for (name, value) in others {
        if !args.contains(name) {
            args.extend([*name, *value]);
        }
    }
    args
}

#[test]
fn a_leading_minus_is_a_quantity_everywhere() {
    let house = House::demo();
    for (others, says) in [
        (
            [("--deviation", "-4 % of reading")].as_slice(),
            "--deviation: -4 % of reading is no permissible deviation",
        ),
        (
            &[("--uncertainty", "-1 %"), ("--coverage", "2")],
            "The uncertainty is not above zero.",
        ),
        (
            &[("--uncertainty", "1 %"), ("--coverage", "-2")],
            "The coverage factor is not above zero.",
        ),
        (
            &[("--resolution", "-0.05 bar")],
            "The resolution is not above zero.",
        ),
        (
            &[("--usable", "-2..10 bar g")],
            "The usable part goes beyond the range.",
        ),
    ] {
        house.by("Mbali Sefton", &adds(others)).exits(2).says(says);
    }
    house.by("Mbali Sefton", &adds(&[])).exits(0);
    let list = house.run(&["instruments", "--json"]).exits(0).json();
    let one = list
        .as_array()
        .unwrap()
        .iter()
        .find(|one| one["id"] == "PG-40");
    assert_eq!(one.unwrap()["range"], "-1..10 bar g");
    house
        .run(&["recall", "PG-40", "--found", "-0.5 bar g = -0.4 bar g"])
        .exits(0)
        .says("No reading of PG-40 since 2026-01-10.");
}

#[test]
fn a_day_that_has_not_come_is_refused_before_it_reads_as_a_clean_answer() {
    let house = House::demo();
    house
        .by(
            "Mbali Sefton",
            &adds(&[("--calibrated", "2029-06-01"), ("--due", "2030-05-01")]),
        )
        .exits(2)
        .says("The day of calibration, 2029-06-01, is after today, 2026-03-12.");
    house
        .by("Mbali Sefton", &adds(&[("--due", "2026-01-09")]))
        .exits(2)
        .says("The due date is not after the day of calibration.");
    house
        .run(&[
            "recall",
            "TW-19",
            "--since",
            "2030-01-01",
            "--found",
            "50 N·m = 60 N·m",
        ])
        .exits(2)
        .says("The day of the last good check, 2030-01-01, is after today, 2026-03-12.");
    house
        .run(&[
            "recall",
            "TW-19",
            "--since",
            "2026-03-12",
            "--found",
            "50 N·m = 60 N·m",
        ])
        .exits(0);
}
