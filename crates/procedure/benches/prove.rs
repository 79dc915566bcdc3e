//! What a proof costs: beside reading the same file as plain JSON, and by step and route as both grow.
//!
//! Run with `cargo bench -p reseat-procedure`. The texts are made here from the shipped FV-3302: its whole unit as often
//! as is needed (each copy with parts, joints and steps of its own name), filled up with plain acts, and one option whose
//! values give the routes. Interleaved rounds; medians with their spread; the ratios are the measure.

use std::collections::BTreeSet;
use std::hint::black_box;
use std::time::Instant;

use reseat_procedure::{all_choices, builtin, check, prove, read};
use serde_json::{Map, Value, json};

/// Rounds, interleaved, so that a slow minute slows all sides alike.
const ROUNDS: usize = 11;
/// Most times of plain JSON that reading and proving 190 steps on 6 routes may take.
const GOAL_JSON: f64 = 20.0;
/// Most times that a step on a route may cost at 2,000 × 200 of what it costs at 190 × 6.
const GOAL_GROWTH: f64 = 1.5;

/// Members whose words belong to the format and are no names.
const WORDS: [&str; 11] = [
    "how",
    "kind",
    "pattern",
    "verify",
    "hold",
    "word",
    "condition",
    "leads",
    "grade",
    "thread",
    "text",
];

/// Lists of named things that a copy has of its own.
const OWN: [&str; 7] = [
    "energies", "points", "chambers", "tests", "zero", "parts", "covers",
];

fn list(of: &Value, member: &str) -> Vec<Value> {
    of[member].as_array().cloned().unwrap_or_default()
}

/// Names of everything a copy has of its own, readings included; steps are renamed apart.
fn names(of: &Value) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    let own = OWN.into_iter().chain(["joints"]);
    for thing in own.flat_map(|member| list(of, member)) {
        all.extend(thing["id"].as_str().map(str::to_owned));
    }
    for step in list(of, "sections")
        .iter()
        .flat_map(|section| list(section, "steps"))
    {
        for ask in list(&step, "asks") {
            let named = [&ask["reading"], &ask["computed"]];
            all.extend(
                named
                    .iter()
                    .filter_map(|ask| ask["id"].as_str().map(str::to_owned)),
            );
        }
    }
    all
}

fn renamed(value: &Value, names: &BTreeSet<String>, copy: usize) -> Value {
    match value {
        Value::String(text) if names.contains(text) => json!(format!("{text} #{copy}")),
        Value::Array(items) => items
            .iter()
            .map(|item| renamed(item, names, copy))
            .collect(),
        Value::Object(members) => members
            .iter()
            .map(|(name, value)| {
                let kept = WORDS.contains(&name.as_str()) && value.is_string();
                let value = match value.as_object() {
                    _ if kept => value.clone(),
                    // Pressures of a test stand under the names of its chambers.
                    Some(pressures) if name == "at" => pressures
                        .iter()
                        .map(|(chamber, at)| (format!("{chamber} #{copy}"), at.clone()))
                        .collect::<Map<String, Value>>()
                        .into(),
                    _ => renamed(value, names, copy),
                };
                (name.clone(), value)
            })
            .collect::<Map<String, Value>>()
            .into(),
        other => other.clone(),
    }
}

/// What is asked once, however many units are worked on together.
const ONCE: [&str; 8] = [
    "own_locks",
    "own_locks_off",
    "dispositions",
    "decisions",
    "balance",
    "tools_out",
    "zero",
    "sign",
];

fn asks_once(step: &Value) -> bool {
    let once = list(step, "asks")
        .iter()
        .any(|ask| ONCE.iter().any(|word| ask == word || !ask[word].is_null()));
    let proves = |deed: &Value| !deed["prove"].is_null();
    once || !step["hold"].is_null() && list(step, "does").iter().any(proves)
}

/// One step for all copies: what it does is done to each; what a copy answers for itself is answered for all.
fn joined(steps: &[Value]) -> Value {
    let mut all = steps[0].clone();
    let does: Vec<Value> = steps.iter().flat_map(|step| list(step, "does")).collect();
    if !does.is_empty() {
        all["does"] = does.into();
    }
    for at in 0..list(&all, "asks").len() {
        let vents: Vec<Value> = steps
            .iter()
            .flat_map(|step| list(&step["asks"][at]["zero"], "by_vent"))
            .collect();
        if !vents.is_empty() {
            all["asks"][at]["zero"]["by_vent"] = vents.into();
        }
    }
    all
}

/// A section of all copies at once, as a crew works on several units side by side: each act on every unit before the
/// next, so that one zero, one count and one signature serve them all and nothing is found.
fn side_by_side(copies: &[Value], section: usize) -> Vec<Value> {
    let of_copies: Vec<Vec<Value>> = copies
        .iter()
        .map(|copy| list(&copy["sections"][section], "steps"))
        .collect();
    let mut all = Vec::new();
    for at in 0..of_copies[0].len() {
        let mut same: Vec<Value> = of_copies.iter().map(|steps| steps[at].clone()).collect();
        for (number, step) in same.iter_mut().enumerate() {
            let id = step["id"].as_str().unwrap_or_default();
            step["id"] = json!(format!("{id} #{number}"));
        }
        if asks_once(&same[0]) {
            all.push(joined(&same));
        } else {
            all.extend(same);
        }
    }
    all
}

/// A text of so many steps in all, and so many routes.
fn text(steps: usize, routes: usize) -> Vec<u8> {
    let (_, bytes) = builtin()[0];
    let one: Value = serde_json::from_slice(bytes).unwrap_or_default();
    let names = names(&one);
    let in_one: usize = list(&one, "sections")
        .iter()
        .map(|section| list(section, "steps").len())
        .sum();
    let copies: Vec<Value> = (1..=steps / in_one)
        .map(|copy| renamed(&one, &names, copy))
        .collect();
    let mut whole = one.clone();
    for member in OWN.into_iter().chain(["joints"]) {
        whole[member] = copies.iter().flat_map(|copy| list(copy, member)).collect();
    }
    let mut made = 0;
    for at in 0..list(&one, "sections").len() {
        let all = side_by_side(&copies, at);
        made += all.len();
        whole["sections"][at]["steps"] = all.into();
    }
    if let Some(first) = whole["sections"][0]["steps"].as_array_mut() {
        for extra in 0..steps - made {
            let value = (extra % routes).to_string();
            first.push(json!({"id": format!("tell {extra}"), "text": "Tell the control room how the work stands.", "when": {"route": [value]}}));
        }
    }
    let values: Vec<Value> = (0..routes)
        .map(|value| json!({"id": value.to_string(), "label": value.to_string()}))
        .collect();
    whole["options"] = json!([{"id": "route", "question": "Which route?", "values": values}]);
    serde_json::to_vec_pretty(&whole).unwrap_or_default()
}

/// Milliseconds of one call, the mean over `repeats`.
#[expect(
    clippy::disallowed_methods,
    reason = "a benchmark measures time; the crate it measures does not"
)]
fn milliseconds<T>(repeats: u32, mut act: impl FnMut() -> T) -> f64 {
    let began = Instant::now();
    for _ in 0..repeats {
        black_box(act());
    }
    began.elapsed().as_secs_f64() * 1e3 / f64::from(repeats)
}

/// Median, least and most.
fn spread(mut values: Vec<f64>) -> (f64, f64, f64) {
    values.sort_by(f64::total_cmp);
    (
        values[values.len() / 2],
        values[0],
        values[values.len() - 1],
    )
}

#[expect(clippy::print_stdout, reason = "a benchmark prints")]
fn tell(name: &str, unit: &str, values: Vec<f64>) {
    let (middle, low, high) = spread(values);
    println!("{name}: {middle:.3} {unit} (spread {low:.3}..{high:.3})");
}

/// How the text stands: what is measured must be what the names say, and be provable.
#[expect(
    clippy::print_stdout,
    clippy::expect_used,
    reason = "a benchmark prints, and stops where its own inputs are wrong"
)]
fn stands(name: &str, bytes: &[u8], steps: usize, routes: usize) {
    let procedure = read(bytes).expect("the text made here is read");
    let found: usize = procedure
        .sections
        .iter()
        .map(|section| section.steps.len())
        .sum();
    assert_eq!((found, all_choices(&procedure).len()), (steps, routes));
    // The ordinary case is a right procedure: a proof that finds much spends its time on sentences.
    let findings: Vec<String> = check(bytes)
        .iter()
        .map(|finding| format!("{} {}", finding.code, finding.message))
        .collect();
    assert!(findings.is_empty(), "{name}: {findings:#?}");
    println!(
        "{name}: {steps} steps, {routes} routes, {} bytes, no findings",
        bytes.len()
    );
}

#[expect(
    clippy::print_stdout,
    clippy::cast_precision_loss,
    clippy::expect_used,
    reason = "a benchmark prints; its counts are small; its texts were read before"
)]
fn main() {
    const SMALL: (usize, usize) = (190, 6);
    const LARGE: (usize, usize) = (2_000, 200);
    let (small, large) = (text(SMALL.0, SMALL.1), text(LARGE.0, LARGE.1));
    stands("small", &small, SMALL.0, SMALL.1);
    stands("large", &large, LARGE.0, LARGE.1);
    let [
        mut json_ms,
        mut small_ms,
        mut large_ms,
        mut small_proof,
        mut large_proof,
    ] = [const { Vec::new() }; 5];
    let (small_read, large_read) = (
        read(&small).expect("read before"),
        read(&large).expect("read before"),
    );
    let [mut to_json, mut growth] = [const { Vec::new() }; 2];
    for round in 0..=ROUNDS {
        let json = milliseconds(50, || {
            serde_json::from_slice::<Value>(black_box(&small)).is_ok()
        });
        let near = milliseconds(20, || check(black_box(&small)));
        let far = milliseconds(1, || check(black_box(&large)));
        // Growth is of the proof alone: reading is done once however many routes there are, and would flatter many.
        let near_proof = milliseconds(20, || prove(black_box(&small_read)));
        let far_proof = milliseconds(1, || prove(black_box(&large_read)));
        if round == 0 {
            continue; // the first warms caches
        }
        json_ms.push(json);
        small_ms.push(near);
        large_ms.push(far);
        to_json.push(near / json);
        let each = |ms: f64, (steps, routes): (usize, usize)| ms / (steps * routes) as f64;
        growth.push(each(far_proof, LARGE) / each(near_proof, SMALL));
        small_proof.push(near_proof);
        large_proof.push(far_proof);
    }
    tell("serde_json reads 190 steps into values", "ms", json_ms);
    tell("read and prove, 190 steps on 6 routes", "ms", small_ms);
    tell("read and prove, 2,000 steps on 200 routes", "ms", large_ms);
    tell("prove alone, 190 steps on 6 routes", "ms", small_proof);
    tell("prove alone, 2,000 steps on 200 routes", "ms", large_proof);
    tell(
        &format!("190 × 6 to serde_json, goal at most {GOAL_JSON}"),
        "×",
        to_json,
    );
    tell(
        &format!("step and route at 2,000 × 200 to 190 × 6, goal at most {GOAL_GROWTH}"),
        "×",
        growth,
    );
    println!("{ROUNDS} rounds");
}
