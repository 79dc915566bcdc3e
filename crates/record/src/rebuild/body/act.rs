//! Acts, answers and signatures of steps.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Kind, PermitSaid, PersonCopy, bodies};
use crate::log::{Hash, Head};
use crate::register::{Fact, PlacePoint};

bodies! {
    /// The rebuild begins.
    Started = "started/1", true {
        /// Work order.
        work_order: String,
        /// Tag of the place as typed from the nameplate.
        tag: String,
        /// Serial of the unit as typed from the nameplate.
        serial: String,
        /// Its name.
        unit_name: String,
        /// Its serial on the register.
        unit_serial: String,
        /// The register entry of the unit.
        unit_fact: Fact,
        /// The place's tag on the register.
        place_tag: String,
        /// The register entry of the place.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        place_fact: Option<Fact>,
        /// Procedure number.
        procedure: String,
        /// Its revision.
        revision: String,
        /// SHA-256 of the file's exact bytes.
        sha256: Hash,
        /// The approval it rests on.
        approval: Fact,
        /// Options chosen.
        choices: BTreeMap<String, String>,
        /// Kit number.
        kit: String,
        /// Kit lot.
        kit_lot: String,
        /// Who performs.
        performer: PersonCopy,
        /// Site name.
        site: String,
        /// The lockout rule the site follows.
        rule: String,
        /// Minutes without a key until the program pauses.
        pause_minutes: u32,
        /// Longest pause after which looking again suffices, minutes.
        look_again_minutes: u32,
        /// Longest age of a zero check, minutes.
        zero_minutes: u32,
        /// Head of the register as of this entry.
        register: Head,
        /// Why tag or serial differ from the register, recorded by a lead.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        mismatch: Option<String>,
        /// The rebuild open at the same time on the unit that stands in for this one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        beside: Option<super::Beside>,
        /// The unit's own isolating and drain points, as the register had them for this place.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        points: Vec<PlacePoint>,
    }

    /// Someone takes the work up: after a pause, after the program ended, or from another person.
    TakenUp = "taken_up/1", true {
        /// Who.
        person: PersonCopy,
        /// `pause` or `restart`.
        after: String,
        /// The group's locks taken over from another person: point and lock number.
        #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
        locks: BTreeMap<String, String>,
        /// Head of the register as of this entry.
        register: Head,
    }

    /// An act begun, where start and done are apart.
    Begun = "begun/1", false {
        /// Step.
        step: String,
    }

    /// A plain act done, or the act before its other answers.
    Done = "done/1", false {
        /// Step.
        step: String,
        /// Index of the ask, where the act is followed by answers.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ask: Option<u32>,
        /// Locks the act puts on: point and lock number.
        #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
        locks_on: BTreeMap<String, String>,
        /// Locks the act takes off: point and lock number.
        #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
        locks_off: BTreeMap<String, String>,
        /// Who hung a lock that comes off, where it was another than the person at the keys: point and name.
        #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
        hung_by: BTreeMap<String, String>,
        /// Energy the act lets in.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lets_in: Option<String>,
    }

    /// One of several answers.
    Answered = "answered/1", false {
        /// Step.
        step: String,
        /// Index of the ask.
        ask: u32,
        /// What was asked.
        question: String,
        /// What was answered.
        answer: String,
        /// `on`, `again` or `finding`.
        leads: String,
    }

    /// Words asked for.
    Wrote = "wrote/1", false {
        /// Step.
        step: String,
        /// Index of the ask.
        ask: u32,
        /// What was asked.
        question: String,
        /// What was written.
        text: String,
        /// For a nameplate: whether it agrees with the unit.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        agrees: Option<bool>,
        /// For a permit or gas test: its number and end time, as worked out from the text.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        permit: Option<PermitSaid>,
    }

    /// A person asked for.
    Named = "named/1", false {
        /// Step.
        step: String,
        /// Index of the ask.
        ask: u32,
        /// What was asked.
        question: String,
        /// Who.
        person: PersonCopy,
    }

    /// Pieces counted.
    Counted = "counted/1", false {
        /// Step.
        step: String,
        /// Index of the ask.
        ask: u32,
        /// What was counted.
        question: String,
        /// Pieces.
        counted: u64,
        /// Pieces there must be.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        expected: Option<u64>,
        /// Finding opened by a second wrong count.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finding: Option<u32>,
    }

    /// A rest or wait begins.
    RestBegun = "rest_begun/1", false {
        /// Step.
        step: String,
        /// Index of the ask.
        ask: u32,
        /// How long.
        minutes: u32,
    }

    /// A rest or wait is over.
    RestOver = "rest_over/1", false {
        /// Step.
        step: String,
        /// Index of the ask.
        ask: u32,
        /// `clock`, or `person` while the clock is not trusted.
        judged_by: String,
    }

    /// Disposition of parts.
    Disposed = "disposed/1", false {
        /// Step.
        step: String,
        /// Index of the ask.
        ask: u32,
        /// Line of the ask.
        line: u32,
        /// Parts.
        parts: Vec<String>,
        /// discard, keep, inspect, replace or scrap.
        disposition: String,
        /// Pieces counted, for single-use parts.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        counted: Option<u64>,
    }

    /// Another person verifies a step.
    Verified = "verified/1", true {
        /// Step.
        step: String,
        /// `concurrent` or `independent`.
        how: String,
        /// Entries of the verifier's own answers, given blind at the keys of the person whose work it is: his signature makes
        /// them his.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        answers: Vec<u64>,
        /// Who.
        person: PersonCopy,
        /// Head of the register as of this entry.
        register: Head,
    }

    /// The verifier's own answer, blind.
    VerifiedAnswer = "verified_answer/1", false {
        /// Step.
        step: String,
        /// Index of the ask.
        ask: u32,
        /// What was asked.
        question: String,
        /// What the verifier answered.
        answer: String,
        /// Whether it agrees with the performer's.
        agrees: bool,
        /// Finding opened if not.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finding: Option<u32>,
    }

    /// A hold point or a zero check released.
    Released = "released/1", true {
        /// Step, or the step before which zero was asked.
        step: String,
        /// Whether it releases work after a zero check asked as a gate.
        gate: bool,
        /// In which role.
        role: String,
        /// Who.
        person: PersonCopy,
        /// Head of the register as of this entry.
        register: Head,
    }

    /// A signature at the end.
    SignedOff = "signed_off/1", true {
        /// Step.
        step: String,
        /// Index of the ask.
        ask: u32,
        /// `performed` or `verified`.
        meaning: String,
        /// Who.
        person: PersonCopy,
        /// Head of the register as of this entry.
        register: Head,
    }
}
