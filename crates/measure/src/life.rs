//! How long parts last: Weibull with units still running (right-censored), Kaplan–Meier, median ranks.

use statrs::function::beta::inv_beta_reg;
use statrs::function::gamma::gamma;
use thiserror::Error;

/// The standard normal value that leaves 2.5 % in each tail.
const Z_95: f64 = 1.959_963_984_540_054;

/// Why a life cannot be told.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum LifeError {
    /// A life that is no time.
    #[error("row {row}: {hours} hours is no life; give a number above 0")]
    Hours {
        /// Which life, counted from 1.
        row: usize,
        /// What was given.
        hours: f64,
    },
    /// Nothing failed.
    #[error(
        "nothing failed yet, and a Weibull line needs at least two failures at different times"
    )]
    NothingFailed,
    /// Too little failed to fit a shape.
    #[error("a Weibull line needs at least two failures at different times; there are {0}")]
    TooFewFailures(usize),
    /// Every life ended at the same time.
    #[error("a Weibull line needs at least two failures at different times; all {0} came at once")]
    AtOnce(usize),
    /// The search for the best fit did not settle.
    #[error("no Weibull line fits these lives; look at them for a mistyped value")]
    NoFit,
}

/// One unit's life: how long it ran, and whether it failed then or was taken out still good.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Life {
    /// Hours, or any one unit of use.
    pub hours: f64,
    /// Failed, or still good when last seen.
    pub failed: bool,
}

/// A value with its two-sided 95 % limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limited {
    /// Best estimate.
    pub value: f64,
    /// Lower 95 % limit.
    pub low: f64,
    /// Upper 95 % limit.
    pub high: f64,
}

/// A Weibull life of greatest likelihood.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weibull {
    /// Shape: below 1 early failures, above 1 wear.
    pub shape: Limited,
    /// Scale: the age by which 63.2 % have failed, hours.
    pub scale: Limited,
    /// Age by which 10 % have failed, hours.
    pub b10: Limited,
    /// Mean life, hours.
    pub mean: f64,
    /// Standard deviation of life, hours.
    pub deviation: f64,
    /// Natural logarithm of the likelihood.
    pub loglik: f64,
    /// Akaike's criterion, 2·2 − 2·loglik.
    pub aic: f64,
}

impl Weibull {
    /// Share that has failed by an age.
    pub fn failed_by(&self, hours: f64) -> f64 {
        1.0 - (-(hours / self.scale.value).powf(self.shape.value)).exp()
    }
}

fn checked(lives: &[Life]) -> Result<(), LifeError> {
    match lives
        .iter()
        .position(|life| !(life.hours > 0.0 && life.hours.is_finite()))
    {
        Some(at) => Err(LifeError::Hours {
            row: at + 1,
            hours: lives[at].hours,
        }),
        None => Ok(()),
    }
}

/// Sums over all lives of t^b, t^b·ln t and t^b·(ln t)², with t in parts of the longest life so that no power overflows.
fn sums(lives: &[Life], longest: f64, shape: f64) -> [f64; 3] {
    lives.iter().fold([0.0; 3], |[a, b, c], life| {
        let log = (life.hours / longest).ln();
        let power = (shape * log).exp();
        [a + power, b + power * log, c + power * log * log]
    })
}

/// Fits a Weibull life by greatest likelihood; limits by the normal approximation on the logarithms (NIST/SEMATECH e-Handbook 8.4.1.3).
#[expect(clippy::cast_precision_loss, reason = "a count of failures")]
pub fn weibull(lives: &[Life]) -> Result<Weibull, LifeError> {
    checked(lives)?;
    let failures: Vec<f64> = lives
        .iter()
        .filter(|life| life.failed)
        .map(|life| life.hours)
        .collect();
    let longest = lives.iter().map(|life| life.hours).fold(0.0, f64::max);
    let spread = lives
        .iter()
        .any(|life| (life.hours - longest).abs() > f64::EPSILON * longest);
    match failures.len() {
        0 => return Err(LifeError::NothingFailed),
        1 => return Err(LifeError::TooFewFailures(1)),
        several if !spread => return Err(LifeError::AtOnce(several)),
        _ => {}
    }
    let count = failures.len() as f64;
    let mean_log = failures.iter().map(|t| (t / longest).ln()).sum::<f64>() / count;
    // The likelihood is greatest where this rising function of the shape is nought.
    let slope = |shape: f64| {
        let [a, b, _] = sums(lives, longest, shape);
        b / a - 1.0 / shape - mean_log
    };
    let shape = root(slope).ok_or(LifeError::NoFit)?;
    let [total, ..] = sums(lives, longest, shape);
    let scale = longest * (total / count).powf(1.0 / shape);
    let loglik = failures
        .iter()
        .map(|t| (shape / scale).ln() + (shape - 1.0) * (t / scale).ln())
        .sum::<f64>()
        - count;
    let b10_factor = -(0.9f64.ln());
    let errors = log_errors(lives, shape, scale, b10_factor.ln());
    let limited = |value: f64, error: f64| Limited {
        value,
        low: value * (-Z_95 * error).exp(),
        high: value * (Z_95 * error).exp(),
    };
    let mean = scale * gamma(1.0 + 1.0 / shape);
    let second = scale * scale * gamma(1.0 + 2.0 / shape);
    Ok(Weibull {
        shape: limited(shape, errors[0]),
        scale: limited(scale, errors[1]),
        b10: limited(scale * b10_factor.powf(1.0 / shape), errors[2]),
        mean,
        deviation: (second - mean * mean).max(0.0).sqrt(),
        loglik,
        aic: 4.0 - 2.0 * loglik,
    })
}

/// Where a rising function crosses nought, by halving between a shape of 0.001 and one of 10 000.
fn root(function: impl Fn(f64) -> f64) -> Option<f64> {
    let (mut low, mut high) = (1e-3f64, 1e4f64);
    let ends = (function(low), function(high));
    // Written so that what is not a number counts as no crossing.
    if !(ends.0 < 0.0 && ends.1 > 0.0) {
        return None;
    }
    while high - low > 4.0 * f64::EPSILON * high {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            break;
        }
        if function(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(f64::midpoint(low, high))
}

/// Standard errors of ln shape, ln scale and ln of a life quantile, from the observed information in (ln scale, 1/shape).
///
/// `quantile_log` is `ln(−ln(1 − share))`.
#[expect(clippy::cast_precision_loss, reason = "a count of failures")]
fn log_errors(lives: &[Life], shape: f64, scale: f64, quantile_log: f64) -> [f64; 3] {
    // With y = ln t, z = (y − ln scale)·shape and s = 1/shape the log-likelihood is Σ_failed (z − ln s) − Σ e^z; at its top its second
    // derivatives are those below, per s².
    let failed = lives.iter().filter(|life| life.failed).count() as f64;
    let (mut e0, mut e1, mut e2) = (0.0, 0.0, 0.0);
    for life in lives {
        let z = shape * (life.hours / scale).ln();
        e0 += z.exp();
        e1 += z * z.exp();
        e2 += z * z * z.exp();
    }
    // Information times s²: [m·m, m·s, s·s]; Σ_failed z − Σ z·e^z + r = 0 at the top takes the linear terms out.
    let (mm, ms, ss) = (e0, e1, failed + e2);
    let determinant = mm * ss - ms * ms;
    let s = 1.0 / shape;
    let (var_m, var_s, cov) = (
        ss / determinant * s * s,
        mm / determinant * s * s,
        -ms / determinant * s * s,
    );
    let var_quantile = var_m + 2.0 * quantile_log * cov + quantile_log * quantile_log * var_s;
    [var_s.sqrt() / s, var_m.sqrt(), var_quantile.sqrt()]
}

/// One step of a Kaplan–Meier curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SurvivalStep {
    /// Age of the failures, hours.
    pub hours: f64,
    /// Units still running just before.
    pub at_risk: usize,
    /// Failures at that age.
    pub failed: usize,
    /// Share that survives beyond.
    pub survival: f64,
    /// Its standard error after Greenwood.
    pub error: f64,
}

/// Kaplan–Meier: the share that survives each failure age. Units taken out at an age count as running at that age.
#[expect(clippy::cast_precision_loss, reason = "counts of units")]
pub fn kaplan_meier(lives: &[Life]) -> Result<Vec<SurvivalStep>, LifeError> {
    checked(lives)?;
    let mut ages: Vec<f64> = lives
        .iter()
        .filter(|life| life.failed)
        .map(|life| life.hours)
        .collect();
    ages.sort_by(f64::total_cmp);
    ages.dedup();
    let (mut survival, mut greenwood) = (1.0, 0.0);
    let steps = ages.into_iter().map(|hours| {
        let at_risk = lives.iter().filter(|life| life.hours >= hours).count();
        let failed = lives
            .iter()
            .filter(|life| life.failed && life.hours.total_cmp(&hours).is_eq())
            .count();
        survival *= (at_risk - failed) as f64 / at_risk as f64;
        greenwood += if at_risk > failed {
            failed as f64 / (at_risk as f64 * (at_risk - failed) as f64)
        } else {
            0.0
        };
        SurvivalStep {
            hours,
            at_risk,
            failed,
            survival,
            error: survival * greenwood.sqrt(),
        }
    });
    Ok(steps.collect())
}

/// Median rank of the i-th of n failures after Benard: `(i − 0.3)/(n + 0.4)`. The order may be a broken one.
pub fn median_rank_benard(order: f64, count: f64) -> f64 {
    (order - 0.3) / (count + 0.4)
}

/// Median rank of the i-th of n failures, exact: the median of a beta distribution of i and n − i + 1.
pub fn median_rank_exact(order: f64, count: f64) -> f64 {
    inv_beta_reg(order, count - order + 1.0, 0.5)
}

/// Orders of the failures among units of which some were taken out good (Johnson's rule, from memory), by rising age; at equal ages failures
/// come first.
#[expect(clippy::cast_precision_loss, reason = "counts of units")]
pub fn adjusted_orders(lives: &[Life]) -> Result<Vec<f64>, LifeError> {
    checked(lives)?;
    let mut sorted = lives.to_vec();
    sorted.sort_by(|a, b| a.hours.total_cmp(&b.hours).then(b.failed.cmp(&a.failed)));
    let count = sorted.len() as f64;
    let mut orders = Vec::new();
    let mut last = 0.0;
    for (place, life) in sorted.iter().enumerate() {
        if life.failed {
            let left = count - place as f64;
            last += (count + 1.0 - last) / (left + 1.0);
            orders.push(last);
        }
    }
    Ok(orders)
}
