//! Questions at a joint: condition, wrench, setting, fasteners, rounds, gap, re-check.

use reseat_measure::joint::Condition;
use reseat_procedure::model::{Asked, Gap, Joint, Rounds};

use super::ask::{Bench, Inner, Offered, Wants};
use super::fitness::Need;
use super::joint::Tells;
use super::question::Question;
use super::state::Rebuild;
use crate::log::Stamp;
use crate::register::Register;

/// What a click wrench does at a fastener when all is right.
pub(super) const CLICKED: &str = "clicked";

/// What else a click wrench may do at a fastener, in the order offered.
pub(super) const NOT_CLICKED: &[&str] = &["clicked without moving", "did not click"];

/// What else a fastener may do at a re-check.
const MOVED: &[&str] = &["moved"];

/// Offered beside the conditions a window may be written for.
pub(super) const OTHER_CONDITION: &str = "something else, or cannot tell";

impl Rebuild {
    pub(super) fn queried_question(&self, entry: u64) -> Question {
        let queried = self.joints.iter().find_map(|(id, joint)| {
            joint
                .queried
                .as_ref()
                .filter(|(number, ..)| *number == entry)
                .map(|queried| (id, joint, queried))
        });
        let Some((id, joint, (_, typed, candidates))) = queried else {
            return Question::act("Go on.");
        };
        let wrench = joint
            .wrench
            .as_ref()
            .map_or("", |wrench| wrench.id.as_str());
        let scale = joint
            .wrench
            .as_ref()
            .map_or("", |wrench| wrench.scale.as_str());
        let mut question = Question::choice(
            "Which scale was read?",
            &[
                &format!("{scale} of {wrench}: judge {typed} {scale} as typed"),
                "another scale or wrench: read again on the hardware",
            ],
        )
        .notice(format!(
            "{typed} {scale} is out of the window, but would be WITHIN if the unit slipped."
        ))
        .bench(Bench::Joint(id.clone()));
        for candidate in candidates {
            question.detail.push(candidate.clone());
        }
        question
            .detail
            .push("It is never converted for you.".to_owned());
        question
    }

    pub(super) fn joint_question(
        &self,
        register: &Register,
        stamp: &Stamp,
        asked: &Asked,
        inner: &Inner,
    ) -> Question {
        match asked {
            Asked::Condition { joint } => {
                let mut labels: Vec<&str> = Condition::ALL
                    .iter()
                    .map(|condition| condition.name())
                    .collect();
                labels.push(OTHER_CONDITION);
                Question::choice(
                    format!("{joint}: threads and nut faces, as you see them"),
                    &labels,
                )
                .bench(Bench::Joint(joint.clone()))
            }
            Asked::Recheck { joint, at } => {
                let named = self
                    .joint(joint)
                    .map_or("fastener", |joint| singular(&joint.fasteners_named));
                let Inner::Fastener(fastener, ..) = inner else {
                    return Question::act("Go on.");
                };
                let of = self.joint(joint).map_or(*fastener, |joint| joint.fasteners);
                Question::new(
                    "fastener",
                    format!("Pull {named} {fastener} to {at}: did it move?"),
                    Wants::Fastener {
                        next: *fastener,
                        of,
                        says: "did not move",
                        instead: MOVED,
                    },
                )
                .detail("A check, not a reading: pull to the torque named, no further.")
                .bench(Bench::Joint(joint.clone()))
            }
            Asked::Tighten { joint } => match self.joint_now(joint) {
                Some(now) => self
                    .tighten_question(register, stamp, &now, inner)
                    .bench(Bench::Joint(joint.clone())),
                None => Question::act("Go on."),
            },
            _ => Question::act("Go on."),
        }
    }

    fn tighten_question(
        &self,
        register: &Register,
        stamp: &Stamp,
        joint: &Joint,
        inner: &Inner,
    ) -> Question {
        let state = self.joint_state(&joint.id);
        let wrench = state
            .wrench
            .as_ref()
            .map_or("", |wrench| wrench.id.as_str());
        let mut question = match inner {
            Inner::Wrench | Inner::Numbered => {
                let need = Need::wrench(joint, None, &state);
                wrench_question(&self.offered(register, stamp, &need), joint)
            }
            Inner::Setting(pass) => self.setting_question(register, joint, wrench, *pass),
            Inner::Fastener(fastener, pass, _) => {
                let mut question = self.fastener_question(register, joint, *fastener, *pass);
                question
                    .detail
                    .extend(self.adapter_words(joint, *pass).map(|(_, told)| told));
                question
            }
            Inner::Round(round) => round_question(joint, *round),
            Inner::Gap(number) => self.gap_question(register, joint, *number),
            Inner::SetBack => Question::act(format!("{wrench} is set back to its lowest.")),
            _ => Question::act("Go on."),
        };
        let again = state.again.as_deref();
        question
            .notice
            .extend(again.map(|again| said_again(joint, again)));
        question
    }

    fn setting_question(
        &self,
        register: &Register,
        joint: &Joint,
        wrench: &str,
        pass: u32,
    ) -> Question {
        let wants = Self::reading_wants(register, &[wrench.to_owned()], None, joint.window.unit());
        let adapter = self.adapter_words(joint, pass);
        let torque = match &adapter {
            Some((mark, _)) => mark.to_string(),
            None => self.torque_words(joint, pass),
        };
        let mut question = Question::new(
            "reading",
            format!("{wrench} is set to (pass {pass}: {torque})"),
            wants,
        );
        question.detail.extend(adapter.map(|(_, told)| told));
        question
    }

    /// Torque of a pass; with a prevailing torque what it is made of beside it.
    fn torque_words(&self, joint: &Joint, pass: u32) -> String {
        let torque = joint
            .passes
            .get(pass as usize - 1)
            .map(ToString::to_string)
            .unwrap_or_default();
        match self.prevailing_words(&joint.id, pass) {
            Some(made_of) => format!("{torque} ({made_of})"),
            None => torque,
        }
    }

    fn fastener_question(
        &self,
        register: &Register,
        joint: &Joint,
        fastener: u32,
        pass: u32,
    ) -> Question {
        let state = self.joint_state(&joint.id);
        let named = singular(&joint.fasteners_named);
        let passes = joint.passes.len() as u32;
        let torque = self.torque_words(joint, pass);
        if state.tells() == Tells::Click {
            return Question::new(
                "fastener",
                format!("Pull {named} {fastener} until it clicks at {torque}"),
                Wants::Fastener {
                    next: fastener,
                    of: joint.fasteners,
                    says: CLICKED,
                    instead: NOT_CLICKED,
                },
            );
        }
        let wrench = state
            .wrench
            .as_ref()
            .map(|wrench| wrench.id.clone())
            .unwrap_or_default();
        if pass < passes {
            return Question::new(
                "fastener",
                format!("Pull {named} {fastener} to {torque}, then type its number"),
                Wants::Fastener {
                    next: fastener,
                    of: joint.fasteners,
                    says: "pulled",
                    instead: &[],
                },
            );
        }
        // What is typed is what the wrench shows: with an adapter on its window is another than the nut's.
        let window = state.adapter.map_or(joint.window, |adapter| {
            adapter.window_shown(&joint.window).unwrap_or(joint.window)
        });
        let wants = Self::reading_wants(register, &[wrench], Some(&window), joint.window.unit());
        Question::new("reading", format!("{named} {fastener} at {torque}"), wants)
    }

    fn gap_question(&self, register: &Register, joint: &Joint, number: u32) -> Question {
        match &joint.gap {
            Some(Gap::Spread { limit, instrument }) if number <= 4 => {
                let wants = Self::reading_wants(
                    register,
                    std::slice::from_ref(instrument),
                    None,
                    limit.unit(),
                );
                Question::new(
                    "reading",
                    format!("Gap at point {number} of 4, on {instrument}"),
                    wants,
                )
                .detail(format!(
                    "Four points a quarter turn apart; they differ by at most {limit}."
                ))
            }
            Some(Gap::Spread { limit, .. }) => {
                let told = self
                    .gap_spread(&joint.id)
                    .map_or_else(String::new, |spread| {
                        format!("Spread {spread}, at most {limit}.")
                    });
                Question::act("Take it: gap spread").detail(told)
            }
            Some(Gap::Closed { feeler, instrument }) => Question::choice(
                format!("{feeler} of {instrument}, all round: does it enter?"),
                &["enters nowhere", "enters"],
            ),
            None => Question::act("Go on."),
        }
    }
}

/// The words with a large first letter, as a sentence of their own.
fn begun_large(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// One key where one wrench may be used, or none, so that the answer says why not; else a choice, best first.
fn wrench_question(offered: &Offered, joint: &Joint) -> Question {
    let numbering = begun_large(&format!("{}.", joint.numbering));
    match offered.fit.as_slice() {
        [] => Question::act(format!("No wrench may be used at {} now", joint.id)).detail(numbering),
        [only] => Question::act(format!(
            "{} in hand, {} numbered on the steel",
            only.id, joint.fasteners_named
        ))
        .detail(numbering)
        .detail(format!("{} {}.", only.id, only.words)),
        several => {
            let labels: Vec<String> = several
                .iter()
                .map(|wrench| format!("{} {}", wrench.id, wrench.words))
                .collect();
            let labels: Vec<&str> = labels.iter().map(String::as_str).collect();
            Question::choice(
                format!(
                    "{} numbered on the steel. Which wrench is in hand?",
                    joint.fasteners_named
                ),
                &labels,
            )
            .detail(numbering)
        }
    }
}

pub(super) fn singular(plural: &str) -> &str {
    plural.strip_suffix('s').unwrap_or(plural)
}

fn round_question(joint: &Joint, round: u32) -> Question {
    let target = joint
        .passes
        .last()
        .map(ToString::to_string)
        .unwrap_or_default();
    let rule = match joint.rounds {
        Rounds::UpTo(most) => format!("until a round moves none, at most {most}"),
        Rounds::Exactly(count) => format!("exactly {count}, the count is written, no verdict"),
        Rounds::None => String::new(),
    };
    let moved = format!(
        "Round {round} at {target}: how many {} moved?",
        joint.fasteners_named
    );
    Question::new("count", moved, Wants::Count)
        .detail(format!("Round the circle in order, {rule}."))
}

/// Why the same is asked again, and what to do. What is said of one fastener begins with its number.
fn said_again(joint: &Joint, again: &str) -> String {
    let remedy = if again.contains("without moving") {
        " Back it off one turn, then pull again."
    } else if again.contains(" LOW ") {
        " Pull on in one smooth motion; no backing off unless it sticks."
    } else {
        ""
    };
    if again.starts_with(|first: char| first.is_ascii_digit()) {
        let named = singular(&joint.fasteners_named);
        begun_large(&format!("{named} {again}{remedy}"))
    } else {
        format!("{again}{remedy}")
    }
}
