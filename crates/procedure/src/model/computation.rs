//! How a value is worked out from readings, and how that is said.

use reseat_measure::{Loading, Quantity, Unit};

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
    /// What leaks out of or into a closed volume of gas between two readings, with the temperature taken out, as flow at 0 °C and
    /// 101.325 kPa (40 CFR 1065.644). From five readings: pressure and temperature at the start, pressure and temperature at the end,
    /// and how long it was held.
    Leak {
        /// Volume under test.
        volume: Quantity,
        /// The atmosphere gauge pressures stand on, absolute.
        atmosphere: Quantity,
        /// What comes in counts as positive, as past a seat into a shut chamber; else what goes out.
        into: bool,
    },
    /// The outlet pressure that the set spring of a regulator carries at its diaphragm, by its figures. From the height of the setting
    /// screw where it just touches the spring and at the set-point, and the inlet pressure where the loading has a seat area. The screw
    /// stands where the unit gives its set-point: a spring softer than its figure is pressed further, and comes out HIGH.
    Balance {
        /// Spring, diaphragm and seat.
        loading: Loading,
        /// Unit the outlet pressure is worked out in, gauge: that of the window.
        unit: Unit,
    },
}

impl Computation {
    /// How the value comes from these readings, by name or label, with the figures of the procedure that go into it.
    #[must_use]
    pub fn words(&self, of: &[&str]) -> String {
        let how = match self {
            Self::Leak { volume, into, .. } => {
                let way = if *into { "into" } else { "out of" };
                return format!(
                    "leak {way} {volume} at 0 °C and 101.325 kPa from {}",
                    of.join(", ")
                );
            }
            Self::Balance { loading, .. } => return balance(loading, of),
            Self::Drop => "first less last",
            Self::Difference => "first less second",
            Self::Mean => "mean",
            Self::Spread => "largest less smallest",
        };
        format!("{how} of {}", of.join(", "))
    }

    /// What a value beyond its window tells, where that does not go without saying.
    #[must_use]
    pub fn tells(&self) -> Option<&'static str> {
        matches!(self, Self::Balance { .. }).then_some(
            "HIGH: the spring is softer or the diaphragm larger than its figure. LOW: stiffer or smaller.",
        )
    }

    /// Whether figures of the procedure go into it beside the readings: a volume, a spring rate, an area.
    #[must_use]
    pub fn has_figures(&self) -> bool {
        matches!(self, Self::Leak { .. } | Self::Balance { .. })
    }
}

fn balance(loading: &Loading, of: &[&str]) -> String {
    let name = |at: usize| of.get(at).copied().unwrap_or_default();
    let mut text = format!(
        "spring {} on {}, pressed by the difference of {} and {}",
        loading.rate(),
        loading.diaphragm(),
        name(0),
        name(1)
    );
    if let Some(seat) = loading.seat() {
        text = format!("{text}, less {} on a seat of {seat}", name(2));
    }
    if let Some(force) = loading.seat_spring() {
        text = format!("{text}, less a seat spring of {force}");
    }
    text
}
