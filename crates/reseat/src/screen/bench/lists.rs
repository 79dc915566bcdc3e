//! Lists on the bench: the section's steps, the parts, what is open, the test's readings.

use ratatui::layout::Rect;
use reseat_record::rebuild::{OpenItem, PartLine, StepLine};

use super::super::draw::{Pen, columns, wrap};
use crate::theme::Role;

/// The section's steps, the due one always in sight.
pub fn steps(pen: &mut Pen, area: Rect, lines: &[StepLine], scroll: usize) {
    let room = usize::from(area.height);
    let due = lines.iter().position(|line| line.due).unwrap_or(0);
    let from = (due.saturating_sub(room / 3) + scroll).min(lines.len().saturating_sub(room));
    for (y, line) in (0u16..).zip(lines.iter().skip(from).take(room)) {
        let role = if line.due {
            Role::Due
        } else if line.stands.starts_with("done") {
            Role::Done
        } else if line.stands.chars().any(char::is_uppercase) {
            Role::Watch
        } else {
            Role::Text
        };
        let number = if line.number == 0 { "  +".to_owned() } else { format!("{:>3}", line.number) };
        pen.text(area, 1, y, if line.due { "▸" } else { " " }, role);
        pen.text(area, 2, y, &number, role);
        let stands = if line.due { "due" } else { line.stands.as_str() };
        let text = Rect { width: area.width.saturating_sub(columns(stands) + 2), ..area };
        pen.text(text, 6, y, &line.text, role);
        pen.text_right(area, 1, y, stands, role);
    }
}

/// The parts ledger.
pub fn parts(pen: &mut Pen, area: Rect, lines: &[PartLine], scroll: usize) {
    let wide = area.width.saturating_sub(46);
    for (x, head) in [(1, "part"), (wide, "needed"), (wide + 8, "off"), (wide + 13, "on"), (wide + 18, "disposition")] {
        pen.text(area, x, 0, head, Role::Aside);
    }
    let room = usize::from(area.height.saturating_sub(1));
    let from = scroll.min(lines.len().saturating_sub(room));
    for (y, line) in (1u16..).zip(lines.iter().skip(from).take(room)) {
        let role = if line.on >= line.required { Role::Done } else { Role::Text };
        pen.text(Rect { width: wide.saturating_sub(1), ..area }, 1, y, &line.part, role);
        for (x, count) in [(wide, line.required), (wide + 8, line.off), (wide + 13, line.on)] {
            pen.text(area, x, y, &format!("{count:>3}"), role);
        }
        pen.text(area, wide + 18, y, &line.disposition, role);
    }
    more(pen, area, lines.len(), from, room);
}

/// What is open and keeps the record from being signed, with what to do.
pub fn open(pen: &mut Pen, area: Rect, items: &[OpenItem], scroll: usize) {
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
            let head = if part == 0 { number.clone() } else { "   ".to_owned() };
            rows.push((1, format!("{head}{line}"), Role::Heading));
        }
        rows.extend(wrap(&item.remedy, room).into_iter().map(|line| (4, line, Role::Text)));
    }
    let height = usize::from(area.height);
    let from = scroll.min(rows.len().saturating_sub(height));
    for (y, (x, line, role)) in (0u16..).zip(rows.iter().skip(from).take(height)) {
        pen.text(area, *x, y, line, *role);
    }
    more(pen, area, rows.len(), from, height);
}

/// Lines as they are, the newest in sight.
pub fn lines(pen: &mut Pen, area: Rect, lines: &[String], scroll: usize) {
    let room = usize::from(area.height);
    let from = lines.len().saturating_sub(room + scroll);
    for (y, line) in (0u16..).zip(lines.iter().skip(from).take(room)) {
        pen.text(area, 1, y, line, Role::Text);
    }
}

/// A mark at the lower right where the list goes on.
fn more(pen: &mut Pen, area: Rect, count: usize, from: usize, room: usize) {
    if from + room < count {
        let note = format!(" {} more, PgDn ", count - from - room);
        pen.text_right(area, 0, area.height.saturating_sub(1), &note, Role::Key);
    }
}
