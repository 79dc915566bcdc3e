//! The slipped unit: a torque that is out of its window, but would be within if the number had been read in another unit.
//!
//! Never converted for anybody: the person is asked which scale was read.

use crate::error::QuantityError;
use crate::exact::Rational;
use crate::quantity::Quantity;
use crate::unit::{Dimension, Unit};
use crate::window::{Place, Window};

/// The six ways a torque slips between N·m, lbf·ft and lbf·in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Slip {
    /// ×12: lbf·ft taken for lbf·in.
    TimesTwelve,
    /// ÷12: lbf·in taken for lbf·ft.
    OverTwelve,
    /// ×1.356: lbf·ft taken for N·m.
    FootToNewton,
    /// ÷1.356: N·m taken for lbf·ft.
    NewtonToFoot,
    /// ×8.85: N·m taken for lbf·in.
    NewtonToInch,
    /// ÷8.85: lbf·in taken for N·m.
    InchToNewton,
}

impl Slip {
    /// All six.
    pub const ALL: [Self; 6] = [
        Self::TimesTwelve,
        Self::OverTwelve,
        Self::FootToNewton,
        Self::NewtonToFoot,
        Self::NewtonToInch,
        Self::InchToNewton,
    ];

    /// The unit the number was meant in, and the unit it was taken in.
    pub fn units(self) -> (Unit, Unit) {
        match self {
            Self::TimesTwelve => (Unit::PoundForceFoot, Unit::PoundForceInch),
            Self::OverTwelve => (Unit::PoundForceInch, Unit::PoundForceFoot),
            Self::FootToNewton => (Unit::PoundForceFoot, Unit::NewtonMetre),
            Self::NewtonToFoot => (Unit::NewtonMetre, Unit::PoundForceFoot),
            Self::NewtonToInch => (Unit::NewtonMetre, Unit::PoundForceInch),
            Self::InchToNewton => (Unit::PoundForceInch, Unit::NewtonMetre),
        }
    }

    /// The factor as people know it: `×12`, `÷1.356`.
    pub fn words(self) -> &'static str {
        match self {
            Self::TimesTwelve => "×12",
            Self::OverTwelve => "÷12",
            Self::FootToNewton => "×1.356",
            Self::NewtonToFoot => "÷1.356",
            Self::NewtonToInch => "×8.85",
            Self::InchToNewton => "÷8.85",
        }
    }

    /// The factor, exactly.
    pub fn factor(self) -> Result<Rational, QuantityError> {
        let (meant, taken) = self.units();
        meant.factor().over(taken.factor())
    }
}

/// One reading of the number that would be WITHIN.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SlipCandidate {
    /// Which slip.
    pub slip: Slip,
    /// The torque it would be, in the window's unit, rounded for showing.
    pub torque: Quantity,
}

/// Every slip under which an out-of-window torque would be WITHIN; empty where it is WITHIN as typed, or is no torque.
///
/// All six factors are tried whatever the scale: a person may also have converted in his head, and the wrong way.
pub fn slip_candidates(
    window: &Window,
    reading: &Quantity,
) -> Result<Vec<SlipCandidate>, QuantityError> {
    if reading.dimension() != Dimension::Torque || window.judge(reading)?.place == Place::Within {
        return Ok(Vec::new());
    }
    let value = reading.exact_in(window.unit())?;
    let [low, high] =
        [window.low(), window.high()].map(|limit| limit.map(|q| Rational::from(q.decimal())));
    let mut found = Vec::new();
    for slip in Slip::ALL {
        let slipped = value.times(slip.factor()?)?;
        if low.is_none_or(|low| slipped >= low) && high.is_none_or(|high| slipped <= high) {
            let torque = Quantity::new(slipped.to_short_decimal()?, window.unit(), None)?;
            found.push(SlipCandidate { slip, torque });
        }
    }
    Ok(found)
}
