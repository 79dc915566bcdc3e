//! Columns for people.

use unicode_width::UnicodeWidthStr;

use super::Stop;
use super::out::{Out, harmless};

/// Prints rows under a heading, each column as wide as its widest cell; the last is not filled up.
pub(super) fn print(out: &mut Out, heading: &[&str], rows: &[Vec<String>]) -> Result<(), Stop> {
    let rows: Vec<Vec<String>> = rows
        .iter()
        .map(|row| row.iter().map(|cell| harmless(cell)).collect())
        .collect();
    let mut widths: Vec<usize> = heading.iter().map(|name| name.width()).collect();
    for row in &rows {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = (*width).max(cell.width());
        }
    }
    let heading: Vec<String> = heading.iter().map(|name| (*name).to_owned()).collect();
    for row in std::iter::once(&heading).chain(&rows) {
        let mut line = String::new();
        for (cell, width) in row.iter().zip(&widths) {
            line.push_str(cell);
            line.push_str(&" ".repeat(width - cell.width() + 2));
        }
        out.drawn(line.trim_end())?;
    }
    Ok(())
}
