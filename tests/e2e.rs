//! The built program on a pseudo-terminal: a whole rebuild of FV-3302 with keys, a failing torque, a power cut in the middle of
//! a pass, taken up again through zero on the same fastener, signed, read back and verified.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::process::Command;
use std::time::{Duration, Instant};

use reseat::demo;
use reseat::demo::robot::{Doing, Robot};
use reseat::desk::{Desk, SystemTime};
use reseat_record::log::Id;
use reseat_record::rebuild::{Ask, Command as Wish, Ended, Inner, Point, Rebuild, Wants};

use crate::terminal::{PATIENCE, Terminal};

/// Time within which no key confirms, with some room.
pub const GUARD: Duration = Duration::from_millis(320);

/// What the start screen asks: work order, tag, serial, procedure, kit lot, performer, signature.
const STARTED_WITH: usize = 7;

/// A demo home of its own.
pub struct Demo {
    folder: tempfile::TempDir,
}

impl Demo {
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let demo = Self { folder };
        let made = demo.reseat(&["demo", "--no-screen", "--at", demo.home().to_str().unwrap()]);
        assert!(made.status.success(), "{made:?}");
        demo
    }

    /// The folder that holds the home.
    pub fn folder(&self) -> &std::path::Path {
        self.folder.path()
    }

    pub fn home(&self) -> PathBuf {
        self.folder.path().join("demo-home")
    }

    pub fn reseat(&self, arguments: &[&str]) -> std::process::Output {
        Command::new(env!("CARGO_BIN_EXE_reseat"))
            .args(arguments)
            .env_clear()
            .env("HOME", self.folder.path())
            .env("TZ", "UTC0")
            .current_dir(self.folder.path())
            .output()
            .unwrap()
    }

    pub fn screens(&self, columns: u16, rows: u16) -> Terminal {
        Terminal::start(
            self.folder.path(),
            &["--home", self.home().to_str().unwrap()],
            columns,
            rows,
        )
    }

    pub fn desk(&self) -> Desk {
        Desk::read(&self.home(), Box::new(SystemTime::new())).unwrap()
    }

    pub fn open_rebuild(&self) -> Option<Id> {
        self.desk()
            .home_rows()
            .unwrap()
            .into_iter()
            .find(|row| row.tag == "FV-3302")
            .and_then(|row| row.open)
    }
}

fn secret(name: &str) -> (&'static str, &'static str) {
    let person = demo::people()
        .into_iter()
        .find(|person| person.name == name);
    let person = person.unwrap_or_else(|| panic!("{name} is not of the demo"));
    (person.passphrase, person.pin)
}

/// Types passphrase (where the shift's first signature asks it; it does not count as a key) and PIN into the signature shown.
fn proves_himself(terminal: &mut Terminal, name: &str) {
    let (passphrase, pin) = secret(name);
    terminal.wait_for("Signature:");
    std::thread::sleep(GUARD);
    if terminal.shows().contains("passphrase   ") {
        let counted = terminal.pressed;
        terminal.press(&format!("{passphrase}<enter>"));
        terminal.pressed = counted;
        terminal.wait_for("PIN   ");
        std::thread::sleep(GUARD);
    }
    terminal.press(pin);
}

/// A reading as a person types it: he leaves out the noughts that end a number behind the point.
fn as_typed(shown: String) -> String {
    if !shown.contains('.') {
        return shown;
    }
    shown.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Nut 7 of J1 reads 141 N·m the first time: HIGH, dealt with, then on.
fn one_nut_high(robot: &mut Robot) {
    let readings = &mut robot.plan.readings;
    let nut = readings.entry("J1/7".to_owned()).or_default();
    nut.push_back("141".to_owned());
}

/// What stands beside a reading as the unit shows it: the signal where the plug sits on its seat and the dial is at nought, the air
/// the actuator is soaped at, the water the seat is tested with.
fn signals_as_shown(robot: &mut Robot) {
    for (name, shown) in [
        ("found-up-0/beside", "0.400"),
        ("found-up-0", "0.00"),
        ("left-up-0-4/beside", "0.400"),
        ("left-up-0-4", "0.00"),
        ("actuator-bubbles/beside", "2.000"),
        ("leak-1/beside", "3.50"),
    ] {
        let readings = robot.plan.readings.entry(name.to_owned()).or_default();
        readings.push_back(shown.to_owned());
    }
}

/// Hands on the keys: looks at the record to know what is asked, types on the terminal, waits until it is kept.
struct Hands<'a> {
    demo: &'a Demo,
    terminal: Terminal,
    robot: Robot,
    stream: Id,
    last_act: &'static str,
    /// Keys that only carry what the hardware shows or who signs: readings, words and PINs, each with its Enter.
    carried: usize,
    /// Noughts of readings that a person leaves out.
    noughts: usize,
    /// Answers and keys by kind of question.
    tally: BTreeMap<&'static str, (usize, usize)>,
    /// Whose keys the program holds open.
    unsealed: BTreeSet<Id>,
}

impl<'a> Hands<'a> {
    /// At the work, the performer's key just opened.
    fn of(demo: &'a Demo, terminal: Terminal, robot: Robot, stream: Id) -> Self {
        let unsealed = BTreeSet::from([robot.performer]);
        Self {
            demo,
            terminal,
            robot,
            stream,
            last_act: "<enter>",
            carried: 0,
            noughts: 0,
            tally: BTreeMap::new(),
            unsealed,
        }
    }

    fn sees(&self) -> (Desk, Rebuild, Ask) {
        let desk = self.demo.desk();
        let rebuild = desk.look(&self.stream).unwrap();
        let stamp = desk.stamp(rebuild.who().map(|who| who.id));
        let ask = rebuild.ask(desk.register(), &stamp);
        (desk, rebuild, ask)
    }

    /// Answers until the condition holds; false if nothing more is asked before.
    fn until(&mut self, enough: impl Fn(&Rebuild, &Ask) -> bool) -> bool {
        loop {
            let (desk, rebuild, ask) = self.sees();
            if enough(&rebuild, &ask) {
                return true;
            }
            let stamp = desk.stamp(rebuild.who().map(|who| who.id));
            let doing = self.robot.answer(&rebuild, desk.register(), &stamp, &ask);
            let before = rebuild.head().number;
            std::thread::sleep(GUARD);
            match doing {
                Doing::Nothing => return false,
                Doing::Waits { .. } => {
                    self.runs_on(&ask);
                    continue;
                }
                Doing::Types { text, by } => {
                    let text = if ask.kind == "reading" {
                        let typed = as_typed(text.clone());
                        self.noughts += text.chars().count() - typed.chars().count();
                        typed
                    } else {
                        text
                    };
                    let pressed = self.terminal.pressed;
                    self.types(&desk, &ask, &text, by);
                    let (answers, keys) = self.tally.entry(ask.kind).or_default();
                    *answers += 1;
                    *keys += self.terminal.pressed - pressed;
                }
            }
            self.kept_after(before, &ask);
        }
    }

    fn types(&mut self, desk: &Desk, ask: &Ask, text: &str, by: Id) {
        match &ask.wants {
            Wants::Person(among) if among.len() == 1 => self.takes_it(),
            Wants::Act | Wants::Wait { .. } => self.takes_it(),
            Wants::Fastener { .. } => {
                self.terminal.press(text);
                self.last_act = "<enter>";
            }
            Wants::Signature { among, .. } => self.signs(desk, among, by),
            Wants::Person(among) => {
                let number = among
                    .iter()
                    .position(|(id, _)| id.to_string() == text || *id == by)
                    .unwrap()
                    + 1;
                self.terminal.press(&number.to_string());
                // An Enter of habit behind a number that answered takes nothing.
                self.last_act = "<enter>";
            }
            wants => {
                if matches!(wants, Wants::Reading { .. } | Wants::Text) {
                    self.carried += text.chars().count() + 1;
                }
                self.terminal.press(&format!("{text}<enter>"));
                self.last_act = "<enter>";
            }
        }
    }

    /// A plain act: Space and Enter in turn.
    fn takes_it(&mut self) {
        self.last_act = if self.last_act == "<space>" {
            "<enter>"
        } else {
            "<space>"
        };
        self.terminal.press(self.last_act);
    }

    fn signs(&mut self, desk: &Desk, among: &[(Id, String)], by: Id) {
        let name = desk.register().person(by).unwrap().name.clone();
        let (_, pin) = secret(&name);
        if among.len() > 1 {
            let number = among.iter().position(|(id, _)| *id == by).unwrap() + 1;
            self.terminal.press(&number.to_string());
        } else if !self.unsealed.insert(by) {
            // His key is open for the shift: the PIN's first digit opens the signature.
            let (all_but_last, last) = pin.split_at(pin.len() - 1);
            self.terminal.press(all_but_last);
            std::thread::sleep(GUARD);
            self.terminal.press(last);
            self.carried += pin.len();
            self.last_act = "<enter>";
            return;
        } else {
            let key = if self.last_act == "<enter>" {
                "<space>"
            } else {
                "<enter>"
            };
            self.terminal.press(key);
        }
        self.unsealed.insert(by);
        proves_himself(&mut self.terminal, &name);
        self.carried += pin.len();
        self.last_act = "<enter>";
    }

    /// Lets the demo's clock run on past a wait.
    fn runs_on(&mut self, ask: &Ask) {
        let counted = self.terminal.pressed;
        let Wants::Wait { .. } = ask.wants else {
            panic!("no wait: {ask:?}")
        };
        self.terminal.press("<f6>");
        self.terminal.wait_for("let the clock run on");
        let line = self
            .terminal
            .shows()
            .lines()
            .find(|line| line.contains("let the clock run on"))
            .unwrap()
            .trim()
            .to_owned();
        let number: String = line.chars().take_while(char::is_ascii_digit).collect();
        std::thread::sleep(GUARD);
        self.terminal.press(&format!("{number}<enter>"));
        self.terminal.wait_for("minutes");
        std::thread::sleep(GUARD);
        let minutes = if ask.prompt.contains('h') {
            "241"
        } else {
            "11"
        };
        self.terminal.press(&format!("{minutes}<enter>"));
        self.terminal.wait_for(": let it run on");
        std::thread::sleep(GUARD);
        self.terminal.press("<space>");
        let start = Instant::now();
        while matches!(self.sees().2.wants, Wants::Wait { over: false, .. }) {
            assert!(
                start.elapsed() < PATIENCE,
                "the clock does not run on:\n{}",
                self.terminal.shows()
            );
            std::thread::sleep(Duration::from_millis(20));
        }
        self.terminal.pressed = counted;
        self.last_act = "<space>";
    }

    /// Waits until the record has grown.
    fn kept_after(&self, number: u64, ask: &Ask) {
        let start = Instant::now();
        while self.demo.desk().look(&self.stream).unwrap().head().number == number {
            assert!(
                start.elapsed() < PATIENCE,
                "nothing was kept for {ask:#?}; the screen shows:\n{}",
                self.terminal.shows()
            );
            std::thread::sleep(Duration::from_millis(10));
        }
    }
}

pub fn person(demo: &Demo, name: &str) -> Id {
    demo.desk().register().person_named(name).unwrap().id
}

/// Opens the unit and takes its paused rebuild up, as a newcomer would.
pub fn takes_up(terminal: &mut Terminal, name: &str) {
    terminal.wait_for("FV-3302");
    std::thread::sleep(GUARD);
    terminal.press("FV-3302<enter>");
    terminal.wait_for("badge or name");
    std::thread::sleep(GUARD);
    terminal.press(&format!("{name}<enter>"));
    proves_himself(terminal, name);
    terminal.wait_until("the work screen", |shown| shown.contains("F4 pause"));
}

fn joint_of(ask: &Ask) -> Option<(u32, u32)> {
    match &ask.point {
        Point::Asked(step, _, Inner::Fastener(fastener, pass, _)) if step == "tighten-j1" => {
            Some((*fastener, *pass))
        }
        _ => None,
    }
}

#[test]
fn the_paused_rebuild_is_taken_up_killed_in_a_pass_taken_up_again_and_signed() {
    let demo = Demo::new();
    let stream = demo.open_rebuild().expect("one rebuild is left open");
    let falk = person(&demo, "Ines Falk");
    let mut terminal = demo.screens(80, 24);
    takes_up(&mut terminal, "Ines Falk");
    let mut robot = Robot::new(falk, 7);
    // The last pass: one nut HIGH, dealt with, then on.
    one_nut_high(&mut robot);
    let mut hands = Hands::of(&demo, terminal, robot, stream);
    assert!(
        hands.until(|_, ask| joint_of(ask).is_some_and(|(_, pass)| pass == 3)),
        "never came to the last pass"
    );
    let mut in_pass = 0;
    let mut last = None;
    while in_pass < 2 {
        let due = joint_of(&hands.sees().2);
        assert!(hands.until(|_, ask| joint_of(ask) != due));
        last = joint_of(&hands.sees().2);
        in_pass += 1;
    }
    hands.terminal.kill();

    // The power is back: the same fastener, and nothing at the unit before zero.
    let mut terminal = demo.screens(160, 50);
    takes_up(&mut terminal, "Ines Falk");
    let mut hands = Hands::of(&demo, terminal, hands.robot, stream);
    let first = hands.sees().2;
    assert!(matches!(first.point, Point::Gate(0)), "{first:#?}");
    hands.terminal.wait_for("Hands off");
    assert!(
        hands.until(|_, ask| joint_of(ask).is_some()),
        "the joint is not due any more"
    );
    assert_eq!(
        joint_of(&hands.sees().2),
        last,
        "another fastener than before the power cut"
    );
    assert!(
        hands.until(|rebuild, _| rebuild.ended().is_some()) || hands.sees().1.ended().is_some()
    );
    assert_eq!(hands.sees().1.ended(), Some(Ended::Signed));

    // Read back: the failing torque stands before everything else.
    let shown = demo.reseat(&[
        "--home",
        demo.home().to_str().unwrap(),
        "show",
        &stream.to_string(),
    ]);
    let text = String::from_utf8(shown.stdout).unwrap();
    let high = text
        .find("141 N·m HIGH")
        .unwrap_or_else(|| panic!("no HIGH in:\n{text}"));
    let within = text.find("WITHIN").unwrap();
    assert!(
        high < within,
        "the failure is not on the first page:\n{text}"
    );
    let verified = demo.reseat(&["--home", demo.home().to_str().unwrap(), "verify", "--all"]);
    assert!(verified.status.success(), "{verified:?}");
}

/// Closes the paused rebuild so that a new one can begin on the same unit.
fn closes_the_paused_one(demo: &Demo) {
    let stream = demo.open_rebuild().unwrap();
    let falk = person(demo, "Ines Falk");
    let (passphrase, pin) = secret("Ines Falk");
    let mut desk = Desk::open(&demo.home(), Box::new(SystemTime::new())).unwrap();
    desk.unseal(&falk, passphrase).unwrap();
    desk.check_pin(&falk, pin).unwrap();
    let mut open = desk.take_up(&stream, &falk).unwrap();
    desk.check_pin(&falk, pin).unwrap();
    let close = Wish::CloseIncomplete {
        reason: "taken over by a whole rebuild".to_owned(),
    };
    desk.act(&mut open, close, &falk, Some(&falk)).unwrap();
}

/// Starts a rebuild of FV-3302 on the start screen.
fn starts(terminal: &mut Terminal) {
    terminal.wait_for("FV-3302");
    std::thread::sleep(GUARD);
    // The end of the tag is enough where no other ends so.
    terminal.press("3302<enter>");
    terminal.wait_for("start rebuild");
    std::thread::sleep(GUARD);
    terminal.press("s");
    terminal.wait_for("work order");
    std::thread::sleep(GUARD);
    terminal.press("4471<enter>FV-3302<enter>TP-0388<enter><enter>24119<enter>");
    terminal.press("<right>");
    terminal.wait_for("Ines Falk");
    terminal.press("<enter>");
    std::thread::sleep(GUARD);
    terminal.press("<space>");
    proves_himself(terminal, "Ines Falk");
    terminal.wait_for("F4 pause");
}

#[test]
fn a_whole_rebuild_from_the_nameplate_to_the_signatures_with_its_keys_counted() {
    let demo = Demo::new();
    closes_the_paused_one(&demo);
    let mut terminal = demo.screens(80, 24);
    starts(&mut terminal);
    let stream = demo.open_rebuild().expect("the rebuild was started");
    let falk = person(&demo, "Ines Falk");
    let mut robot = Robot::new(falk, 11);
    // The lot that stands on the bags of the kit.
    robot.ordinary.insert("kit-count", "24119");
    one_nut_high(&mut robot);
    signals_as_shown(&mut robot);
    let mut hands = Hands::of(&demo, terminal, robot, stream);
    // A power cut in the middle of the first pass.
    assert!(
        hands.until(|_, ask| joint_of(ask) == Some((3, 1))),
        "never came to the joint"
    );
    let before = hands.terminal.pressed;
    let (carried, noughts, tally) = (hands.carried, hands.noughts, hands.tally.clone());
    hands.terminal.kill();
    let mut terminal = demo.screens(80, 24);
    takes_up(&mut terminal, "Ines Falk");
    let mut hands = Hands::of(&demo, terminal, hands.robot, stream);
    assert!(
        matches!(hands.sees().2.point, Point::Gate(0)),
        "zero was not asked anew"
    );
    assert!(hands.until(|_, ask| joint_of(ask).is_some()));
    assert_eq!(
        joint_of(&hands.sees().2),
        Some((3, 1)),
        "another fastener than before the power cut"
    );
    let taken_up = hands.terminal.pressed;
    (hands.carried, hands.noughts, hands.tally) = (carried, noughts, tally);
    hands.until(|rebuild, _| rebuild.ended().is_some());
    let (desk, rebuild, _) = hands.sees();
    assert_eq!(rebuild.ended(), Some(Ended::Signed));
    let keys = before + hands.terminal.pressed - taken_up;
    let acts = rebuild
        .procedure()
        .route(&reseat_procedure::Choices::default())
        .len();
    let carried = hands.carried;
    drop(desk);
    let answers: usize = hands.tally.values().map(|(answers, _)| answers).sum();
    println!("answers and keys by kind of question: {:?}", hands.tally);
    println!(
        "{keys} keys for {answers} acts and answers in {acts} numbered steps, {carried} of them readings, words and PINs; {} more \
         noughts where every reading is typed as its scale shows it",
        hands.noughts
    );
    assert_eq!(acts, 168);
    // The whole, readings, lots and PINs included, by what was done or read (a step holds its act and the answers that follow
    // it): at most 2.5; and no more than 2.5 a numbered step for what the program itself adds: doing, answering, taking.
    let answers = answers + STARTED_WITH;
    assert!(keys * 2 <= answers * 5, "{keys} keys for {answers} answers");
    assert!(
        (keys - carried) * 2 <= acts * 5,
        "{keys} keys less {carried} for {acts} steps"
    );

    let verified = demo.reseat(&[
        "--home",
        demo.home().to_str().unwrap(),
        "verify",
        &stream.to_string(),
    ]);
    assert!(verified.status.success(), "{verified:?}");
    let shown = demo.reseat(&[
        "--home",
        demo.home().to_str().unwrap(),
        "show",
        &stream.to_string(),
    ]);
    assert!(
        String::from_utf8(shown.stdout)
            .unwrap()
            .contains("141 N·m HIGH")
    );
}

#[test]
fn a_window_too_small_says_so_and_a_larger_one_goes_on() {
    let demo = Demo::new();
    let mut terminal = demo.screens(50, 16);
    terminal.wait_until("a notice", |shown| {
        shown.contains("60") && !shown.contains("FV-3302")
    });
    terminal.resize(80, 24);
    terminal.wait_for("FV-3302");
    std::thread::sleep(GUARD);
    terminal.press("<f10>");
    assert_eq!(terminal.ended(), 0);
}
