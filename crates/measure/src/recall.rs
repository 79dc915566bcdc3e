//! An instrument found out: its readings judged again with its error taken out.

use core::fmt;

use thiserror::Error;

use crate::error::QuantityError;
use crate::exact::Rational;
use crate::quantity::Quantity;
use crate::window::{Place, Window};

/// One point of the bench: what was true, and what the instrument showed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BenchPoint {
    /// True value.
    pub truth: Quantity,
    /// What the instrument showed then.
    pub shown: Quantity,
}

/// Why bench points say nothing.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum RecallError {
    /// None given.
    #[error("no bench point; give at least one, for example true 100 N·m, shown 108 N·m")]
    NoPoints,
    /// One shown value with two truths.
    #[error("the bench showed {0} for two different true values; check the points")]
    TwoTruths(String),
    /// Numbers that cannot be worked out.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
}

/// Why a reading cannot be judged again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CannotSay {
    /// It lies outside the points of the bench.
    OutsideBench,
    /// True values do not rise with shown ones there: one shown value may have several truths.
    BenchNotRising,
}

/// A reading judged again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rejudged {
    /// It can be said where it lies.
    Placed {
        /// Where it was judged to lie.
        before: Place,
        /// Where it lies with the error taken out.
        now: Place,
        /// The reading with the error taken out, in its own unit, rounded for showing.
        corrected: Quantity,
    },
    /// It cannot be said.
    CannotSay(CannotSay),
}

impl Rejudged {
    /// Whether the first verdict no longer holds.
    pub fn has_changed(&self) -> bool {
        matches!(self, Self::Placed { before, now, .. } if before != now)
    }
}

impl fmt::Display for Rejudged {
    /// `still WITHIN`, `now LOW`, `now HIGH`, `cannot say`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Placed { before, now, .. } if before == now => write!(f, "still {now}"),
            Self::Placed { now, .. } => write!(f, "now {now}"),
            Self::CannotSay(_) => f.write_str("cannot say"),
        }
    }
}

/// The error curve of an instrument from its bench points: straight between them, nothing beyond them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ErrorCurve {
    points: Vec<BenchPoint>,
    /// True and shown in base units, sorted by shown.
    base: Vec<(Rational, Rational)>,
}

impl ErrorCurve {
    /// A curve through points of one kind, in any order.
    pub fn new(points: &[BenchPoint]) -> Result<Self, RecallError> {
        let first = points.first().ok_or(RecallError::NoPoints)?;
        let mut sorted = Vec::with_capacity(points.len());
        for point in points {
            for value in [&point.truth, &point.shown] {
                value.same_kind(first.shown.unit(), first.shown.reference())?;
            }
            sorted.push((point.truth.base()?, point.shown.base()?, *point));
        }
        sorted.sort_by_key(|(_, shown, _)| *shown);
        if let Some(pair) = sorted
            .windows(2)
            .find(|pair| pair[0].1 == pair[1].1 && pair[0].0 != pair[1].0)
        {
            return Err(RecallError::TwoTruths(pair[0].2.shown.to_string()));
        }
        sorted.dedup_by(|a, b| a.1 == b.1);
        let base = sorted
            .iter()
            .map(|(truth, shown, _)| (*truth, *shown))
            .collect();
        Ok(Self {
            points: sorted.into_iter().map(|(.., point)| point).collect(),
            base,
        })
    }

    /// The points, by what was shown.
    pub fn points(&self) -> &[BenchPoint] {
        &self.points
    }

    /// The true value in base units behind a reading, exactly.
    fn truth_of(&self, reading: &Quantity) -> Result<Result<Rational, CannotSay>, QuantityError> {
        let shown = reading.base()?;
        let above = self.base.partition_point(|(_, at)| *at < shown);
        match self.base.get(above) {
            None => Ok(Err(CannotSay::OutsideBench)),
            // On the point itself: no neighbour is needed.
            Some((truth, at)) if *at == shown => Ok(self
                .rising_at(above)
                .then_some(*truth)
                .ok_or(CannotSay::BenchNotRising)),
            Some(_) if above == 0 => Ok(Err(CannotSay::OutsideBench)),
            Some((truth, at)) => {
                let (truth_below, at_below) = self.base[above - 1];
                if truth <= &truth_below {
                    return Ok(Err(CannotSay::BenchNotRising));
                }
                let share = shown.minus(at_below)?.over(at.minus(at_below)?)?;
                Ok(Ok(
                    truth_below.plus(share.times(truth.minus(truth_below)?)?)?
                ))
            }
        }
    }

    /// Whether true values rise through a point.
    fn rising_at(&self, point: usize) -> bool {
        let rises = |a: usize, b: usize| match (self.base.get(a), self.base.get(b)) {
            (Some(low), Some(high)) => low.0 < high.0,
            _ => true,
        };
        (point == 0 || rises(point - 1, point)) && rises(point, point + 1)
    }

    /// A reading with the instrument's error taken out, in its own unit, to so many decimals `beyond` those that were read: for
    /// what is worked out further from it, such as the torque at the nut behind an adapter.
    ///
    /// # Errors
    /// A reading of another kind than the bench points, or numbers that cannot be worked out.
    pub fn corrected(
        &self,
        reading: &Quantity,
        beyond: u8,
    ) -> Result<Result<Quantity, CannotSay>, RecallError> {
        self.kind_of(reading)?;
        match self.truth_of(reading)? {
            Ok(truth) => Ok(Ok(rounded(truth, reading, beyond)?)),
            Err(why) => Ok(Err(why)),
        }
    }

    fn kind_of(&self, reading: &Quantity) -> Result<(), RecallError> {
        if let Some(first) = self.points.first() {
            reading.same_kind(first.shown.unit(), first.shown.reference())?;
        }
        Ok(())
    }

    /// Judges a reading again with the instrument's error taken out.
    pub fn rejudge(&self, window: &Window, reading: &Quantity) -> Result<Rejudged, RecallError> {
        self.kind_of(reading)?;
        let before = window.judge(reading)?.place;
        let truth = match self.truth_of(reading)? {
            Ok(truth) => truth,
            Err(why) => return Ok(Rejudged::CannotSay(why)),
        };
        let at = |limit: Option<Quantity>| limit.map(|q| q.base()).transpose();
        let now = match (at(window.low())?, at(window.high())?) {
            (Some(low), _) if truth < low => Place::Low,
            (_, Some(high)) if truth > high => Place::High,
            _ => Place::Within,
        };
        let corrected = shown_as(truth, reading)?;
        Ok(Rejudged::Placed {
            before,
            now,
            corrected,
        })
    }
}

/// A true value in base units in the unit of a reading.
fn in_unit_of(truth: Rational, reading: &Quantity) -> Result<Rational, QuantityError> {
    truth
        .over(reading.unit().factor())?
        .minus(reading.unit().offset())
}

/// A true value as it is shown: exactly where it ends, else to two decimals beyond those that were read.
fn shown_as(truth: Rational, reading: &Quantity) -> Result<Quantity, QuantityError> {
    match in_unit_of(truth, reading)?.to_exact_decimal() {
        Some(exact) => Quantity::new(exact, reading.unit(), reading.reference()),
        None => rounded(truth, reading, 2),
    }
}

/// A true value to so many decimals beyond those that were read, six at most, without noughts at the end.
fn rounded(truth: Rational, reading: &Quantity, beyond: u8) -> Result<Quantity, QuantityError> {
    let decimals = reading.decimal().decimals().saturating_add(beyond).min(6);
    let decimal =
        in_unit_of(truth, reading)?.round_to(decimals, crate::exact::Rounding::Nearest)?;
    let short = Rational::from(decimal).to_short_decimal()?;
    Quantity::new(short, reading.unit(), reading.reference())
}
