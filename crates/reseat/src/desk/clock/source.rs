//! Sources of time: the machine's clocks, and a time set by hand for demos and tests.

use std::cell::Cell;
use std::rc::Rc;
use std::time::Duration;

use chrono::{Local, Offset, TimeZone, Utc};

use super::millis_of;
use crate::desk::fault::ClockFault;

/// What the machine's clock says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wall {
    /// Milliseconds since 1970-01-01T00:00Z.
    pub utc_ms: i64,
    /// Minutes the local zone lies east of UTC; none where the zone cannot be read.
    pub offset_minutes: Option<i32>,
}

/// A source of time.
pub trait Time {
    /// What the wall clock says.
    fn wall(&self) -> Wall;
    /// How long this source has run, by a clock nobody sets.
    fn elapsed(&self) -> Duration;
    /// Whether it was set by hand for a demo or a test; a real home refuses it.
    fn is_set(&self) -> bool {
        false
    }
}

/// The machine's clocks.
#[derive(Debug)]
pub struct SystemTime {
    started: Duration,
}

impl SystemTime {
    /// The machine's clocks, counting from now.
    pub fn new() -> Self {
        Self {
            started: since_boot(),
        }
    }
}

impl Default for SystemTime {
    fn default() -> Self {
        Self::new()
    }
}

/// A clock that nobody sets and that goes on while the lid is shut: a rest is not longer because the laptop slept, and a
/// shift ends although it did. On Linux the usual monotonic clock stands still meanwhile, so the one since boot is asked.
#[cfg(any(target_os = "linux", target_os = "android"))]
fn since_boot() -> Duration {
    let now = rustix::time::clock_gettime(rustix::time::ClockId::Boottime);
    let seconds = u64::try_from(now.tv_sec).unwrap_or(0);
    let nanos = u32::try_from(now.tv_nsec).unwrap_or(0);
    Duration::new(seconds, nanos)
}

/// The monotonic clock, from the first time it is asked.
#[cfg(not(any(target_os = "linux", target_os = "android")))]
fn since_boot() -> Duration {
    static FIRST: std::sync::OnceLock<std::time::Instant> = std::sync::OnceLock::new();
    FIRST.get_or_init(std::time::Instant::now).elapsed()
}

impl Time for SystemTime {
    fn wall(&self) -> Wall {
        let now = Utc::now();
        let offset = zone_is_readable().then(|| {
            let seconds = Local
                .offset_from_utc_datetime(&now.naive_utc())
                .fix()
                .local_minus_utc();
            seconds / 60
        });
        Wall {
            utc_ms: now.timestamp_millis(),
            offset_minutes: offset,
        }
    }

    fn elapsed(&self) -> Duration {
        since_boot().saturating_sub(self.started)
    }
}

/// The library for local time takes an unknown zone for UTC in silence; so the zone is looked at first.
fn zone_is_readable() -> bool {
    let tzif = |path: &std::path::Path| {
        use std::io::Read;
        let mut start = [0; 4];
        std::fs::File::open(path)
            .is_ok_and(|mut file| file.read_exact(&mut start).is_ok() && &start == b"TZif")
    };
    match std::env::var("TZ") {
        Err(std::env::VarError::NotUnicode(_)) => false,
        Ok(zone) if !zone.is_empty() => {
            let name = zone.trim_start_matches(':');
            let posix = name.bytes().any(|byte| byte.is_ascii_digit())
                && name.starts_with(|first: char| first.is_ascii_alphabetic() || first == '<');
            let known = [
                "/usr/share/zoneinfo",
                "/usr/lib/zoneinfo",
                "/usr/share/lib/zoneinfo",
                "/etc/zoneinfo",
            ]
            .iter()
            .any(|folder| tzif(&std::path::Path::new(folder).join(name)));
            known || name == "UTC" || (posix && !name.contains('/'))
        }
        _ => {
            let local = std::path::Path::new("/etc/localtime");
            !local.exists() || tzif(local)
        }
    }
}

/// A time set by hand, for demos and tests: it stands until it is moved. Clones share the hands.
#[derive(Debug, Clone)]
pub struct SetTime {
    wall: Rc<Cell<Wall>>,
    elapsed: Rc<Cell<Duration>>,
}

impl SetTime {
    /// Standing at an instant in the form of the record, optionally with an offset behind it:
    /// `2026-03-12T12:55:02.120Z`, `2026-03-12T12:55:02.120Z+01:00`.
    ///
    /// # Errors
    /// [`ClockFault::NoInstant`].
    pub fn at(text: &str) -> Result<Self, ClockFault> {
        let fault = || ClockFault::NoInstant {
            typed: text.chars().take(40).collect(),
        };
        let (instant, offset) = match text.split_once('Z') {
            Some((front, "")) => (format!("{front}Z"), Some(0)),
            Some((front, offset)) => (
                format!("{front}Z"),
                Some(minutes_of(offset).ok_or_else(fault)?),
            ),
            None => return Err(fault()),
        };
        let utc_ms = millis_of(&instant).ok_or_else(fault)?;
        let wall = Wall {
            utc_ms,
            offset_minutes: offset,
        };
        Ok(Self {
            wall: Rc::new(Cell::new(wall)),
            elapsed: Rc::default(),
        })
    }

    /// Standing at what a wall clock said.
    pub fn standing(wall: Wall) -> Self {
        Self {
            wall: Rc::new(Cell::new(wall)),
            elapsed: Rc::default(),
        }
    }

    /// Lets time pass.
    pub fn pass(&self, time: Duration) {
        let mut wall = self.wall.get();
        wall.utc_ms += i64::try_from(time.as_millis()).unwrap_or(i64::MAX / 4);
        self.wall.set(wall);
        self.elapsed.set(self.elapsed.get() + time);
    }

    /// Sets the wall clock, as a person or a dead battery does: the monotonic clock does not move.
    pub fn set_wall(&self, wall: Wall) {
        self.wall.set(wall);
    }
}

impl Time for SetTime {
    fn wall(&self) -> Wall {
        self.wall.get()
    }

    fn elapsed(&self) -> Duration {
        self.elapsed.get()
    }

    fn is_set(&self) -> bool {
        true
    }
}

fn minutes_of(offset: &str) -> Option<i32> {
    if !reseat_record::log::is_offset(offset) {
        return None;
    }
    let minutes = offset[1..3].parse::<i32>().ok()? * 60 + offset[4..6].parse::<i32>().ok()?;
    Some(if offset.starts_with('-') {
        -minutes
    } else {
        minutes
    })
}
