//! Times of entries: differences and local clock faces. The crate is told the time and never asks for it.

use chrono::{DateTime, Duration, FixedOffset, SecondsFormat, Utc};

fn instant(utc: &str) -> Option<DateTime<Utc>> {
    DateTime::parse_from_rfc3339(utc)
        .ok()
        .map(|time| time.with_timezone(&Utc))
}

/// Whole minutes from one time to another; none if either is no time.
pub(super) fn minutes_between(from: &str, to: &str) -> Option<i64> {
    Some((instant(to)? - instant(from)?).num_minutes())
}

/// Seconds from one time to another; none if either is no time.
pub(super) fn seconds_between(from: &str, to: &str) -> Option<i64> {
    let apart = instant(to)? - instant(from)?;
    // A part of a second backwards is backwards too.
    Some(apart.num_milliseconds().div_euclid(1000))
}

/// The time so many minutes earlier, in the form of entries.
pub(super) fn minutes_before(utc: &str, minutes: u32) -> Option<String> {
    let earlier = instant(utc)?.checked_sub_signed(Duration::minutes(i64::from(minutes)))?;
    Some(earlier.to_rfc3339_opts(SecondsFormat::Millis, true))
}

/// The time so many minutes later, in the form of entries.
pub(super) fn minutes_after(utc: &str, minutes: u32) -> Option<String> {
    let later = instant(utc)?.checked_add_signed(Duration::minutes(i64::from(minutes)))?;
    Some(later.to_rfc3339_opts(SecondsFormat::Millis, true))
}

/// `HH:MM` on the wall clock of the offset.
pub(super) fn clock_face(utc: &str, offset: &str) -> String {
    local(utc, offset).map_or_else(
        || "--:--".to_owned(),
        |time| time.format("%H:%M").to_string(),
    )
}

/// Day and `HH:MM` on the wall clock of the offset.
pub(super) fn day_and_clock(utc: &str, offset: &str) -> String {
    local(utc, offset).map_or_else(
        || utc.to_owned(),
        |time| time.format("%Y-%m-%d %H:%M").to_string(),
    )
}

fn local(utc: &str, offset: &str) -> Option<DateTime<FixedOffset>> {
    let offset: FixedOffset = offset.parse().ok()?;
    Some(instant(utc)?.with_timezone(&offset))
}

/// The day part of a UTC time.
pub(super) fn day(utc: &str) -> &str {
    utc.get(..10).unwrap_or(utc)
}

/// The day on the wall clock of the offset, `2026-03-12`.
pub(super) fn local_day(utc: &str, offset: &str) -> String {
    local(utc, offset).map_or_else(
        || day(utc).to_owned(),
        |time| time.format("%Y-%m-%d").to_string(),
    )
}
