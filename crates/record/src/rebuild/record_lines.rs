//! A record read back: each entry in words, failures and exceptions marked for the first page.

use reseat_procedure::model::Asked;

use super::body::{Body, Started};
use super::record_joint::joint_words;
use super::record_lockout::done_words;
use super::record_people::Writer;
use super::state::Rebuild;
use super::time::{clock_face, day_and_clock};
use super::view::{RecordLine, Tone};
use super::weight::{Weighed, grave, plain, told};
use crate::log::{Entry, Id};
use crate::recall::in_doubt;
use crate::register::Register;

impl Rebuild {
    /// Every entry in words, in order of its number.
    #[must_use]
    pub fn record_lines(&self, register: &Register) -> Vec<RecordLine> {
        let doubted = in_doubt(register, &self.head().stream);
        let mut lines: Vec<RecordLine> = self
            .entries
            .iter()
            .map(|entry| {
                let mut line = self.record_line_of(entry, Some(register));
                let doubt = doubted.iter().rfind(|doubt| doubt.number == entry.number);
                if let Some(doubt) = doubt {
                    let (text, instrument) = (&line.text, &doubt.instrument);
                    let stands = doubt.place.words();
                    line.text = format!("{text}, IN DOUBT: {instrument} was found out, {stands}");
                    line.tone = Tone::Watch;
                    line.first_page = true;
                }
                line
            })
            .collect();
        self.tell_repeats(&mut lines);
        self.tell_seats(&mut lines);
        self.tell_figures(&mut lines);
        self.tell_decay(&mut lines);
        lines
    }

    /// A measured thing by its label; the side value beside it and the sides of zero by theirs.
    pub(super) fn thing_words(&self, thing: &str) -> String {
        if let Some(side) = thing.strip_prefix("zero/") {
            let label = self.procedure.zero.iter().find(|zero| zero.id == side);
            return format!("zero, {}", label.map_or(side, |zero| zero.label.as_str()));
        }
        let (id, beside) = match thing.strip_suffix("/beside") {
            Some(id) => (id, true),
            None => (thing, false),
        };
        let steps = self.procedure.steps();
        let label = steps
            .flat_map(|step| &step.asks)
            .find_map(|asked| match asked {
                Asked::Reading(measured) if measured.id == id => match &measured.beside {
                    Some((label, _)) if beside => {
                        Some(format!("{label}, beside {}", measured.label))
                    }
                    _ => Some(measured.label.clone()),
                },
                Asked::Computed {
                    id: named, label, ..
                } if named == id => Some(label.clone()),
                _ => None,
            });
        label.unwrap_or_else(|| thing.to_owned())
    }

    pub(super) fn record_line_of(&self, entry: &Entry, register: Option<&Register>) -> RecordLine {
        let name = |id: Id| {
            register
                .and_then(|register| register.person(id))
                .map(|person| person.name.clone())
                .or_else(|| self.name_known(id))
        };
        let by = entry
            .by
            .and_then(name)
            .or_else(|| entry.by.map(|id| id.ending(4)))
            .unwrap_or_default();
        let writer = Writer {
            id: entry.by,
            name: &by,
        };
        let (mut text, tone, first_page) = match &Body::read(entry) {
            Some(body) => self
                .people_words(body, writer)
                .unwrap_or_else(|| self.entry_words(entry.number, body)),
            None => (
                format!("{} (written by a newer reseat)", entry.kind),
                Tone::Watch,
                true,
            ),
        };
        if entry.signature.is_some() {
            text.push_str(", signed");
        }
        if let Some(acted) = &entry.acted {
            text = format!(
                "{text}, entered late, done {}",
                day_and_clock(acted, &entry.offset)
            );
        }
        RecordLine {
            number: entry.number,
            time: clock_face(&entry.utc, &entry.offset),
            by,
            text,
            tone,
            first_page,
        }
    }

    pub(super) fn step_words(&self, step: &str) -> String {
        self.line_index(step).map_or_else(
            || step.to_owned(),
            |index| {
                format!(
                    "{} {}",
                    self.number(index),
                    self.text_of(&self.lines[index])
                )
            },
        )
    }

    fn entry_words(&self, number: u64, body: &Body) -> Weighed {
        match body {
            Body::Reading(_)
            | Body::OffScale(_)
            | Body::ReadingQueried(_)
            | Body::QueryAnswered(_)
            | Body::Struck(_) => self.reading_words(number, body),
            Body::Ready(_)
            | Body::Setting(_)
            | Body::Clicked(_)
            | Body::Pulled(_)
            | Body::Round(_)
            | Body::SetBack(_)
            | Body::Feeler(_)
            | Body::Condition(_)
            | Body::Rechecked(_)
            | Body::AfterHigh(_)
            | Body::Reopened(_) => joint_words(body),
            Body::TestBrokenOff(body) => grave(format!("test broken off: {}", body.reason)),
            Body::Started(body) => started_words(body),
            Body::Answered(_)
            | Body::Vented(_)
            | Body::Wrote(_)
            | Body::Counted(_)
            | Body::Observed(_)
            | Body::VerifiedAnswer(_) => self.answer_words(body),
            Body::Begun(body) => plain(format!("{}: begun", self.step_words(&body.step))),
            Body::Done(body) => plain(done_words(self.step_words(&body.step), body)),
            Body::Permit(_) | Body::PermitSeen(_) | Body::Cleared(_) => {
                super::record_lockout::lockout_words(body)
            }
            Body::RestBegun(body) => plain(format!(
                "{}: {} min begun",
                self.step_words(&body.step),
                body.minutes
            )),
            Body::RestOver(body) => plain(format!(
                "{}: over, judged by {}",
                self.step_words(&body.step),
                body.judged_by
            )),
            Body::LookedAgain(body) => plain(format!("looked again: {}", body.came)),
            Body::Disposed(body) => {
                let parts: Vec<&str> = body
                    .parts
                    .iter()
                    .map(|part| self.part_label(part))
                    .collect();
                plain(format!("{}: {}", parts.join(", "), body.disposition))
            }
            Body::AdapterOn(body) => plain(super::adapter::words(body)),
            Body::Taken(_) | Body::Checked(_) | Body::InstrumentDropped(_) => {
                super::tools::words(body)
            }
            _ => self.exception_words(body),
        }
    }

    fn exception_words(&self, body: &Body) -> Weighed {
        match body {
            Body::Found(body) => grave(format!("finding {}: {}", body.finding, body.words)),
            Body::Proposed(body) => plain(format!(
                "finding {}: proposed {}",
                body.finding, body.decision
            )),
            Body::Withdrawn(body) => plain(format!(
                "finding {}: proposal taken back, {}",
                body.finding, body.reason
            )),
            Body::RevisionReason(body) => plain(format!(
                "{}: go on with {} because {}",
                newer_words(body.revision.as_deref()),
                self.started.revision,
                body.reason
            )),
            Body::RevisionReasonBack(body) => {
                plain(format!("reason to go on taken back, {}", body.reason))
            }
            Body::Paused(body) => plain(format!(
                "paused{}, {}, next {}",
                if body.by_itself {
                    " for want of a key"
                } else {
                    ""
                },
                body.unit,
                body.next
            )),
            Body::Stopped(body) => grave(format!("STOP: {}, {}", body.why, body.unit)),
            Body::Safer(body) => plain(format!("made safer: {}", body.words)),
            Body::NotApplicable(body) => told(format!(
                "{}: not applicable, {}",
                self.step_words(&body.step),
                body.reason
            )),
            Body::Dropped(body) => grave(format!(
                "dropped or lost: {}, finding {}",
                body.what, body.finding
            )),
            Body::Waiting(body) => told(format!("WAITING FOR PART: {}, {}", body.part, body.unit)),
            Body::ClosedIncomplete(body) => grave(format!(
                "closed INCOMPLETE, {}: {} ({})",
                body.unit,
                body.reason,
                match body.remains.len() {
                    1 => "1 thing remains".to_owned(),
                    more => format!("{more} things remain"),
                }
            )),
            Body::ClockGiven(body) => {
                told(format!("date and time given by a person: {}", body.utc))
            }
            Body::RanOn(body) => told(format!("demo clock let run on {} min", body.minutes)),
            other => plain(other.kind().to_owned()),
        }
    }
}

fn started_words(body: &Started) -> Weighed {
    let text = format!(
        "started, work order {}, tag {} and serial {} as read, {} rev {}, kit {} lot {}",
        body.work_order,
        body.tag,
        body.serial,
        body.procedure,
        body.revision,
        body.kit,
        body.kit_lot
    );
    let text = match &body.beside {
        Some(beside) => format!(
            "{text}; its stand-in {} open in record {}: joints and zero checks verified by another person",
            beside.tag, beside.record
        ),
        None => text,
    };
    match &body.mismatch {
        Some(why) => told(format!("{text}; {why}")),
        None => plain(text),
    }
}

/// A newer revision in words.
pub(super) fn newer_words(revision: Option<&str>) -> String {
    match revision {
        Some(revision) => format!("revision {revision} approved meanwhile"),
        None => "the revision withdrawn meanwhile".to_owned(),
    }
}
