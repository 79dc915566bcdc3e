//! The proof against a simulator that shares nothing with it, on thousands of small assemblies made at random.
//!
//! Each case is a sound little procedure (sources with points, drains and zero sides, a stack of parts under each other,
//! joints, a cover, a test, sometimes an option) with none to three slips put in on purpose: a step left out, doubled,
//! moved or swapped, a deed left out, a name or count changed, a hold or question gone, a declaration turned round. Proof and
//! simulator must name the same codes at the same steps. A case on which they differ is made smaller before it is shown.

#![allow(
    clippy::needless_pass_by_value,
    reason = "JSON is written where it is handed on"
)]

#[path = "simulation/broken.rs"]
mod broken;
#[path = "simulation/cases.rs"]
mod cases;
#[path = "simulation/simulator.rs"]
mod simulator;

use std::collections::BTreeSet;
use std::fmt::Write as _;

use cases::case;
use reseat_procedure::check;
use serde_json::Value;
use simulator::{Fault, KNOWN, faults};

/// Cases a run looks at; each is made from its number alone.
const CASES: u64 = 2_000;

/// Codes with their steps, as proof and simulator give them.
type Answer = BTreeSet<Fault>;

/// What the proof says about a case, on the codes the simulator knows. None where the reader refuses it.
fn proved(case: &Value) -> Option<Answer> {
    let findings = check(case.to_string().as_bytes());
    let unread = [
        "unknown-name",
        "missing-member",
        "wrong-kind",
        "empty-list",
        "duplicate-name",
        "bad-number",
        "unknown-member",
        "not-json",
    ];
    if findings
        .iter()
        .any(|finding| unread.contains(&finding.code))
    {
        return None;
    }
    let known = findings
        .into_iter()
        .filter(|finding| KNOWN.contains(&finding.code));
    Some(
        known
            .map(|finding| (finding.code.to_owned(), finding.step.unwrap_or_default()))
            .collect(),
    )
}

/// What only the proof says, and what only the simulator says; none where both say the same.
fn apart(proof: &Answer, slow: &Answer) -> Option<(Vec<Fault>, Vec<Fault>)> {
    let only =
        |one: &Answer, other: &Answer| -> Vec<Fault> { one.difference(other).cloned().collect() };
    let (proof, slow) = (only(proof, slow), only(slow, proof));
    (!proof.is_empty() || !slow.is_empty()).then_some((proof, slow))
}

fn difference(case: &Value) -> Option<(Vec<Fault>, Vec<Fault>)> {
    apart(&proved(case)?, &faults(case))
}

/// Steps and declarations are taken away for as long as the two still differ.
fn smaller(mut case: Value) -> Value {
    loop {
        let mut shrunk = false;
        for list in [
            "/sections/0/steps",
            "/joints",
            "/parts",
            "/covers",
            "/options",
            "/zero",
            "/points",
            "/energies",
        ] {
            let mut at = case
                .pointer(list)
                .and_then(Value::as_array)
                .map_or(0, Vec::len);
            while at > 0 {
                at -= 1;
                let mut less = case.clone();
                less.pointer_mut(list)
                    .and_then(Value::as_array_mut)
                    .map(|list| list.remove(at));
                if difference(&less).is_some() {
                    (case, shrunk) = (less, true);
                }
            }
        }
        if !shrunk {
            return case;
        }
    }
}

fn shown(case: &Value) -> String {
    let mut text = String::new();
    for list in [
        "/options",
        "/energies",
        "/points",
        "/zero",
        "/parts",
        "/joints",
        "/sections/0/steps",
    ] {
        for thing in case
            .pointer(list)
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
        {
            writeln!(text, "{list} {thing}").unwrap_or_else(|_| unreachable!("a text takes all"));
        }
    }
    text
}

/// What a share of the cases came to: how many were read and how many of those are sound, and each code said.
#[derive(Default)]
struct Came {
    compared: u64,
    sound: u64,
    told: BTreeSet<String>,
}

fn compared(cases: impl Iterator<Item = u64>) -> Came {
    let mut came = Came::default();
    for number in cases {
        let case = case(number);
        if let Some((proof, slow)) = difference(&case) {
            let small = smaller(case);
            unreachable!(
                "case {number}: only the proof says {proof:?}, only the simulator {slow:?}; smaller:\n{}{:?}",
                shown(&small),
                difference(&small)
            );
        }
        if let Some(faults) = proved(&case) {
            came.compared += 1;
            came.sound += u64::from(faults.is_empty());
            came.told.extend(faults.into_iter().map(|(code, _)| code));
        }
    }
    came
}

#[test]
fn proof_and_simulator_name_the_same_faults_at_the_same_steps() {
    let (one, other) = std::thread::scope(|scope| {
        let other = scope.spawn(|| compared((0..CASES).skip(1).step_by(2)));
        let one = compared((0..CASES).step_by(2));
        (
            one,
            other
                .join()
                .unwrap_or_else(|said| std::panic::resume_unwind(said)),
        )
    });
    let (read, sound) = (one.compared + other.compared, one.sound + other.sound);
    // The cases must be worth the comparison: nearly all are read, many are sound, and every code comes up.
    assert!(read * 10 > CASES * 9, "{read} of {CASES} were read");
    assert!(sound * 10 > read, "{sound} of {read} are sound");
    let told = |code: &&str| one.told.contains(*code) || other.told.contains(*code);
    let never: Vec<&str> = KNOWN.into_iter().filter(|code| !told(code)).collect();
    assert!(never.is_empty(), "no case has {never:?}");
}
