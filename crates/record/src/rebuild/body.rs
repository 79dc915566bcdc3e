//! What each kind of rebuild entry says. A released kind never changes its shape; a changed one gets the next number.
//!
//! What a person was told (verdict, window, outcome) stands in the entry, and so does every fact of the register a
//! decision rests on. `apply` reads these bodies and repeats no rule.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use crate::log::{Entry, Hash, Head, Id};
use crate::register::Fact;

/// Number of the rules these entries are decided by.
pub const RULES: u32 = 1;

/// What may come from a vent or drain, as offered.
pub const KINDS_OF_VENT: &[&str] = &[
    "flowed and stopped",
    "nothing came",
    "still flowing",
    "cannot tell",
];

/// A person as copied from the register.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PersonCopy {
    /// Id on the register.
    pub id: Id,
    /// Name.
    pub name: String,
    /// The register entry it rests on.
    pub fact: Fact,
}

/// An instrument as copied from the register at the moment of use.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InstrumentCopy {
    /// Name on site, such as `TW-19`.
    pub id: String,
    /// The register entry it rests on.
    pub fact: Fact,
    /// What it is.
    pub name: String,
    /// Maker's serial.
    pub serial: String,
    /// Kind, such as `dial torque wrench`.
    pub kind: String,
    /// Scale unit, with its pressure reference.
    pub scale: String,
    /// Range of the scale.
    pub range: String,
    /// Smallest step that can be read.
    pub resolution: String,
    /// Permissible deviation.
    pub deviation: String,
    /// Expanded uncertainty, if the certificate states one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub uncertainty: Option<String>,
    /// Certificate.
    pub certificate: String,
    /// Calibration due, a day.
    pub due: String,
}

macro_rules! bodies {
    ($($(#[$doc:meta])* $name:ident = $kind:literal, $signed:literal {
        $($(#[$fdoc:meta])* $field:ident : $type:ty),* $(,)?
    })*) => {
        $(
            $(#[$doc])*
            #[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
            #[serde(deny_unknown_fields)]
            pub struct $name { $($(#[$fdoc])* pub $field: $type),* }

            impl From<$name> for Body {
                fn from(body: $name) -> Self { Self::$name(Box::new(body)) }
            }
        )*

        /// The body of a rebuild entry.
        #[derive(Debug, Clone, PartialEq, Eq)]
        pub enum Body { $($(#[$doc])* $name(Box<$name>)),* }

        impl Body {
            /// The kind with its version.
            pub const fn kind(&self) -> &'static str {
                match self { $(Self::$name(_) => $kind),* }
            }

            /// The members, as they stand in the entry.
            pub fn members(&self) -> Map<String, Value> {
                let value = match self { $(Self::$name(body) => serde_json::to_value(body)),* };
                match value {
                    Ok(Value::Object(members)) => members,
                    // Bodies hold text, whole numbers, lists and maps with text keys: they always become an object.
                    _ => Map::new(),
                }
            }

            /// Reads the body of an entry; none if the kind or a member is not known to this release.
            pub fn read(entry: &Entry) -> Option<Self> {
                if !entry.beyond.is_empty() { return None; }
                let value = Value::Object(entry.body.clone());
                match entry.kind.as_str() {
                    $($kind => serde_json::from_value(value).ok().map(|body| Self::$name(Box::new(body))),)*
                    _ => None,
                }
            }
        }

        /// Whether entries of this kind are signed.
        pub fn must_sign(kind: &str) -> bool {
            match kind { $($kind => $signed,)* _ => false }
        }

        /// Every kind, for the page that lists them.
        pub const KINDS: &[(&str, bool, &[&str])] = &[$(($kind, $signed, &[$(stringify!($field)),*])),*];
    };
}

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
    }
    /// Someone takes the work up: after a pause, after the program ended, or from another person.
    TakenUp = "taken_up/1", true {
        /// Who.
        person: PersonCopy,
        /// `pause` or `restart`.
        after: String,
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
        /// Fastener.
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
    /// Answer to a queried reading: another instrument was read, so it is read again.
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
    /// Another person verifies a step.
    Verified = "verified/1", true {
        /// Step.
        step: String,
        /// `concurrent` or `independent`.
        how: String,
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
    /// What was done after a HIGH.
    AfterHigh = "after_high/1", false {
        /// The reading's entry number.
        entry: u64,
        /// Joint.
        joint: String,
        /// `pass again`, `all passes again` or `wait for the lead`.
        choice: String,
        /// What was told when it was asked.
        told: String,
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
