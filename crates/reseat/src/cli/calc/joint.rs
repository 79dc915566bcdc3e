//! `reseat calc preload`, `torque` and `order`: fasteners.

use reseat_measure::joint::MOST_PERCENT_OF_PROOF;
use reseat_measure::{Bolt, Dimension, OrderError, Pattern, order};
use serde_json::json;

use super::super::Stop;
use super::input::{grade, number, percent, quantity, thread, wrong};
use super::{Said, rounded};

/// A bolt and how its thread slides.
#[derive(Debug, clap::Args)]
struct BoltArgs {
    /// Thread: '3/8-16 UNC', 'M16×2', M16
    #[arg(long, allow_hyphen_values = true)]
    thread: String,
    /// Grade or class: 'SAE J429 5', 8.8, A4-80, 'A193 B7'
    #[arg(long, allow_hyphen_values = true)]
    grade: String,
    /// Nut factor K of T = K·D·F, for example 0.2
    #[arg(long, allow_hyphen_values = true, value_name = "K")]
    nut_factor: String,
}

impl BoltArgs {
    fn read(&self) -> Result<(Bolt, f64), Stop> {
        let bolt = Bolt::new(thread(&self.thread)?, grade(&self.grade)?)
            .map_err(|error| wrong("--grade", error))?;
        Ok((bolt, number("--nut-factor", &self.nut_factor)?))
    }
}

#[derive(Debug, clap::Args)]
pub(super) struct Preload {
    #[command(flatten)]
    bolt: BoltArgs,
    /// Torque at the fastener
    #[arg(long, allow_hyphen_values = true)]
    torque: String,
}

pub(super) fn preload(args: &Preload) -> Result<Said, Stop> {
    let (bolt, nut_factor) = args.bolt.read()?;
    let torque = quantity("--torque", &args.torque, Dimension::Torque)?;
    let found = bolt
        .preload(&torque, nut_factor)
        .map_err(|error| wrong("calc preload", error))?;
    let thread = bolt.thread();
    Ok(Said::new(
        format!(
            "{torque} on {thread} at K {nut_factor} gives {} N ({} lbf), {} % of the {} of {}{}. Stress area {} mm² ({} in²).",
            rounded(found.tension_n, 4),
            rounded(found.tension_lbf, 4),
            rounded(found.percent_of_proof, 4),
            bolt.strength().basis,
            bolt.grade(),
            warned(found.percent_of_proof),
            rounded(thread.stress_area_mm2(), 4),
            rounded(thread.stress_area_in2(), 4),
        ),
        json!({
            "stress_area_mm2": thread.stress_area_mm2(),
            "stress_area_in2": thread.stress_area_in2(),
            "preload_n": found.tension_n,
            "preload_lbf": found.tension_lbf,
            "percent_of_proof": found.percent_of_proof,
        }),
    ))
}

/// What to think of a share of proof that is more than a window may reach.
fn warned(percent_of_proof: f64) -> &'static str {
    if percent_of_proof > 100.0 {
        ": above it, so the bolt would stretch for good"
    } else if percent_of_proof > MOST_PERCENT_OF_PROOF {
        ": above 75 %, which needs an engineer's reason"
    } else {
        ""
    }
}

#[derive(Debug, clap::Args)]
pub(super) struct Torque {
    #[command(flatten)]
    bolt: BoltArgs,
    /// Percent of proof to reach
    #[arg(long, allow_hyphen_values = true)]
    percent: String,
}

pub(super) fn torque(args: &Torque) -> Result<Said, Stop> {
    let (bolt, nut_factor) = args.bolt.read()?;
    let share = percent("--percent", &args.percent)?;
    let found = bolt
        .tightening(share, nut_factor)
        .map_err(|error| wrong("calc torque", error))?;
    Ok(Said::new(
        format!(
            "{} at K {nut_factor} reaches {share} % of the {} of {} at {} N·m ({} lbf·ft), a tension of {} N{}.",
            bolt.thread(),
            bolt.strength().basis,
            bolt.grade(),
            rounded(found.torque_nm, 4),
            rounded(found.torque_lbf_ft, 4),
            rounded(found.tension_n, 4),
            warned(share),
        ),
        json!({
            "torque_nm": found.torque_nm,
            "torque_lbf_ft": found.torque_lbf_ft,
            "preload_n": found.tension_n,
        }),
    ))
}

#[derive(Debug, clap::Args)]
pub(super) struct Order {
    /// How many fasteners, from 2 to 64
    #[arg(allow_hyphen_values = true)]
    fasteners: String,
    /// Way round: cross, cross-2 (12 fasteners), circular, straight (a row)
    #[arg(
        long,
        default_value = "cross",
        allow_hyphen_values = true,
        value_name = "PATTERN"
    )]
    pattern: String,
}

pub(super) fn order_of(args: &Order) -> Result<Said, Stop> {
    let typed = args.fasteners.trim();
    let count = typed.parse::<u64>().map_err(|_| {
        wrong(
            "FASTENERS",
            format!("{typed:?} is no count of fasteners; type a whole number from 2 to 64"),
        )
    })?;
    let pattern = args
        .pattern
        .parse::<Pattern>()
        .map_err(|error| wrong("--pattern", error))?;
    let positions = u8::try_from(count)
        .map_err(|_| OrderError::Count(count))
        .and_then(|count| order(count, pattern))
        .map_err(|error| wrong("calc order", error))?;
    let shown: Vec<String> = positions.iter().map(u8::to_string).collect();
    let numbered = if pattern == Pattern::Straight {
        "along the row"
    } else {
        "clockwise from the top"
    };
    Ok(Said::new(
        format!(
            "Tighten in this order, {pattern}, positions numbered {numbered}: {}.",
            shown.join(", ")
        ),
        json!({"order": positions}),
    ))
}
