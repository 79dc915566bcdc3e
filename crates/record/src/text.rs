//! Text that people type: made clean, or refused with the reason, before it can reach a record or a terminal.

use std::fmt;

use unicode_normalization::UnicodeNormalization;

/// Longest name of a person, place or unit, in characters.
pub const NAME_CHARS: usize = 60;
/// Longest tag or instrument name on site, in characters.
pub const TAG_CHARS: usize = 24;
/// Longest serial, model, certificate or procedure number, in characters.
pub const SERIAL_CHARS: usize = 40;
/// Longest reason, remark or note, in characters.
pub const NOTE_CHARS: usize = 500;

/// So many of a thing in words: `1 entry`, `3 entries`.
#[must_use]
pub fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// Why a text is not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TextFault {
    /// Nothing, or blanks only.
    Empty,
    /// More characters than the field takes.
    TooLong {
        /// How many it takes.
        limit: usize,
    },
    /// A control character, a line break among them.
    Control(char),
    /// A character that changes the direction of writing, or that shows nothing at all.
    Hidden(char),
}

impl fmt::Display for TextFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("is empty"),
            Self::TooLong { limit } => write!(f, "is longer than {limit} characters"),
            Self::Control(letter) => write!(
                f,
                "holds a control character (U+{:04X})",
                u32::from(*letter)
            ),
            Self::Hidden(letter) => {
                write!(f, "holds a hidden character (U+{:04X})", u32::from(*letter))
            }
        }
    }
}

/// The text in normal form C, without blanks at its ends and with single blanks inside; or why it is not taken.
///
/// Control, direction-changing and invisible characters are refused, not dropped: what is kept is what was typed.
///
/// # Errors
/// The first [`TextFault`].
pub fn clean_text(text: &str, limit: usize) -> Result<String, TextFault> {
    // Far beyond any limit nothing is worth normalizing.
    if text.len() > limit.saturating_mul(16) {
        return Err(TextFault::TooLong { limit });
    }
    if let Some(letter) = text.chars().find(|letter| letter.is_control()) {
        return Err(TextFault::Control(letter));
    }
    if let Some(letter) = text.chars().find(|letter| is_hidden(*letter)) {
        return Err(TextFault::Hidden(letter));
    }
    let clean: String = text
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .nfc()
        .collect();
    if clean.is_empty() {
        return Err(TextFault::Empty);
    }
    if clean.chars().count() > limit {
        return Err(TextFault::TooLong { limit });
    }
    Ok(clean)
}

/// The form in which two names are compared: without case, so that `fv-3302` and `FV-3302` are one tag.
#[must_use]
pub fn folded(text: &str) -> String {
    text.split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .to_lowercase()
        .nfc()
        .collect()
}

/// Format characters of Unicode (category Cf), separators and code points that are no characters.
#[must_use]
pub fn is_hidden(letter: char) -> bool {
    matches!(
        u32::from(letter),
        0x00AD
            | 0x034F
            | 0x0600..=0x0605
            | 0x061C
            | 0x06DD
            | 0x070F
            | 0x0890..=0x0891
            | 0x08E2
            | 0x115F..=0x1160
            | 0x17B4..=0x17B5
            | 0x180B..=0x180F
            | 0x200B..=0x200F
            | 0x2028..=0x202E
            | 0x2060..=0x206F
            | 0x3164
            | 0xE000..=0xF8FF
            | 0xFDD0..=0xFDEF
            | 0xFE00..=0xFE0F
            | 0xFEFF
            | 0xFFA0
            | 0xFFF0..=0xFFFB
            | 0xFFFE..=0xFFFF
            | 0x0001_10BD
            | 0x0001_10CD
            | 0x0001_3430..=0x0001_343F
            | 0x0001_BCA0..=0x0001_BCA3
            | 0x0001_D173..=0x0001_D17A
            | 0x000E_0000..=0x0010_FFFF
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blanks_are_put_in_order_and_letters_composed() {
        assert_eq!(
            clean_text("  Ines\u{a0}  Falk ", NAME_CHARS).unwrap(),
            "Ines Falk"
        );
        assert_eq!(clean_text("A\u{30a}sa", NAME_CHARS).unwrap(), "Åsa");
    }

    #[test]
    fn what_cannot_be_seen_is_refused() {
        assert_eq!(
            clean_text("a\u{1b}[2Jb", 60),
            Err(TextFault::Control('\u{1b}'))
        );
        assert_eq!(clean_text("a\nb", 60), Err(TextFault::Control('\n')));
        assert_eq!(
            clean_text("a\u{9b}b", 60),
            Err(TextFault::Control('\u{9b}'))
        );
        for hidden in [
            '\u{202e}',
            '\u{2066}',
            '\u{200f}',
            '\u{200b}',
            '\u{feff}',
            '\u{2028}',
            '\u{61c}',
            '\u{e0041}',
        ] {
            assert_eq!(
                clean_text(&format!("a{hidden}b"), 60),
                Err(TextFault::Hidden(hidden))
            );
        }
    }

    #[test]
    fn empty_and_long_texts_are_refused() {
        assert_eq!(clean_text("   ", 60), Err(TextFault::Empty));
        assert_eq!(
            clean_text(&"x".repeat(61), 60),
            Err(TextFault::TooLong { limit: 60 })
        );
        assert!(clean_text(&"ö".repeat(60), 60).is_ok());
        assert_eq!(
            clean_text(&"x".repeat(1_000_000), 60),
            Err(TextFault::TooLong { limit: 60 })
        );
    }

    #[test]
    fn tags_compare_without_case() {
        assert_eq!(folded("FV-3302"), folded("fv-3302"));
        assert_ne!(folded("FV-3302"), folded("FV-3303"));
    }
}
