//! The table of energies: each source on its own line, with lock, owner, release and zero reading.

use ratatui::layout::Rect;
use reseat_record::rebuild::EnergyLine;

use super::super::draw::Pen;
use crate::theme::Role;

/// Draws the table; on a wide screen with roomier columns. The row after it.
pub fn draw(pen: &mut Pen, area: Rect, lines: &[EnergyLine]) -> u16 {
    let spare = area.width.saturating_sub(80);
    // source, isolated at, lock, owner, released, zero
    let widths: [u16; 6] =
        [19 + spare / 4, 16 + spare / 6, 7 + spare / 12, 8 + spare / 8, 12 + spare / 6, 14 + spare / 5];
    let heads = ["source", "isolated at", "lock", "owner", "released", "zero read"];
    let mut x = 3;
    for (head, width) in heads.iter().zip(widths) {
        pen.text(column(area, x, width), 0, 0, head, Role::Aside);
        x += width;
    }
    let due = lines.iter().position(|line| !line.complete);
    let mut y = 1;
    for (at, line) in lines.iter().enumerate() {
        let (mark, role) = if line.complete {
            (" ●", Role::Done)
        } else if Some(at) == due {
            (" ▸", Role::Due)
        } else {
            (" ○", Role::Text)
        };
        pen.text(area, 0, y, mark, role);
        let cells = [&line.source, &line.isolated_at, &line.lock, &line.owner, &line.released, &line.zero];
        let mut x = 3;
        for (cell, width) in cells.into_iter().zip(widths) {
            pen.text(column(area, x, width.saturating_sub(1)), 0, y, cell, role);
            x += width;
        }
        y += 1;
    }
    let complete = lines.iter().filter(|line| line.complete).count();
    let count = format!("{complete} of {} lines complete", lines.len());
    pen.text(area, 3, y, &count, if complete == lines.len() { Role::Held } else { Role::Aside });
    y + 1
}

fn column(area: Rect, x: u16, width: u16) -> Rect {
    Rect { x: area.x + x.min(area.width), width: width.min(area.width.saturating_sub(x)), ..area }
}
