//! The pen: every screen draws through it, by role, into places that never move.
//!
//! [`clean_screen`] is the edge where untrusted text is made harmless: it runs over the finished buffer, so that no
//! screen can forget it. A control character never gets that far (ratatui drops those); a character that changes the
//! direction of writing or shows nothing is replaced by `�`, visibly.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

use super::field::Field;
use crate::theme::{self, Role, Scheme};

/// Draws into a buffer by role.
pub struct Pen<'a> {
    /// The buffer.
    pub buffer: &'a mut Buffer,
    /// Colours.
    pub scheme: Scheme,
    /// The lists drawn that are longer than their room, as the page keys have to know them.
    pub lists: Vec<Paged>,
}

/// A list in rows, of which some may be out of sight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Paged {
    /// The row shown first while no page key was pressed: what matters now is in sight.
    pub home: usize,
    /// How many rows it has.
    pub rows: usize,
    /// How many find room.
    pub room: usize,
}

impl Paged {
    /// The row shown first, so many rows down from its home.
    pub fn from(&self, scroll: isize) -> usize {
        self.home.saturating_add_signed(scroll).min(self.last())
    }

    /// The first row of its last page.
    pub fn last(&self) -> usize {
        self.rows.saturating_sub(self.room)
    }
}

impl Pen<'_> {
    /// The style of a role.
    pub fn style(&self, role: Role) -> Style {
        theme::style(self.scheme, role)
    }

    /// Fills an area with blanks on the ground of running text.
    pub fn clear(&mut self, area: Rect) {
        let style = self.style(Role::Text);
        for y in area.top()..area.bottom() {
            for x in area.left()..area.right() {
                if let Some(cell) = self.buffer.cell_mut((x, y)) {
                    cell.reset();
                    cell.set_style(style);
                }
            }
        }
    }

    /// One line of text from column `x` of `area` in its row `y`, cut with `…` where it does not fit. Where it ended.
    pub fn text(&mut self, area: Rect, x: u16, y: u16, text: &str, role: Role) -> u16 {
        if y >= area.height || x >= area.width {
            return x;
        }
        let room = usize::from(area.width - x);
        let shown = cut(text, room);
        let style = self.style(role);
        let (end, _) = self
            .buffer
            .set_stringn(area.x + x, area.y + y, &shown, room, style);
        end - area.x
    }

    /// One line of text that ends at the right edge of `area`, `inset` columns short of it.
    pub fn text_right(&mut self, area: Rect, inset: u16, y: u16, text: &str, role: Role) {
        let width = columns(text);
        let x = area.width.saturating_sub(inset).saturating_sub(width);
        self.text(area, x, y, text, role);
    }

    /// The row from which a list is drawn; where it is longer than its room, the page keys get to know of it.
    pub fn paged(&mut self, list: Paged, scroll: isize) -> usize {
        if list.rows > list.room {
            self.lists.push(list);
        }
        list.from(scroll)
    }

    /// Text wrapped at blanks into the rows from `y` on, all in one role. The row after it.
    pub fn wrapped(&mut self, area: Rect, x: u16, y: u16, text: &str, role: Role) -> u16 {
        let room = usize::from(area.width.saturating_sub(x + 1));
        let mut row = y;
        for line in wrap(text, room) {
            self.text(area, x, row, &line, role);
            row += 1;
        }
        row
    }

    /// A rule across `area` in its row `y`.
    pub fn rule(&mut self, area: Rect, y: u16) {
        let line = "─".repeat(usize::from(area.width));
        self.text(area, 0, y, &line, Role::Rule);
    }

    /// A field in brackets of so many columns inside. Returns the column after it and where its cursor stands.
    pub fn field(
        &mut self,
        area: Rect,
        x: u16,
        y: u16,
        field: &Field,
        inside: u16,
    ) -> (u16, (u16, u16)) {
        let (text, cursor) = field.window(usize::from(inside));
        let at = self.text(area, x, y, "[", Role::Question);
        let blank = " ".repeat(usize::from(inside));
        self.text(area, at, y, &blank, Role::Field);
        self.text(area, at, y, &text, Role::Field);
        let end = self.text(area, at + inside, y, "]", Role::Question);
        let cursor = at
            + u16::try_from(cursor)
                .unwrap_or(0)
                .min(inside.saturating_sub(1));
        (end, (area.x + cursor, area.y + y))
    }
}

/// Columns a text takes.
pub fn columns(text: &str) -> u16 {
    u16::try_from(text.width()).unwrap_or(u16::MAX)
}

/// The text cut to so many columns; what was cut shows as `…`.
pub fn cut(text: &str, room: usize) -> String {
    if text.width() <= room {
        return text.to_owned();
    }
    let mut shown = String::new();
    for grapheme in text.graphemes(true) {
        if shown.width() + grapheme.width() + 1 > room {
            break;
        }
        shown.push_str(grapheme);
    }
    if room > 0 {
        shown.push('…');
    }
    shown
}

/// The text in lines of at most `room` columns, broken at blanks; a word that is longer is broken anywhere.
pub fn wrap(text: &str, room: usize) -> Vec<String> {
    let room = room.max(1);
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split(' ') {
        let mut word = word;
        if !line.is_empty() && line.width() + 1 + word.width() > room {
            lines.push(std::mem::take(&mut line));
        } else if !line.is_empty() {
            line.push(' ');
        }
        while line.width() + word.width() > room {
            let mut taken = 0;
            for grapheme in word.graphemes(true) {
                if line.width() + grapheme.width() > room && !line.is_empty() {
                    break;
                }
                line.push_str(grapheme);
                taken += grapheme.len();
            }
            lines.push(std::mem::take(&mut line));
            word = &word[taken..];
        }
        line.push_str(word);
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// Replaces, in a finished screen, every character that shows nothing or changes the direction of writing.
pub fn clean_screen(buffer: &mut Buffer) {
    for cell in &mut buffer.content {
        let symbol = cell.symbol();
        if !symbol.is_ascii() && symbol.chars().any(is_hidden) {
            let shown: String = symbol
                .chars()
                .filter(|letter| !is_hidden(*letter))
                .collect();
            if shown.width() == 0 {
                cell.set_symbol("\u{fffd}");
            } else {
                cell.set_symbol(&shown);
            }
        }
    }
}

/// The text with every such character replaced by `�`; for texts that are measured before they are drawn.
pub fn clean(text: &str) -> String {
    text.chars()
        .map(|letter| {
            if is_hidden(letter) {
                '\u{fffd}'
            } else {
                letter
            }
        })
        .collect()
}

/// Controls, and what the record takes in no text.
pub fn is_hidden(letter: char) -> bool {
    letter.is_control() || reseat_record::text::is_hidden(letter)
}

/// A line of a list whose columns wrap, so that nothing is cut: each text with its role and the columns it has.
pub struct Wrapped {
    cells: Vec<(u16, Vec<String>, Role)>,
}

impl Wrapped {
    /// The texts with their roles, at these edges; the last one has room up to `width`.
    pub fn new(texts: &[(&str, Role)], edges: &[u16], width: u16) -> Self {
        let ends = edges.iter().skip(1).copied().chain([width]);
        let cells = texts
            .iter()
            .zip(edges.iter().zip(ends))
            .map(|((text, role), (edge, end))| {
                let room = usize::from(end.saturating_sub(edge + 1)).max(1);
                (*edge, wrap(&clean(text), room), *role)
            });
        Self {
            cells: cells.collect(),
        }
    }

    /// How many rows it takes.
    pub fn rows(&self) -> usize {
        self.cells
            .iter()
            .map(|(_, lines, _)| lines.len())
            .max()
            .unwrap_or(1)
    }

    /// Draws it from row `y` on, nothing below `end`; the next free row.
    pub fn draw(&self, pen: &mut Pen, area: Rect, y: u16, end: u16) -> u16 {
        for (x, lines, role) in &self.cells {
            for (row, line) in (y..end).zip(lines) {
                pen.text(area, *x, row, line, *role);
            }
        }
        y + u16::try_from(self.rows()).unwrap_or(0)
    }
}

/// The first line to show so that the chosen one is seen whole in `room` rows.
pub fn first_shown(lines: &[Wrapped], chosen: usize, room: usize) -> usize {
    let mut left = room;
    let mut from = chosen.min(lines.len().saturating_sub(1));
    for at in (0..=from).rev() {
        let Some(rest) = lines.get(at).and_then(|line| left.checked_sub(line.rows())) else {
            break;
        };
        (left, from) = (rest, at);
    }
    from
}

/// The role of a line of a list: the chosen one is due.
pub const fn line_role(place: usize, chosen: usize) -> Role {
    if place == chosen {
        Role::Due
    } else {
        Role::Text
    }
}

/// Draws the lines that have room from row `y` to above `end`, the chosen one marked and seen whole; the next free row, and
/// how far down the list the last one shown stands.
pub fn draw_chosen(
    pen: &mut Pen,
    area: Rect,
    (mut y, end): (u16, u16),
    lines: &[Wrapped],
    chosen: usize,
) -> (u16, usize) {
    let from = first_shown(lines, chosen, usize::from(end.saturating_sub(y)));
    let mut shown = 0;
    for (place, line) in lines.iter().enumerate().skip(from) {
        if place > chosen && usize::from(y) + line.rows() > usize::from(end) {
            break;
        }
        let mark = if place == chosen { "▸" } else { " " };
        pen.text(area, 1, y, mark, line_role(place, chosen));
        y = line.draw(pen, area, y, end);
        shown = place + 1;
    }
    (y, shown)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_break_at_blanks_and_lose_nothing() {
        assert_eq!(
            wrap("Hand-start 8 nuts, at least", 12),
            ["Hand-start 8", "nuts, at", "least"]
        );
        assert_eq!(wrap("abcdefghij", 4), ["abcd", "efgh", "ij"]);
        assert_eq!(wrap("", 4), [""]);
        assert_eq!(wrap("ab cdefghij k", 4).join(""), "abcdefghijk");
    }

    #[test]
    fn a_list_keeps_the_chosen_line_whole_and_cuts_nothing() {
        let line =
            |text: &str| Wrapped::new(&[("FV", Role::Text), (text, Role::Text)], &[0, 4], 16);
        let lines = [
            line("one"),
            line("LOCKED 4 of 4, yours on, ZERO"),
            line("two"),
        ];
        assert_eq!(lines[0].rows(), 1);
        assert_eq!(lines[1].rows(), 3);
        assert_eq!(first_shown(&lines, 0, 4), 0);
        assert_eq!(first_shown(&lines, 1, 4), 0);
        assert_eq!(first_shown(&lines, 2, 4), 1);
        assert_eq!(first_shown(&lines, 2, 3), 2);
        // Higher than the room: it is shown all the same, from its beginning.
        assert_eq!(first_shown(&lines, 1, 2), 1);
        assert_eq!(first_shown(&[], 0, 4), 0);
    }

    #[test]
    fn what_does_not_fit_is_marked() {
        assert_eq!(cut("brine, upstream", 8), "brine, …");
        assert_eq!(cut("brine", 5), "brine");
        assert_eq!(cut("N·m", 2), "N…");
    }

    #[test]
    fn nothing_hidden_reaches_the_terminal() {
        let area = Rect::new(0, 0, 30, 1);
        for hidden in [
            '\u{202e}',
            '\u{2066}',
            '\u{200f}',
            '\u{200b}',
            '\u{feff}',
            '\u{e0041}',
            '\u{ad}',
        ] {
            for text in [
                format!("a{hidden}b"),
                format!("{hidden}"),
                format!("b{hidden}"),
            ] {
                let mut buffer = Buffer::empty(area);
                buffer.set_string(0, 0, &text, Style::new());
                clean_screen(&mut buffer);
                assert!(
                    buffer
                        .content
                        .iter()
                        .all(|cell| !cell.symbol().chars().any(is_hidden)),
                    "{text:?}"
                );
            }
            assert_eq!(clean(&format!("a{hidden}b")), "a\u{fffd}b");
        }
        let mut buffer = Buffer::empty(area);
        buffer.set_string(0, 0, "a\u{1b}[2J\u{9b}b\t\u{7f}", Style::new());
        clean_screen(&mut buffer);
        assert!(
            buffer
                .content
                .iter()
                .all(|cell| !cell.symbol().chars().any(char::is_control))
        );
    }
}
