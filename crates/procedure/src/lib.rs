//! Procedures: the written rebuild of one kind of unit.
//!
//! [`read`](fn@read::read) turns a procedure's JSON text into a [`Procedure`] or every finding at once, by format number and
//! structure alone; `prove` runs it against a model of the assembly. A rebuild runs on one [`Route`], the list of
//! steps for one choice of options; the proof runs over all of them. The crate knows no clock, file or environment.

pub mod model;
pub mod route;

pub use model::Procedure;
pub use route::{Choices, Route};
