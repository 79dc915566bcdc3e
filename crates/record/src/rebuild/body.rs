//! What each kind of rebuild entry says. A released kind never changes its shape; a changed one gets the next number.
//!
//! What a person was told (verdict, window, outcome) stands in the entry, and so does every fact of the register a
//! decision rests on. `apply` reads these bodies and repeats no rule.

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use crate::log::{Entry, Id};
use crate::register::Fact;

mod act;
mod exception;
mod joint;
mod lockout;
mod proof;
mod tools;

pub use act::*;
pub use exception::*;
pub use joint::*;
pub use lockout::*;
pub use proof::*;
pub use tools::*;

/// Number of the rules these entries are decided by.
pub const RULES: u32 = 1;

/// What may come from a vent or drain, as offered.
pub const KINDS_OF_VENT: &[&str] = &[
    "flowed and stopped",
    "nothing came",
    "still flowing",
    "cannot tell",
];

/// A person as copied from the register.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PersonCopy {
    /// Id on the register.
    pub id: Id,
    /// Name.
    pub name: String,
    /// The register entry it rests on.
    pub fact: Fact,
}

/// The rebuild of the unit that stands in for this one, open when this one was started.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Beside {
    /// Tag of its place.
    pub tag: String,
    /// Its record.
    pub record: Id,
}

/// An instrument as copied from the register at the moment of use.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InstrumentCopy {
    /// Name on site, such as `TW-19`.
    pub id: String,
    /// The register entry it rests on.
    pub fact: Fact,
    /// What it is.
    pub name: String,
    /// Maker's serial.
    pub serial: String,
    /// Kind, such as `dial torque wrench`.
    pub kind: String,
    /// Scale unit, with its pressure reference.
    pub scale: String,
    /// Range of the scale.
    pub range: String,
    /// Smallest step that can be read.
    pub resolution: String,
    /// Permissible deviation.
    pub deviation: String,
    /// Expanded uncertainty, if the certificate states one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub uncertainty: Option<String>,
    /// Certificate.
    pub certificate: String,
    /// Calibration due, a day.
    pub due: String,
}

/// What every kind of body has.
pub(super) trait Kind {
    /// The kind with its version.
    const KIND: &'static str;
    /// Whether its entries are signed.
    const SIGNED: bool;
    /// Names of its members.
    const FIELDS: &'static [&'static str];
}

macro_rules! bodies {
    ($($(#[$doc:meta])* $name:ident = $kind:literal, $signed:literal {
        $($(#[$fdoc:meta])* $field:ident : $type:ty),* $(,)?
    })*) => {
        $(
            $(#[$doc])*
            #[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
            #[serde(deny_unknown_fields)]
            pub struct $name { $($(#[$fdoc])* pub $field: $type),* }

            impl Kind for $name {
                const KIND: &'static str = $kind;
                const SIGNED: bool = $signed;
                const FIELDS: &'static [&'static str] = &[$(stringify!($field)),*];
            }
        )*
    };
}
use bodies;

macro_rules! kinds {
    ($($name:ident),* $(,)?) => {
        $(
            impl From<$name> for Body {
                fn from(body: $name) -> Self { Self::$name(Box::new(body)) }
            }
        )*

        /// The body of a rebuild entry.
        #[derive(Debug, Clone, PartialEq, Eq)]
        #[expect(missing_docs, reason = "each variant says what its own struct says")]
        pub enum Body { $($name(Box<$name>)),* }

        impl Body {
            /// The kind with its version.
            pub const fn kind(&self) -> &'static str {
                match self { $(Self::$name(_) => $name::KIND),* }
            }

            /// The members, as they stand in the entry.
            pub fn members(&self) -> Map<String, Value> {
                let value = match self { $(Self::$name(body) => serde_json::to_value(body)),* };
                match value {
                    Ok(Value::Object(members)) => members,
                    // Bodies hold text, whole numbers, lists and maps with text keys: they always become an object.
                    _ => Map::new(),
                }
            }

            /// Reads the body of an entry; none if the kind or a member is not known to this release.
            pub fn read(entry: &Entry) -> Option<Self> {
                if !entry.beyond.is_empty() { return None; }
                match entry.kind.as_str() {
                    $($name::KIND => $name::deserialize(&entry.body).ok().map(|body| Self::$name(Box::new(body))),)*
                    _ => None,
                }
            }
        }

        /// Whether entries of this kind are signed.
        pub fn must_sign(kind: &str) -> bool {
            match kind { $($name::KIND => $name::SIGNED,)* _ => false }
        }

        /// Every kind, whether it is signed, and its members, for the page that lists them.
        pub const KINDS: &[(&str, bool, &[&str])] = &[$(($name::KIND, $name::SIGNED, $name::FIELDS)),*];
    };
}

kinds! {
    Started,
    TakenUp,
    Begun,
    Done,
    Answered,
    Vented,
    Wrote,
    Named,
    Counted,
    OwnLock,
    LockOff,
    LockOn,
    Permit,
    PermitSeen,
    Cleared,
    Reading,
    ReadingQueried,
    QueryAnswered,
    OffScale,
    Setting,
    Clicked,
    Pulled,
    Ready,
    Round,
    SetBack,
    Feeler,
    Condition,
    Rechecked,
    RestBegun,
    RestOver,
    LookedAgain,
    Observed,
    Disposed,
    Found,
    Proposed,
    Withdrawn,
    Decided,
    RevisionReason,
    RevisionReasonBack,
    RevisionKept,
    Verified,
    VerifiedAnswer,
    Released,
    SignedOff,
    Struck,
    StruckSeen,
    AfterHigh,
    Reopened,
    TestBrokenOff,
    Paused,
    HandedOver,
    Stopped,
    Safer,
    Deviation,
    NotApplicable,
    Dropped,
    Waiting,
    ClosedIncomplete,
    ClockGiven,
    RanOn,
    Taken,
    Checked,
    InstrumentDropped,
    AdapterOn,
}
