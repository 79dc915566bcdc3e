//! How a rebuild under way is drawn: strip, signal, act, bench, ask, always in this order and place.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use reseat_procedure::model::SignalWord;
use reseat_record::rebuild::view::{Strip, Tone};
use reseat_record::rebuild::{Bench, Wants};

use super::bench::lists::more;
use super::draw::{Paged, Pen, columns, wrap};
use super::model::Common;
use super::work::Work;
use super::work_lines::{
    ActLine, act_lines, blank_lines, detail_lines, list_lines, shorten, side_by_side,
};
use crate::theme::Role;

/// Rows the strip takes with its rule.
pub const STRIP_ROWS: u16 = 3;
/// Rows the line of keys takes with its rule.
pub const KEYS_ROWS: u16 = 2;

/// Draws the strip: the same on every screen of a rebuild.
pub fn draw_strip(pen: &mut Pen, area: Rect, strip: &Strip) {
    let right = format!("{}  {}", strip.who, strip.time);
    let left = Rect {
        width: area.width.saturating_sub(columns(&right) + 3),
        ..area
    };
    let x = pen.text(left, 1, 0, &strip.tag, Role::Heading);
    let x = pen.text(left, x + 2, 0, &strip.name, Role::Text);
    pen.text(
        left,
        x + 2,
        0,
        &format!("serial {}", strip.serial),
        Role::Heading,
    );
    pen.text_right(area, 1, 0, &right, Role::Text);
    let state_columns = columns(&strip.state) + 2;
    let within = Rect {
        width: area.width.saturating_sub(state_columns),
        ..area
    };
    let x = pen.text(within, 1, 1, &strip.procedure, Role::Text);
    pen.text(within, x + 3, 1, &strip.section, Role::Text);
    pen.text_right(area, 1, 1, &strip.state, tone_role(strip.tone));
    pen.rule(area, 2);
}

/// The role of a tone.
pub const fn tone_role(tone: Tone) -> Role {
    match tone {
        Tone::Plain => Role::Text,
        Tone::Held => Role::Held,
        Tone::Watch => Role::Watch,
        Tone::Stop => Role::Stop,
    }
}

const fn signal_role(word: SignalWord) -> Role {
    match word {
        SignalWord::Danger => Role::Danger,
        SignalWord::Warning => Role::Warning,
        SignalWord::Caution => Role::Caution,
        SignalWord::Notice => Role::Notice,
    }
}

/// A line of the signal place: a mark in its own role, and text.
struct SignalLine {
    mark: &'static str,
    mark_role: Role,
    text: String,
    role: Role,
}

/// Rows of the table of energies that stay whatever else is told: its heads and an energy.
const TABLE_ROWS: usize = 4;

/// What stands above the ask line, with the rows it takes.
struct Places {
    signal: Vec<SignalLine>,
    act: Vec<ActLine>,
    /// What to look at or do first; pages where it does not fit.
    detail: Vec<String>,
    detail_rows: usize,
    /// Choices or people with their numbers, always in view where the screen has the rows.
    list: Vec<(String, String)>,
    list_rows: usize,
}

impl Work {
    /// Draws it; the cursor's place.
    pub fn draw(&self, pen: &mut Pen, area: Rect, common: &Common) -> Option<(u16, u16)> {
        let ask = &self.sight.ask;
        draw_strip(pen, area, &self.sight.strip);
        let body = Rect {
            y: area.y + STRIP_ROWS,
            height: area.height.saturating_sub(STRIP_ROWS),
            ..area
        };
        let width = usize::from(body.width.saturating_sub(3));
        // The ask is anchored at the bottom, the signal at the top; act and bench share what is between.
        let prompt = self.prompt_rows(width);
        let ask_top = body.height.saturating_sub(rows(prompt.len()) + 1);
        let places = self.places(usize::from(ask_top), width, common);
        let mut y = 0;
        for line in &places.signal {
            let x = if line.mark.is_empty() {
                1
            } else {
                pen.text(body, 1, y, line.mark, line.mark_role) + 1
            };
            pen.text(body, x, y, &line.text, line.role);
            y += 1;
        }
        pen.rule(body, y);
        y += 1;
        for (mark, text, stands, role) in &places.act {
            pen.text(body, 1, y, mark, *role);
            let within = Rect {
                width: body.width.saturating_sub(columns(stands) + 2),
                ..body
            };
            pen.text(within, 4, y, text, *role);
            pen.text_right(body, 1, y, stands, *role);
            y += 1;
        }
        if !places.act.is_empty() {
            pen.rule(body, y);
            y += 1;
        }
        let above = rows(places.detail_rows + places.list_rows);
        let above_top = ask_top.saturating_sub(above).max(y);
        let bench = Rect {
            y: body.y + y,
            height: above_top.saturating_sub(y),
            ..body
        };
        if !ask.blank {
            self.draw_bench(pen, bench);
        }
        let above = Rect {
            y: body.y + above_top,
            height: ask_top.saturating_sub(above_top),
            ..body
        };
        pen.rule(body, ask_top);
        self.draw_above(pen, above, &places);
        self.draw_ask(pen, body, ask_top + 1, &prompt, common)
    }

    /// Shares `inner` rows: what holds and who or what may be chosen come first, then what is told, then the act; the bench
    /// has the rest, the table of energies never less than one energy.
    fn places(&self, inner: usize, width: usize, common: &Common) -> Places {
        let ask = &self.sight.ask;
        let mut list = list_lines(ask, width);
        let mut signal = self.signal_lines(common, width);
        // A rule stands under the signal, and of what is told one row at least is in view.
        let detail = detail_lines(ask, width);
        let most = inner.saturating_sub(1 + detail.len().min(1));
        if list.len() > most.saturating_sub(signal.len()) {
            list = side_by_side(ask, width).unwrap_or(list);
        }
        let list_rows = list
            .len()
            .min((most / 2).max(most.saturating_sub(signal.len())));
        shorten_signal(&mut signal, most.saturating_sub(list_rows).max(1));
        let free = inner.saturating_sub(signal.len() + 1);
        let list_rows = list_rows.min(free);
        let left = free - list_rows;
        let kept = match ask.bench {
            Bench::Isolation if !ask.blank => TABLE_ROWS,
            _ => 0,
        };
        let detail_rows = detail.len().min(left.saturating_sub(kept).max(left.min(1)));
        let mut act = if ask.blank {
            blank_lines()
        } else {
            act_lines(ask, width)
        };
        shorten(&mut act, left.saturating_sub(detail_rows + kept + 1));
        Places {
            signal,
            act,
            detail,
            detail_rows,
            list,
            list_rows,
        }
    }

    /// What is told, then choices or people; where they do not fit they go on with the page keys. The marks for that stand in
    /// the rule below, drawn after it.
    fn draw_above(&self, pen: &mut Pen, above: Rect, places: &Places) {
        let told = Paged {
            home: 0,
            rows: places.detail.len(),
            room: places.detail_rows,
        };
        let told_from = pen.paged(told, self.scroll);
        let detail = places.detail.iter().skip(told_from).take(told.room);
        for (row, text) in (0..above.height).zip(detail) {
            pen.text(above, 2, row, text, Role::Text);
        }
        let list = Paged {
            home: 0,
            rows: places.list.len(),
            room: places.list_rows,
        };
        let from = pen.paged(list, self.scroll);
        let chosen = places.list.iter().skip(from).take(list.room);
        for (row, (number, text)) in (rows(told.room)..above.height).zip(chosen) {
            let x = if number.is_empty() {
                2
            } else {
                pen.text(above, 4, row, number, Role::Key) + 2
            };
            pen.text(above, x, row, text, Role::Text);
        }
        let below = Rect {
            y: above.y + above.height + 1,
            ..above
        };
        if told.rows > told.room {
            more(pen, below, told, told_from);
        } else {
            more(pen, below, list, from);
        }
    }

    /// One page down or up: by the rows in view of the shortest list that has more, so that none of its rows is passed over;
    /// where there are several, the last one stays in view.
    pub(super) fn page(&mut self, down: bool, common: &Common) {
        let lists = self.lists(common);
        let signed = |rows: usize| isize::try_from(rows).unwrap_or(isize::MAX);
        let ends = lists.iter().map(|list| {
            let home = list.home.min(list.last());
            (-signed(home), signed(list.last() - home))
        });
        let (top, end) = ends.fold((0, 0), |(top, end), (up, down)| {
            (top.min(up), end.max(down))
        });
        let step = lists
            .iter()
            .map(|list| signed(list.room.saturating_sub(1).max(1)))
            .min();
        let step = step.unwrap_or(0);
        let to = self.scroll + if down { step } else { -step };
        self.scroll = to.clamp(top, end);
    }

    /// The lists that are longer than their room on the screen as it is: drawing tells.
    fn lists(&self, common: &Common) -> Vec<Paged> {
        let (width, height) = common.size;
        let area = Rect::new(0, 0, width, height.saturating_sub(KEYS_ROWS));
        let mut pen = Pen {
            buffer: &mut Buffer::empty(area),
            scheme: common.scheme,
            lists: Vec::new(),
        };
        self.draw(&mut pen, area, common);
        pen.lists
    }

    /// The prompt in rows; the field stands behind the last one.
    fn prompt_rows(&self, width: usize) -> Vec<String> {
        let taken = if self.typing() {
            let (unit, wanted) = self.field_shape();
            // Brackets, gaps and the hint beside the field.
            usize::from(wanted.min(16) + columns(&unit)) + 24
        } else {
            match &self.sight.ask.wants {
                // "Space or Enter: " and the name.
                Wants::Signature { among, .. } | Wants::Person(among) if among.len() == 1 => {
                    20 + usize::from(columns(&among[0].1))
                }
                _ => 24,
            }
        };
        wrap(&self.sight.ask.prompt, width.saturating_sub(taken).max(24))
    }

    /// The unit behind the field and how wide the field is at best.
    fn field_shape(&self) -> (String, u16) {
        match &self.sight.ask.wants {
            Wants::Reading {
                unit, reference, ..
            } => {
                let scale = reference.map_or_else(
                    || unit.to_string(),
                    |reference| format!("{unit} {reference}"),
                );
                (scale, 12)
            }
            Wants::Text => (String::new(), 60),
            Wants::Signature { .. } | Wants::Person(_) => (String::new(), 24),
            _ => (String::new(), 6),
        }
    }

    fn draw_ask(
        &self,
        pen: &mut Pen,
        body: Rect,
        top: u16,
        prompt: &[String],
        common: &Common,
    ) -> Option<(u16, u16)> {
        let mut end = 2;
        let last = top + rows(prompt.len()).saturating_sub(1);
        for (row, line) in (top..).zip(prompt) {
            end = pen.text(body, 2, row, line, Role::Question);
        }
        let hint = self.key_hint(common);
        let hint_at = body.width.saturating_sub(columns(&hint) + 1);
        let mut cursor = None;
        if self.typing() {
            let (unit, wanted) = self.field_shape();
            let room = hint_at.saturating_sub(end + 7 + columns(&unit));
            let inside = wanted.min(room).max(4);
            let (after, place) = pen.field(body, end + 3, last, &self.field, inside);
            pen.text(body, after + 1, last, &unit, Role::Heading);
            cursor = Some(place);
        }
        pen.text(body, hint_at, last, &hint, Role::Key);
        cursor
    }

    /// Notice, refusal and warnings: what holds stays pinned here.
    fn signal_lines(&self, common: &Common, width: usize) -> Vec<SignalLine> {
        let mut lines = Vec::new();
        let push = |lines: &mut Vec<SignalLine>,
                    mark: &'static str,
                    mark_role: Role,
                    text: &str,
                    role: Role| {
            let indent = if mark.is_empty() { 0 } else { mark.len() + 1 };
            for (at, text) in wrap(text, width.saturating_sub(indent).max(1))
                .into_iter()
                .enumerate()
            {
                lines.push(SignalLine {
                    mark: if at == 0 { mark } else { "" },
                    mark_role,
                    text,
                    role,
                });
            }
        };
        for (at, line) in self.sight.ask.notice.iter().enumerate() {
            push(
                &mut lines,
                "",
                Role::Text,
                line,
                if at == 0 { Role::Stop } else { Role::Text },
            );
        }
        if let Some(said) = &common.said {
            let mark = if said.refused { " REFUSED " } else { "" };
            push(
                &mut lines,
                mark,
                Role::Stop,
                &format!("{} {}", said.sentence, said.remedy),
                Role::Text,
            );
        }
        for warning in &self.sight.ask.warnings {
            let mark = match warning.word {
                SignalWord::Danger => " DANGER ",
                SignalWord::Warning => " WARNING ",
                SignalWord::Caution => " CAUTION ",
                SignalWord::Notice => " NOTICE ",
            };
            push(
                &mut lines,
                mark,
                signal_role(warning.word),
                &warning.text,
                Role::Text,
            );
        }
        if lines.is_empty() {
            let ppe = self
                .sight
                .ask
                .step
                .as_ref()
                .map(|step| step.ppe.join(", "))
                .filter(|ppe| !ppe.is_empty());
            push(
                &mut lines,
                "",
                Role::Text,
                &ppe.map_or_else(String::new, |ppe| format!("Wear: {ppe}.")),
                Role::Aside,
            );
        }
        lines
    }
}

/// Leaves out of the signal what finds no room, and shows that it did.
fn shorten_signal(signal: &mut Vec<SignalLine>, room: usize) {
    if signal.len() > room {
        signal.truncate(room);
        if let Some(last) = signal.last_mut() {
            last.text.push_str(" …");
        }
    }
}

pub(super) fn rows(count: usize) -> u16 {
    u16::try_from(count).unwrap_or(u16::MAX)
}
