//! Slips an author makes, put on purpose into procedures written from the guide: each is found at its place, and doing what
//! its remedy says clears it.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod found;
mod nitrogen;
mod regulator;
