//! What open rebuilds of this home hold. It is no part of the log: the program says it, from the rebuilds themselves.

use super::{Instrument, Register};
use crate::log::Id;

/// An instrument in use at a joint that is begun and not closed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Booking {
    /// Name on site.
    pub instrument: String,
    /// The rebuild that holds it.
    pub stream: Id,
    /// Tag of its unit.
    pub tag: String,
    /// The joint.
    pub joint: String,
}

impl Register {
    /// What open rebuilds of this home hold from now on, whatever was said before.
    pub fn set_bookings(&mut self, bookings: Vec<Booking>) {
        self.bookings = bookings;
    }

    /// Where another rebuild than this one holds the instrument.
    #[must_use]
    pub fn booked(&self, instrument: &str, own: Id) -> Option<&Booking> {
        self.bookings
            .iter()
            .find(|booking| booking.stream != own && booking.instrument == instrument)
    }

    /// Whether any check of the day may be asked.
    #[must_use]
    pub fn wants_day_checks(&self) -> bool {
        self.site.as_ref().is_some_and(|site| site.day_checks)
            || self.instruments.values().any(|one| one.day_check)
    }

    /// Whether the check of this instrument is asked at its first use of a day: the site's value, or the instrument's own.
    #[must_use]
    pub fn wants_day_check(&self, instrument: &Instrument) -> bool {
        instrument.day_check || self.site.as_ref().is_some_and(|site| site.day_checks)
    }
}
