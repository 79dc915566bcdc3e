//! What a step does to the unit.

use reseat_measure::Quantity;

use super::Positions;

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
    /// A point is opened or put back for service; a drain is shut.
    Restore {
        /// The point.
        point: String,
    },
    /// Stored energy is let out or relieved; where it has one drain, this opens it.
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
        /// How points must stand while it goes in.
        points: Positions,
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
