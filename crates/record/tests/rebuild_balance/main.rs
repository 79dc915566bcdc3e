//! The balance of spring and diaphragm inside a rebuild: worked out from what was read on the unit, judged, kept and checked.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

#[path = "../forge/mod.rs"]
mod forge;
#[path = "../rebuild_site/mod.rs"]
mod rebuild_site;
mod shipped;
mod unbalanced;
