//! The service history of one home: what was done, kept in one SQLite file.
//!
//! This is the only package that names SQL. It keeps four kinds of table: **entries** (the truth; append-only),
//! **texts** by SHA-256 (never changed), **secrets** (sealed keys of this home; replaceable, never copied out) and
//! **indexes** (worked out from entries; thrown away and built again by [`History::rebuild_indexes`]).
//!
//! It knows the envelope of an entry and nothing of its meaning: who may write what is decided before an entry comes
//! here, and index rows are handed in ready made as [`RebuildRow`]. It asks for no time of day and no environment; the path of
//! the home is chosen by the program. An entry is on disk (`synchronous=FULL`) when [`History::append`] returns `Ok`.
#![forbid(unsafe_code)]
#![warn(clippy::too_many_lines)]

mod append;
mod copies;
mod fault;
mod hold;
mod home;
mod index;
mod open;
mod read;
mod schema;
mod secrets;

pub use append::Append;
pub use fault::{Standing, StorageFault};
pub use hold::Hold;
pub use home::Home;
pub use index::{Listed, RebuildRow};
pub use open::History;
pub use read::{Copy, Found, Origin, Used};
pub use schema::SCHEMA;
pub use secrets::SealedKey;
