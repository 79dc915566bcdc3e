//! What was done while the laptop was dead, and a whole pass when both hands were busy: in line mode and on the screens.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod hands;
mod house;

use std::io::Write as _;
use std::process::Stdio;

use hands::Hands;
use house::{House, Ran};
use reseat::keys::Stroke;
use reseat::screen::Screen;
use reseat_record::rebuild::{Ask, Point};

const SECRETS: &str = "Ines Falk\ttern day shift\t240601\nRurik Odde\ttern late shift\t240602\n\
    Mbali Sefton\ttern lead hand\t240600\n";

/// The demo: FV-3302 was left at 06:44 in pass 2 of J1 with 1, 5 and 3 of eight pulled; it is 07:00.
fn demo() -> House {
    let house = House::empty();
    let mut make = house.command();
    make.args(["demo", "--no-screen", "--at"]).arg(house.home());
    House::ran(&mut make).exits(0);
    house.write("secrets", SECRETS);
    house
}

/// Line mode, taken up by Ines Falk, then these lines.
fn plain(house: &House, input: &str) -> Ran {
    let mut command = house.command();
    command
        .args(["--plain", "--tag", "FV-3302", "--passphrase-file"])
        .arg(house.path("secrets"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    let mut pipe = child.stdin.take().unwrap();
    pipe.write_all(format!("Ines Falk\n{input}").as_bytes())
        .unwrap();
    drop(pipe);
    let output = child.wait_with_output().unwrap();
    Ran {
        code: output.status.code().unwrap_or(-1),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

fn lines<'a>(ran: &'a Ran, start: &str) -> Vec<&'a str> {
    ran.out
        .lines()
        .filter(|line| line.starts_with(start))
        .collect()
}

#[test]
fn a_dead_hour_is_entered_late_in_line_mode_and_zero_is_asked_when_it_ends() {
    let house = demo();
    let ran = plain(
        &house,
        "late 06:20\nlate 2026-03-12 07:30\nlate noon\nrow all\nlate 06:50\n7\nrow all\nlate off\n",
    );
    let refused = lines(&ran, "! ");
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
    let kept = lines(&ran, "kept ");
    let late: Vec<_> = kept
        .iter()
        .filter(|line| line.contains("entered late, done 2026-03-12 06:50"))
        .collect();
    assert_eq!(late.len(), 5, "nuts 7, 2, 6, 4, 8: {kept:?}");
    for (line, nut) in late.iter().zip([7, 2, 6, 4, 8]) {
        assert!(line.contains(&format!("J1 {nut} pass 2")), "{line}");
    }
    assert_eq!(
        lines(&ran, "row: "),
        ["row: 4 entered, each for itself, in order."]
    );
    let last = lines(&ran, "? ").pop().unwrap();
    assert!(last.contains("upstream on PG-12"), "zero first: {last}");
    assert!(ran.out.contains("ZERO VOID: work was entered late since"));
}

#[test]
fn a_row_of_readings_stops_at_the_first_that_is_not_within_and_says_where() {
    let house = demo();
    let ran = plain(
        &house,
        "late 06:50\nrow all\nrow 121 122\nrow all\nrow 121 122 100 121 122 121 122 121\n",
    );
    let refused = lines(&ran, "! ");
    assert!(refused[0].starts_with("! row-length: The row has 2 values, and 8 are open"));
    assert!(refused[1].starts_with("! no-row: "), "{refused:?}");
    assert_eq!(
        lines(&ran, "row: ")[1],
        "row: 3 entered. Stopped at 3: not WITHIN. 5 not taken.",
        "the joint's order is 1, 5, 3 …"
    );
    let kept = lines(&ran, "kept ");
    assert!(kept.last().unwrap().contains("LOW"), "{kept:?}");
    let last = lines(&ran, "? ").pop().unwrap();
    assert!(last.contains("nut 3"), "{last}");
}

#[test]
fn stop_and_pause_are_never_late() {
    let house = demo();
    let ran = plain(&house, "late 06:50\npause\nInes Falk\n");
    assert!(lines(&ran, "! ").is_empty(), "{}", ran.out);
    assert!(
        !lines(&ran, "kept ")
            .iter()
            .any(|line| line.contains("entered late"))
    );
    let last = lines(&ran, "? ").pop().unwrap();
    assert!(
        !last.contains("nut 7"),
        "late entry ended with the pause: {last}"
    );
}

fn ask(hands: &Hands) -> &Ask {
    match &hands.model.screen {
        Screen::Work(work) => &work.sight.ask,
        _ => panic!("{}", hands.text()),
    }
}

/// F6, the line of this name, Enter.
fn rare(hands: &mut Hands, name: &str) {
    hands.keys(&[Stroke::F(6)]);
    let reseat::screen::overlay::Overlay::Menu(menu) = hands.model.common.overlays.last().unwrap()
    else {
        panic!("{}", hands.text())
    };
    let at = menu
        .lines
        .iter()
        .position(|(line, _)| line.starts_with(name))
        .unwrap();
    hands.types(&(at + 1).to_string());
    hands.keys(&[Stroke::Enter]);
}

#[test]
fn on_the_screens_late_entry_stands_in_the_notice_and_a_pass_is_one_form() {
    let house = demo();
    let mut hands = Hands::at(&house.home(), ("tern day shift", "240601"));
    hands.types("FV-3302");
    hands.keys(&[Stroke::Enter]);
    hands.keys(&[Stroke::Char('r')]);
    hands.types("Ines Falk");
    hands.keys(&[Stroke::Tab]);
    hands.types("3302");
    hands.keys(&[Stroke::Enter]);
    hands.signs("Ines Falk");
    assert!(
        matches!(ask(&hands).point, Point::Gate(0)),
        "{}",
        hands.text()
    );

    rare(&mut hands, "Late entry");
    hands.fills(&[("time", "06:20")]);
    assert_eq!(hands.said().unwrap().0, "late-order");
    hands.fills(&[("time", "06:50")]);
    assert!(hands.form().is_none(), "{}", hands.text());
    assert!(
        hands.text().contains("LATE ENTRY: done 2026-03-12 06:50"),
        "{}",
        hands.text()
    );
    assert!(matches!(ask(&hands).point, Point::Asked(..)));

    rare(&mut hands, "A whole pass");
    hands.fills(&[("row", "all")]);
    assert!(
        hands.said().unwrap().1.contains("5 entered"),
        "{}",
        hands.text()
    );
    rare(&mut hands, "A whole pass");
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
    assert!(matches!(ask(&hands).point, Point::AfterHigh(_)));

    rare(&mut hands, "Late entry");
    hands.fills(&[]);
    assert!(!hands.text().contains("LATE ENTRY"), "{}", hands.text());
    assert!(
        matches!(ask(&hands).point, Point::Gate(0)),
        "zero is proved anew"
    );
}
