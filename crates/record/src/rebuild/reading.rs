//! From digits typed to a reading judged: instrument, scale, window, rule, and what of it goes into the entry.

use std::collections::BTreeMap;

use reseat_measure::rule::{self, Rule, Uncertainty};
use reseat_measure::{Place, Quantity, QuantityError, SlipCandidate, Window, slip_candidates};
use reseat_procedure::model::{Asked, Computation, Step};

use super::body::{AdapterUse, Body, InstrumentCopy, OffScale, Reading, ReadingQueried};
use super::compute::compute;
use super::ruling::Ruling;
use super::state::Rebuild;
use crate::refusal::{Refusal, Work};
use crate::register::{Instrument, Register, Scale};

/// What a reading is of.
pub(super) struct Slot<'a> {
    pub(super) step: &'a str,
    pub(super) joint: Option<&'a str>,
    pub(super) thing: Option<String>,
    pub(super) fastener: Option<u32>,
    pub(super) pass: Option<u32>,
    pub(super) attempt: u32,
    pub(super) window: Option<Window>,
    pub(super) unit: reseat_measure::Unit,
    pub(super) instruments: Vec<String>,
    pub(super) condition: Option<String>,
    /// Prevailing torque that the window holds already.
    pub(super) prevailing: Option<String>,
    /// Adapter on the wrench.
    pub(super) adapter: Option<reseat_measure::Adapter>,
    /// The joint's own decision rule, where it has one.
    pub(super) rule: Option<Rule>,
    /// What proves zero is judged by its written limits alone.
    pub(super) proves: bool,
    pub(super) with: BTreeMap<String, String>,
    pub(super) from: Vec<u64>,
    /// A finding with this number is opened when it is out.
    pub(super) finding: Option<u32>,
    /// A slip of units is asked about before anything is judged.
    pub(super) ask_slip: bool,
}

impl<'a> Slot<'a> {
    pub(super) fn new(step: &'a str, unit: reseat_measure::Unit) -> Self {
        Self {
            step,
            joint: None,
            thing: None,
            fastener: None,
            pass: None,
            attempt: 1,
            window: None,
            unit,
            instruments: Vec::new(),
            condition: None,
            prevailing: None,
            adapter: None,
            rule: None,
            proves: false,
            with: BTreeMap::new(),
            from: Vec::new(),
            finding: None,
            ask_slip: false,
        }
    }
}

pub(super) fn copy(instrument: &Instrument) -> InstrumentCopy {
    let scale = Scale {
        unit: instrument.scale,
        reference: instrument.reference,
    };
    InstrumentCopy {
        id: instrument.id.clone(),
        fact: instrument.fact,
        name: instrument.kind.to_string(),
        serial: instrument.serial.clone(),
        kind: instrument.kind.to_string(),
        scale: scale.to_string(),
        range: instrument.range.to_string(),
        resolution: instrument.resolution.to_string(),
        deviation: instrument.calibration.deviation.to_string(),
        uncertainty: uncertainty_of(instrument).map(|uncertainty| uncertainty.to_string()),
        certificate: instrument.calibration.certificate.clone(),
        due: instrument.calibration.due.clone(),
    }
}

pub(super) fn uncertainty_of(instrument: &Instrument) -> Option<Uncertainty> {
    let expanded = instrument.calibration.uncertainty.as_ref()?;
    let coverage = instrument.calibration.coverage.as_ref()?;
    Uncertainty::parse(&expanded.to_string(), &coverage.0.to_string()).ok()
}

/// An expanded uncertainty of the wrench's scale as it stands at the nut: an amount grows with the lever, a share does not.
pub(super) fn uncertainty_at_nut(
    expanded: Quantity,
    coverage: &str,
    adapter: Option<&reseat_measure::Adapter>,
) -> Option<Uncertainty> {
    let share = expanded.dimension() == reseat_measure::Dimension::Percent;
    let expanded = super::at_nut(adapter.filter(|_| !share), expanded)?;
    Uncertainty::parse(&expanded.to_string(), coverage).ok()
}

#[expect(clippy::needless_pass_by_value, reason = "it is handed to map_err")]
fn digits(why: impl ToString) -> Refusal {
    Work::Digits {
        why: why.to_string(),
    }
    .into()
}

/// Judges digits typed for a slot and makes the entry's body.
pub(super) fn take(register: &Register, slot: Slot<'_>, typed: &str) -> Result<Body, Refusal> {
    // Whether they may be used was held against them before.
    let instruments: Vec<&Instrument> = slot
        .instruments
        .iter()
        .filter_map(|name| register.instrument(name))
        .collect();
    let written = slot.window.as_ref().map_or(slot.unit, Window::unit);
    let scale = instruments
        .first()
        .filter(|instrument| instrument.scale.dimension() == written.dimension());
    let reference = scale.map_or_else(
        || slot.window.as_ref().and_then(Window::reference),
        |instrument| instrument.reference,
    );
    let means = Quantity::from_digits(
        typed,
        scale.map_or(written, |instrument| instrument.scale),
        reference,
    )
    .map_err(digits)?;
    if let Some(instrument) = scale
        && let Some(off) = off_scale(&slot, instrument, &means, typed)?
    {
        return Ok(off.into());
    }
    let method = method_of(scale.copied(), written);
    let showed = Some(means);
    let means = super::at_nut(slot.adapter.as_ref(), means)
        .ok_or_else(|| digits("The torque at the nut cannot be worked out from that."))?;
    let copies: Vec<InstrumentCopy> = instruments
        .iter()
        .map(|instrument| copy(instrument))
        .collect();
    if slot.ask_slip
        && let Some(window) = &slot.window
        && let Some(queried) = queried(&slot, window, &means, typed, &copies)?
    {
        return Ok(queried.into());
    }
    let uncertainty = scale.and_then(|instrument| {
        let expanded = instrument.calibration.uncertainty?;
        let coverage = instrument.calibration.coverage.as_ref()?;
        uncertainty_at_nut(expanded, &coverage.0.to_string(), slot.adapter.as_ref())
    });
    let ruling = match scale {
        Some(_) if slot.window.is_some() && !slot.proves => Ruling::of(register, slot.rule),
        _ => Ruling::SIMPLE,
    };
    let typed = typed.trim().to_owned();
    let taken = Taken {
        means,
        showed,
        typed,
        method,
        instruments: copies,
        uncertainty,
    };
    judged(slot, taken, ruling)
}

/// No reading: what was typed is not on the scale of the instrument.
pub(super) fn off_scale(
    slot: &Slot<'_>,
    instrument: &Instrument,
    means: &Quantity,
    typed: &str,
) -> Result<Option<OffScale>, Refusal> {
    let range = instrument
        .range
        .taking_reference(instrument.reference)
        .map_err(digits)?;
    if range.judge(means).map_err(digits)?.place == Place::Within {
        return Ok(None);
    }
    let thing = slot.thing.clone().or(slot.joint.map(str::to_owned));
    Ok(Some(OffScale {
        step: slot.step.to_owned(),
        thing: thing.unwrap_or_default(),
        typed: typed.trim().to_owned(),
        instrument: instrument.id.clone(),
        range: instrument.range.to_string(),
    }))
}

/// A torque out of its window that would lie in it under a slip of units: kept without a verdict. Without a fastener it is the
/// setting of a click wrench.
pub(super) fn queried(
    slot: &Slot<'_>,
    window: &Window,
    means: &Quantity,
    typed: &str,
    copies: &[InstrumentCopy],
) -> Result<Option<ReadingQueried>, Refusal> {
    let candidates = candidates(window, means).map_err(digits)?;
    if candidates.is_empty() {
        return Ok(None);
    }
    Ok(Some(ReadingQueried {
        step: slot.step.to_owned(),
        joint: slot.joint.unwrap_or_default().to_owned(),
        pass: slot.pass.unwrap_or_default(),
        fastener: slot.fastener.unwrap_or_default(),
        attempt: slot.attempt,
        typed: typed.trim().to_owned(),
        means: means.to_string(),
        candidates,
        instruments: copies.to_vec(),
    }))
}

/// Under which slips of units a torque out of its window would lie in it, in words.
///
/// # Errors
/// Torque and window do not compare.
pub(super) fn candidates(window: &Window, means: &Quantity) -> Result<Vec<String>, QuantityError> {
    let words = |candidate: SlipCandidate| {
        // Shown with one decimal more than the window has, for recognition only; nothing is judged by it.
        let decimals = window.low().map_or(1, |low| low.decimal().decimals() + 1);
        let torque = candidate
            .torque
            .to(window.unit(), decimals, reseat_measure::Rounding::Nearest)
            .unwrap_or(candidate.torque);
        let (meant, _) = candidate.slip.units();
        format!(
            "if the number was {meant}: {torque} ({})",
            candidate.slip.words()
        )
    };
    let candidates = slip_candidates(window, means)?;
    Ok(candidates.into_iter().map(words).collect())
}

fn method_of(scale: Option<&Instrument>, written: reseat_measure::Unit) -> &'static str {
    use crate::register::InstrumentKind as Kind;
    match scale.map(|instrument| instrument.kind) {
        Some(Kind::DialWrench) => "dial",
        Some(Kind::ElectronicWrench) => "electronic",
        Some(
            Kind::PressureGauge
            | Kind::FlowMeter
            | Kind::Thermometer
            | Kind::ForceGauge
            | Kind::GasMonitor
            | Kind::MeasuringCylinder,
        ) => "gauge",
        Some(Kind::Timer) => "time",
        Some(_) => "dimension",
        None if written.dimension().is_count() => "count",
        None => "computed",
    }
}

/// What was taken off the instruments, before it is judged.
struct Taken<'a> {
    means: Quantity,
    /// What the scale showed, where an adapter stood between wrench and nut.
    showed: Option<Quantity>,
    typed: String,
    method: &'a str,
    instruments: Vec<InstrumentCopy>,
    uncertainty: Option<Uncertainty>,
}

fn judged(slot: Slot<'_>, taken: Taken<'_>, ruling: Ruling) -> Result<Body, Refusal> {
    let means = taken.means;
    let uncertainty = taken.uncertainty.as_ref();
    let decision = match &slot.window {
        None => None,
        Some(window) => {
            let window = (*window)
                .taking_reference(means.reference())
                .map_err(digits)?;
            Some(rule::decide(&window, &means, uncertainty, ruling.rule).map_err(digits)?)
        }
    };
    let out = decision
        .as_ref()
        .is_some_and(|decision| decision.outcome != rule::Outcome::Accept);
    Ok(Reading {
        step: slot.step.to_owned(),
        joint: slot.joint.map(str::to_owned),
        thing: slot.thing,
        fastener: slot.fastener,
        pass: slot.pass,
        attempt: slot.attempt,
        typed: taken.typed,
        means: means.to_string(),
        method: taken.method.to_owned(),
        instruments: taken.instruments,
        condition: slot.condition,
        prevailing: slot.prevailing,
        adapter: slot
            .adapter
            .zip(taken.showed)
            .map(|(adapter, showed)| AdapterUse::of(&adapter, &showed)),
        from: slot.from,
        with: slot.with,
        window: slot.window.as_ref().map(ToString::to_string),
        place: decision
            .as_ref()
            .map(|decision| decision.judgement.place.to_string()),
        outcome: decision
            .as_ref()
            .map(|decision| decision.outcome.to_string()),
        rule: decision.as_ref().map(|decision| decision.rule.to_string()),
        ruled: decision.as_ref().and(ruling.fact),
        distance: decision
            .as_ref()
            .map(|decision| decision.judgement.distance.to_string()),
        probability: decision.as_ref().and_then(rule::Decision::probability_text),
        finding: slot.finding.filter(|_| out),
    }
    .into())
}

/// A value worked out from earlier readings, judged like one.
pub(super) fn take_computed(slot: Slot<'_>, value: &Quantity) -> Result<Body, Refusal> {
    let taken = Taken {
        means: *value,
        showed: None,
        typed: value.decimal().to_string(),
        method: "computed",
        instruments: Vec::new(),
        uncertainty: None,
    };
    judged(slot, taken, Ruling::SIMPLE)
}

impl Rebuild {
    /// The value of a computed ask from the readings that stand in its step.
    pub(super) fn computed(&self, step: &Step, asked: &Asked) -> Option<Quantity> {
        let Asked::Computed { from, how, .. } = asked else {
            return None;
        };
        let values: Vec<Quantity> = from
            .iter()
            .map(|id| self.read_in(step, id).map(|(_, value)| value))
            .collect::<Option<_>>()?;
        compute(&values, *how)
    }

    /// The reading of a thing that stands in a step, or a value worked out there, with its entry.
    pub(super) fn read_in(&self, step: &Step, id: &str) -> Option<(u64, Quantity)> {
        let entry = self.entry_of(step, id)?;
        let value = Self::quantity(&self.readings.get(&entry)?.means)?;
        Some((entry, value))
    }

    fn entry_of(&self, step: &Step, id: &str) -> Option<u64> {
        let index = step.asks.iter().position(|asked| match asked {
            Asked::Reading(measured) => measured.id == id,
            Asked::Computed { id: named, .. } => named == id,
            _ => false,
        })?;
        self.line(&step.id)?.asks.get(index)?.reading
    }

    /// Entries a computed ask rests on.
    pub(super) fn computed_from(&self, step: &Step, asked: &Asked) -> Vec<u64> {
        let Asked::Computed { from, .. } = asked else {
            return Vec::new();
        };
        from.iter()
            .filter_map(|id| self.entry_of(step, id))
            .collect()
    }

    /// Widest less narrowest of the four gap readings of a joint.
    pub(super) fn gap_spread(&self, joint: &str) -> Option<Quantity> {
        let values: Vec<Quantity> = self
            .joints
            .get(joint)?
            .gap
            .iter()
            .map(|(_, value)| *value)
            .collect();
        compute(&values, Computation::Spread)
    }
}
