//! Keys opened for this shift: who may sign now, and what makes the program forget.
//!
//! A passphrase opens a key once a shift. Each signature then takes the PIN, which is asked right before and is good for
//! one signature only (21 CFR 11.200(a)(1): signings in one continuous period). Five wrong PINs, the end of the shift, a
//! handover and the end of the program forget the key; the passphrase is asked again.

use std::collections::HashMap;
use std::time::Duration;

use ed25519_dalek::SigningKey;
use reseat_record::log::Id;

use super::fault::KeyFault;
use super::seal::Opened;

/// Wrong PINs, one after the other, that forget the key.
pub const WRONG_PINS: u32 = 5;

/// The keys opened in this run. Dropping it wipes them.
#[derive(Debug, Default)]
pub(crate) struct KeyRing {
    open: HashMap<Id, Held>,
}

#[derive(Debug)]
struct Held {
    opened: Opened,
    since: Duration,
    wrong: u32,
    checked: bool,
}

impl KeyRing {
    /// Keeps an opened key from `now` (of the monotonic clock) on.
    pub(crate) fn keep(&mut self, person: Id, opened: Opened, now: Duration) {
        self.open.insert(
            person,
            Held {
                opened,
                since: now,
                wrong: 0,
                checked: false,
            },
        );
    }

    /// Whether the person's key is open, in a shift of this length.
    pub(crate) fn holds(&self, person: &Id, now: Duration, shift: Duration) -> bool {
        self.open
            .get(person)
            .is_some_and(|held| now.saturating_sub(held.since) < shift)
    }

    /// Forgets the keys that have been open for a shift.
    pub(crate) fn end_shifts(&mut self, now: Duration, shift: Duration) {
        self.open
            .retain(|_, held| now.saturating_sub(held.since) < shift);
    }

    /// Counts the shift of every opened key from now on.
    pub(crate) fn stay(&mut self, now: Duration) {
        for held in self.open.values_mut() {
            held.since = now;
        }
    }

    /// Forgets all keys.
    pub(crate) fn forget(&mut self) {
        self.open.clear();
    }

    /// Forgets one person's key.
    pub(crate) fn forget_one(&mut self, person: &Id) {
        self.open.remove(person);
    }

    /// How many digits the PIN has that opens this person's key for a signature.
    pub(crate) fn pin_digits(&self, person: &Id) -> Option<usize> {
        Some(self.open.get(person)?.opened.pin.len())
    }

    /// Checks a PIN. A right one is good for the next signature of this person.
    ///
    /// # Errors
    /// [`KeyFault::NotOpen`] before the passphrase was typed, [`KeyFault::WrongPin`] with the tries left, and
    /// [`KeyFault::PinsSpent`] when the key was forgotten for it.
    pub(crate) fn check_pin(&mut self, person: &Id, pin: &str) -> Result<(), KeyFault> {
        let held = self.open.get_mut(person).ok_or(KeyFault::NotOpen)?;
        if same(held.opened.pin.as_bytes(), pin.as_bytes()) {
            held.wrong = 0;
            held.checked = true;
            return Ok(());
        }
        held.wrong += 1;
        held.checked = false;
        if held.wrong < WRONG_PINS {
            return Err(KeyFault::WrongPin {
                left: WRONG_PINS - held.wrong,
            });
        }
        self.open.remove(person);
        Err(KeyFault::PinsSpent)
    }

    /// The key, for one signature after its PIN was checked.
    ///
    /// # Errors
    /// [`KeyFault::NotOpen`], [`KeyFault::PinFirst`].
    pub(crate) fn key(&self, person: &Id) -> Result<&SigningKey, KeyFault> {
        let held = self.open.get(person).ok_or(KeyFault::NotOpen)?;
        if held.checked {
            Ok(&held.opened.key)
        } else {
            Err(KeyFault::PinFirst)
        }
    }

    /// Says that the PIN was used for a signature that stands.
    pub(crate) fn spend(&mut self, person: &Id) {
        if let Some(held) = self.open.get_mut(person) {
            held.checked = false;
        }
    }
}

/// Compares without stopping at the first difference.
fn same(left: &[u8], right: &[u8]) -> bool {
    left.len() == right.len()
        && left
            .iter()
            .zip(right)
            .fold(0, |differing, (a, b)| differing | (a ^ b))
            == 0
}

#[cfg(test)]
mod tests {
    use super::*;
    use zeroize::Zeroizing;

    const SHIFT: Duration = Duration::from_hours(12);
    const FALK: Id = Id::from_bytes([1; 10]);

    fn ring() -> KeyRing {
        let mut ring = KeyRing::default();
        let opened = Opened {
            key: SigningKey::from_bytes(&[5; 32]),
            pin: Zeroizing::new("271828".into()),
        };
        ring.keep(FALK, opened, Duration::from_secs(100));
        ring
    }

    #[test]
    fn a_pin_is_good_for_one_signature() {
        let mut ring = ring();
        assert_eq!(ring.key(&FALK).unwrap_err(), KeyFault::PinFirst);
        ring.check_pin(&FALK, "271828").unwrap();
        assert!(ring.key(&FALK).is_ok());
        ring.spend(&FALK);
        assert_eq!(ring.key(&FALK).unwrap_err(), KeyFault::PinFirst);
    }

    #[test]
    fn five_wrong_pins_forget_the_key() {
        let mut ring = ring();
        for left in [4, 3, 2, 1] {
            assert_eq!(
                ring.check_pin(&FALK, "000000"),
                Err(KeyFault::WrongPin { left })
            );
        }
        assert_eq!(ring.check_pin(&FALK, "27182"), Err(KeyFault::PinsSpent));
        assert!(!ring.holds(&FALK, Duration::ZERO, SHIFT));
        assert_eq!(ring.check_pin(&FALK, "271828"), Err(KeyFault::NotOpen));
    }

    #[test]
    fn a_right_pin_starts_the_count_again_and_a_wrong_one_takes_the_right_back() {
        let mut ring = ring();
        for _ in 0..4 {
            let _ = ring.check_pin(&FALK, "000000");
        }
        ring.check_pin(&FALK, "271828").unwrap();
        assert_eq!(
            ring.check_pin(&FALK, "000000"),
            Err(KeyFault::WrongPin { left: 4 })
        );
        assert_eq!(ring.key(&FALK).unwrap_err(), KeyFault::PinFirst);
    }

    #[test]
    fn the_end_of_the_shift_forgets() {
        let mut ring = ring();
        let last = SHIFT + Duration::from_secs(99);
        ring.end_shifts(last, SHIFT);
        assert!(ring.holds(&FALK, last, SHIFT));
        let over = Duration::from_secs(100) + SHIFT;
        assert!(!ring.holds(&FALK, over, SHIFT));
        ring.end_shifts(over, SHIFT);
        assert!(!ring.holds(&FALK, Duration::ZERO, SHIFT));
    }
}
