//! The seat leakage class that a seat test is held against.

use core::fmt;

use reseat_measure::seat::{Allowance, SeatClass, SeatError, allowance};
use reseat_measure::{Decimal, Dimension, Quantity, Unit, Window};

/// Decimals of a limit worked out from a class: finer than any measuring cylinder.
const DECIMALS: u8 = 3;

/// A class of ANSI/FCI 70-2 with what its allowance depends on.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatLimit {
    /// The class.
    pub class: SeatClass,
    /// Diameter of the port, for V and VI.
    pub port: Option<Quantity>,
    /// Rated flow at the pressure drop of the test, for II, III and IV.
    pub rated: Option<Quantity>,
    /// Pressure drop across the seat, for V.
    pub drop: Option<Quantity>,
}

impl SeatLimit {
    /// What the class lets through.
    ///
    /// # Errors
    /// A measure that the class needs is missing, of the wrong kind, or outside the table.
    pub fn allowance(&self) -> Result<Allowance, SeatError> {
        allowance(
            self.class,
            self.port.as_ref(),
            self.rated.as_ref(),
            self.drop.as_ref(),
        )
    }

    /// The most that may pass, counted in this unit; none where the class says nothing in it.
    pub fn most_in(&self, unit: Unit) -> Option<f64> {
        let allowed = self.allowance().ok()?;
        match unit.dimension() {
            Dimension::Flow => {
                let most = Decimal::from_f64(allowed.ml_min, 6).ok()?;
                let most = Quantity::new(most, Unit::MillilitrePerMinute, None).ok()?;
                most.to_f64_in(unit).ok()
            }
            Dimension::BubbleRate => allowed
                .bubbles_min
                .filter(|_| unit == Unit::BubblesPerMinute),
            _ => None,
        }
    }

    /// The window of the class in this unit, its top rounded down, so that it never allows more.
    pub fn window(&self, unit: Unit) -> Option<Window> {
        let most = self.most_in(unit)?;
        let scale = 10f64.powi(i32::from(DECIMALS));
        // A hair is added so that a limit that ends within the decimals is not lost to the last bit.
        let floor = ((most + 1e-9 * most.abs()) * scale).floor() / scale;
        let top = reseat_measure::Rational::from(Decimal::from_f64(floor, DECIMALS).ok()?)
            .to_short_decimal()
            .ok()?;
        Window::new(None, Some(top), unit, None).ok()
    }

    /// Whether a window allows more than the class does: a top above it, or none.
    pub fn is_passed_by(&self, window: &Window) -> bool {
        let (Some(most), Some(top)) = (self.most_in(window.unit()), window.high()) else {
            return true;
        };
        top.decimal().to_f64() > most * (1.0 + 1e-9)
    }

    /// Class, what it rests on, and what it allows counted in this unit: `Class VI, port 2 in, allows 3 bubbles/min (ANSI/FCI 70-2)`.
    pub fn words_in(&self, unit: Unit) -> String {
        let allowed = self.window(unit).and_then(|window| window.high());
        let source = self.allowance().ok().map(|allowed| allowed.source);
        match (allowed, source) {
            (Some(top), Some(source)) => format!("{self}, allows {top} ({source})"),
            _ => self.to_string(),
        }
    }
}

impl fmt::Display for SeatLimit {
    /// `Class VI, port 2 in`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Class {}", self.class)?;
        for (what, quantity) in [
            ("port", &self.port),
            ("rated flow", &self.rated),
            ("pressure drop", &self.drop),
        ] {
            if let Some(quantity) = quantity {
                write!(f, ", {what} {quantity}")?;
            }
        }
        Ok(())
    }
}
