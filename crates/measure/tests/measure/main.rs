//! Quantities, verdicts, joints and tests of a unit, held against published values and against laws. One file for each subject.

#![allow(
    clippy::panic,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::unreadable_literal,
    clippy::float_cmp,
    reason = "a test that fails must say so; published figures stay as printed"
)]

mod exactness;
mod joints;
mod quantities;
mod tests_of_the_unit;
mod units;
mod verdicts;

use reseat_measure::{Quantity, Window};

fn q(text: &str) -> Quantity {
    Quantity::parse(text).unwrap_or_else(|refused| panic!("{text}: {refused}"))
}

fn w(text: &str) -> Window {
    Window::parse(text).unwrap_or_else(|refused| panic!("{text}: {refused}"))
}

/// Whether a value found is the one wanted, to this part of it.
fn close(found: f64, wanted: f64, relative: f64) -> bool {
    (found - wanted).abs() <= relative * wanted.abs()
}
