//! Readings, vents and releases carried into the state: what they close, what they prove.

use reseat_measure::window::Limit;
use reseat_measure::{Place, Quantity, Window};
use reseat_procedure::model::{Asked, Deed};

use super::apply::place_of;
use super::body::{Body, Reading};
use super::state::{About, Kept, Mark, Rebuild, Stale};

impl Rebuild {
    pub(super) fn carry_proof(&mut self, body: Body, mark: &Mark) {
        match body {
            Body::Reading(body) => self.carry_reading(&body, mark),
            Body::OffScale(body) => {
                self.touch(&body.step, mark);
                let told = format!(
                    "{} is off the scale of {} ({}): no reading. Look again.",
                    body.typed, body.instrument, body.range
                );
                self.off_scale = Some(told);
            }
            Body::Vented(body) => {
                if body.ask.is_none() {
                    self.gate_begins(mark);
                }
                if body.clear {
                    self.check_begins(&body.step, body.ask);
                    let by_vent = self.is_by_vent(&body.step, body.ask, &body.side);
                    let proof = self.proofs.entry(body.side.clone()).or_default();
                    proof.vent = Some((mark.clone(), body.came.clone()));
                    proof.by_vent |= by_vent;
                }
                if body.ask.is_none() {
                    self.not_zero = (!body.clear).then(|| (mark.entry, body.came.clone()));
                    self.gate_ends();
                }
                if let Some(ask) = body.ask {
                    self.advance_or_close(&body.step, ask, body.clear, mark, &body.came);
                }
                if let Some(number) = body.finding {
                    let words = format!(
                        "Nothing came from the vent of {}: it may be blocked",
                        body.side
                    );
                    let about = body.ask.map_or(About::Words, |ask| About::Slot {
                        line: body.step.clone(),
                        ask: ask as usize,
                    });
                    self.open_finding(number, words, about, mark);
                }
            }
            Body::Released(body) if body.gate => {
                self.broken_off = false;
                self.needs_release = false;
                self.let_in.clear();
                self.stale = None;
            }
            Body::Released(body) => {
                if let Some(line) = self.line_mut(&body.step) {
                    line.released = Some(mark.clone());
                }
                let proves = self
                    .line(&body.step)
                    .and_then(|line| self.step_of(line))
                    .is_some_and(|step| {
                        Self::has_deed(step, |deed| matches!(deed, Deed::Prove { .. }))
                    });
                if proves && self.sides_proved() {
                    self.needs_release = false;
                    self.stale = None;
                }
            }
            _ => {}
        }
    }

    /// A written check begins: what was proved before it counts no longer.
    fn check_begins(&mut self, step: &str, ask: Option<u32>) {
        let begins = ask.is_some_and(|ask| {
            matches!(self.asked(step, ask), Some(Asked::Zero { .. }))
                && self
                    .line(step)
                    .and_then(|line| line.asks.get(ask as usize))
                    .is_some_and(|state| state.lines == 0)
        });
        if begins {
            self.proofs.clear();
        }
    }

    pub(super) fn is_by_vent(&self, step: &str, ask: Option<u32>, side: &str) -> bool {
        let asked = ask.and_then(|ask| self.asked(step, ask));
        matches!(asked, Some(Asked::Zero { by_vent }) if by_vent.iter().any(|named| named == side))
    }

    pub(super) fn carry_reading(&mut self, body: &Reading, mark: &Mark) {
        self.touch(&body.step, mark);
        let place = place_of(body.place.as_deref());
        let accepted = body
            .outcome
            .as_deref()
            .is_none_or(|outcome| outcome == "ACCEPT");
        let ask = self.ask_of(body);
        self.keep_reading(body, ask, place, accepted, mark);
        if let Some(joint) = &body.joint {
            self.carry_joint_reading(joint, body, place, mark);
            return;
        }
        let thing = body.thing.as_deref().unwrap_or_default();
        if let Some(side) = thing.strip_prefix("zero/") {
            self.zero_read(side, body, ask, accepted, mark);
            return;
        }
        let Some(ask) = ask else { return };
        if thing.ends_with("/beside") {
            let means = body.means.clone();
            if let Some(state) = self.ask_mut(&body.step, ask as u32) {
                state.beside = Some((mark.entry, means));
            }
            return;
        }
        self.step_read(body, ask, accepted, mark);
    }

    /// Keeps a reading for what looks back at it: a strike, a recall, a second look.
    fn keep_reading(
        &mut self,
        body: &Reading,
        ask: Option<usize>,
        place: Option<Place>,
        accepted: bool,
        mark: &Mark,
    ) {
        let kept = Kept {
            line: body.step.clone(),
            ask,
            joint: body
                .joint
                .clone()
                .zip(body.pass)
                .zip(body.fastener)
                .map(|((joint, pass), fastener)| (joint, pass, fastener)),
            gap_of: body.joint.clone().filter(|_| body.fastener.is_none()),
            place,
            accepted,
            near_low: place == Some(Place::Within) && !accepted && near_low(body),
            means: body.means.clone(),
            struck: false,
            void: false,
            thing: body.thing.clone(),
        };
        self.readings.insert(mark.entry, kept);
    }

    /// A side of the zero-energy check was read, in its step or, without an ask, on the way back to work.
    fn zero_read(
        &mut self,
        side: &str,
        body: &Reading,
        ask: Option<usize>,
        accepted: bool,
        mark: &Mark,
    ) {
        let in_gate = ask.is_none();
        let place = body.place.as_deref().unwrap_or_default();
        let told = format!("{} {place}", body.means);
        if in_gate {
            self.not_zero = (!accepted).then(|| (mark.entry, told.clone()));
        }
        if accepted {
            if in_gate {
                self.gate_begins(mark);
            }
            self.check_begins(&body.step, ask.map(|ask| ask as u32));
            self.proofs.entry(side.to_owned()).or_default().reading =
                Some((mark.clone(), body.means.clone()));
            self.look_read = self.look;
            if in_gate {
                self.gate_ends();
            }
        } else if self.look {
            self.void_zero(Stale::NotZero);
        }
        if let Some(ask) = ask {
            self.advance_or_close(&body.step, ask as u32, accepted, mark, &told);
        }
    }

    /// A reading that its step asks: closed where accepted, perhaps the proof of a side, perhaps a finding.
    fn step_read(&mut self, body: &Reading, ask: usize, accepted: bool, mark: &Mark) {
        if let Some(state) = self.ask_mut(&body.step, ask as u32) {
            state.reading = Some(mark.entry);
            state.tries += 1;
            state.last = Some(format!("{} {}", body.means, verdict_words(body)));
            if accepted {
                state.closed = Some(mark.clone());
            }
        }
        if accepted
            && let Some(Asked::Reading(measured)) = self.asked(&body.step, ask as u32)
            && let Some(side) = measured.proves.clone()
        {
            self.proofs.entry(side).or_default().reading = Some((mark.clone(), body.means.clone()));
        }
        if let Some(number) = body.finding {
            let words = format!(
                "{}: {} {}, window {}",
                self.thing_words(body.thing.as_deref().unwrap_or_default()),
                body.means,
                verdict_words(body),
                body.window.as_deref().unwrap_or_default()
            );
            let about = About::Slot {
                line: body.step.clone(),
                ask,
            };
            self.open_finding(number, words, about, mark);
        }
    }

    /// The ask of its step a reading answers, by the name of the thing measured.
    pub(super) fn ask_of(&self, body: &Reading) -> Option<usize> {
        let line = self.line(&body.step)?;
        let step = self.step_of(line)?;
        let thing = body.thing.as_deref()?;
        let name = thing.strip_suffix("/beside").unwrap_or(thing);
        step.asks.iter().position(|asked| match asked {
            Asked::Reading(measured) => measured.id == name,
            Asked::Computed { id, .. } => id == name,
            Asked::Zero { .. } => name.starts_with("zero/"),
            _ => false,
        })
    }

    /// Parses a quantity that an entry keeps as canonical text; nothing is claimed of a text that is none.
    pub(super) fn quantity(text: &str) -> Option<Quantity> {
        Quantity::parse(text).ok()
    }
}

/// Whether a reading lies nearer to the low limit of its window than to the high one.
fn near_low(body: &Reading) -> bool {
    let judged = || {
        let means = Quantity::parse(&body.means).ok()?;
        let window = Window::parse(body.window.as_deref()?).ok()?;
        let window = window.taking_reference(means.reference()).ok()?;
        Some(window.judge(&means).ok()?.from == Limit::Low)
    };
    judged().unwrap_or(false)
}

/// Place and, where its rule does not accept it, outcome and rule, for notices: `WITHIN, CONDITIONAL ACCEPT by four`.
pub(super) fn verdict_words(body: &Reading) -> String {
    let place = body.place.as_deref().unwrap_or_default();
    match (&body.outcome, &body.rule) {
        (Some(outcome), Some(rule)) if rule != "simple" => {
            format!("{place}, {outcome} by the rule {rule}")
        }
        _ => place.to_owned(),
    }
}
