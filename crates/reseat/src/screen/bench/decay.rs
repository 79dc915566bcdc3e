//! The pressure of a hold over its time: its readings, the line through them, and how far it may go.

use ratatui::layout::Rect;
use reseat_record::rebuild::view::DecayView;

use super::super::draw::{Pen, columns};
use crate::theme::Role;

/// What a picture spans: seconds from the left to the right, pressure from the bottom row to the top one.
struct Span {
    area: Rect,
    seconds: f64,
    low: f64,
    high: f64,
}

impl Span {
    /// The column and row of a moment and a pressure.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "held between nought and the size of the screen"
    )]
    fn at(&self, seconds: f64, value: f64) -> (u16, u16) {
        let (wide, high) = (
            f64::from(self.area.width - 1),
            f64::from(self.area.height - 1),
        );
        let x = (seconds / self.seconds * wide).round().clamp(0.0, wide);
        let y = ((self.high - value) / (self.high - self.low) * high).round();
        (x as u16, y.clamp(0.0, high) as u16)
    }
}

/// Draws the hold into the area; whether there was room.
pub fn draw(pen: &mut Pen, area: Rect, view: &DecayView) -> bool {
    let (Some(limit), Some(first)) = (view.limit, view.readings.first()) else {
        return false;
    };
    let labels = [
        first.value.to_string(),
        format!("limit {limit:.*}", view.places()),
    ];
    let left = labels.iter().map(|label| columns(label)).max().unwrap_or(0) + 2;
    if area.height < 6 || area.width < left + 30 {
        return false;
    }
    let words = super::super::draw::wrap(&view.words(), usize::from(area.width - 2));
    let below = u16::try_from(words.len())
        .unwrap_or(u16::MAX)
        .saturating_add(1);
    let high = area.height.saturating_sub(below).min(16);
    if high < 4 {
        return false;
    }
    let (low, top) = view
        .readings
        .iter()
        .fold((limit, limit), |(low, top), point| {
            (low.min(point.at), top.max(point.at))
        });
    let written = view.minutes * 60.0;
    let span = Span {
        area: Rect {
            x: area.x + left,
            width: area.width - left - 2,
            height: high,
            ..area
        },
        seconds: view
            .readings
            .iter()
            .map(|point| point.seconds)
            .fold(written, f64::max),
        low,
        high: top,
    };
    lines(pen, &span, view, (first.at, limit, written));
    let (_, y) = span.at(0.0, first.at);
    pen.text(area, 1, y, &labels[0], Role::Aside);
    let (_, y_limit) = span.at(written, limit);
    if y_limit != y {
        pen.text(area, 1, y_limit, &labels[1], Role::Aside);
    }
    let end = format!("{} min", (span.seconds / 6.0).round() / 10.0);
    pen.text(area, left, high, "0", Role::Aside);
    pen.text_right(area, 1, high, &end, Role::Aside);
    pen.wrapped(area, 1, high + 1, &view.words(), Role::Text);
    true
}

/// The line of what is allowed, the line through the readings, and the readings over both.
fn lines(pen: &mut Pen, span: &Span, view: &DecayView, (start, limit, written): (f64, f64, f64)) {
    for x in 0..span.area.width {
        let seconds = span.seconds * f64::from(x) / f64::from(span.area.width - 1);
        let allowed = start + (limit - start) * seconds / written;
        let (_, y) = span.at(seconds, allowed);
        if seconds <= written {
            pen.text(span.area, x, y, "┄", Role::Rule);
        }
        if let Some(line) = view.line {
            let (_, y) = span.at(seconds, line.start + line.per_second * seconds);
            pen.text(span.area, x, y, "·", Role::Heading);
        }
    }
    for point in &view.readings {
        let beyond = if view.falls {
            point.at < limit
        } else {
            point.at > limit
        };
        let (sign, role) = match (beyond, view.falls) {
            (false, _) => ("●", Role::Within),
            (true, true) => ("▼", Role::Low),
            (true, false) => ("▲", Role::High),
        };
        let (x, y) = span.at(point.seconds, point.at);
        pen.text(span.area, x, y, sign, role);
    }
}
