//! A joint under work: which fastener, pass, round or gap reading is due, and what each entry does to it.

use std::borrow::Cow;

use reseat_measure::Place;
use reseat_measure::order;
use reseat_procedure::model::{Asked, Deed, EnergyState, Gap, Joint, Pattern, Rounds};

use super::ask::Inner;
use super::body::{Body, Reading};
use super::state::{About, JointState, Mark, Rebuild};

/// How the wrench in use tells its torque.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tells {
    /// Set beforehand, clicks.
    Click,
    /// Shows the torque reached.
    Shows,
}

impl JointState {
    pub(super) fn tells(&self) -> Tells {
        match &self.wrench {
            Some(wrench) if wrench.kind.starts_with("click") => Tells::Click,
            _ => Tells::Shows,
        }
    }
}

/// The order of tightening of a joint, positions from 1.
pub(super) fn order_of(joint: &Joint) -> Vec<u32> {
    let count = joint.fasteners;
    let pattern = match joint.pattern {
        Pattern::Cross => order::Pattern::Cross,
        Pattern::Straight => order::Pattern::Straight,
        Pattern::Circular | Pattern::Single | Pattern::FlatByFlat => order::Pattern::Circular,
    };
    let published = u8::try_from(count)
        .ok()
        .and_then(|count| order::order(count, pattern).ok());
    // One fastener, or a count no pattern is made for, goes round in plain order.
    published.map_or_else(
        || (1..=count).collect(),
        |order| order.into_iter().map(u32::from).collect(),
    )
}

/// What is due at the joint; none when it is closed.
pub(super) fn due(joint: &Joint, state: &JointState) -> Option<Inner> {
    if state.wrench.is_none() {
        return Some(Inner::Numbered);
    }
    let order = order_of(joint);
    let passes = joint.passes.len() as u32;
    let pass = state.pass.max(1);
    if pass <= passes {
        if state.tells() == Tells::Click && !state.settings.contains_key(&pass) {
            return Some(Inner::Setting(pass));
        }
        let next = order
            .iter()
            .find(|fastener| !state.pulled.contains(fastener))?;
        return Some(Inner::Fastener(*next, pass, state.attempts + 1));
    }
    if let Some(round) = round_due(joint, state) {
        return Some(Inner::Round(round));
    }
    match &joint.gap {
        Some(Gap::Spread { .. }) if !state.gap_closed => {
            return Some(Inner::Gap(state.gap.len() as u32 + 1));
        }
        Some(Gap::Closed { .. }) if !state.gap_closed => return Some(Inner::Gap(1)),
        _ => {}
    }
    if state.tells() == Tells::Click && !state.set_back {
        return Some(Inner::SetBack);
    }
    None
}

fn round_due(joint: &Joint, state: &JointState) -> Option<u32> {
    if state.accepted {
        return None;
    }
    let done = state.rounds.len() as u32;
    match joint.rounds {
        Rounds::None => None,
        Rounds::Exactly(count) => (done < count).then_some(done + 1),
        Rounds::UpTo(most) => (state.rounds.last() != Some(&0) && done < most).then_some(done + 1),
    }
}

impl Rebuild {
    /// The joint of this name on the route.
    pub(super) fn joint(&self, id: &str) -> Option<&Joint> {
        self.procedure.joint(id, &self.route.choices)
    }

    pub(super) fn joint_state(&self, id: &str) -> Cow<'_, JointState> {
        self.joints
            .get(id)
            .map_or_else(|| Cow::Owned(JointState::default()), Cow::Borrowed)
    }

    pub(super) fn carry_joint(&mut self, body: Body, mark: &Mark) {
        match body {
            Body::Condition(body) => {
                if body.agrees {
                    self.joints.entry(body.joint.clone()).or_default().condition =
                        Some(body.condition.clone());
                    if let Some(state) = self.ask_mut(&body.step, body.ask) {
                        state.closed = Some(mark.clone());
                    }
                } else if let Some(state) = self.ask_mut(&body.step, body.ask) {
                    state.tries += 1;
                    state.last = Some(body.condition.clone());
                }
                self.touch(&body.step, mark);
            }
            Body::Ready(body) => self.carry_ready(&body, mark),
            Body::Setting(body) => {
                self.touch(&body.step, mark);
                let state = self.joints.entry(body.joint.clone()).or_default();
                if body.place == "WITHIN" {
                    state.settings.insert(body.pass, body.means.clone());
                } else {
                    state.again =
                        Some(format!("Set to {}, must be {}.", body.means, body.required));
                }
            }
            Body::Clicked(body) => {
                self.touch(&body.step, mark);
                let state = self.joints.entry(body.joint.clone()).or_default();
                if body.did == "clicked" {
                    self.pulled(&body.joint, body.fastener, mark);
                } else {
                    state.attempts += 1;
                    state.again = Some(format!("{} {}.", body.fastener, body.did));
                }
            }
            Body::Pulled(body) => {
                self.touch(&body.step, mark);
                self.pulled(&body.joint, body.fastener, mark);
            }
            Body::Round(body) => {
                let state = self.joints.entry(body.joint.clone()).or_default();
                state.rounds.push(body.moved);
                state
                    .lines
                    .push(format!("round {}   {} moved", body.round, body.moved));
                if let Some(number) = body.finding {
                    let words = format!(
                        "{}: {} still moved in round {}",
                        body.joint, body.moved, body.round
                    );
                    self.open_finding(number, words, About::Joint(body.joint.clone()), mark);
                }
            }
            Body::ReadingQueried(body) => {
                self.touch(&body.step, mark);
                let state = self.joints.entry(body.joint.clone()).or_default();
                state.queried = Some((mark.entry, body.typed.clone(), body.candidates.clone()));
            }
            Body::QueryAnswered(body) => {
                for state in self.joints.values_mut().filter(|state| {
                    state
                        .queried
                        .as_ref()
                        .is_some_and(|(entry, ..)| *entry == body.entry)
                }) {
                    state.queried = None;
                    state.again = Some("read again.".to_owned());
                    state.attempts += 1;
                }
            }
            Body::SetBack(body) => {
                self.joints.entry(body.joint.clone()).or_default().set_back = true;
            }
            Body::Feeler(body) => {
                let state = self.joints.entry(body.joint.clone()).or_default();
                state.gap_closed = true;
                if let Some(number) = body.finding {
                    let words = format!("{}: {} feeler enters", body.joint, body.feeler);
                    self.open_finding(number, words, About::Joint(body.joint.clone()), mark);
                }
            }
            Body::AfterHigh(body) => self.after_high(&body, mark),
            Body::Rechecked(body) => self.rechecked(&body, mark),
            _ => return,
        }
        if let Some(joint) = self.joint_of_last() {
            self.close_joint_if_done(&joint, mark);
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

    fn after_high(&mut self, body: &super::body::AfterHigh, mark: &Mark) {
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

    fn rechecked(&mut self, body: &super::body::Rechecked, mark: &Mark) {
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

    /// All passes again, with what was stated of threads and wrench; a closed step opens and later tests are void.
    pub(super) fn restart_joint(&mut self, joint: &str) {
        self.joints.entry(joint.to_owned()).or_default().restart();
        let state = self.joints.entry(joint.to_owned()).or_default();
        state.pass = 1;
        state.again = Some("All passes again, from the first.".to_owned());
        state.lines.push("joint started again".to_owned());
        self.void_readings_of(joint);
        self.reopen_steps_of(joint, false);
    }

    /// A closed joint opened: its readings and every later test are void; hand-start and condition are asked anew.
    pub(super) fn reopen_joint(&mut self, joint: &str) {
        self.joints.insert(
            joint.to_owned(),
            JointState {
                loose: true,
                ..JointState::default()
            },
        );
        self.void_readings_of(joint);
        self.prevailing_of_opened(joint);
        self.reopen_steps_of(joint, true);
    }

    fn reopen_steps_of(&mut self, joint: &str, from_start: bool) {
        let mut tightening = None;
        let prevailing = self
            .joint(joint)
            .and_then(|joint| joint.prevailing_read.clone());
        for index in 0..self.lines.len() {
            let Some(step) = self.step_of(&self.lines[index]) else {
                continue;
            };
            let names = |asked: &Asked| match asked {
                Asked::Tighten { joint: named } | Asked::Recheck { joint: named, .. } => {
                    named == joint
                }
                Asked::Condition { joint: named } => from_start && named == joint,
                Asked::Reading(measured) => from_start && prevailing.as_ref() == Some(&measured.id),
                _ => false,
            };
            let starts = from_start
                && step
                    .does
                    .iter()
                    .any(|deed| matches!(deed, Deed::HandStart { joint: named } if named == joint));
            let tightens = step
                .asks
                .iter()
                .any(|asked| matches!(asked, Asked::Tighten { joint: named } if named == joint));
            let concerns = starts || step.asks.iter().any(names);
            if tightens {
                tightening = Some(self.lines[index].id.clone());
            }
            if concerns && !self.lines[index].hands.is_empty() {
                self.reopen_line(index, 0);
            }
        }
        if let Some(step) = tightening {
            self.void_later_rests(&step);
            self.void_later_tests(&step);
        }
    }

    fn void_later_rests(&mut self, after: &str) {
        let Some(start) = self.line_index(after) else {
            return;
        };
        for index in start + 1..self.lines.len() {
            let rest = self.step_of(&self.lines[index]).is_some_and(|step| {
                step.energy == EnergyState::Zero
                    && step
                        .asks
                        .iter()
                        .any(|asked| matches!(asked, Asked::Rest { .. }))
            });
            if rest && !self.lines[index].hands.is_empty() {
                self.reopen_line(index, 0);
            }
        }
    }

    pub(super) fn strike_joint_reading(
        &mut self,
        joint: &str,
        pass: u32,
        fastener: u32,
        entry: u64,
    ) {
        let Some(written) = self.joint(joint).cloned() else {
            return;
        };
        let state = self.joints.entry(joint.to_owned()).or_default();
        let standing = state
            .values
            .get(&fastener)
            .is_some_and(|(number, _, _)| *number == entry);
        if !standing {
            return;
        }
        state.values.remove(&fastener);
        state.attempts = 0;
        state.again = Some(format!("{fastener} read again on the hardware."));
        if state.after_high == Some(entry) {
            state.after_high = None;
        }
        if state.pass > pass {
            // The last pass was complete: only this fastener is open again, and what followed is done anew.
            state.pass = pass;
            state.pulled = order_of(&written)
                .into_iter()
                .filter(|other| *other != fastener)
                .collect();
            state.rounds.clear();
            state.gap.clear();
            state.gap_closed = false;
            state.accepted = false;
        } else {
            state.pulled.retain(|other| *other != fastener);
        }
        state.rechecked.clear();
        self.reopen_closed_joint(joint);
    }

    /// A joint whose step was closed is open again at the slot struck: its re-check, rests and every later test with it.
    pub(super) fn reopen_closed_joint(&mut self, joint: &str) {
        if self.tightening_closed(joint) {
            self.joints.entry(joint.to_owned()).or_default().loose = true;
            self.reopen_steps_of(joint, false);
        }
    }

    /// Whether the step that tightens the joint has its answer.
    pub(super) fn tightening_closed(&self, joint: &str) -> bool {
        self.lines.iter().any(|line| {
            self.step_of(line).is_some_and(|step| {
                step.asks.iter().zip(&line.asks).any(|(asked, ask)| {
                    ask.closed.is_some()
                        && matches!(asked, Asked::Tighten { joint: named } if named == joint)
                })
            })
        })
    }

    /// Locks moved: every joint left mid-pattern starts again.
    pub(super) fn restart_open_joints(&mut self) {
        let open: Vec<String> = self
            .joints
            .iter()
            .filter(|(id, state)| state.under_way() && !self.tightening_closed(id))
            .map(|(id, _)| id.clone())
            .collect();
        for joint in open {
            self.restart_joint(&joint);
        }
    }

    fn void_readings_of(&mut self, joint: &str) {
        for kept in self.readings.values_mut() {
            let torque = kept
                .joint
                .as_ref()
                .is_some_and(|(named, ..)| named == joint);
            if torque || kept.gap_of.as_deref() == Some(joint) {
                kept.struck = true;
            }
        }
    }

    /// How many separate answers an ask wants.
    pub(super) fn parts_of(&self, asked: &Asked) -> u32 {
        match asked {
            Asked::Zero { by_vent } => self.zero_parts(by_vent).len() as u32,
            Asked::Dispositions => 1 + self.reusable_off().len() as u32,
            Asked::Sign => 2,
            _ => 1,
        }
    }
}
