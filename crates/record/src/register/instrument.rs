//! Instruments: what a reading was taken with, and what may be believed of it.

use std::fmt;

use reseat_measure::{
    Decimal, Deviation, InstrumentKind, Quantity, Reference, Unit, Window, parse_scale,
};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::Fact;

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

/// A certificate an instrument had: its last good check, until the next one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Certified {
    /// Day of calibration.
    pub calibrated: String,
    /// The entry that keeps it.
    pub fact: Fact,
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
    /// Every certificate it had, oldest first.
    pub certified: Vec<Certified>,
    /// Whether its check is asked at the first use of each day, whatever the site's value.
    pub day_check: bool,
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
