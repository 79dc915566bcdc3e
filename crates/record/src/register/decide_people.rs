//! Who may be enrolled, by whom, and with which key.

use std::collections::BTreeSet;

use ed25519_dalek::VerifyingKey;
use reseat_procedure::model::Role;

use super::decide::text_of;
use super::{
    Body, Command, Enrolled, FirstLead, Founded, Key, KeyChanged, Person, Register, Retired, Roles,
    RolesGiven, TakenOnAgain,
};
use crate::log::{Id, Stamp};
use crate::refusal::Refusal;
use crate::text::{NAME_CHARS, NOTE_CHARS};

impl Register {
    pub(super) fn found(
        &self,
        site: &str,
        rule: &str,
        site_key: [u8; 32],
        lead: Id,
        lead_name: &str,
        lead_key: [u8; 32],
    ) -> Result<Body, Refusal> {
        if let Some(site) = &self.site {
            return Err(Refusal::AlreadyFounded {
                site: site.name.clone(),
            });
        }
        let site = text_of("site name", site, NAME_CHARS)?;
        let rule = text_of("lockout rule", rule, NAME_CHARS)?;
        let name = text_of("name", lead_name, NAME_CHARS)?;
        usable(&site_key)?;
        usable(&lead_key)?;
        if site_key == lead_key {
            return Err(Refusal::KeyTaken {
                name: "the site".into(),
            });
        }
        let lead = FirstLead {
            id: lead,
            name,
            key: Key(lead_key),
        };
        Ok(Body::Founded(Founded {
            site,
            rule,
            site_key: Key(site_key),
            lead,
            site_signature: None,
        }))
    }

    pub(super) fn decide_people(&self, command: Command, stamp: &Stamp) -> Result<Body, Refusal> {
        match command {
            Command::Enrol {
                person,
                name,
                roles,
                key,
            } => {
                self.may_enrol(&roles, stamp)?;
                let name = text_of("name", &name, NAME_CHARS)?;
                if self.people.contains_key(&person) {
                    return Err(Refusal::IdTaken {});
                }
                if let Some(other) = self.person_named(&name) {
                    return Err(Refusal::NameTaken {
                        name: other.name.clone(),
                    });
                }
                some(&roles)?;
                self.free_key(&key)?;
                Ok(Body::Enrolled(Enrolled {
                    person,
                    name,
                    roles: Roles(roles),
                    key: Key(key),
                }))
            }
            Command::GiveRoles { person, roles } => {
                self.may_enrol(&roles, stamp)?;
                let person = self.in_post(person)?;
                some(&roles)?;
                if person.roles == roles {
                    return Err(Refusal::NothingChanges {});
                }
                if !roles.contains(&Role::Lead) {
                    self.not_last_lead(person)?;
                }
                Ok(Body::RolesGiven(RolesGiven {
                    person: person.id,
                    roles: Roles(roles),
                }))
            }
            other => self.decide_standing(other, stamp),
        }
    }

    fn decide_standing(&self, command: Command, stamp: &Stamp) -> Result<Body, Refusal> {
        match command {
            Command::Retire { person, reason } => {
                self.may_change(person, stamp)?;
                let person = self.in_post(person)?;
                // The site key can, so that a lead who is gone for good does not keep the register shut.
                if stamp.by.is_some() {
                    self.not_last_lead(person)?;
                }
                Ok(Body::Retired(Retired {
                    person: person.id,
                    reason: text_of("reason", &reason, NOTE_CHARS)?,
                }))
            }
            Command::TakeOnAgain { person, roles, key } => {
                self.may_enrol(&roles, stamp)?;
                let person = self.known(person)?;
                if !person.retired {
                    return Err(Refusal::NotRetired {
                        name: person.name.clone(),
                    });
                }
                some(&roles)?;
                self.free_key(&key)?;
                Ok(Body::TakenOnAgain(TakenOnAgain {
                    person: person.id,
                    roles: Roles(roles),
                    key: Key(key),
                }))
            }
            Command::ChangeKey {
                person,
                key,
                reason,
            } => {
                self.may_change(person, stamp)?;
                let person = self.in_post(person)?;
                self.free_key(&key)?;
                let reason = text_of("reason", &reason, NOTE_CHARS)?;
                Ok(Body::KeyChanged(KeyChanged {
                    person: person.id,
                    key: Key(key),
                    reason,
                }))
            }
            _ => Err(Refusal::NothingChanges {}),
        }
    }

    /// Enrolling and giving roles: a lead; or the site key alone, for a lead, when none is left.
    fn may_enrol(&self, roles: &BTreeSet<Role>, stamp: &Stamp) -> Result<(), Refusal> {
        if stamp.by.is_some() {
            return self.actor_with(Role::Lead, stamp).map(|_| ());
        }
        if let Some(lead) = self.holders(Role::Lead).next() {
            return Err(Refusal::LeadIsThere {
                name: lead.name.clone(),
            });
        }
        if roles.contains(&Role::Lead) {
            Ok(())
        } else {
            Err(Refusal::SiteKeyForLeadOnly {})
        }
    }

    /// Retiring and giving a new key: a lead; or the site key alone, for the last lead, who cannot sign or is gone.
    fn may_change(&self, person: Id, stamp: &Stamp) -> Result<(), Refusal> {
        if stamp.by.is_some() {
            return self.actor_with(Role::Lead, stamp).map(|_| ());
        }
        if let Some(other) = self.holders(Role::Lead).find(|lead| lead.id != person) {
            return Err(Refusal::LeadIsThere {
                name: other.name.clone(),
            });
        }
        if self.known(person)?.roles.contains(&Role::Lead) {
            Ok(())
        } else {
            Err(Refusal::SiteKeyForLeadOnly {})
        }
    }

    fn in_post(&self, id: Id) -> Result<&Person, Refusal> {
        let person = self.known(id)?;
        if person.retired {
            Err(Refusal::PersonRetired {
                name: person.name.clone(),
            })
        } else {
            Ok(person)
        }
    }

    fn not_last_lead(&self, person: &Person) -> Result<(), Refusal> {
        let others = self.holders(Role::Lead).any(|lead| lead.id != person.id);
        if person.has(Role::Lead) && !others {
            Err(Refusal::LastLead {
                name: person.name.clone(),
            })
        } else {
            Ok(())
        }
    }

    /// A key that is usable and never was anybody's: a key that changed hands would let one sign as the other.
    fn free_key(&self, key: &[u8; 32]) -> Result<(), Refusal> {
        usable(key)?;
        if self
            .site
            .as_ref()
            .is_some_and(|site| site.public_key == *key)
        {
            return Err(Refusal::KeyTaken {
                name: "the site".into(),
            });
        }
        match self
            .people
            .values()
            .find(|person| person.past.iter().any(|standing| standing.key == *key))
        {
            Some(owner) => Err(Refusal::KeyTaken {
                name: owner.name.clone(),
            }),
            None => Ok(()),
        }
    }
}

fn usable(key: &[u8; 32]) -> Result<(), Refusal> {
    match VerifyingKey::from_bytes(key) {
        Ok(key) if !key.is_weak() => Ok(()),
        _ => Err(Refusal::KeyUnusable {}),
    }
}

fn some(roles: &BTreeSet<Role>) -> Result<(), Refusal> {
    if roles.is_empty() {
        Err(Refusal::NoRoles {})
    } else {
        Ok(())
    }
}
