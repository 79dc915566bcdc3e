//! Regulators: springs, the balance of spring and diaphragm, and what repeats of a set-point tell.

use thiserror::Error;
use uom::si::f64::Length;
use uom::si::force::newton;
use uom::si::length::{meter, millimeter};

use crate::error::QuantityError;
use crate::pressure::{PressureError, absolute_pa, atmosphere_pa, positive};
use crate::quantity::{Quantity, Reference};
use crate::typed;
use crate::unit::{Dimension, Unit};

/// Why a regulator's figures cannot be worked out.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum RegulatorError {
    /// No repeats.
    #[error("a set-point needs at least one reading; read it rising and falling")]
    NoRepeats,
    /// A seat on which the inlet presses, without the inlet pressure.
    #[error("the inlet presses on a seat of {0}; give the inlet pressure too")]
    InletMissing(String),
    /// An inlet pressure that presses on nothing.
    #[error("{0} presses on no seat; give the seat area, or leave the inlet pressure out")]
    SeatMissing(String),
    /// A pressure that is no gauge pressure where only the difference to the air counts.
    #[error("{0} is no gauge pressure; give it with g behind the unit")]
    NotGauge(String),
    /// Coils that cannot be.
    #[error("{0} active coils are impossible; give a number above 0")]
    Coils(String),
    /// Coils whose wire would lie across their own middle.
    #[error(
        "a mean coil diameter of {mean} is not larger than the wire, {wire}; the mean is the outside of the coils less one wire"
    )]
    MeanNotOverWire {
        /// Mean coil diameter given.
        mean: String,
        /// Wire given.
        wire: String,
    },
    /// A quantity that cannot be.
    #[error(transparent)]
    Pressure(#[from] PressureError),
    /// Numbers that cannot be worked out.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
}

/// Rate of a coil spring in N/mm: `k = G·d⁴/(8·D³·N)`, shear modulus, wire and mean coil diameter, active coils.
pub fn spring_rate_n_mm(
    modulus: &Quantity,
    wire: &Quantity,
    mean: &Quantity,
    coils: f64,
) -> Result<f64, RegulatorError> {
    if !(coils > 0.0 && coils.is_finite()) {
        return Err(RegulatorError::Coils(coils.to_string()));
    }
    positive(modulus, Dimension::Pressure, Unit::Megapascal)?;
    positive(wire, Dimension::Length, Unit::Millimetre)?;
    positive(mean, Dimension::Length, Unit::Millimetre)?;
    if mean.to_f64_in(Unit::Millimetre)? <= wire.to_f64_in(Unit::Millimetre)? {
        return Err(RegulatorError::MeanNotOverWire {
            mean: mean.to_string(),
            wire: wire.to_string(),
        });
    }
    let one = Length::new::<millimeter>(1.0);
    let force = typed::spring_force(
        modulus.try_into()?,
        wire.try_into()?,
        mean.try_into()?,
        coils,
        one,
    );
    Ok(force.get::<newton>())
}

/// How far in mm a load presses a spring of a rate (N/mm) together; a load below 0 pulls it out: `x = F/k`.
pub fn spring_deflection_mm(rate_n_mm: f64, load: &Quantity) -> Result<f64, RegulatorError> {
    if load.dimension() != Dimension::Force {
        return Err(PressureError::Kind {
            text: load.to_string(),
            wanted: Dimension::Force.words(),
        }
        .into());
    }
    if rate_n_mm > 0.0 {
        Ok(load.to_f64_in(Unit::Newton)? / rate_n_mm)
    } else {
        Err(PressureError::NotPositive(format!("a spring rate of {rate_n_mm} N/mm")).into())
    }
}

/// Active coils that give a rate (N/mm).
pub fn spring_coils(
    modulus: &Quantity,
    wire: &Quantity,
    mean: &Quantity,
    rate_n_mm: f64,
) -> Result<f64, RegulatorError> {
    let one_coil = spring_rate_n_mm(modulus, wire, mean, 1.0)?;
    if rate_n_mm > 0.0 {
        Ok(one_coil / rate_n_mm)
    } else {
        Err(RegulatorError::Coils(rate_n_mm.to_string()))
    }
}

/// Forces on the moving parts of a regulator, N: `spring = P2·A_diaphragm + P1·A_poppet + F_poppet_spring` when they balance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Balance {
    /// Set spring, N.
    pub spring_n: f64,
    /// Outlet pressure on the diaphragm, N.
    pub diaphragm_n: f64,
    /// Inlet pressure on the poppet, N.
    pub poppet_n: f64,
    /// Poppet spring, N.
    pub poppet_spring_n: f64,
}

impl Balance {
    /// What is left over: positive opens the seat further.
    pub fn left_over_n(&self) -> f64 {
        self.spring_n - self.diaphragm_n - self.poppet_n - self.poppet_spring_n
    }
}

/// Figures of a regulator from which the outlet pressure is worked out that its set spring carries at the diaphragm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Loading {
    rate: Quantity,
    diaphragm: Quantity,
    seat: Option<Quantity>,
    seat_spring: Option<Quantity>,
}

impl Loading {
    /// From the rate of the set spring, the effective area of the diaphragm, the area of an unbalanced seat on which the inlet presses,
    /// and the force of a spring that shuts the seat. A balanced seat has no area here.
    ///
    /// # Errors
    /// Whatever is of another kind or not above nought.
    pub fn new(
        rate: &Quantity,
        diaphragm: &Quantity,
        seat: Option<&Quantity>,
        seat_spring: Option<&Quantity>,
    ) -> Result<Self, RegulatorError> {
        positive(rate, Dimension::Stiffness, Unit::NewtonPerMetre)?;
        positive(diaphragm, Dimension::Area, Unit::SquareMetre)?;
        if let Some(seat) = seat {
            positive(seat, Dimension::Area, Unit::SquareMetre)?;
        }
        if let Some(force) = seat_spring {
            positive(force, Dimension::Force, Unit::Newton)?;
        }
        Ok(Self {
            rate: *rate,
            diaphragm: *diaphragm,
            seat: seat.copied(),
            seat_spring: seat_spring.copied(),
        })
    }

    /// Rate of the set spring.
    pub fn rate(&self) -> Quantity {
        self.rate
    }

    /// Effective area of the diaphragm.
    pub fn diaphragm(&self) -> Quantity {
        self.diaphragm
    }

    /// Area of the seat on which the inlet presses; none where the seat is balanced.
    pub fn seat(&self) -> Option<Quantity> {
        self.seat
    }

    /// Force of the spring that shuts the seat, where it counts.
    pub fn seat_spring(&self) -> Option<Quantity> {
        self.seat_spring
    }

    /// Outlet pressure in Pa, gauge, that the set spring carries: what [`Balance`] leaves over for the diaphragm, by its area,
    /// `P2 = (k·x − P1·A_seat − F_seat_spring)/A_diaphragm`.
    ///
    /// Heights of the setting screw where it just touches the spring and at the set-point; the inlet pressure, gauge, where the seat has
    /// an area. A screw further out at the set-point than where it touches gives a pressure below nought.
    ///
    /// # Errors
    /// Quantities of another kind, an inlet pressure without seat area, a seat area without inlet pressure.
    pub fn outlet_pa(
        &self,
        touching: &Quantity,
        at_set: &Quantity,
        inlet: Option<&Quantity>,
    ) -> Result<f64, RegulatorError> {
        let poppet_n = match (&self.seat, inlet) {
            (None, None) => 0.0,
            (Some(seat), Some(inlet)) => {
                gauge_pa(inlet)? * positive(seat, Dimension::Area, Unit::SquareMetre)?
            }
            (Some(seat), None) => return Err(RegulatorError::InletMissing(seat.to_string())),
            (None, Some(inlet)) => return Err(RegulatorError::SeatMissing(inlet.to_string())),
        };
        let poppet_spring_n = match &self.seat_spring {
            Some(force) => positive(force, Dimension::Force, Unit::Newton)?,
            None => 0.0,
        };
        let rate_n_m = positive(&self.rate, Dimension::Stiffness, Unit::NewtonPerMetre)?;
        let pressed_m = length_m(touching)? - length_m(at_set)?;
        let left = Balance {
            spring_n: rate_n_m * pressed_m,
            diaphragm_n: 0.0,
            poppet_n,
            poppet_spring_n,
        };
        let area_m2 = positive(&self.diaphragm, Dimension::Area, Unit::SquareMetre)?;
        Ok(left.left_over_n() / area_m2)
    }
}

/// A length in m, of either sign: a screw may stand below what its height is measured from.
fn length_m(length: &Quantity) -> Result<f64, RegulatorError> {
    let metres: Length = length.try_into()?;
    Ok(metres.get::<meter>())
}

fn gauge_pa(pressure: &Quantity) -> Result<f64, RegulatorError> {
    if pressure.reference() != Some(Reference::Gauge) {
        return Err(RegulatorError::NotGauge(pressure.to_string()));
    }
    Ok(pressure.to_f64_in(Unit::Pascal)?)
}

/// Set-point error in percent of the absolute set pressure: `E = (Po − Pset)/(Pset + Ps)·100` (Measurement Canada S-G-03).
///
/// Reading and set gauge (or both absolute), atmosphere absolute.
pub fn set_point_error_percent(
    reading: &Quantity,
    set: &Quantity,
    atmosphere: &Quantity,
) -> Result<f64, RegulatorError> {
    let air = atmosphere_pa(atmosphere)?;
    let (reading_pa, set_pa) = (absolute_pa(reading, air)?, absolute_pa(set, air)?);
    if set_pa <= 0.0 {
        return Err(PressureError::NotPositive(set.to_string()).into());
    }
    Ok((reading_pa - set_pa) / set_pa * 100.0)
}

/// Which way a set-point was come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Direction {
    /// From below.
    Rising,
    /// From above.
    Falling,
}

/// What repeats of one set-point tell, in the unit of the set-point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetPoint {
    /// Mean of all readings less the set-point.
    pub error: f64,
    /// Greatest spread of the repeats in one direction.
    pub repeatability: f64,
    /// Between the means of both directions; `None` if only one was read.
    pub hysteresis: Option<f64>,
    /// Sample standard deviation about the means of their direction; `None` with fewer than two repeats in any.
    pub deviation: Option<f64>,
    /// Mean of all readings.
    pub mean: f64,
}

/// Error, repeatability and hysteresis from repeats rising and falling.
#[expect(clippy::cast_precision_loss, reason = "counts of readings")]
pub fn set_point(
    set: &Quantity,
    repeats: &[(Quantity, Direction)],
) -> Result<SetPoint, RegulatorError> {
    let mut ways: [Vec<f64>; 2] = [Vec::new(), Vec::new()];
    for (reading, direction) in repeats {
        reading.same_kind(set.unit(), set.reference())?;
        ways[usize::from(*direction == Direction::Falling)].push(reading.to_f64_in(set.unit())?);
    }
    if repeats.is_empty() {
        return Err(RegulatorError::NoRepeats);
    }
    let mean_of = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    let means: Vec<f64> = ways
        .iter()
        .filter(|way| !way.is_empty())
        .map(|way| mean_of(way))
        .collect();
    let spread = |way: &Vec<f64>| {
        let (low, high) = way
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
                (l.min(*v), h.max(*v))
            });
        if way.is_empty() { 0.0 } else { high - low }
    };
    let all: Vec<f64> = ways.concat();
    let free: usize = ways.iter().map(|way| way.len().saturating_sub(1)).sum();
    let squares: f64 = ways
        .iter()
        .filter(|way| !way.is_empty())
        .flat_map(|way| way.iter().map(|v| (v - mean_of(way)).powi(2)))
        .sum();
    let mean = mean_of(&all);
    Ok(SetPoint {
        error: mean - set.decimal().to_f64(),
        repeatability: spread(&ways[0]).max(spread(&ways[1])),
        hysteresis: (means.len() == 2).then(|| (means[0] - means[1]).abs()),
        deviation: (free > 0).then(|| (squares / free as f64).sqrt()),
        mean,
    })
}

/// Lock-up: pressure at no flow above the set-point, exactly.
pub fn lock_up(set: &Quantity, at_no_flow: &Quantity) -> Result<Quantity, QuantityError> {
    at_no_flow.difference(set)
}

/// Droop: how far the pressure at full flow falls below the set-point, exactly.
pub fn droop(set: &Quantity, at_full_flow: &Quantity) -> Result<Quantity, QuantityError> {
    set.difference(at_full_flow)
}

/// Creep: rise of the locked-up pressure between two readings, exactly. A seat that passes lets it climb on.
pub fn creep(first: &Quantity, later: &Quantity) -> Result<Quantity, QuantityError> {
    later.difference(first)
}

/// Blowdown: opening pressure less reseat pressure, exactly.
pub fn blowdown(opening: &Quantity, reseat: &Quantity) -> Result<Quantity, QuantityError> {
    opening.difference(reseat)
}

/// A difference as a percentage of a whole, unrounded; references do not count.
pub fn percent_of(part: &Quantity, whole: &Quantity) -> Result<f64, RegulatorError> {
    let plain = |q: &Quantity| Quantity::new(q.decimal(), q.unit(), None);
    let (part, whole) = (plain(part)?, plain(whole)?);
    let base = whole.size_in(whole.unit())?.to_f64();
    if base == 0.0 {
        return Err(PressureError::NotPositive(whole.to_string()).into());
    }
    Ok(100.0 * part.size_in(whole.unit())?.to_f64() / base)
}

/// Travel in percent of the whole way from shut to open.
pub fn travel_percent(
    at: &Quantity,
    shut: &Quantity,
    open: &Quantity,
) -> Result<f64, RegulatorError> {
    percent_of(&at.difference(shut)?, &open.difference(shut)?)
}
