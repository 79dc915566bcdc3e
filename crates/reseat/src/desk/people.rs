//! People at the desk: opening their keys, and enrolling them with keys of their own.

use std::collections::BTreeSet;
use std::time::Duration;

use ed25519_dalek::SigningKey;
use reseat_procedure::model::Role;
use reseat_record::log::{Id, Sealed};
use reseat_record::refusal::Refusal;
use reseat_record::register::{self, Person, SHIFT_HOURS};
use zeroize::Zeroizing;

use super::fault::{Fault, KeyFault};
use super::founding::new_id;
use super::words::SiteWords;
use super::{Desk, seal};

/// A person to be enrolled, with the passphrase and PIN he chose himself.
#[derive(Debug, Clone)]
pub struct Enrolment {
    /// Name.
    pub name: String,
    /// Roles.
    pub roles: BTreeSet<Role>,
    /// His passphrase.
    pub passphrase: Zeroizing<String>,
    /// His PIN.
    pub pin: Zeroizing<String>,
}

impl Desk {
    /// Opens a person's key for this shift.
    ///
    /// # Errors
    /// [`KeyFault`]; [`Refusal::PersonRetired`].
    pub fn unseal(&mut self, person: &Id, passphrase: &str) -> Result<(), Fault> {
        let known = self.known(person)?;
        if known.retired {
            return Err(Refusal::PersonRetired {
                name: known.name.clone(),
            }
            .into());
        }
        let (name, on_register) = (known.name.clone(), known.key);
        let sealed = self
            .history
            .sealed_key(person)?
            .ok_or_else(|| KeyFault::NoKeyHere { name: name.clone() })?;
        let opened = seal::open(person, &sealed, passphrase)?;
        if opened.key.verifying_key().to_bytes() != on_register {
            return Err(KeyFault::OtherKey { name }.into());
        }
        self.keys.keep(*person, opened, self.clock.elapsed());
        Ok(())
    }

    /// Whether a person's key is open.
    pub fn is_unsealed(&self, person: &Id) -> bool {
        self.keys.holds(person, self.clock.elapsed(), self.shift())
    }

    /// How many digits the PIN of a person has whose key is open.
    pub fn pin_digits(&self, person: &Id) -> Option<usize> {
        self.is_unsealed(person)
            .then(|| self.keys.pin_digits(person))
            .flatten()
    }

    /// Checks a PIN; a right one is good for the person's next signature.
    ///
    /// # Errors
    /// [`KeyFault`]; the fifth wrong one in a row forgets the key.
    pub fn check_pin(&mut self, person: &Id, pin: &str) -> Result<(), Fault> {
        self.end_shifts();
        Ok(self.keys.check_pin(person, pin)?)
    }

    /// Forgets all opened keys: at a handover and at the end.
    pub fn forget_keys(&mut self) {
        self.keys.forget();
    }

    /// Forgets one person's opened key.
    pub fn forget_key(&mut self, person: &Id) {
        self.keys.forget_one(person);
    }

    /// Enrols a person with a new key, by a lead's signature. Gives his identifier.
    ///
    /// # Errors
    /// Refusals; passphrase or PIN that are refused; keys and storage.
    pub fn enrol(&mut self, enrolment: &Enrolment, by: &Id) -> Result<Id, Fault> {
        let (person, key) = self.sealed_for_new(enrolment)?;
        let command = enrol_command(person, enrolment, &key);
        self.change(command, by)?;
        Ok(person)
    }

    /// Enrols a lead by the words of the site's key, when none is left. Gives his identifier.
    ///
    /// # Errors
    /// As [`Desk::enrol`]; [`KeyFault::OtherSite`] where the words are another site's.
    pub fn enrol_lead_with_words(
        &mut self,
        words: &SiteWords,
        enrolment: &Enrolment,
    ) -> Result<Id, Fault> {
        let mut enrolment = enrolment.clone();
        enrolment.roles.insert(Role::Lead);
        self.site_key_of(words)?;
        let (person, key) = self.sealed_for_new(&enrolment)?;
        self.change_by_site(words, &enrol_command(person, &enrolment, &key))?;
        Ok(person)
    }

    /// A new key for a person who forgot the passphrase, by a lead's signature. What the old key signed stays good.
    ///
    /// # Errors
    /// As [`Desk::enrol`].
    pub fn new_key(
        &mut self,
        person: &Id,
        passphrase: &str,
        pin: &str,
        reason: &str,
        by: &Id,
    ) -> Result<(), Fault> {
        let (key, kept) = self.key_for(person, passphrase, pin)?;
        self.change(change_key(*person, &key, reason), by)?;
        self.keys.forget_one(person);
        Ok(self.history.put_sealed_key(person, &kept)?)
    }

    /// A new key for the last lead, by the words of the site's key.
    ///
    /// # Errors
    /// As [`Desk::enrol_lead_with_words`].
    pub fn new_key_with_words(
        &mut self,
        words: &SiteWords,
        person: &Id,
        passphrase: &str,
        pin: &str,
        reason: &str,
    ) -> Result<(), Fault> {
        self.site_key_of(words)?;
        let (key, kept) = self.key_for(person, passphrase, pin)?;
        self.change_by_site(words, &change_key(*person, &key, reason))?;
        self.keys.forget_one(person);
        Ok(self.history.put_sealed_key(person, &kept)?)
    }

    /// Seals a person's key under a new passphrase and PIN; the key stays the same.
    ///
    /// # Errors
    /// [`KeyFault`]; storage faults.
    pub fn change_passphrase(
        &mut self,
        person: &Id,
        old: &str,
        new: &str,
        pin: &str,
    ) -> Result<(), Fault> {
        let name = self.known(person)?.name.clone();
        let sealed = self
            .history
            .sealed_key(person)?
            .ok_or(KeyFault::NoKeyHere { name })?;
        let opened = seal::open(person, &sealed, old)?;
        let kept = seal::seal(person, &opened.key, new, pin)?;
        self.keys.forget_one(person);
        Ok(self.history.put_sealed_key(person, &kept)?)
    }

    pub(super) fn end_shifts(&mut self) {
        let (now, shift) = (self.clock.elapsed(), self.shift());
        self.keys.end_shifts(now, shift);
    }

    fn shift(&self) -> Duration {
        let hours = self
            .register
            .site()
            .map_or(SHIFT_HOURS, |site| site.shift_hours);
        Duration::from_secs(u64::from(hours) * 3600)
    }

    fn known(&self, person: &Id) -> Result<&Person, Fault> {
        self.register
            .person(*person)
            .ok_or_else(|| Refusal::NoPerson {}.into())
    }

    /// A new identifier with its key, sealed and kept. A key kept for somebody who is then refused opens nothing.
    fn sealed_for_new(&mut self, enrolment: &Enrolment) -> Result<(Id, SigningKey), Fault> {
        let (person, key) = (new_id()?, seal::new_key()?);
        let kept = seal::seal(&person, &key, &enrolment.passphrase, &enrolment.pin)?;
        self.history.put_sealed_key(&person, &kept)?;
        Ok((person, key))
    }

    fn key_for(
        &self,
        person: &Id,
        passphrase: &str,
        pin: &str,
    ) -> Result<(SigningKey, reseat_history::SealedKey), Fault> {
        self.known(person)?;
        let key = seal::new_key()?;
        let kept = seal::seal(person, &key, passphrase, pin)?;
        Ok((key, kept))
    }

    fn site_key_of(&self, words: &SiteWords) -> Result<SigningKey, Fault> {
        let key = SigningKey::from_bytes(words.key());
        let ours = self
            .register
            .site()
            .is_some_and(|site| site.public_key == key.verifying_key().to_bytes());
        if ours {
            Ok(key)
        } else {
            Err(KeyFault::OtherSite.into())
        }
    }

    fn change_by_site(
        &mut self,
        words: &SiteWords,
        command: &register::Command,
    ) -> Result<Sealed, Fault> {
        let key = self.site_key_of(words)?;
        let stamp = self.stamp(None);
        self.write_register(command, &stamp, &[], |entry, _| {
            Ok(entry.clone().sign(&key))
        })
    }
}

fn enrol_command(person: Id, enrolment: &Enrolment, key: &SigningKey) -> register::Command {
    register::Command::Enrol {
        person,
        name: enrolment.name.clone(),
        roles: enrolment.roles.clone(),
        key: key.verifying_key().to_bytes(),
    }
}

fn change_key(person: Id, key: &SigningKey, reason: &str) -> register::Command {
    register::Command::ChangeKey {
        person,
        key: key.verifying_key().to_bytes(),
        reason: reason.to_owned(),
    }
}
