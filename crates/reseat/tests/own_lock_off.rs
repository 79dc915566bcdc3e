//! A worker's own lock comes off while another has the work in hand: on the screens and in line mode, with his own PIN.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod hands;
mod house;

use hands::Hands;
use house::House;
use reseat::keys::Stroke;
use reseat::screen::overlay::Overlay;

#[test]
fn in_line_mode_the_owner_proves_himself_and_the_order_of_a_handover_holds() {
    let house = House::demo();
    let off = "own-lock Ines Falk | off\n";
    let ran = house.line_mode(
        &house.path("secrets"),
        &["--tag", "FV-3302"],
        format!(
            "Ines Falk\nhand-over nut 3 is the last mark to Rurik Odde\n{off}Rurik Odde\n{off}423\n{off}{off}leave\n"
        )
        .as_bytes(),
    );
    let codes = ran.lines("! ");
    assert_eq!(codes.len(), 3, "{}", ran.out);
    assert!(codes[0].starts_with("! incoming-first: "), "{codes:?}");
    assert!(codes[1].starts_with("! incoming-first: "), "{codes:?}");
    assert!(codes[2].starts_with("! no-lock: "), "{codes:?}");
    let kept = ran.lines("kept ");
    assert!(
        kept.last()
            .unwrap()
            .ends_with("own lock 417 off, Ines Falk"),
        "{kept:?}"
    );
}

#[test]
fn on_the_screens_it_comes_off_with_the_owners_pin_and_goes_on_with_its_number() {
    let house = House::demo();
    let mut hands = Hands::at(&house.home(), ("tern day shift", "240601"));
    hands.goes_to("FV-3302", "Ines Falk");
    hands.takes_up("3302", "Ines Falk");

    hands.rare("A worker's own lock");
    hands.fills(&[
        ("owner", "Rurik Odde"),
        ("says", "on the box now"),
        ("number", "423"),
    ]);
    assert!(hands.form().is_none(), "{}", hands.text());

    // Ines Falk cannot take his off with her PIN.
    hands.rare("A worker's own lock");
    hands.fills(&[("owner", "Rurik Odde"), ("says", "took it off")]);
    let Some(Overlay::Sign(sign)) = hands.model.common.overlays.last() else {
        panic!("{}", hands.text())
    };
    assert_eq!(sign.person.as_ref().unwrap().1, "Rurik Odde");
    hands.types("tern day shift");
    hands.keys(&[Stroke::Enter]);
    assert!(
        matches!(hands.model.common.overlays.last(), Some(Overlay::Sign(_))),
        "{}",
        hands.text()
    );
    hands.types("tern late shift");
    hands.keys(&[Stroke::Enter]);
    hands.types("240602");
    hands.keys(&[Stroke::Enter]);
    assert!(hands.model.common.overlays.is_empty(), "{}", hands.text());
    let desk = hands::desk(&house.home());
    let rows = desk.home_rows().unwrap();
    let open = rows.iter().find_map(|row| row.open).unwrap();
    let lines = desk.look(&open).unwrap().record_lines(desk.register());
    let last = lines.last().unwrap();
    assert_eq!(last.text, "own lock 423 off");
    assert_eq!(last.by, "Rurik Odde");
}
