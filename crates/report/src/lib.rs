//! A record read back in full: what stands in it, in which order, and the same as text. Returns text, writes no file.
#![warn(clippy::too_many_lines)]

mod record;
mod text;

pub use record::{Part, Record, chain_words};
pub use text::text;
