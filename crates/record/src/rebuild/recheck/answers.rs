//! What an answer was held against, and what it came to, against the procedure and what stood before.

use reseat_measure::{Quantity, parse_scale};
use reseat_procedure::Choices;
use reseat_procedure::model::{Answer, Asked, Gap, Joint, Leads, Procedure, Rounds};

use super::standing::Standing;
use crate::rebuild::after_high::percent_words;
use crate::rebuild::at_nut;
use crate::rebuild::body::{self, Body};
use crate::rebuild::decide_measured::vent_clears;
use crate::rebuild::energize::clears;
use crate::rebuild::reading::candidates;

/// An answer that was worked out wrong, in words; none where it is right, or rests on what cannot be seen from the entries.
pub(super) fn fault(
    procedure: &Procedure,
    choices: &Choices,
    body: &Body,
    standing: &Standing,
) -> Option<String> {
    let asked = |step: &str, ask: u32| -> Option<&Asked> {
        super::step(procedure, step)?.asks.get(ask as usize)
    };
    let joint = |id: &str| procedure.joint(id, choices);
    match body {
        Body::Answered(body) => answered(asked(&body.step, body.ask)?, body),
        Body::Counted(body) => counted(asked(&body.step, body.ask)?, body),
        Body::Wrote(body) => wrote(asked(&body.step, body.ask)?, body, standing),
        Body::RestBegun(body) => match asked(&body.step, body.ask)? {
            Asked::Rest { minutes } | Asked::Wait { minutes } => {
                differs("its minutes", &body.minutes, minutes)
            }
            _ => None,
        },
        // What a gate saw is held against what was in then.
        Body::Vented(body) => {
            let asked = asked(&body.step, body.ask?);
            let first_time = asked.is_some_and(|asked| matches!(asked, Asked::Vent { .. }));
            let clear = vent_clears(&body.came, first_time);
            differs("whether it lets zero stand", &body.clear, &clear)
        }
        Body::LookedAgain(body) => differs(
            "whether it lets zero stand",
            &body.clear,
            &vent_clears(&body.came, false),
        ),
        Body::Cleared(body) => differs(
            "whether it lets energy in",
            &body.clear,
            &clears(&body.what, &body.answer)?,
        ),
        Body::ReadingQueried(body) => queried(joint(&body.joint)?, body, standing),
        Body::Condition(body) => condition(joint(&body.joint)?, body),
        Body::Pulled(body) => pulled(joint(&body.joint)?, body, standing),
        Body::Round(body) => round(joint(&body.joint)?, body, standing),
        Body::Feeler(body) => feeler(joint(&body.joint)?, body),
        Body::Rechecked(body) => rechecked(procedure, body),
        Body::AfterHigh(body) => after_high(joint(&body.joint)?, body, standing),
        _ => None,
    }
}

pub(super) fn differs(
    what: &str,
    then: &impl ToString,
    now: &(impl ToString + ?Sized),
) -> Option<String> {
    let (then, now) = (then.to_string(), now.to_string());
    (then != now).then(|| format!("{what}: \"{then}\", worked out again \"{now}\"."))
}

/// `finding 3` without its number, which is given in the order findings come.
fn answered(asked: &Asked, body: &body::Answered) -> Option<String> {
    let leads = body.leads.split(' ').next().unwrap_or_default();
    let now = match asked {
        Asked::Choice { answers, .. } => {
            let given = |answer: &&Answer| answer.label == body.answer;
            match answers.iter().find(given)?.leads {
                Leads::On => "on",
                Leads::Again => "again",
                Leads::Finding => "finding",
            }
        }
        Asked::Orientation { answers, right, .. } => {
            let right = answers.get(*right) == Some(&body.answer);
            if right { "on" } else { "again" }
        }
        _ => return None,
    };
    differs("what its answer leads to", &leads, now)
}

fn counted(asked: &Asked, body: &body::Counted) -> Option<String> {
    let expected = match asked {
        Asked::Count { expected, .. } => expected.map(u64::from),
        Asked::Balance | Asked::ToolsOut => Some(0),
        _ => return None,
    };
    let words = |count: Option<u64>| count.map_or("any".to_owned(), |count| count.to_string());
    differs(
        "the count it must be",
        &words(body.expected),
        &words(expected),
    )
    .or_else(|| {
        let right = expected.is_none_or(|expected| expected == body.counted);
        (right && body.finding.is_some())
            .then(|| "It opens a finding, and the count is right.".to_owned())
    })
}

fn wrote(asked: &Asked, body: &body::Wrote, standing: &Standing) -> Option<String> {
    if !matches!(asked, Asked::Nameplate) {
        return None;
    }
    let agrees = crate::rebuild::decide_step::is_serial(&body.text, standing.serial());
    differs(
        "whether it is the serial of the unit",
        &body.agrees.unwrap_or_default(),
        &agrees,
    )
}

fn condition(written: &Joint, body: &body::Condition) -> Option<String> {
    let wanted = crate::rebuild::decide_joint::wanted_condition(written);
    differs("the condition it must be", &body.written, &wanted).or_else(|| {
        differs(
            "whether the condition is as written",
            &body.agrees,
            &(body.condition == wanted),
        )
    })
}

fn pulled(written: &Joint, body: &body::Pulled, standing: &Standing) -> Option<String> {
    let joint = match standing.joint(written, body.prevailing.as_deref()) {
        Ok(joint) => joint,
        Err(fault) => return Some(fault),
    };
    let torque = joint.passes.get((body.pass as usize).checked_sub(1)?)?;
    differs("the torque of its pass", &body.to, torque)
}

/// The torque of a round holds the prevailing torque that was read; the entry does not name it.
fn round(written: &Joint, body: &body::Round, standing: &Standing) -> Option<String> {
    let joint = standing.joint_read(written).ok()?;
    let last = matches!(joint.rounds, Rounds::UpTo(most) if body.round >= most);
    differs("the torque of its round", &body.at, joint.passes.last()?).or_else(|| {
        differs(
            "whether it opens a finding",
            &body.finding.is_some(),
            &(last && body.moved > 0),
        )
    })
}

fn feeler(written: &Joint, body: &body::Feeler) -> Option<String> {
    let Some(Gap::Closed { feeler, .. }) = &written.gap else {
        return None;
    };
    differs("its feeler", &body.feeler, feeler).or_else(|| {
        differs(
            "whether it opens a finding",
            &body.finding.is_some(),
            &body.enters,
        )
    })
}

fn rechecked(procedure: &Procedure, body: &body::Rechecked) -> Option<String> {
    let at = super::step(procedure, &body.step)?
        .asks
        .iter()
        .find_map(|asked| match asked {
            Asked::Recheck { joint, at } if *joint == body.joint => Some(at),
            _ => None,
        })?;
    differs("the torque of its re-check", &body.at, at).or_else(|| {
        differs(
            "whether it opens a finding",
            &body.finding.is_some(),
            &body.moved,
        )
    })
}

/// The digits on the scale and through the adapter stated, and the slips under which they would lie in the window.
fn queried(written: &Joint, body: &body::ReadingQueried, standing: &Standing) -> Option<String> {
    let instrument = body.instruments.first()?;
    let (unit, reference) = parse_scale(&instrument.scale).ok()?;
    let joint = standing.joint_read(written).ok()?;
    let adapter = standing.adapter(&body.joint);
    let means = Quantity::from_digits(&body.typed, unit, reference)
        .ok()
        .and_then(|showed| at_nut(adapter.as_ref(), showed));
    let Some(means) = means.filter(|means| means.to_string() == body.means) else {
        return Some(super::scale_words(&body.typed, instrument, &body.means));
    };
    let window = match body.fastener {
        0 => {
            let resolution = Quantity::parse(&instrument.resolution).ok()?;
            super::setting_window(&joint, body.pass, &resolution, adapter.as_ref())?.0
        }
        _ => joint.window,
    };
    let now = candidates(&window, &means).ok()?;
    differs(
        "the units it would fit in",
        &body.candidates.join("; "),
        &now.join("; "),
    )
}

/// What a torque came to, of the strength at the lowest nut factor of the condition stated.
fn after_high(written: &Joint, body: &body::AfterHigh, standing: &Standing) -> Option<String> {
    let Some(reading) = standing.reading(body.entry) else {
        return Some("It answers an entry that is no reading before it.".to_owned());
    };
    let torque = Quantity::parse(&reading.means).ok()?;
    let condition = standing
        .condition(&body.joint)
        .unwrap_or(&written.condition);
    let (percent, beyond) = percent_words(written, condition, &torque);
    let stretched = beyond && reading.place.as_deref() == Some("HIGH");
    differs(
        "its share of strength",
        &body.percent.as_deref().unwrap_or("not known"),
        percent.as_deref().unwrap_or("not known"),
    )
    .or_else(|| {
        differs(
            "whether the fastener may have stretched",
            &body.stretched.unwrap_or_default(),
            &stretched,
        )
    })
}
