//! An instrument found out: what the bench found, point by point, and every reading since its last good check judged again.
//! The list stands before anybody signs it.

use ratatui::layout::Rect;

use super::deeds::{Purpose, sheet};
use super::draw::{Pen, Wrapped};
use super::message::Effect;
use super::model::{Common, Press};
use super::overlay::{Overlay, scroll_by};
use super::register_forms::Entering;
use super::sight::RecallSight;
use crate::keys::Action;
use crate::theme::Role;

/// A recall before it is signed.
#[derive(Debug, Clone, PartialEq)]
pub struct Recall {
    /// What it shows.
    pub sight: RecallSight,
    /// First line shown.
    pub scroll: usize,
}

impl Recall {
    /// The screen for a sight.
    pub fn new(sight: RecallSight) -> Self {
        Self { sight, scroll: 0 }
    }

    /// A key.
    pub fn press(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        let asked = &self.sight.asked;
        match press.action {
            Some(Action::Back) => return vec![Effect::LoadRegister],
            Some(Action::Add) => self.open(Entering::BenchPoint(asked.clone()), common),
            Some(Action::Change) => {
                let day = self.sight.since.clone();
                self.open(Entering::LastCheck(asked.clone(), day), common);
            }
            Some(Action::Retire) => {
                let mut asked = asked.clone();
                if asked.found.pop().is_some() {
                    return vec![Effect::LoadRecall(asked)];
                }
                common.refuse(
                    "no-point",
                    "There is no bench point to take back.",
                    "A adds the first one.",
                );
            }
            Some(Action::Take) => self.sign(common),
            action => {
                let page = usize::from(common.size.1.saturating_sub(12)).max(1);
                let lines = self.sight.lines.len();
                scroll_by(&mut self.scroll, action, page, lines.max(page));
            }
        }
        Vec::new()
    }

    fn sign(&self, common: &mut Common) {
        let sight = &self.sight;
        if sight.asked.found.is_empty() {
            common.refuse(
                "no-point",
                "The bench has found nothing yet.",
                "A adds a point: what was true, and what it showed.",
            );
        } else if sight.lines.is_empty() {
            common.refuse(
                "nothing-read",
                format!(
                    "No reading of {} since {}.",
                    sight.asked.instrument, sight.since
                ),
                "There is nothing to put in doubt; C changes the day of the last good check.",
            );
        } else {
            let entering = Entering::PutInDoubt(sight.asked.instrument.clone(), sight.lines.len());
            self.open(entering, common);
        }
    }

    fn open(&self, entering: Entering, common: &mut Common) {
        let signers = self.sight.signers.clone();
        let sheet = sheet(Purpose::Register(entering), Vec::new(), signers, common);
        common.open(Overlay::Form(Box::new(sheet)));
    }

    /// Draws it.
    pub fn draw(&self, pen: &mut Pen, area: Rect) {
        let sight = &self.sight;
        pen.text(area, 1, 0, &sight.title, Role::Heading);
        pen.text_right(area, 1, 0, "found out on the bench", Role::Aside);
        let check = format!("last good check {}, {}", sight.since, sight.check);
        pen.text(area, 1, 1, &check, Role::Text);
        pen.text_right(area, 1, 1, &sight.service, Role::Watch);
        pen.rule(area, 2);
        let mut y = self.draw_points(pen, area, 3);
        pen.rule(area, y);
        let wide = area.width.saturating_sub(80);
        let at = [
            1,
            11 + wide / 8,
            22 + wide / 5,
            39 + wide / 3,
            51 + wide / 2,
            65 + wide / 2 + wide / 8,
        ];
        let heads = ["tag", "day", "what", "reading", "true", "stands"];
        for (x, head) in at.into_iter().zip(heads) {
            pen.text(area, x, y + 1, head, Role::Aside);
        }
        y += 2;
        let bottom = area.height.saturating_sub(2);
        let mut shown = self.scroll;
        for line in sight.lines.iter().skip(self.scroll) {
            let role = if line.changed { Role::High } else { Role::Text };
            let stands = (line.stands.as_str(), role);
            let plain = |text| (text, Role::Text);
            let texts = [
                plain(line.tag.as_str()),
                plain(&line.day),
                plain(&line.what),
                plain(&line.reading),
                plain(&line.truth),
                stands,
            ];
            let wrapped = Wrapped::new(&texts, &at, area.width);
            if usize::from(y) + wrapped.rows() > usize::from(bottom) {
                break;
            }
            y = wrapped.draw(pen, area, y, bottom);
            shown += 1;
        }
        if sight.lines.is_empty() {
            let text = if sight.asked.found.is_empty() {
                "The readings are listed once the bench has found something."
            } else {
                "No reading since the last good check rests on it."
            };
            pen.text(area, 3, y, text, Role::Text);
        }
        pen.rule(area, bottom);
        if shown < sight.lines.len() {
            let more = format!(" {} more below ", sight.lines.len() - shown);
            pen.text_right(area, 0, bottom, &more, Role::Key);
        }
        pen.text(area, 1, bottom + 1, &sight.sum, Role::Question);
    }

    /// What the bench found, side by side; the next free row.
    fn draw_points(&self, pen: &mut Pen, area: Rect, y: u16) -> u16 {
        if self.sight.points.is_empty() {
            let text =
                "No bench point yet. A adds one: what was true on the bench, and what it showed.";
            return pen.wrapped(area, 1, y, text, Role::Question);
        }
        let points = format!(
            "bench true → it showed:  {}",
            self.sight.points.join("    ")
        );
        pen.wrapped(area, 1, y, &points, Role::Text)
    }
}
