//! Windows drawn as lines, from the same numbers as the verdict.

use reseat_measure::{Quantity, Window};

use super::view::Gauge;

impl Gauge {
    /// A window as a line, with readings in thousandths of it; a window open on one side is drawn from zero or to twice its limit.
    pub(super) fn of(window: &Window, readings: &[Quantity]) -> Self {
        let unit = window.unit();
        let value = |quantity: &Quantity| quantity.to_f64_in(unit).unwrap_or(0.0);
        let low = window.low().as_ref().map(value);
        let high = window.high().as_ref().map(value);
        let (from, to) = match (low, high) {
            (Some(low), Some(high)) => (low, high),
            (Some(low), None) => (low, low + low.abs().max(1.0)),
            (None, Some(high)) => (0.0_f64.min(high), high),
            (None, None) => (0.0, 1.0),
        };
        let width = if to > from { to - from } else { 1.0 };
        let readings = readings
            .iter()
            .filter_map(|reading| {
                let place = window
                    .taking_reference(reading.reference())
                    .ok()?
                    .judge(reading)
                    .ok()?
                    .place;
                let per_mille =
                    ((value(reading) - from) / width * 1000.0).clamp(-10_000.0, 10_000.0);
                Some((per_mille.round() as i64, place))
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
        }
    }
}
