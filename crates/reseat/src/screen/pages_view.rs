//! Drawing of a procedure's page: the step and what was found on the left, the stack after it on the right.

use ratatui::layout::Rect;
use reseat_procedure::{Page, Severity, Stack, Stands};
use reseat_record::text::counted;

use super::draw::{Pen, columns, wrap};
use super::pages::Pages;
use crate::theme::Role;

/// Rows above the page.
const HEAD: u16 = 4;
/// Columns of the stack on a narrow screen.
const STACK: u16 = 33;

/// One row of a page: a text and its role on each side.
pub(super) struct Row {
    left: (String, Role),
    right: (String, Role),
}

impl Row {
    /// Whether a finding begins on it.
    pub(super) fn begins_finding(&self) -> bool {
        [Severity::Error, Severity::Warning, Severity::Note]
            .iter()
            .any(|severity| self.left.0.starts_with(&format!("{}[", severity.word())))
    }
}

/// Columns of the left side on a screen so wide.
fn left_columns(wide: u16) -> u16 {
    if wide >= 120 {
        wide / 2
    } else {
        wide.saturating_sub(STACK)
    }
}

/// Every row of a page on a screen of so many columns; nothing is cut.
pub(super) fn rows(page: &Page, pages: &Pages, wide: u16) -> Vec<Row> {
    let edge = left_columns(wide);
    let mut left = Side::new(edge.saturating_sub(2));
    match &page.step {
        None => cover(page, &mut left),
        Some(_) => step(page, pages, &mut left, wide >= 120),
    }
    let mut right = Side::new(wide.saturating_sub(edge + 2));
    if let Some(stack) = &page.stack {
        drawn(stack, &mut right);
    }
    let blank = || (String::new(), Role::Text);
    let many = left.lines.len().max(right.lines.len());
    let (mut left, mut right) = (left.lines.into_iter(), right.lines.into_iter());
    (0..many)
        .map(|_| Row {
            left: left.next().unwrap_or_else(blank),
            right: right.next().unwrap_or_else(blank),
        })
        .collect()
}

/// Lines of one side, wrapped to its width.
struct Side {
    width: usize,
    lines: Vec<(String, Role)>,
}

impl Side {
    fn new(width: u16) -> Self {
        Self {
            width: usize::from(width).max(8),
            lines: Vec::new(),
        }
    }

    /// A text whose first row begins with `head`; the others stand under its text.
    fn say(&mut self, head: &str, text: &str, role: Role) {
        let indent = unicode_width::UnicodeWidthStr::width(head);
        let room = self.width.saturating_sub(indent).max(8);
        for (at, line) in wrap(&super::draw::clean(text), room)
            .into_iter()
            .enumerate()
        {
            let lead = if at == 0 {
                head.to_owned()
            } else {
                " ".repeat(indent)
            };
            self.lines.push((format!("{lead}{line}"), role));
        }
    }

    fn gap(&mut self) {
        self.lines.push((String::new(), Role::Text));
    }
}

fn cover(page: &Page, left: &mut Side) {
    left.say("", &page.section, Role::Due);
    left.gap();
    for line in &page.cover {
        left.say("  ", line, Role::Text);
    }
    findings(page, left);
}

fn step(page: &Page, pages: &Pages, left: &mut Side, wide: bool) {
    let Some(step) = &page.step else { return };
    for warning in &step.warnings {
        let role = match warning.split(':').next() {
            Some("DANGER") => Role::Danger,
            Some("WARNING") => Role::Warning,
            Some("CAUTION") => Role::Caution,
            _ => Role::Notice,
        };
        left.say("", warning, role);
    }
    if !step.warnings.is_empty() {
        left.gap();
    }
    left.say(&format!("{:>3}  ", step.number), &step.text, Role::Due);
    for ask in &step.asks {
        left.say("     - ", ask, Role::Text);
    }
    for mark in &step.marks {
        left.say("     * ", mark, Role::Text);
    }
    if !page.ppe.is_empty() {
        left.say("     wear: ", &page.ppe.join(", "), Role::Aside);
    }
    findings(page, left);
    if wide {
        neighbours(pages, left);
    }
}

/// What was found, each with its remedy under it.
fn findings(page: &Page, left: &mut Side) {
    for finding in &page.findings {
        left.gap();
        let role = match finding.severity {
            Severity::Error => Role::High,
            Severity::Warning => Role::Watch,
            Severity::Note => Role::Aside,
        };
        let head = format!("{}[{}] ", finding.severity.word(), finding.code);
        left.say("", &format!("{head}{}", finding.message), role);
        left.say("  remedy: ", &finding.remedy, Role::Text);
    }
}

/// The steps around this one, where the screen has the room.
fn neighbours(pages: &Pages, left: &mut Side) {
    left.gap();
    let from = pages.at.saturating_sub(4).max(1);
    for (at, page) in pages.pages.iter().enumerate().skip(from).take(12) {
        let Some(step) = &page.step else { continue };
        let mark = if at == pages.at { "▸" } else { " " };
        let read = if pages.reading.was_seen(page) {
            "·"
        } else {
            " "
        };
        let found = if page.findings.is_empty() { " " } else { "!" };
        let role = if at == pages.at {
            Role::Due
        } else {
            Role::Aside
        };
        left.say(
            &format!("{mark}{found}{read}{:>3}  ", step.number),
            &step.text,
            role,
        );
    }
}

/// The stack, the outermost first: a bar, what it is, how it stands.
fn drawn(stack: &Stack, right: &mut Side) {
    right.say("", "the unit after this step", Role::Aside);
    for line in &stack.lines {
        let bar = match line.stands {
            Stands::On => "███",
            Stands::Loose => "▒▒▒",
            Stands::Off => "···",
        };
        let role = match (line.changed, line.stands) {
            (true, _) => Role::Due,
            (false, Stands::On) => Role::Text,
            (false, _) => Role::Watch,
        };
        let mark = if line.changed { "▸" } else { " " };
        let (bar, label) = match &line.joint {
            Some(joint) => ("═╪═", format!("{joint} {}", line.label)),
            None => (bar, line.label.clone()),
        };
        let inset = " ".repeat(line.depth.min(4) as usize);
        right.say(
            &format!("{mark}{inset}{bar} "),
            &format!("{label}: {}", line.words),
            role,
        );
    }
    for cover in &stack.covers {
        right.say(" + ", &format!("{cover}: on"), Role::Watch);
    }
    for inside in &stack.let_in {
        right.say(" ! ", &format!("in: {inside}"), Role::Stop);
    }
    let (on, of) = stack.locked;
    right.say("   ", &format!("locks on: {on} of {of}"), Role::Text);
    let (proved, sides) = stack.proved;
    right.say(
        "   ",
        &format!("zero proved: {proved} of {sides} sides"),
        Role::Text,
    );
}

impl Pages {
    /// Draws it.
    pub fn draw(&self, pen: &mut Pen, area: Rect) {
        let procedure = self.reading.procedure();
        let title = format!(
            "{} rev {}  {}",
            procedure.number, procedure.revision, procedure.title
        );
        let steps = self.pages.len().saturating_sub(1);
        let place = match self.page().and_then(|page| page.step.as_ref()) {
            Some(step) => format!("  step {} of {steps}", step.number),
            None => format!("  cover, {steps} steps"),
        };
        // The title stands whole on the cover.
        let beside = Rect {
            width: area.width.saturating_sub(columns(&place) + 1),
            ..area
        };
        pen.text(beside, 1, 0, &title, Role::Heading);
        pen.text_right(area, 1, 0, &place, Role::Text);
        self.draw_second(pen, area);
        self.draw_options(pen, area);
        pen.rule(area, HEAD - 1);
        let Some(page) = self.page() else { return };
        let rows = rows(page, self, area.width);
        let room = usize::from(area.height.saturating_sub(HEAD));
        let from = self.scroll.min(rows.len().saturating_sub(room));
        let edge = left_columns(area.width);
        for (y, row) in (HEAD..).zip(rows.iter().skip(from).take(room)) {
            pen.text(area, 1, y, &row.left.0, row.left.1);
            pen.text(area, edge, y, "│", Role::Rule);
            pen.text(area, edge + 2, y, &row.right.0, row.right.1);
        }
        let below = rows.len().saturating_sub(from + room);
        if below > 0 {
            let more = format!(" {} below ", counted(below, "more row", "more rows"));
            pen.text_right(area, 1, HEAD - 1, &more, Role::Key);
        }
    }

    fn draw_second(&self, pen: &mut Pen, area: Rect) {
        let page = self.page();
        let section = match page.and_then(|page| page.step.as_ref().map(|step| (page, step))) {
            Some((page, step)) => format!("{}, energy {}", page.section, step.energy),
            None => "what it is and what it needs".to_owned(),
        };
        pen.text(area, 1, 1, &section, Role::Text);
        let (read, of) = self.reading.read_of();
        let found: Vec<String> = [Severity::Error, Severity::Warning, Severity::Note]
            .into_iter()
            .map(|severity| (severity, self.reading.count(severity)))
            .filter(|(_, count)| *count > 0)
            .map(|(severity, count)| severity.counted(count))
            .collect();
        let found = if found.is_empty() {
            "nothing found".to_owned()
        } else {
            found.join(", ")
        };
        let told = format!("  read {read} of {of}, {found}");
        pen.text_right(area, 1, 1, &told, Role::Text);
    }

    fn draw_options(&self, pen: &mut Pen, area: Rect) {
        let routes = self.reading.routes();
        let Some(choices) = routes
            .get(self.route)
            .filter(|choices| !choices.0.is_empty())
        else {
            pen.text(area, 1, 2, "one route, no options", Role::Aside);
            return;
        };
        let words: Vec<String> = choices
            .0
            .iter()
            .map(|(option, value)| format!("{option} {value}"))
            .collect();
        pen.text(area, 1, 2, &words.join(", "), Role::Text);
        let which = format!("  options {} of {}", self.route + 1, routes.len());
        pen.text_right(area, 1, 2, &which, Role::Aside);
    }
}
