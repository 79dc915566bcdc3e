//! People: enrolled, given a new key, roles anew, retired; a lead by the words of the site's key.

use reseat_procedure::model::Role;

use super::super::deeds::NOTE;
use super::super::form::{FILL_IN, Form, WORDS};
use super::super::message::{Change, Effect, LeadByWords};
use super::super::model::Common;
use super::super::overlay::{Sheet, Wish};
use super::{said, secret};

const SECRET_HINT: &str = "He types it himself. At least 8 characters, 10 if digits only.";
const TICKS_HINT: &str = "1 to 7 or Space tick; Left and Right move. Enter goes on.";
const PIN_HINT: &str = "He types it himself. At least 6 digits.";

/// Passphrase and PIN, each twice.
fn secrets(form: Form) -> Form {
    form.secret("passphrase", "passphrase", 128, SECRET_HINT)
        .secret("again", "passphrase again", 128, "")
        .secret("pin", "PIN", 32, PIN_HINT)
        .secret("pin_again", "PIN again", 32, "")
}

pub(super) fn enrol() -> Form {
    secrets(
        Form::new("Enrol a person", "enrol; signed by a lead")
            .text("name", "name", 60, "As it is printed beside signatures.")
            .ticks("roles", "roles", roles(), TICKS_HINT),
    )
}

pub(super) fn new_key(name: &str) -> Form {
    secrets(
        Form::new(
            format!("A new key for {name}"),
            "give the new key; signed by a lead",
        )
        .lead(&["What the old key signed stays good. The old key signs nothing more."])
        .text("reason", "why", NOTE, "For example: passphrase forgotten."),
    )
}

/// The roles of a person, those he has ticked already.
pub(super) fn roles_anew(name: &str, now: &str) -> Form {
    Form::new(
        format!("Roles of {name}"),
        "give these roles; signed by a lead",
    )
    .lead(&["What he signed before stays as it was signed."])
    .ticks("roles", "roles", roles(), TICKS_HINT)
    .ticked_already("roles", &now.split(", ").collect::<Vec<_>>())
}

pub(super) fn by_words(names: Vec<String>) -> Form {
    let mut whom = vec!["somebody new".to_owned()];
    whom.extend(names);
    let form = Form::new(
        "A lead by the words of the site's key",
        "write it, signed by the site's key",
    )
    .lead(&["Only where no lead can sign: none is left, or the last one forgot his passphrase."])
    .text(
        WORDS,
        "the words, with blanks",
        600,
        "All of them, in order, off the paper from the safe.",
    )
    .pick("whom", "who", whom, "Somebody new, or the last lead.")
    .text(
        "name",
        "his name, if new",
        60,
        "Leave it empty for a person on the list.",
    )
    .text("reason", "why", NOTE, "");
    secrets(form)
}

fn roles() -> Vec<String> {
    Role::ALL
        .iter()
        .map(|role| role.word().to_owned())
        .collect()
}

fn ticked_roles(form: &Form) -> Vec<Role> {
    form.ticked("roles")
        .into_iter()
        .map(|at| Role::ALL[at])
        .collect()
}

pub(super) fn enrolled(form: &Form) -> Change {
    Change::AddPerson {
        name: said(form, "name"),
        roles: ticked_roles(form),
        passphrase: secret(form, "passphrase"),
        pin: secret(form, "pin"),
    }
}

pub(super) fn given_new_key(id: &str, form: &Form) -> Option<Change> {
    Some(Change::NewKey {
        person: id.parse().ok()?,
        reason: said(form, "reason"),
        passphrase: secret(form, "passphrase"),
        pin: secret(form, "pin"),
    })
}

pub(super) fn given_roles(id: &str, form: &Form) -> Option<Change> {
    Some(Change::GiveRoles {
        person: id.parse().ok()?,
        roles: ticked_roles(form),
    })
}

/// A lead by the site's words: nobody else signs it.
pub(super) fn take_by_words(sheet: &mut Sheet, common: &mut Common) -> Wish {
    let person = sheet
        .form
        .picked("whom")
        .and_then(|at| sheet.people.get(at.checked_sub(1)?))
        .map(|(id, _)| *id);
    if person.is_none()
        && let Some(sentence) = sheet.form.go_to_unanswered(&["name"])
    {
        common.refuse("empty", sentence, FILL_IN);
        return Wish::default();
    }
    let form = &sheet.form;
    Wish {
        effects: vec![Effect::LeadByWords(LeadByWords {
            words: secret(form, WORDS),
            person,
            name: said(form, "name"),
            reason: said(form, "reason"),
            passphrase: secret(form, "passphrase"),
            pin: secret(form, "pin"),
        })],
        ..Wish::default()
    }
}
