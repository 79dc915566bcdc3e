//! The forms of late entry and of a whole pass at once.

use super::deeds::{NOTE, Purpose};
use super::form::Form;
use super::message::Effect;
use super::model::Common;
use super::overlay::{Sheet, Wish};
use crate::desk::Row;

/// Their lines in the list of what is rare.
pub(super) fn lines() -> [(String, Purpose); 2] {
    [
        (
            "Late entry: what was done meanwhile, or its end".to_owned(),
            Purpose::Late,
        ),
        ("A whole pass at once".to_owned(), Purpose::Row),
    ]
}

/// When it was done.
pub(super) fn form_late() -> Form {
    Form::new("Late entry", "answers from now on were done then")
        .lead(&[
            "For what was done meanwhile, from the printed sheet. Each person enters what he did himself.",
            "Zero, locks and releases are never entered late; zero is proved anew afterwards.",
            "Late entry ends? Leave both empty.",
        ])
        .text("time", "time it was done", 5, "Local time, such as 14:10.")
        .text(
            "date",
            "date, if another day",
            10,
            "Such as 2026-03-12. Leave it empty for the last time the clock showed it.",
        )
}

/// The row.
pub(super) fn form_row() -> Form {
    Form::new("A whole pass at once", "enter each, in the joint's order")
        .lead(&[
            "For when both hands were busy. It stops at the first that is not WITHIN.",
            "Clicked or pulled in order, every one? Type all.",
        ])
        .text(
            "row",
            "the values in order, or all",
            NOTE,
            "Such as 121 122 123 121, in the joint's order: one for each that is open.",
        )
}

/// Takes one of the two.
pub(super) fn take(sheet: &Sheet, common: &mut Common) -> Wish {
    let form = &sheet.form;
    let effect = if sheet.purpose == Purpose::Late {
        let typed = format!("{} {}", form.typed("date"), form.typed("time"));
        let typed = typed.trim().to_owned();
        Effect::Late(Some(typed).filter(|typed| !typed.is_empty()))
    } else {
        let typed = form.typed("row");
        if typed.is_empty() {
            common.refuse(
                "empty",
                "The row has no values yet.",
                "Fill it in; nothing was written.",
            );
            return Wish::default();
        }
        Effect::Row(Row::read(typed))
    };
    Wish {
        effects: vec![effect],
        ..Wish::default()
    }
}
