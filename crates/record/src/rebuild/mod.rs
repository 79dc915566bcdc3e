//! A rebuild: what may be done next and why not, what is asked now, and what its entries say.
//!
//! [`Rebuild::decide`] holds every rule and gives one entry for one command; [`Rebuild::apply`] carries an entry into
//! the state and repeats no rule; [`Rebuild::ask`] says what is wanted now. Replaying the entries gives the live state.

#![allow(
    clippy::cast_possible_truncation,
    reason = "counts of steps, asks and fasteners lie far below 2^32"
)]

mod adapter;
mod after_high;
mod apply;
mod apply_finding;
mod apply_joint;
mod apply_proof;
mod apply_step;
pub mod ask;
pub mod body;
mod booking;
pub mod command;
mod compute;
mod decay;
mod decay_view;
mod decide;
mod decide_exception;
mod decide_joint;
mod decide_measured;
mod decide_proof;
mod decide_sign;
mod decide_step;
mod due;
mod energize;
mod energy_asked;
mod fitness;
mod gauge;
mod handover;
mod hold_time;
mod joint;
mod late;
mod let_in;
mod lock_number;
mod pair;
mod permit;
mod plan;
mod prevailing;
mod question;
mod question_joint;
mod question_proof;
mod question_sign;
mod question_step;
mod reading;
mod recheck;
mod record_answers;
mod record_joint;
mod record_lines;
mod record_lockout;
mod record_people;
mod record_reading;
mod released;
mod repeats;
mod revision;
mod ruled;
mod ruling;
mod seat;
mod sheet;
mod start;
mod state;
mod tag;
pub(crate) mod time;
mod to_release;
mod tools;
pub mod view;
mod views;
mod weight;
mod words;
mod workers;
mod zero;

pub(crate) use adapter::{at_nut, required_parts};
pub use ask::{Ask, Bench, Clearing, Inner, NotOffered, Offer, Offered, Point, Wants};
pub use body::{Body, must_sign};
pub use command::{AbsentOwner, AdapterSaid, Command, Given, Start, StopKind};
pub(crate) use compute::compute;
pub use recheck::recheck;
pub use start::Summary;
pub use state::{Ended, Rebuild};
pub use tag::TAG_COLUMNS;
pub use to_release::PROVES_NOTHING;
pub use tools::for_register;
