//! Which point is due now: the order in which questions come, safety first.

use reseat_procedure::model::{Asked, Step, Verify};

use super::ask::{Inner, Point};
use super::joint;
use super::state::{About, Finding, Line, Rebuild};
use crate::log::Stamp;
use crate::register::Register;

impl Rebuild {
    /// The point due now.
    pub(super) fn due_point(&self, register: &Register, stamp: &Stamp) -> Point {
        if self.newer {
            return Point::Newer;
        }
        if self.ended.is_some() {
            return Point::Closed;
        }
        if self.pause.is_some() {
            return Point::Resume;
        }
        let Some(index) = self.due() else {
            return Point::Closed;
        };
        let line = &self.lines[index];
        let step = self.step_of(line);
        // What was done meanwhile is written down as it was; zero, locks and what is seen are asked when work goes on.
        let late = stamp.acted.is_some();
        if !late && let Some(point) = self.proof_due(index, stamp) {
            return point;
        }
        if let Some(point) = self.worker_due(register, index) {
            return point;
        }
        if self.observe && !late {
            return Point::Observed;
        }
        if let Some(point) = self.after_high_due().or_else(|| self.finding_due(index)) {
            return point;
        }
        if let Some(point) = self.revision_due(register, line) {
            return point;
        }
        if let Some(point) = self.clear_due(index) {
            return point;
        }
        match step {
            None => Point::Act(line.id.clone()),
            Some(step) => self.step_point(line, step),
        }
    }

    fn after_high_due(&self) -> Option<Point> {
        let queried = self
            .joints
            .values()
            .find_map(|joint| joint.queried.as_ref())
            .map(|(entry, ..)| Point::Queried(*entry));
        queried.or_else(|| {
            self.joints
                .values()
                .find_map(|joint| joint.after_high)
                .map(Point::AfterHigh)
        })
    }

    /// The finding that stops work now. Findings of an inspection wait for the section's own decision step, where one is written.
    fn finding_due(&self, index: usize) -> Option<Point> {
        let finding = self.findings.iter().find(|finding| {
            finding.decided.is_none() && !self.waits_for_decisions(finding, index)
        })?;
        Some(if finding.proposed.is_some() {
            Point::FindingSigned(finding.number)
        } else {
            Point::Finding(finding.number)
        })
    }

    fn waits_for_decisions(&self, finding: &Finding, due: usize) -> bool {
        let About::Slot { line, .. } = &finding.about else {
            return false;
        };
        let Some(section) = self
            .line(line)
            .and_then(|line| line.place)
            .map(|place| place.section)
        else {
            return false;
        };
        let deciding = |candidate: &Line| {
            candidate
                .place
                .is_some_and(|place| place.section == section)
                && self
                    .step_of(candidate)
                    .is_some_and(|step| step.asks.contains(&Asked::Decisions))
                && !self.complete(candidate)
        };
        let Some(at) = self.lines.iter().position(deciding) else {
            return false;
        };
        due < at
    }

    /// Whether an undecided finding about this very slot is parked for the section's decision step.
    pub(super) fn parked(&self, line: &str, ask: usize) -> bool {
        self.findings.iter().any(|finding| {
            finding.decided.is_none()
                && finding.about
                    == About::Slot {
                        line: line.to_owned(),
                        ask,
                    }
                && self
                    .line_index(line)
                    .is_some_and(|index| self.waits_for_decisions(finding, index))
        })
    }

    fn step_point(&self, line: &Line, step: &Step) -> Point {
        if step.start_apart && line.begun.is_none() && line.hands.is_empty() {
            return Point::Begin(line.id.clone());
        }
        if step.asks.is_empty() && line.acted.is_none() {
            return Point::Act(line.id.clone());
        }
        let open = |(index, ask): (usize, &super::state::AskState)| {
            ask.closed.is_none() && !self.parked(&line.id, index)
        };
        if let Some(ask) = line.asks.iter().enumerate().position(open) {
            return Point::Asked(line.id.clone(), ask as u32, self.inner(line, step, ask));
        }
        if step.verify.is_some() && line.verified.is_none() {
            if step.verify == Some(Verify::Independent)
                && let Some(ask) = Self::blind_ask(line, step)
            {
                return Point::VerifyAsked(line.id.clone(), ask);
            }
            return Point::Verify(line.id.clone());
        }
        Point::Hold(line.id.clone())
    }

    /// The next ask the independent verifier answers for himself.
    fn blind_ask(line: &Line, step: &Step) -> Option<u32> {
        step.asks
            .iter()
            .enumerate()
            .filter(|(_, asked)| {
                matches!(
                    asked,
                    Asked::Count { .. } | Asked::Choice { .. } | Asked::Orientation { .. }
                )
            })
            .map(|(index, _)| index as u32)
            .find(|index| !line.verify_asked.contains_key(index))
    }

    fn inner(&self, line: &Line, step: &Step, ask: usize) -> Inner {
        let state = &line.asks[ask];
        match &step.asks[ask] {
            Asked::Tighten { joint } => self
                .joint(joint)
                .and_then(|written| joint::due(written, &self.joint_state(joint)))
                .unwrap_or(Inner::Whole),
            Asked::Recheck { joint, .. } => {
                let done = self.joint_state(joint).rechecked.len() as u32;
                let order = self.joint(joint).map(joint::order_of).unwrap_or_default();
                Inner::Fastener(order.get(done as usize).copied().unwrap_or(done + 1), 0, 1)
            }
            Asked::Reading(measured) if measured.beside.is_some() && state.beside.is_none() => {
                Inner::Beside
            }
            Asked::Zero { .. } | Asked::Dispositions | Asked::Decisions | Asked::Sign => {
                Inner::Line(state.lines)
            }
            _ => Inner::Whole,
        }
    }

    /// Parts that came off and may be kept.
    pub(super) fn reusable_off(&self) -> Vec<String> {
        self.procedure
            .parts_on(&self.route.choices)
            .filter(|part| !part.single_use && self.off.contains_key(&part.id))
            .map(|part| part.id.clone())
            .collect()
    }

    /// Parts still "inspect".
    pub(super) fn to_decide(&self) -> Vec<String> {
        self.dispositions
            .iter()
            .filter(|(_, disposition)| *disposition == "inspect")
            .map(|(part, _)| part.clone())
            .collect()
    }
}
