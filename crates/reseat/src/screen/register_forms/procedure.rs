//! Procedures: one read page by page and approved, or taken from a file to be read.

use reseat_record::log::Id;

use super::super::deeds::NOTE;
use super::super::form::Form;
use super::super::message::{Change, Effect};
use super::super::overlay::Wish;
use super::said;
use crate::desk::{Approving, PagesRead};

pub(super) fn approve(shown: &str, warnings: usize, names: Vec<String>) -> Form {
    let form = Form::new(
        format!("Approve {shown}"),
        "approve; signed by an approver who is not its author",
    )
    .lead(&["Walk the text through at the unit before first use. Its exact bytes are approved."])
    .pick("author", "who wrote it", names.clone(), "")
    .pick("walked_by", "who walked it through", names, "")
    .text("walked_on", "on which day", 10, "Such as 2026-03-12.");
    if warnings == 0 {
        return form;
    }
    form.text(
        "reason",
        "why its warnings may stand",
        NOTE,
        "You have read them; say why they may.",
    )
}

pub(super) fn from_file() -> Form {
    Form::new("A procedure from a file", "read it page by page")
        .lead(&["Nothing is approved by reading it."])
        .text("path", "file", 400, "Its whole path on this laptop.")
}

/// The pages of the file named.
pub(super) fn take_file(form: &Form) -> Wish {
    Wish {
        effects: vec![Effect::LoadPagesOfFile(said(form, "path"))],
        ..Wish::default()
    }
}

/// Approval of exactly the bytes that were read, by author and who walked it through.
pub(super) fn approved(
    bytes: &[u8],
    read: &PagesRead,
    warnings: usize,
    (author, walked_by): (Id, Id),
    form: &Form,
) -> Change {
    Change::Approve(Approving {
        bytes: bytes.to_vec(),
        read: PagesRead {
            reason: (warnings > 0).then(|| said(form, "reason")),
            ..read.clone()
        },
        author,
        walked_by,
        walked_on: said(form, "walked_on"),
    })
}
