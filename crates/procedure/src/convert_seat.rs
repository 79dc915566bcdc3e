//! From the wire types to the model: the seat leakage class of a seat test, and the window worked out from it.

use reseat_measure::seat::{SeatClass, SeatError};
use reseat_measure::{Unit, Window};

use crate::codes;
use crate::convert::Convert;
use crate::model::SeatLimit;
use crate::wire;

/// What limits a value worked out: a written window, a class, or both.
pub(crate) type Limits<'w> = (Option<&'w String>, Option<&'w wire::Seat>);

impl<'w> Convert<'w> {
    /// The window of a value worked out: the written one, else that of its class.
    pub(crate) fn computed_limits(
        &mut self,
        (window, seat): Limits<'w>,
    ) -> Option<(Window, Option<SeatLimit>)> {
        let seat = self.optional_seat(seat);
        match (window, seat) {
            (Some(text), seat) => {
                let window = self.window("window", text);
                Some((window?, seat?))
            }
            (None, Some(Some(seat))) => {
                let window = self.worked_out(&seat, Unit::MillilitrePerMinute)?;
                Some((window, Some(seat)))
            }
            (None, Some(None)) => {
                let message = "This value has neither a window nor a seat leakage class.";
                self.report(
                    codes::MISSING_MEMBER,
                    message.to_owned(),
                    "Write \u{201c}window\u{201d}; for a seat test \u{201c}seat\u{201d} gives it too.",
                );
                None
            }
            (None, None) => None,
        }
    }

    /// The class, where one is named and its measures suffice.
    #[allow(
        clippy::option_option,
        reason = "outer: could it be read; inner: was it written"
    )]
    pub(crate) fn optional_seat(
        &mut self,
        seat: Option<&'w wire::Seat>,
    ) -> Option<Option<SeatLimit>> {
        let Some(wire) = seat else { return Some(None) };
        self.at("seat", |convert| {
            let port = convert.optional_quantity("port", wire.port.as_ref());
            let rated = convert.optional_quantity("rated", wire.rated.as_ref());
            let drop = convert.optional_quantity("drop", wire.drop.as_ref());
            let seat = SeatLimit {
                class: class(wire.class),
                port: port?,
                rated: rated?,
                drop: drop?,
            };
            match seat.allowance() {
                Ok(_) => Some(Some(seat)),
                Err(why) => {
                    convert.no_allowance(&why);
                    None
                }
            }
        })
    }

    fn no_allowance(&mut self, why: &SeatError) {
        let (code, remedy) = match why {
            SeatError::Missing { .. } => (
                codes::MISSING_MEMBER,
                "II, III and IV need \u{201c}rated\u{201d}, V needs \u{201c}port\u{201d} and \u{201c}drop\u{201d}, VI needs \u{201c}port\u{201d}.",
            ),
            _ => (
                codes::BAD_QUANTITY,
                "Write a port as in \"2 in\", a rated flow as in \"46.8 m\u{b3}/h\", a pressure drop as in \"3.5 bar\".",
            ),
        };
        self.report(code, format!("No allowance can be told: {why}."), remedy);
    }

    /// The window of a class; a finding where the class says nothing in the unit.
    pub(crate) fn worked_out(&mut self, seat: &SeatLimit, unit: Unit) -> Option<Window> {
        let window = seat.window(unit);
        if window.is_none() {
            let message = format!("{seat} says nothing in {unit}.");
            self.report(
                codes::BAD_UNIT,
                message,
                "Write \"mL/min\", or for Class VI up to a port of 8 in \"bubbles/min\".",
            );
        }
        window
    }
}

const fn class(wire: wire::SeatClass) -> SeatClass {
    match wire {
        wire::SeatClass::Second => SeatClass::II,
        wire::SeatClass::Third => SeatClass::III,
        wire::SeatClass::Fourth => SeatClass::IV,
        wire::SeatClass::Fifth => SeatClass::V,
        wire::SeatClass::Sixth => SeatClass::VI,
    }
}
