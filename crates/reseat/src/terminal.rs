//! The terminal: taken and given back on every way out, and the one loop that blocks on it.
//!
//! One thread draws, reads keys and performs effects. Two watchers never touch what the screens know: one waits for
//! SIGTERM, SIGHUP or SIGINT, the other for the terminal to vanish (where SIGHUP is ignored or lost the reader would spin
//! for ever). Both wait for the lock that the loop holds while it draws or writes, so that no entry is cut short; then
//! they give the terminal back and end the program. Entries are on disk before they are shown, so nothing is lost.

use std::io::{self, IsTerminal, Stdout, Write};
use std::process;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError, TryLockError};
use std::thread::{self, ThreadId};
use std::time::{Duration, Instant};

use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;
use ratatui::crossterm::event::{
    self, DisableBracketedPaste, EnableBracketedPaste, Event, KeyEventKind,
};
use ratatui::crossterm::terminal::{
    EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode,
};
use ratatui::crossterm::{cursor, execute};

use crate::keys::Stroke;
use crate::screen::{Effect, Message, Model, Outcome, Runner, deadline, update, view};

/// Whether the terminal is ours now: whoever takes it back first does it once.
static TAKEN: AtomicBool = AtomicBool::new(false);

/// The shortest time a poll may take: with none the reader never delivers a key (crossterm 839).
const SHORTEST_POLL: Duration = Duration::from_millis(1);

/// How long an ending waits for the loop to finish what it is writing.
const GRACE: Duration = Duration::from_secs(3);

/// Held by the loop while it draws or performs effects.
static BUSY: Mutex<()> = Mutex::new(());

/// The screen, taken; given back when it goes.
struct Taken {
    terminal: Terminal<CrosstermBackend<Stdout>>,
}

impl Taken {
    fn take() -> io::Result<Self> {
        enter()?;
        match Terminal::new(CrosstermBackend::new(io::stdout())) {
            Ok(terminal) => Ok(Self { terminal }),
            Err(error) => {
                give_back();
                Err(error)
            }
        }
    }

    /// Stops the program as the shell's Ctrl-Z does, and takes the terminal again once it goes on.
    #[cfg(unix)]
    fn suspend(&mut self) -> io::Result<()> {
        give_back();
        signal_hook::low_level::raise(signal_hook::consts::SIGTSTP)?;
        enter()?;
        self.terminal.clear()
    }

    #[cfg(not(unix))]
    fn suspend(&mut self) -> io::Result<()> {
        self.terminal.clear()
    }
}

impl Drop for Taken {
    fn drop(&mut self) {
        give_back();
    }
}

fn enter() -> io::Result<()> {
    enable_raw_mode()?;
    TAKEN.store(true, Ordering::SeqCst);
    let entered = execute!(
        io::stdout(),
        EnterAlternateScreen,
        EnableBracketedPaste,
        cursor::Hide
    );
    if entered.is_err() {
        give_back();
    }
    entered
}

/// Gives the terminal back, once. Errors are passed over: on the way out nothing can be done about them, and the
/// terminal may be gone.
fn give_back() {
    if TAKEN.swap(false, Ordering::SeqCst) {
        let _ = execute!(
            io::stdout(),
            DisableBracketedPaste,
            LeaveAlternateScreen,
            cursor::Show
        );
        let _ = disable_raw_mode();
        let _ = io::stdout().flush();
    }
}

/// Gives the terminal back before a panic of the screens' own thread is told; another thread's panic leaves it alone.
fn hook_panics() {
    let screens: ThreadId = thread::current().id();
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        if thread::current().id() == screens {
            give_back();
        }
        before(panic);
    }));
}

fn busy() -> MutexGuard<'static, ()> {
    BUSY.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Ends the program from a watcher, after what is being written is written.
fn end(code: i32) -> ! {
    let since = Instant::now();
    // Kept to the end: the loop must not draw over a terminal that was given back.
    let _held = loop {
        match BUSY.try_lock() {
            Ok(held) => break Some(held),
            Err(TryLockError::Poisoned(held)) => break Some(held.into_inner()),
            Err(TryLockError::WouldBlock) if since.elapsed() > GRACE => break None,
            Err(TryLockError::WouldBlock) => thread::sleep(Duration::from_millis(5)),
        }
    };
    give_back();
    process::exit(code)
}

/// Leaves cleanly on SIGTERM, SIGHUP and SIGINT. The exit code is 128 and the signal's number, as shells count.
#[cfg(unix)]
fn watch_signals() -> io::Result<()> {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
    let mut signals = signal_hook::iterator::Signals::new([SIGTERM, SIGHUP, SIGINT])?;
    thread::Builder::new()
        .name("signals".to_owned())
        .spawn(move || {
            if let Some(signal) = signals.forever().next() {
                end(128 + signal);
            }
        })
        .map(drop)
}

/// Ends the program when the terminal is gone.
#[cfg(unix)]
fn watch_terminal() -> io::Result<()> {
    use rustix::event::{PollFd, PollFlags, poll};
    let terminal = std::fs::File::open("/dev/tty")?;
    thread::Builder::new()
        .name("terminal".to_owned())
        .spawn(move || {
            loop {
                // Nothing is asked for: only the end of the terminal is told.
                let mut watched = [PollFd::new(&terminal, PollFlags::empty())];
                match poll(&mut watched, None) {
                    Err(rustix::io::Errno::INTR) => {}
                    Err(_) => return,
                    Ok(_) if watched[0].revents().is_empty() => {}
                    Ok(_) => end(128 + signal_hook::consts::SIGHUP),
                }
            }
        })
        .map(drop)
}

#[cfg(not(unix))]
fn watch_signals() -> io::Result<()> {
    Ok(())
}

#[cfg(not(unix))]
fn watch_terminal() -> io::Result<()> {
    Ok(())
}

/// Why the screens ended early.
#[derive(Debug, thiserror::Error)]
pub enum TerminalFault {
    /// Input or output is no terminal.
    #[error("The screens need a terminal, and this is none.")]
    NoTerminal,
    /// The terminal failed.
    #[error("The terminal failed: {0}.")]
    Failed(#[from] io::Error),
}

/// Runs the screens until they are left.
///
/// # Errors
/// [`TerminalFault`]; the terminal is then as it was before.
pub fn run(model: &mut Model, runner: &mut Runner) -> Result<(), TerminalFault> {
    if !io::stdout().is_terminal() || !io::stdin().is_terminal() {
        return Err(TerminalFault::NoTerminal);
    }
    watch_signals()?;
    watch_terminal()?;
    hook_panics();
    let mut taken = Taken::take()?;
    let mut loop_ = Loop {
        model,
        runner,
        redraw: true,
        leave: false,
    };
    let size = taken.terminal.size()?;
    let now = Instant::now();
    loop_.message(Message::Resized(size.width, size.height), now, &mut taken)?;
    let first = loop_.runner.first();
    loop_.message(Message::Came(Box::new(first)), now, &mut taken)?;
    loop_.go_on(&mut taken)
}

struct Loop<'a> {
    model: &'a mut Model,
    runner: &'a mut Runner,
    redraw: bool,
    leave: bool,
}

impl Loop<'_> {
    fn go_on(&mut self, taken: &mut Taken) -> Result<(), TerminalFault> {
        while !self.leave {
            if self.redraw {
                let _busy = busy();
                taken.terminal.draw(|frame| view(self.model, frame))?;
                self.redraw = false;
                // The instant after the frame was written, so that reading time is never counted short.
                update(self.model, Message::Drawn, Instant::now());
            }
            if self.wait()? {
                self.drain(taken)?;
            } else {
                self.message(Message::Tick, Instant::now(), taken)?;
            }
        }
        Ok(())
    }

    /// Waits for input, or until something is due. Whether input came.
    fn wait(&self) -> io::Result<bool> {
        match deadline(self.model) {
            // Without a deadline there is nothing to wake up for but input; a day fits what poll(2) can count.
            None => event::poll(Duration::from_hours(24)),
            Some(due) => event::poll(
                due.saturating_duration_since(Instant::now())
                    .max(SHORTEST_POLL),
            ),
        }
    }

    /// Takes everything that has come before the next frame is drawn.
    fn drain(&mut self, taken: &mut Taken) -> Result<(), TerminalFault> {
        loop {
            if let Some(message) = message_of(event::read()?) {
                self.message(message, Instant::now(), taken)?;
            }
            if self.leave || !event::poll(SHORTEST_POLL)? {
                return Ok(());
            }
        }
    }

    fn message(
        &mut self,
        message: Message,
        now: Instant,
        taken: &mut Taken,
    ) -> Result<(), TerminalFault> {
        let _busy = busy();
        self.redraw = true;
        let mut effects: std::collections::VecDeque<Effect> =
            update(self.model, message, now).into();
        while let Some(effect) = effects.pop_front() {
            match effect {
                Effect::Quit => {
                    self.leave = true;
                    return Ok(());
                }
                Effect::Redraw => taken.terminal.clear()?,
                Effect::Suspend => taken.suspend()?,
                other => {
                    let outcome = self.runner.perform(other);
                    let founded =
                        matches!(outcome, Outcome::Founded { .. } | Outcome::Register { .. });
                    let came = Message::Came(Box::new(outcome));
                    effects.extend(update(self.model, came, Instant::now()));
                    if founded {
                        self.model.common.pause_after = self.runner.pause_after();
                    }
                }
            }
        }
        Ok(())
    }
}

/// The message of an event; none for what the screens do not use. Releases are dropped here, once.
fn message_of(event: Event) -> Option<Message> {
    match event {
        Event::Key(key) if key.kind == KeyEventKind::Release => None,
        Event::Key(key) => Some(Message::Key {
            stroke: Stroke::of(&key)?,
            repeat: key.kind == KeyEventKind::Repeat,
        }),
        Event::Paste(text) => Some(Message::Paste(text)),
        Event::Resize(columns, rows) => Some(Message::Resized(columns, rows)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

    use super::*;

    #[test]
    fn releases_are_dropped_and_repeats_are_told() {
        let key = |kind| {
            Event::Key(KeyEvent::new_with_kind(
                KeyCode::Enter,
                KeyModifiers::NONE,
                kind,
            ))
        };
        assert_eq!(message_of(key(KeyEventKind::Release)), None);
        for (kind, repeat) in [(KeyEventKind::Press, false), (KeyEventKind::Repeat, true)] {
            let message = Message::Key {
                stroke: Stroke::Enter,
                repeat,
            };
            assert_eq!(message_of(key(kind)), Some(message));
        }
        assert_eq!(message_of(Event::FocusGained), None);
    }

    /// Set for the process that panics on a terminal of its own.
    #[cfg(unix)]
    const PANICS: &str = "RESEAT_TEST_PANICS_ON_A_TERMINAL";

    #[test]
    #[cfg(unix)]
    fn a_panic_gives_the_terminal_back_before_it_is_told() {
        use std::io::Read;

        use portable_pty::{CommandBuilder, PtySize, native_pty_system};

        if std::env::var_os(PANICS).is_some() {
            hook_panics();
            let _taken = Taken::take().unwrap();
            panic!("on purpose");
        }
        let pair = native_pty_system().openpty(PtySize::default()).unwrap();
        let mut command = CommandBuilder::new(std::env::current_exe().unwrap());
        command.args([
            "--exact",
            "--nocapture",
            "terminal::tests::a_panic_gives_the_terminal_back_before_it_is_told",
        ]);
        command.env(PANICS, "1");
        command.env("TERM", "xterm-256color");
        let mut child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let mut reader = pair.master.try_clone_reader().unwrap();
        let mut shown = Vec::new();
        // The end of a terminal whose last process is gone is told as an error.
        let _ = reader.read_to_end(&mut shown);
        assert!(!child.wait().unwrap().success());
        let shown = String::from_utf8_lossy(&shown);
        let place = |text: &str| {
            shown
                .find(text)
                .unwrap_or_else(|| panic!("no {text:?} in {shown:?}"))
        };
        let (taken, given_back) = (place("\u{1b}[?1049h"), place("\u{1b}[?1049l"));
        let (cursor, told) = (place("\u{1b}[?25h"), place("on purpose"));
        assert!(taken < given_back && given_back < told, "{shown:?}");
        assert!(cursor < told, "{shown:?}");
    }
}
