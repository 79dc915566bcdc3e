//! A press of a key, as the table names it.

use std::fmt;

use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

/// One press as the table names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Stroke {
    /// A function key, by number.
    F(u8),
    /// A printable character other than the blank.
    Char(char),
    /// The blank.
    Space,
    /// Enter.
    Enter,
    /// Esc.
    Esc,
    /// Tab.
    Tab,
    /// Tab with shift.
    BackTab,
    /// Backspace.
    Backspace,
    /// Delete.
    Delete,
    /// Arrow up.
    Up,
    /// Arrow down.
    Down,
    /// Arrow left.
    Left,
    /// Arrow right.
    Right,
    /// Page up.
    PageUp,
    /// Page down.
    PageDown,
    /// Home.
    Home,
    /// End.
    End,
    /// A letter with control.
    Ctrl(char),
}

impl Stroke {
    /// The stroke of a key event; none for keys the program knows nothing of.
    pub fn of(event: &KeyEvent) -> Option<Self> {
        let ctrl = event.modifiers.contains(KeyModifiers::CONTROL);
        let alt = event.modifiers.contains(KeyModifiers::ALT);
        Some(match event.code {
            KeyCode::F(number) => Self::F(number),
            KeyCode::Char(' ') if !ctrl => Self::Space,
            // AltGr comes as control and alt together where the terminal reports both.
            KeyCode::Char(letter) if ctrl && !alt => Self::Ctrl(letter.to_ascii_lowercase()),
            KeyCode::Char(letter) => Self::Char(letter),
            KeyCode::Enter => Self::Enter,
            KeyCode::Esc => Self::Esc,
            KeyCode::Tab => Self::Tab,
            KeyCode::BackTab => Self::BackTab,
            KeyCode::Backspace => Self::Backspace,
            KeyCode::Delete => Self::Delete,
            KeyCode::Up => Self::Up,
            KeyCode::Down => Self::Down,
            KeyCode::Left => Self::Left,
            KeyCode::Right => Self::Right,
            KeyCode::PageUp => Self::PageUp,
            KeyCode::PageDown => Self::PageDown,
            KeyCode::Home => Self::Home,
            KeyCode::End => Self::End,
            _ => return None,
        })
    }

    /// The digit typed, if it is one.
    pub fn digit(self) -> Option<u32> {
        match self {
            Self::Char(letter) => letter.to_digit(10),
            _ => None,
        }
    }

    /// The character it puts into a text field, if any.
    pub fn typed(self) -> Option<char> {
        match self {
            Self::Char(letter) => Some(letter),
            Self::Space => Some(' '),
            _ => None,
        }
    }
}

impl fmt::Display for Stroke {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self {
            Self::F(number) => return write!(f, "F{number}"),
            Self::Char(letter) => return write!(f, "{}", letter.to_uppercase()),
            Self::Ctrl(letter) => return write!(f, "Ctrl-{}", letter.to_ascii_uppercase()),
            Self::Space => "Space",
            Self::Enter => "Enter",
            Self::Esc => "Esc",
            Self::Tab => "Tab",
            Self::BackTab => "Shift-Tab",
            Self::Backspace => "Backspace",
            Self::Delete => "Delete",
            Self::Up => "Up",
            Self::Down => "Down",
            Self::Left => "Left",
            Self::Right => "Right",
            Self::PageUp => "PgUp",
            Self::PageDown => "PgDn",
            Self::Home => "Home",
            Self::End => "End",
        };
        f.pad(word)
    }
}
