//! The joint: its circle, the next fastener in block digits, what is in hand, the passes and the window.

use ratatui::layout::Rect;
use reseat_measure::Place;
use reseat_record::rebuild::view::{JointView, Mark};

use super::super::draw::{Pen, wrap};
use super::{circle, digits, window};
use crate::theme::Role;

/// Draws the joint into the bench. Narrow: circle left, block digits beside it, the rest to the right. Wide: the circle
/// gets the room and the passes go to the right.
pub fn draw(pen: &mut Pen, area: Rect, joint: &JointView) {
    let gauge_rows = if joint.gauge.is_some() && area.height >= 9 {
        2
    } else {
        0
    };
    let top = Rect {
        height: area.height.saturating_sub(gauge_rows),
        ..area
    };
    let notes = if area.width >= 100 { 46 } else { 38 };
    let next_width = 20;
    let circle_width = top.width.saturating_sub(notes + next_width).max(18);
    circle::draw(
        pen,
        Rect {
            width: circle_width.min(top.width),
            ..top
        },
        joint,
    );
    let next = Rect {
        x: area.x + circle_width,
        width: next_width.min(area.width.saturating_sub(circle_width)),
        ..top
    };
    draw_next(pen, next, joint);
    let beside = (circle_width + next_width).min(area.width);
    draw_notes(
        pen,
        Rect {
            x: area.x + beside,
            width: area.width - beside,
            ..top
        },
        joint,
    );
    if let Some(gauge) = joint.gauge.as_ref().filter(|_| gauge_rows > 0) {
        window::draw(
            pen,
            Rect {
                y: area.y + top.height,
                height: gauge_rows,
                ..area
            },
            gauge,
        );
    }
}

/// The number of the next fastener, as big as it gets, and the target below it.
fn draw_next(pen: &mut Pen, area: Rect, joint: &JointView) {
    let singular = joint.fasteners_named.trim_end_matches('s');
    let high = joint.marks.iter().position(|mark| *mark == Mark::High);
    let low = joint.marks.iter().position(|mark| *mark == Mark::Low);
    let number = |place: usize| u32::try_from(place + 1).unwrap_or(0);
    // A fastener that is out stands in the place of the next one: nothing goes on before it is dealt with.
    let (label, number, role) = match (high, low, joint.next) {
        (Some(place), _, _) => (format!("{singular} HIGH"), number(place), Role::High),
        (None, Some(place), _) => (format!("{singular} LOW"), number(place), Role::Low),
        (None, None, Some(next)) => (format!("next {singular}"), next, Role::Due),
        (None, None, None) => {
            pen.text(area, 1, 2, "all in", Role::Done);
            return;
        }
    };
    let top = area.height.saturating_sub(digits::HEIGHT + 2) / 2;
    pen.text(area, 1, top, &label, role);
    for (row, line) in digits::rows(&number.to_string()).iter().enumerate() {
        pen.text(
            area,
            1,
            top + 1 + u16::try_from(row).unwrap_or(0),
            line,
            role,
        );
    }
    pen.text(
        area,
        1,
        top + 1 + digits::HEIGHT,
        &joint.target,
        Role::Heading,
    );
}

/// Wrench, condition, passes and the values of the last pass.
fn draw_notes(pen: &mut Pen, area: Rect, joint: &JointView) {
    let mut y = 0;
    for (label, text) in [
        ("wrench", &joint.wrench),
        ("threads", &joint.condition),
        ("target", &joint.prevailing),
        ("load", &joint.load),
    ] {
        if !text.is_empty() {
            pen.text(area, 0, y, label, Role::Aside);
            y = pen.wrapped(area, 9, y, text, Role::Text);
        }
    }
    let in_rounds = joint.pass > joint.passes;
    let now = if in_rounds {
        "rounds at target".to_owned()
    } else {
        format!("pass {} of {}", joint.pass, joint.passes)
    };
    pen.text(area, 0, y, &now, Role::Heading);
    y += 1;
    let values = joint
        .values
        .iter()
        .filter(|(value, _)| !value.is_empty())
        .count();
    let value_rows = if values == 0 {
        0
    } else {
        joint.values.len().div_ceil(4)
    };
    let room = usize::from(area.height.saturating_sub(y)).saturating_sub(value_rows);
    let width = usize::from(area.width.saturating_sub(1));
    let lines: Vec<String> = joint
        .lines
        .iter()
        .flat_map(|line| wrap(line, width))
        .collect();
    let from = lines.len().saturating_sub(room);
    for line in &lines[from..] {
        pen.text(area, 0, y, line, Role::Text);
        y += 1;
    }
    if values > 0 {
        draw_values(pen, area, y, &joint.values);
    }
}

fn draw_values(pen: &mut Pen, area: Rect, y: u16, values: &[(String, Option<Place>)]) {
    let cell = (area.width / 4).max(8);
    for (at, (value, place)) in values.iter().enumerate() {
        // The unit stands with the target; beside every value it would only take room.
        let value = value.split(' ').next().unwrap_or_default();
        let at16 = u16::try_from(at).unwrap_or(0);
        let (x, row) = (at16 % 4 * cell, y + at16 / 4);
        let end = pen.text(area, x, row, &format!("{:>2} ", at + 1), Role::Aside);
        let (sign, role) = place.map_or((" ", Role::Text), window::sign);
        // Within shows the number alone; what is out carries its sign.
        let shown = if matches!(place, Some(Place::Within) | None) {
            value.to_owned()
        } else {
            format!("{value}{sign}")
        };
        pen.text(area, end, row, &shown, role);
    }
}
