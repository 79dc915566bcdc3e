//! Style of a warning: it warns and does not act, and its signal word is the one for what can happen.

use crate::codes;
use crate::finding::Finding;
use crate::model::{SignalWord, Warning};

use super::lists::{DAMAGE, DEATH, HAZARD, NOUNS_TOO, PERSON, PERSON_PHRASES, POSTURES, VERBS};
use super::{bare_number, holds_signal_word, say, vague, words};

/// Findings about one warning; `pointer` leads to it.
pub(super) fn warning(warning: &Warning, pointer: &str, findings: &mut Vec<Finding>) {
    let text = format!("{pointer}/text");
    vague(&warning.text, &text, findings);
    acts(&warning.text, &text, findings);
    bare_number(&warning.text, &text, findings);
    if holds_signal_word(&warning.text) {
        say(
            findings,
            codes::SIGNAL_WORD_IN_ACT,
            &text,
            "A second signal word stands inside the warning.".to_owned(),
            "Choose the one word of the warning by what can happen; its text says it plainly.",
        );
    }
    signal_word(warning, &format!("{pointer}/word"), findings);
}

/// The word against what the text says can happen (ANSI Z535.4-2007, 4.14): DANGER and WARNING for death or serious injury,
/// CAUTION for lesser injury, NOTICE where nobody is hurt.
fn signal_word(warning: &Warning, pointer: &str, findings: &mut Vec<Finding>) {
    let words = words(&warning.text);
    let padded = format!(" {} ", words.join(" "));
    let first = |list: &[&'static str]| -> Option<&'static str> {
        list.iter()
            .find(|word| words.iter().any(|said| said == *word))
            .copied()
    };
    let death = first(DEATH);
    let person = first(PERSON).or_else(|| {
        let phrase = |phrase: &&&str| padded.contains(&format!(" {phrase} "));
        PERSON_PHRASES.iter().find(phrase).copied()
    });
    let word = warning.word.word();
    let weak = match warning.word {
        SignalWord::Danger | SignalWord::Warning => None,
        SignalWord::Caution => death,
        SignalWord::Notice => death.or(person),
    };
    if let Some(said) = weak {
        let message = if warning.word == SignalWord::Notice {
            format!("{word} is for things alone; \u{201c}{said}\u{201d} speaks of people.")
        } else {
            format!("{word} is for lesser injury; \u{201c}{said}\u{201d} is more.")
        };
        say(
            findings,
            codes::SIGNAL_WORD_WEAK,
            pointer,
            message,
            "Write DANGER where it will kill or maim, WARNING where it could, CAUTION where it could hurt less.",
        );
    }
    if warning.word != SignalWord::Notice
        && death.or(person).or_else(|| first(HAZARD)).is_none()
        && let Some(said) = first(DAMAGE)
    {
        let message = format!(
            "{word} is for people; \u{201c}{said}\u{201d} and the rest of the warning speak of things alone."
        );
        say(
            findings,
            codes::SIGNAL_WORD_STRONG,
            pointer,
            message,
            "Write NOTICE, or say what hurts whom.",
        );
    }
}

/// A sentence of a warning that begins like an act is a step nobody ticks.
fn acts(text: &str, pointer: &str, findings: &mut Vec<Finding>) {
    for sentence in text.split(". ") {
        let first = words(sentence).into_iter().next().unwrap_or_default();
        if VERBS.contains(&first.as_str())
            && !POSTURES.contains(&first.as_str())
            && !NOUNS_TOO.contains(&first.as_str())
        {
            let message = format!("The warning holds an act: \u{201c}{first}\u{201d}.");
            say(
                findings,
                codes::ACT_IN_WARNING,
                pointer,
                message,
                "Give the act a step; a warning says what to avoid.",
            );
        }
    }
}
