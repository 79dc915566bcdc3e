//! An instrument found out: every reading it gave since its last good check, judged again with its error taken out.
//!
//! The readings come in as stored entries and go out named one by one, for the one signed register entry that puts them
//! in doubt. The records themselves are not touched; IN DOUBT on a record is worked out from the register.

mod again;
mod worked_out;

use std::borrow::Cow;
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use chrono::{DateTime, SecondsFormat, Utc};
use reseat_measure::recall::{BenchPoint as Point, ErrorCurve, Rejudged};
use reseat_measure::{Place, Quantity, Rational, Window};
use serde::Deserialize;

use self::again::{Again, BESIDE, NOT_COMPARABLE, OUT_OF_REACH, WORKED_OUT, why};
use crate::log::{Clock, Hash, Id, Stamp, is_utc};
use crate::rebuild::body::AdapterUse;
use crate::rebuild::time::local_day;
use crate::rebuild::{at_nut, required_parts};
use crate::refusal::Refusal;
use crate::register::{
    BenchPoint, DoubtedRebuild, Fact, InDoubt, Instrument, Register, Scale, StillStands,
};

/// Since when the readings of an instrument are in question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Since {
    /// The day of the last good check, `2026-03-12`.
    pub day: String,
    /// The first moment of that day where the register is kept, UTC in the form of entries.
    pub from: String,
    /// The register entry of the certificate of that day, where there is one.
    pub fact: Option<Fact>,
}

impl Since {
    /// What the day is called where it is refused.
    pub const FIELD: &'static str = "day of the last good check";

    /// The last good check of an instrument: the day given, or the day of its latest certificate. `offset` is that of the
    /// local zone, `+01:00`: a day begins where people live.
    ///
    /// # Errors
    /// [`Refusal::NoDay`] for a day that is none.
    pub fn of(instrument: &Instrument, day: Option<&str>, offset: &str) -> Result<Self, Refusal> {
        let day = day.unwrap_or(&instrument.calibration.calibrated);
        let begins = DateTime::parse_from_rfc3339(&format!("{day}T00:00:00{offset}"));
        let (true, Ok(begins)) = (crate::log::is_day(day), begins) else {
            return Err(Refusal::NoDay {
                field: Since::FIELD,
                typed: day.to_owned(),
            });
        };
        let certified = instrument
            .certified
            .iter()
            .rev()
            .find(|certified| certified.calibrated == day);
        Ok(Self {
            day: day.to_owned(),
            from: utc_form(begins.into()),
            fact: certified.map(|certified| certified.fact),
        })
    }
}

/// Refuses a day that has not come by the clock of the stamp; a clock that is not trusted refuses none.
///
/// # Errors
/// [`Refusal::DayAhead`].
pub fn not_ahead(field: &'static str, day: &str, stamp: &Stamp) -> Result<(), Refusal> {
    let today = local_day(&stamp.utc, &stamp.offset);
    if stamp.clock == Clock::Doubted || day <= today.as_str() {
        return Ok(());
    }
    Err(Refusal::DayAhead {
        field,
        typed: day.to_owned(),
        today,
    })
}

/// An instant in the form of entries.
fn utc_form(instant: DateTime<Utc>) -> String {
    instant.to_rfc3339_opts(SecondsFormat::Millis, true)
}

/// One point of the bench as typed: digits are bound to the instrument's scale, as a reading's are; with a unit they say it
/// themselves.
///
/// # Errors
/// [`Refusal::BenchPoint`] for what is no value, or one of another kind than the scale.
pub fn bench_point(
    instrument: &Instrument,
    bench: &str,
    showed: &str,
) -> Result<BenchPoint, Refusal> {
    let read = |field: &'static str, typed: &str| -> Result<Quantity, Refusal> {
        let quantity = Quantity::from_digits(typed.trim(), instrument.scale, instrument.reference)
            .or_else(|_| Quantity::parse(typed))
            .and_then(|quantity| quantity.taking_reference(instrument.reference));
        let quantity = quantity.map_err(|why| Refusal::BenchPoint {
            field,
            why: why.to_string(),
        })?;
        on_scale(instrument, field, &quantity)?;
        Ok(quantity)
    };
    Ok(BenchPoint {
        bench: read("true value", bench)?,
        showed: read("shown value", showed)?,
    })
}

fn on_scale(
    instrument: &Instrument,
    field: &'static str,
    quantity: &Quantity,
) -> Result<(), Refusal> {
    let other_reference =
        quantity.reference().is_some() && quantity.reference() != instrument.reference;
    if quantity.dimension() != instrument.scale.dimension() || other_reference {
        return Err(Refusal::NotOnScale {
            field,
            scale: Scale {
                unit: instrument.scale,
                reference: instrument.reference,
            }
            .to_string(),
        });
    }
    Ok(())
}

/// The error of an instrument from the points found on the bench: each of the kind of its scale, and the true values rising
/// from one to the next, so that a point typed wrong shows.
///
/// # Errors
/// [`Refusal::NotOnScale`], [`Refusal::BenchOrder`], or [`Refusal::BenchSaysNothing`] where they contradict each other.
pub fn error_of(instrument: &Instrument, found: &[BenchPoint]) -> Result<ErrorCurve, Refusal> {
    let says_nothing = |why: &dyn ToString| Refusal::BenchSaysNothing {
        why: why.to_string(),
    };
    let mut points: Vec<Point> = Vec::with_capacity(found.len());
    for point in found {
        let taken = |field: &'static str, quantity: Quantity| {
            on_scale(instrument, field, &quantity)?;
            quantity
                .taking_reference(instrument.reference)
                .map_err(|why| says_nothing(&why))
        };
        let point = Point {
            truth: taken("true value", point.bench)?,
            shown: taken("shown value", point.showed)?,
        };
        if let Some(last) = points.last() {
            let order = point
                .truth
                .cmp_exact(&last.truth)
                .map_err(|why| says_nothing(&why))?;
            if order.is_le() {
                return Err(Refusal::BenchOrder {
                    before: last.truth.to_string(),
                    after: point.truth.to_string(),
                });
            }
        }
        points.push(point);
    }
    ErrorCurve::new(&points).map_err(|why| says_nothing(&why))
}

/// One reading that a recalled instrument gave.
#[derive(Debug, Clone, PartialEq)]
pub struct Touched {
    /// The rebuild.
    pub stream: Id,
    /// Number of its entry.
    pub number: u64,
    /// When it was read, UTC: the time of the act where the entry came late.
    pub utc: String,
    /// Whether the clock of the laptop was believed then. A reading whose time is not believed is never taken for older than
    /// the last good check.
    pub dated: bool,
    /// What was read: joint and fastener, or the thing measured.
    pub what: String,
    /// The reading, as judged.
    pub means: Arc<str>,
    /// The window it was judged against, if any.
    pub window: Option<Arc<str>>,
    /// Where it was judged to lie, if it was.
    pub was: Option<Place>,
    /// With the error taken out: `still WITHIN`, `now LOW`, `now HIGH`, `cannot say`.
    pub stands: Arc<str>,
    /// With the error taken out, where it can be said.
    pub corrected: Option<Arc<str>>,
    /// Why it cannot be said where it lies; none where it can.
    pub why: Option<&'static str>,
    /// Whether it was worked out from other readings; [`Recall::work_out`] does that again.
    pub rests: bool,
    /// Hash of its entry.
    pub hash: Hash,
    /// Where it stands, as the register entry names it.
    pub place: StillStands,
}

/// What a stored entry is to a recall.
#[derive(Debug, Clone, PartialEq)]
pub enum Looked {
    /// A reading since the last good check, judged again.
    Touched(Box<Touched>),
    /// Something else, or older.
    Not,
    /// It cannot be read; `reseat verify` says what happened to it.
    Unread,
}

/// Readings of an instrument, judged again as they come.
#[derive(Debug, Clone)]
pub struct Recall {
    instrument: String,
    /// UTC in the form of entries, which sorts as time does.
    from: String,
    curve: ErrorCurve,
    /// What was worked out before, by reading and window: an instrument shows the same few numbers over and over.
    judged: HashMap<Arc<str>, Vec<Judged>>,
}

/// A reading against a window, with the error taken out.
#[derive(Debug, Clone)]
struct Judged {
    means: Arc<str>,
    window: Option<Arc<str>>,
    place: StillStands,
    stands: Arc<str>,
    corrected: Option<Arc<str>>,
    why: Option<&'static str>,
}

impl Judged {
    fn of(means: &str, window: Option<&str>, again: Again) -> Self {
        Self {
            means: means.into(),
            window: window.map(Into::into),
            place: again.place,
            stands: again.stands.into(),
            corrected: again.corrected.map(Into::into),
            why: again.why,
        }
    }
}

fn is_reading(kind: &str) -> bool {
    matches!(kind, "reading/1" | "setting/1")
}

#[derive(Deserialize)]
struct StoredKind {
    kind: String,
}

/// The members of an entry that a recall looks at; the rest is passed over unread.
#[derive(Deserialize)]
struct Stored<'a> {
    stream: Id,
    number: u64,
    #[serde(borrow)]
    kind: Cow<'a, str>,
    #[serde(borrow)]
    utc: Cow<'a, str>,
    #[serde(borrow)]
    clock: Cow<'a, str>,
    #[serde(borrow)]
    acted: Option<Cow<'a, str>>,
    #[serde(borrow)]
    body: StoredBody<'a>,
}

/// Of a reading, or of the setting of a click wrench, which names one instrument and what was required.
#[derive(Deserialize)]
struct StoredBody<'a> {
    #[serde(default, borrow)]
    step: Cow<'a, str>,
    #[serde(borrow)]
    joint: Option<Cow<'a, str>>,
    #[serde(borrow)]
    thing: Option<Cow<'a, str>>,
    fastener: Option<u32>,
    pass: Option<u32>,
    #[serde(default, borrow)]
    means: Cow<'a, str>,
    #[serde(borrow)]
    window: Option<Cow<'a, str>>,
    #[serde(borrow)]
    required: Option<Cow<'a, str>>,
    #[serde(borrow)]
    place: Option<Cow<'a, str>>,
    #[serde(default, borrow)]
    instruments: Vec<Named<'a>>,
    #[serde(borrow)]
    instrument: Option<Named<'a>>,
    /// Readings it was worked out from.
    #[serde(default)]
    from: Vec<u64>,
    /// What stood between wrench and nut: the scale showed another torque than the one judged.
    adapter: Option<AdapterUse>,
}

#[derive(Deserialize)]
struct Named<'a> {
    #[serde(borrow)]
    id: Cow<'a, str>,
}

impl Recall {
    /// A recall of an instrument found out at these points of the bench, for readings since its last good check.
    ///
    /// # Errors
    /// As [`error_of`].
    pub fn new(
        instrument: &Instrument,
        since: &Since,
        found: &[BenchPoint],
    ) -> Result<Self, Refusal> {
        let from = DateTime::parse_from_rfc3339(&since.from).map_err(|_| Refusal::NoDay {
            field: Since::FIELD,
            typed: since.from.clone(),
        })?;
        Ok(Self {
            instrument: instrument.id.clone(),
            from: utc_form(from.into()),
            curve: error_of(instrument, found)?,
            judged: HashMap::new(),
        })
    }

    /// A stored entry and its hash, judged again. One that was worked out from other readings is taken to rest on those of the
    /// instrument: the history hands over no others.
    ///
    /// What the instrument only stood beside is in question too, but where it lies cannot be said; nor can it of what was worked
    /// out from its readings, before [`Self::work_out`].
    #[must_use]
    pub fn look(&mut self, bytes: &[u8], hash: Hash) -> Looked {
        let Ok(entry) = serde_json::from_slice::<Stored>(bytes) else {
            // Members of another kind may be of another form; only a reading that cannot be read is a loss.
            return match serde_json::from_slice::<StoredKind>(bytes) {
                Ok(entry) if !is_reading(&entry.kind) => Looked::Not,
                _ => Looked::Unread,
            };
        };
        if !is_reading(&entry.kind) {
            return Looked::Not;
        }
        let utc = entry.acted.unwrap_or(entry.utc);
        if !is_utc(&utc) {
            return Looked::Unread;
        }
        let dated = entry.clock != "doubted";
        if dated && *utc < *self.from {
            return Looked::Not;
        }
        let body = entry.body;
        let named = body.instruments.iter().chain(&body.instrument);
        let rests = body.instruments.is_empty() && !body.from.is_empty();
        if !rests && !named.clone().any(|named| named.id == self.instrument) {
            return Looked::Not;
        }
        // The first instrument named gives the scale; the others only stood beside it.
        let gave = body.instrument.as_ref().or(body.instruments.first());
        let own = gave.is_some_and(|gave| gave.id == self.instrument);
        let window = body.window.or(body.required);
        let window = window.as_deref();
        let judged = match &body.adapter {
            _ if rests => Judged::of(&body.means, window, Again::cannot(WORKED_OUT)),
            _ if !own => Judged::of(&body.means, window, Again::cannot(BESIDE)),
            None => self.judged(&body.means, window),
            Some(used) => {
                let rejudged = window.and_then(|window| self.through(used, &body.means, window));
                let again = rejudged.map_or_else(|| Again::cannot(OUT_OF_REACH), Into::into);
                Judged::of(&body.means, window, again)
            }
        };
        let what = match (&body.joint, body.fastener, body.thing, body.pass) {
            (Some(joint), Some(fastener), ..) => format!("{joint} {fastener}"),
            (_, _, Some(thing), _) => thing.into_owned(),
            (Some(joint), None, None, Some(pass)) => format!("{joint} setting, pass {pass}"),
            _ => body.step.into_owned(),
        };
        Looked::Touched(Box::new(Touched {
            stream: entry.stream,
            number: entry.number,
            utc: utc.into_owned(),
            dated,
            what,
            means: judged.means,
            window: judged.window,
            was: body.place.and_then(|place| place.parse().ok()),
            stands: judged.stands,
            corrected: judged.corrected,
            why: judged.why,
            rests,
            hash,
            place: judged.place,
        }))
    }

    /// A reading of its own against its window, worked out once.
    fn judged(&mut self, means: &str, window: Option<&str>) -> Judged {
        let known = self.judged.get(means).and_then(|known| {
            let same = |one: &&Judged| one.window.as_deref() == window;
            known.iter().find(same).cloned()
        });
        known.unwrap_or_else(|| {
            let again = match window {
                Some(window) => self.rejudge(means, window).map(Into::into),
                None => self.truth_alone(means),
            };
            let again = again.unwrap_or_else(|| Again::cannot(NOT_COMPARABLE));
            let judged = Judged::of(means, window, again);
            let kept = self.judged.entry(Arc::clone(&judged.means)).or_default();
            kept.push(judged.clone());
            judged
        })
    }

    fn rejudge(&self, means: &str, window: &str) -> Option<Rejudged> {
        let reading = Quantity::parse(means).ok()?;
        let window = window_of(window)?
            .taking_reference(reading.reference())
            .ok()?;
        self.curve.rejudge(&window, &reading).ok()
    }

    /// A reading without a window, with the error taken out.
    fn truth_alone(&self, means: &str) -> Option<Again> {
        let reading = Quantity::parse(means).ok()?;
        let truth = self.curve.corrected(&reading, 2).ok()?;
        Some(truth.map_or_else(
            |reason| Again::cannot(why(reason)),
            |truth| Again::without_window(&truth),
        ))
    }

    /// A torque that came to the nut through an adapter: the error is taken out of what the wrench showed, and what is left is
    /// brought to the nut as the reading was. The setting of a pass before the last is held against its mark on the wrench.
    fn through(&self, used: &AdapterUse, means: &str, window: &str) -> Option<Rejudged> {
        let (adapter, showed) = (used.adapter()?, used.showed()?);
        // As fine as the digits of a quantity hold on both sides of the adapter.
        let mut fitting = (0..=4).rev().filter_map(|beyond| {
            let wrench = match self.curve.corrected(&showed, beyond).ok()? {
                Ok(wrench) => wrench,
                Err(why) => return Some(Err(why)),
            };
            Some(Ok((wrench, at_nut(Some(&adapter), wrench)?)))
        });
        let (wrench, nut) = match fitting.next()? {
            Ok(both) => both,
            Err(why) => return Some(Rejudged::CannotSay(why)),
        };
        let (window, then, now) = match required_parts(window) {
            Some((mark, nut)) if Window::parse(nut).is_err() => (window_of(mark)?, showed, wrench),
            Some((_, at_nut)) => (window_of(at_nut)?, Quantity::parse(means).ok()?, nut),
            None => (window_of(window)?, Quantity::parse(means).ok()?, nut),
        };
        Some(Rejudged::Placed {
            before: window.judge(&then).ok()?.place,
            now: window.judge(&now).ok()?.place,
            corrected: shortest(&nut)?,
        })
    }
}

/// The readings of a list as one register entry names them; those of one rebuild stand together, in the order of their numbers.
pub fn named<'a>(list: impl IntoIterator<Item = &'a Touched>) -> Vec<DoubtedRebuild> {
    let mut rebuilds: Vec<DoubtedRebuild> = Vec::new();
    for one in list {
        if rebuilds.last().is_none_or(|last| last.stream != one.stream) {
            rebuilds.push(DoubtedRebuild::new(one.stream, one.hash));
        }
        if let Some(last) = rebuilds.last_mut() {
            last.name(one.number, one.hash, one.place);
        }
    }
    rebuilds
}

/// Without noughts at the end.
fn shortest(quantity: &Quantity) -> Option<Quantity> {
    let short = Rational::from(quantity.decimal()).to_short_decimal().ok()?;
    Quantity::new(short, quantity.unit(), quantity.reference()).ok()
}

/// A window, or a single value required: a window of no width.
fn window_of(text: &str) -> Option<Window> {
    Window::parse(text).ok().or_else(|| {
        let only = Quantity::parse(text).ok()?;
        let end = Some(only.decimal());
        Window::new(end, end, only.unit(), only.reference()).ok()
    })
}

/// The entries of a rebuild that the register puts in doubt, in the order they were.
#[must_use]
pub fn in_doubt<'a>(register: &'a Register, stream: &Id) -> Vec<&'a InDoubt> {
    let all = register.in_doubt().iter();
    all.filter(|doubt| doubt.stream == *stream).collect()
}

/// How many readings of each rebuild are in doubt: for lists. A reading recalled twice counts once.
#[must_use]
pub fn doubts_by_rebuild(register: &Register) -> BTreeMap<Id, usize> {
    counted(register, |doubt| doubt.stream)
}

/// How many readings of each instrument are in doubt, by its name: for lists.
#[must_use]
pub fn doubts_by_instrument(register: &Register) -> BTreeMap<String, usize> {
    counted(register, |doubt| doubt.instrument.clone())
}

fn counted<K: Ord>(register: &Register, key: impl Fn(&InDoubt) -> K) -> BTreeMap<K, usize> {
    let mut met = std::collections::BTreeSet::new();
    let mut counts = BTreeMap::new();
    for doubt in register.in_doubt() {
        let key = key(doubt);
        if met.insert((doubt.instrument.as_str(), doubt.stream, doubt.number)) {
            *counts.entry(key).or_default() += 1;
        }
    }
    counts
}

/// What a list says of a rebuild or an instrument, with how many of its readings are in doubt behind it, where any is.
#[must_use]
pub fn with_doubt(words: String, in_doubt: usize) -> String {
    match in_doubt {
        0 => words,
        1 => format!("{words}, 1 reading IN DOUBT"),
        more => format!("{words}, {more} readings IN DOUBT"),
    }
}
