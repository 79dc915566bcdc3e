//! Verification of a whole stream from its bytes alone.

use super::{Damage, Head, Sealed};

/// Outcome of verifying a stream.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Chain {
    /// No entry at all.
    Empty,
    /// Every entry holds.
    Whole {
        /// The last entry.
        head: Head,
    },
    /// Every entry that can be read holds, but one was written by a newer reseat: no state may be claimed.
    Newer {
        /// The first entry this program does not know.
        number: u64,
        /// What is new in it.
        what: String,
        /// The last entry whose link was checked; none when entry 1 itself cannot be read.
        head: Option<Head>,
    },
    /// The chain breaks.
    Broken {
        /// The first bad entry, by its place in the stream (1 is the first).
        number: u64,
        /// What is wrong with it.
        reason: Damage,
    },
}

/// Verifies a stream: each entry canonical, its signature good under the key in it, its number, predecessor, stream, home and
/// demo mark agreeing with what came before. Gives the first bad entry and the reason.
///
/// Whose key it is, and whether a signature had to be there, is judged by the register and the rebuild.
pub fn verify_chain<'a>(entries: impl Iterator<Item = &'a [u8]>) -> Chain {
    let mut first: Option<Sealed> = None;
    let mut head: Option<Head> = None;
    let mut newer: Option<(u64, String)> = None;
    for (number, bytes) in (1_u64..).zip(entries) {
        let sealed = match Sealed::read(bytes) {
            Ok(sealed) => sealed,
            Err(reason) if reason.is_newer() => {
                let (number, what) = newer.unwrap_or((number, reason.to_string()));
                return Chain::Newer { number, what, head };
            }
            Err(reason) => return Chain::Broken { number, reason },
        };
        if let Err(reason) = check(&sealed, first.as_ref(), head.as_ref()) {
            return Chain::Broken { number, reason };
        }
        if newer.is_none()
            && let Some(member) = sealed.entry.beyond.keys().next()
        {
            newer = Some((
                number,
                format!("the entry was written by a newer reseat (member \"{member}\")"),
            ));
        }
        head = Some(sealed.head());
        if first.is_none() {
            first = Some(sealed);
        }
    }
    match (head, newer) {
        (None, _) => Chain::Empty,
        (Some(head), None) => Chain::Whole { head },
        (head, Some((number, what))) => Chain::Newer { number, what, head },
    }
}

fn check(sealed: &Sealed, first: Option<&Sealed>, head: Option<&Head>) -> Result<(), Damage> {
    match head {
        Some(head) => sealed.follows(head)?,
        None => sealed.follows(&Head::empty(sealed.entry.stream))?,
    }
    if let Some(first) = first {
        if first.entry.home != sealed.entry.home {
            return Err(Damage::Home);
        }
        if first.entry.demo != sealed.entry.demo {
            return Err(Damage::Demo);
        }
    }
    sealed.check_signature()
}
