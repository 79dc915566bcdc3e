//! The pressure of a hold over its time, with the line through its readings and what it may fall or rise: worked out from the
//! readings that stand, never kept.

use reseat_measure::{Dimension, HoldLine, HoldReading, Quantity, Unit};
use reseat_procedure::model::{Asked, Step};

use super::hold_time::{Held, HeldBy, HeldLeak, holds, pascals_of, waited};
use super::state::{Line, Rebuild};
use super::time::instant;
use super::view::{Allowed, DecayLine, DecayPoint, DecayView, RecordLine};
use crate::log::{Clock, Entry};

impl Rebuild {
    /// The hold of a step whose first reading is in; the last of them where it has more than one.
    #[must_use]
    pub fn decay(&self, step: &str) -> Option<DecayView> {
        let line = self.line(step)?;
        let written = self.step_of(line)?;
        let views = holds(written).filter_map(|hold| self.decay_view(line, written, &hold));
        views.last()
    }

    /// Puts what a hold's readings tell behind the value worked out from them.
    pub(super) fn tell_decay(&self, lines: &mut [RecordLine]) {
        for line in &self.lines {
            let Some(written) = self.step_of(line) else {
                continue;
            };
            for hold in holds(written) {
                let value = line
                    .asks
                    .iter()
                    .zip(&written.asks)
                    .find_map(|(state, asked)| {
                        matches!(asked, Asked::Computed { id, .. } if id == hold.id)
                            .then_some(state.reading)?
                    });
                let Some(told) = lines.iter_mut().find(|told| Some(told.number) == value) else {
                    continue;
                };
                if let Some(view) = self.decay_view(line, written, &hold) {
                    told.text = format!("{}; {}", told.text, view.words());
                }
            }
        }
    }

    fn decay_view(&self, line: &Line, written: &Step, hold: &Held<'_>) -> Option<DecayView> {
        match &hold.by {
            HeldBy::Change { allowed, falls } => {
                self.change_view(line, written, hold, (*allowed, *falls))
            }
            HeldBy::Leak(leak) => self.leak_view(written, hold, leak),
        }
    }

    /// A hold judged by its leak: from start to end with the temperature taken out, as the leak that is judged says, and how far
    /// the leak that is allowed would take it in the same time.
    fn leak_view(&self, step: &Step, hold: &Held<'_>, leak: &HeldLeak<'_>) -> Option<DecayView> {
        let [pressure, _, at_end, _, time] = leak.from else {
            return None;
        };
        let (entry, value) = self.read_in(step, pressure)?;
        let unit = value.unit();
        let start = value.to_f64_in(unit).ok()?;
        let read = self.read_in(step, time);
        let minutes = read.map_or(Some(f64::from(hold.minutes)), |(_, time)| {
            time.to_f64_in(Unit::Minute).ok()
        })?;
        let pascals = pascals_of(unit)?;
        // What leaks out takes pressure away, what comes in adds it.
        let after = |flow: &Quantity| {
            let change = self.change_of(step, leak, flow, minutes * 60.0)? / pascals;
            Some(start + if leak.into { change } else { -change })
        };
        let judged = self.computed(step, leak.asked);
        let backwards = judged
            .and_then(|flow| flow.to_f64_in(flow.unit()).ok())
            .is_some_and(|flow| flow < 0.0);
        let (limit, by_low) = match (leak.window.low(), leak.window.high()) {
            (Some(low), _) if backwards => (low, true),
            (_, Some(high)) => (high, false),
            _ => return None,
        };
        let mut readings = vec![DecayPoint {
            entry,
            seconds: 0.0,
            value,
            at: start,
        }];
        if let (Some(flow), Some((entry, value))) = (judged, self.read_in(step, at_end)) {
            readings.push(DecayPoint {
                entry,
                seconds: minutes * 60.0,
                value,
                at: after(&flow)?,
            });
        }
        Some(DecayView {
            label: hold.label.to_owned(),
            unit,
            line: line_through(&readings),
            whole: readings.len() > 1,
            readings,
            by_clock: read.is_some(),
            minutes,
            allowed: Allowed::Leak(limit),
            limit: after(&limit),
            falls: leak.into == by_low,
        })
    }

    fn change_view(
        &self,
        line: &Line,
        written: &Step,
        hold: &Held<'_>,
        (allowed, falls): (Quantity, bool),
    ) -> Option<DecayView> {
        let places: Vec<usize> = (hold.start..=hold.end)
            .filter(|place| is_of(&written.asks, hold.start, *place))
            .collect();
        let mut taken: Vec<(&Entry, u32, Quantity)> = Vec::new();
        for place in &places {
            let read = line.asks.get(*place).and_then(|state| state.reading);
            let kept = read.and_then(|entry| Some((entry, self.readings.get(&entry)?)));
            let Some((entry, kept)) = kept.filter(|(_, kept)| !kept.struck) else {
                continue;
            };
            let at = usize::try_from(entry).ok()?.checked_sub(1)?;
            let waited = waited(&written.asks[hold.start..*place]);
            taken.push((self.entries.get(at)?, waited, Self::quantity(&kept.means)?));
        }
        let whole = taken.len() == places.len();
        let (first, waited_at_first, start) = *taken.first()?;
        // Without its first reading there is no hold to draw.
        if waited_at_first != 0 || line.asks.get(hold.start)?.reading != Some(first.number) {
            return None;
        }
        let unit = start.unit();
        let by_clock = seconds_by_clock(&taken);
        let points: Vec<DecayPoint> = taken
            .iter()
            .enumerate()
            .map(|(index, (entry, waited, value))| {
                Some(DecayPoint {
                    entry: entry.number,
                    seconds: by_clock
                        .as_ref()
                        .map_or(f64::from(*waited) * 60.0, |seconds| seconds[index]),
                    value: *value,
                    at: value.to_f64_in(unit).ok()?,
                })
            })
            .collect::<Option<_>>()?;
        let first = points.first()?.at;
        let change = allowed.to_f64_in(unit).ok();
        Some(DecayView {
            label: hold.label.to_owned(),
            unit,
            line: line_through(&points),
            readings: points,
            whole,
            by_clock: by_clock.is_some(),
            minutes: f64::from(hold.minutes),
            allowed: Allowed::Change(allowed),
            limit: change.map(|change| {
                if falls {
                    first - change
                } else {
                    first + change
                }
            }),
            falls,
        })
    }
}

/// Whether an ask reads the pressure that the first one reads, on the same gauges.
fn is_of(asks: &[Asked], first: usize, place: usize) -> bool {
    match (asks.get(first), asks.get(place)) {
        (Some(Asked::Reading(first)), Some(Asked::Reading(other))) => {
            other.unit.dimension() == Dimension::Pressure && other.instruments == first.instruments
        }
        _ => false,
    }
}

/// Seconds since the first reading; none where a clock was not trusted, or does not rise from one to the next.
fn seconds_by_clock(taken: &[(&Entry, u32, Quantity)]) -> Option<Vec<f64>> {
    let moment = |entry: &Entry| {
        let utc = entry.acted.as_ref().unwrap_or(&entry.utc);
        instant(utc).filter(|_| entry.clock != Clock::Doubted)
    };
    let first = moment(taken.first()?.0)?;
    let seconds: Vec<f64> = taken
        .iter()
        .map(|(entry, ..)| Some((moment(entry)? - first).as_seconds_f64()))
        .collect::<Option<_>>()?;
    let rises = seconds.windows(2).all(|pair| pair[0] < pair[1]);
    rises.then_some(seconds)
}

/// The line through two readings, or the one that fits three and more best (least squares).
fn line_through(points: &[DecayPoint]) -> Option<DecayLine> {
    if let [one, other] = points {
        let per_second = (other.at - one.at) / (other.seconds - one.seconds);
        return per_second.is_finite().then_some(DecayLine {
            start: one.at,
            per_second,
        });
    }
    // The temperature was not read: it is taken to stay, and cancels.
    let readings: Vec<HoldReading> = points
        .iter()
        .map(|point| HoldReading {
            time_s: point.seconds,
            pressure_pa: point.at,
            temperature_k: 293.15,
        })
        .collect();
    let line = HoldLine::fit(&readings).ok()?;
    Some(DecayLine {
        start: line.start_pa,
        per_second: line.slope_pa_s,
    })
}
