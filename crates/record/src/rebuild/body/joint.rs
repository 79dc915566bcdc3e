//! What happens at a joint.

use serde::{Deserialize, Serialize};

use super::{InstrumentCopy, Kind, bodies};

bodies! {
    /// Setting of a click wrench, once per pass.
    Setting = "setting/1", false {
        /// Step.
        step: String,
        /// Joint.
        joint: String,
        /// Pass.
        pass: u32,
        /// Digits as typed.
        typed: String,
        /// What they were taken to mean.
        means: String,
        /// What the setting must be.
        required: String,
        /// WITHIN, LOW or HIGH against it.
        place: String,
        /// The wrench.
        instrument: InstrumentCopy,
        /// Thread and nut face condition.
        condition: String,
        /// Prevailing torque of a locking nut, in `required` already.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        prevailing: Option<String>,
        /// Adapter on the wrench; `means` then is the torque at the nut.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        adapter: Option<super::AdapterUse>,
        /// The entry that kept these digits without a verdict, where it was asked which scale was read.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        queried: Option<u64>,
    }

    /// A click wrench pulled: clicked, clicked without moving, did not click.
    Clicked = "clicked/1", false {
        /// Step.
        step: String,
        /// Joint.
        joint: String,
        /// Pass.
        pass: u32,
        /// Fastener.
        fastener: u32,
        /// Which attempt.
        attempt: u32,
        /// What it did.
        did: String,
    }

    /// A fastener pulled to the torque of an intermediate pass with a dial or electronic wrench.
    Pulled = "pulled/1", false {
        /// Step.
        step: String,
        /// Joint.
        joint: String,
        /// Pass.
        pass: u32,
        /// Fastener.
        fastener: u32,
        /// Torque of the pass.
        to: String,
        /// The wrench.
        instrument: String,
        /// Prevailing torque of a locking nut, in `to` already.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        prevailing: Option<String>,
    }

    /// Wrench chosen and fasteners numbered on the steel.
    Ready = "ready/1", false {
        /// Step.
        step: String,
        /// Joint.
        joint: String,
        /// The wrench.
        instrument: InstrumentCopy,
        /// How the fasteners are numbered.
        numbering: String,
    }

    /// A circular round at target.
    Round = "round/1", false {
        /// Step.
        step: String,
        /// Joint.
        joint: String,
        /// Which round, from 1.
        round: u32,
        /// How many moved.
        moved: u32,
        /// Torque held.
        at: String,
        /// Finding opened when the last permitted round still moved some.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finding: Option<u32>,
    }

    /// The click wrench is set back to its lowest.
    SetBack = "set_back/1", false {
        /// Step.
        step: String,
        /// Joint.
        joint: String,
        /// The wrench.
        instrument: String,
    }

    /// Feeler at a metal-to-metal gap.
    Feeler = "feeler/1", false {
        /// Step.
        step: String,
        /// Joint.
        joint: String,
        /// Thickness.
        feeler: String,
        /// Whether it entered anywhere.
        enters: bool,
        /// Finding opened if it did.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finding: Option<u32>,
    }

    /// Thread and nut face condition stated.
    Condition = "condition/1", false {
        /// Step.
        step: String,
        /// Index of the ask.
        ask: u32,
        /// Joint.
        joint: String,
        /// As stated.
        condition: String,
        /// As the window is written for.
        written: String,
        /// Whether they agree.
        agrees: bool,
    }

    /// A fastener re-checked after rest: a check, not a reading.
    Rechecked = "rechecked/1", false {
        /// Step.
        step: String,
        /// Joint.
        joint: String,
        /// Fastener.
        fastener: u32,
        /// Whether it moved.
        moved: bool,
        /// At this torque.
        at: String,
        /// Finding opened if it moved.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finding: Option<u32>,
    }

    /// What was done after a HIGH, or after a torque in the window that its rule does not accept.
    AfterHigh = "after_high/1", false {
        /// The reading's entry number.
        entry: u64,
        /// Joint.
        joint: String,
        /// `pass again`, `all passes again`, `pull on` or `wait for the lead`.
        choice: String,
        /// What was told when it was asked.
        told: String,
        /// Percent of proof (or yield) it came to at the lowest nut factor of the condition stated.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        percent: Option<String>,
        /// True above the strength limit: only what replaces stud and nut was offered.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        stretched: Option<bool>,
        /// Finding opened for the lead.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finding: Option<u32>,
    }

    /// A joint opened again: its readings and every later test are void.
    Reopened = "reopened/1", false {
        /// Joint.
        joint: String,
        /// Why.
        reason: String,
    }
}
