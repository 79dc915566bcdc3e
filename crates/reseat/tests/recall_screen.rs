//! An instrument found out, on the screens of a demo home: point by point, the list before the signature, IN DOUBT after it.

#![allow(clippy::unwrap_used, clippy::panic)]

mod hands;
mod house;

use hands::{Hands, desk, head};
use house::House;
use reseat::keys::Stroke;
use reseat::screen::Screen;
use reseat::screen::sight::RecallSight;

fn sight(hands: &Hands) -> &RecallSight {
    match &hands.model.screen {
        Screen::Recall(recall) => &recall.sight,
        other => panic!("{other:?}"),
    }
}

fn point(hands: &mut Hands, bench: &str, showed: &str) {
    hands.keys(&[Stroke::Char('a')]);
    hands.fills(&[("bench", bench), ("showed", showed)]);
}

#[test]
fn the_readings_are_listed_point_by_point_signed_once_and_in_doubt_everywhere() {
    let house = House::demo();
    let before = head(&house.home());
    let mut hands = Hands::at(&house.home(), ("tern lead hand", "240600"));
    hands.keys(&[Stroke::F(5)]);
    hands.keys(&[Stroke::Char('b')]);
    assert!(
        hands.said().unwrap().1.contains("Only an instrument"),
        "people are not found out here"
    );
    hands.turns_to("Instruments");
    hands.chooses("TW-19");
    hands.keys(&[Stroke::Char('b')]);
    // Nothing is signed and nothing taken back before the bench has found something.
    for stroke in [Stroke::Enter, Stroke::Char('t')] {
        hands.keys(&[stroke]);
        assert_eq!(hands.said().unwrap().0, "no-point");
    }
    hands.keys(&[Stroke::Char('c')]);
    for wrong in ["yesterday", "2026-02-30"] {
        hands.fills(&[("day", wrong)]);
        assert_eq!(hands.said().unwrap().0, "no-day");
    }
    hands.fills(&[("day", "2024-01-01")]);
    assert_eq!(sight(&hands).since, "2024-01-01");
    // By hand: 10 N·m too much everywhere between the points, so a reading of R was R − 10 in truth.
    point(&mut hands, "50", "60");
    hands.keys(&[Stroke::Char('a')]);
    for (bench, showed, code) in [
        ("", "190", "empty"),
        ("180", "", "empty"),
        ("a lot", "190", "bench-point"),
        ("180", "9 % high", "bench-point"),
        ("180 bar", "190", "not-on-scale"),
        ("50", "190", "bench-order"),
        ("40", "190", "bench-order"),
        ("180", "60", "bench-says-nothing"),
    ] {
        hands.fills(&[("bench", bench), ("showed", showed)]);
        assert_eq!(hands.said().unwrap().0, code, "{bench} {showed}");
        assert!(hands.form().is_some(), "what was typed stays");
    }
    hands.fills(&[("bench", "180"), ("showed", "190")]);
    let shown = sight(&hands).clone();
    assert_eq!(shown.points, ["50 N·m → 60 N·m", "180 N·m → 190 N·m"]);
    assert!(!shown.lines.is_empty());
    for line in &shown.lines {
        let number = |text: &str| text.split(' ').next().unwrap().parse::<f64>().unwrap();
        assert!(
            (number(&line.truth) - (number(&line.reading) - 10.0)).abs() < 1e-9,
            "{line:?}"
        );
        assert_eq!(line.changed, line.stands != "still WITHIN", "{line:?}");
    }
    let text = hands.text();
    assert!(
        text.contains("now LOW")
            && text.contains("found out on the bench")
            && text.contains("still in service"),
        "{text}"
    );
    // The last point taken back leaves nothing to be said between one point and the next.
    hands.keys(&[Stroke::Char('t')]);
    assert_eq!(sight(&hands).points.len(), 1);
    point(&mut hands, "180", "190");
    assert_eq!(sight(&hands).lines, shown.lines);
    assert_eq!(head(&house.home()), before, "looking writes nothing");
    hands.keys(&[Stroke::Enter]);
    hands.fills(&[("reason", "")]);
    assert_eq!(hands.said().unwrap().0, "empty");
    hands.fills(&[("reason", "dropped from the bench")]);
    hands.signs("Mbali Sefton");
    assert_eq!(
        hands.said().map(|(code, _)| code),
        Some(String::new()),
        "{:?}",
        hands.said()
    );
    assert_eq!(head(&house.home()).number, before.number + 1, "one entry");
    let desk = desk(&house.home());
    assert_eq!(desk.register().in_doubt().len(), shown.lines.len());
    // Back at the register the wrench is marked, and so are the rebuilds it read in.
    let text = hands.text();
    let wrench = text.lines().find(|line| line.contains("TW-19")).unwrap();
    assert!(wrench.contains("IN DOUBT"), "{wrench}");
    let tag = &shown.lines[0].tag;
    let serial = desk
        .register()
        .place(tag)
        .and_then(|place| place.holds.clone())
        .unwrap();
    hands.keys(&[Stroke::Esc]);
    hands.types(&serial);
    // Its work is under way: Enter leads to that, and Esc from there to the unit.
    hands.keys(&[Stroke::Enter, Stroke::Esc]);
    let text = hands.text();
    assert!(text.contains("IN DOUBT"), "the past of the unit: {text}");
    hands.keys(&[Stroke::Esc]);
}

#[test]
fn what_came_in_after_the_list_was_shown_is_not_signed_unseen() {
    let house = House::demo();
    let mut desk = reseat::desk::Desk::open(
        &house.home(),
        Box::new(reseat::desk::SetTime::at(house::CLOCK).unwrap()),
    )
    .unwrap();
    let found = vec![reseat_record::register::BenchPoint {
        bench: reseat_measure::Quantity::parse("50 N·m").unwrap(),
        showed: reseat_measure::Quantity::parse("60 N·m").unwrap(),
    }];
    let sheet = desk
        .recall_sheet("TW-19", Some("2024-01-01"), found)
        .unwrap();
    // A list of another length than what stands now: as if a reading had come in.
    let mut stale = desk
        .recall_sheet("PG-12", Some("2024-01-01"), Vec::new())
        .unwrap();
    stale.instrument = "TW-19".into();
    let lead = desk.register().person_named("Mbali Sefton").unwrap().id;
    assert_eq!(
        desk.recall(&stale, "x", &lead).unwrap_err().code(),
        "recall-moved"
    );
    desk.unseal(&lead, "tern lead hand").unwrap();
    desk.check_pin(&lead, "240600").unwrap();
    desk.recall(&sheet, "x", &lead).unwrap();
}
