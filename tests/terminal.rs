//! The built program on a pseudo-terminal, with a screen that can be read.

use std::io::{Read, Write};
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

/// Longest wait for anything; a debug build on a loaded machine is slow, and a condition that never comes must still fail.
pub const PATIENCE: Duration = Duration::from_mins(1);

/// A running program and what it shows.
pub struct Terminal {
    screen: Arc<Mutex<vt100::Parser>>,
    writer: Box<dyn Write + Send>,
    child: Box<dyn Child + Send + Sync>,
    master: Box<dyn MasterPty + Send>,
    /// Key presses sent so far.
    pub pressed: usize,
}

impl Terminal {
    /// Starts the program with arguments in a terminal of this size, its environment empty but for what it needs.
    pub fn start(home: &Path, arguments: &[&str], columns: u16, rows: u16) -> Self {
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_reseat"));
        command.args(arguments);
        Self::run(command, home, columns, rows)
    }

    /// Starts it where no file grows beyond so many half kilobytes: what a full disk does to a write, without filling one.
    pub fn start_cramped(home: &Path, arguments: &[&str], half_kib: u32) -> Self {
        let mut command = CommandBuilder::new("/bin/sh");
        // The shell's own signal for it is passed over, so that the write fails and the program is told.
        let cramped = format!("trap '' XFSZ; ulimit -f {half_kib}; exec \"$0\" \"$@\"");
        command.args(["-c", &cramped, env!("CARGO_BIN_EXE_reseat")]);
        command.args(arguments);
        Self::run(command, home, 80, 24)
    }

    fn run(mut command: CommandBuilder, home: &Path, columns: u16, rows: u16) -> Self {
        let size = PtySize {
            rows,
            cols: columns,
            pixel_width: 0,
            pixel_height: 0,
        };
        let pair = native_pty_system().openpty(size).unwrap();
        command.env_clear();
        command.env("HOME", home);
        command.env("TERM", "xterm-256color");
        command.env("LANG", "C.UTF-8");
        command.env("TZ", "UTC0");
        command.cwd(home);
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let mut reader = pair.master.try_clone_reader().unwrap();
        let writer = pair.master.take_writer().unwrap();
        let rows = std::num::NonZeroU16::new(rows).unwrap();
        let columns = std::num::NonZeroU16::new(columns).unwrap();
        let screen = Arc::new(Mutex::new(vt100::Parser::new(rows, columns, 0)));
        let shown = Arc::clone(&screen);
        std::thread::spawn(move || {
            let mut bytes = [0; 8192];
            while let Ok(count) = reader.read(&mut bytes) {
                if count == 0 {
                    break;
                }
                shown.lock().unwrap().process(&bytes[..count]);
            }
        });
        Self {
            screen,
            writer,
            child,
            master: pair.master,
            pressed: 0,
        }
    }

    /// What the screen shows now.
    pub fn shows(&self) -> String {
        self.screen.lock().unwrap().screen().contents()
    }

    /// Waits until the screen shows the text.
    pub fn wait_for(&self, text: &str) {
        self.wait_until(text, |shown| shown.contains(text));
    }

    /// Waits until a condition on the screen holds.
    pub fn wait_until(&self, what: &str, holds: impl Fn(&str) -> bool) {
        let start = Instant::now();
        loop {
            let shown = self.shows();
            if holds(&shown) {
                return;
            }
            assert!(
                start.elapsed() < PATIENCE,
                "waited in vain for {what}; the screen shows:\n{shown}"
            );
            std::thread::sleep(Duration::from_millis(5));
        }
    }

    /// Presses keys: characters as they are, and names in angle brackets: `<enter> <esc> <space> <f1> <up> <down> <tab> <back>`.
    pub fn press(&mut self, keys: &str) {
        let mut rest = keys;
        while !rest.is_empty() {
            let named = rest
                .strip_prefix('<')
                .and_then(|named| named.split_once('>'));
            let (bytes, after) = named.map_or_else(
                || {
                    let length = rest.chars().next().unwrap().len_utf8();
                    (&rest.as_bytes()[..length], &rest[length..])
                },
                |(name, after)| (named_key(name), after),
            );
            self.writer.write_all(bytes).unwrap();
            self.writer.flush().unwrap();
            self.pressed += 1;
            rest = after;
        }
    }

    /// Whether alternate screen, bracketed paste and hidden cursor were all undone.
    pub fn is_given_back(&self) -> bool {
        let parser = self.screen.lock().unwrap();
        let screen = parser.screen();
        !screen.alternate_screen() && !screen.bracketed_paste() && !screen.hide_cursor()
    }

    /// Another size of the window.
    pub fn resize(&mut self, columns: u16, rows: u16) {
        let size = PtySize {
            rows,
            cols: columns,
            pixel_width: 0,
            pixel_height: 0,
        };
        self.master.resize(size).unwrap();
        let (rows, columns) = (
            std::num::NonZeroU16::new(rows).unwrap(),
            std::num::NonZeroU16::new(columns).unwrap(),
        );
        self.screen
            .lock()
            .unwrap()
            .screen_mut()
            .set_size(rows, columns);
    }

    /// Kills the program at once, as a power cut does.
    pub fn kill(mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    /// Waits for the end; its exit code.
    pub fn ended(&mut self) -> u32 {
        let start = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status.exit_code();
            }
            assert!(
                start.elapsed() < PATIENCE,
                "it does not end; the screen shows:\n{}",
                self.shows()
            );
            std::thread::sleep(Duration::from_millis(10));
        }
    }
}

fn named_key(name: &str) -> &'static [u8] {
    match name {
        "enter" => b"\r",
        "esc" => b"\x1b",
        "space" => b" ",
        "tab" => b"\t",
        "back" => b"\x7f",
        "up" => b"\x1b[A",
        "down" => b"\x1b[B",
        "right" => b"\x1b[C",
        "f1" => b"\x1bOP",
        "f2" => b"\x1bOQ",
        "f3" => b"\x1bOR",
        "f4" => b"\x1bOS",
        "f5" => b"\x1b[15~",
        "f6" => b"\x1b[17~",
        "f7" => b"\x1b[18~",
        "f8" => b"\x1b[19~",
        "f9" => b"\x1b[20~",
        "f10" => b"\x1b[21~",
        other => panic!("no key named {other}"),
    }
}
