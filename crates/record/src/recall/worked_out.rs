//! A value that was worked out from readings of an instrument found out: worked out again from what those were in truth.

use std::sync::Arc;

use reseat_measure::Quantity;
use reseat_procedure::Procedure;
use reseat_procedure::model::{Asked, Computation};

use super::again::{self, Again, NOT_COMPARABLE, OUT_OF_REACH};
use super::{Recall, Touched, shortest, window_of};
use crate::log::{Clock, Entry, Sealed};
use crate::rebuild::body::Reading;
use crate::rebuild::{Body, compute};

/// What it rests on, or how it is worked out, is not to be found in the record.
const NOT_IN_RECORD: &str = "what it was worked out from is not in the record";

impl Recall {
    /// Judges again a value that was worked out from other readings, from the procedure and all entries of its rebuild: the
    /// readings of the instrument with its error taken out, those of others as they were. What rests on a reading whose true
    /// value cannot be said stays as it is, with the reason.
    pub fn work_out(&self, touched: &mut Touched, procedure: &Procedure, entries: &[Sealed]) {
        let again = match self.again(touched, procedure, entries) {
            Ok(again) => again,
            Err(why) => Again::cannot(why),
        };
        touched.place = again.place;
        touched.stands = again.stands.into();
        touched.corrected = again.corrected.map(Arc::from);
        touched.why = again.why;
    }

    fn again(
        &self,
        touched: &Touched,
        procedure: &Procedure,
        entries: &[Sealed],
    ) -> Result<Again, &'static str> {
        let truth = self.truth_at(procedure, entries, touched.number)?;
        let truth = shortest(&truth).ok_or(OUT_OF_REACH)?;
        let Some(window) = touched.window.as_deref() else {
            return Ok(Again::without_window(&truth));
        };
        let judged = |value: &Quantity| {
            let window = window_of(window)?
                .taking_reference(value.reference())
                .ok()?;
            Some(window.judge(value).ok()?.place)
        };
        let before = Quantity::parse(&touched.means).ok();
        let before = before.and_then(|means| judged(&means));
        let (before, now) = before.zip(judged(&truth)).ok_or(NOT_COMPARABLE)?;
        Ok(Again::placed(before, now, &truth))
    }

    /// What a reading was in truth, or a value worked out from such.
    fn truth_at(
        &self,
        procedure: &Procedure,
        entries: &[Sealed],
        number: u64,
    ) -> Result<Quantity, &'static str> {
        let place = usize::try_from(number)
            .ok()
            .and_then(|at| at.checked_sub(1));
        let sealed = place.and_then(|at| entries.get(at)).ok_or(NOT_IN_RECORD)?;
        let Some(Body::Reading(body)) = Body::read(&sealed.entry) else {
            return Err(NOT_IN_RECORD);
        };
        let means = Quantity::parse(&body.means).map_err(|_| OUT_OF_REACH)?;
        let Some(given) = body.instruments.first() else {
            let mut values = Vec::with_capacity(body.from.len());
            for from in &body.from {
                // An entry rests on those before it.
                let from = Some(*from).filter(|from| *from < number);
                values.push(self.truth_at(procedure, entries, from.ok_or(NOT_IN_RECORD)?)?);
            }
            if values.is_empty() {
                return Ok(means);
            }
            let how = how_of(procedure, &body).ok_or(NOT_IN_RECORD)?;
            return compute(&values, how).ok_or(OUT_OF_REACH);
        };
        if given.id != self.instrument || self.is_older(&sealed.entry) {
            return Ok(means);
        }
        match self.curve.corrected(&means, 4) {
            Ok(truth) => truth.map_err(again::why),
            Err(_) => Err(NOT_COMPARABLE),
        }
    }

    /// Whether it was read before the last good check.
    fn is_older(&self, entry: &Entry) -> bool {
        let utc = entry.acted.as_ref().unwrap_or(&entry.utc);
        entry.clock != Clock::Doubted && *utc < self.from
    }
}

/// How a value of the procedure is worked out, or the spread of a gap.
fn how_of(procedure: &Procedure, body: &Reading) -> Option<Computation> {
    let thing = body.thing.as_deref()?;
    if body.joint.is_some() && thing == "gap/spread" {
        return Some(Computation::Spread);
    }
    let step = procedure.steps().find(|step| step.id == body.step)?;
    step.asks.iter().find_map(|asked| match asked {
        Asked::Computed { id, how, .. } if id == thing => Some(*how),
        _ => None,
    })
}
