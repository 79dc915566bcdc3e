//! The kinds of entry a register holds and the members of each body.
//!
//! Frozen: a kind never changes shape once released; a changed one gets the next number. Members a body does not know make
//! the entry one "written by a newer reseat".

use std::collections::BTreeSet;

use reseat_measure::rule::Rule;
use reseat_measure::{Quantity, Window};
use reseat_procedure::model::Role;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde_json::{Map, Value};

use super::{Calibration, Fact, InstrumentKind, PlacePoint, ReadThrough, Scale};
use crate::log::{Hash, Id, from_hex, to_hex};

/// A public key as 64 hexadecimal digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Key(pub [u8; 32]);

impl Serialize for Key {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&to_hex(&self.0))
    }
}

impl<'de> Deserialize<'de> for Key {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        from_hex(&text)
            .map(Self)
            .ok_or_else(|| serde::de::Error::custom("a key is 64 hexadecimal digits"))
    }
}

/// Roles as a list of their words, in the order of [`Role::ALL`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Roles(pub BTreeSet<Role>);

impl Serialize for Roles {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.0.iter().map(|role| role.word()))
    }
}

impl<'de> Deserialize<'de> for Roles {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let words = Vec::<String>::deserialize(deserializer)?;
        let read = |word: &String| {
            Role::from_word(word).ok_or_else(|| serde::de::Error::custom("no role known here"))
        };
        words.iter().map(read).collect::<Result<_, _>>().map(Self)
    }
}

/// Where a recalled reading stands once the instrument's error is taken out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum StillStands {
    /// Still in its window.
    #[serde(rename = "WITHIN")]
    Within,
    /// Now below.
    #[serde(rename = "LOW")]
    Low,
    /// Now above.
    #[serde(rename = "HIGH")]
    High,
    /// The bench gave no point near enough.
    #[serde(rename = "CANNOT SAY")]
    CannotSay,
}

impl StillStands {
    /// In words beside a reading.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Within => "WITHIN with its error taken out",
            Self::Low => "LOW with its error taken out",
            Self::High => "HIGH with its error taken out",
            Self::CannotSay => "where it lies cannot be said",
        }
    }
}

/// The readings of one rebuild put in doubt, each by the number of its entry under where it stands now.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DoubtedRebuild {
    /// The rebuild.
    pub stream: Id,
    /// Hash of the last entry named; by its chain it binds those named before it.
    pub hash: Hash,
    /// Still WITHIN.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub within: Vec<u64>,
    /// Now LOW.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub low: Vec<u64>,
    /// Now HIGH.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub high: Vec<u64>,
    /// Where they lie cannot be said.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cannot_say: Vec<u64>,
}

impl DoubtedRebuild {
    /// None of a rebuild yet; the hash is that of the last one [named](Self::name).
    #[must_use]
    pub const fn new(stream: Id, hash: Hash) -> Self {
        Self {
            stream,
            hash,
            within: Vec::new(),
            low: Vec::new(),
            high: Vec::new(),
            cannot_say: Vec::new(),
        }
    }

    /// Names a reading; those of one rebuild come in the order of their numbers.
    pub fn name(&mut self, number: u64, hash: Hash, place: StillStands) {
        self.hash = hash;
        let list = match place {
            StillStands::Within => &mut self.within,
            StillStands::Low => &mut self.low,
            StillStands::High => &mut self.high,
            StillStands::CannotSay => &mut self.cannot_say,
        };
        list.push(number);
    }

    /// Each reading named, with where it stands now.
    pub fn readings(&self) -> impl Iterator<Item = (u64, StillStands)> {
        [
            (&self.within, StillStands::Within),
            (&self.low, StillStands::Low),
            (&self.high, StillStands::High),
            (&self.cannot_say, StillStands::CannotSay),
        ]
        .into_iter()
        .flat_map(|(list, place)| list.iter().map(move |number| (*number, place)))
    }
}

/// "Bench true 100, wrench showed …".
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BenchPoint {
    /// True value on the bench.
    pub bench: Quantity,
    /// What the instrument showed.
    pub showed: Quantity,
}

macro_rules! bodies {
    ($( $(#[$doc:meta])* $name:ident $kind:literal { $( $(#[$field_doc:meta])* $field:ident: $type:ty, )* } )*) => {
        $(
            $(#[$doc])*
            #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
            #[serde(deny_unknown_fields)]
            pub struct $name { $( $(#[$field_doc])* pub $field: $type, )* }

            impl $name {
                /// The kind this body stands under.
                pub const KIND: &'static str = $kind;
            }
        )*

        /// The body of any entry of a register.
        #[derive(Debug, Clone, PartialEq)]
        pub enum Body { $( $(#[$doc])* $name($name), )* }

        impl Body {
            /// Every kind a register of this version holds.
            pub const KINDS: &'static [&'static str] = &[$($kind),*];

            /// Reads a body by its kind; none if kind or members are not known here.
            pub fn read(kind: &str, body: &Map<String, Value>) -> Option<Self> {
                match kind {
                    $( $kind => $name::deserialize(body).ok().map(Self::$name), )*
                    _ => None,
                }
            }

            /// The kind.
            pub fn kind(&self) -> &'static str {
                match self { $( Self::$name(_) => $kind, )* }
            }

            /// The members as they stand in an entry.
            pub fn members(&self) -> Map<String, Value> {
                let value = match self { $( Self::$name(body) => serde_json::to_value(body), )* };
                match value {
                    Ok(Value::Object(members)) => members,
                    // A struct of strings, numbers and lists always prints as an object.
                    _ => Map::new(),
                }
            }
        }
    };
}

bodies! {
    /// The register begins: site, rule, site key and first lead. Signed by the lead; `site_signature` by the site key.
    Founded "founded/1" {
        /// Name of the site.
        site: String,
        /// The lockout rule the site follows.
        rule: String,
        /// The site's public key.
        site_key: Key,
        /// The first lead.
        lead: FirstLead,
        /// The site key's signature, 128 hexadecimal digits; see `docs/record-format.md`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        site_signature: Option<String>,
    }
    /// A person is enrolled.
    Enrolled "enrolled/1" {
        /// Identifier.
        person: Id,
        /// Name.
        name: String,
        /// Roles.
        roles: Roles,
        /// Public key.
        key: Key,
    }
    /// A person's roles from now on.
    RolesGiven "roles_given/1" {
        /// Who.
        person: Id,
        /// All roles he holds from now on.
        roles: Roles,
    }
    /// A person signs nothing more.
    Retired "retired/1" {
        /// Who.
        person: Id,
        /// Why.
        reason: String,
    }
    /// A retired person is taken on again with a key and roles.
    TakenOnAgain "taken_on_again/1" {
        /// Who.
        person: Id,
        /// Roles.
        roles: Roles,
        /// Public key.
        key: Key,
    }
    /// A new key for the same person; what the old one signed stays good.
    KeyChanged "key_changed/1" {
        /// Who.
        person: Id,
        /// The new public key.
        key: Key,
        /// Why.
        reason: String,
    }
    /// A place is put on the register.
    PlaceAdded "place_added/1" {
        /// Tag.
        tag: String,
        /// Name.
        name: String,
        /// Isolating and drain points.
        points: Vec<PlacePoint>,
        /// Tag of the place that stands in for it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        redundant_with: Option<String>,
    }
    /// What is known of a place, put anew as a whole.
    PlaceChanged "place_changed/1" {
        /// Tag.
        tag: String,
        /// Name.
        name: String,
        /// Isolating and drain points.
        points: Vec<PlacePoint>,
        /// Tag of the place that stands in for it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        redundant_with: Option<String>,
    }
    /// A unit is put on the register.
    UnitAdded "unit_added/1" {
        /// Serial.
        serial: String,
        /// Model.
        model: String,
        /// Name.
        name: String,
    }
    /// Model and name of a unit, put right.
    UnitChanged "unit_changed/1" {
        /// Serial.
        serial: String,
        /// Model.
        model: String,
        /// Name.
        name: String,
    }
    /// A unit is fitted in a place.
    Fitted "fitted/1" {
        /// Tag of the place.
        tag: String,
        /// Serial of the unit.
        serial: String,
    }
    /// A unit is removed from a place.
    Removed "removed/1" {
        /// Tag of the place.
        tag: String,
        /// Serial of the unit.
        serial: String,
    }
    /// An instrument is put on the register.
    InstrumentAdded "instrument_added/1" {
        /// Name on site.
        id: String,
        /// Maker's serial.
        serial: String,
        /// What it is.
        kind: InstrumentKind,
        /// Scale.
        scale: Scale,
        /// Range.
        range: Window,
        /// Part of the range that may be used.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        usable: Option<Window>,
        /// Resolution.
        resolution: Quantity,
        /// Certificate.
        calibration: Calibration,
        /// Whether its check is asked at the first use of each day, whatever the site's value; absent: no.
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        day_check: bool,
    }
    /// A new certificate.
    CalibrationRenewed "calibration_renewed/1" {
        /// Name on site.
        id: String,
        /// Certificate.
        calibration: Calibration,
    }
    /// The day's check at first use; failed, it quarantines.
    DayChecked "day_checked/1" {
        /// Name on site.
        id: String,
        /// What was looked at and seen.
        seen: String,
        /// Whether it passed.
        passed: bool,
    }
    /// An instrument may not be used.
    Quarantined "quarantined/1" {
        /// Name on site.
        id: String,
        /// Why.
        reason: String,
    }
    /// A quarantined instrument may be used again.
    Returned "returned/1" {
        /// Name on site.
        id: String,
        /// Why.
        reason: String,
    }
    /// An instrument is withdrawn for good.
    Withdrawn "withdrawn/1" {
        /// Name on site.
        id: String,
        /// Why.
        reason: String,
    }
    /// A revision of a procedure is approved for this site; the earlier ones of the same number are superseded by it.
    Approved "approved/1" {
        /// Number of the procedure.
        number: String,
        /// Revision.
        revision: String,
        /// SHA-256 of the file's exact bytes.
        sha256: Hash,
        /// Who wrote it.
        author: Id,
        /// Who approves it: the person who signs.
        approver: Id,
        /// Who walked it through.
        walked_by: Id,
        /// The day of the walk-through.
        walked_on: String,
        /// What the approver read before he signed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        read: Option<ReadThrough>,
    }
    /// A revision may not be started any more.
    Superseded "superseded/1" {
        /// Number of the procedure.
        number: String,
        /// Revision.
        revision: String,
        /// SHA-256 of the file.
        sha256: Hash,
        /// Why.
        reason: String,
    }
    /// Values of the site from now on, all of them.
    SiteValues "site_values/1" {
        /// The lockout rule the site follows.
        rule: String,
        /// Minutes without a key before a pause.
        pause_minutes: u32,
        /// Minutes a zero reading holds.
        zero_minutes: u32,
        /// Longest short pause in minutes.
        look_again_minutes: u32,
        /// Hours of a shift.
        shift_hours: u32,
        /// Whether the check of every instrument is asked at its first use of each day; absent: no.
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        day_checks: bool,
        /// States a unit may be left in to nobody; absent: those the program offers.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        left_states: Vec<String>,
    }
    /// The decision rule by which the site's readings are judged from now on.
    DecisionRule "decision_rule/1" {
        /// `simple`, `guarded`, `four`, or `probability` with the number asked for.
        rule: Rule,
    }
    /// A person agrees that the clock is right, once a day.
    ClockAgreed "clock_agreed/1" {
        /// The local day agreed to.
        day: String,
    }
    /// A person's date and time, the new floor of the clock.
    ClockGiven "clock_given/1" {
        /// The instant given.
        given: String,
        /// What the machine's clock said, where it said anything.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        machine: Option<String>,
    }
    /// The clock of a demo home was let run on.
    RanOn "ran_on/1" {
        /// By how many seconds.
        seconds: u64,
    }
    /// An instrument was found out: readings put in doubt by one entry.
    Recall "recall/1" {
        /// Name of the instrument on site.
        instrument: String,
        /// Register entry of the last good check, where one is known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        since: Option<Fact>,
        /// The first moment of the day of the last good check, UTC: what was read from then on is named.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        from: Option<String>,
        /// What the bench found.
        found: Vec<BenchPoint>,
        /// Each reading taken since, by its rebuild.
        rebuilds: Vec<DoubtedRebuild>,
        /// Why.
        reason: String,
    }
    /// A remark, on something or on nothing in particular.
    Remark "remark/1" {
        /// What is remarked.
        text: String,
        /// The entry spoken of, in whatever stream.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        of: Option<EntryNamed>,
    }
    /// An amendment to a rebuild that is signed or that another home founded.
    Amended "amended/1" {
        /// The entry amended.
        of: EntryNamed,
        /// What is added.
        text: String,
        /// What the open item it answers is called, where it answers one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        answers: Option<String>,
    }
}

/// The first lead, as entry 1 names him.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FirstLead {
    /// Identifier.
    pub id: Id,
    /// Name.
    pub name: String,
    /// Public key.
    pub key: Key,
}

/// An entry of any stream, named by stream, number and hash.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EntryNamed {
    /// Its stream.
    pub stream: Id,
    /// Its number.
    pub number: u64,
    /// Its hash.
    pub hash: Hash,
}

/// The kinds of a register that are signed. Whose signature each takes, `decide` says.
pub const SIGNED: &[&str] = &[
    Founded::KIND,
    Enrolled::KIND,
    RolesGiven::KIND,
    Retired::KIND,
    TakenOnAgain::KIND,
    KeyChanged::KIND,
    Approved::KIND,
    Superseded::KIND,
    DecisionRule::KIND,
    Recall::KIND,
    Amended::KIND,
];

/// Whether entries of this kind must carry a signature.
#[must_use]
pub fn is_signed(kind: &str) -> bool {
    SIGNED.contains(&kind)
}
