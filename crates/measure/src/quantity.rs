//! A number with its unit, and for a pressure what it is measured against.

use core::cmp::Ordering;
use core::fmt;
use core::str::FromStr;

use crate::error::QuantityError;
use crate::exact::{Decimal, Rational, Rounding};
use crate::unit::{Dimension, Unit};

/// What a pressure is measured against.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Reference {
    /// Against the air outside; written `g`.
    Gauge,
    /// Against nothing; written `a`.
    Absolute,
    /// One place against another; written `d`.
    Differential,
}

impl Reference {
    /// The letter written behind the unit.
    pub fn letter(self) -> char {
        match self {
            Self::Gauge => 'g',
            Self::Absolute => 'a',
            Self::Differential => 'd',
        }
    }

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Gauge => "gauge",
            Self::Absolute => "absolute",
            Self::Differential => "differential",
        }
    }

    fn parse(word: &str) -> Option<Self> {
        match word
            .to_lowercase()
            .trim_matches(|c| matches!(c, '(' | ')' | '.'))
        {
            "g" | "ga" | "gauge" | "gage" => Some(Self::Gauge),
            "a" | "abs" | "absolute" => Some(Self::Absolute),
            "d" | "diff" | "differential" => Some(Self::Differential),
            _ => None,
        }
    }
}

impl fmt::Display for Reference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.letter())
    }
}

/// The word for a reference that may be unstated.
fn reference_word(reference: Option<Reference>) -> &'static str {
    reference.map_or("unstated (neither gauge nor absolute)", Reference::word)
}

/// A number with its unit, as written: trailing zeros are kept.
///
/// `==` asks whether both are *written* alike after canonical printing; [`Quantity::cmp_exact`] asks for their worth.
#[derive(Clone, Copy, Debug)]
pub struct Quantity {
    decimal: Decimal,
    unit: Unit,
    reference: Option<Reference>,
}

impl Quantity {
    /// A quantity from its parts; a reference is refused on anything but a pressure.
    pub fn new(
        decimal: Decimal,
        unit: Unit,
        reference: Option<Reference>,
    ) -> Result<Self, QuantityError> {
        if reference.is_some() && unit.dimension() != Dimension::Pressure {
            return Err(QuantityError::ReferenceOnOther(unit.symbol()));
        }
        Ok(Self {
            decimal,
            unit,
            reference,
        })
    }

    /// Reads a number with its unit in any spelling people type: `31 ft-lb`, `12,5Nm`, `3.5 bar g`, `45 psig`, `.02 mm`.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(QuantityError::Empty);
        }
        let (number, rest) = split_number(text)?;
        let decimal = Decimal::parse(number)?;
        if rest.is_empty() {
            return Err(QuantityError::NoUnit(number.to_owned()));
        }
        let (unit, reference) = parse_scale(rest)?;
        Self::new(decimal, unit, reference)
    }

    /// Binds digits to the scale of an instrument. A unit behind the digits is refused unless it is the scale's own.
    pub fn from_digits(
        typed: &str,
        unit: Unit,
        reference: Option<Reference>,
    ) -> Result<Self, QuantityError> {
        let text = typed.trim();
        if text.is_empty() {
            return Err(QuantityError::Empty);
        }
        let (number, rest) = split_number(text)?;
        let decimal = Decimal::parse(number)?;
        if !rest.is_empty() {
            let own =
                parse_scale(rest).is_ok_and(|(u, r)| u == unit && (r.is_none() || r == reference));
            if !own {
                let scale = reference.map_or_else(|| unit.to_string(), |r| format!("{unit} {r}"));
                return Err(QuantityError::NotTheScale {
                    scale,
                    typed: rest.to_owned(),
                });
            }
        }
        Self::new(decimal, unit, reference)
    }

    /// The number as written.
    pub fn decimal(&self) -> Decimal {
        self.decimal
    }

    /// Its unit.
    pub fn unit(&self) -> Unit {
        self.unit
    }

    /// What kind of thing it measures.
    pub fn dimension(&self) -> Dimension {
        self.unit.dimension()
    }

    /// What a pressure is measured against, if said.
    pub fn reference(&self) -> Option<Reference> {
        self.reference
    }

    /// The same pressure, taking the reference of the instrument it was read on if it states none itself.
    pub fn taking_reference(self, of_instrument: Option<Reference>) -> Result<Self, QuantityError> {
        if self.dimension() != Dimension::Pressure {
            return Ok(self);
        }
        Self::new(self.decimal, self.unit, self.reference.or(of_instrument))
    }

    /// Refuses what cannot be held against each other.
    pub(crate) fn same_kind(
        &self,
        unit: Unit,
        reference: Option<Reference>,
    ) -> Result<(), QuantityError> {
        if self.dimension() != unit.dimension() {
            return Err(QuantityError::DifferentKind {
                left: self.unit.symbol(),
                left_kind: self.dimension().words(),
                right: unit.symbol(),
                right_kind: unit.dimension().words(),
            });
        }
        if self.reference != reference {
            return Err(QuantityError::DifferentReference {
                left: reference_word(self.reference),
                right: reference_word(reference),
            });
        }
        Ok(())
    }

    /// Compares worth, exactly: 300 lbf·in equals 25 lbf·ft. No rounding takes place at any size.
    pub fn cmp_exact(&self, other: &Self) -> Result<Ordering, QuantityError> {
        self.same_kind(other.unit, other.reference)?;
        if self.unit == other.unit {
            return Ok(self.decimal.cmp(&other.decimal));
        }
        Ok(self.base()?.cmp(&other.base()?))
    }

    /// The worth in base units (SI; counts, percent and degrees of arc stand for themselves), exactly.
    pub fn base(&self) -> Result<Rational, QuantityError> {
        let value = Rational::from(self.decimal);
        if self.dimension() == Dimension::Temperature {
            return value.plus(self.unit.offset())?.times(self.unit.factor());
        }
        value.times(self.unit.factor())
    }

    /// The number it would be in another unit of the same kind, exactly.
    pub fn exact_in(&self, unit: Unit) -> Result<Rational, QuantityError> {
        self.same_kind(unit, self.reference)?;
        if self.unit == unit {
            return Ok(Rational::from(self.decimal));
        }
        if self.dimension() == Dimension::Temperature {
            return self.base()?.over(unit.factor())?.minus(unit.offset());
        }
        Rational::from(self.decimal).times(self.unit.factor().over(unit.factor())?)
    }

    /// The size of a difference in another unit, exactly: the zero points of temperature scales and references do not count.
    pub fn size_in(&self, unit: Unit) -> Result<Rational, QuantityError> {
        self.same_kind(unit, self.reference)?;
        Rational::from(self.decimal).times(self.unit.factor().over(unit.factor())?)
    }

    /// `self + other` in the unit of `self`, as for prevailing torque on top of a target; references must agree.
    ///
    /// Exact where 12 digits can say it, else rounded to the nearest with at most six decimals.
    pub fn sum(&self, other: &Self) -> Result<Self, QuantityError> {
        other.same_kind(self.unit, self.reference)?;
        let exact = Rational::from(self.decimal).plus(other.size_in(self.unit)?)?;
        Self::new(exact.to_short_decimal()?, self.unit, self.reference)
    }

    /// `self - other` in the unit of `self`; the difference of two pressures is a differential one.
    ///
    /// Exact where 12 digits can say it, else rounded to the nearest with at most six decimals.
    pub fn difference(&self, other: &Self) -> Result<Self, QuantityError> {
        other.same_kind(self.unit, self.reference)?;
        let exact = Rational::from(self.decimal).minus(other.exact_in(self.unit)?)?;
        let decimal = if self.unit == other.unit {
            self.decimal.minus(other.decimal)?
        } else {
            exact.to_short_decimal()?
        };
        let reference = self.reference.map(|_| Reference::Differential);
        Self::new(decimal, self.unit, reference)
    }

    /// The quantity in another unit, rounded to so many decimals for showing. A verdict never uses this.
    pub fn to(&self, unit: Unit, decimals: u8, rounding: Rounding) -> Result<Self, QuantityError> {
        let decimal = self.exact_in(unit)?.round_to(decimals, rounding)?;
        Self::new(decimal, unit, self.reference)
    }

    /// The number in another unit as a float, unrounded; for physics and pictures, never for a verdict.
    pub fn to_f64_in(&self, unit: Unit) -> Result<f64, QuantityError> {
        Ok(self.exact_in(unit)?.to_f64())
    }
}

impl PartialEq for Quantity {
    fn eq(&self, other: &Self) -> bool {
        self.decimal.same_text(other.decimal)
            && self.unit == other.unit
            && self.reference == other.reference
    }
}

impl Eq for Quantity {}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.decimal, self.unit)?;
        match self.reference {
            Some(reference) => write!(f, " {reference}"),
            None => Ok(()),
        }
    }
}

impl FromStr for Quantity {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

as_text!(Quantity);

/// Splits the number off the front of a text; what is left is its unit.
pub(crate) fn split_number(text: &str) -> Result<(&str, &str), QuantityError> {
    let digit_behind = |at: usize| {
        text[at..]
            .chars()
            .nth(1)
            .is_some_and(|c| c.is_ascii_digit())
    };
    let mut end = 0;
    for (at, c) in text.char_indices() {
        let sign = at == 0 && matches!(c, '+' | '-' | '\u{2212}');
        let grouping = at > 0
            && matches!(
                c,
                '.' | ',' | ' ' | '\'' | '_' | '\u{a0}' | '\u{202f}' | '’'
            )
            && digit_behind(at);
        if !(sign
            || c.is_ascii_digit()
            || grouping
            || (at == end && matches!(c, '.' | ',') && digit_behind(at)))
        {
            break;
        }
        end = at + c.len_utf8();
    }
    let (number, rest) = (&text[..end], text[end..].trim());
    if !number.chars().any(|c| c.is_ascii_digit()) {
        return Err(QuantityError::NoNumber(text.to_owned()));
    }
    let second = rest.trim_start_matches(['-', '–', '—', '…', '~', ' ']);
    if second.len() < rest.len() && second.starts_with(|c: char| c.is_ascii_digit()) {
        return Err(QuantityError::TwoNumbers(text.to_owned()));
    }
    if rest.starts_with('/') {
        return Err(QuantityError::Fraction(text.to_owned()));
    }
    let power = rest
        .strip_prefix(['e', 'E'])
        .is_some_and(|r| r.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '+'));
    if power || rest.starts_with('^') || rest.starts_with("×10") {
        return Err(QuantityError::PowerOfTen(text.to_owned()));
    }
    if rest.starts_with(['.', ',']) {
        return Err(QuantityError::NoNumber(text.to_owned()));
    }
    Ok((number, rest))
}

/// Reads the unit of a scale with its reference: `bar g`, `psig`, `inH2O(60°F) d`, `N·m`.
pub fn parse_scale(text: &str) -> Result<(Unit, Option<Reference>), QuantityError> {
    let text = text.trim();
    if let Some(unit) = Unit::look_up(text) {
        return Ok((unit, None));
    }
    let lettered = text
        .rsplit_once([' ', '('])
        .and_then(|(front, last)| Some((front, Reference::parse(last)?)));
    if let Some((front, reference)) = lettered {
        let unit = Unit::parse(front)?;
        if unit.dimension() != Dimension::Pressure {
            return Err(QuantityError::ReferenceOnOther(unit.symbol()));
        }
        return Ok((unit, Some(reference)));
    }
    // psig, bara, kPag: the letter written on to the unit.
    for reference in [
        Reference::Gauge,
        Reference::Absolute,
        Reference::Differential,
    ] {
        let front = text
            .strip_suffix(reference.letter())
            .or_else(|| text.strip_suffix(reference.letter().to_ascii_uppercase()));
        let unit = front.and_then(Unit::look_up);
        if let Some(unit) = unit.filter(|unit| unit.dimension() == Dimension::Pressure) {
            return Ok((unit, Some(reference)));
        }
    }
    Unit::parse(text).map(|unit| (unit, None))
}
