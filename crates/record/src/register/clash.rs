//! Clashes: one serial, tag or name that two entries speak of as of two things.
//!
//! In one home `decide` refuses them; they come from a register written by hand, or from two registers of one site put
//! together. The first is kept and the clash is shown; time settles nothing.

use super::{Fact, Register};
use crate::text::folded;

/// What two entries both lay claim to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ClashOf {
    /// One person, enrolled twice.
    Person,
    /// The name of a person.
    PersonName,
    /// The tag of a place.
    Tag,
    /// The serial of a unit.
    UnitSerial,
    /// The name of an instrument on site.
    InstrumentName,
    /// The serial of an instrument.
    InstrumentSerial,
}

impl ClashOf {
    /// The words for it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Person => "person",
            Self::PersonName => "name",
            Self::Tag => "tag",
            Self::UnitSerial => "serial of a unit",
            Self::InstrumentName => "name of an instrument",
            Self::InstrumentSerial => "serial of an instrument",
        }
    }
}

/// A clash of two entries.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clash {
    /// What clashes.
    pub of: ClashOf,
    /// The name, tag or serial as the first entry has it.
    pub text: String,
    /// The entry that is kept.
    pub first: Fact,
    /// The other entry.
    pub second: Fact,
}

impl Clash {
    /// The clash in one sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        format!(
            "The {} {} stands for two things: entry {} and entry {} of the register.",
            self.of.words(),
            self.text,
            self.first.number,
            self.second.number
        )
    }
}

impl Register {
    /// Clashes inside this register, in the order of the entries that brought them.
    #[must_use]
    pub fn clashes(&self) -> &[Clash] {
        &self.clashes
    }

    /// Clashes between this register and another one of the same site: one name under two identifiers, one tag, serial or
    /// instrument put on both registers. The same identifier in both is the same person and no clash.
    #[must_use]
    pub fn clashes_with(&self, other: &Self) -> Vec<Clash> {
        let mut clashes = Vec::new();
        let mut clash = |of, text: &str, first, second| {
            clashes.push(Clash {
                of,
                text: text.to_owned(),
                first,
                second,
            });
        };
        for person in self.people() {
            let name = folded(&person.name);
            for twin in other
                .people()
                .filter(|twin| twin.id != person.id && folded(&twin.name) == name)
            {
                clash(ClashOf::PersonName, &person.name, person.fact, twin.fact);
            }
        }
        for place in self.places() {
            if let Some(twin) = other.place(&place.tag) {
                clash(ClashOf::Tag, &place.tag, place.fact, twin.fact);
            }
        }
        for unit in self.units() {
            if let Some(twin) = other.unit(&unit.serial) {
                clash(ClashOf::UnitSerial, &unit.serial, unit.fact, twin.fact);
            }
        }
        for instrument in self.instruments() {
            if let Some(twin) = other.instrument(&instrument.id) {
                clash(
                    ClashOf::InstrumentName,
                    &instrument.id,
                    instrument.fact,
                    twin.fact,
                );
            }
            let serial = folded(&instrument.serial);
            for twin in other
                .instruments()
                .filter(|twin| folded(&twin.serial) == serial)
            {
                clash(
                    ClashOf::InstrumentSerial,
                    &instrument.serial,
                    instrument.fact,
                    twin.fact,
                );
            }
        }
        clashes
    }

    /// Keeps a clash, if there is a first to clash with; says so.
    pub(super) fn clash(
        &mut self,
        of: ClashOf,
        first: Option<(String, Fact)>,
        second: Fact,
    ) -> bool {
        match first {
            Some((text, first)) => {
                self.clashes.push(Clash {
                    of,
                    text,
                    first,
                    second,
                });
                true
            }
            None => false,
        }
    }
}
