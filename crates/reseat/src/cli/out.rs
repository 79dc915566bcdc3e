//! The one place that prints. Text that people wrote is made harmless to the terminal here.

use std::io::{self, IsTerminal, Write};

use serde_json::Value;

use super::Stop;

/// Standard output and standard error.
pub(super) struct Out {
    plain: io::BufWriter<io::Stdout>,
}

impl Out {
    /// The program's own.
    pub(super) fn standard() -> Self {
        Self {
            plain: io::BufWriter::new(io::stdout()),
        }
    }

    /// One line; control and direction-changing characters are shown, not sent.
    pub(super) fn line(&mut self, text: &str) -> Result<(), Stop> {
        writeln!(self.plain, "{}", harmless(text)).map_err(|error| failed(&error))
    }

    /// Text that was made harmless before and may hold colour.
    pub(super) fn drawn(&mut self, text: &str) -> Result<(), Stop> {
        writeln!(self.plain, "{text}").map_err(|error| failed(&error))
    }

    /// A JSON document.
    pub(super) fn json(&mut self, value: &Value) -> Result<(), Stop> {
        let text = serde_json::to_string_pretty(value).map_err(|error| {
            Stop::words(
                format!("The answer could not be written: {error}."),
                "Please report it.",
            )
        })?;
        self.drawn(&text)
    }

    /// Whether colour is welcome on standard output.
    pub(super) fn wants_colour() -> bool {
        let no_colour = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
        io::stdout().is_terminal() && !no_colour && !dumb
    }

    /// Columns of the terminal standard output goes to; none for a file or another program, which want whole lines.
    pub(super) fn columns() -> Option<usize> {
        let terminal = io::stdout().is_terminal();
        let (columns, _) = terminal.then(crossterm::terminal::size)?.ok()?;
        Some(usize::from(columns))
    }

    /// A line on standard error that stops nothing.
    pub(super) fn aside(&mut self, text: &str) {
        let _ = self.plain.flush();
        // Nobody can be told if standard error is gone.
        let _ = writeln!(io::stderr(), "{}", harmless(text));
    }

    /// Part of a line on standard error: a question, or what answers a key.
    pub(super) fn prompt(&mut self, text: &str) {
        let _ = self.plain.flush();
        let _ = write!(io::stderr(), "{}", harmless(text));
        let _ = io::stderr().flush();
    }

    /// Takes the last character of a prompt off the screen.
    pub(super) fn prompt_back() {
        let _ = write!(io::stderr(), "\u{8} \u{8}");
        let _ = io::stderr().flush();
    }

    /// An error with its remedy, on standard error.
    pub(super) fn error(&mut self, sentence: &str, remedy: &str) {
        self.aside(&format!("error: {sentence}"));
        if !remedy.is_empty() {
            self.aside(&format!("help: {remedy}"));
        }
    }

    /// Sends what is still kept back.
    pub(super) fn finish(&mut self) -> Result<(), Stop> {
        self.plain.flush().map_err(|error| failed(&error))
    }
}

fn failed(error: &io::Error) -> Stop {
    if error.kind() == io::ErrorKind::BrokenPipe {
        Stop::PipeClosed
    } else {
        Stop::words(
            format!("The output could not be written: {error}."),
            "Make room or choose another place for it.",
        )
    }
}

/// The text with every control, direction-changing and invisible character shown as `U+202E` in angle brackets.
pub(super) fn harmless(text: &str) -> String {
    use std::fmt::Write as _;
    let mut shown = String::with_capacity(text.len());
    for letter in text.chars() {
        if is_harmful(letter) {
            // Writing to a String cannot fail.
            let _ = write!(shown, "<U+{:04X}>", u32::from(letter));
        } else {
            shown.push(letter);
        }
    }
    shown
}

fn is_harmful(letter: char) -> bool {
    letter.is_control()
        || matches!(letter, '\u{061c}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_steers_a_terminal_goes_through() {
        assert_eq!(harmless("a\u{1b}[2Jb"), "a<U+001B>[2Jb");
        assert_eq!(harmless("\u{202e}gnik"), "<U+202E>gnik");
        assert_eq!(harmless("N·m ≤ 130"), "N·m ≤ 130");
    }
}
