//! From the wire types to the model: values worked out from the readings of a step.

use reseat_measure::{Dimension, Loading, Reference, Window};

use crate::codes;
use crate::convert::Convert;
use crate::convert_seat::Limits;
use crate::model;
use crate::nearest::offer;
use crate::wire;

/// What a leak rate is worked out of, in order.
const LEAK_READINGS: [Dimension; 5] = [
    Dimension::Pressure,
    Dimension::Temperature,
    Dimension::Pressure,
    Dimension::Temperature,
    Dimension::Time,
];

/// What the balance of spring and diaphragm is worked out of, in order; the last only where the inlet presses on a seat.
const BALANCE_READINGS: [Dimension; 3] =
    [Dimension::Length, Dimension::Length, Dimension::Pressure];

/// The atmosphere where none is written.
const STANDARD_ATMOSPHERE: &str = "101.325 kPa a";

/// A reading, or a value worked out, earlier in the same step.
#[derive(Clone, Copy)]
pub(crate) struct Earlier<'w> {
    /// Its name.
    pub(crate) id: &'w str,
    /// What kind of quantity it is; none where it could not be read, which is reported there.
    pub(crate) kind: Option<Dimension>,
}

impl<'w> Convert<'w> {
    pub(crate) fn computed(
        &mut self,
        id: &str,
        label: &str,
        (from, how, limits): (&'w [String], &'w wire::Computation, Limits<'w>),
        here: &[Earlier<'w>],
    ) -> Option<model::Asked> {
        let claimed = self.claim_measured(id);
        let limits = self.computed_limits(limits);
        let some = self.not_empty("from", from, "readings it is worked out from");
        let names = self.each("from", from, |convert, name| {
            if here.iter().any(|earlier| earlier.id == name) {
                return Some(name.clone());
            }
            let message = format!(
                "No earlier reading of this step is called \u{201c}{}\u{201d}.",
                crate::shape::shown(name)
            );
            convert.report(
                codes::UNKNOWN_NAME,
                message,
                &offer(name, here.iter().map(|earlier| earlier.id)),
            );
            None
        });
        let kinds: Vec<Option<Dimension>> = from
            .iter()
            .map(|name| here.iter().find(|earlier| earlier.id == name)?.kind)
            .collect();
        let how = self.computation(how, &kinds, limits.as_ref().map(|(window, _)| window));
        claimed.and(some)?;
        let (window, seat) = limits?;
        Some(model::Asked::Computed {
            id: id.to_owned(),
            label: label.to_owned(),
            from: names?,
            how: how?,
            window,
            seat,
        })
    }

    /// How a value is worked out of readings of these kinds, to be held against this window.
    fn computation(
        &mut self,
        how: &'w wire::Computation,
        readings: &[Option<Dimension>],
        window: Option<&Window>,
    ) -> Option<model::Computation> {
        match how {
            wire::Computation::Drop => Some(model::Computation::Drop),
            wire::Computation::Difference => Some(model::Computation::Difference),
            wire::Computation::Mean => Some(model::Computation::Mean),
            wire::Computation::Spread => Some(model::Computation::Spread),
            wire::Computation::Leak {
                volume,
                atmosphere,
                into,
            } => self.leak((volume, atmosphere.as_deref(), *into), readings, window),
            wire::Computation::Balance {
                rate,
                area,
                seat_area,
                seat_spring,
            } => self.balance(
                [rate, area],
                [seat_area.as_ref(), seat_spring.as_ref()],
                readings,
                window,
            ),
        }
    }

    fn leak(
        &mut self,
        (volume, atmosphere, into): (&'w str, Option<&'w str>, bool),
        readings: &[Option<Dimension>],
        window: Option<&Window>,
    ) -> Option<model::Computation> {
        let (volume, atmosphere) = self.at("how", |convert| {
            convert.at("leak", |convert| {
                (
                    convert.quantity("volume", volume),
                    convert.quantity("atmosphere", atmosphere.unwrap_or(STANDARD_ATMOSPHERE)),
                )
            })
        });
        let (volume, atmosphere) = (volume?, atmosphere?);
        let flow = window.is_none_or(|window| window.unit().dimension() == Dimension::Flow);
        let closed = volume.dimension() == Dimension::Volume && volume.decimal().digits() > 0;
        let air = atmosphere.reference() == Some(Reference::Absolute);
        if !are(readings, &LEAK_READINGS) || !flow || !closed || !air {
            let message = "A leak rate is worked out of five readings, a volume and an absolute atmosphere, and its limit is a flow.";
            self.report(
                codes::LEAK_READINGS,
                message.to_owned(),
                "Name start pressure, start temperature, end pressure, end temperature and the time held in from, a volume such as \"2 L\", \
                 and a window such as \"..0.5 mL/min\".",
            );
            return None;
        }
        Some(model::Computation::Leak {
            volume,
            atmosphere,
            into,
        })
    }

    /// Spring rate and diaphragm area; seat area and seat spring where they are written.
    fn balance(
        &mut self,
        needed: [&'w String; 2],
        optional: [Option<&'w String>; 2],
        readings: &[Option<Dimension>],
        window: Option<&Window>,
    ) -> Option<model::Computation> {
        let loading = self.at("how", |convert| {
            convert.at("balance", |convert| convert.loading(needed, optional))
        });
        let loading = loading?;
        // Without a window its own fault is already reported.
        let window = window?;
        let wanted = if loading.seat().is_some() {
            &BALANCE_READINGS[..]
        } else {
            &BALANCE_READINGS[..2]
        };
        let message = if window.unit().dimension() != Dimension::Pressure
            || window.reference() != Some(Reference::Gauge)
        {
            "What the spring carries is a gauge pressure; the window is none."
        } else if are(readings, wanted) {
            return Some(model::Computation::Balance {
                loading,
                unit: window.unit(),
            });
        } else if loading.seat().is_some() {
            "What the spring carries is worked out of two screw heights and, for the seat area, the inlet pressure."
        } else {
            "What the spring carries is worked out of two screw heights alone; no seat area is written."
        };
        self.report(
            codes::BALANCE_READINGS,
            message.to_owned(),
            "Name in from the screw height where it just touches the spring, the height at the set-point and, only with seat_area, the inlet \
             pressure; write a window such as \"3.1..3.9 bar g\".",
        );
        None
    }

    fn loading(
        &mut self,
        [rate, area]: [&'w String; 2],
        [seat_area, seat_spring]: [Option<&'w String>; 2],
    ) -> Option<Loading> {
        let rate = self.quantity("rate", rate);
        let area = self.quantity("area", area);
        let seat = self.optional_quantity("seat_area", seat_area);
        let spring = self.optional_quantity("seat_spring", seat_spring);
        let (rate, area, seat, spring) = (rate?, area?, seat?, spring?);
        match Loading::new(&rate, &area, seat.as_ref(), spring.as_ref()) {
            Ok(loading) => Some(loading),
            Err(fault) => {
                self.report(
                    codes::BALANCE_READINGS,
                    format!("A figure of spring and diaphragm cannot be: {fault}."),
                    "Write the spring rate such as \"60 N/mm\", areas such as \"38.5 cm²\" and a seat spring such as \"40 N\", each above 0.",
                );
                None
            }
        }
    }
}

/// Whether readings are of these kinds, one by one; one that could not be read is taken for right, for it is reported already.
fn are(readings: &[Option<Dimension>], wanted: &[Dimension]) -> bool {
    readings.len() == wanted.len()
        && readings
            .iter()
            .zip(wanted)
            .all(|(kind, wanted)| kind.is_none_or(|kind| kind == *wanted))
}
