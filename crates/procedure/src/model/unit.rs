//! What the unit is made of, and what is in hand for it.

use reseat_measure::rule::Rule;
use reseat_measure::{Quantity, Window};

use super::When;

/// A part or group of like parts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// Name used by steps.
    pub id: String,
    /// One name everywhere, such as `seat ring`.
    pub label: String,
    /// How many like pieces.
    pub count: u32,
    /// Thrown away once taken off: soft parts, split pins, lock washers.
    pub single_use: bool,
    /// A new one comes in the kit.
    pub from_kit: bool,
    /// Rubber family, where it is one.
    pub elastomer: Option<String>,
    /// Has a right way up.
    pub oriented: bool,
    /// Handled with a long tool from outside, so also before zero and with test air in: a pin that carries a stem.
    pub long_tool: bool,
    /// Fitted after the first test: the cap over a setting screw, or what goes on where a unit tested off its place
    /// goes back.
    pub after_test: bool,
    /// Verified by another person after its fitting, hidden or not: split pins, lock wires.
    pub to_verify: bool,
    /// How many steps measure it or look it over between its coming off and its going on again; each has its own limit.
    pub inspections: u32,
    /// What it gets before it is fitted: a consumable.
    pub lubricant: Option<String>,
    /// Parts and covers that lie over it: it cannot come off or go on while one of these is on, and they hide it.
    pub under: Vec<String>,
    /// Covers that must be on while it is fitted: a sleeve over threads that would cut what it slides past.
    pub spared_by: Vec<String>,
    /// Only with these options.
    pub when: When,
}

/// A joint: fasteners tightened as one.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// Number on the procedure, such as `J1`; used by steps.
    pub id: String,
    /// Name on the screen, such as `body to bonnet`.
    pub label: String,
    /// What the fasteners are called, plural: `nuts`, `screws`.
    pub fasteners_named: String,
    /// How many.
    pub fasteners: u32,
    /// Thread, such as `M16×2` or `3/8-16 UNC`.
    pub thread: String,
    /// Property class or grade, such as `A4-80`, `8.8`, `SAE J429 5`.
    pub grade: String,
    /// Condition of thread and nut face the window is written for, by its letter in the measure crate.
    pub condition: String,
    /// Lubricant by name, where there is one.
    pub lubricant: Option<String>,
    /// Order of tightening.
    pub pattern: Pattern,
    /// Wrenches that may be used, by their name on site, best first.
    pub wrenches: Vec<String>,
    /// Torque of each pass; the last is the target.
    pub passes: Vec<Quantity>,
    /// Window of the last pass.
    pub window: Window,
    /// Circular rounds after the passes.
    pub rounds: Rounds,
    /// Gap measured at four points afterwards.
    pub gap: Option<Gap>,
    /// Prevailing torque of a locking nut, added to the target.
    pub prevailing: Option<Window>,
    /// The reading that measures the prevailing torque; passes and window are raised by what it reads.
    pub prevailing_read: Option<String>,
    /// Decision rule its readings are judged by; none: the site's.
    pub rule: Option<Rule>,
    /// How the fasteners are numbered on the steel.
    pub numbering: String,
    /// Parts clamped by it.
    pub clamps: Vec<String>,
    /// Parts and covers that lie over its fasteners: a split pin, a lock plate, a cap. It is neither slackened nor
    /// tightened while one of these is on.
    pub under: Vec<String>,
    /// Pressure boundary it closes, a chamber's id.
    pub boundary: Option<String>,
    /// Minutes of rest after which it is re-checked, where it is.
    pub recheck_after: Option<u32>,
    /// Lock nut of a setting screw: slackened to relieve its spring, tightened with the pressure on.
    pub setting: bool,
    /// Tightened after the first test: the flange of a unit tested off its place.
    pub after_test: bool,
    /// Cracked open before its fasteners come off although it closes no chamber that is tested.
    pub crack: bool,
    /// What governs where the thread does not: rubber, packing, gasket.
    pub governed_by: Option<String>,
    /// Force all fasteners together must clamp with, where the designer states it: gasket, pressure.
    pub clamp_needed: Option<Quantity>,
    /// An engineer's reason for more than 75 % of proof.
    pub reason_above_75: Option<String>,
    /// Only with these options; several entries of one id with disjoint options give a window per size.
    pub when: When,
}

/// Order of tightening.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pattern {
    /// Across the circle.
    Cross,
    /// Round the circle.
    Circular,
    /// Along a row.
    Straight,
    /// One fastener.
    Single,
    /// Flat by flat in turn: two gland nuts.
    FlatByFlat,
}

/// Circular rounds at target after the last pass.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rounds {
    /// None.
    None,
    /// Until a round moves none, at most this many, then a finding.
    UpTo(u32),
    /// Exactly this many, counted, without a verdict (soft gaskets).
    Exactly(u32),
}

/// The gap at four points.
#[derive(Debug, Clone, PartialEq)]
pub enum Gap {
    /// Four readings; widest less narrowest within this length.
    Spread {
        /// Most the four may differ.
        limit: Quantity,
        /// Feeler gauges.
        instrument: String,
    },
    /// Metal to metal: a feeler of this thickness must not enter anywhere.
    Closed {
        /// Thickness of the feeler.
        feeler: Quantity,
        /// Feeler gauges.
        instrument: String,
    },
}

/// A cover, sleeve, plug, tray or test supply that goes on and must come off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cover {
    /// Name used by steps and on the screen, such as `CAP-1`.
    pub id: String,
    /// What it is.
    pub label: String,
}

/// An instrument the procedure needs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Instrument {
    /// Its name on site, such as `TW-19`.
    pub id: String,
    /// What it is, such as `dial torque wrench 40–200 N·m`.
    pub label: String,
    /// Its usable range as the procedure needs it; the register's own range is what a reading is held against.
    pub range: Option<Window>,
    /// Its largest error, plus or minus.
    pub error: Option<Quantity>,
}

/// Something used up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Consumable {
    /// Name used by steps, such as `NA-2`.
    pub id: String,
    /// What it is and where it may go.
    pub label: String,
    /// Rubber families it must never touch.
    pub never_on: Vec<String>,
}

/// The rebuild kit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kit {
    /// Kit number.
    pub number: String,
}
