//! Arithmetic of joints: what each window does to its bolts, and whether a wrench can make each pass.

use reseat_measure::joint::{MOST_PERCENT_OF_PROOF, SLIP_WARNING_PERCENT};
use reseat_measure::{Assessment, Quantity, Unit, Window};

use crate::codes;
use crate::finding::{Finding, Severity};
use crate::model::{Asked, Instrument, Joint, Procedure, Rounds, Step};
use crate::shape::shown;
use crate::sums::{self, Unknown};

/// Deviation of a torque wrench whose own is not stated, percent of reading (ISO 6789, read second-hand).
const WRENCH_PERCENT: f64 = 4.0;

/// Most of the target that one pass may add (common practice, no source; 30/60/100 % crosswise is published).
const MOST_AT_ONCE: f64 = 0.65;

/// Fasteners from which a joint is a ring that one pass can load unevenly.
const RING_FROM: u32 = 3;

/// Findings about every joint, whatever the route.
pub(crate) fn joints(procedure: &Procedure) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (at, joint) in procedure.joints.iter().enumerate() {
        let mut look = Look {
            procedure,
            joint,
            pointer: format!("/joints/{at}"),
            findings: &mut findings,
        };
        look.passes();
        look.wrenches();
        look.strength();
        for (other_at, other) in procedure.joints.iter().enumerate().skip(at + 1) {
            if other.id == joint.id && joint.when.may_meet(&other.when) {
                let message = format!("Two joints called {} can stand on one route.", joint.id);
                let remedy = "Give them conditions that exclude each other.";
                findings.push(Finding::new(
                    codes::JOINT_AMBIGUOUS,
                    Severity::Error,
                    format!("/joints/{other_at}"),
                    message,
                    remedy,
                ));
            }
        }
    }
    findings
}

struct Look<'a> {
    procedure: &'a Procedure,
    joint: &'a Joint,
    pointer: String,
    findings: &'a mut Vec<Finding>,
}

impl Look<'_> {
    fn say(
        &mut self,
        code: &'static str,
        severity: Severity,
        member: &str,
        message: String,
        remedy: &str,
    ) {
        let pointer = if member.is_empty() {
            self.pointer.clone()
        } else {
            format!("{}/{member}", self.pointer)
        };
        self.findings
            .push(Finding::new(code, severity, pointer, message, remedy));
    }

    fn passes(&mut self) {
        let passes = &self.joint.passes;
        for (at, pair) in passes.windows(2).enumerate() {
            if pair[0]
                .cmp_exact(&pair[1])
                .is_ok_and(std::cmp::Ordering::is_ge)
            {
                let message = format!(
                    "Pass {} of {} is {}, not above pass {}.",
                    at + 2,
                    self.joint.id,
                    pair[1],
                    at + 1
                );
                self.say(
                    codes::PASS_ORDER,
                    Severity::Error,
                    &format!("passes/{}", at + 1),
                    message,
                    "Let each pass be above the one before.",
                );
            }
        }
        self.stages();
        self.target();
    }

    /// The last pass in a window with both limits, and rounds after it where there are several fasteners.
    fn target(&mut self) {
        let passes = &self.joint.passes;
        if let Some(target) = passes.last() {
            let within = self
                .joint
                .window
                .judge(target)
                .is_ok_and(|judged| judged.place == reseat_measure::Place::Within);
            if !within {
                let (unit, of_window) = (target.unit(), self.joint.window.unit());
                let remedy = if unit == of_window {
                    "Make the last pass the target.".to_owned()
                } else {
                    format!(
                        "One is in {}, the other in {}: write both in the unit of the wrench.",
                        unit.symbol(),
                        of_window.symbol()
                    )
                };
                let message = format!(
                    "The last pass of {}, {target}, is not in its window {}.",
                    self.joint.id, self.joint.window
                );
                self.say(
                    codes::PASS_OUTSIDE_WINDOW,
                    Severity::Error,
                    &format!("passes/{}", passes.len() - 1),
                    message,
                    &remedy,
                );
            }
        }
        if self.joint.window.low().is_none() || self.joint.window.high().is_none() {
            let message = format!("The window of {} has only one limit.", self.joint.id);
            self.say(
                codes::WINDOW_ONE_SIDED,
                Severity::Error,
                "window",
                message,
                "Write low and high.",
            );
        }
        if self.joint.governed_by.is_none()
            && self.joint.fasteners > 2
            && self.joint.rounds == Rounds::None
        {
            let message = format!(
                "{} has {} fasteners and no round after its passes.",
                self.joint.id, self.joint.fasteners
            );
            self.say(
                codes::NO_ROUNDS,
                Severity::Warning,
                "",
                message,
                "Write rounds: a nut tightened first is loose again after the last.",
            );
        }
    }

    /// Passes that load a ring of fasteners evenly: none too much of the target at once.
    fn stages(&mut self) {
        if self.joint.fasteners < RING_FROM {
            return;
        }
        let nm: Vec<f64> = self
            .joint
            .passes
            .iter()
            .filter_map(|pass| pass.to_f64_in(Unit::NewtonMetre).ok())
            .collect();
        let Some(target) = nm.last().copied() else {
            return;
        };
        let mut before = 0.0;
        for (at, pass) in nm.iter().enumerate() {
            let share = (pass - before) / target;
            if share > MOST_AT_ONCE {
                let message = format!(
                    "Pass {} of {} adds {:.0} % of the target at once.",
                    at + 1,
                    self.joint.id,
                    100.0 * share
                );
                let remedy = "Put a pass between, such as 30, 60 and 100 %.";
                self.say(
                    codes::PASS_STEPS,
                    Severity::Warning,
                    &format!("passes/{at}"),
                    message,
                    remedy,
                );
            }
            before = *pass;
        }
    }

    /// The wrenches the joint names, as the procedure describes them.
    fn wrenches_listed(&self) -> impl Iterator<Item = &Instrument> {
        let described = &self.procedure.instruments;
        self.joint
            .wrenches
            .iter()
            .filter_map(|name| described.iter().find(|wrench| wrench.id == *name))
    }

    fn wrenches(&mut self) {
        let ranges: Vec<Window> = self
            .wrenches_listed()
            .filter_map(|wrench| wrench.range)
            .collect();
        if ranges.is_empty() {
            let message = format!("No wrench of {} states its range.", self.joint.id);
            self.say(
                codes::WRENCH_WITHOUT_RANGE,
                Severity::Warning,
                "wrenches",
                message,
                "Write the usable range at the instrument.",
            );
            return;
        }
        let makes = |torque: &Quantity| {
            ranges.iter().any(|range| {
                range
                    .judge(torque)
                    .is_ok_and(|judged| judged.place == reseat_measure::Place::Within)
            })
        };
        let window = [self.joint.window.low(), self.joint.window.high()];
        let torques: Vec<Quantity> = self
            .joint
            .passes
            .iter()
            .copied()
            .chain(window.into_iter().flatten())
            .collect();
        if let Some(torque) = torques.iter().find(|torque| !makes(torque)) {
            let message = format!("No listed wrench of {} can make {torque}.", self.joint.id);
            self.say(
                codes::NO_WRENCH_FOR_PASS,
                Severity::Error,
                "wrenches",
                message,
                "List a wrench whose usable range holds every pass and the window.",
            );
        }
    }

    fn strength(&mut self) {
        let arithmetic = match sums::arithmetic(self.joint) {
            Ok(arithmetic) => arithmetic,
            Err(unknown) => return self.cannot_be_worked_out(&unknown),
        };
        let Some(assessed) = sums::assessed(self.joint, &arithmetic) else {
            return;
        };
        if assessed.percent_high > MOST_PERCENT_OF_PROOF {
            let (severity, remedy) = match self.joint.reason_above_75 {
                Some(_) => (
                    Severity::Note,
                    "An engineer's reason stands in the procedure.".to_owned(),
                ),
                None => (
                    Severity::Error,
                    format!(
                        "Lower the top to {} or below, or give an engineer's reason.",
                        sums::highest_top(self.joint, &assessed)
                    ),
                ),
            };
            let message = format!(
                "The top of the window of {} loads its bolts to {}.",
                self.joint.id,
                sums::at_most_of(assessed.percent_high, &arithmetic)
            );
            self.say(codes::OVER_75, severity, "window", message, &remedy);
        }
        if assessed.slip.over && assessed.slip.percent > SLIP_WARNING_PERCENT {
            let (severity, remedy) = if self.slip_stated() {
                (
                    Severity::Note,
                    "The condition is asked before the first pass, and the slip stands at the joint.",
                )
            } else {
                (
                    Severity::Warning,
                    "Ask the condition before the first pass and write the slip as a warning of the tightening step, with the word proof.",
                )
            };
            let message = format!(
                "Anti-seize on the dry threads of {} loads its bolts to {}.",
                self.joint.id,
                sums::at_most_of(assessed.slip.percent, &arithmetic)
            );
            self.say(codes::SLIP_OVER_90, severity, "condition", message, remedy);
        }
        self.clamp(&assessed);
        self.narrow();
    }

    fn cannot_be_worked_out(&mut self, unknown: &Unknown) {
        let joint = self.joint;
        let (code, member, message, remedy) = match unknown {
            Unknown::Thread => (
                codes::THREAD_UNKNOWN,
                "thread",
                format!(
                    "The thread of {}, {}, is not in the table.",
                    joint.id,
                    shown(&joint.thread)
                ),
                "Write the thread as in the table, such as M16×2 or 3/8-16 UNC.",
            ),
            Unknown::Grade(thread) => (
                codes::GRADE_UNKNOWN,
                "grade",
                format!(
                    "The grade of {}, {}, is not in the table for {thread}.",
                    joint.id,
                    shown(&joint.grade)
                ),
                "Write a grade with a published strength for this thread, such as A4-80.",
            ),
            Unknown::Condition => (
                codes::CONDITION_UNKNOWN,
                "condition",
                format!(
                    "The condition of {}, {}, is not in the table.",
                    joint.id,
                    shown(&joint.condition)
                ),
                "Write one of the letters N H G P O Z D.",
            ),
            Unknown::DryStainless(grade) => (
                codes::DRY_STAINLESS,
                "condition",
                format!("{} is stainless {grade} tightened dry.", joint.id),
                "Write a lubricant; dry stainless galls.",
            ),
        };
        self.say(code, Severity::Error, member, message, remedy);
    }

    /// What the joint needs is there at the bottom of its window too, at the highest nut factor.
    fn clamp(&mut self, assessed: &Assessment) {
        let Some(needed) = &self.joint.clamp_needed else {
            return;
        };
        let Ok(needed_n) = needed.to_f64_in(Unit::Newton) else {
            let message = format!(
                "The clamp that {} needs, {needed}, is no force.",
                self.joint.id
            );
            return self.say(
                codes::CLAMP_TOO_LOW,
                Severity::Error,
                "clamp_needed",
                message,
                "Write a force for all fasteners together, such as 40 kN.",
            );
        };
        let least_n = assessed.clamp_n * f64::from(self.joint.fasteners);
        if least_n < needed_n {
            let message = format!(
                "At the bottom of its window {} clamps with {}, less than the {needed} it needs.",
                self.joint.id,
                sums::at_least_kilonewtons(least_n)
            );
            self.say(
                codes::CLAMP_TOO_LOW,
                Severity::Warning,
                "clamp_needed",
                message,
                "Raise the bottom of the window, or write a condition with a lower nut factor.",
            );
        }
    }

    /// The condition is asked before the first pass and a warning names proof at the joint's step.
    fn slip_stated(&self) -> bool {
        let steps: Vec<&Step> = self.procedure.steps().collect();
        let asks_condition = |step: &&Step| {
            step.asks
                .iter()
                .any(|ask| matches!(ask, Asked::Condition { joint } if *joint == self.joint.id))
        };
        let tightens = |step: &&Step| {
            step.asks
                .iter()
                .any(|ask| matches!(ask, Asked::Tighten { joint } if *joint == self.joint.id))
        };
        let asked = steps.iter().position(asks_condition);
        let first_pass = steps.iter().position(tightens);
        let in_time = asked.is_some_and(|asked| first_pass.is_none_or(|pass| asked <= pass));
        let stated = steps.iter().filter(|step| tightens(step)).any(|step| {
            step.warnings
                .iter()
                .any(|warning| warning.text.contains("proof"))
        });
        in_time && stated
    }

    fn narrow(&mut self) {
        let (Some(low), Some(high), Some(target)) = (
            self.joint.window.low(),
            self.joint.window.high(),
            self.joint.passes.last(),
        ) else {
            return;
        };
        let nm = |quantity: &Quantity| quantity.to_f64_in(Unit::NewtonMetre).unwrap_or(f64::NAN);
        let stated = self
            .wrenches_listed()
            .filter_map(|wrench| wrench.error.as_ref().map(nm))
            .fold(f64::NAN, f64::min);
        let error = if stated.is_nan() {
            nm(target) * WRENCH_PERCENT / 100.0
        } else {
            stated
        };
        if nm(&high) - nm(&low) <= 2.0 * error {
            let message = format!(
                "The window of {} is no wider than the deviation of its best wrench, ±{error:.2} N·m.",
                self.joint.id
            );
            self.say(
                codes::WINDOW_NARROW,
                Severity::Warning,
                "window",
                message,
                "Widen the window or list a finer wrench.",
            );
        }
    }
}
