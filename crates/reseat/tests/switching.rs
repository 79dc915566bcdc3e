//! Two open rebuilds on one laptop: going over to the other one wants the end of its tag as read at the unit, tag and unit stand in
//! the same place, and nothing is written into the wrong record.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod hands;
mod house;

use hands::Hands;
use house::{CLOCK, House, Ran};
use reseat::desk::{Desk, SetTime};
use reseat::keys::Stroke;
use reseat_record::log::Id;
use reseat_record::rebuild::{Command, Start};
use reseat_record::register::{Command as Change, PlaceSaid, UnitSaid};

const FALK: (&str, &str) = ("tern day shift", "240601");
const LEAD: (&str, &str) = ("tern lead hand", "240600");

/// The demo with FV-3302 paused in its joint, and its sister FV-4302 just started and paused.
fn two_open() -> (House, Id, Id) {
    let house = House::demo();
    let mut desk = Desk::open(&house.home(), Box::new(SetTime::at(CLOCK).unwrap())).unwrap();
    let person = |desk: &Desk, name: &str| desk.register().person_named(name).unwrap().id;
    let (lead, falk) = (person(&desk, "Mbali Sefton"), person(&desk, "Ines Falk"));
    desk.unseal(&lead, LEAD.0).unwrap();
    desk.unseal(&falk, FALK.0).unwrap();
    let approval = desk.register().approved_now("P-33-A").unwrap().sha256;
    let model = desk.procedure(&approval).unwrap().models[0].clone();
    let name = "brine reject control valve, train 4".to_owned();
    for change in [
        Change::AddPlace(PlaceSaid {
            tag: "FV-4302".into(),
            name: name.clone(),
            points: Vec::new(),
            redundant_with: None,
        }),
        Change::AddUnit(UnitSaid {
            serial: "TP-0389".into(),
            model,
            name,
        }),
        Change::Fit {
            tag: "FV-4302".into(),
            serial: "TP-0389".into(),
        },
    ] {
        desk.check_pin(&lead, LEAD.1).unwrap();
        desk.change(change, &lead).unwrap();
    }
    desk.check_pin(&falk, FALK.1).unwrap();
    let mut sister = desk
        .start(Start {
            work_order: "4472".into(),
            tag: "FV-4302".into(),
            serial: "TP-0389".into(),
            mismatch: None,
            unit: "TP-0389".into(),
            procedure: approval,
            choices: reseat_procedure::Choices::default(),
            kit_lot: "24-120".into(),
            performer: falk,
        })
        .unwrap();
    let pause = Command::Pause { by_itself: false };
    desk.act(&mut sister, pause, &falk, None).unwrap();
    let rows = desk.home_rows().unwrap();
    let open = |tag: &str| {
        rows.iter()
            .find(|row| row.tag == tag)
            .unwrap()
            .open
            .unwrap()
    };
    (house, open("FV-3302"), open("FV-4302"))
}

fn entries(house: &House, stream: &Id) -> u64 {
    hands::desk(&house.home())
        .look(stream)
        .unwrap()
        .head()
        .number
}

/// Types an end of the tag that is refused, and clears it.
fn refused(hands: &mut Hands, end: &str, says: &str) {
    hands.types(end);
    hands.keys(&[Stroke::Enter]);
    let (code, told) = hands.said().unwrap();
    assert_eq!(code, "other-tag", "{told}");
    assert!(told.contains(says), "{told}");
    assert!(
        hands.model.common.overlays.is_empty(),
        "no signature is asked"
    );
    hands.keys(&[Stroke::Ctrl('u')]);
}

/// Row and column at which a text stands.
fn place(hands: &Hands, text: &str) -> (usize, usize) {
    let shown = hands.text();
    let mut rows = shown.lines().enumerate();
    rows.find_map(|(row, line)| Some((row, line.find(text)?)))
        .unwrap_or_else(|| panic!("no {text}:\n{shown}"))
}

#[test]
fn on_the_screens_a_wrong_end_is_refused_in_words_and_the_right_one_goes_over() {
    let (house, first, sister) = two_open();
    let before = (entries(&house, &first), entries(&house, &sister));
    let mut hands = Hands::at(&house.home(), FALK);
    hands.goes_to("FV-3302", "Ines Falk");
    refused(&mut hands, "07", "not how the tag of this rebuild ends");
    refused(&mut hands, "2", "at least its last two characters");
    refused(
        &mut hands,
        "02",
        "two open rebuilds end so: this one and FV-4302",
    );
    refused(&mut hands, "4302", "not how the tag");
    assert_eq!(
        (entries(&house, &first), entries(&house, &sister)),
        before,
        "refusing writes nothing"
    );
    hands.takes_up("3302", "Ines Falk");
    let (tag, name) = (
        place(&hands, "FV-3302"),
        place(&hands, "brine reject control valve"),
    );
    hands.keys(&[Stroke::F(4)]);
    assert_eq!(
        place(&hands, "FV-3302"),
        tag,
        "paused, and still in its place"
    );

    // Over to the sister: back to the list, and her own tag's end.
    hands.keys(&[Stroke::Esc]);
    hands.keys(&[Stroke::Esc]);
    let written = entries(&house, &first);
    hands.goes_to("FV-4302", "Ines Falk");
    assert_eq!(
        place(&hands, "FV-4302"),
        tag,
        "in the same place before she is taken up"
    );
    refused(&mut hands, "3302", "not how the tag");
    hands.takes_up("4302", "Ines Falk");
    assert_eq!(place(&hands, "FV-4302"), tag);
    assert_eq!(place(&hands, "brine reject control valve, train 4"), name);
    assert!(!hands.text().contains("FV-3302"), "{}", hands.text());
    // Words of hers go into her record and no other.
    assert_eq!(entries(&house, &sister), before.1 + 1);
    assert_eq!(entries(&house, &first), written);
}

/// Line mode on a rebuild by its identifier, with these lines.
fn plain(house: &House, stream: &Id, input: &str) -> Ran {
    house.line_mode(
        &house.path("secrets"),
        &["--rebuild", &stream.to_string()],
        input.as_bytes(),
    )
}

#[test]
fn in_line_mode_too() {
    let (house, first, sister) = two_open();
    let before = (entries(&house, &first), entries(&house, &sister));
    let ran = plain(&house, &first, "07\n02\n4302\nleave\n");
    let refusals = ran.lines("! ");
    assert_eq!(refusals.len(), 3, "{}", ran.out);
    assert!(
        refusals
            .iter()
            .all(|line| line.starts_with("! other-tag: "))
    );
    assert!(refusals[1].contains("this one and FV-4302"), "{refusals:?}");
    assert_eq!((entries(&house, &first), entries(&house, &sister)), before);

    for (stream, end, tag) in [(first, "3302", "FV-3302"), (sister, "4302", "FV-4302")] {
        let ran = plain(
            &house,
            &stream,
            &format!("{end}\nInes Falk\npause\nleave\n"),
        );
        ran.exits(1);
        let strip = ran.out.lines().find(|line| line.contains(tag)).unwrap();
        assert!(strip.contains("brine reject control valve"), "{strip}");
        assert!(ran.out.contains("kept "), "{}", ran.out);
    }
    let after = (entries(&house, &first), entries(&house, &sister));
    assert_eq!(after, (before.0 + 2, before.1 + 2), "each its own");
}
