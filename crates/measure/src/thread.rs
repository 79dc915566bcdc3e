//! Screw threads: reading their names, and the area that carries the tension.
//!
//! Areas: `At = π/4·(d − 0.9743/n)²` (ASME B1.1) and `As = π/4·((d2 + d3)/2)²` (ISO 898-1). Tabulated areas are those printed in the tables
//! of ASME B1.1 and ISO 898-1; where none is given, only the computed one is known here. Pitches of ISO 261 and sizes beyond 1 in from memory.

use core::f64::consts::PI;
use core::fmt;
use core::str::FromStr;

use thiserror::Error;

use crate::exact::{Decimal, Rational};

const MM_PER_INCH: f64 = 25.4;

/// Why a text names no thread known here.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("{text:?} is not a thread known here; the nearest are {}", nearest.join(", "))]
pub struct ThreadError {
    /// What was typed.
    pub text: String,
    /// Known threads of about that size.
    pub nearest: Vec<String>,
}

/// A family of threads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Series {
    /// Unified coarse.
    Unc,
    /// Unified fine.
    Unf,
    /// Unified, eight threads an inch.
    Un8,
    /// Metric, coarse pitch.
    MetricCoarse,
    /// Metric, one of the finer pitches.
    MetricFine,
}

impl Series {
    fn is_metric(self) -> bool {
        matches!(self, Self::MetricCoarse | Self::MetricFine)
    }

    fn word(self) -> &'static str {
        match self {
            Self::Unc => "UNC",
            Self::Unf => "UNF",
            Self::Un8 => "8UN",
            Self::MetricCoarse | Self::MetricFine => "M",
        }
    }
}

struct Row {
    name: &'static str,
    series: Series,
    /// Nominal diameter in thousandths of a millimetre or hundred-thousandths of an inch.
    diameter: u32,
    /// Pitch in thousandths of a millimetre, or threads an inch.
    pitch: u32,
    /// Printed in the tables, mm² or in².
    tabulated: Option<f64>,
}

const fn row(
    name: &'static str,
    series: Series,
    diameter: u32,
    pitch: u32,
    tabulated: Option<f64>,
) -> Row {
    Row {
        name,
        series,
        diameter,
        pitch,
        tabulated,
    }
}

use Series::{MetricCoarse as C, MetricFine as F, Un8, Unc, Unf};

const THREADS: &[Row] = &[
    row("#6-32", Unc, 13_800, 32, None),
    row("#8-32", Unc, 16_400, 32, None),
    row("#10-24", Unc, 19_000, 24, None),
    row("#10-32", Unf, 19_000, 32, None),
    row("1/4-20", Unc, 25_000, 20, Some(0.0318)),
    row("1/4-28", Unf, 25_000, 28, Some(0.0364)),
    row("5/16-18", Unc, 31_250, 18, Some(0.0524)),
    row("5/16-24", Unf, 31_250, 24, Some(0.058)),
    row("3/8-16", Unc, 37_500, 16, Some(0.0775)),
    row("3/8-24", Unf, 37_500, 24, Some(0.0878)),
    row("7/16-14", Unc, 43_750, 14, Some(0.1063)),
    row("7/16-20", Unf, 43_750, 20, Some(0.1187)),
    row("1/2-13", Unc, 50_000, 13, Some(0.1419)),
    row("1/2-20", Unf, 50_000, 20, Some(0.1599)),
    row("9/16-12", Unc, 56_250, 12, Some(0.182)),
    row("9/16-18", Unf, 56_250, 18, None),
    row("5/8-11", Unc, 62_500, 11, Some(0.226)),
    row("5/8-18", Unf, 62_500, 18, Some(0.256)),
    row("3/4-10", Unc, 75_000, 10, Some(0.334)),
    row("3/4-16", Unf, 75_000, 16, Some(0.373)),
    row("7/8-9", Unc, 87_500, 9, Some(0.462)),
    row("7/8-14", Unf, 87_500, 14, None),
    row("1-8", Unc, 100_000, 8, Some(0.606)),
    row("1-12", Unf, 100_000, 12, None),
    row("1 1/8-7", Unc, 112_500, 7, None),
    row("1 1/8-8", Un8, 112_500, 8, None),
    row("1 1/8-12", Unf, 112_500, 12, None),
    row("1 1/4-7", Unc, 125_000, 7, None),
    row("1 1/4-8", Un8, 125_000, 8, None),
    row("1 1/4-12", Unf, 125_000, 12, None),
    row("1 3/8-6", Unc, 137_500, 6, None),
    row("1 3/8-8", Un8, 137_500, 8, None),
    row("1 3/8-12", Unf, 137_500, 12, None),
    row("1 1/2-6", Unc, 150_000, 6, None),
    row("1 1/2-8", Un8, 150_000, 8, None),
    row("1 1/2-12", Unf, 150_000, 12, None),
    row("M3×0.5", C, 3_000, 500, None),
    row("M4×0.7", C, 4_000, 700, None),
    row("M5×0.8", C, 5_000, 800, None),
    row("M6×1", C, 6_000, 1_000, Some(20.1)),
    row("M8×1.25", C, 8_000, 1_250, Some(36.6)),
    row("M8×1", F, 8_000, 1_000, None),
    row("M10×1.5", C, 10_000, 1_500, Some(58.0)),
    row("M10×1.25", F, 10_000, 1_250, None),
    row("M10×1", F, 10_000, 1_000, None),
    row("M12×1.75", C, 12_000, 1_750, Some(84.3)),
    row("M12×1.5", F, 12_000, 1_500, None),
    row("M12×1.25", F, 12_000, 1_250, None),
    row("M14×2", C, 14_000, 2_000, None),
    row("M14×1.5", F, 14_000, 1_500, None),
    row("M16×2", C, 16_000, 2_000, Some(157.0)),
    row("M16×1.5", F, 16_000, 1_500, None),
    row("M18×2.5", C, 18_000, 2_500, None),
    row("M18×1.5", F, 18_000, 1_500, None),
    row("M20×2.5", C, 20_000, 2_500, Some(245.0)),
    row("M20×1.5", F, 20_000, 1_500, None),
    row("M22×2.5", C, 22_000, 2_500, None),
    row("M22×1.5", F, 22_000, 1_500, None),
    row("M24×3", C, 24_000, 3_000, None),
    row("M24×2", F, 24_000, 2_000, None),
    row("M24×1.5", F, 24_000, 1_500, None),
    row("M27×3", C, 27_000, 3_000, None),
    row("M27×2", F, 27_000, 2_000, None),
    row("M30×3.5", C, 30_000, 3_500, None),
    row("M30×2", F, 30_000, 2_000, None),
    row("M30×1.5", F, 30_000, 1_500, None),
    row("M33×3.5", C, 33_000, 3_500, None),
    row("M33×2", F, 33_000, 2_000, None),
    row("M36×4", C, 36_000, 4_000, None),
    row("M36×3", F, 36_000, 3_000, None),
    row("M36×2", F, 36_000, 2_000, None),
    row("M36×1.5", F, 36_000, 1_500, None),
];

/// A thread of the table: `3/8-16 UNC`, `M16×2`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Thread(u8);

impl Thread {
    /// Every thread known here.
    pub fn all() -> impl Iterator<Item = Thread> {
        (0..).take(THREADS.len()).map(Thread)
    }

    fn row(self) -> &'static Row {
        &THREADS[usize::from(self.0)]
    }

    /// Reads `3/8-16 UNC`, `1/4-20`, `1 1/8-8`, `M16×2`, `M16x2`, `m16 x 2.0`; `M16` alone is the coarse one.
    pub fn parse(text: &str) -> Result<Self, ThreadError> {
        let (size, pitch, series) = split(text).ok_or_else(|| {
            unknown(
                text,
                inches(text.trim()),
                text.trim().starts_with(['M', 'm']),
            )
        })?;
        let metric = text.trim().starts_with(['M', 'm']);
        let fits = |thread: &Thread| {
            let row = thread.row();
            row.series.is_metric() == metric
                && thread.exact_diameter() == size
                && match pitch {
                    Some(pitch) => thread.exact_pitch() == pitch,
                    None => row.series == Series::MetricCoarse,
                }
                && series.is_none_or(|series| row.series == series)
        };
        Self::all()
            .find(fits)
            .ok_or_else(|| unknown(text, Some(size), metric))
    }

    fn exact_diameter(self) -> Rational {
        let row = self.row();
        Rational::lowest(
            i128::from(row.diameter),
            if row.series.is_metric() {
                1_000
            } else {
                100_000
            },
        )
    }

    fn exact_pitch(self) -> Rational {
        let row = self.row();
        Rational::lowest(
            i128::from(row.pitch),
            if row.series.is_metric() { 1_000 } else { 1 },
        )
    }

    /// Its family.
    pub fn series(self) -> Series {
        self.row().series
    }

    /// Nominal diameter in millimetres.
    pub fn diameter_mm(self) -> f64 {
        let scale = if self.series().is_metric() {
            1.0
        } else {
            MM_PER_INCH
        };
        self.exact_diameter().to_f64() * scale
    }

    /// Nominal diameter in inches.
    pub fn diameter_in(self) -> f64 {
        self.diameter_mm() / MM_PER_INCH
    }

    /// Tensile stress area in mm², by formula.
    pub fn stress_area_mm2(self) -> f64 {
        let (d, pitch) = (self.exact_diameter().to_f64(), self.exact_pitch().to_f64());
        if self.series().is_metric() {
            let (d2, d3) = (d - 0.649_519 * pitch, d - 1.226_869 * pitch);
            PI / 4.0 * f64::midpoint(d2, d3).powi(2)
        } else {
            PI / 4.0 * (d - 0.9743 / pitch).powi(2) * MM_PER_INCH * MM_PER_INCH
        }
    }

    /// Tensile stress area in in², by formula.
    pub fn stress_area_in2(self) -> f64 {
        self.stress_area_mm2() / (MM_PER_INCH * MM_PER_INCH)
    }

    /// Tensile stress area in mm² as the tables print it, where they do.
    pub fn tabulated_area_mm2(self) -> Option<f64> {
        let scale = if self.series().is_metric() {
            1.0
        } else {
            MM_PER_INCH * MM_PER_INCH
        };
        self.row().tabulated.map(|area| area * scale)
    }
}

/// Size, pitch and family of a typed name.
fn split(text: &str) -> Option<(Rational, Option<Rational>, Option<Series>)> {
    let upper = text
        .trim()
        .to_uppercase()
        .replace('×', "X")
        .replace(['"', '″'], "");
    if let Some(rest) = upper.strip_prefix('M') {
        let mut parts = rest.split('X').map(str::trim);
        let size = Decimal::parse(parts.next()?).ok()?;
        let pitch = parts.next().map(Decimal::parse).transpose().ok()?;
        return parts
            .next()
            .is_none()
            .then_some((size.into(), pitch.map(Rational::from), None));
    }
    let (name, series) = [
        ("8UN", Series::Un8),
        ("UNC", Series::Unc),
        ("UNF", Series::Unf),
    ]
    .iter()
    .find_map(|(word, series)| {
        Some((
            upper.strip_suffix(word)?.trim().trim_end_matches('-'),
            Some(*series),
        ))
    })
    .unwrap_or((upper.as_str(), None));
    let (size, pitch) = name.rsplit_once('-')?;
    let pitch = Decimal::parse(pitch).ok()?;
    Some((inches(size.trim())?, Some(pitch.into()), series))
}

/// `3/8`, `1 1/8`, `1-1/8`, `1`, `0.375`, `#10` in inches.
fn inches(text: &str) -> Option<Rational> {
    if let Some(number) = text.strip_prefix('#') {
        // Numbered sizes: 0.060 in and 0.013 in more for each number (ASME B1.1).
        let number: i128 = number.parse().ok().filter(|n| (0..=12).contains(n))?;
        return Some(Rational::lowest(60 + 13 * number, 1_000));
    }
    let (whole, fraction) = match text.split_once([' ', '-']) {
        Some((whole, fraction)) => (whole.parse::<i128>().ok()?, fraction.trim()),
        None => (0, text),
    };
    let part = match fraction.split_once('/') {
        Some((top, bottom)) => Rational::new(
            top.parse::<u16>().ok()?.into(),
            bottom.parse::<u16>().ok()?.into(),
        )
        .ok()?,
        None => Decimal::parse(fraction).ok()?.into(),
    };
    part.plus(Rational::new(whole, 1).ok()?).ok()
}

fn unknown(text: &str, size: Option<Rational>, metric: bool) -> ThreadError {
    // Without a size to go by, the sizes met most often are named.
    let aim = size.map_or(if metric { 10.0 } else { 0.375 }, Rational::to_f64);
    let mut near: Vec<Thread> = Thread::all()
        .filter(|t| t.series().is_metric() == metric)
        .collect();
    near.sort_by(|a, b| {
        let far = |t: &Thread| (t.exact_diameter().to_f64() - aim).abs();
        far(a).total_cmp(&far(b))
    });
    ThreadError {
        text: text.trim().to_owned(),
        nearest: near.iter().take(3).map(Thread::to_string).collect(),
    }
}

impl fmt::Display for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let row = self.row();
        if row.series.is_metric() {
            f.pad(row.name)
        } else {
            write!(f, "{} {}", row.name, row.series.word())
        }
    }
}

impl FromStr for Thread {
    type Err = ThreadError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

as_text!(Thread);
