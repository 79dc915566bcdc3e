//! What the other open rebuilds of this home hold: the wrench at a joint that is begun and not closed.
//!
//! A rebuild knows nothing of another, so the desk reads the others and hands their bookings to the register before one is
//! worked on, and again when another program has written since. What could not be read books nothing: a damaged record
//! must not keep the work on another unit from going on.

use std::collections::BTreeMap;

use reseat_record::log::Id;
use reseat_record::register::Booking;

use super::{Desk, Fault};

/// Bookings by rebuild, with the number of entries they were read at.
#[derive(Debug, Default)]
pub(super) struct Bookings {
    known: BTreeMap<Id, (u64, Vec<Booking>)>,
    stale: bool,
}

impl Bookings {
    /// Another program wrote, or another rebuild is worked on: what is known may be old.
    pub(super) fn doubt(&mut self) {
        self.stale = true;
    }
}

impl Desk {
    /// Hands the register what other rebuilds than this one hold, where that may have changed.
    pub(super) fn know_bookings(&mut self, own: &Id) -> Result<(), Fault> {
        if !self.bookings.stale {
            return Ok(());
        }
        let mut known = BTreeMap::new();
        for listed in self.history.open_rebuilds()? {
            let stream = listed.row.stream;
            if stream == *own {
                continue;
            }
            let head = self.history.head(&stream)?.number;
            let before = self.bookings.known.remove(&stream);
            let held = match before {
                Some((number, held)) if number == head => held,
                _ => self
                    .look(&stream)
                    .map(|rebuild| rebuild.booked())
                    .unwrap_or_default(),
            };
            known.insert(stream, (head, held));
        }
        let all = known.values().flat_map(|(_, held)| held.clone());
        self.register.set_bookings(all.collect());
        self.bookings = Bookings {
            known,
            stale: false,
        };
        Ok(())
    }
}
