//! What a route must ask, and in what order: permission, dispositions, decisions, balance, tools, signatures.

use crate::assembly::{Assembly, Fault};
use crate::codes;
use crate::model::{Asked, Deed, Procedure, Role, Step, Verify};

/// A fault at a step of the route, or about the route as a whole.
type Placed = (Option<usize>, Fault);

/// Findings about the order of asks on one route.
pub(crate) fn order(
    procedure: &Procedure,
    assembly: &Assembly<'_>,
    steps: &[&Step],
) -> Vec<Placed> {
    let mut order = Order {
        procedure,
        assembly,
        steps,
        faults: Vec::new(),
    };
    order.permission();
    order.parts();
    order.tools();
    order.signatures();
    for number in 0..steps.len() {
        order.looks(number);
    }
    order.faults
}

struct Order<'a> {
    procedure: &'a Procedure,
    assembly: &'a Assembly<'a>,
    steps: &'a [&'a Step],
    faults: Vec<Placed>,
}

impl Order<'_> {
    /// What is nowhere asked, named at the step that makes it wanted.
    fn missing(&mut self, step: usize, code: &'static str, message: &str, remedy: &str) {
        self.faults
            .push((Some(step), Fault::new(code, message, remedy)));
    }

    fn asked(&self, wanted: &Asked) -> Option<usize> {
        self.steps
            .iter()
            .position(|step| step.asks.contains(wanted))
    }

    fn first(&self, wanted: fn(&Deed) -> bool) -> Option<usize> {
        self.steps
            .iter()
            .position(|step| step.does.iter().any(wanted))
    }

    fn last(&self, wanted: fn(&Deed) -> bool) -> Option<usize> {
        self.steps
            .iter()
            .rposition(|step| step.does.iter().any(wanted))
    }

    /// Operations release the unit before the first isolating act and take it back after the last.
    fn permission(&mut self) {
        let operations = |step: &&Step| step.hold == Some(Role::Operations);
        let first = self.first(|deed| matches!(deed, Deed::Isolate { .. }));
        let last = self.last(|deed| matches!(deed, Deed::Restore { .. }));
        if let Some(first) = first
            && self
                .steps
                .iter()
                .position(operations)
                .is_none_or(|released| released > first)
        {
            let remedy = "Write a hold of operations before the first isolating act.";
            let message = "The unit is isolated before operations have signed it over.";
            self.faults.push((
                Some(first),
                Fault::new(codes::NO_PERMISSION, message, remedy),
            ));
        }
        if let Some(last) = last
            && self
                .steps
                .iter()
                .rposition(operations)
                .is_none_or(|taken| taken < last)
        {
            let remedy = "Write a hold of operations after the last point is put back.";
            let message = "The unit is put back, but operations never take it back.";
            self.faults.push((
                Some(last),
                Fault::new(codes::NOT_TAKEN_BACK, message, remedy),
            ));
        }
    }

    /// What every route that takes parts off must ask somewhere.
    fn parts(&mut self) {
        let Some(last_off) = self.last(|deed| matches!(deed, Deed::Off { .. })) else {
            return;
        };
        let dispositions = self.asked(&Asked::Dispositions);
        if dispositions.is_none_or(|asked| asked < last_off) {
            self.missing(
                last_off,
                codes::NO_DISPOSITIONS,
                "Parts come off, but after the last of them no step asks their dispositions.",
                "Write a step that asks dispositions after the teardown.",
            );
        }
        let first_on = self
            .first(|deed| matches!(deed, Deed::On { .. }))
            .unwrap_or(self.steps.len());
        let scrap = self.first(|deed| matches!(deed, Deed::Scrap));
        let discards = self
            .procedure
            .parts
            .iter()
            .any(|part| part.single_use && self.assembly.part(&part.id).is_some());
        if discards
            && scrap.is_none_or(|scrap| {
                scrap > first_on || dispositions.is_some_and(|asked| scrap < asked)
            })
        {
            self.missing(dispositions.unwrap_or(last_off), codes::NO_SCRAP, "Single-use parts are not destroyed between their dispositions and the first new part.", "Write the step that cuts or bags them as scrap there.");
        }
        let inspected = (0..first_on).rev().find(|number| {
            self.steps[*number]
                .does
                .iter()
                .any(|deed| matches!(deed, Deed::Inspect { .. }))
        });
        let decisions = self.asked(&Asked::Decisions);
        if let Some(inspected) = inspected
            && decisions.is_none_or(|decided| decided < inspected || decided > first_on)
        {
            self.missing(
                inspected,
                codes::NO_DECISIONS,
                "Parts are inspected, but findings are not decided before the first part goes on.",
                "Write a hold that asks decisions after the inspection.",
            );
        }
        if self.asked(&Asked::Balance).is_none() {
            let last_on = self.last(|deed| matches!(deed, Deed::On { .. }));
            self.missing(
                last_on.unwrap_or(last_off),
                codes::NO_BALANCE,
                "Parts come off, but no step balances them.",
                "Write a balance before the joint that hides them.",
            );
        }
        if self.procedure.zero.is_empty() {
            let first_off = self.first(|deed| matches!(deed, Deed::Off { .. }));
            self.missing(
                first_off.unwrap_or(last_off),
                codes::NO_ZERO_CHECK,
                "The unit is opened, but the procedure writes no zero-energy check.",
                "Declare every side of the seat under zero.",
            );
        }
    }

    /// Tools are counted between the last part and the first test, and again after the last work.
    fn tools(&mut self) {
        let Some(last_on) = self.last(|deed| matches!(deed, Deed::On { .. })) else {
            return;
        };
        let counted: Vec<usize> = (0..self.steps.len())
            .filter(|number| self.steps[*number].asks.contains(&Asked::ToolsOut))
            .collect();
        let test = self
            .first(|deed| matches!(deed, Deed::LetIn { .. } | Deed::Test | Deed::Run { .. }))
            .filter(|test| *test > last_on);
        if let Some(test) = test
            && !counted
                .iter()
                .any(|number| (last_on..test).contains(number))
        {
            self.missing(
                test,
                codes::TOOLS_NOT_COUNTED,
                "Wrenches, picks and rags are not counted between the last part and the test.",
                "Ask tools_out before this step.",
            );
        }
        let last_work = self
            .last(|deed| {
                matches!(
                    deed,
                    Deed::CoverOff { .. } | Deed::On { .. } | Deed::Tighten { .. }
                )
            })
            .unwrap_or(last_on);
        if counted.last().is_none_or(|number| *number < last_work) {
            self.missing(
                last_work,
                codes::TOOLS_NOT_COUNTED,
                "Wrenches, picks and rags are not counted after this, the last work at the unit.",
                "Ask tools_out after this step.",
            );
        }
    }

    fn signatures(&mut self) {
        match self.asked(&Asked::Sign) {
            None => self.missing(
                self.steps.len().saturating_sub(1),
                codes::NO_SIGNATURE,
                "No step asks the signatures.",
                "Write the signatures as the last step.",
            ),
            Some(sign) if sign + 1 < self.steps.len() => {
                let message = format!(
                    "Step {} comes after the signatures and can never be reached.",
                    self.steps[sign + 1].id
                );
                self.faults.push((
                    Some(sign + 1),
                    Fault::new(
                        codes::STEP_UNREACHABLE,
                        message,
                        "Move it before the signatures.",
                    ),
                ));
            }
            Some(_) => {}
        }
    }

    /// A part with a right way up is asked for where it is fitted; a verification has somebody who looks.
    fn looks(&mut self, number: usize) {
        let step = self.steps[number];
        let asked = step
            .asks
            .iter()
            .any(|ask| matches!(ask, Asked::Orientation { .. }));
        for deed in &step.does {
            match deed {
                Deed::On { part, .. } if !asked => {
                    let oriented = self
                        .assembly
                        .part(part)
                        .is_some_and(|at| self.procedure.parts[at].oriented);
                    if oriented {
                        let message = format!(
                            "{part} has a right way up, but the step that fits it asks no orientation."
                        );
                        let remedy = "Ask which mark or edge shows, options unmarked.";
                        self.faults.push((
                            Some(number),
                            Fault::new(codes::ORIENTATION_NOT_ASKED, message, remedy),
                        ));
                    }
                }
                Deed::Verify { .. } if step.verify.is_none() => {
                    let message =
                        "Parts are verified here, but by nobody: the step names no verification.";
                    let remedy = "Write verify: concurrent or independent.";
                    self.faults.push((
                        Some(number),
                        Fault::new(codes::VERIFIED_BY_NOBODY, message, remedy),
                    ));
                }
                _ => {}
            }
        }
        let finds = |ask: &Asked| {
            matches!(
                ask,
                Asked::Count { .. }
                    | Asked::Choice { .. }
                    | Asked::Orientation { .. }
                    | Asked::Reading(_)
            )
        };
        if step.verify == Some(Verify::Independent) && !step.asks.iter().any(finds) {
            let message = "Independent verification has nothing to find: the step asks no count, choice or reading.";
            let remedy = "Ask what the second person finds by his own look.";
            self.faults.push((
                Some(number),
                Fault::new(codes::VERIFIED_BY_NOBODY, message, remedy),
            ));
        }
    }
}
