//! Replaying entries. `apply` never refuses an entry whose chain holds and repeats no rule: it carries what the entry
//! says into the state, and works out what follows from it (a joint reopened voids later tests, a lock off voids zero).

use reseat_measure::{Place, Quantity};
use reseat_procedure::model::{Asked, Deed, EnergyState, PointKind};

use super::body::{Body, Done, Reading};
use super::state::{About, Ended, Finding, Hung, Kept, Line, Mark, Pause, Rebuild, Stale};
use crate::log::{Entry, Sealed};

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
        self.entries.push(entry.clone());
        let Some(body) = Body::read(entry) else {
            self.newer = true;
            return;
        };
        self.last = mark.clone();
        self.carry(body, &mark);
        self.settle();
        if self.ended.is_none() && self.due().is_none() {
            self.ended = Some((Ended::Signed, mark));
        }
    }

    fn carry(&mut self, body: Body, mark: &Mark) {
        match body {
            Body::Started(_) | Body::ClockGiven(_) | Body::RanOn(_) => {}
            Body::TakenUp(body) => self.taken_up(&body.person, &body.after, mark),
            Body::Paused(_) => self.pause = Some(self.pause_at(mark, None, None)),
            Body::Waiting(body) => {
                self.pause = Some(self.pause_at(mark, None, Some(body.part.clone())));
            }
            Body::Stopped(body) => {
                self.pause = Some(self.pause_at(mark, Some(body.why.clone()), None));
                if let Some(number) = body.finding {
                    self.open_finding(number, format!("STOP: {}", body.why), About::Words, mark);
                }
            }
            Body::ClosedIncomplete(_) => self.ended = Some((Ended::Incomplete, mark.clone())),
            Body::OwnLock(_) | Body::LockOff(_) | Body::LockOn(_) => self.carry_lock(body, mark),
            Body::LookedAgain(body) => {
                if body.clear {
                    self.look = false;
                    self.look_read = false;
                } else {
                    self.void_zero(Stale::LongPause);
                }
            }
            Body::Observed(body) => {
                self.observe = false;
                if let Some(number) = body.finding {
                    let words = format!(
                        "On taking up: {} Answered {}, recorded {}.",
                        body.question, body.answer, body.recorded
                    );
                    self.open_finding(number, words, About::Words, mark);
                }
            }
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
            | Body::Reopened(_) => self.carry_exception(body, mark),
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

    fn pause_at(&self, mark: &Mark, stop: Option<String>, waiting_for: Option<String>) -> Pause {
        let short_allowed =
            stop.as_deref().is_none_or(|why| why == "called away") && waiting_for.is_none();
        Pause {
            mark: mark.clone(),
            since: mark.utc.clone(),
            who: self.who.as_ref().map(|who| who.id),
            stop,
            waiting_for,
            short_allowed,
        }
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
            && minutes.is_some_and(|minutes| {
                minutes >= 0 && minutes <= i64::from(self.started.look_again_minutes)
            });
        self.who = Some(person.clone());
        let zero_stood = self.sides_proved() && self.let_in.is_none();
        if short {
            if zero_stood {
                self.look = true;
                self.look_read = false;
            } else {
                self.observe = true;
            }
            return;
        }
        self.observe = true;
        if self.zero_matters() {
            let why = match (same, after, &pause) {
                (false, _, _) => Stale::Handover,
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
                        (body.number.clone(), body.owner.name.clone()),
                    );
                } else {
                    self.own_locks.remove(&body.owner.id);
                }
                if let (Some(step), Some(ask)) = (&body.step, body.ask) {
                    self.own_locks_due = body.on;
                    self.close_ask(step, ask, mark, Some(body.number.clone()));
                }
            }
            Body::LockOff(body) => {
                if body.point == "own" {
                    let owner = self
                        .own_locks
                        .iter()
                        .find(|(_, (number, _))| *number == body.number)
                        .map(|(id, _)| *id);
                    if let Some(id) = owner {
                        self.own_locks.remove(&id);
                    }
                } else if let Some(hung) = self.locks.get_mut(&body.point) {
                    hung.on = false;
                    hung.mark = mark.clone();
                }
                self.void_zero(Stale::LockOff);
                for joint in self.joints.values_mut().filter(|joint| joint.under_way()) {
                    joint.restart();
                }
            }
            Body::LockOn(body) => {
                self.locks.insert(
                    body.point.clone(),
                    Hung {
                        number: body.number.clone(),
                        owner: body.owner.name.clone(),
                        on: true,
                        mark: mark.clone(),
                    },
                );
            }
            _ => {}
        }
    }

    fn carry_exception(&mut self, body: Body, mark: &Mark) {
        match body {
            Body::Found(body) => {
                self.open_finding(body.finding, body.words.clone(), About::Words, mark);
            }
            Body::Dropped(body) => {
                self.open_finding(
                    body.finding,
                    format!("Dropped or lost: {}", body.what),
                    About::Words,
                    mark,
                );
            }
            Body::Proposed(body) => {
                if let Some(finding) = self
                    .findings
                    .iter_mut()
                    .find(|finding| finding.number == body.finding)
                {
                    finding.proposed = Some(body.decision.clone());
                }
            }
            Body::Withdrawn(body) => {
                if let Some(finding) = self
                    .findings
                    .iter_mut()
                    .find(|finding| finding.number == body.finding)
                {
                    finding.proposed = None;
                }
            }
            Body::Decided(body) => {
                self.decided(body.finding, &body.decision, &body.person.name, mark);
            }
            Body::Struck(body) => self.strike(body.entry),
            Body::StruckSeen(body) => self.strike(body.entry),
            Body::Deviation(body) => {
                let at = self.line_index(&body.before).unwrap_or(self.lines.len());
                self.lines
                    .insert(at, Line::added(&body.id, Some(body.text.clone())));
            }
            Body::NotApplicable(body) => {
                if let Some(line) = self.line_mut(&body.step) {
                    line.not_applicable = Some((mark.clone(), body.reason.clone()));
                }
                self.not_applicable.push(body.step.clone());
            }
            Body::Safer(body) => {
                self.safer.push(body.words.clone());
                if let Some(step) = &body.step {
                    self.touch(step, mark);
                }
            }
            Body::Reopened(body) => self.reopen_joint(&body.joint),
            _ => {}
        }
    }

    fn carry_proof(&mut self, body: Body, mark: &Mark) {
        match body {
            Body::Reading(body) => self.carry_reading(&body, mark),
            Body::OffScale(body) => self.touch(&body.step, mark),
            Body::Vented(body) => {
                if body.clear {
                    let by_vent = self.is_by_vent(&body.step, body.ask, &body.side);
                    let proof = self.proofs.entry(body.side.clone()).or_default();
                    proof.vent = Some((mark.clone(), body.came.clone()));
                    proof.by_vent |= by_vent;
                }
                if let Some(ask) = body.ask {
                    self.advance_or_close(&body.step, ask, body.clear, mark, &body.came);
                    if let Some(number) = body.finding {
                        let words = format!(
                            "Nothing came from the vent of {}: it may be blocked",
                            body.side
                        );
                        let about = About::Slot {
                            line: body.step.clone(),
                            ask: ask as usize,
                        };
                        self.open_finding(number, words, about, mark);
                    }
                }
            }
            Body::Released(body) if body.gate => {
                self.needs_release = false;
                self.let_in = None;
                self.stale = None;
            }
            Body::Released(body) => {
                if let Some(line) = self.line_mut(&body.step) {
                    line.released = Some(mark.clone());
                }
                if self.sides_proved() {
                    self.needs_release = false;
                    self.stale = None;
                }
            }
            _ => {}
        }
    }

    fn is_by_vent(&self, step: &str, ask: Option<u32>, side: &str) -> bool {
        let asked = ask.and_then(|ask| self.asked(step, ask));
        matches!(asked, Some(Asked::Zero { by_vent }) if by_vent.iter().any(|named| named == side))
    }

    pub(super) fn asked(&self, step: &str, ask: u32) -> Option<&Asked> {
        let line = self.line(step)?;
        self.step_of(line)?.asks.get(ask as usize)
    }

    fn carry_reading(&mut self, body: &Reading, mark: &Mark) {
        self.touch(&body.step, mark);
        let place = place_of(body.place.as_deref());
        let accepted = body
            .outcome
            .as_deref()
            .is_none_or(|outcome| outcome == "ACCEPT");
        let ask = self.ask_of(body);
        self.readings.insert(
            mark.entry,
            Kept {
                line: body.step.clone(),
                ask,
                joint: body
                    .joint
                    .clone()
                    .zip(body.pass)
                    .zip(body.fastener)
                    .map(|((joint, pass), fastener)| (joint, pass, fastener)),
                place,
                means: body.means.clone(),
                struck: false,
                thing: body.thing.clone(),
            },
        );
        if let Some(joint) = &body.joint {
            self.carry_joint_reading(joint, body, place, mark);
            return;
        }
        let thing = body.thing.clone().unwrap_or_default();
        if let Some(side) = thing.strip_prefix("zero/") {
            if accepted {
                self.proofs.entry(side.to_owned()).or_default().reading =
                    Some((mark.clone(), body.means.clone()));
                self.look_read = self.look;
            }
            if let Some(ask) = ask {
                let told = format!(
                    "{} {}",
                    body.means,
                    body.place.as_deref().unwrap_or_default()
                );
                self.advance_or_close(&body.step, ask as u32, accepted, mark, &told);
            }
            return;
        }
        let Some(ask) = ask else { return };
        if thing.ends_with("/beside") {
            let means = body.means.clone();
            if let Some(state) = self.ask_mut(&body.step, ask as u32) {
                state.beside = Some((mark.entry, means));
            }
            return;
        }
        if let Some(state) = self.ask_mut(&body.step, ask as u32) {
            state.reading = Some(mark.entry);
            state.tries += 1;
            state.last = Some(format!(
                "{} {}",
                body.means,
                body.place.as_deref().unwrap_or_default()
            ));
            if accepted {
                state.closed = Some(mark.clone());
            }
        }
        if accepted
            && let Some(Asked::Reading(measured)) = self.asked(&body.step, ask as u32)
            && let Some(side) = measured.proves.clone()
        {
            self.proofs.entry(side).or_default().reading = Some((mark.clone(), body.means.clone()));
        }
        if let Some(number) = body.finding {
            let words = format!(
                "{} {} {}, window {}",
                thing,
                body.means,
                body.place.as_deref().unwrap_or_default(),
                body.window.as_deref().unwrap_or_default()
            );
            self.open_finding(
                number,
                words,
                About::Slot {
                    line: body.step.clone(),
                    ask,
                },
                mark,
            );
        }
    }

    /// The ask of its step a reading answers, by the name of the thing measured.
    fn ask_of(&self, body: &Reading) -> Option<usize> {
        let line = self.line(&body.step)?;
        let step = self.step_of(line)?;
        let thing = body.thing.as_deref()?;
        let name = thing.strip_suffix("/beside").unwrap_or(thing);
        step.asks.iter().position(|asked| match asked {
            Asked::Reading(measured) => measured.id == name,
            Asked::Computed { id, .. } => id == name,
            Asked::Zero { .. } => name.starts_with("zero/"),
            _ => false,
        })
    }

    pub(super) fn ask_mut(&mut self, step: &str, ask: u32) -> Option<&mut super::state::AskState> {
        self.line_mut(step)?.asks.get_mut(ask as usize)
    }

    /// Counts a part of an ask as in, and closes the ask when it was the last one; a part that did not clear is counted as a try.
    fn advance_or_close(&mut self, step: &str, ask: u32, clear: bool, mark: &Mark, told: &str) {
        self.touch(step, mark);
        let parts = self
            .asked(step, ask)
            .map_or(1, |asked| self.parts_of(asked));
        let Some(state) = self.ask_mut(step, ask) else {
            return;
        };
        state.last = Some(told.to_owned());
        if !clear {
            state.tries += 1;
            return;
        }
        state.tries = 0;
        state.lines += 1;
        if state.lines >= parts {
            state.closed = Some(mark.clone());
            if matches!(self.asked(step, ask), Some(Asked::Zero { .. })) && self.sides_proved() {
                self.let_in = None;
                // After a handover, restart or lock change the check still wants its release, asked before hands-on work.
                if !self.needs_release {
                    self.stale = None;
                }
            }
        }
    }

    fn close_ask(&mut self, step: &str, ask: u32, mark: &Mark, told: Option<String>) {
        self.touch(step, mark);
        if let Some(state) = self.ask_mut(step, ask) {
            state.closed = Some(mark.clone());
            state.last = told;
        }
    }

    fn carry_step(&mut self, body: Body, mark: &Mark) {
        match body {
            Body::Begun(body) => {
                self.touch(&body.step, mark);
                if let Some(line) = self.line_mut(&body.step) {
                    line.begun = Some(mark.clone());
                }
            }
            Body::Done(body) => self.done(&body, mark),
            Body::Answered(body) => {
                self.touch(&body.step, mark);
                let orientation = matches!(
                    self.asked(&body.step, body.ask),
                    Some(Asked::Orientation { .. })
                );
                if let Some(state) = self.ask_mut(&body.step, body.ask) {
                    state.last = Some(body.answer.clone());
                    if body.leads == "on" {
                        state.closed = Some(mark.clone());
                    } else {
                        state.tries += 1;
                    }
                }
                // Fitted the wrong way up: out again, and the act is due once more before its question.
                if orientation
                    && body.leads == "again"
                    && let Some(line) = self.line_mut(&body.step)
                {
                    for state in line.asks.iter_mut().take(body.ask as usize) {
                        state.closed = None;
                    }
                    line.acted = None;
                }
                if let Some(number) = body
                    .leads
                    .strip_prefix("finding ")
                    .and_then(|n| n.parse().ok())
                {
                    let words = format!("{} {}", body.question, body.answer);
                    let about = About::Slot {
                        line: body.step.clone(),
                        ask: body.ask as usize,
                    };
                    self.open_finding(number, words, about, mark);
                }
            }
            Body::Wrote(body) => {
                if body.agrees == Some(false) {
                    self.advance_or_close(&body.step, body.ask, false, mark, &body.text);
                } else {
                    self.close_ask(&body.step, body.ask, mark, Some(body.text.clone()));
                }
            }
            Body::Named(body) => {
                self.close_ask(&body.step, body.ask, mark, Some(body.person.name.clone()));
            }
            Body::Counted(body) => {
                let agrees = body
                    .expected
                    .is_none_or(|expected| expected == body.counted);
                if agrees {
                    self.close_ask(&body.step, body.ask, mark, Some(body.counted.to_string()));
                } else {
                    self.advance_or_close(
                        &body.step,
                        body.ask,
                        false,
                        mark,
                        &body.counted.to_string(),
                    );
                }
                if let Some(number) = body.finding {
                    let words = format!(
                        "{} Counted {}, list says {}.",
                        body.question,
                        body.counted,
                        body.expected.unwrap_or_default()
                    );
                    let about = About::Slot {
                        line: body.step.clone(),
                        ask: body.ask as usize,
                    };
                    self.open_finding(number, words, about, mark);
                }
            }
            Body::RestBegun(body) => {
                self.touch(&body.step, mark);
                if let Some(state) = self.ask_mut(&body.step, body.ask) {
                    state.rest = Some(mark.clone());
                }
            }
            Body::RestOver(body) => self.close_ask(&body.step, body.ask, mark, None),
            Body::Disposed(body) => {
                for part in &body.parts {
                    self.dispositions
                        .insert(part.clone(), body.disposition.clone());
                }
                if self.asked(&body.step, body.ask) == Some(&Asked::Decisions) {
                    if self.to_decide().is_empty() {
                        self.close_ask(&body.step, body.ask, mark, None);
                    }
                } else {
                    self.advance_or_close(&body.step, body.ask, true, mark, &body.disposition);
                }
            }
            Body::VerifiedAnswer(body) => {
                if let Some(line) = self.line_mut(&body.step) {
                    line.verify_asked.insert(body.ask);
                }
                if let Some(number) = body.finding {
                    let words = format!(
                        "Independent look differs: {} {}",
                        body.question, body.answer
                    );
                    let about = About::Slot {
                        line: body.step.clone(),
                        ask: body.ask as usize,
                    };
                    self.open_finding(number, words, about, mark);
                }
            }
            Body::Verified(body) => {
                if let Some(line) = self.line_mut(&body.step) {
                    line.verified = Some(mark.clone());
                }
            }
            Body::SignedOff(body) => {
                self.advance_or_close(&body.step, body.ask, true, mark, &body.meaning);
            }
            _ => {}
        }
    }

    fn done(&mut self, body: &Done, mark: &Mark) {
        self.touch(&body.step, mark);
        match body.ask {
            Some(ask) => {
                let several = self
                    .asked(&body.step, ask)
                    .is_some_and(|asked| self.parts_of(asked) > 1);
                if several {
                    self.advance_or_close(&body.step, ask, true, mark, "done");
                } else {
                    self.close_ask(&body.step, ask, mark, None);
                }
            }
            None => {
                if let Some(line) = self.line_mut(&body.step) {
                    line.acted = Some(mark.clone());
                }
            }
        }
    }

    /// Notes that someone put hand to a step; energy that the step lets in is in from its first entry on.
    pub(super) fn touch(&mut self, step: &str, mark: &Mark) {
        let mut lets_in = None;
        let Some(index) = self.line_index(step) else {
            return;
        };
        let first = self.lines[index].hands.is_empty();
        if let Some(by) = mark.by {
            self.lines[index].hands.insert(by);
        }
        if let Some(written) = self.step_of(&self.lines[index])
            && written.energy != EnergyState::Returning
            && (first || self.lines[index].voided > 0)
        {
            lets_in.clone_from(&written.lets_in);
        }
        if let Some(words) = lets_in {
            self.let_in = Some(words);
            self.void_zero(Stale::LetIn);
        }
    }

    /// Carries the deeds of steps that have just become complete into locks, parts and covers.
    fn settle(&mut self) {
        for index in 0..self.lines.len() {
            let line = &self.lines[index];
            if line.effective {
                continue;
            }
            let Some(step) = self.step_of(line) else {
                continue;
            };
            if line.not_applicable.is_some() || !self.acts_in(line, step) {
                continue;
            }
            let deeds = step.does.clone();
            let mark = self.last.clone();
            self.lines[index].effective = true;
            for deed in &deeds {
                self.deed(deed, &mark);
            }
        }
    }

    fn deed(&mut self, deed: &Deed, mark: &Mark) {
        match deed {
            Deed::Lock { point } => {
                let number = self
                    .point(point)
                    .and_then(|point| point.lock.clone())
                    .unwrap_or_default();
                let owner = self
                    .who
                    .as_ref()
                    .map(|who| who.name.clone())
                    .unwrap_or_default();
                self.locks.insert(
                    point.clone(),
                    Hung {
                        number,
                        owner,
                        on: true,
                        mark: mark.clone(),
                    },
                );
            }
            Deed::Unlock { point } => {
                self.locks.remove(point);
                if self
                    .point(point)
                    .is_some_and(|point| point.kind == PointKind::Drain)
                    && self.let_in.is_none()
                    && self
                        .due()
                        .is_some_and(|due| self.energy_at(due) != EnergyState::Returning)
                {
                    self.void_zero(Stale::DrainUnlocked);
                }
            }
            Deed::Off { part, count } => *self.off.entry(part.clone()).or_default() += count,
            Deed::On { part, count } => *self.on.entry(part.clone()).or_default() += count,
            Deed::CoverOn { cover } => {
                self.covers.insert(cover.clone());
            }
            Deed::CoverOff { cover } => {
                self.covers.remove(cover);
            }
            Deed::Slacken { joint } | Deed::Crack { joint } | Deed::Unfasten { joint } => {
                self.joints.entry(joint.clone()).or_default().loose = true;
            }
            Deed::Tighten { joint } => {
                self.joints.entry(joint.clone()).or_default().loose = false;
            }
            _ => {}
        }
    }

    pub(super) fn open_finding(&mut self, number: u32, words: String, about: About, mark: &Mark) {
        self.findings.push(Finding {
            number,
            words,
            about,
            mark: mark.clone(),
            proposed: None,
            decided: None,
        });
    }

    fn decided(&mut self, number: u32, decision: &str, by: &str, mark: &Mark) {
        let Some(finding) = self
            .findings
            .iter_mut()
            .find(|finding| finding.number == number)
        else {
            return;
        };
        finding.decided = Some((mark.clone(), decision.to_owned(), by.to_owned()));
        let stands = matches!(decision, "use as is" | "go on");
        match finding.about.clone() {
            About::Slot { line, ask } => {
                let whole_step =
                    matches!(self.asked(&line, ask as u32), Some(Asked::Computed { .. }));
                if stands {
                    if let Some(Asked::Vent { side }) = self.asked(&line, ask as u32).cloned() {
                        self.proofs.entry(side).or_default().vent =
                            Some((mark.clone(), decision.to_owned()));
                    }
                    if let Some(state) = self.ask_mut(&line, ask as u32) {
                        state.closed = Some(mark.clone());
                    }
                } else if matches!(decision, "replace" | "rework")
                    && let Some(line) = self.line_mut(&line)
                {
                    line.reopen(if whole_step { 0 } else { ask });
                }
            }
            About::Joint(joint) => {
                if stands {
                    self.joints.entry(joint.clone()).or_default().accepted = true;
                    self.close_joint_if_done(&joint, mark);
                } else {
                    self.restart_joint(&joint);
                }
            }
            About::Words => {}
        }
    }

    fn strike(&mut self, number: u64) {
        let Some(kept) = self.readings.get_mut(&number) else {
            return;
        };
        kept.struck = true;
        let kept = kept.clone();
        self.findings
            .retain(|finding| finding.mark.entry != number || finding.decided.is_some());
        if let Some((joint, pass, fastener)) = kept.joint {
            self.strike_joint_reading(&joint, pass, fastener, number);
            return;
        }
        if let Some(side) = kept
            .thing
            .as_deref()
            .and_then(|thing| thing.strip_prefix("zero/"))
        {
            self.proofs.remove(side);
            self.stale.get_or_insert(Stale::NeverProved);
        }
        if let Some(side) = kept
            .ask
            .and_then(|ask| match self.asked(&kept.line, ask as u32) {
                Some(Asked::Reading(measured)) => measured.proves.clone(),
                _ => None,
            })
        {
            self.proofs.entry(side).or_default().reading = None;
        }
        let reopened = kept
            .ask
            .filter(|_| kept.place.is_none_or(|place| place == Place::Within));
        if let (Some(ask), Some(line)) = (reopened, self.line_mut(&kept.line)) {
            line.reopen(ask);
            self.void_later_tests(&kept.line);
        }
    }

    /// Every test after this step is void: asked anew, earlier answers stay.
    pub(super) fn void_later_tests(&mut self, after: &str) {
        let Some(start) = self.line_index(after) else {
            return;
        };
        for index in start + 1..self.lines.len() {
            let touched = !self.lines[index].hands.is_empty();
            let test = self
                .step_of(&self.lines[index])
                .is_some_and(|step| step.energy == EnergyState::Test);
            if touched && test {
                self.lines[index].reopen(0);
            }
        }
    }

    pub(super) fn point(&self, id: &str) -> Option<&reseat_procedure::model::Point> {
        self.procedure.points.iter().find(|point| point.id == id)
    }

    /// Whether every side has a proof that is newer than whatever voided zero last.
    pub(super) fn sides_proved(&self) -> bool {
        !self.procedure.zero.is_empty()
            && self.procedure.zero.iter().all(|side| {
                self.proofs.get(&side.id).is_some_and(|proof| {
                    let vent_seen = side.vent.is_none() || proof.vent.is_some();
                    (proof.reading.is_some() && vent_seen)
                        || (proof.by_vent && proof.vent.is_some())
                })
            })
    }

    /// Parses a quantity that an entry keeps as canonical text; nothing is claimed of a text that is none.
    pub(super) fn quantity(text: &str) -> Option<Quantity> {
        Quantity::parse(text).ok()
    }
}
