//! Pressure holds, seats, regulators, springs, recall and life held against published values.

mod bad_input;
mod balance;
mod holds;
mod recall_and_life;
mod regulators;
mod seats;
