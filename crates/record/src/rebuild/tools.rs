//! Instruments in this rebuild's hands: another one taken, the day's check at first use, one dropped.
//!
//! A failed check and a drop quarantine the instrument here at once, by the rebuild's own entry, whatever the register says
//! yet; the register is told with the same act. From the moment it has spoken of the instrument since, it decides alone.

use std::collections::BTreeMap;
use std::sync::Arc;

use reseat_procedure::model::Asked;

use super::ask::{Inner, Point, Wants};
use super::body::{self, Body, Checked, InstrumentDropped};
use super::command::Given;
use super::fitness::Need;
use super::question::Question;
use super::reading::copy;
use super::state::{About, Mark, Rebuild};
use super::time::local_day;
use super::weight::{Weighed, grave, plain};
use crate::log::{Clock, Entry, Stamp};
use crate::refusal::{Against, Refusal, Work};
use crate::register::{self, Fact, Instrument, InstrumentKind, Register};

/// What this rebuild's own entries say of instruments.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Tools {
    /// The local day of the last check that passed, by name.
    checked: BTreeMap<String, String>,
    /// Why it may not be used, and what the register knew of it then, by name.
    pub(super) quarantined: BTreeMap<String, (String, Fact)>,
}

impl Rebuild {
    /// The point due, with what the register wants asked before it: the day's check of an instrument at its first use.
    pub(super) fn point_due(&self, register: &Register, stamp: &Stamp) -> Point {
        let point = self.due_point(register, stamp);
        match self.check_due(register, stamp, &point) {
            Some(id) => Point::DayCheck(id),
            None => point,
        }
    }

    /// The instrument about to be used at the point whose check of the day is wanted and not in.
    fn check_due(&self, register: &Register, stamp: &Stamp, point: &Point) -> Option<String> {
        if !register.wants_day_checks() || stamp.acted.is_some() {
            return None;
        }
        let need = self.need_at(point)?;
        let choosing = matches!(
            point,
            Point::Asked(_, _, Inner::Wrench | Inner::Numbered) | Point::Begin(_) | Point::Act(_)
        );
        if choosing {
            return None;
        }
        let name = self.in_use(register, stamp, point, &need);
        let instrument = register.instrument(&name)?;
        let wanted = register.wants_day_check(instrument)
            && self.may_use(register, stamp, &name, &need).is_ok()
            && !self.checked_today(instrument, stamp);
        wanted.then(|| instrument.id.clone())
    }

    /// Whether its check of this day is in, here or on the register. A clock that nobody believes knows no day: then a
    /// check in this rebuild stands.
    fn checked_today(&self, instrument: &Instrument, stamp: &Stamp) -> bool {
        let here = self.tools.checked.get(&instrument.id);
        if stamp.clock == Clock::Doubted {
            return here.is_some();
        }
        let today = local_day(&stamp.utc, &stamp.offset);
        let there = instrument
            .checked
            .as_ref()
            .map(|utc| local_day(utc, &stamp.offset));
        here.is_some_and(|day| *day == today) || there.is_some_and(|day| day == today)
    }

    pub(super) fn check_question(register: &Register, id: &str) -> Question {
        let Some(instrument) = register.instrument(id) else {
            return Question::new("none", "Nothing more is asked.", Wants::Nothing);
        };
        Question::choice(
            format!("{id}, first use today: as it must be?"),
            &[seen_of(instrument.kind), "not so: it takes no reading"],
        )
        .detail("No drop since it was last used, no damage, mark and due date legible.")
    }

    pub(super) fn answer_check(
        register: &Register,
        id: &str,
        given: &Given,
    ) -> Result<Body, Refusal> {
        let Given::Choice(number) = *given else {
            return Err(Work::WrongKind.into());
        };
        let instrument = known(register, id)?;
        let passed = number == 1;
        let seen = if passed {
            seen_of(instrument.kind)
        } else {
            "not as it must be at first use"
        };
        Ok(Checked {
            instrument: copy(instrument),
            seen: seen.to_owned(),
            passed,
        }
        .into())
    }

    /// The instrument that a reading at the point is bound to: the one taken, else the best that may be used, else the first
    /// that the procedure names.
    pub(super) fn in_use(
        &self,
        register: &Register,
        stamp: &Stamp,
        point: &Point,
        need: &Need,
    ) -> String {
        if let [only] = need.named.as_slice() {
            return only.clone();
        }
        let taken = match point {
            Point::Asked(step, ask, _) => self
                .line(step)
                .and_then(|line| line.asks.get(*ask as usize))
                .and_then(|state| state.taken.clone()),
            _ => None,
        };
        taken
            .or_else(|| {
                let offered = self.offered(register, stamp, need);
                offered.fit.into_iter().next().map(|offer| offer.id)
            })
            .or_else(|| need.named.first().cloned())
            .unwrap_or_default()
    }

    /// An instrument named where one is chosen or used: the wrench of a joint, or the one a reading is bound to.
    pub(super) fn take_instrument(
        &self,
        register: &Register,
        stamp: &Stamp,
        point: &Point,
        name: &str,
    ) -> Result<Body, Refusal> {
        let Point::Asked(step, ask, _) = point else {
            return Err(Work::NoInstrumentWanted.into());
        };
        match self.asked(step, *ask) {
            Some(Asked::Tighten { joint }) => {
                let written = &self.joint_now(joint).ok_or(Work::NotAskedNow)?;
                let need = Need::wrench(written, None, &self.joint_state(joint));
                let instrument = self.may_use(register, stamp, name, &need)?;
                Ok(body::Ready {
                    step: step.clone(),
                    joint: joint.clone(),
                    instrument: copy(instrument),
                    numbering: written.numbering.clone(),
                }
                .into())
            }
            Some(Asked::Reading(measured)) => {
                let need = self
                    .need_of_reading(step, measured)
                    .ok_or(Work::NoInstrumentWanted)?;
                let instrument = self.may_use(register, stamp, name, &need)?;
                Ok(body::Taken {
                    step: step.clone(),
                    ask: *ask,
                    instrument: copy(instrument),
                }
                .into())
            }
            _ => Err(Work::NoInstrumentWanted.into()),
        }
    }

    /// An instrument fell or was struck. Where it is entered as a thing dropped, a finding is opened as for any other.
    pub(super) fn decide_dropped(
        &self,
        register: &Register,
        name: &str,
        finding: bool,
    ) -> Result<Body, Refusal> {
        Ok(InstrumentDropped {
            step: self.due().map(|index| self.lines[index].id.clone()),
            instrument: copy(known(register, name)?),
            finding: finding.then(|| self.next_finding()),
        }
        .into())
    }

    pub(super) fn carry_tools(&mut self, body: Body, mark: &Mark) {
        match body {
            Body::Checked(body) => {
                let id = body.instrument.id;
                if body.passed {
                    let day = local_day(&mark.utc, &mark.offset);
                    self.tools.checked.insert(id, day);
                } else {
                    self.put_aside(&id, body.seen, body.instrument.fact, mark);
                }
            }
            Body::InstrumentDropped(body) => {
                let id = body.instrument.id;
                let why = format!("dropped, entry {}", mark.entry);
                self.put_aside(&id, why, body.instrument.fact, mark);
                if let Some(number) = body.finding {
                    self.open_finding(number, format!("{id} dropped"), About::Words, mark);
                }
            }
            Body::Taken(body) => {
                self.touch(&body.step, mark);
                if let Some(state) = self.ask_mut(&body.step, body.ask) {
                    state.taken = Some(body.instrument.id);
                }
            }
            _ => {}
        }
    }

    /// Quarantined here: it leaves every hand it is in.
    fn put_aside(&mut self, id: &str, why: String, known: Fact, mark: &Mark) {
        self.tools.checked.remove(id);
        self.tools.quarantined.insert(id.to_owned(), (why, known));
        for line in &mut self.lines {
            for ask in line.asks.iter_mut().filter(|ask| ask.closed.is_none()) {
                ask.taken = ask.taken.take().filter(|taken| taken != id);
            }
        }
        self.wrench_out_of_hand(id, mark);
    }

    /// How many readings of this rebuild that instrument gave.
    #[must_use]
    pub fn readings_by(&self, instrument: &str) -> usize {
        let by = |entry: &&Arc<Entry>| match Body::read(entry) {
            Some(Body::Reading(body)) => body
                .instruments
                .first()
                .is_some_and(|first| first.id == instrument),
            _ => false,
        };
        self.entries.iter().filter(by).count()
    }
}

/// What the register is told together with an entry of a rebuild; none where it is told nothing, or knows already.
#[must_use]
pub fn for_register(
    register: &Register,
    rebuild: &Rebuild,
    entry: &Entry,
) -> Option<register::Command> {
    let tag = &rebuild.started.place_tag;
    let (id, command) = match Body::read(entry)? {
        Body::Checked(body) => {
            let id = body.instrument.id;
            let seen = body.seen;
            let passed = body.passed;
            (
                id.clone(),
                register::Command::CheckForDay { id, seen, passed },
            )
        }
        Body::InstrumentDropped(body) => {
            let id = body.instrument.id;
            let reason = format!("dropped at {tag}, entry {} of its rebuild", entry.number);
            (id.clone(), register::Command::Quarantine { id, reason })
        }
        _ => return None,
    };
    let in_service = register
        .instrument(&id)
        .is_some_and(|instrument| !instrument.quarantined());
    in_service.then_some(command)
}

/// An entry about an instrument in words.
pub(super) fn words(body: &Body) -> Weighed {
    match body {
        Body::Taken(body) => plain(format!("{} taken", body.instrument.id)),
        Body::Checked(body) if body.passed => plain(format!(
            "{} before first use: {}",
            body.instrument.id, body.seen
        )),
        Body::Checked(body) => grave(format!("{} quarantined: {}", body.instrument.id, body.seen)),
        Body::InstrumentDropped(body) => {
            let finding = body
                .finding
                .map_or_else(String::new, |number| format!(", finding {number}"));
            let id = &body.instrument.id;
            grave(format!(
                "{id} dropped or struck: quarantined; what it read since its last good check is for recall{finding}"
            ))
        }
        other => plain(other.kind().to_owned()),
    }
}

fn known<'r>(register: &'r Register, name: &str) -> Result<&'r Instrument, Refusal> {
    register.instrument(name.trim()).ok_or_else(|| {
        Work::InstrumentUnfit {
            instrument: name.trim().to_owned(),
            against: vec![Against::NotOnRegister],
        }
        .into()
    })
}

/// What is looked at before the first use of a day (field practice; common practice, no source).
const fn seen_of(kind: InstrumentKind) -> &'static str {
    match kind {
        InstrumentKind::ClickWrench => "no drop, no damage; clicked a few times at its highest",
        InstrumentKind::DialWrench | InstrumentKind::ElectronicWrench => {
            "no drop, no damage; zero at rest"
        }
        InstrumentKind::PressureGauge | InstrumentKind::FlowMeter => {
            "no drop, no damage; zero when vented"
        }
        _ => "no drop, no damage; zero seen",
    }
}
