//! The answers a step wants.

use reseat_measure::{Quantity, Unit, Window};

use super::{Computation, Role, SeatLimit};

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
        /// Anybody but who is at the keys: a second person.
        another: bool,
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
        /// Seat leakage class that the limits come from or are held against.
        seat: Option<SeatLimit>,
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
    /// Seat leakage class that the window comes from or is held against.
    pub seat: Option<SeatLimit>,
}
