//! What a procedure says, after it was read: sections, steps, what each step asks and does, and the assembly it acts on.
//!
//! Two lists carry a step. [`Step::asks`] are the answers wanted from the technician, one after the other; a step
//! without asks is a plain act that one key completes. [`Step::does`] is what the step does to the unit; the
//! proof folds it over routes and the parts ledger over entries.

use std::collections::BTreeSet;

use reseat_measure::rule::Rule;
use reseat_measure::{Quantity, Unit, Window};

pub use crate::role::Role;

/// The format number this release writes and reads.
pub const FORMAT: u32 = 1;

/// A whole procedure, structurally sound; whether it is *right* is the proof's business.
#[derive(Debug, Clone, PartialEq)]
pub struct Procedure {
    /// Format number of the text, for the reader.
    pub format: u32,
    /// The procedure's number as printed on every screen, such as `P-33-A`.
    pub number: String,
    /// The revision letter or number.
    pub revision: String,
    /// What is rebuilt, in the field's words.
    pub title: String,
    /// Who wrote it; approval by another person is a register entry.
    pub author: String,
    /// Models of unit it is written for; compared with a unit's model on the register.
    pub models: Vec<String>,
    /// Choices made at the start: size, variant.
    pub options: Vec<Choice>,
    /// Sources of energy and stored energies, each on its own line.
    pub energies: Vec<Energy>,
    /// Isolating, drain and vent points, each with its lock if one is hung.
    pub points: Vec<Point>,
    /// Pressure chambers: each has its own test limit.
    pub chambers: Vec<Chamber>,
    /// Tests that must be done before the unit goes back.
    pub tests: Vec<Wanted>,
    /// The zero-energy check as written once for all: every side of the seat, its gauge and its vent.
    pub zero: Vec<ZeroSide>,
    /// Who releases work after a full zero-energy check that the program asked as a gate.
    pub zero_release: Role,
    /// Parts of the assembly.
    pub parts: Vec<Part>,
    /// Joints of the assembly.
    pub joints: Vec<Joint>,
    /// Loose things that go into or on the unit and must come off again: covers, sleeves, plugs, test supplies.
    pub covers: Vec<Cover>,
    /// Measuring instruments and wrenches by their name on site.
    pub instruments: Vec<Instrument>,
    /// Lubricants, cleaners, tape: name and what it is for.
    pub consumables: Vec<Consumable>,
    /// The kit and its lines.
    pub kit: Kit,
    /// Sections in the order of work.
    pub sections: Vec<Section>,
}

/// A question decided at the start of the rebuild that steps, parts, joints and windows may depend on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// Name used by `when`.
    pub id: String,
    /// The question as asked.
    pub question: String,
    /// Permitted values: id and label.
    pub values: Vec<(String, String)>,
}

/// Holds on a route when for every entry the chosen value of the option is among the listed ones. Empty: always.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct When(pub Vec<(String, BTreeSet<String>)>);

/// One source of energy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Energy {
    /// Name used by points and steps.
    pub id: String,
    /// Name on the screen, such as `brine, upstream`.
    pub label: String,
    /// What kind of energy it is.
    pub kind: EnergyKind,
    /// Its size in words with units, such as `64 bar`.
    pub size: String,
    /// How it is made harmless, in words.
    pub method: String,
    /// Only with these options.
    pub when: When,
}

/// Kinds of energy, the usual ones of 29 CFR 1910.147 and stored ones on lines of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EnergyKind {
    /// Pressure of the process, one side of the seat.
    Process,
    /// Instrument, pilot or actuator air or gas.
    Air,
    /// Electricity.
    Electric,
    /// Heat or cold.
    Heat,
    /// Weight that can fall.
    Gravity,
    /// A chemical hazard.
    Chemical,
    /// A spring under load.
    Spring,
    /// Fluid trapped between shut valves.
    Trapped,
}

/// A point where energy is isolated, drained or vented.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Point {
    /// Name used by steps.
    pub id: String,
    /// As on the tag in the plant, such as `V-3301`.
    pub label: String,
    /// The energy it holds back or lets out.
    pub energy: String,
    /// Isolating point, or drain or vent.
    pub kind: PointKind,
    /// Position while work goes on: `shut`, `open`, `off`.
    pub position: String,
    /// Number of the lock hung on it, such as `A-2`; none where no lock is hung.
    pub lock: Option<String>,
    /// Chambers a drain or vent lies on: no pressure stands in one while it is open.
    pub drains: Vec<String>,
    /// Only with these options.
    pub when: When,
}

/// What a point does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PointKind {
    /// Holds a source back. Its lock is required from the act that hangs it to the act of return that takes it off.
    Isolating,
    /// Lets pressure out. Its lock is required only between the written acts that put it on and take it off.
    Drain,
}

/// A space that holds pressure in a test.
#[derive(Debug, Clone, PartialEq)]
pub struct Chamber {
    /// Name used by tests and joints.
    pub id: String,
    /// Name on the screen.
    pub label: String,
    /// Highest pressure it may see.
    pub limit: Option<Quantity>,
    /// Pressure at which the joints that close it are proved once they were opened.
    pub test: Option<Quantity>,
    /// High point from which liquid must run without air before pressure is raised, where it is tested with liquid.
    pub fill_through: Option<String>,
}

/// A test that must be done after the unit is together, so that one left out is found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// Name used by the step that does it.
    pub id: String,
    /// What it is, such as `seat leak, Class IV`.
    pub label: String,
    /// Chambers and energies that must have something in while it is done.
    pub needs: Vec<String>,
    /// Only with these options.
    pub when: When,
}

/// One side in the zero-energy check.
#[derive(Debug, Clone, PartialEq)]
pub struct ZeroSide {
    /// Name used by steps, such as `upstream`.
    pub id: String,
    /// Name on the screen.
    pub label: String,
    /// The energy proved.
    pub energy: String,
    /// The gauge read, by its name on site.
    pub instrument: String,
    /// Limits of zero; never narrower than the gauge's own error.
    pub window: Window,
    /// The vent or drain looked at, such as `drain U`; none where the gauge alone proves it.
    pub vent: Option<String>,
    /// Only with these options.
    pub when: When,
}

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

/// A section of the work.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Name used by findings.
    pub id: String,
    /// Title on the strip.
    pub title: String,
    /// What to wear.
    pub ppe: Vec<String>,
    /// Steps in order.
    pub steps: Vec<Step>,
}

/// In which state of energy an act is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EnergyState {
    /// Before isolation.
    Running,
    /// From the first isolating act until zero is proved, zero checks included.
    Isolating,
    /// All required locks on and zero proved since.
    Zero,
    /// Acts written for the test.
    Test,
    /// From the release checks on.
    Returning,
}

/// One act.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The author's name for it, kept across revisions.
    pub id: String,
    /// The act, verb first.
    pub text: String,
    /// In which state of energy it is done.
    pub energy: EnergyState,
    /// Warnings shown above the act for as long as it is current.
    pub warnings: Vec<Warning>,
    /// Makes safer: open in every state.
    pub safer: bool,
    /// Lets energy in: voids zero. What is let in, in words, such as `water 70 bar`.
    pub lets_in: Option<String>,
    /// Verification by another person.
    pub verify: Option<Verify>,
    /// Released by the named role before anything after it is done.
    pub hold: Option<Role>,
    /// "Not applicable" is permitted, with a reason.
    pub not_applicable: bool,
    /// Start and done are two keys: the act is hidden, critical or long.
    pub start_apart: bool,
    /// Answers wanted, in order. Empty: a plain act.
    pub asks: Vec<Asked>,
    /// What it does to the unit, in order.
    pub does: Vec<Deed>,
    /// Only with these options.
    pub when: When,
}

/// A warning with one of the four signal words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Warning {
    /// Signal word.
    pub word: SignalWord,
    /// What to avoid; never a step of the procedure.
    pub text: String,
}

/// The four signal words (ANSI Z535.4-2007, 4.14).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SignalWord {
    /// Will kill or maim if not avoided.
    Danger,
    /// Could kill or maim.
    Warning,
    /// Could hurt.
    Caution,
    /// Could damage equipment.
    Notice,
}

impl SignalWord {
    /// The word as printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Danger => "DANGER",
            Self::Warning => "WARNING",
            Self::Caution => "CAUTION",
            Self::Notice => "NOTICE",
        }
    }
}

/// How another person verifies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verify {
    /// Watches and agrees before the part is hidden or while the act is done.
    Concurrent,
    /// Later, apart, by an own look; the first finding is not shown.
    Independent,
}

/// An answer wanted from the technician.
#[derive(Debug, Clone, PartialEq)]
pub enum Asked {
    /// The act itself, before its other answers are asked (needed where the answer is about what was just done).
    Done,
    /// One of several answers.
    Choice {
        /// The question.
        question: String,
        /// Answers, in order.
        answers: Vec<Answer>,
    },
    /// Words.
    Text {
        /// The question.
        question: String,
        /// What paper it is whose number and end time are written (`permit`, `gas test`): once the end time has passed, hands-on
        /// work stops until a new one is written. None: plain words.
        permit: Option<String>,
    },
    /// Tag and serial as read on the nameplate, held against the unit of this rebuild.
    Nameplate,
    /// A person on the register.
    Person {
        /// The question.
        question: String,
        /// Role the person must hold, if any.
        role: Option<Role>,
    },
    /// A number of pieces.
    Count {
        /// What is counted.
        question: String,
        /// How many there must be; none: recorded only.
        expected: Option<u32>,
    },
    /// A reading on an instrument.
    Reading(Measured),
    /// A value worked out from earlier readings of this step.
    Computed {
        /// Name of the value, unique in the procedure.
        id: String,
        /// Name on the screen, such as `drop`.
        label: String,
        /// Readings of this step it is worked out from, in order.
        from: Vec<String>,
        /// How.
        how: Computation,
        /// Limits.
        window: Window,
    },
    /// What the technician sees of a part with a right way up, after it was fitted; "cannot tell" is always added.
    Orientation {
        /// The question, about an independent fact.
        question: String,
        /// What may be seen, unmarked.
        answers: Vec<String>,
        /// Index of the right one.
        right: usize,
    },
    /// What came from a vent or drain just opened on this side.
    Vent {
        /// A zero side's id.
        side: String,
    },
    /// The zero-energy check on every side: a gauge reading, or the vent seen where `by_vent` names the side.
    Zero {
        /// Sides proved by looking at the locked-open vent alone.
        by_vent: Vec<String>,
    },
    /// Each worker's own lock on the box.
    OwnLocks {
        /// The lock box.
        lock_box: String,
    },
    /// Each worker's own lock off again.
    OwnLocksOff,
    /// Thread and nut face condition of a joint as found now.
    Condition {
        /// The joint.
        joint: String,
    },
    /// The passes, rounds and gap of a joint.
    Tighten {
        /// The joint.
        joint: String,
    },
    /// Re-check after rest: each fastener moved or not at this torque. A check, not a reading.
    Recheck {
        /// The joint.
        joint: String,
        /// Torque held against each fastener.
        at: Quantity,
    },
    /// Rest before the next step: the earliest next time is worked out from its start.
    Rest {
        /// How long.
        minutes: u32,
    },
    /// A wait inside a zero check or a test.
    Wait {
        /// How long.
        minutes: u32,
    },
    /// Disposition of each part taken off so far (discard, keep or inspect).
    Dispositions,
    /// Decision on each open finding and each part still "inspect", by the holder of the hold's role.
    Decisions,
    /// The parts ledger is shown and must balance.
    Balance,
    /// Wrenches, picks, rags and covers in the unit: none left.
    ToolsOut,
    /// Signatures of performer and verifier.
    Sign,
}

/// One answer of a choice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// As shown.
    pub label: String,
    /// What it leads to.
    pub leads: Leads,
}

/// What a chosen answer leads to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leads {
    /// On to the next ask or step.
    On,
    /// The act is not done: asked again.
    Again,
    /// A finding is opened, to be decided.
    Finding,
}

/// A thing measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// Name, unique in the procedure, such as `stem-runout`.
    pub id: String,
    /// Name on the screen.
    pub label: String,
    /// Limits; none: recorded only.
    pub window: Option<Window>,
    /// Unit it is written in, when there is no window.
    pub unit: Unit,
    /// Instruments that may be used, by name on site, best first; none for a count.
    pub instruments: Vec<String>,
    /// Zero side this reading proves, for the readings of the make-safe section.
    pub proves: Option<String>,
    /// A side value asked with it, recorded only, such as inlet pressure beside a set-point: label and instrument.
    pub beside: Option<(String, String)>,
}

/// How a value is worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Computation {
    /// First less last: a pressure drop.
    Drop,
    /// First less second: a clearance.
    Difference,
    /// Mean of all.
    Mean,
    /// Largest less smallest.
    Spread,
}

/// What a step does to the unit.
#[derive(Debug, Clone, PartialEq)]
pub enum Deed {
    /// A source is isolated at a point; a drain or vent is opened to stay open.
    Isolate {
        /// The point.
        point: String,
    },
    /// The point's lock goes on.
    Lock {
        /// The point.
        point: String,
    },
    /// The point's lock comes off.
    Unlock {
        /// The point.
        point: String,
    },
    /// A point is opened or put back for service.
    Restore {
        /// The point.
        point: String,
    },
    /// Stored energy is let out or relieved.
    Release {
        /// The energy.
        energy: String,
    },
    /// Zero is proved on a side.
    Prove {
        /// The side.
        side: String,
    },
    /// Energy is let into a chamber for a test, up to a pressure where one is written.
    LetIn {
        /// The chamber or energy.
        chamber: String,
        /// Highest pressure of the step.
        pressure: Option<Quantity>,
        /// The gauge read.
        gauge: Option<String>,
    },
    /// A chamber or energy is vented after a test.
    LetOut {
        /// The chamber or energy.
        chamber: String,
    },
    /// Fasteners of a joint are slackened.
    Slacken {
        /// The joint.
        joint: String,
    },
    /// A joint is broken open, fasteners still on.
    Crack {
        /// The joint.
        joint: String,
    },
    /// Fasteners come off, counted.
    Unfasten {
        /// The joint.
        joint: String,
    },
    /// A part comes off.
    Off {
        /// The part.
        part: String,
        /// How many pieces.
        count: u32,
    },
    /// A part goes on.
    On {
        /// The part.
        part: String,
        /// How many pieces.
        count: u32,
    },
    /// A cover, sleeve or supply goes on.
    CoverOn {
        /// The cover.
        cover: String,
    },
    /// It comes off.
    CoverOff {
        /// The cover.
        cover: String,
    },
    /// A part is cleaned.
    Clean {
        /// The parts; empty: all that are off.
        parts: Vec<String>,
    },
    /// A part is measured or looked over.
    Inspect {
        /// The parts.
        parts: Vec<String>,
    },
    /// Parts get a lubricant.
    Lubricate {
        /// The parts.
        parts: Vec<String>,
        /// Joints whose threads get it.
        joints: Vec<String>,
        /// The consumable.
        with: String,
    },
    /// Fasteners are run on by hand.
    HandStart {
        /// The joint.
        joint: String,
    },
    /// The joint is tightened through its last pass.
    Tighten {
        /// The joint.
        joint: String,
    },
    /// Re-check after rest.
    Recheck {
        /// The joint.
        joint: String,
    },
    /// A rest runs out.
    Rest,
    /// Hidden parts are verified.
    Verify {
        /// The parts.
        parts: Vec<String>,
    },
    /// A test is done; every joint, rest, hold and verification must be complete.
    Test,
    /// A test of the list of those wanted is done; else like `Test`.
    Run {
        /// The test wanted.
        test: String,
    },
    /// Discarded parts are destroyed or bagged as scrap.
    Scrap,
    /// Wrenches, rags and everything else not needed are away from the unit; a count of tools says the same.
    ToolsClear,
    /// People are clear of the unit, and told that energy comes in.
    PeopleClear,
}
