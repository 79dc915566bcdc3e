//! The clock of a home: what time it is, and whether that may be believed.
//!
//! The wall clock is read once, when the home is opened; within a run time goes on by the monotonic clock, so that nobody
//! can make a rest shorter by setting the clock. It is believed when it lies not behind the latest trusted time of this
//! home, not more than thirty days beyond it, the time zone can be read, and a person has agreed with it today. Else the
//! clock is not trusted, until a person gives date and time. The order of entries never rests on any of this.

mod doubt;
mod source;

use std::time::Duration;

use chrono::{DateTime, FixedOffset, NaiveDateTime, Offset, SecondsFormat, Utc};
use reseat_record::log::{Clock as Word, is_utc};

use super::fault::ClockFault;

pub use doubt::Doubt;
pub use source::{SetTime, SystemTime, Time, Wall};

/// How far beyond the latest trusted time the clock is still believed.
const BEYOND_DAYS: i64 = 30;
/// How near a given time must lie to the machine's clock to bear it out.
const NEAR_MINUTES: i64 = 5;
/// How long an agreement holds in a run that goes on over midnight.
const AGREED_HOURS: u64 = 24;
/// No laptop runs this program before this day; a clock that says so has lost its battery.
const EARLIEST: &str = "2024-01-01T00:00:00.000Z";

/// The clock of an open home.
pub struct HomeClock {
    time: Box<dyn Time>,
    wall: Wall,
    since: Duration,
    run_on_ms: i64,
    floor_ms: Option<i64>,
    agreed_day: Option<String>,
    agreed_at: Option<Duration>,
    given: Option<(i64, Duration)>,
}

impl HomeClock {
    /// Reads the wall clock, once.
    pub fn start(time: Box<dyn Time>) -> Self {
        let (wall, since) = (time.wall(), time.elapsed());
        Self {
            time,
            wall,
            since,
            run_on_ms: 0,
            floor_ms: None,
            agreed_day: None,
            agreed_at: None,
            given: None,
        }
    }

    /// Whether the source of time was set by hand.
    pub fn is_set(&self) -> bool {
        self.time.is_set()
    }

    /// The monotonic clock of this run.
    pub fn elapsed(&self) -> Duration {
        self.time.elapsed()
    }

    /// Takes over what the home's entries say: its floor, the day agreed to, seconds a demo home was let run on.
    pub fn remember(&mut self, floor: Option<&str>, agreed_day: Option<&str>, ran_on_seconds: u64) {
        self.floor_ms = floor.and_then(millis_of).or(self.floor_ms);
        self.agreed_day = agreed_day.map(str::to_owned);
        self.run_on_ms = i64::try_from(ran_on_seconds)
            .unwrap_or(i64::MAX / 2000)
            .saturating_mul(1000);
    }

    /// Raises the floor to a trusted time.
    pub fn raise_floor(&mut self, utc: &str) {
        if let Some(ms) = millis_of(utc) {
            self.floor_ms = Some(self.floor_ms.map_or(ms, |floor| floor.max(ms)));
        }
    }

    /// A person agreed with the clock on this local day.
    pub fn agreed(&mut self, day: &str) {
        self.agreed_day = Some(day.to_owned());
        self.agreed_at = Some(self.time.elapsed());
    }

    /// A person gave date and time. Where the machine's clock lies within five minutes of it, the machine's is borne out
    /// and goes on; else the given time does.
    pub fn give(&mut self, utc: &str) {
        let Some(given) = millis_of(utc) else { return };
        let machine = self.machine_ms();
        self.floor_ms = Some(given.min(machine.max(given - NEAR_MINUTES * 60_000)));
        if (machine - given).abs() <= NEAR_MINUTES * 60_000 && self.wall.offset_minutes.is_some() {
            self.given = None;
            let day = self.day();
            self.agreed(&day);
        } else {
            self.given = Some((given, self.time.elapsed()));
        }
    }

    /// Lets the clock of a demo home run on.
    pub fn run_on(&mut self, seconds: u64) {
        let ms = i64::try_from(seconds)
            .unwrap_or(i64::MAX / 2000)
            .saturating_mul(1000);
        self.run_on_ms = self.run_on_ms.saturating_add(ms);
        if let Some((given, _)) = &mut self.given {
            *given = given.saturating_add(ms);
        }
    }

    /// Why the clock is not trusted; none where it is, or where a person gave the time.
    pub fn doubt(&self) -> Option<Doubt> {
        if self.given.is_some() {
            return None;
        }
        let now = self.machine_ms();
        if self.wall.offset_minutes.is_none() {
            return Some(Doubt::Zone);
        }
        if millis_of(EARLIEST).is_some_and(|earliest| now < earliest) {
            return Some(Doubt::Early);
        }
        if let Some(floor_ms) = self.floor_ms {
            let floor = text_of(floor_ms);
            if now < floor_ms {
                return Some(Doubt::Behind { floor });
            }
            if now - floor_ms > BEYOND_DAYS * 86_400_000 {
                return Some(Doubt::FarBeyond { floor });
            }
        }
        let fresh = self.agreed_at.is_some_and(|at| {
            self.time.elapsed().saturating_sub(at) < Duration::from_secs(AGREED_HOURS * 3600)
        });
        if fresh || self.agreed_day.as_deref() == Some(self.day().as_str()) {
            None
        } else {
            Some(Doubt::NotAgreed)
        }
    }

    /// What an entry written now says of the clock.
    pub fn word(&self) -> Word {
        match (self.given, self.doubt()) {
            (Some(_), _) => Word::Given,
            (None, Some(_)) => Word::Doubted,
            (None, None) => Word::Trusted,
        }
    }

    /// Now, `2026-03-12T12:55:02.120Z`.
    pub fn utc(&self) -> String {
        text_of(self.now_ms())
    }

    /// What the machine's clock says, whatever a person gave.
    pub fn machine_utc(&self) -> String {
        text_of(self.machine_ms())
    }

    /// The local offset, `+01:00`; `+00:00` where the zone cannot be read.
    pub fn offset(&self) -> String {
        let minutes = self.wall.offset_minutes.unwrap_or(0);
        let sign = if minutes < 0 { '-' } else { '+' };
        format!("{sign}{:02}:{:02}", minutes.abs() / 60, minutes.abs() % 60)
    }

    /// The local day, `2026-03-12`.
    pub fn day(&self) -> String {
        self.local().format("%Y-%m-%d").to_string()
    }

    /// Local date and time as a person reads it, `2026-03-12 13:55`.
    pub fn local_text(&self) -> String {
        self.local().format("%Y-%m-%d %H:%M").to_string()
    }

    /// Reads a local date and time as a person types it, `2026-03-12 13:55`, into the record's form.
    ///
    /// # Errors
    /// [`ClockFault::NoLocalTime`].
    pub fn read_local(&self, typed: &str) -> Result<String, ClockFault> {
        let text: Vec<&str> = typed
            .split(['T', ' '])
            .filter(|part| !part.is_empty())
            .collect();
        let local =
            NaiveDateTime::parse_from_str(&text.join(" "), "%Y-%m-%d %H:%M").map_err(|_| {
                ClockFault::NoLocalTime {
                    typed: typed.chars().take(40).collect(),
                }
            })?;
        let minutes = i64::from(self.wall.offset_minutes.unwrap_or(0));
        let utc = local.and_utc().timestamp_millis() - minutes * 60_000;
        let text = text_of(utc);
        if is_utc(&text) {
            Ok(text)
        } else {
            Err(ClockFault::NoLocalTime {
                typed: typed.chars().take(40).collect(),
            })
        }
    }

    fn local(&self) -> DateTime<FixedOffset> {
        let minutes = self.wall.offset_minutes.unwrap_or(0);
        let zone = FixedOffset::east_opt(minutes * 60).unwrap_or_else(|| Utc.fix());
        instant(self.now_ms()).with_timezone(&zone)
    }

    fn machine_ms(&self) -> i64 {
        self.wall
            .utc_ms
            .saturating_add(self.since_then(self.since))
            .saturating_add(self.run_on_ms)
    }

    fn now_ms(&self) -> i64 {
        match self.given {
            Some((given, at)) => given.saturating_add(self.since_then(at)),
            None => self.machine_ms(),
        }
    }

    fn since_then(&self, then: Duration) -> i64 {
        let passed = self.time.elapsed().saturating_sub(then);
        i64::try_from(passed.as_millis()).unwrap_or(i64::MAX / 4)
    }
}

impl std::fmt::Debug for HomeClock {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "HomeClock({} {:?})", self.utc(), self.word())
    }
}

fn millis_of(utc: &str) -> Option<i64> {
    if !is_utc(utc) {
        return None;
    }
    let parsed = NaiveDateTime::parse_from_str(utc, "%Y-%m-%dT%H:%M:%S%.3fZ").ok()?;
    Some(parsed.and_utc().timestamp_millis())
}

/// Years the record cannot write are brought to its first and last instant.
fn instant(ms: i64) -> DateTime<Utc> {
    const FIRST: i64 = -62_135_596_800_000; // 0001-01-01
    const LAST: i64 = 253_402_300_799_999; // 9999-12-31
    DateTime::from_timestamp_millis(ms.clamp(FIRST, LAST)).unwrap_or(DateTime::UNIX_EPOCH)
}

fn text_of(ms: i64) -> String {
    instant(ms).to_rfc3339_opts(SecondsFormat::Millis, true)
}

#[cfg(test)]
mod tests {
    use super::*;

    type Expected = fn(&Doubt) -> bool;

    const NOW: &str = "2026-03-12T12:55:02.120Z";

    fn clock(at: &str) -> (SetTime, HomeClock) {
        let time = SetTime::at(at).unwrap();
        let mut clock = HomeClock::start(Box::new(time.clone()));
        clock.remember(Some(NOW), Some("2026-03-12"), 0);
        (time, clock)
    }

    #[test]
    fn agreed_today_and_not_behind_is_trusted() {
        let (time, clock) = clock("2026-03-12T13:00:00.000Z+01:00");
        assert_eq!(clock.word(), Word::Trusted);
        assert_eq!(clock.offset(), "+01:00");
        assert_eq!(clock.local_text(), "2026-03-12 14:00");
        time.pass(Duration::from_millis(1500));
        assert_eq!(clock.utc(), "2026-03-12T13:00:01.500Z");
    }

    #[test]
    fn the_machines_clock_goes_on() {
        let time = SystemTime::new();
        let before = time.elapsed();
        std::thread::sleep(Duration::from_millis(20));
        assert!(time.elapsed() >= before + Duration::from_millis(20));
    }

    #[test]
    fn stepped_back_forward_1970_and_2099_are_doubted_each_with_its_reason() {
        let reasons: [(&str, Expected); 5] = [
            ("2026-03-12T12:55:02.119Z", |doubt| {
                matches!(doubt, Doubt::Behind { .. })
            }),
            ("2026-04-11T12:55:02.121Z", |doubt| {
                matches!(doubt, Doubt::FarBeyond { .. })
            }),
            ("1970-01-01T00:00:05.000Z", |doubt| *doubt == Doubt::Early),
            ("2099-01-01T00:00:00.000Z", |doubt| {
                matches!(doubt, Doubt::FarBeyond { .. })
            }),
            ("2026-03-13T08:00:00.000Z", |doubt| {
                *doubt == Doubt::NotAgreed
            }),
        ];
        for (at, expected) in reasons {
            let (_, clock) = clock(at);
            let doubt = clock.doubt().unwrap();
            assert!(expected(&doubt), "{at}: {doubt:?}");
            assert_eq!(clock.word(), Word::Doubted);
        }
    }

    #[test]
    fn setting_the_wall_clock_in_a_run_moves_nothing() {
        let (time, clock) = clock("2026-03-12T13:00:00.000Z");
        time.set_wall(Wall {
            utc_ms: 0,
            offset_minutes: Some(0),
        });
        assert_eq!(clock.utc(), "2026-03-12T13:00:00.000Z");
        assert_eq!(clock.word(), Word::Trusted);
    }

    #[test]
    fn an_unreadable_zone_is_doubted() {
        let time = SetTime::at(NOW).unwrap();
        time.set_wall(Wall {
            offset_minutes: None,
            ..time.wall()
        });
        let clock = HomeClock::start(Box::new(time));
        assert_eq!(clock.doubt(), Some(Doubt::Zone));
        assert_eq!(clock.offset(), "+00:00");
    }

    #[test]
    fn a_given_time_goes_on_by_the_monotonic_clock() {
        let (time, mut clock) = clock("2000-01-01T00:00:00.000Z");
        clock.give("2026-03-14T08:00:00.000Z");
        assert_eq!(clock.word(), Word::Given);
        time.pass(Duration::from_secs(90));
        assert_eq!(clock.utc(), "2026-03-14T08:01:30.000Z");
        clock.run_on(60);
        assert_eq!(clock.utc(), "2026-03-14T08:02:30.000Z");
    }

    #[test]
    fn a_given_time_near_the_machines_clock_bears_it_out() {
        let (_, mut clock) = clock("2026-09-01T10:02:00.000Z");
        assert!(matches!(clock.doubt(), Some(Doubt::FarBeyond { .. })));
        clock.give("2026-09-01T10:00:00.000Z");
        assert_eq!(clock.word(), Word::Trusted);
        assert_eq!(clock.utc(), "2026-09-01T10:02:00.000Z");
        let (_, mut ahead) = self::clock("2026-09-01T10:02:00.000Z");
        ahead.give("2026-09-01T10:05:00.000Z");
        assert_eq!(
            ahead.word(),
            Word::Trusted,
            "a person's minute may be the next one"
        );
    }

    #[test]
    fn an_agreement_lasts_over_midnight_for_a_day() {
        let (time, mut clock) = clock("2026-03-12T22:00:00.000Z");
        clock.agreed("2026-03-12");
        time.pass(Duration::from_hours(3));
        assert_eq!(clock.word(), Word::Trusted);
        time.pass(Duration::from_hours(21));
        assert_eq!(clock.doubt(), Some(Doubt::NotAgreed));
    }

    #[test]
    fn local_times_are_read_as_typed() {
        let (_, clock) = clock("2026-03-12T13:00:00.000Z+01:00");
        assert_eq!(
            clock.read_local("2026-03-14 09:05").unwrap(),
            "2026-03-14T08:05:00.000Z"
        );
        assert_eq!(
            clock.read_local("2026-03-14T09:05").unwrap(),
            "2026-03-14T08:05:00.000Z"
        );
        for wrong in [
            "",
            "14.3.2026 9:05",
            "2026-02-30 09:05",
            "2026-03-14",
            "99999-01-01 00:00",
        ] {
            assert!(clock.read_local(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn years_outside_the_record_do_not_break_it() {
        let (time, _) = clock(NOW);
        for ms in [i64::MIN, i64::MAX] {
            time.set_wall(Wall {
                utc_ms: ms,
                offset_minutes: Some(0),
            });
            let clock = HomeClock::start(Box::new(time.clone()));
            assert!(is_utc(&clock.utc()), "{}", clock.utc());
        }
    }
}
