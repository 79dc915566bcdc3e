//! The bolt circle: an own shape, drawn without gaps at any size, with each fastener where it sits on the steel.
//!
//! Numbers run clockwise from the top, as painted on the steel seen from above. Every mark is a sign of its own; colour
//! only repeats it.

use std::f64::consts::TAU;

use ratatui::layout::Rect;
use ratatui::style::Color;
use ratatui::symbols::Marker;
use ratatui::widgets::Widget;
use ratatui::widgets::canvas::{Canvas, Painter, Shape};
use reseat_record::rebuild::view::{JointView, Mark};

use super::super::draw::Pen;
use crate::theme::Role;

/// A ring whose points lie close enough for the grid it is painted on.
struct Ring {
    radius: f64,
    color: Color,
    /// Dots of the grid along the longer side.
    dots: u16,
}

impl Shape for Ring {
    fn draw(&self, painter: &mut Painter) {
        // Two points a dot of circumference leave no gap.
        let points = u32::from(self.dots) * 7;
        for point in 0..points {
            let angle = TAU * f64::from(point) / f64::from(points.max(1));
            if let Some((x, y)) =
                painter.get_point(self.radius * angle.sin(), self.radius * angle.cos())
            {
                painter.paint(x, y, self.color);
            }
        }
    }
}

/// The sign of a mark and its role.
pub const fn sign(mark: Mark) -> (&'static str, Role) {
    match mark {
        Mark::Open => ("○", Role::Aside),
        Mark::Done => ("●", Role::Done),
        Mark::Next => ("◆", Role::Due),
        Mark::Low => ("▼", Role::Low),
        Mark::High => ("▲", Role::High),
    }
}

/// Draws the circle of a joint into `area`, as round as the cells allow.
pub fn draw(pen: &mut Pen, area: Rect, joint: &JointView) {
    if area.height < 5 || area.width < 15 || joint.fasteners == 0 {
        return list(pen, area, joint);
    }
    // A cell is about twice as high as wide; the numbers stand outside the ring.
    let rows = f64::from(area.height - 1) / 2.0;
    let radius = rows.min(f64::from(area.width.saturating_sub(8)) / 4.0);
    let ring = pen.style(Role::Rule);
    let (half_width, half_height) = (f64::from(area.width) / 2.0, f64::from(area.height));
    let canvas = Canvas::default()
        .marker(Marker::Braille)
        .background_color(ring.bg.unwrap_or(Color::Reset))
        .x_bounds([-half_width, half_width])
        .y_bounds([-half_height, half_height])
        .paint(|context| {
            context.draw(&Ring {
                radius: 2.0 * radius * 0.86,
                color: ring.fg.unwrap_or(Color::Reset),
                dots: (area.width * 2).max(area.height * 4),
            });
        });
    canvas.render(area, pen.buffer);
    for place in 0..joint.fasteners {
        let angle = TAU * f64::from(place) / f64::from(joint.fasteners);
        let x = half_width + 2.0 * radius * 0.86 * angle.sin();
        let y = rows - radius * 0.86 * angle.cos();
        let mark = joint
            .marks
            .get(place as usize)
            .copied()
            .unwrap_or(Mark::Open);
        mark_at(pen, area, (x, y), place + 1, mark);
    }
}

fn mark_at(pen: &mut Pen, area: Rect, (x, y): (f64, f64), number: u32, mark: Mark) {
    let (sign, role) = sign(mark);
    let label = if x < f64::from(area.width) / 2.0 - 1.0 {
        format!("{number} {sign}")
    } else {
        format!("{sign} {number}")
    };
    let width = super::super::draw::columns(&label);
    let centre = cell(x, area.width);
    let left = if label.ends_with(sign) {
        (centre + 1).saturating_sub(width)
    } else {
        centre
    };
    pen.text(
        area,
        left.min(area.width.saturating_sub(width)),
        cell(y, area.height),
        &label,
        role,
    );
}

/// The cell a coordinate falls into.
fn cell(at: f64, size: u16) -> u16 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the size of an area"
    )]
    let cell = at.round().clamp(0.0, f64::from(size.saturating_sub(1))) as u16;
    cell
}

/// Where there is no room for a picture: the marks in a row.
fn list(pen: &mut Pen, area: Rect, joint: &JointView) {
    let (mut x, mut y) = (1, 0);
    for (place, mark) in joint.marks.iter().enumerate() {
        let (sign, role) = sign(*mark);
        if x + 5 > area.width {
            (x, y) = (1, y + 1);
        }
        x = pen.text(area, x, y, &format!("{sign} {}", place + 1), role) + 2;
    }
}

#[cfg(test)]
mod tests {
    use ratatui::buffer::Buffer;

    use super::*;
    use crate::theme::Scheme;

    /// Every row and column between the ends of the ring holds a dot of it.
    #[test]
    fn the_ring_has_no_gaps_at_any_size() {
        for (width, height) in [(24, 10), (80, 40), (160, 50), (300, 120)] {
            let area = Rect::new(0, 0, width, height);
            let mut buffer = Buffer::empty(area);
            let joint = JointView {
                title: String::new(),
                wrench: String::new(),
                condition: String::new(),
                fasteners_named: "nuts".into(),
                fasteners: 8,
                order: vec![1, 5, 3, 7, 2, 6, 4, 8],
                pass: 1,
                passes: 3,
                target: String::new(),
                prevailing: String::new(),
                load: String::new(),
                next: Some(1),
                marks: vec![Mark::Open; 8],
                lines: Vec::new(),
                values: Vec::new(),
                gauge: None,
            };
            draw(
                &mut Pen {
                    lists: Vec::new(),
                    buffer: &mut buffer,
                    scheme: Scheme::Dim,
                },
                area,
                &joint,
            );
            let drawn = |x: u16, y: u16| buffer[(x, y)].symbol() != " ";
            let rows: Vec<u16> = (0..height)
                .filter(|y| (0..width).any(|x| drawn(x, *y)))
                .collect();
            assert_eq!(
                rows.len(),
                usize::from(rows[rows.len() - 1] - rows[0]) + 1,
                "{width}x{height}"
            );
            for number in 1..=8 {
                let text: String = buffer
                    .content
                    .iter()
                    .map(ratatui::buffer::Cell::symbol)
                    .collect();
                assert!(
                    text.contains(&format!("○ {number}")) || text.contains(&format!("{number} ○")),
                    "{number}"
                );
            }
        }
    }
}
