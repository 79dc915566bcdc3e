//! Before the first question: the open rebuild is shown and taken up, or a new one is started.

use reseat_procedure::model::Role;
use reseat_record::log::Id;
use reseat_record::refusal::{Refusal, Work};

use super::talk::{Heard, Refused, Talk};
use super::words::Said;
use super::{Heeded, Session, Trouble, Wish, show, words};
use crate::desk::{Fault, KeyFault, Open, ends_tag};

/// Entries read out before a rebuild is taken up.
const LAST_ENTRIES: usize = 3;

/// A question that is no part of the rebuild's record yet.
pub(super) struct Small<'a> {
    pub(super) kind: &'static str,
    pub(super) name: &'a str,
    pub(super) prompt: &'a str,
    pub(super) offers: &'a [String],
}

impl<T: Talk> Session<'_, T> {
    /// The rebuild, open for work; none where the input ended first.
    pub(super) fn begin(&mut self, wish: Wish) -> Heeded<Option<Open>, T::Lost> {
        if let Some(doubt) = self.desk.clock().doubt() {
            let told = format!(
                "notice: CLOCK NOT TRUSTED. {} {}",
                doubt.sentence(),
                doubt.remedy()
            );
            self.say(&told)?;
            self.say(
                "  Once the work is taken up: clock agree, or clock and the local date and time.",
            )?;
        }
        match wish {
            Wish::TakeUp { stream, tag_typed } => self.take_up(stream, tag_typed),
            Wish::Start { tag } => self.start(tag),
        }
    }

    pub(super) fn take_up(&mut self, stream: Id, tag_typed: bool) -> Heeded<Option<Open>, T::Lost> {
        let rebuild = self.desk.look(&stream)?;
        if rebuild.ended().is_some() {
            return Err(Fault::from(Refusal::from(Work::Ended)).into());
        }
        let stamp = self.desk.stamp(None);
        let register = self.desk.register();
        let mut lines = show::strip(&rebuild.strip_untaken(&stamp));
        if rebuild.is_paused() {
            let ask = rebuild.ask(register, &stamp);
            lines.extend(ask.notice.iter().map(|line| format!("notice: {line}")));
            lines.extend(ask.detail.iter().map(|line| format!("  {line}")));
        } else {
            lines.push(
                "notice: The program ended without a pause; zero is to be read anew.".to_owned(),
            );
        }
        let record = rebuild.record_lines(register);
        for line in &record[record.len().saturating_sub(LAST_ENTRIES)..] {
            let told = format!(
                "entry {}: {} {} {}",
                line.number, line.time, line.by, line.text
            );
            lines.push(told);
        }
        let among: Vec<(Id, String)> = register
            .holders(Role::Performer)
            .map(|person| (person.id, person.name.clone()))
            .collect();
        let tag = rebuild.strip(&stamp).tag;
        self.say_all(&lines)?;
        if !tag_typed && !self.tag_end(&stream, &tag)? {
            return Ok(None);
        }
        let prompt = "Who takes the work up, and are you at the unit?";
        loop {
            let Some(person) = self.somebody("signature", "take-up", prompt, &among)? else {
                return Ok(None);
            };
            let mut open = self.desk.take_up(&stream, &person);
            if wants_proof(&open) {
                if !self.prove(person)? {
                    continue;
                }
                open = self.desk.take_up(&stream, &person);
            }
            match open {
                Ok(open) => return Ok(Some(open)),
                Err(fault) => self.soft(fault)?,
            }
        }
    }

    /// The end of the tag, read at the unit; false where the input ended.
    fn tag_end(&mut self, stream: &Id, tag: &str) -> Heeded<bool, T::Lost> {
        let others = self.desk.other_open_tags(stream)?;
        let small = Small {
            kind: "text",
            name: "tag",
            prompt: "Last characters of the tag, as read at the unit",
            offers: &[],
        };
        loop {
            let Some(typed) = self.ask_small(&small)? else {
                return Ok(false);
            };
            let Err(sentence) = ends_tag(&typed, tag, &others) else {
                return Ok(true);
            };
            self.refuse(&Refused::new(
                "other-tag",
                sentence,
                "Read the tag at the unit and type at least its last two characters, more where two end alike; if it is another unit, say leave.",
            ))?;
        }
    }

    /// One of these people; none where the input ended.
    pub(super) fn somebody(
        &mut self,
        kind: &'static str,
        name: &str,
        prompt: &str,
        among: &[(Id, String)],
    ) -> Heeded<Option<Id>, T::Lost> {
        let offers: Vec<String> = among.iter().map(|(_, name)| name.clone()).collect();
        let small = Small {
            kind,
            name,
            prompt,
            offers: &offers,
        };
        loop {
            let Some(typed) = self.ask_small(&small)? else {
                return Ok(None);
            };
            let by_id = among.iter().find(|(id, _)| id.to_string() == typed);
            match by_id.map_or_else(
                || offer(&typed, &offers).map(|at| among[at].0),
                |(id, _)| Ok(*id),
            ) {
                Ok(id) => return Ok(Some(id)),
                Err(refused) => self.refuse(&refused)?,
            }
        }
    }

    /// One of these offers; none where the input ended.
    pub(super) fn one_of(&mut self, small: &Small<'_>) -> Heeded<Option<usize>, T::Lost> {
        loop {
            let Some(typed) = self.ask_small(small)? else {
                return Ok(None);
            };
            match offer(&typed, small.offers) {
                Ok(at) => return Ok(Some(at)),
                Err(refused) => self.refuse(&refused)?,
            }
        }
    }

    /// Asks; the words of the answer, never empty; none where the input ended.
    pub(super) fn ask_small(&mut self, small: &Small<'_>) -> Heeded<Option<String>, T::Lost> {
        let offers = show::choices(small.offers.iter().map(String::as_str));
        self.say_all(&offers)?;
        loop {
            self.say(&show::prompt(small.kind, small.name, small.prompt))?;
            let line = loop {
                match self.talk.hear(None).map_err(Trouble::Lost)? {
                    Heard::End => return Ok(None),
                    Heard::Spoilt(spoilt) => self.refuse(&spoilt.into())?,
                    Heard::Line(line) if words::read(&line) != Said::Remark => break line,
                    Heard::Line(_) | Heard::Silence => {}
                }
            };
            match words::read(&line) {
                Said::Remark | Said::Answer("") => {
                    self.refuse(&Refusal::from(Work::Empty).into())?;
                }
                Said::Answer(answer) => return Ok(Some(answer.to_owned())),
                Said::Order("leave", _) => return Ok(None),
                Said::Order("help", _) => self.say_all(&show::help(true))?,
                Said::Order("again", _) => self.say_all(&offers)?,
                Said::Order(word, _) => self.refuse(&Refused::new(
                    "not-yet-open",
                    format!("\"{word}\" can be said once the rebuild is open for work."),
                    "Answer the question first; put = before an answer that begins so.",
                ))?,
            }
        }
    }
}

/// Whether a passphrase or PIN is all that is missing.
pub(super) fn wants_proof<V>(done: &Result<V, Fault>) -> bool {
    matches!(
        done,
        Err(Fault::Key(KeyFault::PinFirst | KeyFault::NotOpen))
    )
}

/// The offer that is meant, by its number from 1 or its words.
fn offer(typed: &str, offers: &[String]) -> Result<usize, Refused> {
    let by_words = offers
        .iter()
        .position(|one| one.eq_ignore_ascii_case(typed));
    let by_number = || {
        typed
            .parse::<usize>()
            .ok()
            .and_then(|number| number.checked_sub(1))
            .filter(|at| *at < offers.len())
    };
    by_words.or_else(by_number).ok_or_else(|| {
        Refusal::from(Work::NotAnOffer {
            typed: typed.to_owned(),
            high: offers.len() as u64,
        })
        .into()
    })
}
