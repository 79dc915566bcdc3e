//! One line of typed text. It holds what was typed, never more and never silently less.
//!
//! The text is wiped from memory when the field goes, and its room is reserved once, so that a passphrase leaves no
//! copies behind in outgrown buffers.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;
use zeroize::Zeroizing;

use crate::keys::Action;

/// How the text is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// As typed.
    Plain,
    /// One mark for each character: the count is seen, the text is not.
    Counted,
}

/// A text field.
#[derive(Clone, PartialEq, Eq)]
pub struct Field {
    text: Zeroizing<String>,
    cursor: usize,
    limit: usize,
    shown: Shown,
    overflowed: bool,
    /// The text was put there by the program: what is typed takes its place, an editing key makes it his.
    offered: bool,
}

impl std::fmt::Debug for Field {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let text = if self.shown == Shown::Plain {
            self.text.as_str()
        } else {
            "…"
        };
        f.debug_struct("Field")
            .field("text", &text)
            .field("cursor", &self.cursor)
            .finish_non_exhaustive()
    }
}

impl Field {
    /// An empty field for at most `limit` characters.
    pub fn new(limit: usize) -> Self {
        Self {
            text: Zeroizing::new(String::with_capacity(limit.saturating_mul(4).min(4096))),
            cursor: 0,
            limit,
            shown: Shown::Plain,
            overflowed: false,
            offered: false,
        }
    }

    /// An empty field whose text is not shown, only its count.
    pub fn counted(limit: usize) -> Self {
        Self {
            shown: Shown::Counted,
            ..Self::new(limit)
        }
    }

    /// The same field with this text in it.
    #[must_use]
    pub fn with(mut self, text: &str) -> Self {
        self.insert(text);
        self
    }

    /// Puts in what may be taken as it stands. The first character typed takes its place; an editing key keeps it to be changed.
    pub fn offer(&mut self, text: &str) {
        self.clear();
        self.insert(text);
        self.offered = true;
    }

    /// What was typed.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// A copy of what was typed that is wiped when it goes.
    pub fn secret(&self) -> Zeroizing<String> {
        self.text.clone()
    }

    /// Whether nothing was typed.
    pub fn is_empty(&self) -> bool {
        self.text.is_empty()
    }

    /// How it is shown.
    pub fn shown(&self) -> Shown {
        self.shown
    }

    /// How many characters were typed, as a person counts them.
    pub fn count(&self) -> usize {
        self.text.graphemes(true).count()
    }

    /// Whether more was typed than it takes, so that it was cleared. True until something is typed again.
    pub fn overflowed(&self) -> bool {
        self.overflowed
    }

    /// Puts typed or pasted text in at the cursor. Line ends and other control characters become blanks. If it does not
    /// all fit, the field is cleared and says so: half a number is worse than none.
    pub fn insert(&mut self, text: &str) {
        let text: String = text
            .trim_end_matches(['\r', '\n'])
            .chars()
            .map(|letter| if letter.is_control() { ' ' } else { letter })
            .collect();
        if self.offered && !text.is_empty() {
            self.clear();
        }
        self.offered = false;
        if self.text.chars().count() + text.chars().count() > self.limit {
            self.clear();
            self.overflowed = true;
            return;
        }
        self.overflowed = false;
        self.text.insert_str(self.cursor, &text);
        self.cursor += text.len();
    }

    /// Empties it.
    pub fn clear(&mut self) {
        // Keeps the room, wipes the letters.
        let room = self.text.capacity();
        self.text = Zeroizing::new(String::with_capacity(room));
        self.cursor = 0;
        self.overflowed = false;
        self.offered = false;
    }

    /// An editing key. Whether it was one.
    pub fn edit(&mut self, action: Action) -> bool {
        match action {
            Action::Erase => {
                if let Some(before) = self.before() {
                    self.text.replace_range(before..self.cursor, "");
                    self.cursor = before;
                }
            }
            Action::EraseAt => {
                if let Some(after) = self.after() {
                    self.text.replace_range(self.cursor..after, "");
                }
            }
            Action::CursorLeft => self.cursor = self.before().unwrap_or(0),
            Action::CursorRight => self.cursor = self.after().unwrap_or(self.text.len()),
            Action::CursorHome => self.cursor = 0,
            Action::CursorEnd => self.cursor = self.text.len(),
            Action::ClearField => self.clear(),
            _ => return false,
        }
        self.offered = false;
        true
    }

    fn before(&self) -> Option<usize> {
        self.text[..self.cursor]
            .grapheme_indices(true)
            .next_back()
            .map(|(at, _)| at)
    }

    fn after(&self) -> Option<usize> {
        self.text[self.cursor..]
            .graphemes(true)
            .next()
            .map(|first| self.cursor + first.len())
    }

    /// What is drawn in `columns`: the text around the cursor, and the cursor's column.
    pub fn window(&self, columns: usize) -> (String, usize) {
        let (text, cursor) = match self.shown {
            Shown::Plain => (self.text.to_string(), self.cursor),
            Shown::Counted => {
                let marks = |part: &str| "•".repeat(part.graphemes(true).count());
                (marks(&self.text), marks(&self.text[..self.cursor]).len())
            }
        };
        let room = columns.saturating_sub(1);
        let mut from = 0;
        while text[from..cursor].width() > room {
            from += text[from..].graphemes(true).next().map_or(1, str::len);
        }
        let column = text[from..cursor].width();
        let mut shown = String::new();
        for grapheme in text[from..].graphemes(true) {
            if shown.width() + grapheme.width() > columns {
                break;
            }
            shown.push_str(grapheme);
        }
        (shown, column)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn typed_text_is_edited_by_what_a_person_counts_as_a_character() {
        let mut field = Field::new(20).with("12e\u{301}");
        assert_eq!(field.count(), 3);
        field.edit(Action::Erase);
        assert_eq!(field.text(), "12");
        field.edit(Action::CursorLeft);
        field.insert(".5");
        assert_eq!(field.text(), "1.52");
        field.edit(Action::CursorHome);
        field.edit(Action::EraseAt);
        assert_eq!(field.text(), ".52");
        field.edit(Action::CursorEnd);
        field.edit(Action::Erase);
        assert_eq!(field.text(), ".5");
        assert!(!field.edit(Action::Take));
    }

    #[test]
    fn too_much_clears_and_says_so_never_half_a_number() {
        let mut field = Field::new(4).with("1234");
        field.insert("5");
        assert!(field.is_empty() && field.overflowed());
        field.insert("7");
        assert!(!field.overflowed());
        assert_eq!(field.text(), "7");
        field.insert("12345678");
        assert!(field.is_empty() && field.overflowed());
    }

    #[test]
    fn a_paste_keeps_no_line_ends() {
        assert_eq!(Field::new(40).with("TP-0388\r\n").text(), "TP-0388");
        assert_eq!(Field::new(40).with("a\tb\u{1b}c").text(), "a b c");
    }

    #[test]
    fn the_window_follows_the_cursor() {
        let mut field = Field::new(40).with("0123456789");
        assert_eq!(field.window(5), ("6789".to_owned(), 4));
        field.edit(Action::CursorHome);
        assert_eq!(field.window(5), ("01234".to_owned(), 0));
        assert_eq!(
            Field::counted(10).with("geheim").window(10),
            ("••••••".to_owned(), 6)
        );
        assert_eq!(Field::new(5).with("äöü").window(5), ("äöü".to_owned(), 3));
    }

    #[test]
    fn what_was_offered_gives_way_to_what_is_typed_and_stays_to_be_edited() {
        let mut field = Field::new(10);
        field.offer("2026-01-04");
        for letter in "2024-05-06".chars() {
            field.insert(&letter.to_string());
        }
        assert_eq!((field.text(), field.overflowed()), ("2024-05-06", false));
        field.offer("2026-01-04");
        assert!(field.edit(Action::Erase));
        field.insert("5");
        assert_eq!(field.text(), "2026-01-05");
        // A key that edits nothing leaves the offer what it is.
        field.offer("2026-01-04");
        assert!(!field.edit(Action::Take));
        field.insert("x");
        assert_eq!(field.text(), "x");
    }

    #[test]
    fn a_secret_is_not_printed() {
        assert!(!format!("{:?}", Field::counted(20).with("geheim")).contains("geheim"));
    }
}
