//! Numbers that are never rounded behind anybody's back: [`Decimal`], a number as a person typed it, and [`Rational`], a fraction.
//!
//! A verdict is worked out with these alone. Every operation is checked: what would not fit is an error, never a rounded answer.

use core::cmp::Ordering;
use core::fmt;

use crate::error::QuantityError;

/// The most significant digits a typed number may have.
pub const MOST_DIGITS: usize = 12;

/// The smallest whole number of more than [`MOST_DIGITS`] digits.
const FIRST_TOO_LARGE: u64 = 1_000_000_000_000;

/// The most decimals a typed number may have.
pub const MOST_DECIMALS: u8 = 12;

/// A decimal number of at most 12 significant digits, with its trailing zeros: `12.50` is not `12.5`, though both compare equal.
#[derive(Clone, Copy, Debug)]
pub struct Decimal {
    digits: i64,
    decimals: u8,
}

impl Decimal {
    /// `digits × 10^-decimals`, refused above 12 significant digits or 12 decimals.
    pub fn new(digits: i64, decimals: u8) -> Result<Self, QuantityError> {
        if digits.unsigned_abs() >= FIRST_TOO_LARGE || decimals > MOST_DECIMALS {
            return Err(QuantityError::TooManyDigits);
        }
        Ok(Self { digits, decimals })
    }

    /// Reads digits as typed: `12`, `12.50`, `12,5`, `.02`, `+3`, `-0.1`; nothing else may stand in the text.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        let shown = || text.trim().to_owned();
        let (negative, rest) = sign_off(text.trim());
        if rest.is_empty() {
            return Err(QuantityError::NoNumber(shown()));
        }
        let marks: Vec<(usize, char)> = rest
            .char_indices()
            .filter(|(_, c)| matches!(c, '.' | ','))
            .collect();
        if rest
            .chars()
            .any(|c| matches!(c, ' ' | '\'' | '_' | '\u{a0}' | '\u{202f}' | '’'))
            || marks.len() > 1
        {
            return Err(QuantityError::Thousands(shown()));
        }
        if !rest
            .chars()
            .all(|c| c.is_ascii_digit() || matches!(c, '.' | ','))
        {
            return Err(QuantityError::NoNumber(shown()));
        }
        let (whole, fraction) = match marks.first() {
            None => (rest, ""),
            Some((at, mark)) => {
                let (whole, fraction) = (&rest[..*at], &rest[at + 1..]);
                // 1,234 is one and a bit to one reader and a thousand and more to the next.
                let grouped = fraction.len() == 3
                    && (1..=3).contains(&whole.len())
                    && !whole.starts_with('0');
                if *mark == ',' && grouped {
                    return Err(QuantityError::Thousands(shown()));
                }
                if fraction.is_empty() {
                    return Err(QuantityError::NoNumber(shown()));
                }
                (whole, fraction)
            }
        };
        let all: String = format!("{whole}{fraction}")
            .trim_start_matches('0')
            .to_owned();
        if all.len() > MOST_DIGITS || fraction.len() > usize::from(MOST_DECIMALS) {
            return Err(QuantityError::TooManyDigits);
        }
        let size: i64 = if all.is_empty() {
            0
        } else {
            all.parse().map_err(|_| QuantityError::TooManyDigits)?
        };
        let decimals = u8::try_from(fraction.len()).map_err(|_| QuantityError::TooManyDigits)?;
        Self::new(if negative { -size } else { size }, decimals)
    }

    /// The digits without the point: `12.50` gives 1250.
    pub fn digits(self) -> i64 {
        self.digits
    }

    /// How many digits stand behind the point: `12.50` gives 2.
    pub fn decimals(self) -> u8 {
        self.decimals
    }

    /// The number as a fraction.
    pub fn to_rational(self) -> Rational {
        Rational {
            num: i128::from(self.digits),
            den: ten_to(self.decimals),
        }
    }

    /// The nearest 64-bit float; for pictures and probabilities, never for a verdict.
    #[expect(
        clippy::cast_precision_loss,
        reason = "12 digits fit a float exactly; the division rounds once"
    )]
    pub fn to_f64(self) -> f64 {
        self.digits as f64 / 10f64.powi(i32::from(self.decimals))
    }

    /// The decimal nearest to a float, with so many decimals; for results of physics, never for what was read.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "bounds are checked just before"
    )]
    pub fn from_f64(value: f64, decimals: u8) -> Result<Self, QuantityError> {
        let scaled = (value * 10f64.powi(i32::from(decimals))).round();
        if !scaled.is_finite() || scaled.abs() >= 1e12 {
            return Err(QuantityError::TooManyDigits);
        }
        Self::new(scaled as i64, decimals)
    }

    /// `self - other`, with the decimals of the finer of the two.
    pub fn minus(self, other: Self) -> Result<Self, QuantityError> {
        let decimals = self.decimals.max(other.decimals);
        let left = i128::from(self.digits) * ten_to(decimals - self.decimals);
        let right = i128::from(other.digits) * ten_to(decimals - other.decimals);
        Self::new(
            i64::try_from(left - right).map_err(|_| QuantityError::TooManyDigits)?,
            decimals,
        )
    }

    /// The number without its sign.
    #[must_use]
    pub fn abs(self) -> Self {
        Self {
            digits: self.digits.abs(),
            decimals: self.decimals,
        }
    }

    /// Whether digits and number of decimals are both the same: equal as written, not only in worth.
    pub fn same_text(self, other: Self) -> bool {
        self.digits == other.digits && self.decimals == other.decimals
    }
}

impl PartialEq for Decimal {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Decimal {}

impl PartialOrd for Decimal {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Decimal {
    fn cmp(&self, other: &Self) -> Ordering {
        // 12 digits times 10^12 fit an i128 with room to spare.
        let left = i128::from(self.digits) * ten_to(other.decimals);
        let right = i128::from(other.digits) * ten_to(self.decimals);
        left.cmp(&right)
    }
}

impl fmt::Display for Decimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.digits < 0 { "-" } else { "" };
        let size = self.digits.unsigned_abs();
        if self.decimals == 0 {
            return write!(f, "{sign}{size}");
        }
        let cut = 10u64.pow(u32::from(self.decimals));
        write!(
            f,
            "{sign}{}.{:0width$}",
            size / cut,
            size % cut,
            width = usize::from(self.decimals)
        )
    }
}

/// Takes a leading sign off; the minus of the keyboard and the printed minus both count.
fn sign_off(text: &str) -> (bool, &str) {
    if let Some(rest) = text.strip_prefix('+') {
        return (false, rest);
    }
    match text
        .strip_prefix('-')
        .or_else(|| text.strip_prefix('\u{2212}'))
    {
        Some(rest) => (true, rest),
        None => (false, text),
    }
}

/// 10 to a power of at most 38.
fn ten_to(power: u8) -> i128 {
    10i128.pow(u32::from(power))
}

/// Which way a number is rounded when it is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// Towards minus infinity.
    Down,
    /// Towards plus infinity.
    Up,
    /// To the nearest; a half goes away from zero.
    Nearest,
}

/// An exact fraction, its denominator positive; brought to lowest terms only where its parts would not fit otherwise.
#[derive(Clone, Copy, Debug)]
pub struct Rational {
    num: i128,
    den: i128,
}

impl Rational {
    /// Nought.
    pub const ZERO: Self = Self { num: 0, den: 1 };

    /// `num / den` in lowest terms; for constants. `den` must be above zero.
    pub(crate) const fn lowest(num: i128, den: i128) -> Self {
        let common = common_factor(num.unsigned_abs(), den.unsigned_abs());
        Self {
            num: num / common,
            den: den / common,
        }
    }

    /// Product in lowest terms, for constants.
    pub(crate) const fn times_const(self, other: Self) -> Self {
        Self::lowest(self.num * other.num, self.den * other.den)
    }

    /// Quotient in lowest terms, for constants; `other` must be above zero.
    pub(crate) const fn over_const(self, other: Self) -> Self {
        Self::lowest(self.num * other.den, self.den * other.num)
    }

    /// `num / den`; refused when `den` is nought or the sign does not fit.
    pub fn new(num: i128, den: i128) -> Result<Self, QuantityError> {
        if den == 0 || num == i128::MIN || den == i128::MIN {
            return Err(QuantityError::Overflow);
        }
        let (num, den) = if den < 0 { (-num, -den) } else { (num, den) };
        Ok(Self::lowest(num, den))
    }

    /// Whether it is below zero.
    pub fn is_negative(self) -> bool {
        self.num < 0
    }

    /// `self × other`.
    pub fn times(self, other: Self) -> Result<Self, QuantityError> {
        if let Some(plain) = self.times_plain(other) {
            return Ok(plain);
        }
        // Taking common factors out, crosswise too, keeps the products as small as they can be.
        let (a, b) = (self.reduced(), other.reduced());
        let left = Self::lowest(a.num, b.den);
        let right = Self::lowest(b.num, a.den);
        left.times_plain(right).ok_or(QuantityError::Overflow)
    }

    fn times_plain(self, other: Self) -> Option<Self> {
        let num = self.num.checked_mul(other.num)?;
        let den = self.den.checked_mul(other.den)?;
        (num != i128::MIN).then_some(Self { num, den })
    }

    /// `self ÷ other`; dividing by nought is refused.
    pub fn over(self, other: Self) -> Result<Self, QuantityError> {
        match other.num {
            0 => Err(QuantityError::Overflow),
            num if num < 0 => self.times(Self {
                num: -other.den,
                den: -num,
            }),
            num => self.times(Self {
                num: other.den,
                den: num,
            }),
        }
    }

    /// `self + other`.
    pub fn plus(self, other: Self) -> Result<Self, QuantityError> {
        if let Some(plain) = self.plus_plain(other) {
            return Ok(plain);
        }
        self.reduced()
            .plus_plain(other.reduced())
            .ok_or(QuantityError::Overflow)
    }

    fn plus_plain(self, other: Self) -> Option<Self> {
        let (num, den) = if self.den == other.den {
            (self.num.checked_add(other.num)?, self.den)
        } else if let (Some(a), Some(b), Some(den)) = (
            self.num.checked_mul(other.den),
            other.num.checked_mul(self.den),
            self.den.checked_mul(other.den),
        ) {
            (a.checked_add(b)?, den)
        } else {
            let common = common_factor(self.den.unsigned_abs(), other.den.unsigned_abs());
            let (left, right) = (other.den / common, self.den / common);
            let (a, b) = (self.num.checked_mul(left)?, other.num.checked_mul(right)?);
            (a.checked_add(b)?, self.den.checked_mul(left)?)
        };
        (num != i128::MIN).then_some(Self { num, den })
    }

    /// `self - other`.
    pub fn minus(self, other: Self) -> Result<Self, QuantityError> {
        self.plus(Self {
            num: -other.num,
            den: other.den,
        })
    }

    /// The same number in lowest terms.
    fn reduced(self) -> Self {
        Self::lowest(self.num, self.den)
    }

    /// The number without its sign.
    #[must_use]
    pub fn abs(self) -> Self {
        Self {
            num: self.num.abs(),
            den: self.den,
        }
    }

    /// The nearest float, to a few units in its last place.
    #[expect(clippy::cast_precision_loss, reason = "a float is asked for")]
    pub fn to_f64(self) -> f64 {
        self.num as f64 / self.den as f64
    }

    /// The number with so many decimals.
    pub fn round_to(self, decimals: u8, rounding: Rounding) -> Result<Decimal, QuantityError> {
        let scaled = self.times(Self {
            num: ten_to(decimals.min(MOST_DECIMALS)),
            den: 1,
        })?;
        let digits = scaled.round_whole(rounding);
        Decimal::new(
            i64::try_from(digits).map_err(|_| QuantityError::TooManyDigits)?,
            decimals,
        )
    }

    /// The number rounded to whole ones.
    pub fn round_whole(self, rounding: Rounding) -> i128 {
        let down = self.num.div_euclid(self.den);
        let left = self.num.rem_euclid(self.den);
        let up = match rounding {
            Rounding::Down => false,
            Rounding::Up => left > 0,
            // Comparing with the rest says "a half or more" without doubling; a half goes away from zero.
            Rounding::Nearest => match left.cmp(&(self.den - left)) {
                Ordering::Less => false,
                Ordering::Equal => self.num > 0,
                Ordering::Greater => true,
            },
        };
        down + i128::from(up)
    }

    /// The number as a decimal if it is one of at most 12 digits, else `None`.
    pub fn to_exact_decimal(self) -> Option<Decimal> {
        let Self { mut num, mut den } = self.reduced();
        let mut decimals = 0u8;
        while den != 1 {
            if decimals == MOST_DECIMALS {
                return None;
            }
            num = num.checked_mul(10)?;
            decimals += 1;
            let common = common_factor(num.unsigned_abs(), den.unsigned_abs());
            num /= common;
            den /= common;
        }
        Decimal::new(i64::try_from(num).ok()?, decimals).ok()
    }
}

impl Rational {
    /// The exact decimal where 12 digits can say it, else the nearest with at most six decimals.
    pub fn to_short_decimal(self) -> Result<Decimal, QuantityError> {
        if let Some(exact) = self.to_exact_decimal() {
            return Ok(exact);
        }
        (0..=6)
            .rev()
            .find_map(|decimals| self.round_to(decimals, Rounding::Nearest).ok())
            .ok_or(QuantityError::TooManyDigits)
    }
}

impl From<Decimal> for Rational {
    fn from(decimal: Decimal) -> Self {
        decimal.to_rational()
    }
}

impl PartialEq for Rational {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Rational {}

impl PartialOrd for Rational {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Rational {
    fn cmp(&self, other: &Self) -> Ordering {
        match (self.num.signum(), other.num.signum()) {
            (a, b) if a != b => a.cmp(&b),
            (0, _) => Ordering::Equal,
            (sign, _) => {
                let left = wide_product(self.num.unsigned_abs(), other.den.unsigned_abs());
                let right = wide_product(other.num.unsigned_abs(), self.den.unsigned_abs());
                if sign > 0 {
                    left.cmp(&right)
                } else {
                    right.cmp(&left)
                }
            }
        }
    }
}

/// Product of two numbers as (upper, lower) half of 256 bits, so that a comparison never overflows.
fn wide_product(a: u128, b: u128) -> (u128, u128) {
    const LOW: u128 = u64::MAX as u128;
    if let Some(small) = a.checked_mul(b) {
        return (0, small);
    }
    let (a_up, a_low, b_up, b_low) = (a >> 64, a & LOW, b >> 64, b & LOW);
    let bottom = a_low * b_low;
    let cross = a_up * b_low + (bottom >> 64);
    let middle = a_low * b_up + (cross & LOW);
    (
        a_up * b_up + (cross >> 64) + (middle >> 64),
        (middle << 64) | (bottom & LOW),
    )
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    reason = "the values are checked to fit, or are divisors of i128 values"
)]
/// The greatest common divisor; 1 for two noughts, so that it may always be divided by.
const fn common_factor(a: u128, b: u128) -> i128 {
    if a == 0 || b == 0 {
        let only = a | b;
        return if only == 0 { 1 } else { only as i128 };
    }
    // Halving and subtracting: division of 128 bits is far slower.
    let shared = (a | b).trailing_zeros();
    let (mut a, mut b) = (a >> a.trailing_zeros(), b >> b.trailing_zeros());
    while a != b {
        if a > u64::MAX as u128 || b > u64::MAX as u128 {
            if a > b {
                a -= b;
                a >>= a.trailing_zeros();
            } else {
                b -= a;
                b >>= b.trailing_zeros();
            }
        } else {
            let (mut x, mut y) = (a as u64, b as u64);
            while y != 0 {
                (x, y) = (y, x % y);
            }
            (a, b) = (x as u128, x as u128);
        }
    }
    (a << shared) as i128
}
