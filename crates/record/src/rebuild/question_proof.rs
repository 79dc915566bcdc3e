//! Questions that lead back to work: taking up, looking again, zero as a gate, locks, findings; and waits.

use reseat_procedure::model::{PointKind, Role};

use super::ask::{Bench, Wants};
use super::body::KINDS_OF_VENT;
use super::question::Question;
use super::state::{About, AskState, Line, Rebuild};
use super::time::{clock_face, minutes_after};
use super::zero::Zero;
use crate::log::{Clock, Stamp};
use crate::register::Register;

/// Decisions on a finding, in the order offered.
pub(super) const DECISIONS: &[&str] =
    &["replace", "rework", "use as is", "swap unit", "scrap unit"];
/// Decisions on a fastener pulled above its strength: each of them takes stud and nut out of use.
pub(super) const STUD_DECISIONS: &[&str] = &["replace", "swap unit", "scrap unit"];
/// Decisions where nothing was measured: a thing dropped, a STOP, a difference seen.
pub(super) const PLAIN_DECISIONS: &[&str] = &["go on", "swap unit", "scrap unit"];

impl Rebuild {
    pub(super) fn resume_question(&self, register: &Register) -> Question {
        let among = Self::holders(register, Role::Performer);
        let question = Self::signature(
            "Who takes the work up, and are you at the unit?",
            "taken up",
            among,
        );
        self.with_taking_up(question)
    }

    /// What whoever takes the work up is told first, whether it was paused or the program ended under it: how it was left, what
    /// is loose or in, the locks, and what he looks at.
    #[must_use]
    pub fn taking_up_words(&self) -> Vec<String> {
        let told = self.with_taking_up(Question::act(String::new()));
        told.notice.into_iter().chain(told.detail).collect()
    }

    fn with_taking_up(&self, mut question: Question) -> Question {
        if let Some(pause) = &self.pause {
            let at = clock_face(&pause.mark.utc, &pause.mark.offset);
            let headline = match (&pause.stop, &pause.waiting_for) {
                _ if pause.handed_over.is_some() => pause
                    .handed_over
                    .as_ref()
                    .map(|part| part.words_at(&at))
                    .unwrap_or_default(),
                (Some(why), _) => format!("STOP at {at}: {why}."),
                (None, Some(part)) => format!("WAITING FOR PART since {at}: {part}."),
                (None, None) => format!("PAUSED {at}, {}.", self.unit_words()),
            };
            question.notice.push(headline);
        } else {
            question.notice.push(format!(
                "The program ended without a pause, {}; zero is to be read anew. Next: {}.",
                self.unit_words(),
                self.next_words().trim_end_matches('.')
            ));
        }
        if let Some(last) = self.last_kept() {
            question.detail.push(format!("Last kept: {last}"));
        }
        for loose in self.loose() {
            question.detail.push(format!("Loose: {loose}"));
        }
        question.detail.push(self.locks_words());
        if self.locks.values().any(|hung| hung.on) {
            question.detail.push(
                "Another person who signs takes the group's locks over: he reads each number at its point."
                    .to_owned(),
            );
        }
        question.detail.extend(self.outgoing_lock_words());
        question.detail.extend(self.after_stop_words());
        question.detail.push(
            "At the unit, with your own eyes: locks by number, vents, gauges, the last mark."
                .to_owned(),
        );
        question
    }

    pub(super) fn look_question(&self, register: &Register) -> Question {
        let notice = "Short pause, same person, same locks: look again.";
        if self.look_read {
            return Question::choice("What comes from the vents and drains now?", KINDS_OF_VENT)
                .notice(notice)
                .bench(Bench::Isolation);
        }
        match self.zero_parts(&[]).first() {
            Some(part) => self.zero_part_question(register, *part).notice(notice),
            None => Question::choice("What comes from the vents and drains now?", KINDS_OF_VENT)
                .notice(notice)
                .bench(Bench::Isolation),
        }
    }

    /// The observed fact asked on taking up: at a joint the fastener marked last, elsewhere the act done last.
    pub(super) fn observed(&self) -> (String, Vec<String>, usize) {
        if let Some((id, state, written)) = self.joint_under_way() {
            // In the order of the numbers on the steel, so that the number typed is the number seen.
            let named = super::question_joint::singular(&written.fasteners_named);
            let mut answers: Vec<String> = (1..=written.fasteners)
                .map(|fastener| format!("{named} {fastener}"))
                .collect();
            answers.push("none in this pass".to_owned());
            let index = state
                .pulled
                .last()
                .map_or(written.fasteners as usize, |last| *last as usize - 1);
            return (
                format!(
                    "{id}, pass {}: which one carries the last mark?",
                    state.pass
                ),
                answers,
                index,
            );
        }
        let due = self.due().unwrap_or(self.lines.len());
        let line = self.lines.get(due);
        let begun = line.is_some_and(Line::begun_not_done);
        let waits_for_signature = line
            .zip(line.and_then(|line| self.step_of(line)))
            .is_some_and(|(line, step)| begun && self.acts_in(line, step));
        // The step before the one due; the one due as far as it went; or that one, where only a signature is open.
        let wanted = match (waits_for_signature, begun) {
            (true, _) => (due, false),
            (false, true) => (due, true),
            (false, false) => (due.wrapping_sub(1), false),
        };
        let mut answers: Vec<((usize, bool), String)> = (due.saturating_sub(2)
            ..(due + 1).min(self.lines.len()))
            .map(|index| ((index, false), self.text_of(&self.lines[index])))
            .collect();
        // Offered whether it was begun or not, so that the answers do not tell which is right.
        if let Some(line) = self.lines.get(due) {
            let text = self.text_of(line);
            let text = text.trim_end_matches('.');
            answers.push(((due, true), format!("begun, not done: {text}")));
        }
        // Unmarked: the order depends on the record, not on what is right.
        let turn = usize::from(self.head.hash.0[0]) % answers.len().max(1);
        answers.rotate_left(turn);
        let right = answers
            .iter()
            .position(|(at, _)| *at == wanted)
            .unwrap_or(answers.len());
        let mut answers: Vec<String> = answers.into_iter().map(|(_, text)| text).collect();
        answers.push("none of these".to_owned());
        (
            "Which of these was done last, as the unit shows?".to_owned(),
            answers,
            right,
        )
    }

    fn joint_under_way(
        &self,
    ) -> Option<(
        &str,
        &super::state::JointState,
        &reseat_procedure::model::Joint,
    )> {
        let due = self.due()?;
        let line = &self.lines[due];
        let joint = self
            .step_of(line)?
            .asks
            .iter()
            .find_map(|asked| match asked {
                reseat_procedure::model::Asked::Tighten { joint } => Some(joint),
                _ => None,
            })?;
        let state = self.joints.get(joint)?;
        let written = self.joint(joint)?;
        (state.under_way() && state.pass as usize <= written.passes.len()).then_some((
            joint.as_str(),
            state,
            written,
        ))
    }

    pub(super) fn observed_question(&self) -> Question {
        let (question, answers, _) = self.observed();
        let labels: Vec<&str> = answers.iter().map(String::as_str).collect();
        let mut asked =
            Question::choice(question, &labels).notice("Look at the hardware, not at the screen.");
        asked.blank = true;
        asked
    }

    pub(super) fn gate_question(&self, register: &Register, stamp: &Stamp, part: u32) -> Question {
        let why = match self.zero(stamp) {
            Zero::LetIn(words) => format!("{words} was let in"),
            Zero::Void(why) => why.to_owned(),
            _ => "zero is asked anew".to_owned(),
        };
        let headline = format!("Hands off. Zero does not stand: {why}.");
        let failed = self
            .not_zero
            .as_ref()
            .map(|(_, told)| Self::not_zero_words(told));
        let parts = self.zero_parts(&[]);
        if let Some(part) = parts.get(part as usize) {
            self.zero_part_question(register, *part)
                .notice(headline)
                .notices(failed)
                .details(self.outgoing_lock_words())
                .detail("Prove zero on every side before the next act at the unit.")
        } else {
            let role = self.procedure.zero_release;
            Self::signature(
                format!("Zero read on every side: released by the {}", role.word()),
                "released",
                Self::holders(register, role),
            )
            .notice(headline)
            .details(self.release_lines())
            .bench(Bench::Isolation)
        }
    }

    /// What is said of a part of a check that did not show zero.
    pub(super) fn not_zero_words(told: &str) -> String {
        format!("{told}: that is not zero. Vent, wait, look again.")
    }

    pub(super) fn lock_back_question(&self, lock: &str) -> Question {
        if lock == "own" {
            let who = self
                .who
                .as_ref()
                .map(|who| who.name.clone())
                .unwrap_or_default();
            return Question::new(
                "text",
                format!("Number of {who}'s own lock, now on the box"),
                Wants::Text,
            )
            .notice("Hands off. Your own lock is not recorded on.")
            .bench(Bench::Isolation);
        }
        let label = self.point(lock).map_or(lock, |point| point.label.as_str());
        let told = match self.locks.get(lock) {
            Some(hung) => format!(
                "Lock {} on {label} is recorded off since {}.",
                hung.number,
                clock_face(&hung.mark.utc, &hung.mark.offset)
            ),
            None => format!("{label} is not locked."),
        };
        let own = self.own_points().find(|point| point.label == lock);
        let position = self
            .point(lock)
            .map(|point| &point.position)
            .or(own.map(|point| &point.position))
            .map_or("", String::as_str);
        let drain = self
            .point(lock)
            .is_some_and(|point| point.kind == PointKind::Drain);
        let how = if drain {
            "Vent it slowly from behind the barrier, before anything else is opened."
        } else {
            "Cut it off here first; it is vented afterwards."
        };
        let first = self
            .let_in_words()
            .map(|what| format!("In it: {what}. {how}"));
        Question::new(
            "text",
            format!("Number of the lock now on {label}, {position}"),
            Wants::Text,
        )
        .notice(format!("Hands off. {told}"))
        .details(first)
        .detail(format!("Bring {label} to {position}, then hang its lock."))
        .detail("Open now: make safer, put a lock back on, pause or hand over.")
        .detail("Work goes on when every lock is on and zero is read anew on every side.")
        .bench(Bench::Isolation)
    }

    /// The decisions offered on a finding.
    pub(super) fn decisions_of(&self, number: u32) -> &'static [&'static str] {
        let about = self
            .findings
            .iter()
            .find(|finding| finding.number == number)
            .map(|finding| &finding.about);
        match about {
            None | Some(About::Words) => PLAIN_DECISIONS,
            Some(About::Stretched(_)) => STUD_DECISIONS,
            Some(_) => DECISIONS,
        }
    }

    pub(super) fn finding_question(&self, number: u32) -> Question {
        let words = self
            .findings
            .iter()
            .find(|finding| finding.number == number)
            .map(|finding| finding.words.clone());
        Question::choice("What is proposed?", self.decisions_of(number))
            .notice(finding_words(number, &words.unwrap_or_default()))
            .details(self.rework_words(number))
            .detail("Work stops here until a person with the role has decided and signed.")
            .bench(Bench::Open)
    }

    /// What rework comes to, where it is not the whole joint again.
    fn rework_words(&self, number: u32) -> Option<String> {
        let pulled_on = self.may_be_pulled_on(number);
        pulled_on.then(|| "Rework here: pull on at that fastener, then read again.".to_owned())
    }

    /// The role that decides as proposed: "use as is" needs an approver.
    pub(super) fn deciding_role(decision: &str) -> Role {
        if decision == "use as is" {
            Role::Approver
        } else {
            Role::Releaser
        }
    }

    pub(super) fn finding_sign_question(&self, register: &Register, number: u32) -> Question {
        let finding = self
            .findings
            .iter()
            .find(|finding| finding.number == number);
        let proposed = finding
            .and_then(|finding| finding.proposed.clone())
            .unwrap_or_default();
        let role = Self::deciding_role(&proposed);
        Self::signature(
            format!("Decision \"{proposed}\": the {} signs", role.word()),
            "decided",
            Self::holders(register, role),
        )
        .notice(finding_words(
            number,
            finding.map_or("", |finding| finding.words.as_str()),
        ))
        .details(self.rework_words(number).filter(|_| proposed == "rework"))
        .detail("Not agreed? \"Typed wrong\" takes the proposal back.")
        .bench(Bench::Open)
    }

    pub(super) fn wait_question(stamp: &Stamp, state: &AskState, minutes: u32) -> Question {
        let Some(begun) = &state.rest else {
            return Question::act(format!("Start the {} now", minutes_words(minutes)));
        };
        if stamp.clock == Clock::Doubted || begun.clock == Clock::Doubted {
            return Question::choice(
                format!(
                    "Have {} gone by since {}?",
                    minutes_words(minutes),
                    clock_face(&begun.utc, &begun.offset)
                ),
                &["yes", "not yet"],
            )
            .notice("CLOCK NOT TRUSTED. A person says when it is over.");
        }
        let until = minutes_after(&begun.utc, minutes);
        // To the second, as `decide` has it: both stand in the one form of the record, so texts compare as times.
        let over = until.as_ref().is_some_and(|until| *until <= stamp.utc);
        let face = until
            .as_ref()
            .map_or_else(String::new, |until| clock_face(until, &stamp.offset));
        let prompt = if over {
            format!("Over since {face}. Go on.")
        } else {
            format!("{}: earliest {face}", minutes_words(minutes))
        };
        Question::new("wait", prompt, Wants::Wait { until, over })
    }
}

fn minutes_words(minutes: u32) -> String {
    if minutes.is_multiple_of(60) {
        format!("{} h", minutes / 60)
    } else {
        format!("{minutes} min")
    }
}

/// A finding as a sentence, whether its words end one or not.
fn finding_words(number: u32, words: &str) -> String {
    format!("Finding {number}: {}.", words.trim_end_matches('.'))
}
