//! What is rare in a rebuild, each as a short form: typed wrong, makes safer, finding, not applicable, and so on.

use reseat_record::log::Id;
use reseat_record::rebuild::{AbsentOwner, AdapterSaid, Command};

use super::clock;
use super::form::Form;
use super::handover::{self, Outgoing};
use super::late;
use super::message::Effect;
use super::model::Common;
use super::overlay::{Menu, Overlay, Sheet, Wish};
use super::own_lock;
use super::register_forms;
use super::sign::{Pending, Sign};
use crate::screen::field::Field;

/// Longest reason or note, in characters, as the record takes it.
pub const NOTE: usize = reseat_record::rebuild::ask::LONGEST_TEXT;

/// What a form is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Purpose {
    /// The last reading was mistyped.
    TypedWrong,
    /// An act that makes safer.
    Safer,
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

const SAFER: [&str; 5] = [
    "vent opened",
    "cap or blank on",
    "spring backed off",
    "load lowered",
    "something else",
];

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
        Purpose::TypedWrong => {
            let mut seers = vec!["nobody: the reading was WITHIN or LOW".to_owned()];
            seers.extend(names());
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
        Purpose::Safer => Form::new("Makes safer", "write what was done")
            .lead(&[
                "What makes the unit safer is open in every state. Do it first, then write it.",
            ])
            .pick(
                "kind",
                "what was done",
                SAFER.map(str::to_owned).to_vec(),
                "",
            )
            .text(
                "words",
                "where, and what else",
                NOTE,
                "For example: V-12, water came and stopped.",
            ),
        Purpose::Finding => Form::new("A finding", "write the finding").text(
            "words",
            "what was found",
            NOTE,
            "What is not as it must be, and where. A person with the role decides it.",
        ),
        Purpose::NotApplicable => {
            Form::new("Not applicable", "write that the step due does not apply").text(
                "reason",
                "why",
                NOTE,
                "Only where the procedure permits it.",
            )
        }
        Purpose::Deviate => Form::new(
            "An added step",
            "add the step before the one due; signed by a releaser or approver",
        )
        .text("text", "what is to be done", NOTE, "One act, verb first.")
        .text("reason", "why", NOTE, "")
        .pick(
            "signer",
            "who signs it",
            names(),
            "A releaser or an approver.",
        ),
        Purpose::Dropped => Form::new("Dropped or lost", "write it").text(
            "words",
            "what, and where it went",
            NOTE,
            "It is looked for before anything hides it.",
        ),
        Purpose::TakeInstrument => Form::new("Another instrument", "take it").text(
            "instrument",
            "instrument",
            24,
            "Its name on site. One that may not be used is refused with the reason.",
        ),
        Purpose::Adapter => Form::new("An adapter on the wrench", "write it")
            .lead(&["It came off? Leave all three empty."])
            .text("lever", "lever of the wrench", 24, "Middle of the drive to middle of the grip, such as 400 mm.")
            .text("length", "length of the adapter", 24, "Such as 100 mm; negative where it shortens.")
            .text("angle", "angle between both", 24, "Such as 90 deg. Leave it empty where it is straight on."),
        Purpose::InstrumentDropped => Form::new(
            "An instrument fell or was struck",
            "write it; it is quarantined at once",
        )
        .lead(&[
            "It takes no reading until it was checked. What it read since its last good check is for recall.",
        ])
        .text("instrument", "instrument", 24, "Its name on site, such as TW-19."),
        Purpose::WaitForPart => Form::new("WAITING FOR PART", "write it; the work waits").text(
            "words",
            "which part",
            NOTE,
            "Name and number.",
        ),
        Purpose::OwnLock => own_lock::form(names()),
        Purpose::LockOff => Form::new(
            "A lock came off",
            "write it; hands off until it is back and zero is read anew",
        )
        .text(
            "point",
            "the point, or \"own\"",
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
        ),
        Purpose::Reopen => Form::new(
            "A joint is opened again",
            "write it; the tests after it are void",
        )
        .text("joint", "the joint", 24, "Its number, such as J1.")
        .text("reason", "why", NOTE, ""),
        Purpose::CloseIncomplete => Form::new(
            "Close INCOMPLETE",
            "close; nothing more can be added to this rebuild",
        )
        .text(
            "reason",
            "why, how it stands, what remains",
            NOTE,
            "The next person has only these words.",
        ),
        Purpose::HandOver(outgoing) => handover::to_somebody(outgoing),
        Purpose::Leave(outgoing) => handover::to_nobody(outgoing),
        Purpose::Tag(_) => Form::new("", ""),
        Purpose::Late => late::form_late(),
        Purpose::Row => late::form_row(),
        Purpose::GiveClock => Form::new("Date and time", "take it as the new floor of the clock")
            .text("utc", "UTC", 24, "For example 2026-03-12 12:55."),
        Purpose::RunOn => Form::new("Let the demo clock run on", "let it run on").text(
            "minutes",
            "minutes",
            5,
            "Kept as an entry of the demo record.",
        ),
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
    let form = &sheet.form;
    let needed: &[&str] = match &sheet.purpose {
        Purpose::TypedWrong => &["reason", "seen"],
        Purpose::Safer => &["kind"],
        Purpose::Finding | Purpose::Dropped | Purpose::WaitForPart => &["words"],
        Purpose::TakeInstrument | Purpose::InstrumentDropped => &["instrument"],
        Purpose::Adapter => &[],
        Purpose::NotApplicable | Purpose::CloseIncomplete => &["reason"],
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
    if let Some(label) = form.missing(needed).map(str::to_owned) {
        if let Some(name) = needed.iter().find(|name| !form.answered(name)).copied() {
            sheet.form.go_to(name);
        }
        common.refuse(
            "empty",
            format!("\"{label}\" has no answer yet."),
            "Fill it in; nothing was written.",
        );
        return Wish::default();
    }
    match command(sheet) {
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

/// A command, and who signs it or proves himself for it.
pub(super) type Signed = (Command, Option<(Id, String)>);

fn command(sheet: &Sheet) -> Result<Signed, (String, &'static str)> {
    let form = &sheet.form;
    let said = |name: &str| form.typed(name).to_owned();
    let command = match &sheet.purpose {
        Purpose::TypedWrong => {
            // The first choice is nobody.
            let seen = form
                .picked("seen")
                .and_then(|at| sheet.people.get(at.checked_sub(1)?))
                .cloned();
            let seen_by = seen.as_ref().map(|(id, _)| *id);
            return Ok((
                Command::Strike {
                    entry: None,
                    reason: said("reason"),
                    seen_by,
                },
                seen,
            ));
        }
        Purpose::Deviate => {
            let signer = form
                .picked("signer")
                .and_then(|at| sheet.people.get(at))
                .cloned();
            return Ok((
                Command::Deviate {
                    text: said("text"),
                    reason: said("reason"),
                },
                signer,
            ));
        }
        Purpose::Safer => {
            let kind = form
                .picked("kind")
                .and_then(|at| SAFER.get(at))
                .copied()
                .unwrap_or(SAFER[4]);
            let words = said("words");
            let words = if words.is_empty() {
                kind.to_owned()
            } else {
                format!("{kind}: {words}")
            };
            Command::Safer { step: None, words }
        }
        Purpose::Finding => Command::Find {
            words: said("words"),
        },
        Purpose::NotApplicable => Command::NotApplicable {
            reason: said("reason"),
        },
        Purpose::Dropped => Command::Dropped {
            what: said("words"),
        },
        Purpose::TakeInstrument => Command::TakeInstrument {
            instrument: said("instrument"),
        },
        Purpose::Adapter => {
            let [lever, length, angle] = ["lever", "length", "angle"].map(said);
            let off = lever.is_empty() && length.is_empty() && angle.is_empty();
            Command::Adapter {
                said: (!off).then_some(AdapterSaid {
                    lever,
                    length,
                    angle,
                }),
            }
        }
        Purpose::InstrumentDropped => Command::InstrumentDropped {
            instrument: said("instrument"),
        },
        Purpose::WaitForPart => Command::WaitForPart {
            part: said("words"),
        },
        Purpose::OwnLock => return own_lock::command(form, &sheet.people),
        Purpose::LockOff => lock_off(form)?,
        Purpose::Reopen => Command::Reopen {
            joint: said("joint"),
            reason: said("reason"),
        },
        Purpose::CloseIncomplete => Command::CloseIncomplete {
            reason: said("reason"),
        },
        Purpose::GiveClock => Command::GiveClock {
            utc: instant(form.typed("utc"))?,
        },
        Purpose::RunOn => Command::RunOn {
            minutes: form.typed("minutes").parse().map_err(|_| {
                (
                    "The minutes are not a whole number.".to_owned(),
                    "Type digits only, such as 240.",
                )
            })?,
        },
        Purpose::HandOver(outgoing) | Purpose::Leave(outgoing) => {
            let command = handover::command(&sheet.purpose, form).ok_or((
                "Nothing was chosen.".to_owned(),
                "Choose, or go back with Esc.",
            ))?;
            return Ok((command, outgoing.by.clone()));
        }
        Purpose::Register(_)
        | Purpose::Clock(_)
        | Purpose::Tag(_)
        | Purpose::Late
        | Purpose::Row => {
            return Err(("This form changes no rebuild.".to_owned(), "Open it there."));
        }
    };
    Ok((command, None))
}

fn lock_off(form: &Form) -> Result<Command, (String, &'static str)> {
    let facts = ["not_on_site", "attempts", "told"].map(|name| form.typed(name).to_owned());
    let given = facts.iter().filter(|fact| !fact.is_empty()).count();
    let absent_owner = match given {
        0 => None,
        3 => {
            let [not_on_site, attempts, told] = facts;
            Some(AbsentOwner {
                not_on_site,
                attempts,
                told,
            })
        }
        _ => {
            return Err((
                "Where the owner is absent all three facts are needed.".to_owned(),
                "Fill in all three, or none where the owner took the lock off himself.",
            ));
        }
    };
    Ok(Command::LockOff {
        point: form.typed("point").to_owned(),
        absent_owner,
    })
}

/// `2026-03-12 12:55` in the form of the record.
fn instant(typed: &str) -> Result<String, (String, &'static str)> {
    let day_and_time = typed
        .trim()
        .trim_end_matches(['Z', 'z'])
        .replace(['T', 't'], " ");
    let text = match day_and_time.split_once(' ') {
        Some((day, time)) if time.trim().len() == 5 => format!("{day}T{}:00.000Z", time.trim()),
        Some((day, time)) if time.trim().len() == 8 => format!("{day}T{}.000Z", time.trim()),
        _ => String::new(),
    };
    if reseat_record::log::is_utc(&text) {
        Ok(text)
    } else {
        Err((
            format!("\"{}\" is no date and time.", super::draw::clean(typed)),
            "Type year, month, day and time in UTC, such as 2026-03-12 12:55.",
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_date_is_read_as_people_type_it_and_nothing_else() {
        assert_eq!(
            instant("2026-03-12 12:55").unwrap(),
            "2026-03-12T12:55:00.000Z"
        );
        assert_eq!(
            instant("2026-03-12T12:55:02Z").unwrap(),
            "2026-03-12T12:55:02.000Z"
        );
        for wrong in [
            "",
            "12.3.2026 12:55",
            "2026-02-30 12:00",
            "2026-03-12",
            "2026-03-12 25:00",
        ] {
            assert!(instant(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_lock_off_without_its_owner_needs_all_three_facts() {
        let form = |facts: [&str; 3]| {
            let mut form = Form::new("", "").text("point", "", 40, "");
            for (name, fact) in ["not_on_site", "attempts", "told"].into_iter().zip(facts) {
                form = form.text(name, "", NOTE, "");
                form.go_to(name);
                form.open_field().unwrap().insert(fact);
            }
            form
        };
        assert!(matches!(
            lock_off(&form(["", "", ""])),
            Ok(Command::LockOff {
                absent_owner: None,
                ..
            })
        ));
        assert!(lock_off(&form(["gate log", "", "at the gate"])).is_err());
        assert!(matches!(
            lock_off(&form(["gate log", "three calls", "at the gate"])),
            Ok(Command::LockOff {
                absent_owner: Some(_),
                ..
            })
        ));
    }
}
