//! Founding a home: five answers, then the site key's words, shown once.

use ratatui::layout::Rect;

use super::draw::Pen;
use super::field::Field;
use super::form::{Did, FILL_IN, Form};
use super::message::{Effect, FoundingTyped, Secret};
use super::model::{Common, Press};
use super::overlay::{draw_form, say_overflow, type_into};
use super::register_forms::twice_alike;
use crate::keys::Action;
use crate::theme::Role;

/// The founding form.
#[derive(Debug, Clone, PartialEq)]
pub struct Founding {
    /// The form.
    pub form: Form,
}

impl Default for Founding {
    fn default() -> Self {
        let form = Form::new(
            "This home is empty: found it",
            "found the home; the words of the site key come next",
        )
        .lead(&[
            "One laptop's records live in one home. The first lead enrols everybody else later.",
        ])
        .text(
            "site",
            "name of the site",
            60,
            "As it is printed on records.",
        )
        .text(
            "rule",
            "lockout rule the site follows",
            60,
            "Such as 29 CFR 1910.147, or the site's own number.",
        )
        .text(
            "lead",
            "name of the first lead",
            60,
            "He keeps the register.",
        )
        .secret(
            "passphrase",
            "his passphrase",
            128,
            "At least 8 characters, 10 if digits only. Typed once per shift.",
        )
        .secret("again", "passphrase again", 128, "")
        .secret(
            "pin",
            "his PIN",
            32,
            "At least 6 digits. Typed for each signature.",
        )
        .secret("pin_again", "PIN again", 32, "");
        Self { form }
    }
}

impl Founding {
    /// A key.
    pub fn press(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        match self.form.press(press.stroke, press.action) {
            Did::Takes if common.takes(press) => return self.take(common),
            Did::Arrived => {
                common.guard.asked_anew();
                common.guard.spend(press.stroke);
            }
            _ => say_overflow(self.form.open_field(), common),
        }
        Vec::new()
    }

    fn take(&mut self, common: &mut Common) -> Vec<Effect> {
        let names = self.form.names();
        if let Some(sentence) = self.form.go_to_unanswered(&names) {
            common.refuse("empty", sentence, FILL_IN);
            return Vec::new();
        }
        if !twice_alike(&mut self.form, common) {
            return Vec::new();
        }
        let secret =
            |name: &str| Secret(self.form.field(name).map(Field::secret).unwrap_or_default());
        vec![Effect::Found(FoundingTyped {
            site: self.form.typed("site").to_owned(),
            rule: self.form.typed("rule").to_owned(),
            lead: self.form.typed("lead").to_owned(),
            passphrase: secret("passphrase"),
            pin: secret("pin"),
        })]
    }

    /// Draws it; the cursor's place.
    pub fn draw(&self, pen: &mut Pen, area: Rect, common: &Common) -> Option<(u16, u16)> {
        draw_form(pen, area, &self.form, common.guard.act_keys())
    }
}

/// The words of the site key, to be written down; two of them are asked back before they go.
#[derive(Debug, Clone, PartialEq)]
pub struct Words {
    /// The words.
    pub words: Secret,
    /// Which words are asked back, from 0.
    pub asked: Vec<usize>,
    /// How many of them were answered.
    pub answered: usize,
    /// What is typed.
    pub field: Field,
}

impl Words {
    /// The screen for these words: one from the first half and the last one are asked back.
    pub fn new(words: Secret) -> Self {
        let count = words.0.split_whitespace().count();
        let asked = if count < 4 {
            vec![0]
        } else {
            vec![count / 3, count - 1]
        };
        Self {
            words,
            asked,
            answered: 0,
            field: Field::new(24),
        }
    }

    /// A key.
    pub fn press(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        match press.action {
            Some(Action::Take) => return self.take(press, common),
            Some(action) => {
                self.field.edit(action);
            }
            None => type_into(&mut self.field, press, common),
        }
        Vec::new()
    }

    fn take(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        let wanted = self
            .asked
            .get(self.answered)
            .and_then(|at| self.words.0.split_whitespace().nth(*at));
        if !wanted.is_some_and(|word| word.eq_ignore_ascii_case(self.field.text().trim())) {
            common.refuse(
                "other-word",
                "That is not the word asked for.",
                "Read it off the paper, not off the screen.",
            );
            self.field.clear();
            return Vec::new();
        }
        if !common.takes(press) {
            return Vec::new();
        }
        self.field.clear();
        self.answered += 1;
        if self.answered == self.asked.len() {
            vec![Effect::LoadHome]
        } else {
            Vec::new()
        }
    }

    /// Draws it; the cursor's place.
    pub fn draw(&self, pen: &mut Pen, area: Rect) -> (u16, u16) {
        pen.text(
            area,
            1,
            0,
            "The words of the site's private key",
            Role::Heading,
        );
        pen.rule(area, 1);
        let mut y = 2;
        for sentence in [
            "Write these words on paper, in order, and keep the paper in a safe. They are shown once and stored nowhere.",
            "They alone can enrol a lead when none is left.",
        ] {
            y = pen.wrapped(area, 1, y, sentence, Role::Text);
        }
        y += 1;
        let count = self.words.0.split_whitespace().count();
        let rows = count.div_ceil(4).max(1);
        for (at, word) in self.words.0.split_whitespace().enumerate() {
            let (column, row) = (at / rows, at % rows);
            let x = 2 + u16::try_from(column).unwrap_or(0) * 19;
            let row = y + u16::try_from(row).unwrap_or(0);
            let x = pen.text(area, x, row, &format!("{:>2} ", at + 1), Role::Aside);
            pen.text(area, x, row, word, Role::Heading);
        }
        let bottom = area.height.saturating_sub(1);
        pen.rule(area, bottom.saturating_sub(1));
        let number = self.asked.get(self.answered).map_or(0, |at| at + 1);
        let x = pen.text(
            area,
            2,
            bottom,
            &format!("from your paper: word {number}   "),
            Role::Question,
        );
        let cursor = pen.field(area, x, bottom, &self.field, 20).1;
        pen.text_right(area, 1, bottom, "Enter takes it", Role::Key);
        cursor
    }
}
