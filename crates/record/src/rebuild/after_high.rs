//! A torque that does not close its window: what it did to the fastener, and the ways on from it.

use reseat_measure::joint::{Bolt, Condition, Joint as Bolted};
use reseat_measure::strength::Grade;
use reseat_measure::{Place, Quantity};
use reseat_procedure::model::Joint;

use super::ask::Bench;
use super::body::{self, Body};
use super::command::Given;
use super::question::Question;
use super::state::{JointState, Kept, Rebuild};
use crate::refusal::{Refusal, Work};

/// A way on: as offered, and the word that stands in the entry.
type Way = (&'static str, &'static str);

/// Above the strength limit nothing that keeps stud and nut is offered.
const STRETCHED: &[Way] = &[
    (
        "stud and nut replaced, gasket gap even: this pass again from the first",
        "pass again",
    ),
    (
        "stud and nut replaced, gasket crushed unevenly: new gasket, all passes again",
        "all passes again",
    ),
    (
        "wait for the lead: finding, work stops at this joint",
        "wait for the lead",
    ),
];

/// HIGH below the strength limit.
const HIGH: &[Way] = &[
    (
        "stud and nut looked over or replaced, gasket gap even: this pass again",
        "pass again",
    ),
    (
        "gasket unloaded or crushed unevenly: new gasket, all passes again",
        "all passes again",
    ),
    (
        "wait for the lead: finding, work stops at this joint",
        "wait for the lead",
    ),
];

/// In the window, but not accepted: too near its low limit.
const NEAR_LOW: &[Way] = &[
    ("pull on in one smooth motion, then read again", "pull on"),
    (
        "wait for the lead: finding, a person with the role decides",
        "wait for the lead",
    ),
];

/// In the window, but not accepted: too near its high limit.
const NEAR_HIGH: &[Way] = &[
    (
        "slackened, gasket gap even: this pass again from the first",
        "pass again",
    ),
    (
        "wait for the lead: finding, a person with the role decides",
        "wait for the lead",
    ),
];

impl Rebuild {
    /// The ways on from a torque that does not close its window.
    fn ways_on(&self, kept: &Kept) -> &'static [Way] {
        match kept.place {
            Some(Place::High) if self.stretched(kept) => STRETCHED,
            Some(Place::Within) if kept.near_low => NEAR_LOW,
            Some(Place::Within) => NEAR_HIGH,
            _ => HIGH,
        }
    }

    /// Whether the torque was above what the stud carries at the lowest nut factor of its condition. Where its strength is not
    /// known here, it is taken to be.
    pub(super) fn stretched(&self, kept: &Kept) -> bool {
        kept.place == Some(Place::High) && self.percent(kept).is_none_or(|percent| percent > 100.0)
    }

    /// Percent of proof (or yield) at the lowest nut factor of the condition stated.
    fn percent(&self, kept: &Kept) -> Option<f64> {
        let (joint, ..) = kept.joint.as_ref()?;
        let torque = Quantity::parse(&kept.means).ok()?;
        self.bolted(joint)?.percent_at(&torque).ok()
    }

    fn bolted(&self, joint: &str) -> Option<Bolted> {
        let written = self.joint(joint)?;
        let stated = self.joint_state(joint).condition.clone();
        bolted(written, stated.as_deref().unwrap_or(&written.condition))
    }

    pub(super) fn after_high_question(&self, entry: u64) -> Question {
        let Some(kept) = self.readings.get(&entry) else {
            return Question::act("Go on.");
        };
        let (joint, _, fastener) = kept.joint.clone().unwrap_or_default();
        let told = self.joint_state(&joint).again.clone().unwrap_or_default();
        let ways = self.ways_on(kept);
        let labels: Vec<&str> = ways.iter().map(|(label, _)| *label).collect();
        let high = kept.place != Some(Place::Within);
        let mut question = if high {
            Question::choice("Which, and what did you see?", &labels)
        } else {
            Question::choice("It closes nothing yet. What is done?", &labels)
        }
        .notice(format!("{told} The pattern stops here."))
        .bench(Bench::Joint(joint.clone()));
        if high || !kept.near_low {
            question = question.detail(format!(
                "Slacken {fastener} until it turns by hand. Look at the gasket gap on both sides."
            ));
        }
        if let Some(strength) = self.strength_words(kept).filter(|_| high) {
            question.notice.push(strength);
        }
        question
            .notice
            .push("The reading stays in the record.".to_owned());
        question
    }

    /// Whether a finding was opened by a torque in its window, too near the low limit to be accepted: rework then pulls on, and
    /// nothing that is tight is slackened for it.
    pub(super) fn may_be_pulled_on(&self, finding: u32) -> bool {
        let opened = self
            .entries
            .iter()
            .rev()
            .find_map(|entry| match Body::read(entry)? {
                Body::AfterHigh(body) if body.finding == Some(finding) => Some(body.entry),
                _ => None,
            });
        let kept = opened.and_then(|entry| self.readings.get(&entry));
        kept.is_some_and(|kept| kept.near_low && !kept.struck)
    }

    /// The fastener that is due is pulled on and read again.
    pub(super) fn pull_on(&mut self, joint: &str) {
        let state = self.joints.entry(joint.to_owned()).or_default();
        state.again = Some("Pull on in one smooth motion, then read again.".to_owned());
    }

    pub(super) fn answer_after_high(
        &self,
        entry: u64,
        notice: &[String],
        given: &Given,
    ) -> Result<Body, Refusal> {
        let Given::Choice(number) = *given else {
            return Err(Work::WrongKind.into());
        };
        let kept = self.readings.get(&entry).ok_or(Work::NotAskedNow)?;
        let (joint, ..) = kept.joint.clone().ok_or(Work::NotAskedNow)?;
        let (_, choice) = (number as usize)
            .checked_sub(1)
            .and_then(|at| self.ways_on(kept).get(at))
            .ok_or(Work::NotAskedNow)?;
        Ok(body::AfterHigh {
            entry,
            joint,
            choice: (*choice).to_owned(),
            told: notice.join(" "),
            percent: self.percent(kept).map(percent_text),
            stretched: self.stretched(kept).then_some(true),
            finding: (*choice == "wait for the lead").then(|| self.next_finding()),
        }
        .into())
    }

    /// What a torque does to the fastener, at the highest and lowest nut factor of the condition; none where strength is not
    /// known here.
    fn strength_words(&self, kept: &Kept) -> Option<String> {
        let (joint, ..) = kept.joint.as_ref()?;
        let bolted = self.bolted(joint)?;
        let low = self.percent(kept)?;
        let (k_low, k_high) = bolted.condition().nut_factors();
        let high = low * k_low / k_high;
        let of = bolted.bolt().strength().basis.shared();
        let beyond = if low > 100.0 {
            "the stud has stretched or may have: stud and nut are replaced"
        } else {
            "look at stud and nut before they are used again"
        };
        Some(format!(
            "{} is {high:.0} % of {of} at the highest friction of this condition, {low:.0} % at the lowest: {beyond}.",
            kept.means
        ))
    }

    /// What threads and nut faces in another condition would do at the torque written; none where that is not known here.
    pub(super) fn wrong_condition_words(&self, joint: &str, seen: &str) -> Option<String> {
        let written = self.joint(joint)?;
        let meant = bolted(written, &written.condition)?;
        let seen = Condition::parse(seen).ok()?;
        let actual = match Bolted::new(*meant.bolt(), seen) {
            Ok(actual) => actual,
            Err(galls) => return Some(format!("{galls}.")),
        };
        let (low, high) = (written.window.low()?, written.window.high()?);
        let (meant_k, seen_k) = (meant.condition().nut_factors(), seen.nut_factors());
        if seen_k.0 < meant_k.0 {
            let percent = actual.percent_at(&high).ok()?;
            return Some(format!(
                "{seen}, {high} would load it to {percent:.0} % of {}, where {:.0} % is meant.",
                meant.bolt().strength().basis.shared(),
                meant.percent_at(&high).ok()?
            ));
        }
        if seen_k.1 > meant_k.1 {
            let share = 100.0 * actual.clamp_n_at(&low).ok()? / meant.clamp_n_at(&low).ok()?;
            return Some(format!(
                "{seen}, {low} would clamp only {share:.0} % of what is meant."
            ));
        }
        None
    }
}

impl Rebuild {
    /// Load at both ends of the window, as the outline has it, and what the torque read last came to of the strength.
    pub(super) fn load_words(written: &Joint, state: &JointState) -> String {
        let Some(ends) = reseat_procedure::at_the_bench(written) else {
            return String::new();
        };
        let condition = state.condition.as_ref().unwrap_or(&written.condition);
        let last = state.values.values().max_by_key(|(entry, ..)| *entry);
        let came_to = last.and_then(|(_, means, _)| {
            let (percent, _) = percent_words(written, condition, &Self::quantity(means)?);
            Some(format!("; last {}", percent?))
        });
        format!("{ends}{}", came_to.unwrap_or_default())
    }
}

fn percent_text(percent: f64) -> String {
    format!("{percent:.0} %")
}

/// What a torque comes to of the strength at the lowest nut factor of a condition, as it stands in an entry, and whether that may
/// have stretched the fastener.
pub(super) fn percent_words(
    joint: &Joint,
    condition: &str,
    torque: &Quantity,
) -> (Option<String>, bool) {
    let percent = bolted(joint, condition).and_then(|bolted| bolted.percent_at(torque).ok());
    (
        percent.map(percent_text),
        percent.is_none_or(|percent| percent > 100.0),
    )
}

fn bolted(joint: &Joint, condition: &str) -> Option<Bolted> {
    let thread = joint.thread.parse().ok()?;
    let grade = Grade::parse(&joint.grade).ok()?;
    let condition = Condition::parse(condition).ok()?;
    Bolted::new(Bolt::new(thread, grade).ok()?, condition).ok()
}
