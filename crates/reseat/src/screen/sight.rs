//! What the screens show, as plain values: the runner takes them from the open home, the screens only draw them.

use std::collections::BTreeMap;
use std::time::Duration;

use super::handover::Outgoing;
use reseat_procedure::Reading;
use reseat_record::log::{Hash, Id};
use reseat_record::rebuild::Ask;
use reseat_record::rebuild::view::{
    DecayView, EnergyLine, Gauge, JointView, OpenItem, PartLine, RepeatsView, StepLine, Strip,
};

use super::message::RecallAsked;

/// A place or a unit on the first screen.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct UnitLine {
    /// Tag of the place; empty for a unit that is fitted nowhere.
    pub tag: String,
    /// Serial; empty for an empty place.
    pub serial: String,
    /// Name.
    pub name: String,
    /// State in words.
    pub state: String,
    /// Stream of the open rebuild, if there is one.
    pub open: Option<Id>,
}

/// The first screen.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct HomeSight {
    /// Name of the site.
    pub site: String,
    /// Whether this is a demo home.
    pub demo: bool,
    /// Open rebuilds first, then by tag.
    pub units: Vec<UnitLine>,
    /// What everybody should know.
    pub notices: Vec<String>,
    /// The clock as this laptop shows it, local.
    pub clock: String,
    /// Whether somebody's word that it is right would be enough.
    pub clock_may_be_agreed: bool,
    /// Everybody not retired.
    pub people: Vec<(Id, String)>,
}

/// A rebuild of the past, or the open one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PastLine {
    /// Its stream.
    pub stream: Id,
    /// Day it was started.
    pub started: String,
    /// Day it was closed; empty while it is open.
    pub closed: String,
    /// Who.
    pub by: String,
    /// Outcome or state in words.
    pub outcome: String,
    /// Whether it is signed.
    pub signed: bool,
    /// How many of its readings are in doubt.
    pub in_doubt: usize,
}

/// A unit and its past.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitSight {
    /// Tag, serial, name, state.
    pub unit: UnitLine,
    /// Model.
    pub model: String,
    /// Tag of the place that stands in for it, if there is one.
    pub beside: Option<String>,
    /// Newest first.
    pub past: Vec<PastLine>,
}

/// A procedure that may be started.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// SHA-256 of the file.
    pub sha256: Hash,
    /// Number and revision, such as `P-33-A rev C`.
    pub number: String,
    /// Title.
    pub title: String,
    /// Options: id, question, values with their labels.
    pub options: Vec<OptionAsked>,
    /// Kit number.
    pub kit: String,
}

/// An option of a procedure: id, question, values with their labels.
pub type OptionAsked = (String, String, Vec<(String, String)>);

/// What is needed to start a rebuild.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StartSight {
    /// The unit chosen.
    pub unit: UnitLine,
    /// Approved procedures for its model.
    pub offers: Vec<Offer>,
    /// Performers.
    pub performers: Vec<(Id, String)>,
    /// Leads, who sign where nameplate and register differ.
    pub leads: Vec<(Id, String)>,
    /// What is told before: the last work closed unfinished, a rebuild open on its stand-in.
    pub warnings: Vec<String>,
}

/// A paused rebuild before it is taken up again.
#[derive(Debug, Clone, PartialEq)]
pub struct ResumeSight {
    /// The stream.
    pub stream: Id,
    /// The strip.
    pub strip: Strip,
    /// What was last kept, what is loose, what to look at.
    pub lines: Vec<String>,
    /// Who may take it up.
    pub people: Vec<(Id, String)>,
    /// Tags of the other open rebuilds.
    pub others: Vec<String>,
    /// Whether the end of the tag was typed to get here.
    pub tag_known: bool,
}

/// A rebuild under way.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkSight {
    /// The stream.
    pub stream: Id,
    /// What is wanted now.
    pub ask: Ask,
    /// The strip.
    pub strip: Strip,
    /// The table of energies.
    pub energy: Vec<EnergyLine>,
    /// Place in it of the energy that is asked about.
    pub energy_asked: Option<usize>,
    /// The rule followed and who is still on the lock box.
    pub lockout: Vec<String>,
    /// The joint of the bench, if it shows one.
    pub joint: Option<JointView>,
    /// The window of the bench, if it shows one.
    pub gauge: Option<Gauge>,
    /// Repeats of the value of the bench, if it is read more than once.
    pub repeats: Option<Box<RepeatsView>>,
    /// The hold of the step due, once its first reading is in.
    pub decay: Option<Box<DecayView>>,
    /// The section's steps.
    pub steps: Vec<StepLine>,
    /// The parts.
    pub parts: Vec<PartLine>,
    /// What is still open.
    pub open: Vec<OpenItem>,
    /// The readings of the test under way, newest last.
    pub test: Vec<String>,
    /// Values of this place in the last rebuild, shown only where the new one is already in.
    pub last: Vec<String>,
    /// While energy is in: the written act that lets it out next, step id and text.
    pub venting: Option<(String, String)>,
    /// How long until a wait that is asked for is over.
    pub wait_left: Option<Duration>,
    /// Who is at the keyboard.
    pub by: Option<Id>,
    /// Everybody on the register who is not retired.
    pub people: Vec<(Id, String)>,
    /// Whether the work is paused or closed, so that the screen may be left.
    pub may_leave: bool,
    /// Whose keys are open in this program now.
    pub unsealed: BTreeMap<Id, usize>,
    /// What a handover shows; none where nobody has the work, or it is handed over already.
    pub outgoing: Option<Box<Outgoing>>,
    /// Text for the paper tag, while the work is paused or closed unfinished.
    pub tag: Option<Vec<String>>,
    /// Whether the tag is to be written now: handed over, left, or waiting for a part.
    pub write_tag: bool,
}

/// A reading of an instrument found out.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RecallLine {
    /// Tag of the place.
    pub tag: String,
    /// Day it was read; marked where the clock was not trusted.
    pub day: String,
    /// What was read.
    pub what: String,
    /// The reading.
    pub reading: String,
    /// With the error taken out; empty where it cannot be said.
    pub truth: String,
    /// `still WITHIN`, `now LOW`, `now HIGH`, `cannot say` and why.
    pub stands: String,
    /// Whether it does not stand as it was judged, or cannot be said to.
    pub changed: bool,
}

/// An instrument found out, and every reading since its last good check.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RecallSight {
    /// What was asked for.
    pub asked: RecallAsked,
    /// Name, kind and scale of the instrument.
    pub title: String,
    /// Day of its last good check.
    pub since: String,
    /// What the register holds of that day.
    pub check: String,
    /// Whether it may still be used.
    pub service: String,
    /// What the bench found, point by point.
    pub points: Vec<String>,
    /// Each reading.
    pub lines: Vec<RecallLine>,
    /// How many stand, and what the key does.
    pub sum: String,
    /// Releasers and leads, who sign.
    pub signers: Vec<(Id, String)>,
    /// Whether this is a demo home.
    pub demo: bool,
}

/// One line of a list of the register.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RegisterLine {
    /// What a change names: a person's id, a tag, a serial, an instrument's name, a procedure's hash.
    pub key: String,
    /// The columns.
    pub columns: Vec<String>,
    /// Whether it is retired, withdrawn or superseded.
    pub retired: bool,
}

/// The lists of the register.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum List {
    /// People and roles.
    #[default]
    People,
    /// Places.
    Places,
    /// Units.
    Units,
    /// Instruments.
    Instruments,
    /// Procedures and their approval.
    Procedures,
}

/// The values of the site: name of the line, label, hint.
pub const SITE_VALUES: [(&str, &str, &str); 8] = [
    ("rule", "lockout rule the site follows", ""),
    (
        "pause",
        "pause after minutes without a key",
        "A rebuild pauses by itself then.",
    ),
    (
        "zero",
        "minutes a zero reading holds",
        "Then it is read anew.",
    ),
    (
        "look_again",
        "longest short pause in minutes",
        "After a longer one zero is read anew.",
    ),
    (
        "shift",
        "hours of a shift",
        "Then a passphrase is asked for again.",
    ),
    (
        "day_checks",
        "day's check at first use",
        "yes or no: wrenches exercised or zeroed, gauges at zero.",
    ),
    (
        "left",
        "states to leave a unit in",
        "To nobody. With ; between them; empty: those the program offers.",
    ),
    (
        "decision",
        "decision rule for readings",
        "simple, guarded, four, or probability 0.95.",
    ),
];

impl List {
    /// What is said of a line that is in use no more.
    pub const fn past_word(self) -> &'static str {
        match self {
            Self::People | Self::Places | Self::Units => " retired ",
            Self::Instruments => " out of use ",
            Self::Procedures => " superseded ",
        }
    }

    /// What the keys of this list do, in one line.
    pub const fn keys_line(self) -> &'static str {
        match self {
            Self::People => {
                "A enrol  C roles  T retire  K new key  W lead by site words  S site values"
            }
            Self::Places => "A add  C name and spare  S site values",
            Self::Units => "A add  F fit or take out  C model and name  S site values",
            Self::Instruments => {
                "A add  C certificate  Q quarantine or return  B found out  T withdraw  S site"
            }
            Self::Procedures => {
                "Enter read page by page, approve  O from a file  T supersede  S site values"
            }
        }
    }

    /// All lists in order.
    pub const ALL: [Self; 5] = [
        Self::People,
        Self::Places,
        Self::Units,
        Self::Instruments,
        Self::Procedures,
    ];

    /// Heading.
    pub const fn title(self) -> &'static str {
        match self {
            Self::People => "People",
            Self::Places => "Places",
            Self::Units => "Units",
            Self::Instruments => "Instruments",
            Self::Procedures => "Procedures",
        }
    }

    /// Headings of the columns with their widths.
    pub const fn columns(self) -> &'static [(&'static str, usize)] {
        match self {
            Self::People => &[("name", 24), ("roles", 50)],
            Self::Places => &[("tag", 14), ("name", 32), ("holds", 16), ("spare", 12)],
            Self::Units => &[("serial", 16), ("model", 18), ("name", 28), ("in", 12)],
            Self::Instruments => &[
                ("name", 8),
                ("kind", 18),
                ("range", 17),
                ("serial", 11),
                ("due", 20),
            ],
            Self::Procedures => &[("number", 10), ("rev", 4), ("title", 30), ("standing", 30)],
        }
    }
}

/// The register.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RegisterSight {
    /// Name of the site.
    pub site: String,
    /// Whether this is a demo home.
    pub demo: bool,
    /// The lists, in the order of [`List::ALL`].
    pub lists: [Vec<RegisterLine>; 5],
    /// The site's values as text, in the order of [`SITE_VALUES`].
    pub site_values: [String; 8],
    /// Leads, who sign.
    pub leads: Vec<(Id, String)>,
    /// Approvers.
    pub approvers: Vec<(Id, String)>,
    /// Everybody not retired.
    pub people: Vec<(Id, String)>,
}

impl RegisterSight {
    /// The lines of one list.
    pub fn list(&self, list: List) -> &[RegisterLine] {
        &self.lists[list as usize]
    }
}

/// A procedure to be read page by page.
#[derive(Debug, Clone, PartialEq)]
pub struct PagesSight {
    /// The text, nothing read yet.
    pub reading: Reading,
    /// Its exact bytes.
    pub bytes: Vec<u8>,
    /// Who may approve it; none where no home is open.
    pub approvers: Option<Vec<(Id, String)>>,
    /// Everybody not retired.
    pub people: Vec<(Id, String)>,
}
