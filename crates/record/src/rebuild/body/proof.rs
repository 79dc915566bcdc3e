//! Locks, vents, readings and looks: what zero rests on, and what was measured.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{InstrumentCopy, Kind, PersonCopy, bodies};
use crate::register::Fact;

bodies! {
    /// What came from a vent or drain.
    Vented = "vented/1", false {
        /// Step, or the step before which zero was asked.
        step: String,
        /// Index of the ask; none in a gate.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ask: Option<u32>,
        /// Zero side.
        side: String,
        /// What came.
        came: String,
        /// Whether that lets zero stand on this side.
        clear: bool,
        /// Finding opened where nothing came from a vent opened for the first time: it may be blocked.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finding: Option<u32>,
    }

    /// A person's own lock on the box, on or off.
    OwnLock = "own_lock/1", false {
        /// Whose.
        owner: PersonCopy,
        /// Its number.
        number: String,
        /// On, or off.
        on: bool,
        /// Step, where a written act asks it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        step: Option<String>,
        /// Index of the ask.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ask: Option<u32>,
    }

    /// A lock off outside the written acts.
    LockOff = "lock_off/1", false {
        /// Point, or `own`.
        point: String,
        /// Number of the lock.
        number: String,
        /// Whose lock it was.
        owner: String,
        /// How it was verified that the owner is not on site.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        not_on_site: Option<String>,
        /// What was tried to reach him.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        attempts: Option<String>,
        /// How he is told before he returns.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        told: Option<String>,
    }

    /// A required lock on again.
    LockOn = "lock_on/1", false {
        /// Point.
        point: String,
        /// Number of the lock.
        number: String,
        /// Who hung it.
        owner: PersonCopy,
    }

    /// A reading.
    Reading = "reading/1", false {
        /// Step; in a gate the step before which zero was asked.
        step: String,
        /// Joint.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        joint: Option<String>,
        /// Thing measured; `zero/SIDE` in a gate or zero check, `gap/N` at a joint.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        thing: Option<String>,
        /// Fastener.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        fastener: Option<u32>,
        /// Pass.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        pass: Option<u32>,
        /// Which attempt at this slot, from 1.
        attempt: u32,
        /// Digits as typed.
        typed: String,
        /// What they were taken to mean.
        means: String,
        /// dial, electronic, gauge, dimension, count, time or computed.
        method: String,
        /// Instruments, each with its facts; none for a count.
        instruments: Vec<InstrumentCopy>,
        /// Thread and nut face condition.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        condition: Option<String>,
        /// Entries it is computed from.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        from: Vec<u64>,
        /// Named side quantities.
        #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
        with: BTreeMap<String, String>,
        /// Prevailing torque of a locking nut, in the window already.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        prevailing: Option<String>,
        /// Adapter on the wrench; `means` then is the torque at the nut.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        adapter: Option<super::AdapterUse>,
        /// Window judged against.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        window: Option<String>,
        /// WITHIN, LOW or HIGH.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        place: Option<String>,
        /// ACCEPT, CONDITIONAL ACCEPT, CONDITIONAL REJECT or REJECT.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        outcome: Option<String>,
        /// Decision rule.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        rule: Option<String>,
        /// The register entry that named the site's rule.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ruled: Option<Fact>,
        /// Distance beyond the limit when out, to the nearest when in.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        distance: Option<String>,
        /// Probability of conformity, six digits, where the instrument's uncertainty is stated.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        probability: Option<String>,
        /// Finding opened by it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finding: Option<u32>,
    }

    /// A torque that would be WITHIN under a slipped unit: kept without a verdict, and asked about.
    ReadingQueried = "reading_queried/1", false {
        /// Step.
        step: String,
        /// Joint.
        joint: String,
        /// Pass.
        pass: u32,
        /// Fastener; 0 for the setting of a click wrench.
        fastener: u32,
        /// Which attempt.
        attempt: u32,
        /// Digits as typed.
        typed: String,
        /// What they were taken to mean.
        means: String,
        /// Under which slip it would be WITHIN, and what torque that is.
        candidates: Vec<String>,
        /// Instruments.
        instruments: Vec<InstrumentCopy>,
    }

    /// Answer to a queried reading: another scale or instrument was read, so it is asked which, and read again.
    QueryAnswered = "query_answered/1", false {
        /// Step.
        step: String,
        /// The queried entry.
        entry: u64,
        /// `read again`.
        answer: String,
    }

    /// Digits off the scale of the instrument: an entry, not a reading.
    OffScale = "off_scale/1", false {
        /// Step.
        step: String,
        /// What was to be read.
        thing: String,
        /// Digits as typed.
        typed: String,
        /// The instrument.
        instrument: String,
        /// Its range.
        range: String,
    }

    /// Looked again after a short pause.
    LookedAgain = "looked_again/1", false {
        /// What came from the vents.
        came: String,
        /// Whether that lets zero stand.
        clear: bool,
    }

    /// An observed fact asked on resume.
    Observed = "observed/1", false {
        /// What was asked.
        question: String,
        /// What was answered.
        answer: String,
        /// What the record says.
        recorded: String,
        /// Whether they agree.
        agrees: bool,
        /// Finding opened if not.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finding: Option<u32>,
    }
}
