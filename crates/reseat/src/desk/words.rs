//! The site's private key as words to write down and keep in a safe.
//!
//! One word stands for one byte, so 32 words are the key; a 33rd is the first byte of a hash over them and finds a slip of
//! the pen before it is tried. Words rather than digits because they are copied by hand, once, by somebody who has other
//! things to do. The list is our own: short plain words that differ within their first four letters, and those four are
//! enough when they are typed back. The order of the list is frozen: papers in safes depend on it.

use reseat_record::log::to_hex;
use sha2::{Digest, Sha256};
use zeroize::{Zeroize, ZeroizeOnDrop, Zeroizing};

/// Words on the paper: one a byte, and one that checks them.
pub const WORDS: usize = 33;

const CHECK_PREFIX: &[u8] = b"reseat site words 1\n";

/// The site's private key as words. Shown once, never stored.
#[derive(Zeroize, ZeroizeOnDrop)]
pub struct SiteWords {
    key: [u8; 32],
}

/// Why a line of words is not the key of a site.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WordsFault {
    /// Too few or too many.
    #[error("words typed: {found}; the paper has {WORDS}")]
    HowMany {
        /// How many were typed.
        found: usize,
    },
    /// A word that is not on the list.
    #[error("word {place} is not on the list: \"{typed}\"")]
    Unknown {
        /// Its place on the paper, from 1.
        place: usize,
        /// As typed.
        typed: String,
    },
    /// The last word does not fit the others.
    #[error("the last word does not fit the others: one of them is wrong, or two are exchanged")]
    Check,
}

impl SiteWords {
    /// The words of a private key.
    pub fn of(key: &[u8; 32]) -> Self {
        Self { key: *key }
    }

    /// Reads words as a person types them: any case, blanks and line ends between, at least four letters of each.
    ///
    /// # Errors
    /// [`WordsFault`]; whether they belong to this site is seen by comparing the public key.
    pub fn read(text: &str) -> Result<Self, WordsFault> {
        let typed: Vec<&str> = text
            .split(|letter: char| !letter.is_alphabetic())
            .filter(|word| !word.is_empty())
            .collect();
        if typed.len() != WORDS {
            return Err(WordsFault::HowMany { found: typed.len() });
        }
        let mut bytes = Zeroizing::new([0_u8; WORDS]);
        for (place, word) in typed.iter().enumerate() {
            bytes[place] = byte_of(word).ok_or_else(|| WordsFault::Unknown {
                place: place + 1,
                typed: (*word).chars().take(20).collect(),
            })?;
        }
        let mut key = Zeroizing::new([0_u8; 32]);
        key.copy_from_slice(&bytes[..32]);
        if check_byte(&key) != bytes[32] {
            return Err(WordsFault::Check);
        }
        Ok(Self { key: *key })
    }

    /// The words in order.
    pub fn words(&self) -> Zeroizing<Vec<String>> {
        let check = check_byte(&self.key);
        let word = |byte: &u8| LIST[usize::from(*byte)].to_owned();
        Zeroizing::new(self.key.iter().chain([&check]).map(word).collect())
    }

    /// The private key.
    pub(crate) fn key(&self) -> &[u8; 32] {
        &self.key
    }
}

impl std::fmt::Debug for SiteWords {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("SiteWords(..)")
    }
}

fn check_byte(key: &[u8; 32]) -> u8 {
    // Over the hexadecimal text, so that the rule can be followed with any command that hashes a line.
    let text = Zeroizing::new(to_hex(key));
    Sha256::new()
        .chain_update(CHECK_PREFIX)
        .chain_update(text.as_bytes())
        .finalize()[0]
}

fn byte_of(word: &str) -> Option<u8> {
    let word = Zeroizing::new(word.to_ascii_lowercase());
    let mut found = None;
    for (byte, listed) in (0_u8..=255).zip(LIST) {
        let shortened = word.len() >= 4 && listed.starts_with(word.as_str());
        if listed == word.as_str() || shortened {
            found = Some(byte);
        }
    }
    found
}

#[rustfmt::skip]
const LIST: [&str; 256] = [
    "acorn", "alder", "amber", "anchor", "anvil", "apple", "april", "apron", "arch", "arrow", "ash", "atlas",
    "autumn", "axle", "badge", "bagel", "baker", "bamboo", "band", "barley", "barn", "basin", "basket", "bath",
    "beacon", "beam", "bean", "bear", "beaver", "bell", "belt", "bench", "berry", "bicycle", "birch",
    "bison", "blade", "blanket", "boat", "bolt", "bonnet", "boot", "bottle", "bowl", "box", "bramble", "brass",
    "bread", "breeze", "brick", "bridge", "broom", "brush", "bucket", "buffalo", "bugle", "bulb", "burrow", "bush",
    "button", "cabin", "cable", "cactus", "camel", "candle", "canoe", "canvas", "carbon", "cargo", "carpet", "carrot",
    "castle", "cattle", "cedar", "cellar", "chain", "chalk", "cherry", "chest", "chimney", "chisel", "cider",
    "cinder", "circle", "clamp", "clay", "clock", "cloud", "clover", "coal", "cobalt", "cobweb", "cocoa", "coffee",
    "collar", "copper", "coral", "cork", "corn", "cotton", "cradle", "crane", "crater", "creek", "cricket", "crown",
    "cup", "curtain", "daisy", "dawn", "desert", "diamond", "dinner", "dolphin", "donkey", "door", "drum", "duck",
    "dune", "eagle", "earth", "easel", "echo", "elbow", "elder", "elm", "ember", "engine", "fabric", "falcon", "farm",
    "feather", "fence", "fern", "ferry", "fiddle", "field", "fig", "finch", "fir", "flag", "flannel", "flint",
    "flour", "flute", "fog", "forest", "fork", "fossil", "fountain", "fox", "frost", "funnel", "gable", "galley",
    "garden", "garlic", "gate", "geyser", "ginger", "glacier", "glass", "glove", "goat", "gold", "goose", "grain",
    "granite", "grape", "gravel", "guitar", "gull", "hammer", "handle", "harbor", "harp", "hatch", "hazel", "heather",
    "hedge", "heron", "hinge", "hive", "honey", "hook", "horse", "hotel", "husk", "igloo", "inlet", "iris", "iron",
    "island", "ivory", "jacket", "jasmine", "jelly", "jetty", "jungle", "juniper", "kayak", "kernel", "kettle",
    "kite", "kitten", "ladder", "lagoon", "lake", "lamp", "lantern", "larch", "lava", "leather", "lemon", "lentil",
    "lever", "lilac", "lime", "linen", "lizard", "lobster", "locket", "lotus", "magnet", "mango", "maple", "marble",
    "market", "meadow", "melon", "metal", "mill", "mint", "mirror", "mitten", "moss", "motor", "mule", "mustard",
    "napkin", "nectar", "needle", "nest", "nickel", "north", "nutmeg", "oak", "oasis", "oats", "ocean", "olive",
    "onion", "orange", "orchard", "otter", "tulip",
];

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn the_list_has_256_words_told_apart_by_four_letters() {
        let four: BTreeSet<String> = LIST
            .iter()
            .map(|word| word.chars().take(4).collect())
            .collect();
        assert_eq!(four.len(), 256);
        assert!(
            LIST.iter()
                .all(|word| word.len() >= 3 && word.bytes().all(|byte| byte.is_ascii_lowercase()))
        );
    }

    #[test]
    fn words_and_key_are_inverse_also_shortened_and_in_capitals() {
        let key: [u8; 32] = std::array::from_fn(|place| u8::try_from(place * 8).unwrap() ^ 0x5a);
        let words = SiteWords::of(&key).words();
        assert_eq!(words.len(), WORDS);
        assert_eq!(SiteWords::read(&words.join(" ")).unwrap().key(), &key);
        let short: Vec<String> = words
            .iter()
            .map(|word| word.chars().take(4).collect::<String>().to_uppercase())
            .collect();
        assert_eq!(SiteWords::read(&short.join("\n")).unwrap().key(), &key);
    }

    #[test]
    fn a_slip_is_found_and_named() {
        let words = SiteWords::of(&[7; 32]).words();
        let mut fewer = words.to_vec();
        fewer.pop();
        assert_eq!(
            SiteWords::read(&fewer.join(" ")).unwrap_err(),
            WordsFault::HowMany { found: 32 }
        );
        let mut foreign = words.to_vec();
        foreign[4] = "zzz".into();
        let fault = SiteWords::read(&foreign.join(" ")).unwrap_err();
        assert_eq!(
            fault,
            WordsFault::Unknown {
                place: 5,
                typed: "zzz".into()
            }
        );
    }

    #[test]
    fn most_slips_of_one_word_are_found_by_the_check_word() {
        let words = SiteWords::of(&[7; 32]).words();
        let slips = LIST
            .iter()
            .filter(|other| **other != words[0])
            .filter(|other| {
                let mut slipped = words.to_vec();
                slipped[0] = (**other).to_owned();
                SiteWords::read(&slipped.join(" ")).is_err()
            });
        assert!(
            slips.count() >= 250,
            "one byte of check lets about one slip in 256 through"
        );
    }
}
