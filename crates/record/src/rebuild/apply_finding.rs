//! Findings, decisions on them, struck readings and voided tests carried into the state.

use reseat_measure::Place;
use reseat_procedure::model::{Asked, Deed, EnergyState};

use super::ask::Inner;
use super::body::Body;
use super::state::{About, Finding, Kept, Line, Mark, Rebuild, Stale};

impl Rebuild {
    pub(super) fn carry_exception(&mut self, body: Body, mark: &Mark) {
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
            Body::Struck(body) => self.strike(body.entry, mark),
            Body::StruckSeen(body) => self.strike(body.entry, mark),
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
                    self.made_safer(step, mark);
                }
            }
            Body::Reopened(body) => self.reopen_joint(&body.joint),
            Body::TestBrokenOff(_) => self.break_off(),
            _ => {}
        }
    }

    /// A written act that makes safer, done out of its order. Where it is the one due and asks nothing, it is done with that.
    fn made_safer(&mut self, step: &str, mark: &Mark) {
        self.touch(step, mark);
        let written = self.line(step).and_then(|line| self.step_of(line));
        let vented: Vec<String> = written
            .iter()
            .flat_map(|step| &step.does)
            .filter_map(|deed| match deed {
                Deed::LetOut { chamber } => Some(chamber.clone()),
                _ => None,
            })
            .collect();
        for chamber in &vented {
            self.lets_out(chamber);
        }
        let due = self.due().is_some_and(|index| self.lines[index].id == step);
        if let Some(line) = self
            .line_mut(step)
            .filter(|line| due && line.asks.is_empty())
        {
            line.acted = Some(mark.clone());
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

    pub(super) fn decided(&mut self, number: u32, decision: &str, by: &str, mark: &Mark) {
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
                    // What was decided is one line of a list of parts; the others are still asked.
                    let parts = match self.asked(&line, ask as u32) {
                        Some(asked @ Asked::Dispositions) => self.parts_of(asked),
                        _ => 0,
                    };
                    if let Some(state) = self.ask_mut(&line, ask as u32) {
                        state.lines += 1;
                        if state.lines >= parts {
                            state.closed = Some(mark.clone());
                        }
                    }
                } else if matches!(decision, "replace" | "rework")
                    && let Some(index) = self.line_index(&line)
                {
                    self.reopen_line(index, if whole_step { 0 } else { ask });
                }
            }
            About::Joint(joint) | About::Stretched(joint) => {
                if stands {
                    self.accept_joint(&joint, mark);
                } else if decision == "rework" && self.may_be_pulled_on(number) {
                    self.pull_on(&joint);
                } else if matches!(decision, "replace" | "rework") {
                    self.restart_joint(&joint);
                }
            }
            About::Words => {}
        }
    }

    /// "Use as is" at a joint: what was found stands, a fastener that was HIGH or not accepted among it.
    fn accept_joint(&mut self, joint: &str, mark: &Mark) {
        let state = self.joint_state(joint);
        let due = self
            .joint(joint)
            .and_then(|written| super::joint::due(written, &state));
        // LOW is pulled on; what else was read of a fastener was found and decided.
        let found = match due {
            Some(Inner::Fastener(fastener, ..)) => state
                .values
                .get(&fastener)
                .filter(|(_, _, place)| *place != Some(Place::Low))
                .map(|_| fastener),
            _ => None,
        };
        match found {
            // One fastener as it is; rounds and gap are still to come.
            Some(fastener) => self.pulled(joint, fastener, mark),
            None => self.joints.entry(joint.to_owned()).or_default().accepted = true,
        }
        self.close_joint_if_done(joint, mark);
    }

    fn strike(&mut self, number: u64, mark: &Mark) {
        let Some(kept) = self.readings.get_mut(&number) else {
            return;
        };
        kept.struck = true;
        let kept = kept.clone();
        self.not_zero = self.not_zero.take().filter(|(failed, _)| *failed != number);
        // The number of the finding stays taken; what opened it was never there.
        for finding in self
            .findings
            .iter_mut()
            .filter(|finding| finding.mark.entry == number && finding.decided.is_none())
        {
            finding.decided = Some((mark.clone(), "typed wrong".to_owned(), String::new()));
        }
        if let Some((joint, pass, fastener)) = kept.joint {
            self.strike_joint_reading(&joint, pass, fastener, number);
            return;
        }
        if let Some(joint) = kept.gap_of {
            self.strike_gap_reading(&joint);
            return;
        }
        self.strike_proof(&kept);
        let standing = kept.ask.is_some_and(|ask| {
            self.line(&kept.line)
                .and_then(|line| line.asks.get(ask))
                .is_some_and(|state| {
                    state.reading == Some(number)
                        || state
                            .beside
                            .as_ref()
                            .is_some_and(|(entry, _)| *entry == number)
                        || kept
                            .thing
                            .as_deref()
                            .is_some_and(|thing| thing.starts_with("zero/"))
                })
        });
        if let (true, Some(ask), Some(index)) = (standing, kept.ask, self.line_index(&kept.line)) {
            self.reopen_line(index, ask);
            self.void_later_tests(&kept.line);
            if let Some(thing) = &kept.thing {
                self.prevailing_struck(thing);
            }
        }
    }

    /// What a struck reading proved of zero is proved no longer.
    fn strike_proof(&mut self, kept: &Kept) {
        let thing = kept.thing.as_deref();
        if let Some(side) = thing.and_then(|thing| thing.strip_prefix("zero/")) {
            self.proofs.remove(side);
            self.look_read = false;
        }
        let proves = kept
            .ask
            .and_then(|ask| match self.asked(&kept.line, ask as u32) {
                Some(Asked::Reading(measured)) => measured.proves.clone(),
                _ => None,
            });
        if let Some(proof) = proves.and_then(|side| self.proofs.get_mut(&side)) {
            proof.reading = None;
        }
    }

    fn strike_gap_reading(&mut self, joint: &str) {
        let Some(state) = self.joints.get_mut(joint) else {
            return;
        };
        state.gap.clear();
        state.gap_closed = false;
        state.accepted = false;
        state.again = Some("gap read again at all four points.".to_owned());
        self.reopen_closed_joint(joint);
    }

    /// The test of the section under way is void: it begins anew once what it let in is vented, zero proved and released.
    fn break_off(&mut self) {
        let section = |line: &Line| line.place.map(|place| place.section);
        let here = self.due().and_then(|due| section(&self.lines[due]));
        let first = self.lines.iter().position(|line| section(line) == here);
        let before = first.and_then(|first| first.checked_sub(1));
        if let Some(before) = before.map(|before| self.lines[before].id.clone()) {
            self.void_later_tests(&before);
        }
        self.void_zero(Stale::LetIn);
        self.needs_release = true;
        self.broken_off = true;
    }

    /// Every test after this step is void: asked anew, earlier answers stay.
    pub(super) fn void_later_tests(&mut self, after: &str) {
        let Some(start) = self.line_index(after) else {
            return;
        };
        for index in start + 1..self.lines.len() {
            if !self.lines[index].hands.is_empty() && self.goes_with_tests(index) {
                self.reopen_line(index, 0);
                // What is tightened in the middle of a test is set anew with it.
                let joint = self.step_of(&self.lines[index]).and_then(|step| {
                    step.asks.iter().find_map(|asked| match asked {
                        Asked::Tighten { joint } => Some(joint.clone()),
                        _ => None,
                    })
                });
                if let Some(state) = joint.and_then(|joint| self.joints.get_mut(&joint)) {
                    state.restart();
                }
            }
        }
    }

    /// Whether a line is of the tests or the return: its own state, or what a test section sets up. A joint tightened there
    /// was not opened with the others and keeps what it has.
    fn goes_with_tests(&self, index: usize) -> bool {
        let energy = |line: &Line| self.step_of(line).map(|step| step.energy);
        if matches!(
            energy(&self.lines[index]),
            Some(EnergyState::Test | EnergyState::Returning)
        ) {
            return true;
        }
        let section = |line: &Line| line.place.map(|place| place.section);
        let here = section(&self.lines[index]);
        let tests = here.is_some()
            && self
                .lines
                .iter()
                .any(|line| section(line) == here && energy(line) == Some(EnergyState::Test));
        let tightens = self.step_of(&self.lines[index]).is_some_and(|step| {
            step.asks
                .iter()
                .any(|asked| matches!(asked, Asked::Tighten { .. } | Asked::Condition { .. }))
        });
        tests && !tightens
    }
}
