//! What an instrument is: its kind in the words of the record, and what a scale of it may read.

use core::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::unit::Dimension;

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

    /// The lowest part of full scale that may be used, in percent: a fifth for mechanical wrenches, a tenth for electronic
    /// ones (common practice, no source), nought otherwise.
    pub(crate) const fn lowest_percent(self) -> i128 {
        match self {
            Self::ClickWrench | Self::DialWrench => 20,
            Self::ElectronicWrench => 10,
            _ => 0,
        }
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
