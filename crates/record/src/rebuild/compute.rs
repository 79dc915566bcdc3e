//! Values worked out from readings: one sum for the rebuild as it goes and for the check of its record.

use reseat_measure::{Hold, Loading, Quantity, Reference, Unit};
use reseat_procedure::model::{Asked, Computation, Step};

use super::hold_time::pascals_of;
use super::state::Rebuild;
use super::view::RecordLine;

impl Rebuild {
    /// Puts the figures of the procedure that a value was worked out with behind it.
    pub(super) fn tell_figures(&self, lines: &mut [RecordLine]) {
        for line in lines {
            let figures = self.readings.get(&line.number).and_then(|kept| {
                let step = self.line(&kept.line).and_then(|line| self.step_of(line))?;
                let thing = kept.thing.as_deref()?;
                step.asks.iter().find_map(|asked| match asked {
                    Asked::Computed { id, .. } if id == thing => figures(step, asked),
                    _ => None,
                })
            });
            if let Some(figures) = figures {
                line.text = format!("{}; worked out: {figures}", line.text);
            }
        }
    }
}

/// How a value is worked out where figures of the procedure go into it, its readings by their labels; none elsewhere.
pub(super) fn figures(step: &Step, asked: &Asked) -> Option<String> {
    let Asked::Computed { from, how, .. } = asked else {
        return None;
    };
    let label = |id: &String| {
        step.asks.iter().find_map(|asked| match asked {
            Asked::Reading(measured) if measured.id == *id => Some(measured.label.as_str()),
            Asked::Computed {
                id: named, label, ..
            } if named == id => Some(label.as_str()),
            _ => None,
        })
    };
    let labels: Vec<&str> = from
        .iter()
        .map(|id| label(id).unwrap_or(id.as_str()))
        .collect();
    how.has_figures().then(|| how.words(&labels))
}

/// Works a value out exactly; none where quantities do not compare or are too few.
pub(crate) fn compute(values: &[Quantity], how: Computation) -> Option<Quantity> {
    let first = values.first()?;
    match how {
        Computation::Drop => first.difference(values.last()?).ok(),
        Computation::Difference => first.difference(values.get(1)?).ok(),
        Computation::Spread => {
            let (mut low, mut high) = (*first, *first);
            for value in values {
                if value.cmp_exact(&low).ok()?.is_lt() {
                    low = *value;
                }
                if value.cmp_exact(&high).ok()?.is_gt() {
                    high = *value;
                }
            }
            high.difference(&low).ok()
        }
        Computation::Mean => {
            let unit = first.unit();
            let mut sum = reseat_measure::Rational::new(0, 1).ok()?;
            for value in values {
                sum = sum.plus(value.exact_in(unit).ok()?).ok()?;
            }
            let count = reseat_measure::Rational::new(values.len() as i128, 1).ok()?;
            let decimals = values
                .iter()
                .map(|value| value.decimal().decimals())
                .max()?
                .saturating_add(1);
            let mean = sum
                .over(count)
                .ok()?
                .round_to(decimals, reseat_measure::Rounding::Nearest)
                .ok()?;
            Quantity::new(mean, unit, first.reference()).ok()
        }
        Computation::Leak {
            volume,
            atmosphere,
            into,
        } => leak(values, &volume, &atmosphere, into),
        Computation::Balance { loading, unit } => carried(values, &loading, unit),
    }
}

/// What leaked between start and end, as flow at 0 °C and 101.325 kPa; positive is out of the volume, or into it where that is asked.
fn leak(
    values: &[Quantity],
    volume: &Quantity,
    atmosphere: &Quantity,
    into: bool,
) -> Option<Quantity> {
    let [p1, t1, p2, t2, time] = values else {
        return None;
    };
    let hold = Hold::new(volume, [p1, p2], [t1, t2], time, atmosphere).ok()?;
    let came_in = hold.leak().sccm_0c;
    let flow = if into { came_in } else { -came_in };
    four_digits(flow, Unit::MillilitrePerMinute, None)
}

/// The outlet pressure, gauge, that the set spring carries at the diaphragm.
fn carried(values: &[Quantity], loading: &Loading, unit: Unit) -> Option<Quantity> {
    let (touching, at_set, inlet) = match values {
        [touching, at_set] => (touching, at_set, None),
        [touching, at_set, inlet] => (touching, at_set, Some(inlet)),
        _ => return None,
    };
    let pascals = loading.outlet_pa(touching, at_set, inlet).ok()?;
    four_digits(pascals / pascals_of(unit)?, unit, Some(Reference::Gauge))
}

/// A value to four digits: no gauge tells more.
fn four_digits(value: f64, unit: Unit, reference: Option<Reference>) -> Option<Quantity> {
    if !value.is_finite() {
        return None;
    }
    let whole = value.abs().max(1e-6).log10().floor() as i32;
    let decimals = usize::try_from((3 - whole).clamp(0, 9)).unwrap_or(0);
    let rounded = format!("{value:.decimals$}");
    let rounded = reseat_measure::Decimal::parse(&rounded).ok()?;
    Quantity::new(rounded, unit, reference).ok()
}
