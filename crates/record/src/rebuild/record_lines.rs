//! A record read back: each entry in words, failures and exceptions marked for the first page.

use reseat_procedure::model::Asked;

use super::body::Body;
use super::record_lockout::done_words;
use super::record_people::Writer;
use super::state::Rebuild;
use super::time::{clock_face, day_and_clock};
use super::view::{RecordLine, Tone};
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
        let steps = self
            .procedure
            .sections
            .iter()
            .flat_map(|section| &section.steps);
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

    fn entry_words(&self, number: u64, body: &Body) -> (String, Tone, bool) {
        let plain = |text: String| (text, Tone::Plain, false);
        let told = |text: String| (text, Tone::Watch, true);
        let grave = |text: String| (text, Tone::Stop, true);
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
            Body::Started(body) => {
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
            Body::Begun(body) => plain(format!("{}: begun", self.step_words(&body.step))),
            Body::Done(body) => plain(done_words(self.step_words(&body.step), body)),
            Body::Answered(body) => {
                let text = format!(
                    "{} {} {}",
                    self.step_words(&body.step),
                    body.question,
                    body.answer
                );
                if body.leads == "on" {
                    plain(text)
                } else {
                    told(text)
                }
            }
            Body::Vented(body) => {
                let text = format!("vent of {}: {}", body.side, body.came);
                if body.clear { plain(text) } else { told(text) }
            }
            Body::Wrote(body) => {
                let text = format!("{} {}", body.question, body.text);
                if body.agrees == Some(false) {
                    told(format!("{text}: not this unit"))
                } else {
                    plain(text)
                }
            }
            Body::Counted(body) => {
                let text = format!("{} {}", body.question, body.counted);
                match body.expected {
                    Some(expected) if expected != body.counted => {
                        told(format!("{text}, list says {expected}"))
                    }
                    _ => plain(text),
                }
            }
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
            Body::Observed(body) => {
                let text = format!("{} {}", body.question, body.answer);
                if body.agrees {
                    plain(text)
                } else {
                    grave(format!("{text}, recorded {}", body.recorded))
                }
            }
            Body::Disposed(body) => {
                let parts: Vec<&str> = body
                    .parts
                    .iter()
                    .map(|part| self.part_label(part))
                    .collect();
                plain(format!("{}: {}", parts.join(", "), body.disposition))
            }
            Body::VerifiedAnswer(body) => {
                let text = format!("verifier: {} {}", body.question, body.answer);
                if body.agrees {
                    plain(text)
                } else {
                    grave(format!("{text}, not as the performer"))
                }
            }
            Body::AdapterOn(body) => plain(super::adapter::words(body)),
            Body::Taken(_) | Body::Checked(_) | Body::InstrumentDropped(_) => {
                super::tools::words(body)
            }
            _ => self.exception_words(body),
        }
    }

    fn exception_words(&self, body: &Body) -> (String, Tone, bool) {
        let plain = |text: String| (text, Tone::Plain, false);
        let told = |text: String| (text, Tone::Watch, true);
        let grave = |text: String| (text, Tone::Stop, true);
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

    /// `98 lbf·in + prevailing 12 lbf·in` for a torque whose window holds a prevailing torque.
    fn made_of(&self, body: &super::body::Reading) -> Option<String> {
        let joint = self.joint(body.joint.as_deref()?)?;
        super::prevailing::words(joint, body.pass?, body.prevailing.as_deref()?)
    }

    fn reading_words(&self, number: u64, body: &Body) -> (String, Tone, bool) {
        match body {
            Body::Reading(body) => {
                let struck = self.readings.get(&number).is_some_and(|kept| kept.struck);
                let of = match (&body.joint, body.fastener, &body.thing) {
                    (Some(joint), Some(fastener), _) => {
                        format!("{joint} {fastener} pass {}", body.pass.unwrap_or_default())
                    }
                    (Some(joint), None, Some(thing)) => format!("{joint} {thing}"),
                    (_, _, Some(thing)) => self.thing_words(thing),
                    _ => self.step_words(&body.step),
                };
                let by: Vec<&str> = body
                    .instruments
                    .iter()
                    .map(|instrument| instrument.id.as_str())
                    .collect();
                let mut text = format!("{of}: {}", body.means);
                if let (Some(place), Some(window), Some(distance)) =
                    (&body.place, &body.window, &body.distance)
                {
                    text = match place.as_str() {
                        "WITHIN" => format!("{text} WITHIN {window}"),
                        _ => format!("{text} {place} by {distance}, window {window}"),
                    };
                }
                if let (Some(outcome), Some(rule)) = (&body.outcome, &body.rule)
                    && rule != "simple"
                {
                    text = format!("{text}, {outcome} by {rule}");
                }
                if let Some(probability) = &body.probability {
                    text = format!("{text} (conforms with probability {probability})");
                }
                if let Some(made_of) = self.made_of(body) {
                    text = format!("{text}, {made_of}");
                }
                if !by.is_empty() {
                    text = format!("{text}, {}", by.join(", "));
                }
                if let Some(adapter) = &body.adapter {
                    text = format!("{text}, adapter on, wrench showed {}", adapter.showed);
                }
                if struck {
                    text = format!("{text}; STRUCK or void");
                }
                let out = body
                    .outcome
                    .as_deref()
                    .is_some_and(|outcome| outcome != "ACCEPT");
                (
                    text,
                    if out { Tone::Stop } else { Tone::Plain },
                    out || struck,
                )
            }
            Body::OffScale(body) => (
                format!(
                    "{}: {} typed, off the scale of {} {}",
                    body.thing, body.typed, body.instrument, body.range
                ),
                Tone::Watch,
                true,
            ),
            Body::ReadingQueried(body) => (
                format!(
                    "{} {}: {} queried, {}",
                    body.joint,
                    body.fastener,
                    body.means,
                    body.candidates.join("; ")
                ),
                Tone::Watch,
                true,
            ),
            Body::QueryAnswered(body) => (
                format!("entry {}: {}", body.entry, body.answer),
                Tone::Watch,
                true,
            ),
            Body::Struck(body) => (
                format!("typed wrong: entry {} struck, {}", body.entry, body.reason),
                Tone::Watch,
                true,
            ),
            other => (other.kind().to_owned(), Tone::Plain, false),
        }
    }
}

fn joint_words(body: &Body) -> (String, Tone, bool) {
    let plain = |text: String| (text, Tone::Plain, false);
    let told = |text: String| (text, Tone::Watch, true);
    let grave = |text: String| (text, Tone::Stop, true);
    match body {
        Body::Ready(body) => plain(format!(
            "{}: {} in hand, numbered: {}",
            body.joint, body.instrument.id, body.numbering
        )),
        Body::Setting(body) => {
            let text = format!(
                "{} pass {}: {} set to {}",
                body.joint, body.pass, body.instrument.id, body.means
            );
            let text = match &body.adapter {
                Some(adapter) => format!("{text} at the nut, {} on the wrench", adapter.showed),
                None => text,
            };
            if body.place == "WITHIN" {
                plain(text)
            } else {
                told(format!("{text} {}, must be {}", body.place, body.required))
            }
        }
        Body::Clicked(body) => {
            let text = format!(
                "{} {} pass {}: {}",
                body.joint, body.fastener, body.pass, body.did
            );
            if body.did == "clicked" {
                plain(text)
            } else {
                told(text)
            }
        }
        Body::Pulled(body) => plain(format!(
            "{} {} pass {}: pulled to {}, {}",
            body.joint, body.fastener, body.pass, body.to, body.instrument
        )),
        Body::Round(body) => {
            let text = format!(
                "{} round {}: {} moved at {}",
                body.joint, body.round, body.moved, body.at
            );
            if body.finding.is_some() {
                grave(text)
            } else {
                plain(text)
            }
        }
        Body::SetBack(body) => plain(format!("{} set back to its lowest", body.instrument)),
        Body::Feeler(body) => {
            let text = format!(
                "{}: {} feeler {}",
                body.joint,
                body.feeler,
                if body.enters {
                    "enters"
                } else {
                    "enters nowhere"
                }
            );
            if body.enters {
                grave(text)
            } else {
                plain(text)
            }
        }
        Body::Condition(body) => {
            let text = format!("{} threads and nut faces: {}", body.joint, body.condition);
            if body.agrees {
                plain(text)
            } else {
                told(format!("{text}, written for {}", body.written))
            }
        }
        Body::Rechecked(body) => {
            let text = format!(
                "{} {} at {}: {}",
                body.joint,
                body.fastener,
                body.at,
                if body.moved { "moved" } else { "did not move" }
            );
            if body.moved { grave(text) } else { plain(text) }
        }
        Body::AfterHigh(body) => {
            let what = match (&body.stretched, &body.percent) {
                (Some(true), Some(percent)) => {
                    format!(", {percent} of strength, stud and nut replaced")
                }
                (_, Some(percent)) => format!(", {percent} of strength"),
                _ => String::new(),
            };
            told(format!(
                "{} after the torque of entry {}{what}: {}",
                body.joint, body.entry, body.choice
            ))
        }
        Body::Reopened(body) => told(format!(
            "{} opened again: {}; its readings and later tests are void",
            body.joint, body.reason
        )),
        other => plain(other.kind().to_owned()),
    }
}

/// A newer revision in words.
pub(super) fn newer_words(revision: Option<&str>) -> String {
    match revision {
        Some(revision) => format!("revision {revision} approved meanwhile"),
        None => "the revision withdrawn meanwhile".to_owned(),
    }
}
