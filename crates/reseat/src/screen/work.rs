//! A rebuild under way: one screen that draws any question, in five places that never move.
//!
//! Strip, signal, act, bench, ask: what is needed stands where it stood. The screen holds no rule of the rebuild: it
//! hands back what was typed, and draws what comes.

use reseat_record::log::Id;
use reseat_record::rebuild::{Ask, Command, Point, Wants};

use super::deeds::{self, NOTE, Purpose};
use super::field::Field;
use super::handover;
use super::message::Effect;
use super::model::{Common, Press};
use super::overlay::{Overlay, type_into};
use super::sight::WorkSight;
use super::sign::{Pending, Sign, TAKES_UP};
use crate::keys::{Action, Stroke};

/// Most fasteners whose number is one key.
const ONE_KEY: u32 = 9;

/// A rebuild under way.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// The rebuild as it stands.
    pub sight: WorkSight,
    /// What is typed.
    pub field: Field,
    /// How many rows down the lists are paged from where they open; negative above it.
    pub scroll: isize,
}

/// An empty field for what an ask wants.
fn field_for(ask: &Ask) -> Field {
    match &ask.wants {
        Wants::Text => Field::new(NOTE),
        Wants::Signature { .. } | Wants::Person(_) => Field::new(60),
        Wants::Reading { .. } => Field::new(16),
        Wants::Count => Field::new(6),
        // An instrument may be named as well as chosen by its number.
        Wants::Choice(_) if !ask.offered.is_empty() => Field::new(24),
        _ => Field::new(3),
    }
}

impl Work {
    /// The screen for a sight.
    pub fn new(sight: WorkSight) -> Self {
        Self {
            field: field_for(&sight.ask),
            sight,
            scroll: 0,
        }
    }

    /// An act was written: what comes is a new question even where it reads the same.
    pub fn acted(&mut self, sight: WorkSight, common: &mut Common) {
        self.field = field_for(&sight.ask);
        self.scroll = 0;
        self.sight = sight;
        common.asked_anew();
    }

    /// The rebuild was looked at again: what is typed stays while the question is the same.
    pub fn seen(&mut self, sight: WorkSight, common: &mut Common) {
        if self.sight.ask == sight.ask {
            self.sight = sight;
        } else {
            self.acted(sight, common);
        }
    }

    /// Whether a text field is open.
    pub fn typing(&self) -> bool {
        match &self.sight.ask.wants {
            Wants::Act | Wants::Wait { .. } | Wants::Nothing => false,
            // What went otherwise begins with a 0, which completes nothing by itself.
            Wants::Fastener { of, .. } => *of > ONE_KEY || !self.field.is_empty(),
            Wants::Signature { among, .. } | Wants::Person(among) => among.len() > 1,
            Wants::Choice(_) | Wants::Reading { .. } | Wants::Count | Wants::Text => true,
        }
    }

    /// The unit's serial, to go back to.
    pub fn serial(&self) -> String {
        self.sight.strip.serial.clone()
    }

    /// A key.
    pub fn press(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        match press.action {
            Some(Action::Take | Action::TakeOther) => self.take(press, common),
            Some(Action::Back) => {
                if self.sight.may_leave {
                    return vec![Effect::LetGo, Effect::LoadUnit(self.serial())];
                }
                common.note("F4 pauses the work; then Esc goes back.");
                Vec::new()
            }
            Some(Action::Pause) if self.sight.may_leave => {
                match handover::menu(&self.sight) {
                    Some(menu) => common.open(Overlay::Menu(menu)),
                    None => common.note("Nothing goes on here: there is nothing to pause."),
                }
                Vec::new()
            }
            Some(Action::Pause) if common.takes(press) => {
                vec![Effect::Act {
                    command: Command::Pause { by_itself: false },
                    signer: None,
                }]
            }
            Some(Action::ReadRecord) => vec![Effect::LoadRecord(self.sight.stream)],
            Some(Action::Stop) => {
                common.open(Overlay::Stop);
                Vec::new()
            }
            Some(Action::More) => {
                common.open(Overlay::Menu(deeds::more(
                    self.sight.people.clone(),
                    common.demo,
                )));
                Vec::new()
            }
            Some(Action::TypedWrong) => self.open_sheet(Purpose::TypedWrong, common),
            Some(Action::Safer) => {
                self.open_sheet(Purpose::Safer(self.sight.venting.clone()), common)
            }
            Some(Action::PageDown) => {
                self.page(true, common);
                Vec::new()
            }
            Some(Action::PageUp) => {
                self.page(false, common);
                Vec::new()
            }
            Some(action) => {
                self.field.edit(action);
                Vec::new()
            }
            None if self.begins_signature(press, common) => Vec::new(),
            None if self.names_by_digit() && press.stroke.digit().is_some() => {
                self.bare(press, common)
            }
            None if self.typing() || self.goes_otherwise(press) => {
                type_into(&mut self.field, press, common);
                Vec::new()
            }
            None => self.bare(press, common),
        }
    }

    /// Where a signature is wanted, the first character opens it: of the PIN, or of the passphrase where the key is not open yet,
    /// where one person only may sign; else the number on the list. It completes nothing: the last digit of the PIN does. Taking
    /// up is signed too.
    fn begins_signature(&self, press: &Press, common: &mut Common) -> bool {
        let (meaning, among) = match &self.sight.ask.wants {
            Wants::Signature { meaning, among } => (*meaning, among),
            Wants::Person(among) if self.sight.ask.point == Point::Resume => (TAKES_UP, among),
            _ => return false,
        };
        if press.stroke.typed().is_none() || !self.field.is_empty() {
            return false;
        }
        let digit = press.stroke.digit();
        let begun = match among.as_slice() {
            // No letter begins a PIN.
            [only] if common.unsealed.contains_key(&only.0) => digit.map(|_| only),
            [only] => Some(only),
            several if several.len() <= ONE_KEY as usize => digit
                .and_then(|digit| (digit as usize).checked_sub(1))
                .and_then(|at| several.get(at)),
            _ => None,
        };
        let Some(person) = begun.cloned() else {
            return false;
        };
        let point = self.sight.ask.point.clone();
        let mut sign = Sign::new(meaning, vec![person], Pending::Answer(point), common)
            .telling(&self.sight.ask);
        if among.len() == 1 {
            sign.take_character(press, common);
        }
        common.open(Overlay::Sign(Box::new(sign)));
        true
    }

    /// Whether a person is named by one digit, his number on the list, as a signer is. Letters begin a name.
    fn names_by_digit(&self) -> bool {
        matches!(&self.sight.ask.wants, Wants::Person(among)
            if (2..=ONE_KEY as usize).contains(&among.len()) && self.field.is_empty())
    }

    /// Whether this is the 0 that begins what happened instead of a fastener's number.
    fn goes_otherwise(&self, press: &Press) -> bool {
        matches!(&self.sight.ask.wants, Wants::Fastener { instead, .. } if !instead.is_empty())
            && press.stroke.digit() == Some(0)
    }

    fn open_sheet(&self, purpose: Purpose, common: &mut Common) -> Vec<Effect> {
        let people = self.sight.people.clone();
        let sheet = deeds::sheet(purpose, people.clone(), people, common);
        common.open(Overlay::Form(Box::new(sheet)));
        Vec::new()
    }

    /// A digit or letter where no field is open.
    fn bare(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        match (&self.sight.ask.wants, press.stroke.digit()) {
            (Wants::Fastener { .. } | Wants::Person(_), Some(digit)) => {
                let effects = self.answer(&digit.to_string(), press, common);
                if !effects.is_empty() {
                    common.guard.enter_comes_behind();
                }
                return effects;
            }
            (Wants::Fastener { next, .. }, None) => {
                not_taken(
                    common,
                    format!("The number of the one just pulled is wanted: next is {next}."),
                );
            }
            // Nothing typed is swallowed in silence.
            (_, Some(digit)) => {
                not_taken(
                    common,
                    format!("{digit} was not taken: no number is wanted here."),
                );
            }
            (_, None) => {
                if let Some(letter) = press.stroke.typed() {
                    not_taken(
                        common,
                        format!("\"{letter}\" was not taken: no words are wanted here."),
                    );
                }
            }
        }
        Vec::new()
    }

    fn take(&mut self, press: &Press, common: &mut Common) -> Vec<Effect> {
        let text = self.field.text().trim().to_owned();
        match &self.sight.ask.wants {
            Wants::Act | Wants::Wait { over: true, .. } => self.answer("", press, common),
            Wants::Wait { .. } => {
                common.note("The time is not over yet.");
                Vec::new()
            }
            Wants::Nothing => Vec::new(),
            Wants::Fastener { of: 1, .. } if text.is_empty() => self.answer("1", press, common),
            Wants::Fastener { of, next, .. } if *of <= ONE_KEY && text.is_empty() => {
                common.note(format!(
                    "The number of the one just pulled is wanted: next is {next}."
                ));
                Vec::new()
            }
            Wants::Signature { among, .. } | Wants::Person(among) if among.len() == 1 => {
                self.answer("1", press, common)
            }
            _ if text.is_empty() => {
                common.note("Nothing was typed yet.");
                Vec::new()
            }
            _ => self.answer(&text, press, common),
        }
    }

    fn answer(&mut self, text: &str, press: &Press, common: &mut Common) -> Vec<Effect> {
        let ask = &self.sight.ask;
        let text = match &ask.wants {
            // A part of a name will do where it is one person's.
            Wants::Signature { among, .. } | Wants::Person(among) => super::sign::find(text, among)
                .map_or_else(|| text.to_owned(), |(id, _)| id.to_string()),
            _ => text.to_owned(),
        };
        let command = match ask.answer(&text) {
            Ok(command) => command,
            Err(refusal) => {
                common.refuse(refusal.code(), refusal.sentence(), refusal.remedy());
                return Vec::new();
            }
        };
        if !common.takes(press) {
            return Vec::new();
        }
        match signature(ask, &text) {
            Some((meaning, person)) => {
                let sign = Sign::new(
                    meaning,
                    vec![person],
                    Pending::Answer(ask.point.clone()),
                    common,
                )
                .telling(ask);
                common.open(Overlay::Sign(Box::new(sign)));
                Vec::new()
            }
            None => vec![Effect::Act {
                command,
                signer: None,
            }],
        }
    }

    /// What the prompt says about the key that works now.
    pub fn key_hint(&self, common: &Common) -> String {
        let act = common.guard.act_keys();
        match &self.sight.ask.wants {
            Wants::Act => format!("{act}: done"),
            Wants::Wait { over: true, .. } => format!("{act}: go on"),
            Wants::Wait { .. } => "wait".to_owned(),
            Wants::Nothing => String::new(),
            Wants::Fastener { .. } if !self.field.is_empty() => "Enter takes it".to_owned(),
            Wants::Fastener { of: 1, says, .. } => format!("{act}: {says}"),
            Wants::Fastener { next, of, says, .. } if *of <= ONE_KEY => {
                if common.guard.is_spent(digit_stroke(*next)) {
                    format!("Space, then {next}")
                } else {
                    format!("{next}: {says}")
                }
            }
            Wants::Signature { among, .. } if among.len() == 1 => {
                let (id, name) = &among[0];
                let secret = if common.unsealed.contains_key(id) {
                    "PIN"
                } else {
                    "passphrase"
                };
                format!("{secret}: {name}")
            }
            Wants::Person(among) if among.len() == 1 => format!("{act}: {}", among[0].1),
            Wants::Signature { among, .. } if among.len() <= ONE_KEY as usize => {
                "number: who signs".to_owned()
            }
            Wants::Person(among)
                if self.sight.ask.point == Point::Resume && among.len() <= ONE_KEY as usize =>
            {
                "number: who is at the unit".to_owned()
            }
            Wants::Person(_) if self.names_by_digit() => "number: who it is".to_owned(),
            Wants::Choice(_) => "number, then Enter".to_owned(),
            _ => "Enter takes it".to_owned(),
        }
    }
}

/// Says that what was typed is not wanted. The question is to be read again from here: the blanks of words typed at the wrong
/// question complete nothing.
fn not_taken(common: &mut Common, words: String) {
    common.asked_anew();
    common.note(words);
}

fn digit_stroke(number: u32) -> Stroke {
    Stroke::Char(char::from_digit(number, 10).unwrap_or('0'))
}

/// Who signs an answer, and as what: signatures, and the person who takes the rebuild up again.
fn signature(ask: &Ask, id: &str) -> Option<(String, (Id, String))> {
    let (meaning, among) = match &ask.wants {
        Wants::Signature { meaning, among } => ((*meaning).to_owned(), among),
        Wants::Person(among) if ask.point == Point::Resume => (TAKES_UP.to_owned(), among),
        _ => return None,
    };
    super::sign::find(id, among).map(|person| (meaning, person))
}
