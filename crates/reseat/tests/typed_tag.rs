//! A tag typed in full opens its unit by its last character, and is not asked again where a rebuild of it is taken up.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod hands;
mod house;

use hands::Hands;
use house::{CLOCK, House};
use reseat::desk::{Desk, SetTime};
use reseat::keys::Stroke;
use reseat::screen::model::Screen;
use reseat::screen::overlay::Overlay;
use reseat::screen::sign::Stage;
use reseat_record::register::{Command as Change, PlaceSaid};

const FALK: (&str, &str) = ("tern day shift", "240601");

fn at_home() -> (House, Hands) {
    let house = House::demo();
    let hands = Hands::at(&house.home(), FALK);
    (house, hands)
}

/// What a signature being given asks; none where none is.
fn signing(hands: &Hands) -> Option<(Stage, usize)> {
    match hands.model.common.overlays.last() {
        Some(Overlay::Sign(sign)) => Some((sign.stage, sign.field.count())),
        _ => None,
    }
}

#[test]
fn the_last_character_of_a_tag_goes_to_the_work_and_asks_only_who() {
    let (_house, mut hands) = at_home();
    hands.types("fv-330");
    assert!(matches!(hands.model.screen, Screen::Home(_)));
    hands.types("2");
    let Screen::Resume(resume) = &hands.model.screen else {
        panic!("{}", hands.text())
    };
    assert_eq!(resume.form.lines.len(), 1, "only who is asked");
    assert!(hands.text().contains("tag FV-3302, as typed"));
    // The Enter of habit, or a scanner's, does nothing; the next one is an answer.
    hands.keys(&[Stroke::Enter]);
    assert_eq!(hands.said(), None);
    hands.types("Ines Falk");
    hands.keys(&[Stroke::Enter]);
    assert_eq!(signing(&hands), Some((Stage::Passphrase, 0)));
    // Back to the unit, and from there its tag is asked: nothing was typed there.
    hands.keys(&[Stroke::Esc, Stroke::Esc]);
    assert!(matches!(hands.model.screen, Screen::Unit(_)));
    hands.keys(&[Stroke::Char('r')]);
    assert!(hands.text().contains("last characters of the tag"));
}

#[test]
fn a_unit_without_work_under_way_opens_as_a_unit_and_the_enter_behind_reads_no_record() {
    let (_house, mut hands) = at_home();
    hands.types("PCV-2107");
    assert!(matches!(hands.model.screen, Screen::Unit(_)));
    hands.keys(&[Stroke::Enter]);
    assert!(
        matches!(hands.model.screen, Screen::Unit(_)),
        "{}",
        hands.text()
    );
}

#[test]
fn where_another_tag_goes_on_from_there_enter_chooses() {
    let house = House::demo();
    let clock = Box::new(SetTime::at(CLOCK).unwrap());
    let mut desk = Desk::open(&house.home(), clock).unwrap();
    let lead = desk.register().person_named("Mbali Sefton").unwrap().id;
    desk.unseal(&lead, "tern lead hand").unwrap();
    desk.check_pin(&lead, "240600").unwrap();
    let longer = Change::AddPlace(PlaceSaid {
        tag: "FV-3302B".into(),
        name: "its bypass".into(),
        points: Vec::new(),
        redundant_with: None,
    });
    desk.change(longer, &lead).unwrap();
    drop(desk);
    let mut hands = Hands::at(&house.home(), FALK);
    hands.types("FV-3302");
    assert!(matches!(hands.model.screen, Screen::Home(_)));
    hands.keys(&[Stroke::Enter]);
    assert!(
        matches!(hands.model.screen, Screen::Resume(_)),
        "{}",
        hands.text()
    );
}

#[test]
fn found_by_its_serial_or_on_the_list_a_unit_asks_the_end_of_its_tag() {
    let (_house, mut hands) = at_home();
    hands.types("TP-0388");
    assert!(matches!(hands.model.screen, Screen::Home(_)));
    hands.keys(&[Stroke::Enter]);
    assert!(
        hands.text().contains("last characters of the tag"),
        "{}",
        hands.text()
    );
    hands.keys(&[Stroke::Esc, Stroke::Esc]);
    hands.goes_to("FV-3302", "Ines Falk");
    hands.takes_up("02", "Ines Falk");
}

/// One person only may release: the first letter of his passphrase opens his signature and is taken as typed.
#[test]
fn the_first_letter_of_a_passphrase_opens_the_only_signature_there_is() {
    let (_house, mut hands) = at_home();
    hands.types("FV-3302");
    hands.types("Ines Falk");
    hands.keys(&[Stroke::Enter]);
    hands.signs("Ines Falk");
    while !matches!(
        hands.ask().wants,
        reseat_record::rebuild::Wants::Signature { .. }
    ) {
        let came = match &hands.ask().wants {
            reseat_record::rebuild::Wants::Choice(labels) => {
                let at = labels.iter().position(|label| label == "nothing came");
                (at.unwrap() + 1).to_string()
            }
            _ => "0".to_owned(),
        };
        hands.types(&came);
        hands.keys(&[Stroke::Enter]);
    }
    assert!(
        hands.text().contains("passphrase: Mbali Sefton"),
        "{}",
        hands.text()
    );
    hands.types("t");
    assert_eq!(signing(&hands), Some((Stage::Passphrase, 1)));
    hands.types("ern lead hand");
    hands.keys(&[Stroke::Enter]);
    assert_eq!(signing(&hands), Some((Stage::Pin, 0)));
    // The key is open now: a letter begins no PIN, and opens nothing.
    hands.keys(&[Stroke::Esc]);
    hands.types("t");
    assert_eq!(signing(&hands), None);
    hands.types("2");
    assert_eq!(signing(&hands), Some((Stage::Pin, 1)));
}
