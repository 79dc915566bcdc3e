//! Holding pressure: what leaks in or out of a closed volume, with the temperature taken out, and how long to hold.
//!
//! `n = (V/R)·(p2/T2 − p1/T1)/t` (40 CFR 1065.644): moles a second into the volume; positive means gas came in.

use thiserror::Error;

use crate::error::QuantityError;
use crate::quantity::{Quantity, Reference};
use crate::unit::{Dimension, Unit};

/// Molar gas constant in J/(mol·K), exact since 2019 to these digits (CODATA 2018).
pub const GAS_CONSTANT: f64 = 8.314_462_618;

/// The atmosphere where none is given, Pa absolute.
pub const STANDARD_ATMOSPHERE_PA: f64 = 101_325.0;

const ZERO_CELSIUS_K: f64 = 273.15;

/// Why a hold cannot be worked out.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum PressureError {
    /// A quantity of the wrong kind.
    #[error("{text} is no {wanted}; give a {wanted} with its unit")]
    Kind {
        /// What was given.
        text: String,
        /// What is wanted.
        wanted: &'static str,
    },
    /// A pressure that does not say gauge or absolute.
    #[error("{0} does not say gauge or absolute; write g or a behind the unit")]
    Unreferenced(String),
    /// Below nothing.
    #[error("{0} is impossible; it must be above 0")]
    NotPositive(String),
    /// A pressure below a perfect vacuum.
    #[error("{0} is below a perfect vacuum; look at the sign, and at gauge or absolute")]
    BelowVacuum(String),
    /// A temperature below absolute zero.
    #[error("{0} is colder than absolute zero, -273.15 °C; look at the unit")]
    TooCold(String),
    /// An atmosphere that is none.
    #[error("{0} is no atmosphere; give it absolute and above 0, for example 101.325 kPa a")]
    Atmosphere(String),
    /// A fit needs points.
    #[error("a line needs at least three readings at different times; take more")]
    TooFewReadings,
    /// Numbers that cannot be worked out.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
}

/// A quantity of a kind in a unit, above nought.
pub(crate) fn positive(
    quantity: &Quantity,
    dimension: Dimension,
    unit: Unit,
) -> Result<f64, PressureError> {
    if quantity.dimension() != dimension {
        return Err(PressureError::Kind {
            text: quantity.to_string(),
            wanted: dimension.words(),
        });
    }
    let value = quantity.to_f64_in(unit)?;
    if value > 0.0 {
        Ok(value)
    } else if dimension == Dimension::Temperature {
        Err(PressureError::TooCold(quantity.to_string()))
    } else {
        Err(PressureError::NotPositive(quantity.to_string()))
    }
}

/// An absolute pressure in Pa; a gauge pressure takes the atmosphere (Pa absolute) on top.
pub fn absolute_pa(pressure: &Quantity, atmosphere_pa: f64) -> Result<f64, PressureError> {
    if pressure.dimension() != Dimension::Pressure {
        return Err(PressureError::Kind {
            text: pressure.to_string(),
            wanted: "pressure",
        });
    }
    let value = pressure.to_f64_in(Unit::Pascal)?;
    let absolute = match pressure.reference() {
        Some(Reference::Absolute) => value,
        Some(Reference::Gauge) => value + atmosphere_pa,
        _ => return Err(PressureError::Unreferenced(pressure.to_string())),
    };
    // A perfect vacuum is allowed; less than nothing is not.
    if absolute >= 0.0 {
        Ok(absolute)
    } else {
        Err(PressureError::BelowVacuum(pressure.to_string()))
    }
}

/// The atmosphere that gauge pressures stand on, in Pa: absolute, and above nought.
pub fn atmosphere_pa(atmosphere: &Quantity) -> Result<f64, PressureError> {
    let refused = || PressureError::Atmosphere(atmosphere.to_string());
    if atmosphere.reference() != Some(Reference::Absolute) {
        return Err(refused());
    }
    let air = absolute_pa(atmosphere, 0.0)?;
    if air > 0.0 { Ok(air) } else { Err(refused()) }
}

/// Moles of an ideal gas in a volume (m³) at a pressure (Pa absolute) and temperature (K): `n = p·V/(R·T)`.
pub fn moles(volume_m3: f64, pressure_pa: f64, temperature_k: f64) -> f64 {
    pressure_pa * volume_m3 / (GAS_CONSTANT * temperature_k)
}

/// A leak, in the three ways it is spoken of. Positive: gas into the volume.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leak {
    /// Moles a second.
    pub mol_s: f64,
    /// Pa·m³/s at the temperature the hold began with.
    pub pa_m3_s: f64,
    /// Standard cubic centimetres a minute at 0 °C and 101.325 kPa.
    pub sccm_0c: f64,
}

impl Leak {
    /// From moles a second, at the temperature (K) that Pa·m³/s are meant at.
    pub fn from_mol_s(mol_s: f64, temperature_k: f64) -> Self {
        Self {
            mol_s,
            pa_m3_s: mol_s * GAS_CONSTANT * temperature_k,
            sccm_0c: mol_s * GAS_CONSTANT * ZERO_CELSIUS_K / STANDARD_ATMOSPHERE_PA * 60.0e6,
        }
    }
}

/// The change of pressure in Pa that a leak makes in a closed volume: the leak in standard cubic centimetres a minute at 0 °C and
/// 101.325 kPa (positive: gas into the volume), volume in m³, temperature in K that the hold began with, time in s. What
/// [`Hold::leak`] does, the other way round.
pub fn change_of_leak_pa(sccm_0c: f64, volume_m3: f64, temperature_k: f64, time_s: f64) -> f64 {
    let moles_times_r = sccm_0c * STANDARD_ATMOSPHERE_PA / (ZERO_CELSIUS_K * 60.0e6) * time_s;
    moles_times_r * temperature_k / volume_m3
}

/// A closed volume held between two moments.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hold {
    /// m³.
    pub volume_m3: f64,
    /// Pa absolute at the beginning.
    pub p1_pa: f64,
    /// Pa absolute at the end.
    pub p2_pa: f64,
    /// K at the beginning.
    pub t1_k: f64,
    /// K at the end.
    pub t2_k: f64,
    /// Seconds between.
    pub time_s: f64,
}

impl Hold {
    /// From quantities: absolute pressures, or gauge with the atmosphere (absolute).
    pub fn new(
        volume: &Quantity,
        pressures: [&Quantity; 2],
        temperatures: [&Quantity; 2],
        time: &Quantity,
        atmosphere: &Quantity,
    ) -> Result<Self, PressureError> {
        let air = atmosphere_pa(atmosphere)?;
        Ok(Self {
            volume_m3: positive(volume, Dimension::Volume, Unit::CubicMetre)?,
            p1_pa: absolute_pa(pressures[0], air)?,
            p2_pa: absolute_pa(pressures[1], air)?,
            t1_k: positive(temperatures[0], Dimension::Temperature, Unit::Kelvin)?,
            t2_k: positive(temperatures[1], Dimension::Temperature, Unit::Kelvin)?,
            time_s: positive(time, Dimension::Time, Unit::Second)?,
        })
    }

    /// The leak over the hold.
    pub fn leak(&self) -> Leak {
        let mol = self.volume_m3 / GAS_CONSTANT * (self.p2_pa / self.t2_k - self.p1_pa / self.t1_k);
        Leak::from_mol_s(mol / self.time_s, self.t1_k)
    }

    /// The change of pressure in Pa with the temperature taken out: what it would be had the gas stayed at its first temperature.
    pub fn compensated_change_pa(&self) -> f64 {
        self.p2_pa * self.t1_k / self.t2_k - self.p1_pa
    }

    /// The change of pressure in Pa that the change of temperature alone makes.
    pub fn thermal_change_pa(&self) -> f64 {
        self.p1_pa * (self.t2_k / self.t1_k - 1.0)
    }
}

/// One reading of a hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoldReading {
    /// Seconds since the beginning.
    pub time_s: f64,
    /// Pa absolute.
    pub pressure_pa: f64,
    /// K.
    pub temperature_k: f64,
}

/// A straight line through the readings of a hold, pressures brought to the first temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoldLine {
    /// Pa a second.
    pub slope_pa_s: f64,
    /// Pa absolute at time nought.
    pub start_pa: f64,
    /// Standard error of the slope, Pa a second.
    pub slope_error_pa_s: f64,
    /// K of the first reading, to which all were brought.
    pub temperature_k: f64,
}

impl HoldLine {
    /// Least squares through three or more readings.
    #[expect(clippy::cast_precision_loss, reason = "a count of readings")]
    pub fn fit(readings: &[HoldReading]) -> Result<Self, PressureError> {
        let first = readings.first().ok_or(PressureError::TooFewReadings)?;
        let count = readings.len() as f64;
        if readings.iter().any(|r| r.temperature_k <= 0.0) {
            return Err(PressureError::NotPositive(
                "a temperature in kelvin".to_owned(),
            ));
        }
        let brought = |r: &HoldReading| r.pressure_pa * first.temperature_k / r.temperature_k;
        let mean_t = readings.iter().map(|r| r.time_s).sum::<f64>() / count;
        let mean_p = readings.iter().map(brought).sum::<f64>() / count;
        let spread: f64 = readings.iter().map(|r| (r.time_s - mean_t).powi(2)).sum();
        if readings.len() < 3 || spread <= 0.0 {
            return Err(PressureError::TooFewReadings);
        }
        let slope = readings
            .iter()
            .map(|r| (r.time_s - mean_t) * (brought(r) - mean_p))
            .sum::<f64>()
            / spread;
        let start = mean_p - slope * mean_t;
        let left: f64 = readings
            .iter()
            .map(|r| (brought(r) - start - slope * r.time_s).powi(2))
            .sum();
        Ok(Self {
            slope_pa_s: slope,
            start_pa: start,
            slope_error_pa_s: (left / (count - 2.0) / spread).sqrt(),
            temperature_k: first.temperature_k,
        })
    }

    /// The leak of a volume (m³) that loses pressure so.
    pub fn leak(&self, volume_m3: f64) -> Leak {
        Leak::from_mol_s(
            volume_m3 * self.slope_pa_s / (GAS_CONSTANT * self.temperature_k),
            self.temperature_k,
        )
    }
}

/// The shortest hold in seconds in which a gauge resolves an allowed leak: its error must be at most a quarter of the change of pressure that
/// the leak makes (the quarter from memory).
///
/// `allowed_pa_m3_s` above 0; volume in m³; error of the gauge in Pa.
pub fn hold_needed_s(
    allowed_pa_m3_s: f64,
    volume_m3: f64,
    gauge_error_pa: f64,
) -> Result<f64, PressureError> {
    for (value, words) in [
        (allowed_pa_m3_s, "the allowed leak"),
        (volume_m3, "the volume"),
        (gauge_error_pa, "the gauge's error"),
    ] {
        if !(value > 0.0 && value.is_finite()) {
            return Err(PressureError::NotPositive(words.to_owned()));
        }
    }
    Ok(4.0 * gauge_error_pa * volume_m3 / allowed_pa_m3_s)
}
