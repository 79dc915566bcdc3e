//! What happens to instruments in a rebuild's hands.

use serde::{Deserialize, Serialize};

use super::{InstrumentCopy, Kind, bodies};

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
