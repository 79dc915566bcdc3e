//! A window of allowed values, and the place of a reading in it.

use core::fmt;
use core::str::FromStr;

use crate::error::QuantityError;
use crate::exact::{Decimal, Rational, Rounding};
use crate::quantity::{Quantity, Reference, parse_scale, split_number};
use crate::unit::Unit;

/// Allowed values: `low..high`, `low..` or `..high`, limits included, in one unit.
#[derive(Clone, Copy, Debug)]
pub struct Window {
    low: Option<Decimal>,
    high: Option<Decimal>,
    unit: Unit,
    reference: Option<Reference>,
}

/// Where a reading lies against its window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Place {
    /// In the window, limits included.
    Within,
    /// Below the low limit.
    Low,
    /// Above the high limit.
    High,
}

/// One of the two ends of a window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Limit {
    /// The lower end.
    Low,
    /// The upper end.
    High,
}

/// The place of a reading and how far it is from the limit that matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Judgement {
    /// Where it lies.
    pub place: Place,
    /// Distance beyond the limit when out, to the nearest limit when in; in the window's unit, never negative, no reference (it is a difference).
    /// Exact where a decimal of 12 digits can say it, else rounded to the nearest such.
    pub distance: Quantity,
    /// The limit it is measured from.
    pub from: Limit,
}

impl Window {
    /// A window from its parts; refused without any limit, or with low above high.
    pub fn new(
        low: Option<Decimal>,
        high: Option<Decimal>,
        unit: Unit,
        reference: Option<Reference>,
    ) -> Result<Self, QuantityError> {
        match (low, high) {
            (None, None) => return Err(QuantityError::NotAWindow("..".to_owned())),
            (Some(low), Some(high)) if low > high => {
                return Err(QuantityError::Impossible {
                    low: low.to_string(),
                    high: high.to_string(),
                });
            }
            _ => {}
        }
        if let Some(any) = low.or(high) {
            Quantity::new(any, unit, reference)?;
        }
        Ok(Self {
            low,
            high,
            unit,
            reference,
        })
    }

    /// Reads `115..130 N·m`, `3.4.. bar g`, `..0.05 mm`, `-0.1..0.1 bar g`.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(QuantityError::Empty);
        }
        let (front, back) = text
            .split_once("..")
            .ok_or_else(|| QuantityError::NotAWindow(text.to_owned()))?;
        let front = front.trim();
        let low = if front.is_empty() {
            None
        } else {
            Some(limit_of(front, text)?)
        };
        let back = back.trim();
        let (high, unit_text) = if back.starts_with(|c: char| {
            c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-' | '\u{2212}')
        }) {
            let (number, rest) = split_number(back)?;
            (Some(Decimal::parse(number)?), rest)
        } else {
            (None, back)
        };
        if unit_text.is_empty() {
            return Err(QuantityError::NoUnit(text.to_owned()));
        }
        if low.is_none() && high.is_none() {
            return Err(QuantityError::NotAWindow(text.to_owned()));
        }
        let (unit, reference) = parse_scale(unit_text)?;
        Self::new(low, high, unit, reference)
    }

    /// The low limit, if there is one.
    pub fn low(&self) -> Option<Quantity> {
        self.low
            .and_then(|d| Quantity::new(d, self.unit, self.reference).ok())
    }

    /// The high limit, if there is one.
    pub fn high(&self) -> Option<Quantity> {
        self.high
            .and_then(|d| Quantity::new(d, self.unit, self.reference).ok())
    }

    /// The unit of both limits.
    pub fn unit(&self) -> Unit {
        self.unit
    }

    /// What its pressures are measured against, if said.
    pub fn reference(&self) -> Option<Reference> {
        self.reference
    }

    /// The same window, taking the reference of the instrument if it states none itself.
    pub fn taking_reference(self, of_instrument: Option<Reference>) -> Result<Self, QuantityError> {
        if self.unit.dimension() != crate::unit::Dimension::Pressure {
            return Ok(self);
        }
        Self::new(
            self.low,
            self.high,
            self.unit,
            self.reference.or(of_instrument),
        )
    }

    /// The window with both limits raised by a quantity: final torque is wanted torque and prevailing torque (FAA AC 43.13-1B 7-40).
    pub fn raised_by(&self, more: &Quantity) -> Result<Self, QuantityError> {
        let raise = |limit: Quantity| limit.sum(more).map(|q| q.decimal());
        let low = self.low().map(raise).transpose()?;
        let high = self.high().map(raise).transpose()?;
        Self::new(low, high, self.unit, self.reference)
    }

    /// Where a reading lies: WITHIN, LOW or HIGH, compared exactly.
    pub fn judge(&self, reading: &Quantity) -> Result<Judgement, QuantityError> {
        reading.same_kind(self.unit, self.reference)?;
        if reading.unit() == self.unit
            && let Ok(judged) = self.judge_same_unit(reading.decimal())
        {
            return Ok(judged);
        }
        let (place, from, far) = self.judge_exactly(reading)?;
        let distance = Quantity::new(far.to_short_decimal()?, self.unit, None)?;
        Ok(Judgement {
            place,
            distance,
            from,
        })
    }

    /// The distance of [`Window::judge`], not rounded: beyond the limit when out, to the nearest limit when in, in the window's unit.
    pub fn exact_distance(&self, reading: &Quantity) -> Result<Rational, QuantityError> {
        reading.same_kind(self.unit, self.reference)?;
        self.judge_exactly(reading).map(|(.., far)| far)
    }

    fn judge_exactly(&self, reading: &Quantity) -> Result<(Place, Limit, Rational), QuantityError> {
        let value = reading.exact_in(self.unit)?;
        let low = self.low.map(Rational::from);
        let high = self.high.map(Rational::from);
        let far = |from| {
            let limit = match from {
                Limit::Low => low,
                Limit::High => high,
            };
            Ok(value.minus(limit.unwrap_or(value))?.abs())
        };
        let (place, from) = place_of(&value, low.as_ref(), high.as_ref(), far)?;
        Ok((place, from, far(from)?))
    }

    /// The same in plain decimals; refused where a distance has more than 12 digits, which fractions can still round.
    fn judge_same_unit(&self, value: Decimal) -> Result<Judgement, QuantityError> {
        let limit = |from| match from {
            Limit::Low => self.low.unwrap_or(value),
            Limit::High => self.high.unwrap_or(value),
        };
        let (place, from) = place_of(&value, self.low.as_ref(), self.high.as_ref(), |end| {
            Ok(value.minus(limit(end))?.abs())
        })?;
        let distance = Quantity::new(value.minus(limit(from))?.abs(), self.unit, None)?;
        Ok(Judgement {
            place,
            distance,
            from,
        })
    }

    /// The window in the unit of another scale with so many decimals, each limit rounded inward so that what is shown never allows more.
    pub fn shown_in(&self, unit: Unit, decimals: u8) -> Result<Self, QuantityError> {
        let low = self
            .low()
            .map(|q| q.to(unit, decimals, Rounding::Up))
            .transpose()?;
        let high = self
            .high()
            .map(|q| q.to(unit, decimals, Rounding::Down))
            .transpose()?;
        self.narrowed(low.map(|q| q.decimal()), high.map(|q| q.decimal()), unit)
    }

    /// The window on a scale with that resolution (its smallest step), each limit moved inward to a mark of the scale.
    pub fn shown_at(&self, resolution: &Quantity) -> Result<Self, QuantityError> {
        let (unit, step) = (resolution.unit(), Rational::from(resolution.decimal()));
        let on_mark = |limit: Quantity, rounding| -> Result<Decimal, QuantityError> {
            let marks = limit.exact_in(unit)?.over(step)?.round_whole(rounding);
            let value = step.times(Rational::new(marks, 1)?)?;
            value.round_to(resolution.decimal().decimals(), Rounding::Nearest)
        };
        let low = self.low().map(|q| on_mark(q, Rounding::Up)).transpose()?;
        let high = self
            .high()
            .map(|q| on_mark(q, Rounding::Down))
            .transpose()?;
        self.narrowed(low, high, unit)
    }

    fn narrowed(
        &self,
        low: Option<Decimal>,
        high: Option<Decimal>,
        unit: Unit,
    ) -> Result<Self, QuantityError> {
        Self::new(low, high, unit, self.reference).map_err(|refused| match refused {
            QuantityError::Impossible { .. } => QuantityError::NoMarkInside {
                window: self.to_string(),
            },
            other => other,
        })
    }
}

/// Place and nearest limit of a value of any ordered kind; `far` gives its distance from a limit.
fn place_of<T: Ord>(
    value: &T,
    low: Option<&T>,
    high: Option<&T>,
    far: impl Fn(Limit) -> Result<T, QuantityError>,
) -> Result<(Place, Limit), QuantityError> {
    if low.is_some_and(|low| value < low) {
        return Ok((Place::Low, Limit::Low));
    }
    if high.is_some_and(|high| value > high) {
        return Ok((Place::High, Limit::High));
    }
    let high_is_nearer = match (low, high) {
        (Some(_), Some(_)) => far(Limit::High)? < far(Limit::Low)?,
        _ => low.is_none(),
    };
    let from = if high_is_nearer {
        Limit::High
    } else {
        Limit::Low
    };
    Ok((Place::Within, from))
}

/// The low limit: a number alone, its unit follows at the end.
fn limit_of(front: &str, whole: &str) -> Result<Decimal, QuantityError> {
    let (number, rest) = split_number(front)?;
    if rest.is_empty() {
        Decimal::parse(number)
    } else {
        Err(QuantityError::NotAWindow(whole.to_owned()))
    }
}

impl PartialEq for Window {
    fn eq(&self, other: &Self) -> bool {
        let alike = |a: Option<Decimal>, b: Option<Decimal>| match (a, b) {
            (Some(a), Some(b)) => a.same_text(b),
            (None, None) => true,
            _ => false,
        };
        alike(self.low, other.low)
            && alike(self.high, other.high)
            && self.unit == other.unit
            && self.reference == other.reference
    }
}

impl Eq for Window {}

impl fmt::Display for Window {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(low) = self.low {
            write!(f, "{low}")?;
        }
        f.write_str("..")?;
        if let Some(high) = self.high {
            write!(f, "{high}")?;
        }
        write!(f, " {}", self.unit)?;
        match self.reference {
            Some(reference) => write!(f, " {reference}"),
            None => Ok(()),
        }
    }
}

impl FromStr for Window {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

as_text!(Window);

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Within => "WITHIN",
            Self::Low => "LOW",
            Self::High => "HIGH",
        })
    }
}

impl FromStr for Place {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text {
            "WITHIN" => Ok(Self::Within),
            "LOW" => Ok(Self::Low),
            "HIGH" => Ok(Self::High),
            _ => Err(QuantityError::UnknownWord {
                text: text.to_owned(),
                choices: "WITHIN, LOW, HIGH",
            }),
        }
    }
}

as_text!(Place);

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Low => "low",
            Self::High => "high",
        })
    }
}
