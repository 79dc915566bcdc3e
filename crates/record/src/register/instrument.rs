//! Instruments: what a reading was taken with, and what may be believed of it.

use std::fmt;
use std::str::FromStr;

use reseat_measure::{Decimal, Dimension, Quantity, Reference, Unit, Window, parse_scale};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::Fact;

/// What an instrument is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the names say it")]
pub enum InstrumentKind {
    ClickWrench,
    DialWrench,
    ElectronicWrench,
    PressureGauge,
    DialIndicator,
    Micrometer,
    DepthGauge,
    Caliper,
    BoreGauge,
    FeelerGauge,
    LoupeScale,
    Thermometer,
    Timer,
    MeasuringCylinder,
    FlowMeter,
    ForceGauge,
    GasMonitor,
}

impl InstrumentKind {
    /// All kinds.
    pub const ALL: [Self; 17] = [
        Self::ClickWrench,
        Self::DialWrench,
        Self::ElectronicWrench,
        Self::PressureGauge,
        Self::DialIndicator,
        Self::Micrometer,
        Self::DepthGauge,
        Self::Caliper,
        Self::BoreGauge,
        Self::FeelerGauge,
        Self::LoupeScale,
        Self::Thermometer,
        Self::Timer,
        Self::MeasuringCylinder,
        Self::FlowMeter,
        Self::ForceGauge,
        Self::GasMonitor,
    ];

    /// The words used in the record and on screens.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::ClickWrench => "click torque wrench",
            Self::DialWrench => "dial torque wrench",
            Self::ElectronicWrench => "electronic torque wrench",
            Self::PressureGauge => "pressure gauge",
            Self::DialIndicator => "dial indicator",
            Self::Micrometer => "micrometer",
            Self::DepthGauge => "depth gauge",
            Self::Caliper => "caliper",
            Self::BoreGauge => "bore gauge",
            Self::FeelerGauge => "feeler gauge",
            Self::LoupeScale => "loupe scale",
            Self::Thermometer => "thermometer",
            Self::Timer => "timer",
            Self::MeasuringCylinder => "measuring cylinder",
            Self::FlowMeter => "flow meter",
            Self::ForceGauge => "force gauge",
            Self::GasMonitor => "gas monitor",
        }
    }

    /// The kind named by its words.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }

    /// Whether it is a torque wrench of any sort.
    #[must_use]
    pub const fn is_wrench(self) -> bool {
        matches!(
            self,
            Self::ClickWrench | Self::DialWrench | Self::ElectronicWrench
        )
    }

    /// Whether a scale of this dimension can stand on it.
    #[must_use]
    pub fn takes(self, dimension: Dimension) -> bool {
        match self {
            Self::ClickWrench | Self::DialWrench | Self::ElectronicWrench => {
                dimension == Dimension::Torque
            }
            Self::PressureGauge => dimension == Dimension::Pressure,
            Self::DialIndicator
            | Self::Micrometer
            | Self::DepthGauge
            | Self::Caliper
            | Self::BoreGauge
            | Self::FeelerGauge
            | Self::LoupeScale => dimension == Dimension::Length,
            Self::Thermometer => dimension == Dimension::Temperature,
            Self::Timer => dimension == Dimension::Time,
            Self::MeasuringCylinder => matches!(dimension, Dimension::Volume | Dimension::Flow),
            Self::FlowMeter => matches!(dimension, Dimension::Flow | Dimension::StandardFlow),
            Self::ForceGauge => dimension == Dimension::Force,
            Self::GasMonitor => dimension == Dimension::Percent,
        }
    }
}

impl fmt::Display for InstrumentKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl Serialize for InstrumentKind {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

impl<'de> Deserialize<'de> for InstrumentKind {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let word = String::deserialize(deserializer)?;
        Self::from_word(&word)
            .ok_or_else(|| serde::de::Error::custom("no kind of instrument known here"))
    }
}

/// The scale read: a unit, and for pressure what it is measured from. Text `N·m`, `bar g`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Scale {
    /// Unit of the scale.
    pub unit: Unit,
    /// Gauge, absolute or differential, where the scale says so.
    pub reference: Option<Reference>,
}

impl fmt::Display for Scale {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.unit)?;
        self.reference
            .map_or(Ok(()), |reference| write!(f, " {}", reference.letter()))
    }
}

impl Serialize for Scale {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Scale {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        let (unit, reference) = parse_scale(&text).map_err(serde::de::Error::custom)?;
        Ok(Self { unit, reference })
    }
}

/// The largest error an instrument may have. Text `4 % of reading`, `0.5 % of full scale`, `0.05 bar`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deviation {
    /// A percentage of what is read, as ISO 6789 gives it for torque wrenches.
    OfReading(Quantity),
    /// A percentage of the upper end of the range, as gauge classes give it.
    OfFullScale(Quantity),
    /// The same amount over the whole range.
    Everywhere(Quantity),
}

/// Text that is no permissible deviation.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "a permissible deviation reads \"4 % of reading\", \"0.5 % of full scale\" or \"0.05 bar\""
)]
pub struct DeviationText;

impl FromStr for Deviation {
    type Err = DeviationText;
    fn from_str(text: &str) -> Result<Self, DeviationText> {
        let text = text.trim().trim_start_matches('±').trim();
        let read = |number: &str| Quantity::parse(number).map_err(|_| DeviationText);
        let (quantity, made): (Quantity, fn(Quantity) -> Self) =
            if let Some(front) = text.strip_suffix("of reading") {
                (read(front)?, Self::OfReading)
            } else if let Some(front) = text.strip_suffix("of full scale") {
                (read(front)?, Self::OfFullScale)
            } else {
                (read(text)?, Self::Everywhere)
            };
        let deviation = made(quantity);
        let percent = quantity.dimension() == Dimension::Percent;
        let needs_percent = !matches!(deviation, Self::Everywhere(_));
        if quantity.decimal().digits() <= 0 || (needs_percent && !percent) {
            return Err(DeviationText);
        }
        Ok(deviation)
    }
}

impl Deviation {
    /// Whether it fits a scale: an amount must be of the scale's dimension, a bare percentage only on a percent scale.
    #[must_use]
    pub fn fits(&self, dimension: Dimension) -> bool {
        match self {
            Self::OfReading(_) | Self::OfFullScale(_) => true,
            Self::Everywhere(amount) => amount.dimension() == dimension,
        }
    }
}

impl fmt::Display for Deviation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OfReading(percent) => write!(f, "{percent} of reading"),
            Self::OfFullScale(percent) => write!(f, "{percent} of full scale"),
            Self::Everywhere(amount) => write!(f, "{amount}"),
        }
    }
}

impl Serialize for Deviation {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Deviation {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?
            .parse()
            .map_err(serde::de::Error::custom)
    }
}

/// The coverage factor of an expanded uncertainty, a plain number such as `2`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Coverage(pub Decimal);

impl Serialize for Coverage {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(&self.0)
    }
}

impl<'de> Deserialize<'de> for Coverage {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Decimal::parse(&text)
            .map(Self)
            .map_err(serde::de::Error::custom)
    }
}

/// What a certificate says of an instrument.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Calibration {
    /// Number of the certificate.
    pub certificate: String,
    /// Day of calibration, `2026-03-12`.
    pub calibrated: String,
    /// Last day of use before the next one.
    pub due: String,
    /// Largest permissible deviation.
    pub deviation: Deviation,
    /// Expanded uncertainty: an amount, or a percentage of the reading.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub uncertainty: Option<Quantity>,
    /// Coverage factor of the uncertainty; stands exactly where the uncertainty stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coverage: Option<Coverage>,
}

/// Whether an instrument may be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Service {
    /// In service.
    InService,
    /// Quarantined until returned.
    Quarantined,
    /// Withdrawn for good.
    Withdrawn,
}

/// An instrument on the register.
#[derive(Debug, Clone, PartialEq)]
pub struct Instrument {
    /// Name on site, such as `TW-19`.
    pub id: String,
    /// Maker's serial.
    pub serial: String,
    /// What it is.
    pub kind: InstrumentKind,
    /// Unit of its scale.
    pub scale: Unit,
    /// What a pressure scale is measured from.
    pub reference: Option<Reference>,
    /// Range of the scale.
    pub range: Window,
    /// The part of the range that may be used, where it is less.
    pub usable: Option<Window>,
    /// Smallest step that can be read.
    pub resolution: Quantity,
    /// What the latest certificate says.
    pub calibration: Calibration,
    /// Whether it may be used.
    pub service: Service,
    /// Why it is not in service.
    pub out_of_service: Option<String>,
    /// The latest day's check that it passed: the time of that entry.
    pub checked: Option<String>,
    /// The entry that last changed what is known of it; a day's check passed changes nothing.
    pub fact: Fact,
}

impl Instrument {
    /// Whether it is quarantined or withdrawn.
    #[must_use]
    pub fn quarantined(&self) -> bool {
        self.service != Service::InService
    }

    /// Whether the day (`2026-03-12`) is beyond its due date.
    #[must_use]
    pub fn overdue_on(&self, day: &str) -> bool {
        day > self.calibration.due.as_str()
    }
}
