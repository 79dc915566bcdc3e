//! The stack: what is on, loose and off after a step, worked out by the transitions of the assembly alone.
//!
//! The view is pure text and numbers; screens, outlines and reports draw it. It folds [`Assembly::apply`], the transition
//! behind [`Assembly::after`], so that a faulty step still leaves a picture of what it made.

use std::collections::BTreeSet;

use crate::assembly::{Act, Assembly, JointState, State};
use crate::model::{Deed, Joint, Part, Procedure, Step};
use crate::prove_acts::{act_of, reads, releases_zero};
use crate::route::Choices;

/// How a part or a joint stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stands {
    /// On, and held by what holds it.
    On,
    /// On, but its joint is slack or open, or fewer pieces than belong there.
    Loose,
    /// Off.
    Off,
}

/// One line of the stack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StackLine {
    /// A joint's number or nothing for a part.
    pub joint: Option<String>,
    /// What it is, in the procedure's words.
    pub label: String,
    /// How it stands.
    pub stands: Stands,
    /// The same in words: `on`, `off`, `2 of 4 on`, `slack`, `open, fasteners on`, `tight, not tested`, `tight`.
    pub words: String,
    /// How deep it lies: 0 outside, one more for each thing over it.
    pub depth: u32,
    /// Whether the step before the picture changed it.
    pub changed: bool,
}

/// What the unit is like after a step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stack {
    /// Joints and parts, the outermost first; a joint stands above what it clamps.
    pub lines: Vec<StackLine>,
    /// Covers, sleeves and supplies that are on.
    pub covers: Vec<String>,
    /// What was let in and is still in.
    pub let_in: Vec<String>,
    /// Points locked, of those that carry a lock on this route.
    pub locked: (usize, usize),
    /// Sides of zero proved, of all on this route.
    pub proved: (usize, usize),
}

/// The stack after each step of a route, in order.
pub fn stacks(procedure: &Procedure, choices: &Choices) -> Vec<Stack> {
    let present = procedure.clone().under(choices);
    let assembly = Assembly::new(&present, choices);
    let mut state = assembly.in_service();
    let mut stacks = Vec::new();
    for place in &procedure.route(choices).places {
        let before = state.clone();
        step(&present, &assembly, &mut state, procedure.step(*place));
        stacks.push(stack(&present, &assembly, &before, &state));
    }
    stacks
}

/// Everything one step does to the assembly, whatever is wrong with it; the proof says what is.
fn step(procedure: &Procedure, assembly: &Assembly<'_>, state: &mut State, step: &Step) {
    let mut unsaid = Vec::new();
    for deed in &step.does {
        // A hold reads out what was proved before; it proves nothing itself.
        let read_out = matches!(deed, Deed::Prove { side } if !reads(step, side));
        if !read_out {
            assembly.apply(state, &Act::Deed(deed, step.energy), &mut unsaid);
        }
    }
    for act in step.asks.iter().filter_map(act_of) {
        assembly.apply(state, &act, &mut unsaid);
    }
    if releases_zero(procedure, state, step) {
        assembly.apply(state, &Act::ZeroReleased, &mut unsaid);
    }
}

/// Joints and parts, the outermost first; a joint stands above what it clamps, one that clamps nothing on top.
fn lines(
    procedure: &Procedure,
    assembly: &Assembly<'_>,
    before: &State,
    now: &State,
) -> Vec<StackLine> {
    let mut parts: Vec<(u32, usize)> = procedure
        .parts
        .iter()
        .enumerate()
        .filter(|(at, part)| assembly.part(&part.id) == Some(*at))
        .map(|(at, part)| (depth(procedure, part, 0), at))
        .collect();
    parts.sort_by_key(|(depth, at)| (*depth, *at));
    let joints: Vec<usize> = (0..procedure.joints.len())
        .filter(|at| assembly.joint(&procedure.joints[*at].id) == Some(*at))
        .collect();
    let mut drawn = BTreeSet::new();
    let mut lines = Vec::new();
    let clamps =
        |joint: usize, part: &str| procedure.joints[joint].clamps.iter().any(|id| id == part);
    for (depth, at) in parts {
        let part = &procedure.parts[at];
        for joint in joints.iter().filter(|joint| clamps(**joint, &part.id)) {
            if drawn.insert(*joint) {
                lines.push(joint_line(
                    &procedure.joints[*joint],
                    *joint,
                    depth,
                    before,
                    now,
                ));
            }
        }
        let loose = joints
            .iter()
            .any(|joint| clamps(*joint, &part.id) && !tight(now.joints[*joint]));
        lines.push(part_line(part, at, (depth, loose), before, now));
    }
    let rest = joints.iter().filter(|joint| !drawn.contains(*joint));
    let rest: Vec<StackLine> = rest
        .map(|joint| joint_line(&procedure.joints[*joint], *joint, 0, before, now))
        .collect();
    lines.splice(0..0, rest);
    lines
}

fn stack(procedure: &Procedure, assembly: &Assembly<'_>, before: &State, now: &State) -> Stack {
    let locks = || {
        procedure
            .points
            .iter()
            .zip(&now.points)
            .filter(|(point, _)| point.lock.is_some())
    };
    Stack {
        lines: lines(procedure, assembly, before, now),
        covers: procedure
            .covers
            .iter()
            .zip(&now.covers)
            .filter(|(_, on)| **on)
            .map(|(cover, _)| cover.label.clone())
            .collect(),
        let_in: now
            .let_in
            .iter()
            .map(|(into, pressure)| match pressure {
                Some(pressure) => format!("{pressure} in {}", chamber(procedure, into)),
                None => chamber(procedure, into),
            })
            .collect(),
        locked: (
            locks().filter(|(_, now)| now.locked).count(),
            locks().count(),
        ),
        proved: (
            now.proved.iter().filter(|proved| **proved).count(),
            now.proved.len(),
        ),
    }
}

fn chamber(procedure: &Procedure, id: &str) -> String {
    let label = procedure
        .chambers
        .iter()
        .find(|known| known.id == id)
        .map(|known| &known.label);
    let label = label.or_else(|| {
        procedure
            .energies
            .iter()
            .find(|known| known.id == id)
            .map(|known| &known.label)
    });
    label.map_or_else(|| id.to_owned(), Clone::clone)
}

/// Things over a part, one over the other. `so_far` ends a ring that the proof names.
fn depth(procedure: &Procedure, part: &Part, so_far: u32) -> u32 {
    if so_far > 64 {
        return so_far;
    }
    let over = part
        .under
        .iter()
        .filter_map(|id| procedure.parts.iter().find(|other| other.id == *id));
    over.map(|other| 1 + depth(procedure, other, so_far + 1))
        .max()
        .unwrap_or(0)
}

fn part_line(
    part: &Part,
    at: usize,
    (depth, loose): (u32, bool),
    before: &State,
    now: &State,
) -> StackLine {
    let on = now.parts[at].on;
    let stands = match on {
        0 => Stands::Off,
        some if some < part.count || loose => Stands::Loose,
        _ => Stands::On,
    };
    let words = match (on, part.count) {
        (0, _) => "off".to_owned(),
        (on, count) if on != count => format!("{on} of {count} on"),
        _ if loose => "on, loose".to_owned(),
        _ => "on".to_owned(),
    };
    let label = if part.count > 1 {
        format!("{} × {}", part.count, part.label)
    } else {
        part.label.clone()
    };
    StackLine {
        joint: None,
        label,
        stands,
        words,
        depth,
        changed: before.parts[at] != now.parts[at],
    }
}

const fn tight(joint: JointState) -> bool {
    joint.fastened && !joint.slack && !joint.cracked
}

fn joint_line(joint: &Joint, at: usize, depth: u32, before: &State, now: &State) -> StackLine {
    let state = &now.joints[at];
    let (stands, words) = if !state.fastened {
        (Stands::Off, "fasteners off")
    } else if state.cracked {
        (Stands::Loose, "open, fasteners on")
    } else if state.slack {
        (Stands::Loose, "slack")
    } else if joint.recheck_after.is_some() && !state.rechecked {
        (Stands::On, "tight, not re-checked")
    } else if joint.boundary.is_some() && !state.tested {
        (Stands::On, "tight, not tested")
    } else {
        (Stands::On, "tight")
    };
    StackLine {
        joint: Some(joint.id.clone()),
        label: format!(
            "{}, {} {}",
            joint.label, joint.fasteners, joint.fasteners_named
        ),
        stands,
        words: words.to_owned(),
        depth,
        changed: before.joints[at] != *state,
    }
}
