//! The order in which the fasteners of a joint are tightened.
//!
//! Positions are numbered clockwise from the top. The halving rule (12 o'clock, 6, then 3 and 9, then halve the angle each time) gives exactly
//! the published cross patterns of 4, 8, 12, 16, 20 and 24 bolts (bolting work sheet in the style of ASME PCC-1); other counts follow the same
//! rule (common practice, none published).

use core::fmt;
use core::str::FromStr;

use thiserror::Error;

/// The fewest and the most fasteners of one joint.
pub const FASTENERS: core::ops::RangeInclusive<u8> = 2..=64;

/// Why there is no order.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum OrderError {
    /// Too few or too many fasteners.
    #[error("no order for so many fasteners: {0}; give a number from 2 to 64")]
    Count(u64),
    /// The pattern is published for another count.
    #[error("the pattern cross-2 is published for 12 fasteners only, not for {0}; take cross")]
    NotPublished(u8),
    /// The word names no pattern.
    #[error("{0:?} is no pattern; type one of cross, cross-2, circular, straight")]
    UnknownPattern(String),
}

/// A way round the fasteners.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Pattern {
    /// Opposite pairs, the angle halved each time.
    #[default]
    Cross,
    /// The second published star, for 12 fasteners (US Army TB 9-3950-253-13&P).
    Cross2,
    /// One after the other round the circle.
    Circular,
    /// A row: from the middle outward, side by side.
    Straight,
}

impl Pattern {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Cross => "cross",
            Self::Cross2 => "cross-2",
            Self::Circular => "circular",
            Self::Straight => "straight",
        }
    }
}

/// The positions in the order of tightening.
pub fn order(fasteners: u8, pattern: Pattern) -> Result<Vec<u8>, OrderError> {
    if !FASTENERS.contains(&fasteners) {
        return Err(OrderError::Count(fasteners.into()));
    }
    match pattern {
        Pattern::Cross => Ok(cross(fasteners)),
        Pattern::Cross2 if fasteners == 12 => Ok(vec![1, 7, 4, 10, 2, 8, 6, 12, 5, 11, 9, 3]),
        Pattern::Cross2 => Err(OrderError::NotPublished(fasteners)),
        Pattern::Circular => Ok((1..=fasteners).collect()),
        Pattern::Straight => Ok(straight(fasteners)),
    }
}

/// Opposite pairs; with an odd number the partner is the position next to the opposite point, and the one left over comes last.
fn cross(n: u8) -> Vec<u8> {
    let apart = n.div_ceil(2);
    let mut order: Vec<u8> = first_of_pairs(n / 2)
        .into_iter()
        .flat_map(|first| [first, first + apart])
        .collect();
    if n % 2 == 1 {
        order.push(apart);
    }
    order
}

/// The order of the pairs, named by their first position: always about a quarter of the circle on, until all are in.
fn first_of_pairs(pairs: u8) -> Vec<u8> {
    match pairs {
        1 => vec![1],
        _ if pairs.is_multiple_of(2) => first_of_pairs(pairs / 2)
            .into_iter()
            .flat_map(|p| [p, p + pairs / 2])
            .collect(),
        // (pairs - 1)/2 has no factor in common with an odd number of pairs, so the steps come past each once.
        _ => {
            let step = u16::from((pairs - 1) / 2);
            (0..u16::from(pairs))
                .map(|turn| 1 + u8::try_from(turn * step % u16::from(pairs)).unwrap_or(0))
                .collect()
        }
    }
}

/// From the middle outward (US Army TB 9-3950-253-13&P: nine in a row are taken 5, 6, 4, 7, 3, 8, 2, 9, 1).
fn straight(n: u8) -> Vec<u8> {
    let middle = n.div_ceil(2);
    let mut order = vec![middle];
    for away in 1..=middle {
        if middle + away <= n {
            order.push(middle + away);
        }
        if middle > away {
            order.push(middle - away);
        }
    }
    order
}

impl fmt::Display for Pattern {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

impl FromStr for Pattern {
    type Err = OrderError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        [Self::Cross, Self::Cross2, Self::Circular, Self::Straight]
            .into_iter()
            .find(|pattern| pattern.word() == text.trim().to_lowercase())
            .ok_or_else(|| OrderError::UnknownPattern(text.trim().to_owned()))
    }
}

as_text!(Pattern);
