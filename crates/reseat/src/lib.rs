//! The program: command line, terminal screens, clock, random numbers, files, and the wiring between the pure crates.
//!
//! Only this crate reads a clock, takes random numbers, opens a terminal or prints.
#![warn(clippy::too_many_lines)]

pub mod cli;
pub mod demo;
pub mod desk;
pub mod keys;
pub mod line;
pub mod screen;
pub mod svg;
pub mod terminal;
pub mod theme;
