//! At 80x24: a tag stays whole on the first screen, every line of a list stays in view with a refusal, an empty list says why.

use reseat::keys::Stroke;
use reseat::screen::message::Outcome;

use crate::{Seat, samples};

#[test]
fn the_longest_tag_of_the_first_screen_stands_in_one_piece() {
    let mut sight = samples::lists::home();
    sight.units[0].tag = "PRV-CO2-0104".into();
    let text = Seat::showing(Outcome::Home(sight)).text();
    assert!(text.contains("PRV-CO2-0104 "), "{text}");
}

#[test]
fn a_refusal_covers_no_line_of_the_list_of_what_is_rare() {
    let mut seat = Seat::working(samples::joint::tightening());
    seat.keys(&[Stroke::F(6)]);
    let lines = match seat.model.common.overlays.last() {
        Some(reseat::screen::overlay::Overlay::Menu(menu)) => menu.lines.clone(),
        other => panic!("{other:?}"),
    };
    seat.types("99");
    seat.keys(&[Stroke::Enter]);
    let text = seat.text();
    assert!(
        text.contains("REFUSED") && text.contains("which?"),
        "{text}"
    );
    for (number, (line, _)) in (1..).zip(lines) {
        assert!(
            text.contains(&format!("{number:>2}  {line}")),
            "{line}\n{text}"
        );
    }
}

#[test]
fn a_start_without_an_approved_procedure_says_why_there_is_none() {
    let mut sight = samples::lists::start();
    sight.offers.clear();
    let text = Seat::showing(Outcome::Start(sight)).text();
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("No procedure for this model is approved on this site"),
        "{text}"
    );
}
