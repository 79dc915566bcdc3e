//! What was done while the laptop was dead, and a whole pass when both hands were busy: in line mode and on the screens.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod hands;
mod house;

use hands::Hands;
use house::{House, Ran};
use reseat_record::rebuild::Point;

/// Line mode, taken up by Ines Falk, then these lines.
fn plain(house: &House, input: &str) -> Ran {
    let input = format!("Ines Falk\n{input}");
    house.line_mode(
        &house.path("secrets"),
        &["--tag", "FV-3302"],
        input.as_bytes(),
    )
}

#[test]
fn a_dead_hour_is_entered_late_in_line_mode_and_zero_is_asked_when_it_ends() {
    let house = House::demo();
    let ran = plain(
        &house,
        "late 06:20\nlate 2026-03-12 07:30\nlate noon\nrow all\nlate 06:50\n7\nrow all\nlate off\n",
    );
    let refused = ran.lines("! ");
    for (at, code) in ["late-order", "late-future", "no-local-time", "no-row"]
        .into_iter()
        .enumerate()
    {
        assert!(
            refused[at].starts_with(&format!("! {code}: ")),
            "{refused:?}"
        );
    }
    assert_eq!(refused.len(), 4, "{refused:?}");
    let kept = ran.lines("kept ");
    let late: Vec<_> = kept
        .iter()
        .filter(|line| line.contains("entered late, done 2026-03-12 06:50"))
        .collect();
    assert_eq!(late.len(), 5, "nuts 7, 2, 6, 4, 8: {kept:?}");
    for (line, nut) in late.iter().zip([7, 2, 6, 4, 8]) {
        assert!(line.contains(&format!("J1 {nut} pass 2")), "{line}");
    }
    assert_eq!(
        ran.lines("row: "),
        ["row: 4 entered, each for itself, in order."]
    );
    let last = ran.lines("? ").pop().unwrap();
    assert!(last.contains("upstream on PG-12"), "zero first: {last}");
    assert!(ran.out.contains("ZERO VOID: work was entered late since"));
}

#[test]
fn a_row_of_readings_stops_at_the_first_that_is_not_within_and_says_where() {
    let house = House::demo();
    let ran = plain(
        &house,
        "late 06:50\nrow all\nrow 121 122\nrow all\nrow 121 122 100 121 122 121 122 121\n",
    );
    let refused = ran.lines("! ");
    assert!(refused[0].starts_with("! row-length: The row has 2 values, and 8 are open"));
    assert!(refused[1].starts_with("! no-row: "), "{refused:?}");
    assert_eq!(
        ran.lines("row: ")[1],
        "row: 3 entered. Stopped at 3: not WITHIN. 5 not taken.",
        "the joint's order is 1, 5, 3 …"
    );
    let kept = ran.lines("kept ");
    assert!(kept.last().unwrap().contains("LOW"), "{kept:?}");
    let last = ran.lines("? ").pop().unwrap();
    assert!(last.contains("nut 3"), "{last}");
}

#[test]
fn stop_and_pause_are_never_late() {
    let house = House::demo();
    let ran = plain(&house, "late 06:50\npause\nInes Falk\n");
    assert!(ran.lines("! ").is_empty(), "{}", ran.out);
    assert!(
        !ran.lines("kept ")
            .iter()
            .any(|line| line.contains("entered late"))
    );
    let last = ran.lines("? ").pop().unwrap();
    assert!(
        !last.contains("nut 7"),
        "late entry ended with the pause: {last}"
    );
}

#[test]
fn on_the_screens_late_entry_stands_in_the_notice_and_a_pass_is_one_form() {
    let house = House::demo();
    let mut hands = Hands::at(&house.home(), ("tern day shift", "240601"));
    hands.goes_to("FV-3302", "Ines Falk");
    hands.takes_up("3302", "Ines Falk");
    assert!(
        matches!(hands.ask().point, Point::Gate(0)),
        "{}",
        hands.text()
    );

    hands.rare("Late entry");
    hands.fills(&[("time", "06:20")]);
    assert_eq!(hands.said().unwrap().0, "late-order");
    hands.fills(&[("time", "06:50")]);
    assert!(hands.form().is_none(), "{}", hands.text());
    assert!(
        hands.text().contains("LATE ENTRY: done 2026-03-12 06:50"),
        "{}",
        hands.text()
    );
    assert!(matches!(hands.ask().point, Point::Asked(..)));

    hands.rare("A whole pass");
    hands.fills(&[("row", "all")]);
    assert!(
        hands.said().unwrap().1.contains("5 entered"),
        "{}",
        hands.text()
    );
    hands.rare("A whole pass");
    hands.fills(&[("row", "121 200 121 122 121 122 121 122")]);
    assert!(
        hands
            .said()
            .unwrap()
            .1
            .contains("Stopped at 5: not WITHIN. 6 not taken."),
        "{}",
        hands.text()
    );
    assert!(matches!(hands.ask().point, Point::AfterHigh(_)));

    hands.rare("Late entry");
    hands.fills(&[]);
    assert!(!hands.text().contains("LATE ENTRY"), "{}", hands.text());
    assert!(
        matches!(hands.ask().point, Point::Gate(0)),
        "zero is proved anew"
    );
}
