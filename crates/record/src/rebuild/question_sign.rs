//! Questions another person answers or signs: verification, hold points, signatures at the end.

use reseat_procedure::model::{Asked, Deed, EnergyState, Role};

use super::ask::{Bench, Inner, Wants};
use super::question::Question;
use super::state::Rebuild;
use crate::log::Id;
use crate::register::Register;

impl Rebuild {
    /// People who hold a role and may sign.
    pub(super) fn holders(register: &Register, role: Role) -> Vec<(Id, String)> {
        let holders = register.holders(role);
        by_name(holders.map(|person| (person.id, person.name.clone())))
    }

    pub(super) fn signature(
        prompt: impl Into<String>,
        meaning: &'static str,
        among: Vec<(Id, String)>,
    ) -> Question {
        Question::new("signature", prompt, Wants::Signature { meaning, among })
    }

    pub(super) fn sign_question(&self, register: &Register, step: &str, inner: &Inner) -> Question {
        let open = self.open_items_but(step);
        let mut question = if *inner == Inner::Line(0) {
            let among = self
                .who
                .iter()
                .map(|who| (who.id, who.name.clone()))
                .collect();
            Self::signature("Performer signs", "performed", among)
        } else {
            let hands = self.performers();
            let among = Self::holders(register, Role::Verifier)
                .into_iter()
                .filter(|(id, _)| !hands.contains(id))
                .collect();
            Self::signature("Verifier signs", "verified", among)
        };
        question = question.bench(Bench::Open);
        if open.is_empty() {
            return question.detail("Nothing is recorded as open. What was recorded proves nothing about energy: operations decide.");
        }
        question
            .notice
            .push(format!("Still open: {}. It cannot be signed.", open.len()));
        for item in open {
            question.detail.push(item.text);
        }
        question
    }

    /// Everyone who had the work in hand, from the start on.
    pub(super) fn performers(&self) -> Vec<Id> {
        self.performed_by.iter().copied().collect()
    }

    pub(super) fn blind_question(&self, step: &str, ask: u32) -> Question {
        let Some(asked) = self.asked(step, ask) else {
            return Question::act("Go on.");
        };
        let mut question = match asked {
            Asked::Count { question, .. } => Question::new("count", question, Wants::Count),
            Asked::Choice { question, answers } => {
                let labels: Vec<&str> =
                    answers.iter().map(|answer| answer.label.as_str()).collect();
                Question::choice(question, &labels)
            }
            Asked::Orientation {
                question, answers, ..
            } => Self::orientation_question(question, answers),
            _ => Question::act("Go on."),
        };
        question.blank = true;
        question.detail =
            vec!["The verifier looks for himself. The first answer is not shown.".to_owned()];
        question
    }

    pub(super) fn verify_question(&self, register: &Register, step: &str) -> Question {
        let mut among: Vec<(Id, String)> = self
            .line(step)
            .map(|line| Self::verifiers(register, line))
            .unwrap_or_default();
        // At the locked-out unit stands nobody without a lock of his own.
        if self
            .line_index(step)
            .is_some_and(|index| self.verified_at_the_unit(index))
        {
            among.retain(|(id, _)| self.own_locks.contains_key(id));
        }
        let independent = self
            .line(step)
            .and_then(|line| self.step_of(line))
            .is_some_and(|step| step.verify == Some(reseat_procedure::model::Verify::Independent));
        let words = if independent {
            "Verifier signs: own look, later and apart"
        } else {
            "Verifier signs: watched and agrees"
        };
        let mut question = Self::signature(words, "verified", among.clone());
        let own: Vec<&str> = self
            .line(step)
            .into_iter()
            .flat_map(|line| line.verify_asked.values())
            .map(|(_, answer)| answer.as_str())
            .collect();
        if !own.is_empty() {
            let answered = format!("The answers he signs as his own: {}.", own.join("; "));
            question.detail.push(answered);
        }
        question.detail.push("Another person than the performer. If he is not here it stays NOT VERIFIED: pause, or wait.".to_owned());
        if among.is_empty() {
            question
                .notice
                .push("Nobody on the register may verify this step.".to_owned());
        }
        question
    }

    pub(super) fn hold_question(&self, register: &Register, step: &str) -> Question {
        let role = self
            .line(step)
            .and_then(|line| self.step_of(line))
            .and_then(|step| step.hold)
            .unwrap_or(Role::Releaser);
        let prompt = match role {
            Role::Operations => "Operations sign".to_owned(),
            other => format!("Hold point: released by the {}", other.word()),
        };
        let mut question = Self::signature(prompt, "released", Self::holders(register, role))
            .bench(self.bench_of(step));
        let written = self.line(step).and_then(|line| self.step_of(line));
        let proves = written
            .is_some_and(|step| Self::has_deed(step, |deed| matches!(deed, Deed::Prove { .. })));
        if proves {
            question.detail.extend(self.release_lines());
        } else if self
            .due()
            .is_some_and(|due| self.energy_at(due) == EnergyState::Isolating)
        {
            question.detail.push(self.locks_words());
        }
        question
    }
}

/// People by name, so that a person stands at the same number on every laptop; identifiers are random.
pub(super) fn by_name(people: impl Iterator<Item = (Id, String)>) -> Vec<(Id, String)> {
    let mut people: Vec<(Id, String)> = people.collect();
    people.sort_by(|(_, one), (_, other)| one.cmp(other));
    people
}
