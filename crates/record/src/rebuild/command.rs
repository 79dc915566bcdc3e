//! What a person may want done to a rebuild. One command gives one entry, or a refusal.

use reseat_procedure::Choices;

use super::ask::Point;
use crate::log::{Hash, Id};

/// A wish of the person at the keyboard.
#[derive(Debug, Clone, PartialEq)]
pub enum Command {
    /// An answer to what was asked.
    Answer {
        /// The point it answers.
        point: Point,
        /// What was given.
        given: Given,
    },
    /// An act that makes safer: a written one by its step id, or words.
    Safer {
        /// The written step, if it is one.
        step: Option<String>,
        /// What was done, where it is none.
        words: String,
    },
    /// Pause; `by_itself` after minutes without a key.
    Pause {
        /// The program paused, not a person.
        by_itself: bool,
    },
    /// STOP.
    Stop {
        /// What happened.
        kind: StopKind,
    },
    /// "Typed wrong": the last or a named reading is struck.
    Strike {
        /// Entry number of the reading; none: the last one.
        entry: Option<u64>,
        /// Why.
        reason: String,
        /// Second person who saw it, needed for a failed reading; he signs.
        seen_by: Option<Id>,
    },
    /// A finding.
    Find {
        /// What was found.
        words: String,
    },
    /// The step due does not apply.
    NotApplicable {
        /// Why.
        reason: String,
    },
    /// An added step before the one due; signed by a releaser or approver.
    Deviate {
        /// What is to be done.
        text: String,
        /// Why.
        reason: String,
    },
    /// Something was dropped or lost.
    Dropped {
        /// What.
        what: String,
    },
    /// Another instrument is taken, for what is asked now.
    TakeInstrument {
        /// Name on site.
        instrument: String,
    },
    /// A length-changing adapter goes on the wrench of the joint that is due; none: it comes off.
    Adapter {
        /// Its measures, and the lever of the wrench.
        said: Option<AdapterSaid>,
    },
    /// An instrument fell or was struck: quarantined at once.
    InstrumentDropped {
        /// Name on site.
        instrument: String,
    },
    /// A part is missing; the job waits.
    WaitForPart {
        /// Which.
        part: String,
    },
    /// A lock came off outside the written acts.
    LockOff {
        /// The point's id; `own` for the person's own lock on the box, `own:` and an id for another person's.
        point: String,
        /// Absent owner: the three facts; none when the owner takes it off himself.
        absent_owner: Option<AbsentOwner>,
    },
    /// A worker's own lock on the box, or off it again: any worker hangs his own, and takes off none but his own.
    OwnLock {
        /// Whose.
        owner: Id,
        /// Its number, on; none: off.
        number: Option<String>,
    },
    /// The work is handed over: what the incoming person must know. The outgoing person signs; the incoming one takes up.
    HandOver {
        /// What is done, what is odd, what is next.
        words: String,
        /// To whom; none: to nobody.
        to: Option<Id>,
        /// To nobody: the state the unit is left in, one of those the site allows.
        left: Option<String>,
    },
    /// A joint is opened again.
    Reopen {
        /// The joint.
        joint: String,
        /// Why.
        reason: String,
    },
    /// The test under way is broken off: what it let in is vented and zero is proved, whatever step is due.
    BreakOff {
        /// Why.
        reason: String,
    },
    /// The work ends unfinished.
    CloseIncomplete {
        /// Why, and what remains.
        reason: String,
    },
    /// A person's date and time is taken as the new floor of the clock.
    GiveClock {
        /// UTC, as in entries.
        utc: String,
    },
    /// Demo home only: the clock is let run on.
    RunOn {
        /// By how many minutes.
        minutes: u32,
    },
}

/// An adapter as stated, each a quantity with its unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AdapterSaid {
    /// Lever of the wrench, from the middle of its drive to the middle of its grip.
    pub lever: String,
    /// Length of the adapter; negative where it shortens.
    pub length: String,
    /// Angle between both; empty: straight on.
    pub angle: String,
}

/// An answer's content.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Given {
    /// Done, or go on.
    Done,
    /// The offer by its number, from 1.
    Choice(u32),
    /// The number of the fastener just pulled.
    Fastener(u32),
    /// Digits as typed.
    Reading(String),
    /// Pieces.
    Count(u64),
    /// Words, cleaned.
    Text(String),
    /// A person; for signatures the one who signs.
    Person(Id),
    /// An instrument by its name on site.
    Instrument(String),
}

/// Why work was stopped at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StopKind {
    /// Something leaks.
    Leak,
    /// A lock moved.
    LockMoved,
    /// Something was dropped.
    Dropped,
    /// Called away.
    CalledAway,
    /// Somebody is hurt.
    Hurt,
}

impl StopKind {
    /// The five kinds in the order shown.
    pub const ALL: [Self; 5] = [
        Self::Leak,
        Self::LockMoved,
        Self::Dropped,
        Self::CalledAway,
        Self::Hurt,
    ];

    /// The words shown and kept.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Leak => "leak",
            Self::LockMoved => "lock moved",
            Self::Dropped => "item dropped",
            Self::CalledAway => "called away",
            Self::Hurt => "person hurt",
        }
    }
}

/// The three facts of 29 CFR 1910.147(e)(3) when a lock's owner is not there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AbsentOwner {
    /// How it was verified that he is not on site.
    pub not_on_site: String,
    /// What was tried to reach him.
    pub attempts: String,
    /// How he is told before he returns.
    pub told: String,
}

/// What starts a rebuild.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Start {
    /// Work order.
    pub work_order: String,
    /// Tag as typed from the nameplate.
    pub tag: String,
    /// Serial as typed from the nameplate.
    pub serial: String,
    /// Where tag or serial differ from the register: the reason a lead records. The lead signs the start.
    pub mismatch: Option<String>,
    /// Serial of the unit chosen on the register.
    pub unit: String,
    /// Hash of the procedure text.
    pub procedure: Hash,
    /// Options chosen.
    pub choices: Choices,
    /// Kit lot.
    pub kit_lot: String,
    /// The performer.
    pub performer: Id,
}
