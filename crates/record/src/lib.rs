//! The signed, chained record of a rebuild: what is written, by whom, and what may be done next.
//!
//! [`log`] is the envelope, the chain and the signatures, and names nothing else of the crate. Pure: no clock, no random
//! numbers, no files; the caller brings them in a [`log::Stamp`].

pub mod log;
