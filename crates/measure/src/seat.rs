//! What a shut seat may let through: ANSI/FCI 70-2 classes II to VI (70-3-2004 for class VI ports above 8 in), API 598, ISO 5208.

use core::fmt;
use core::str::FromStr;

use thiserror::Error;

use crate::error::QuantityError;
use crate::quantity::Quantity;
use crate::unit::{Dimension, Unit};

/// Why no allowance can be told.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum SeatError {
    /// The class is not known.
    #[error("{0:?} is no seat leakage class; type II, III, IV, V or VI")]
    UnknownClass(String),
    /// The rating is none of ISO 5208.
    #[error("{0:?} is no leakage rate of ISO 5208; type A, AA, B, C, CC, D, E, EE, F or G")]
    UnknownRate(String),
    /// Something the class needs is missing.
    #[error("class {class} needs {what}; give it")]
    Missing {
        /// The class.
        class: SeatClass,
        /// What is missing.
        what: &'static str,
    },
    /// The port is outside the table.
    #[error("class VI has no allowance for a port of {0}; the table ends at 16 in")]
    PortTooLarge(String),
    /// A nominal size between two rows of API 598.
    #[error(
        "API 598 has sizes {below} and {above}, none between; {size} in is neither, take {low} in or {high} in"
    )]
    NoSize {
        /// What was given, inches.
        size: String,
        /// The rows below and above it, in words.
        below: &'static str,
        /// As above.
        above: &'static str,
        /// Their nearest ends, inches.
        low: String,
        /// As above.
        high: String,
    },
    /// A quantity that cannot be.
    #[error("{text} is no {wanted} above 0; give one with its unit")]
    Impossible {
        /// What was given.
        text: String,
        /// What is wanted.
        wanted: &'static str,
    },
    /// Numbers that cannot be worked out.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
}

/// Seat leakage class of ANSI/FCI 70-2.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[expect(missing_docs, reason = "the names say it")]
pub enum SeatClass {
    II,
    III,
    IV,
    V,
    VI,
}

impl fmt::Display for SeatClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::II => "II",
            Self::III => "III",
            Self::IV => "IV",
            Self::V => "V",
            Self::VI => "VI",
        })
    }
}

impl FromStr for SeatClass {
    type Err = SeatError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let upper = text.trim().to_uppercase();
        [Self::II, Self::III, Self::IV, Self::V, Self::VI]
            .into_iter()
            .find(|class| class.to_string() == upper)
            .ok_or_else(|| SeatError::UnknownClass(text.trim().to_owned()))
    }
}

/// An allowance: the most that may pass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Allowance {
    /// mL a minute.
    pub ml_min: f64,
    /// Bubbles a minute, where the table gives them.
    pub bubbles_min: Option<f64>,
    /// Where it comes from.
    pub source: &'static str,
    /// What must be known beside the figure, as a sentence; none where it stands alone.
    pub note: Option<&'static str>,
}

/// Least pressure drop of a class V test, psi (ANSI/FCI 70-2: the greatest drop in service, 100 psi at least).
const CLASS_V_LEAST_PSI: f64 = 100.0;

/// Millilitres in a cubic foot: 30.48 cm cubed, exact.
const ML_IN_CUBIC_FOOT: f64 = 28_316.846_592;

/// Class VI: nominal port in inches, port in mm, mL/min, bubbles/min (above 8 in ANSI/FCI 70-3-2004, no bubbles).
const CLASS_VI: [(f64, f64, f64, Option<f64>); 12] = [
    (1.0, 25.0, 0.15, Some(1.0)),
    (1.5, 38.0, 0.30, Some(2.0)),
    (2.0, 51.0, 0.45, Some(3.0)),
    (2.5, 64.0, 0.60, Some(4.0)),
    (3.0, 76.0, 0.90, Some(6.0)),
    (4.0, 102.0, 1.70, Some(11.0)),
    (6.0, 152.0, 4.00, Some(27.0)),
    (8.0, 203.0, 6.75, Some(45.0)),
    (10.0, 254.0, 11.1, None),
    (12.0, 305.0, 16.0, None),
    (14.0, 356.0, 21.6, None),
    (16.0, 406.0, 28.4, None),
];

fn above_nought(quantity: &Quantity, dimension: Dimension, unit: Unit) -> Result<f64, SeatError> {
    let refused = || SeatError::Impossible {
        text: quantity.to_string(),
        wanted: dimension.words(),
    };
    if quantity.dimension() != dimension {
        return Err(refused());
    }
    let value = quantity.to_f64_in(unit)?;
    if value > 0.0 {
        Ok(value)
    } else {
        Err(refused())
    }
}

/// Said of a share of a gas capacity (the usual conditions from memory).
const AT_STANDARD: &str = "It is gas at the standard conditions that the rated flow is stated at, usually 60 °F and 14.7 psi absolute.";

/// The allowance of a class. II, III and IV need the rated flow, V the port and the pressure drop, VI the port.
pub fn allowance(
    class: SeatClass,
    port: Option<&Quantity>,
    rated: Option<&Quantity>,
    drop: Option<&Quantity>,
) -> Result<Allowance, SeatError> {
    let missing = |what| SeatError::Missing { class, what };
    let port_in = |unit| {
        above_nought(
            port.ok_or(missing("the port diameter"))?,
            Dimension::Length,
            unit,
        )
    };
    let of_rated = |share: f64| {
        let rated = rated.ok_or(missing("the rated flow"))?;
        // The capacity of a gas is rated at standard conditions; its share is a volume at the same.
        let (rated, note) = if rated.dimension() == Dimension::StandardFlow {
            let cubic_feet = above_nought(
                rated,
                Dimension::StandardFlow,
                Unit::StandardCubicFootPerMinute,
            )?;
            (cubic_feet * ML_IN_CUBIC_FOOT, Some(AT_STANDARD))
        } else {
            let ml_min = above_nought(rated, Dimension::Flow, Unit::MillilitrePerMinute)?;
            (ml_min, None)
        };
        Ok(Allowance {
            ml_min: share * rated,
            bubbles_min: None,
            source: "ANSI/FCI 70-2",
            note,
        })
    };
    match class {
        SeatClass::II => of_rated(0.005),
        SeatClass::III => of_rated(0.001),
        SeatClass::IV => of_rated(0.0001),
        SeatClass::V => {
            let drop_psi = above_nought(
                drop.ok_or(missing("the pressure drop across the seat"))?,
                Dimension::Pressure,
                Unit::Psi,
            )?;
            let ml_min = 0.0005 * port_in(Unit::Inch)? * drop_psi;
            Ok(Allowance {
                ml_min,
                bubbles_min: None,
                source: "ANSI/FCI 70-2, 0.0005 mL/min water per inch of port and psi",
                note: (drop_psi < CLASS_V_LEAST_PSI).then_some(
                    "The standard tests class V at 100 psi or more: a test at a lower drop does not show the class.",
                ),
            })
        }
        SeatClass::VI => {
            let port_mm = port_in(Unit::Millimetre)?;
            let given = port.map_or_else(String::new, ToString::to_string);
            class_vi(port_mm, &given)
        }
    }
}

/// Class VI by port in mm: the table within 2 mm of a row, else by the square of the diameter between rows (interpolation law from memory);
/// a smaller port than 1 in has the allowance of 1 in (from memory).
fn class_vi(port_mm: f64, given: &str) -> Result<Allowance, SeatError> {
    let source = |inches: f64| {
        if inches > 8.0 {
            "ANSI/FCI 70-3-2004"
        } else {
            "ANSI/FCI 70-2"
        }
    };
    let near = CLASS_VI
        .iter()
        .find(|(_, mm, ..)| (port_mm - mm).abs() <= 2.0)
        .or(CLASS_VI.first().filter(|row| port_mm < row.1));
    if let Some((inches, _, ml_min, bubbles_min)) = near {
        return Ok(Allowance {
            ml_min: *ml_min,
            bubbles_min: *bubbles_min,
            source: source(*inches),
            note: None,
        });
    }
    let above = CLASS_VI
        .iter()
        .position(|(_, mm, ..)| *mm > port_mm)
        .ok_or_else(|| SeatError::PortTooLarge(given.to_owned()))?;
    let ((_, d1, q1, b1), (inches, d2, q2, b2)) = (CLASS_VI[above - 1], CLASS_VI[above]);
    let share = (port_mm * port_mm - d1 * d1) / (d2 * d2 - d1 * d1);
    let between = |a: f64, b: f64| a + share * (b - a);
    Ok(Allowance {
        ml_min: between(q1, q2),
        bubbles_min: b1.zip(b2).map(|(a, b)| between(a, b)),
        source: source(inches),
        note: None,
    })
}

/// What closes a valve tested to API 598.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seat {
    /// Rubber or plastic: nothing may pass.
    Resilient,
    /// Metal to metal.
    Metal,
    /// A metal-seated check valve.
    CheckValve,
}

/// What a test is made with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Medium {
    /// Water or another liquid.
    Liquid,
    /// Air or another gas.
    Gas,
}

/// What API 598 allows, in the unit it counts in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ApiAllowance {
    /// How much.
    pub most: f64,
    /// `drops/min`, `bubbles/min`, `cm³/min` or `ft³/h`.
    pub unit: Unit,
}

/// Nominal diameters in mm with their pipe sizes in inches (ISO 6708 and ASME B36.10, from memory); from 350 mm on 25 mm an inch.
const DN_NPS: [(f64, f64); 17] = [
    (6.0, 0.125),
    (8.0, 0.25),
    (10.0, 0.375),
    (15.0, 0.5),
    (20.0, 0.75),
    (25.0, 1.0),
    (32.0, 1.25),
    (40.0, 1.5),
    (50.0, 2.0),
    (65.0, 2.5),
    (80.0, 3.0),
    (90.0, 3.5),
    (100.0, 4.0),
    (125.0, 5.0),
    (150.0, 6.0),
    (200.0, 8.0),
    (250.0, 10.0),
];

/// The nominal pipe size that a length names: inches as they are, a nominal diameter in mm by its pipe size (80 mm is 3), any other
/// length by its inches.
///
/// # Errors
/// [`SeatError::Impossible`] for what is no length above nought.
pub fn nominal_size(size: &Quantity) -> Result<f64, SeatError> {
    let inches = above_nought(size, Dimension::Length, Unit::Inch)?;
    if size.unit() != Unit::Millimetre {
        return Ok(inches);
    }
    let mm = size.decimal().to_f64();
    let named = DN_NPS.iter().find(|(dn, _)| (dn - mm).abs() < f64::EPSILON);
    Ok(match named {
        Some((_, nps)) => *nps,
        None if mm >= 300.0 && mm % 25.0 < f64::EPSILON => mm / 25.0,
        None => inches,
    })
}

/// A row of sizes of API 598.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ApiSizes {
    /// Smallest and largest nominal pipe size of the row, inches.
    low: f64,
    high: f64,
    /// The row in words, such as `2.5 to 6 in`.
    pub words: &'static str,
    /// The shortest test, seconds (1990 edition).
    pub least_seconds: f64,
    /// What the older editions let a metal seat drip in a minute; they count NPS 2 to the row above.
    older_drops: f64,
}

/// The rows of the published pages (piping-world.com, wermac.org; test times of the 1990 edition, aandlvalve.com). From 14 in on there is
/// no last size.
const API_598: [ApiSizes; 4] = [
    ApiSizes {
        low: 0.0,
        high: 2.0,
        words: "up to 2 in",
        least_seconds: 15.0,
        older_drops: 0.0,
    },
    ApiSizes {
        low: 2.5,
        high: 6.0,
        words: "2.5 to 6 in",
        least_seconds: 60.0,
        older_drops: 12.0,
    },
    ApiSizes {
        low: 8.0,
        high: 12.0,
        words: "8 to 12 in",
        least_seconds: 120.0,
        older_drops: 20.0,
    },
    ApiSizes {
        low: 14.0,
        high: f64::INFINITY,
        words: "14 in and above",
        least_seconds: 300.0,
        older_drops: 28.0,
    },
];

/// Inches of a size given in mm are no whole number of binary digits.
const SAME_SIZE_IN: f64 = 1e-9;

/// The row of API 598 that a nominal pipe size in inches stands in.
///
/// # Errors
/// A size that is none, and one between two rows: no allowance or test time is published for it.
pub fn api_598_sizes(nps: f64) -> Result<ApiSizes, SeatError> {
    if !(nps > 0.0 && nps.is_finite()) {
        return Err(SeatError::Impossible {
            text: nps.to_string(),
            wanted: "nominal pipe size",
        });
    }
    let up_to = API_598
        .iter()
        .position(|row| nps <= row.high + SAME_SIZE_IN)
        .unwrap_or(API_598.len() - 1);
    let row = API_598[up_to];
    if nps >= row.low - SAME_SIZE_IN {
        return Ok(row);
    }
    let below = API_598[up_to.saturating_sub(1)];
    Err(SeatError::NoSize {
        size: format!("{}", (nps * 100.0).round() / 100.0),
        below: below.words,
        above: row.words,
        low: below.high.to_string(),
        high: row.low.to_string(),
    })
}

/// API 598, current editions, by nominal pipe size in inches: metal seats up to 2 in nothing, above it 2 drops or 4 bubbles a minute per inch;
/// check valves 3 cm³/min of liquid or 1.5 standard ft³/h of gas per inch. Older editions step by size instead: [`api_598_older`].
///
/// # Errors
/// As [`api_598_sizes`].
pub fn api_598(seat: Seat, medium: Medium, nps: f64) -> Result<ApiAllowance, SeatError> {
    api_598_sizes(nps)?;
    let (most, unit) = match (seat, medium) {
        (Seat::CheckValve, Medium::Liquid) => (3.0 * nps, Unit::CubicCentimetrePerMinute),
        (Seat::CheckValve, Medium::Gas) => (1.5 * nps, Unit::StandardCubicFootPerHour),
        (Seat::Metal, Medium::Liquid) if nps > 2.0 => (2.0 * nps, Unit::DropsPerMinute),
        (Seat::Metal, Medium::Gas) if nps > 2.0 => (4.0 * nps, Unit::BubblesPerMinute),
        (_, Medium::Liquid) => (0.0, Unit::DropsPerMinute),
        (_, Medium::Gas) => (0.0, Unit::BubblesPerMinute),
    };
    Ok(ApiAllowance { most, unit })
}

/// API 598, older editions, metal seats: 12, 20 or 28 drops and 24, 40 or 56 bubbles a minute (the 1990 edition as one page prints it has more
/// for gas; the lower figures are taken). Their first row begins at 2 in.
///
/// # Errors
/// As [`api_598_sizes`].
pub fn api_598_older(medium: Medium, nps: f64) -> Result<ApiAllowance, SeatError> {
    let row = api_598_sizes(nps)?;
    let drops = if (nps - API_598[0].high).abs() <= SAME_SIZE_IN {
        API_598[1].older_drops
    } else {
        row.older_drops
    };
    Ok(match medium {
        Medium::Liquid => ApiAllowance {
            most: drops,
            unit: Unit::DropsPerMinute,
        },
        Medium::Gas => ApiAllowance {
            most: 2.0 * drops,
            unit: Unit::BubblesPerMinute,
        },
    })
}

/// ISO 5208: rate letter, mm³/s per DN with liquid, with gas (factors from memory; rate A = nothing visible read).
const ISO_5208: [(&str, f64, f64); 10] = [
    ("A", 0.0, 0.0),
    ("AA", 0.006, 0.18),
    ("B", 0.01, 0.3),
    ("C", 0.03, 3.0),
    ("CC", 0.08, 22.3),
    ("D", 0.1, 30.0),
    ("E", 0.3, 300.0),
    ("EE", 0.39, 470.0),
    ("F", 1.0, 3_000.0),
    ("G", 2.0, 6_000.0),
];

/// What ISO 5208 allows in mm³/s for a rate and nominal diameter DN.
pub fn iso_5208_mm3_s(rate: &str, medium: Medium, dn: f64) -> Result<f64, SeatError> {
    let wanted = rate.trim().to_uppercase();
    let row = ISO_5208
        .iter()
        .find(|(name, ..)| *name == wanted)
        .ok_or_else(|| SeatError::UnknownRate(rate.trim().to_owned()))?;
    Ok(dn
        * if medium == Medium::Liquid {
            row.1
        } else {
            row.2
        })
}
