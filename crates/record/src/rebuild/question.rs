//! The ask for the point that is due: prompt, kind of answer, warnings, picture.

use reseat_procedure::model::EnergyState;

use super::ask::{Ask, Bench, GroupLine, Neighbour, Offered, Point, StepAt, Wants};
use super::state::{Line, Rebuild};
use crate::log::Stamp;
use crate::register::Register;

/// Most plain acts that stand together on the screen.
const GROUP: usize = 5;

/// What an ask wants, before its surroundings are added.
pub(super) struct Question {
    pub(super) kind: &'static str,
    pub(super) prompt: String,
    pub(super) wants: Wants,
    pub(super) detail: Vec<String>,
    pub(super) notice: Vec<String>,
    pub(super) bench: Bench,
    pub(super) blank: bool,
    pub(super) offered: Offered,
}

impl Question {
    pub(super) fn new(kind: &'static str, prompt: impl Into<String>, wants: Wants) -> Self {
        Self {
            kind,
            prompt: prompt.into(),
            wants,
            detail: Vec::new(),
            notice: Vec::new(),
            bench: Bench::Steps,
            blank: false,
            offered: Offered::default(),
        }
    }

    pub(super) fn act(prompt: impl Into<String>) -> Self {
        Self::new("act", prompt, Wants::Act)
    }

    pub(super) fn choice(prompt: impl Into<String>, labels: &[&str]) -> Self {
        Self::new(
            "choice",
            prompt,
            Wants::Choice(labels.iter().map(|label| (*label).to_owned()).collect()),
        )
    }

    pub(super) fn detail(mut self, line: impl Into<String>) -> Self {
        self.detail.push(line.into());
        self
    }

    pub(super) fn details(mut self, lines: impl IntoIterator<Item = String>) -> Self {
        self.detail.extend(lines);
        self
    }

    pub(super) fn notice(mut self, line: impl Into<String>) -> Self {
        self.notice.push(line.into());
        self
    }

    pub(super) fn notices(mut self, lines: impl IntoIterator<Item = String>) -> Self {
        self.notice.extend(lines);
        self
    }

    /// With these words before the prompt.
    pub(super) fn beginning(mut self, words: Option<String>) -> Self {
        self.prompt.insert_str(0, &words.unwrap_or_default());
        self
    }

    pub(super) fn bench(mut self, bench: Bench) -> Self {
        self.bench = bench;
        self
    }
}

impl Rebuild {
    /// What is asked now.
    #[must_use]
    pub fn ask(&self, register: &Register, stamp: &Stamp) -> Ask {
        let stamp = &*super::late::as_of(stamp);
        let point = self.point_due(register, stamp);
        let mut question = self.question(register, stamp, &point);
        let late = self.late_notice(stamp, &point);
        question.notice.splice(0..0, late);
        let index = self.due();
        let line = index.map(|index| &self.lines[index]);
        let written = line.and_then(|line| self.step_of(line));
        let of_step = !matches!(point, Point::Resume | Point::Closed | Point::Newer);
        let mut ask = Ask {
            step: index.filter(|_| of_step).map(|index| self.step_at(index)),
            kind: question.kind,
            prompt: question.prompt,
            detail: question.detail,
            warnings: written
                .filter(|_| of_step)
                .map(|step| step.warnings.clone())
                .unwrap_or_default(),
            notice: question.notice,
            group: match (&point, index) {
                (Point::Act(_), Some(index)) => self.group(index),
                _ => Vec::new(),
            },
            blank: question.blank,
            bench: question.bench,
            offered: question.offered,
            wants: question.wants,
            guard: None,
            point,
        };
        ask.guard = self.guard_band(register, &ask);
        ask
    }

    /// What the point wants, without the step and its surroundings: all that an answer is held against.
    pub(super) fn question(&self, register: &Register, stamp: &Stamp, point: &Point) -> Question {
        let mut question = self.question_at(register, stamp, point);
        question.notice.extend(self.off_scale.clone());
        if matches!(point, Point::Act(_) | Point::Asked(..))
            && self.due().is_some_and(|due| self.is_release_again(due))
        {
            let why = "Energy was in since this was released. Release it again before hands go in.";
            question.notice.push(why.to_owned());
        }
        question.notice.extend(self.permit_notice(stamp));
        if let Some(need) = self.need_at(point) {
            let offered = self.offered(register, stamp, &need);
            if offered.fit.is_empty() {
                question
                    .notice
                    .push("No instrument may be used here now. A lead brings one into service under Register, instruments; meanwhile pause or hand over.".to_owned());
            }
            question.detail.extend(offered.lines());
            question.offered = offered;
        }
        question
    }

    fn question_at(&self, register: &Register, stamp: &Stamp, point: &Point) -> Question {
        match point {
            Point::Newer => Question::new("none", "Written by a newer reseat.", Wants::Nothing)
                .notice("This record holds entries this release does not know. It is read only, and no state is claimed."),
            Point::Closed => self.closed_question(),
            Point::Resume => self.resume_question(register),
            Point::LookAgain => self.look_question(register),
            Point::Observed => self.observed_question(),
            Point::Gate(part) => self.gate_question(register, stamp, *part),
            Point::LockBack(lock) => self.lock_back_question(lock),
            Point::Worker(step) => self.worker_question(register, step),
            Point::Clear(clearing) => self.clear_question(*clearing),
            Point::Permit(what) => self.permit_question(what, stamp, false),
            Point::PermitSeen(what) => self.permit_question(what, stamp, true),
            Point::Finding(number) => self.finding_question(*number),
            Point::FindingSigned(number) => self.finding_sign_question(register, *number),
            Point::Revision(_) => self.revision_question(register),
            Point::RevisionSigned(_) => self.revision_sign_question(register),
            Point::DayCheck(id) => Self::check_question(register, id),
            Point::AfterHigh(entry) => self.after_high_question(*entry),
            Point::Queried(entry) => self.queried_question(*entry),
            Point::Begin(step) => Question::act("Begin it.").detail(format!("{} wants start and done apart.", self.number_words(step))),
            Point::Act(step) => self.act_question(step),
            Point::Asked(step, ask, inner) => self.asked_question(register, stamp, step, *ask, inner),
            Point::VerifyAsked(step, ask) => self.blind_question(step, *ask),
            Point::Verify(step) => self.verify_question(register, step),
            Point::Hold(step) => self.hold_question(register, step),
        }
    }

    fn closed_question(&self) -> Question {
        let words = match self.ended() {
            Some(super::state::Ended::Signed) => "Signed. Read the record, or leave.",
            Some(super::state::Ended::Incomplete) => {
                "Closed INCOMPLETE. Read the record, or leave."
            }
            None => "Nothing more is asked.",
        };
        Question::new("none", words, Wants::Nothing).bench(Bench::Open)
    }

    fn act_question(&self, step: &str) -> Question {
        let line = self.line(step);
        let prompt = match line.and_then(|line| line.added.as_deref()) {
            Some(_) => "The added act is done.",
            None => "The act is done.",
        };
        Question::act(prompt)
            .bench(self.bench_of(step))
            .details(self.others_locks_off(step))
    }

    pub(super) fn bench_of(&self, step: &str) -> Bench {
        let written = self.line(step).and_then(|line| self.step_of(line));
        match written.map(|step| step.energy) {
            Some(EnergyState::Isolating) => Bench::Isolation,
            Some(EnergyState::Test) => Bench::Test,
            _ => Bench::Steps,
        }
    }

    pub(super) fn number_words(&self, step: &str) -> String {
        self.line_index(step).map_or_else(
            || step.to_owned(),
            |index| match self.number(index) {
                0 => "The added step".to_owned(),
                number => format!("Step {number}"),
            },
        )
    }

    /// Shown number of a line; 0 for an added one.
    pub(super) fn number(&self, index: usize) -> u32 {
        match self.lines[index].place {
            None => 0,
            Some(_) => self.lines[..=index]
                .iter()
                .filter(|line| line.place.is_some())
                .count() as u32,
        }
    }

    fn step_at(&self, index: usize) -> StepAt {
        let line = &self.lines[index];
        let step = self.step_of(line);
        let section = self.section_of(index);
        StepAt {
            id: line.id.clone(),
            number: self.number(index),
            of: self.route.len() as u32,
            section: section
                .map(|section| section.title.clone())
                .unwrap_or_default(),
            text: self.text_of(line),
            ppe: section
                .map(|section| section.ppe.clone())
                .unwrap_or_default(),
            before: index.checked_sub(1).map(|before| self.neighbour(before)),
            after: (index + 1 < self.lines.len()).then(|| self.neighbour(index + 1)),
            verify: step.and_then(|step| step.verify),
            hold: step.and_then(|step| step.hold),
            not_applicable: step.is_some_and(|step| step.not_applicable),
        }
    }

    pub(super) fn section_of(&self, index: usize) -> Option<&reseat_procedure::model::Section> {
        self.lines[index..]
            .iter()
            .find_map(|line| line.place)
            .map(|place| self.procedure.section(place))
    }

    pub(super) fn text_of(&self, line: &Line) -> String {
        match (&line.added, self.step_of(line)) {
            (Some(text), _) => format!("Added: {text}"),
            (None, Some(step)) => step.text.clone(),
            (None, None) => line.id.clone(),
        }
    }

    fn neighbour(&self, index: usize) -> Neighbour {
        let line = &self.lines[index];
        Neighbour {
            number: self.number(index),
            text: self.text_of(line),
            stands: self.stands(line),
        }
    }

    fn group(&self, due: usize) -> Vec<GroupLine> {
        let plain = |index: &usize| {
            let line = &self.lines[*index];
            self.step_of(line).is_some_and(|step| {
                step.asks.is_empty()
                    && step.verify.is_none()
                    && step.hold.is_none()
                    && step.lets_in.is_none()
                    && !step.start_apart
                    && (*index == due || step.warnings.is_empty())
                    && step.energy == self.energy_at(due)
                    && line.place.map(|place| place.section)
                        == self.lines[due].place.map(|place| place.section)
            })
        };
        (due..self.lines.len())
            .take_while(plain)
            .take(GROUP)
            .map(|index| GroupLine {
                number: self.number(index),
                text: self.text_of(&self.lines[index]),
            })
            .collect()
    }
}
