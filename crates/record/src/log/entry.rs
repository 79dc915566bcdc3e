//! The envelope every entry stands in.
//!
//! The member names, their forms and the prefixes below are frozen: records already written depend on each byte.

use std::sync::Arc;

use ed25519_dalek::SigningKey;
use serde_json::{Map, Value};

use super::canonical::{MAX_INTEGER, Member, canonical_of};
use super::seal::{Sealed, entry_hash, sign_detached, sign_prefix};
use super::stamp::{Clock, Head, Signature, Stamp};
use super::{Damage, Hash, Id, from_hex, is_offset, is_utc, to_hex};

/// Longest entry that is read or written, in bytes. A recall names every reading it touches in one entry, hence the room.
pub const MAX_ENTRY_BYTES: usize = 16 * 1024 * 1024;

/// Version of the envelope.
pub(super) const VERSION: u64 = 1;

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
    #[must_use]
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
        self.print(self.signature.as_ref())
    }

    /// The canonical bytes without the member `signature`: what is signed.
    ///
    /// # Errors
    /// As [`Entry::canonical`].
    pub fn unsigned_bytes(&self) -> Result<Vec<u8>, Damage> {
        self.print(None)
    }

    /// Seals the entry as it stands: without a signature, or with the one it already carries.
    ///
    /// # Errors
    /// As [`Entry::canonical`]; [`Damage::Signature`] if a signature it carries does not match.
    pub fn seal(self) -> Result<Sealed, Damage> {
        let bytes = self.canonical()?;
        let hash = entry_hash(self.demo, &bytes);
        let sealed = Sealed {
            entry: Arc::new(self),
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
            entry: Arc::new(self),
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

    fn print(&self, signature: Option<&Signature>) -> Result<Vec<u8>, Damage> {
        self.check_members()?;
        let (stream, home) = (self.stream.to_string(), self.home.to_string());
        let (previous, by) = (self.previous.to_string(), self.by.map(|by| by.to_string()));
        let (version, number, rules) = (VERSION.into(), self.number.into(), self.rules.into());
        let (demo, signature) = (Value::Bool(true), signature.map(signature_value));
        let mut members = vec![
            ("v", Member::Value(&version)),
            ("stream", Member::Text(&stream)),
            ("number", Member::Value(&number)),
            ("previous", Member::Text(&previous)),
            ("home", Member::Text(&home)),
            ("kind", Member::Text(&self.kind)),
            ("rules", Member::Value(&rules)),
            ("utc", Member::Text(&self.utc)),
            ("offset", Member::Text(&self.offset)),
            ("clock", Member::Text(self.clock.word())),
            ("body", Member::Object(&self.body)),
        ];
        members.extend(by.as_deref().map(|by| ("by", Member::Text(by))));
        members.extend(
            self.acted
                .as_deref()
                .map(|acted| ("acted", Member::Text(acted))),
        );
        members.extend(self.demo.then_some(("demo", Member::Value(&demo))));
        members.extend(
            signature
                .as_ref()
                .map(|signed| ("signature", Member::Value(signed))),
        );
        members.extend(
            self.beyond
                .iter()
                .map(|(key, value)| (key.as_str(), Member::Value(value))),
        );
        bounded(canonical_of(members)?)
    }

    pub(super) fn from_object(mut object: Map<String, Value>) -> Result<Self, Damage> {
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
