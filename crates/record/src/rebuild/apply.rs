//! Replaying entries. `apply` never refuses an entry whose chain holds and repeats no rule: it carries what the entry
//! says into the state, and works out what follows from it (a joint reopened voids later tests, a lock off voids zero).

use std::sync::Arc;

use reseat_measure::Place;

use super::body::{self, Body};
use super::command::StopKind;
use super::state::{About, Ended, Hung, Mark, OwnHung, Pause, Rebuild, Stale};
use crate::log::{Clock, Entry, Id, Sealed};

impl Mark {
    pub(super) fn of(entry: &Entry) -> Self {
        Self {
            entry: entry.number,
            utc: entry.acted.clone().unwrap_or_else(|| entry.utc.clone()),
            offset: entry.offset.clone(),
            clock: entry.clock,
            by: entry.by,
        }
    }
}

pub(super) fn place_of(word: Option<&str>) -> Option<Place> {
    match word {
        Some("WITHIN") => Some(Place::Within),
        Some("LOW") => Some(Place::Low),
        Some("HIGH") => Some(Place::High),
        _ => None,
    }
}

impl Rebuild {
    /// Carries one entry into the state.
    pub fn apply(&mut self, sealed: &Sealed) {
        let entry = &sealed.entry;
        let mark = Mark::of(entry);
        self.head = sealed.head();
        self.entries.push(Arc::clone(entry));
        let Some(body) = Body::read(entry) else {
            self.newer = true;
            return;
        };
        self.last = mark.clone();
        self.off_scale = None;
        let late = entry.acted.is_some();
        if !late || self.late_counts(&body) {
            self.carry(body, &mark);
        }
        self.settle();
        if late {
            self.after_late();
        }
        self.find_due();
        self.release_again();
        if self.ended.is_none() && self.due().is_none() {
            self.ended = Some((Ended::Signed, mark));
        }
    }

    fn carry(&mut self, body: Body, mark: &Mark) {
        match body {
            Body::Started(_) | Body::ClockGiven(_) | Body::RanOn(_) => {}
            Body::TakenUp(body) => self.taken_up(&body.person, &body.after, mark),
            Body::Paused(body) => {
                let mut pause = self.pause_at(mark, None, None);
                if body.by_itself {
                    pause.since = self.last_key_before(mark);
                }
                self.pause = Some(pause);
            }
            Body::HandedOver(body) => self.handed_over(&body, mark),
            Body::Waiting(body) => {
                self.pause = Some(self.pause_at(mark, None, Some(body.part.clone())));
            }
            Body::Stopped(body) => self.stopped(&body, mark),
            Body::ClosedIncomplete(_) => self.ended = Some((Ended::Incomplete, mark.clone())),
            Body::OwnLock(_) | Body::LockOff(_) | Body::LockOn(_) => self.carry_lock(body, mark),
            Body::LookedAgain(body) if body.clear => {
                self.look = false;
                self.look_read = false;
            }
            Body::LookedAgain(body) => {
                self.not_zero = Some((mark.entry, body.came));
                self.void_zero(Stale::NotZero);
            }
            Body::Observed(body) => self.seen_on_taking_up(&body, mark),
            Body::RevisionReason(_) | Body::RevisionReasonBack(_) | Body::RevisionKept(_) => {
                self.carry_revision(&body);
            }
            Body::Permit(body) => self.carry_permit(&body.permit),
            Body::PermitSeen(body) => self.carry_permit_seen(&body.what, body.valid, mark),
            Body::Cleared(body) => match body.what.as_str() {
                "tools" => self.tools_clear = body.clear,
                _ => self.people_clear = body.clear,
            },
            Body::Found(_)
            | Body::Proposed(_)
            | Body::Withdrawn(_)
            | Body::Decided(_)
            | Body::Dropped(_)
            | Body::Struck(_)
            | Body::StruckSeen(_)
            | Body::Deviation(_)
            | Body::NotApplicable(_)
            | Body::Safer(_)
            | Body::Reopened(_)
            | Body::TestBrokenOff(_) => self.carry_exception(body, mark),
            Body::AdapterOn(body) => self.carry_adapter(&body, mark),
            Body::Taken(_) | Body::Checked(_) | Body::InstrumentDropped(_) => {
                self.carry_tools(body, mark);
            }
            Body::Reading(_) | Body::OffScale(_) | Body::Vented(_) | Body::Released(_) => {
                self.carry_proof(body, mark);
            }
            Body::Ready(_)
            | Body::Setting(_)
            | Body::Clicked(_)
            | Body::Pulled(_)
            | Body::Round(_)
            | Body::ReadingQueried(_)
            | Body::QueryAnswered(_)
            | Body::SetBack(_)
            | Body::Feeler(_)
            | Body::AfterHigh(_)
            | Body::Condition(_)
            | Body::Rechecked(_) => self.carry_joint(body, mark),
            other => self.carry_step(other, mark),
        }
    }

    fn handed_over(&mut self, body: &body::HandedOver, mark: &Mark) {
        let mut pause = self.pause_at(mark, None, None);
        pause.short_allowed = false;
        pause.handed_over = Some(super::handover::Part::of(body));
        self.pause = Some(pause);
        self.outgoing = Some(body.person.id);
    }

    fn stopped(&mut self, body: &body::Stopped, mark: &Mark) {
        self.pause = Some(self.pause_at(mark, Some(body.why.clone()), None));
        if let Some(number) = body.finding {
            self.open_finding(number, format!("STOP: {}", body.why), About::Words, mark);
        }
        if body.why == StopKind::LockMoved.words() {
            self.restart_open_joints();
        }
    }

    fn seen_on_taking_up(&mut self, body: &body::Observed, mark: &Mark) {
        self.observe = false;
        if let Some(number) = body.finding {
            let words = format!(
                "On taking up: {} Answered \"{}\", the record says \"{}\".",
                body.question,
                body.answer.trim_end_matches('.'),
                body.recorded.trim_end_matches('.')
            );
            self.open_finding(number, words, About::Words, mark);
        }
    }

    fn pause_at(&self, mark: &Mark, stop: Option<String>, waiting_for: Option<String>) -> Pause {
        let short_allowed =
            stop.as_deref().is_none_or(|why| why == "called away") && waiting_for.is_none();
        let (since, before) = match &self.pause {
            // One that comes on top of another makes it neither shorter nor lighter.
            Some(pause) => (pause.since.clone(), pause.short_allowed),
            None => (mark.utc.clone(), true),
        };
        Pause {
            mark: mark.clone(),
            since,
            who: self.who.as_ref().map(|who| who.id),
            stop,
            waiting_for,
            short_allowed: short_allowed && before,
            handed_over: self
                .pause
                .as_ref()
                .and_then(|pause| pause.handed_over.clone()),
        }
    }

    /// A pause of the program's own begins with the last key, the site's minutes before it.
    fn last_key_before(&self, mark: &Mark) -> String {
        let minutes = self.started.pause_minutes;
        super::time::minutes_before(&mark.utc, minutes).unwrap_or_else(|| mark.utc.clone())
    }

    fn taken_up(&mut self, person: &super::body::PersonCopy, after: &str, mark: &Mark) {
        let pause = self.pause.take();
        let same = self.who.as_ref().is_some_and(|who| who.id == person.id);
        let minutes = pause
            .as_ref()
            .and_then(|pause| super::time::minutes_between(&pause.since, &mark.utc));
        let short = same
            && after == "pause"
            && pause
                .as_ref()
                .is_some_and(|pause| pause.short_allowed && pause.mark.clock == mark.clock)
            // How long it was cannot be said by a clock nobody believes.
            && mark.clock != Clock::Doubted
            && minutes.is_some_and(|minutes| {
                minutes >= 0 && minutes <= i64::from(self.started.look_again_minutes)
            });
        self.who = Some(person.clone());
        if self.outgoing == Some(person.id) {
            self.outgoing = None;
        }
        self.performed_by.insert(person.id);
        self.forget_permits_seen();
        let zero_stood = self.sides_proved() && self.let_in.is_empty();
        if short {
            self.observe |= !zero_stood;
            if !self.sides_proved() && self.gate_under_way() {
                // A check that the pause cut in two begins anew.
                self.proofs.clear();
            } else {
                self.look = !self.proofs.is_empty();
                self.look_read = false;
            }
            return;
        }
        self.observe = true;
        self.people_clear = false;
        if self.zero_matters() {
            let why = match (same, after, &pause) {
                (false, _, _) => Stale::Handover,
                (_, _, Some(pause)) if pause.handed_over.is_some() => Stale::Handover,
                (_, "restart", _) => Stale::Restart,
                (_, _, Some(pause)) if pause.stop.is_some() => Stale::Stopped,
                _ => Stale::LongPause,
            };
            self.void_zero(why);
        }
    }

    /// Whether zero has been proved before, so that losing it must be said.
    pub(super) fn zero_matters(&self) -> bool {
        !self.proofs.is_empty() || self.stale != Some(Stale::NeverProved)
    }

    fn carry_lock(&mut self, body: Body, mark: &Mark) {
        match body {
            Body::OwnLock(body) => {
                if body.on {
                    self.own_locks.insert(
                        body.owner.id,
                        OwnHung {
                            number: body.number.clone(),
                            name: body.owner.name.clone(),
                            mark: mark.clone(),
                        },
                    );
                    // Whoever hangs a lock is going to work there.
                    self.people_clear = false;
                } else {
                    self.own_locks.remove(&body.owner.id);
                }
                if !body.on {
                    self.void_zero(Stale::LockOff);
                }
                // Own locks come off one by one, each by its owner; the ask stays until the last.
                if let (Some(step), Some(ask)) = (&body.step, body.ask)
                    && (body.on || self.own_locks.is_empty())
                {
                    self.close_ask(step, ask, mark, Some(body.number.clone()));
                }
            }
            Body::LockOff(body) => {
                // By the person, not by the number: two locks may bear the same one.
                let own = match body.point.strip_prefix("own:") {
                    Some(id) => Id::parse(id).ok(),
                    None => mark.by.filter(|_| body.point == "own"),
                };
                if let Some(id) = own {
                    self.own_locks.remove(&id);
                } else if let Some(hung) = self.locks.get_mut(&body.point) {
                    hung.on = false;
                    hung.mark = mark.clone();
                }
                self.void_zero(Stale::LockOff);
                self.restart_open_joints();
            }
            Body::LockOn(body) => {
                self.locks.insert(
                    body.point.clone(),
                    Hung {
                        number: body.number.clone(),
                        owner: body.owner.name.clone(),
                        owner_id: Some(body.owner.id),
                        on: true,
                        mark: mark.clone(),
                    },
                );
            }
            _ => {}
        }
    }
}
