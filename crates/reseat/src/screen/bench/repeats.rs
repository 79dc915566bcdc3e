//! Repeats of one value on its window: a row for each way it was come to, the window, and what the readings tell.

use ratatui::layout::Rect;
use reseat_measure::Place;
use reseat_record::rebuild::view::{RepeatsView, Way};

use super::super::draw::Pen;
use super::window;
use crate::theme::Role;

/// Columns for the names of the ways.
const NAMES: u16 = 9;

/// Draws the repeats into the middle of the area; whether there was room.
pub fn draw(pen: &mut Pen, area: Rect, view: &RepeatsView) -> bool {
    let rows = rows(view);
    let high = u16::try_from(rows.len()).unwrap_or(u16::MAX);
    let beside = Rect {
        x: area.x + NAMES,
        width: area.width.saturating_sub(NAMES),
        ..area
    };
    let Some(axis) = window::axis(beside, &view.marks) else {
        return false;
    };
    if area.height < high + 2 {
        return false;
    }
    let top = (area.height - high - 2) / 2;
    let mut y = top;
    for (name, marks) in &rows {
        pen.text(area, 1, y, name, Role::Aside);
        window::marks(pen, beside, y, axis, marks);
        y += 1;
    }
    window::line(pen, beside, y, axis, &view.marks);
    pen.wrapped(area, 1, y + 1, &view.words(), Role::Text);
    true
}

/// The ways that were come, with the marks of each.
fn rows(view: &RepeatsView) -> Vec<(&'static str, Vec<(i64, Place)>)> {
    let ways = [
        (Some(Way::Rising), "rising"),
        (Some(Way::Falling), "falling"),
        (None, "read"),
    ];
    let marks = |way: Option<Way>| {
        let each = view.readings.iter().zip(&view.marks.readings);
        let alike = each.filter(|(repeat, _)| repeat.way == way);
        alike.map(|(_, mark)| *mark).collect::<Vec<_>>()
    };
    ways.into_iter()
        .map(|(way, name)| (name, marks(way)))
        .filter(|(_, marks)| !marks.is_empty())
        .collect()
}
