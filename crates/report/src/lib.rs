//! A record read back in full: what stands in it, in which order, and the same as text. Returns text, writes no file.

mod record;
mod text;

pub use record::{Part, Record, chain_words};
pub use text::text;
