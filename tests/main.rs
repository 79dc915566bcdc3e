//! The whole against its own rules, and the built program through a pseudo-terminal.

#![allow(clippy::unwrap_used, clippy::panic, unreachable_pub)] // test code: a failure is what the test shows

mod e2e;
mod faults;
mod founding;
mod terminal;
mod tidy;
