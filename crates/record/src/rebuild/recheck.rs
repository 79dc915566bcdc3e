//! Every verdict worked out again from what its entry holds. A difference is a finding, not tampering: the chain says whether
//! an entry is as it was written, this says whether it was right when it was written.

use std::collections::BTreeMap;

use reseat_measure::rule::{self, Rule, Uncertainty};
use reseat_measure::{Quantity, Window, parse_scale};
use reseat_procedure::model::{Asked, Joint, Procedure};
use reseat_procedure::{Choices, model::Step};

use super::body::{Body, Reading, Setting};
use crate::log::Sealed;

/// Each entry whose verdict is not what its own numbers, the procedure and its `rules` number give, with the reason.
///
/// Readings and settings are worked out anew: what the digits mean on the scale of the instrument, the window against the
/// procedure's text, then place, outcome, distance and probability. The entries are those of one rebuild, in order.
pub fn recheck<'a>(
    procedure: &Procedure,
    entries: impl IntoIterator<Item = &'a Sealed>,
) -> Vec<(u64, String)> {
    let mut findings = Vec::new();
    let mut choices = Choices::default();
    let mut means: BTreeMap<u64, Quantity> = BTreeMap::new();
    let mut standing = Standing::default();
    for sealed in entries {
        let entry = &sealed.entry;
        let fault = match Body::read(entry) {
            Some(Body::Started(started)) => {
                choices = Choices(started.choices.clone());
                None
            }
            Some(Body::Reading(_) | Body::Setting(_)) if entry.rules != 1 => Some(format!(
                "It was judged by rules {}, which this release does not know.",
                entry.rules
            )),
            Some(Body::Reading(reading)) => {
                if let Ok(value) = Quantity::parse(&reading.means) {
                    means.insert(entry.number, value);
                }
                let fault = reading_fault(procedure, &choices, &reading, &means, &standing);
                standing.read(entry.number, &reading);
                fault
            }
            Some(Body::Setting(setting)) => setting_fault(procedure, &choices, &setting, &standing),
            Some(Body::Struck(struck)) => {
                standing.struck(struck.entry);
                None
            }
            Some(Body::StruckSeen(struck)) => {
                standing.struck(struck.entry);
                None
            }
            _ => None,
        };
        findings.extend(fault.map(|reason| (entry.number, reason)));
    }
    findings
}

/// The last reading of each thing that is not struck, for windows that hold a prevailing torque.
#[derive(Default)]
struct Standing(BTreeMap<String, (u64, Quantity)>);

impl Standing {
    fn read(&mut self, entry: u64, reading: &Reading) {
        if let (Some(thing), Ok(value)) = (&reading.thing, Quantity::parse(&reading.means)) {
            self.0.insert(thing.clone(), (entry, value));
        }
    }

    fn struck(&mut self, entry: u64) {
        self.0.retain(|_, (read, _)| *read != entry);
    }

    /// The joint with what was read of its prevailing torque; a fault where that and the entry differ.
    fn joint(&self, written: &Joint, entered: Option<&str>) -> Result<Joint, String> {
        let Some(thing) = &written.prevailing_read else {
            return match entered {
                None => Ok(written.clone()),
                Some(_) => Err(format!("{} has no prevailing torque.", written.id)),
            };
        };
        let Some((_, read)) = self.0.get(thing) else {
            return Err(format!(
                "The prevailing torque of {} was not read before it.",
                written.id
            ));
        };
        if entered != Some(read.to_string().as_str()) {
            return Err(format!(
                "Its prevailing torque is \"{}\", the reading says {read}.",
                entered.unwrap_or_default()
            ));
        }
        super::prevailing::raised(written, read).map_err(|why| why.to_string())
    }
}

fn reading_fault(
    procedure: &Procedure,
    choices: &Choices,
    reading: &Reading,
    means: &BTreeMap<u64, Quantity>,
    standing: &Standing,
) -> Option<String> {
    let Ok(value) = Quantity::parse(&reading.means) else {
        return Some(format!("\"{}\" is no quantity.", reading.means));
    };
    if let Some(fault) = digits_fault(reading, &value) {
        return Some(fault);
    }
    if reading.from.iter().any(|entry| !means.contains_key(entry)) && reading.method == "computed" {
        return Some("It is worked out from an entry that is no reading before it.".to_owned());
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
    if let Some(fault) = rule_fault(procedure, choices, reading, named) {
        return Some(fault);
    }
    let uncertainty = reading
        .instruments
        .first()
        .and_then(|instrument| instrument.uncertainty.as_deref())
        .and_then(|text| uncertainty(text, reading.adapter.as_ref()));
    let Ok(decision) = rule::decide(&window, &value, uncertainty.as_ref(), named) else {
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
    (now.as_ref() != Some(value)).then(|| {
        format!(
            "\"{}\" on the scale {} of {} is not {value}.",
            reading.typed, instrument.scale, instrument.id
        )
    })
}

/// What was dialled or shown with an adapter on, against the digits typed and the torque at the nut.
fn adapter_fault(
    used: &super::body::AdapterUse,
    typed: &str,
    instrument: &super::body::InstrumentCopy,
    means: &str,
) -> Option<String> {
    let (unit, reference) = parse_scale(&instrument.scale).ok()?;
    let showed = used.showed();
    let adapter = used.adapter();
    let digits = Quantity::from_digits(typed, unit, reference).ok();
    if digits.is_none() || digits != showed || adapter.is_none() {
        return Some(format!(
            "\"{typed}\" on the scale {} of {} is not {}.",
            instrument.scale, instrument.id, used.showed
        ));
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
    procedure
        .sections
        .iter()
        .flat_map(|section| &section.steps)
        .find(|step| step.id == id)
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
    if let Some(fault) = adapter
        .and_then(|used| adapter_fault(used, &setting.typed, &setting.instrument, &setting.means))
    {
        return Some(fault);
    }
    let (window, required) = setting_window(&joint, setting.pass, &resolution, on.as_ref())?;
    if required != setting.required {
        return Some(format!(
            "It must be {}, the procedure says {required}.",
            setting.required
        ));
    }
    let place = Quantity::parse(&setting.means)
        .and_then(|means| window.judge(&means))
        .map(|judgement| judgement.place.to_string())
        .ok()?;
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
