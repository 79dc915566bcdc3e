//! Passphrase and PIN typed on a terminal: taken, and never shown.

#![cfg(unix)]
#![allow(clippy::unwrap_used)]

mod house;

use std::io::{Read, Write};
use std::sync::mpsc;
use std::time::{Duration, Instant};

use house::{CLOCK, House};
use portable_pty::{CommandBuilder, PtySize, native_pty_system};

/// Runs the program on a terminal, typing each line once its question has come. Gives exit code and all that was shown.
fn typed(house: &House, args: &[&str], lines: &[(&str, &str)]) -> (u32, String) {
    let pair = native_pty_system()
        .openpty(PtySize {
            rows: 24,
            cols: 80,
            pixel_width: 0,
            pixel_height: 0,
        })
        .unwrap();
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_reseat"));
    command.env_clear();
    command.env("HOME", house.path(""));
    command.env("RESEAT_HOME", house.home());
    command.env("RESEAT_DEMO_CLOCK", CLOCK);
    command.env("TERM", "xterm");
    command.args(args);
    let mut child = pair.slave.spawn_command(command).unwrap();
    drop(pair.slave);
    let mut reader = pair.master.try_clone_reader().unwrap();
    let mut writer = pair.master.take_writer().unwrap();
    let (send, receive) = mpsc::channel();
    std::thread::spawn(move || {
        let mut bytes = [0; 1024];
        while let Ok(count @ 1..) = reader.read(&mut bytes) {
            if send.send(bytes[..count].to_vec()).is_err() {
                break;
            }
        }
    });
    let mut shown = String::new();
    let deadline = Instant::now() + Duration::from_mins(1);
    for (question, answer) in lines {
        while !shown.contains(question) {
            assert!(
                Instant::now() < deadline,
                "never asked: {question}\n{shown}"
            );
            if let Ok(bytes) = receive.recv_timeout(Duration::from_millis(200)) {
                shown.push_str(&String::from_utf8_lossy(&bytes));
            }
        }
        writer.write_all(answer.as_bytes()).unwrap();
    }
    let status = child.wait().unwrap();
    while let Ok(bytes) = receive.recv_timeout(Duration::from_millis(300)) {
        shown.push_str(&String::from_utf8_lossy(&bytes));
    }
    (status.exit_code(), shown)
}

const RETIRE: [&str; 7] = [
    "people",
    "retire",
    "Tomas Brel",
    "--reason",
    "left",
    "--by",
    "Mbali Sefton",
];

#[test]
fn what_is_typed_opens_the_key_and_is_not_shown() {
    let house = House::founded();
    // A slip taken back: the last letter is typed wrong, deleted, and typed again.
    let lines = [
        (
            "Passphrase of Mbali Sefton: ",
            "osmosis runs uphilx\u{7f}l\r",
        ),
        ("PIN of Mbali Sefton: ", "314159\r"),
    ];
    let (code, shown) = typed(&house, &RETIRE, &lines);
    assert_eq!(code, 0, "{shown}");
    assert!(shown.contains("Tomas Brel is retired."), "{shown}");
    assert!(
        !shown.contains("osmosis") && !shown.contains("314159"),
        "{shown}"
    );
}

#[test]
fn a_wrong_pin_is_refused_and_the_stop_key_ends_the_question() {
    let house = House::founded();
    let wrong = [
        ("Passphrase of Mbali Sefton: ", "osmosis runs uphill\r"),
        ("PIN of Mbali Sefton: ", "000000\r"),
    ];
    let (code, shown) = typed(&house, &RETIRE, &wrong);
    assert_eq!(code, 1, "{shown}");
    assert!(shown.contains("Wrong PIN. 4 tries are left."), "{shown}");
    let (code, shown) = typed(
        &house,
        &RETIRE,
        &[("Passphrase of Mbali Sefton: ", "osmo\u{3}")],
    );
    assert_eq!(code, 1, "{shown}");
    assert!(
        shown.contains("The input ended before the question was answered."),
        "{shown}"
    );
}

#[test]
fn the_demo_lets_its_passphrases_be_read_before_the_screens_cover_them() {
    let house = House::empty();
    let home = house.home().to_string_lossy().into_owned();
    // F10 leaves, as the screens say.
    let lines = [
        ("Enter opens the screens.", "\r"),
        ("places and units", "\u{1b}[21~"),
    ];
    let (code, shown) = typed(&house, &["demo", "--at", &home], &lines);
    assert_eq!(code, 0, "{shown}");
    assert!(shown.contains("tern day shift"), "{shown}");
    let (code, shown) = typed(
        &house,
        &["demo", "--at", &home],
        &[("Enter opens the screens.", "\u{4}")],
    );
    assert_eq!(code, 1, "{shown}");
}
