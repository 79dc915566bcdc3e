//! The forms of the register: what is typed to add, retire, fit and approve.

use reseat_procedure::model::Role;
use reseat_record::log::Id;
use reseat_record::register::InstrumentKind;

use super::deeds::NOTE;
use super::form::Form;
use super::message::{Change, InstrumentTyped, Secret};
use super::model::Common;
use super::overlay::{Overlay, Sheet, Wish};
use super::sight::List;
use super::sign::{Pending, Sign};

/// A change of the register that is typed in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Entering {
    /// A person.
    Person,
    /// A place.
    Place,
    /// A unit.
    Unit,
    /// An instrument.
    Instrument,
    /// Approval of the procedure of this hash, shown as the second.
    Approval(String, String),
    /// Retirement of a line of a list: its key and how it is shown.
    Retirement(List, String, String),
    /// A new key for a person: id and name.
    NewKey(String, String),
    /// Where the unit of this serial is fitted.
    Fit(String),
}

const SECRET_HINT: &str = "He types it himself. At least 8 characters, 10 if digits only.";
const PIN_HINT: &str = "He types it himself. At least 6 digits.";

/// The form for a change.
pub fn form(entering: &Entering, people: &[(Id, String)]) -> Form {
    let names = || {
        people
            .iter()
            .map(|(_, name)| name.clone())
            .collect::<Vec<_>>()
    };
    match entering {
        Entering::Person => Form::new("Enrol a person", "enrol; signed by a lead")
            .text("name", "name", 60, "As it is printed beside signatures.")
            .ticks(
                "roles",
                "roles",
                roles(),
                "1 to 7 or Space tick; Left and Right move. Enter goes on.",
            )
            .secret("passphrase", "passphrase", 128, SECRET_HINT)
            .secret("again", "passphrase again", 128, "")
            .secret("pin", "PIN", 32, PIN_HINT)
            .secret("pin_again", "PIN again", 32, ""),
        Entering::NewKey(_, name) => Form::new(
            format!("A new key for {name}"),
            "give the new key; signed by a lead",
        )
        .lead(&["What the old key signed stays good. The old key signs nothing more."])
        .text("reason", "why", NOTE, "For example: passphrase forgotten.")
        .secret("passphrase", "passphrase", 128, SECRET_HINT)
        .secret("again", "passphrase again", 128, "")
        .secret("pin", "PIN", 32, PIN_HINT)
        .secret("pin_again", "PIN again", 32, ""),
        Entering::Place => Form::new("Add a place", "add it; signed by a lead")
            .text("tag", "tag", 24, "As it hangs at the place.")
            .text("name", "name", 60, "What the place does."),
        Entering::Unit => Form::new("Add a unit", "add it; signed by a lead")
            .text("serial", "serial", 40, "As read on the nameplate.")
            .text("model", "model", 40, "As the procedures name it.")
            .text("name", "name", 60, "What it is."),
        Entering::Instrument => Form::new("Add an instrument", "add it; signed by a lead")
            .text("name", "name on site", 24, "Such as TW-19.")
            .text("serial", "maker's serial", 40, "")
            .pick("kind", "kind", kinds(), "")
            .text("range", "range with unit", 40, "Such as 40..200 N·m.")
            .text(
                "resolution",
                "resolution with unit",
                24,
                "Smallest step of the scale, such as 1 N·m.",
            )
            .text(
                "deviation",
                "largest permissible deviation",
                40,
                "Such as 4 % of reading, 0.5 % of full scale or 0.1 bar.",
            )
            .text("certificate", "certificate", 40, "")
            .text("calibrated", "calibrated on", 10, "Such as 2026-03-12.")
            .text("due", "due on", 10, "Such as 2027-03-12."),
        Entering::Approval(_, shown) => Form::new(
            format!("Approve {shown}"),
            "approve; signed by an approver who is not its author",
        )
        .lead(&[
            "Walk the text through at the unit before first use. Its exact bytes are approved.",
        ])
        .pick("author", "who wrote it", names(), "")
        .pick("walked_by", "who walked it through", names(), "")
        .text("walked_on", "on which day", 10, "Such as 2026-03-12."),
        Entering::Retirement(_, _, shown) => Form::new(
            format!("Retire {shown}"),
            "retire; what was signed and recorded stays",
        )
        .text("reason", "why", NOTE, ""),
        Entering::Fit(serial) => Form::new(
            format!("Fit unit {serial}"),
            "write where it is; signed by a lead",
        )
        .text(
            "tag",
            "tag of the place",
            24,
            "Leave it empty where the unit was taken out.",
        ),
    }
}

fn kinds() -> Vec<String> {
    InstrumentKind::ALL
        .iter()
        .map(|kind| kind.word().to_owned())
        .collect()
}

fn roles() -> Vec<String> {
    Role::ALL
        .iter()
        .map(|role| role.word().to_owned())
        .collect()
}

/// Takes a form: the change it means, to be signed; or why not.
pub fn take(entering: &Entering, sheet: &mut Sheet, common: &mut Common) -> Wish {
    let needed: &[&str] = match entering {
        Entering::Person => &["name", "roles", "passphrase", "again", "pin", "pin_again"],
        Entering::NewKey(..) => &["reason", "passphrase", "again", "pin", "pin_again"],
        Entering::Place => &["tag", "name"],
        Entering::Unit => &["serial", "model", "name"],
        Entering::Instrument => &[
            "name",
            "serial",
            "kind",
            "range",
            "resolution",
            "deviation",
            "certificate",
            "calibrated",
            "due",
        ],
        Entering::Approval(..) => &["author", "walked_by", "walked_on"],
        Entering::Retirement(..) => &["reason"],
        Entering::Fit(_) => &[],
    };
    if let Some(name) = needed
        .iter()
        .find(|name| !sheet.form.answered(name))
        .copied()
    {
        let label = sheet.form.missing(&[name]).unwrap_or_default().to_owned();
        sheet.form.go_to(name);
        common.refuse(
            "empty",
            format!("\"{label}\" has no answer yet."),
            "Fill it in; nothing was written.",
        );
        return Wish::default();
    }
    if !twice_alike(&mut sheet.form, common) {
        return Wish::default();
    }
    let Some(change) = change(entering, sheet) else {
        common.refuse(
            "not-readable",
            "This line cannot be changed that way.",
            "Choose a line of the list, then the key again.",
        );
        return Wish::default();
    };
    let approval = matches!(entering, Entering::Approval(..));
    let meaning = if approval {
        "approves the procedure"
    } else {
        "changes the register"
    };
    let sign = Sign::new(
        meaning,
        sheet.signers.clone(),
        Pending::Change(change),
        common,
    );
    Wish {
        open: Some(Overlay::Sign(Box::new(sign))),
        ..Wish::default()
    }
}

/// Whether passphrase and PIN were typed twice alike; otherwise both are cleared and the person is told.
pub fn twice_alike(form: &mut Form, common: &mut Common) -> bool {
    for (first, again, what) in [
        ("passphrase", "again", "passphrases"),
        ("pin", "pin_again", "PINs"),
    ] {
        let same = match (form.field(first), form.field(again)) {
            (Some(first), Some(again)) => first.text() == again.text(),
            _ => true,
        };
        if !same {
            for name in [again, first] {
                form.go_to(name);
                if let Some(field) = form.open_field() {
                    field.clear();
                }
            }
            common.refuse(
                "not-alike",
                format!("The two {what} are not alike; both were cleared."),
                "Type it twice the same.",
            );
            return false;
        }
    }
    true
}

fn secret(form: &Form, name: &str) -> Secret {
    Secret(
        form.field(name)
            .map(super::field::Field::secret)
            .unwrap_or_default(),
    )
}

fn change(entering: &Entering, sheet: &Sheet) -> Option<Change> {
    let form = &sheet.form;
    let said = |name: &str| form.typed(name).to_owned();
    let person = |name: &str| {
        form.picked(name)
            .and_then(|at| sheet.people.get(at))
            .map(|(id, _)| *id)
    };
    Some(match entering {
        Entering::Person => Change::AddPerson {
            name: said("name"),
            roles: form
                .ticked("roles")
                .into_iter()
                .map(|at| Role::ALL[at])
                .collect(),
            passphrase: secret(form, "passphrase"),
            pin: secret(form, "pin"),
        },
        Entering::NewKey(id, _) => Change::NewKey {
            person: id.parse().ok()?,
            reason: said("reason"),
            passphrase: secret(form, "passphrase"),
            pin: secret(form, "pin"),
        },
        Entering::Place => Change::AddPlace {
            tag: said("tag"),
            name: said("name"),
        },
        Entering::Unit => Change::AddUnit {
            serial: said("serial"),
            model: said("model"),
            name: said("name"),
        },
        Entering::Instrument => Change::AddInstrument(InstrumentTyped {
            name: said("name"),
            serial: said("serial"),
            kind: InstrumentKind::ALL
                .get(form.picked("kind")?)?
                .word()
                .to_owned(),
            range: said("range"),
            resolution: said("resolution"),
            deviation: said("deviation"),
            certificate: said("certificate"),
            calibrated: said("calibrated"),
            due: said("due"),
        }),
        Entering::Approval(sha256, _) => Change::Approve {
            sha256: sha256.clone(),
            author: person("author")?,
            walked_by: person("walked_by")?,
            walked_on: said("walked_on"),
        },
        Entering::Retirement(list, key, _) => match list {
            List::People => Change::RetirePerson {
                person: key.parse().ok()?,
                reason: said("reason"),
            },
            List::Instruments => Change::WithdrawInstrument {
                name: key.clone(),
                reason: said("reason"),
            },
            List::Procedures => Change::Supersede {
                sha256: key.clone(),
                reason: said("reason"),
            },
            List::Places | List::Units => return None,
        },
        Entering::Fit(serial) => Change::Fit {
            serial: serial.clone(),
            tag: said("tag"),
        },
    })
}
