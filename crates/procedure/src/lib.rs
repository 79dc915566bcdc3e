//! Procedures: the written rebuild of one kind of unit.
//!
//! [`read`](fn@read) turns a procedure's JSON text into a [`Procedure`] or every finding at once, by format number and
//! structure alone. [`prove`](fn@prove) runs a procedure against the model of its assembly ([`assembly`]) on every route and
//! names what cannot be right; [`check`] does both and places every finding in the text. A rebuild runs on one [`Route`], the list of steps for one choice of options. The crate knows no
//! clock, file or environment.
#![warn(clippy::too_many_lines)]

pub mod assembly;
mod assembly_energy;
mod assembly_joint;
mod assembly_test;
mod assembly_work;
mod builtin;
pub mod codes;
pub mod compare;
mod compare_facets;
mod convert;
mod convert_computed;
mod convert_joint;
mod convert_seat;
mod convert_step;
pub mod draft;
mod draft_text;
pub mod finding;
pub mod model;
mod names;
mod nearest;
pub mod outline;
mod prove;
mod prove_acts;
mod prove_end;
mod prove_gauges;
mod prove_joints;
mod prove_order;
mod prove_prevailing;
mod prove_recheck;
mod prove_seat;
mod prove_steps;
mod read;
pub mod reading;
mod role;
pub mod route;
mod shape;
mod smallest;
mod source;
pub mod stack;
mod style;
mod sums;
mod wire;
mod wire_step;
mod words;

pub use builtin::builtin;
pub use codes::{explain, severity};
pub use compare::{Change, compare};
pub use draft::Draft;
pub use draft_text::draft;
pub use finding::{Finding, Severity};
pub use model::Procedure;
pub use outline::{Outline, choose, outline};
pub use prove::{MOST_ROUTES, all_choices, check, prove};
pub use read::{MOST_FINDINGS, read};
pub use reading::{Page, Reading};
pub use route::{Choices, Route};
pub use shape::schema;
pub use source::{MOST_BYTES, MOST_DEPTH};
pub use stack::{Stack, StackLine, Stands, stacks};
pub use sums::at_the_bench;
