//! Starting a rebuild by question and answer: the same facts as on the screen, one line each.

use std::collections::BTreeMap;

use reseat_procedure::model::Role;
use reseat_procedure::{Choices, Procedure};
use reseat_record::log::{Hash, Id};
use reseat_record::rebuild::Start;
use reseat_record::rebuild::ask::LONGEST_TEXT;
use reseat_record::refusal::{Refusal, Work};
use reseat_record::text::{clean_text, folded};

use super::begin::{Small, wants_proof};
use super::talk::{Refused, Talk};
use super::{Heeded, Session};
use crate::desk::{Open, UnitRow};

/// The place found: its open rebuild, or the unit a new one is for.
enum Found {
    Open(Id),
    Unit(Box<UnitRow>, String),
}

impl<T: Talk> Session<'_, T> {
    /// Asks for all that a start takes and starts it; takes up the open rebuild where there is one at the tag.
    pub(super) fn start(&mut self, mut tag: Option<String>) -> Heeded<Option<Open>, T::Lost> {
        loop {
            let (row, typed_tag) = match self.find_unit(tag.take())? {
                None => return Ok(None),
                Some(Found::Open(stream)) => return self.take_up(stream, true),
                Some(Found::Unit(row, typed)) => (row, typed),
            };
            let Some((start, signer)) = self.form(&row, typed_tag)? else {
                return Ok(None);
            };
            loop {
                let mut open = self.desk.start_signed(start.clone(), &signer);
                if wants_proof(&open) {
                    if !self.prove(signer)? {
                        // The secrets may be typed better the next time; the answers need not be given anew for that.
                        let Some(_) = self.ask_small(&Small {
                            kind: "act",
                            name: "sign",
                            prompt: "Say done to sign the start again.",
                            offers: &[],
                        })?
                        else {
                            return Ok(None);
                        };
                        continue;
                    }
                    open = self.desk.start_signed(start.clone(), &signer);
                }
                match open {
                    Ok(open) => return Ok(Some(open)),
                    Err(fault) => self.soft(fault)?,
                }
                break;
            }
        }
    }

    fn find_unit(&mut self, tag: Option<String>) -> Heeded<Option<Found>, T::Lost> {
        let mut given = tag;
        loop {
            let typed = match given.take() {
                Some(tag) => tag,
                None => match self.words("tag", "Tag, as read at the unit")? {
                    Some(tag) => tag,
                    None => return Ok(None),
                },
            };
            let row = self
                .desk
                .home_rows()?
                .into_iter()
                .find(|row| folded(&row.tag) == folded(&typed));
            match row {
                Some(row) if row.serial.is_empty() => self.refuse(&Refused::new(
                    "no-unit-fitted",
                    format!("No unit is fitted at {}.", row.tag),
                    "A lead fits it in the register, or read the tag again.",
                ))?,
                Some(row) => {
                    return Ok(Some(match row.open {
                        Some(stream) => Found::Open(stream),
                        None => Found::Unit(Box::new(row), typed),
                    }));
                }
                None => self.refuse(&Refused::new(
                    "no-such-tag",
                    format!("No place \"{typed}\" is on the register."),
                    "Read the tag again; `reseat units` lists them.",
                ))?,
            }
        }
    }

    /// Everything but the tag. Nothing is written yet.
    fn form(&mut self, row: &UnitRow, tag: String) -> Heeded<Option<(Start, Id)>, T::Lost> {
        self.introduce(row)?;
        let Some(work_order) = self.words("work-order", "Work order, as on the paper")? else {
            return Ok(None);
        };
        let Some(serial) = self.words("serial", "Serial, as read on the nameplate")? else {
            return Ok(None);
        };
        let differs = folded(&serial) != folded(&row.serial) || folded(&tag) != folded(&row.tag);
        let mismatch = if differs {
            let prompt = format!(
                "The nameplate differs from the register ({}). Stop and look again; else a lead says why",
                row.serial
            );
            match self.words("mismatch", &prompt)? {
                Some(reason) => Some(reason),
                None => return Ok(None),
            }
        } else {
            None
        };
        let Some((sha256, procedure)) = self.procedure(&row.model)? else {
            return Ok(None);
        };
        let Some(choices) = self.options(&procedure)? else {
            return Ok(None);
        };
        let kit = format!("Lot of kit {}, as on the bag", procedure.kit.number);
        let Some(kit_lot) = self.words("kit-lot", &kit)? else {
            return Ok(None);
        };
        let Some((performer, signer)) = self.performer_and_signer(mismatch.is_some())? else {
            return Ok(None);
        };
        let start = Start {
            work_order,
            tag,
            serial,
            mismatch,
            unit: row.serial.clone(),
            procedure: sha256,
            choices,
            kit_lot,
            performer,
        };
        Ok(Some((start, signer)))
    }

    /// Says which unit it is, how it stands, and whether its stand-in is being rebuilt too.
    fn introduce(&mut self, row: &UnitRow) -> Heeded<(), T::Lost> {
        self.say(&format!(
            "unit: {} {}, serial {} on the register, model {}",
            row.tag, row.name, row.serial, row.model
        ))?;
        self.say(&format!("state: {}", row.state))?;
        for told in self.desk.before_start(&row.serial)? {
            self.say(&format!("notice: {told}"))?;
        }
        Ok(())
    }

    /// Who does the work, and who signs the start: he himself, or a lead where the nameplate differs.
    fn performer_and_signer(&mut self, differs: bool) -> Heeded<Option<(Id, Id)>, T::Lost> {
        let performers = self.holders(Role::Performer);
        let who = self.somebody(
            "signature",
            "performer",
            "Who does the work; he signs the start",
            &performers,
        )?;
        let Some(performer) = who else {
            return Ok(None);
        };
        if !differs {
            return Ok(Some((performer, performer)));
        }
        let leads = self.holders(Role::Lead);
        let lead = self.somebody(
            "signature",
            "lead",
            "Which lead says so; he signs the start",
            &leads,
        )?;
        Ok(lead.map(|lead| (performer, lead)))
    }

    fn holders(&self, role: Role) -> Vec<(Id, String)> {
        let register = self.desk.register();
        register
            .holders(role)
            .map(|person| (person.id, person.name.clone()))
            .collect()
    }

    /// One of the procedures approved here and written for this model.
    fn procedure(&mut self, model: &str) -> Heeded<Option<(Hash, Procedure)>, T::Lost> {
        let offers: Vec<(Hash, Procedure)> = self
            .desk
            .register()
            .approvals()
            .iter()
            .filter(|approval| !approval.superseded)
            .filter_map(|approval| {
                Some((approval.sha256, self.desk.procedure(&approval.sha256).ok()?))
            })
            .filter(|(_, procedure)| {
                procedure.models.is_empty() || procedure.models.iter().any(|one| one == model)
            })
            .collect();
        let labels: Vec<String> = offers
            .iter()
            .map(|(_, procedure)| {
                format!(
                    "{} revision {}, {}",
                    procedure.number, procedure.revision, procedure.title
                )
            })
            .collect();
        if labels.is_empty() {
            self.refuse(&Refused::new(
                "no-procedure",
                format!("No procedure for model {model} is approved on this site."),
                "An approver approves one: `reseat approve`. Then start again.",
            ))?;
            return Ok(None);
        }
        let at = self.one_of(&Small {
            kind: "choice",
            name: "procedure",
            prompt: "Which procedure?",
            offers: &labels,
        })?;
        Ok(at.and_then(|at| offers.into_iter().nth(at)))
    }

    fn options(&mut self, procedure: &Procedure) -> Heeded<Option<Choices>, T::Lost> {
        let mut chosen = BTreeMap::new();
        for option in &procedure.options {
            let labels: Vec<String> = option
                .values
                .iter()
                .map(|(_, label)| label.clone())
                .collect();
            let at = self.one_of(&Small {
                kind: "choice",
                name: &option.id,
                prompt: &option.question,
                offers: &labels,
            })?;
            let Some(at) = at else { return Ok(None) };
            chosen.insert(option.id.clone(), option.values[at].0.clone());
        }
        Ok(Some(Choices(chosen)))
    }

    /// Words as the record takes them; none where the input ended.
    fn words(&mut self, name: &str, prompt: &str) -> Heeded<Option<String>, T::Lost> {
        loop {
            let Some(typed) = self.ask_small(&Small {
                kind: "text",
                name,
                prompt,
                offers: &[],
            })?
            else {
                return Ok(None);
            };
            match clean_text(&typed, LONGEST_TEXT) {
                Ok(text) => return Ok(Some(text)),
                Err(fault) => self.refuse(
                    &Refusal::from(Work::BadText {
                        why: fault.to_string(),
                    })
                    .into(),
                )?,
            }
        }
    }
}
