//! What can be wrong with an entry or a chain, in words a person can read.

use super::Hash;

/// Why an entry or a chain does not hold.
///
/// [`Damage::Newer`] is the one variant that is no fault of the record: the entry was written by a newer reseat.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Damage {
    /// The bytes are no JSON object.
    #[error("the entry is not readable JSON: {0}")]
    NotJson(String),
    /// The bytes are longer than [`super::MAX_ENTRY_BYTES`].
    #[error("the entry is {0} bytes long, more than an entry may be")]
    TooLong(usize),
    /// Arrays and objects are nested deeper than [`super::MAX_DEPTH`].
    #[error("the entry is nested too deeply")]
    TooDeep,
    /// The bytes are JSON, but not in the one canonical form.
    #[error("the entry is not in canonical form (byte {0} differs)")]
    NotCanonical(usize),
    /// A number with a fraction or an exponent, or beyond ±(2^53-1).
    #[error("{0} holds a number that is no whole number within ±9007199254740991")]
    Number(String),
    /// A null; the member must be left out instead.
    #[error("{0} is null; a member without a value is left out")]
    Null(String),
    /// A member name with a character outside ASCII.
    #[error("{0} has a member name that is not plain ASCII")]
    Key(String),
    /// A string that is not in Unicode normal form C.
    #[error("{0} holds text that is not in normal form C")]
    NotNfc(String),
    /// A member of the envelope is missing.
    #[error("the member \"{0}\" is missing")]
    Missing(&'static str),
    /// A member of the envelope has the wrong type or a value out of its form.
    #[error("the member \"{0}\" has a value that does not fit")]
    Member(&'static str),
    /// The entry says a higher format version than this program knows.
    #[error("the entry was written by a newer reseat (format {0})")]
    Newer(u64),
    /// The entry belongs to another stream.
    #[error("the entry belongs to another stream")]
    Stream,
    /// The entry was written by another home than the one that founded the stream.
    #[error("the entry was written by another home than the stream's own")]
    Home,
    /// The number does not follow its predecessor's.
    #[error("the entry is numbered {found} where {expected} is due")]
    NumberOrder {
        /// The number that is due.
        expected: u64,
        /// The number the entry carries.
        found: u64,
    },
    /// The hash of the predecessor does not match.
    #[error("the entry names {found} as its predecessor, but the predecessor's hash is {expected}")]
    Previous {
        /// Hash of the predecessor as computed.
        expected: Hash,
        /// Hash named in the entry.
        found: Hash,
    },
    /// The entry's demo mark differs from that of entry 1.
    #[error("a demo entry and a real one stand in the same stream")]
    Demo,
    /// The signature does not verify under the key that stands in it.
    #[error("the signature does not match the entry")]
    Signature,
    /// The signing key given does not form a usable key.
    #[error("the key in the signature is no usable Ed25519 key")]
    SigningKey,
}

impl Damage {
    /// Whether the entry is merely newer than this program, which is no damage.
    #[must_use]
    pub fn is_newer(&self) -> bool {
        matches!(self, Self::Newer(_))
    }
}
