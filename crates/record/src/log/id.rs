//! Identifiers that two laptops without a network never both issue: 80 random bits in Crockford base32.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

const DIGITS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// Characters a beginning needs before it may stand for the whole identifier.
pub const SHORTEST_BEGINNING: usize = 4;

/// 80 random bits; text `K7QF-3MZD-R2VA-9TXH`.
///
/// Read forgivingly (any case, O as 0, I and L as 1, hyphens and blanks free), written in one way only.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Id([u8; 10]);

/// Text that is no identifier.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("an identifier is 16 letters and digits in groups of four, such as K7QF-3MZD-R2VA-9TXH")]
pub struct IdText;

impl Id {
    /// The identifier of ten random bytes; the caller brings the randomness.
    #[must_use]
    pub const fn from_bytes(bytes: [u8; 10]) -> Self {
        Self(bytes)
    }

    /// Its ten bytes.
    #[must_use]
    pub const fn bytes(&self) -> [u8; 10] {
        self.0
    }

    /// Reads an identifier as a person types it.
    pub fn parse(text: &str) -> Result<Self, IdText> {
        let digits = digits_of(text).ok_or(IdText)?;
        if digits.len() != 16 {
            return Err(IdText);
        }
        Ok(Self::of_digits(digits))
    }

    /// The identifier of sixteen base32 values.
    fn of_digits(digits: impl IntoIterator<Item = u8>) -> Self {
        let mut bits: u128 = 0;
        for digit in digits {
            bits = bits << 5 | u128::from(digit);
        }
        let wide = bits.to_be_bytes();
        let mut bytes = [0; 10];
        bytes.copy_from_slice(&wide[6..]);
        Self(bytes)
    }

    /// Whether `beginning` (at least [`SHORTEST_BEGINNING`] characters, read forgivingly) begins this identifier.
    /// Whether it does so for one identifier only is for the caller to see.
    #[must_use]
    pub fn begins_with(&self, beginning: &str) -> bool {
        digits_of(beginning).is_some_and(|digits| {
            digits.len() >= SHORTEST_BEGINNING
                && digits.len() <= 16
                && self.digits().starts_with(&digits)
        })
    }

    /// The last `count` characters without hyphens, for "type the last characters".
    #[must_use]
    pub fn ending(&self, count: usize) -> String {
        let digits = self.digits();
        digits[16 - count.min(16)..]
            .iter()
            .map(|digit| char::from(DIGITS[usize::from(*digit)]))
            .collect()
    }

    fn digits(self) -> [u8; 16] {
        let mut wide = [0; 16];
        wide[6..].copy_from_slice(&self.0);
        let bits = u128::from_be_bytes(wide);
        let mut digits = [0; 16];
        for (place, digit) in digits.iter_mut().enumerate() {
            *digit = (bits >> (75 - 5 * place) & 31) as u8;
        }
        digits
    }
}

/// Base32 values of the text, hyphens and blanks passed over; `None` at the first character that is no digit.
fn digits_of(text: &str) -> Option<Vec<u8>> {
    let mut digits = Vec::with_capacity(16);
    for letter in text.chars() {
        let plain = match letter.to_ascii_uppercase() {
            '-' | ' ' => continue,
            'O' => '0',
            'I' | 'L' => '1',
            other => other,
        };
        digits.push(value_of(u8::try_from(plain).ok()?)?);
    }
    Some(digits)
}

/// Base32 value of a character as it is written.
fn value_of(letter: u8) -> Option<u8> {
    let value = DIGITS.iter().position(|digit| *digit == letter)?;
    u8::try_from(value).ok()
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut text = String::with_capacity(19);
        for (place, digit) in self.digits().into_iter().enumerate() {
            if place > 0 && place % 4 == 0 {
                text.push('-');
            }
            text.push(char::from(DIGITS[usize::from(digit)]));
        }
        f.write_str(&text)
    }
}

impl fmt::Debug for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Id({self})")
    }
}

impl FromStr for Id {
    type Err = IdText;
    fn from_str(text: &str) -> Result<Self, IdText> {
        Self::parse(text)
    }
}

impl Serialize for Id {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// Strict, unlike [`Id::parse`]: what stands in a record has one spelling.
impl<'de> Deserialize<'de> for Id {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::strict(&text).ok_or_else(|| serde::de::Error::custom(IdText))
    }
}

impl Id {
    /// Reads only the one spelling that [`fmt::Display`] writes. Every entry names several, hence without a copy of the text.
    pub(crate) fn strict(text: &str) -> Option<Self> {
        let letters: &[u8; 19] = text.as_bytes().try_into().ok()?;
        let mut digits = [0; 16];
        let mut next = digits.iter_mut();
        for (place, letter) in letters.iter().enumerate() {
            if place % 5 == 4 {
                (*letter == b'-').then_some(())?;
            } else {
                *next.next()? = value_of(*letter)?;
            }
        }
        Some(Self::of_digits(digits))
    }
}
