//! The table of energies: each source on its own line, with lock, owner, release and zero reading.

use ratatui::layout::Rect;
use reseat_record::rebuild::view::EnergyLine;

use super::super::draw::{Paged, Pen, wrap};
use super::super::sight::WorkSight;
use super::lists::more;
use crate::theme::Role;

/// Columns from which on the table is roomy.
const ROOMY: u16 = 80;

/// Rows of the table that are in view before its foot is.
const LEAST_ROWS: usize = 6;

/// The columns of the table.
const HEADS: [&str; 6] = [
    "source",
    "isolated at",
    "lock",
    "owner",
    "released",
    "zero read",
];

/// A row as drawn: the mark before it, its cells, its colour.
type TableRow = (&'static str, [String; 6], Role);

/// Draws the table; a cell that does not fit its column goes on in the row below, and how the energy is made harmless stands
/// under its line. Marked is the line asked about, else the first that is open. Below: the rule followed, and who is still on the
/// lock box. The row after it.
pub fn draw(pen: &mut Pen, area: Rect, sight: &WorkSight, scroll: isize) -> u16 {
    let lines = &sight.energy;
    let widths = widths(area.width);
    let mut edges = [3; 6];
    for place in 1..6 {
        edges[place] = edges[place - 1] + widths[place - 1];
    }
    for (edge, head) in edges.into_iter().zip(HEADS) {
        pen.text(area, edge, 0, head, Role::Aside);
    }
    let open = || lines.iter().position(|line| !line.complete);
    let due = sight.energy_asked.or_else(open);
    let mut rows: Vec<TableRow> = Vec::new();
    let mut due_row = 0;
    for (at, line) in lines.iter().enumerate() {
        if Some(at) == due {
            due_row = rows.len();
        }
        rows.extend(rows_of(line, Some(at) == due, widths, area.width));
    }
    let foot = foot(area.width, sight);
    let room = usize::from(area.height.saturating_sub(1));
    // The foot stays in view where the table has room enough beside it; else it pages with the table.
    let pinned = if room >= foot.len() + LEAST_ROWS {
        foot
    } else {
        rows.extend(foot);
        Vec::new()
    };
    let list = Paged {
        // The line due is in sight; the page keys go on from there, both ways.
        home: due_row,
        rows: rows.len(),
        room: room.saturating_sub(pinned.len()),
    };
    let from = pen.paged(list, scroll);
    more(pen, area, list, from);
    let mut y = 1;
    for (mark, cells, role) in rows.iter().skip(from).take(list.room).chain(&pinned) {
        pen.text(area, 0, y, mark, *role);
        for (edge, cell) in edges.into_iter().zip(cells) {
            pen.text(area, edge, y, cell, *role);
        }
        y += 1;
    }
    y
}

/// Columns of source, isolated at, lock, owner, released and zero.
fn widths(width: u16) -> [u16; 6] {
    let spare = width.saturating_sub(ROOMY);
    [
        17 + spare / 4,
        21 + spare / 4,
        9 + spare / 12,
        6 + spare / 10,
        9 + spare / 8,
        15 + spare / 6,
    ]
}

/// The rows of one line: its cells, as many rows as its fullest takes, then how the energy is made harmless.
fn rows_of(line: &EnergyLine, due: bool, widths: [u16; 6], width: u16) -> Vec<TableRow> {
    let (mark, role) = if due {
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
    let height = wrapped.iter().map(Vec::len).max().unwrap_or(1);
    let mut rows: Vec<TableRow> = (0..height)
        .map(|row| {
            let cells = std::array::from_fn(|at| wrapped[at].get(row).cloned().unwrap_or_default());
            (if row == 0 { mark } else { "" }, cells, role)
        })
        .collect();
    for told in wrap(&line.method, usize::from(width.saturating_sub(6))) {
        let mut cells: [String; 6] = Default::default();
        cells[0] = format!("  {told}");
        rows.push(("", cells, Role::Aside));
    }
    rows
}

/// The rows under the table: how many lines are complete, then what holds of the lock box.
fn foot(width: u16, sight: &WorkSight) -> Vec<TableRow> {
    let lines = &sight.energy;
    let complete = lines.iter().filter(|line| line.complete).count();
    let role = if complete == lines.len() {
        Role::Held
    } else {
        Role::Aside
    };
    let row = |text: String, role: Role| {
        let mut cells: [String; 6] = Default::default();
        cells[0] = text;
        ("", cells, role)
    };
    let count = format!("{complete} of {} lines complete", lines.len());
    let mut rows = vec![row(count, role)];
    let wrapped = |line: &String| wrap(line, usize::from(width.saturating_sub(4)));
    let told = sight.lockout.iter().flat_map(wrapped);
    rows.extend(told.map(|line| row(line, Role::Aside)));
    rows
}
