//! Taking the work up again costs few keys, counted on the screens: a look again at most 12, the full check with its release at
//! most 12 beside the characters of names, tag, passphrases, PINs, lock numbers and readings; each Enter that ends them counts.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod hands;
mod house;

use hands::Hands;
use house::House;
use reseat::demo;
use reseat::keys::Stroke;
use reseat::screen::overlay::Overlay;
use reseat::screen::sign::Stage;
use reseat_record::rebuild::{Ask, Point, Wants};

/// Most keys of either way back, by the site's rule of counting.
const MOST: usize = 12;

/// Hands that count what the rule leaves out.
struct Counted {
    hands: Hands,
    /// Characters of names, tag, passphrases, PINs, lock numbers and readings.
    free: usize,
    /// The keys that end them.
    ends: usize,
}

impl Counted {
    fn at(house: &House) -> Self {
        let secret = ("tern day shift", "240601");
        let hands = Hands::at(&house.home(), secret);
        Self {
            hands,
            free: 0,
            ends: 0,
        }
    }

    fn ask(&self) -> &Ask {
        self.hands.ask()
    }

    /// A PIN: nothing is counted of it, its last digit ends it.
    fn pin(&mut self, pin: &str) {
        self.free += pin.chars().count();
        self.hands.types(pin);
    }

    /// Types what is not counted, and the key that ends it.
    fn free(&mut self, text: &str, end: Stroke) {
        self.free += text.chars().count();
        self.ends += 1;
        self.hands.types(text);
        self.hands.keys(&[end]);
    }

    fn enter(&mut self) {
        self.hands.keys(&[Stroke::Enter]);
    }

    /// Passphrase, where it is asked, and PIN.
    fn proves(&mut self, name: &str) {
        let people = demo::people();
        let person = people.iter().find(|person| person.name == name).unwrap();
        for _ in 0..2 {
            let stage = match self.hands.model.common.overlays.last() {
                Some(Overlay::Sign(sign)) => sign.stage,
                _ => return,
            };
            match stage {
                Stage::Passphrase => self.free(person.passphrase, Stroke::Enter),
                Stage::Pin => self.pin(person.pin),
                Stage::Person => panic!("{}", self.hands.text()),
            }
        }
    }

    /// From the first screen to the work, by this person. The last character of the tag opens it.
    fn opens(&mut self, name: &str) {
        let tag = "FV-3302";
        self.free += tag.chars().count();
        self.hands.types(tag);
        self.free(name, Stroke::Enter);
        self.proves(name);
    }

    /// Who is there, of a paused rebuild: his number, then his PIN.
    fn resumes(&mut self, name: &str) {
        assert_eq!(self.ask().point, Point::Resume, "{}", self.hands.text());
        let (Wants::Person(among) | Wants::Signature { among, .. }) = &self.ask().wants else {
            panic!("{:#?}", self.ask())
        };
        let at = among.iter().position(|(_, known)| known == name).unwrap();
        self.hands.types(&(at + 1).to_string());
        self.proves(name);
    }

    /// Reads, looks and releases until the step itself is asked again.
    fn proves_zero(&mut self) {
        for _ in 0..12 {
            let ask = self.ask().clone();
            match (&ask.point, &ask.wants) {
                (Point::LookAgain | Point::Gate(_), Wants::Reading { .. }) => {
                    self.free("0", Stroke::Enter);
                }
                (Point::LookAgain | Point::Gate(_), Wants::Choice(labels)) => {
                    let at = labels
                        .iter()
                        .position(|label| label == "nothing came")
                        .unwrap();
                    self.hands.types(&(at + 1).to_string());
                    self.enter();
                }
                (Point::LockBack(own), Wants::Text) if own == "own" => {
                    self.free("423", Stroke::Enter);
                }
                (Point::Gate(_), Wants::Signature { among, .. }) => {
                    let [(releaser, name)] = among.as_slice() else {
                        panic!("one releaser in the demo: {among:?}")
                    };
                    // The first character of what he proves himself by opens the signature.
                    let people = demo::people();
                    let person = people.iter().find(|person| person.name == *name);
                    let person = person.unwrap();
                    if !self.hands.model.common.unsealed.contains_key(releaser) {
                        self.free(person.passphrase, Stroke::Enter);
                    }
                    self.pin(person.pin);
                }
                (Point::Observed, Wants::Choice(labels)) => {
                    // Marked last in this pass: what the hardware shows.
                    let at = labels
                        .iter()
                        .position(|label| label == "nut 3")
                        .unwrap_or_else(|| panic!("{labels:?}"));
                    self.hands.types(&(at + 1).to_string());
                    self.enter();
                }
                (Point::Asked(..), _) => return,
                _ => panic!("{ask:#?}"),
            }
            assert_ne!(*self.ask(), ask, "nothing was taken: {}", self.hands.text());
        }
        panic!("never back at the step: {}", self.hands.text());
    }

    fn pauses(&mut self) {
        self.hands.keys(&[Stroke::F(4)]);
        assert_eq!(self.ask().point, Point::Resume);
    }

    /// Two hours go by.
    fn leaves_it_alone(&mut self) {
        self.hands.rare("Demo only");
        self.hands.fills(&[("minutes", "120")]);
    }

    /// Keys of `does`: all but the characters left out, and how many of these ended something typed.
    fn counting(&mut self, does: impl FnOnce(&mut Self)) -> (usize, usize) {
        let (pressed, free, ends) = (self.hands.pressed, self.free, self.ends);
        does(self);
        let keys = self.hands.pressed - pressed - (self.free - free);
        (keys, self.ends - ends)
    }
}

/// At the joint, zero proved, both keys open for the shift.
fn at_work(house: &House) -> Counted {
    let mut counted = Counted::at(house);
    counted.opens("Ines Falk");
    counted.proves_zero();
    counted
}

#[test]
fn looking_again_after_a_short_pause_costs_at_most_twelve_keys_pin_and_reading_with_them() {
    let house = House::demo();
    let mut counted = at_work(&house);
    counted.pauses();
    let pressed = counted.hands.pressed;
    counted.resumes("Ines Falk");
    assert_eq!(counted.ask().point, Point::LookAgain);
    counted.proves_zero();
    let keys = counted.hands.pressed - pressed;
    println!("look again: {keys} keys, PIN and reading with them");
    assert!(keys <= MOST, "{keys} keys");
}

#[test]
fn the_full_check_after_a_long_pause_costs_at_most_twelve_keys_with_every_enter() {
    let house = House::demo();
    let mut counted = at_work(&house);
    counted.pauses();
    counted.leaves_it_alone();
    let (keys, ends) = counted.counting(|counted| {
        counted.resumes("Ines Falk");
        assert_eq!(counted.ask().point, Point::Gate(0));
        counted.proves_zero();
    });
    println!("full check after a long pause: {keys} keys, {ends} of them end what was typed");
    assert!(keys <= MOST, "{keys} keys");
}

#[test]
fn the_full_check_after_a_handover_or_a_restart_costs_at_most_twelve_keys_with_every_enter() {
    let house = House::demo();
    let mut counted = at_work(&house);
    counted.pauses();
    let (keys, ends) = counted.counting(|counted| {
        counted.resumes("Rurik Odde");
        assert_eq!(counted.ask().point, Point::LockBack("own".into()));
        counted.proves_zero();
    });
    println!("full check after a handover: {keys} keys, {ends} of them end what was typed");
    assert!(keys <= MOST, "{keys} keys");
    drop(counted);

    let mut counted = Counted::at(&house);
    let (keys, ends) = counted.counting(|counted| {
        counted.opens("Rurik Odde");
        assert_eq!(counted.ask().point, Point::Gate(0));
        counted.proves_zero();
    });
    println!("full check after a restart: {keys} keys, {ends} of them end what was typed");
    assert!(keys <= MOST, "{keys} keys");
}

/// The digit that opens the signature of taking up completes nothing: the PIN does.
#[test]
fn a_digit_at_a_paused_rebuild_only_opens_the_signature() {
    let house = House::demo();
    let mut counted = at_work(&house);
    counted.pauses();
    counted.hands.types("1");
    assert_eq!(counted.ask().point, Point::Resume);
    assert!(matches!(
        counted.hands.model.common.overlays.last(),
        Some(Overlay::Sign(_))
    ));
    counted.hands.keys(&[Stroke::Esc]);
    assert_eq!(counted.ask().point, Point::Resume);
}
