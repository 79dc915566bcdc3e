//! A signature: the person, his passphrase once a shift, then his PIN with the count of digits in sight.

use ratatui::layout::Rect;
use reseat_record::log::Id;
use reseat_record::rebuild::{Ask, Command, Given, Point, Start};

use super::bench::lists::more;
use super::draw::{Paged, Pen, cut, wrap};
use super::field::Field;
use super::message::{Change, Effect, Said, Secret};
use super::model::{Common, Press};
use super::overlay::{Wish, scroll_by, type_into};
use super::view::under_strip;
use crate::keys::Action;
use crate::theme::Role;

/// What the signature of whoever takes a rebuild up means.
pub const TAKES_UP: &str = "takes the rebuild up, at the unit";

/// What is done once the PIN was right.
#[derive(Debug, Clone, PartialEq)]
pub enum Pending {
    /// A command of the open rebuild.
    Act(Command),
    /// The answer to a question that wants this person.
    Answer(Point),
    /// Taking a rebuild up.
    TakeUp(Id),
    /// Starting one.
    Start(Start),
    /// A change of the register.
    Change(Change),
    /// Readings put in doubt, for this reason.
    Recall(String),
}

impl Pending {
    /// The effect, signed by `signer`.
    pub fn effect(self, signer: Id) -> Effect {
        match self {
            Self::Act(command) => Effect::Act {
                command,
                signer: Some(signer),
            },
            Self::Answer(point) => Effect::Act {
                command: Command::Answer {
                    point,
                    given: Given::Person(signer),
                },
                signer: Some(signer),
            },
            Self::TakeUp(stream) => Effect::TakeUp { stream, by: signer },
            Self::Start(chosen) => Effect::Start { chosen, signer },
            Self::Change(change) => Effect::Change { change, by: signer },
            Self::Recall(reason) => Effect::SignRecall { reason, by: signer },
        }
    }
}

/// What is asked of the signer now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// Who.
    Person,
    /// The passphrase.
    Passphrase,
    /// The PIN.
    Pin,
}

/// A signature being given.
#[derive(Debug, Clone, PartialEq)]
pub struct Sign {
    /// What it means, in words.
    pub meaning: String,
    /// Who may sign.
    pub among: Vec<(Id, String)>,
    /// Who signs.
    pub person: Option<(Id, String)>,
    /// What is asked.
    pub stage: Stage,
    /// What is typed.
    pub field: Field,
    /// What follows.
    pub then: Pending,
    /// What is signed, in sentences.
    pub told: Vec<String>,
    /// First row of it shown.
    pub scroll: usize,
}

impl Sign {
    /// A signature by one of `among`; where it is one person only, he is not asked for.
    pub fn new(
        meaning: impl Into<String>,
        among: Vec<(Id, String)>,
        then: Pending,
        common: &Common,
    ) -> Self {
        let mut sign = Self {
            meaning: meaning.into(),
            person: None,
            stage: Stage::Person,
            field: Field::new(60),
            then,
            among,
            told: Vec::new(),
            scroll: 0,
        };
        if let [only] = sign.among.as_slice() {
            let only = only.clone();
            sign.choose(only, common);
        }
        sign
    }

    /// With the sentences of the question it answers: nobody signs what he is not shown.
    #[must_use]
    pub fn telling(mut self, ask: &Ask) -> Self {
        let act = ask.step.as_ref().map(|step| step.text.clone());
        self.told.extend(act);
        self.told.extend(ask.notice.iter().cloned());
        self.told.push(ask.prompt.clone());
        self.told.extend(ask.detail.iter().cloned());
        self
    }

    fn choose(&mut self, person: (Id, String), common: &Common) {
        self.stage = if common.unsealed.contains_key(&person.0) {
            Stage::Pin
        } else {
            Stage::Passphrase
        };
        self.person = Some(person);
        self.field = if self.stage == Stage::Pin {
            Field::counted(32)
        } else {
            Field::counted(128)
        };
    }

    /// A key.
    pub fn press(&mut self, press: &Press, common: &mut Common) -> Wish {
        match press.action {
            Some(Action::Back) => {
                return Wish {
                    close: true,
                    ..Wish::default()
                };
            }
            Some(Action::Take) => {
                return Wish {
                    effects: self.take(press, common),
                    ..Wish::default()
                };
            }
            Some(action @ (Action::PageUp | Action::PageDown)) => {
                let area = under_strip(common);
                let room = self.told_rows(area).len();
                let rows = self.told_lines(area.width).len();
                scroll_by(&mut self.scroll, Some(action), room, rows);
            }
            Some(action) => {
                self.field.edit(action);
            }
            None => {
                return Wish {
                    effects: self.take_character(press, common),
                    ..Wish::default()
                };
            }
        }
        Wish::default()
    }

    /// A character typed. The last digit of the PIN takes it: an Enter behind each signature is a key too many with gloves on.
    pub fn take_character(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        type_into(&mut self.field, press, common);
        if self.digits(common) != Some(self.field.count()) {
            return Vec::new();
        }
        let effects = self.take(press, common);
        if !effects.is_empty() {
            common.guard.enter_comes_behind();
        }
        effects
    }

    /// How many digits the PIN asked for has.
    fn digits(&self, common: &Common) -> Option<usize> {
        let (id, _) = self.person.as_ref().filter(|_| self.stage == Stage::Pin)?;
        common.unsealed.get(id).copied()
    }

    fn take(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        if self.field.is_empty() {
            common.note("Nothing was typed yet.");
            return Vec::new();
        }
        let Some((id, _)) = self.person.clone() else {
            self.take_person(press, common);
            return Vec::new();
        };
        if !common.takes(press) {
            return Vec::new();
        }
        let secret = Secret(self.field.secret());
        self.field.clear();
        match self.stage {
            Stage::Pin => vec![Effect::CheckPin(id, secret)],
            Stage::Passphrase | Stage::Person => vec![Effect::Unseal(id, secret)],
        }
    }

    fn take_person(&mut self, press: &Press, common: &mut Common) {
        match find(self.field.text(), &self.among) {
            Some(person) => {
                if common.takes(press) {
                    self.choose(person, common);
                }
            }
            None => {
                common.refuse(
                    "nobody-of-that-name",
                    format!(
                        "\"{}\" is none of those who may sign this.",
                        super::draw::clean(self.field.text())
                    ),
                    "Type the number or the name of a person on the list.",
                );
            }
        }
    }

    /// The person's key is unsealed: on to the PIN.
    pub fn unsealed(&mut self, common: &mut Common) {
        self.stage = Stage::Pin;
        self.field = Field::counted(32);
        common.asked_anew();
    }

    /// Passphrase or PIN was wrong.
    pub fn not_proved(&mut self, said: Said, common: &mut Common) {
        if let Some(person) = self.person.clone() {
            self.choose(person, common);
        }
        common.asked_anew();
        common.said = Some(said);
    }

    /// What is signed, in rows of this width.
    fn told_lines(&self, width: u16) -> Vec<String> {
        let room = usize::from(width.saturating_sub(4));
        let told = self.told.iter();
        told.flat_map(|sentence| wrap(sentence, room)).collect()
    }

    /// The rows what is signed is drawn in: under the people, above the field.
    fn told_rows(&self, area: Rect) -> std::ops::Range<u16> {
        let people = match &self.person {
            None => u16::try_from(self.among.len()).unwrap_or(u16::MAX),
            Some(_) => 3,
        };
        let top = people.saturating_add(4);
        top..area.height.saturating_sub(2).max(top)
    }

    fn draw_told(&self, pen: &mut Pen, area: Rect) {
        let at = self.told_rows(area);
        let lines = self.told_lines(area.width);
        let list = Paged {
            home: self.scroll,
            rows: lines.len(),
            room: at.len(),
        };
        let from = list.from(0);
        for (row, line) in at.clone().zip(lines.iter().skip(from)) {
            pen.text(area, 3, row, line, Role::Text);
        }
        let field = Rect {
            y: area.y + area.height.saturating_sub(1),
            ..area
        };
        more(pen, field, list, from);
    }

    /// Draws it; the cursor's place.
    pub fn draw(&self, pen: &mut Pen, area: Rect, common: &Common) -> (u16, u16) {
        pen.text(
            area,
            1,
            0,
            &format!("Signature: {}", self.meaning),
            Role::Heading,
        );
        pen.rule(area, 1);
        let mut y = 3;
        match &self.person {
            None => {
                for (at, (_, name)) in self.among.iter().enumerate() {
                    pen.text(area, 3, y, &format!("{:>2}", at + 1), Role::Key);
                    pen.text(area, 7, y, name, Role::Text);
                    y += 1;
                }
            }
            Some((_, name)) => {
                pen.text(area, 3, y, name, Role::Heading);
                pen.text(
                    area,
                    3,
                    y + 2,
                    "The PIN is typed for each signature; the passphrase once a shift.",
                    Role::Aside,
                );
            }
        }
        let bottom = area.height.saturating_sub(1);
        pen.rule(area, bottom.saturating_sub(1));
        self.draw_told(pen, area);
        // The field says whose secret it wants: two people stand at one keyboard.
        let whose = self.person.as_ref().map_or("", |(_, name)| name.as_str());
        let whose = cut(whose, usize::from(area.width).saturating_sub(66).max(14));
        let label = match self.stage {
            Stage::Person => "who signs? number or name   ".to_owned(),
            Stage::Passphrase => format!("{whose}: passphrase   "),
            Stage::Pin => format!("{whose}: PIN   "),
        };
        let x = pen.text(area, 2, bottom, &label, Role::Question);
        let digits = self.digits(common);
        let wide = digits
            .and_then(|digits| u16::try_from(digits).ok())
            .map_or(28, |digits| digits.clamp(6, 26) + 2);
        let (end, cursor) = pen.field(area, x, bottom, &self.field, wide);
        let mut takes = "Enter takes it";
        if let Some(digits) = digits {
            let told = format!("{} of {digits}", self.field.count());
            pen.text(area, end + 2, bottom, &told, Role::Text);
            takes = "last digit takes it";
        }
        pen.text_right(area, 1, bottom, takes, Role::Key);
        cursor
    }
}

/// The person meant by a number from 1, an id, a whole name or the one beginning of a name or of its last word.
pub fn find(text: &str, among: &[(Id, String)]) -> Option<(Id, String)> {
    let text = text.trim();
    if let Ok(number) = text.parse::<usize>() {
        return among.get(number.checked_sub(1)?).cloned();
    }
    let folded = text.to_lowercase();
    if folded.is_empty() {
        return None;
    }
    let exact = among
        .iter()
        .find(|(id, name)| id.to_string() == text || name.to_lowercase() == folded);
    if exact.is_some() {
        return exact.cloned();
    }
    let mut begins = among.iter().filter(|(_, name)| {
        let name = name.to_lowercase();
        name.starts_with(&folded)
            || name
                .split(' ')
                .next_back()
                .is_some_and(|last| last.starts_with(&folded))
    });
    let first = begins.next()?;
    if begins.next().is_some() {
        None
    } else {
        Some(first.clone())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_person_is_found_by_number_name_or_its_one_beginning() {
        let among: Vec<(Id, String)> = ["Ines Falk", "Rurik Odde", "Rurik Orr"]
            .iter()
            .zip(1..)
            .map(|(name, byte)| (Id::from_bytes([byte; 10]), (*name).to_owned()))
            .collect();
        assert_eq!(find("2", &among).unwrap().1, "Rurik Odde");
        assert_eq!(find("falk", &among).unwrap().1, "Ines Falk");
        assert_eq!(find("rurik odde", &among).unwrap().1, "Rurik Odde");
        assert_eq!(find("rurik", &among), None);
        assert_eq!(find("0", &among), None);
        assert_eq!(find("4", &among), None);
        assert_eq!(find(" ", &among), None);
    }
}
