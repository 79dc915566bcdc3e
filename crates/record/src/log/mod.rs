//! The log: entries, their one byte form, the chain that binds them, and the signatures on them.
//!
//! An entry is a JSON object in canonical form ([`canonical`]). Its hash covers every byte, signature included; the next entry
//! names that hash. The bytes are stored and never printed anew, so what was signed is what is kept. This module knows
//! nothing of registers or rebuilds, and keeps no secret: a signing key is borrowed for one signature.
//!
//! The layout is frozen; `docs/record-format.md` describes it for a reader without this code.

mod canonical;
mod chain;
mod damage;
mod entry;
mod hash;
mod id;
mod seal;
mod stamp;
mod time;

pub use canonical::{MAX_DEPTH, MAX_INTEGER, canonical};
pub use chain::{Chain, verify_chain};
pub use damage::Damage;
pub use entry::{Entry, MAX_ENTRY_BYTES};
pub use hash::{Hash, HashText, from_hex, to_hex};
pub use id::{Id, IdText, SHORTEST_BEGINNING};
pub use seal::{Sealed, entry_hash, sign_detached, verify_detached};
pub use stamp::{Clock, Head, Signature, Stamp};
pub use time::{is_day, is_offset, is_utc};
