//! Whose signatures they are: each key held against the register as of the entry that the signature pins.
//!
//! The chain and the arithmetic of the signatures are the log's to verify ([`crate::log::verify_chain`]); this module judges
//! what they are worth. Nothing here looks at a date.

use reseat_procedure::model::Role;

use crate::log::{Head, Id, Sealed};
use crate::register::{
    Amended, Approved, Body, Fact, Founded, Person, Recall, Register, Standing, Superseded,
    check_site_signature, is_signed,
};

/// Member of a rebuild entry's body that pins the register's head: `{"hash","number","stream"}`. Start and every signed
/// entry carry it.
pub const PIN: &str = "register";

/// Something in a record that does not hold although its chain does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Number of the entry.
    pub number: u64,
    /// What is wrong, in words.
    pub reason: String,
}

/// Checks the signatures of a stream that pins this register: each signed entry names a person, pins an entry of the
/// register, and its key was that person's as of the pinned entry; each kind that must be signed is.
///
/// `must_be_signed` says so by kind. A pin never goes back: a later entry rests on what an earlier one rested on, or newer.
pub fn signatures<'a>(
    register: &Register,
    entries: impl IntoIterator<Item = &'a Sealed>,
    must_be_signed: impl Fn(&str) -> bool,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut latest_pin = 0;
    for sealed in entries {
        let number = sealed.entry.number;
        let mut find = |reason: String| findings.push(Finding { number, reason });
        match pinned(sealed) {
            Some(Ok(pin)) => {
                if let Err(reason) = pin_holds(register, &pin) {
                    find(reason);
                } else if pin.number < latest_pin {
                    find(format!(
                        "It rests on entry {} of the register, an earlier entry on {latest_pin}.",
                        pin.number
                    ));
                } else {
                    latest_pin = pin.number;
                    if let Err(reason) = key_was_his(register, sealed, pin.number) {
                        find(reason);
                    }
                }
            }
            Some(Err(reason)) => find(reason),
            None if sealed.entry.signature.is_some() => {
                find("The signature does not say which entry of the register it rests on.".into());
            }
            None => {}
        }
        if let Some(Err(reason)) = rule_was_named(register, sealed) {
            find(reason);
        }
        if sealed.entry.signature.is_none() && must_be_signed(&sealed.entry.kind) {
            find(format!(
                "The kind {} must be signed and is not.",
                sealed.entry.kind
            ));
        }
    }
    findings
}

/// Whether the register's entry that a verdict names as the source of its decision rule says that rule; none where it names
/// none.
fn rule_was_named(register: &Register, sealed: &Sealed) -> Option<Result<(), String>> {
    let body = &sealed.entry.body;
    let named: Fact = serde_json::from_value(body.get("ruled")?.clone()).ok()?;
    let rule = body.get("rule").and_then(|rule| rule.as_str())?;
    let said = register.site().and_then(|site| {
        site.rulings
            .iter()
            .find(|(fact, _)| *fact == named)
            .map(|(_, rule)| rule.to_string())
    });
    Some(match said {
        Some(said) if said == rule => Ok(()),
        Some(said) => Err(format!(
            "It is judged by the rule {rule}; entry {} of the register says {said}.",
            named.number
        )),
        None => Err(format!(
            "It is judged by the rule {rule}, and entry {} of the register names no rule.",
            named.number
        )),
    })
}

/// The register entry an entry pins, if it pins one.
#[must_use]
pub fn pinned(sealed: &Sealed) -> Option<Result<Head, String>> {
    let value = sealed.entry.body.get(PIN)?;
    Some(
        serde_json::from_value(value.clone())
            .map_err(|_| "What it names of the register cannot be read.".to_owned()),
    )
}

fn pin_holds(register: &Register, pin: &Head) -> Result<(), String> {
    if pin.stream != register.stream() {
        return Err(format!(
            "It rests on the register {}, which is not here.",
            pin.stream
        ));
    }
    match register.hash_at(pin.number) {
        Some(hash) if hash == pin.hash => Ok(()),
        Some(_) => Err(format!(
            "It rests on an entry {} of the register that is not the one here.",
            pin.number
        )),
        None => Err(format!(
            "It rests on entry {} of the register, which is not here.",
            pin.number
        )),
    }
}

fn key_was_his(register: &Register, sealed: &Sealed, at: u64) -> Result<(), String> {
    let Some(signature) = &sealed.entry.signature else {
        return Ok(());
    };
    let by = sealed.entry.by.ok_or("It is signed, but names nobody.")?;
    let (person, standing) = standing_at(register, by, at)?;
    if standing.retired {
        return Err(format!("{} was retired when this was signed.", person.name));
    }
    if standing.key != signature.key {
        return Err(format!("The key that signed was not {}'s.", person.name));
    }
    Ok(())
}

fn standing_at(register: &Register, by: Id, at: u64) -> Result<(&Person, &Standing), String> {
    register
        .person(by)
        .and_then(|person| person.standing_at(at).map(|standing| (person, standing)))
        .ok_or_else(|| "The person who signed was not on the register.".to_owned())
}

/// Checks a register's own signatures: the founding by site key and lead, every later signed entry by the key of the person
/// it names, as he stood just before it, with the role the kind asks for; or by the site key where it names nobody.
///
/// `register` is the state after these same entries.
pub fn register_signatures<'a>(
    register: &Register,
    entries: impl IntoIterator<Item = &'a Sealed>,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    for sealed in entries {
        let entry = &sealed.entry;
        let judged = if entry.kind == Founded::KIND {
            founding(sealed)
        } else {
            later(register, sealed)
        };
        if let Err(reason) = judged {
            findings.push(Finding {
                number: entry.number,
                reason,
            });
        }
    }
    findings
}

fn founding(sealed: &Sealed) -> Result<(), String> {
    let entry = &sealed.entry;
    if entry.number != 1 {
        return Err("A register is founded once, by its first entry.".into());
    }
    let Some(Body::Founded(founded)) = Body::read(&entry.kind, &entry.body) else {
        return Err("The founding cannot be read here.".into());
    };
    check_site_signature(entry)
        .map_err(|_| "The site key's signature does not match the founding.".to_owned())?;
    let signature = entry
        .signature
        .ok_or("The founding is not signed by the first lead.")?;
    if signature.key != founded.lead.key.0 || entry.by != Some(founded.lead.id) {
        return Err("The founding is not signed by the lead it names.".into());
    }
    Ok(())
}

fn later(register: &Register, sealed: &Sealed) -> Result<(), String> {
    let entry = &sealed.entry;
    if entry.number == 1 {
        return Err("The register does not begin with its founding.".into());
    }
    let Some(signature) = &entry.signature else {
        return if is_signed(&entry.kind) {
            Err(format!(
                "The kind {} must be signed and is not.",
                entry.kind
            ))
        } else {
            Ok(())
        };
    };
    let before = entry.number - 1;
    if entry.by.is_some() {
        key_was_his(register, sealed, before)?;
        return role_was_his(register, sealed, before);
    }
    if register
        .site()
        .is_none_or(|site| site.public_key != signature.key)
    {
        return Err("It names nobody and is not signed by the site key.".into());
    }
    site_key_may(register, sealed, before)
}

/// The site key acts for a lead when no other lead is there, and for nothing else.
fn site_key_may(register: &Register, sealed: &Sealed, before: u64) -> Result<(), String> {
    let body = Body::read(&sealed.entry.kind, &sealed.entry.body);
    let (of, names_lead) = match &body {
        Some(Body::Enrolled(said)) => (None, said.roles.0.contains(&Role::Lead)),
        Some(Body::RolesGiven(said)) => (None, said.roles.0.contains(&Role::Lead)),
        Some(Body::TakenOnAgain(said)) => (None, said.roles.0.contains(&Role::Lead)),
        Some(Body::Retired(said)) => (Some(said.person), true),
        Some(Body::KeyChanged(said)) => (Some(said.person), true),
        _ => return Err("The site key signed what it cannot sign.".into()),
    };
    let lead_then = |person: &&Person| {
        person
            .standing_at(before)
            .is_some_and(|standing| !standing.retired && standing.roles.contains(&Role::Lead))
    };
    if let Some(other) = register
        .people()
        .filter(lead_then)
        .find(|person| Some(person.id) != of)
    {
        return Err(format!(
            "The site key signed although {} was lead.",
            other.name
        ));
    }
    if names_lead {
        Ok(())
    } else {
        Err("The site key enrolled somebody who is no lead.".into())
    }
}

fn role_was_his(register: &Register, sealed: &Sealed, before: u64) -> Result<(), String> {
    let entry = &sealed.entry;
    let wanted: &[Role] = match entry.kind.as_str() {
        Approved::KIND | Superseded::KIND => &[Role::Approver],
        Recall::KIND => &[Role::Releaser, Role::Lead],
        Amended::KIND => return Ok(()),
        kind if is_signed(kind) => &[Role::Lead],
        _ => return Ok(()),
    };
    let by = entry.by.ok_or("It is signed, but names nobody.")?;
    let (person, standing) = standing_at(register, by, before)?;
    if !wanted.iter().any(|role| standing.roles.contains(role)) {
        return Err(format!(
            "{} did not hold the role {} when he signed it.",
            person.name,
            wanted[0].word()
        ));
    }
    if let Some(Body::Approved(said)) = Body::read(&entry.kind, &entry.body) {
        if said.approver != by {
            return Err(
                "The approval is signed by somebody else than the approver it names.".into(),
            );
        }
        if said.author == said.approver {
            return Err(format!("{} approved what he wrote.", person.name));
        }
    }
    Ok(())
}
