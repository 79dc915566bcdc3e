//! Changes of the register as typed, made into its commands. What cannot be read is said in the words of the reader.

use reseat_measure::rule::{Rule, RuleError};
use reseat_measure::{Decimal, Deviation, InstrumentError, Quantity, Window};
use reseat_procedure::model::Role;
use reseat_record::log::Id;
use reseat_record::recall::bench_point;
use reseat_record::refusal::Refusal;
use reseat_record::register::{
    self, Calibration, Coverage, InstrumentKind, InstrumentSaid, PlacePoint, PlaceSaid, Scale,
};

use super::gather;
use super::message::{CertificateTyped, Change, InstrumentTyped, LeadByWords, RecallAsked, Said};
use crate::desk::{Desk, Enrolment, Fault, RecallSheet, SiteWords};

/// Writes a change of the register as typed.
pub(super) fn change_register(desk: &mut Desk, change: Change, by: &Id) -> Result<(), Said> {
    let command = match change {
        Change::AddPerson {
            name,
            roles,
            passphrase,
            pin,
        } => {
            let enrolment = Enrolment {
                name,
                roles: roles.into_iter().collect(),
                passphrase: passphrase.0,
                pin: pin.0,
            };
            desk.enrol(&enrolment, by)?;
            return Ok(());
        }
        Change::NewKey {
            person,
            reason,
            passphrase,
            pin,
        } => return Ok(desk.new_key(&person, &passphrase.0, &pin.0, &reason, by)?),
        Change::Approve(approving) => {
            desk.approve(&approving, by)?;
            return Ok(());
        }
        Change::SiteValues(typed) => return set_site(desk, typed, by),
        Change::Supersede { sha256, reason } => supersede(desk, &sha256, reason)?,
        Change::RetirePerson { person, reason } => register::Command::Retire { person, reason },
        Change::GiveRoles { person, roles } => register::Command::GiveRoles {
            person,
            roles: roles.into_iter().collect(),
        },
        Change::AddPlace { tag, name, spare } => {
            register::Command::AddPlace(place(tag, name, spare, Vec::new()))
        }
        Change::ChangePlace { tag, name, spare } => {
            let now = desk.register().place(&tag);
            let points = now.map(|place| place.points.clone()).unwrap_or_default();
            register::Command::ChangePlace(place(tag, name, spare, points))
        }
        Change::ChangeUnit(unit) => register::Command::ChangeUnit(unit),
        Change::AddUnit(unit) => register::Command::AddUnit(unit),
        Change::Fit { serial, tag } => fit(desk, serial, tag),
        Change::AddInstrument(typed) => register::Command::AddInstrument(instrument(typed)?),
        Change::RenewCalibration { name, certificate } => {
            let instrument = desk.instrument(&name)?;
            let before = instrument.calibration.deviation;
            let calibration = calibration(certificate, Some(before), &instrument.range)?;
            register::Command::RenewCalibration {
                id: name,
                calibration,
            }
        }
        Change::Quarantine { name, reason } => register::Command::Quarantine { id: name, reason },
        Change::ReturnInstrument { name, reason } => register::Command::Return { id: name, reason },
        Change::WithdrawInstrument { name, reason } => {
            register::Command::Withdraw { id: name, reason }
        }
    };
    desk.change(command, by)?;
    Ok(())
}

/// A place as it is to stand.
fn place(tag: String, name: String, spare: String, points: Vec<PlacePoint>) -> PlaceSaid {
    PlaceSaid {
        tag,
        name,
        points,
        redundant_with: given(spare),
    }
}

/// The unit in the place, or out of the one it is in where no tag is typed.
fn fit(desk: &Desk, serial: String, tag: String) -> register::Command {
    if !tag.is_empty() {
        return register::Command::Fit { tag, serial };
    }
    let unit = desk.register().unit(&serial);
    let tag = unit.and_then(|unit| unit.place.clone()).unwrap_or_default();
    register::Command::Remove { tag, serial }
}

/// Writes the values of the site. Two entries: the rule is signed by the lead, the other values stand as they are. What did
/// not change is not written anew, and the values come first, for they may still be refused.
fn set_site(
    desk: &mut Desk,
    [
        rule,
        pause,
        zero,
        look_again,
        shift,
        day_checks,
        left,
        decision,
    ]: [String; 8],
    by: &Id,
) -> Result<(), Said> {
    let judged = judge_by(desk, &decision)?;
    let values = site_values([rule, pause, zero, look_again, shift, day_checks, left])?;
    match (desk.change(values, by), judged) {
        (Ok(_), None) => {}
        (Ok(_) | Err(Fault::Refused(Refusal::NothingChanges {})), Some(command)) => {
            desk.change(command, by)?;
        }
        (Err(fault), _) => return Err(fault.into()),
    }
    Ok(())
}

fn unread(what: &str, why: impl std::fmt::Display) -> Said {
    Said::refusal(
        "not-readable",
        format!("The {what} cannot be read: {why}."),
        "Put it right and take the form again; nothing was written.",
    )
}

/// What was typed, where anything was.
fn given(typed: String) -> Option<String> {
    (!typed.is_empty()).then_some(typed)
}

/// A certificate as typed; where no deviation was typed, the one that stood `before`. `range` is that of the instrument.
fn calibration(
    typed: CertificateTyped,
    before: Option<Deviation>,
    range: &Window,
) -> Result<Calibration, Said> {
    let deviation = match before {
        Some(before) if typed.deviation.is_empty() => before,
        _ => Deviation::of_class(&typed.deviation, range)
            .map_err(|why: InstrumentError| unread("deviation", why))?,
    };
    let uncertainty = given(typed.uncertainty)
        .map(|text| Quantity::parse(&text))
        .transpose()
        .map_err(|why| unread("uncertainty", why))?;
    let coverage = given(typed.coverage)
        .map(|text| Decimal::parse(&text).map(Coverage))
        .transpose()
        .map_err(|why| unread("coverage factor", why))?;
    Ok(Calibration {
        certificate: typed.number,
        calibrated: typed.calibrated,
        due: typed.due,
        deviation,
        uncertainty,
        coverage,
    })
}

/// Every reading of an instrument found out, by what was typed of the bench.
pub(super) fn recall_sheet(desk: &Desk, asked: &RecallAsked) -> Result<RecallSheet, Said> {
    let instrument = desk.instrument(&asked.instrument)?;
    let found = asked
        .found
        .iter()
        .map(|(bench, showed)| bench_point(instrument, bench, showed))
        .collect::<Result<Vec<_>, _>>()
        .map_err(Fault::from)?;
    Ok(desk.recall_sheet(&asked.instrument, asked.since.as_deref(), found)?)
}

/// The command that sets the decision rule; none where it stands like that already.
fn judge_by(desk: &Desk, typed: &str) -> Result<Option<register::Command>, Said> {
    let rule: Rule = typed
        .parse()
        .map_err(|why: RuleError| unread("decision rule", why))?;
    let now = desk.register().site().map(|site| site.decision_rule);
    Ok((now != Some(rule)).then_some(register::Command::JudgeBy { rule }))
}

fn site_values(
    [rule, pause, zero, look_again, shift, day_checks, left]: [String; 7],
) -> Result<register::Command, Said> {
    let count = |what: &str, typed: &str| {
        typed
            .parse::<u32>()
            .map_err(|_| unread(what, format!("\"{typed}\" is not a whole number")))
    };
    Ok(register::Command::SetSite(register::SiteSaid {
        rule,
        pause_minutes: count("minutes without a key", &pause)?,
        zero_minutes: count("minutes of a zero reading", &zero)?,
        look_again_minutes: count("minutes of a short pause", &look_again)?,
        shift_hours: count("hours of a shift", &shift)?,
        day_checks: match day_checks.to_lowercase().as_str() {
            "yes" => true,
            "no" => false,
            other => {
                let why = format!("\"{other}\" is neither yes nor no");
                return Err(unread("check of the day", why));
            }
        },
        left_states: left
            .split(';')
            .map(|state| state.trim().to_owned())
            .filter(|state| !state.is_empty())
            .collect(),
    }))
}

/// Longest procedure file that is read, in bytes: no procedure comes near it, and a device or log named by mistake is
/// not read to its end.
const LONGEST_FILE: u64 = 4 << 20;

/// The bytes of a file named by its whole path.
pub(super) fn file_bytes(path: &str) -> Result<Vec<u8>, Said> {
    let shown = super::draw::clean(path);
    let refused = |why: String| {
        Said::refusal(
            "file-not-read",
            format!("The file \"{shown}\" cannot be read: {why}."),
            "Type its whole path as it is on this laptop; nothing was written.",
        )
    };
    let kind = std::fs::metadata(path).map_err(|why| refused(why.to_string()))?;
    if !kind.is_file() {
        return Err(refused("it is no file".to_owned()));
    }
    if kind.len() > LONGEST_FILE {
        return Err(refused("it is longer than any procedure".to_owned()));
    }
    std::fs::read(path).map_err(|why| refused(why.to_string()))
}

/// A lead, new or with a new key, by the words of the site's key.
pub(super) fn lead_by_words(desk: &mut Desk, typed: LeadByWords) -> Result<(), Said> {
    let words = SiteWords::read(&typed.words.0).map_err(Fault::from)?;
    if let Some(person) = typed.person {
        let (passphrase, pin) = (&typed.passphrase.0, &typed.pin.0);
        desk.new_key_with_words(&words, &person, passphrase, pin, &typed.reason)?;
    } else {
        let enrolment = Enrolment {
            name: typed.name,
            roles: std::iter::once(Role::Lead).collect(),
            passphrase: typed.passphrase.0,
            pin: typed.pin.0,
        };
        desk.enrol_lead_with_words(&words, &enrolment)?;
    }
    Ok(())
}

fn no_procedure(sha256: &str) -> Fault {
    Fault::NoProcedure {
        what: sha256.chars().take(12).collect(),
    }
}

/// The exact bytes of a procedure: shipped, or kept in this home.
pub(super) fn procedure_bytes(desk: &Desk, sha256: &str) -> Result<Vec<u8>, Fault> {
    let shipped = gather::shipped();
    if let Some((_, bytes, _)) = shipped.iter().find(|(hash, ..)| hash == sha256) {
        return Ok(bytes.to_vec());
    }
    let hash = sha256.parse().map_err(|_| no_procedure(sha256))?;
    desk.history()
        .text(&hash)?
        .ok_or_else(|| no_procedure(sha256))
}

fn supersede(desk: &Desk, sha256: &str, reason: String) -> Result<register::Command, Fault> {
    let approvals = desk.register().approvals();
    let approval = approvals
        .iter()
        .find(|approval| approval.sha256.to_string() == sha256)
        .ok_or_else(|| no_procedure(sha256))?;
    Ok(register::Command::Supersede {
        number: approval.number.clone(),
        revision: approval.revision.clone(),
        sha256: approval.sha256,
        reason,
    })
}

/// An instrument as typed; what cannot be read is said in the words of the reader.
fn instrument(typed: InstrumentTyped) -> Result<InstrumentSaid, Said> {
    let kind =
        InstrumentKind::from_word(&typed.kind).ok_or_else(|| unread("kind", typed.kind.clone()))?;
    let range = Window::parse(&typed.range).map_err(|why| unread("range", why.to_string()))?;
    let resolution =
        Quantity::parse(&typed.resolution).map_err(|why| unread("resolution", why.to_string()))?;
    let usable = given(typed.usable)
        .map(|text| Window::parse(&text))
        .transpose()
        .map_err(|why| unread("usable part", why))?;
    let calibration = calibration(typed.certificate, None, &range)?;
    Ok(InstrumentSaid {
        id: typed.name,
        serial: typed.serial,
        kind,
        scale: Scale {
            unit: range.unit(),
            reference: range.reference(),
        },
        range,
        usable,
        resolution,
        calibration,
        day_check: typed.day_check,
    })
}
