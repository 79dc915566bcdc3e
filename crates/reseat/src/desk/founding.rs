//! Founding a site in an empty home.

use std::path::Path;

use ed25519_dalek::SigningKey;
use reseat_history::{History, Home};
use reseat_record::log::{Id, Stamp};
use reseat_record::register::{self, Register};
use zeroize::Zeroizing;

use super::clock::{HomeClock, Time};
use super::fault::{ClockFault, Fault};
use super::keyring::KeyRing;
use super::words::SiteWords;
use super::{Desk, rows, seal};

/// What founding asks for, and nothing else.
#[derive(Debug, Clone)]
pub struct Founding {
    /// Name of the site.
    pub site: String,
    /// The lockout rule the site follows.
    pub rule: String,
    /// Name of the first lead.
    pub lead_name: String,
    /// His passphrase.
    pub passphrase: Zeroizing<String>,
    /// His PIN.
    pub pin: Zeroizing<String>,
}

impl Desk {
    /// Founds a site in a home where none is. The words of the site's private key are to be shown once; they are kept
    /// nowhere.
    ///
    /// # Errors
    /// [`Fault::AlreadyFounded`]; passphrase, PIN or texts that are refused; storage faults.
    pub fn found(
        root: &Path,
        founding: &Founding,
        time: Box<dyn Time>,
    ) -> Result<(Self, SiteWords), Fault> {
        if time.is_set() {
            return Err(ClockFault::SetInRealHome.into());
        }
        Self::found_as(root, founding, time, false)
    }

    /// Founds an invented site: every entry 1 says so, and no record of it can pass for a real one.
    ///
    /// # Errors
    /// As [`Desk::found`].
    pub fn found_demo(
        root: &Path,
        founding: &Founding,
        time: Box<dyn Time>,
    ) -> Result<(Self, SiteWords), Fault> {
        Self::found_as(root, founding, time, true)
    }

    fn found_as(
        root: &Path,
        founding: &Founding,
        time: Box<dyn Time>,
        demo: bool,
    ) -> Result<(Self, SiteWords), Fault> {
        // Refused before anything is made: a folder left behind by a slip would look like a home.
        seal::check_passphrase(&founding.passphrase)?;
        seal::check_pin_form(&founding.pin)?;
        let clock = HomeClock::start(time);
        let [home_id, stream, lead] = [new_id()?, new_id()?, new_id()?];
        let (site_key, lead_key) = (seal::new_key()?, seal::new_key()?);
        let stamp = Stamp {
            home: home_id,
            by: Some(lead),
            utc: clock.utc(),
            offset: clock.offset(),
            clock: clock.word(),
            acted: None,
            demo,
        };
        let mut register = Register::empty(stream);
        let entry = register.decide(found_command(founding, &site_key, lead, &lead_key), &stamp)?;
        let damaged = |damage| Fault::broken(stream, 1, &damage);
        let entry = register::with_site_signature(entry, &site_key).map_err(damaged)?;
        let sealed = entry.sign(&lead_key).map_err(damaged)?;
        let kept = seal::seal(&lead, &lead_key, &founding.passphrase, &founding.pin)?;

        let home = Home::open(root)?;
        let mut history = History::open(&home)?;
        if let Some(stream) = history.register()? {
            return Err(already(&history, stream));
        }
        if !history.copies()?.is_empty() {
            return Err(Fault::IndexLost);
        }
        history.put_sealed_key(&lead, &kept)?;
        history.append(&sealed, Some(&rows::register_row(&register, &sealed)), &[])?;
        register.apply(&sealed).map_err(damaged)?;
        history.moved()?;
        let mut desk = Self {
            bookings: super::bookings::Bookings::default(),
            home,
            history,
            register,
            keys: KeyRing::default(),
            clock,
            id: home_id,
        };
        desk.unseal(&lead, &founding.passphrase)?;
        Ok((desk, SiteWords::of(site_key.as_bytes())))
    }
}

fn found_command(
    founding: &Founding,
    site_key: &SigningKey,
    lead: Id,
    lead_key: &SigningKey,
) -> register::Command {
    register::Command::Found {
        site: founding.site.clone(),
        rule: founding.rule.clone(),
        site_key: site_key.verifying_key().to_bytes(),
        lead,
        lead_name: founding.lead_name.clone(),
        lead_key: lead_key.verifying_key().to_bytes(),
    }
}

fn already(history: &History, stream: Id) -> Fault {
    let mut register = Register::empty(stream);
    match super::fold(&mut register, history) {
        Ok(()) => Fault::AlreadyFounded {
            site: register
                .site()
                .map(|site| site.name.clone())
                .unwrap_or_default(),
        },
        Err(fault) => fault,
    }
}

/// A new identifier from the system's random bytes.
pub(super) fn new_id() -> Result<Id, Fault> {
    Ok(Id::from_bytes(seal::random()?))
}
