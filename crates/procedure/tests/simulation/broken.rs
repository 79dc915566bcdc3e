//! Proofs spoilt on purpose: the comparison must catch each of them, or agreement would say nothing.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use crate::cases::case;
use crate::simulator::{KNOWN, faults};
use crate::{Answer, CASES, apart, proved};

/// Codes said of a whole route or declaration, at no step.
const AT_NO_STEP: [&str; 1] = ["pass-order"];

/// What is still to be caught; cases are looked at until nothing is.
fn caught<T>(mut open: Vec<T>, mut catches: impl FnMut(&Value, &T) -> bool) -> Vec<T> {
    for number in 0..CASES {
        if open.is_empty() {
            break;
        }
        let case = case(number);
        open.retain(|broken| !catches(&case, broken));
    }
    open
}

/// A proof that is right but for one code, held against the simulator on the answers both give.
fn slips_through(
    spoilt: impl Fn(&str, &Answer) -> Answer,
    codes: Vec<&'static str>,
) -> Vec<&'static str> {
    let mut open = codes;
    for case in (0..CASES).map(case) {
        if open.is_empty() {
            break;
        }
        let Some(right) = proved(&case) else { continue };
        let slow = faults(&case);
        // The right answer agrees, so whatever is caught is caught by what was spoilt.
        assert_eq!(apart(&right, &slow), None);
        open.retain(|code| {
            let (proof, simulator) = apart(&spoilt(code, &right), &slow).unwrap_or_default();
            !proof
                .iter()
                .chain(&simulator)
                .any(|(found, _)| found == code)
        });
    }
    open
}

#[test]
fn a_proof_deaf_to_any_one_code_is_caught() {
    let deaf = |code: &str, right: &Answer| -> Answer {
        let others = right.iter().filter(|(found, _)| found != code);
        others.cloned().collect()
    };
    let open = slips_through(deaf, KNOWN.to_vec());
    assert!(open.is_empty(), "{open:?} can be left out unseen");
}

#[test]
fn a_proof_that_names_any_one_code_everywhere_is_caught() {
    let loud = |code: &str, right: &Answer| -> Answer {
        let mut more = right.clone();
        more.insert((code.to_owned(), "s0".to_owned()));
        more
    };
    let open = slips_through(loud, KNOWN.to_vec());
    assert!(open.is_empty(), "{open:?} can be added unseen");
}

#[test]
fn a_proof_that_names_any_one_code_at_another_step_is_caught() {
    let beside = |code: &str, right: &Answer| -> Answer {
        let moved = right.iter().map(|(found, step)| {
            let step = if found == code {
                format!("{step} and on")
            } else {
                step.clone()
            };
            (found.clone(), step)
        });
        moved.collect()
    };
    let codes: Vec<&str> = KNOWN
        .into_iter()
        .filter(|code| !AT_NO_STEP.contains(code))
        .collect();
    let open = slips_through(beside, codes);
    assert!(open.is_empty(), "{open:?} can be moved unseen");
}

/// A proof that does not see something: what it is blind to, the text as it reads it, and the codes that must then differ.
struct Blind {
    to: &'static str,
    sees: fn(&mut Value),
    differs: &'static [&'static str],
}

fn each(case: &mut Value, list: &str, change: impl Fn(&mut Value)) {
    let things = case.pointer_mut(list).and_then(Value::as_array_mut);
    things.into_iter().flatten().for_each(change);
}

fn steps(case: &mut Value, change: impl Fn(&mut Value)) {
    each(case, "/sections/0/steps", change);
}

fn deeds(case: &mut Value, word: &str, change: impl Fn(&mut Value)) {
    steps(case, |step| {
        let deeds = step["does"].as_array_mut();
        for deed in deeds.into_iter().flatten() {
            if deed.is_object() && !deed[word].is_null() {
                change(&mut deed[word]);
            }
        }
    });
}

fn without(thing: &mut Value, member: &str) {
    thing.as_object_mut().map(|thing| thing.remove(member));
}

const BLIND: [Blind; 19] = [
    Blind {
        to: "what lies over a part",
        sees: |case| each(case, "/parts", |part| without(part, "under")),
        differs: &["part-covered", "verified-hidden", "hidden-unverified"],
    },
    Blind {
        to: "what a joint clamps",
        sees: |case| each(case, "/joints", |joint| without(joint, "clamps")),
        differs: &["clamped-part-missing", "part-still-clamped"],
    },
    Blind {
        to: "how many pieces come off",
        sees: |case| deeds(case, "off", |off| without(off, "count")),
        differs: &["part-not-on", "count-differs"],
    },
    Blind {
        to: "single use",
        sees: |case| each(case, "/parts", |part| without(part, "single_use")),
        differs: &["single-use-refitted", "not-cleaned"],
    },
    Blind {
        to: "the kit",
        sees: |case| each(case, "/parts", |part| without(part, "from_kit")),
        differs: &["kit-part-not-fitted", "single-use-refitted"],
    },
    Blind {
        to: "inspections",
        sees: |case| each(case, "/parts", |part| without(part, "inspections")),
        differs: &["not-inspected"],
    },
    Blind {
        to: "rubber",
        sees: |case| each(case, "/parts", |part| without(part, "elastomer")),
        differs: &["lubricant-wrong"],
    },
    Blind {
        to: "the lubricant of threads",
        sees: |case| each(case, "/joints", |joint| without(joint, "lubricant")),
        differs: &["lubricant-missing"],
    },
    Blind {
        to: "rests",
        sees: |case| each(case, "/joints", |joint| without(joint, "recheck_after")),
        differs: &["test-too-early"],
    },
    Blind {
        to: "the boundary a joint closes",
        sees: |case| each(case, "/joints", |joint| without(joint, "boundary")),
        differs: &["not-tested", "crack-order"],
    },
    Blind {
        to: "the pressure a chamber is tested at",
        sees: |case| each(case, "/chambers", |chamber| without(chamber, "test")),
        differs: &["not-tested"],
    },
    Blind {
        to: "holds",
        sees: |case| steps(case, |step| without(step, "hold")),
        differs: &["zero-not-released", "no-permission", "not-taken-back"],
    },
    Blind {
        to: "the state of energy a step is done in",
        sees: |case| steps(case, |step| without(step, "energy")),
        differs: &["lock-off-early", "own-locks-first"],
    },
    Blind {
        to: "options",
        sees: |case| {
            each(case, "/parts", |part| without(part, "when"));
            each(case, "/joints", |joint| without(joint, "when"));
            steps(case, |step| without(step, "when"));
        },
        differs: &["part-not-on-route", "no-window"],
    },
    Blind {
        to: "springs",
        sees: |case| {
            each(case, "/energies", |energy| {
                energy["kind"] = "process".into();
            });
        },
        differs: &["energy-not-released"],
    },
    Blind {
        to: "what a step says comes in",
        sees: |case| steps(case, |step| step["lets_in"] = "water".into()),
        differs: &["lets-in-unsaid"],
    },
    Blind {
        to: "how high a pressure is",
        sees: |case| deeds(case, "let_in", |into| without(into, "pressure")),
        differs: &["pressure-falls", "not-tested"],
    },
    Blind {
        to: "what drains are",
        sees: |case| {
            each(case, "/points", |point| {
                point["kind"] = "isolating".into();
            });
        },
        differs: &["drain-open", "opened-before-locked", "drain-shut"],
    },
    Blind {
        to: "the height of each pass",
        sees: |case| {
            each(case, "/joints", |joint| {
                joint["passes"] = json!(["7 N·m", "13 N·m", "20.5 N·m"]);
            });
        },
        differs: &["pass-order"],
    },
];

/// Each is the true proof, run on a text in which what it is blind to does not stand.
#[test]
fn a_proof_blind_to_a_part_of_the_model_is_caught_by_each_code() {
    let wanted = BLIND
        .iter()
        .flat_map(|blind| blind.differs.iter().map(move |code| (blind, *code)));
    let open = caught(wanted.collect(), |case, (blind, code)| {
        let mut seen = case.clone();
        (blind.sees)(&mut seen);
        let Some((proof, simulator)) = proved(&seen).and_then(|said| apart(&said, &faults(case)))
        else {
            return false;
        };
        proof
            .iter()
            .chain(&simulator)
            .any(|(found, _)| found == code)
    });
    let open: Vec<(&str, &str)> = open
        .into_iter()
        .map(|(blind, code)| (blind.to, code))
        .collect();
    assert!(open.is_empty(), "not caught: {open:?}");
}

/// The proof of a neighbour of each case: one step left out, the next two swapped, the one after them done twice.
#[test]
fn a_proof_of_a_neighbouring_text_is_caught() {
    let mut told = BTreeSet::new();
    let (mut looked, mut differed) = (0, 0);
    for number in 0..CASES {
        let case = case(number);
        let slow = faults(&case);
        let Some(neighbour) = neighbour(&case, usize::try_from(number).unwrap_or(0)) else {
            continue;
        };
        let Some(said) = proved(&neighbour) else {
            continue;
        };
        looked += 1;
        if let Some((proof, simulator)) = apart(&said, &slow) {
            differed += 1;
            told.extend(proof.into_iter().chain(simulator).map(|(code, _)| code));
        }
    }
    assert!(looked > 1_500, "{looked}");
    assert!(differed * 2 > looked, "{differed} of {looked}");
    // One neighbour a case reaches most codes, not all: the passes of a joint, for one, stand in no step.
    assert!(told.len() >= 55, "{} codes: {told:?}", told.len());
}

fn neighbour(case: &Value, number: usize) -> Option<Value> {
    let mut case = case.clone();
    let steps = case["sections"][0]["steps"].as_array_mut()?;
    let at = number / 3 % steps.len().checked_sub(1)?;
    match number % 3 {
        0 => drop(steps.remove(at)),
        1 => steps.swap(at, at + 1),
        _ => {
            let mut again = steps[at].clone();
            again["id"] = "once more".into();
            steps.insert(at + 1, again);
        }
    }
    Some(case)
}
