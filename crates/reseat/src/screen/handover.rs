//! What a paused rebuild leads to: handing over, leaving it to nobody, the text for the paper tag.
//!
//! Unit, loose, next and locks are worked out and shown; the outgoing person adds his words and signs. What the incoming
//! person does is taking up, which every paused rebuild asks.

use reseat_record::log::Id;
use reseat_record::rebuild::Command;

use super::deeds::{NOTE, Purpose};
use super::field::Field;
use super::form::Form;
use super::overlay::{Menu, Page};
use super::sight::WorkSight;

/// What the outgoing person is shown and may choose from.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Outgoing {
    /// Who hands over, and signs it.
    pub by: Option<(Id, String)>,
    /// State of the unit, what is loose, what is next, locks.
    pub stands: Vec<String>,
    /// Performers other than himself.
    pub others: Vec<(Id, String)>,
    /// States the unit may be left in to nobody.
    pub states: Vec<String>,
}

/// The list behind the pause key of a paused rebuild; none where nothing is to be done about it.
pub fn menu(sight: &WorkSight) -> Option<Menu> {
    let page = sight.tag.clone()?;
    let mut lines = Vec::new();
    if let Some(outgoing) = &sight.outgoing {
        lines.push((
            "Hand over to another person".to_owned(),
            Purpose::HandOver(outgoing.as_ref().clone()),
        ));
        lines.push((
            "Leave it to nobody".to_owned(),
            Purpose::Leave(outgoing.as_ref().clone()),
        ));
    }
    lines.push((
        "A part is missing: WAITING FOR PART".to_owned(),
        Purpose::WaitForPart,
    ));
    lines.push(("Something was found".to_owned(), Purpose::Finding));
    lines.push((
        "Something was dropped or is lost".to_owned(),
        Purpose::Dropped,
    ));
    lines.push(("A lock came off".to_owned(), Purpose::LockOff));
    lines.push(("Text for the paper tag".to_owned(), Purpose::Tag(page)));
    Some(Menu {
        title: "The work is paused".to_owned(),
        lines,
        field: Field::new(4),
        people: sight.people.clone(),
    })
}

/// The page that shows the text for the tag.
pub fn page(lines: Vec<String>) -> Page {
    Page {
        title: "Text for the paper tag on the unit".to_owned(),
        lines,
        scroll: 0,
    }
}

fn stands(form: Form, outgoing: &Outgoing) -> Form {
    let lines: Vec<&str> = outgoing.stands.iter().map(String::as_str).collect();
    form.lead(&lines).text(
        "words",
        "what the next person must know",
        NOTE,
        "What is done, what is odd, what comes next. It stands alone: nobody can ask you.",
    )
}

/// The form that hands over to a person.
pub fn to_somebody(outgoing: &Outgoing) -> Form {
    let names = outgoing.others.iter().map(|(_, name)| name.clone());
    stands(
        Form::new("Hand over", "hand over; you sign, he takes up at the unit"),
        outgoing,
    )
    .pick(
        "to",
        "to whom",
        names.collect(),
        "Your own lock stays on until his is on; then you take yours off yourself.",
    )
}

/// The form that leaves the work to nobody.
pub fn to_nobody(outgoing: &Outgoing) -> Form {
    stands(
        Form::new("Leave it to nobody", "leave it; you sign"),
        outgoing,
    )
    .pick(
        "left",
        "the unit is left",
        outgoing.states.clone(),
        "The site allows these states. Write the paper tag before you go.",
    )
}

/// The command a form of this page means.
pub fn command(purpose: &Purpose, form: &Form) -> Option<Command> {
    let words = form.typed("words").to_owned();
    match purpose {
        Purpose::HandOver(outgoing) => Some(Command::HandOver {
            words,
            to: outgoing
                .others
                .get(form.picked("to")?)
                .map(|(person, _)| *person),
            left: None,
        }),
        Purpose::Leave(outgoing) => Some(Command::HandOver {
            words,
            to: None,
            left: outgoing.states.get(form.picked("left")?).cloned(),
        }),
        _ => None,
    }
}
