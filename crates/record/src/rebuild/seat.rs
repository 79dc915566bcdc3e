//! What the seat leakage class of a test allows, said when it is read and behind it in the record. The window is already the
//! class's or narrower: the procedure's reader works it out or the proof holds it against the class.

use reseat_measure::Unit;
use reseat_procedure::model::{Asked, SeatLimit};

use super::state::Rebuild;
use super::view::RecordLine;

/// What a class allows, in one sentence; nothing where none is named.
pub(super) fn allowed(seat: Option<&SeatLimit>, unit: Unit) -> Option<String> {
    seat.map(|seat| format!("{}.", seat.words_in(unit)))
}

impl Rebuild {
    /// Puts the class of a seat test behind its reading.
    pub(super) fn tell_seats(&self, lines: &mut [RecordLine]) {
        for line in lines {
            let class = self.readings.get(&line.number).and_then(|kept| {
                let step = self.line(&kept.line).and_then(|line| self.step_of(line))?;
                class_of(&step.asks, kept.thing.as_deref()?)
            });
            if let Some(class) = class {
                line.text = format!("{}; {class}", line.text);
            }
        }
    }
}

fn class_of(asks: &[Asked], thing: &str) -> Option<String> {
    asks.iter().find_map(|asked| match asked {
        Asked::Reading(measured) if measured.id == thing => {
            Some(measured.seat.as_ref()?.words_in(measured.unit))
        }
        Asked::Computed {
            id, window, seat, ..
        } if id == thing => Some(seat.as_ref()?.words_in(window.unit())),
        _ => None,
    })
}
