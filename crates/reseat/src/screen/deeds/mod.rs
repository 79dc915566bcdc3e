//! What is rare in a rebuild, each as a short form: typed wrong, makes safer, finding, not applicable, and so on.

mod commands;
mod forms;

use reseat_record::log::Id;
use reseat_record::rebuild::Command;

use super::clock;
use super::form::{FILL_IN, Form};
use super::handover::{self, Outgoing};
use super::late;
use super::message::Effect;
use super::model::Common;
use super::overlay::{Menu, Overlay, Sheet, Wish};
use super::own_lock;
use super::register_forms;
use super::sign::{Pending, Sign};
use crate::screen::field::Field;

pub(super) use commands::Signed;

/// Longest reason or note, in characters, as the record takes it.
pub const NOTE: usize = reseat_record::rebuild::ask::LONGEST_TEXT;

/// What a form is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Purpose {
    /// The last reading was mistyped.
    TypedWrong,
    /// An act that makes safer; the written act that lets out what is in, where energy is.
    Safer(Option<(String, String)>),
    /// A finding.
    Finding,
    /// The step due does not apply.
    NotApplicable,
    /// A step is added.
    Deviate,
    /// Something was dropped or lost.
    Dropped,
    /// Another instrument is in hand.
    TakeInstrument,
    /// An instrument fell.
    InstrumentDropped,
    /// An adapter goes on the wrench, or comes off.
    Adapter,
    /// A part is missing.
    WaitForPart,
    /// A worker's own lock goes on the box, or comes off.
    OwnLock,
    /// A lock came off.
    LockOff,
    /// A joint is opened again.
    Reopen,
    /// The test is broken off.
    BreakOff,
    /// The work ends unfinished.
    CloseIncomplete,
    /// A person's date and time.
    GiveClock,
    /// The work is handed over to another person.
    HandOver(Outgoing),
    /// The work is left to nobody.
    Leave(Outgoing),
    /// The text for the paper tag is shown.
    Tag(Vec<String>),
    /// Answers from now on were done at a time before now.
    Late,
    /// A whole pass of a joint.
    Row,
    /// Demo: the clock runs on.
    RunOn,
    /// The clock of this home.
    Clock(clock::Shown),
    /// A change of the register.
    Register(register_forms::Entering),
}

/// The list behind the key for what is rare.
pub fn more(people: Vec<(Id, String)>, demo: bool) -> Menu {
    let mut lines = vec![
        (
            "A finding: something is not as it must be".to_owned(),
            Purpose::Finding,
        ),
        (
            "The step due is not applicable".to_owned(),
            Purpose::NotApplicable,
        ),
        (
            "A step is added before the one due".to_owned(),
            Purpose::Deviate,
        ),
        (
            "Something was dropped or is lost".to_owned(),
            Purpose::Dropped,
        ),
        (
            "Another instrument is taken".to_owned(),
            Purpose::TakeInstrument,
        ),
        (
            "An adapter is on the wrench, or comes off".to_owned(),
            Purpose::Adapter,
        ),
        (
            "An instrument fell or was struck".to_owned(),
            Purpose::InstrumentDropped,
        ),
        (
            "A part is missing: WAITING FOR PART".to_owned(),
            Purpose::WaitForPart,
        ),
        (
            "A worker's own lock goes on the box, or comes off".to_owned(),
            Purpose::OwnLock,
        ),
        ("A lock came off".to_owned(), Purpose::LockOff),
        ("A joint is opened again".to_owned(), Purpose::Reopen),
        (
            "The test is broken off: vent, then zero".to_owned(),
            Purpose::BreakOff,
        ),
        (
            "The work ends unfinished: close INCOMPLETE".to_owned(),
            Purpose::CloseIncomplete,
        ),
        (
            "Date and time, where the clock is not trusted".to_owned(),
            Purpose::GiveClock,
        ),
    ];
    lines.extend(late::lines());
    if demo {
        lines.push(("Demo only: let the clock run on".to_owned(), Purpose::RunOn));
    }
    Menu {
        title: "What is rare".to_owned(),
        lines,
        field: Field::new(4),
        people,
    }
}

/// The form for a purpose; its choices name `people`, and `signers` may sign it.
pub fn sheet(
    purpose: Purpose,
    people: Vec<(Id, String)>,
    signers: Vec<(Id, String)>,
    common: &mut Common,
) -> Sheet {
    let names = || {
        people
            .iter()
            .map(|(_, name)| name.clone())
            .collect::<Vec<_>>()
    };
    let form = match &purpose {
        Purpose::TypedWrong => forms::typed_wrong(names()),
        Purpose::Safer(venting) => forms::safer(venting.as_ref()),
        Purpose::Finding => forms::finding(),
        Purpose::NotApplicable => forms::not_applicable(),
        Purpose::Deviate => forms::added_step(names()),
        Purpose::Dropped => forms::dropped(),
        Purpose::TakeInstrument => forms::instrument_taken(),
        Purpose::Adapter => forms::adapter(),
        Purpose::InstrumentDropped => forms::instrument_dropped(),
        Purpose::WaitForPart => forms::part_missing(),
        Purpose::OwnLock => own_lock::form(names()),
        Purpose::LockOff => forms::lock_off(),
        Purpose::Reopen => forms::reopened(),
        Purpose::BreakOff => forms::broken_off(),
        Purpose::CloseIncomplete => forms::closed_incomplete(),
        Purpose::HandOver(outgoing) => handover::to_somebody(outgoing),
        Purpose::Leave(outgoing) => handover::to_nobody(outgoing),
        Purpose::Tag(_) => Form::new("", ""),
        Purpose::Late => late::form_late(),
        Purpose::Row => late::form_row(),
        Purpose::GiveClock => forms::clock_given(),
        Purpose::RunOn => forms::run_on(),
        Purpose::Clock(shown) => clock::form(shown, &people),
        Purpose::Register(entering) => register_forms::form(entering, &people),
    };
    let form = common.unparked(form);
    Sheet {
        purpose,
        form,
        people,
        signers,
    }
}

/// Takes a form: the command it means, or why not.
pub fn take(sheet: &mut Sheet, common: &mut Common) -> Wish {
    let needed: &[&str] = match &sheet.purpose {
        Purpose::TypedWrong => &["reason", "seen"],
        Purpose::Safer(_) => &["kind"],
        Purpose::Finding | Purpose::Dropped | Purpose::WaitForPart => &["words"],
        Purpose::TakeInstrument | Purpose::InstrumentDropped => &["instrument"],
        Purpose::Adapter => &[],
        Purpose::NotApplicable | Purpose::CloseIncomplete | Purpose::BreakOff => &["reason"],
        Purpose::Deviate => &["text", "reason", "signer"],
        Purpose::OwnLock if sheet.form.picked("says") == Some(1) => &["owner"],
        Purpose::OwnLock => &["owner", "says", "number"],
        Purpose::LockOff => &["point"],
        Purpose::Reopen => &["joint", "reason"],
        Purpose::HandOver(_) => &["words", "to"],
        Purpose::Leave(_) => &["words", "left"],
        Purpose::GiveClock => &["utc"],
        Purpose::RunOn => &["minutes"],
        Purpose::Tag(_) => return Wish::default(),
        Purpose::Late | Purpose::Row => return late::take(sheet, common),
        Purpose::Clock(_) => return clock::take(sheet, common),
        Purpose::Register(entering) => {
            return register_forms::take(&entering.clone(), sheet, common);
        }
    };
    if let Some(sentence) = sheet.form.go_to_unanswered(needed) {
        common.refuse("empty", sentence, FILL_IN);
        return Wish::default();
    }
    match commands::command(sheet) {
        Ok((command, signer)) => act(sheet, command, signer, common),
        Err((sentence, remedy)) => {
            common.refuse("not-readable", sentence, remedy);
            Wish::default()
        }
    }
}

/// The command at once, or after the signature of the person named.
fn act(sheet: &Sheet, command: Command, signer: Option<(Id, String)>, common: &Common) -> Wish {
    match signer {
        None => Wish {
            effects: vec![Effect::Act {
                command,
                signer: None,
            }],
            ..Wish::default()
        },
        Some(person) => {
            let meaning = match sheet.purpose {
                Purpose::TypedWrong => "saw the reading that is struck",
                Purpose::HandOver(_) | Purpose::Leave(_) => "hands over: the outgoing part",
                Purpose::OwnLock => "took his own lock off himself",
                _ => "releases the added step",
            };
            let sign = Sign::new(meaning, vec![person], Pending::Act(command), common);
            Wish {
                open: Some(Overlay::Sign(Box::new(sign))),
                ..Wish::default()
            }
        }
    }
}
