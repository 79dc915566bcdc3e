//! What a procedure says, after it was read: sections, steps, what each step asks and does, and the assembly it acts on.
//!
//! Two lists carry a step. [`Step::asks`] are the answers wanted from the technician, one after the other; a step
//! without asks is a plain act that one key completes. [`Step::does`] is what the step does to the unit; the
//! proof folds it over routes and the parts ledger over entries.

use std::collections::BTreeSet;

mod asked;
mod computation;
mod deed;
mod energy;
mod seat;
mod step;
mod unit;

pub use crate::role::Role;
pub use asked::{Answer, Asked, Leads, Measured};
pub use computation::Computation;
pub use deed::Deed;
pub use energy::{
    Chamber, Energy, EnergyKind, EnergyState, Point, PointKind, Positions, Wanted, ZeroSide,
};
pub use seat::SeatLimit;
pub use step::{SignalWord, Step, Verify, Warning};
pub use unit::{Consumable, Cover, Gap, Instrument, Joint, Kit, Part, Pattern, Rounds};

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

impl When {
    /// Whether some choice of options meets both.
    pub(crate) fn may_meet(&self, other: &Self) -> bool {
        !self.0.iter().any(|(option, values)| {
            let others = other.0.iter();
            others
                .filter(|(same, _)| option == same)
                .any(|(_, others)| values.is_disjoint(others))
        })
    }
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
