//! The terminal is given back on every way out: tried on the built program through a pseudo-terminal.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

use std::io::{Read, Write};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

/// How long anything may take before the test fails.
const LONGEST: Duration = Duration::from_mins(1);

/// The program on a terminal of its own, in an empty home.
struct Seat {
    child: Box<dyn Child + Send + Sync>,
    _master: Box<dyn MasterPty + Send>,
    keys: Box<dyn Write + Send>,
    output: Receiver<Vec<u8>>,
    raw: Vec<u8>,
    screen: vt100::Parser,
    _home: tempfile::TempDir,
}

impl Seat {
    fn new() -> Self {
        let home = tempfile::tempdir().unwrap();
        let size = PtySize {
            rows: 24,
            cols: 80,
            pixel_width: 0,
            pixel_height: 0,
        };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_reseat"));
        command.env_clear();
        command.env("TERM", "xterm-256color");
        command.env("HOME", home.path());
        command.args(["--home", home.path().join("home").to_str().unwrap()]);
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let mut reader = pair.master.try_clone_reader().unwrap();
        let (sender, output) = channel();
        std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(count @ 1..) = reader.read(&mut bytes) {
                if sender.send(bytes[..count].to_vec()).is_err() {
                    return;
                }
            }
        });
        let keys = pair.master.take_writer().unwrap();
        Self {
            child,
            _master: pair.master,
            keys,
            output,
            raw: Vec::new(),
            screen: vt100::Parser::new(24.try_into().unwrap(), 80.try_into().unwrap(), 0),
            _home: home,
        }
    }

    /// Waits until the screen shows `text`.
    fn shows(&mut self, text: &str) {
        let until = Instant::now() + LONGEST;
        while !self.screen.screen().contents().contains(text) {
            match self
                .output
                .recv_timeout(until.saturating_duration_since(Instant::now()))
            {
                Ok(bytes) => {
                    self.screen.process(&bytes);
                    self.raw.extend(bytes);
                }
                Err(ended) => panic!(
                    "no \"{text}\" ({ended}) on\n{}",
                    self.screen.screen().contents()
                ),
            }
        }
    }

    fn types(&mut self, text: &str) {
        self.keys.write_all(text.as_bytes()).unwrap();
        self.keys.flush().unwrap();
    }

    /// The exit code, once it has ended.
    fn ended(&mut self) -> u32 {
        let until = Instant::now() + LONGEST;
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                while let Ok(bytes) = self.output.recv_timeout(Duration::from_millis(200)) {
                    self.screen.process(&bytes);
                    self.raw.extend(bytes);
                }
                return status.exit_code();
            }
            assert!(Instant::now() < until, "it still runs");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Whether alternate screen, bracketed paste and hidden cursor were all undone.
    fn is_given_back(&self) -> bool {
        let screen = self.screen.screen();
        !screen.alternate_screen() && !screen.bracketed_paste() && !screen.hide_cursor()
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn leaving_by_key_gives_the_terminal_back() {
    let mut seat = Seat::new();
    seat.shows("This home is empty");
    assert!(seat.screen.screen().alternate_screen() && seat.screen.screen().bracketed_paste());
    // Text with a newline, pasted: it fills the field and takes nothing.
    seat.types("\u{1b}[200~Tern Point\r\u{1b}[201~");
    seat.shows("[Tern Point ");
    seat.types("\u{1b}[21~");
    assert_eq!(seat.ended(), 0);
    assert!(seat.is_given_back());
}

#[test]
fn a_burst_of_two_thousand_keys_is_drawn_without_another_key() {
    let mut seat = Seat::new();
    seat.shows("This home is empty");
    // One less than the field takes, often enough to pass the reader's buffer: each round fills and clears it.
    seat.types(&"x".repeat(61 * 33 + 5));
    seat.shows("[xxxxx ");
}

#[test]
fn a_signal_gives_the_terminal_back_and_says_so_in_the_exit_code() {
    for (name, number) in [("TERM", 15), ("HUP", 1), ("INT", 2)] {
        let mut seat = Seat::new();
        seat.shows("This home is empty");
        let process = seat.child.process_id().unwrap().to_string();
        let sent = std::process::Command::new("kill")
            .args(["-s", name, &process])
            .status()
            .unwrap();
        assert!(sent.success());
        assert_eq!(seat.ended(), 128 + number, "SIG{name}");
        assert!(seat.is_given_back(), "SIG{name}");
    }
}

/// Names the program whose terminal is to vanish, for the process that holds it.
const HOLDS: &str = "RESEAT_TEST_HOLDS_A_TERMINAL_IN";

/// Holds a terminal with the program on it, says the program's process number on a line, and reads until it is killed.
fn holds_a_terminal(home: &str) -> ! {
    let pair = native_pty_system().openpty(PtySize::default()).unwrap();
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_reseat"));
    command.env_clear();
    command.env("TERM", "xterm-256color");
    command.env("HOME", home);
    command.args(["--home", &format!("{home}/home")]);
    let child = pair.slave.spawn_command(command).unwrap();
    drop(pair.slave);
    let mut reader = pair.master.try_clone_reader().unwrap();
    let mut shown = Vec::new();
    let mut told = false;
    let mut bytes = [0; 4096];
    while let Ok(count @ 1..) = reader.read(&mut bytes) {
        shown.extend_from_slice(&bytes[..count]);
        if !told && String::from_utf8_lossy(&shown).contains("empty") {
            let number = child.process_id().unwrap();
            std::fs::write(format!("{home}/runs"), number.to_string()).unwrap();
            told = true;
        }
    }
    panic!("the program ended by itself");
}

/// The state of a process: none once it is gone, `Z` while nobody has asked after it.
fn state_of(process: u32) -> Option<char> {
    let listed = std::process::Command::new("ps")
        .args(["-o", "stat=", "-p", &process.to_string()])
        .output()
        .unwrap();
    String::from_utf8(listed.stdout)
        .unwrap()
        .trim()
        .chars()
        .next()
}

#[test]
fn a_terminal_that_vanishes_ends_the_program() {
    if let Ok(home) = std::env::var(HOLDS) {
        holds_a_terminal(&home);
    }
    let folder = tempfile::tempdir().unwrap();
    // Another process holds the terminal: only when it dies is every end of it shut.
    let mut holder = std::process::Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "a_terminal_that_vanishes_ends_the_program"])
        .env(HOLDS, folder.path())
        .stdout(std::process::Stdio::null())
        .stderr(std::process::Stdio::null())
        .spawn()
        .unwrap();
    let until = Instant::now() + LONGEST;
    let runs = folder.path().join("runs");
    let process: u32 = loop {
        if let Some(number) = std::fs::read_to_string(&runs)
            .ok()
            .and_then(|text| text.parse().ok())
        {
            break number;
        }
        assert!(Instant::now() < until, "the program never came up");
        std::thread::sleep(Duration::from_millis(10));
    };
    assert!(
        matches!(state_of(process), Some('S' | 'R')),
        "it does not run"
    );
    holder.kill().unwrap();
    holder.wait().unwrap();
    while !matches!(state_of(process), None | Some('Z')) {
        assert!(
            Instant::now() < until,
            "it still runs: {:?}",
            state_of(process)
        );
        std::thread::sleep(Duration::from_millis(10));
    }
}
