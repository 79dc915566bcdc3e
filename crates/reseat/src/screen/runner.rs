//! The one runner: performs effects on the open home and hands back what became of them.
//!
//! It decides nothing. What the pure crates refuse comes back as words; what was written comes back as a new sight.

use std::path::PathBuf;
use std::time::Duration;

use reseat_record::log::Id;
use reseat_record::rebuild::{Command, Given, Rebuild};
use reseat_record::refusal::Refusal;
use reseat_record::register;

use super::changes::{change_register, file_bytes, lead_by_words, procedure_bytes, recall_sheet};
use super::message::{Effect, FoundingTyped, Outcome, RecallAsked, Said, Secret};
use super::{gather, gather_procedures};
use crate::desk::{Desk, Fault, Founding, KeyFault, Open, RecallSheet, Row, Time};

/// Makes the clock a home is opened with.
pub type MakeTime = fn() -> Result<Box<dyn Time>, Fault>;

/// Performs effects on one home.
#[derive(Debug)]
pub struct Runner {
    root: PathBuf,
    make_time: MakeTime,
    desk: Option<Desk>,
    open: Option<Open>,
    /// The rebuild of the same unit before the open one.
    before: Option<Box<Rebuild>>,
    /// What the screens begin with, where it is not the home.
    first: Option<Outcome>,
    /// The readings of an instrument found out, as they were last shown: only these are signed.
    sheet: Option<RecallSheet>,
}

impl From<Fault> for Said {
    fn from(fault: Fault) -> Self {
        Self::refusal(fault.code(), fault.sentence(), fault.remedy())
    }
}

impl Runner {
    /// A runner on the home in this folder, which need not be founded yet.
    ///
    /// # Errors
    /// Storage faults; a register that does not hold; a home that could not be made, before anything is typed for it.
    pub fn new(root: PathBuf, make_time: MakeTime) -> Result<Self, Fault> {
        let desk = if Desk::is_founded(&root)? {
            Some(Desk::open(&root, make_time()?)?)
        } else {
            Desk::could_be_founded(&root)?;
            None
        };
        Ok(Self {
            root,
            make_time,
            desk,
            open: None,
            before: None,
            first: None,
            sheet: None,
        })
    }

    /// A runner without a home, for a procedure that is only read.
    ///
    /// # Errors
    /// What was found in a text that is no procedure.
    pub fn reading(bytes: Vec<u8>, make_time: MakeTime) -> Result<Self, Said> {
        let sight = gather_procedures::pages(None, bytes)?;
        Ok(Self {
            root: PathBuf::new(),
            make_time,
            desk: None,
            open: None,
            before: None,
            sheet: None,
            first: Some(Outcome::Pages(Box::new(sight))),
        })
    }

    /// What the screens begin with.
    pub fn first(&mut self) -> Outcome {
        if let Some(first) = self.first.take() {
            return first;
        }
        match &self.desk {
            None => Outcome::Unfounded,
            Some(_) => self.perform(Effect::LoadHome),
        }
    }

    /// Minutes without a key before a rebuild pauses by itself, by the site's value.
    pub fn pause_after(&self) -> Duration {
        let site = self.desk.as_ref().and_then(|desk| desk.register().site());
        let minutes = site.map_or(register::PAUSE_MINUTES, |site| site.pause_minutes);
        Duration::from_mins(u64::from(minutes))
    }

    /// Performs an effect. What belongs to the terminal (quit, suspend, redraw) is not the runner's.
    pub fn perform(&mut self, effect: Effect) -> Outcome {
        match effect {
            Effect::Unseal(person, secret) => self.unseal(person, &secret),
            Effect::CheckPin(person, pin) => self.check_pin(person, &pin),
            Effect::Act { command, signer } => self.act(command, signer),
            other => self.perform_plain(other).unwrap_or_else(Outcome::Refused),
        }
    }

    fn desk(&mut self) -> Result<&mut Desk, Fault> {
        let root = self.root.clone();
        self.desk.as_mut().ok_or(Fault::NotFounded { root })
    }

    fn perform_plain(&mut self, effect: Effect) -> Result<Outcome, Said> {
        Ok(match effect {
            Effect::LoadHome => {
                let desk = self.desk()?;
                desk.catch_up()?;
                Outcome::Home(gather::home(desk)?)
            }
            Effect::LoadUnit(serial) => Outcome::Unit(gather::unit(self.desk()?, &serial)?),
            Effect::LoadStart(serial) => Outcome::Start(gather::start(self.desk()?, &serial)?),
            Effect::LoadResume { stream, tag_typed } => {
                Outcome::Resume(gather::resume(self.desk()?, stream, &tag_typed)?)
            }
            Effect::LoadRecord(stream) => Outcome::Record(gather::record(self.desk()?, stream)?),
            Effect::LoadRegister => self.register(false)?,
            Effect::LoadPages(sha256) => {
                let bytes = procedure_bytes(self.desk()?, &sha256)?;
                self.pages(bytes)?
            }
            Effect::LoadPagesOfFile(path) => self.pages(file_bytes(&path)?)?,
            Effect::Found(typed) => self.found(&typed)?,
            Effect::Start { chosen, signer } => {
                self.open = None;
                let open = self.desk()?.start_signed(chosen, &signer)?;
                self.opened(open);
                self.seen(true)?
            }
            Effect::TakeUp { stream, by } => {
                self.open = None;
                let open = self.desk()?.take_up(&stream, &by)?;
                self.opened(open);
                self.seen(true)?
            }
            Effect::Late(typed) => self.late(typed.as_deref())?,
            Effect::Row(row) => self.row(&row)?,
            Effect::LookAgain => self.seen(false)?,
            Effect::LetGo => {
                self.open = None;
                // What was written stands; copying it into the main file can wait for the next job.
                let _ = self.desk()?.settle();
                Outcome::Left
            }
            Effect::Clock { typed, by } => {
                let desk = self.desk()?;
                match typed {
                    None => desk.agree_clock(&by)?,
                    Some(typed) => desk.give_clock(&typed, &by)?,
                }
                Outcome::Home(gather::home(desk)?)
            }
            Effect::LoadRecall(asked) => self.lay_out_recall(asked)?,
            Effect::SignRecall { reason, by } => self.sign_recall(&reason, &by)?,
            Effect::Change { change, by } => {
                change_register(self.desk()?, change, &by)?;
                self.register(true)?
            }
            Effect::LeadByWords(typed) => {
                lead_by_words(self.desk()?, typed)?;
                self.register(true)?
            }
            // The terminal's, and those that are performed before.
            Effect::Quit
            | Effect::Suspend
            | Effect::Redraw
            | Effect::Unseal(..)
            | Effect::CheckPin(..)
            | Effect::Act { .. } => Outcome::Left,
        })
    }

    fn lay_out_recall(&mut self, asked: RecallAsked) -> Result<Outcome, Said> {
        let desk = self.desk()?;
        desk.catch_up()?;
        let sheet = recall_sheet(desk, &asked)?;
        let sight = gather::recall(desk, asked, &sheet)?;
        self.sheet = Some(sheet);
        Ok(Outcome::Recall(sight))
    }

    /// Signs the recall that was laid out.
    fn sign_recall(&mut self, reason: &str, by: &Id) -> Result<Outcome, Said> {
        let sheet = self.sheet.take().ok_or(Refusal::RecallMoved {});
        let sheet = sheet.map_err(Fault::from)?;
        let done = self.desk()?.recall(&sheet, reason, by);
        if let Err(fault) = done {
            // Nothing was written: what stands on the screen may be signed again.
            self.sheet = Some(sheet);
            return Err(fault.into());
        }
        self.register(true)
    }

    fn found(&mut self, typed: &FoundingTyped) -> Result<Outcome, Said> {
        let founding = Founding {
            site: typed.site.clone(),
            rule: typed.rule.clone(),
            lead_name: typed.lead.clone(),
            passphrase: typed.passphrase.0.clone(),
            pin: typed.pin.0.clone(),
        };
        let (desk, words) = Desk::found(&self.root, &founding, (self.make_time)()?)?;
        self.desk = Some(desk);
        let words = words.words().join(" ");
        Ok(Outcome::Founded {
            words: Secret(words.into()),
        })
    }

    fn register(&mut self, changed: bool) -> Result<Outcome, Said> {
        let desk = self.desk()?;
        desk.catch_up()?;
        Ok(Outcome::Register {
            sight: gather::register(desk),
            changed,
        })
    }

    /// A procedure at its cover. Without a home it is only read.
    fn pages(&self, bytes: Vec<u8>) -> Result<Outcome, Said> {
        let sight = gather_procedures::pages(self.desk.as_ref(), bytes)?;
        Ok(Outcome::Pages(Box::new(sight)))
    }

    fn unseal(&mut self, person: Id, secret: &Secret) -> Outcome {
        let done = self.desk().and_then(|desk| {
            desk.unseal(&person, &secret.0)?;
            Ok(desk.pin_digits(&person).unwrap_or_default())
        });
        match done {
            Ok(digits) => Outcome::Unsealed(person, digits),
            Err(fault) => Outcome::NotProved {
                said: Said::from(fault),
                forgotten: true,
            },
        }
    }

    fn check_pin(&mut self, person: Id, pin: &Secret) -> Outcome {
        let done = self.desk().and_then(|desk| desk.check_pin(&person, &pin.0));
        match done {
            Ok(()) => Outcome::PinRight(person),
            Err(fault) => Outcome::NotProved {
                said: Said::from(fault),
                forgotten: !self
                    .desk
                    .as_ref()
                    .is_some_and(|desk| desk.is_unsealed(&person)),
            },
        }
    }

    fn act(&mut self, command: Command, signer: Option<Id>) -> Outcome {
        let (Some(desk), Some(open)) = (&mut self.desk, &mut self.open) else {
            return Outcome::Refused(Said::refusal(
                "no-rebuild-open",
                "No rebuild is open here.",
                "Take one up from its unit.",
            ));
        };
        // Where nobody is at the keyboard the person named in the answer acts.
        let named = match &command {
            Command::Answer {
                given: Given::Person(person),
                ..
            } => Some(*person),
            _ => None,
        };
        let last = open.rebuild.started().performer.id;
        let by = open
            .rebuild
            .who()
            .map(|who| who.id)
            .or(named)
            .unwrap_or(last);
        match desk.act(open, command.clone(), &by, signer.as_ref()) {
            Ok(()) => {
                let mut outcome = self.seen(true).unwrap_or_else(Outcome::Refused);
                if let Outcome::Acted(sight) = &mut outcome {
                    sight.write_tag = matches!(
                        command,
                        Command::HandOver { .. } | Command::WaitForPart { .. }
                    );
                }
                match (outcome, &command) {
                    // It answers no question, so nothing else on the screen tells that it was kept.
                    (Outcome::Acted(sight), Command::Safer { .. }) => {
                        Outcome::Told(sight, Said::notice(self.last_kept()))
                    }
                    (outcome, _) => outcome,
                }
            }
            Err(Fault::Key(KeyFault::PinFirst | KeyFault::NotOpen)) if signer.is_none() => {
                let person = named.unwrap_or(by);
                let name = desk
                    .register()
                    .person(person)
                    .map(|person| person.name.clone());
                Outcome::WantsSignature {
                    command,
                    meaning: "this entry is signed".to_owned(),
                    among: vec![(person, name.unwrap_or_else(|| person.to_string()))],
                }
            }
            Err(fault) => Outcome::Refused(Said::from(fault)),
        }
    }

    /// The last entry of the open rebuild, in the words of its record.
    fn last_kept(&self) -> String {
        let (Some(desk), Some(open)) = (&self.desk, &self.open) else {
            return String::new();
        };
        let lines = open.rebuild.record_lines(desk.register());
        lines.last().map_or_else(String::new, |line| {
            format!("Kept {}: {}.", line.time, line.text.trim_end_matches('.'))
        })
    }

    /// Late entry on or off; nothing is written.
    fn late(&mut self, typed: Option<&str>) -> Result<Outcome, Said> {
        let (Some(desk), Some(open)) = (&self.desk, &mut self.open) else {
            return Ok(Outcome::Left);
        };
        let told = if let Some(typed) = typed {
            desk.enter_late(open, typed)?;
            "Late entry is on. F6 ends it."
        } else {
            Desk::end_late(open);
            "Late entry is off: answers are of now."
        };
        self.told(told)
    }

    /// A whole pass. What was entered before it stopped stands.
    fn row(&mut self, row: &Row) -> Result<Outcome, Said> {
        let (Some(desk), Some(open)) = (&mut self.desk, &mut self.open) else {
            return Ok(Outcome::Left);
        };
        let last = open.rebuild.started().performer.id;
        let by = open.rebuild.who().map_or(last, |who| who.id);
        let before = open.rebuild.head().number;
        match desk.row(open, row, &by) {
            Ok(entered) => self.told(&entered.words()),
            // Shown as it stands: a part of the row may be in.
            Err(fault) if open.rebuild.head().number > before => match self.seen(true)? {
                Outcome::Acted(sight) => Ok(Outcome::Told(sight, Said::from(fault))),
                other => Ok(other),
            },
            Err(fault) => Err(fault.into()),
        }
    }

    fn told(&mut self, sentence: &str) -> Result<Outcome, Said> {
        Ok(match self.seen(true)? {
            Outcome::Acted(sight) => Outcome::Told(sight, Said::notice(sentence)),
            other => other,
        })
    }

    fn opened(&mut self, open: Open) {
        let desk = self.desk.as_ref();
        self.before = desk
            .and_then(|desk| gather::rebuild_before(desk, &open.rebuild))
            .map(Box::new);
        self.open = Some(open);
    }

    /// The open rebuild as it stands.
    fn seen(&mut self, acted: bool) -> Result<Outcome, Said> {
        self.desk()?;
        let (Some(desk), Some(open)) = (&self.desk, &self.open) else {
            return Ok(Outcome::Left);
        };
        let by = open.rebuild.who().map(|who| who.id);
        let sight = Box::new(gather::work(
            &open.rebuild,
            self.before.as_deref(),
            desk,
            &desk.stamp_at(open, by),
        ));
        Ok(if acted {
            Outcome::Acted(sight)
        } else {
            Outcome::Seen(sight)
        })
    }
}
