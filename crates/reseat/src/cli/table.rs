//! Columns for people.

use unicode_width::UnicodeWidthStr;

use super::Stop;
use super::out::{Out, harmless};

/// Prints rows under a heading, each column as wide as its widest cell; the last is not filled up.
pub(super) fn print(out: &mut Out, heading: &[&str], rows: &[Vec<String>]) -> Result<(), Stop> {
    lines(heading, rows)
        .iter()
        .try_for_each(|line| out.drawn(line))
}

/// The same on standard error, for whoever has to see it although standard output is taken by something else.
pub(super) fn aside(out: &mut Out, heading: &[&str], rows: &[Vec<String>]) {
    for line in lines(heading, rows) {
        out.aside(&line);
    }
}

fn lines(heading: &[&str], rows: &[Vec<String>]) -> Vec<String> {
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
    let drawn = |row: &Vec<String>| {
        let mut line = String::new();
        for (cell, width) in row.iter().zip(&widths) {
            line.push_str(cell);
            line.push_str(&" ".repeat(width - cell.width() + 2));
        }
        line.trim_end().to_owned()
    };
    std::iter::once(&heading).chain(&rows).map(drawn).collect()
}
