//! `reseat calc`: the arithmetic of the screens, for the bench and for scripts.
//!
//! Nothing is worked out here: every figure comes from `reseat-measure`. Each command answers in a rounded sentence, or with
//! `--json` in unrounded numbers whose keys end in their unit.

mod bench;
mod input;
mod joint;
mod life;
mod reading;

use clap::Subcommand;
use serde_json::Value;

use super::{Answer, Context, Stop, table};

#[derive(Debug, clap::Args)]
#[command(subcommand_required = true, arg_required_else_help = true)]
pub(super) struct Args {
    /// Write JSON with unrounded numbers instead of a sentence
    #[arg(long, global = true)]
    json: bool,
    #[command(subcommand)]
    sum: Sum,
}

#[derive(Debug, Subcommand)]
enum Sum {
    /// Convert a quantity to another unit
    Convert(reading::Convert),
    /// Judge a reading against its window
    Judge(reading::Judge),
    /// Give the wrench setting for a length-changing adapter
    Adapter(reading::AdapterArgs),
    /// Give the tension and percent of proof that a torque makes
    Preload(joint::Preload),
    /// Give the torque for a percent of proof
    Torque(joint::Torque),
    /// Give the order of tightening
    Order(joint::Order),
    /// Give the leak from a pressure hold, temperature taken out
    Decay(bench::Decay),
    /// Give the seat leakage allowed by ANSI/FCI 70-2 or API 598
    Seat(bench::Seat),
    /// Give the rate of a coil spring, and how far a load presses it
    Spring(bench::Spring),
    /// Give the set-point error in percent of the absolute set pressure
    SetpointError(bench::SetpointError),
    /// Fit lives of parts: Weibull with units still good, and Kaplan–Meier
    Life(life::LifeArgs),
}

/// An answer: sentences, perhaps a table under them, and the same in numbers.
struct Said {
    sentences: Vec<String>,
    table: Option<(Vec<&'static str>, Vec<Vec<String>>)>,
    json: Value,
}

impl Said {
    fn new(sentence: String, json: Value) -> Self {
        Self {
            sentences: vec![sentence],
            table: None,
            json,
        }
    }
}

pub(super) fn run(args: &Args, context: &mut Context) -> Result<Answer, Stop> {
    let said = match &args.sum {
        Sum::Convert(args) => reading::convert(args),
        Sum::Judge(args) => reading::judge(args),
        Sum::Adapter(args) => reading::adapter(args),
        Sum::Preload(args) => joint::preload(args),
        Sum::Torque(args) => joint::torque(args),
        Sum::Order(args) => joint::order_of(args),
        Sum::Decay(args) => bench::decay(args),
        Sum::Seat(args) => bench::seat(args),
        Sum::Spring(args) => bench::spring(args),
        Sum::SetpointError(args) => bench::setpoint_error(args),
        Sum::Life(args) => life::life(args),
    }?;
    let out = &mut context.out;
    if args.json {
        out.json(&said.json)?;
        return Ok(Answer::Yes);
    }
    for sentence in &said.sentences {
        out.line(sentence)?;
    }
    if let Some((heading, rows)) = &said.table {
        table::print(out, heading, rows)?;
    }
    Ok(Answer::Yes)
}

/// A number with so many significant digits, as people write it: no trailing zeros, a power of ten only below a
/// ten-millionth and from a million million on.
fn rounded(value: f64, digits: usize) -> String {
    let scientific = format!("{value:.*e}", digits.saturating_sub(1));
    // The power is taken after rounding, so that 9.9999 becomes 10 and not 10.00.
    let power: i32 = scientific
        .split_once('e')
        .and_then(|(_, power)| power.parse().ok())
        .unwrap_or(0);
    if !(-7..12).contains(&power) {
        return scientific;
    }
    let decimals = (i32::try_from(digits).unwrap_or(i32::MAX) - 1 - power).max(0);
    let plain = format!("{value:.*}", usize::try_from(decimals).unwrap_or(0));
    if plain.contains('.') {
        plain.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        plain
    }
}

/// The most that is allowed, rounded down so that what is printed is never more than what is allowed.
fn rounded_down(value: f64, digits: usize) -> String {
    // Sums of binary digits stand beside the figure meant by less than this share.
    let value = value * (1.0 + 1e-12);
    let power = value.abs().log10().floor();
    if !power.is_finite() {
        return rounded(value, digits);
    }
    let digits_after = i32::try_from(digits).unwrap_or(i32::MAX) - 1;
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a power of ten of a double is within ±324"
    )]
    let step = 10_f64.powi(digits_after - power as i32);
    rounded((value * step).floor() / step, digits)
}

#[cfg(test)]
mod tests {
    use super::{rounded, rounded_down};

    #[test]
    fn an_allowance_is_never_printed_larger_than_it_is() {
        let cases = [
            (0.220_158, "0.2201"),
            (1.467_72, "1.467"),
            (0.45, "0.45"),
            (0.3, "0.3"),
            (28.4, "28.4"),
            (0.0, "0"),
            (9.999_96, "9.999"),
            (499.999_9, "499.9"),
            (12_345.9, "12340"),
        ];
        for (value, text) in cases {
            assert_eq!(rounded_down(value, 4), text);
        }
    }

    #[test]
    fn rounding_is_to_significant_digits() {
        let cases = [
            (0.0, "0"),
            (300.0, "300"),
            (33.895_448_7, "33.9"),
            (66.666_67, "66.67"),
            (9.999_96, "10"),
            (22_063.4, "22063"),
            (0.000_296_57, "0.0002966"),
            (-0.125, "-0.125"),
            (2.965_7e-10, "2.966e-10"),
            (4.813_137e14, "4.813e14"),
        ];
        for (value, text) in cases {
            assert_eq!(rounded(value, 4), text);
        }
        assert_eq!(rounded(33.895_448_7, 6), "33.8954");
    }
}
