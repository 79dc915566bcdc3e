//! A drawn screen as an SVG picture with its colours, for the README and the guide.

use std::fmt::Write as _;

use ratatui::buffer::{Buffer, Cell};
use ratatui::style::{Color, Modifier};

use crate::theme::rgb;

/// Width of a cell in units of the picture.
const CELL_WIDTH: f64 = 8.4;
/// Height of a cell.
const CELL_HEIGHT: f64 = 17.0;
/// Where the letters stand in a cell, from its top.
const BASELINE: f64 = 13.0;
/// Margin round the screen.
const MARGIN: f64 = 8.0;
/// Letters and ground where a cell has the terminal's own colours.
const OWN: Colours = ((220, 220, 220), (24, 24, 24));

/// The picture of a screen; `title` is read out where the picture cannot be seen.
pub fn picture(screen: &Buffer, title: &str) -> String {
    let area = screen.area;
    let width = f64::from(area.width) * CELL_WIDTH + 2.0 * MARGIN;
    let height = f64::from(area.height) * CELL_HEIGHT + 2.0 * MARGIN;
    let ground = hex(colours(&screen[(area.x, area.y)]).1);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.0}\" height=\"{height:.0}\" \
         viewBox=\"0 0 {width:.1} {height:.1}\" role=\"img\" font-family=\"DejaVu Sans Mono, Menlo, Consolas, monospace\" \
         font-size=\"14\">\n<title>{}</title>\n<rect width=\"100%\" height=\"100%\" rx=\"6\" fill=\"{ground}\"/>\n",
        escaped(title)
    );
    for y in area.top()..area.bottom() {
        for (x, cells) in runs(screen, y) {
            draw_run(&mut out, x - area.x, y - area.y, &cells, &ground);
        }
    }
    out.push_str("</svg>\n");
    out
}

/// Stretches of one look in a row: column and cells.
fn runs(screen: &Buffer, y: u16) -> Vec<(u16, Vec<&Cell>)> {
    let mut runs: Vec<(u16, Vec<&Cell>)> = Vec::new();
    for x in screen.area.left()..screen.area.right() {
        let cell = &screen[(x, y)];
        match runs.last_mut() {
            Some((_, cells)) if look(cells[0]) == look(cell) => cells.push(cell),
            _ => runs.push((x, vec![cell])),
        }
    }
    runs
}

/// Letters and ground, red, green and blue each.
type Colours = ((u8, u8, u8), (u8, u8, u8));

fn look(cell: &Cell) -> (Colours, bool, bool) {
    let (front, back) = colours(cell);
    (
        (front, back),
        cell.modifier.contains(Modifier::BOLD),
        cell.modifier.contains(Modifier::UNDERLINED),
    )
}

fn draw_run(out: &mut String, x: u16, y: u16, cells: &[&Cell], ground: &str) {
    let ((front, back), bold, underlined) = look(cells[0]);
    let left = MARGIN + f64::from(x) * CELL_WIDTH;
    let top = MARGIN + f64::from(y) * CELL_HEIGHT;
    let columns = u32::try_from(cells.len()).unwrap_or(u32::MAX);
    let width = f64::from(columns) * CELL_WIDTH;
    if hex(back) != ground {
        let _ = writeln!(
            out,
            "<rect x=\"{left:.1}\" y=\"{top:.1}\" width=\"{width:.1}\" height=\"{CELL_HEIGHT:.1}\" fill=\"{}\"/>",
            hex(back)
        );
    }
    let text: String = cells.iter().map(|cell| cell.symbol()).collect();
    let shown = text.trim();
    if shown.is_empty() {
        return;
    }
    let blanks = text.chars().take_while(|letter| *letter == ' ').count();
    let blanks = f64::from(u32::try_from(blanks).unwrap_or(0));
    let letters = f64::from(u32::try_from(shown.chars().count()).unwrap_or(0));
    let _ = writeln!(
        out,
        "<text x=\"{:.1}\" y=\"{:.1}\" textLength=\"{:.1}\" lengthAdjust=\"spacingAndGlyphs\" xml:space=\"preserve\" \
         fill=\"{}\"{}{}>{}</text>",
        left + blanks * CELL_WIDTH,
        top + BASELINE,
        letters * CELL_WIDTH,
        hex(front),
        if bold { " font-weight=\"bold\"" } else { "" },
        if underlined {
            " text-decoration=\"underline\""
        } else {
            ""
        },
        escaped(shown)
    );
}

/// Letters and ground of a cell, reversal worked in.
fn colours(cell: &Cell) -> Colours {
    let of = |colour: Color, own| match colour {
        Color::Indexed(index) if index >= 16 => rgb(index),
        Color::Rgb(red, green, blue) => (red, green, blue),
        _ => own,
    };
    let (front, back) = (of(cell.fg, OWN.0), of(cell.bg, OWN.1));
    if cell.modifier.contains(Modifier::REVERSED) {
        (back, front)
    } else {
        (front, back)
    }
}

fn hex((red, green, blue): (u8, u8, u8)) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use ratatui::layout::Rect;
    use ratatui::style::Style;

    use super::*;

    #[test]
    fn colours_words_and_marks_stand_in_the_picture() {
        let mut screen = Buffer::empty(Rect::new(0, 0, 20, 2));
        screen.set_string(
            1,
            0,
            "HIGH <39>",
            Style::new().fg(Color::Indexed(231)).bg(Color::Indexed(124)),
        );
        screen.set_string(0, 1, "plain", Style::new().add_modifier(Modifier::REVERSED));
        let picture = picture(&screen, "A & B");
        assert!(picture.contains("<title>A &amp; B</title>"));
        assert!(picture.contains("fill=\"#af0000\"") && picture.contains("fill=\"#ffffff\""));
        assert!(picture.contains("HIGH &lt;39&gt;"));
        assert!(picture.contains("fill=\"#181818\">plain<"));
    }
}
