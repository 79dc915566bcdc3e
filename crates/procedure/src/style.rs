//! Style of the written act: one act, verb first, few words, active, positive; warnings that warn and do not act.
//!
//! SOURCES: one step for each act and warnings before it, MIL-STD-2106A(SH) appendix B; condition first, positive,
//! active, a research-based writer's guide, action steps 1–5; at most 20 words, ASD-STE100 rules (excerpt); vague
//! words, 10 CFR 50 appendix B, criterion V (acceptance criteria), and common practice.

mod lists;
mod warning;

use crate::codes;
use crate::finding::Finding;
use crate::model::Procedure;
use lists::{
    CONDITIONS, FIELD_WORDS, NEGATIVE, NO_PARTICIPLES, NOUNS_TOO, PARTICIPLES, SIGNALS, VAGUE,
    VERBS,
};

/// Most words of an act.
const MOST_WORDS: usize = 20;

/// Findings about the words of every step and warning.
pub(crate) fn style(procedure: &Procedure) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (section_at, section) in procedure.sections.iter().enumerate() {
        for (step_at, step) in section.steps.iter().enumerate() {
            let pointer = format!("/sections/{section_at}/steps/{step_at}");
            act(&step.text, &format!("{pointer}/text"), &mut findings);
            for (warning_at, warning) in step.warnings.iter().enumerate() {
                let pointer = format!("{pointer}/warnings/{warning_at}");
                warning::warning(warning, &pointer, &mut findings);
            }
        }
    }
    findings
}

fn say(
    findings: &mut Vec<Finding>,
    code: &'static str,
    pointer: &str,
    message: String,
    remedy: &str,
) {
    findings.push(Finding::new(
        code,
        codes::severity(code),
        pointer,
        message,
        remedy,
    ));
}

fn act(text: &str, pointer: &str, findings: &mut Vec<Finding>) {
    let words: Vec<String> = words(text);
    if words.len() > MOST_WORDS {
        let message = format!(
            "The act has {} words; at most {MOST_WORDS} are read at a glance.",
            words.len()
        );
        say(
            findings,
            codes::LONG_TEXT,
            pointer,
            message,
            "Cut it, or split it into two steps.",
        );
    }
    let first = words.first().map_or("", String::as_str);
    let after_condition = CONDITIONS
        .contains(&first)
        .then(|| text.split_once(", "))
        .flatten()
        .map(|(_, rest)| rest);
    one_act(after_condition.unwrap_or(text), pointer, findings);
    if let Some(word) = words.iter().find(|word| NEGATIVE.contains(&word.as_str())) {
        let message = format!("The act is told by its opposite: \u{201c}{word}\u{201d}.");
        say(
            findings,
            codes::NEGATIVE,
            pointer,
            message,
            "Say what to do; what to avoid goes into a warning.",
        );
    }
    if holds_signal_word(text) {
        say(
            findings,
            codes::SIGNAL_WORD_IN_ACT,
            pointer,
            "A signal word stands inside the act.".to_owned(),
            "Write a warning of the step; it is shown above the act.",
        );
    }
    vague(text, pointer, findings);
    bare_number(text, pointer, findings);
}

/// What stands behind the condition: one order, verb first, nothing left for later.
fn one_act(acting: &str, pointer: &str, findings: &mut Vec<Finding>) {
    let verb = words(acting).into_iter().next().unwrap_or_default();
    let field = FIELD_WORDS.iter().find(|(other, _)| *other == verb);
    if let Some((other, word)) = field {
        let message =
            format!("The act begins with \u{201c}{other}\u{201d}; the field says {word}.");
        let remedy = format!("Write {word}: one word for one thing.");
        say(findings, codes::VERB_FIRST, pointer, message, &remedy);
    } else if passive(acting).is_none() && !VERBS.contains(&verb.as_str()) {
        let message = format!(
            "The act begins with \u{201c}{verb}\u{201d}, which is no verb of the field known here."
        );
        say(
            findings,
            codes::VERB_FIRST,
            pointer,
            message,
            "Begin with what to do: fit, shut, read, remove; a condition goes before it, with a comma.",
        );
    }
    if let Some(second) = second_act(acting) {
        let message = format!("The step holds a second act: \u{201c}{second}\u{201d}.");
        say(
            findings,
            codes::TWO_ACTS,
            pointer,
            message,
            "Give the second act a step of its own.",
        );
    }
    for late in [" if ", " when ", " once ", " unless "] {
        // "Once more" is no condition.
        let again = late == " once " && acting.contains(" once more");
        if acting.contains(late) && !again {
            let message = format!(
                "The condition \u{201c}{}\u{201d} stands after the act.",
                late.trim()
            );
            say(
                findings,
                codes::CONDITION_LATE,
                pointer,
                message,
                "Put the condition first: who reads the act first may do it at once.",
            );
        }
    }
    if let Some((be, participle)) = passive(acting) {
        let message = format!("\u{201c}{be} {participle}\u{201d} tells nobody to act.");
        say(
            findings,
            codes::PASSIVE,
            pointer,
            message,
            "Write the act as an order.",
        );
    }
}

/// A form of "be" and the participle behind it, one word such as "then" between them or none. The condition before an act
/// may tell a state.
fn passive(acting: &str) -> Option<(String, String)> {
    const BE: [&str; 7] = ["is", "are", "be", "been", "being", "was", "were"];
    const BETWEEN: [&str; 4] = ["again", "first", "now", "then"];
    let words = words(acting);
    let participle = |word: &String| {
        PARTICIPLES.contains(&word.as_str())
            || word.ends_with("ed") && !NO_PARTICIPLES.contains(&word.as_str())
    };
    words.iter().enumerate().find_map(|(at, be)| {
        let mut rest = words[at + 1..].iter();
        let mut next = rest.next()?;
        if BETWEEN.contains(&next.as_str()) || next.ends_with("ly") {
            next = rest.next()?;
        }
        (BE.contains(&be.as_str()) && participle(next)).then(|| (be.clone(), next.clone()))
    })
}

fn holds_signal_word(text: &str) -> bool {
    SIGNALS.iter().any(|word| text.contains(word))
}

/// A limit told by a number alone: `to 40`, `above 0.5`.
fn bare_number(text: &str, pointer: &str, findings: &mut Vec<Finding>) {
    // Not "at": a position on a clock face is told so.
    const BEFORE: [&str; 5] = ["to", "above", "below", "under", "over"];
    const AFTER: [&str; 7] = ["and", "or", "with", "on", "in", "for", "then"];
    let words: Vec<&str> = text.split_whitespace().collect();
    let figure = |at: usize| -> Option<&str> {
        let figure = words.get(at)?.trim_end_matches([',', ';', '.', ':']);
        figure.parse::<f64>().ok().map(|_| figure)
    };
    let alone = |at: usize| {
        words[at].ends_with([',', ';', '.', ':'])
            || words.get(at + 1).is_none_or(|next| AFTER.contains(next))
    };
    for at in 1..words.len() {
        let limit = BEFORE.contains(&words[at - 1].to_lowercase().as_str());
        // "to 18 and 35, then 70 bar": one unit behind the last of them.
        let shared = (at + 1..words.len()).any(|later| figure(later).is_some() && !alone(later));
        if let Some(figure) = figure(at)
            && limit
            && alone(at)
            && !shared
        {
            say(
                findings,
                codes::BARE_NUMBER,
                pointer,
                format!("\u{201c}{} {figure}\u{201d} has no unit.", words[at - 1]),
                "Write the unit behind the number, as the scale of the instrument shows it.",
            );
        }
    }
}

/// The verb that starts a second act behind a comma, a semicolon, a full stop, "and" or "then".
fn second_act(text: &str) -> Option<String> {
    let mut rest = text;
    while let Some(at) = [", ", "; ", ". ", " and ", " then "]
        .iter()
        .filter_map(|mark| rest.find(mark).map(|at| at + mark.len()))
        .min()
    {
        rest = rest.get(at..)?;
        let word = words(rest)
            .into_iter()
            .find(|word| word != "and" && word != "then")?;
        let clear_act = VERBS.contains(&word.as_str())
            && words(rest).len() > 1
            && !NOUNS_TOO.contains(&word.as_str());
        if clear_act {
            return Some(word);
        }
    }
    None
}

fn vague(text: &str, pointer: &str, findings: &mut Vec<Finding>) {
    let padded = format!(" {} ", words(text).join(" "));
    for phrase in VAGUE {
        let plain = phrase.replace('-', " ");
        if padded.contains(&format!(" {phrase} ")) || padded.contains(&format!(" {plain} ")) {
            let message = format!("\u{201c}{phrase}\u{201d} says no limit.");
            say(
                findings,
                codes::VAGUE_WORDS,
                pointer,
                message,
                "Write the figure with its unit, or what is to be seen.",
            );
        }
    }
    if words(text).iter().any(|word| word == "check") {
        say(
            findings,
            codes::VAGUE_WORDS,
            pointer,
            "\u{201c}check\u{201d} says neither what nor within what.".to_owned(),
            "Write look, read or measure, and the limit.",
        );
    }
}

fn words(text: &str) -> Vec<String> {
    text.split(|letter: char| {
        letter.is_whitespace() || matches!(letter, ',' | ';' | ':' | '(' | ')' | '?' | '!')
    })
    .map(|word| word.trim_matches('.').to_lowercase())
    .filter(|word| !word.is_empty())
    .collect()
}
