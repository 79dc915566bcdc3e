//! Times of entries: differences and local clock faces. The crate is told the time and never asks for it.

use chrono::{DateTime, Duration, FixedOffset, SecondsFormat, Utc};

pub(super) fn instant(utc: &str) -> Option<DateTime<Utc>> {
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

/// `HH:MM` on the wall clock of the offset, with the day where it is not the day of `now`.
pub(super) fn face_from(utc: &str, now: &str, offset: &str) -> String {
    if local_day(utc, offset) == local_day(now, offset) {
        clock_face(utc, offset)
    } else {
        day_and_clock(utc, offset)
    }
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
pub(crate) fn local_day(utc: &str, offset: &str) -> String {
    local(utc, offset).map_or_else(
        || day(utc).to_owned(),
        |time| time.format("%Y-%m-%d").to_string(),
    )
}

/// What stands before an end time in a text, and the end time in UTC: `4711 18:00` (the next time the clock of this offset
/// shows it), `4711 until 2026-03-13 18:00`, `4711, 8 h`. None where the text ends with no time.
pub(super) fn end_after(text: &str, utc: &str, offset: &str) -> Option<(String, String)> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let now = local(utc, offset)?;
    let (last, before) = words.split_last()?;
    let (before, ends) = if *last == "h" {
        let (hours, before) = before.split_last()?;
        let hours: u32 = hours
            .parse()
            .ok()
            .filter(|hours| (1..=168).contains(hours))?;
        (before, now + Duration::hours(i64::from(hours)))
    } else {
        let (hour, minute) = last.split_once(':')?;
        let time = chrono::NaiveTime::from_hms_opt(two_digits(hour)?, two_digits(minute)?, 0)?;
        let named = before
            .split_last()
            .and_then(|(day, before)| Some((day.parse::<chrono::NaiveDate>().ok()?, before)));
        let on = |day: chrono::NaiveDate| {
            day.and_time(time)
                .and_local_timezone(*now.offset())
                .single()
        };
        if let Some((day, before)) = named {
            (before, on(day)?)
        } else {
            let today = on(now.date_naive())?;
            let next = on(now.date_naive().succ_opt()?)?;
            (before, if today > now { today } else { next })
        }
    };
    let number = before
        .iter()
        .filter(|word| !matches!(**word, "until" | "ends" | "end" | "to"))
        .map(|word| word.trim_end_matches([',', ';']))
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ");
    let ends = ends
        .with_timezone(&Utc)
        .to_rfc3339_opts(SecondsFormat::Millis, true);
    (!number.is_empty()).then_some((number, ends))
}

fn two_digits(text: &str) -> Option<u32> {
    (text.len() == 2 && text.bytes().all(|byte| byte.is_ascii_digit()))
        .then(|| text.parse().ok())
        .flatten()
}
