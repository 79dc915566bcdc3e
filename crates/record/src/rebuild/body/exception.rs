//! What is out of the ordinary: findings, strikes, pauses, deviations, the clock.

use serde::{Deserialize, Serialize};

use super::{Kind, PersonCopy, bodies};
use crate::log::{Hash, Head};
use crate::register::Fact;

bodies! {
    /// A finding.
    Found = "found/1", false {
        /// Its number.
        finding: u32,
        /// The step due.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        step: Option<String>,
        /// What was found.
        words: String,
    }

    /// A decision proposed on a finding.
    Proposed = "proposed/1", false {
        /// The finding.
        finding: u32,
        /// replace, rework, use as is, swap unit or scrap unit.
        decision: String,
    }

    /// A proposal taken back.
    Withdrawn = "withdrawn/1", false {
        /// The finding.
        finding: u32,
        /// Why.
        reason: String,
    }

    /// A finding decided.
    Decided = "decided/1", true {
        /// The finding.
        finding: u32,
        /// The decision.
        decision: String,
        /// Who decides.
        person: PersonCopy,
        /// In which role.
        role: String,
        /// Head of the register as of this entry.
        register: Head,
    }

    /// Why the work may go on with the bound revision although the register superseded it.
    RevisionReason = "revision_reason/1", false {
        /// The revision approved now; none where the bound one was withdrawn.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        revision: Option<String>,
        /// SHA-256 of that revision's text, or of the bound one's.
        sha256: Hash,
        /// The register entry that approved that text.
        approval: Fact,
        /// Why.
        reason: String,
    }

    /// That reason taken back.
    RevisionReasonBack = "revision_reason_back/1", false {
        /// Why.
        reason: String,
    }

    /// The work goes on with the bound revision.
    RevisionKept = "revision_kept/1", true {
        /// The bound revision.
        kept: String,
        /// The revision approved now; none where the bound one was withdrawn.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        revision: Option<String>,
        /// SHA-256 of that revision's text, or of the bound one's.
        sha256: Hash,
        /// The register entry that approved that text.
        approval: Fact,
        /// Why.
        reason: String,
        /// Who decides.
        person: PersonCopy,
        /// In which role.
        role: String,
        /// Head of the register as of this entry.
        register: Head,
    }

    /// "Typed wrong": a reading struck; its slot is open again.
    Struck = "struck/1", false {
        /// The reading's entry number.
        entry: u64,
        /// Why.
        reason: String,
    }

    /// A failed reading struck after a second person looked; he signs.
    StruckSeen = "struck_seen/1", true {
        /// The reading's entry number.
        entry: u64,
        /// Why.
        reason: String,
        /// Who saw it.
        person: PersonCopy,
        /// Head of the register as of this entry.
        register: Head,
    }

    /// Paused.
    Paused = "paused/1", false {
        /// Whether the program paused for want of a key.
        by_itself: bool,
        /// State of the unit in words.
        unit: String,
        /// What is loose.
        loose: Vec<String>,
        /// What is next.
        next: String,
    }

    /// Handed over: the outgoing person's part. It stands alone; the incoming person takes up when he comes.
    HandedOver = "handed_over/1", true {
        /// What the incoming person must know.
        words: String,
        /// State of the unit in words.
        unit: String,
        /// What is loose.
        loose: Vec<String>,
        /// What is next.
        next: String,
        /// Locks as recorded.
        locks: String,
        /// Who is to take up; none: nobody, and then the unit is left in a state the site allows.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        to: Option<PersonCopy>,
        /// The state it is left in, as the site names it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        left: Option<String>,
        /// Number of the outgoing person's own lock, still on.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        own_lock: Option<String>,
        /// Who hands over.
        person: PersonCopy,
        /// Head of the register as of this entry.
        register: Head,
    }

    /// STOP.
    Stopped = "stopped/1", false {
        /// leak, lock moved, item dropped, called away or person hurt.
        why: String,
        /// State of the unit in words.
        unit: String,
        /// Finding opened by it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finding: Option<u32>,
    }

    /// An act that makes safer, outside its order.
    Safer = "safer/1", false {
        /// Written step, if it is one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        step: Option<String>,
        /// The step that was due when it was done.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        at: Option<String>,
        /// What was done.
        words: String,
    }

    /// An added step.
    Deviation = "deviation/1", true {
        /// Its id in this rebuild.
        id: String,
        /// The written step before which it stands.
        before: String,
        /// What is to be done.
        text: String,
        /// Why.
        reason: String,
        /// Who approves it.
        person: PersonCopy,
        /// In which role.
        role: String,
        /// Head of the register as of this entry.
        register: Head,
    }

    /// A step that does not apply.
    NotApplicable = "not_applicable/1", false {
        /// Step.
        step: String,
        /// Why.
        reason: String,
    }

    /// Something dropped or lost.
    Dropped = "dropped/1", false {
        /// What.
        what: String,
        /// Finding opened by it.
        finding: u32,
    }

    /// The test under way was broken off: vented and proved first, then begun anew.
    TestBrokenOff = "test_broken_off/1", false {
        /// Why.
        reason: String,
    }

    /// Waiting for a part.
    Waiting = "waiting/1", false {
        /// Which.
        part: String,
        /// State of the unit in words.
        unit: String,
    }

    /// Closed unfinished.
    ClosedIncomplete = "closed_incomplete/1", true {
        /// Why.
        reason: String,
        /// State of the unit in words.
        unit: String,
        /// What remains.
        remains: Vec<String>,
        /// Who.
        person: PersonCopy,
        /// Head of the register as of this entry.
        register: Head,
    }

    /// A person's date and time is the new floor of the clock.
    ClockGiven = "clock_given/1", false {
        /// UTC.
        utc: String,
    }

    /// Demo home: the clock let run on.
    RanOn = "ran_on/1", false {
        /// Minutes.
        minutes: u32,
    }
}
