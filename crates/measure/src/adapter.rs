//! Adapters that change the length of a torque wrench: the setting that gives the wanted torque.
//!
//! `S = T·L/(L + E)`, E the adapter's length along the wrench: `A·cos a` for an adapter at an angle (US Navy NAVEDTRA 14315; US Army TM 9-254).

use thiserror::Error;

use crate::error::QuantityError;
use crate::exact::{Decimal, Rational, Rounding};
use crate::quantity::Quantity;
use crate::unit::{Dimension, Unit};
use crate::window::Window;

/// Why an adapter gives no setting.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum AdapterError {
    /// The lever must have a length.
    #[error(
        "the lever {0} is impossible; measure from the middle of the drive to the middle of the grip, above 0"
    )]
    Lever(String),
    /// The adapter takes away the whole lever.
    #[error("an adapter of {0} leaves no lever; turn it to lengthen the wrench, or take another")]
    NoLever(String),
    /// A quantity of the wrong kind.
    #[error("{text} is not a {wanted}; give one with its unit")]
    Kind {
        /// What was given.
        text: String,
        /// What is wanted.
        wanted: &'static str,
    },
    /// Numbers that cannot be worked out.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
}

/// A wrench with a length-changing adapter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Adapter {
    lever: Quantity,
    length: Quantity,
    angle: Quantity,
}

impl Adapter {
    /// Lever of the wrench, length of the adapter (negative shortens), angle between both (0 straight on).
    pub fn new(lever: Quantity, length: Quantity, angle: Quantity) -> Result<Self, AdapterError> {
        let kinds = [
            (lever, Dimension::Length, "length"),
            (length, Dimension::Length, "length"),
            (angle, Dimension::Angle, "angle"),
        ];
        for (quantity, dimension, wanted) in kinds {
            if quantity.dimension() != dimension {
                return Err(AdapterError::Kind {
                    text: quantity.to_string(),
                    wanted,
                });
            }
        }
        if lever.decimal().digits() <= 0 {
            return Err(AdapterError::Lever(lever.to_string()));
        }
        let adapter = Self {
            lever,
            length,
            angle,
        };
        if adapter.ratio() <= 0.0 || !adapter.ratio().is_finite() {
            return Err(AdapterError::NoLever(length.to_string()));
        }
        Ok(adapter)
    }

    /// The wrench's own lever.
    pub fn lever(&self) -> Quantity {
        self.lever
    }

    /// The adapter's length.
    pub fn length(&self) -> Quantity {
        self.length
    }

    /// The adapter's angle.
    pub fn angle(&self) -> Quantity {
        self.angle
    }

    /// Whole lever over the wrench's own, exactly, where the adapter stands straight or square.
    fn exact_ratio(&self) -> Option<Rational> {
        let degrees = self.angle.exact_in(Unit::Degree).ok()?;
        let turned = degrees.to_f64().rem_euclid(360.0);
        let own = Rational::from(self.lever.decimal());
        let along = self.length.exact_in(self.lever.unit()).ok()?;
        let whole = [(0.0, 1), (90.0, 0), (180.0, -1), (270.0, 0)]
            .into_iter()
            .find(|(angle, _)| (turned - angle).abs() < f64::EPSILON)
            .map(|(_, cosine)| along.times(Rational::new(cosine, 1).ok()?).ok())??;
        own.plus(whole).ok()?.over(own).ok()
    }

    /// Whole lever over the wrench's own: true torque over setting.
    pub fn ratio(&self) -> f64 {
        if let Some(exact) = self.exact_ratio() {
            return exact.to_f64();
        }
        let metres = |q: &Quantity| q.to_f64_in(Unit::Metre).unwrap_or(f64::NAN);
        let angle = self
            .angle
            .to_f64_in(Unit::Degree)
            .unwrap_or(f64::NAN)
            .to_radians();
        1.0 + metres(&self.length) * angle.cos() / metres(&self.lever)
    }

    /// The setting for a wanted torque in its unit, unrounded.
    pub fn setting_f64(&self, torque: &Quantity) -> Result<f64, AdapterError> {
        torque_only(torque)?;
        Ok(torque.decimal().to_f64() / self.ratio())
    }

    /// The setting for a wanted torque, with so many decimals.
    pub fn setting(&self, torque: &Quantity, decimals: u8) -> Result<Quantity, AdapterError> {
        self.setting_to(torque, decimals, Rounding::Nearest)
    }

    /// The setting for a wanted torque, rounded so.
    fn setting_to(
        &self,
        torque: &Quantity,
        decimals: u8,
        rounding: Rounding,
    ) -> Result<Quantity, AdapterError> {
        torque_only(torque)?;
        let decimal = if let Some(ratio) = self.exact_ratio() {
            let setting = Rational::from(torque.decimal()).over(ratio)?;
            setting.round_to(decimals, rounding)?
        } else {
            let fine = 10_f64.powi(i32::from(decimals));
            let steps = self.setting_f64(torque)? * fine;
            let steps = match rounding {
                Rounding::Up => steps.ceil(),
                Rounding::Down => steps.floor(),
                Rounding::Nearest => steps,
            };
            Decimal::from_f64(steps / fine, decimals)?
        };
        Ok(Quantity::new(decimal, torque.unit(), None)?)
    }

    /// A window at the fastener as the wrench shows it. Its ends are rounded inward, to one decimal more than they are written with or
    /// as many as it takes: whatever lies in it lies in the window at the fastener.
    pub fn window_shown(&self, window: &Window) -> Result<Window, AdapterError> {
        let shown = |end: Option<Quantity>, beyond: u8, rounding| -> Result<_, AdapterError> {
            let Some(torque) = end else { return Ok(None) };
            let decimals = torque.decimal().decimals().saturating_add(beyond);
            Ok(Some(
                self.setting_to(&torque, decimals, rounding)?.decimal(),
            ))
        };
        let told = |beyond| -> Result<Window, AdapterError> {
            let low = shown(window.low(), beyond, Rounding::Up)?;
            let high = shown(window.high(), beyond, Rounding::Down)?;
            Ok(Window::new(low, high, window.unit(), window.reference())?)
        };
        (2..=4).fold(told(1), |found, beyond| found.or_else(|_| told(beyond)))
    }

    /// The torque at the fastener for a reading of the wrench, with so many decimals.
    pub fn torque_at_fastener(
        &self,
        reading: &Quantity,
        decimals: u8,
    ) -> Result<Quantity, AdapterError> {
        torque_only(reading)?;
        let decimal = match self.exact_ratio() {
            Some(ratio) => Rational::from(reading.decimal())
                .times(ratio)?
                .round_to(decimals, Rounding::Nearest)?,
            None => Decimal::from_f64(reading.decimal().to_f64() * self.ratio(), decimals)?,
        };
        Ok(Quantity::new(decimal, reading.unit(), None)?)
    }
}

fn torque_only(torque: &Quantity) -> Result<(), AdapterError> {
    if torque.dimension() == Dimension::Torque {
        return Ok(());
    }
    Err(AdapterError::Kind {
        text: torque.to_string(),
        wanted: "torque",
    })
}
