//! Lists on the bench: the section's steps, the parts, what is open, the test's readings.

use ratatui::layout::Rect;
use reseat_record::rebuild::view::{OpenItem, PartLine, StepLine};

use super::super::draw::{Paged, Pen, columns, wrap};
use crate::theme::Role;

/// The section's steps, the due one always in sight; a long act takes more than one row.
pub fn steps(pen: &mut Pen, area: Rect, lines: &[StepLine], scroll: isize) {
    let mut rows: Vec<(String, String, String, Role)> = Vec::new();
    let mut due = 0;
    for line in lines {
        let stands = if line.due {
            "due"
        } else {
            line.stands.as_str()
        };
        if line.due {
            due = rows.len();
        }
        let number = match line.number {
            0 => "  +".to_owned(),
            number => format!("{number:>3}"),
        };
        let mark = if line.due { "▸" } else { " " };
        let room = area.width.saturating_sub(columns(stands) + 9);
        for (at, text) in wrap(&line.text, usize::from(room)).into_iter().enumerate() {
            let first = at == 0;
            let head = if first {
                format!("{mark}{number}")
            } else {
                String::new()
            };
            let stands = if first {
                stands.to_owned()
            } else {
                String::new()
            };
            rows.push((head, text, stands, step_role(line)));
        }
    }
    let room = usize::from(area.height);
    let list = Paged {
        home: due.saturating_sub(room / 3),
        rows: rows.len(),
        room,
    };
    let from = pen.paged(list, scroll);
    for (y, (head, text, stands, role)) in (0u16..).zip(rows.iter().skip(from).take(room)) {
        pen.text(area, 1, y, head, *role);
        pen.text(area, 6, y, text, *role);
        pen.text_right(area, 1, y, stands, *role);
    }
}

fn step_role(line: &StepLine) -> Role {
    if line.due {
        Role::Due
    } else if line.stands.starts_with("done") {
        Role::Done
    } else if line.stands.chars().any(char::is_uppercase) {
        Role::Watch
    } else {
        Role::Text
    }
}

/// The parts ledger.
pub fn parts(pen: &mut Pen, area: Rect, lines: &[PartLine], scroll: isize) {
    let wide = area.width.saturating_sub(46);
    for (x, head) in [
        (1, "part"),
        (wide, "needed"),
        (wide + 8, "off"),
        (wide + 13, "on"),
        (wide + 18, "disposition"),
    ] {
        pen.text(area, x, 0, head, Role::Aside);
    }
    let room = usize::from(area.height.saturating_sub(1));
    let list = Paged {
        home: 0,
        rows: lines.len(),
        room,
    };
    let from = pen.paged(list, scroll);
    for (y, line) in (1u16..).zip(lines.iter().skip(from).take(room)) {
        let role = if line.on >= line.required {
            Role::Done
        } else {
            Role::Text
        };
        pen.text(
            Rect {
                width: wide.saturating_sub(1),
                ..area
            },
            1,
            y,
            &line.part,
            role,
        );
        for (x, count) in [
            (wide, line.required),
            (wide + 8, line.off),
            (wide + 13, line.on),
        ] {
            pen.text(area, x, y, &format!("{count:>3}"), role);
        }
        pen.text(area, wide + 18, y, &line.disposition, role);
    }
    more(pen, area, list, from);
}

/// What is open and keeps the record from being signed, with what to do.
pub fn open(pen: &mut Pen, area: Rect, items: &[OpenItem], scroll: isize) {
    if items.is_empty() {
        pen.text(area, 1, 0, "Nothing is open in this record.", Role::Text);
        pen.wrapped(area, 1, 1, "What was recorded is complete. Whether the unit may be pressurized is decided at the unit, by the person who takes it back.", Role::Text);
        return;
    }
    let mut rows: Vec<(u16, String, Role)> = Vec::new();
    let room = usize::from(area.width.saturating_sub(6));
    for (at, item) in items.iter().enumerate() {
        let number = format!("{:>2} ", at + 1);
        for (part, line) in wrap(&item.text, room).into_iter().enumerate() {
            let head = if part == 0 {
                number.clone()
            } else {
                "   ".to_owned()
            };
            rows.push((1, format!("{head}{line}"), Role::Heading));
        }
        rows.extend(
            wrap(&item.remedy, room)
                .into_iter()
                .map(|line| (4, line, Role::Text)),
        );
    }
    let height = usize::from(area.height);
    let list = Paged {
        home: 0,
        rows: rows.len(),
        room: height,
    };
    let from = pen.paged(list, scroll);
    for (y, (x, line, role)) in (0u16..).zip(rows.iter().skip(from).take(height)) {
        pen.text(area, *x, y, line, *role);
    }
    more(pen, area, list, from);
}

/// Lines in as many rows as they need, the newest in sight.
pub fn lines(pen: &mut Pen, area: Rect, lines: &[String], scroll: isize) {
    let wide = usize::from(area.width.saturating_sub(2));
    let rows: Vec<String> = lines.iter().flat_map(|line| wrap(line, wide)).collect();
    let room = usize::from(area.height);
    let list = Paged {
        home: rows.len().saturating_sub(room),
        rows: rows.len(),
        room,
    };
    let from = pen.paged(list, scroll);
    for (y, row) in (0u16..).zip(rows.iter().skip(from).take(room)) {
        pen.text(area, 1, y, row, Role::Text);
    }
}

/// Where the list goes on, downwards or upwards: a mark in the rule above `under`, where it covers nothing.
pub(in crate::screen) fn more(pen: &mut Pen, under: Rect, list: Paged, from: usize) {
    let below = list.rows.saturating_sub(from + list.room);
    let note = match (from, below) {
        (0, 0) => return,
        (_, 0) => format!(" {from} above, PgUp "),
        (0, _) => format!(" {below} more, PgDn "),
        _ => format!(" {from} above, PgUp; {below} more, PgDn "),
    };
    let rule = Rect {
        y: under.y.saturating_sub(1),
        height: 1,
        ..under
    };
    pen.text_right(rule, 1, 0, &note, Role::Key);
}
