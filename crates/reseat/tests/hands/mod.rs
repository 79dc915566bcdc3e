//! Keys into the model, effects to the runner on a real home, outcomes back: the program without its terminal.

#![allow(clippy::unwrap_used, dead_code, unreachable_pub, clippy::panic)] // each test file uses its own part

use std::path::Path;
use std::time::{Duration, Instant};

use ratatui::Terminal;
use ratatui::backend::TestBackend;
use reseat::desk::{Desk, Fault, SetTime, Time};
use reseat::keys::Stroke;
use reseat::screen::form::{Form, Slot};
use reseat::screen::overlay::Overlay;
use reseat::screen::sign::Stage;
use reseat::screen::{Effect, Message, Model, Runner, Screen, update, view};
use reseat::theme::Scheme;
use reseat_record::log::Head;
use reseat_record::rebuild::Ask;

use crate::house::CLOCK;

fn time() -> Result<Box<dyn Time>, Fault> {
    Ok(Box::new(SetTime::at(CLOCK)?))
}

/// Somebody at the keys.
pub struct Hands {
    pub model: Model,
    runner: Runner,
    now: Instant,
    /// Keys pressed so far.
    pub pressed: usize,
    /// Passphrase and PIN of whoever signs.
    secret: (&'static str, &'static str),
}

impl Hands {
    /// At the first screen of a home, signing with this passphrase and PIN.
    pub fn at(home: &Path, secret: (&'static str, &'static str)) -> Self {
        let mut runner = Runner::new(home.to_path_buf(), time).unwrap();
        let mut model = Model::new(Scheme::Dim, Duration::from_mins(10));
        let now = Instant::now();
        update(&mut model, Message::Resized(120, 40), now);
        let first = runner.first();
        update(&mut model, Message::Came(Box::new(first)), now);
        Self {
            model,
            runner,
            now,
            pressed: 0,
            secret,
        }
    }

    fn perform(&mut self, effects: Vec<Effect>) {
        for effect in effects {
            let outcome = self.runner.perform(effect);
            let more = update(&mut self.model, Message::Came(Box::new(outcome)), self.now);
            self.perform(more);
        }
    }

    /// Keys with a second before each.
    pub fn keys(&mut self, strokes: &[Stroke]) {
        for stroke in strokes {
            self.pressed += 1;
            update(&mut self.model, Message::Drawn, self.now);
            self.now += Duration::from_secs(1);
            let key = Message::Key {
                stroke: *stroke,
                repeat: false,
            };
            let effects = update(&mut self.model, key, self.now);
            self.perform(effects);
        }
    }

    pub fn types(&mut self, text: &str) {
        let stroke = |letter| match letter {
            ' ' => Stroke::Space,
            letter => Stroke::Char(letter),
        };
        let strokes: Vec<Stroke> = text.chars().map(stroke).collect();
        self.keys(&strokes);
    }

    /// The form that is open.
    pub fn form(&self) -> Option<&Form> {
        match self.model.common.overlays.last() {
            Some(Overlay::Form(sheet)) => Some(&sheet.form),
            _ => None,
        }
    }

    /// Answers the lines of the open form that are named, and takes it.
    pub fn fills(&mut self, answers: &[(&str, &str)]) {
        let count = self
            .form()
            .unwrap_or_else(|| panic!("no form: {}", self.text()))
            .lines
            .len();
        while self.form().unwrap().at > 0 {
            self.keys(&[Stroke::Up]);
        }
        for (name, _) in answers {
            assert!(
                self.form()
                    .unwrap()
                    .lines
                    .iter()
                    .any(|line| line.name == *name),
                "no line {name}"
            );
        }
        for at in 0..count {
            let line = &self.form().unwrap().lines[at];
            let answer = answers
                .iter()
                .find(|(name, _)| *name == line.name)
                .map(|(_, answer)| *answer);
            match (&line.slot, answer) {
                (Slot::Text(_), Some(answer)) => {
                    self.keys(&[Stroke::Ctrl('u')]);
                    self.types(answer);
                }
                (Slot::Pick { labels, .. }, Some(answer)) => {
                    let wanted = labels
                        .iter()
                        .position(|label| label.contains(answer))
                        .unwrap();
                    let name = line.name;
                    while self.form().unwrap().picked(name) != Some(wanted) {
                        self.keys(&[Stroke::Right]);
                    }
                }
                (Slot::Ticks { .. }, Some(answer)) => self.types(answer),
                (_, None) => {}
            }
            self.keys(&[Stroke::Tab]);
        }
        assert!(self.form().unwrap().at_end());
        self.keys(&[Stroke::Space]);
    }

    /// Signs as the person of this name, if a signature is asked for.
    pub fn signs(&mut self, name: &str) {
        let asked = |hands: &Self| match hands.model.common.overlays.last() {
            Some(Overlay::Sign(sign)) => Some(sign.stage),
            _ => None,
        };
        let (passphrase, pin) = self.secret;
        if asked(self) == Some(Stage::Person) {
            self.types(name);
            self.keys(&[Stroke::Enter]);
        }
        if asked(self) == Some(Stage::Passphrase) {
            self.types(passphrase);
            self.keys(&[Stroke::Enter]);
        }
        if asked(self) == Some(Stage::Pin) {
            self.types(pin);
        }
    }

    /// The code of what was refused; empty for a notice, none where nothing was said.
    pub fn said(&self) -> Option<(String, String)> {
        let said = self.model.common.said.as_ref()?;
        Some((
            said.code.clone(),
            format!("{} {}", said.sentence, said.remedy),
        ))
    }

    pub fn text(&self) -> String {
        let mut terminal = Terminal::new(TestBackend::new(120, 40)).unwrap();
        terminal.draw(|frame| view(&self.model, frame)).unwrap();
        let buffer = terminal.backend().buffer();
        let rows = buffer.content().chunks(120);
        rows.map(|row| {
            row.iter()
                .map(ratatui::buffer::Cell::symbol)
                .collect::<String>()
                + "\n"
        })
        .collect()
    }

    /// From the list of units to where the end of the tag of an open rebuild is asked, as the person of this name. The unit is
    /// chosen on the list: where its tag is typed it is not asked again.
    pub fn goes_to(&mut self, tag: &str, name: &str) {
        let Screen::Home(home) = &self.model.screen else {
            panic!("{}", self.text())
        };
        let at = home.found().iter().position(|unit| unit.tag == tag);
        for _ in home.chosen..at.unwrap() {
            self.keys(&[Stroke::Down]);
        }
        self.keys(&[Stroke::Enter]);
        assert!(
            matches!(self.model.screen, Screen::Resume(_)),
            "{}",
            self.text()
        );
        self.types(name);
        self.keys(&[Stroke::Tab]);
    }

    /// Types the end of the tag, signs as the person of this name, and is at work.
    pub fn takes_up(&mut self, end: &str, name: &str) {
        self.types(end);
        self.keys(&[Stroke::Enter]);
        assert!(
            matches!(self.model.common.overlays.last(), Some(Overlay::Sign(_))),
            "{}",
            self.text()
        );
        self.signs(name);
        self.ask();
    }

    /// What is asked on the screen of work.
    pub fn ask(&self) -> &Ask {
        match &self.model.screen {
            Screen::Work(work) => &work.sight.ask,
            _ => panic!("{}", self.text()),
        }
    }

    /// F6, the line that begins so, Enter.
    pub fn rare(&mut self, beginning: &str) {
        self.keys(&[Stroke::F(6)]);
        let Some(Overlay::Menu(menu)) = self.model.common.overlays.last() else {
            panic!("{}", self.text())
        };
        let at = menu
            .lines
            .iter()
            .position(|(line, _)| line.starts_with(beginning))
            .unwrap();
        self.types(&(at + 1).to_string());
        self.keys(&[Stroke::Enter]);
    }

    /// To a list of the register.
    pub fn turns_to(&mut self, title: &str) {
        for _ in 0..6 {
            if self.text().contains(&format!("[{title}]")) {
                return;
            }
            self.keys(&[Stroke::Right]);
        }
        panic!("no list {title}: {}", self.text());
    }

    /// To the line of the list shown that begins with these words.
    pub fn chooses(&mut self, beginning: &str) {
        for _ in 0..60 {
            if self
                .text()
                .lines()
                .any(|line| line.contains(&format!("▸ {beginning}")))
            {
                return;
            }
            self.keys(&[Stroke::Down]);
        }
        panic!("no line {beginning}: {}", self.text());
    }
}

/// The desk of a home, read anew.
pub fn desk(home: &Path) -> Desk {
    Desk::read(home, time().unwrap()).unwrap()
}

/// Where the register stands: what was refused has written nothing.
pub fn head(home: &Path) -> Head {
    desk(home).register().head()
}
