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

/// Where a window lies in its row: the whole of the row, and its limits in it.
#[derive(Clone, Copy)]
pub struct Axis {
    left: u16,
    right: u16,
    from: u16,
    to: u16,
}

/// The axis of a window in a row of an area; none where there is no room for one.
pub fn axis(area: Rect, gauge: &Gauge) -> Option<Axis> {
    if area.width < 30 {
        return None;
    }
    let left = columns(&gauge.low) + 3;
    let right = area.width.saturating_sub(columns(&gauge.high) + 3);
    if right < left + 12 {
        return None;
    }
    let fifth = (right - left) / 5;
    Some(Axis {
        left,
        right,
        from: left + fifth,
        to: right - fifth,
    })
}

/// Two rows: the marks, and the window with its limits. A third of the window's length is left on either side for what
/// lies outside it; what lies further out stands at the edge.
pub fn draw(pen: &mut Pen, area: Rect, gauge: &Gauge) {
    let Some(axis) = axis(area, gauge).filter(|_| area.height >= 2) else {
        return;
    };
    line(pen, area, 1, axis, gauge);
    marks(pen, area, 0, axis, &gauge.readings);
}

/// The row of the window with its limits.
pub fn line(pen: &mut Pen, area: Rect, y: u16, axis: Axis, gauge: &Gauge) {
    let Axis {
        left,
        right,
        from,
        to,
    } = axis;
    let low = columns(&gauge.low);
    pen.text(
        area,
        left,
        y,
        &"┄".repeat(usize::from(right - left)),
        Role::Rule,
    );
    if gauge.low.is_empty() {
        let line = "━".repeat(usize::from(to - left));
        pen.text(area, left, y, &line, Role::Heading);
    } else {
        let line = "━".repeat(usize::from(to - from));
        pen.text(area, from, y, &line, Role::Heading);
        pen.text(area, from, y, "├", Role::Heading);
        let label = format!("{} ", gauge.low);
        pen.text(area, from.saturating_sub(low + 1), y, &label, Role::Heading);
    }
    if let Some(guard) = &gauge.guard {
        bands(pen, area, y, axis, guard.accepts);
    }
    if gauge.high.is_empty() {
        pen.text(
            area,
            to,
            y,
            &"━".repeat(usize::from(right - to)),
            Role::Heading,
        );
    } else {
        pen.text(area, to, y, "┤", Role::Heading);
        pen.text(area, to + 1, y, &format!(" {}", gauge.high), Role::Heading);
    }
}

/// The guard bands: what of the window is not accepted outright. Rounding to a column never makes one narrower.
fn bands(pen: &mut Pen, area: Rect, y: u16, axis: Axis, (from, to): (Option<i64>, Option<i64>)) {
    let span = i64::from(axis.to - axis.from);
    let inside = |at: i64| u16::try_from(at.clamp(0, span)).unwrap_or(0);
    let low = from.map_or(0, |per_mille| {
        inside((per_mille * span + 999).div_euclid(1000))
    });
    let high = to.map_or(0, |per_mille| {
        inside(span - (per_mille * span).div_euclid(1000))
    });
    let first = axis.from + 1;
    let low = low.min(axis.to - first);
    let high = high.min(axis.to - first);
    pen.text(area, first, y, &"▒".repeat(usize::from(low)), Role::Low);
    pen.text(
        area,
        axis.to - high,
        y,
        &"▒".repeat(usize::from(high)),
        Role::Low,
    );
}

/// A row of readings where they lie on the window.
pub fn marks(pen: &mut Pen, area: Rect, y: u16, axis: Axis, readings: &[(i64, Place)]) {
    let Axis {
        left,
        right,
        from,
        to,
    } = axis;
    for (per_mille, place) in readings {
        let span = i64::from(to - from);
        let at = i64::from(from) + (per_mille * span + 500).div_euclid(1000);
        // Rounding to a column never moves a reading across a limit.
        let at = match place {
            Place::Within => at.clamp(i64::from(from), i64::from(to)),
            Place::Low => at.clamp(i64::from(left), i64::from(from) - 1),
            Place::High => at.clamp(i64::from(to) + 1, i64::from(right)),
        };
        let (sign, role) = sign(*place);
        pen.text(area, u16::try_from(at).unwrap_or(left), y, sign, role);
    }
}
