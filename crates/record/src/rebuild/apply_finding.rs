//! Findings, decisions on them, struck readings and voided tests carried into the state.

use reseat_measure::Place;
use reseat_procedure::model::{Asked, EnergyState};

use super::body::Body;
use super::state::{About, Finding, Line, Mark, Rebuild, Stale};

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

    pub(super) fn strike(&mut self, number: u64) {
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
}
