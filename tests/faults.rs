//! A disk that takes no more, and a home that cannot be written: said in words, nothing lost, the terminal left as it was.

use std::time::{Duration, Instant};

use reseat_record::rebuild::{Ask, Rebuild, Wants};

use crate::e2e::{Demo, GUARD, person, takes_up};
use crate::terminal::{PATIENCE, Terminal};

/// Answers plain questions of the paused rebuild until the screen says what the disk did.
fn until_the_disk_is_full(demo: &Demo, terminal: &mut Terminal) -> u64 {
    let stream = demo.open_rebuild().unwrap();
    let falk = person(demo, "Ines Falk");
    let mut robot = reseat::demo::robot::Robot::new(falk, 3);
    let start = Instant::now();
    loop {
        assert!(start.elapsed() < PATIENCE * 3, "the disk was never full");
        let desk = demo.desk();
        let rebuild: Rebuild = desk.look(&stream).unwrap();
        let stamp = desk.stamp(rebuild.who().map(|who| who.id));
        let ask: Ask = rebuild.ask(desk.register(), &stamp);
        let doing = robot.answer(&rebuild, desk.register(), &stamp, &ask);
        let reseat::demo::robot::Doing::Types { text, .. } = doing else {
            panic!("nothing to type for {ask:#?}");
        };
        std::thread::sleep(GUARD);
        match &ask.wants {
            Wants::Act => terminal.press("<space>"),
            Wants::Fastener { .. } => terminal.press(&text),
            _ => terminal.press(&format!("{text}<enter>")),
        }
        let pressed = Instant::now();
        loop {
            if terminal.shows().contains("kept") && terminal.shows().contains("disk") {
                return rebuild.head().number;
            }
            if demo.desk().look(&stream).unwrap().head() != rebuild.head() {
                break;
            }
            assert!(
                pressed.elapsed() < PATIENCE,
                "neither kept nor refused: {ask:#?}\n{}",
                terminal.shows()
            );
            std::thread::sleep(Duration::from_millis(10));
        }
    }
}

#[test]
fn a_disk_that_takes_no_more_is_said_and_loses_nothing() {
    let demo = Demo::new();
    let home = demo.home();
    let arguments = ["--home", home.to_str().unwrap()];
    let stream = demo.open_rebuild().unwrap();
    let mut terminal = Terminal::start_cramped(demo.folder(), &arguments, 160);
    takes_up(&mut terminal, "Ines Falk");
    let kept = until_the_disk_is_full(&demo, &mut terminal);
    let shown = terminal.shows();
    assert!(shown.contains("F10 leaves"), "{shown}");
    assert_eq!(
        demo.desk().look(&stream).unwrap().head().number,
        kept,
        "an entry that was refused stands:\n{shown}"
    );
    std::thread::sleep(GUARD);
    terminal.press("<f10>");
    assert_eq!(terminal.ended(), 0, "{}", terminal.shows());
    assert!(terminal.is_given_back());

    // Room again: it is taken up where it stood, and the record is whole.
    let mut terminal = demo.screens(80, 24);
    takes_up(&mut terminal, "Ines Falk");
    assert_eq!(
        demo.desk().look(&stream).unwrap().head().number,
        kept + 1,
        "taken up anew"
    );
    let verified = demo.reseat(&["--home", home.to_str().unwrap(), "verify", "--all"]);
    assert!(verified.status.success(), "{verified:?}");
}

#[test]
fn a_home_that_cannot_be_made_is_said_before_the_screens_come() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a-file");
    std::fs::write(&file, "not a folder").unwrap();
    let home = file.join("home");
    let mut terminal = Terminal::start(folder.path(), &["--home", home.to_str().unwrap()], 80, 24);
    assert_eq!(terminal.ended(), 2, "{}", terminal.shows());
    terminal.wait_until("the folder and what is wrong with it", |shown| {
        let words: String = shown.split_whitespace().collect();
        words.contains("a-file") && shown.contains("cannot be written")
    });
    assert!(terminal.is_given_back());
}
