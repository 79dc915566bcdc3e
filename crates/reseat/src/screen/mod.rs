//! The terminal screens: one model, pure update, drawing that changes nothing.
//!
//! `update` takes a message with its instant and gives effects; the runner performs them on the open home and hands
//! outcomes back as messages; `view` draws the model. A screen is one file with its state, keys and drawing; the work
//! screen's drawing stands beside it for length.

pub mod bench;
mod changes;
pub mod clock;
pub mod deeds;
pub mod draw;
pub mod field;
pub mod form;
pub mod founding;
mod gather;
mod gather_procedures;
pub mod guard;
pub mod handover;
pub mod home;
mod late;
pub mod message;
pub mod model;
pub mod overlay;
mod own_lock;
pub mod pages;
mod pages_view;
pub mod recall;
pub mod record;
pub mod register;
pub mod register_forms;
pub mod resume;
pub mod runner;
pub mod sight;
pub mod sign;
pub mod start;
pub mod unit;
pub mod update;
pub mod view;
pub mod work;
mod work_bench;
mod work_lines;
pub mod work_view;

pub use message::{Effect, Message, Outcome, Said, Secret};
pub use model::{Model, Screen};
pub use runner::Runner;
pub use update::{deadline, update};
pub use view::view;
