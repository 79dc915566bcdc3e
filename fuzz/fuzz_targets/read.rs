//! Any bytes: reading and proving end without a panic.
//!
//! Run with `cargo +nightly fuzz run read`; the shipped procedures are a good beginning:
//! `cargo +nightly fuzz run read fuzz/corpus/read procedures`.
#![no_main]

use std::hint::black_box;

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    black_box(reseat_procedure::check(bytes));
});
