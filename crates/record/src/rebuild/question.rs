//! The ask for the point that is due: prompt, kind of answer, warnings, picture.

use reseat_measure::Window;
use reseat_procedure::model::{Asked, EnergyState, Role, Step};

use super::ask::{Ask, Bench, GroupLine, Inner, Neighbour, Point, StepAt, Wants};
use super::body::KINDS_OF_VENT;
use super::due::ZeroPart;
use super::state::{AskState, Line, Rebuild};
use crate::log::{Id, Stamp};
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

    pub(super) fn notice(mut self, line: impl Into<String>) -> Self {
        self.notice.push(line.into());
        self
    }

    pub(super) fn bench(mut self, bench: Bench) -> Self {
        self.bench = bench;
        self
    }
}

impl Rebuild {
    /// What is asked now.
    pub fn ask(&self, register: &Register, stamp: &Stamp) -> Ask {
        let point = self.due_point(stamp);
        let question = self.question(register, stamp, &point);
        let index = self.due();
        let line = index.map(|index| &self.lines[index]);
        let written = line.and_then(|line| self.step_of(line));
        let of_step = !matches!(point, Point::Resume | Point::Closed | Point::Newer);
        Ask {
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
            wants: question.wants,
            point,
        }
    }

    fn question(&self, register: &Register, stamp: &Stamp, point: &Point) -> Question {
        match point {
            Point::Newer => Question::new("none", "Written by a newer reseat.", Wants::Nothing)
                .notice("This record holds entries this release does not know. It is read only, and no state is claimed."),
            Point::Closed => self.closed_question(),
            Point::Resume => self.resume_question(register),
            Point::LookAgain => self.look_question(register),
            Point::Observed => self.observed_question(),
            Point::Gate(part) => self.gate_question(register, stamp, *part),
            Point::LockBack(lock) => self.lock_back_question(lock),
            Point::Finding(number) => self.finding_question(*number),
            Point::FindingSigned(number) => self.finding_sign_question(register, *number),
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
        Question::act(prompt).bench(self.bench_of(step))
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

    /// People who hold a role and may sign.
    pub(super) fn holders(register: &Register, role: Role) -> Vec<(Id, String)> {
        register
            .holders(role)
            .map(|person| (person.id, person.name.clone()))
            .collect()
    }

    pub(super) fn signature(
        prompt: impl Into<String>,
        meaning: &'static str,
        among: Vec<(Id, String)>,
    ) -> Question {
        Question::new("signature", prompt, Wants::Signature { meaning, among })
    }

    fn asked_question(
        &self,
        register: &Register,
        stamp: &Stamp,
        step: &str,
        ask: u32,
        inner: &Inner,
    ) -> Question {
        let Some((line, written)) = self
            .line(step)
            .and_then(|line| Some((line, self.step_of(line)?)))
        else {
            return Question::new("none", "Nothing more is asked.", Wants::Nothing);
        };
        let (asked, state) = (&written.asks[ask as usize], &line.asks[ask as usize]);
        let question = match asked {
            Asked::Done => Question::act("The act is done."),
            Asked::Choice { question, answers } => {
                let labels: Vec<&str> =
                    answers.iter().map(|answer| answer.label.as_str()).collect();
                Question::choice(question, &labels)
            }
            Asked::Text { question } => Question::new("text", question, Wants::Text),
            Asked::Nameplate => Question::new(
                "text",
                "Last four characters of the serial, read on the nameplate",
                Wants::Text,
            ),
            Asked::Person { question, role } => {
                let among = match role {
                    Some(role) => Self::holders(register, *role),
                    None => register
                        .people()
                        .filter(|person| !person.retired)
                        .map(|person| (person.id, person.name.clone()))
                        .collect(),
                };
                Question::new("person", question, Wants::Person(among))
            }
            Asked::Count { question, .. } => Question::new("count", question, Wants::Count),
            Asked::Orientation {
                question, answers, ..
            } => Self::orientation_question(question, answers),
            Asked::Vent { side } => self.vent_question(side),
            Asked::Zero { by_vent } => self.zero_question(register, by_vent, inner),
            Asked::OwnLocks { lock_box } => Question::new(
                "text",
                format!("Number of your own lock on box {lock_box}"),
                Wants::Text,
            ),
            Asked::OwnLocksOff => Question::act("Own locks are off, each by its owner."),
            Asked::Reading(_) | Asked::Computed { .. } => {
                self.measure_question(register, written, asked, inner)
            }
            Asked::Condition { .. } | Asked::Tighten { .. } | Asked::Recheck { .. } => {
                self.joint_question(register, asked, inner)
            }
            Asked::Rest { minutes } | Asked::Wait { minutes } => {
                Self::wait_question(stamp, state, *minutes)
            }
            Asked::Dispositions => self.disposition_question(inner),
            Asked::Decisions => self.decision_question(),
            Asked::Balance => self.balance_question(),
            Asked::ToolsOut => self.tools_question(),
            Asked::Sign => self.sign_question(register, step, inner),
        };
        self.with_tries(question, asked, state)
    }

    /// Says what the last try was when it did not close the ask.
    fn with_tries(&self, mut question: Question, asked: &Asked, state: &AskState) -> Question {
        if state.tries > 0
            && let Some(last) = &state.last
        {
            let line = match asked {
                Asked::Count {
                    expected: Some(expected),
                    ..
                } => {
                    format!("Counted {last}; the list says {expected}. Count again.")
                }
                Asked::Nameplate => {
                    format!("\"{last}\" is not the serial of this unit. Stop and look again.")
                }
                Asked::Orientation { .. } => format!(
                    "Seen: {last}. That is not as written. Take it out, fit it again, then look again."
                ),
                Asked::Condition { .. } => format!(
                    "Seen: {last}. The window is not written for that. Make the threads as written, then look again."
                ),
                Asked::Zero { .. } | Asked::Vent { .. } => {
                    format!("{last}: that is not zero. Vent, wait, look again.")
                }
                _ => format!("Before: {last}."),
            };
            question.notice.push(line);
        }
        if question.bench == Bench::Steps
            && let Some(step) = self.due().map(|index| self.lines[index].id.clone())
        {
            question.bench = self.bench_of(&step);
        }
        question
    }

    fn orientation_question(question: &str, answers: &[String]) -> Question {
        let mut labels: Vec<&str> = answers.iter().map(String::as_str).collect();
        labels.push("cannot tell");
        let mut asked = Question::choice(question, &labels)
            .detail("Look at it where it lies. The text is blank until you have answered.");
        asked.blank = true;
        asked
    }

    pub(super) fn vent_question(&self, side: &str) -> Question {
        let vent = self
            .procedure
            .zero
            .iter()
            .find(|zero| zero.id == side)
            .and_then(|zero| zero.vent.clone());
        let vent = vent.unwrap_or_else(|| side.to_owned());
        Question::choice(format!("What came from {vent}?"), KINDS_OF_VENT).bench(Bench::Isolation)
    }

    fn zero_question(&self, register: &Register, by_vent: &[String], inner: &Inner) -> Question {
        let Inner::Line(part) = inner else {
            return Question::act("Go on.");
        };
        match self.zero_parts(by_vent).get(*part as usize) {
            Some(part) => self.zero_part_question(register, *part),
            None => Question::act("Go on."),
        }
    }

    pub(super) fn zero_part_question(&self, register: &Register, part: ZeroPart<'_>) -> Question {
        match part {
            ZeroPart::Gauge(side) => {
                let Some(zero) = self.procedure.zero.iter().find(|zero| zero.id == side) else {
                    return Question::act("Go on.");
                };
                let wants = Self::reading_wants(
                    register,
                    std::slice::from_ref(&zero.instrument),
                    Some(&zero.window),
                    zero.window.unit(),
                );
                Question::new(
                    "reading",
                    format!("{} on {}, {}", zero.label, zero.instrument, zero.window),
                    wants,
                )
                .bench(Bench::Isolation)
            }
            ZeroPart::Vent(side) => self.vent_question(side),
        }
    }

    /// The scale a reading is bound to: that of the first instrument where it can show the thing at all.
    pub(super) fn reading_wants(
        register: &Register,
        instruments: &[String],
        window: Option<&Window>,
        unit: reseat_measure::Unit,
    ) -> Wants {
        let scale = instruments
            .first()
            .and_then(|name| register.instrument(name));
        let written = window.map_or(unit, Window::unit);
        match scale {
            Some(instrument) if instrument.scale.dimension() == written.dimension() => {
                Wants::Reading {
                    unit: instrument.scale,
                    reference: instrument.reference,
                    instrument: instrument.id.clone(),
                    window: window.copied(),
                }
            }
            _ => Wants::Reading {
                unit: written,
                reference: window.and_then(Window::reference),
                instrument: instruments.first().cloned().unwrap_or_default(),
                window: window.copied(),
            },
        }
    }

    fn measure_question(
        &self,
        register: &Register,
        step: &Step,
        asked: &Asked,
        inner: &Inner,
    ) -> Question {
        match asked {
            Asked::Reading(measured) if *inner == Inner::Beside => {
                let (label, instrument) = measured.beside.clone().unwrap_or_default();
                let wants = Self::reading_wants(
                    register,
                    std::slice::from_ref(&instrument),
                    None,
                    measured.unit,
                );
                Question::new("reading", format!("{label}, on {instrument}"), wants)
                    .bench(Bench::Window(measured.id.clone()))
            }
            Asked::Reading(measured) => {
                let wants = Self::reading_wants(
                    register,
                    &measured.instruments,
                    measured.window.as_ref(),
                    measured.unit,
                );
                let mut prompt = measured.label.clone();
                if let Some(instrument) = measured.instruments.first() {
                    prompt = format!("{prompt}, on {instrument}");
                }
                if let Some(window) = &measured.window {
                    prompt = format!("{prompt}, {window}");
                }
                Question::new("reading", prompt, wants).bench(Bench::Window(measured.id.clone()))
            }
            Asked::Computed {
                id, label, window, ..
            } => {
                let told = self.computed(step, asked).map_or_else(
                    || "It cannot be worked out from these readings.".to_owned(),
                    |value| format!("{label} is {value}, window {window}."),
                );
                Question::act(format!("Take it: {label}"))
                    .detail(told)
                    .bench(Bench::Window(id.clone()))
            }
            _ => Question::act("Go on."),
        }
    }

    fn disposition_question(&self, inner: &Inner) -> Question {
        let Inner::Line(line) = inner else {
            return Question::act("Go on.");
        };
        if *line == 0 {
            let names: Vec<String> = self
                .single_use_off()
                .iter()
                .map(|(label, count)| format!("{label} {count}"))
                .collect();
            return Question::new(
                "count",
                "Single-use pieces discarded, count them",
                Wants::Count,
            )
            .detail(format!("They are never kept: {}.", names.join(", ")))
            .bench(Bench::Parts);
        }
        let parts = self.reusable_off();
        let part = parts
            .get(*line as usize - 1)
            .map_or("", |part| self.part_label(part));
        Question::choice(
            format!("{part}: keep, inspect or discard?"),
            &["keep", "inspect", "discard"],
        )
        .bench(Bench::Parts)
    }

    pub(super) fn part_label<'a>(&'a self, id: &'a str) -> &'a str {
        self.procedure
            .parts
            .iter()
            .find(|part| part.id == id)
            .map_or(id, |part| part.label.as_str())
    }

    /// Single-use parts that came off: label and pieces.
    pub(super) fn single_use_off(&self) -> Vec<(String, u32)> {
        self.procedure
            .parts_on(&self.route.choices)
            .filter(|part| part.single_use)
            .filter_map(|part| Some((part.label.clone(), *self.off.get(&part.id)?)))
            .collect()
    }

    fn decision_question(&self) -> Question {
        if let Some(part) = self.to_decide().first() {
            Question::choice(
                format!("{}: keep, replace or scrap?", self.part_label(part)),
                &["keep", "replace", "scrap"],
            )
            .detail("Each part still \"inspect\" and each finding is decided before work goes on.")
            .bench(Bench::Parts)
        } else {
            let findings = self.findings.len();
            Question::act(format!(
                "Every finding is decided ({findings}), no part is left \"inspect\"."
            ))
            .bench(Bench::Parts)
        }
    }

    fn balance_question(&self) -> Question {
        let mut question = Question::new(
            "count",
            "Parts left over on the bench that the list does not name",
            Wants::Count,
        )
        .bench(Bench::Parts);
        for item in self.unbalanced() {
            question.notice.push(item);
        }
        question
    }

    fn tools_question(&self) -> Question {
        let mut question = Question::new(
            "count",
            "Wrenches, picks, rags and covers left in or on the unit",
            Wants::Count,
        );
        if !self.covers.is_empty() {
            let covers: Vec<&str> = self.covers.iter().map(String::as_str).collect();
            question = question.detail(format!("Recorded on and not off: {}.", covers.join(", ")));
        }
        question
    }

    fn sign_question(&self, register: &Register, step: &str, inner: &Inner) -> Question {
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

    /// Everyone who performed, from the start on.
    pub(super) fn performers(&self) -> Vec<Id> {
        let mut ids: Vec<Id> = vec![self.started.performer.id];
        ids.extend(self.who.iter().map(|who| who.id));
        ids
    }

    fn blind_question(&self, step: &str, ask: u32) -> Question {
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

    fn verify_question(&self, register: &Register, step: &str) -> Question {
        let hands = self
            .line(step)
            .map(|line| line.hands.clone())
            .unwrap_or_default();
        let among: Vec<(Id, String)> = Self::holders(register, Role::Verifier)
            .into_iter()
            .filter(|(id, _)| !hands.contains(id))
            .collect();
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
        question.detail.push("Another person than the performer. If he is not here it stays NOT VERIFIED: pause, or wait.".to_owned());
        if among.is_empty() {
            question
                .notice
                .push("Nobody on the register may verify this step.".to_owned());
        }
        question
    }

    fn hold_question(&self, register: &Register, step: &str) -> Question {
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
        if self
            .due()
            .is_some_and(|due| self.energy_at(due) == EnergyState::Isolating)
        {
            question.detail.push(self.locks_words());
        }
        question
    }
}
