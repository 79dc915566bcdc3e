//! Questions of a step's own asks.

use reseat_measure::Window;
use reseat_procedure::model::{Asked, Measured, Role, Step};

use super::ask::{Bench, Inner, Point, Wants};
use super::body::KINDS_OF_VENT;
use super::compute;
use super::question::Question;
use super::seat;
use super::state::{AskState, Rebuild};
use super::zero::ZeroPart;
use crate::log::{Id, Stamp};
use crate::register::Register;

impl Rebuild {
    pub(super) fn asked_question(
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
            Asked::Done => Question::act("The act is done.").details(self.others_locks_off(step)),
            Asked::Choice { question, answers } => {
                let labels: Vec<&str> =
                    answers.iter().map(|answer| answer.label.as_str()).collect();
                Question::choice(question, &labels)
            }
            Asked::Text { question, .. } => Question::new("text", question, Wants::Text),
            Asked::Nameplate => Question::new(
                "text",
                "Last four characters of the serial, read on the nameplate",
                Wants::Text,
            ),
            Asked::Person {
                question,
                role,
                another,
            } => {
                let besides = stamp.by.filter(|_| *another);
                let among = Self::may_be_named(register, *role, besides);
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
            Asked::OwnLocksOff => self.own_off_question(),
            Asked::Reading(_) | Asked::Computed { .. } => {
                self.measure_question(register, stamp, written, asked, (ask, inner))
            }
            Asked::Condition { .. } | Asked::Tighten { .. } | Asked::Recheck { .. } => {
                self.joint_question(register, stamp, asked, inner)
            }
            Asked::Wait { minutes } => {
                let question = Self::wait_question(stamp, state, *minutes)
                    .beginning(which_wait(written, ask as usize));
                if state.rest.is_none() {
                    self.hold_told(register, (step, ask), question)
                } else {
                    question
                }
            }
            Asked::Rest { minutes } => Self::wait_question(stamp, state, *minutes),
            Asked::Dispositions => self.disposition_question(inner),
            Asked::Decisions => self.decision_question(),
            Asked::Balance => self.balance_question(),
            Asked::ToolsOut => self.tools_question(),
            Asked::Sign => self.sign_question(register, step, inner),
        };
        self.with_tries(question, asked, state)
    }

    /// Who may be named: those who hold the role, else everybody not retired; all but `besides`.
    fn may_be_named(
        register: &Register,
        role: Option<Role>,
        besides: Option<Id>,
    ) -> Vec<(Id, String)> {
        let mut among = match role {
            Some(role) => Self::holders(register, role),
            None => super::question_sign::by_name(
                register
                    .people()
                    .filter(|person| !person.retired)
                    .map(|person| (person.id, person.name.clone())),
            ),
        };
        among.retain(|(person, _)| Some(*person) != besides);
        among
    }

    /// One key while only the performer's own lock is on; else whose lock came off, one by one.
    pub(super) fn own_off_question(&self) -> Question {
        let others = self.others_own_locks();
        if others.is_empty() {
            return Question::act("Own locks are off, each by its owner.");
        }
        let mut question = Question::new(
            "person",
            "Whose own lock came off, by his own hand?",
            Wants::Person(
                self.own_locks
                    .iter()
                    .map(|(id, hung)| (*id, hung.name.clone()))
                    .collect(),
            ),
        );
        for hung in self.own_locks.values() {
            question.detail.push(format!(
                "Own lock {} of {} is recorded on.",
                hung.number, hung.name
            ));
        }
        question.detail.push(
            "Not here? His lock comes off by the absent-owner route only, with its three facts."
                .to_owned(),
        );
        question
    }

    /// People other than the one at the keys whose own lock is on.
    pub(super) fn others_own_locks(&self) -> Vec<crate::log::Id> {
        let who = self.who.as_ref().map(|who| who.id);
        self.own_locks
            .keys()
            .copied()
            .filter(|id| Some(*id) != who)
            .collect()
    }

    /// Says what the last try was when it did not close the ask.
    pub(super) fn with_tries(
        &self,
        mut question: Question,
        asked: &Asked,
        state: &AskState,
    ) -> Question {
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
                Asked::Condition { joint } => {
                    let would = self
                        .wrong_condition_words(joint, last)
                        .map_or_else(String::new, |words| format!(" {words}"));
                    format!(
                        "Seen: {last}. The window is not written for that.{would} Make the threads as written, then look again."
                    )
                }
                Asked::Zero { .. } | Asked::Vent { .. } => Self::not_zero_words(last),
                Asked::Dispositions if state.lines == 0 => {
                    let wanted: u32 = self.single_use_off().iter().map(|(_, count)| count).sum();
                    format!("{last} counted, {wanted} wanted. Count again.")
                }
                Asked::Balance => {
                    format!("{last} left over. Find where each belongs, then count again.")
                }
                Asked::ToolsOut => {
                    format!("{last} left in or on the unit. Take every one out, then count again.")
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

    pub(super) fn orientation_question(question: &str, answers: &[String]) -> Question {
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

    pub(super) fn zero_question(
        &self,
        register: &Register,
        by_vent: &[String],
        inner: &Inner,
    ) -> Question {
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
                    format!("{} on {}", zero.label, zero.instrument),
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

    /// The unit of the value beside a reading: that of its own instrument's scale, which is seldom the reading's.
    pub(super) fn beside_unit(
        register: &Register,
        measured: &Measured,
        instrument: &str,
    ) -> reseat_measure::Unit {
        register
            .instrument(instrument)
            .map_or(measured.unit, |instrument| instrument.scale)
    }

    pub(super) fn measure_question(
        &self,
        register: &Register,
        stamp: &Stamp,
        step: &Step,
        asked: &Asked,
        (ask, inner): (u32, &Inner),
    ) -> Question {
        match asked {
            Asked::Reading(measured) if *inner == Inner::Beside => {
                let (label, instrument) = measured.beside.clone().unwrap_or_default();
                let unit = Self::beside_unit(register, measured, &instrument);
                let wants =
                    Self::reading_wants(register, std::slice::from_ref(&instrument), None, unit);
                Question::new("reading", format!("{label}, on {instrument}"), wants)
                    .bench(Bench::Window(measured.id.clone()))
            }
            Asked::Reading(measured) => {
                let point = Point::Asked(step.id.clone(), ask, Inner::Whole);
                let instruments: Vec<String> = self
                    .need_of_reading(&step.id, measured)
                    .map(|need| self.in_use(register, stamp, &point, &need))
                    .into_iter()
                    .collect();
                let wants = Self::reading_wants(
                    register,
                    &instruments,
                    measured.window.as_ref(),
                    measured.unit,
                );
                let mut prompt = measured.label.clone();
                if let Some(instrument) = instruments.first() {
                    prompt = format!("{prompt}, on {instrument}");
                }
                Question::new("reading", prompt, wants)
                    .details(seat::allowed(measured.seat.as_ref(), measured.unit))
                    .bench(Bench::Window(measured.id.clone()))
            }
            Asked::Computed {
                id,
                label,
                how,
                window,
                seat,
                ..
            } => {
                let told = self.computed(step, asked).map_or_else(
                    || "It cannot be worked out from these readings.".to_owned(),
                    |value| format!("{label} is {value}, window {window}."),
                );
                Question::act(format!("Take it: {label}"))
                    .detail(told)
                    .details(
                        compute::figures(step, asked).map(|words| format!("Worked out: {words}.")),
                    )
                    .details(how.tells().map(str::to_owned))
                    .details(seat::allowed(seat.as_ref(), window.unit()))
                    .bench(Bench::Window(id.clone()))
            }
            _ => Question::act("Go on."),
        }
    }

    pub(super) fn disposition_question(&self, inner: &Inner) -> Question {
        let Inner::Line(line) = inner else {
            return Question::act("Go on.");
        };
        if *line == 0 {
            let names: Vec<String> = self
                .single_use_off()
                .iter()
                .map(|(part, count)| format!("{} {count}", self.part_label(part)))
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

    /// Single-use parts that came off, with their pieces.
    pub(super) fn single_use_off(&self) -> Vec<(&str, u32)> {
        self.procedure
            .parts_on(&self.route.choices)
            .filter(|part| part.single_use)
            .filter_map(|part| Some((part.id.as_str(), *self.off.get(&part.id)?)))
            .collect()
    }

    pub(super) fn decision_question(&self) -> Question {
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

    pub(super) fn balance_question(&self) -> Question {
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

    pub(super) fn tools_question(&self) -> Question {
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
}

/// Which of the waits of a step this is, where it has several: at 18 bar, at 35 bar, at 70 bar.
fn which_wait(step: &Step, ask: usize) -> Option<String> {
    let waits = |asks: &[Asked]| {
        let waits = asks.iter().filter(|ask| matches!(ask, Asked::Wait { .. }));
        waits.count()
    };
    let (number, of) = (waits(&step.asks[..=ask]), waits(&step.asks));
    (of > 1).then(|| format!("Wait {number} of {of}. "))
}
