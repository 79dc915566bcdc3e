//! Instruments: what they may be wrong by, which part of their range may be used, and whether they fit a window.

use core::cmp::Ordering;
use core::fmt;
use core::str::FromStr;

use thiserror::Error;

use crate::error::QuantityError;
use crate::exact::{Decimal, Rational};
use crate::instrument_kind::InstrumentKind;
use crate::quantity::Quantity;
use crate::unit::{Dimension, Unit};
use crate::window::{Place, Window};

/// Classes of torque tools after ISO 6789 that share a permissible deviation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TorqueClass {
    /// Type I A, D; type II D, E, F, G: ±6 % (full class table from memory).
    Six,
    /// Type I B, C, E; type II A, B, C: ±4 % where the greatest torque is above 10 N·m, else ±6 % (type II A read, the rest from memory).
    FourAboveTen,
}

impl TorqueClass {
    /// The class named by type and letter, `ISO 6789 II A`; none for other text.
    pub fn named(text: &str) -> Option<Self> {
        let kind = text.trim().strip_prefix("ISO 6789")?.trim_start();
        let (kind, letter) = kind.rsplit_once(' ')?;
        match (kind.trim(), letter) {
            ("I", "A" | "D") | ("II", "D" | "E" | "F" | "G") => Some(Self::Six),
            ("I", "B" | "C" | "E") | ("II", "A" | "B" | "C") => Some(Self::FourAboveTen),
            _ => None,
        }
    }

    /// The permissible deviation of a tool of the class with that greatest torque.
    pub fn deviation(self, greatest: &Quantity) -> Result<Deviation, InstrumentError> {
        let ten = Quantity::new(Decimal::new(10, 0)?, Unit::NewtonMetre, None)?;
        let above = greatest.cmp_exact(&ten)? == Ordering::Greater;
        let percent = if self == Self::FourAboveTen && above {
            4
        } else {
            6
        };
        let share = Quantity::new(Decimal::new(percent, 0)?, Unit::Percent, None)?;
        Ok(Deviation::OfReading(share))
    }
}

/// What an instrument may be wrong by. Text `4 % of reading`, `0.5 % of full scale`, `0.05 bar`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Deviation {
    /// A percentage of the reading, as for torque wrenches.
    OfReading(Quantity),
    /// A percentage of full scale, as gauge classes give it.
    OfFullScale(Quantity),
    /// The same everywhere on the scale.
    Everywhere(Quantity),
}

impl Deviation {
    /// Whether it can stand beside a scale of that dimension: not negative, percentages as such, amounts in units of the scale.
    pub fn fits(&self, dimension: Dimension) -> bool {
        let (size, wanted) = match self {
            Self::OfReading(size) | Self::OfFullScale(size) => (size, Dimension::Percent),
            Self::Everywhere(size) => (size, dimension),
        };
        size.dimension() == wanted && size.decimal().digits() >= 0
    }
}

impl Deviation {
    /// A permissible deviation as a certificate or a tool's own sheet gives it: as the text of a deviation, or by its class
    /// after ISO 6789, `ISO 6789 II A`, which depends on the greatest torque of the `range`.
    ///
    /// # Errors
    /// [`InstrumentError::Deviation`] for text that is neither, or a class beside a scale that reads no torque.
    pub fn of_class(text: &str, range: &Window) -> Result<Self, InstrumentError> {
        let Some(class) = TorqueClass::named(text) else {
            return text.parse();
        };
        match range.high() {
            Some(greatest) if greatest.dimension() == Dimension::Torque => {
                class.deviation(&greatest)
            }
            Some(_) => Err(InstrumentError::Deviation(text.trim().to_owned())),
            None => Err(InstrumentError::Range(range.to_string())),
        }
    }
}

impl fmt::Display for Deviation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OfReading(share) => write!(f, "{share} of reading"),
            Self::OfFullScale(share) => write!(f, "{share} of full scale"),
            Self::Everywhere(size) => write!(f, "{size}"),
        }
    }
}

impl FromStr for Deviation {
    type Err = InstrumentError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let bare = text.trim().trim_start_matches('±').trim();
        let refused = || InstrumentError::Deviation(text.trim().to_owned());
        let read = |size: &str| Quantity::parse(size).map_err(|_| refused());
        let deviation = match (
            bare.strip_suffix("of reading"),
            bare.strip_suffix("of full scale"),
        ) {
            (Some(share), _) => Self::OfReading(read(share)?),
            (None, Some(share)) => Self::OfFullScale(read(share)?),
            (None, None) => Self::Everywhere(read(bare)?),
        };
        let dimension = match deviation {
            Self::Everywhere(size) => size.dimension(),
            _ => Dimension::Percent,
        };
        if deviation.fits(dimension) {
            Ok(deviation)
        } else {
            Err(refused())
        }
    }
}

as_text!(Deviation);

/// Why an instrument cannot be entered.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum InstrumentError {
    /// Range without an end, or not above nought.
    #[error(
        "the range {0} is impossible; give the lowest and highest mark of the scale, for example 40..200 N·m"
    )]
    Range(String),
    /// Resolution that is no step of the scale.
    #[error(
        "the resolution {0} is impossible; give the smallest step of the scale, above 0 and in the scale's unit"
    )]
    Resolution(String),
    /// Deviation that is none.
    #[error(
        "{0} is no permissible deviation; it reads \"4 % of reading\", \"0.5 % of full scale\" or \"0.05 bar\", and is not negative"
    )]
    Deviation(String),
    /// A scale that cannot stand on an instrument of its kind.
    #[error("no {kind} has a scale in {unit}; choose another kind or unit")]
    OtherScale {
        /// The kind.
        kind: InstrumentKind,
        /// The unit.
        unit: Unit,
    },
    /// Numbers that cannot be worked out.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
}

/// An instrument's scale and what may be believed of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Instrument {
    kind: InstrumentKind,
    range: Window,
    resolution: Quantity,
    deviation: Deviation,
}

impl Instrument {
    /// An instrument from its scale and certificate; unit and reference of the scale are those of the range.
    pub fn new(
        kind: InstrumentKind,
        range: Window,
        resolution: Quantity,
        deviation: Deviation,
    ) -> Result<Self, InstrumentError> {
        let unit = range.unit();
        if range.low().is_none() || range.high().is_none() {
            return Err(InstrumentError::Range(range.to_string()));
        }
        if !kind.takes(unit.dimension()) {
            return Err(InstrumentError::OtherScale { kind, unit });
        }
        if resolution.unit() != unit || resolution.decimal().digits() <= 0 {
            return Err(InstrumentError::Resolution(resolution.to_string()));
        }
        if !deviation.fits(unit.dimension()) {
            return Err(InstrumentError::Deviation(deviation.to_string()));
        }
        Ok(Self {
            kind,
            range,
            resolution,
            deviation,
        })
    }

    /// What it is.
    pub fn kind(&self) -> InstrumentKind {
        self.kind
    }

    /// Lowest and highest mark.
    pub fn range(&self) -> Window {
        self.range
    }

    /// The unit of its scale.
    pub fn unit(&self) -> Unit {
        self.range.unit()
    }

    /// The smallest step of its scale.
    pub fn resolution(&self) -> Quantity {
        self.resolution
    }

    /// What it may be wrong by.
    pub fn deviation(&self) -> Deviation {
        self.deviation
    }

    /// Binds digits to its scale.
    pub fn read(&self, typed: &str) -> Result<Quantity, QuantityError> {
        Quantity::from_digits(typed, self.unit(), self.range.reference())
    }

    /// Whether a reading lies on its scale, ends included; one that does not is no reading.
    pub fn is_on_scale(&self, reading: &Quantity) -> Result<bool, QuantityError> {
        Ok(self.range.judge(reading)?.place == Place::Within)
    }

    fn full_scale(&self) -> Result<Decimal, InstrumentError> {
        self.range
            .high()
            .map(|q| q.decimal())
            .ok_or_else(|| InstrumentError::Range(self.range.to_string()))
    }

    /// The permissible deviation at a value of its scale, in the scale's unit, exactly.
    pub fn deviation_at(&self, value: Rational) -> Result<Rational, InstrumentError> {
        let share_of = |share: Quantity, whole: Rational| {
            let share = Rational::from(share.decimal()).over(Rational::new(100, 1)?)?;
            share.times(whole.abs())
        };
        Ok(match self.deviation {
            Deviation::Everywhere(size) => size.size_in(self.unit())?,
            Deviation::OfReading(share) => share_of(share, value)?,
            Deviation::OfFullScale(share) => share_of(share, self.full_scale()?.into())?,
        })
    }

    /// The part of its range that may be used: 20 to 100 % of full scale for mechanical wrenches, 10 to 100 % for electronic ones, never below
    /// the lowest mark; the whole range of anything else.
    pub fn usable(&self) -> Result<Window, InstrumentError> {
        let full = self.full_scale()?;
        let lowest = Rational::from(full).times(Rational::new(self.kind.lowest_percent(), 100)?)?;
        let lowest = lowest
            .to_exact_decimal()
            .ok_or(QuantityError::TooManyDigits)?;
        let low = match self.range.low().map(|q| q.decimal()) {
            Some(mark) if self.kind.lowest_percent() == 0 || mark > lowest => mark,
            _ => lowest,
        };
        Ok(Window::new(
            Some(low),
            Some(full),
            self.unit(),
            self.range.reference(),
        )?)
    }

    /// Whether an electronic wrench shows fine enough: a quarter of the permissible deviation at the lowest usable reading (ISO 6789:2017).
    pub fn resolution_suffices(&self) -> Result<bool, InstrumentError> {
        if self.kind != InstrumentKind::ElectronicWrench {
            return Ok(true);
        }
        let low = self
            .usable()?
            .low()
            .map_or(Rational::ZERO, |q| q.decimal().into());
        let quarter = self.deviation_at(low)?.over(Rational::new(4, 1)?)?;
        Ok(Rational::from(self.resolution.decimal()) <= quarter)
    }
}

/// What the register and the clock say of an instrument today.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Standing {
    /// Out of service until looked at.
    pub quarantined: bool,
    /// Its calibration is no longer valid.
    pub overdue: bool,
    /// Another job holds it.
    pub booked_elsewhere: bool,
}

/// Why an instrument may not be used; each says what to do.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum Unfit {
    /// In quarantine.
    #[error("is quarantined; take another until it has been checked")]
    Quarantined,
    /// Calibration run out.
    #[error("is overdue for calibration; take another")]
    Overdue,
    /// Held by another job.
    #[error("is booked to another job; take another or release it there")]
    BookedElsewhere,
    /// Reads another kind of thing.
    #[error("reads {reads}, not {wanted}")]
    OtherKind {
        /// What it reads.
        reads: &'static str,
        /// What is wanted.
        wanted: &'static str,
    },
    /// Reads against something else.
    #[error("reads {reads} pressure, not {wanted}")]
    OtherReference {
        /// What it reads.
        reads: &'static str,
        /// What is wanted.
        wanted: &'static str,
    },
    /// The window is not inside the usable range.
    #[error("may be used from {usable} only, and the window is {window}")]
    OutOfRange {
        /// The usable part.
        usable: Window,
        /// The window.
        window: Window,
    },
    /// The window is no wider than what the instrument may be wrong by.
    #[error(
        "may be wrong by ±{deviation} there, as much as the whole window {window}; take a finer one"
    )]
    WindowTooNarrow {
        /// Permissible deviation at the end of the window farther from nought.
        deviation: Quantity,
        /// The window.
        window: Window,
    },
    /// The error is above a quarter of the tolerance.
    #[error(
        "may be wrong by {error}, more than a quarter of the tolerance of {window}; take a finer one"
    )]
    ErrorTooLarge {
        /// The greatest error.
        error: Quantity,
        /// The window.
        window: Window,
    },
}

/// Whether an instrument fits, and how well.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitness {
    /// Every reason against; empty if it may be used.
    pub against: Vec<Unfit>,
    /// Its possible error as a share of the window's tolerance, the smaller the better; for ranking.
    pub error_share: f64,
}

impl Fitness {
    /// Whether it may be used.
    pub fn fits(&self) -> bool {
        self.against.is_empty()
    }
}

/// Whether an instrument fits a window today, with every reason against it.
///
/// Wrenches: window inside the usable range and wider than ± the permissible deviation at its end farther from nought. Others: error at most a quarter of the
/// tolerance, which is the width of the window, or the size of its only limit (from memory; common practice for a single limit).
pub fn fitness(
    instrument: &Instrument,
    window: &Window,
    standing: Standing,
) -> Result<Fitness, InstrumentError> {
    let mut against = Vec::new();
    let flags = [
        (standing.quarantined, Unfit::Quarantined),
        (standing.overdue, Unfit::Overdue),
        (standing.booked_elsewhere, Unfit::BookedElsewhere),
    ];
    against.extend(
        flags
            .into_iter()
            .filter_map(|(set, reason)| set.then_some(reason)),
    );
    let (own, wanted) = (instrument.unit().dimension(), window.unit().dimension());
    if own != wanted {
        against.push(Unfit::OtherKind {
            reads: own.words(),
            wanted: wanted.words(),
        });
        return Ok(Fitness {
            against,
            error_share: f64::INFINITY,
        });
    }
    let word = |reference: Option<crate::quantity::Reference>| {
        reference.map_or("unstated", crate::quantity::Reference::word)
    };
    if window.reference().is_some() && window.reference() != instrument.range().reference() {
        against.push(Unfit::OtherReference {
            reads: word(instrument.range().reference()),
            wanted: word(window.reference()),
        });
    }
    let error_share = measure_against(instrument, window, &mut against)?;
    Ok(Fitness {
        against,
        error_share,
    })
}

/// Range and error against the window; gives the error as a share of the tolerance.
fn measure_against(
    instrument: &Instrument,
    window: &Window,
    against: &mut Vec<Unfit>,
) -> Result<f64, InstrumentError> {
    let unit = instrument.unit();
    let usable = instrument.usable()?;
    let in_scale = |limit: Option<Quantity>| limit.map(|q| q.exact_in(unit)).transpose();
    let (low, high) = (in_scale(window.low())?, in_scale(window.high())?);
    let ends =
        [usable.low(), usable.high()].map(|end| end.map_or(Rational::ZERO, |q| q.decimal().into()));
    let inside = |limit: &Rational| ends[0] <= *limit && *limit <= ends[1];
    // A zero check may lie around nought, where a gauge's scale begins: what counts there is its high limit.
    let reached = match (low, high) {
        (Some(low), Some(high))
            if low.is_negative() && !high.is_negative() && !instrument.kind.is_wrench() =>
        {
            inside(&high)
        }
        _ => low.iter().chain(&high).all(inside),
    };
    if !reached {
        against.push(Unfit::OutOfRange {
            usable,
            window: *window,
        });
    }
    // A share of the reading is largest at the end farther from nought; below it that is the low one.
    let farthest = [low, high]
        .into_iter()
        .flatten()
        .map(Rational::abs)
        .fold(Rational::ZERO, Rational::max);
    let error = instrument.deviation_at(farthest)?;
    let tolerance = match (low, high) {
        (Some(low), Some(high)) => high.minus(low)?,
        _ => farthest,
    };
    let shown = |size: Rational| {
        size.to_short_decimal()
            .and_then(|d| Quantity::new(d, unit, None))
    };
    if instrument.kind.is_wrench() {
        if error.times(Rational::new(2, 1)?)? >= tolerance {
            against.push(Unfit::WindowTooNarrow {
                deviation: shown(error)?,
                window: *window,
            });
        }
    } else if unit.dimension() != Dimension::Time && error.times(Rational::new(4, 1)?)? > tolerance
    {
        against.push(Unfit::ErrorTooLarge {
            error: shown(error)?,
            window: *window,
        });
    }
    let tolerance = tolerance.to_f64();
    Ok(if tolerance > 0.0 {
        error.to_f64() / tolerance
    } else {
        f64::INFINITY
    })
}

/// Whether a gauge's full scale suits a test pressure: 1.5 to 4 times it (from memory).
pub fn full_scale_suits(
    gauge: &Instrument,
    test_pressure: &Quantity,
) -> Result<bool, InstrumentError> {
    let full = Rational::from(gauge.full_scale()?);
    let test = test_pressure.exact_in(gauge.unit())?;
    Ok(full >= test.times(Rational::new(3, 2)?)? && full <= test.times(Rational::new(4, 1)?)?)
}
