//! Sealed signing keys of this home. What is inside is sealed before it comes here, and opened elsewhere.
//!
//! The only rows that may be replaced: a person who changes the passphrase seals the same key anew. They are left out
//! of every copy that leaves the home.

use reseat_record::log::Id;
use rusqlite::{OptionalExtension, TransactionBehavior, params};

use crate::fault::StorageFault;
use crate::open::History;

/// A person's key as it is kept: sealed, with what is needed to try a passphrase on it.
#[derive(Clone, PartialEq, Eq)]
pub struct SealedKey {
    /// How it was sealed (method, cost, salt), in the sealer's own words.
    pub parameters: String,
    /// The sealed bytes.
    pub sealed: Vec<u8>,
}

impl std::fmt::Debug for SealedKey {
    /// Sealed bytes have no business in a log of errors.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "SealedKey({} bytes)", self.sealed.len())
    }
}

impl History {
    /// Keeps a person's sealed key, in place of an earlier one.
    pub fn put_sealed_key(&mut self, person: &Id, key: &SealedKey) -> Result<(), StorageFault> {
        let change = self
            .writer()?
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        change.execute(
            "INSERT INTO secrets (person, parameters, sealed) VALUES (?1, ?2, ?3)
             ON CONFLICT (person) DO UPDATE SET parameters = excluded.parameters, sealed = excluded.sealed",
            params![person.to_string(), key.parameters, key.sealed],
        )?;
        Ok(change.commit()?)
    }

    /// A person's sealed key; `None` if this home holds none.
    pub fn sealed_key(&self, person: &Id) -> Result<Option<SealedKey>, StorageFault> {
        let mut find = self
            .connection()?
            .prepare_cached("SELECT parameters, sealed FROM secrets WHERE person = ?1")?;
        Ok(find
            .query_row([person.to_string()], |row| {
                Ok(SealedKey {
                    parameters: row.get(0)?,
                    sealed: row.get(1)?,
                })
            })
            .optional()?)
    }
}
