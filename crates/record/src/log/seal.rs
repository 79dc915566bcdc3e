//! Sealed entries: the bytes that are stored, their hash, and the signature over them.
//!
//! The prefixes are frozen: every hash and signature already written depends on each byte of them.

use std::sync::Arc;

use ed25519_dalek::{Signer, SigningKey, VerifyingKey};
use serde_json::{Map, Value};

use super::canonical::canonical;
use super::entry::{Entry, MAX_ENTRY_BYTES, VERSION};
use super::stamp::Head;
use super::{Damage, Hash};

const ENTRY_PREFIX: &[u8] = b"reseat entry 1\n";
const DEMO_ENTRY_PREFIX: &[u8] = b"reseat demo entry 1\n";
const SIGN_PREFIX: &[u8] = b"reseat sign 1\n";
const DEMO_SIGN_PREFIX: &[u8] = b"reseat demo sign 1\n";

/// An entry with the exact bytes that are stored and their hash.
#[derive(Debug, Clone, PartialEq)]
pub struct Sealed {
    /// The entry, shared with whatever keeps it: a rebuild keeps every entry it carried.
    pub entry: Arc<Entry>,
    /// Its canonical bytes.
    pub bytes: Vec<u8>,
    /// Its hash, see [`entry_hash`].
    pub hash: Hash,
}

impl Sealed {
    /// Reads stored bytes: JSON, canonical to the last byte, every member of the envelope in its form.
    /// The signature's shape is checked here, its truth by [`Sealed::check_signature`].
    ///
    /// # Errors
    /// The first thing wrong; [`Damage::Newer`] if the envelope is of a later version.
    pub fn read(bytes: &[u8]) -> Result<Self, Damage> {
        if bytes.len() > MAX_ENTRY_BYTES {
            return Err(Damage::TooLong(bytes.len()));
        }
        let object: Map<String, Value> =
            serde_json::from_slice(bytes).map_err(|error| Damage::NotJson(error.to_string()))?;
        // A later version may keep another byte form, so it is told apart before the form is judged.
        if let Some(version) = object.get("v").and_then(Value::as_u64)
            && version > VERSION
        {
            return Err(Damage::Newer(version));
        }
        let printed = canonical(&object)?;
        if printed != bytes {
            let same = printed
                .iter()
                .zip(bytes)
                .take_while(|(one, other)| one == other)
                .count();
            return Err(Damage::NotCanonical(same));
        }
        let entry = Entry::from_object(object)?;
        let hash = entry_hash(entry.demo, bytes);
        Ok(Self {
            entry: Arc::new(entry),
            bytes: bytes.to_vec(),
            hash,
        })
    }

    /// The head this entry makes.
    #[must_use]
    pub fn head(&self) -> Head {
        Head {
            stream: self.entry.stream,
            number: self.entry.number,
            hash: self.hash,
        }
    }

    /// Whether this entry is the one that follows `head`.
    ///
    /// # Errors
    /// [`Damage::Stream`], [`Damage::NumberOrder`] or [`Damage::Previous`].
    pub fn follows(&self, head: &Head) -> Result<(), Damage> {
        if self.entry.stream != head.stream {
            return Err(Damage::Stream);
        }
        if self.entry.number != head.number + 1 {
            return Err(Damage::NumberOrder {
                expected: head.number + 1,
                found: self.entry.number,
            });
        }
        if self.entry.previous != head.hash {
            return Err(Damage::Previous {
                expected: head.hash,
                found: self.entry.previous,
            });
        }
        Ok(())
    }

    /// Verifies the signature, if there is one, under the key that stands in it. Whose key that is, the register says.
    ///
    /// # Errors
    /// [`Damage::SigningKey`] or [`Damage::Signature`].
    pub fn check_signature(&self) -> Result<(), Damage> {
        match &self.entry.signature {
            None => Ok(()),
            Some(signature) => {
                let signed = self.entry.unsigned_bytes()?;
                verify_detached(
                    &signature.key,
                    sign_prefix(self.entry.demo),
                    &signed,
                    &signature.ed25519,
                )
            }
        }
    }
}

/// Hash of an entry: SHA-256 over the domain prefix and its canonical bytes, signature included. A demo entry has a prefix of
/// its own, so that no demo record can pass for a real one.
#[must_use]
pub fn entry_hash(demo: bool, bytes: &[u8]) -> Hash {
    Hash::prefixed(
        if demo {
            DEMO_ENTRY_PREFIX
        } else {
            ENTRY_PREFIX
        },
        bytes,
    )
}

/// Ed25519 signature over a domain prefix followed by the bytes.
#[must_use]
pub fn sign_detached(key: &SigningKey, prefix: &[u8], bytes: &[u8]) -> [u8; 64] {
    key.sign(&[prefix, bytes].concat()).to_bytes()
}

/// Verifies an Ed25519 signature over a domain prefix followed by the bytes, strictly: no small-order keys, no second form.
///
/// # Errors
/// [`Damage::SigningKey`] if the key is no point of the curve, [`Damage::Signature`] if it does not verify.
pub fn verify_detached(
    key: &[u8; 32],
    prefix: &[u8],
    bytes: &[u8],
    signature: &[u8; 64],
) -> Result<(), Damage> {
    let key = VerifyingKey::from_bytes(key).map_err(|_| Damage::SigningKey)?;
    let signature = ed25519_dalek::Signature::from_bytes(signature);
    key.verify_strict(&[prefix, bytes].concat(), &signature)
        .map_err(|_| Damage::Signature)
}

pub(super) fn sign_prefix(demo: bool) -> &'static [u8] {
    if demo { DEMO_SIGN_PREFIX } else { SIGN_PREFIX }
}
