//! Pressure holds, seats, regulators, springs, recall and life held against published values.

#![allow(
    clippy::panic,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::unreadable_literal,
    clippy::float_cmp,
    reason = "a test that fails must say so; published figures stay as printed"
)]

mod holds;
mod recall_and_life;
mod regulators;
mod seats;

use reseat_measure::{Quantity, Window};

fn q(text: &str) -> Quantity {
    Quantity::parse(text).unwrap_or_else(|refused| panic!("{text}: {refused}"))
}

fn w(text: &str) -> Window {
    Window::parse(text).unwrap_or_else(|refused| panic!("{text}: {refused}"))
}

fn close(found: f64, wanted: f64, relative: f64) -> bool {
    (found - wanted).abs() <= relative * wanted.abs()
}
