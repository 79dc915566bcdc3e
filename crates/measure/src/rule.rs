//! Decision rules: what a verdict becomes once the uncertainty of the measurement counts (JCGM 106:2012, ILAC-G8:09/2019, ISO 14253-1:2017).
//!
//! Guard limits are compared exactly; only the probability of conformity is a float.

use core::fmt;
use core::str::FromStr;

use thiserror::Error;

use crate::error::QuantityError;
use crate::exact::{Decimal, Rational};
use crate::quantity::{Quantity, split_number};
use crate::unit::Unit;
use crate::window::{Judgement, Place, Window};

/// Why no decision can be made.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum RuleError {
    /// The rule needs an uncertainty.
    #[error(
        "the rule {0} needs the uncertainty of the instrument; give it, or decide by the simple rule"
    )]
    NeedsUncertainty(String),
    /// The uncertainty or coverage factor is impossible.
    #[error(
        "the uncertainty {0} is impossible; give one that is not negative, and a coverage factor above 0"
    )]
    Uncertainty(String),
    /// The rule is not known.
    #[error(
        "{0:?} is no decision rule; type simple, guarded, four or probability with a number, for example probability 0.95"
    )]
    UnknownRule(String),
    /// A probability that is none.
    #[error("{0} is no probability to ask for; give one above 0.5 and below 1, for example 0.95")]
    Probability(String),
    /// Reading and window cannot be compared.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
}

/// A decision rule.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Rule {
    /// Accept what is in the window (ILAC-G8 4.2.1).
    #[default]
    Simple,
    /// Accept what is in the window by at least the expanded uncertainty, w = U (ILAC-G8 4.2.2).
    Guarded,
    /// Four outcomes, conditional within U of a limit (ILAC-G8 4.2.3).
    Four,
    /// Accept what conforms with at least this probability (ISO 14253-1:2017: 0.95 unless agreed otherwise).
    Probability(Decimal),
}

impl Rule {
    /// The rule with a stated probability of conformity.
    pub fn probability(asked: &str) -> Result<Self, RuleError> {
        let decimal = Decimal::parse(asked)?;
        let (half, one) = (Decimal::new(5, 1)?, Decimal::new(1, 0)?);
        if decimal <= half || decimal >= one {
            return Err(RuleError::Probability(asked.to_owned()));
        }
        Ok(Self::Probability(decimal))
    }
}

impl fmt::Display for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Simple => f.write_str("simple"),
            Self::Guarded => f.write_str("guarded"),
            Self::Four => f.write_str("four"),
            Self::Probability(asked) => write!(f, "probability {asked}"),
        }
    }
}

impl FromStr for Rule {
    type Err = RuleError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text.trim() {
            "simple" => Ok(Self::Simple),
            "guarded" => Ok(Self::Guarded),
            "four" => Ok(Self::Four),
            other => match other.strip_prefix("probability") {
                Some(asked) if !asked.trim().is_empty() => Self::probability(asked.trim()),
                _ => Err(RuleError::UnknownRule(text.trim().to_owned())),
            },
        }
    }
}

as_text!(Rule);

/// What is done with a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Outcome {
    /// Closes its window.
    Accept,
    /// In the window, but nearer to a limit than the uncertainty; needs a named decision.
    ConditionalAccept,
    /// Out of the window, but nearer to a limit than the uncertainty; needs a named decision.
    ConditionalReject,
    /// Does not close its window.
    Reject,
}

impl Outcome {
    /// The words on screen and record.
    pub fn words(self) -> &'static str {
        match self {
            Self::Accept => "ACCEPT",
            Self::ConditionalAccept => "CONDITIONAL ACCEPT",
            Self::ConditionalReject => "CONDITIONAL REJECT",
            Self::Reject => "REJECT",
        }
    }
}

impl fmt::Display for Outcome {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.words())
    }
}

impl FromStr for Outcome {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        [
            Self::Accept,
            Self::ConditionalAccept,
            Self::ConditionalReject,
            Self::Reject,
        ]
        .into_iter()
        .find(|outcome| outcome.words() == text)
        .ok_or_else(|| QuantityError::UnknownWord {
            text: text.to_owned(),
            choices: "ACCEPT, CONDITIONAL ACCEPT, CONDITIONAL REJECT, REJECT",
        })
    }
}

as_text!(Outcome);

/// Size of an expanded uncertainty.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Expanded {
    PercentOfReading(Decimal),
    Absolute(Quantity),
}

/// An expanded uncertainty U with its coverage factor k; the standard uncertainty is U/k.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Uncertainty {
    expanded: Expanded,
    coverage: Decimal,
}

impl Uncertainty {
    /// Reads `2 %` (of the reading) or `0.5 N·m`, with a coverage factor such as `2`.
    pub fn parse(expanded: &str, coverage: &str) -> Result<Self, RuleError> {
        let coverage = Decimal::parse(coverage)?;
        let quantity = Quantity::parse(expanded)?;
        if quantity.decimal().digits() < 0 || coverage.digits() <= 0 {
            return Err(RuleError::Uncertainty(format!(
                "{quantity} (k = {coverage})"
            )));
        }
        let expanded = if quantity.unit() == Unit::Percent {
            Expanded::PercentOfReading(quantity.decimal())
        } else {
            // A difference: what a pressure is measured against does not matter to its spread.
            Expanded::Absolute(Quantity::new(quantity.decimal(), quantity.unit(), None)?)
        };
        Ok(Self { expanded, coverage })
    }

    /// The coverage factor.
    pub fn coverage(&self) -> Decimal {
        self.coverage
    }

    /// The expanded uncertainty of a reading, in a unit, exactly.
    pub fn expanded_in(&self, unit: Unit, reading: Rational) -> Result<Rational, QuantityError> {
        match &self.expanded {
            Expanded::PercentOfReading(percent) => reading
                .abs()
                .times(Rational::from(*percent))?
                .over(Rational::new(100, 1)?),
            Expanded::Absolute(size) => size.size_in(unit),
        }
    }
}

impl fmt::Display for Uncertainty {
    /// `2 % (k = 2)`, `0.5 N·m (k = 2)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.expanded {
            Expanded::PercentOfReading(percent) => write!(f, "{percent} % (k = {})", self.coverage),
            Expanded::Absolute(size) => write!(f, "{size} (k = {})", self.coverage),
        }
    }
}

impl FromStr for Uncertainty {
    type Err = RuleError;

    /// Reads what [`fmt::Display`] prints; without `(k = …)` the coverage factor is 2.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (size, coverage) = match text.split_once("(k") {
            Some((size, rest)) => (
                size,
                rest.trim()
                    .trim_start_matches('=')
                    .trim_end_matches(')')
                    .trim(),
            ),
            None => (text, "2"),
        };
        let (number, unit) = split_number(size.trim())?;
        Self::parse(&format!("{number} {unit}"), coverage)
    }
}

as_text!(Uncertainty);

/// A verdict with what the rule makes of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Decision {
    /// Place, distance and limit.
    pub judgement: Judgement,
    /// What is done with the reading.
    pub outcome: Outcome,
    /// Probability of conformity, where an uncertainty is known.
    pub probability: Option<f64>,
    /// The rule that made it.
    pub rule: Rule,
}

impl Decision {
    /// The probability with the six digits that records carry.
    pub fn probability_text(&self) -> Option<String> {
        self.probability.map(|p| format!("{p:.6}"))
    }
}

/// Judges a reading against a window under a rule.
pub fn decide(
    window: &Window,
    reading: &Quantity,
    uncertainty: Option<&Uncertainty>,
    rule: Rule,
) -> Result<Decision, RuleError> {
    let judgement = window.judge(reading)?;
    let within = judgement.place == Place::Within;
    let Some(uncertainty) = uncertainty else {
        if rule != Rule::Simple {
            return Err(RuleError::NeedsUncertainty(rule.to_string()));
        }
        return Ok(Decision {
            judgement,
            outcome: accept_if(within),
            probability: None,
            rule,
        });
    };
    let value = reading.exact_in(window.unit())?;
    let expanded = uncertainty.expanded_in(window.unit(), value)?;
    let standard = expanded.to_f64() / uncertainty.coverage.to_f64();
    let limits = [window.low(), window.high()].map(|limit| limit.map(|q| q.decimal()));
    let probability = conformity(
        value.to_f64(),
        standard,
        limits[0].map(Decimal::to_f64),
        limits[1].map(Decimal::to_f64),
    );
    let outcome = match rule {
        Rule::Simple => accept_if(within),
        Rule::Probability(asked) => accept_if(probability >= asked.to_f64()),
        Rule::Guarded => accept_if(clearance(value, limits)? >= expanded),
        Rule::Four => {
            let inside = clearance(value, limits)?;
            match (inside >= expanded, within) {
                (true, _) => Outcome::Accept,
                (false, true) => Outcome::ConditionalAccept,
                (false, false) if inside.abs() <= expanded => Outcome::ConditionalReject,
                (false, false) => Outcome::Reject,
            }
        }
    };
    Ok(Decision {
        judgement,
        outcome,
        probability: Some(probability),
        rule,
    })
}

fn accept_if(accepted: bool) -> Outcome {
    if accepted {
        Outcome::Accept
    } else {
        Outcome::Reject
    }
}

/// How far inside the window a value lies, to the nearest limit; negative outside.
fn clearance(value: Rational, limits: [Option<Decimal>; 2]) -> Result<Rational, QuantityError> {
    let [low, high] = limits.map(|limit| limit.map(Rational::from));
    let over_low = low.map(|low| value.minus(low)).transpose()?;
    let under_high = high.map(|high| high.minus(value)).transpose()?;
    match (over_low, under_high) {
        (Some(a), Some(b)) => Ok(a.min(b)),
        (Some(one), None) | (None, Some(one)) => Ok(one),
        (None, None) => Err(QuantityError::NotAWindow("..".to_owned())),
    }
}

/// Probability that the true value lies between the limits: `Φ((TU − y)/u) − Φ((TL − y)/u)` (JCGM 106:2012, 7.4).
///
/// A standard uncertainty of nought gives 1 inside, limits included, and 0 outside.
pub fn conformity(value: f64, standard: f64, low: Option<f64>, high: Option<f64>) -> f64 {
    if standard <= 0.0 {
        let inside = low.is_none_or(|low| value >= low) && high.is_none_or(|high| value <= high);
        return f64::from(u8::from(inside));
    }
    // 1 − both tails keeps every digit of a tail that is nearly nought.
    let below = low.map_or(0.0, |low| upper_tail((value - low) / standard));
    let above = high.map_or(0.0, |high| upper_tail((high - value) / standard));
    (1.0 - below - above).clamp(0.0, 1.0)
}

/// Chance of a standard normal value above `z`, good to the last digits of a float.
///
/// Written out here because the error function of `statrs` is good to 1e-11 only: a series of positive terms near the middle, a continued
/// fraction in the tails (Abramowitz and Stegun 26.2.11 and 26.2.14).
pub fn upper_tail(z: f64) -> f64 {
    if z < 0.0 {
        return 1.0 - upper_tail(-z);
    }
    let density = (-0.5 * z * z).exp() / core::f64::consts::TAU.sqrt();
    if z < 3.0 {
        let (mut term, mut sum, mut odd) = (z, z, 1.0);
        while term > sum * f64::EPSILON {
            odd += 2.0;
            term *= z * z / odd;
            sum += term;
        }
        return 0.5 - density * sum;
    }
    let fraction = (1..=60)
        .rev()
        .fold(z, |deeper, step| z + f64::from(step) / deeper);
    density / fraction
}
