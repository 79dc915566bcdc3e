//! A technician who answers whatever a rebuild asks, for the demo's past and for tests.
//!
//! It knows no procedure by heart: it reads the ask and the written step behind it, answers as a careful person would, and
//! where a plan says so, reads a value that is out. It decides nothing; every answer goes the way of a person's.

use std::collections::{BTreeMap, VecDeque};

use reseat_measure::joint::Condition;
use reseat_measure::{Quantity, Unit, Window};
use reseat_procedure::model::{Asked, Computation, Leads, Step};
use reseat_record::log::{Id, Stamp};
use reseat_record::rebuild::{Ask, Inner, Point, Rebuild, Wants};
use reseat_record::register::Register;

use super::chance::Chance;

/// What the robot does about an ask.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Doing {
    /// Types this; the person acts, and signs where the entry is signed.
    Types {
        /// The text, as screens and line mode take it.
        text: String,
        /// Who.
        by: Id,
    },
    /// Waits until this instant (UTC, as entries have it); none where the clock does not tell.
    Waits {
        /// Until when.
        until: Option<String>,
    },
    /// Nothing more is asked.
    Nothing,
}

/// What differs from the ordinary in one rebuild.
#[derive(Debug, Clone, Default)]
pub struct Plan {
    /// Values read instead of good ones, by the measured thing's id, or `J1/6` for a fastener's reading; one after the other.
    pub readings: BTreeMap<String, VecDeque<String>>,
    /// Decisions proposed on findings, one after the other; `rework` when none is left.
    pub decisions: VecDeque<String>,
    /// Choice after a HIGH, from 1.
    pub after_high: usize,
}

/// A technician who answers.
#[derive(Debug, Clone)]
pub struct Robot {
    /// Who is at the keys.
    pub performer: Id,
    /// What differs.
    pub plan: Plan,
    /// Ordinary values of things without a window, by id, in the unit of their instrument; texts by step.
    pub ordinary: BTreeMap<&'static str, &'static str>,
    chance: Chance,
    /// Numbers read so far, by thing, for what is computed from them.
    read: BTreeMap<String, f64>,
    /// Answers by step and ask, for a second look at the same thing.
    seen: BTreeMap<(String, u32), String>,
}

impl Robot {
    /// A technician with his own scatter.
    pub fn new(performer: Id, series: u64) -> Self {
        Self {
            performer,
            plan: Plan {
                after_high: 1,
                ..Plan::default()
            },
            ordinary: BTreeMap::new(),
            chance: Chance::new(series),
            read: BTreeMap::new(),
            seen: BTreeMap::new(),
        }
    }

    /// What he does about the ask of this rebuild.
    pub fn answer(
        &mut self,
        rebuild: &Rebuild,
        register: &Register,
        stamp: &Stamp,
        ask: &Ask,
    ) -> Doing {
        let step = written(rebuild, ask);
        let asked = step.and_then(|(step, index)| step.asks.get(index));
        let mut by = self.performer;
        let text = match &ask.wants {
            Wants::Nothing => return Doing::Nothing,
            Wants::Wait { over: false, until } => {
                return Doing::Waits {
                    until: until.clone(),
                };
            }
            Wants::Act | Wants::Wait { .. } => String::new(),
            Wants::Choice(labels) => self
                .choose(rebuild, register, stamp, ask, asked, labels)
                .to_string(),
            Wants::Fastener { next, .. } => next.to_string(),
            Wants::Reading {
                unit,
                window,
                instrument,
                ..
            } => {
                let scale = Scale::of(register, instrument, *unit);
                self.reads(
                    ask,
                    step.map(|(step, _)| step),
                    asked,
                    window.as_ref(),
                    &scale,
                )
            }
            Wants::Count => self.counts(rebuild, ask, asked).to_string(),
            Wants::Text => self.writes(rebuild, ask, asked),
            Wants::Person(among) => self.one_of(ask, among).to_string(),
            Wants::Signature { among, .. } => {
                by = self.one_of(ask, among);
                by.to_string()
            }
        };
        if let Point::Asked(step, index, Inner::Whole) = &ask.point {
            self.seen.insert((step.clone(), *index), text.clone());
        }
        Doing::Types { text, by }
    }

    /// How long he takes over it, in seconds.
    pub fn pace(&mut self, ask: &Ask) -> u64 {
        match ask.wants {
            Wants::Fastener { .. } => self.chance.whole(9, 18),
            Wants::Reading { .. } => self.chance.whole(18, 45),
            Wants::Signature { .. } | Wants::Person(_) => self.chance.whole(20, 90),
            Wants::Text => self.chance.whole(20, 60),
            _ => self.chance.whole(12, 55),
        }
    }

    fn one_of(&self, ask: &Ask, among: &[(Id, String)]) -> Id {
        let own = among.iter().any(|(id, _)| *id == self.performer);
        match among.first() {
            _ if own && matches!(ask.point, Point::Resume) => self.performer,
            Some((first, _)) => *first,
            None => self.performer,
        }
    }

    fn choose(
        &mut self,
        rebuild: &Rebuild,
        register: &Register,
        stamp: &Stamp,
        ask: &Ask,
        asked: Option<&Asked>,
        labels: &[String],
    ) -> usize {
        let named = |wanted: &str| {
            labels
                .iter()
                .position(|label| label == wanted)
                .map_or(1, |place| place + 1)
        };
        match (&ask.point, asked) {
            (Point::Observed, _) => observed(rebuild, register, stamp, ask, labels.len()),
            (Point::AfterHigh(_), _) => self.plan.after_high,
            (Point::Finding(_), _) => match self.plan.decisions.pop_front() {
                Some(decision) => named(&decision),
                None if labels.iter().any(|label| label == "go on") => named("go on"),
                None => named("rework"),
            },
            (Point::VerifyAsked(step, index), Some(Asked::Choice { .. })) => self
                .seen
                .get(&(step.clone(), *index))
                .and_then(|text| text.parse().ok())
                .unwrap_or(1),
            (_, Some(Asked::Choice { answers, .. })) => answers
                .iter()
                .position(|answer| answer.leads == Leads::On)
                .map_or(1, |place| place + 1),
            (_, Some(Asked::Orientation { right, .. })) => right + 1,
            (_, Some(Asked::Condition { joint })) => {
                let choices = reseat_procedure::Choices(rebuild.started().choices.clone());
                let condition = rebuild
                    .procedure()
                    .joint(joint, &choices)
                    .map(|joint| Condition::parse(&joint.condition));
                condition
                    .and_then(Result::ok)
                    .map_or(1, |condition| named(condition.name()))
            }
            (_, Some(Asked::Vent { .. })) => named("flowed and stopped"),
            (Point::Gate(_) | Point::LookAgain, _) | (_, Some(Asked::Zero { .. })) => {
                named("nothing came")
            }
            // Keep a part, a nut that did not move, a click: the first offer is the ordinary one.
            _ => 1,
        }
    }

    fn counts(&mut self, rebuild: &Rebuild, ask: &Ask, asked: Option<&Asked>) -> u64 {
        if let Point::VerifyAsked(step, index) = &ask.point
            && let Some(first) = self.seen.get(&(step.clone(), *index))
        {
            return first.parse().unwrap_or(0);
        }
        if let Point::Asked(_, _, Inner::Round(round)) = ask.point {
            return if round == 1 {
                self.chance.whole(0, 2)
            } else {
                0
            };
        }
        match asked {
            Some(Asked::Count {
                expected: Some(expected),
                ..
            }) => u64::from(*expected),
            Some(Asked::Count { .. }) => {
                let step = ask
                    .step
                    .as_ref()
                    .map(|at| at.id.as_str())
                    .unwrap_or_default();
                self.ordinary
                    .get(step)
                    .and_then(|text| text.parse().ok())
                    .unwrap_or(0)
            }
            Some(Asked::Dispositions) => {
                let choices = reseat_procedure::Choices(rebuild.started().choices.clone());
                let single = rebuild
                    .procedure()
                    .parts_on(&choices)
                    .filter(|part| part.single_use);
                single.map(|part| u64::from(part.count)).sum()
            }
            _ => 0,
        }
    }

    fn writes(&self, rebuild: &Rebuild, ask: &Ask, asked: Option<&Asked>) -> String {
        let step = ask
            .step
            .as_ref()
            .map(|at| at.id.as_str())
            .unwrap_or_default();
        match asked {
            Some(Asked::Nameplate) => {
                let serial: Vec<char> = rebuild.started().unit_serial.chars().collect();
                serial[serial.len().saturating_sub(4)..].iter().collect()
            }
            Some(Asked::OwnLocks { .. }) => "417".to_owned(),
            Some(Asked::Text {
                permit: Some(_), ..
            }) => self
                .ordinary
                .get(step)
                .map_or_else(|| "PTW 4711, 24 h".to_owned(), |text| (*text).to_owned()),
            None if matches!(ask.point, Point::Worker(_)) => "1 421".to_owned(),
            None if matches!(ask.point, Point::Permit(_)) => "PTW 3303, 24 h".to_owned(),
            _ => self
                .ordinary
                .get(step)
                .map_or_else(|| "as written".to_owned(), |text| (*text).to_owned()),
        }
    }

    fn reads(
        &mut self,
        ask: &Ask,
        step: Option<&Step>,
        asked: Option<&Asked>,
        window: Option<&Window>,
        scale: &Scale,
    ) -> String {
        let name = match (&ask.point, asked) {
            (Point::Asked(_, _, Inner::Fastener(fastener, ..)), Some(Asked::Tighten { joint })) => {
                format!("{joint}/{fastener}")
            }
            (Point::Asked(_, _, Inner::Beside), Some(Asked::Reading(measured))) => {
                format!("{}/beside", measured.id)
            }
            (_, Some(Asked::Reading(measured))) => measured.id.clone(),
            _ => String::new(),
        };
        if let Some(planned) = self
            .plan
            .readings
            .get_mut(&name)
            .and_then(VecDeque::pop_front)
        {
            return planned;
        }
        let value = match (&ask.point, asked) {
            (Point::Asked(_, _, Inner::Setting(_)), _) => setting_of(&ask.prompt).unwrap_or(0.0),
            (Point::Asked(_, _, Inner::Gap(_)), _) => 0.42 + 0.02 * self.chance.scatter(),
            _ => self.value(&name, step, window, scale),
        };
        let text = scale.shown(value);
        self.read.insert(name, text.parse().unwrap_or(value));
        text
    }

    /// A good value: inside the window with some scatter, or as what is computed from it wants it.
    fn value(
        &mut self,
        name: &str,
        step: Option<&Step>,
        window: Option<&Window>,
        scale: &Scale,
    ) -> f64 {
        let scatter = self.chance.scatter();
        if let Some(window) = window {
            let end = |quantity: Option<Quantity>| {
                quantity.and_then(|one| one.to_f64_in(scale.unit).ok())
            };
            let value = match (end(window.low()), end(window.high())) {
                (Some(low), Some(high)) => f64::midpoint(low, high) + scatter * (high - low) / 5.0,
                (None, Some(high)) => high * (0.45 + 0.25 * scatter),
                (Some(low), None) => low * (1.1 + 0.05 * scatter),
                (None, None) => 0.0,
            };
            return value.max(scale.low);
        }
        let ordinary = self
            .ordinary
            .get(name)
            .and_then(|text| text.parse::<f64>().ok());
        let fed = step.and_then(|step| computed_from(step, name));
        match (fed, ordinary) {
            (Some((how, from, limit)), _) if from.first().is_some_and(|first| first != name) => {
                let first = self.read.get(&from[0]).copied().unwrap_or_default();
                let high = limit
                    .high()
                    .and_then(|high| high.to_f64_in(scale.unit).ok())
                    .unwrap_or_default();
                let low = limit
                    .low()
                    .and_then(|low| low.to_f64_in(scale.unit).ok())
                    .unwrap_or_default();
                match how {
                    Computation::Mean => (high * 0.5).mul_add(1.0 + 0.1 * scatter, 0.0),
                    _ => first - f64::midpoint(low, high) * (1.0 + 0.2 * scatter),
                }
            }
            (Some((Computation::Mean, _, limit)), None) => {
                limit
                    .high()
                    .and_then(|high| high.to_f64_in(scale.unit).ok())
                    .unwrap_or_default()
                    * (0.5 + 0.05 * scatter)
            }
            (_, Some(ordinary)) => ordinary * (1.0 + 0.001 * scatter),
            (_, None) => scale.low.max(0.0) + 0.05,
        }
    }
}

/// The written step behind an ask, with the index of its ask.
fn written<'a>(rebuild: &'a Rebuild, ask: &Ask) -> Option<(&'a Step, usize)> {
    let (Point::Asked(id, index, _) | Point::VerifyAsked(id, index)) = &ask.point else {
        return None;
    };
    let mut steps = rebuild.procedure().steps();
    Some((
        steps.find(|step| step.id == *id)?,
        usize::try_from(*index).ok()?,
    ))
}

/// What is computed from a thing in its step: how, from what, and the window.
fn computed_from<'a>(
    step: &'a Step,
    thing: &str,
) -> Option<(Computation, &'a [String], &'a Window)> {
    step.asks.iter().find_map(|asked| match asked {
        Asked::Computed {
            from, how, window, ..
        } if from.iter().any(|one| one == thing) => Some((*how, from.as_slice(), window)),
        _ => None,
    })
}

/// On taking up, the robot sees what is there: the answer that the record agrees with.
fn observed(
    rebuild: &Rebuild,
    register: &Register,
    stamp: &Stamp,
    ask: &Ask,
    offers: usize,
) -> usize {
    let agrees = |number: &usize| {
        let command = ask.answer(&number.to_string()).ok();
        let entry = command.and_then(|command| rebuild.decide(register, command, stamp).ok());
        entry.is_some_and(|entry| entry.body.get("agrees") == Some(&serde_json::Value::Bool(true)))
    };
    (1..=offers).find(agrees).unwrap_or(1)
}

/// The torque named at the end of the prompt of a setting: `TW-11 is set to (pass 1: 9 N·m)`.
fn setting_of(prompt: &str) -> Option<f64> {
    let (_, torque) = prompt.rsplit_once(": ")?;
    torque.split(' ').next()?.parse().ok()
}

/// The scale a value is read on.
struct Scale {
    unit: Unit,
    decimals: usize,
    low: f64,
}

impl Scale {
    fn of(register: &Register, instrument: &str, unit: Unit) -> Self {
        let known = register
            .instrument(instrument)
            .filter(|known| known.scale == unit);
        let decimals = known.map_or(0, |known| {
            let text = known.resolution.to_string();
            text.split(' ')
                .next()
                .and_then(|number| number.split_once('.'))
                .map_or(0, |(_, behind)| behind.len())
        });
        let low = known
            .and_then(|known| known.range.low())
            .and_then(|low| low.to_f64_in(unit).ok());
        Self {
            unit,
            decimals,
            low: low.unwrap_or(0.0),
        }
    }

    /// The digits, without a minus before nothing.
    fn shown(&self, value: f64) -> String {
        let text = format!("{value:.*}", self.decimals);
        if text.trim_start_matches(['-', '0', '.']).is_empty() {
            text.trim_start_matches('-').to_owned()
        } else {
            text
        }
    }
}
