//! How a rebuild under way is drawn: strip, signal, act, bench, ask, always in this order and place.

use ratatui::layout::Rect;
use reseat_procedure::model::SignalWord;
use reseat_record::rebuild::view::{Strip, Tone};
use reseat_record::rebuild::{Ask, Point, Wants};

use super::draw::{Pen, columns, wrap};
use super::model::Common;
use super::work::Work;
use crate::theme::Role;

/// Rows the strip takes with its rule.
pub const STRIP_ROWS: u16 = 3;

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
        let ask_rows = rows(prompt.len()) + 1;
        let above = ask_lines(ask, width);
        let mut signal = self.signal_lines(common, width);
        let most = usize::from(body.height.saturating_sub(ask_rows + 3)).max(1);
        signal.truncate(most);
        let mut act = if ask.blank {
            blank_lines()
        } else {
            act_lines(ask, width)
        };
        let free = body
            .height
            .saturating_sub(rows(signal.len()) + 1 + ask_rows);
        // What is asked matters more than the act, and the act more than its neighbours.
        let spare = usize::from(free).saturating_sub(above.len() + 1);
        shorten(&mut act, spare);
        let mut y = 0;
        for line in &signal {
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
        for (mark, text, stands, role) in &act {
            pen.text(body, 1, y, mark, *role);
            let within = Rect {
                width: body.width.saturating_sub(columns(stands) + 2),
                ..body
            };
            pen.text(within, 4, y, text, *role);
            pen.text_right(body, 1, y, stands, *role);
            y += 1;
        }
        if !act.is_empty() {
            pen.rule(body, y);
            y += 1;
        }
        let ask_top = body.height.saturating_sub(ask_rows);
        let above_top = ask_top.saturating_sub(rows(above.len())).max(y);
        let bench = Rect {
            y: body.y + y,
            height: above_top.saturating_sub(y),
            ..body
        };
        if !ask.blank {
            self.draw_bench(pen, bench);
        }
        self.draw_above(pen, body, above_top..ask_top, &above);
        pen.rule(body, ask_top);
        self.draw_ask(pen, body, ask_top + 1, &prompt, common)
    }

    /// Detail and choices, in these rows; where they do not fit they scroll with the page keys.
    fn draw_above(
        &self,
        pen: &mut Pen,
        body: Rect,
        at: std::ops::Range<u16>,
        above: &[(String, String)],
    ) {
        let from = self.scroll.min(above.len().saturating_sub(at.len()));
        let hidden = above.len().saturating_sub(from + at.len());
        let last = at.end.saturating_sub(1);
        for (row, (number, text)) in at.zip(above.iter().skip(from)) {
            let x = if number.is_empty() {
                2
            } else {
                pen.text(body, 4, row, number, Role::Key) + 2
            };
            pen.text(body, x, row, text, Role::Text);
        }
        if hidden > 0 {
            pen.text_right(body, 0, last, &format!(" {hidden} more, PgDn "), Role::Key);
        }
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

type ActLine = (&'static str, String, String, Role);

/// The step before, the step now, the step after; or the group of plain acts with the due one first.
fn act_lines(ask: &Ask, width: usize) -> Vec<ActLine> {
    let Some(step) = &ask.step else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    // Where something else is asked before the step goes on, its neighbours would only take room.
    let between = !matches!(
        ask.point,
        Point::Begin(_) | Point::Act(_) | Point::Asked(..) | Point::Verify(_) | Point::Hold(_)
    );
    if let Some(before) = step.before.as_ref().filter(|_| !between) {
        lines.push((
            " ",
            format!("{} {}", before.number, before.text),
            before.stands.clone(),
            Role::Done,
        ));
    }
    let place = format!("{} of {}", step.number, step.of);
    let now = wrap(
        &step.text,
        width.saturating_sub(columns(&place) as usize + 6),
    );
    for (at, text) in now.into_iter().enumerate() {
        let stands = if at == 0 {
            place.clone()
        } else {
            String::new()
        };
        lines.push((if at == 0 { "▸" } else { " " }, text, stands, Role::Due));
    }
    if ask.group.len() > 1 {
        for line in ask.group.iter().skip(1) {
            lines.push((
                " ",
                format!("{} {}", line.number, line.text),
                String::new(),
                Role::Text,
            ));
        }
    } else if let Some(after) = step.after.as_ref().filter(|_| !between) {
        lines.push((
            " ",
            format!("{} {}", after.number, after.text),
            String::new(),
            Role::Aside,
        ));
    }
    lines
}

fn blank_lines() -> Vec<ActLine> {
    vec![(
        " ",
        "Look at the unit. Text and drawing are blank until you have answered.".to_owned(),
        String::new(),
        Role::Text,
    )]
}

/// Leaves out, where there is no room, what matters least: the steps after, then the one before, the one due last.
fn shorten(act: &mut Vec<ActLine>, room: usize) {
    while act.len() > room {
        if act.last().is_some_and(|line| line.3 != Role::Due) {
            act.pop();
        } else if act.first().is_some_and(|line| line.3 != Role::Due) {
            act.remove(0);
        } else {
            // Half an act is none.
            act.clear();
        }
    }
}

/// What stands above the ask line: detail, then choices or people with their numbers.
fn ask_lines(ask: &Ask, width: usize) -> Vec<(String, String)> {
    let mut lines: Vec<(String, String)> = Vec::new();
    for sentence in &ask.detail {
        lines.extend(
            wrap(sentence, width.saturating_sub(1))
                .into_iter()
                .map(|line| (String::new(), line)),
        );
    }
    let mut before = "";
    let names: Vec<&str> = match &ask.wants {
        Wants::Choice(labels) => labels.iter().map(String::as_str).collect(),
        Wants::Fastener { instead, .. } => {
            before = "0";
            instead.to_vec()
        }
        Wants::Signature { among, .. } | Wants::Person(among) if among.len() > 1 => {
            among.iter().map(|(_, name)| name.as_str()).collect()
        }
        _ => Vec::new(),
    };
    for (at, name) in names.into_iter().enumerate() {
        for (row, line) in wrap(name, width.saturating_sub(8)).into_iter().enumerate() {
            lines.push((
                if row == 0 {
                    format!("{before}{}", at + 1)
                } else {
                    " ".to_owned()
                },
                line,
            ));
        }
    }
    if let Wants::Reading {
        instrument, window, ..
    } = &ask.wants
    {
        // Nothing is told twice: the prompt may name both already.
        let mut told = Vec::new();
        if !instrument.is_empty() && !ask.prompt.contains(instrument.as_str()) {
            told.push(format!("read on {instrument}"));
        }
        if let Some(window) = window.map(|window| window.to_string())
            && !ask.prompt.contains(&window)
        {
            told.push(format!("window {window}"));
        }
        if !told.is_empty() {
            lines.push((String::new(), told.join("   ")));
        }
        let guard = ask.guard.iter().map(|guard| guard.words.clone());
        lines.extend(guard.map(|words| (String::new(), words)));
    }
    lines
}

pub(super) fn rows(count: usize) -> u16 {
    u16::try_from(count).unwrap_or(u16::MAX)
}
