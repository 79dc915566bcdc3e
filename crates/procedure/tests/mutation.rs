//! Mutation: what is done to a shipped procedure that changes the hardware is found by the proof.
//!
//! Every step is dropped, doubled, and swapped with its neighbour; every deed is dropped; counts, dispositions, kit lines and
//! passes are changed and each `under` is turned over, one at a time, for every shipped procedure, proven on every choice
//! of its options. (An `under` only taken away says less and changes nothing that is done.) A mutant that
//! brings no new error or warning survives. Survivors are listed in `survivors.txt` by mutant, each with the reason why
//! it is harmless; one that is not listed fails the test, and so does a listed one that is found after all.
#![allow(
    clippy::disallowed_methods,
    reason = "a test reads its list of survivors"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::Path;

use reseat_procedure::model::{Asked, Deed, Procedure, Step};
use reseat_procedure::{Severity, builtin, prove, read};

/// Errors and warnings of a procedure, as a set that a mutant's is held against.
fn findings(procedure: &Procedure) -> BTreeSet<(String, &'static str)> {
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

/// One change: its stable name, and the procedure after it.
type Mutant = (String, Procedure);

/// Every mutant of one procedure, one at a time, so that memory holds one.
struct Mutants<'p> {
    procedure: &'p Procedure,
    look: &'p mut dyn FnMut(Mutant),
}

impl Mutants<'_> {
    fn add(&mut self, name: String, change: impl FnOnce(&mut Procedure)) {
        let mut mutant = self.procedure.clone();
        change(&mut mutant);
        (self.look)((name, mutant));
    }

    fn all(mut self) {
        self.steps();
        self.joints();
        self.parts();
    }

    fn steps(&mut self) {
        for (s, section) in self.procedure.sections.iter().enumerate() {
            for (t, step) in section.steps.iter().enumerate() {
                if !acts(step) {
                    continue;
                }
                self.add(format!("drop {}", step.id), |mutant| {
                    mutant.sections[s].steps.remove(t);
                });
                self.add(format!("double {}", step.id), |mutant| {
                    let mut again = step.clone();
                    again.id.push_str(" again");
                    mutant.sections[s].steps.insert(t + 1, again);
                });
                if let Some(next) = section.steps.get(t + 1).filter(|next| acts(next)) {
                    self.add(format!("swap {} with {}", step.id, next.id), |mutant| {
                        mutant.sections[s].steps.swap(t, t + 1);
                    });
                }
                self.deeds((s, t), step);
            }
        }
    }

    fn deeds(&mut self, (s, t): (usize, usize), step: &Step) {
        for (d, deed) in step.does.iter().enumerate() {
            if step.does.len() > 1 {
                self.add(format!("drop deed {} of {}", d + 1, step.id), |mutant| {
                    mutant.sections[s].steps[t].does.remove(d);
                });
            }
            if matches!(deed, Deed::Off { .. } | Deed::On { .. }) {
                let name = format!("one more in deed {} of {}", d + 1, step.id);
                self.add(name, |mutant| {
                    if let Deed::Off { count, .. } | Deed::On { count, .. } =
                        &mut mutant.sections[s].steps[t].does[d]
                    {
                        *count += 1;
                    }
                });
            }
        }
    }

    fn joints(&mut self) {
        for (j, joint) in self.procedure.joints.iter().enumerate() {
            let name = if joint.when.0.is_empty() {
                joint.id.clone()
            } else {
                format!("{} ({})", joint.id, joint.label)
            };
            for p in 0..joint.passes.len() {
                self.add(format!("double pass {} of {name}", p + 1), |mutant| {
                    let pass = mutant.joints[j].passes[p];
                    mutant.joints[j].passes.insert(p, pass);
                });
                if joint.passes.len() > 1 {
                    self.add(format!("drop pass {} of {name}", p + 1), |mutant| {
                        mutant.joints[j].passes.remove(p);
                    });
                }
                if p + 1 < joint.passes.len() {
                    self.add(
                        format!("swap passes {} and {} of {name}", p + 1, p + 2),
                        |mutant| mutant.joints[j].passes.swap(p, p + 1),
                    );
                    self.add(
                        format!("pass {} of {name} set at its successor", p + 1),
                        |mutant| mutant.joints[j].passes[p] = mutant.joints[j].passes[p + 1],
                    );
                }
            }
        }
    }

    fn parts(&mut self) {
        for (p, part) in self.procedure.parts.iter().enumerate() {
            let name = if part.when.0.is_empty() {
                part.id.clone()
            } else {
                format!("{} ({:?})", part.id, part.when.0)
            };
            self.add(format!("count of {name}"), |mutant| {
                mutant.parts[p].count += 1;
            });
            self.add(
                format!(
                    "{name} {}",
                    if part.from_kit {
                        "left out of the kit"
                    } else {
                        "from the kit"
                    }
                ),
                |mutant| mutant.parts[p].from_kit = !part.from_kit,
            );
            self.add(
                format!(
                    "{name} {}",
                    if part.single_use {
                        "used again"
                    } else {
                        "used once"
                    }
                ),
                |mutant| mutant.parts[p].single_use = !part.single_use,
            );
            for (at, over) in part.under.iter().enumerate() {
                // A cover lies under nothing; it has no list to be turned over into.
                let Some(over_at) = self
                    .procedure
                    .parts
                    .iter()
                    .position(|part| part.id == *over)
                else {
                    continue;
                };
                self.add(
                    format!("{over} under {name}, not the other way"),
                    |mutant| {
                        mutant.parts[p].under.remove(at);
                        mutant.parts[over_at].under.push(part.id.clone());
                    },
                );
            }
        }
    }
}

fn listed() -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/survivors.txt"))
        .unwrap_or_default()
}

/// Holds the mutants of one procedure against the list.
fn every_mutant_is_found(file: &str) {
    let list = listed();
    let mut listed: BTreeMap<&str, &str> = list
        .lines()
        .filter_map(|line| line.strip_prefix(file)?.strip_prefix(' ')?.split_once(": "))
        .collect();
    let (_, bytes) = builtin()
        .iter()
        .find(|(name, _)| *name == file)
        .expect("a shipped procedure");
    let procedure = read(bytes).expect("a shipped procedure is read");
    let sound = findings(&procedure);
    let mut wrong = String::new();
    let mut count = 0;
    let mut names = BTreeSet::new();
    let mut look = |(name, mutant): Mutant| {
        count += 1;
        let survives = findings(&mutant).is_subset(&sound);
        match (survives, listed.remove(name.as_str())) {
            (true, None) => writeln!(wrong, "{file} {name}: ").expect("a text takes all"),
            (false, Some(reason)) => {
                writeln!(wrong, "{file} {name} is found, but listed: {reason}")
                    .expect("a text takes all");
            }
            _ => {}
        }
        assert!(names.insert(name.clone()), "two mutants are called {name}");
    };
    Mutants {
        procedure: &procedure,
        look: &mut look,
    }
    .all();
    assert!(count > 300, "{count}");
    assert!(wrong.is_empty(), "of {count} mutants:\n{wrong}");
    assert!(listed.is_empty(), "listed, but no mutant: {listed:?}");
}

/// One test a procedure, so that they run beside each other; a shipped one without a test fails the first.
macro_rules! procedures {
    ($($test:ident $file:literal,)*) => {
        #[test]
        fn every_shipped_procedure_is_mutated() {
            let tested = BTreeSet::from([$($file),*]);
            let shipped: BTreeSet<&str> = builtin().iter().map(|(name, _)| *name).collect();
            assert_eq!(tested, shipped);
        }

        $(#[test]
        fn $test() {
            every_mutant_is_found($file);
        })*
    };
}

procedures! {
    bl_nrv_06 "BL-NRV-06.json",
    bpr_vent_11 "BPR-VENT-11.json",
    fv_3302 "FV-3302.json",
    lo_tcv_01 "LO-TCV-01.json",
    pcv_2107 "PCV-2107.json",
    prs_stm_07 "PRS-STM-07.json",
    prv_co2_04 "PRV-CO2-04.json",
    psv_2115 "PSV-2115.json",
    sa_prv_03 "SA-PRV-03.json",
    tcv_kb_02 "TCV-KB-02.json",
}
