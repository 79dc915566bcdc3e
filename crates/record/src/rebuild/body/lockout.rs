//! Permits with their end times, and what is cleared before energy is let in.

use serde::{Deserialize, Serialize};

use super::{Kind, bodies};

/// Number and end time of a permit or gas test, as worked out from what was written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PermitSaid {
    /// What paper it is, such as `permit` or `gas test`.
    pub what: String,
    /// Its number.
    pub number: String,
    /// When it ends, UTC; none while the clock was not trusted, for then a clock face says no day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ends: Option<String>,
}

bodies! {
    /// A new permit or gas-test number, after the one before it ended.
    Permit = "permit/1", false {
        /// Step before which it was asked.
        step: String,
        /// What was written.
        text: String,
        /// What it says.
        permit: PermitSaid,
    }

    /// A person says whether a permit is still valid at his watch, while the clock cannot tell.
    PermitSeen = "permit_seen/1", false {
        /// Step before which it was asked.
        step: String,
        /// What paper it is.
        what: String,
        /// Its number.
        number: String,
        /// Whether it is valid.
        valid: bool,
    }

    /// Tools or people clear of the unit, asked before energy is let in where the procedure does not ask it.
    Cleared = "cleared/1", false {
        /// Step before which it was asked.
        step: String,
        /// `tools` or `people`.
        what: String,
        /// What was answered.
        answer: String,
        /// Whether that lets energy in.
        clear: bool,
    }
}
