//! Instruments: added, a new certificate, quarantine and return.

use reseat_record::register::InstrumentKind;

use super::super::deeds::NOTE;
use super::super::form::Form;
use super::super::message::{CertificateTyped, Change, InstrumentTyped};
use super::said;

/// What the deviation of an instrument may be written as.
const DEVIATION_HINT: &str =
    "Such as 4 % of reading, 0.5 % of full scale, 0.1 bar, or ISO 6789 II A.";

/// Where its day's check is wanted, and where it is not.
const YES_OR_NO: [&str; 2] = ["yes", "no"];

pub(super) const ADDED: &[&str] = &[
    "name",
    "serial",
    "kind",
    "range",
    "resolution",
    "deviation",
    "certificate",
    "calibrated",
    "due",
];

pub(super) fn add() -> Form {
    let form = Form::new("Add an instrument", "add it; signed by a lead")
        .text("name", "name on site", 24, "Such as TW-19.")
        .text("serial", "maker's serial", 40, "")
        .pick("kind", "kind", kinds(), "")
        .text(
            "range",
            "range with unit",
            40,
            "Lowest and highest mark, such as 40..200 N·m; for pressure with g, a or d.",
        )
        .text(
            "usable",
            "part that may be used",
            40,
            "With its unit. Leave it empty where it is the whole range.",
        )
        .text(
            "resolution",
            "resolution with unit",
            24,
            "Smallest step of the scale, such as 1 N·m.",
        );
    certificate(form, DEVIATION_HINT).pick(
        "day_check",
        "check it each day",
        YES_OR_NO.map(str::to_owned).to_vec(),
        "At its first use of a day: no drop, no damage, exercised, zero seen. Leave it empty for no.",
    )
}

pub(super) fn renew(name: &str) -> Form {
    let form = Form::new(
        format!("New certificate of {name}"),
        "keep it; signed by a lead",
    );
    certificate(
        form,
        "Leave it empty where it is as before. Such as 4 % of reading, 0.1 bar or ISO 6789 II A.",
    )
}

/// What a certificate says.
fn certificate(form: Form, deviation_hint: &str) -> Form {
    form.text(
        "deviation",
        "largest permissible deviation",
        40,
        deviation_hint,
    )
    .text("certificate", "certificate", 40, "Its number.")
    .text("calibrated", "calibrated on", 10, "Such as 2026-03-12.")
    .text(
        "due",
        "due on",
        10,
        "The last day of use, such as 2027-03-12.",
    )
    .text(
        "uncertainty",
        "expanded uncertainty",
        24,
        "As on the certificate, such as 1.2 N·m or 1 %. Leave it empty where none is stated.",
    )
    .text(
        "coverage",
        "its coverage factor",
        8,
        "Such as 2. Leave it empty where no uncertainty is stated.",
    )
}

pub(super) fn quarantine(name: &str, out_of_use: bool) -> Form {
    let (title, takes) = if out_of_use {
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

fn kinds() -> Vec<String> {
    InstrumentKind::ALL
        .iter()
        .map(|kind| kind.word().to_owned())
        .collect()
}

pub(super) fn added(form: &Form) -> Option<Change> {
    let kind = InstrumentKind::ALL.get(form.picked("kind")?)?;
    Some(Change::AddInstrument(InstrumentTyped {
        name: said(form, "name"),
        serial: said(form, "serial"),
        kind: kind.word().to_owned(),
        range: said(form, "range"),
        usable: said(form, "usable"),
        resolution: said(form, "resolution"),
        certificate: certified(form),
        day_check: form.picked("day_check") == Some(0),
    }))
}

pub(super) fn renewed(name: &str, form: &Form) -> Change {
    Change::RenewCalibration {
        name: name.to_owned(),
        certificate: certified(form),
    }
}

fn certified(form: &Form) -> CertificateTyped {
    CertificateTyped {
        number: said(form, "certificate"),
        calibrated: said(form, "calibrated"),
        due: said(form, "due"),
        deviation: said(form, "deviation"),
        uncertainty: said(form, "uncertainty"),
        coverage: said(form, "coverage"),
    }
}

pub(super) fn quarantined(name: &str, out_of_use: bool, form: &Form) -> Change {
    let (name, reason) = (name.to_owned(), said(form, "reason"));
    if out_of_use {
        Change::ReturnInstrument { name, reason }
    } else {
        Change::Quarantine { name, reason }
    }
}
