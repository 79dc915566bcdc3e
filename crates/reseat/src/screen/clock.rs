//! The clock of this home: a person agrees with it once a day, or gives date and time where it cannot be believed.

use reseat_record::log::Id;

use super::form::{FILL_IN, Form};
use super::message::Effect;
use super::model::Common;
use super::overlay::{Sheet, Wish};

/// The clock as it is shown while a person looks at another one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// Local date and time.
    pub local: String,
    /// Whether agreeing is enough.
    pub may_be_agreed: bool,
}

/// The form.
pub fn form(shown: &Shown, people: &[(Id, String)]) -> Form {
    let mut ways = vec!["give date and time from another clock".to_owned()];
    if shown.may_be_agreed {
        ways.insert(0, format!("agree: {} is right", shown.local));
    }
    let names = people.iter().map(|(_, name)| name.clone()).collect();
    Form::new("The clock", "write it")
        .lead(&[
            "Compare this laptop's clock with another one. Readings and signatures carry its time.",
            &format!("This laptop says {}.", shown.local),
        ])
        .pick("way", "what is right", ways, "")
        .text(
            "local",
            "local date and time",
            16,
            "Such as 2026-03-12 13:55; only where it is given.",
        )
        .pick("who", "who says so", names, "")
}

/// Takes the form.
pub fn take(sheet: &mut Sheet, common: &mut Common) -> Wish {
    let form = &sheet.form;
    let ways = if matches!(&sheet.purpose, super::deeds::Purpose::Clock(shown) if shown.may_be_agreed)
    {
        2
    } else {
        1
    };
    let gives = form.picked("way").is_some_and(|at| at + 1 == ways);
    let needed: &[&str] = if gives {
        &["way", "local", "who"]
    } else {
        &["way", "who"]
    };
    if let Some(sentence) = sheet.form.go_to_unanswered(needed) {
        common.refuse("empty", sentence, FILL_IN);
        return Wish::default();
    }
    let form = &sheet.form;
    let Some((by, _)) = form.picked("who").and_then(|at| sheet.people.get(at)) else {
        return Wish::default();
    };
    let typed = gives.then(|| form.typed("local").to_owned());
    Wish {
        effects: vec![Effect::Clock { typed, by: *by }],
        ..Wish::default()
    }
}
