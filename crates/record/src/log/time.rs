//! The form of times in an entry. Whether a time is right is not judged here: order is by number, never by clock.

use chrono::NaiveDate;

/// Whether the text is an instant in the one form of the record: `2026-03-12T12:55:02.120Z`, a day that exists, no leap second.
#[must_use]
pub fn is_utc(text: &str) -> bool {
    const FORM: &[u8; 24] = b"dddd-dd-ddTdd:dd:dd.dddZ";
    let bytes = text.as_bytes();
    bytes.len() == FORM.len()
        && bytes.iter().zip(FORM).all(|(byte, form)| {
            if *form == b'd' {
                byte.is_ascii_digit()
            } else {
                byte == form
            }
        })
        && exists(bytes)
}

/// Whether digits of the right form name a day of the calendar and a time of day on it. Every entry read passes here, so the
/// digits are taken where they stand and not through a format.
fn exists(bytes: &[u8]) -> bool {
    let number = |at: std::ops::Range<usize>| {
        bytes[at]
            .iter()
            .fold(0, |number, digit| number * 10 + u32::from(digit - b'0'))
    };
    i32::try_from(number(0..4))
        .ok()
        .and_then(|year| NaiveDate::from_ymd_opt(year, number(5..7), number(8..10)))
        .and_then(|day| day.and_hms_opt(number(11..13), number(14..16), number(17..19)))
        .is_some()
}

/// Whether the text is an offset from UTC in the one form of the record: `+01:00`, up to 23:59, and never `-00:00`.
#[must_use]
pub fn is_offset(text: &str) -> bool {
    let bytes = text.as_bytes();
    if bytes.len() != 6 || !(bytes[0] == b'+' || bytes[0] == b'-') || bytes[3] != b':' {
        return false;
    }
    let two = |at: usize| match (bytes[at], bytes[at + 1]) {
        (tens @ b'0'..=b'9', ones @ b'0'..=b'9') => Some((tens - b'0') * 10 + ones - b'0'),
        _ => None,
    };
    text != "-00:00"
        && two(1).is_some_and(|hours| hours < 24)
        && two(4).is_some_and(|minutes| minutes < 60)
}

/// Whether the text is a day in the form `2026-03-12`, and one that exists.
#[must_use]
pub fn is_day(text: &str) -> bool {
    text.len() == 10 && is_utc(&format!("{text}T00:00:00.000Z"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_one_form_of_an_instant_is_taken() {
        for right in [
            "2026-03-12T12:55:02.120Z",
            "2024-02-29T00:00:00.000Z",
            "1970-01-01T00:00:00.000Z",
            "2099-12-31T23:59:59.999Z",
        ] {
            assert!(is_utc(right), "{right}");
        }
        // The first is the invalid month and the second the leap second of RFC 3339, 5.8 (examples of published strings).
        for wrong in [
            "1990-13-31T23:59:00.000Z",
            "1990-12-31T23:59:60.000Z",
            "2026-02-29T00:00:00.000Z",
            "2026-03-12T24:00:00.000Z",
            "2026-03-12T12:55:02Z",
            "2026-03-12T12:55:02.12Z",
            "2026-03-12t12:55:02.120z",
            "2026-03-12 12:55:02.120Z",
            "2026-03-12T12:55:02.120+01:00",
            "+026-03-12T12:55:02.120Z",
            "",
        ] {
            assert!(!is_utc(wrong), "{wrong}");
        }
    }

    #[test]
    fn offsets_and_days() {
        assert!(is_offset("+01:00") && is_offset("-09:30") && is_offset("+00:00"));
        for wrong in [
            "-00:00", "+1:00", "+24:00", "+01:60", "01:00", "Z", "+01.00", "+0a:00",
        ] {
            assert!(!is_offset(wrong), "{wrong}");
        }
        assert!(
            is_day("2026-02-28")
                && !is_day("2026-02-30")
                && !is_day("2026-2-28")
                && !is_day("28.02.2026")
        );
    }
}
