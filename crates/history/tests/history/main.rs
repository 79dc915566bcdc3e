//! The history against real files: guards, sessions, homes, copies and what is read back.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "samples fail as tests do, and a second program tells the first by its output"
)]

mod copies;
mod guards;
mod homes;
mod reading;
mod samples;
mod sessions;
mod uses;
