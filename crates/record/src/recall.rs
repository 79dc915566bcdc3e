//! An instrument found out: every reading it gave since its last good check, judged again with its error taken out.
//!
//! The readings come in as stored entries and go out named one by one, for the one signed register entry that puts them
//! in doubt. The records themselves are not touched; IN DOUBT on a record is worked out from the register.

use reseat_measure::recall::{BenchPoint as Point, ErrorCurve, RecallError, Rejudged};
use reseat_measure::{Place, Quantity, Window};

use crate::log::{Id, Sealed};
use crate::rebuild::Body;
use crate::register::{BenchPoint, Doubted, Register, StillStands};

/// One reading that a recalled instrument gave.
#[derive(Debug, Clone, PartialEq)]
pub struct Touched {
    /// The rebuild.
    pub stream: Id,
    /// Number of its entry.
    pub number: u64,
    /// Time of the entry, UTC.
    pub utc: String,
    /// What was read: joint and fastener, or the thing measured.
    pub what: String,
    /// The reading, as judged.
    pub means: String,
    /// The window it was judged against, if any.
    pub window: Option<String>,
    /// With the error taken out: `still WITHIN`, `now LOW`, `now HIGH`, `cannot say`.
    pub stands: String,
    /// With the error taken out, where it can be said.
    pub corrected: Option<String>,
    /// As the register entry names it.
    pub doubted: Doubted,
}

/// Readings of an instrument, judged again as they come.
#[derive(Debug, Clone)]
pub struct Recall {
    instrument: String,
    since: Option<String>,
    curve: ErrorCurve,
}

impl Recall {
    /// A recall of an instrument found out at these points of the bench, for readings from the day of its last good check on
    /// (`2026-03-12`); none: all.
    ///
    /// # Errors
    /// Points that say nothing, or contradict each other.
    pub fn new(
        instrument: &str,
        since: Option<&str>,
        found: &[BenchPoint],
    ) -> Result<Self, RecallError> {
        let points: Vec<Point> = found
            .iter()
            .map(|point| Point {
                truth: point.bench,
                shown: point.showed,
            })
            .collect();
        Ok(Self {
            instrument: instrument.to_owned(),
            since: since.map(str::to_owned),
            curve: ErrorCurve::new(&points)?,
        })
    }

    /// The reading judged again; none if the entry is no reading of this instrument, or older than its last good check.
    #[must_use]
    pub fn judge(&self, sealed: &Sealed) -> Option<Touched> {
        let Some(Body::Reading(body)) = Body::read(&sealed.entry) else {
            return None;
        };
        // The first instrument named gives the scale; the others only stood beside it.
        if body.instruments.first()?.id != self.instrument {
            return None;
        }
        if self
            .since
            .as_ref()
            .is_some_and(|since| sealed.entry.utc.as_str() < since.as_str())
        {
            return None;
        }
        let what = match (&body.joint, body.fastener, &body.thing) {
            (Some(joint), Some(fastener), _) => format!("{joint} {fastener}"),
            (_, _, Some(thing)) => thing.clone(),
            _ => body.step.clone(),
        };
        let rejudged = self.rejudge(&body.means, body.window.as_deref());
        let (stands, place, corrected) = match rejudged {
            Some(Rejudged::Placed { now, corrected, .. }) => {
                let place = match now {
                    Place::Within => StillStands::Within,
                    Place::Low => StillStands::Low,
                    Place::High => StillStands::High,
                };
                (
                    rejudged.map(|rejudged| rejudged.to_string()),
                    place,
                    Some(corrected.to_string()),
                )
            }
            _ => (None, StillStands::CannotSay, None),
        };
        Some(Touched {
            stream: sealed.entry.stream,
            number: sealed.entry.number,
            utc: sealed.entry.utc.clone(),
            what,
            means: body.means.clone(),
            window: body.window.clone(),
            stands: stands.unwrap_or_else(|| "cannot say".to_owned()),
            corrected,
            doubted: Doubted {
                stream: sealed.entry.stream,
                number: sealed.entry.number,
                hash: sealed.hash,
                place,
            },
        })
    }

    fn rejudge(&self, means: &str, window: Option<&str>) -> Option<Rejudged> {
        let reading = Quantity::parse(means).ok()?;
        let window = Window::parse(window?)
            .ok()?
            .taking_reference(reading.reference())
            .ok()?;
        self.curve.rejudge(&window, &reading).ok()
    }
}

/// Numbers of the entries of a rebuild that the register puts in doubt, with the instrument that was found out.
#[must_use]
pub fn in_doubt(register: &Register, stream: &Id) -> Vec<(u64, String)> {
    register
        .in_doubt()
        .iter()
        .filter(|doubt| doubt.reading.stream == *stream)
        .map(|doubt| (doubt.reading.number, doubt.instrument.clone()))
        .collect()
}
