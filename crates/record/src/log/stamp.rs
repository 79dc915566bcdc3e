//! What surrounds an entry: the head it follows, the stamp it takes, the signature it carries.

use serde::{Deserialize, Serialize};

use super::{Hash, Id, to_hex};

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
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Trusted => "trusted",
            Self::Doubted => "doubted",
            Self::Given => "given",
        }
    }

    pub(super) fn from_word(word: &str) -> Option<Self> {
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
    #[must_use]
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
