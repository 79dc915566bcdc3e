//! The signed, chained record of a rebuild: what is written, by whom, and what may be done next.
//!
//! [`log`] is the envelope, the chain and the signatures, and names nothing else of the crate. [`register`] is what a site
//! knows of its people, places, units, instruments and procedures. [`verify`] judges whose signatures they are. Pure: no
//! clock, no random numbers, no files; the caller brings them in a [`log::Stamp`].
#![warn(clippy::too_many_lines)]

pub mod log;
pub mod rebuild;
pub mod recall;
pub mod refusal;
pub mod register;
pub mod text;
pub mod verify;
