//! Procedures: the written rebuild of one kind of unit.
//!
//! [`read`](fn@read) turns a procedure's JSON text into a [`Procedure`] or every finding at once, by format number and
//! structure alone. A rebuild runs on one [`Route`], the list of steps for one choice of options. The crate knows no
//! clock, file or environment.

mod builtin;
pub mod codes;
mod convert;
mod convert_step;
pub mod finding;
pub mod model;
mod names;
mod nearest;
mod read;
pub mod route;
mod shape;
mod source;
mod wire;
mod wire_step;

pub use builtin::builtin;
pub use codes::explain;
pub use finding::{Finding, Severity};
pub use model::Procedure;
pub use read::{MOST_FINDINGS, read};
pub use route::{Choices, Route};
pub use shape::schema;
pub use source::{MOST_BYTES, MOST_DEPTH};
