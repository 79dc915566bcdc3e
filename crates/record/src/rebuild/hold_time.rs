//! How long a hold must last so that the gauge in hand can tell the allowed drop from its own error, worked out before the hold
//! begins. It only tells: the limit and the time that are written stay the judge.

use reseat_measure::pressure::hold_needed_s;
use reseat_measure::{Dimension, Instrument as Gauge, Quantity, Rational, Unit};
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
        let (start, minutes, allowed) = held(written, ask as usize)?;
        let entry = line.asks.get(start)?.reading?;
        let at = usize::try_from(entry).ok()?.checked_sub(1)?;
        let Some(Body::Reading(reading)) = Body::read(self.entries.get(at)?) else {
            return None;
        };
        let gauge = register.instrument(&reading.instruments.first()?.id)?;
        let error = error_of(gauge, &Self::quantity(&reading.means)?)?;
        // The volume stands on both sides of the sum and falls out of it.
        let allowed_pa = allowed.to_f64_in(Unit::Pascal).ok()?;
        let leak = allowed_pa / (f64::from(minutes) * 60.0);
        let needed_s = hold_needed_s(leak, 1.0, error.to_f64_in(Unit::Pascal).ok()?).ok()?;
        Some(HoldView {
            gauge: gauge.id.clone(),
            error: error.to_string(),
            allowed: allowed.to_string(),
            minutes,
            needed_s,
        })
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

/// Of a wait that lies between two readings of a drop or rise: which ask is the first reading, the minutes written between the
/// two, and the most that it may be.
fn held(step: &Step, wait: usize) -> Option<(usize, u32, Quantity)> {
    let around = |hold: &Held<'_>| {
        matches!(step.asks.get(wait), Some(Asked::Wait { .. }))
            && (hold.start..hold.end).contains(&wait)
    };
    let hold = holds(step).find(around)?;
    Some((hold.start, hold.minutes, hold.allowed))
}

/// A drop or rise of a pressure between two readings of a step with a wait between them.
pub(super) struct Held<'a> {
    /// Name and label of the value worked out.
    pub(super) id: &'a str,
    pub(super) label: &'a str,
    /// Index of the first reading and of the last.
    pub(super) start: usize,
    pub(super) end: usize,
    /// Minutes written between the two.
    pub(super) minutes: u32,
    /// The most that it may be.
    pub(super) allowed: Quantity,
    /// Whether it is a fall from the first reading; else a rise.
    pub(super) falls: bool,
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
            how: Computation::Drop | Computation::Difference,
            window,
            ..
        } = asked
        else {
            return None;
        };
        let [one, other] = from.as_slice() else {
            return None;
        };
        let (one, other) = (place(one)?, place(other)?);
        let (start, end) = (one.min(other), one.max(other));
        let minutes = waited(&step.asks[start..end]);
        let pressure = window.unit().dimension() == Dimension::Pressure;
        Some(Held {
            id,
            label,
            start,
            end,
            minutes,
            allowed: window.high().filter(|_| pressure && minutes > 0)?,
            falls: one < other,
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
