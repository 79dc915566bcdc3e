//! Starting a rebuild, and reading one back from its entries.

use std::sync::Arc;

use reseat_procedure::model::Role;
use reseat_procedure::{Choices, Procedure};

use super::body::{Beside, Body, PersonCopy, RULES, Started};
use super::command::Start;
use super::state::{Mark, Rebuild};
use crate::log::{Damage, Entry, Hash, Head, Id, Sealed, Stamp};
use crate::refusal::{Refusal, Work};
use crate::register::Register;

/// What the list of rebuilds shows of one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Summary {
    /// Serial of the unit.
    pub serial: String,
    /// Tag of the place at the start.
    pub tag: String,
    /// Name of the unit.
    pub name: String,
    /// When it started, UTC.
    pub started: String,
    /// When it ended, UTC.
    pub closed: Option<String>,
    /// The performer who started it.
    pub by: String,
    /// `signed`, `INCOMPLETE`, or none while it is open.
    pub outcome: Option<String>,
    /// State of the unit in words.
    pub state: String,
}

impl Rebuild {
    /// The start entry, unsigned; the performer signs it, or the lead where tag or serial differ.
    ///
    /// # Errors
    /// Tag or serial differ and no lead has said why; the procedure is not approved, superseded, or for another model; an option is not chosen.
    pub fn start(
        register: &Register,
        procedure: &Procedure,
        sha256: Hash,
        start: Start,
        stream: Id,
        stamp: &Stamp,
    ) -> Result<Entry, Refusal> {
        Self::start_entry(register, procedure, sha256, start, None, (stream, stamp))
    }

    pub(super) fn start_entry(
        register: &Register,
        procedure: &Procedure,
        sha256: Hash,
        start: Start,
        beside: Option<Beside>,
        (stream, stamp): (Id, &Stamp),
    ) -> Result<Entry, Refusal> {
        let unit = register.unit(&start.unit).ok_or(Work::UnitUnknown)?;
        let tag = unit.place.clone().unwrap_or_default();
        let mismatch = mismatch(register, &start, &unit.serial, &tag, stamp)?;
        let titled = format!("{} revision {}", procedure.number, procedure.revision);
        let approval = register
            .approval(&procedure.number, &procedure.revision, &sha256)
            .ok_or_else(|| Work::NotApproved {
                procedure: titled.clone(),
            })?;
        if approval.superseded {
            return Err(Work::Superseded { procedure: titled }.into());
        }
        fits_unit(procedure, &unit.model, &start.choices)?;
        let person = register
            .person(start.performer)
            .filter(|person| !person.retired)
            .ok_or(Work::NobodySuch)?;
        let performer = PersonCopy {
            id: person.id,
            name: person.name.clone(),
            fact: person.fact,
        };
        Self::must_hold(register, &performer, Role::Performer)?;
        let site = register.site().ok_or(Refusal::NotFounded {})?;
        let body: Body = Started {
            work_order: start.work_order,
            tag: start.tag,
            serial: start.serial,
            unit_name: unit.name.clone(),
            unit_serial: unit.serial.clone(),
            unit_fact: unit.fact,
            place_fact: register.place(&tag).map(|place| place.fact),
            points: register
                .place(&tag)
                .map(|place| place.points.clone())
                .unwrap_or_default(),
            place_tag: tag,
            procedure: procedure.number.clone(),
            revision: procedure.revision.clone(),
            sha256,
            approval: approval.fact,
            choices: start.choices.0,
            kit: procedure.kit.number.clone(),
            kit_lot: start.kit_lot,
            performer,
            site: site.name.clone(),
            rule: site.rule.clone(),
            pause_minutes: site.pause_minutes,
            look_again_minutes: site.look_again_minutes,
            zero_minutes: site.zero_minutes,
            register: register.head(),
            mismatch,
            beside,
        }
        .into();
        Ok(Entry::next(
            &Head::empty(stream),
            stamp,
            body.kind(),
            RULES,
            body.members(),
        ))
    }

    /// The rebuild that begins with a start entry.
    ///
    /// # Errors
    /// [`Damage::Member`] if the entry is no start entry.
    pub fn begin(procedure: Procedure, sealed: &Sealed) -> Result<Self, Damage> {
        let Some(Body::Started(started)) = Body::read(&sealed.entry) else {
            return Err(Damage::Member("kind"));
        };
        let choices = Choices(started.choices.clone());
        let route = procedure.route(&choices);
        let mut procedure = procedure.under(&choices);
        if started.beside.is_some() {
            super::pair::demand_verification(&mut procedure);
        }
        let mark = Mark::of(&sealed.entry);
        let mut rebuild = Self::fresh(
            procedure,
            route,
            *started,
            mark,
            sealed.entry.demo,
            sealed.head(),
        );
        rebuild.entries.push(Arc::clone(&sealed.entry));
        Ok(rebuild)
    }

    /// The rebuild its entries say, in order. The chain is not verified here; see [`crate::log::verify_chain`].
    ///
    /// # Errors
    /// As [`Rebuild::begin`], for the first entry.
    pub fn replay<'a>(
        procedure: Procedure,
        entries: impl IntoIterator<Item = &'a Sealed>,
    ) -> Result<Self, Damage> {
        let mut entries = entries.into_iter();
        let first = entries.next().ok_or(Damage::Missing("entry 1"))?;
        let mut rebuild = Self::begin(procedure, first)?;
        for sealed in entries {
            rebuild.apply(sealed);
        }
        Ok(rebuild)
    }

    /// What the list of rebuilds shows.
    pub fn summary(&self) -> Summary {
        Summary {
            serial: self.started.unit_serial.clone(),
            tag: self.started.place_tag.clone(),
            name: self.started.unit_name.clone(),
            started: self.started_mark.utc.clone(),
            closed: self.ended.as_ref().map(|(_, mark)| mark.utc.clone()),
            by: self.started.performer.name.clone(),
            outcome: self.ended_words().map(str::to_owned),
            state: self.state_words(),
        }
    }

    /// SHA-256 of the procedure text a start entry binds; none if it is no start entry.
    #[must_use]
    pub fn bound_text(first: &Sealed) -> Option<Hash> {
        match Body::read(&first.entry)? {
            Body::Started(started) => Some(started.sha256),
            _ => None,
        }
    }
}

/// The procedure is for this model, and every option of it is chosen.
fn fits_unit(procedure: &Procedure, model: &str, choices: &Choices) -> Result<(), Refusal> {
    if !procedure.models.is_empty() && !procedure.models.iter().any(|named| named == model) {
        return Err(Work::OtherUnit {
            model: model.to_owned(),
        }
        .into());
    }
    for option in &procedure.options {
        let chosen = choices.0.get(&option.id);
        if !chosen.is_some_and(|chosen| option.values.iter().any(|(id, _)| id == chosen)) {
            return Err(Work::Option {
                question: option.question.clone(),
            }
            .into());
        }
    }
    Ok(())
}

/// The reason for a difference between nameplate and register, which a lead records; none where nothing differs.
fn mismatch(
    register: &Register,
    start: &Start,
    serial: &str,
    tag: &str,
    stamp: &Stamp,
) -> Result<Option<String>, Refusal> {
    let same = |typed: &str, known: &str| typed.trim().eq_ignore_ascii_case(known);
    let mut differs = Vec::new();
    if !same(&start.tag, tag) {
        differs.push(format!(
            "Tag read as {}, the register has {tag}.",
            start.tag
        ));
    }
    if !same(&start.serial, serial) {
        differs.push(format!(
            "Serial read as {}, the register has {serial}.",
            start.serial
        ));
    }
    if differs.is_empty() {
        return Ok(None);
    }
    let reason = start.mismatch.clone().ok_or_else(|| Work::Mismatch {
        what: differs.join(" "),
    })?;
    let by = stamp
        .by
        .and_then(|id| register.person(id))
        .ok_or(Work::NobodySuch)?;
    if !by.has(Role::Lead) && !by.has(Role::Releaser) {
        return Err(Work::NotAllowed {
            name: by.name.clone(),
            role: Role::Lead.word(),
        }
        .into());
    }
    Ok(Some(format!("{} {reason}", differs.join(" "))))
}
