//! How long a hold must last so that the gauge in hand can tell the allowed drop from its own error, worked out before the hold
//! begins. It only tells: the limit and the time that are written stay the judge.

use reseat_measure::pressure::{change_of_leak_pa, hold_needed_s};
use reseat_measure::{Dimension, Instrument as Gauge, Quantity, Rational, Unit, Window};
use reseat_procedure::model::{Asked, Computation, Step};

use super::body::Body;
use super::question::Question;
use super::state::Rebuild;
use super::view::HoldView;
use crate::register::{Instrument, Register};

impl Rebuild {
    /// What a wait of a step is to the gauge that the start was read on: none where no value with an upper limit is worked out
    /// from a pressure read before the wait and one read after it, or while the start is not in.
    #[must_use]
    pub fn hold_view(&self, register: &Register, step: &str, ask: u32) -> Option<HoldView> {
        let line = self.line(step)?;
        let written = self.step_of(line)?;
        let hold = held(written, ask as usize)?;
        let minutes = hold.minutes;
        let entry = line.asks.get(hold.start)?.reading?;
        let at = usize::try_from(entry).ok()?.checked_sub(1)?;
        let Some(Body::Reading(reading)) = Body::read(self.entries.get(at)?) else {
            return None;
        };
        let gauge = register.instrument(&reading.instruments.first()?.id)?;
        let error = error_of(gauge, &Self::quantity(&reading.means)?)?;
        // The volume stands on both sides of the sum and falls out of it.
        let (allowed, allowed_pa) = match hold.by {
            HeldBy::Change { allowed, .. } => {
                (allowed.to_string(), allowed.to_f64_in(Unit::Pascal).ok()?)
            }
            HeldBy::Leak(leak) => {
                let limit = leak.window.high()?;
                let pascals = self.change_of(written, &leak, &limit, f64::from(minutes) * 60.0)?;
                let unit = error.unit();
                let words = format!("{:.3} {unit} ({limit})", pascals / pascals_of(unit)?);
                (words, pascals)
            }
        };
        let leak = allowed_pa / (f64::from(minutes) * 60.0);
        let needed_s = hold_needed_s(leak, 1.0, error.to_f64_in(Unit::Pascal).ok()?).ok()?;
        Some(HoldView {
            gauge: gauge.id.clone(),
            error: error.to_string(),
            allowed,
            minutes,
            needed_s,
        })
    }

    /// The change of pressure in Pa that a leak makes in a time, a fall or a rise as the leak goes; none before the temperature is read that the hold
    /// begins with.
    pub(super) fn change_of(
        &self,
        step: &Step,
        leak: &HeldLeak<'_>,
        flow: &Quantity,
        seconds: f64,
    ) -> Option<f64> {
        let (_, warm) = self.read_in(step, leak.from.get(1)?)?;
        let [flow, volume, kelvin] = [
            flow.to_f64_in(Unit::MillilitrePerMinute).ok()?,
            leak.volume.to_f64_in(Unit::CubicMetre).ok()?,
            warm.to_f64_in(Unit::Kelvin).ok()?,
        ];
        Some(change_of_leak_pa(flow, volume, kelvin, seconds))
    }

    /// Says it at the wait before it begins.
    pub(super) fn hold_told(
        &self,
        register: &Register,
        (step, ask): (&str, u32),
        question: Question,
    ) -> Question {
        match self.hold_view(register, step, ask) {
            None => question,
            Some(view) if view.suffices() => question.detail(view.words()),
            Some(view) => question
                .notice(format!("HOLD TOO SHORT FOR {}.", view.gauge))
                .notice(format!(
                    "{} Hold that long, or begin again on a finer gauge that the procedure names.",
                    view.words()
                )),
        }
    }
}

/// Pascals of one of a unit of pressure.
pub(super) fn pascals_of(unit: Unit) -> Option<f64> {
    let one = Quantity::parse(&format!("1 {unit}")).ok()?;
    one.to_f64_in(Unit::Pascal).ok()
}

/// The hold that a wait of a step is part of.
fn held(step: &Step, wait: usize) -> Option<Held<'_>> {
    let around = |hold: &Held<'_>| {
        matches!(step.asks.get(wait), Some(Asked::Wait { .. }))
            && (hold.start..hold.end).contains(&wait)
    };
    holds(step).find(around)
}

/// A pressure held between two readings of a step with a wait between them.
pub(super) struct Held<'a> {
    /// Name and label of the value worked out.
    pub(super) id: &'a str,
    pub(super) label: &'a str,
    /// Index of the first reading and of the last.
    pub(super) start: usize,
    pub(super) end: usize,
    /// Minutes written between the two.
    pub(super) minutes: u32,
    /// What is worked out from it.
    pub(super) by: HeldBy<'a>,
}

/// What a hold is judged by.
pub(super) enum HeldBy<'a> {
    /// A drop or rise of the pressure: the most that it may be, and whether it is a fall from the first reading.
    Change { allowed: Quantity, falls: bool },
    /// What leaks out of a volume of gas.
    Leak(HeldLeak<'a>),
}

/// A leak worked out from a hold; what comes into the volume counts as positive, or what goes out.
pub(super) struct HeldLeak<'a> {
    pub(super) asked: &'a Asked,
    /// Names of pressure and temperature at the start, the same at the end, and the time.
    pub(super) from: &'a [String],
    pub(super) window: &'a Window,
    pub(super) volume: Quantity,
    pub(super) into: bool,
}

/// Minutes written to wait among these.
pub(super) fn waited(asks: &[Asked]) -> u32 {
    let minutes = asks.iter().map(|asked| match asked {
        Asked::Wait { minutes } => *minutes,
        _ => 0,
    });
    minutes.sum()
}

/// The holds of a step.
pub(super) fn holds(step: &Step) -> impl Iterator<Item = Held<'_>> {
    let place = |id: &String| {
        step.asks
            .iter()
            .position(|asked| matches!(asked, Asked::Reading(read) if read.id == *id))
    };
    step.asks.iter().filter_map(move |asked| {
        let Asked::Computed {
            id,
            label,
            from,
            how,
            window,
            ..
        } = asked
        else {
            return None;
        };
        let (one, other) = match (how, from.as_slice()) {
            (Computation::Drop | Computation::Difference, [one, other])
            | (Computation::Leak { .. }, [one, _, other, ..]) => (place(one)?, place(other)?),
            _ => return None,
        };
        let (start, end) = (one.min(other), one.max(other));
        let by = match how {
            Computation::Leak { volume, into, .. } if one < other => HeldBy::Leak(HeldLeak {
                asked,
                from,
                window,
                volume: *volume,
                into: *into,
            }),
            Computation::Leak { .. } => return None,
            _ => HeldBy::Change {
                allowed: window
                    .high()
                    .filter(|high| high.dimension() == Dimension::Pressure)?,
                falls: one < other,
            },
        };
        let minutes = waited(&step.asks[start..end]);
        (minutes > 0).then_some(Held {
            id,
            label,
            start,
            end,
            minutes,
            by,
        })
    })
}

/// The largest error of an instrument at a reading, in the unit of its scale.
fn error_of(instrument: &Instrument, reading: &Quantity) -> Option<Quantity> {
    let range = instrument
        .range
        .taking_reference(instrument.reference)
        .ok()?;
    let gauge = Gauge::new(
        instrument.kind,
        range,
        instrument.resolution,
        instrument.calibration.deviation,
    )
    .ok()?;
    let at = Rational::from(reading.decimal());
    let error = gauge.deviation_at(at).ok()?.to_short_decimal().ok()?;
    Quantity::new(error, gauge.unit(), None).ok()
}
