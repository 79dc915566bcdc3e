//! What replaying and judging a joint of 24 fasteners in 4 passes costs, beside its entries parsed and judged one by one
//! without any state.
//!
//! The joint is the bonnet joint of FV-3302 made larger. An entry of an earlier pass says to which torque a fastener was
//! pulled, one of the last pass what the dial showed. Judging is what `verify` does: the digits on the scale of the
//! instrument, the window of the procedure's text, place, outcome and distance, all worked out anew.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a benchmark measures time and reports on standard output, and stops where its own inputs are wrong"
)]

#[path = "../tests/rebuild_site/mod.rs"]
mod rebuild_site;

use std::hint::black_box;
use std::time::Instant;

use rebuild_site::Site;
use reseat_procedure::{Choices, Procedure};
use reseat_record::log::Sealed;
use reseat_record::rebuild::{Rebuild, recheck};

/// Interleaved rounds; the first is thrown away.
const ROUNDS: usize = 15;
/// Repeats inside one round.
const REPEATS: u32 = 20;
const GOAL: f64 = 1.5;

/// FV-3302 with 24 bonnet nuts and a pass more.
fn larger() -> &'static [u8] {
    let passes = "[\"40 N·m\", \"80 N·m\", \"122 N·m\"]";
    let text = include_str!("../../../procedures/FV-3302.json")
        .replacen("\"fasteners\": 8,", "\"fasteners\": 24,", 1)
        .replacen(
            passes,
            "[\"40 N·m\", \"60 N·m\", \"90 N·m\", \"122 N·m\"]",
            1,
        );
    text.leak().as_bytes()
}

/// The entries before the joint, and those of the joint from the first fastener to the last.
fn joint(bytes: &'static [u8]) -> (Vec<Sealed>, Vec<Sealed>) {
    let mut site = Site::following(bytes, Choices::default());
    site.start();
    site.until("bottom-ring-on");
    let of_joint = |sealed: &Sealed| {
        let body = &sealed.entry.body;
        matches!(sealed.entry.kind.as_str(), "pulled/1" | "reading/1")
            && body.contains_key("fastener")
            && body.get("joint").is_some_and(|joint| joint == "J1")
    };
    let first = site.entries.iter().position(of_joint).unwrap();
    let last = site.entries.iter().rposition(of_joint).unwrap();
    let joint = site.entries[first..=last].to_vec();
    let fasteners = joint.iter().filter(|sealed| of_joint(sealed)).count();
    assert_eq!(fasteners, 24 * 4);
    (site.entries[..first].to_vec(), joint)
}

/// Reads every entry and judges it alone; how many were found at fault.
fn singly(procedure: &Procedure, joint: &[Vec<u8>]) -> usize {
    let faults = |bytes: &Vec<u8>| {
        let sealed = Sealed::read(bytes).unwrap();
        recheck(procedure, std::iter::once(&sealed)).len()
    };
    joint.iter().map(faults).sum()
}

/// Reads every entry, folds it into the rebuild, and judges them; how many were found at fault.
fn replayed(procedure: &Procedure, rebuild: &mut Rebuild, joint: &[Vec<u8>]) -> usize {
    let mut read = Vec::with_capacity(joint.len());
    for bytes in joint {
        let sealed = Sealed::read(bytes).unwrap();
        rebuild.apply(&sealed);
        read.push(sealed);
    }
    black_box(rebuild.joint_view("J1"));
    recheck(procedure, &read).len()
}

/// Milliseconds of one act, each on a thing of its own that was made before and goes away after.
fn milliseconds<T>(on: &T, act: impl Fn(&mut T) -> usize) -> f64
where
    T: Clone,
{
    let mut things: Vec<T> = (0..REPEATS).map(|_| on.clone()).collect();
    let began = Instant::now();
    for thing in &mut things {
        black_box(act(thing));
    }
    began.elapsed().as_secs_f64() * 1e3 / f64::from(REPEATS)
}

fn middle(values: &mut [f64]) -> (f64, f64, f64) {
    values.sort_by(f64::total_cmp);
    (
        values[values.len() / 2],
        values[0],
        values[values.len() - 1],
    )
}

fn main() {
    let text = larger();
    let (before, joint) = joint(text);
    let procedure = reseat_procedure::read(text).unwrap();
    let before = Rebuild::replay(reseat_procedure::read(text).unwrap(), &before).unwrap();
    let bytes: Vec<Vec<u8>> = joint.iter().map(|sealed| sealed.bytes.clone()).collect();
    assert_eq!(
        replayed(&procedure, &mut before.clone(), &bytes),
        0,
        "every verdict stands"
    );
    let (mut own, mut other, mut ratios) = (Vec::new(), Vec::new(), Vec::new());
    for round in 0..=ROUNDS {
        let single = milliseconds(&(), |()| singly(&procedure, &bytes));
        let whole = milliseconds(&before, |before| replayed(&procedure, before, &bytes));
        if round > 0 {
            own.push(whole);
            other.push(single);
            ratios.push(whole / single);
        }
    }
    let count = bytes.len();
    println!("a joint of 24 fasteners in 4 passes, {count} entries, {ROUNDS} rounds, interleaved");
    for (name, values) in [
        ("replayed and judged", &mut own),
        ("parsed and judged singly", &mut other),
    ] {
        let (median, low, high) = middle(values);
        println!("  {name:<26} {median:>8.3} ms   ({low:.3} to {high:.3})");
    }
    let (median, low, high) = middle(&mut ratios);
    let word = if median <= GOAL { "reached" } else { "missed" };
    println!(
        "  replayed to singly {median:>16.2} ×    ({low:.2} to {high:.2}), limit {GOAL}: {word}"
    );
}
