//! Refusals of a rebuild's acts and answers.

use super::Against;

/// Why an act or answer at the unit is not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Work {
    /// A newer reseat wrote here.
    Newer,
    /// The rebuild is signed or closed.
    Ended,
    /// The answer belongs to a question that is no longer asked.
    NotAskedNow,
    /// Nothing is asked.
    NothingAsked,
    /// Nothing was typed.
    Empty,
    /// No whole number.
    NotAWholeNumber {
        /// As typed.
        typed: String,
    },
    /// No number among the offers.
    NotAnOffer {
        /// As typed.
        typed: String,
        /// Highest offer.
        high: u64,
    },
    /// The text holds what no text may hold.
    BadText {
        /// Why.
        why: String,
    },
    /// The answer is of another kind than asked.
    WrongKind,
    /// Another fastener is next.
    NotNext {
        /// As typed.
        typed: u32,
        /// The one due.
        next: u32,
    },
    /// The digits are no reading.
    Digits {
        /// The quantity's own sentence.
        why: String,
    },
    /// The instrument may not be used; the code is that of the first reason.
    InstrumentUnfit {
        /// Name on site.
        instrument: String,
        /// Every reason, never none.
        against: Vec<Against>,
    },
    /// No joint is due, so no wrench can carry an adapter.
    NoWrenchAtWork,
    /// The measures of an adapter make none.
    Adapter {
        /// The measure's own sentence.
        why: String,
    },
    /// No instrument is wanted here.
    NoInstrumentWanted,
    /// The person may not do this.
    NotAllowed {
        /// Who.
        name: String,
        /// Role wanted.
        role: &'static str,
    },
    /// The person is not on the register, or is retired.
    NobodySuch,
    /// A person does not verify his own work.
    OwnWork {
        /// Who.
        name: String,
    },
    /// The procedure does not permit "not applicable" here.
    MustBeDone,
    /// A step is added where the step due is not done at zero.
    AddedAtZero,
    /// No step is due.
    NoStepDue,
    /// No such reading, or it cannot be struck.
    NotStrikable,
    /// A failed reading is struck only after another person looked.
    SecondLook,
    /// The wait is not over.
    NotYet {
        /// When it is over, local time.
        until: String,
    },
    /// The click wrench is set to another torque.
    SetTo {
        /// What it must be set to.
        required: String,
    },
    /// Items are open.
    StillOpen {
        /// How many.
        count: usize,
        /// The first of them.
        first: String,
    },
    /// The work is paused.
    Paused,
    /// Zero does not stand.
    NotZero {
        /// Why.
        why: String,
    },
    /// No such lock is hung.
    NoLock {
        /// As named.
        point: String,
    },
    /// The lock belongs to another person.
    NotOwner {
        /// Whose it is.
        owner: String,
    },
    /// No such joint, or it is not closed.
    NoJoint {
        /// As named.
        joint: String,
    },
    /// No such step makes safer.
    NotSafer {
        /// As named.
        step: String,
    },
    /// Only a demo home lets its clock run on.
    RealClock,
    /// The date and time given is no date and time, or lies before the last entry.
    BadTime,
    /// The procedure is not approved on this site.
    NotApproved {
        /// Number and revision.
        procedure: String,
    },
    /// The approved revision is superseded.
    Superseded {
        /// Number and revision.
        procedure: String,
    },
    /// The revision this rebuild runs on was superseded since, and nobody has recorded what follows.
    Overtaken {
        /// The revision it runs on.
        kept: String,
    },
    /// The procedure is not written for this unit.
    OtherUnit {
        /// The unit's model.
        model: String,
    },
    /// Tag or serial differ from the register and no lead has recorded why.
    Mismatch {
        /// What differs, in words.
        what: String,
    },
    /// An option is not chosen, or not one of its values.
    Option {
        /// The question.
        question: String,
    },
    /// The unit is not on the register.
    UnitUnknown,
    /// A person signs with his own hand.
    SignsHimself,
    /// Handed over to nobody, to himself, or to one of two things at once.
    HandOverTo,
    /// The site does not allow a unit to be left in that state.
    StateNotAllowed {
        /// The states it allows.
        allowed: Vec<String>,
    },
    /// Nothing was let in for a test that could be broken off.
    NoTest,
    /// The record says otherwise than the state the unit is said to be left in.
    LeftUntrue {
        /// The state.
        state: String,
        /// What speaks against it.
        why: String,
    },
    /// Nobody leaves a unit with test energy in.
    LeftUnderTest {
        /// What is in.
        what: String,
    },
    /// A worker acts at the unit without a lock of his own on the box.
    OwnLockFirst,
    /// The outgoing person's own lock stays on until the next person's is on.
    IncomingFirst {
        /// Who takes the work over.
        name: String,
    },
    /// What was typed names no worker and lock.
    WorkerLock,
    /// The worker's own lock is on already.
    LockOnAlready {
        /// Its number.
        number: String,
        /// Whose.
        name: String,
    },
    /// The number of a lock is recorded on elsewhere.
    LockNumberTaken {
        /// The number.
        number: String,
        /// Where it hangs.
        at: String,
        /// Whose it is.
        whose: String,
    },
    /// Energy is not let in: something is not cleared.
    NotCleared {
        /// What.
        why: String,
    },
    /// The text ends with no end time.
    PermitEnd {
        /// What paper it is.
        what: String,
    },
    /// The end time written lies in the past.
    PermitPast {
        /// What paper it is.
        what: String,
        /// Day and time it ended.
        ended: String,
    },
    /// A permit or gas test has ended, or nobody can say that it is valid.
    PermitEnded {
        /// What paper it is.
        what: String,
    },
    /// A late entry is said to be done before the last act entered.
    LateOrder {
        /// Day and time of that act.
        last: String,
    },
    /// A late entry is said to be done later than now.
    LateFuture {
        /// Day and time now.
        now: String,
    },
    /// This is done now and never entered late.
    NotLate {
        /// What.
        what: &'static str,
    },
    /// A row of values where none is asked.
    NoRow {
        /// What is asked instead.
        wants: &'static str,
    },
    /// A row with more or fewer values than fasteners are open.
    RowLength {
        /// How many were given.
        given: usize,
        /// How many are open.
        open: usize,
    },
}

impl Work {
    /// Stable code.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Newer => "written-by-newer",
            Self::Ended => "rebuild-ended",
            Self::NotAskedNow => "not-asked-now",
            Self::NothingAsked => "nothing-asked",
            Self::Empty => "empty",
            Self::NotAWholeNumber { .. } => "not-a-whole-number",
            Self::NotAnOffer { .. } => "not-an-offer",
            Self::BadText { .. } => "bad-text",
            Self::WrongKind => "wrong-kind",
            Self::NotNext { .. } => "not-next",
            Self::Digits { .. } => "digits",
            Self::InstrumentUnfit { against, .. } => {
                against.first().map_or("instrument-unfit", Against::code)
            }
            Self::NoInstrumentWanted => "no-instrument-wanted",
            Self::NoWrenchAtWork => "no-wrench-at-work",
            Self::Adapter { .. } => "adapter",
            Self::NotAllowed { .. } => "not-allowed",
            Self::NobodySuch => "nobody-such",
            Self::OwnWork { .. } => "own-work",
            Self::MustBeDone => "must-be-done",
            Self::AddedAtZero => "added-at-zero",
            Self::NoStepDue => "no-step-due",
            Self::NotStrikable => "not-strikable",
            Self::SecondLook => "second-look",
            Self::NotYet { .. } => "not-yet",
            Self::SetTo { .. } => "set-to",
            Self::StillOpen { .. } => "still-open",
            Self::Paused => "paused",
            Self::NotZero { .. } => "not-zero",
            Self::NoLock { .. } => "no-lock",
            Self::NotOwner { .. } => "not-owner",
            Self::NoJoint { .. } => "no-joint",
            Self::NotSafer { .. } => "not-safer",
            Self::RealClock => "real-clock",
            Self::BadTime => "bad-time",
            Self::NotApproved { .. } => "not-approved",
            Self::Superseded { .. } => "superseded",
            Self::Overtaken { .. } => "overtaken",
            Self::OtherUnit { .. } => "other-unit",
            Self::Mismatch { .. } => "mismatch",
            Self::Option { .. } => "option",
            Self::UnitUnknown => "unit-unknown",
            Self::SignsHimself => "signs-himself",
            Self::HandOverTo => "hand-over-to",
            Self::StateNotAllowed { .. } => "state-not-allowed",
            Self::NoTest => "no-test",
            Self::LeftUntrue { .. } => "left-untrue",
            Self::LeftUnderTest { .. } => "left-under-test",
            Self::OwnLockFirst => "own-lock-first",
            Self::IncomingFirst { .. } => "incoming-first",
            Self::WorkerLock => "worker-lock",
            Self::LockOnAlready { .. } => "lock-on-already",
            Self::LockNumberTaken { .. } => "lock-number-taken",
            Self::NotCleared { .. } => "not-cleared",
            Self::PermitEnd { .. } => "permit-end",
            Self::PermitPast { .. } => "permit-past",
            Self::PermitEnded { .. } => "permit-ended",
            Self::LateOrder { .. } => "late-order",
            Self::LateFuture { .. } => "late-future",
            Self::NotLate { .. } => "not-late",
            Self::NoRow { .. } => "no-row",
            Self::RowLength { .. } => "row-length",
        }
    }

    /// What is wrong.
    #[must_use]
    #[expect(
        clippy::too_many_lines,
        reason = "the sentence of every refusal, read one against the other"
    )]
    pub fn sentence(&self) -> String {
        match self {
            Self::Newer => "A newer reseat wrote in this record.".to_owned(),
            Self::Ended => "This rebuild is closed.".to_owned(),
            Self::NotAskedNow => "That is not asked any more.".to_owned(),
            Self::NothingAsked => "Nothing is asked here.".to_owned(),
            Self::Empty => "Nothing was typed.".to_owned(),
            Self::NotAWholeNumber { typed } => format!("\"{typed}\" is not a whole number."),
            Self::NotAnOffer { typed, high } => format!("\"{typed}\" is not one of 1 to {high}."),
            Self::BadText { why } => format!("What was typed {why}."),
            Self::Digits { why } => why.clone(),
            Self::WrongKind => "That is not the kind of answer asked for.".to_owned(),
            Self::NotNext { typed, next } => format!("{typed} is not next. Next is {next}."),
            Self::InstrumentUnfit {
                instrument,
                against,
            } => {
                let reasons: Vec<String> = against.iter().map(Against::reason).collect();
                format!("{instrument} may not be used: {}.", reasons.join("; "))
            }
            Self::NoInstrumentWanted => "No instrument is wanted here.".to_owned(),
            Self::NoWrenchAtWork => "No joint is being tightened.".to_owned(),
            Self::Adapter { why } => format!("That is no adapter: {why}."),
            Self::NotAllowed { name, role } => format!("{name} does not hold the role {role}."),
            Self::NobodySuch => "That person is not on the register, or is retired.".to_owned(),
            Self::OwnWork { name } => format!("{name} did this work and cannot verify it."),
            Self::MustBeDone => "The procedure does not permit \"not applicable\" here.".to_owned(),
            Self::AddedAtZero => {
                "An added step is work with the hands at zero, and the step due is not.".to_owned()
            }
            Self::NoStepDue => "No step is due.".to_owned(),
            Self::NotStrikable => "There is no reading here that can be struck.".to_owned(),
            Self::SecondLook => {
                "A LOW or HIGH is struck only after a second person has looked.".to_owned()
            }
            Self::NotYet { until } => format!("The wait is not over before {until}."),
            Self::SetTo { required } => {
                format!("The wrench must be set to {required} for this pass.")
            }
            Self::StillOpen { count, first } => match count {
                1 => format!("One thing is still open: {first}"),
                _ => format!("{count} things are still open. First: {first}"),
            },
            Self::Paused => "The work is paused.".to_owned(),
            Self::NotZero { why } => format!("Zero does not stand: {why}."),
            Self::NoLock { point } => format!("No lock is recorded on {point}."),
            Self::NotOwner { owner } => format!("That lock belongs to {owner}."),
            Self::NoJoint { joint } => format!("{joint} is no closed joint of this unit."),
            Self::NotSafer { step } => {
                format!("Step {step} is not written as one that makes safer.")
            }
            Self::RealClock => "Only a demo home lets its clock run on.".to_owned(),
            Self::BadTime => "That date and time cannot be taken.".to_owned(),
            Self::NotApproved { procedure } => format!("{procedure} is not approved on this site."),
            Self::Superseded { procedure } => {
                format!("{procedure} is superseded by a newer revision.")
            }
            Self::Overtaken { kept } => {
                format!("Revision {kept} was superseded while this rebuild runs on it.")
            }
            Self::OtherUnit { model } => format!("The procedure is not written for model {model}."),
            Self::Mismatch { what } => what.clone(),
            Self::Option { question } => format!("Not chosen: {question}"),
            Self::UnitUnknown => "That unit is not on the register.".to_owned(),
            Self::SignsHimself => "Nobody signs for another person.".to_owned(),
            Self::HandOverTo => "A handover names the other person who takes up, or the state the unit is left in to nobody.".to_owned(),
            Self::StateNotAllowed { allowed } => format!("This site allows a unit to be left in these states: {}.", allowed.join("; ")),
            Self::NoTest => "No test has let anything in.".to_owned(),
            Self::LeftUntrue { state, why } => format!("It cannot be left as \"{state}\": {why}."),
            Self::LeftUnderTest { what } => format!("Nobody leaves the unit with {what} in it."),
            Self::OwnLockFirst => {
                "Nobody acts at the unit without his own lock on the box.".to_owned()
            }
            Self::IncomingFirst { name } => format!("The work was handed over: the own lock of {name} goes on before this one comes off."),
            Self::WorkerLock => "That names no worker and lock.".to_owned(),
            Self::LockOnAlready { number, name } => {
                format!("Own lock {number} of {name} is recorded on already.")
            }
            Self::LockNumberTaken { number, at, whose } => {
                format!("Lock {number} is recorded on at {at}, {whose}; one lock hangs in one place.")
            }
            Self::NotCleared { why } => format!("Nothing is let in yet: {why}."),
            Self::PermitEnd { what } => format!("No end time of the {what} can be read there."),
            Self::PermitPast { what, ended } => format!("That {what} ended {ended}."),
            Self::PermitEnded { what } => {
                format!("The {what} has ended, or nobody has said that it is valid.")
            }
            Self::LateOrder { last } => {
                format!("The last act entered was done at {last}; what comes after it was not done before.")
            }
            Self::LateFuture { now } => format!("That time is not past: it is {now}."),
            Self::NotLate { what } => format!("{what} is not entered late."),
            Self::NoRow { wants } => format!("No such row is asked here, but {wants}."),
            Self::RowLength { given, open } => {
                format!("The row has {given} values, and {open} are open in this pass.")
            }
        }
    }

    /// What to do.
    #[must_use]
    pub fn remedy(&self) -> String {
        match self {
            Self::Newer => "Read it with the release that wrote it; this one changes nothing.",
            Self::Ended => "Start a new rebuild, or add an amendment.",
            Self::NotAskedNow => "Read the question again and answer that.",
            Self::NothingAsked => "Use the keys in the last line.",
            Self::Empty => "Type the answer first.",
            Self::NotAWholeNumber { .. } => "Type digits only.",
            Self::NotAnOffer { .. } => "Type the number in front of the answer.",
            Self::BadText { .. } => "Type it without that character.",
            Self::WrongKind => "Read the question again.",
            Self::NotNext { .. } => "Go to the fastener named, pull it, then type its number.",
            Self::Digits { .. } => "Type what the scale shows, digits only; the instrument gives the unit.",
            Self::InstrumentUnfit { against, .. } => against
                .first()
                .map_or("Take another instrument.", Against::remedy),
            Self::NoWrenchAtWork => "State the adapter when the joint asks for its wrench.",
            Self::Adapter { .. } => {
                "Give lever, length and angle each with its unit, such as 400 mm, 100 mm and 0 deg."
            }
            Self::NoInstrumentWanted => "Type what the scale shows, in digits; an instrument is named where one is chosen.",
            Self::NotAllowed { .. } => "Ask a person who holds it; a lead gives roles under Register, people.",
            Self::NobodySuch => "A lead enrols people under Register, people.",
            Self::OwnWork { .. } => "Another qualified person looks and signs. If nobody is here, it stays NOT VERIFIED.",
            Self::MustBeDone => "Do the step, or have a deviation approved.",
            Self::AddedAtZero => "Add it when work at zero is due. From a test, take the work back first: open the joint again. What makes safer goes by F3 (line mode: safer).",
            Self::NoStepDue => "Sign, or read the record.",
            Self::NotStrikable => "Only readings can be struck; the last one first.",
            Self::SecondLook => "Let a second person look at the hardware and sign the strike.",
            Self::NotYet { .. } => "Wait, or pause the work.",
            Self::SetTo { .. } => "Set the wrench and type the setting.",
            Self::StillOpen { .. } => "Close each of them, or close the work INCOMPLETE.",
            Self::Paused => "Take the work up first, at the unit.",
            Self::NotZero { .. } => "Prove zero on every side first.",
            Self::NoLock { .. } => "Name a point that carries a lock, or the number on the lock.",
            Self::NotOwner { .. } => "He takes it off himself, or the absent-owner route is recorded with its three facts.",
            Self::NoJoint { .. } => "Name a joint that was tightened.",
            Self::NotSafer { .. } => "Write what you did in words.",
            Self::RealClock => "Wait, or enter the work late.",
            Self::BadTime => "Type it as 2026-03-12 12:55, not before the last entry.",
            Self::NotApproved { .. } => "An approver other than its author approves it under Register, procedures.",
            Self::Superseded { .. } => "Start on the newest approved revision.",
            Self::Overtaken { .. } => "Give the reason to go on and let an approver sign it, or pause.",
            Self::OtherUnit { .. } => "Choose a procedure written for this model.",
            Self::Mismatch { .. } => "Stop. Look at the nameplate again; a lead records why before work starts.",
            Self::Option { .. } => "Choose one of the values offered.",
            Self::UnitUnknown => "A lead adds it under Register, units.",
            Self::SignsHimself => "The person named signs with his own PIN.",
            Self::HandOverTo => "Name another performer, or one of the states this site allows.",
            Self::StateNotAllowed { .. } => "Bring the unit into one of them and name it, or hand over to a person.",
            Self::NoTest => "Go on with the step due, pause, or open a joint again.",
            Self::LeftUntrue { .. } => "Bring the unit into that state first, name another, or hand over to a person; a pause is always open.",
            Self::LeftUnderTest { .. } => "Break the test off: vent it and read zero. Or hand over to a person; a pause is always open.",
            Self::OwnLockFirst => "He hangs it, and its number is entered.",
            Self::IncomingFirst { .. } => "Hang it again if it is off already. The next person takes the work up at the unit and hangs his own; then take yours off.",
            Self::WorkerLock => "Type the number in front of the name, a space, and the number on his lock: 2 418.",
            Self::LockOnAlready { .. } => "Take it off first if another one hangs there now.",
            Self::LockNumberTaken { .. } => "Read the number on the lock that hangs here and type that. If that one came off there, write it off first.",
            Self::NotCleared { .. } => "Clear it at the unit and answer what is asked.",
            Self::PermitEnd { .. } => "End the line with the time, such as 4711 18:00, or 4711 2026-03-13 06:00, or 4711 8 h.",
            Self::PermitPast { .. } => "Read day and time on the paper again. If it has ended, get a new one before hands go on.",
            Self::PermitEnded { .. } => "Get a new one and type its number and end time. Making safer is open.",
            Self::LateOrder { .. } => "Give the time it was done, not before that one.",
            Self::LateFuture { .. } => "Give the time it was done, as on the sheet; what is done now is not late.",
            Self::NotLate { .. } => "End the late entry and do it now, at the unit.",
            Self::NoRow { .. } => "Answer what is asked; a row is for the fasteners of one pass of a joint.",
            Self::RowLength { .. } => "Give one value for each that is open, in the joint's order; nothing was entered.",
        }
        .to_owned()
    }
}
