//! A record as text, for paper and for people without the program. Returns text, writes no file.

mod text;

pub use text::{Page, text};
