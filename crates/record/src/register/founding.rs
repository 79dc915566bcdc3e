//! The site key's signature on entry 1.

use ed25519_dalek::SigningKey;
use serde_json::Value;

use super::{Body, Founded};
use crate::log::{Damage, Entry, from_hex, sign_detached, to_hex, verify_detached};

const FOUND_PREFIX: &[u8] = b"reseat found 1\n";
const DEMO_FOUND_PREFIX: &[u8] = b"reseat demo found 1\n";
const MEMBER: &str = "site_signature";

/// The founding entry with the site key's signature in its body. The lead then signs the whole. The key is not kept.
///
/// # Errors
/// [`Damage`] if the entry does not fit the record.
pub fn with_site_signature(mut entry: Entry, site_key: &SigningKey) -> Result<Entry, Damage> {
    let bytes = signed_bytes(&entry)?;
    let signature = sign_detached(site_key, prefix(entry.demo), &bytes);
    entry
        .body
        .insert(MEMBER.to_owned(), Value::String(to_hex(&signature)));
    Ok(entry)
}

/// Verifies the site key's signature on a founding entry under the site key named in it.
///
/// # Errors
/// [`Damage::Member`] if there is none, [`Damage::Signature`] if it does not match.
pub fn check_site_signature(entry: &Entry) -> Result<(), Damage> {
    let Some(Body::Founded(Founded {
        site_key,
        site_signature: Some(signature),
        ..
    })) = Body::read(&entry.kind, &entry.body)
    else {
        return Err(Damage::Member(MEMBER));
    };
    let signature = from_hex(&signature).ok_or(Damage::Member(MEMBER))?;
    verify_detached(
        &site_key.0,
        prefix(entry.demo),
        &signed_bytes(entry)?,
        &signature,
    )
}

/// The canonical bytes without `signature` and without `body.site_signature`.
fn signed_bytes(entry: &Entry) -> Result<Vec<u8>, Damage> {
    let mut bare = entry.clone();
    bare.body.remove(MEMBER);
    bare.unsigned_bytes()
}

fn prefix(demo: bool) -> &'static [u8] {
    if demo {
        DEMO_FOUND_PREFIX
    } else {
        FOUND_PREFIX
    }
}
