//! A worker's own lock comes off while another has the work in hand: on the screens and in line mode, with his own PIN.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod hands;
mod house;

use std::io::Write as _;
use std::process::Stdio;

use hands::Hands;
use house::{House, Ran};
use reseat::keys::Stroke;
use reseat::screen::overlay::Overlay;

/// The demo: FV-3302 stands paused in the second pass of J1, Ines Falk's own lock on the box.
fn demo() -> House {
    let house = House::empty();
    let mut make = house.command();
    make.args(["demo", "--no-screen", "--at"]).arg(house.home());
    House::ran(&mut make).exits(0);
    house.write(
        "secrets",
        "Ines Falk\ttern day shift\t240601\nRurik Odde\ttern late shift\t240602\n",
    );
    house
}

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
    pipe.write_all(input.as_bytes()).unwrap();
    drop(pipe);
    let output = child.wait_with_output().unwrap();
    Ran {
        code: output.status.code().unwrap_or(-1),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

#[test]
fn in_line_mode_the_owner_proves_himself_and_the_order_of_a_handover_holds() {
    let house = demo();
    let off = "own-lock Ines Falk | off\n";
    let ran = plain(
        &house,
        &format!(
            "Ines Falk\nhand-over nut 3 is the last mark to Rurik Odde\n{off}Rurik Odde\n{off}423\n{off}{off}leave\n"
        ),
    );
    let codes: Vec<&str> = ran
        .out
        .lines()
        .filter(|line| line.starts_with("! "))
        .collect();
    assert_eq!(codes.len(), 3, "{}", ran.out);
    assert!(codes[0].starts_with("! incoming-first: "), "{codes:?}");
    assert!(codes[1].starts_with("! incoming-first: "), "{codes:?}");
    assert!(codes[2].starts_with("! no-lock: "), "{codes:?}");
    let kept: Vec<&str> = ran
        .out
        .lines()
        .filter(|line| line.starts_with("kept "))
        .collect();
    assert!(
        kept.last().unwrap().contains("of Ines Falk off"),
        "{kept:?}"
    );
}

/// F6, the line of own locks.
fn own_lock_form(hands: &mut Hands) {
    hands.keys(&[Stroke::F(6)]);
    let Some(Overlay::Menu(menu)) = hands.model.common.overlays.last() else {
        panic!("{}", hands.text())
    };
    let lines = menu.lines.iter();
    let at = lines
        .map(|(line, _)| line.starts_with("A worker's own lock"))
        .position(|own| own)
        .unwrap();
    hands.types(&(at + 1).to_string());
    hands.keys(&[Stroke::Enter]);
}

#[test]
fn on_the_screens_it_comes_off_with_the_owners_pin_and_goes_on_with_its_number() {
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

    own_lock_form(&mut hands);
    hands.fills(&[
        ("owner", "Rurik Odde"),
        ("says", "on the box now"),
        ("number", "423"),
    ]);
    assert!(hands.form().is_none(), "{}", hands.text());

    // Ines Falk cannot take his off with her PIN.
    own_lock_form(&mut hands);
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
    assert_eq!(last.text, "own lock 423 of Rurik Odde off");
    assert_eq!(last.by, "Rurik Odde");
}
