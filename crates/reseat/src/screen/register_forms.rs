//! The forms of the register: what is typed to add, retire, fit and approve.

use reseat_procedure::model::Role;
use reseat_record::log::Id;
use reseat_record::register::InstrumentKind;

use super::deeds::NOTE;
use super::form::{Form, WORDS};
use super::message::{Change, Effect, InstrumentTyped, LeadByWords, Secret};
use super::model::Common;
use super::overlay::{Overlay, Sheet, Wish};
use super::sight::{List, SITE_VALUES};
use super::sign::{Pending, Sign};
use crate::desk::PagesRead;

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
    /// Approval of a procedure that was read page by page.
    Approval {
        /// The exact bytes that were read.
        bytes: Vec<u8>,
        /// Number and revision.
        shown: String,
        /// How much of it was read.
        read: PagesRead,
        /// Warnings that stand in it.
        warnings: usize,
    },
    /// Retirement of a line of a list: its key and how it is shown.
    Retirement(List, String, String),
    /// A new key for a person: id and name.
    NewKey(String, String),
    /// Where the unit of this serial is fitted.
    Fit(String),
    /// What the register says of a line of a list, put anew: its key and its columns.
    Anew(List, String, Vec<String>),
    /// Quarantine of the instrument of this name; or its return, where it is out of use.
    Quarantine(String, bool),
    /// Reading of a procedure in a file.
    PagesOfFile,
    /// The values of the site as they are.
    SiteValues([String; 5]),
    /// A lead by the words of the site's key.
    LeadByWords,
}

const SECRET_HINT: &str = "He types it himself. At least 8 characters, 10 if digits only.";
const TICKS_HINT: &str = "1 to 7 or Space tick; Left and Right move. Enter goes on.";
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
            .ticks("roles", "roles", roles(), TICKS_HINT)
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
            .text("name", "name", 60, "What the place does.")
            .text("spare", "tag of its spare", 24, SPARE_HINT),
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
        Entering::Approval {
            shown, warnings, ..
        } => {
            let form = Form::new(
                format!("Approve {shown}"),
                "approve; signed by an approver who is not its author",
            )
            .lead(&[
                "Walk the text through at the unit before first use. Its exact bytes are approved.",
            ])
            .pick("author", "who wrote it", names(), "")
            .pick("walked_by", "who walked it through", names(), "")
            .text("walked_on", "on which day", 10, "Such as 2026-03-12.");
            if *warnings == 0 {
                form
            } else {
                form.text(
                    "reason",
                    "why its warnings may stand",
                    NOTE,
                    "You have read them; say why they may.",
                )
            }
        }
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
        Entering::Anew(list, _, columns) => anew(*list, columns),
        Entering::Quarantine(name, out_of_use) => {
            let (title, takes) = if *out_of_use {
                (
                    format!("Return {name} to use"),
                    "return it; signed by a lead",
                )
            } else {
                (
                    format!("Quarantine {name}"),
                    "quarantine it; signed by a lead",
                )
            };
            Form::new(title, takes).text("reason", "why", NOTE, "")
        }
        Entering::PagesOfFile => Form::new("A procedure from a file", "read it page by page")
            .lead(&["Nothing is approved by reading it."])
            .text("path", "file", 400, "Its whole path on this laptop."),
        Entering::SiteValues(now) => {
            let form = Form::new("The values of the site", "set them; signed by a lead");
            SITE_VALUES
                .iter()
                .zip(now)
                .fold(form, |form, ((name, label, hint), value)| {
                    form.text(name, label, 60, hint).filled(name, value)
                })
        }
        Entering::LeadByWords => by_words(names()),
    }
}

const SPARE_HINT: &str = "The place that stands in for it. Leave it empty where there is none.";

/// The form that puts a line anew, with what stands there now.
fn anew(list: List, columns: &[String]) -> Form {
    let now = |at: usize| columns.get(at).map_or("", String::as_str);
    let shown = now(0);
    match list {
        List::People => Form::new(
            format!("Roles of {shown}"),
            "give these roles; signed by a lead",
        )
        .lead(&["What he signed before stays as it was signed."])
        .ticks("roles", "roles", roles(), TICKS_HINT)
        .ticked_already("roles", &now(1).split(", ").collect::<Vec<_>>()),
        List::Places => Form::new(format!("Place {shown}"), "write it anew; signed by a lead")
            .text("name", "name", 60, "What the place does.")
            .text("spare", "tag of its spare", 24, SPARE_HINT)
            .filled("name", now(1))
            .filled("spare", now(3)),
        List::Units => Form::new(format!("Unit {shown}"), "put it right; signed by a lead")
            .text("model", "model", 40, "As the procedures name it.")
            .text("name", "name", 60, "What it is.")
            .filled("model", now(1))
            .filled("name", now(2)),
        List::Instruments | List::Procedures => Form::new(
            format!("New certificate of {shown}"),
            "keep it; signed by a lead",
        )
        .text("certificate", "certificate", 40, "")
        .text("calibrated", "calibrated on", 10, "Such as 2026-03-12.")
        .text("due", "due on", 10, "Such as 2027-03-12.")
        .text(
            "deviation",
            "largest permissible deviation",
            40,
            "Leave it empty where it is as before. Such as 4 % of reading or 0.1 bar.",
        ),
    }
}

fn by_words(names: Vec<String>) -> Form {
    let mut whom = vec!["somebody new".to_owned()];
    whom.extend(names);
    Form::new(
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
    .text("reason", "why", NOTE, "")
    .secret("passphrase", "passphrase", 128, SECRET_HINT)
    .secret("again", "passphrase again", 128, "")
    .secret("pin", "PIN", 32, PIN_HINT)
    .secret("pin_again", "PIN again", 32, "")
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
        Entering::Approval { warnings: 0, .. } => &["author", "walked_by", "walked_on"],
        Entering::Approval { .. } => &["author", "walked_by", "walked_on", "reason"],
        Entering::Retirement(..) | Entering::Quarantine(..) => &["reason"],
        Entering::Fit(_) => &[],
        Entering::Anew(List::People, ..) => &["roles"],
        Entering::Anew(List::Places, ..) => &["name"],
        Entering::Anew(List::Units, ..) => &["model", "name"],
        Entering::Anew(..) => &["certificate", "calibrated", "due"],
        Entering::PagesOfFile => &["path"],
        Entering::SiteValues(_) => &["rule", "pause", "zero", "look_again", "shift"],
        Entering::LeadByWords => &[
            WORDS,
            "whom",
            "reason",
            "passphrase",
            "again",
            "pin",
            "pin_again",
        ],
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
    if *entering == Entering::PagesOfFile {
        let path = sheet.form.typed("path").to_owned();
        return Wish {
            effects: vec![Effect::LoadPagesOfFile(path)],
            ..Wish::default()
        };
    }
    if *entering == Entering::LeadByWords {
        return take_by_words(sheet, common);
    }
    let Some(change) = change(entering, sheet) else {
        common.refuse(
            "not-readable",
            "This line cannot be changed that way.",
            "Choose a line of the list, then the key again.",
        );
        return Wish::default();
    };
    let approval = matches!(entering, Entering::Approval { .. });
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

/// A lead by the site's words: nobody else signs it.
fn take_by_words(sheet: &mut Sheet, common: &mut Common) -> Wish {
    let form = &sheet.form;
    let person = form
        .picked("whom")
        .and_then(|at| sheet.people.get(at.checked_sub(1)?))
        .map(|(id, _)| *id);
    if person.is_none() && form.typed("name").is_empty() {
        sheet.form.go_to("name");
        common.refuse(
            "empty",
            "\"his name, if new\" has no answer yet.",
            "Fill it in; nothing was written.",
        );
        return Wish::default();
    }
    Wish {
        effects: vec![Effect::LeadByWords(LeadByWords {
            words: secret(form, WORDS),
            person,
            name: form.typed("name").to_owned(),
            reason: form.typed("reason").to_owned(),
            passphrase: secret(form, "passphrase"),
            pin: secret(form, "pin"),
        })],
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
            roles: ticked_roles(form),
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
            spare: said("spare"),
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
        Entering::Approval {
            bytes,
            read,
            warnings,
            ..
        } => Change::Approve {
            bytes: bytes.clone(),
            read: PagesRead {
                reason: (*warnings > 0).then(|| said("reason")),
                ..read.clone()
            },
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
        Entering::Anew(list, key, _) => change_anew(*list, key, form)?,
        Entering::Quarantine(name, out_of_use) => {
            let (name, reason) = (name.clone(), said("reason"));
            if *out_of_use {
                Change::ReturnInstrument { name, reason }
            } else {
                Change::Quarantine { name, reason }
            }
        }
        Entering::SiteValues(_) => Change::SiteValues(SITE_VALUES.map(|(name, ..)| said(name))),
        // Taken before: no lead signs it.
        Entering::LeadByWords | Entering::PagesOfFile => return None,
    })
}

fn ticked_roles(form: &Form) -> Vec<Role> {
    form.ticked("roles")
        .into_iter()
        .map(|at| Role::ALL[at])
        .collect()
}

fn change_anew(list: List, key: &str, form: &Form) -> Option<Change> {
    let said = |name: &str| form.typed(name).to_owned();
    Some(match list {
        List::People => Change::GiveRoles {
            person: key.parse().ok()?,
            roles: ticked_roles(form),
        },
        List::Places => Change::ChangePlace {
            tag: key.to_owned(),
            name: said("name"),
            spare: said("spare"),
        },
        List::Units => Change::ChangeUnit {
            serial: key.to_owned(),
            model: said("model"),
            name: said("name"),
        },
        List::Instruments => Change::RenewCalibration {
            name: key.to_owned(),
            certificate: said("certificate"),
            calibrated: said("calibrated"),
            due: said("due"),
            deviation: said("deviation"),
        },
        List::Procedures => return None,
    })
}
