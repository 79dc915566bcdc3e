//! The table of energies: each source on its own line, with lock, owner, release and zero reading.

use ratatui::layout::Rect;

use super::super::draw::{Pen, wrap};
use super::super::sight::WorkSight;
use super::lists::more;
use crate::theme::Role;

/// Columns from which on the table is roomy.
const ROOMY: u16 = 80;

/// Draws the table; a cell that does not fit its column goes on in the row below, and how the energy is made harmless stands
/// under its line. Marked is the line asked about, else the first that is open. Below: the rule followed, and who is still on the
/// lock box. The row after it.
pub fn draw(pen: &mut Pen, area: Rect, sight: &WorkSight, scroll: usize) -> u16 {
    let (lines, lockout) = (&sight.energy, &sight.lockout);
    let spare = area.width.saturating_sub(ROOMY);
    // source, isolated at, lock, owner, released, zero
    let widths: [u16; 6] = [
        17 + spare / 4,
        21 + spare / 4,
        9 + spare / 12,
        6 + spare / 10,
        9 + spare / 8,
        15 + spare / 6,
    ];
    let heads = [
        "source",
        "isolated at",
        "lock",
        "owner",
        "released",
        "zero read",
    ];
    let mut edges = [3; 6];
    for place in 1..6 {
        edges[place] = edges[place - 1] + widths[place - 1];
    }
    for (edge, head) in edges.into_iter().zip(heads) {
        pen.text(area, edge, 0, head, Role::Aside);
    }
    let open = || lines.iter().position(|line| !line.complete);
    let due = sight.energy_asked.or_else(open);
    let mut rows: Vec<(String, [String; 6], Role)> = Vec::new();
    let mut due_row = 0;
    for (at, line) in lines.iter().enumerate() {
        let (mark, role) = if Some(at) == due {
            (" ▸", Role::Due)
        } else if line.complete {
            (" ●", Role::Done)
        } else {
            (" ○", Role::Text)
        };
        let cells = [
            &line.source,
            &line.isolated_at,
            &line.lock,
            &line.owner,
            &line.released,
            &line.zero,
        ];
        let wrapped: Vec<Vec<String>> = cells
            .iter()
            .zip(widths)
            .map(|(cell, width)| wrap(cell, usize::from(width.saturating_sub(1))))
            .collect();
        if Some(at) == due {
            due_row = rows.len();
        }
        let height = wrapped.iter().map(Vec::len).max().unwrap_or(1);
        for row in 0..height {
            let cells = std::array::from_fn(|at| wrapped[at].get(row).cloned().unwrap_or_default());
            rows.push((if row == 0 { mark } else { "" }.to_owned(), cells, role));
        }
        for told in wrap(&line.method, usize::from(area.width.saturating_sub(6))) {
            let cells = std::array::from_fn(|at| {
                if at == 0 {
                    format!("  {told}")
                } else {
                    String::new()
                }
            });
            rows.push((String::new(), cells, Role::Aside));
        }
    }
    let foot: Vec<String> = lockout
        .iter()
        .flat_map(|line| wrap(line, usize::from(area.width.saturating_sub(4))))
        .collect();
    let complete = lines.iter().filter(|line| line.complete).count();
    let room = usize::from(area.height.saturating_sub(2))
        .saturating_sub(foot.len())
        .max(1);
    // The line due is in sight; the page keys go on from there.
    let from = (due_row + scroll).min(rows.len().saturating_sub(room));
    let mut y = 1;
    for (mark, cells, role) in rows.iter().skip(from).take(room) {
        pen.text(area, 0, y, mark, *role);
        for (edge, cell) in edges.into_iter().zip(cells) {
            pen.text(area, edge, y, cell, *role);
        }
        y += 1;
    }
    let count = format!("{complete} of {} lines complete", lines.len());
    let role = if complete == lines.len() {
        Role::Held
    } else {
        Role::Aside
    };
    pen.text(area, 3, y, &count, role);
    for (row, told) in (1..).zip(&foot) {
        if y + row < area.height {
            pen.text(area, 3, y + row, told, Role::Aside);
        }
    }
    let below = u16::try_from(foot.len()).unwrap_or_default();
    more(
        pen,
        Rect {
            height: y + 1,
            ..area
        },
        rows.len(),
        from,
        room,
    );
    y + 1 + below
}
