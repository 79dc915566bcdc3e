//! What a person may want written into the register.

use std::collections::BTreeSet;

use reseat_measure::rule::Rule;
use reseat_measure::{Quantity, Window};
use reseat_procedure::model::Role;

use super::{
    BenchPoint, Calibration, DoubtedRebuild, EntryNamed, Fact, InstrumentKind, PlacePoint,
    ReadThrough, Scale,
};
use crate::log::{Hash, Id};

/// A place as it is to stand on the register.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlaceSaid {
    /// Tag.
    pub tag: String,
    /// Name.
    pub name: String,
    /// Isolating and drain points.
    pub points: Vec<PlacePoint>,
    /// Tag of the place that stands in for it.
    pub redundant_with: Option<String>,
}

/// A unit as it is to stand on the register.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitSaid {
    /// Serial.
    pub serial: String,
    /// Model.
    pub model: String,
    /// Name.
    pub name: String,
}

/// An instrument as it is to stand on the register.
#[derive(Debug, Clone, PartialEq)]
pub struct InstrumentSaid {
    /// Name on site.
    pub id: String,
    /// Maker's serial.
    pub serial: String,
    /// What it is.
    pub kind: InstrumentKind,
    /// Scale.
    pub scale: Scale,
    /// Range.
    pub range: Window,
    /// Part of the range that may be used.
    pub usable: Option<Window>,
    /// Resolution.
    pub resolution: Quantity,
    /// Certificate.
    pub calibration: Calibration,
    /// Whether its check is asked at the first use of each day, whatever the site's value.
    pub day_check: bool,
}

/// The values of the site.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SiteSaid {
    /// The lockout rule the site follows.
    pub rule: String,
    /// Minutes without a key before a pause.
    pub pause_minutes: u32,
    /// Minutes a zero reading holds.
    pub zero_minutes: u32,
    /// Longest short pause in minutes.
    pub look_again_minutes: u32,
    /// Hours of a shift.
    pub shift_hours: u32,
    /// Whether the check of every instrument is asked at its first use of each day.
    pub day_checks: bool,
    /// States a unit may be left in to nobody; none: [`super::LEFT_STATES`].
    pub left_states: Vec<String>,
}

/// One command gives one entry. The person who acts is the stamp's `by`; where it is absent, the site key acts.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    missing_docs,
    reason = "the members are those of the entry's body, described there"
)]
pub enum Command {
    /// Begin the register. The entry is then given the site key's signature by [`super::with_site_signature`].
    Found {
        site: String,
        rule: String,
        site_key: [u8; 32],
        lead: Id,
        lead_name: String,
        lead_key: [u8; 32],
    },
    /// Enrol a person.
    Enrol {
        person: Id,
        name: String,
        roles: BTreeSet<Role>,
        key: [u8; 32],
    },
    /// Give a person roles, instead of those he has.
    GiveRoles { person: Id, roles: BTreeSet<Role> },
    /// Retire a person.
    Retire { person: Id, reason: String },
    /// Take a retired person on again.
    TakeOnAgain {
        person: Id,
        roles: BTreeSet<Role>,
        key: [u8; 32],
    },
    /// Give a person a new key.
    ChangeKey {
        person: Id,
        key: [u8; 32],
        reason: String,
    },
    /// Put a place on the register.
    AddPlace(PlaceSaid),
    /// Put what is known of a place anew.
    ChangePlace(PlaceSaid),
    /// Put a unit on the register.
    AddUnit(UnitSaid),
    /// Put model and name of a unit right.
    ChangeUnit(UnitSaid),
    /// Fit a unit in a place.
    Fit { tag: String, serial: String },
    /// Remove a unit from its place.
    Remove { tag: String, serial: String },
    /// Put an instrument on the register.
    AddInstrument(InstrumentSaid),
    /// Keep a new certificate.
    RenewCalibration {
        id: String,
        calibration: Calibration,
    },
    /// Keep the day's check of an instrument.
    CheckForDay {
        id: String,
        seen: String,
        passed: bool,
    },
    /// Quarantine an instrument.
    Quarantine { id: String, reason: String },
    /// Return an instrument from quarantine.
    Return { id: String, reason: String },
    /// Withdraw an instrument for good.
    Withdraw { id: String, reason: String },
    /// Approve a revision of a procedure.
    Approve {
        number: String,
        revision: String,
        sha256: Hash,
        author: Id,
        walked_by: Id,
        walked_on: String,
        read: ReadThrough,
    },
    /// Supersede a revision without another in its place.
    Supersede {
        number: String,
        revision: String,
        sha256: Hash,
        reason: String,
    },
    /// Set the values of the site.
    SetSite(SiteSaid),
    /// Set the decision rule the site's readings are judged by.
    JudgeBy { rule: Rule },
    /// Agree that the clock is right today.
    AgreeClock { day: String },
    /// Give date and time, where the clock is not trusted.
    GiveClock {
        given: String,
        machine: Option<String>,
    },
    /// Let the clock of a demo home run on.
    RunOn { seconds: u64 },
    /// Put readings in doubt.
    Recall {
        instrument: String,
        since: Option<Fact>,
        from: Option<String>,
        found: Vec<BenchPoint>,
        rebuilds: Vec<DoubtedRebuild>,
        reason: String,
    },
    /// Remark.
    Remark {
        text: String,
        of: Option<EntryNamed>,
    },
    /// Amend a rebuild.
    Amend {
        of: EntryNamed,
        text: String,
        answers: Option<String>,
    },
}
