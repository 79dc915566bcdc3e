//! Places and units: added, fitted, put anew.

use reseat_record::register::UnitSaid;

use super::super::form::Form;
use super::super::message::Change;
use super::said;

const SPARE_HINT: &str = "The place that stands in for it. Leave it empty where there is none.";

pub(super) fn place() -> Form {
    Form::new("Add a place", "add it; signed by a lead")
        .text("tag", "tag", 24, "As it hangs at the place.")
        .text("name", "name", 60, "What the place does.")
        .text("spare", "tag of its spare", 24, SPARE_HINT)
}

pub(super) fn unit() -> Form {
    Form::new("Add a unit", "add it; signed by a lead")
        .text("serial", "serial", 40, "As read on the nameplate.")
        .text("model", "model", 40, "As the procedures name it.")
        .text("name", "name", 60, "What it is.")
}

pub(super) fn fit(serial: &str) -> Form {
    Form::new(
        format!("Fit unit {serial}"),
        "write where it is; signed by a lead",
    )
    .text(
        "tag",
        "tag of the place",
        24,
        "Leave it empty where the unit was taken out.",
    )
}

/// A place as it stands: tag, name, what it holds, its spare.
pub(super) fn place_anew(now: &[String]) -> Form {
    let [tag, name, spare] = [0, 1, 3].map(|at| now.get(at).map_or("", String::as_str));
    Form::new(format!("Place {tag}"), "write it anew; signed by a lead")
        .text("name", "name", 60, "What the place does.")
        .text("spare", "tag of its spare", 24, SPARE_HINT)
        .filled("name", name)
        .filled("spare", spare)
}

/// A unit as it stands: serial, model, name.
pub(super) fn unit_anew(now: &[String]) -> Form {
    let [serial, model, name] = [0, 1, 2].map(|at| now.get(at).map_or("", String::as_str));
    Form::new(format!("Unit {serial}"), "put it right; signed by a lead")
        .text("model", "model", 40, "As the procedures name it.")
        .text("name", "name", 60, "What it is.")
        .filled("model", model)
        .filled("name", name)
}

pub(super) fn added_place(form: &Form) -> Change {
    Change::AddPlace {
        tag: said(form, "tag"),
        name: said(form, "name"),
        spare: said(form, "spare"),
    }
}

pub(super) fn added_unit(form: &Form) -> Change {
    Change::AddUnit(UnitSaid {
        serial: said(form, "serial"),
        model: said(form, "model"),
        name: said(form, "name"),
    })
}

pub(super) fn changed_place(tag: &str, form: &Form) -> Change {
    Change::ChangePlace {
        tag: tag.to_owned(),
        name: said(form, "name"),
        spare: said(form, "spare"),
    }
}

pub(super) fn changed_unit(serial: &str, form: &Form) -> Change {
    Change::ChangeUnit(UnitSaid {
        serial: serial.to_owned(),
        model: said(form, "model"),
        name: said(form, "name"),
    })
}
