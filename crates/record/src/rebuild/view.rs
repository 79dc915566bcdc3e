//! What screens, line mode and reports draw of a rebuild: worked out here, drawn there.

use reseat_measure::{Place, Quantity, SetPoint};

pub use super::decay_view::{Allowed, DecayLine, DecayPoint, DecayView};

/// The strip: the same on every screen of a rebuild.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Strip {
    /// Tag of the place.
    pub tag: String,
    /// The unit's name.
    pub name: String,
    /// Its serial.
    pub serial: String,
    /// Who is at the keyboard; `who?` while nobody is.
    pub who: String,
    /// Local time of the stamp, `HH:MM`, or `CLOCK NOT TRUSTED`.
    pub time: String,
    /// Procedure number and revision.
    pub procedure: String,
    /// Section title.
    pub section: String,
    /// State in words with locks and the age of the last zero reading.
    pub state: String,
    /// How grave the state is, for colour beside the words.
    pub tone: Tone,
    /// Whether this is a demo record.
    pub demo: bool,
}

/// Weight of a state or line, for colour that repeats what the words say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// Nothing special.
    Plain,
    /// Locked and zero read.
    Held,
    /// Not locked, stale, waiting.
    Watch,
    /// Hands off.
    Stop,
}

/// One line of the isolation table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EnergyLine {
    /// Source or stored energy with its size.
    pub source: String,
    /// What kind of energy it is, and how it is made harmless: `process, by V-3301 shut and locked`.
    pub method: String,
    /// Isolating point and position.
    pub isolated_at: String,
    /// Lock number, or empty.
    pub lock: String,
    /// Who has it now, or empty: whoever hung it, or took the group's locks over by signature since.
    pub owner: String,
    /// How it was released.
    pub released: String,
    /// Zero reading, place and age, or empty.
    pub zero: String,
    /// Whether the line is complete.
    pub complete: bool,
}

/// The lock box of a group: it can be opened when every own lock is off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LockBox {
    /// Its name, such as `LB-A`.
    pub name: String,
    /// Numbers of the group's locks recorded on, whose keys lie in it.
    pub keys: Vec<String>,
    /// Own locks recorded on: who is still on.
    pub on: Vec<BoxLine>,
}

/// A worker's own lock on the box.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoxLine {
    /// Its number.
    pub number: String,
    /// Whose.
    pub name: String,
    /// On since, local time.
    pub since: String,
}

impl LockBox {
    /// Who is still on, in one line.
    #[must_use]
    pub fn words(&self) -> String {
        let on: Vec<String> = self
            .on
            .iter()
            .map(|own| format!("{} {} since {}", own.number, own.name, own.since))
            .collect();
        let on = if on.is_empty() {
            "no own lock".to_owned()
        } else {
            on.join(", ")
        };
        let keys = if self.keys.is_empty() {
            String::new()
        } else {
            format!(", keys {} in it", self.keys.join(" "))
        };
        format!("Box {}: {on}{keys}", self.name)
    }
}

/// One line of the energy plan as the record has it: what was to be controlled, and how it was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanLine {
    /// Name of the source or stored energy.
    pub source: String,
    /// What kind of energy it is.
    pub kind: String,
    /// Its size.
    pub size: String,
    /// Isolating points with their position.
    pub isolated_at: Vec<String>,
    /// How it is made harmless.
    pub method: String,
    /// Number of each lock hung, with its point and who hung it.
    pub locks: Vec<String>,
    /// What came when it was released.
    pub released: String,
    /// What proved zero, where, when and by whom.
    pub proof: String,
    /// Where procedure and register differ.
    pub note: String,
}

impl PlanLine {
    /// What energy it is: `brine, upstream: process pressure, 64 bar`.
    #[must_use]
    pub fn heading(&self) -> String {
        let size = if self.size.is_empty() { "" } else { ", " };
        format!("{}: {}{size}{}", self.source, self.kind, self.size)
    }

    /// What the record has of it, each under its name; what it has nothing of is left out.
    #[must_use]
    pub fn rows(&self) -> Vec<(&'static str, String)> {
        let rows = [
            ("isolated at", self.isolated_at.join(", ")),
            ("by", self.method.clone()),
            ("locks", self.locks.join("; ")),
            ("released", self.released.clone()),
            ("zero", self.proof.clone()),
            ("note", self.note.clone()),
        ];
        rows.into_iter()
            .filter(|(_, said)| !said.is_empty())
            .collect()
    }
}

/// A joint as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JointView {
    /// Joint id and name.
    pub title: String,
    /// Wrench chosen, with kind and range; empty before.
    pub wrench: String,
    /// Thread and nut face condition stated; empty before.
    pub condition: String,
    /// What fasteners are called.
    pub fasteners_named: String,
    /// How many fasteners.
    pub fasteners: u32,
    /// The order of tightening.
    pub order: Vec<u32>,
    /// Pass under way, from 1; passes + 1 in the rounds.
    pub pass: u32,
    /// How many passes.
    pub passes: u32,
    /// Target of the pass under way.
    pub target: String,
    /// What the target is made of where a prevailing torque is in it, `98 lbf·in + prevailing 12 lbf·in`; else empty.
    pub prevailing: String,
    /// What its window does to the bolts, top and bottom, and what the last torque read came to; empty where that is not known.
    pub load: String,
    /// Next fastener; none when all are in.
    pub next: Option<u32>,
    /// State of each fastener in the pass under way, by position from 1.
    pub marks: Vec<Mark>,
    /// One line for each pass and round, such as `pass 2   8 of 8 at 80 N·m`.
    pub lines: Vec<String>,
    /// Values of the last pass by fastener, `122` or empty, with place.
    pub values: Vec<(String, Option<Place>)>,
    /// The window of the last pass: low, high, unit, as text, and where readings lie between 0 and 1 of it.
    pub gauge: Option<Gauge>,
}

/// A window drawn as a line with readings on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gauge {
    /// Lower limit with no unit, or empty.
    pub low: String,
    /// Upper limit with unit, or empty.
    pub high: String,
    /// Each reading: per mille of the window from low to high (may lie outside 0..=1000), and its place.
    pub readings: Vec<(i64, Place)>,
    /// What the decision rule takes off the window, where it takes anything off.
    pub guard: Option<GuardBand>,
}

/// Where the decision rule accepts outright: the window less its guard bands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GuardBand {
    /// Per mille of the window from which on it accepts, and up to which; none at an end without a limit. Nothing at all is
    /// accepted where the first lies above the second.
    pub accepts: (Option<i64>, Option<i64>),
    /// The same in words, with the rule and the uncertainty.
    pub words: String,
}

/// A fastener in the pass under way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Not yet.
    Open,
    /// In.
    Done,
    /// Due now.
    Next,
    /// LOW: pull on.
    Low,
    /// HIGH.
    High,
}

/// One step of the section's list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepLine {
    /// Shown number; 0 for an added step.
    pub number: u32,
    /// The act.
    pub text: String,
    /// How it stands in words: `done 14:46`, `due`, `not applicable`, `NOT VERIFIED`, or empty.
    pub stands: String,
    /// Whether it is the one due.
    pub due: bool,
}

/// One part on the ledger.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartLine {
    /// The part.
    pub part: String,
    /// Pieces required.
    pub required: u32,
    /// Taken off so far.
    pub off: u32,
    /// On again.
    pub on: u32,
    /// Disposition in words.
    pub disposition: String,
}

/// One line of a record read back, failures first on the first page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordLine {
    /// Entry number.
    pub number: u64,
    /// Local time of the act.
    pub time: String,
    /// Who.
    pub by: String,
    /// What happened, in words.
    pub text: String,
    /// Weight.
    pub tone: Tone,
    /// Whether it belongs on the first page: failed, struck, overridden, not applicable, deviation, finding.
    pub first_page: bool,
}

/// Something that still stands open and keeps the record from being signed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenItem {
    /// What is open.
    pub text: String,
    /// What to do.
    pub remedy: String,
}

/// A hold against the gauge that its start was read on.
#[derive(Debug, Clone, PartialEq)]
pub struct HoldView {
    /// The gauge's name on site.
    pub gauge: String,
    /// Its largest error at the pressure held, with unit.
    pub error: String,
    /// The most that the pressure may change over the hold, with unit.
    pub allowed: String,
    /// Minutes written for the hold.
    pub minutes: u32,
    /// Seconds that a leak of just that size needs to change the pressure by four times the gauge's error.
    pub needed_s: f64,
}

impl HoldView {
    /// Whether the hold written is long enough.
    #[must_use]
    pub fn suffices(&self) -> bool {
        self.needed_s <= f64::from(self.minutes) * 60.0 * (1.0 + 1e-9)
    }

    /// The time needed in words, to the tenth of a minute, never less than it is.
    #[must_use]
    pub fn needed_words(&self) -> String {
        format!("{} min", (self.needed_s / 6.0 - 1e-6).ceil() / 10.0)
    }

    /// The whole of it in one sentence.
    #[must_use]
    pub fn words(&self) -> String {
        format!(
            "{} may be wrong by {}: it can tell a change of {} in {} min after {}.",
            self.gauge,
            self.error,
            self.allowed,
            self.minutes,
            self.needed_words()
        )
    }
}

/// Which way a value was come to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// From below.
    Rising,
    /// From above.
    Falling,
}

/// One repeat of a value read at a test.
#[derive(Debug, Clone, PartialEq)]
pub struct Repeat {
    /// Its entry.
    pub entry: u64,
    /// Which way it was come to, where the procedure says so.
    pub way: Option<Way>,
    /// The reading.
    pub value: Quantity,
}

/// Repeats of one value at a test, and what they tell. Nothing of it is kept: it is worked out from the readings that stand.
#[derive(Debug, Clone, PartialEq)]
pub struct RepeatsView {
    /// What is read, `opening and holding pressure`.
    pub name: String,
    /// What the readings are held against: the middle of their window.
    pub set: String,
    /// Unit of the figures.
    pub unit: String,
    /// Digits behind the point of the figures: one more than was read.
    pub decimals: u8,
    /// Mean less set, spread of the repeats in one direction, and between the means of both, in the unit; none with fewer than
    /// two readings.
    pub figures: Option<SetPoint>,
    /// Where the readings lie on their window, in the order of `readings`.
    pub marks: Gauge,
    /// The readings that stand, in the order of the procedure.
    pub readings: Vec<Repeat>,
    /// How many the procedure asks for.
    pub of: usize,
}

impl RepeatsView {
    /// What the readings tell, in words; how many are in where some are missing.
    #[must_use]
    pub fn words(&self) -> String {
        let count = self.readings.len();
        let mut text = if count < self.of {
            format!("{}, {count} of {} in", self.name, self.of)
        } else {
            self.name.clone()
        };
        let Some(figures) = &self.figures else {
            return text;
        };
        let places = usize::from(self.decimals);
        // Adding nought takes the sign off a nought.
        let rounded = |value: f64| {
            let scale = 10f64.powi(i32::from(self.decimals));
            (value * scale).round() / scale + 0.0
        };
        text = format!(
            "{text}: error {:+.places$} {} from {}, the middle of the window",
            rounded(figures.error),
            self.unit,
            self.set
        );
        let ways = [Some(Way::Rising), Some(Way::Falling), None];
        let repeated = |way| {
            let alike = self.readings.iter().filter(|repeat| repeat.way == way);
            alike.count() > 1
        };
        if ways.into_iter().any(repeated) {
            text = format!(
                "{text}; repeatability {:.places$}",
                rounded(figures.repeatability)
            );
        }
        if let Some(hysteresis) = figures.hysteresis {
            text = format!("{text}; hysteresis {:.places$}", rounded(hysteresis));
        }
        text
    }
}
