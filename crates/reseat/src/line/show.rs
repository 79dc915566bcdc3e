//! A question and the state around it, as plain lines.
//!
//! Only a prompt begins with `? ` and only a refusal with `! `; every other line begins with a word and a colon, or with two
//! blanks. So a script finds its questions whatever a procedure's author or a note has written.

use reseat_procedure::model::Verify;
use reseat_record::log::Stamp;
use reseat_record::rebuild::ask::StepAt;
use reseat_record::rebuild::view::Strip;
use reseat_record::rebuild::{Ask, Rebuild, Wants};
use reseat_record::register::Register;

use super::words::WORDS;

/// The question due, its prompt last.
pub(super) fn question(
    rebuild: &Rebuild,
    register: &Register,
    stamp: &Stamp,
    ask: &Ask,
) -> Vec<String> {
    let mut lines = strip(&rebuild.strip(stamp));
    for warning in &ask.warnings {
        lines.push(format!(
            "warning: {}: {}",
            warning.word.word(),
            warning.text
        ));
    }
    lines.extend(ask.notice.iter().map(|line| format!("notice: {line}")));
    if let Some(step) = &ask.step {
        lines.extend(step_lines(step, ask.blank));
    }
    lines.extend(ask.detail.iter().map(|line| format!("  {line}")));
    lines.extend(wanted(ask, register));
    let step = ask.step.as_ref().map_or("-", |step| step.id.as_str());
    lines.push(prompt(ask.kind, step, &ask.prompt));
    lines
}

/// The one line a script waits for.
pub(super) fn prompt(kind: &str, step: &str, prompt: &str) -> String {
    format!("? {kind} {step}: {prompt}")
}

/// The unit, who works on it, and its state; the same at every question.
pub(super) fn strip(strip: &Strip) -> Vec<String> {
    let demo = if strip.demo { ", DEMO" } else { "" };
    vec![
        format!(
            "unit: {} {}, serial {}{demo}",
            strip.tag, strip.name, strip.serial
        ),
        format!(
            "now: {}, {}, {}, {}",
            strip.time, strip.who, strip.procedure, strip.section
        ),
        format!("state: {}", strip.state),
    ]
}

fn step_lines(step: &StepAt, blank: bool) -> Vec<String> {
    let text = if blank {
        "look at the unit; the text is not shown before the answer."
    } else {
        step.text.as_str()
    };
    let mut lines = vec![match step.number {
        0 => format!("step: {text}"),
        number => format!("step {number} of {}: {text}", step.of),
    }];
    if !step.ppe.is_empty() {
        lines.push(format!("wear: {}", step.ppe.join(", ")));
    }
    match step.verify {
        Some(Verify::Independent) => {
            lines.push("  Verified afterwards by another person, on his own look.".to_owned());
        }
        Some(Verify::Concurrent) => {
            lines.push("  Verified by another person who watches.".to_owned());
        }
        None => {}
    }
    if let Some(role) = step.hold {
        lines.push(format!("  Hold point: {} signs after it.", role.word()));
    }
    lines
}

/// What may be answered.
fn wanted(ask: &Ask, register: &Register) -> Vec<String> {
    match &ask.wants {
        Wants::Act if ask.offered.fit.is_empty() && !ask.offered.is_empty() => {
            vec!["  Answer done once one of them may be used and the act is done.".to_owned()]
        }
        Wants::Act => vec!["  Answer done when it is done.".to_owned()],
        Wants::Choice(labels) => choices(labels.iter().map(String::as_str)),
        Wants::Signature { among, .. } | Wants::Person(among) => {
            choices(among.iter().map(|(_, name)| name.as_str()))
        }
        Wants::Reading {
            unit,
            reference,
            instrument,
            window,
        } => {
            let scale = reference.map_or_else(
                || unit.to_string(),
                |reference| format!("{unit} {reference}"),
            );
            let on = match register.instrument(instrument) {
                Some(known) => format!("on {instrument} {}, ", known.kind),
                None if instrument.is_empty() => String::new(),
                None => format!("on {instrument}, "),
            };
            let window = window
                .as_ref()
                .map_or_else(String::new, |window| format!(", window {window}"));
            let accepted = ask.guard.as_ref();
            let accepted = accepted.map_or_else(String::new, |guard| format!(", {}", guard.words));
            vec![format!("  Digits {on}in {scale}{window}{accepted}.")]
        }
        // The prompt names the end, in local time.
        Wants::Wait { over, .. } => vec![if *over {
            "  An empty line goes on.".to_owned()
        } else {
            "  Not over yet. An empty line tries to go on.".to_owned()
        }],
        Wants::Text => {
            vec!["  Words; put = before them where the first is a word of help.".to_owned()]
        }
        Wants::Fastener {
            next,
            says,
            instead,
            ..
        } => {
            let other = (1..).zip(*instead);
            let other = other.map(|(number, label)| format!("  0{number}: {label}"));
            std::iter::once(format!("  {next}: {says}"))
                .chain(other)
                .collect()
        }
        Wants::Count | Wants::Nothing => Vec::new(),
    }
}

/// Numbered offers.
pub(super) fn choices<'a>(labels: impl Iterator<Item = &'a str>) -> Vec<String> {
    (1..)
        .zip(labels)
        .map(|(number, label)| format!("  {number}: {label}"))
        .collect()
}

/// What a word that only shows something shows.
pub(super) fn view(
    word: &str,
    rebuild: &Rebuild,
    register: &Register,
    stamp: &Stamp,
) -> Vec<String> {
    let lines: Vec<String> = match word {
        "record" => rebuild
            .record_lines(register)
            .into_iter()
            .map(|line| {
                format!(
                    "entry {}: {} {} {}",
                    line.number, line.time, line.by, line.text
                )
            })
            .collect(),
        "open" => rebuild
            .open_items()
            .into_iter()
            .map(|item| format!("open: {} {}", item.text, item.remedy))
            .collect(),
        "energy" => energy(rebuild, stamp),
        "joint" => joint(rebuild, register, stamp),
        "steps" => rebuild
            .section_steps()
            .into_iter()
            .map(|step| {
                let stands = match (step.due, step.stands.as_str()) {
                    (true, _) => ", due".to_owned(),
                    (false, "") => String::new(),
                    (false, stands) => format!(", {stands}"),
                };
                match step.number {
                    0 => format!("step: {}{stands}", step.text),
                    number => format!("step {number}: {}{stands}", step.text),
                }
            })
            .collect(),
        "parts" => rebuild
            .part_lines()
            .into_iter()
            .map(|part| {
                format!(
                    "part: {}, required {}, off {}, on {}, {}",
                    part.part, part.required, part.off, part.on, part.disposition
                )
            })
            .collect(),
        _ => help(rebuild.summary().closed.is_some()),
    };
    if lines.is_empty() {
        vec![format!("{word}: nothing.")]
    } else {
        lines
    }
}

fn energy(rebuild: &Rebuild, stamp: &Stamp) -> Vec<String> {
    let said = |label: &str, text: &str| {
        if text.is_empty() {
            String::new()
        } else {
            format!("; {label}{text}")
        }
    };
    let mut lines: Vec<String> = rebuild
        .lockout_words()
        .into_iter()
        .map(|line| format!("energy: {line}"))
        .collect();
    lines.extend(rebuild.energy_lines(stamp).into_iter().map(|line| {
        format!(
            "energy: {}{}{}{}{}{}{}{}",
            line.source,
            said("", &line.method),
            said("isolated at ", &line.isolated_at),
            said("lock ", &line.lock),
            said("hung by ", &line.owner),
            said("released: ", &line.released),
            said("zero: ", &line.zero),
            if line.complete { "" } else { "; NOT COMPLETE" },
        )
    }));
    lines
}

fn joint(rebuild: &Rebuild, register: &Register, stamp: &Stamp) -> Vec<String> {
    let ask = rebuild.ask(register, stamp);
    let reseat_record::rebuild::Bench::Joint(id) = &ask.bench else {
        return Vec::new();
    };
    let Some(view) = rebuild.joint_view(id) else {
        return Vec::new();
    };
    let order: Vec<String> = view.order.iter().map(u32::to_string).collect();
    let mut lines = vec![
        format!("joint: {}, {}", view.title, view.condition),
        format!("joint: wrench {}", view.wrench),
        format!("joint: order {}", order.join(" ")),
        format!(
            "joint: pass {} of {}, {}",
            view.pass, view.passes, view.target
        ),
    ];
    if !view.prevailing.is_empty() {
        lines.push(format!("joint: target {}", view.prevailing));
    }
    if !view.load.is_empty() {
        lines.push(format!("joint: load {}", view.load));
    }
    lines.extend(view.lines.iter().map(|line| format!("joint: {line}")));
    lines
}

/// The words that may be said.
pub(super) fn help(ended: bool) -> Vec<String> {
    let kept = |word: &str| !ended || matches!(word, "record" | "again" | "help" | "leave");
    let mut lines: Vec<String> = WORDS
        .iter()
        .filter(|word| kept(word.word))
        .map(|word| {
            let form = format!("{} {}", word.word, word.then);
            format!("help: {}: {}", form.trim_end(), word.does)
        })
        .collect();
    lines.push("help: = ANSWER: an answer that begins like one of these words".to_owned());
    lines.push("help: # REMARK: a remark, passed over".to_owned());
    lines
}
