//! The forms of what is rare in a rebuild, one each.

use super::super::form::Form;
use super::NOTE;

/// What makes safer, as the form offers it.
pub(super) const SAFER: [&str; 5] = [
    "vent opened",
    "cap or blank on",
    "spring backed off",
    "load lowered",
    "something else",
];

/// The last reading is struck; who saw it.
pub(super) fn typed_wrong(names: Vec<String>) -> Form {
    let mut seers = vec!["nobody: the reading was WITHIN or LOW".to_owned()];
    seers.extend(names);
    Form::new(
        "Typed wrong",
        "strike the last reading; it is read again on the hardware",
    )
    .lead(&["The struck number stays in the record with its reason."])
    .text(
        "reason",
        "what was wrong",
        NOTE,
        "For example: a digit too many, the wrong nut's reading.",
    )
    .pick(
        "seen",
        "second person who saw it",
        seers,
        "A reading that was HIGH or failed needs a second person; he signs.",
    )
}

/// An act that makes safer, the written one that lets out what is in first.
pub(super) fn safer(venting: Option<&(String, String)>) -> Form {
    let written = venting.map(|(_, text)| format!("as written: {text}"));
    let kinds = written.into_iter().chain(SAFER.map(str::to_owned));
    Form::new("Makes safer", "write what was done")
        .lead(&["What makes the unit safer is open in every state. Do it first, then write it."])
        .pick("kind", "what was done", kinds.collect(), "")
        .text(
            "words",
            "where, and what else",
            NOTE,
            "For example: V-12, water came and stopped.",
        )
}

/// What is not as it must be.
pub(super) fn finding() -> Form {
    Form::new("A finding", "write the finding").text(
        "words",
        "what was found",
        NOTE,
        "What is not as it must be, and where. A person with the role decides it.",
    )
}

/// Why the step due does not apply.
pub(super) fn not_applicable() -> Form {
    Form::new("Not applicable", "write that the step due does not apply").text(
        "reason",
        "why",
        NOTE,
        "Only where the procedure permits it.",
    )
}

/// A step before the one due, and who signs it.
pub(super) fn added_step(names: Vec<String>) -> Form {
    Form::new(
        "An added step",
        "add the step before the one due; signed by a releaser or approver",
    )
    .text("text", "what is to be done", NOTE, "One act, verb first.")
    .text("reason", "why", NOTE, "")
    .pick(
        "signer",
        "who signs it",
        names,
        "A releaser or an approver.",
    )
}

/// What was dropped or is lost.
pub(super) fn dropped() -> Form {
    Form::new("Dropped or lost", "write it").text(
        "words",
        "what, and where it went",
        NOTE,
        "It is looked for before anything hides it.",
    )
}

/// Which instrument is in hand now.
pub(super) fn instrument_taken() -> Form {
    Form::new("Another instrument", "take it").text(
        "instrument",
        "instrument",
        24,
        "Its name on site. One that may not be used is refused with the reason.",
    )
}

/// The lengths and the angle of an adapter, or none where it came off.
pub(super) fn adapter() -> Form {
    Form::new("An adapter on the wrench", "write it")
        .lead(&["It came off? Leave all three empty."])
        .text(
            "lever",
            "lever of the wrench",
            24,
            "Middle of the drive to middle of the grip, such as 400 mm.",
        )
        .text(
            "length",
            "length of the adapter",
            24,
            "Such as 100 mm; negative where it shortens.",
        )
        .text(
            "angle",
            "angle between both",
            24,
            "Such as 90 deg. Leave it empty where it is straight on.",
        )
}

/// Which instrument fell.
pub(super) fn instrument_dropped() -> Form {
    Form::new(
            "An instrument fell or was struck",
            "write it; it is quarantined at once",
        )
        .lead(&[
            "It takes no reading until it was checked. What it read since its last good check is for recall.",
        ])
        .text("instrument", "instrument", 24, "Its name on site, such as TW-19.")
}

/// Which part the work waits for.
pub(super) fn part_missing() -> Form {
    Form::new("WAITING FOR PART", "write it; the work waits").text(
        "words",
        "which part",
        NOTE,
        "Name and number.",
    )
}

/// Which lock came off, and the three facts where its owner is absent.
pub(super) fn lock_off() -> Form {
    Form::new(
        "A lock came off",
        "write it; hands off until it is back and zero is read anew",
    )
    .text(
        "point",
        "point or lock number, or \"own\"",
        40,
        "As on its tag. Where the owner took it off himself, leave the next three empty.",
    )
    .text(
        "not_on_site",
        "how his absence was verified",
        NOTE,
        "That he is not on site: 29 CFR 1910.147(e)(3)(i)",
    )
    .text(
        "attempts",
        "what was tried to reach him",
        NOTE,
        "29 CFR 1910.147(e)(3)(ii)",
    )
    .text(
        "told",
        "how he is told before he returns",
        NOTE,
        "29 CFR 1910.147(e)(3)(iii)",
    )
}

/// Which joint is opened again.
pub(super) fn reopened() -> Form {
    Form::new(
        "A joint is opened again",
        "write it; the tests after it are void",
    )
    .text("joint", "the joint", 24, "Its number, such as J1.")
    .text("reason", "why", NOTE, "")
}

/// Why a test is broken off.
pub(super) fn broken_off() -> Form {
    Form::new(
        "The test is broken off",
        "write it; venting and zero are asked next",
    )
    .text(
        "reason",
        "why",
        NOTE,
        "Vent from behind the barrier. The test begins anew afterwards.",
    )
}

/// How the unit is left.
pub(super) fn closed_incomplete() -> Form {
    Form::new(
        "Close INCOMPLETE",
        "close; nothing more can be added to this rebuild",
    )
    .text(
        "reason",
        "why, how it stands, what remains",
        NOTE,
        "The next person has only these words.",
    )
}

/// Date and time from another clock.
pub(super) fn clock_given() -> Form {
    Form::new("Date and time", "take it as the new floor of the clock").text(
        "utc",
        "UTC",
        24,
        "For example 2026-03-12 12:55.",
    )
}

/// How far the demo clock runs on.
pub(super) fn run_on() -> Form {
    Form::new("Let the demo clock run on", "let it run on").text(
        "minutes",
        "minutes",
        5,
        "Kept as an entry of the demo record.",
    )
}
