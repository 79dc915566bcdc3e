//! Asks and joints of a procedure in the field's words, for outlines and comparisons.

use reseat_measure::{Condition, Unit, Window};

use crate::model::{
    Answer, Asked, Computation, Deed, EnergyState, Gap, Joint, Leads, Measured, Pattern, Role,
    Rounds, SeatLimit, Step, Verify, When,
};
use crate::sums;

/// A state of energy as the format spells it.
pub(crate) const fn energy(state: EnergyState) -> &'static str {
    match state {
        EnergyState::Running => "running",
        EnergyState::Isolating => "isolating",
        EnergyState::Zero => "zero",
        EnergyState::Test => "test",
        EnergyState::Returning => "returning",
    }
}

/// How another person verifies, as the format spells it.
pub(crate) const fn verify(how: Verify) -> &'static str {
    match how {
        Verify::Concurrent => "concurrent",
        Verify::Independent => "independent",
    }
}

/// Minutes as people say them: `5 min`, `4 h`, `1 h 30 min`.
pub(crate) fn minutes(all: u32) -> String {
    match (all / 60, all % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest} min"),
    }
}

/// Options a thing stands under, `; ` before them; nothing where it always stands.
pub(crate) fn when(when: &When) -> String {
    let terms: Vec<String> = when
        .0
        .iter()
        .map(|(option, values)| {
            let values: Vec<&str> = values.iter().map(String::as_str).collect();
            format!("{option} {}", values.join(" or "))
        })
        .collect();
    terms.join(" and ")
}

fn reading(measured: &Measured) -> String {
    let on = match measured.instruments.as_slice() {
        [] => String::new(),
        instruments => format!(", on {}", instruments.join(" or ")),
    };
    let limits = match &measured.window {
        Some(window) => format!("window {window}"),
        None => format!("in {}, recorded only", measured.unit),
    };
    let beside = match &measured.beside {
        Some((label, instrument)) => format!("; beside it {label}, on {instrument}"),
        None => String::new(),
    };
    let seat = by_class(measured.seat.as_ref(), measured.unit);
    format!("reading: {}{on}, {limits}{beside}{seat}", measured.label)
}

/// The seat leakage class behind a window, `; ` before it; nothing where none is named.
fn by_class(seat: Option<&SeatLimit>, unit: Unit) -> String {
    seat.map_or_else(String::new, |seat| format!("; {}", seat.words_in(unit)))
}

fn computed(label: &str, from: &[String], how: Computation, window: &Window) -> String {
    let names: Vec<&str> = from.iter().map(String::as_str).collect();
    format!(
        "worked out: {label}, {}, window {window}",
        how.words(&names)
    )
}

/// One answer of a choice, and where it leads.
fn answer(answer: &Answer) -> String {
    match answer.leads {
        Leads::On => answer.label.clone(),
        Leads::Again => format!("{} (asked again)", answer.label),
        Leads::Finding => format!("{} (a finding)", answer.label),
    }
}

fn person(question: &str, role: Option<Role>, another: bool) -> String {
    let who = if another {
        "another person"
    } else {
        "a person"
    };
    role.map_or_else(
        || format!("{who}: {question}"),
        |role| format!("{who} with the role {}: {question}", role.word()),
    )
}

fn condition(id: &str, joint: Option<&Joint>) -> String {
    joint.map_or_else(
        || format!("thread condition of {id} as seen"),
        |joint| {
            let name = Condition::parse(&joint.condition)
                .map_or_else(|_| String::new(), |known| format!(", {}", known.name()));
            format!(
                "thread condition of {id} as seen; the window is for {}{name}",
                joint.condition
            )
        },
    )
}

/// One answer wanted, in words. `joint` finds a joint by its id, where one of that id stands.
pub(crate) fn ask<'j>(asked: &Asked, joint: impl Fn(&str) -> Option<&'j Joint>) -> String {
    match asked {
        Asked::Done => "the act is done".to_owned(),
        Asked::Choice { question, answers } => {
            let answers: Vec<String> = answers.iter().map(answer).collect();
            format!("choice: {question} {}", answers.join(" / "))
        }
        Asked::Text {
            question,
            permit: None,
        } => format!("words: {question}"),
        Asked::Text {
            permit: Some(paper),
            ..
        } => format!("{paper}: number and end time"),
        Asked::Nameplate => "tag and serial, read on the nameplate".to_owned(),
        Asked::Person {
            question,
            role,
            another,
        } => person(question, *role, *another),
        Asked::Count { question, expected } => expected.map_or_else(
            || format!("count: {question} recorded only"),
            |expected| format!("count: {question} must be {expected}"),
        ),
        Asked::Reading(measured) => reading(measured),
        Asked::Computed {
            label,
            from,
            how,
            window,
            seat,
            ..
        } => {
            let limits = computed(label, from, *how, window);
            format!("{limits}{}", by_class(seat.as_ref(), window.unit()))
        }
        Asked::Orientation {
            question, answers, ..
        } => format!(
            "orientation, act hidden: {question} {} / cannot tell",
            answers.join(" / ")
        ),
        Asked::Vent { side } => format!("what came from the vent of {side}"),
        Asked::Zero { by_vent } if by_vent.is_empty() => "zero check, every side".to_owned(),
        Asked::Zero { by_vent } => {
            format!(
                "zero check, every side; by the vent: {}",
                by_vent.join(", ")
            )
        }
        Asked::OwnLocks { lock_box } => format!("number of your own lock on box {lock_box}"),
        Asked::OwnLocksOff => "own locks off, each by its owner".to_owned(),
        Asked::Condition { joint: id } => condition(id, joint(id)),
        Asked::Tighten { joint: id } => joint(id).map_or_else(|| format!("tighten {id}"), tighten),
        Asked::Recheck { joint, at } => format!("re-check {joint} at {at}: moved or not"),
        Asked::Rest { minutes: rest } => format!("rest of {}", minutes(*rest)),
        Asked::Wait { minutes: wait } => format!("wait of {}", minutes(*wait)),
        Asked::Dispositions => "disposition of each part that is off".to_owned(),
        Asked::Decisions => "decision on each finding and inspected part".to_owned(),
        Asked::Balance => "parts balance: none left over".to_owned(),
        Asked::ToolsOut => "tools, rags and covers left in the unit: none".to_owned(),
        Asked::Sign => "signatures".to_owned(),
    }
}

/// Passes of a joint: `7 N·m, 13 N·m, 20.5 N·m`.
pub(crate) fn passes(joint: &Joint) -> String {
    let passes: Vec<String> = joint.passes.iter().map(ToString::to_string).collect();
    passes.join(", ")
}

/// Order of tightening in words.
pub(crate) const fn pattern(pattern: Pattern) -> &'static str {
    match pattern {
        Pattern::Cross => "crosswise",
        Pattern::Circular => "round the circle",
        Pattern::Straight => "along the row",
        Pattern::Single => "single",
        Pattern::FlatByFlat => "flat by flat in turn",
    }
}

/// Rounds after the passes in words.
pub(crate) fn rounds(rounds: Rounds) -> String {
    match rounds {
        Rounds::None => "no rounds".to_owned(),
        Rounds::UpTo(most) => format!("rounds until none moves, at most {most}"),
        Rounds::Exactly(1) => "1 round, counted".to_owned(),
        Rounds::Exactly(count) => format!("{count} rounds, counted"),
    }
}

/// The gap measured afterwards in words.
pub(crate) fn gap(gap: Option<&Gap>) -> String {
    match gap {
        None => "no gap measured".to_owned(),
        Some(Gap::Spread { limit, instrument }) => {
            format!("gap at 4 points, within {limit}, {instrument}")
        }
        Some(Gap::Closed { feeler, instrument }) => {
            format!("gap shut: {feeler} does not enter, {instrument}")
        }
    }
}

fn tighten(joint: &Joint) -> String {
    format!(
        "tighten {} {}: {} {} {}, {}, passes {}, window {}, {}; {}; on {}",
        joint.id,
        joint.label,
        joint.fasteners,
        joint.fasteners_named,
        joint.thread,
        pattern(joint.pattern),
        passes(joint),
        joint.window,
        rounds(joint.rounds),
        gap(joint.gap.as_ref()),
        joint.wrenches.join(" or ")
    )
}

/// What a step's joints come to at both ends of their windows, who verifies and releases it, and what it lets in, each a
/// line of its own.
pub(crate) fn marks<'j>(step: &Step, joint: impl Fn(&str) -> Option<&'j Joint>) -> Vec<String> {
    let tightened = step.asks.iter().filter_map(|ask| match ask {
        Asked::Tighten { joint: id } => joint(id),
        _ => None,
    });
    let mut marks: Vec<String> = tightened.filter_map(sums::both_ends).flatten().collect();
    if let Some(what) = &step.lets_in {
        marks.push(format!("lets in: {what}; zero is stale from here"));
    }
    if let Some(how) = step.verify {
        marks.push(format!("verified by another person, {}", verify(how)));
    }
    if let Some(role) = step.hold {
        marks.push(format!("HOLD: released by {}", role.word()));
    }
    if step.safer {
        marks.push("makes safer: open at any time".to_owned());
    }
    if step.not_applicable {
        marks.push("may be not applicable, with a reason".to_owned());
    }
    if step.start_apart {
        marks.push("start and done are two keys".to_owned());
    }
    marks
}

fn pieces(part: &str, count: u32) -> String {
    if count == 1 {
        part.to_owned()
    } else {
        format!("{count} {part}")
    }
}

/// What a step does to the unit, in words.
pub(crate) fn deed(deed: &Deed) -> String {
    match deed {
        Deed::Isolate { point } => format!("isolates at {point}"),
        Deed::Lock { point } => format!("locks {point}"),
        Deed::Unlock { point } => format!("takes the lock off {point}"),
        Deed::Restore { point } => format!("puts {point} back"),
        Deed::Release { energy } => format!("releases {energy}"),
        Deed::Prove { side } => format!("proves zero {side}"),
        Deed::LetIn {
            chamber,
            pressure,
            gauge,
            points,
        } => {
            let pressure = pressure.map_or_else(String::new, |pressure| format!(" {pressure}"));
            let gauge = gauge
                .as_ref()
                .map_or_else(String::new, |gauge| format!(", read on {gauge}"));
            let list = |names: &[String], stands: &str| match names {
                [] => String::new(),
                names => format!(", {} {stands}", names.join(" and ")),
            };
            let (open, shut) = (list(&points.open, "open"), list(&points.shut, "shut"));
            format!("lets{pressure} into {chamber}{gauge}{open}{shut}")
        }
        Deed::LetOut { chamber } => format!("vents {chamber}"),
        Deed::Slacken { joint } => format!("slackens {joint}"),
        Deed::Crack { joint } => format!("cracks {joint}"),
        Deed::Unfasten { joint } => format!("takes the fasteners of {joint} off"),
        Deed::Off { part, count } => format!("takes off {}", pieces(part, *count)),
        Deed::On { part, count } => format!("fits {}", pieces(part, *count)),
        Deed::CoverOn { cover } => format!("puts {cover} on"),
        Deed::CoverOff { cover } => format!("takes {cover} off"),
        Deed::Clean { parts } if parts.is_empty() => "cleans all that is off".to_owned(),
        Deed::Clean { parts } => format!("cleans {}", parts.join(", ")),
        Deed::Inspect { parts } => format!("inspects {}", parts.join(", ")),
        Deed::Lubricate {
            parts,
            joints,
            with,
        } => {
            let things: Vec<&str> = parts.iter().chain(joints).map(String::as_str).collect();
            format!("lubricates {} with {with}", things.join(", "))
        }
        Deed::HandStart { joint } => format!("hand-starts {joint}"),
        Deed::Tighten { joint } => format!("tightens {joint}"),
        Deed::Recheck { joint } => format!("re-checks {joint}"),
        Deed::Rest => "rests".to_owned(),
        Deed::Verify { parts } => format!("has {} verified", parts.join(", ")),
        Deed::Test => "ends a test".to_owned(),
        Deed::Run { test } => format!("ends the test {test}"),
        Deed::Scrap => "scraps what is discarded".to_owned(),
        Deed::ToolsClear => "tools are away".to_owned(),
        Deed::PeopleClear => "people are clear and told".to_owned(),
    }
}
