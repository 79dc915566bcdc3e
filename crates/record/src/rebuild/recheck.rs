//! Every verdict worked out again from what its entry holds. A difference is a finding, not tampering: the chain says whether
//! an entry is as it was written, this says whether it was right when it was written.

use std::collections::BTreeSet;

use reseat_measure::rule::{self, Rule, Uncertainty};
use reseat_measure::{Quantity, Window, parse_scale};
use reseat_procedure::model::{Asked, Joint, Procedure};
use reseat_procedure::{Choices, model::Step};

use super::body::{Body, InstrumentCopy, Reading, Setting};
use super::state::Rebuild;
use crate::log::Sealed;
use standing::Standing;

mod answers;
mod standing;
mod stood;
mod worked_out;

/// Each entry whose verdict is not what its own numbers, the procedure and its `rules` number give, with the reason.
///
/// Readings and settings are worked out anew: what the digits mean on the scale of the instrument, through an adapter at the nut,
/// values worked out from readings before, the window against the procedure's text, then place, outcome, distance and
/// probability. So is what an answer was held against: torque of a pass, a round or a re-check, count, condition, strength.
///
/// Where the entries begin with the start of the rebuild, each is also held against the state it was written in: pieces that came
/// off, the fact asked on taking up, the verifier's answers, number and end of a permit, and whether a lock, zero or a permit held
/// the act back. A wrong entry is carried as it stands; what is wrong with the state after it is told once in the same words, and
/// that an entry before it is wrong. The entries are those of one rebuild, in order.
pub fn recheck<'a>(
    procedure: &Procedure,
    entries: impl IntoIterator<Item = &'a Sealed>,
) -> Vec<(u64, String)> {
    let mut findings = Vec::new();
    let mut choices = Choices::default();
    let mut standing = Standing::default();
    let mut before: Option<Rebuild> = None;
    let mut wrong: Option<u64> = None;
    // One lock off makes every act after it wrong in the same words; they are told once.
    let mut told = BTreeSet::new();
    for sealed in entries {
        let entry = &sealed.entry;
        let Some(body) = Body::read(entry) else {
            before = None;
            continue;
        };
        let fault = match &body {
            Body::Started(started) => {
                choices = Choices(started.choices.clone());
                None
            }
            Body::Reading(_) | Body::Setting(_) if entry.rules != 1 => Some(format!(
                "It was judged by rules {}, which this release does not know.",
                entry.rules
            )),
            Body::Reading(reading) => reading_fault(procedure, &choices, reading, &standing),
            Body::Setting(setting) => setting_fault(procedure, &choices, setting, &standing),
            other => answers::fault(procedure, &choices, other, &standing),
        };
        let fault = fault.or_else(|| {
            let fault = stood::fault(before.as_ref()?, entry, &body)?;
            told.insert(fault.clone()).then(|| match wrong {
                Some(wrong) => format!("{fault} Entry {wrong} before it is wrong."),
                None => fault,
            })
        });
        standing.carry(entry.number, &body);
        // An entry that is wrong is carried all the same, as whoever opens the record sees it: what follows is held against that.
        before = match (before, &body) {
            (None, Body::Started(_)) => Rebuild::begin(procedure.clone(), sealed).ok(),
            (None, _) => None,
            (Some(mut before), _) => {
                before.apply(sealed);
                Some(before)
            }
        };
        if let Some(reason) = fault {
            wrong = wrong.or(Some(entry.number));
            findings.push((entry.number, reason));
        }
    }
    findings
}

fn reading_fault(
    procedure: &Procedure,
    choices: &Choices,
    reading: &Reading,
    standing: &Standing,
) -> Option<String> {
    let Ok(value) = Quantity::parse(&reading.means) else {
        return Some(format!("\"{}\" is no quantity.", reading.means));
    };
    let worked_out = digits_fault(reading, &value)
        .or_else(|| {
            let joint = reading.fastener.and(reading.joint.as_deref())?;
            standing.adapter_fault(joint, reading.adapter.as_ref())
        })
        .or_else(|| worked_out::fault(procedure, reading, &value, standing));
    if worked_out.is_some() {
        return worked_out;
    }
    let written = match window_of(procedure, choices, reading, standing) {
        Ok(written) => written,
        Err(fault) => return Some(fault),
    };
    let Some(text) = &reading.window else {
        let verdict = reading.place.is_some() || reading.outcome.is_some();
        return verdict.then(|| "It has a verdict and no window.".to_owned());
    };
    if let Some(written) = written.filter(|written| written != text) {
        return Some(format!(
            "Its window is {text}, the procedure says {written}."
        ));
    }
    let Ok(window) =
        Window::parse(text).and_then(|window| window.taking_reference(value.reference()))
    else {
        return Some(format!("\"{text}\" is no window for {value}."));
    };
    let Some(Ok(named)) = reading.rule.as_deref().map(str::parse) else {
        return Some("It names no decision rule.".to_owned());
    };
    if let Some(fault) = slip_fault(reading, &window, &value, standing) {
        return Some(fault);
    }
    if let Some(fault) = rule_fault(procedure, choices, reading, named) {
        return Some(fault);
    }
    verdict_fault(reading, &window, &value, named)
}

/// What is said of the reading in its window, worked out again.
fn verdict_fault(
    reading: &Reading,
    window: &Window,
    value: &Quantity,
    named: Rule,
) -> Option<String> {
    let text = reading.window.as_deref().unwrap_or_default();
    let uncertainty = reading
        .instruments
        .first()
        .and_then(|instrument| instrument.uncertainty.as_deref())
        .and_then(|text| uncertainty(text, reading.adapter.as_ref()));
    let Ok(decision) = rule::decide(window, value, uncertainty.as_ref(), named) else {
        return Some(format!("{value} cannot be judged against {text}."));
    };
    let given = |member: &Option<String>| member.clone().unwrap_or_default();
    let worked_out = [
        (
            "place",
            decision.judgement.place.to_string(),
            given(&reading.place),
        ),
        (
            "outcome",
            decision.outcome.to_string(),
            given(&reading.outcome),
        ),
        (
            "distance",
            decision.judgement.distance.to_string(),
            given(&reading.distance),
        ),
        (
            "probability",
            decision.probability_text().unwrap_or_default(),
            given(&reading.probability),
        ),
    ];
    worked_out
        .into_iter()
        .find(|(_, now, then)| now != then)
        .map(|(what, now, then)| {
            format!("{value} against {text}: its {what} is \"{then}\", worked out again \"{now}\".")
        })
}

/// A torque that would lie in its window under a slipped unit is judged only after it was asked about.
fn slip_fault(
    reading: &Reading,
    window: &Window,
    value: &Quantity,
    standing: &Standing,
) -> Option<String> {
    reading.fastener.and(reading.joint.as_ref())?;
    let Some(asked) = reading.from.first() else {
        return not_asked(window, value);
    };
    answers_fault(*asked, &reading.typed, standing)
}

/// A torque or setting that a slip of units would bring into its window, and nobody asked which scale was read.
fn not_asked(window: &Window, value: &Quantity) -> Option<String> {
    let fits = super::reading::candidates(window, value).ok()?;
    let first = fits.first()?;
    Some(format!(
        "It was judged without asking which scale was read; {first}."
    ))
}

/// Digits that do not answer the entry they name.
fn answers_fault(asked: u64, typed: &str, standing: &Standing) -> Option<String> {
    match standing.queried(asked) {
        Some(before) if before == typed => None,
        Some(before) => Some(format!(
            "\"{typed}\" answers entry {asked}, where \"{before}\" was asked about."
        )),
        None => Some(format!(
            "It answers entry {asked}, which is no torque asked about."
        )),
    }
}

/// A rule that is neither the joint's own, nor the site's by an entry of the register, nor simple acceptance.
fn rule_fault(
    procedure: &Procedure,
    choices: &Choices,
    reading: &Reading,
    named: Rule,
) -> Option<String> {
    let own = reading
        .fastener
        .and(reading.joint.as_deref())
        .and_then(|joint| procedure.joint(joint, choices)?.rule);
    match own {
        Some(own) => (own != named)
            .then(|| format!("It is judged by the rule {named}, its joint says {own}.")),
        None => (named != Rule::Simple && reading.ruled.is_none())
            .then(|| format!("It is judged by the rule {named}, and names no entry that set it.")),
    }
}

/// What the digits mean on the scale of the instrument they were read on.
fn digits_fault(reading: &Reading, value: &Quantity) -> Option<String> {
    let instrument = reading.instruments.first()?;
    let (unit, reference) = parse_scale(&instrument.scale).ok()?;
    if unit.dimension() != value.unit().dimension() {
        return None;
    }
    if let Some(used) = &reading.adapter {
        return adapter_fault(used, &reading.typed, instrument, &reading.means);
    }
    let now = Quantity::from_digits(&reading.typed, unit, reference).ok();
    (now.as_ref() != Some(value))
        .then(|| scale_words(&reading.typed, instrument, &value.to_string()))
}

fn scale_words(typed: &str, instrument: &InstrumentCopy, means: &str) -> String {
    format!(
        "\"{typed}\" on the scale {} of {} is not {means}.",
        instrument.scale, instrument.id
    )
}

/// What was dialled without an adapter.
fn scale_fault(typed: &str, instrument: &InstrumentCopy, means: &str) -> Option<String> {
    let (unit, reference) = parse_scale(&instrument.scale).ok()?;
    let now = Quantity::from_digits(typed, unit, reference).ok();
    let agrees = now.is_some_and(|now| now.to_string() == means);
    (!agrees).then(|| scale_words(typed, instrument, means))
}

/// What was dialled or shown with an adapter on, against the digits typed and the torque at the nut.
fn adapter_fault(
    used: &super::body::AdapterUse,
    typed: &str,
    instrument: &InstrumentCopy,
    means: &str,
) -> Option<String> {
    let (unit, reference) = parse_scale(&instrument.scale).ok()?;
    let showed = used.showed();
    let adapter = used.adapter();
    let digits = Quantity::from_digits(typed, unit, reference).ok();
    if digits.is_none() || digits != showed || adapter.is_none() {
        return Some(scale_words(typed, instrument, &used.showed));
    }
    let now = super::at_nut(adapter.as_ref(), showed?)?.to_string();
    (now != means).then(|| {
        format!(
            "{} with its adapter is {now} at the nut, not {means}.",
            used.showed
        )
    })
}

fn uncertainty(text: &str, used: Option<&super::body::AdapterUse>) -> Option<Uncertainty> {
    let (expanded, coverage) = text.split_once(" (k = ")?;
    let adapter = used.and_then(super::body::AdapterUse::adapter);
    super::reading::uncertainty_at_nut(
        Quantity::parse(expanded).ok()?,
        coverage.trim_end_matches(')'),
        adapter.as_ref(),
    )
}

/// The window the procedure writes for this slot, as text; none where it writes none or the slot is not found.
fn window_of(
    procedure: &Procedure,
    choices: &Choices,
    reading: &Reading,
    standing: &Standing,
) -> Result<Option<String>, String> {
    if let (Some(joint), Some(_)) = (&reading.joint, reading.fastener) {
        let Some(written) = procedure.joint(joint, choices) else {
            return Ok(None);
        };
        let now = standing.joint(written, reading.prevailing.as_deref())?;
        return Ok(Some(now.window.to_string()));
    }
    Ok(window_of_thing(procedure, reading))
}

fn window_of_thing(procedure: &Procedure, reading: &Reading) -> Option<String> {
    let thing = reading.thing.as_deref()?;
    if let Some(side) = thing.strip_prefix("zero/") {
        let zero = procedure.zero.iter().find(|zero| zero.id == side)?;
        return Some(zero.window.to_string());
    }
    let step = step(procedure, &reading.step)?;
    step.asks.iter().find_map(|asked| match asked {
        Asked::Reading(measured) if measured.id == thing => {
            measured.window.as_ref().map(ToString::to_string)
        }
        Asked::Computed { id, window, .. } if id == thing => Some(window.to_string()),
        _ => None,
    })
}

fn step<'p>(procedure: &'p Procedure, id: &str) -> Option<&'p Step> {
    procedure.steps().find(|step| step.id == id)
}

fn setting_fault(
    procedure: &Procedure,
    choices: &Choices,
    setting: &Setting,
    standing: &Standing,
) -> Option<String> {
    let written = procedure.joint(&setting.joint, choices)?;
    let joint = match standing.joint(written, setting.prevailing.as_deref()) {
        Ok(joint) => joint,
        Err(fault) => return Some(fault),
    };
    let resolution = Quantity::parse(&setting.instrument.resolution).ok()?;
    let adapter = setting.adapter.as_ref();
    let on = adapter.and_then(super::body::AdapterUse::adapter);
    let digits = match adapter {
        Some(used) => adapter_fault(used, &setting.typed, &setting.instrument, &setting.means),
        None => scale_fault(&setting.typed, &setting.instrument, &setting.means),
    };
    let digits = digits.or_else(|| standing.adapter_fault(&setting.joint, adapter));
    if digits.is_some() {
        return digits;
    }
    let (window, required) = setting_window(&joint, setting.pass, &resolution, on.as_ref())?;
    if required != setting.required {
        return Some(format!(
            "It must be {}, the procedure says {required}.",
            setting.required
        ));
    }
    let means = Quantity::parse(&setting.means).ok()?;
    let slipped = match setting.queried {
        Some(asked) => answers_fault(asked, &setting.typed, standing),
        None => not_asked(&window, &means),
    };
    if slipped.is_some() {
        return slipped;
    }
    let place = window.judge(&means).ok()?.place.to_string();
    (place != setting.place).then(|| {
        format!(
            "{} against {required}: its place is \"{}\", worked out again \"{place}\".",
            setting.means, setting.place
        )
    })
}

/// What a click wrench must be set to in a pass, as a window and in words: the pass's torque, in the last pass the window.
///
/// A pass raised by a prevailing torque rarely falls on a mark of the scale; one mark to either side of it does.
pub(super) fn setting_window(
    joint: &Joint,
    pass: u32,
    resolution: &Quantity,
    adapter: Option<&reseat_measure::Adapter>,
) -> Option<(Window, String)> {
    if let Some(adapter) = adapter {
        return super::adapter::setting_window(joint, pass, resolution, adapter);
    }
    let torque = joint.passes.get((pass as usize).checked_sub(1)?)?;
    if pass as usize == joint.passes.len() {
        return Some((joint.window, joint.window.to_string()));
    }
    if joint.prevailing_read.is_some() {
        let (low, high) = (
            torque.difference(resolution).ok()?,
            torque.sum(resolution).ok()?,
        );
        let window = Window::new(
            Some(low.decimal()),
            Some(high.decimal()),
            torque.unit(),
            None,
        );
        return Some((window.ok()?, format!("{torque} \u{b1} {resolution}")));
    }
    let window = Window::parse(&format!("{0}..{0} {1}", torque.decimal(), torque.unit())).ok()?;
    Some((window, torque.to_string()))
}
