//! Readings, in the words of the record: of what, how much, how they stand, and by which instruments.

use super::body::{Body, Reading};
use super::state::Rebuild;
use super::view::Tone;
use super::weight::{Weighed, plain, told};

impl Rebuild {
    /// `98 lbf·in + prevailing 12 lbf·in` for a torque whose window holds a prevailing torque.
    fn made_of(&self, body: &Reading) -> Option<String> {
        let joint = self.joint(body.joint.as_deref()?)?;
        super::prevailing::words(joint, body.pass?, body.prevailing.as_deref()?)
    }

    /// A reading, or what was done about one, in words.
    pub(super) fn reading_words(&self, number: u64, body: &Body) -> Weighed {
        match body {
            Body::Reading(body) => self.one_reading_words(number, body),
            Body::OffScale(body) => told(format!(
                "{}: {} typed, off the scale of {} {}",
                body.thing, body.typed, body.instrument, body.range
            )),
            Body::ReadingQueried(body) => {
                let of = match body.fastener {
                    0 => format!("setting, pass {}", body.pass),
                    fastener => fastener.to_string(),
                };
                let fits = body.candidates.join("; ");
                told(format!(
                    "{} {of}: {} queried, {fits}",
                    body.joint, body.means
                ))
            }
            Body::QueryAnswered(body) => told(format!("entry {}: {}", body.entry, body.answer)),
            Body::Struck(body) => told(format!(
                "typed wrong: entry {} struck, {}",
                body.entry, body.reason
            )),
            other => plain(other.kind().to_owned()),
        }
    }

    fn one_reading_words(&self, number: u64, body: &Reading) -> Weighed {
        let struck = self.readings.get(&number).is_some_and(|kept| kept.struck);
        let by: Vec<&str> = body
            .instruments
            .iter()
            .map(|instrument| instrument.id.as_str())
            .collect();
        let mut text = format!("{}: {}", self.read_of(body), body.means);
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
        let tone = if out { Tone::Stop } else { Tone::Plain };
        (text, tone, out || struck)
    }

    /// What was read: a fastener in its pass, a gap, a thing by its label, or the step.
    fn read_of(&self, body: &Reading) -> String {
        match (&body.joint, body.fastener, &body.thing) {
            (Some(joint), Some(fastener), _) => {
                format!("{joint} {fastener} pass {}", body.pass.unwrap_or_default())
            }
            (Some(joint), None, Some(thing)) => format!("{joint} {thing}"),
            (_, _, Some(thing)) => self.thing_words(thing),
            _ => self.step_words(&body.step),
        }
    }
}
