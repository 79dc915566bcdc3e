//! One act of the procedure with its warnings.

use super::{Asked, Deed, EnergyState, Role, When};

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
