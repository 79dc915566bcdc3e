//! The JSON form of a step: what it asks and what it does. Private like the rest of the wire types.

use schemars::JsonSchema;
use serde::Deserialize;

use crate::wire::{Role, When};

/// In which state of energy an act is done.
#[derive(Deserialize, JsonSchema, Clone, Copy)]
#[serde(rename_all = "snake_case")]
pub(crate) enum EnergyState {
    Running,
    Isolating,
    Zero,
    Test,
    Returning,
}

/// One act.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Step {
    /// The author's name for it, kept across revisions.
    pub(crate) id: String,
    /// The act, verb first, at most 20 words.
    pub(crate) text: String,
    /// State of energy, where it differs from the section's.
    #[serde(default)]
    pub(crate) energy: Option<EnergyState>,
    /// Warnings shown above the act.
    #[serde(default)]
    pub(crate) warnings: Vec<Warning>,
    /// Makes safer: open in every state.
    #[serde(default)]
    pub(crate) safer: bool,
    /// Lets energy in: what, in words.
    #[serde(default)]
    pub(crate) lets_in: Option<String>,
    /// Verification by another person.
    #[serde(default)]
    pub(crate) verify: Option<Verify>,
    /// Role that releases it.
    #[serde(default)]
    pub(crate) hold: Option<Role>,
    /// "Not applicable" is permitted, with a reason.
    #[serde(default)]
    pub(crate) not_applicable: bool,
    /// Start and done are two keys.
    #[serde(default)]
    pub(crate) start_apart: bool,
    /// Answers wanted, in order.
    #[serde(default)]
    pub(crate) asks: Vec<Asked>,
    /// What it does to the unit, in order.
    #[serde(default)]
    pub(crate) does: Vec<Deed>,
    /// Only with these options.
    #[serde(default)]
    pub(crate) when: When,
}

/// A warning.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Warning {
    /// Signal word.
    pub(crate) word: SignalWord,
    /// What to avoid; never a step of the procedure.
    pub(crate) text: String,
}

/// The four signal words.
#[derive(Deserialize, JsonSchema, Clone, Copy)]
pub(crate) enum SignalWord {
    #[serde(rename = "DANGER")]
    Danger,
    #[serde(rename = "WARNING")]
    Warning,
    #[serde(rename = "CAUTION")]
    Caution,
    #[serde(rename = "NOTICE")]
    Notice,
}

/// How another person verifies.
#[derive(Deserialize, JsonSchema, Clone, Copy)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Verify {
    Concurrent,
    Independent,
}

/// An answer wanted.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub(crate) enum Asked {
    /// The act itself, before its other answers.
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
        /// The paper whose number and end time are written, such as `permit` or `gas test`: once the end time has passed,
        /// hands-on work stops until a new one is written.
        #[serde(default)]
        permit: Option<String>,
    },
    /// Tag and serial as read on the nameplate.
    Nameplate,
    /// A person on the register.
    Person {
        /// The question.
        question: String,
        /// Role the person must hold.
        #[serde(default)]
        role: Option<Role>,
        /// Anybody but who is at the keys: a second person.
        #[serde(default)]
        another: bool,
    },
    /// A number of pieces.
    Count {
        /// What is counted.
        question: String,
        /// How many there must be; left out: recorded only.
        #[serde(default)]
        expected: Option<u32>,
    },
    /// A reading on an instrument.
    Reading(Measured),
    /// A value worked out from readings of this step.
    Computed {
        /// Name, unique in the procedure.
        id: String,
        /// Name on the screen.
        label: String,
        /// Readings of this step, in order.
        from: Vec<String>,
        /// How.
        how: Computation,
        /// Limits; left out where `seat` gives them.
        #[serde(default)]
        window: Option<String>,
        /// Seat leakage class that the limits come from, or are held against.
        #[serde(default)]
        seat: Option<Seat>,
    },
    /// What is seen of a part with a right way up.
    Orientation {
        /// The question, about an independent fact.
        question: String,
        /// What may be seen, unmarked.
        answers: Vec<String>,
        /// The right answer, word for word.
        right: String,
    },
    /// What came from a drain or vent just opened on a side.
    Vent {
        /// A side of the zero-energy check.
        side: String,
    },
    /// The zero-energy check on every side.
    Zero {
        /// Sides proved by looking at the locked-open vent alone.
        #[serde(default)]
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
    /// Re-check after rest.
    Recheck {
        /// The joint.
        joint: String,
        /// Torque held against each fastener.
        at: String,
    },
    /// Rest before the next step.
    Rest {
        /// How long, in minutes.
        minutes: u32,
    },
    /// A wait inside a zero check or a test.
    Wait {
        /// How long, in minutes.
        minutes: u32,
    },
    /// Disposition of each part taken off so far.
    Dispositions,
    /// Decision on each open finding.
    Decisions,
    /// The parts ledger is shown and must balance.
    Balance,
    /// Wrenches, picks, rags and covers in the unit: none left.
    ToolsOut,
    /// Signatures of performer and verifier.
    Sign,
}

/// One answer of a choice.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Answer {
    /// As shown.
    pub(crate) label: String,
    /// What it leads to; left out: on.
    #[serde(default)]
    pub(crate) leads: Leads,
}

/// What an answer leads to: on, asked again, or a finding.
#[derive(Deserialize, JsonSchema, Clone, Copy, Default)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Leads {
    #[default]
    On,
    Again,
    Finding,
}

/// A thing measured.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Measured {
    /// Name, unique in the procedure.
    pub(crate) id: String,
    /// Name on the screen.
    pub(crate) label: String,
    /// Limits, such as `..0.05 mm`; left out: recorded only, and `unit` is wanted.
    #[serde(default)]
    pub(crate) window: Option<String>,
    /// Unit it is written in, where there is no window.
    #[serde(default)]
    pub(crate) unit: Option<String>,
    /// Instruments that may be used, best first; none for a count.
    #[serde(default)]
    pub(crate) instruments: Vec<String>,
    /// Zero side this reading proves.
    #[serde(default)]
    pub(crate) proves: Option<String>,
    /// A side value asked with it, recorded only.
    #[serde(default)]
    pub(crate) beside: Option<Beside>,
    /// Seat leakage class that the window comes from, or is held against.
    #[serde(default)]
    pub(crate) seat: Option<Seat>,
}

/// A seat leakage class of ANSI/FCI 70-2 with what it depends on.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Seat {
    /// The class.
    pub(crate) class: SeatClass,
    /// Diameter of the port, such as `2 in`: for V and VI.
    #[serde(default)]
    pub(crate) port: Option<String>,
    /// Rated flow at the pressure drop of the test: for II, III and IV.
    #[serde(default)]
    pub(crate) rated: Option<String>,
    /// Pressure drop across the seat: for V.
    #[serde(default)]
    pub(crate) drop: Option<String>,
}

/// The classes that have an allowance.
#[derive(Deserialize, JsonSchema, Clone, Copy)]
pub(crate) enum SeatClass {
    #[serde(rename = "II")]
    Second,
    #[serde(rename = "III")]
    Third,
    #[serde(rename = "IV")]
    Fourth,
    #[serde(rename = "V")]
    Fifth,
    #[serde(rename = "VI")]
    Sixth,
}

/// A side value asked with a reading.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Beside {
    /// Name on the screen.
    pub(crate) label: String,
    /// The instrument.
    pub(crate) instrument: String,
}

/// How a value is worked out: first less last, first less second, mean of all, largest less smallest, the leak of a hold, or the balance
/// of spring and diaphragm.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub(crate) enum Computation {
    Drop,
    Difference,
    Mean,
    Spread,
    /// What leaks out of a closed volume of gas, with the temperature taken out, as flow at 0 °C and 101.325 kPa. `from` names five
    /// readings: pressure and temperature at the start, pressure and temperature at the end, and how long it was held.
    Leak {
        /// Volume under test, such as `2 L`.
        volume: String,
        /// The atmosphere gauge pressures stand on, absolute; `101.325 kPa a` if left out.
        atmosphere: Option<String>,
        /// What comes into the volume counts as positive, as past a seat into a shut chamber; if left out, what goes out of it.
        #[serde(default)]
        into: bool,
    },
    /// The outlet pressure that the set spring of a regulator carries at its diaphragm. `from` names the height of the setting screw
    /// where it just touches the spring, its height at the set-point, and the inlet pressure where a seat area is written.
    Balance {
        /// Rate of the set spring, such as `60 N/mm`.
        rate: String,
        /// Effective area of the diaphragm, such as `38.5 cm²`.
        area: String,
        /// Area of a seat that the inlet presses on; left out where the seat is balanced.
        seat_area: Option<String>,
        /// Force of the spring that shuts the seat, such as `40 N`.
        seat_spring: Option<String>,
    },
}

/// What a step does to the unit.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub(crate) enum Deed {
    /// A source is isolated at this point; a drain is opened to stay open.
    Isolate(String),
    /// This point's lock goes on.
    Lock(String),
    /// This point's lock comes off.
    Unlock(String),
    /// This point is put back for service; a drain is shut, for a test, a refill watch or the return.
    Restore(String),
    /// This stored energy is let out or relieved; where it has one drain, this opens it.
    Release(String),
    /// Zero is proved on this side.
    Prove(String),
    /// Energy is let in for a test.
    LetIn {
        /// The chamber or energy.
        chamber: String,
        /// Highest pressure of the step, such as `70 bar g`.
        #[serde(default)]
        pressure: Option<String>,
        /// The gauge read.
        #[serde(default)]
        gauge: Option<String>,
        /// Points that must stand open while it goes in: what carries the flow.
        #[serde(default)]
        open: Vec<String>,
        /// Points that must be shut while it goes in: a drain that would let it out again.
        #[serde(default)]
        shut: Vec<String>,
    },
    /// This chamber or energy is vented after a test.
    LetOut(String),
    /// Fasteners of this joint are slackened.
    Slacken(String),
    /// This joint is broken open, fasteners still on.
    Crack(String),
    /// Fasteners of this joint come off.
    Unfasten(String),
    /// A part comes off.
    Off(Pieces),
    /// A part goes on.
    On(Pieces),
    /// This cover, sleeve or supply goes on.
    CoverOn(String),
    /// This cover, sleeve or supply comes off.
    CoverOff(String),
    /// These parts are cleaned; an empty list: all that are off.
    Clean(Vec<String>),
    /// These parts are measured or looked over.
    Inspect(Vec<String>),
    /// Parts or joints get a lubricant.
    Lubricate {
        /// The parts.
        #[serde(default)]
        parts: Vec<String>,
        /// Joints whose threads get it.
        #[serde(default)]
        joints: Vec<String>,
        /// The consumable.
        with: String,
    },
    /// Fasteners of this joint are run on by hand.
    HandStart(String),
    /// This joint is tightened through its last pass.
    Tighten(String),
    /// This joint is re-checked after rest.
    Recheck(String),
    /// A rest runs out.
    Rest,
    /// These hidden parts are verified.
    Verify(Vec<String>),
    /// A test is done.
    Test,
    /// This test of those wanted is done.
    Run(String),
    /// Discarded parts are destroyed or bagged as scrap.
    Scrap,
    /// Tools and everything else not needed are away from the unit, before energy is let in.
    ToolsClear,
    /// People are clear of the unit and told, before energy is let in.
    PeopleClear,
}

/// A part and how many of it.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Pieces {
    /// The part.
    pub(crate) part: String,
    /// How many pieces.
    #[serde(default = "crate::wire::one")]
    pub(crate) count: u32,
}
