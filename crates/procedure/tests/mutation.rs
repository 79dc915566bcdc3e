//! Mutation: what is done to a shipped procedure that changes the hardware is found by the proof.
//!
//! Every step is dropped, doubled, and swapped with its neighbour; every deed is dropped; counts, dispositions of parts,
//! `under`, and passes are changed one at a time. A mutant that brings no new error survives. Survivors are listed in
//! `survivors.txt` by mutant, each with the reason why it is harmless; one that is not listed fails the test, and so
//! does a listed one that is found after all.
#![allow(
    clippy::disallowed_methods,
    reason = "a test reads its list of survivors"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use reseat_procedure::model::{Asked, Deed, Step};
use reseat_procedure::{Procedure, Severity, builtin, prove, read};

/// Errors of a procedure, as a set that a mutant's is held against.
fn errors(procedure: &Procedure) -> BTreeSet<(String, &'static str)> {
    prove(procedure)
        .into_iter()
        .filter(|finding| finding.severity != Severity::Note)
        .map(|finding| (finding.message, finding.code))
        .collect()
}

/// Whether a step means something to the assembly: a deed, a hold, own locks, or an ask the proof knows of.
fn acts(step: &Step) -> bool {
    !step.does.is_empty()
        || step.hold.is_some()
        || step.asks.iter().any(|ask| {
            matches!(
                ask,
                Asked::OwnLocks { .. }
                    | Asked::OwnLocksOff
                    | Asked::Dispositions
                    | Asked::Balance
                    | Asked::ToolsOut
                    | Asked::Sign
                    | Asked::Decisions
            )
        })
}

fn mutants(procedure: &Procedure) -> Vec<(String, Procedure)> {
    let mut all = Vec::new();
    let mut add = |name: String, change: &dyn Fn(&mut Procedure)| {
        let mut mutant = procedure.clone();
        change(&mut mutant);
        all.push((name, mutant));
    };
    for (s, section) in procedure.sections.iter().enumerate() {
        for (t, step) in section.steps.iter().enumerate() {
            if !acts(step) {
                continue;
            }
            add(format!("drop {}", step.id), &|mutant| {
                mutant.sections[s].steps.remove(t);
            });
            add(format!("double {}", step.id), &|mutant| {
                let mut again = step.clone();
                again.id.push_str(" again");
                mutant.sections[s].steps.insert(t + 1, again);
            });
            if section.steps.get(t + 1).is_some_and(acts) {
                add(
                    format!("swap {} with {}", step.id, section.steps[t + 1].id),
                    &|mutant| mutant.sections[s].steps.swap(t, t + 1),
                );
            }
            for (d, deed) in step.does.iter().enumerate() {
                if step.does.len() > 1 {
                    add(format!("drop deed {} of {}", d + 1, step.id), &|mutant| {
                        mutant.sections[s].steps[t].does.remove(d);
                    });
                }
                if matches!(deed, Deed::Off { .. } | Deed::On { .. }) {
                    add(
                        format!("one more in deed {} of {}", d + 1, step.id),
                        &|mutant| {
                            if let Deed::Off { count, .. } | Deed::On { count, .. } =
                                &mut mutant.sections[s].steps[t].does[d]
                            {
                                *count += 1;
                            }
                        },
                    );
                }
            }
        }
    }
    for (j, joint) in procedure.joints.iter().enumerate() {
        for p in (0..joint.passes.len()).filter(|_| joint.passes.len() > 1) {
            add(
                format!("double pass {} of {}", p + 1, joint.id),
                &|mutant| {
                    let pass = mutant.joints[j].passes[p];
                    mutant.joints[j].passes.insert(p, pass);
                },
            );
            add(format!("drop pass {} of {}", p + 1, joint.id), &|mutant| {
                mutant.joints[j].passes.remove(p);
            });
            if p + 1 < joint.passes.len() {
                add(
                    format!("swap passes {} and {} of {}", p + 1, p + 2, joint.id),
                    &|mutant| mutant.joints[j].passes.swap(p, p + 1),
                );
            }
        }
    }
    for (p, part) in procedure.parts.iter().enumerate() {
        add(format!("count of {}", part.id), &|mutant| {
            mutant.parts[p].count += 1;
        });
        if part.from_kit {
            add(format!("{} left out of the kit", part.id), &|mutant| {
                mutant.parts[p].from_kit = false;
            });
        }
    }
    all
}

#[test]
fn every_mutant_that_touches_the_hardware_is_found() {
    let listed =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/survivors.txt"))
            .unwrap_or_default();
    let mut listed: BTreeMap<&str, &str> = listed
        .lines()
        .filter(|line| !line.starts_with('#'))
        .filter_map(|line| line.split_once(": "))
        .collect();
    let mut unlisted = Vec::new();
    let mut count = 0;
    for (name, bytes) in &builtin()[..1] {
        let procedure = read(bytes).expect("a shipped procedure is read");
        let sound = errors(&procedure);
        for (mutant, changed) in mutants(&procedure) {
            count += 1;
            let survives = errors(&changed).is_subset(&sound);
            let id = format!("{name} {mutant}");
            match (survives, listed.remove(id.as_str())) {
                (true, None) => unlisted.push(id),
                (false, Some(reason)) => {
                    unlisted.push(format!("{id} is found, but listed: {reason}"));
                }
                _ => {}
            }
        }
    }
    assert!(count > 400, "{count}");
    assert!(
        unlisted.is_empty(),
        "of {count}, {}:\n{}",
        unlisted.len(),
        unlisted.join("\n")
    );
    assert!(listed.is_empty(), "listed, but no mutant: {listed:?}");
}
