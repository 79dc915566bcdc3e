//! What stands above a screen: help, STOP, lists of choices, forms, signatures. The top one gets the keys.

use reseat_record::log::Id;
use reseat_record::rebuild::{Command, StopKind};

use super::deeds::{self, Purpose};
use super::draw::{Pen, columns, wrap};
use super::field::Field;
use super::form::{Did, Form, Slot};
use super::handover;
use super::message::Effect;
use super::model::{Common, Press};
use super::sign::Sign;
use super::work_view::STRIP_ROWS;
use crate::keys::{self, Action, Scope};
use crate::theme::Role;
use ratatui::layout::Rect;

/// Something above the screen.
#[derive(Debug, Clone, PartialEq)]
pub enum Overlay {
    /// Help, scrolled by so many lines.
    Help(usize),
    /// STOP: what happened?
    Stop,
    /// A list of choices.
    Menu(Menu),
    /// A page to be read.
    Page(Page),
    /// A form.
    Form(Box<Sheet>),
    /// A signature.
    Sign(Box<Sign>),
}

/// Lines to be read, and nothing else.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page {
    /// Heading.
    pub title: String,
    /// The lines.
    pub lines: Vec<String>,
    /// First line shown.
    pub scroll: usize,
}

/// A list of choices, taken by number and Enter.
#[derive(Debug, Clone, PartialEq)]
pub struct Menu {
    /// Heading.
    pub title: String,
    /// The choices with what each leads to.
    pub lines: Vec<(String, Purpose)>,
    /// The number typed.
    pub field: Field,
    /// People offered by the forms it leads to.
    pub people: Vec<(Id, String)>,
}

/// A form above a screen and what it is for.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// What it does.
    pub purpose: Purpose,
    /// The form.
    pub form: Form,
    /// People its choices name, in their order.
    pub people: Vec<(Id, String)>,
    /// Who may sign it.
    pub signers: Vec<(Id, String)>,
}

/// What the screens want after a key in an overlay.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wish {
    /// Effects.
    pub effects: Vec<Effect>,
    /// Close the overlay.
    pub close: bool,
    /// Open this one instead of, or above, it.
    pub open: Option<Overlay>,
}

impl Overlay {
    /// Its scope in the key table.
    pub fn scope(&self) -> Scope {
        match self {
            Self::Help(_) => Scope::Help,
            Self::Stop => Scope::Stop,
            Self::Page(_) => Scope::Record,
            Self::Menu(_) => Scope::Menu,
            Self::Form(_) => Scope::Form,
            Self::Sign(_) => Scope::Sign,
        }
    }

    /// Whether a text field is open in it.
    pub fn typing(&self) -> bool {
        match self {
            Self::Help(_) | Self::Stop | Self::Page(_) => false,
            Self::Menu(_) | Self::Sign(_) => true,
            Self::Form(sheet) => sheet.form.typing(),
        }
    }

    /// The field being typed in.
    pub fn open_field(&mut self) -> Option<&mut Field> {
        match self {
            Self::Help(_) | Self::Stop | Self::Page(_) => None,
            Self::Menu(menu) => Some(&mut menu.field),
            Self::Sign(sign) => Some(&mut sign.field),
            Self::Form(sheet) => sheet.form.open_field(),
        }
    }

    /// A key.
    pub fn press(&mut self, press: &Press, common: &mut Common) -> Wish {
        match self {
            Self::Help(scroll) => {
                scroll_by(
                    scroll,
                    press.action,
                    usize::from(common.size.1.saturating_sub(4)),
                    help_lines().len(),
                );
                Wish {
                    close: press.action == Some(Action::Back),
                    ..Wish::default()
                }
            }
            Self::Stop => stop(press, common),
            Self::Page(page) => {
                let rows = usize::from(common.size.1.saturating_sub(4 + STRIP_ROWS));
                scroll_by(&mut page.scroll, press.action, rows, page.lines.len());
                Wish {
                    close: press.action == Some(Action::Back),
                    ..Wish::default()
                }
            }
            Self::Menu(menu) => menu.press(press, common),
            Self::Form(sheet) => sheet.press(press, common),
            Self::Sign(sign) => sign.press(press, common),
        }
    }
}

/// Moves a scroll position by an action, within `0..=lines - rows`.
pub fn scroll_by(scroll: &mut usize, action: Option<Action>, rows: usize, lines: usize) {
    let last = lines.saturating_sub(rows);
    *scroll = match action {
        Some(Action::Up) => scroll.saturating_sub(1),
        Some(Action::Down) => *scroll + 1,
        Some(Action::PageUp) => scroll.saturating_sub(rows),
        Some(Action::PageDown) => *scroll + rows,
        Some(Action::Top) => 0,
        Some(Action::End) => last,
        _ => *scroll,
    }
    .min(last);
}

fn stop(press: &Press, common: &mut Common) -> Wish {
    if press.action == Some(Action::Back) {
        return Wish {
            close: true,
            ..Wish::default()
        };
    }
    let kind = press
        .stroke
        .digit()
        .and_then(|digit| StopKind::ALL.get((digit as usize).checked_sub(1)?));
    match kind {
        Some(kind) if common.takes(press) => Wish {
            effects: vec![Effect::Act {
                command: Command::Stop { kind: *kind },
                signer: None,
            }],
            close: true,
            open: None,
        },
        _ => Wish::default(),
    }
}

impl Menu {
    fn press(&mut self, press: &Press, common: &mut Common) -> Wish {
        match press.action {
            Some(Action::Back) => Wish {
                close: true,
                ..Wish::default()
            },
            Some(Action::Take) => {
                let chosen = self
                    .field
                    .text()
                    .trim()
                    .parse::<usize>()
                    .ok()
                    .and_then(|number| number.checked_sub(1));
                let Some((_, purpose)) = chosen.and_then(|at| self.lines.get(at)) else {
                    common.refuse(
                        "not-on-the-list",
                        format!("The list has lines 1 to {}.", self.lines.len()),
                        "Type the number of a line, then Enter.",
                    );
                    self.field.clear();
                    return Wish::default();
                };
                if !common.takes(press) {
                    return Wish::default();
                }
                if let Purpose::Tag(lines) = purpose {
                    return Wish {
                        close: true,
                        open: Some(Overlay::Page(handover::page(lines.clone()))),
                        effects: Vec::new(),
                    };
                }
                let sheet = deeds::sheet(
                    purpose.clone(),
                    self.people.clone(),
                    self.people.clone(),
                    common,
                );
                Wish {
                    close: true,
                    open: Some(Overlay::Form(Box::new(sheet))),
                    effects: Vec::new(),
                }
            }
            Some(action) => {
                self.field.edit(action);
                Wish::default()
            }
            None => {
                type_into(&mut self.field, press, common);
                Wish::default()
            }
        }
    }
}

impl Sheet {
    fn press(&mut self, press: &Press, common: &mut Common) -> Wish {
        if press.action == Some(Action::Back) {
            common.park(self.form.clone());
            return Wish {
                close: true,
                ..Wish::default()
            };
        }
        match self.form.press(press.stroke, press.action) {
            Did::Takes if common.takes(press) => deeds::take(self, common),
            Did::Arrived => {
                common.guard.asked_anew();
                common.guard.spend(press.stroke);
                Wish::default()
            }
            _ => {
                say_overflow(self.form.open_field(), common);
                Wish::default()
            }
        }
    }
}

/// Types a character into a field; where it does not fit, says that the field was cleared.
pub fn type_into(field: &mut Field, press: &Press, common: &mut Common) {
    if let Some(letter) = press.stroke.typed() {
        field.insert(letter.encode_utf8(&mut [0; 4]));
        common.guard.typed();
        say_overflow(Some(field), common);
    }
}

/// Says that a field was cleared because more came than it takes.
pub fn say_overflow(field: Option<&mut Field>, common: &mut Common) {
    if field.is_some_and(|field| field.overflowed()) {
        common.refuse(
            "field-full",
            "More was typed than this field takes; it was cleared.",
            "Type it again.",
        );
    }
}

/// The lines of help: heading or key with meaning.
fn help_lines() -> Vec<(Option<String>, String)> {
    let mut lines = Vec::new();
    for scope in Scope::ALL {
        lines.push((None, scope.title().to_owned()));
        for row in keys::TABLE.iter().filter(|row| row.scope == scope) {
            lines.push((Some(row.stroke.to_string()), row.meaning.to_owned()));
        }
        for (stroke, meaning) in keys::typed_keys(scope) {
            lines.push((Some((*stroke).to_owned()), (*meaning).to_owned()));
        }
        lines.push((None, String::new()));
    }
    lines
}

/// Where help opens: at the heading of the scope it was asked from.
pub fn help_at(scope: Scope) -> usize {
    help_lines()
        .iter()
        .position(|(key, text)| key.is_none() && text == scope.title())
        .unwrap_or(0)
}

/// Draws help.
pub fn draw_help(pen: &mut Pen, area: Rect, scroll: usize) {
    pen.text(area, 1, 0, "Keys", Role::Heading);
    pen.text_right(
        area,
        1,
        0,
        "The key that took one step takes no other until a different key has come.",
        Role::Aside,
    );
    pen.rule(area, 1);
    let rows = area.height.saturating_sub(2);
    for (y, (key, meaning)) in (2u16..).zip(
        help_lines()
            .into_iter()
            .skip(scroll)
            .take(usize::from(rows)),
    ) {
        match key {
            None => {
                pen.text(area, 1, y, &meaning, Role::Heading);
            }
            Some(key) => {
                pen.text(area, 3, y, &key, Role::Key);
                pen.text(area, 20, y, &meaning, Role::Text);
            }
        }
    }
}

/// Draws a page.
pub fn draw_page(pen: &mut Pen, area: Rect, page: &Page) {
    pen.text(area, 1, 0, &page.title, Role::Heading);
    pen.rule(area, 1);
    let rows = usize::from(area.height.saturating_sub(2));
    for (y, line) in (2u16..).zip(page.lines.iter().skip(page.scroll).take(rows)) {
        pen.text(area, 3, y, line, Role::Text);
    }
}

/// Draws STOP.
pub fn draw_stop(pen: &mut Pen, area: Rect) {
    let line = " ".repeat(usize::from(area.width));
    pen.text(area, 0, 0, &line, Role::Stop);
    pen.text(
        area,
        1,
        0,
        "STOP. Hands off. What happened? One key writes it.",
        Role::Stop,
    );
    for (y, (at, kind)) in (2u16..).step_by(2).zip(StopKind::ALL.iter().enumerate()) {
        pen.text(area, 4, y, &format!("{}", at + 1), Role::Key);
        pen.text(area, 8, y, kind.words(), Role::Heading);
    }
    pen.text(
        area,
        1,
        13,
        "Help people first. The record can wait; nothing goes on by itself.",
        Role::Text,
    );
}

/// Draws a list of choices; the cursor's place.
pub fn draw_menu(pen: &mut Pen, area: Rect, menu: &Menu) -> (u16, u16) {
    // A line that is not seen cannot be chosen: rules and heading give their rows to a long list.
    let lines = u16::try_from(menu.lines.len()).unwrap_or(u16::MAX);
    let spare = area.height.saturating_sub(1).saturating_sub(lines);
    let mut first = 0;
    if spare >= 2 {
        pen.text(area, 1, 0, &menu.title, Role::Heading);
        first = 1;
    }
    if spare >= 3 {
        pen.rule(area, 1);
        first = 2;
    }
    for (y, (at, (line, _))) in (first..).zip(menu.lines.iter().enumerate()) {
        pen.text(area, 3, y, &format!("{:>2}", at + 1), Role::Key);
        pen.text(area, 7, y, line, Role::Text);
    }
    let y = area.height.saturating_sub(1);
    if spare >= 1 {
        pen.rule(area, y.saturating_sub(1));
    }
    let x = pen.text(area, 2, y, "which?   ", Role::Question);
    pen.field(area, x, y, &menu.field, 4).1
}

/// Columns a label of a form may take; a longer one would be cut on the narrowest screen that shows everything.
const LABEL: u16 = 34;

/// Draws a form; the cursor's place, where it has one.
pub fn draw_form(pen: &mut Pen, area: Rect, form: &Form, act_keys: &str) -> Option<(u16, u16)> {
    pen.text(area, 1, 0, &form.title, Role::Heading);
    pen.rule(area, 1);
    let mut y = 2;
    for sentence in &form.lead {
        y = pen.wrapped(area, 1, y, sentence, Role::Text);
    }
    if !form.lead.is_empty() {
        y += 1;
    }
    let label_columns = form
        .lines
        .iter()
        .map(|line| columns(&line.label))
        .max()
        .unwrap_or(0)
        .min(LABEL);
    // Where the lines do not fit, those above the current one make room.
    let room = usize::from(area.height.saturating_sub(y + 3));
    let from = (form.at + 1).saturating_sub(room.max(1));
    let mut cursor = None;
    for (at, line) in form.lines.iter().enumerate().skip(from).take(room.max(1)) {
        debug_assert!(columns(&line.label) <= LABEL, "cut: {}", line.label);
        let current = at == form.at;
        let role = if current { Role::Due } else { Role::Text };
        pen.text(area, 1, y, if current { "▸" } else { " " }, role);
        pen.text(
            Rect {
                width: label_columns + 3,
                ..area
            },
            3,
            y,
            &line.label,
            role,
        );
        let x = label_columns + 5;
        match &line.slot {
            Slot::Text(field) => {
                let inside = area.width.saturating_sub(x + 6).min(48);
                let (end, at) = pen.field(area, x, y, field, inside);
                if field.shown() == super::field::Shown::Counted && !field.is_empty() {
                    pen.text(area, end + 1, y, &field.count().to_string(), Role::Aside);
                }
                if current {
                    cursor = Some(at);
                }
            }
            Slot::Pick { labels, at } => y = draw_pick(pen, area, (x, y), labels, *at, current),
            Slot::Ticks { labels, on, at } => {
                y = draw_ticks(pen, area, (x, y), labels, on, current.then_some(*at));
            }
        }
        y += 1;
    }
    draw_form_foot(pen, area, form, act_keys);
    cursor
}

/// Under a form: the hint of the current line, and what taking the form does.
fn draw_form_foot(pen: &mut Pen, area: Rect, form: &Form, act_keys: &str) {
    let bottom = area.height.saturating_sub(1);
    if let Some(hint) = form
        .lines
        .get(form.at)
        .map(|line| &line.hint)
        .filter(|hint| !hint.is_empty())
    {
        let lines = wrap(hint, usize::from(area.width.saturating_sub(3)));
        let first = bottom.saturating_sub(u16::try_from(lines.len()).unwrap_or(1));
        for (row, line) in (first..).zip(lines) {
            pen.text(area, 3, row, &line, Role::Aside);
        }
    }
    let (role, text) = if form.at_end() {
        (Role::Due, format!("▸ {act_keys}: {}", form.takes))
    } else {
        (Role::Aside, format!("  then: {}", form.takes))
    };
    pen.text(area, 1, bottom, &text, role);
}

/// Draws what is picked, over several rows where one is too short; the last row used.
fn draw_pick(
    pen: &mut Pen,
    area: Rect,
    (x, y): (u16, u16),
    labels: &[String],
    at: Option<usize>,
    current: bool,
) -> u16 {
    if labels.is_empty() {
        pen.text(area, x, y, "nothing to choose from", Role::Watch);
        return y;
    }
    let picked = at.and_then(|at| labels.get(at).map(|label| format!("{} {label}", at + 1)));
    let role = if picked.is_some() {
        Role::Heading
    } else {
        Role::Aside
    };
    let others = (current && labels.len() > 1).then(|| format!("◂ ▸  1 to {}", labels.len()));
    let kept = others.as_ref().map_or(1, |others| columns(others) + 3);
    let room = usize::from(area.width.saturating_sub(x + kept));
    let lines = wrap(picked.as_deref().unwrap_or("choose"), room);
    let mut end = x;
    let mut row = y;
    for (at, line) in (y..).zip(&lines) {
        row = at;
        end = pen.text(area, x, row, line, role);
    }
    if let Some(others) = others {
        pen.text(area, end + 2, row, &others, Role::Key);
    }
    row
}

/// Draws what may be ticked, on as many rows as it takes; the last of them.
fn draw_ticks(
    pen: &mut Pen,
    area: Rect,
    (left, y): (u16, u16),
    labels: &[String],
    on: &[bool],
    at: Option<usize>,
) -> u16 {
    let (mut x, mut y) = (left, y);
    for (place, label) in labels.iter().enumerate() {
        let ticked = on.get(place).copied().unwrap_or(false);
        let role = match (at == Some(place), ticked) {
            (true, _) => Role::Due,
            (false, true) => Role::Heading,
            (false, false) => Role::Aside,
        };
        let mark = if ticked { "x" } else { " " };
        let text = format!("[{mark}]{}{label}", place + 1);
        if x > left && x + columns(&text) >= area.width {
            (x, y) = (left, y + 1);
        }
        x = pen.text(area, x, y, &text, role) + 1;
    }
    y
}
