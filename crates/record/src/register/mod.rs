//! The register of one home: people with roles and keys, places, units, instruments, approvals, values of the site.
//!
//! [`Register::decide`] holds every rule and gives an entry or a [`crate::refusal::Refusal`]; [`Register::apply`] folds an
//! entry into the state and repeats no rule. The program writes between the two. Whether a key or an approval was valid is
//! judged as of an entry's number, never by date: every person keeps his past standings.

mod apply;
mod bodies;
mod booking;
mod clash;
mod command;
mod decide;
mod decide_people;
mod decide_plant;
mod facts;
mod founding;
mod instrument;

use std::collections::BTreeMap;

pub use bodies::*;
pub use booking::Booking;
pub use clash::{Clash, ClashOf};
pub use command::{Command, InstrumentSaid, PlaceSaid, SiteSaid, UnitSaid};
pub use facts::*;
pub use founding::{check_site_signature, with_site_signature};
pub use instrument::{Calibration, Certified, Coverage, Instrument, Scale, Service};
pub use reseat_measure::{Deviation, InstrumentKind};
use reseat_procedure::model::Role;

use crate::log::{Damage, Hash, Head, Id, Sealed};
use crate::text::folded;

/// Number of the rules by which this version decides; entries carry it.
pub const RULES: u32 = 1;

/// A reading put in doubt, with the register entry that did so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InDoubt {
    /// Instrument that was found out.
    pub instrument: String,
    /// The rebuild.
    pub stream: Id,
    /// Number of the reading's entry.
    pub number: u64,
    /// Where it stands now.
    pub place: StillStands,
    /// The entry of the recall.
    pub fact: Fact,
}

/// A remark or an amendment kept in the register.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// Who said it.
    pub by: Option<Id>,
    /// Time of the entry.
    pub utc: String,
    /// What was said.
    pub text: String,
    /// The entry spoken of.
    pub of: Option<EntryNamed>,
    /// The open item it answers.
    pub answers: Option<String>,
    /// Whether it is a signed amendment; else a remark.
    pub amendment: bool,
    /// The entry it stands in.
    pub fact: Fact,
}

/// The state of a register, worked out from its entries.
#[derive(Debug, Clone, PartialEq)]
pub struct Register {
    head: Head,
    hashes: Vec<Hash>,
    home: Option<Id>,
    demo: bool,
    newer: Option<(u64, String)>,
    site: Option<Site>,
    people: BTreeMap<Id, Person>,
    places: BTreeMap<String, Place>,
    units: BTreeMap<String, Unit>,
    instruments: BTreeMap<String, Instrument>,
    approvals: Vec<Approval>,
    floor: Option<String>,
    agreed_day: Option<String>,
    ran_on_seconds: u64,
    in_doubt: Vec<InDoubt>,
    said: Vec<Said>,
    clashes: Vec<Clash>,
    bookings: Vec<Booking>,
}

impl Register {
    /// The register of a stream that has no entry yet.
    #[must_use]
    pub fn empty(stream: Id) -> Self {
        Self {
            head: Head::empty(stream),
            hashes: Vec::new(),
            home: None,
            demo: false,
            newer: None,
            site: None,
            people: BTreeMap::new(),
            places: BTreeMap::new(),
            units: BTreeMap::new(),
            instruments: BTreeMap::new(),
            approvals: Vec::new(),
            floor: None,
            agreed_day: None,
            ran_on_seconds: 0,
            in_doubt: Vec::new(),
            said: Vec::new(),
            clashes: Vec::new(),
            bookings: Vec::new(),
        }
    }

    /// The state after the entries, in order from entry 1.
    ///
    /// # Errors
    /// [`Damage`] where an entry does not follow the one before.
    pub fn replay<'a>(
        stream: Id,
        entries: impl IntoIterator<Item = &'a Sealed>,
    ) -> Result<Self, Damage> {
        let mut register = Self::empty(stream);
        for sealed in entries {
            register.apply(sealed)?;
        }
        Ok(register)
    }

    /// The last entry: what the next one follows, and what a signature pins.
    #[must_use]
    pub fn head(&self) -> Head {
        self.head
    }

    /// The register's stream.
    #[must_use]
    pub fn stream(&self) -> Id {
        self.head.stream
    }

    /// The home that founded it; none before founding.
    #[must_use]
    pub fn home(&self) -> Option<Id> {
        self.home
    }

    /// Whether it is a demo home's.
    #[must_use]
    pub fn is_demo(&self) -> bool {
        self.demo
    }

    /// Number and kind of the first entry this program does not know. While there is one, no state is claimed and nothing added.
    #[must_use]
    pub fn newer(&self) -> Option<(u64, &str)> {
        self.newer
            .as_ref()
            .map(|(number, kind)| (*number, kind.as_str()))
    }

    /// Hash of an entry by its number.
    #[must_use]
    pub fn hash_at(&self, number: u64) -> Option<Hash> {
        let place = usize::try_from(number.checked_sub(1)?).ok()?;
        self.hashes.get(place).copied()
    }

    /// The site; none before founding.
    #[must_use]
    pub fn site(&self) -> Option<&Site> {
        self.site.as_ref()
    }

    /// The states a unit may be left in to nobody: the site's own, or those offered where it names none.
    pub fn left_states(&self) -> Vec<String> {
        match self.site() {
            Some(site) if !site.left_states.is_empty() => site.left_states.clone(),
            _ => LEFT_STATES.map(str::to_owned).to_vec(),
        }
    }

    /// A person by identifier.
    #[must_use]
    pub fn person(&self, id: Id) -> Option<&Person> {
        self.people.get(&id)
    }

    /// A person by name, case aside.
    #[must_use]
    pub fn person_named(&self, name: &str) -> Option<&Person> {
        let name = folded(name);
        self.people
            .values()
            .find(|person| folded(&person.name) == name)
    }

    /// Everybody, retired people too, in the order of identifiers.
    pub fn people(&self) -> impl Iterator<Item = &Person> {
        self.people.values()
    }

    /// Everybody who holds a role now.
    pub fn holders(&self, role: Role) -> impl Iterator<Item = &Person> {
        self.people.values().filter(move |person| person.has(role))
    }

    /// A place by its tag, case aside.
    #[must_use]
    pub fn place(&self, tag: &str) -> Option<&Place> {
        self.places.get(&folded(tag))
    }

    /// All places, in the order of tags.
    pub fn places(&self) -> impl Iterator<Item = &Place> {
        self.places.values()
    }

    /// A unit by its serial, case aside.
    #[must_use]
    pub fn unit(&self, serial: &str) -> Option<&Unit> {
        self.units.get(&folded(serial))
    }

    /// All units, in the order of serials.
    pub fn units(&self) -> impl Iterator<Item = &Unit> {
        self.units.values()
    }

    /// An instrument by its name on site, case aside.
    #[must_use]
    pub fn instrument(&self, id: &str) -> Option<&Instrument> {
        self.instruments.get(&folded(id))
    }

    /// All instruments, in the order of names.
    pub fn instruments(&self) -> impl Iterator<Item = &Instrument> {
        self.instruments.values()
    }

    /// All approvals, oldest first.
    #[must_use]
    pub fn approvals(&self) -> &[Approval] {
        &self.approvals
    }

    /// The latest approval of exactly this revision and file.
    #[must_use]
    pub fn approval(&self, number: &str, revision: &str, sha256: &Hash) -> Option<&Approval> {
        self.approvals.iter().rev().find(|approval| {
            approval.number == number && approval.revision == revision && approval.sha256 == *sha256
        })
    }

    /// The approval that is in force for a procedure.
    #[must_use]
    pub fn approved_now(&self, number: &str) -> Option<&Approval> {
        self.approvals
            .iter()
            .rev()
            .find(|approval| approval.number == number && !approval.superseded)
    }

    /// The floor of the clock among the register's own entries: the latest trusted time, or what a person gave since.
    #[must_use]
    pub fn floor(&self) -> Option<&str> {
        self.floor.as_deref()
    }

    /// The latest day on which a person agreed with the clock.
    #[must_use]
    pub fn agreed_day(&self) -> Option<&str> {
        self.agreed_day.as_deref()
    }

    /// Seconds by which the clock of a demo home was let run on, in all.
    #[must_use]
    pub fn ran_on_seconds(&self) -> u64 {
        self.ran_on_seconds
    }

    /// Every reading put in doubt, in the order of the recalls.
    #[must_use]
    pub fn in_doubt(&self) -> &[InDoubt] {
        &self.in_doubt
    }

    /// Remarks and amendments, in order.
    #[must_use]
    pub fn said(&self) -> &[Said] {
        &self.said
    }
}
