//! The command a form of what is rare means, once all it needs is filled in.

use reseat_record::log::Id;
use reseat_record::rebuild::{AbsentOwner, AdapterSaid, Command};

use super::super::form::Form;
use super::super::overlay::Sheet;
use super::super::{draw, handover, own_lock};
use super::Purpose;
use super::forms::SAFER;

/// A command, and who signs it or proves himself for it.
pub(in crate::screen) type Signed = (Command, Option<(Id, String)>);

/// The command, and its signer; or why the form says none: a sentence and what to do.
pub(super) fn command(sheet: &Sheet) -> Result<Signed, (String, &'static str)> {
    let form = &sheet.form;
    let said = |name: &str| form.typed(name).to_owned();
    let command = match &sheet.purpose {
        Purpose::TypedWrong => return Ok(strike(form, &sheet.people)),
        Purpose::Deviate => return Ok(deviate(form, &sheet.people)),
        Purpose::OwnLock => return own_lock::command(form, &sheet.people),
        Purpose::HandOver(outgoing) | Purpose::Leave(outgoing) => {
            let command = handover::command(&sheet.purpose, form).ok_or((
                "Nothing was chosen.".to_owned(),
                "Choose, or go back with Esc.",
            ))?;
            return Ok((command, outgoing.by.clone()));
        }
        Purpose::Safer(venting) => safer(form, venting.as_ref()),
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
        Purpose::Adapter => adapter(form),
        Purpose::InstrumentDropped => Command::InstrumentDropped {
            instrument: said("instrument"),
        },
        Purpose::WaitForPart => Command::WaitForPart {
            part: said("words"),
        },
        Purpose::LockOff => lock_off(form)?,
        Purpose::Reopen => Command::Reopen {
            joint: said("joint"),
            reason: said("reason"),
        },
        Purpose::CloseIncomplete => Command::CloseIncomplete {
            reason: said("reason"),
        },
        Purpose::BreakOff => Command::BreakOff {
            reason: said("reason"),
        },
        Purpose::GiveClock => Command::GiveClock {
            utc: instant(form.typed("utc"))?,
        },
        Purpose::RunOn => run_on(form)?,
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

fn strike(form: &Form, people: &[(Id, String)]) -> Signed {
    // The first choice is nobody.
    let seen = form
        .picked("seen")
        .and_then(|at| people.get(at.checked_sub(1)?))
        .cloned();
    let command = Command::Strike {
        entry: None,
        reason: form.typed("reason").to_owned(),
        seen_by: seen.as_ref().map(|(id, _)| *id),
    };
    (command, seen)
}

fn deviate(form: &Form, people: &[(Id, String)]) -> Signed {
    let signer = form.picked("signer").and_then(|at| people.get(at)).cloned();
    let command = Command::Deviate {
        text: form.typed("text").to_owned(),
        reason: form.typed("reason").to_owned(),
    };
    (command, signer)
}

/// What is written stands before what may be done besides.
fn safer(form: &Form, venting: Option<&(String, String)>) -> Command {
    let words = form.typed("words");
    let picked = form.picked("kind");
    if let (Some(0), Some((step, _))) = (picked, venting) {
        return Command::Safer {
            step: Some(step.clone()),
            words: words.to_owned(),
        };
    }
    let kind = picked
        .and_then(|at| SAFER.get(at.checked_sub(usize::from(venting.is_some()))?))
        .copied()
        .unwrap_or(SAFER[4]);
    let words = match words {
        "" => kind.to_owned(),
        words => format!("{kind}: {words}"),
    };
    Command::Safer { step: None, words }
}

fn adapter(form: &Form) -> Command {
    let [lever, length, angle] =
        ["lever", "length", "angle"].map(|name| form.typed(name).to_owned());
    let off = lever.is_empty() && length.is_empty() && angle.is_empty();
    Command::Adapter {
        said: (!off).then_some(AdapterSaid {
            lever,
            length,
            angle,
        }),
    }
}

fn run_on(form: &Form) -> Result<Command, (String, &'static str)> {
    let minutes = form.typed("minutes").parse().map_err(|_| {
        (
            "The minutes are not a whole number.".to_owned(),
            "Type digits only, such as 240.",
        )
    })?;
    Ok(Command::RunOn { minutes })
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
            format!("\"{}\" is no date and time.", draw::clean(typed)),
            "Type year, month, day and time in UTC, such as 2026-03-12 12:55.",
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::super::NOTE;
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
