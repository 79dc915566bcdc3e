//! Windows drawn as lines, from the same numbers as the verdict.

use reseat_measure::acceptance::{Acceptance, acceptance};
use reseat_measure::{Quantity, Rule, Window};

use reseat_procedure::model::Asked;

use super::ask::{Ask, Bench, Point, Wants};
use super::reading::uncertainty_of;
use super::ruling::Ruling;
use super::state::Rebuild;
use super::view::{Gauge, GuardBand};
use crate::register::Register;

impl Gauge {
    /// A window as a line, with readings in thousandths of it; a window open on one side is drawn from zero or to twice its limit.
    pub(super) fn of(window: &Window, readings: &[Quantity]) -> Self {
        let unit = window.unit();
        let value = |quantity: &Quantity| quantity.to_f64_in(unit).unwrap_or(0.0);
        let line = Line::of(window);
        let readings = readings
            .iter()
            .filter_map(|reading| {
                let place = window
                    .taking_reference(reading.reference())
                    .ok()?
                    .judge(reading)
                    .ok()?
                    .place;
                Some((line.per_mille(value(reading)), place))
            })
            .collect();
        Self {
            low: window
                .low()
                .map(|low| low.decimal().to_string())
                .unwrap_or_default(),
            high: window
                .high()
                .map_or_else(|| unit.to_string(), |high| high.to_string()),
            readings,
            guard: None,
        }
    }
}

/// Parts of the last decimal told that a limit found by halving may miss a round number by.
const ALMOST: f64 = 1e-6;

/// The straight line a window is drawn as.
struct Line {
    from: f64,
    width: f64,
}

impl Line {
    fn of(window: &Window) -> Self {
        let [low, high] =
            [window.low(), window.high()].map(|end| end.map(|end| end.decimal().to_f64()));
        let (from, to) = match (low, high) {
            (Some(low), Some(high)) => (low, high),
            (Some(low), None) => (low, low + low.abs().max(1.0)),
            (None, Some(high)) => (0.0_f64.min(high), high),
            (None, None) => (0.0, 1.0),
        };
        let width = if to > from { to - from } else { 1.0 };
        Self { from, width }
    }

    fn per_mille(&self, value: f64) -> i64 {
        let per_mille = (value - self.from) / self.width * 1000.0;
        per_mille.clamp(-10_000.0, 10_000.0).round() as i64
    }
}

impl Rebuild {
    /// What the decision rule takes off the window of the reading asked for, on the scale of the instrument it is asked on (with an
    /// adapter on the window is the wrench's too); none under simple acceptance, where zero is proved, and where no window or no
    /// uncertainty is known.
    pub(super) fn guard_band(&self, register: &Register, ask: &Ask) -> Option<GuardBand> {
        let Wants::Reading {
            window: Some(window),
            instrument,
            ..
        } = &ask.wants
        else {
            return None;
        };
        if ask.bench == Bench::Isolation || self.proves_zero(&ask.point) {
            return None;
        }
        let own = match &ask.bench {
            Bench::Joint(id) => self.joint(id)?.rule,
            _ => None,
        };
        let rule = Ruling::of(register, own).rule;
        if rule == Rule::Simple {
            return None;
        }
        let certified = register.instrument(instrument)?;
        let uncertainty = uncertainty_of(certified)?;
        let size = certified.calibration.uncertainty?;
        let accepted = acceptance(window, &uncertainty, rule).ok()?;
        let line = Line::of(window);
        let mark = |end: Option<f64>| end.map(|end| line.per_mille(end));
        let (accepts, accepted) = match accepted {
            Some(Acceptance { low, high }) => {
                // Rounded inward: what is named is accepted.
                let decimals = decimals_of(window);
                let fine = 10_f64.powi(decimals);
                let text = |whole: f64| shortest(whole / fine, decimals);
                let low_text = low.map(|low| text((low * fine - ALMOST).ceil()));
                let high_text = high.map(|high| text((high * fine + ALMOST).floor()));
                let words = format!(
                    "accepted {}..{} {}",
                    low_text.unwrap_or_default(),
                    high_text.unwrap_or_default(),
                    window.unit()
                );
                ((mark(low), mark(high)), words)
            }
            None => ((Some(1000), Some(0)), "nothing is accepted".to_owned()),
        };
        Some(GuardBand {
            accepts,
            words: format!("{accepted} ({rule}, U {size})"),
        })
    }

    /// Whether the reading asked for proves a side: it is judged by its written limits alone.
    fn proves_zero(&self, point: &Point) -> bool {
        let Point::Asked(step, ask, _) = point else {
            return false;
        };
        matches!(self.asked(step, *ask), Some(Asked::Reading(measured)) if measured.proves.is_some())
    }
}

/// Decimals that the limits of acceptance are told with: three, and one more than a window in fine units is written with.
fn decimals_of(window: &Window) -> i32 {
    [window.low(), window.high()]
        .into_iter()
        .flatten()
        .map(|end| i32::from(end.decimal().decimals()) + 1)
        .fold(3, i32::max)
}

/// With so many decimals, without noughts at the end.
fn shortest(value: f64, decimals: i32) -> String {
    let decimals = usize::try_from(decimals).unwrap_or_default();
    let text = format!("{value:.decimals$}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
