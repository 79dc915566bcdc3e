//! The bench of a rebuild under way: the picture of what is in hand, with the section beside it and the last rebuild below
//! where there is room.

use ratatui::layout::Rect;
use reseat_record::rebuild::view::Gauge;
use reseat_record::rebuild::{Bench, PROVES_NOTHING};

use super::bench::{decay, isolation, joint, lists, repeats, window};
use super::draw::Pen;
use super::work::Work;
use super::work_view::rows;
use crate::theme::Role;

/// Rows a gauge takes.
const GAUGE_ROWS: u16 = 2;

impl Work {
    pub(super) fn draw_bench(&self, pen: &mut Pen, area: Rect) {
        if area.height < 2 {
            return;
        }
        let sight = &self.sight;
        let area = self.draw_section_beside(pen, area);
        let area = self.draw_last_below(pen, area);
        match &sight.ask.bench {
            Bench::Steps => lists::steps(pen, area, &sight.steps, self.scroll),
            Bench::Isolation => {
                let y = isolation::draw(pen, area, sight, self.scroll);
                // Where a release is asked it stands with what is released.
                let told = sight.ask.detail.iter().any(|line| line == PROVES_NOTHING);
                if y < area.height && !told {
                    pen.text(area, 1, area.height - 1, PROVES_NOTHING, Role::Aside);
                }
            }
            Bench::Joint(_) => {
                if let Some(view) = &sight.joint {
                    joint::draw(pen, area, view);
                }
            }
            Bench::Window(_) => self.draw_reading(pen, area),
            Bench::Parts => lists::parts(pen, area, &sight.parts, self.scroll),
            Bench::Open => lists::open(pen, area, &sight.open, self.scroll),
            Bench::Test => self.draw_test(pen, area),
        }
    }

    /// On a wide screen, the steps of the section to the left of another picture; what is left of the area.
    fn draw_section_beside(&self, pen: &mut Pen, area: Rect) -> Rect {
        let wide = area.width >= 120 && area.height >= 16;
        let shown = matches!(self.sight.ask.bench, Bench::Steps);
        if !wide || shown || self.sight.steps.is_empty() {
            return area;
        }
        let left = Rect {
            width: 46,
            height: area.height.saturating_sub(1),
            y: area.y + 1,
            ..area
        };
        pen.text(area, 1, 0, "this section", Role::Aside);
        lists::steps(pen, left, &self.sight.steps, 0);
        Rect {
            x: area.x + 48,
            width: area.width - 48,
            ..area
        }
    }

    /// On a high screen, the last rebuild under the picture; what is left of the area.
    fn draw_last_below(&self, pen: &mut Pen, area: Rect) -> Rect {
        let last = &self.sight.last;
        if last.is_empty() || area.height < 16 {
            return area;
        }
        let rows = (rows(last.len()) + 1).min(area.height / 3);
        let below = Rect {
            y: area.y + area.height - rows,
            height: rows,
            ..area
        };
        pen.text(below, 1, 0, "last rebuild", Role::Aside);
        let lines = Rect {
            y: below.y + 1,
            height: rows - 1,
            ..below
        };
        lists::lines(pen, lines, last, 0);
        Rect {
            height: area.height - rows,
            ..area
        }
    }

    /// What a reading is held against: readings to be repeated, a hold, its window; else the steps.
    fn draw_reading(&self, pen: &mut Pen, area: Rect) {
        let sight = &self.sight;
        let repeated = sight.repeats.as_ref();
        let drawn = repeated.is_some_and(|view| repeats::draw(pen, area, view));
        if drawn || self.held(pen, area) {
            return;
        }
        if let Some(gauge) = &sight.gauge {
            let top = area.height.saturating_sub(GAUGE_ROWS) / 2;
            draw_gauge(pen, area, top, gauge);
        } else {
            lists::steps(pen, area, &sight.steps, self.scroll);
        }
    }

    /// The hold where there is one; else what the test asks, with the window of its reading below.
    fn draw_test(&self, pen: &mut Pen, area: Rect) {
        if self.held(pen, area) {
            return;
        }
        let sight = &self.sight;
        let gauge = sight.gauge.as_ref().filter(|_| area.height >= 4);
        let lines = Rect {
            height: area.height - if gauge.is_some() { GAUGE_ROWS } else { 0 },
            ..area
        };
        if sight.test.is_empty() {
            lists::steps(pen, lines, &sight.steps, self.scroll);
        } else {
            lists::lines(pen, lines, &sight.test, self.scroll);
        }
        if let Some(gauge) = gauge {
            draw_gauge(pen, area, lines.height, gauge);
        }
    }

    /// Draws the hold of the step due; whether there is one and it had room.
    fn held(&self, pen: &mut Pen, area: Rect) -> bool {
        let view = self.sight.decay.as_ref();
        view.is_some_and(|view| decay::draw(pen, area, view))
    }
}

/// A window with its reading, so many rows down.
fn draw_gauge(pen: &mut Pen, area: Rect, down: u16, gauge: &Gauge) {
    let place = Rect {
        y: area.y + down,
        height: GAUGE_ROWS,
        ..area
    };
    window::draw(pen, place, gauge);
}
