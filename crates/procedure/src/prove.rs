//! The proof: every route of a procedure run against the model of its assembly, all findings at once.
//!
//! Each route is folded through [`Assembly::apply`]; what is then still open at the test and at the end is named at
//! the step that opened it. A finding carries the smallest choice of options that brings it about.

use std::collections::{BTreeMap, BTreeSet};

use crate::assembly::{Act, Assembly, Fault, State};
use crate::codes;
use crate::finding::{Finding, Severity};
use crate::model::{Asked, Deed, Procedure, Step};
use crate::prove_acts::{act_of, reads, releases_zero};
use crate::prove_end::Opened;
use crate::read::{placed, read_source};
use crate::route::{Choices, Route};
use crate::smallest::Smallest;
use crate::source::Source;
use crate::{prove_gauges, prove_joints, prove_prevailing, prove_seat, prove_steps, style};

/// Most choices of options proved; more is a finding before any work.
pub const MOST_ROUTES: usize = 4096;

/// Most acts, answers and declared things proved, those of one route times the routes. The largest procedure foreseen,
/// 2,000 steps on 200 routes, has about a million; a text made to hurt would have thousands of times as many.
const MOST_WORK: usize = 8_000_000;

/// Most declared things gone through: an act may look at each of them, on each route. The largest procedure foreseen comes
/// to some six hundred million.
const MOST_LOOKED_THROUGH: usize = 2_000_000_000;

/// Reads and proves: every finding about a text, each with line and column.
pub fn check(bytes: &[u8]) -> Vec<Finding> {
    let source = match Source::parse(bytes) {
        Ok(source) => source,
        Err(finding) => return vec![*finding],
    };
    match read_source(&source, bytes) {
        Ok(procedure) => placed(&source, prove(&procedure)),
        Err(findings) => findings,
    }
}

/// Why a procedure is not proved at all: more routes, or more acts on them, than any procedure needs.
fn too_much(procedure: &Procedure) -> Option<Finding> {
    let refused = |message: String, remedy: &str| {
        Some(Finding::new(
            codes::TOO_MANY_ROUTES,
            Severity::Error,
            "/options",
            message,
            remedy,
        ))
    };
    let routes: usize = procedure
        .options
        .iter()
        .map(|option| option.values.len())
        .fold(1, usize::saturating_mul);
    if routes > MOST_ROUTES {
        return refused(
            format!("The options give {routes} choices; at most {MOST_ROUTES} are proved."),
            "Split the procedure, or drop options that no step depends on.",
        );
    }
    let on_each = procedure.size();
    if routes.saturating_mul(on_each) > MOST_WORK {
        return refused(
            format!(
                "{routes} choices of options with {on_each} acts, answers and declared things each are more than is proved, {MOST_WORK} in all."
            ),
            "Split the procedure, or drop options that no step depends on.",
        );
    }
    let (handled, declared) = (procedure.handled(), procedure.declared());
    let looked_through = routes.saturating_mul(handled).saturating_mul(declared);
    if looked_through > MOST_LOOKED_THROUGH {
        return refused(
            format!(
                "{handled} acts upon {declared} declared things, on each of {routes} choices of options, are more than is proved, {MOST_LOOKED_THROUGH} looks in all."
            ),
            "Split the procedure, or drop options and things that no step depends on.",
        );
    }
    None
}

/// Whether a procedure has more routes, or more on them, than is proved or read page by page.
pub(crate) fn is_too_much(procedure: &Procedure) -> bool {
    too_much(procedure).is_some()
}

/// Proves a procedure on every route. Without the text findings have no line and column; [`check`] gives both.
pub fn prove(procedure: &Procedure) -> Vec<Finding> {
    if let Some(finding) = too_much(procedure) {
        return vec![finding];
    }
    let mut findings = prove_joints::joints(procedure);
    findings.extend(prove_prevailing::halves(procedure));
    findings.extend(prove_steps::steps(procedure));
    findings.extend(prove_gauges::gauges(procedure));
    findings.extend(prove_seat::seats(procedure));
    findings.extend(style::style(procedure));
    let choices = all_choices(procedure);
    let mut seen: BTreeMap<(String, &'static str, String), Found> = BTreeMap::new();
    // What a route leaves out is dropped from a copy of the declarations; the steps, most of the text, are not copied.
    let declared = procedure.without_steps();
    for (at, choice) in choices.iter().enumerate() {
        let present = declared.clone().under(choice);
        let mut proof = Proof {
            whole: procedure,
            procedure: &present,
            assembly: Assembly::new(&present, choice),
            route: procedure.route(choice),
            faults: Vec::new(),
        };
        proof.run();
        for (step, fault) in proof.faults {
            let (pointer, id) = match step {
                Some(number) => {
                    let place = proof.route.places[number];
                    (
                        format!("/sections/{}/steps/{}", place.section, place.step),
                        Some(procedure.step(place).id.clone()),
                    )
                }
                None => (fault.place.unwrap_or_else(|| "/sections".to_owned()), None),
            };
            let found = seen
                .entry((pointer, fault.code, fault.message))
                .or_insert_with(|| Found {
                    step: id,
                    number: step.map(|number| number + 1),
                    elsewhere: false,
                    remedy: fault.remedy,
                    routes: Vec::new(),
                });
            found.met(at, step.map(|number| number + 1));
        }
    }
    let mut smallest = Smallest::new(&procedure.options);
    for ((pointer, code, message), found) in seen {
        let mut finding = Finding::new(code, codes::severity(code), pointer, message, found.remedy);
        finding.step = found.step;
        finding.number = found.number.filter(|_| !found.elsewhere);
        finding.options = smallest.of(&found.routes);
        findings.push(finding);
    }
    findings
}

struct Found {
    step: Option<String>,
    number: Option<usize>,
    /// On some route the step has another number.
    elsewhere: bool,
    remedy: String,
    /// Numbers of the routes that have it, rising.
    routes: Vec<u16>,
}

impl Found {
    fn met(&mut self, route: usize, number: Option<usize>) {
        self.elsewhere |= number != self.number;
        // At most `MOST_ROUTES` routes are proved, so that their numbers are small.
        let route = u16::try_from(route).unwrap_or(u16::MAX);
        if self.routes.last() != Some(&route) {
            self.routes.push(route);
        }
    }
}

/// Every choice of options, in the order they are declared.
pub fn all_choices(procedure: &Procedure) -> Vec<Choices> {
    let mut all = vec![Choices::default()];
    for option in &procedure.options {
        all = all
            .into_iter()
            .flat_map(|choice| {
                option.values.iter().map(move |(value, _)| {
                    let mut choice = choice.clone();
                    choice.0.insert(option.id.clone(), value.clone());
                    choice
                })
            })
            .collect();
    }
    all
}

/// One omission in the make-safe section makes every later act wrong; it is named at the first of them.
const SAID_ONCE: &[&str] = &[
    codes::OPENED_BEFORE_LOCKED,
    codes::DRAIN_SHUT,
    codes::OPENED_UNDER_PRESSURE,
    codes::ZERO_NOT_RELEASED,
    codes::OWN_LOCKS_MISSING,
    codes::ENERGY_NOT_RELEASED,
    codes::HANDS_ON_UNDER_TEST,
    codes::OWN_LOCKS_FIRST,
];

/// What of a fault is said at its first step alone: all of some codes; of a joint or part that a route does not have, its
/// message, which names it.
fn once(fault: &Fault) -> Option<&str> {
    match fault.code {
        codes::NO_WINDOW | codes::PART_NOT_ON_ROUTE => Some(&fault.message),
        code => SAID_ONCE.contains(&code).then_some(""),
    }
}

pub(crate) struct Proof<'p> {
    /// With every step.
    whole: &'p Procedure,
    /// The declarations as the route leaves them, without steps.
    pub(crate) procedure: &'p Procedure,
    pub(crate) assembly: Assembly<'p>,
    route: Route,
    /// Index of the step on the route, and what is wrong there.
    pub(crate) faults: Vec<(Option<usize>, Fault)>,
}

/// Sides of which a step reads the gauge; a vent looked at proves a side, but tells nothing of its size.
fn on_gauges<'p>(procedure: &'p Procedure, step: &'p Step) -> Vec<&'p str> {
    let mut sides = Vec::new();
    for ask in &step.asks {
        match ask {
            Asked::Zero { by_vent } => sides.extend(
                procedure
                    .zero
                    .iter()
                    .filter(|side| !by_vent.contains(&side.id))
                    .map(|side| side.id.as_str()),
            ),
            Asked::Reading(measured) => sides.extend(measured.proves.as_deref()),
            _ => {}
        }
    }
    sides
}

impl<'p> Proof<'p> {
    pub(crate) fn fault(&mut self, step: usize, code: &'static str, message: String, remedy: &str) {
        self.faults
            .push((Some(step), Fault::new(code, message, remedy)));
    }

    fn run(&mut self) {
        let procedure = self.procedure;
        let steps: Vec<&'p Step> = self
            .route
            .places
            .iter()
            .map(|place| self.whole.step(*place))
            .collect();
        let mut state = self.assembly.in_service();
        let mut opened = Opened::default();
        let mut tested: Option<usize> = None;
        let mut new_faults = Vec::new();
        let mut said = BTreeSet::new();
        let mut gauged = BTreeSet::new();
        for (number, step) in steps.iter().enumerate() {
            self.said_what_comes_in(&state, number, step);
            for deed in &step.does {
                match deed {
                    // A hold reads out what was proved before; it proves nothing itself.
                    Deed::Prove { side } if !reads(step, side) => {
                        // Without a hold the step reads out nothing, which is said of its asks.
                        if step.hold.is_some() {
                            self.read_out(&state, number, side);
                        }
                    }
                    _ => self.assembly.apply(
                        &mut state,
                        &Act::Deed(deed, step.energy),
                        &mut new_faults,
                    ),
                }
                opened.note(deed, number);
                if matches!(deed, Deed::Test | Deed::Run { .. }) && tested.is_none() {
                    self.at_test(&state, number, &steps);
                    tested = Some(number);
                }
            }
            for ask in &step.asks {
                // Who fits a part and finds the asked mark has looked at it.
                if matches!(ask, Asked::Orientation { .. }) {
                    self.looked_at(&mut state, step);
                }
                if let Some(act) = act_of(ask) {
                    self.assembly.apply(&mut state, &act, &mut new_faults);
                }
            }
            gauged.extend(on_gauges(procedure, step));
            if releases_zero(procedure, &state, step) {
                if !state.zero_released {
                    self.vent_alone(number, &gauged);
                }
                self.assembly
                    .apply(&mut state, &Act::ZeroReleased, &mut new_faults);
            }
            new_faults.retain(|fault: &Fault| {
                once(fault).is_none_or(|what| said.insert((fault.code, what.to_owned())))
            });
            self.faults
                .extend(new_faults.drain(..).map(|fault| (Some(number), fault)));
        }
        self.rests(&steps);
        self.prevailing(&steps);
        self.at_end(&state, &opened, &steps);
    }

    /// The first energy let in is said; from there on the unit is under test, whatever chamber it goes on to.
    fn said_what_comes_in(&mut self, state: &State, number: usize, step: &Step) {
        let lets_in = step
            .does
            .iter()
            .any(|deed| matches!(deed, Deed::LetIn { .. }));
        if lets_in && step.lets_in.is_none() && state.let_in.is_empty() {
            let message = "Energy is let in here, but the step does not say so.".to_owned();
            self.fault(
                number,
                codes::LETS_IN_UNSAID,
                message,
                "Write lets_in with what is let in; it voids zero.",
            );
        }
    }

    /// The unit is opened only on a zero read on a gauge, on each side; a blocked vent shows nothing either.
    fn vent_alone(&mut self, number: usize, gauged: &BTreeSet<&str>) {
        let sides = self.procedure.zero.iter();
        for side in sides.filter(|side| !gauged.contains(side.id.as_str())) {
            let message = format!("Zero on {} is proved by its vent alone.", side.id);
            let remedy = "Read the gauge of this side before the release.";
            self.faults.push((
                Some(number),
                Fault::new(codes::ZERO_BY_VENT_ALONE, message, remedy),
            ));
        }
    }

    fn looked_at(&self, state: &mut State, step: &Step) {
        for deed in &step.does {
            if let Deed::On { part, .. } = deed
                && let Some(at) = self.assembly.part(part)
            {
                state.parts[at].verified = true;
            }
        }
    }

    fn read_out(&mut self, state: &State, number: usize, side: &str) {
        let proved = self
            .procedure
            .zero
            .iter()
            .zip(&state.proved)
            .any(|(written, proved)| written.id == side && *proved);
        if !proved {
            let message = format!("Zero on {side} is read out here, but it was not proved before.");
            self.fault(
                number,
                codes::READ_OUT_UNPROVED,
                message,
                "Read the gauge, or look at the vent, in an earlier step.",
            );
        }
    }

    /// The first test: every joint tight, every part on, nothing that belongs before it still to come. What no later step
    /// puts right is named where it was opened, not here.
    fn at_test(&mut self, state: &State, number: usize, steps: &[&Step]) {
        let later = |wanted: &dyn Fn(&Deed) -> bool| {
            steps[number + 1..]
                .iter()
                .any(|step| step.does.iter().any(wanted))
        };
        let remedy = "Move the test behind it, or it before the test.";
        let mut told = Vec::new();
        for at in self.assembly.joint_indexes() {
            let (joint, now) = (&self.procedure.joints[at], state.joints[at]);
            let tightened =
                |deed: &Deed| matches!(deed, Deed::Tighten { joint: named } if *named == joint.id);
            if now.slack && !joint.setting && !joint.after_test && later(&tightened) {
                told.push((format!("{} is tightened", joint.id), remedy));
            }
        }
        for at in self.assembly.joint_indexes() {
            let (joint, now) = (&self.procedure.joints[at], state.joints[at]);
            if joint.recheck_after.is_some() && !now.rechecked && !now.slack {
                let remedy = "Write the rest and the re-check before the test.";
                told.push((format!("{} is re-checked after its rest", joint.id), remedy));
            }
        }
        for at in self.assembly.part_indexes() {
            let part = &self.procedure.parts[at];
            let fitted =
                |deed: &Deed| matches!(deed, Deed::On { part: named, .. } if *named == part.id);
            if state.parts[at].on < part.count && !part.after_test && later(&fitted) {
                told.push((format!("{} is on", part.id), remedy));
            }
        }
        let after = steps[number + 1..]
            .iter()
            .filter_map(|step| belongs_before(step));
        told.extend(after.map(|what| (what, remedy)));
        for (what, remedy) in told {
            let message = format!("The test comes before {what}.");
            self.fault(number, codes::TEST_TOO_EARLY, message, remedy);
        }
    }
}

/// What of a step belongs before the first test.
fn belongs_before(step: &Step) -> Option<String> {
    let deed = step.does.iter().find_map(|deed| match deed {
        Deed::Rest => Some("a rest".to_owned()),
        Deed::Recheck { joint } => Some(format!("the re-check of {joint}")),
        Deed::Verify { .. } => Some(format!("the verification in step {}", step.id)),
        _ => None,
    });
    let asked = |ask: &Asked, what: &str| step.asks.contains(ask).then(|| what.to_owned());
    deed.or_else(|| asked(&Asked::Balance, "the balance of the parts"))
        .or_else(|| asked(&Asked::Decisions, "the decision of findings"))
}
