//! Signatures asked on a screen: passphrase once, then PIN; who must sign where; the words of the site key.

use reseat::keys::Stroke;
use reseat::screen::message::{Effect, Outcome, Said, Secret};
use reseat_record::rebuild::{Command, Given, Point};
use zeroize::Zeroizing;

use crate::{Seat, samples};

#[test]
fn a_signature_is_person_passphrase_once_then_pin() {
    let sight = samples::acts::open_items();
    let mut seat = Seat::working(sight.clone());
    seat.types("odde");
    assert_eq!(seat.keys(&[Stroke::Enter]), []);
    seat.types("geheim");
    assert!(seat.text().contains("[••••••") && !seat.text().contains("geheim"));
    let odde = samples::id(2);
    assert_eq!(
        seat.keys(&[Stroke::Enter]),
        [Effect::Unseal(
            odde,
            Secret(Zeroizing::new("geheim".into()))
        )]
    );
    seat.came(Outcome::Unsealed(odde, 6));
    seat.types("12345");
    assert!(seat.text().contains("5 of 6"));
    let pin = Secret(Zeroizing::new("123456".into()));
    // Its last digit takes it; an Enter of habit behind it completes nothing of what is asked then.
    assert_eq!(
        seat.keys(&[Stroke::Char('6')]),
        [Effect::CheckPin(odde, pin.clone())]
    );
    seat.came(Outcome::NotProved {
        said: Said::refusal("pin", "The PIN is wrong.", "Type it again."),
        forgotten: false,
    });
    assert!(seat.text().contains("The PIN is wrong."));
    seat.types("12345");
    assert_eq!(
        seat.keys(&[Stroke::Char('6')]),
        [Effect::CheckPin(odde, pin)]
    );
    let signed = seat.came(Outcome::PinRight(odde));
    let command = Command::Answer {
        point: sight.ask.point,
        given: Given::Person(odde),
    };
    assert_eq!(
        signed,
        [Effect::Act {
            command,
            signer: Some(odde)
        }]
    );
    // The next signature of this shift asks the PIN only.
    let mut next = samples::acts::open_items();
    next.ask.point = Point::Verify("s104".into());
    next.unsealed = [(odde, 6)].into();
    seat.came(Outcome::Acted(Box::new(next)));
    seat.types("2");
    seat.keys(&[Stroke::Enter]);
    assert!(
        seat.text().contains("Rurik Odde: PIN   ["),
        "{}",
        seat.text()
    );
}

#[test]
fn typed_wrong_needs_a_reason_and_may_need_a_second_person() {
    let mut seat = Seat::working(samples::joint::tightening());
    seat.keys(&[Stroke::F(2), Stroke::Enter, Stroke::Enter]);
    assert_eq!(seat.keys(&[Stroke::Space]), []);
    assert_eq!(seat.said().code, "empty");
    seat.types("wrong nut");
    seat.keys(&[Stroke::Enter, Stroke::Char('1'), Stroke::Enter]);
    let strike = Command::Strike {
        entry: None,
        reason: "wrong nut".into(),
        seen_by: None,
    };
    assert_eq!(
        seat.keys(&[Stroke::Space]),
        [Effect::Act {
            command: strike,
            signer: None
        }]
    );
}

#[test]
fn a_nameplate_that_differs_needs_a_lead() {
    let mut seat = Seat::showing(Outcome::Start(samples::lists::start()));
    for text in ["4711", "FV-3302", "TP-0389", "two plates swapped in May"] {
        seat.types(text);
        seat.keys(&[Stroke::Enter]);
    }
    seat.keys(&[Stroke::Enter, Stroke::Char('1'), Stroke::Enter]);
    seat.types("24-119");
    seat.keys(&[Stroke::Enter, Stroke::Char('2'), Stroke::Enter]);
    assert_eq!(
        seat.keys(&[Stroke::Enter]),
        [],
        "the key that led to the last line does not take it"
    );
    assert_eq!(seat.keys(&[Stroke::Space]), []);
    assert!(seat.text().contains("Mbali Sefton"), "{}", seat.text());
    seat.types("sefton says");
    seat.keys(&[Stroke::Enter]);
    let lead = samples::id(3);
    seat.came(Outcome::Unsealed(lead, 6));
    let effects = seat.came(Outcome::PinRight(lead));
    let [Effect::Start { chosen, signer }] = effects.as_slice() else {
        panic!("{effects:?}")
    };
    assert_eq!(*signer, lead);
    assert_eq!(
        chosen.mismatch.as_deref(),
        Some("two plates swapped in May")
    );
    assert_eq!(
        (chosen.serial.as_str(), chosen.unit.as_str()),
        ("TP-0389", "TP-0388")
    );
    assert_eq!(chosen.performer, samples::id(2));
    assert_eq!(
        chosen.choices.0.get("positioner").map(String::as_str),
        Some("yes")
    );
}

#[test]
fn a_rebuild_is_taken_up_only_with_the_end_of_its_tag() {
    let mut seat = Seat::showing(Outcome::Resume(samples::lists::resume()));
    seat.types("odde");
    seat.keys(&[Stroke::Enter]);
    seat.types("3301");
    seat.keys(&[Stroke::Enter]);
    assert_eq!(seat.said().code, "other-tag");
    seat.keys(&[Stroke::Backspace]);
    seat.types("2");
    seat.keys(&[Stroke::Enter]);
    assert!(
        seat.text().contains("Signature: takes the rebuild up"),
        "{}",
        seat.text()
    );
}

#[test]
fn the_words_of_the_site_key_are_asked_back_before_they_go() {
    let words: Vec<String> = (1..=33).map(|number| format!("word{number}")).collect();
    let mut seat = Seat::showing(Outcome::Founded {
        words: Secret(Zeroizing::new(words.join(" "))),
    });
    assert_eq!(seat.keys(&[Stroke::F(10)]), []);
    seat.types("nonsense");
    assert_eq!(seat.keys(&[Stroke::Enter]), []);
    seat.types("word12");
    assert_eq!(seat.keys(&[Stroke::Enter]), []);
    seat.types("word33");
    assert_eq!(seat.keys(&[Stroke::Enter]), [Effect::LoadHome]);
}
