//! Energies, the points that hold them, and the spaces and sides they are proved in.

use reseat_measure::{Quantity, Window};

use super::When;

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
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// Name used by the step that does it.
    pub id: String,
    /// What it is, such as `seat leak, Class IV`.
    pub label: String,
    /// Chambers and energies that must have something in while it is done.
    pub needs: Vec<String>,
    /// Chambers with the pressure each must hold at least while it is done.
    pub at: Vec<(String, Quantity)>,
    /// How points must stand while it is done.
    pub points: Positions,
    /// Only with these options.
    pub when: When,
}

/// How points must stand while something is let in or tested.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Positions {
    /// Points that stand open: what carries the flow, what supply comes through.
    pub open: Vec<String>,
    /// Points that are shut.
    pub shut: Vec<String>,
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
