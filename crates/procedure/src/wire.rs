//! The JSON form of a procedure, format 1: what an author writes, and the source of the published JSON Schema.
//!
//! These types are private. They mirror `model` member by member; quantities and windows are strings, as everywhere,
//! because a JSON number has no unit. All enums are tagged by their one member, so that positions survive.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

pub(crate) use crate::wire_step::{
    Answer, Asked, Computation, Deed, EnergyState, Leads, Measured, Pieces, Seat, SeatClass,
    SignalWord, Step, Verify,
};

pub(crate) fn one() -> u32 {
    1
}

/// A procedure for reseat, format 1.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "reseat procedure, format 1")]
pub(crate) struct Procedure {
    /// Where editors find the schema; not read.
    #[serde(rename = "$schema", default)]
    #[allow(dead_code, reason = "for editors only")]
    pub(crate) schema: Option<String>,
    /// Format number of this file: 1.
    pub(crate) format: u32,
    /// Number of the procedure, such as `P-33-A`.
    pub(crate) number: String,
    /// Revision letter or number.
    pub(crate) revision: String,
    /// What is rebuilt, in the field's words.
    pub(crate) title: String,
    /// Who wrote it.
    pub(crate) author: String,
    /// Models of unit it is written for.
    pub(crate) models: Vec<String>,
    /// Choices made at the start: size, variant.
    #[serde(default)]
    pub(crate) options: Vec<Choice>,
    /// Sources of energy, stored ones on lines of their own.
    pub(crate) energies: Vec<Energy>,
    /// Isolating, drain and vent points, each with its lock if one is hung.
    pub(crate) points: Vec<Point>,
    /// Pressure chambers with their test limits.
    #[serde(default)]
    pub(crate) chambers: Vec<Chamber>,
    /// Tests that must be done after the unit is together.
    #[serde(default)]
    pub(crate) tests: Vec<Wanted>,
    /// The sides of the zero-energy check.
    pub(crate) zero: Vec<ZeroSide>,
    /// Who releases work after a full zero-energy check asked as a gate.
    pub(crate) zero_release: Role,
    /// Parts of the assembly.
    pub(crate) parts: Vec<Part>,
    /// Joints of the assembly.
    pub(crate) joints: Vec<Joint>,
    /// Covers, sleeves, plugs and test supplies that go on and must come off again.
    #[serde(default)]
    pub(crate) covers: Vec<Named>,
    /// Wrenches and gauges by their name on site.
    pub(crate) instruments: Vec<Instrument>,
    /// Lubricants and cleaners by their name on site.
    #[serde(default)]
    pub(crate) consumables: Vec<Consumable>,
    /// The kit.
    pub(crate) kit: Kit,
    /// Sections in the order of work.
    pub(crate) sections: Vec<Section>,
}

/// Holds when each named option has one of the listed values.
pub(crate) type When = BTreeMap<String, Vec<String>>;

/// A question decided at the start.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Choice {
    /// Name used by `when`.
    pub(crate) id: String,
    /// The question as asked.
    pub(crate) question: String,
    /// Permitted values.
    pub(crate) values: Vec<Named>,
}

/// A name and what it stands for.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Named {
    /// Name used elsewhere in the procedure.
    pub(crate) id: String,
    /// As shown.
    pub(crate) label: String,
}

/// One source of energy.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Energy {
    /// Name used by points and steps.
    pub(crate) id: String,
    /// Name on the screen.
    pub(crate) label: String,
    /// Kind of energy.
    pub(crate) kind: EnergyKind,
    /// Its size in words with units.
    pub(crate) size: String,
    /// How it is made harmless.
    pub(crate) method: String,
    /// Only with these options.
    #[serde(default)]
    pub(crate) when: When,
}

/// Kinds of energy.
#[derive(Deserialize, JsonSchema, Clone, Copy)]
#[serde(rename_all = "snake_case")]
pub(crate) enum EnergyKind {
    Process,
    Air,
    Electric,
    Heat,
    Gravity,
    Chemical,
    Spring,
    Trapped,
}

/// An isolating, drain or vent point.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Point {
    /// Name used by steps.
    pub(crate) id: String,
    /// As on its tag.
    pub(crate) label: String,
    /// The energy it holds back or lets out.
    pub(crate) energy: String,
    /// Isolating point, or drain or vent.
    pub(crate) kind: PointKind,
    /// Position while work goes on: `shut`, `open`, `off`.
    pub(crate) position: String,
    /// Number of the lock hung on it.
    #[serde(default)]
    pub(crate) lock: Option<String>,
    /// Chambers a drain or vent lies on.
    #[serde(default)]
    pub(crate) drains: Vec<String>,
    /// Only with these options.
    #[serde(default)]
    pub(crate) when: When,
}

/// What a point does.
#[derive(Deserialize, JsonSchema, Clone, Copy)]
#[serde(rename_all = "snake_case")]
pub(crate) enum PointKind {
    Isolating,
    Drain,
}

/// A space that holds pressure in a test.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Chamber {
    /// Name used by joints and tests.
    pub(crate) id: String,
    /// Name on the screen.
    pub(crate) label: String,
    /// Highest pressure it may see, such as `100 bar g`.
    #[serde(default)]
    pub(crate) limit: Option<String>,
    /// Pressure at which its opened joints are proved, such as `70 bar g`.
    #[serde(default)]
    pub(crate) test: Option<String>,
    /// Point from which liquid must run without air before pressure is raised.
    #[serde(default)]
    pub(crate) fill_through: Option<String>,
}

/// A test that must be done.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Wanted {
    /// Name used by the step that does it.
    pub(crate) id: String,
    /// What it is.
    pub(crate) label: String,
    /// Chambers and energies that must have something in while it is done.
    #[serde(default)]
    pub(crate) needs: Vec<String>,
    /// Pressure that a chamber must hold at least while it is done, such as `30 bar g`, by chamber.
    #[serde(default)]
    pub(crate) at: BTreeMap<String, String>,
    /// Points that must stand open while it is done: what carries the flow, what supply comes through.
    #[serde(default)]
    pub(crate) open: Vec<String>,
    /// Points that must be shut while it is done.
    #[serde(default)]
    pub(crate) shut: Vec<String>,
    /// Only with these options.
    #[serde(default)]
    pub(crate) when: When,
}

/// One side of the zero-energy check.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct ZeroSide {
    /// Name used by steps.
    pub(crate) id: String,
    /// Name on the screen.
    pub(crate) label: String,
    /// The energy proved.
    pub(crate) energy: String,
    /// The gauge read.
    pub(crate) instrument: String,
    /// Limits of zero, such as `-0.3..0.3 bar g`.
    pub(crate) window: String,
    /// The drain or vent looked at: a point.
    #[serde(default)]
    pub(crate) vent: Option<String>,
    /// Only with these options.
    #[serde(default)]
    pub(crate) when: When,
}

/// Roles of people.
#[derive(Deserialize, JsonSchema, Clone, Copy)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Role {
    Performer,
    Verifier,
    Releaser,
    Operations,
    Author,
    Approver,
    Lead,
}

/// A part, or a group of like parts.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Part {
    /// Name used by steps.
    pub(crate) id: String,
    /// One name everywhere.
    pub(crate) label: String,
    /// How many like pieces.
    #[serde(default = "one")]
    pub(crate) count: u32,
    /// Thrown away once taken off.
    #[serde(default)]
    pub(crate) single_use: bool,
    /// A new one comes in the kit.
    #[serde(default)]
    pub(crate) from_kit: bool,
    /// Rubber family by its code, such as `EPDM`.
    #[serde(default)]
    pub(crate) elastomer: Option<String>,
    /// Has a right way up.
    #[serde(default)]
    pub(crate) oriented: bool,
    /// Handled with a long tool from outside, so also before zero and with test air in.
    #[serde(default)]
    pub(crate) long_tool: bool,
    /// Fitted after the first test: over a setting screw, or where a unit tested off its place goes back.
    #[serde(default)]
    pub(crate) after_test: bool,
    /// Verified by another person after its fitting, hidden or not.
    #[serde(default)]
    pub(crate) to_verify: bool,
    /// How many steps measure it or look it over, with `inspect`, between its coming off and its going on again.
    #[serde(default)]
    pub(crate) inspections: u32,
    /// What it gets before it is fitted: a consumable.
    #[serde(default)]
    pub(crate) lubricant: Option<String>,
    /// Parts and covers that lie over it.
    #[serde(default)]
    pub(crate) under: Vec<String>,
    /// Covers that must be on while it is fitted.
    #[serde(default)]
    pub(crate) spared_by: Vec<String>,
    /// Only with these options.
    #[serde(default)]
    pub(crate) when: When,
}

/// A joint: fasteners tightened as one.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Joint {
    /// Number of the joint, such as `J1`.
    pub(crate) id: String,
    /// Name on the screen.
    pub(crate) label: String,
    /// What its fasteners are called, plural.
    pub(crate) fasteners_named: String,
    /// How many fasteners.
    pub(crate) fasteners: u32,
    /// Thread, such as `M16×2`.
    pub(crate) thread: String,
    /// Property class or grade.
    pub(crate) grade: String,
    /// Letter of the thread condition the window is written for.
    pub(crate) condition: String,
    /// Lubricant by name: a consumable.
    #[serde(default)]
    pub(crate) lubricant: Option<String>,
    /// Order of tightening.
    pub(crate) pattern: Pattern,
    /// Wrenches that may be used, best first.
    pub(crate) wrenches: Vec<String>,
    /// Torque of each pass, such as `40 N·m`; the last is the target.
    pub(crate) passes: Vec<String>,
    /// Window of the last pass, such as `115..130 N·m`.
    pub(crate) window: String,
    /// Circular rounds after the passes; left out: none.
    #[serde(default)]
    pub(crate) rounds: Option<Rounds>,
    /// Gap at four points afterwards.
    #[serde(default)]
    pub(crate) gap: Option<Gap>,
    /// Prevailing torque of a locking nut.
    #[serde(default)]
    pub(crate) prevailing: Option<String>,
    /// Decision rule its readings are judged by, such as `guarded` or `probability 0.95`; left out: the site's.
    #[serde(default)]
    pub(crate) rule: Option<String>,
    /// The reading that measures it, by its name; passes and window are raised by what it reads.
    #[serde(default)]
    pub(crate) prevailing_read: Option<String>,
    /// How the fasteners are numbered on the steel.
    pub(crate) numbering: String,
    /// Parts it clamps.
    #[serde(default)]
    pub(crate) clamps: Vec<String>,
    /// Parts and covers that lie over its fasteners.
    #[serde(default)]
    pub(crate) under: Vec<String>,
    /// Pressure boundary it closes: a chamber.
    #[serde(default)]
    pub(crate) boundary: Option<String>,
    /// Minutes of rest after which it is re-checked.
    #[serde(default)]
    pub(crate) recheck_after: Option<u32>,
    /// Lock nut of a setting screw: slackened to relieve its spring, tightened with the pressure on.
    #[serde(default)]
    pub(crate) setting: bool,
    /// Tightened after the first test: the flange of a unit tested off its place.
    #[serde(default)]
    pub(crate) after_test: bool,
    /// Cracked open before its fasteners come off although it closes no chamber that is tested.
    #[serde(default)]
    pub(crate) crack: bool,
    /// What governs where the thread does not.
    #[serde(default)]
    pub(crate) governed_by: Option<String>,
    /// Force that all fasteners together must clamp with, such as `40 kN`, where it is known.
    #[serde(default)]
    pub(crate) clamp_needed: Option<String>,
    /// An engineer's reason for more than 75 % of proof.
    #[serde(default)]
    pub(crate) reason_above_75: Option<String>,
    /// Only with these options.
    #[serde(default)]
    pub(crate) when: When,
}

/// Order of tightening.
#[derive(Deserialize, JsonSchema, Clone, Copy)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Pattern {
    Cross,
    Circular,
    Straight,
    Single,
    FlatByFlat,
}

/// Circular rounds at target.
#[derive(Deserialize, JsonSchema, Clone, Copy)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Rounds {
    /// Until a round moves none, at most this many, then a finding.
    UpTo(u32),
    /// Exactly this many, counted, without a verdict.
    Exactly(u32),
}

/// The gap at four points.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub(crate) enum Gap {
    /// Four readings that differ by no more than this.
    Spread {
        /// Most the four may differ, such as `0.1 mm`.
        limit: String,
        /// Feeler gauges.
        instrument: String,
    },
    /// Metal to metal: a feeler of this thickness does not enter.
    Closed {
        /// Thickness of the feeler.
        feeler: String,
        /// Feeler gauges.
        instrument: String,
    },
}

/// A wrench or gauge by its name on site.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Instrument {
    /// Name used by steps and joints.
    pub(crate) id: String,
    /// What it is.
    pub(crate) label: String,
    /// Usable range, such as `40..200 N·m` or `0..160 bar g`.
    #[serde(default)]
    pub(crate) range: Option<String>,
    /// Largest error, plus or minus, such as `0.16 bar`.
    #[serde(default)]
    pub(crate) error: Option<String>,
}

/// Something used up.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Consumable {
    /// Name used by steps.
    pub(crate) id: String,
    /// What it is and where it may go.
    pub(crate) label: String,
    /// Rubber families it must never touch.
    #[serde(default)]
    pub(crate) never_on: Vec<String>,
}

/// The rebuild kit.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Kit {
    /// Kit number.
    pub(crate) number: String,
}

/// A section of the work.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Section {
    /// Name used by findings.
    pub(crate) id: String,
    /// Title on the strip.
    pub(crate) title: String,
    /// State of energy of its steps, where a step names none.
    pub(crate) energy: EnergyState,
    /// What to wear.
    #[serde(default)]
    pub(crate) ppe: Vec<String>,
    /// Steps in order.
    pub(crate) steps: Vec<Step>,
}
