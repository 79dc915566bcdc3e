//! An instrument found out: a point of the bench, the day of the last good check, and why its readings are put in doubt.

use super::super::deeds::NOTE;
use super::super::form::Form;
use super::super::message::{Effect, RecallAsked};
use super::super::model::Common;
use super::super::overlay::{Overlay, Sheet, Wish};
use super::super::sign::{Pending, Sign};
use super::said;

pub(super) fn point(asked: &RecallAsked) -> Form {
    Form::new(
        format!("What the bench found of {}", asked.instrument),
        "add the point; every reading is judged again",
    )
    .lead(&["One point at a time, from the lowest true value to the highest."])
    .text(
        "bench",
        "true on the bench",
        24,
        "Such as 100: digits are in the unit of its scale; any other unit is typed with them.",
    )
    .text("showed", "what it showed", 24, "Such as 109.")
}

pub(super) fn last_check(asked: &RecallAsked, day: &str) -> Form {
    Form::new(
        format!("The last good check of {}", asked.instrument),
        "list the readings since that day",
    )
    .lead(&["The last day on which it was right. What was read from that day on is in question."])
    .text("day", "on which day", 10, "Such as 2026-03-12.")
    .filled("day", day)
}

pub(super) fn reason(instrument: &str, count: usize) -> Form {
    let readings = if count == 1 {
        "1 reading".to_owned()
    } else {
        format!("{count} readings")
    };
    Form::new(
        format!("{readings} of {instrument} IN DOUBT"),
        "put them in doubt; signed by a releaser or a lead",
    )
    .lead(&["One entry of the register names each of them. The records are not changed."])
    .text("reason", "why", NOTE, "What was found out, and how.")
}

/// The list with one more point.
pub(super) fn take_point(asked: &RecallAsked, form: &Form) -> Wish {
    let mut asked = asked.clone();
    asked
        .found
        .push((said(form, "bench"), said(form, "showed")));
    looks(asked)
}

/// The list since another day.
pub(super) fn take_last_check(asked: &RecallAsked, form: &Form) -> Wish {
    looks(RecallAsked {
        since: Some(said(form, "day")),
        ..asked.clone()
    })
}

/// Readings are put in doubt by whoever signs.
pub(super) fn take_reason(sheet: &Sheet, common: &Common) -> Wish {
    let pending = Pending::Recall(said(&sheet.form, "reason"));
    let sign = Sign::new(
        "puts the readings in doubt",
        sheet.signers.clone(),
        pending,
        common,
    );
    Wish {
        open: Some(Overlay::Sign(Box::new(sign))),
        ..Wish::default()
    }
}

fn looks(asked: RecallAsked) -> Wish {
    Wish {
        effects: vec![Effect::LoadRecall(asked)],
        ..Wish::default()
    }
}
