//! Line mode on a pseudo-terminal: secrets without echo, no cursor moved.

#![cfg(unix)]

/// Line mode on a pseudo-terminal; every byte it sends is kept.
struct Console {
    sent: std::sync::Arc<std::sync::Mutex<Vec<u8>>>,
    writer: Box<dyn std::io::Write + Send>,
    child: Box<dyn portable_pty::Child + Send + Sync>,
    _master: Box<dyn portable_pty::MasterPty + Send>,
}

impl Console {
    fn start(home: &str) -> Self {
        use std::io::Read as _;
        let pair = portable_pty::native_pty_system()
            .openpty(portable_pty::PtySize::default())
            .unwrap();
        let mut command = portable_pty::CommandBuilder::new(env!("CARGO_BIN_EXE_reseat"));
        command.args(["--home", home, "--plain", "--tag", "FV-3302"]);
        command.env_clear();
        command.env("TERM", "xterm");
        let child = pair.slave.spawn_command(command).unwrap();
        let mut reader = pair.master.try_clone_reader().unwrap();
        let sent = std::sync::Arc::new(std::sync::Mutex::new(Vec::new()));
        let kept = std::sync::Arc::clone(&sent);
        std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(count) = reader.read(&mut bytes) {
                if count == 0 {
                    return;
                }
                kept.lock().unwrap().extend_from_slice(&bytes[..count]);
            }
        });
        Self {
            sent,
            writer: pair.master.take_writer().unwrap(),
            child,
            _master: pair.master,
        }
    }

    fn shows(&self) -> String {
        String::from_utf8_lossy(&self.sent.lock().unwrap()).into_owned()
    }

    /// Waits until a text has come so many times, then types.
    fn at(&mut self, text: &str, times: usize, typed: &str) {
        let start = std::time::Instant::now();
        while self.shows().matches(text).count() < times {
            let waited = start.elapsed().as_secs();
            assert!(waited < 60, "not said: {text}\n{}", self.shows());
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
        self.writer.write_all(typed.as_bytes()).unwrap();
        self.writer.flush().unwrap();
    }
}

#[test]
fn on_a_terminal_secrets_are_asked_without_echo_and_nothing_moves_the_cursor() {
    let folder = tempfile::tempdir().unwrap();
    let home = folder.path().join("home");
    reseat::demo::make(&home, reseat::demo::machine_now()).unwrap();
    let mut console = Console::start(&home.to_string_lossy());
    console.at("? signature take-up: ", 1, "Ines Falk\n");
    console.at("Passphrase of Ines Falk: ", 1, "tern day shifx\u{7f}t\r");
    console.at("PIN of Ines Falk: ", 1, "240601\r");
    console.at("notice: Hands off. Zero does not stand: ", 1, "");
    console.at("? ", 2, "close-incomplete tried on a terminal\n");
    console.at("PIN of Ines Falk: ", 2, "240601\r");
    console.at("? none -: Closed INCOMPLETE.", 1, "leave\n");
    assert_eq!(console.child.wait().unwrap().exit_code(), 0);
    let shown = console.shows();
    assert_eq!(shown.matches("Passphrase of ").count(), 1, "{shown}");
    for silent in ["Passphrase of Ines Falk: ", "PIN of Ines Falk: "] {
        assert!(
            shown.contains(&format!("{silent}\r\n")),
            "no dot a key: {shown}"
        );
    }
    for never in ["tern day", "240601", "\u{1b}", "\u{8}"] {
        assert!(!shown.contains(never), "{never:?} in {shown}");
    }
}
