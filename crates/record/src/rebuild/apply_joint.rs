//! What is done at a joint carried into the state: passes, rounds, gaps, re-checks, and when it closes.

use reseat_measure::Place;
use reseat_procedure::model::Asked;

use super::body::{self, Body, Reading};
use super::joint::{Tells, due};
use super::state::{About, JointState, Mark, Rebuild};

/// The answer to a queried torque that another scale or wrench was read.
pub(super) const READ_AGAIN: &str = "read again";

/// What is said until that wrench has been read.
const OTHER_WRENCH: &str =
    "The number was read on another scale or wrench: take that one, then read again.";

impl Rebuild {
    pub(super) fn carry_joint(&mut self, body: Body, mark: &Mark) {
        match body {
            Body::Condition(body) => self.condition_found(&body, mark),
            Body::Ready(body) => self.carry_ready(&body, mark),
            Body::Setting(body) => self.wrench_set(&body, mark),
            Body::Clicked(body) => self.clicked(&body, mark),
            Body::Pulled(body) => {
                self.touch(&body.step, mark);
                self.pulled(&body.joint, body.fastener, mark);
            }
            Body::Round(body) => self.round_done(&body, mark),
            Body::ReadingQueried(body) => {
                self.touch(&body.step, mark);
                self.state_of(&body.joint).queried =
                    Some((mark.entry, body.typed.clone(), body.candidates.clone()));
            }
            Body::QueryAnswered(body) => self.query_answered(&body),
            Body::SetBack(body) => self.state_of(&body.joint).set_back = true,
            Body::Feeler(body) => self.feeler_tried(&body, mark),
            Body::AfterHigh(body) => self.after_high(&body, mark),
            Body::Rechecked(body) => self.rechecked(&body, mark),
            _ => return,
        }
        if let Some(joint) = self.joint_of_last() {
            self.close_joint_if_done(&joint, mark);
        }
    }

    fn state_of(&mut self, joint: &str) -> &mut JointState {
        self.joints.entry(joint.to_owned()).or_default()
    }

    fn condition_found(&mut self, body: &body::Condition, mark: &Mark) {
        if body.agrees {
            self.state_of(&body.joint).condition = Some(body.condition.clone());
            if let Some(state) = self.ask_mut(&body.step, body.ask) {
                state.closed = Some(mark.clone());
            }
        } else if let Some(state) = self.ask_mut(&body.step, body.ask) {
            state.tries += 1;
            state.last = Some(body.condition.clone());
        }
        self.touch(&body.step, mark);
    }

    fn wrench_set(&mut self, body: &body::Setting, mark: &Mark) {
        self.touch(&body.step, mark);
        let state = self.state_of(&body.joint);
        state.queried = None;
        if body.place == "WITHIN" {
            state.settings.insert(body.pass, body.means.clone());
            state.again = None;
        } else {
            state.again = Some(format!("Set to {}, must be {}.", body.means, body.required));
        }
    }

    fn clicked(&mut self, body: &body::Clicked, mark: &Mark) {
        self.touch(&body.step, mark);
        if body.did == "clicked" {
            self.pulled(&body.joint, body.fastener, mark);
        } else {
            let state = self.state_of(&body.joint);
            state.attempts += 1;
            state.again = Some(format!("{} {}.", body.fastener, body.did));
        }
    }

    fn round_done(&mut self, body: &body::Round, mark: &Mark) {
        let state = self.state_of(&body.joint);
        state.rounds.push(body.moved);
        let line = format!("round {}   {} moved", body.round, body.moved);
        state.lines.push(line);
        if let Some(number) = body.finding {
            let words = format!(
                "{}: {} still moved in round {}",
                body.joint, body.moved, body.round
            );
            self.open_finding(number, words, About::Joint(body.joint.clone()), mark);
        }
    }

    /// The typed number that was queried is answered by reading again; where another scale or wrench was read, it is asked
    /// which one is in hand before that.
    fn query_answered(&mut self, body: &body::QueryAnswered) {
        let queried = self.joints.values_mut().filter(|state| {
            let query = state.queried.as_ref();
            query.is_some_and(|(asked, ..)| *asked == body.entry)
        });
        for state in queried {
            state.queried = None;
            // A setting is no attempt at a fastener.
            if state.tells() == Tells::Shows {
                state.attempts += 1;
            }
            if body.answer == READ_AGAIN {
                let adapter = if state.adapter.is_some() {
                    " Its adapter is stated anew."
                } else {
                    ""
                };
                state.wrench = None;
                state.again = Some(format!("{OTHER_WRENCH}{adapter}"));
            } else {
                state.again = Some("Read again.".to_owned());
            }
        }
    }

    fn feeler_tried(&mut self, body: &body::Feeler, mark: &Mark) {
        self.state_of(&body.joint).gap_closed = true;
        if let Some(number) = body.finding {
            let words = format!("{}: {} feeler enters", body.joint, body.feeler);
            self.open_finding(number, words, About::Joint(body.joint.clone()), mark);
        }
    }

    /// The joint whose step is due, where the last entry may have closed it.
    fn joint_of_last(&self) -> Option<String> {
        let line = &self.lines[self.due()?];
        self.step_of(line)?
            .asks
            .iter()
            .find_map(|asked| match asked {
                Asked::Tighten { joint } => Some(joint.clone()),
                _ => None,
            })
    }

    pub(super) fn pulled(&mut self, joint: &str, fastener: u32, mark: &Mark) {
        let Some(of) = self.joint(joint).map(|written| written.fasteners) else {
            return;
        };
        let state = self.joints.entry(joint.to_owned()).or_default();
        state.pulled.push(fastener);
        state.attempts = 0;
        state.again = None;
        if state.pulled.len() as u32 >= of {
            self.pass_complete(joint, of, mark);
        }
    }

    /// Every fastener of the pass is in: its line for the picture, and the next pass.
    fn pass_complete(&mut self, joint: &str, of: u32, mark: &Mark) {
        let pass = self.joint_state(joint).pass.max(1);
        let torque = self.prevailing_words(joint, pass).or_else(|| {
            let torque = self.joint(joint)?.passes.get(pass as usize - 1)?;
            Some(torque.to_string())
        });
        let clock = super::time::clock_face(&mark.utc, &mark.offset);
        let state = self.joints.entry(joint.to_owned()).or_default();
        let torque = torque.unwrap_or_default();
        let how = if state.tells() == Tells::Click {
            "clicked at"
        } else {
            "at"
        };
        state.lines.push(format!(
            "pass {pass}   {of} of {of} {how} {torque}, {clock}"
        ));
        state.pulled.clear();
        state.pass += 1;
    }

    pub(super) fn carry_joint_reading(
        &mut self,
        joint: &str,
        body: &Reading,
        place: Option<Place>,
        mark: &Mark,
    ) {
        let thing = body.thing.clone().unwrap_or_default();
        if thing.starts_with("gap/") {
            self.gap_reading(joint, body, mark);
            return;
        }
        let Some(fastener) = body.fastener else {
            return;
        };
        let means = body.means.clone();
        let kept = self.readings.get(&mark.entry);
        let accepted = kept.is_none_or(|kept| kept.accepted);
        let near_low = kept.is_some_and(|kept| kept.near_low);
        let state = self.joints.entry(joint.to_owned()).or_default();
        state.queried = None;
        state
            .values
            .insert(fastener, (mark.entry, means.clone(), place));
        match place {
            // In the window, but its rule does not accept it: a named decision, or a way on.
            Some(Place::Within) if !accepted => {
                state.attempts += 1;
                state.after_high = Some(mark.entry);
                state.again = Some(format!(
                    "{fastener} {}: {} inside the {} limit.",
                    super::apply_proof::verdict_words(body),
                    body.distance.as_deref().unwrap_or_default(),
                    if near_low { "low" } else { "high" }
                ));
            }
            Some(Place::Within) | None => self.pulled(joint, fastener, mark),
            Some(Place::Low) => {
                state.attempts += 1;
                state.again = Some(format!(
                    "{fastener} LOW by {}.",
                    body.distance.as_deref().unwrap_or_default()
                ));
            }
            Some(Place::High) => {
                state.attempts += 1;
                state.after_high = Some(mark.entry);
                state.again = Some(format!(
                    "{fastener} HIGH by {}.",
                    body.distance.as_deref().unwrap_or_default()
                ));
            }
        }
        self.close_joint_if_done(joint, mark);
    }

    fn gap_reading(&mut self, joint: &str, body: &Reading, mark: &Mark) {
        let spread = body.thing.as_deref() == Some("gap/spread");
        let accepted = body
            .outcome
            .as_deref()
            .is_none_or(|outcome| outcome == "ACCEPT");
        let state = self.joints.entry(joint.to_owned()).or_default();
        if spread {
            state.gap_closed = true;
            state.lines.push(format!("gap      spread {}", body.means));
            if let Some(number) = body.finding.filter(|_| !accepted) {
                let words = format!("{joint}: gap spread {} HIGH", body.means);
                self.open_finding(number, words, About::Joint(joint.to_owned()), mark);
            }
        } else if let Some(value) = Self::quantity(&body.means) {
            state.gap.push((mark.entry, value));
        }
        self.close_joint_if_done(joint, mark);
    }

    fn after_high(&mut self, body: &body::AfterHigh, mark: &Mark) {
        let state = self.joints.entry(body.joint.clone()).or_default();
        state.after_high = None;
        match body.choice.as_str() {
            "pass again" => {
                state.pulled.clear();
                state.values.clear();
                state.attempts = 0;
                state.again = Some("This pass again, from the first.".to_owned());
                state
                    .lines
                    .push(format!("pass {}   again after a HIGH", state.pass));
            }
            "all passes again" => {
                self.restart_joint(&body.joint);
            }
            "pull on" => self.pull_on(&body.joint),
            _ => {
                let Some(number) = body.finding else { return };
                let verdict = match self.readings.get(&body.entry).and_then(|kept| kept.place) {
                    Some(Place::Within) => "in the window, not accepted by its rule",
                    _ => "HIGH",
                };
                let words = match (body.stretched, &body.percent) {
                    (Some(true), Some(percent)) => format!(
                        "{}: HIGH, {percent} of its strength, entry {}: stud and nut are replaced",
                        body.joint, body.entry
                    ),
                    _ => format!("{}: {verdict}, entry {}", body.joint, body.entry),
                };
                let about = if body.stretched == Some(true) {
                    About::Stretched(body.joint.clone())
                } else {
                    About::Joint(body.joint.clone())
                };
                self.open_finding(number, words, about, mark);
            }
        }
    }

    fn rechecked(&mut self, body: &body::Rechecked, mark: &Mark) {
        self.touch(&body.step, mark);
        let count = self.joint(&body.joint).map_or(0, |joint| joint.fasteners);
        let state = self.joints.entry(body.joint.clone()).or_default();
        state.rechecked.insert(body.fastener, body.moved);
        let all = state.rechecked.len() as u32 >= count;
        let step = body.step.clone();
        if let Some(number) = body.finding {
            let words = format!(
                "{}: {} moved at {} after the rest",
                body.joint, body.fastener, body.at
            );
            self.open_finding(number, words, About::Joint(body.joint.clone()), mark);
        }
        if all && let Some(line) = self.line_mut(&step) {
            for ask in line.asks.iter_mut().filter(|ask| ask.closed.is_none()) {
                ask.closed = Some(mark.clone());
            }
        }
    }

    /// Closes the joint's step when nothing more is due at it.
    pub(super) fn close_joint_if_done(&mut self, joint: &str, mark: &Mark) {
        let Some(written) = self.joint(joint) else {
            return;
        };
        let state = self.joint_state(joint);
        let waits = self.findings.iter().any(|finding| {
            finding.decided.is_none()
                && matches!(&finding.about, About::Joint(about) | About::Stretched(about) if about == joint)
        });
        if waits || state.after_high.is_some() || due(written, &state).is_some() {
            return;
        }
        let found = self.lines.iter().position(|line| {
            self.step_of(line).is_some_and(|step| {
                step.asks.iter().zip(&line.asks).any(|(asked, ask)| {
                    ask.closed.is_none()
                        && matches!(asked, Asked::Tighten { joint: named } if named == joint)
                })
            })
        });
        if let Some(index) = found {
            self.joints.entry(joint.to_owned()).or_default().loose = false;
            for ask in self.lines[index]
                .asks
                .iter_mut()
                .filter(|ask| ask.closed.is_none())
            {
                ask.closed = Some(mark.clone());
            }
        }
    }
}
