//! What a typed line is: an answer, or one of the words that may be said at any time.

use super::talk::Refused;

/// A word that may be said at any time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Word {
    /// The word, first on its line.
    pub word: &'static str,
    /// What follows it, as help shows it; empty where the word stands alone on its line.
    pub then: &'static str,
    /// What it does.
    pub does: &'static str,
}

const fn word(word: &'static str, then: &'static str, does: &'static str) -> Word {
    Word { word, then, does }
}

/// All of them, in the order help lists them.
pub const WORDS: &[Word] = &[
    word(
        "pause",
        "",
        "pause the work; it is taken up again by a signature, at the unit",
    ),
    word(
        "hand-over",
        "WORDS to PERSON, or WORDS | STATE",
        "hand the work over, or leave it to nobody in a state the site allows; the outgoing person signs",
    ),
    word(
        "stop",
        "KIND",
        "STOP: leak, lock moved, item dropped, called away, person hurt",
    ),
    word(
        "safer",
        "[STEP] WORDS",
        "an act that made the unit safer: a written one by its step id, or words",
    ),
    word(
        "wrong",
        "REASON [seen by PERSON]",
        "strike the last reading; a LOW or HIGH needs the second person who saw it, and he signs",
    ),
    word("finding", "WORDS", "something is not as it must be"),
    word("not-applicable", "REASON", "the step due does not apply"),
    word("dropped", "WHAT", "something was dropped or is lost"),
    word(
        "take",
        "INSTRUMENT",
        "take another instrument for what is asked now, or another wrench at the joint",
    ),
    word(
        "adapter",
        "LEVER, LENGTH[, ANGLE], or off",
        "an adapter is on the wrench of the joint, or comes off: adapter 400 mm, 100 mm, 0 deg",
    ),
    word(
        "fell",
        "INSTRUMENT",
        "an instrument fell or was struck: it is quarantined at once",
    ),
    word("waiting", "PART", "a part is missing: WAITING FOR PART"),
    word("reopen", "JOINT REASON", "open a tightened joint again"),
    word("break-off", "REASON", "break the test off: vent, then zero"),
    word(
        "deviation",
        "TEXT | REASON by PERSON",
        "add a step before the one due; that person signs",
    ),
    word(
        "own-lock",
        "PERSON | NUMBER, or off",
        "a worker's own lock goes on the box before he acts at the unit, or comes off by himself, with his PIN",
    ),
    word(
        "lock-off",
        "POINT or NUMBER [| HOW NOT ON SITE | TRIED | TOLD]",
        "a lock came off; with the three facts where its owner is absent; own is your own lock, own: and a person another's",
    ),
    word(
        "close-incomplete",
        "REASON",
        "end the work unfinished; signed, and nothing more can be added",
    ),
    word(
        "clock",
        "agree, or DATE TIME",
        "agree with the clock, or give local date and time as 2026-03-12 13:55",
    ),
    word(
        "late",
        "TIME, DATE TIME or off",
        "what follows was done then, as late 14:10 or late 2026-03-12 14:10; late off ends it",
    ),
    word(
        "row",
        "all, or VALUES",
        "a whole pass at once, in the joint's order: row all, or row 121 122 123",
    ),
    word(
        "run on",
        "DURATION",
        "demo home only: let the clock run on, such as 4 h or 20 min",
    ),
    word("record", "", "read the record so far"),
    word("open", "", "what is still open"),
    word("energy", "", "energies, locks and zero readings"),
    word("joint", "", "the joint under way"),
    word("steps", "", "the steps of this section"),
    word("parts", "", "the parts and what became of them"),
    word("again", "", "say the question again"),
    word("help", "", "this list"),
    word("leave", "", "end the program; what was written stands"),
];

/// Whether this is a word of the program and not the number on a lock.
pub(super) fn is_word(text: &str) -> bool {
    text == "done" || WORDS.iter().any(|known| known.word == text)
}

/// The refusal of a word of the program where the number on a lock is wanted.
pub(super) fn no_lock_number(word: &str) -> Refused {
    Refused::new(
        "no-lock-number",
        format!("\"{word}\" is a word of this program, not the number on a lock."),
        "Read the number on the lock and say it once the lock is on.",
    )
}

/// What a line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Said<'a> {
    /// Nothing but a remark of the script's author.
    Remark,
    /// An answer.
    Answer(&'a str),
    /// One of the words, with what follows it.
    Order(&'static str, &'a str),
}

/// Reads a line.
///
/// A word that takes nothing counts only where it stands alone, so that a text may begin with it.
pub(super) fn read(line: &str) -> Said<'_> {
    let line = line.trim();
    if line.starts_with('#') {
        return Said::Remark;
    }
    if let Some(answer) = line.strip_prefix('=') {
        return Said::Answer(answer.trim());
    }
    for known in WORDS {
        let Some(rest) = line.strip_prefix(known.word) else {
            continue;
        };
        let ends = rest.is_empty() || rest.starts_with(char::is_whitespace);
        if ends && (!known.then.is_empty() || rest.is_empty()) {
            return Said::Order(known.word, rest.trim());
        }
    }
    Said::Answer(line)
}

/// Minutes named by `4 h`, `20 min` or `1 h 30 min`.
pub(super) fn minutes(text: &str) -> Option<u32> {
    let mut total: u32 = 0;
    let mut digits = String::new();
    let mut unit = String::new();
    let mut add = |digits: &mut String, unit: &mut String| {
        let count: u32 = digits.parse().ok()?;
        let each = match unit.as_str() {
            "h" => 60,
            "min" => 1,
            _ => return None,
        };
        total = total.checked_add(count.checked_mul(each)?)?;
        digits.clear();
        unit.clear();
        Some(())
    };
    for letter in text.chars().filter(|letter| !letter.is_whitespace()) {
        if letter.is_ascii_digit() {
            if !unit.is_empty() {
                add(&mut digits, &mut unit)?;
            }
            digits.push(letter);
        } else {
            unit.push(letter);
        }
    }
    add(&mut digits, &mut unit)?;
    (total > 0).then_some(total)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_first_on_its_line_is_an_order_and_all_else_an_answer() {
        assert_eq!(read(" pause "), Said::Order("pause", ""));
        assert_eq!(read("stop lock moved"), Said::Order("stop", "lock moved"));
        assert_eq!(read("stop"), Said::Order("stop", ""));
        assert_eq!(read("run on 4 h"), Said::Order("run on", "4 h"));
        assert_eq!(read("121"), Said::Answer("121"));
        assert_eq!(read("stopped by hand"), Said::Answer("stopped by hand"));
        assert_eq!(read(""), Said::Answer(""));
    }

    #[test]
    fn a_text_may_begin_like_an_order() {
        assert_eq!(read("open, three turns"), Said::Answer("open, three turns"));
        assert_eq!(
            read("= stop was found bent"),
            Said::Answer("stop was found bent")
        );
        assert_eq!(read("=open"), Said::Answer("open"));
        assert_eq!(read("# stop"), Said::Remark);
    }

    #[test]
    fn durations_have_units_and_are_whole_minutes() {
        for (text, expected) in [
            ("4 h", Some(240)),
            ("20 min", Some(20)),
            ("1h30min", Some(90)),
            ("0 h", None),
            ("4", None),
            ("h", None),
            ("4 d", None),
            ("1.5 h", None),
            ("", None),
            ("99999999 h", None),
        ] {
            assert_eq!(minutes(text), expected, "{text}");
        }
    }

    #[test]
    fn no_word_hides_another() {
        for (at, one) in WORDS.iter().enumerate() {
            for other in &WORDS[at + 1..] {
                assert!(one.word != other.word);
                assert!(!other.word.starts_with(&format!("{} ", one.word)));
            }
        }
    }
}
