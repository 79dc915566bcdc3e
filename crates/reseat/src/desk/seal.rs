//! Sealing a person's signing key under a passphrase.
//!
//! Argon2id (RFC 9106) makes a key of the passphrase, XChaCha20-Poly1305 seals with it; the person's identifier is bound
//! in, so that one person's sealed key cannot be laid under another's name. The cost and salt stand beside the sealed
//! bytes, so that a later release may raise the cost and still open what is there. The PIN is sealed together with the
//! key: it only shows that the person who typed the passphrase this shift is still at the keys, and is worth nothing to
//! somebody who has the file.

use argon2::{Algorithm, Argon2, Params, Version};
use chacha20poly1305::aead::{Aead, KeyInit, Payload};
use chacha20poly1305::{Key, XChaCha20Poly1305, XNonce};
use ed25519_dalek::SigningKey;
use reseat_history::SealedKey;
use reseat_record::log::{Id, to_hex};
use unicode_normalization::UnicodeNormalization;
use zeroize::Zeroizing;

use super::fault::KeyFault;

/// Fewest characters of a passphrase.
pub(crate) const PASSPHRASE_CHARS: usize = 8;
/// Fewest characters of a passphrase of digits only.
pub(crate) const PASSPHRASE_DIGITS: usize = 10;
/// Most characters of a passphrase; a bound on work, not on taste.
pub(crate) const PASSPHRASE_LONGEST: usize = 200;
/// Fewest digits of a PIN.
pub(crate) const PIN_DIGITS: usize = 6;
/// Most digits of a PIN.
pub(crate) const PIN_LONGEST: usize = 12;

/// Memory in KiB: 19 MiB. With [`PASSES`] and [`LANES`] the second of the two settings recommended for Argon2id by the
/// OWASP password storage cheat sheet (from memory).
const MEMORY_KIB: u32 = 19 * 1024;
/// Passes over the memory.
const PASSES: u32 = 2;
/// Lanes.
const LANES: u32 = 1;
/// Costs beyond these are no cost of ours and would only hang the program.
const MEMORY_KIB_MOST: u32 = 1024 * 1024;
const PASSES_MOST: u32 = 64;
const LANES_MOST: u32 = 16;

/// A key that was opened, with its PIN. Both are wiped when dropped.
pub(crate) struct Opened {
    /// The signing key.
    pub(crate) key: SigningKey,
    /// The PIN.
    pub(crate) pin: Zeroizing<String>,
}

impl std::fmt::Debug for Opened {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Opened(..)")
    }
}

/// Refuses a passphrase that is too short or too long.
///
/// # Errors
/// [`KeyFault::PassphraseShort`], [`KeyFault::PassphraseLong`].
pub fn check_passphrase(passphrase: &str) -> Result<(), KeyFault> {
    let count = passphrase.chars().count();
    let digits_only = passphrase.chars().all(|letter| letter.is_ascii_digit());
    let least = if digits_only {
        PASSPHRASE_DIGITS
    } else {
        PASSPHRASE_CHARS
    };
    if count < least {
        Err(KeyFault::PassphraseShort {
            least,
            digits_only: digits_only && count > 0,
        })
    } else if count > PASSPHRASE_LONGEST {
        Err(KeyFault::PassphraseLong)
    } else {
        Ok(())
    }
}

/// Refuses a PIN that is not six to twelve digits.
///
/// # Errors
/// [`KeyFault::PinForm`].
pub fn check_pin_form(pin: &str) -> Result<(), KeyFault> {
    let fits = (PIN_DIGITS..=PIN_LONGEST).contains(&pin.len())
        && pin.bytes().all(|byte| byte.is_ascii_digit());
    if fits { Ok(()) } else { Err(KeyFault::PinForm) }
}

/// Seals a key and its PIN for a person.
///
/// # Errors
/// What passphrase and PIN are refused for; [`KeyFault::Random`] if the system gives no random bytes.
pub(crate) fn seal(
    person: &Id,
    key: &SigningKey,
    passphrase: &str,
    pin: &str,
) -> Result<SealedKey, KeyFault> {
    check_passphrase(passphrase)?;
    check_pin_form(pin)?;
    let parameters = Parameters {
        memory_kib: MEMORY_KIB,
        passes: PASSES,
        lanes: LANES,
        salt: random()?,
        nonce: random()?,
    };
    let mut plain = Zeroizing::new(Vec::with_capacity(32 + pin.len()));
    plain.extend_from_slice(key.as_bytes());
    plain.extend_from_slice(pin.as_bytes());
    let sealed = parameters
        .cipher(passphrase)?
        .encrypt(
            &XNonce::from(parameters.nonce),
            Payload {
                msg: &plain,
                aad: person.to_string().as_bytes(),
            },
        )
        .map_err(|_| KeyFault::Unreadable)?;
    Ok(SealedKey {
        parameters: parameters.text(),
        sealed,
    })
}

/// Opens a sealed key.
///
/// # Errors
/// [`KeyFault::WrongPassphrase`] where it does not open (also where the bytes were changed: the two cannot be told apart);
/// [`KeyFault::Unreadable`] where the parameters are none of ours.
pub(crate) fn open(person: &Id, sealed: &SealedKey, passphrase: &str) -> Result<Opened, KeyFault> {
    let parameters = Parameters::read(&sealed.parameters).ok_or(KeyFault::Unreadable)?;
    let plain = parameters
        .cipher(passphrase)?
        .decrypt(
            &XNonce::from(parameters.nonce),
            Payload {
                msg: &sealed.sealed,
                aad: person.to_string().as_bytes(),
            },
        )
        .map(Zeroizing::new)
        .map_err(|_| KeyFault::WrongPassphrase)?;
    let (secret, pin) = plain
        .split_first_chunk::<32>()
        .ok_or(KeyFault::Unreadable)?;
    let pin = std::str::from_utf8(pin).map_err(|_| KeyFault::Unreadable)?;
    Ok(Opened {
        key: SigningKey::from_bytes(secret),
        pin: Zeroizing::new(pin.to_owned()),
    })
}

/// A new signing key from the system's random bytes.
///
/// # Errors
/// [`KeyFault::Random`].
pub(crate) fn new_key() -> Result<SigningKey, KeyFault> {
    let secret = Zeroizing::new(random::<32>()?);
    Ok(SigningKey::from_bytes(&secret))
}

/// Random bytes of the operating system.
///
/// # Errors
/// [`KeyFault::Random`].
pub(crate) fn random<const N: usize>() -> Result<[u8; N], KeyFault> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|_| KeyFault::Random)?;
    Ok(bytes)
}

/// How a key was sealed, as it stands beside the sealed bytes:
/// `argon2id m=19456 t=2 p=1 salt=… xchacha20poly1305 nonce=…`.
struct Parameters {
    memory_kib: u32,
    passes: u32,
    lanes: u32,
    salt: [u8; 16],
    nonce: [u8; 24],
}

impl Parameters {
    fn text(&self) -> String {
        let Self {
            memory_kib,
            passes,
            lanes,
            salt,
            nonce,
        } = self;
        format!(
            "argon2id m={memory_kib} t={passes} p={lanes} salt={} xchacha20poly1305 nonce={}",
            to_hex(salt),
            to_hex(nonce)
        )
    }

    fn read(text: &str) -> Option<Self> {
        let mut words = text.split(' ');
        let mut named = |name: &str| words.next()?.strip_prefix(name);
        named("argon2id").filter(|rest| rest.is_empty())?;
        let memory_kib = named("m=")?
            .parse()
            .ok()
            .filter(|kib| *kib <= MEMORY_KIB_MOST)?;
        let passes = named("t=")?
            .parse()
            .ok()
            .filter(|passes| *passes <= PASSES_MOST)?;
        let lanes = named("p=")?
            .parse()
            .ok()
            .filter(|lanes| *lanes <= LANES_MOST)?;
        let salt = bytes_of(named("salt=")?)?;
        named("xchacha20poly1305").filter(|rest| rest.is_empty())?;
        let nonce = bytes_of(named("nonce=")?)?;
        words.next().is_none().then_some(Self {
            memory_kib,
            passes,
            lanes,
            salt,
            nonce,
        })
    }

    fn cipher(&self, passphrase: &str) -> Result<XChaCha20Poly1305, KeyFault> {
        let cost = Params::new(self.memory_kib, self.passes, self.lanes, Some(32))
            .map_err(|_| KeyFault::Unreadable)?;
        // The same letters typed on another keyboard may come composed or not.
        let passphrase: Zeroizing<String> = Zeroizing::new(passphrase.nfc().collect());
        let mut key = Zeroizing::new([0_u8; 32]);
        Argon2::new(Algorithm::Argon2id, Version::V0x13, cost)
            .hash_password_into(passphrase.as_bytes(), &self.salt, key.as_mut_slice())
            .map_err(|_| KeyFault::Unreadable)?;
        Ok(XChaCha20Poly1305::new(&Key::from(*key)))
    }
}

fn bytes_of<const N: usize>(hex: &str) -> Option<[u8; N]> {
    reseat_record::log::from_hex(hex)
}

#[cfg(test)]
mod tests {
    use super::*;

    const PERSON: Id = Id::from_bytes([3; 10]);

    fn key() -> SigningKey {
        SigningKey::from_bytes(&[9; 32])
    }

    #[test]
    fn what_was_sealed_opens_with_the_passphrase_and_not_without() {
        let sealed = seal(&PERSON, &key(), "brine runs cold", "480211").unwrap();
        let opened = open(&PERSON, &sealed, "brine runs cold").unwrap();
        assert_eq!(opened.key.to_bytes(), key().to_bytes());
        assert_eq!(opened.pin.as_str(), "480211");
        assert_eq!(
            open(&PERSON, &sealed, "brine runs warm").unwrap_err(),
            KeyFault::WrongPassphrase
        );
        let other = Id::from_bytes([4; 10]);
        assert_eq!(
            open(&other, &sealed, "brine runs cold").unwrap_err(),
            KeyFault::WrongPassphrase
        );
    }

    #[test]
    fn every_changed_byte_is_found() {
        let sealed = seal(&PERSON, &key(), "brine runs cold", "480211").unwrap();
        for place in [0, 31, 32, sealed.sealed.len() - 1] {
            let mut changed = sealed.clone();
            changed.sealed[place] ^= 1;
            assert_eq!(
                open(&PERSON, &changed, "brine runs cold").unwrap_err(),
                KeyFault::WrongPassphrase,
                "byte {place}"
            );
        }
    }

    #[test]
    fn the_cost_stands_beside_the_key_and_a_foreign_one_is_not_tried() {
        let sealed = seal(&PERSON, &key(), "brine runs cold", "480211").unwrap();
        assert!(
            sealed
                .parameters
                .starts_with("argon2id m=19456 t=2 p=1 salt="),
            "{}",
            sealed.parameters
        );
        for foreign in [
            sealed.parameters.replace("m=19456", "m=99999999"),
            sealed.parameters.replace("argon2id", "argon2d"),
            sealed.parameters.replace("t=2", "t=0"),
            format!("{} more", sealed.parameters),
            String::new(),
        ] {
            let changed = SealedKey {
                parameters: foreign.clone(),
                sealed: sealed.sealed.clone(),
            };
            assert_eq!(
                open(&PERSON, &changed, "brine runs cold").unwrap_err(),
                KeyFault::Unreadable,
                "{foreign}"
            );
        }
    }

    #[test]
    fn the_same_letters_composed_or_not_open_alike() {
        let sealed = seal(&PERSON, &key(), "caf\u{e9} brine", "480211").unwrap();
        assert!(open(&PERSON, &sealed, "cafe\u{301} brine").is_ok());
    }

    #[test]
    fn length_of_passphrase_and_pin() {
        assert_eq!(
            check_passphrase("seven77"),
            Err(KeyFault::PassphraseShort {
                least: 8,
                digits_only: false
            })
        );
        assert_eq!(check_passphrase("eight888"), Ok(()));
        assert_eq!(
            check_passphrase("123456789"),
            Err(KeyFault::PassphraseShort {
                least: 10,
                digits_only: true
            })
        );
        assert_eq!(check_passphrase("1234567890"), Ok(()));
        assert_eq!(
            check_passphrase(&"x".repeat(201)),
            Err(KeyFault::PassphraseLong)
        );
        for wrong in ["12345", "12345a", "1234567890123", "", "123 456"] {
            assert_eq!(check_pin_form(wrong), Err(KeyFault::PinForm), "{wrong}");
        }
        assert_eq!(check_pin_form("123456"), Ok(()));
    }
}
