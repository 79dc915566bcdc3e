//! A window drawn as a line, with the readings where they lie on it.

use ratatui::layout::Rect;
use reseat_measure::Place;
use reseat_record::rebuild::view::Gauge;

use super::super::draw::{Pen, columns};
use crate::theme::Role;

/// The sign of a place and its role: words first, so the line only repeats them.
pub const fn sign(place: Place) -> (&'static str, Role) {
    match place {
        Place::Within => ("●", Role::Within),
        Place::Low => ("▼", Role::Low),
        Place::High => ("▲", Role::High),
    }
}

/// Two rows: the marks, and the window with its limits. A third of the window's length is left on either side for what
/// lies outside it; what lies further out stands at the edge.
pub fn draw(pen: &mut Pen, area: Rect, gauge: &Gauge) {
    if area.height < 2 || area.width < 30 {
        return;
    }
    let (low, high) = (columns(&gauge.low), columns(&gauge.high));
    let left = low + 3;
    let right = area.width.saturating_sub(high + 3);
    if right < left + 12 {
        return;
    }
    let third = (right - left) / 5;
    let (from, to) = (left + third, right - third);
    pen.text(
        area,
        left,
        1,
        &"┄".repeat(usize::from(right - left)),
        Role::Rule,
    );
    if gauge.low.is_empty() {
        let line = "━".repeat(usize::from(to - left));
        pen.text(area, left, 1, &line, Role::Heading);
    } else {
        let line = "━".repeat(usize::from(to - from));
        pen.text(area, from, 1, &line, Role::Heading);
        pen.text(area, from, 1, "├", Role::Heading);
        let label = format!("{} ", gauge.low);
        pen.text(area, from.saturating_sub(low + 1), 1, &label, Role::Heading);
    }
    if gauge.high.is_empty() {
        pen.text(
            area,
            to,
            1,
            &"━".repeat(usize::from(right - to)),
            Role::Heading,
        );
    } else {
        pen.text(area, to, 1, "┤", Role::Heading);
        pen.text(area, to + 1, 1, &format!(" {}", gauge.high), Role::Heading);
    }
    for (per_mille, place) in &gauge.readings {
        let span = i64::from(to - from);
        let at = i64::from(from) + (per_mille * span + 500).div_euclid(1000);
        // Rounding to a column never moves a reading across a limit.
        let at = match place {
            Place::Within => at.clamp(i64::from(from), i64::from(to)),
            Place::Low => at.clamp(i64::from(left), i64::from(from) - 1),
            Place::High => at.clamp(i64::from(to) + 1, i64::from(right)),
        };
        let (sign, role) = sign(*place);
        pen.text(area, u16::try_from(at).unwrap_or(left), 0, sign, role);
    }
}
