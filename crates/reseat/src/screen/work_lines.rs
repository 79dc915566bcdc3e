//! The lines of a question: the act with its neighbours, what is told, and who or what may be chosen.

use reseat_record::rebuild::{Ask, Point, Wants};

use super::draw::{columns, wrap};
use crate::theme::Role;

/// A line of the act: mark, text, how it stands, role.
pub(super) type ActLine = (&'static str, String, String, Role);

/// The step before, the step now, the step after; or the group of plain acts with the due one first.
pub(super) fn act_lines(ask: &Ask, width: usize) -> Vec<ActLine> {
    let Some(step) = &ask.step else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    // Where something else is asked before the step goes on, its neighbours would only take room.
    let between = !matches!(
        ask.point,
        Point::Begin(_) | Point::Act(_) | Point::Asked(..) | Point::Verify(_) | Point::Hold(_)
    );
    if let Some(before) = step.before.as_ref().filter(|_| !between) {
        lines.push((
            " ",
            format!("{} {}", before.number, before.text),
            before.stands.clone(),
            Role::Done,
        ));
    }
    let place = format!("{} of {}", step.number, step.of);
    let now = wrap(
        &step.text,
        width.saturating_sub(columns(&place) as usize + 6),
    );
    for (at, text) in now.into_iter().enumerate() {
        let stands = if at == 0 {
            place.clone()
        } else {
            String::new()
        };
        lines.push((if at == 0 { "▸" } else { " " }, text, stands, Role::Due));
    }
    if ask.group.len() > 1 {
        for line in ask.group.iter().skip(1) {
            lines.push((
                " ",
                format!("{} {}", line.number, line.text),
                String::new(),
                Role::Text,
            ));
        }
    } else if let Some(after) = step.after.as_ref().filter(|_| !between) {
        lines.push((
            " ",
            format!("{} {}", after.number, after.text),
            String::new(),
            Role::Aside,
        ));
    }
    lines
}

pub(super) fn blank_lines() -> Vec<ActLine> {
    vec![(
        " ",
        "Look at the unit. Text and drawing are blank until you have answered.".to_owned(),
        String::new(),
        Role::Text,
    )]
}

/// Leaves out, where there is no room, what matters least: the steps after, then the one before, the one due last.
pub(super) fn shorten(act: &mut Vec<ActLine>, room: usize) {
    while act.len() > room {
        if act.last().is_some_and(|line| line.3 != Role::Due) {
            act.pop();
        } else if act.first().is_some_and(|line| line.3 != Role::Due) {
            act.remove(0);
        } else {
            // Half an act is none.
            act.clear();
        }
    }
}

/// What to look at or do first, above choices and ask line.
pub(super) fn detail_lines(ask: &Ask, width: usize) -> Vec<String> {
    let wrapped = |sentence: &String| wrap(sentence, width.saturating_sub(1));
    ask.detail.iter().flat_map(wrapped).collect()
}

/// Who may be named or may sign, where there are several.
fn people_asked(ask: &Ask) -> Vec<&str> {
    match &ask.wants {
        Wants::Signature { among, .. } | Wants::Person(among) if among.len() > 1 => {
            among.iter().map(|(_, name)| name.as_str()).collect()
        }
        _ => Vec::new(),
    }
}

/// People with their numbers, as many in a row as fit: their numbers are what is asked for, so they stay in view.
pub(super) fn side_by_side(ask: &Ask, width: usize) -> Option<Vec<(String, String)>> {
    let people = people_asked(ask);
    let widest = people.iter().map(|name| usize::from(columns(name))).max()?;
    let in_a_row = (width / (widest + 6)).max(1);
    let numbered: Vec<String> = (1..)
        .zip(people)
        .map(|(number, name)| format!("{number:>2} {name:<widest$}"))
        .collect();
    let row = |names: &[String]| (String::new(), names.join("   ").trim_end().to_owned());
    Some(numbered.chunks(in_a_row).map(row).collect())
}

/// What stands right above the ask line: choices or people with their numbers, or what a reading is taken on.
pub(super) fn list_lines(ask: &Ask, width: usize) -> Vec<(String, String)> {
    let mut lines: Vec<(String, String)> = Vec::new();
    let mut before = "";
    let names: Vec<&str> = match &ask.wants {
        Wants::Choice(labels) => labels.iter().map(String::as_str).collect(),
        Wants::Fastener { instead, .. } => {
            before = "0";
            instead.to_vec()
        }
        _ => people_asked(ask),
    };
    for (at, name) in names.into_iter().enumerate() {
        for (row, line) in wrap(name, width.saturating_sub(8)).into_iter().enumerate() {
            lines.push((
                if row == 0 {
                    format!("{before}{}", at + 1)
                } else {
                    " ".to_owned()
                },
                line,
            ));
        }
    }
    if let Wants::Reading {
        instrument, window, ..
    } = &ask.wants
    {
        // Nothing is told twice: the prompt may name both already.
        let mut told = Vec::new();
        if !instrument.is_empty() && !ask.prompt.contains(instrument.as_str()) {
            told.push(format!("read on {instrument}"));
        }
        if let Some(window) = window.map(|window| window.to_string())
            && !ask.prompt.contains(&window)
        {
            told.push(format!("window {window}"));
        }
        if !told.is_empty() {
            lines.push((String::new(), told.join("   ")));
        }
        let guard = ask.guard.iter().map(|guard| guard.words.clone());
        lines.extend(guard.map(|words| (String::new(), words)));
    }
    lines
}
