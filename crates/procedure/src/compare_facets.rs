//! The facets of a procedure that two revisions are compared by, each a name and its value in words.

use reseat_measure::Quantity;

use crate::model::{Asked, EnergyKind, Joint, Measured, Part, PointKind, Procedure, Section, Step};
use crate::words;

/// Names and values, always the same names in the same order for one kind of thing. An empty value says nothing.
pub(crate) type Facets = Vec<(&'static str, String)>;

fn opt<T: ToString>(value: Option<&T>) -> String {
    value.map_or_else(String::new, ToString::to_string)
}

fn yes(value: bool) -> String {
    if value { "yes" } else { "no" }.to_owned()
}

pub(crate) fn procedure(of: &Procedure) -> Facets {
    vec![
        ("number", of.number.clone()),
        ("revision", of.revision.clone()),
        ("title", of.title.clone()),
        ("author", of.author.clone()),
        ("models", of.models.join(", ")),
        ("role that releases zero", of.zero_release.word().to_owned()),
        ("kit", of.kit.number.clone()),
    ]
}

/// Everything that is declared, by kind and name; things of one id under different options are kept apart.
pub(crate) fn declared(of: &Procedure) -> Vec<(String, Facets)> {
    let mut all = Vec::new();
    for option in &of.options {
        let values: Vec<String> = option
            .values
            .iter()
            .map(|(id, label)| format!("{id} ({label})"))
            .collect();
        let facets = vec![
            ("question", option.question.clone()),
            ("values", values.join(", ")),
        ];
        all.push((format!("option {}", option.id), facets));
    }
    energies(of, &mut all);
    for part in &of.parts {
        all.push((
            named("part", &part.id, &words::when(&part.when)),
            self::part(part),
        ));
    }
    for joint in &of.joints {
        all.push((
            named("joint", &joint.id, &words::when(&joint.when)),
            self::joint(joint),
        ));
    }
    for cover in &of.covers {
        all.push((
            format!("cover {}", cover.id),
            vec![("name", cover.label.clone())],
        ));
    }
    for instrument in &of.instruments {
        let facets = vec![
            ("name", instrument.label.clone()),
            ("range", opt(instrument.range.as_ref())),
            ("error", opt(instrument.error.as_ref())),
        ];
        all.push((format!("instrument {}", instrument.id), facets));
    }
    for consumable in &of.consumables {
        let facets = vec![
            ("name", consumable.label.clone()),
            ("rubber it must never touch", consumable.never_on.join(", ")),
        ];
        all.push((format!("consumable {}", consumable.id), facets));
    }
    all
}

fn energies(of: &Procedure, all: &mut Vec<(String, Facets)>) {
    for energy in &of.energies {
        let facets = vec![
            ("name", energy.label.clone()),
            ("kind", kind(energy.kind).to_owned()),
            ("size", energy.size.clone()),
            ("method", energy.method.clone()),
        ];
        all.push((
            named("energy", &energy.id, &words::when(&energy.when)),
            facets,
        ));
    }
    for point in &of.points {
        let kind = match point.kind {
            PointKind::Isolating => "isolating",
            PointKind::Drain => "drain",
        };
        let facets = vec![
            ("name", point.label.clone()),
            ("energy", point.energy.clone()),
            ("kind", kind.to_owned()),
            ("position", point.position.clone()),
            ("lock", opt(point.lock.as_ref())),
            ("lies on", point.drains.join(", ")),
        ];
        all.push((named("point", &point.id, &words::when(&point.when)), facets));
    }
    for chamber in &of.chambers {
        let facets = vec![
            ("name", chamber.label.clone()),
            ("limit", opt(chamber.limit.as_ref())),
            ("test pressure", opt(chamber.test.as_ref())),
            ("filled through", opt(chamber.fill_through.as_ref())),
        ];
        all.push((format!("chamber {}", chamber.id), facets));
    }
    for test in &of.tests {
        let facets = vec![
            ("name", test.label.clone()),
            ("needs", test.needs.join(", ")),
            ("pressure", pressures(&test.at)),
            ("wants open", test.points.open.join(", ")),
            ("wants shut", test.points.shut.join(", ")),
        ];
        all.push((named("test", &test.id, &words::when(&test.when)), facets));
    }
    for side in &of.zero {
        let facets = vec![
            ("name", side.label.clone()),
            ("energy", side.energy.clone()),
            ("gauge", side.instrument.clone()),
            ("window", side.window.to_string()),
            ("vent", opt(side.vent.as_ref())),
        ];
        all.push((
            named("zero side", &side.id, &words::when(&side.when)),
            facets,
        ));
    }
}

fn named(kind: &str, id: &str, when: &str) -> String {
    if when.is_empty() {
        format!("{kind} {id}")
    } else {
        format!("{kind} {id} with {when}")
    }
}

const fn kind(kind: EnergyKind) -> &'static str {
    match kind {
        EnergyKind::Process => "process",
        EnergyKind::Air => "air",
        EnergyKind::Electric => "electric",
        EnergyKind::Heat => "heat",
        EnergyKind::Gravity => "gravity",
        EnergyKind::Chemical => "chemical",
        EnergyKind::Spring => "spring",
        EnergyKind::Trapped => "trapped",
    }
}

/// Chambers with a pressure each: `body 70 bar g, inlet 3.5 bar g`.
fn pressures(at: &[(String, Quantity)]) -> String {
    let each = at.iter().map(|(chamber, at)| format!("{chamber} {at}"));
    each.collect::<Vec<_>>().join(", ")
}

fn part(of: &Part) -> Facets {
    vec![
        ("name", of.label.clone()),
        ("count", of.count.to_string()),
        ("single use", yes(of.single_use)),
        ("from the kit", yes(of.from_kit)),
        ("rubber", opt(of.elastomer.as_ref())),
        ("right way up", yes(of.oriented)),
        ("long tool", yes(of.long_tool)),
        ("after the test", yes(of.after_test)),
        ("verified", yes(of.to_verify)),
        ("inspections", of.inspections.to_string()),
        ("lubricant", opt(of.lubricant.as_ref())),
        ("under", of.under.join(", ")),
        ("spared by", of.spared_by.join(", ")),
    ]
}

fn joint(of: &Joint) -> Facets {
    vec![
        ("name", of.label.clone()),
        ("window", of.window.to_string()),
        ("passes", words::passes(of)),
        ("order", words::pattern(of.pattern).to_owned()),
        ("rounds", words::rounds(of.rounds)),
        ("gap", words::gap(of.gap.as_ref())),
        (
            "fasteners",
            format!("{} {}", of.fasteners, of.fasteners_named),
        ),
        ("thread", of.thread.clone()),
        ("grade", of.grade.clone()),
        ("thread condition", of.condition.clone()),
        ("lubricant", opt(of.lubricant.as_ref())),
        ("wrenches", of.wrenches.join(", ")),
        ("prevailing torque", opt(of.prevailing.as_ref())),
        (
            "prevailing torque read as",
            opt(of.prevailing_read.as_ref()),
        ),
        ("decision rule", opt(of.rule.as_ref())),
        ("numbering", of.numbering.clone()),
        ("clamps", of.clamps.join(", ")),
        ("under", of.under.join(", ")),
        ("pressure boundary", opt(of.boundary.as_ref())),
        (
            "re-check after",
            of.recheck_after.map_or_else(String::new, words::minutes),
        ),
        ("setting screw", yes(of.setting)),
        ("after the test", yes(of.after_test)),
        ("cracked open", yes(of.crack)),
        ("governed by", opt(of.governed_by.as_ref())),
        ("clamp needed", opt(of.clamp_needed.as_ref())),
        (
            "reason above 75 % of proof",
            opt(of.reason_above_75.as_ref()),
        ),
    ]
}

pub(crate) fn section(of: &Section) -> Facets {
    vec![
        ("title", of.title.clone()),
        ("what to wear", of.ppe.join(", ")),
    ]
}

pub(crate) fn step(of: &Step) -> Facets {
    vec![
        ("act", of.text.clone()),
        ("state of energy", words::energy(of.energy).to_owned()),
        ("makes safer", yes(of.safer)),
        ("lets in", opt(of.lets_in.as_ref())),
        (
            "verification",
            of.verify
                .map_or_else(String::new, |how| words::verify(how).to_owned()),
        ),
        (
            "hold, released by",
            of.hold
                .map_or_else(String::new, |role| role.word().to_owned()),
        ),
        ("may be not applicable", yes(of.not_applicable)),
        ("start and done apart", yes(of.start_apart)),
        ("options", words::when(&of.when)),
    ]
}

/// The lists of a step: what they hold, as they were, as they are.
pub(crate) fn lists(was: &Step, is: &Step) -> [(&'static str, Vec<String>, Vec<String>); 3] {
    [
        ("warning", warnings(was), warnings(is)),
        ("answer wanted", asks(was), asks(is)),
        ("effect", deeds(was), deeds(is)),
    ]
}

fn warnings(step: &Step) -> Vec<String> {
    step.warnings
        .iter()
        .map(|warning| format!("{}: {}", warning.word.word(), warning.text))
        .collect()
}

/// Unlike in an outline everything counts here: names, the right answer, the side a reading proves.
fn asks(step: &Step) -> Vec<String> {
    step.asks
        .iter()
        .map(|asked| {
            let words = words::ask(asked, |_| None);
            match asked {
                Asked::Orientation { answers, right, .. } => format!(
                    "{words}, right: {}",
                    answers.get(*right).map_or("", String::as_str)
                ),
                Asked::Reading(Measured { id, proves, .. }) => match proves {
                    Some(side) => format!("{words}, kept as {id}, proves {side}"),
                    None => format!("{words}, kept as {id}"),
                },
                Asked::Computed { id, .. } => format!("{words}, kept as {id}"),
                _ => words,
            }
        })
        .collect()
}

fn deeds(step: &Step) -> Vec<String> {
    step.does.iter().map(words::deed).collect()
}
