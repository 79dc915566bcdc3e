//! What makes safer, on the screens: that it was kept is said, and the written vent is offered while energy is in.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod hands;
mod house;

use hands::Hands;
use house::House;
use reseat::keys::Stroke;
use reseat::screen::Screen;
use reseat::screen::form::Slot;
use reseat_record::log::Id;

#[test]
fn what_was_kept_is_said_until_the_next_key() {
    let house = House::demo();
    let mut hands = Hands::at(&house.home(), ("tern day shift", "240601"));
    hands.goes_to("FV-3302", "Ines Falk");
    hands.takes_up("3302", "Ines Falk");
    hands.keys(&[Stroke::F(3)]);
    hands.fills(&[
        ("kind", "vent opened"),
        ("words", "V-12, water came and stopped"),
    ]);
    let (code, said) = hands.said().unwrap_or_else(|| panic!("{}", hands.text()));
    assert_eq!(code, "");
    assert!(said.starts_with("Kept "), "{said}");
    assert!(
        said.contains("vent opened: V-12, water came and stopped"),
        "{said}"
    );
    assert!(hands.text().contains("V-12, water came and stopped"));
    hands.keys(&[Stroke::PageDown]);
    assert!(
        hands
            .said()
            .is_none_or(|(_, said)| !said.starts_with("Kept "))
    );
}

#[test]
fn the_written_vent_stands_first_while_energy_is_in() {
    let house = House::demo();
    let mut hands = Hands::at(&house.home(), ("tern day shift", "240601"));
    hands.goes_to("FV-3302", "Ines Falk");
    hands.takes_up("3302", "Ines Falk");
    let kinds = |hands: &Hands| {
        let form = hands.form().unwrap();
        let line = form.lines.iter().find(|line| line.name == "kind").unwrap();
        let Slot::Pick { labels, .. } = &line.slot else {
            panic!("{line:?}")
        };
        labels.clone()
    };
    hands.keys(&[Stroke::F(3)]);
    assert!(
        kinds(&hands)
            .iter()
            .all(|kind| !kind.contains("as written"))
    );
    hands.keys(&[Stroke::Esc]);
    // As the record hands it over while water is in.
    let Screen::Work(work) = &mut hands.model.screen else {
        panic!("{}", hands.text())
    };
    let text = "Vent the water to 0 bar through drain U.";
    work.sight.venting = Some(("vent-3-5".into(), text.into()));
    hands.keys(&[Stroke::F(3)]);
    assert_eq!(kinds(&hands)[0], format!("as written: {text}"));
    hands.fills(&[("kind", "as written")]);
    let (_, said) = hands.said().unwrap_or_else(|| panic!("{}", hands.text()));
    assert!(said.contains("made safer: Vent the water"), "{said}");
    let desk = hands::desk(&house.home());
    let rows = desk.home_rows().unwrap();
    let stream: Id = rows.iter().find_map(|row| row.open).unwrap();
    let rebuild = desk.look(&stream).unwrap();
    let last = rebuild.record_lines(desk.register()).pop().unwrap();
    assert!(
        last.text.contains(text.trim_end_matches('.')),
        "{}",
        last.text
    );
}
