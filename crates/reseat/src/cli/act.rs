//! Acting as a person: every change on the command line takes his passphrase and PIN, signed or not.

use reseat_record::log::Id;
use reseat_record::refusal::Refusal;
use reseat_record::register::{Person, Register};

use super::secret::Source;
use super::{Context, Stop};
use crate::desk::Desk;

/// Who acts.
#[derive(Debug, clap::Args)]
pub(super) struct Actor {
    /// The person who acts, by name or id
    #[arg(long, value_name = "PERSON")]
    by: String,
    #[command(flatten)]
    pub(super) source: Source,
}

impl Actor {
    /// The person named by a command that may also be given without one.
    pub(super) fn named(by: String, source: Source) -> Self {
        Self { by, source }
    }

    /// Who acts, before he proves it.
    pub(super) fn person(&self, desk: &Desk) -> Result<Id, Stop> {
        Ok(person(desk.register(), &self.by)?.id)
    }

    /// Opens the person's key and checks his PIN.
    pub(super) fn sit_down(&self, desk: &mut Desk, context: &mut Context) -> Result<Id, Stop> {
        let (id, name) = {
            let person = person(desk.register(), &self.by)?;
            (person.id, person.name.clone())
        };
        let secret = self.source.of(&name, &id.to_string(), context)?;
        desk.unseal(&id, &secret.passphrase)?;
        desk.check_pin(&id, &secret.pin)?;
        Ok(id)
    }
}

/// A person by name or id.
pub(super) fn person<'a>(register: &'a Register, typed: &str) -> Result<&'a Person, Stop> {
    let by_id = Id::parse(typed).ok().and_then(|id| register.person(id));
    by_id
        .or_else(|| register.person_named(typed))
        .ok_or_else(|| Stop::Fault(Refusal::NoPerson {}.into()))
}
