//! What judging one reading costs, as a ratio to one SHA-256 of 256 bytes taken in the same minute. Run with `cargo bench -p reseat-measure`.

use std::hint::black_box;
use std::time::Instant;

use reseat_measure::{Quantity, Rule, Uncertainty, Window, decide};
use sha2::{Digest, Sha256};

/// Rounds, interleaved, so that a slow minute slows both sides alike.
const ROUNDS: usize = 15;

/// Repeats inside one round.
const REPEATS: u32 = 20_000;

/// Nanoseconds of one call, over a round.
#[expect(
    clippy::disallowed_methods,
    reason = "a benchmark measures time; the crate it measures does not"
)]
fn nanoseconds<T>(mut act: impl FnMut() -> T) -> f64 {
    let began = Instant::now();
    for _ in 0..REPEATS {
        black_box(act());
    }
    began.elapsed().as_secs_f64() * 1e9 / f64::from(REPEATS)
}

fn median(mut values: Vec<f64>) -> (f64, f64, f64) {
    values.sort_by(f64::total_cmp);
    (
        values[values.len() / 2],
        values[0],
        values[values.len() - 1],
    )
}

#[expect(
    clippy::print_stdout,
    clippy::expect_used,
    reason = "a benchmark prints, and stops where its own inputs are wrong"
)]
fn main() {
    let bytes = [0x5a_u8; 256];
    let window = Window::parse("115..130 N·m").expect("window");
    let same = Quantity::parse("122.5 N·m").expect("reading");
    let other = Quantity::parse("90.5 lbf·ft").expect("reading");
    let uncertainty = Uncertainty::parse("2 %", "2").expect("uncertainty");
    let cases: [(&str, &dyn Fn() -> bool); 5] = [
        ("place, scale in the window's unit", &|| {
            window.judge(black_box(&same)).is_ok()
        }),
        ("place, scale in another unit", &|| {
            window.judge(black_box(&other)).is_ok()
        }),
        ("four outcomes with probability, same unit", &|| {
            decide(&window, black_box(&same), Some(&uncertainty), Rule::Four).is_ok()
        }),
        ("four outcomes with probability, another unit", &|| {
            decide(&window, black_box(&other), Some(&uncertainty), Rule::Four).is_ok()
        }),
        ("parsed from text, then four outcomes", &|| {
            Quantity::parse(black_box("122.5 N·m")).is_ok_and(|reading| {
                decide(&window, &reading, Some(&uncertainty), Rule::Four).is_ok()
            })
        }),
    ];
    let mut hash_ns = Vec::new();
    let mut ratios: Vec<Vec<f64>> = vec![Vec::new(); cases.len()];
    let mut own: Vec<Vec<f64>> = vec![Vec::new(); cases.len()];
    for _ in 0..ROUNDS {
        let hash = nanoseconds(|| Sha256::digest(black_box(bytes)));
        hash_ns.push(hash);
        for (at, (_, act)) in cases.iter().enumerate() {
            let ns = nanoseconds(act);
            own[at].push(ns);
            ratios[at].push(ns / hash);
        }
    }
    let (middle, low, high) = median(hash_ns);
    println!("SHA-256 of 256 bytes: {middle:.0} ns (spread {low:.0}..{high:.0})");
    for ((name, _), (ratio, ns)) in cases.iter().zip(ratios.into_iter().zip(own)) {
        let ((middle, low, high), (ns, ..)) = (median(ratio), median(ns));
        println!("{name}: {middle:.2} × (spread {low:.2}..{high:.2}), {ns:.0} ns; limit 20 ×");
    }
}
