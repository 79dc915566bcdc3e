//! The finding codes: stable names, each with its explanation.

use crate::finding::Severity;

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $code:literal: $text:literal;)*) => {
        $($(#[$doc])* #[doc = $text] pub const $name: &str = $code;)*

        /// Every code with its explanation, in the order of this table.
        pub const ALL: &[(&str, &str)] = &[$(($code, $text)),*];
    };
}

codes! {
    TOO_LARGE = "too-large": "The file is larger than any procedure. The reader stops before it spends memory on it. Give the file of one procedure.";
    NOT_UTF8 = "not-utf8": "The file is not UTF-8 text. Approval is of exact bytes and the screens show Unicode, so the reader guesses no other encoding. Save it as UTF-8.";
    BYTE_ORDER_MARK = "byte-order-mark": "The file starts with a byte-order mark, which some editors write unseen. JSON has none (RFC 8259, section 8.1). Save it as UTF-8 without one.";
    TOO_DEEP = "too-deep": "Brackets are nested deeper than a procedure ever needs. The reader refuses such a text before it works on it.";
    NOT_JSON = "not-json": "The text is not JSON. Nothing of it can be read until the bracket, comma or quote at the place named is mended.";
    FORMAT_UNKNOWN = "format-unknown": "The format number is not one that this release reads. Format 1 is read; a higher number was written for a newer reseat.";
    DUPLICATE_MEMBER = "duplicate-member": "One object holds the same member twice. JSON readers disagree on which counts, so none does.";
    UNKNOWN_MEMBER = "unknown-member": "The format knows no member of this name here. Mostly a slip of the keyboard: the nearest name is offered. Nothing unknown is skipped, for a skipped limit would be no limit.";
    MISSING_MEMBER = "missing-member": "A member without which the procedure says too little is not there.";
    WRONG_KIND = "wrong-kind": "Another kind of value is wanted here. Quantities and windows are texts with their unit inside, because a bare number has no unit.";
    UNKNOWN_WORD = "unknown-word": "Only certain words may stand here; this is none of them. The nearest one is offered.";
    EMPTY_TEXT = "empty-text": "A text that people read, or a name, is empty.";
    BAD_NUMBER = "bad-number": "A count or a time in minutes is not a whole number in its range, or is 0 where nothing is meant by 0.";
    CONTROL_CHARACTER = "control-character": "A text holds a character that steers a terminal or turns the reading direction. What people see must be what stands there.";
    DUPLICATE_NAME = "duplicate-name": "Two things of one kind have the same name, so that nobody can tell which is meant. Only joints, parts and tests may share a name, where their `when` differs.";
    UNKNOWN_NAME = "unknown-name": "A step or a declaration names something that is not declared. The nearest declared name is offered.";
    BAD_QUANTITY = "bad-quantity": "A quantity cannot be read: number, one space, unit, as in `40 N·m`; pressure with g, a or d behind, as in `70 bar g`.";
    BAD_WINDOW = "bad-window": "A window cannot be read: `low..high unit`, `low.. unit` or `..high unit`, as in `115..130 N·m` or `..0.05 mm`. Both limits belong to the window.";
    BAD_UNIT = "bad-unit": "A reading without a window needs the unit it is written in, spelled as the table of units has it; with a window the unit is the window's and is not written twice.";
    BAD_ANSWER = "bad-answer": "The right answer of an orientation question must be one of its answers, word for word, and there must be at least two.";
    LEAK_READINGS = "leak-readings": "A leak rate is worked out of five readings in this order: start pressure, start temperature, end pressure, end temperature, time held. It needs the volume under test, an absolute atmosphere where one is written, and a window that is a flow.";
    BALANCE_READINGS = "balance-readings": "The outlet pressure that the set spring carries is worked out of two screw heights, where the screw just touches the spring and at the set-point, and of the inlet pressure, gauge, where the inlet presses on a seat of a written area. Spring rate, areas and the force of a seat spring are above 0, and the window is a gauge pressure.";
    EMPTY_LIST = "empty-list": "A list that must hold something is empty: answers of a choice, values of an option, passes or wrenches of a joint, sections, steps of a section.";
    VENTED_EMPTY = "vented-empty": "Something is vented that was never let in under this name. What was let in must be vented by the same name, or the proof cannot see that it is out.";
    ISOLATED_TWICE = "isolated-twice": "A point is isolated a second time, or a drain opened that is open. One of the two steps is one too many, or names the wrong point. The release of a source that has one drain opens that drain.";
    LOCKED_TWICE = "locked-twice": "A lock is hung a second time on the same point. One of the two steps is one too many, or names the wrong point.";
    LOCKED_BEFORE_ISOLATED = "locked-before-isolated": "A lock goes on a point that is not isolated yet, or on a drain that is not open. A source with one drain opens it by its release; of several each is opened by `isolate`, and so is one that a refill watch has shut. The order per source is prepare, shut down, isolate, lock, release, verify (29 CFR 1910.147(d)).";
    RESTORED_UNDER_LOCK = "restored-under-lock": "A point is put back while its lock is still on it.";
    RELEASED_TOO_EARLY = "released-too-early": "Stored energy is let out before its source is isolated and locked; it can come back (29 CFR 1910.147(d)(5)).";
    LOCK_NOT_ON = "lock-not-on": "A lock is taken off that is not on, so a step is missing or doubled.";
    LOCK_OFF_EARLY = "lock-off-early": "An isolation lock comes off while the unit is being worked on. Only the return, or a written test sequence with people clear, may do that (29 CFR 1910.147(e), (f)(1)).";
    OWN_LOCKS_FIRST = "own-locks-first": "An isolation lock comes off before the workers' own locks. Each worker takes his own off first.";
    PROVED_TOO_EARLY = "proved-too-early": "Zero is proved on a side before every point of its source is isolated and locked; what is read then proves nothing.";
    PROVED_BEFORE_RELEASE = "proved-before-release": "Zero is proved before the energy was let out.";
    PROVED_UNDER_TEST = "proved-under-test": "Zero is proved while test energy is still in.";
    COVER_ON_TWICE = "cover-on-twice": "A cover, sleeve or supply goes on twice without coming off between.";
    COVER_NOT_ON = "cover-not-on": "A cover, sleeve or supply comes off that is not on.";
    HANDS_ON_UNDER_TEST = "hands-on-under-test": "The unit is worked on while test energy is in. Only reading, looking, venting and the acts written for the test are open then.";
    OWN_LOCKS_MISSING = "own-locks-missing": "The unit is worked on before each worker's own lock is on.";
    ENERGY_NOT_RELEASED = "energy-not-released": "The unit is worked on before a spring, a weight, heat, trapped fluid or a source that no side of the zero check reads is made harmless.";
    OPENED_BEFORE_LOCKED = "opened-before-locked": "The unit is opened before every source is isolated and locked.";
    OPENED_UNDER_PRESSURE = "opened-under-pressure": "The unit is opened before zero is proved on every side of the seat. A shut seat traps pressure on one side of it.";
    ZERO_NOT_RELEASED = "zero-not-released": "The unit is opened before a named role has released the proof of zero: a hold on a step that proves every side.";
    OPENED_TWICE = "opened-twice": "A joint is slackened or its fasteners come off a second time with nothing between.";
    CRACK_ORDER = "crack-order": "A joint comes apart in the wrong order. Slacken, crack it away from you with its fasteners still on, only then take them off.";
    CLAMPED_PART_MISSING = "clamped-part-missing": "A joint is closed while something it clamps is not on yet.";
    HAND_START_TWICE = "hand-start-twice": "Fasteners are run on by hand that are on already.";
    LUBRICANT_MISSING = "lubricant-missing": "Fasteners are run on before the lubricant their window is written for.";
    NO_HAND_START = "no-hand-start": "A joint is tightened whose fasteners were not run on by hand; a crossed thread takes the torque and clamps nothing.";
    TIGHTENED_TWICE = "tightened-twice": "A tight joint is tightened again. A wrench on a tight nut proves only “at least”; write a re-check, or slacken first.";
    REST_TOO_SHORT = "rest-too-short": "A joint rests for less time before its re-check than it says in `recheck_after`.";
    RECHECK_OUTSIDE_WINDOW = "recheck-outside-window": "A joint is re-checked at a torque outside its window. More overloads the bolts; less moves no nut, however loose it is.";
    RECHECK_TOO_EARLY = "recheck-too-early": "A joint is re-checked before it is tight and has rested.";
    PART_STILL_CLAMPED = "part-still-clamped": "A part comes off or goes on while the fasteners of a joint that clamps it are on.";
    PART_NOT_ON = "part-not-on": "More pieces of a part come off than are on.";
    PART_NEVER_OFF = "part-never-off": "A part is fitted that never came off, so a step is missing or names the wrong part.";
    PART_FITTED_TWICE = "part-fitted-twice": "A part is fitted that is on already, so one of the two steps is wrong.";
    COUNT_DIFFERS = "count-differs": "The pieces that come off are not as many as those that go on, or a count asks for another number than there is.";
    SINGLE_USE_REFITTED = "single-use-refitted": "A single-use part is fitted again, for the kit has no new one.";
    PART_COVERED = "part-covered": "A part comes off or goes on while something that covers it is on.";
    VERIFIED_TOO_EARLY = "verified-too-early": "A part is verified before it is fitted, so nothing of its fitting is seen.";
    VERIFIED_HIDDEN = "verified-hidden": "A part is verified after something hides it; nobody can see it any more.";
    LUBRICANT_LATE = "lubricant-late": "A lubricant is put on after the fitting it belongs to.";
    LUBRICANT_WRONG = "lubricant-wrong": "A lubricant does not suit the rubber, or the condition the joint's window is written for.";
    NO_WINDOW = "no-window": "With some choice of options a step works on a joint that has no entry for that choice, so no window.";
    PART_NOT_ON_ROUTE = "part-not-on-route": "With some choice of options a step handles a part that the unit does not have then.";
    TOO_MANY_ROUTES = "too-many-routes": "The options multiply to more than 4,096 choices, or their choices and all that is on each of them to more than 8,000,000, or their acts and the things declared to more than 2,000,000,000. The proof looks at every one, so it refuses before any work.";
    TEST_TOO_EARLY = "test-too-early": "A test comes before a joint, a part, a rest, a re-check, a verification, the balance or the decisions are complete.";
    PART_NOT_REFITTED = "part-not-refitted": "A part comes off and neither it nor a new one ever goes on.";
    KIT_PART_NOT_FITTED = "kit-part-not-fitted": "The kit brings a part that no step fits; either the step or the kit line is missing.";
    PREVAILING_NOT_READ = "prevailing-not-read": "A locking nut has a prevailing torque, but no reading measures it before the joint is tightened on every route. Target and window are raised by what is read; without it a right torque is called HIGH.";
    JOINT_NOT_TIGHTENED = "joint-not-tightened": "A joint is opened, or opened again, and never tightened through its last pass after that.";
    LOCK_LEFT_ON = "lock-left-on": "A lock is hung and never taken off; each lock comes off by a written step.";
    POINT_NOT_RESTORED = "point-not-restored": "An isolating point is never put back for service, or a drain that was opened is never shut.";
    COVER_LEFT_ON = "cover-left-on": "A cover, sleeve, plug or test supply goes on and never comes off.";
    ENERGY_LEFT_IN = "energy-left-in": "Test energy is let in and never vented; the unit would be handed on under pressure.";
    OWN_LOCKS_LEFT_ON = "own-locks-left-on": "The workers' own locks never come off; no step asks it on return.";
    NO_DISPOSITIONS = "no-dispositions": "Parts come off, but after that no step asks whether they are kept, discarded or inspected.";
    NO_BALANCE = "no-balance": "Parts come off, but no step balances pieces off against pieces on.";
    TOOLS_NOT_COUNTED = "tools-not-counted": "No step counts wrenches, picks and rags out of the unit.";
    NO_ZERO_CHECK = "no-zero-check": "The unit is opened, but the procedure declares no side of a zero-energy check; the program has no gate to ask when zero is stale.";
    NO_SIGNATURE = "no-signature": "No step asks the signatures of performer and verifier.";
    STEP_UNREACHABLE = "step-unreachable": "A step comes after the signatures, which end the record.";
    ORIENTATION_NOT_ASKED = "orientation-not-asked": "A part with a right way up is fitted, but the step asks nothing that shows which way it went in.";
    ORIENTATION_GIVEN_AWAY = "orientation-given-away": "A word of the right answer alone stands in the act or the question, so who reads can answer without looking.";
    VERIFIED_BY_NOBODY = "verified-by-nobody": "A step verifies parts but names no verification by another person, or asks that person nothing he could find.";
    ASKS_DIFFER = "asks-differ": "What a step asks and what it says it does differ: a joint tightened, re-checked or rested in one but not in the other, or zero proved with nothing read.";
    LETS_IN_UNSAID = "lets-in-unsaid": "A step lets energy in but does not say so; at the unit zero would still seem proved.";
    TEST_OVER_LIMIT = "test-over-limit": "A test goes beyond the limit of its chamber.";
    TEST_WITHOUT_GAUGE = "test-without-gauge": "Pressure is let in with no gauge named, or with one that does not reach it.";
    GAUGE_SCALE = "gauge-scale": "The full scale of the gauge is less than 1.5 or more than 4 times the highest test pressure it reads (from memory, no source read).";
    GAUGE_WITHOUT_RANGE = "gauge-without-range": "Pressure is let in on a gauge that states no range, so nobody knows whether it reaches the pressure.";
    ZERO_WINDOW_WIDE = "zero-window-wide": "The limits of zero on a side reach to the end of its gauge or beyond, so that every reading is zero. Mostly a slip of the unit.";
    ZERO_WINDOW_DIFFERS = "zero-window-differs": "A reading that proves zero on a side has other limits than the side, so that one of the two is not meant.";
    NO_PPE = "no-ppe": "Work is done at the unit in a section that says nothing of what to wear (`ppe`).";
    ZERO_WINDOW_NARROW = "zero-window-narrow": "The limits of zero on a side are narrower than the error of its gauge, or have no width. A true zero would be refused, and people learn to read around it.";
    UNUSED_NAME = "unused-name": "Something is declared that no step uses: a slip, or a step forgotten.";
    JOINT_AMBIGUOUS = "joint-ambiguous": "Two entries of one joint can stand on the same route, so the window is ambiguous.";
    PASS_ORDER = "pass-order": "A pass is not above the one before; passes rise to the target.";
    PASS_OUTSIDE_WINDOW = "pass-outside-window": "The last pass, the target, is not in the joint's window.";
    WINDOW_ONE_SIDED = "window-one-sided": "The window of a joint has only one limit; torque needs both.";
    NO_ROUNDS = "no-rounds": "A joint of more than two fasteners ends with its last pass and no round; the first nuts relax as the others are tightened.";
    WRENCH_WITHOUT_RANGE = "wrench-without-range": "No wrench of the joint states its usable range, so nobody knows whether it can make the passes.";
    NO_WRENCH_FOR_PASS = "no-wrench-for-pass": "No wrench listed for the joint has a usable range that holds each pass and the window.";
    THREAD_UNKNOWN = "thread-unknown": "The thread is not in the table, so nothing can be worked out about the joint.";
    GRADE_UNKNOWN = "grade-unknown": "The grade is not in the table, or has no published strength for this thread.";
    CONDITION_UNKNOWN = "condition-unknown": "The letter names no thread condition. Known: N nickel and H graphite anti-seize, G food grease, P PFPE grease, O oiled, Z zinc dry, D plain dry.";
    DRY_STAINLESS = "dry-stainless": "Dry stainless on stainless is refused: it galls.";
    OVER_75 = "over-75-percent": "The top of the window loads the bolts beyond 75 % of proof at the lowest nut factor of the condition. With an engineer's reason in the procedure it is a note.";
    SLIP_OVER_90 = "slip-over-90-percent": "One slip of condition, anti-seize on a dry joint, loads the bolts beyond 90 % of proof. It is a note where the procedure asks the condition before the first pass and states the slip at the joint.";
    CLAMP_TOO_LOW = "clamp-too-low": "At the bottom of the window and the highest nut factor of the condition the fasteners together clamp with less than the joint needs, as the procedure states it in `clamp_needed`; or what is stated there is no force. A joint that passed its torque could leak.";
    WINDOW_NARROW = "window-narrow": "The window is no wider than the deviation of the best wrench listed (4 % of reading where it states none; ISO 6789, read second-hand).";
    LONG_TEXT = "long-text": "An act has more than 20 words (ASD-STE100, excerpt).";
    VERB_FIRST = "verb-first": "An act begins with something other than a verb of the field. Only a condition with a comma may stand before it (writer's guide, action steps).";
    TWO_ACTS = "two-acts": "One step holds two acts. A separate step for each act (MIL-STD-2106A(SH), appendix B), or one of them is forgotten.";
    CONDITION_LATE = "condition-late": "A condition stands after its act. Who reads the act first does it before he reads the condition.";
    NEGATIVE = "negative": "An act is told by its opposite: not, never, avoid. Acts are positive; what to avoid is a warning.";
    PASSIVE = "passive": "An act is passive, so nobody is told to do it.";
    SIGNAL_WORD_IN_ACT = "signal-word-in-act": "A signal word stands in an act, or a second one in a warning. Warnings precede the step, unnumbered, with one of four words (ANSI Z535, MIL-STD-2106A(SH)).";
    SIGNAL_WORD_WEAK = "signal-word-too-weak": "A warning of what can hurt people has NOTICE, or one of what can kill has CAUTION or NOTICE. DANGER: will kill or maim; WARNING: could; CAUTION: could hurt less; NOTICE: things alone (ANSI Z535.4).";
    SIGNAL_WORD_STRONG = "signal-word-too-strong": "A warning of damage to things alone has DANGER, WARNING or CAUTION. Whoever meets those words for a scratched ring stops believing them; NOTICE is the word (ANSI Z535.4).";
    BARE_NUMBER = "bare-number": "A limit is told by a number alone. A required value has its unit, low and high (10 CFR 50 appendix B, criterion V).";
    VAGUE_WORDS = "vague-words": "Words that say no limit: hand tight, firmly, as required, snug, check. A required value has unit, low and high (10 CFR 50 appendix B, criterion V).";
    ACT_IN_WARNING = "act-in-warning": "A warning holds an act of the procedure; nobody ticks it, so it is forgotten.";
    RELEASED_TWICE = "released-twice": "An energy is released a second time with nothing let in between; one of the two steps is one too many.";
    RESTORED_TWICE = "restored-twice": "A point is put back for service that is in service already, or a drain is shut that is not open.";
    DRAIN_OPEN = "drain-open": "A source is put back while a drain of its side is still open.";
    TEST_WITHOUT_ENERGY = "test-without-energy": "A test is written where no pressure or air is let in, so it proves nothing.";
    PRESSURE_FALLS = "pressure-falls": "A lower pressure is let into a chamber that still holds a higher one; the vent between is missing.";
    READ_OUT_UNPROVED = "read-out-unproved": "A hold reads out zero on a side that no earlier step has read or looked at.";
    HIDDEN_UNVERIFIED = "hidden-unverified": "A part from the kit, or one with a right way up, is hidden before anyone verified it or was asked its orientation.";
    NOT_CLEANED = "not-cleaned": "A part that is used again goes on without having been cleaned since it came off.";
    NOT_INSPECTED = "not-inspected": "A part goes on again after fewer looks or measurements than it wants (`inspections`) since it came off. Worn or cracked, it goes back unseen.";
    NOT_TESTED = "not-tested": "A joint that closes a pressure boundary was opened, but no test reaches the chamber's test pressure after the tightening.";
    NO_PERMISSION = "no-permission": "The first isolating act comes before a hold in which operations sign the unit over.";
    NOT_TAKEN_BACK = "not-taken-back": "After the last point is put back no hold lets operations take the unit back.";
    NO_SCRAP = "no-scrap": "Discarded single-use parts are destroyed or bagged after their dispositions and before the first new part is opened, or an old one can go back in.";
    NO_DECISIONS = "no-decisions": "Parts are inspected, but no step has each finding decided before the first part goes on.";
    PASS_STEPS = "pass-steps": "One pass adds more than 65 % of the target at once; a ring of fasteners is then loaded unevenly (common practice; 30/60/100 % is published).";
    JOINT_COVERED = "joint-covered": "A joint is slackened or tightened while something that lies over its fasteners is on: a split pin, a lock plate, a cap.";
    COVER_MISSING = "cover-missing": "A part goes on while a cover that spares it is not on, such as a sleeve over threads that would cut it.";
    NEVER_VERIFIED = "never-verified": "A part that must be verified is fitted, but no step has another person verify it after that.";
    KIT_PART_KEPT = "kit-part-kept": "The kit brings a new part, but the old one is not single-use, so nothing says which of the two goes on.";
    TEST_NOT_DONE = "test-not-done": "A test that is wanted is not done after the joints it tests were last closed. A test left out leaves no trace at the unit.";
    POINT_STANDS_WRONG = "point-stands-wrong": "A test is done, or a chamber raised, while a point stands open that is wanted shut, or shut that is wanted open (`open` and `shut` of the test or of `let_in`): no flow where the set-point is read on one, or flow where a lock-up is.";
    TEST_BELOW_PRESSURE = "test-below-pressure": "A test is done while less pressure is in than it wants (`at`): soap at 3 bar shows less than soap at 5 bar.";
    TEST_NOT_ON_ROUTE = "test-not-on-route": "With some choice of options a step does a test that is not wanted then.";
    AIR_LEFT_IN = "air-left-in": "A chamber tested with liquid is put under pressure before liquid ran without air from its high point, or is filled while that point is shut. Trapped air stores energy and hides a leak.";
    DRAIN_OPEN_IN_TEST = "drain-open-in-test": "Pressure goes into a chamber while a drain that lies on it is open.";
    DRAIN_SHUT = "drain-shut": "The unit is opened while a drain that was open is shut again, as for a refill watch. What leaks past the isolation collects behind it.";
    REFILL_NOT_WATCHED = "refill-not-watched": "A drain is shut to see whether its side fills again, but the side is read with no wait between, or the drain is opened again before the side is read. What leaks past an isolation shows only behind a shut drain and after a while.";
    DRAIN_UNDER_PRESSURE = "drain-under-pressure": "A drain is opened on a chamber that still holds test pressure. Vent it first, where the procedure says how.";
    ZERO_BY_VENT_ALONE = "zero-by-vent-alone": "Zero is released for work on a side of which only the vent was looked at. A blocked vent shows nothing; the gauge of each side is read before the first opening (29 CFR 1910.147(d)(6)).";
    OWN_LOCKS_NOT_ON = "own-locks-not-on": "The workers' own locks are asked off, but they are not on; a step that hangs them is missing or one that takes them off is doubled.";
    SEAT_OVER_CLASS = "seat-over-class": "The window of a seat test lets more through than the seat leakage class it names (ANSI/FCI 70-2), or has no top, or counts in a unit in which the class says nothing.";
    MODEL_TOO_LONG = "model-too-long": "A model of unit is longer than the register keeps, so no unit there can ever match it.";
}

/// What a code means and what to do about it; none for an unknown code.
pub fn explain(code: &str) -> Option<&'static str> {
    ALL.iter()
        .find(|(name, _)| *name == code)
        .map(|(_, text)| *text)
}

/// What to write instead of an unknown code: the nearest one, as a sentence.
pub fn offer(code: &str) -> String {
    crate::nearest::offer(code, ALL.iter().map(|(name, _)| *name))
}

/// The severity of a code where it is always the same: style and advice warn, everything else is an error.
pub fn severity(code: &str) -> Severity {
    match code {
        GAUGE_SCALE | GAUGE_WITHOUT_RANGE | ZERO_WINDOW_NARROW | NO_PPE | PASS_STEPS
        | KIT_PART_KEPT | NOT_CLEANED | UNUSED_NAME | NO_ROUNDS | WRENCH_WITHOUT_RANGE
        | CLAMP_TOO_LOW | WINDOW_NARROW | SLIP_OVER_90 | LONG_TEXT | VERB_FIRST
        | CONDITION_LATE | NEGATIVE | PASSIVE | SIGNAL_WORD_WEAK | SIGNAL_WORD_STRONG => {
            Severity::Warning
        }
        _ => Severity::Error,
    }
}
