//! Line mode: the same rebuild by question and answer on plain lines, for screen readers, serial consoles and scripts.
//!
//! It holds no rule of the work. Each question is an `Ask` of the rebuild, drawn as lines with its prompt last; a line that
//! is typed is an answer, or one of the [`WORDS`] that may be said at any time. `docs/line-mode.md` is its reference.

mod answers;
mod begin;
mod late;
mod orders;
mod show;
mod start;
mod talk;
mod words;

use std::time::Duration;

use reseat_record::log::{Id, Stamp};
use reseat_record::rebuild::{Ask, Command, Given, Wants};
use reseat_record::register::PAUSE_MINUTES;

use crate::desk::{Desk, Fault, KeyFault, Open};
use talk::Refused;
use words::Said;

pub use talk::{Heard, Part, Spoilt, Talk};
pub use words::{WORDS, Word};

/// What line mode is started for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wish {
    /// An open rebuild is taken up.
    TakeUp {
        /// Which.
        stream: Id,
        /// Whether its tag was typed to name it; else the end of the tag is asked.
        tag_typed: bool,
    },
    /// A rebuild is started.
    Start {
        /// The tag, where it was typed already.
        tag: Option<String>,
    },
}

/// How the talk ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Done {
    /// The rebuild is signed or closed.
    Ended,
    /// The input ended before the rebuild did. What was written stands.
    NotEnded,
}

/// Why the talk cannot go on.
#[derive(Debug)]
pub enum Trouble<L> {
    /// The home, its history or a record.
    Fault(Fault),
    /// The one who was talked with.
    Lost(L),
}

impl<L> From<Fault> for Trouble<L> {
    fn from(fault: Fault) -> Self {
        Self::Fault(fault)
    }
}

/// Leads through a rebuild until it or the input ends.
///
/// # Errors
/// [`Trouble`]: a home or record that cannot be worked on, or lines that go nowhere. Entries written until then stand.
pub fn run<T: Talk>(desk: &mut Desk, talk: &mut T, wish: Wish) -> Result<Done, Trouble<T::Lost>> {
    let mut session = Session { desk, talk };
    let Some(mut open) = session.begin(wish)? else {
        return Ok(Done::NotEnded);
    };
    session.work(&mut open)?;
    let ended = open.rebuild.ended().is_some();
    drop(open);
    // Entries are safe without it: they stand in the log beside the history until the next time.
    let _ = session.desk.settle();
    Ok(if ended { Done::Ended } else { Done::NotEnded })
}

struct Session<'a, T: Talk> {
    desk: &'a mut Desk,
    talk: &'a mut T,
}

type Heeded<T, L> = Result<T, Trouble<L>>;

impl<T: Talk> Session<'_, T> {
    fn say(&mut self, line: &str) -> Heeded<(), T::Lost> {
        self.talk.say(line).map_err(Trouble::Lost)
    }

    fn say_all(&mut self, lines: &[String]) -> Heeded<(), T::Lost> {
        lines.iter().try_for_each(|line| self.say(line))
    }

    fn refuse(&mut self, refused: &Refused) -> Heeded<(), T::Lost> {
        self.say(&refused.line())
    }

    /// What can be put right by another answer is told; anything else ends the talk.
    fn soft(&mut self, fault: Fault) -> Heeded<(), T::Lost> {
        let hard = matches!(
            fault,
            Fault::Storage(_)
                | Fault::Broken { .. }
                | Fault::Home(_)
                | Fault::NotFounded { .. }
                | Fault::NoRebuild { .. }
                | Fault::NoProcedure { .. }
                | Fault::Procedure { .. }
                | Fault::ReadOnly
                | Fault::HeldElsewhere
                | Fault::Key(KeyFault::Unreadable | KeyFault::Random)
        );
        if hard {
            return Err(fault.into());
        }
        self.refuse(&Refused::from(&fault))
    }

    /// Asks, and does what is said, until nothing more is asked and the input has ended.
    fn work(&mut self, open: &mut Open) -> Heeded<(), T::Lost> {
        let mut shown: Option<(u64, Ask)> = None;
        loop {
            let stamp = self.stamp(open);
            let ask = open.rebuild.ask(self.desk.register(), &stamp);
            let now = (open.rebuild.head().number, ask.clone());
            let lines = show::question(&open.rebuild, self.desk.register(), &stamp, &ask);
            // Asked again with nothing changed, the prompt alone is enough.
            let from = if shown.as_ref() == Some(&now) {
                lines.len() - 1
            } else {
                0
            };
            self.say_all(&lines[from..])?;
            shown = Some(now);
            match self.heed(open, &ask)? {
                Next::Question => {}
                Next::WholeQuestion => shown = None,
                Next::Leave => return Ok(()),
            }
        }
    }

    fn stamp(&self, open: &Open) -> Stamp {
        let by = open.rebuild.who().map(|who| who.id);
        self.desk.stamp_at(open, by)
    }

    /// Minutes without an answer before the work pauses by itself; none where nothing goes on at the unit.
    fn patience(&self, open: &Open, ask: &Ask) -> Option<Duration> {
        let at_work = !open.rebuild.is_paused() && open.rebuild.ended().is_none();
        let waits = matches!(ask.wants, Wants::Wait { .. } | Wants::Nothing);
        let site = self.desk.register().site();
        let minutes = site.map_or(PAUSE_MINUTES, |site| site.pause_minutes);
        (at_work && !waits).then(|| Duration::from_mins(u64::from(minutes)))
    }

    /// Hears one line and does what it says.
    fn heed(&mut self, open: &mut Open, ask: &Ask) -> Heeded<Next, T::Lost> {
        let patience = self.patience(open, ask);
        loop {
            let asked_at = self.desk.clock().elapsed();
            let heard = self.talk.hear(patience).map_err(Trouble::Lost)?;
            let late = self.desk.clock().elapsed().saturating_sub(asked_at);
            let silent = patience.is_some_and(|patience| late > patience);
            let line = match heard {
                Heard::End => return Ok(Next::Leave),
                Heard::Spoilt(spoilt) => {
                    self.refuse(&spoilt.into())?;
                    return Ok(Next::Question);
                }
                Heard::Silence => return self.pause(open),
                // Where the system cannot wake up in time, the line that came too late is not taken.
                Heard::Line(_) if silent => return self.pause(open),
                Heard::Line(line) => line,
            };
            return match words::read(&line) {
                Said::Remark => continue,
                Said::Answer(text) => self.answer(open, ask, text),
                Said::Order(word, rest) => self.order(open, word, rest),
            };
        }
    }

    fn pause(&mut self, open: &mut Open) -> Heeded<Next, T::Lost> {
        self.say("notice: Nothing was answered for long. The work pauses by itself; what came after that was not taken.")?;
        self.act(open, Command::Pause { by_itself: true }, None)?;
        Ok(Next::Question)
    }

    fn answer(&mut self, open: &mut Open, ask: &Ask, text: &str) -> Heeded<Next, T::Lost> {
        if matches!(ask.wants, Wants::Nothing) && text.is_empty() {
            return Ok(Next::Question);
        }
        let number = open.rebuild.asks_lock_number(&ask.point);
        let typed = match text.split_whitespace().last() {
            Some(last) if number && words::is_word(last) => Err(words::no_lock_number(last)),
            _ => typed(ask, text),
        };
        match typed.and_then(|text| ask.answer(&text).map_err(Refused::from)) {
            Ok(command) => {
                let signer = signer(ask, &command);
                self.act(open, command, signer)?;
            }
            Err(refused) => self.refuse(&refused)?,
        }
        Ok(Next::Question)
    }

    fn order(&mut self, open: &mut Open, word: &str, rest: &str) -> Heeded<Next, T::Lost> {
        match word {
            "leave" => return Ok(Next::Leave),
            "again" => return Ok(Next::WholeQuestion),
            "clock" => self.clock(open, rest)?,
            "late" => self.late(open, rest)?,
            "row" => self.row(open, rest)?,
            "record" | "open" | "energy" | "joint" | "steps" | "parts" | "help" => {
                let stamp = self.stamp(open);
                let lines = show::view(word, &open.rebuild, self.desk.register(), &stamp);
                self.say_all(&lines)?;
            }
            _ => match orders::command(word, rest, &open.rebuild, self.desk.register()) {
                Ok((command, signer)) => self.act(open, command, signer)?,
                Err(refused) => self.refuse(&refused)?,
            },
        }
        Ok(Next::Question)
    }

    /// One command, with passphrase and PIN where its entry is signed; then what was kept, or why not.
    fn act(
        &mut self,
        open: &mut Open,
        command: Command,
        signer: Option<Id>,
    ) -> Heeded<(), T::Lost> {
        let before = open.rebuild.head().number;
        let by = open.rebuild.who().map(|who| who.id);
        let by = by.or(signer).unwrap_or(open.rebuild.started().performer.id);
        let mut done = self.desk.act(open, command.clone(), &by, signer.as_ref());
        if matches!(
            done,
            Err(Fault::Key(KeyFault::PinFirst | KeyFault::NotOpen))
        ) {
            if !self.prove(signer.unwrap_or(by))? {
                return Ok(());
            }
            done = self.desk.act(open, command, &by, signer.as_ref());
        }
        match done {
            Ok(()) => self.kept(open, before),
            Err(fault) => self.soft(fault),
        }
    }

    /// The entries written since, as the record reads; who wrote one where it is not the person at work.
    fn kept(&mut self, open: &Open, before: u64) -> Heeded<(), T::Lost> {
        let at_work = open.rebuild.who().map(|who| who.name.clone());
        let lines: Vec<String> = open
            .rebuild
            .record_lines(self.desk.register())
            .into_iter()
            .filter(|line| line.number > before)
            .map(|line| {
                let kept = format!("kept {}: {}", line.number, line.text);
                if at_work.as_ref() == Some(&line.by) {
                    kept
                } else {
                    format!("{kept}, {}", line.by)
                }
            })
            .collect();
        self.say_all(&lines)
    }

    /// Passphrase, if it was not given this shift, and PIN; whether both were right.
    fn prove(&mut self, person: Id) -> Heeded<bool, T::Lost> {
        let known = self.desk.register().person(person);
        let name = known.map_or_else(|| person.to_string(), |known| known.name.clone());
        if !self.desk.is_unsealed(&person) {
            let Some(passphrase) = self.secret(person, &name, Part::Passphrase)? else {
                return Ok(false);
            };
            if let Err(fault) = self.desk.unseal(&person, &passphrase) {
                self.soft(fault)?;
                return Ok(false);
            }
        }
        let Some(pin) = self.secret(person, &name, Part::Pin)? else {
            return Ok(false);
        };
        if let Err(fault) = self.desk.check_pin(&person, &pin) {
            self.soft(fault)?;
            return Ok(false);
        }
        Ok(true)
    }

    fn secret(
        &mut self,
        person: Id,
        name: &str,
        part: Part,
    ) -> Heeded<Option<zeroize::Zeroizing<String>>, T::Lost> {
        let secret = self
            .talk
            .secret(person, name, part)
            .map_err(Trouble::Lost)?;
        if secret.is_none() {
            self.refuse(&Refused::new(
                "no-passphrase",
                format!("Passphrase and PIN of {name} cannot be had: no line of a passphrase file names him, and there is no terminal to ask on."),
                "Give --passphrase-file FILE with a line for him, or work on a terminal.",
            ))?;
        }
        Ok(secret)
    }

    fn clock(&mut self, open: &mut Open, rest: &str) -> Heeded<(), T::Lost> {
        if rest != "agree" {
            return match self.desk.clock().read_local(rest) {
                Ok(utc) => self.act(open, Command::GiveClock { utc }, None),
                Err(fault) => self.soft(fault.into()),
            };
        }
        let by = open.rebuild.who().map(|who| who.id);
        let by = by.unwrap_or(open.rebuild.started().performer.id);
        let mut done = self.desk.agree_clock(&by);
        if matches!(
            done,
            Err(Fault::Key(KeyFault::PinFirst | KeyFault::NotOpen))
        ) {
            if !self.prove(by)? {
                return Ok(());
            }
            done = self.desk.agree_clock(&by);
        }
        match done {
            Ok(()) => self.say("clock: agreed."),
            Err(fault) => self.soft(fault),
        }
    }
}

/// What comes after a line.
enum Next {
    Question,
    WholeQuestion,
    Leave,
}

/// The answer in the form the ask takes. An act takes the word `done` and nothing else, so that a line meant for another
/// question completes nothing; a choice takes its words as well as its number.
fn typed(ask: &Ask, text: &str) -> Result<String, Refused> {
    match &ask.wants {
        Wants::Act if text != "done" && !ask.offers(text) => Err(Refused::new(
            "not-done",
            format!("An act is answered with the word done, not with \"{text}\"."),
            "Say done when it is done; help lists what else may be said.",
        )),
        Wants::Wait { .. } if !text.is_empty() => Err(Refused::new(
            "nothing-but-time",
            format!("Nothing but time is waited for; \"{text}\" was not taken."),
            "An empty line tries to go on.",
        )),
        Wants::Choice(labels) => answers::choice(ask, labels, text),
        Wants::Fastener {
            next,
            says,
            instead,
            ..
        } => answers::fastener(*next, says, instead, text),
        _ => Ok(text.to_owned()),
    }
}

/// Who signs an answer.
fn signer(ask: &Ask, command: &Command) -> Option<Id> {
    match (&ask.wants, command) {
        (
            Wants::Signature { .. },
            Command::Answer {
                given: Given::Person(id),
                ..
            },
        ) => Some(*id),
        _ => None,
    }
}
