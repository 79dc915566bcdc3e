//! Model in, picture out; drawing changes nothing.

use ratatui::Frame;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::draw::{Pen, clean_screen, columns, wrap};
use super::model::{Common, Model, Screen};
use super::overlay::{Overlay, draw_form, draw_help, draw_menu, draw_page, draw_stop};
use super::update::scope;
use super::work_view::{KEYS_ROWS, STRIP_ROWS, draw_strip, rows};
use crate::keys;
use crate::theme::Role;

/// Least columns of a screen that can be drawn.
pub const LEAST_COLUMNS: u16 = 60;
/// Least rows.
pub const LEAST_ROWS: u16 = 20;

/// Draws the model and puts the cursor into the open field.
pub fn view(model: &Model, frame: &mut Frame) {
    let area = frame.area();
    if let Some(cursor) = draw(model, area, frame.buffer_mut()) {
        frame.set_cursor_position(cursor);
    }
}

/// Draws the model into a buffer; the cursor's place, where a field is open.
pub fn draw(model: &Model, area: Rect, buffer: &mut Buffer) -> Option<(u16, u16)> {
    let mut pen = Pen {
        buffer,
        scheme: model.common.scheme,
        lists: Vec::new(),
    };
    pen.clear(area);
    let cursor = if area.width < LEAST_COLUMNS || area.height < LEAST_ROWS {
        too_small(&mut pen, area);
        None
    } else {
        draw_whole(model, &mut pen, area)
    };
    clean_screen(pen.buffer);
    cursor
}

fn too_small(pen: &mut Pen, area: Rect) {
    let text = format!(
        "This window has {} columns and {} rows; the screens need {LEAST_COLUMNS} by {LEAST_ROWS}, best are 80 by 24 or more. \
         Make it larger, or the letters smaller. Nothing typed is lost.",
        area.width, area.height
    );
    pen.wrapped(area, 0, 0, &text, Role::Text);
}

fn draw_whole(model: &Model, pen: &mut Pen, area: Rect) -> Option<(u16, u16)> {
    draw_keys(model, pen, area);
    let body = Rect {
        height: area.height - KEYS_ROWS,
        ..area
    };
    let work_on_top = matches!(model.screen, Screen::Work(_)) && model.common.overlays.is_empty();
    // On the work screen what was said stands in the signal place; elsewhere above the keys.
    let body = if work_on_top {
        body
    } else {
        draw_said(model, pen, body)
    };
    match model.common.overlays.last() {
        None => draw_screen(model, pen, body),
        Some(overlay) => {
            let body = draw_overlay_strip(model, pen, body);
            match overlay {
                Overlay::Help(scroll) => {
                    draw_help(pen, body, *scroll);
                    None
                }
                Overlay::Stop => {
                    draw_stop(pen, body);
                    None
                }
                Overlay::Page(page) => {
                    draw_page(pen, body, page);
                    None
                }
                Overlay::Menu(menu) => Some(draw_menu(pen, body, menu)),
                Overlay::Form(sheet) => {
                    draw_form(pen, body, &sheet.form, model.common.guard.act_keys())
                }
                Overlay::Sign(sign) => Some(sign.draw(pen, body, &model.common)),
            }
        }
    }
}

fn draw_screen(model: &Model, pen: &mut Pen, body: Rect) -> Option<(u16, u16)> {
    let common = &model.common;
    match &model.screen {
        Screen::Blank => {
            pen.text(body, 1, 0, "reseat", Role::Heading);
            None
        }
        Screen::Founding(founding) => founding.draw(pen, body, common),
        Screen::Words(words) => Some(words.draw(pen, body)),
        Screen::Home(home) => Some(home.draw(pen, body)),
        Screen::Unit(unit) => {
            unit.draw(pen, body);
            None
        }
        Screen::Start(start) => start.draw(pen, body, common),
        Screen::Resume(resume) => {
            draw_strip(pen, body, &resume.sight.strip);
            resume.draw(
                pen,
                Rect {
                    y: body.y + STRIP_ROWS,
                    height: body.height - STRIP_ROWS,
                    ..body
                },
            )
        }
        Screen::Work(work) => work.draw(pen, body, common),
        Screen::Record(record) => {
            record.draw(pen, body);
            None
        }
        Screen::Register(register) => {
            register.draw(pen, body);
            None
        }
        Screen::Pages(pages) => {
            pages.draw(pen, body);
            None
        }
        Screen::Recall(recall) => {
            recall.draw(pen, body);
            None
        }
    }
}

/// The strip of the rebuild stays above whatever stands over it.
fn draw_overlay_strip(model: &Model, pen: &mut Pen, body: Rect) -> Rect {
    let strip = match &model.screen {
        Screen::Work(work) => &work.sight.strip,
        Screen::Resume(resume) => &resume.sight.strip,
        _ => return body,
    };
    draw_strip(pen, body, strip);
    Rect {
        y: body.y + STRIP_ROWS,
        height: body.height - STRIP_ROWS,
        ..body
    }
}

/// The area of an overlay above a rebuild, at the size last heard: under the strip, above what was said.
pub(super) fn under_strip(common: &Common) -> Rect {
    let (width, height) = common.size;
    let body = Rect::new(0, 0, width, height.saturating_sub(KEYS_ROWS));
    let said = rows_said(common, body).map_or(0, |(_, lines)| rows(lines.len()) + 1);
    Rect {
        y: STRIP_ROWS,
        height: body.height.saturating_sub(STRIP_ROWS + said),
        ..body
    }
}

/// The mark before what was said, and its rows.
fn rows_said(common: &Common, body: Rect) -> Option<(&'static str, Vec<String>)> {
    let said = common.said.as_ref()?;
    let mark = if said.refused { " REFUSED " } else { "" };
    let text = format!("{} {}", said.sentence, said.remedy);
    let room = body.width.saturating_sub(said_from(mark) + 1);
    let mut lines = wrap(text.trim(), usize::from(room));
    lines.truncate(usize::from(body.height / 3));
    Some((mark, lines))
}

/// The column what was said begins in.
fn said_from(mark: &str) -> u16 {
    if mark.is_empty() {
        1
    } else {
        columns(mark) + 2
    }
}

/// What was said, above the keys; the area left.
fn draw_said(model: &Model, pen: &mut Pen, body: Rect) -> Rect {
    let Some((mark, lines)) = rows_said(&model.common, body) else {
        return body;
    };
    let top = body.height - rows(lines.len());
    // A long list needs the row of the rule: a line that is not seen cannot be chosen.
    let listed = match model.common.overlays.last() {
        Some(Overlay::Menu(menu)) => rows(menu.lines.len()) + 1,
        _ => 0,
    };
    let ruled = listed + STRIP_ROWS < top;
    if ruled {
        pen.rule(body, top - 1);
    }
    pen.text(body, 1, top, mark, Role::Stop);
    for (row, line) in (top..).zip(lines) {
        pen.text(body, said_from(mark), row, &line, Role::Text);
    }
    Rect {
        height: if ruled { top - 1 } else { top },
        ..body
    }
}

/// The last line: the keys that work now, from the table, and the demo mark.
fn draw_keys(model: &Model, pen: &mut Pen, area: Rect) {
    let y = area.height - 1;
    pen.rule(area, y - 1);
    let mark = if model.common.demo { " DEMO " } else { "" };
    let room = area.width.saturating_sub(columns(mark));
    let (scope, _) = scope(model);
    let mut x = 1;
    for row in keys::footer(scope, usize::from(room)) {
        x = pen.text(area, x, y, &row.stroke.to_string(), Role::Key) + 1;
        x = pen.text(area, x, y, row.label, Role::Text) + 1;
    }
    if !mark.is_empty() {
        pen.text(area, room, y, mark, Role::Demo);
    }
}
