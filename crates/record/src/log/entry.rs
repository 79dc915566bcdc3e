//! The envelope every entry stands in, its hash and its signature.
//!
//! The member names, their forms and the prefixes below are frozen: records already written depend on each byte.

use ed25519_dalek::{Signer, SigningKey, VerifyingKey};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::canonical::{MAX_INTEGER, canonical};
use super::{Damage, Hash, Id, from_hex, is_offset, is_utc, to_hex};

/// Longest entry that is read or written, in bytes. A recall names every reading it touches in one entry, hence the room.
pub const MAX_ENTRY_BYTES: usize = 16 * 1024 * 1024;

/// Version of the envelope.
const VERSION: u64 = 1;
const ENTRY_PREFIX: &[u8] = b"reseat entry 1\n";
const DEMO_ENTRY_PREFIX: &[u8] = b"reseat demo entry 1\n";
const SIGN_PREFIX: &[u8] = b"reseat sign 1\n";
const DEMO_SIGN_PREFIX: &[u8] = b"reseat demo sign 1\n";

/// What was known of the clock when the entry was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Clock {
    /// The machine's clock, agreed with by a person.
    Trusted,
    /// CLOCK NOT TRUSTED.
    Doubted,
    /// The date and time were given by a person.
    Given,
}

impl Clock {
    fn word(self) -> &'static str {
        match self {
            Self::Trusted => "trusted",
            Self::Doubted => "doubted",
            Self::Given => "given",
        }
    }

    fn from_word(word: &str) -> Option<Self> {
        [Self::Trusted, Self::Doubted, Self::Given]
            .into_iter()
            .find(|clock| clock.word() == word)
    }
}

/// The last entry of a stream: what the next one must name, and what a signature pins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Head {
    /// The stream.
    pub stream: Id,
    /// Number of the last entry; 0 while the stream is empty.
    pub number: u64,
    /// Hash of the last entry; [`Hash::ZERO`] while the stream is empty.
    pub hash: Hash,
}

impl Head {
    /// The head of a stream without entries.
    pub const fn empty(stream: Id) -> Self {
        Self {
            stream,
            number: 0,
            hash: Hash::ZERO,
        }
    }
}

/// What the program brings to an entry: where, who and when. The pure crates fetch none of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    /// The home (one laptop's data folder) that writes.
    pub home: Id,
    /// The person at the keys, as the register knows him; none where no person acts.
    pub by: Option<Id>,
    /// Time of the entry, `2026-03-12T12:55:02.120Z`.
    pub utc: String,
    /// Offset of the local zone from UTC, `+01:00`.
    pub offset: String,
    /// What is known of the clock.
    pub clock: Clock,
    /// Time of the act where it is not that of the entry (a late entry), in the form of `utc`.
    pub acted: Option<String>,
    /// Whether the home is a demo home.
    pub demo: bool,
}

/// An Ed25519 signature (RFC 8032) and the public key it verifies under.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Signature {
    /// Public key, 32 bytes.
    pub key: [u8; 32],
    /// Signature, 64 bytes.
    pub ed25519: [u8; 64],
}

impl std::fmt::Debug for Signature {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Signature(key {})", to_hex(&self.key))
    }
}

/// One entry of a stream.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The stream it belongs to.
    pub stream: Id,
    /// Its number, from 1 without gaps.
    pub number: u64,
    /// Hash of the entry before it; [`Hash::ZERO`] for entry 1.
    pub previous: Hash,
    /// The home that wrote it.
    pub home: Id,
    /// What it says, with the version of that shape: `reading/1`.
    pub kind: String,
    /// Number of the rules by which it was decided; `verify` recomputes under the same.
    pub rules: u32,
    /// The person who acted.
    pub by: Option<Id>,
    /// Time of the entry.
    pub utc: String,
    /// Offset of the local zone.
    pub offset: String,
    /// What was known of the clock.
    pub clock: Clock,
    /// Time of the act, for a late entry.
    pub acted: Option<String>,
    /// Whether it was written in a demo home.
    pub demo: bool,
    /// What the kind says.
    pub body: Map<String, Value>,
    /// The signature, where the kind takes one.
    pub signature: Option<Signature>,
    /// Members of the envelope this program does not know. Not empty means: written by a newer reseat, no state is claimed.
    pub beyond: Map<String, Value>,
}

impl Entry {
    /// The unsigned entry that follows `head`.
    pub fn next(
        head: &Head,
        stamp: &Stamp,
        kind: &str,
        rules: u32,
        body: Map<String, Value>,
    ) -> Self {
        Self {
            stream: head.stream,
            number: head.number + 1,
            previous: head.hash,
            home: stamp.home,
            kind: kind.to_owned(),
            rules,
            by: stamp.by,
            utc: stamp.utc.clone(),
            offset: stamp.offset.clone(),
            clock: stamp.clock,
            acted: stamp.acted.clone(),
            demo: stamp.demo,
            body,
            signature: None,
            beyond: Map::new(),
        }
    }

    /// The canonical bytes: what is hashed and stored.
    ///
    /// # Errors
    /// What lies outside the record's subset of JSON, or does not fit its member.
    pub fn canonical(&self) -> Result<Vec<u8>, Damage> {
        self.check_members()?;
        let mut object = self.object();
        if let Some(signature) = &self.signature {
            object.insert("signature".into(), signature_value(signature));
        }
        bounded(canonical(&object)?)
    }

    /// The canonical bytes without the member `signature`: what is signed.
    ///
    /// # Errors
    /// As [`Entry::canonical`].
    pub fn unsigned_bytes(&self) -> Result<Vec<u8>, Damage> {
        self.check_members()?;
        bounded(canonical(&self.object())?)
    }

    /// Seals the entry as it stands: without a signature, or with the one it already carries.
    ///
    /// # Errors
    /// As [`Entry::canonical`]; [`Damage::Signature`] if a signature it carries does not match.
    pub fn seal(self) -> Result<Sealed, Damage> {
        let bytes = self.canonical()?;
        let hash = entry_hash(self.demo, &bytes);
        let sealed = Sealed {
            entry: self,
            bytes,
            hash,
        };
        sealed.check_signature()?;
        Ok(sealed)
    }

    /// Signs and seals the entry. The key is borrowed and not kept.
    ///
    /// # Errors
    /// As [`Entry::canonical`].
    pub fn sign(mut self, key: &SigningKey) -> Result<Sealed, Damage> {
        let bytes = self.unsigned_bytes()?;
        self.signature = Some(Signature {
            key: key.verifying_key().to_bytes(),
            ed25519: sign_detached(key, sign_prefix(self.demo), &bytes),
        });
        let bytes = self.canonical()?;
        let hash = entry_hash(self.demo, &bytes);
        Ok(Sealed {
            entry: self,
            bytes,
            hash,
        })
    }

    fn check_members(&self) -> Result<(), Damage> {
        let largest = MAX_INTEGER.unsigned_abs();
        let fits = [
            ("number", self.number >= 1 && self.number <= largest),
            ("kind", is_kind(&self.kind)),
            ("rules", self.rules >= 1),
            ("utc", is_utc(&self.utc)),
            ("offset", is_offset(&self.offset)),
            ("acted", self.acted.as_deref().is_none_or(is_utc)),
        ];
        match fits.into_iter().find(|(_, fits)| !fits) {
            Some((member, _)) => Err(Damage::Member(member)),
            None => Ok(()),
        }
    }

    fn object(&self) -> Map<String, Value> {
        let mut object = self.beyond.clone();
        let mut put = |key: &str, value: Value| object.insert(key.to_owned(), value);
        put("v", VERSION.into());
        put("stream", self.stream.to_string().into());
        put("number", self.number.into());
        put("previous", self.previous.to_string().into());
        put("home", self.home.to_string().into());
        put("kind", self.kind.clone().into());
        put("rules", self.rules.into());
        if let Some(by) = &self.by {
            put("by", by.to_string().into());
        }
        put("utc", self.utc.clone().into());
        put("offset", self.offset.clone().into());
        put("clock", self.clock.word().into());
        if let Some(acted) = &self.acted {
            put("acted", acted.clone().into());
        }
        if self.demo {
            put("demo", true.into());
        }
        put("body", Value::Object(self.body.clone()));
        object
    }

    fn from_object(mut object: Map<String, Value>) -> Result<Self, Damage> {
        match object.remove("v").ok_or(Damage::Missing("v"))?.as_u64() {
            Some(VERSION) => {}
            Some(newer) if newer > VERSION => return Err(Damage::Newer(newer)),
            _ => return Err(Damage::Member("v")),
        }
        let entry = Self {
            stream: take_id(&mut object, "stream")?,
            number: take_u64(&mut object, "number")?,
            previous: take_text(&mut object, "previous")?
                .parse()
                .map_err(|_| Damage::Member("previous"))?,
            home: take_id(&mut object, "home")?,
            kind: take_text(&mut object, "kind")?,
            rules: u32::try_from(take_u64(&mut object, "rules")?)
                .map_err(|_| Damage::Member("rules"))?,
            by: if object.contains_key("by") {
                Some(take_id(&mut object, "by")?)
            } else {
                None
            },
            utc: take_text(&mut object, "utc")?,
            offset: take_text(&mut object, "offset")?,
            clock: Clock::from_word(&take_text(&mut object, "clock")?)
                .ok_or(Damage::Member("clock"))?,
            acted: if object.contains_key("acted") {
                Some(take_text(&mut object, "acted")?)
            } else {
                None
            },
            demo: match object.remove("demo") {
                None => false,
                Some(Value::Bool(true)) => true,
                Some(_) => return Err(Damage::Member("demo")),
            },
            body: match object.remove("body").ok_or(Damage::Missing("body"))? {
                Value::Object(body) => body,
                _ => return Err(Damage::Member("body")),
            },
            signature: object
                .remove("signature")
                .map(|value| signature_from(&value))
                .transpose()?,
            beyond: object,
        };
        entry.check_members()?;
        Ok(entry)
    }
}

/// An entry with the exact bytes that are stored and their hash.
#[derive(Debug, Clone, PartialEq)]
pub struct Sealed {
    /// The entry.
    pub entry: Entry,
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
            entry,
            bytes: bytes.to_vec(),
            hash,
        })
    }

    /// The head this entry makes.
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

fn sign_prefix(demo: bool) -> &'static [u8] {
    if demo { DEMO_SIGN_PREFIX } else { SIGN_PREFIX }
}

/// A kind is lower-case words joined by `_`, a slash and the version of its shape from 1.
fn is_kind(kind: &str) -> bool {
    let Some((name, version)) = kind.split_once('/') else {
        return false;
    };
    let letters = name
        .bytes()
        .all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'_');
    let digits = version.bytes().all(|byte| byte.is_ascii_digit()) && !version.starts_with('0');
    kind.len() <= 64
        && name.starts_with(|first: char| first.is_ascii_lowercase())
        && letters
        && !version.is_empty()
        && digits
}

fn bounded(bytes: Vec<u8>) -> Result<Vec<u8>, Damage> {
    if bytes.len() > MAX_ENTRY_BYTES {
        Err(Damage::TooLong(bytes.len()))
    } else {
        Ok(bytes)
    }
}

fn signature_value(signature: &Signature) -> Value {
    let mut object = Map::new();
    object.insert("key".into(), to_hex(&signature.key).into());
    object.insert("ed25519".into(), to_hex(&signature.ed25519).into());
    Value::Object(object)
}

fn signature_from(value: &Value) -> Result<Signature, Damage> {
    let read = || {
        let object = value.as_object().filter(|object| object.len() == 2)?;
        Some(Signature {
            key: from_hex(object.get("key")?.as_str()?)?,
            ed25519: from_hex(object.get("ed25519")?.as_str()?)?,
        })
    };
    read().ok_or(Damage::Member("signature"))
}

fn take_text(object: &mut Map<String, Value>, member: &'static str) -> Result<String, Damage> {
    match object.remove(member).ok_or(Damage::Missing(member))? {
        Value::String(text) => Ok(text),
        _ => Err(Damage::Member(member)),
    }
}

fn take_id(object: &mut Map<String, Value>, member: &'static str) -> Result<Id, Damage> {
    Id::strict(&take_text(object, member)?).ok_or(Damage::Member(member))
}

fn take_u64(object: &mut Map<String, Value>, member: &'static str) -> Result<u64, Damage> {
    object
        .remove(member)
        .ok_or(Damage::Missing(member))?
        .as_u64()
        .ok_or(Damage::Member(member))
}
