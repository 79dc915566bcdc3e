//! The forms of the register: what is typed to add, retire, fit, approve and recall. One file for each subject.

mod instrument;
mod people;
mod plant;
mod procedure;
mod recall;

use reseat_record::log::Id;

use super::deeds::NOTE;
use super::form::{FILL_IN, Form, WORDS};
use super::message::{Change, RecallAsked, Secret};
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
    SiteValues([String; 8]),
    /// A lead by the words of the site's key.
    LeadByWords,
    /// One more point the bench found of an instrument.
    BenchPoint(RecallAsked),
    /// The day of its last good check, with the one that stands.
    LastCheck(RecallAsked, String),
    /// Why so many readings of an instrument are put in doubt.
    PutInDoubt(String, usize),
}

/// The form for a change.
pub fn form(entering: &Entering, people: &[(Id, String)]) -> Form {
    let names = || people.iter().map(|(_, name)| name.clone()).collect();
    match entering {
        Entering::Person => people::enrol(),
        Entering::NewKey(_, name) => people::new_key(name),
        Entering::LeadByWords => people::by_words(names()),
        Entering::Place => plant::place(),
        Entering::Unit => plant::unit(),
        Entering::Fit(serial) => plant::fit(serial),
        Entering::Instrument => instrument::add(),
        Entering::Quarantine(name, out_of_use) => instrument::quarantine(name, *out_of_use),
        Entering::Approval {
            shown, warnings, ..
        } => procedure::approve(shown, *warnings, names()),
        Entering::PagesOfFile => procedure::from_file(),
        Entering::Retirement(_, _, shown) => Form::new(
            format!("Retire {shown}"),
            "retire; what was signed and recorded stays",
        )
        .text("reason", "why", NOTE, ""),
        Entering::Anew(list, _, columns) => anew(*list, columns),
        Entering::SiteValues(now) => {
            let form = Form::new("The values of the site", "set them; signed by a lead");
            SITE_VALUES
                .iter()
                .zip(now)
                .fold(form, |form, ((name, label, hint), value)| {
                    form.text(name, label, 600, hint).filled(name, value)
                })
        }
        Entering::BenchPoint(asked) => recall::point(asked),
        Entering::LastCheck(asked, day) => recall::last_check(asked, day),
        Entering::PutInDoubt(instrument, count) => recall::reason(instrument, *count),
    }
}

/// The form that puts a line anew, with what stands there now.
fn anew(list: List, columns: &[String]) -> Form {
    let now = |at: usize| columns.get(at).map_or("", String::as_str);
    match list {
        List::People => people::roles_anew(now(0), now(1)),
        List::Places => plant::place_anew(columns),
        List::Units => plant::unit_anew(columns),
        List::Instruments | List::Procedures => instrument::renew(now(0)),
    }
}

/// The lines that must be filled in.
fn needed(entering: &Entering) -> &'static [&'static str] {
    match entering {
        Entering::Person => &["name", "roles", "passphrase", "again", "pin", "pin_again"],
        Entering::NewKey(..) => &["reason", "passphrase", "again", "pin", "pin_again"],
        Entering::Place => &["tag", "name"],
        Entering::Unit => &["serial", "model", "name"],
        Entering::Instrument => instrument::ADDED,
        Entering::Approval { warnings: 0, .. } => &["author", "walked_by", "walked_on"],
        Entering::Approval { .. } => &["author", "walked_by", "walked_on", "reason"],
        Entering::Retirement(..) | Entering::Quarantine(..) | Entering::PutInDoubt(..) => {
            &["reason"]
        }
        Entering::Fit(_) => &[],
        Entering::Anew(List::People, ..) => &["roles"],
        Entering::Anew(List::Places, ..) => &["name"],
        Entering::Anew(List::Units, ..) => &["model", "name"],
        Entering::Anew(..) => &["certificate", "calibrated", "due"],
        Entering::PagesOfFile => &["path"],
        Entering::SiteValues(_) => &[
            "rule",
            "pause",
            "zero",
            "look_again",
            "shift",
            "day_checks",
            "decision",
        ],
        Entering::LeadByWords => &[
            WORDS,
            "whom",
            "reason",
            "passphrase",
            "again",
            "pin",
            "pin_again",
        ],
        Entering::BenchPoint(_) => &["bench", "showed"],
        Entering::LastCheck(..) => &["day"],
    }
}

/// Takes a form: the change it means, to be signed; or why not.
pub fn take(entering: &Entering, sheet: &mut Sheet, common: &mut Common) -> Wish {
    if let Some(sentence) = sheet.form.go_to_unanswered(needed(entering)) {
        common.refuse("empty", sentence, FILL_IN);
        return Wish::default();
    }
    if !twice_alike(&mut sheet.form, common) {
        return Wish::default();
    }
    match entering {
        Entering::LeadByWords => return people::take_by_words(sheet, common),
        Entering::PagesOfFile => return procedure::take_file(&sheet.form),
        Entering::BenchPoint(asked) => return recall::take_point(asked, &sheet.form),
        Entering::LastCheck(asked, _) => return recall::take_last_check(asked, &sheet.form),
        Entering::PutInDoubt(..) => return recall::take_reason(sheet, common),
        _ => {}
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

fn said(form: &Form, name: &str) -> String {
    form.typed(name).to_owned()
}

fn change(entering: &Entering, sheet: &Sheet) -> Option<Change> {
    let form = &sheet.form;
    let person = |name: &str| {
        let at = form.picked(name)?;
        sheet.people.get(at).map(|(id, _)| *id)
    };
    let walk = || Some((person("author")?, person("walked_by")?));
    Some(match entering {
        Entering::Person => people::enrolled(form),
        Entering::NewKey(id, _) => people::given_new_key(id, form)?,
        Entering::Place => plant::added_place(form),
        Entering::Unit => plant::added_unit(form),
        Entering::Fit(serial) => Change::Fit {
            serial: serial.clone(),
            tag: said(form, "tag"),
        },
        Entering::Instrument => instrument::added(form)?,
        Entering::Quarantine(name, out_of_use) => instrument::quarantined(name, *out_of_use, form),
        Entering::Approval {
            bytes,
            read,
            warnings,
            ..
        } => procedure::approved(bytes, read, *warnings, walk()?, form),
        Entering::Retirement(list, key, _) => retired(*list, key, said(form, "reason"))?,
        Entering::Anew(List::People, key, _) => people::given_roles(key, form)?,
        Entering::Anew(List::Places, key, _) => plant::changed_place(key, form),
        Entering::Anew(List::Units, key, _) => plant::changed_unit(key, form),
        Entering::Anew(List::Instruments, key, _) => instrument::renewed(key, form),
        Entering::SiteValues(_) => {
            Change::SiteValues(SITE_VALUES.map(|(name, ..)| said(form, name)))
        }
        // Taken before, or not changed here: a procedure's exact bytes are approved.
        Entering::Anew(List::Procedures, ..)
        | Entering::LeadByWords
        | Entering::PagesOfFile
        | Entering::BenchPoint(_)
        | Entering::LastCheck(..)
        | Entering::PutInDoubt(..) => return None,
    })
}

fn retired(list: List, key: &str, reason: String) -> Option<Change> {
    Some(match list {
        List::People => Change::RetirePerson {
            person: key.parse().ok()?,
            reason,
        },
        List::Instruments => Change::WithdrawInstrument {
            name: key.to_owned(),
            reason,
        },
        List::Procedures => Change::Supersede {
            sha256: key.to_owned(),
            reason,
        },
        List::Places | List::Units => return None,
    })
}
