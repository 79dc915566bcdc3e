//! Passphrases and PINs: typed without echo, or read from a file for scripts.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use ratatui::crossterm::event::{self, Event, KeyCode, KeyEventKind, KeyModifiers};
use ratatui::crossterm::terminal;
use zeroize::Zeroizing;

use super::out::Out;
use super::{Context, Stop};

/// A person's passphrase and PIN.
pub(super) struct Secret {
    pub(super) passphrase: Zeroizing<String>,
    pub(super) pin: Zeroizing<String>,
}

/// Where passphrases come from.
#[derive(Debug, clap::Args)]
pub(super) struct Source {
    /// File with one line a person: name or id, TAB, passphrase, TAB, PIN; instead of typing them
    #[arg(long, value_name = "FILE")]
    passphrase_file: Option<PathBuf>,
}

impl Source {
    /// Passphrase and PIN of somebody already enrolled.
    pub(super) fn of(&self, name: &str, id: &str, context: &mut Context) -> Result<Secret, Stop> {
        self.get(&[name, id], name, false, context)
    }

    /// Passphrase and PIN that somebody chooses now; typed twice where they are typed.
    pub(super) fn chosen_by(&self, name: &str, context: &mut Context) -> Result<Secret, Stop> {
        self.get(&[name], name, true, context)
    }

    /// Whether a file was named.
    pub(super) fn given(&self) -> bool {
        self.passphrase_file.is_some()
    }

    /// All that the file holds; nothing where none was named.
    pub(super) fn known(&self) -> Result<Known, Stop> {
        self.passphrase_file
            .as_deref()
            .map_or_else(|| Ok(Known::default()), read_file)
    }

    fn get(
        &self,
        keys: &[&str],
        name: &str,
        twice: bool,
        context: &mut Context,
    ) -> Result<Secret, Stop> {
        match &self.passphrase_file {
            Some(file) => from_file(file, keys, name),
            None => typed(name, twice, &mut context.out),
        }
    }
}

fn from_file(file: &Path, keys: &[&str], name: &str) -> Result<Secret, Stop> {
    let Known(lines) = read_file(file)?;
    let is_his = |who: &str| keys.iter().any(|key| who.eq_ignore_ascii_case(key));
    lines
        .into_iter()
        .find(|(who, _)| is_his(who))
        .map(|(_, secret)| secret)
        .ok_or_else(|| {
            Stop::words(
                format!("{} has no line for {name}.", file.display()),
                "Add a line with the name or the id.",
            )
        })
}

/// What a passphrase file holds: name or id, with passphrase and PIN.
#[derive(Default)]
pub(super) struct Known(Vec<(String, Secret)>);

impl Known {
    /// The secrets of the person with one of these keys.
    pub(super) fn of(&self, keys: &[&str]) -> Option<&Secret> {
        let is_his = |who: &str| keys.iter().any(|key| who.eq_ignore_ascii_case(key));
        self.0
            .iter()
            .find(|(who, _)| is_his(who))
            .map(|(_, secret)| secret)
    }
}

fn read_file(file: &Path) -> Result<Known, Stop> {
    let text = std::fs::read_to_string(file)
        .map(Zeroizing::new)
        .map_err(|error| {
            Stop::words(
                format!("{} cannot be read: {error}.", file.display()),
                "Give a file you may read, as UTF-8 text.",
            )
        })?;
    let mut lines = Vec::new();
    for (number, line) in (1..).zip(text.lines()) {
        if line.trim().is_empty() {
            continue;
        }
        let fields: Vec<&str> = line.split('\t').collect();
        let [who, passphrase, pin] = fields[..] else {
            let sentence = format!(
                "Line {number} of {} is not name, TAB, passphrase, TAB, PIN.",
                file.display()
            );
            return Err(Stop::words(sentence, "Put exactly two tabs on each line."));
        };
        let secret = Secret {
            passphrase: Zeroizing::new(passphrase.to_owned()),
            pin: Zeroizing::new(pin.trim().to_owned()),
        };
        lines.push((who.trim().to_owned(), secret));
    }
    Ok(Known(lines))
}

fn typed(name: &str, twice: bool, out: &mut Out) -> Result<Secret, Stop> {
    if !std::io::stdin().is_terminal() {
        return Err(Stop::words(
            "A passphrase is asked for, and there is no terminal to type it on.",
            "Run it on a terminal, or give --passphrase-file FILE.",
        ));
    }
    loop {
        let passphrase = hidden(&format!("Passphrase of {name}: "), out)?;
        let pin = hidden(&format!("PIN of {name}: "), out)?;
        if !twice {
            return Ok(Secret { passphrase, pin });
        }
        let again = hidden("Passphrase again: ", out)?;
        let pin_again = hidden("PIN again: ", out)?;
        if *again == *passphrase && *pin_again == *pin {
            return Ok(Secret { passphrase, pin });
        }
        out.aside("The two do not agree. Once more.");
    }
}

/// Puts the terminal back however the reading ends.
struct Raw;

impl Raw {
    fn start() -> Result<Self, Stop> {
        terminal::enable_raw_mode().map(|()| Self).map_err(|error| {
            Stop::words(
                format!("The terminal cannot be read: {error}."),
                "Give --passphrase-file FILE.",
            )
        })
    }
}

impl Drop for Raw {
    fn drop(&mut self) {
        let _ = terminal::disable_raw_mode();
    }
}

/// Reads one line, showing a dot a character: gloved fingers need to see that a key went down.
fn hidden(question: &str, out: &mut Out) -> Result<Zeroizing<String>, Stop> {
    asked(question, Echo::Dots, out)
}

/// Reads one line and shows nothing of it: a screen reader would speak every dot.
pub(super) fn hidden_in_silence(question: &str, out: &mut Out) -> Result<Zeroizing<String>, Stop> {
    asked(question, Echo::Nothing, out)
}

/// What answers a key.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Echo {
    Dots,
    Nothing,
}

fn asked(question: &str, echo: Echo, out: &mut Out) -> Result<Zeroizing<String>, Stop> {
    // Raw before the question stands: whoever types at once must not see it echoed.
    let raw = Raw::start()?;
    out.prompt(question);
    let answer = read_keys(out, echo);
    drop(raw);
    out.aside("");
    answer
}

fn read_keys(out: &mut Out, echo: Echo) -> Result<Zeroizing<String>, Stop> {
    // Room for the longest passphrase, so that no shorter copy is left behind by growing.
    let mut text = Zeroizing::new(String::with_capacity(1024));
    loop {
        let event = event::read().map_err(|_| Stop::InputEnded)?;
        let Event::Key(key) = event else { continue };
        if key.kind == KeyEventKind::Release {
            continue;
        }
        match key.code {
            KeyCode::Enter => return Ok(text),
            KeyCode::Esc => return Err(Stop::InputEnded),
            KeyCode::Char('c' | 'd') if key.modifiers.contains(KeyModifiers::CONTROL) => {
                return Err(Stop::InputEnded);
            }
            KeyCode::Backspace if text.pop().is_some() && echo == Echo::Dots => Out::prompt_back(),
            KeyCode::Char(letter) if text.len() + letter.len_utf8() <= 1024 => {
                text.push(letter);
                if echo == Echo::Dots {
                    out.prompt("·");
                }
            }
            _ => {}
        }
    }
}
