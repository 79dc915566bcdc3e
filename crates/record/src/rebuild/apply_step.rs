//! A step's answers carried into the state, and what a step does to locks, parts and joints once it is complete.

use reseat_procedure::model::{Asked, Deed, EnergyState, PointKind};

use super::body::{Answered, Body, Counted, Done};
use super::state::{About, Hung, Mark, Rebuild, Stale};

impl Rebuild {
    pub(super) fn asked(&self, step: &str, ask: u32) -> Option<&Asked> {
        let line = self.line(step)?;
        self.step_of(line)?.asks.get(ask as usize)
    }

    pub(super) fn ask_mut(&mut self, step: &str, ask: u32) -> Option<&mut super::state::AskState> {
        self.line_mut(step)?.asks.get_mut(ask as usize)
    }

    /// Counts a part of an ask as in, and closes the ask when it was the last one; a part that did not clear is counted as a try.
    pub(super) fn advance_or_close(
        &mut self,
        step: &str,
        ask: u32,
        clear: bool,
        mark: &Mark,
        told: &str,
    ) {
        self.touch(step, mark);
        let parts = self
            .asked(step, ask)
            .map_or(1, |asked| self.parts_of(asked));
        let zero = matches!(self.asked(step, ask), Some(Asked::Zero { .. }));
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
            if zero && self.sides_proved() {
                self.let_in.clear();
                // After a handover, restart or lock change the check still wants its release, asked before hands-on work.
                if !self.needs_release {
                    self.stale = None;
                }
            }
        }
    }

    pub(super) fn close_ask(&mut self, step: &str, ask: u32, mark: &Mark, told: Option<String>) {
        self.touch(step, mark);
        if let Some(state) = self.ask_mut(step, ask) {
            state.closed = Some(mark.clone());
            state.last = told;
        }
    }

    pub(super) fn carry_step(&mut self, body: Body, mark: &Mark) {
        match body {
            Body::Begun(body) => {
                self.touch(&body.step, mark);
                if let Some(line) = self.line_mut(&body.step) {
                    line.begun = Some(mark.clone());
                }
            }
            Body::Done(body) => self.done(&body, mark),
            Body::Answered(body) => self.answered(&body, mark),
            Body::Wrote(body) => {
                if body.agrees == Some(false) {
                    self.advance_or_close(&body.step, body.ask, false, mark, &body.text);
                } else {
                    self.close_ask(&body.step, body.ask, mark, Some(body.text.clone()));
                }
                if let Some(permit) = &body.permit {
                    self.carry_permit(permit);
                }
            }
            Body::Named(body) => {
                self.close_ask(&body.step, body.ask, mark, Some(body.person.name.clone()));
            }
            Body::Counted(body) => self.counted_in(&body, mark),
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
                    let answered = (mark.entry, body.answer.clone());
                    line.verify_asked.insert(body.ask, answered);
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

    fn answered(&mut self, body: &Answered, mark: &Mark) {
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

    fn counted_in(&mut self, body: &Counted, mark: &Mark) {
        let agrees = body
            .expected
            .is_none_or(|expected| expected == body.counted);
        if agrees {
            self.close_ask(&body.step, body.ask, mark, Some(body.counted.to_string()));
            if self.asked(&body.step, body.ask) == Some(&Asked::ToolsOut) {
                self.tools_clear = true;
            }
        } else {
            self.advance_or_close(&body.step, body.ask, false, mark, &body.counted.to_string());
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

    pub(super) fn done(&mut self, body: &Done, mark: &Mark) {
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
        let Some(index) = self.line_index(step) else {
            return;
        };
        self.disturbs(index);
        let first = self.lines[index].hands.is_empty();
        if let Some(by) = mark.by {
            self.lines[index].hands.insert(by);
        }
        let again = first || self.lines[index].voided > 0;
        let lets_in = self
            .step_of(&self.lines[index])
            .filter(|step| again && step.lets_in.is_some())
            .cloned();
        if let Some(step) = lets_in {
            self.energy_in = Some((mark.entry, index));
            // What the return lets in stays in; it is no test that has to be vented and proved.
            if self.energy_at(index) != EnergyState::Returning {
                self.lets_in(&step);
            }
            self.void_zero(Stale::LetIn);
        }
    }

    /// Carries the deeds of steps that have just become complete into locks, parts and covers.
    pub(super) fn settle(&mut self) {
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

    pub(super) fn deed(&mut self, deed: &Deed, mark: &Mark) {
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
                        owner_id: self.who.as_ref().map(|who| who.id),
                        on: true,
                        mark: mark.clone(),
                    },
                );
            }
            Deed::Unlock { point } => {
                self.locks.remove(point);
                let drain = self
                    .point(point)
                    .is_some_and(|point| point.kind == PointKind::Drain);
                match drain {
                    true if self.let_in.is_empty() => self.void_zero(Stale::DrainUnlocked),
                    true => {}
                    false => self.void_zero(Stale::LockOff),
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
            Deed::LetOut { chamber } => self.lets_out(chamber),
            Deed::ToolsClear => self.tools_clear = true,
            Deed::PeopleClear => self.people_clear = true,
            _ => {}
        }
    }

    /// Opens a line again from one of its asks on. Pieces it put on or took off are counted anew when it is done again.
    pub(super) fn reopen_line(&mut self, index: usize, from: usize) {
        let deeds = match self.step_of(&self.lines[index]) {
            Some(step) if self.lines[index].effective => step.does.clone(),
            _ => Vec::new(),
        };
        for deed in &deeds {
            let (ledger, part, count) = match deed {
                Deed::Off { part, count } => (&mut self.off, part, count),
                Deed::On { part, count } => (&mut self.on, part, count),
                _ => continue,
            };
            if let Some(pieces) = ledger.get_mut(part) {
                *pieces = pieces.saturating_sub(*count);
            }
        }
        self.lines[index].reopen(from);
        // A re-check that is asked anew goes round from its first nut.
        let asks = self.step_of(&self.lines[index]).map(|step| &step.asks);
        let rechecked: Vec<String> = asks
            .into_iter()
            .flatten()
            .skip(from)
            .filter_map(|asked| match asked {
                Asked::Recheck { joint, .. } => Some(joint.clone()),
                _ => None,
            })
            .collect();
        for joint in rechecked {
            self.joints.entry(joint).or_default().rechecked.clear();
        }
        let id = &self.lines[index].id;
        let reopened = self.readings.values_mut();
        for kept in reopened.filter(|kept| kept.line == *id && kept.ask >= Some(from)) {
            kept.void = true;
        }
    }

    pub(super) fn point(&self, id: &str) -> Option<&reseat_procedure::model::Point> {
        self.procedure.points.iter().find(|point| point.id == id)
    }
}
