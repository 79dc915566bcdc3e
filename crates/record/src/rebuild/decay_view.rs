//! What a hold of pressure shows: its readings over its time, the line through them, and how far it may go.

use reseat_measure::{Quantity, Unit};

/// One reading of a hold.
#[derive(Debug, Clone, PartialEq)]
pub struct DecayPoint {
    /// Its entry.
    pub entry: u64,
    /// Seconds since the first reading.
    pub seconds: f64,
    /// The reading.
    pub value: Quantity,
    /// Where it is drawn, in the unit of the hold: the reading, with the temperature taken out where that is what is judged.
    pub at: f64,
}

/// A straight line through the readings of a hold, in their unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DecayLine {
    /// Pressure at the first reading's time.
    pub start: f64,
    /// Change a second.
    pub per_second: f64,
}

/// What a hold is held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Allowed {
    /// A change of the pressure itself.
    Change(Quantity),
    /// A leak; the temperature is taken out.
    Leak(Quantity),
}

/// The pressure of a hold over its time. Nothing of it is kept: it is worked out from the readings that stand.
#[derive(Debug, Clone, PartialEq)]
pub struct DecayView {
    /// What is worked out from the hold, such as `drop`.
    pub label: String,
    /// Unit of the readings.
    pub unit: Unit,
    /// The readings that stand, in the order of the procedure.
    pub readings: Vec<DecayPoint>,
    /// Whether every reading that the procedure asks for is in.
    pub whole: bool,
    /// Whether the times were taken, by the clock or as a reading; else they are the minutes written.
    pub by_clock: bool,
    /// The line through them: none with fewer than two.
    pub line: Option<DecayLine>,
    /// Minutes of the hold: as written, or as read where the time is a reading that the leak rests on.
    pub minutes: f64,
    /// What is allowed.
    pub allowed: Allowed,
    /// Where the pressure may come to in these minutes, in the unit of the readings; none where it cannot be told.
    pub limit: Option<f64>,
    /// Whether a fall is held against the limit; else a rise.
    pub falls: bool,
}

impl DecayView {
    /// Decimals that the limit is shown with.
    #[must_use]
    pub fn places(&self) -> usize {
        let read = self
            .readings
            .first()
            .map_or(0, |first| usize::from(first.value.decimal().decimals()));
        match self.allowed {
            Allowed::Change(_) => read,
            Allowed::Leak(_) => read + 2,
        }
    }

    /// What the readings tell, in words: how many, from what to what in which time, and what is allowed.
    #[must_use]
    pub fn words(&self) -> String {
        let allowed = self.allowed_words();
        let (Some(first), Some(last)) = (self.readings.first(), self.readings.last()) else {
            return allowed;
        };
        if self.readings.len() == 1 {
            return format!("1 reading, {}; {allowed}", first.value);
        }
        let minutes = rounded(last.seconds / 60.0);
        let by = if self.by_clock { "" } else { " as written" };
        let mut text = format!(
            "{} readings, {} to {} in {minutes} min{by}",
            self.readings.len(),
            first.value,
            last.value
        );
        if matches!(self.allowed, Allowed::Leak(_)) {
            text = format!(
                "{text}, {:+.*} {} with the temperature taken out",
                self.places(),
                last.at - first.at,
                self.unit
            );
        }
        // Two readings make a line whatever they are; only more of them fit one.
        if let Some(line) = self.line.filter(|_| self.readings.len() > 2) {
            let places = usize::from(first.value.decimal().decimals()) + 2;
            text = format!(
                "{text}, fitted {:+.places$} {} a minute",
                line.per_second * 60.0,
                self.unit
            );
        }
        format!("{text}; {allowed}")
    }

    fn allowed_words(&self) -> String {
        let way = if self.falls { "fall" } else { "rise" };
        let minutes = rounded(self.minutes);
        match (&self.allowed, self.readings.first().zip(self.limit)) {
            (Allowed::Change(change), _) => format!("may {way} {change} in {minutes} min"),
            (Allowed::Leak(leak), None) => format!("may leak {leak}"),
            (Allowed::Leak(leak), Some((first, limit))) => format!(
                "may leak {leak}, a {way} of {:.*} {} in {minutes} min",
                self.places(),
                (limit - first.at).abs(),
                self.unit
            ),
        }
    }
}

/// To the tenth.
fn rounded(minutes: f64) -> f64 {
    (minutes * 10.0).round() / 10.0
}
