//! What happens to instruments in a rebuild's hands.

use serde::{Deserialize, Serialize};

use super::{InstrumentCopy, Kind, bodies};

/// The adapter that a setting or reading was taken with, and what the wrench showed; the entry's `means` is at the nut.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AdapterUse {
    /// Lever of the wrench.
    pub lever: String,
    /// Length of the adapter.
    pub length: String,
    /// Angle between both.
    pub angle: String,
    /// What the digits typed mean on the wrench's own scale.
    pub showed: String,
}

bodies! {
    /// Another of the instruments that the procedure names is taken for a reading.
    Taken = "taken/1", false {
        /// Step.
        step: String,
        /// Index of the ask.
        ask: u32,
        /// The instrument.
        instrument: InstrumentCopy,
    }

    /// A length-changing adapter on the wrench of a joint; without its measures it came off.
    AdapterOn = "adapter/1", false {
        /// Step.
        step: String,
        /// Joint.
        joint: String,
        /// Lever of the wrench.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lever: Option<String>,
        /// Length of the adapter.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        length: Option<String>,
        /// Angle between both.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        angle: Option<String>,
    }

    /// The day's check of an instrument at its first use; failed, it takes no reading here.
    Checked = "checked/1", false {
        /// The instrument.
        instrument: InstrumentCopy,
        /// What was looked at and seen.
        seen: String,
        /// Whether it was as it must be.
        passed: bool,
    }

    /// An instrument fell or was struck: quarantined at once.
    InstrumentDropped = "instrument_dropped/1", false {
        /// Step due when it fell.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        step: Option<String>,
        /// The instrument.
        instrument: InstrumentCopy,
        /// Finding opened by it, where it was entered as a thing dropped.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finding: Option<u32>,
    }
}
