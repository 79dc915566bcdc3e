//! The program's entry.
fn main() {}
