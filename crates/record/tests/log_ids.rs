//! What stands in a record as an identifier has one spelling; what a person types has many.

#![allow(clippy::unwrap_used)] // test code: a failure is what the test shows

use proptest::prelude::*;
use reseat_record::log::Id;

/// As a member of an entry is read.
fn read(text: &str) -> Option<Id> {
    serde_json::from_value(text.into()).ok()
}

#[test]
fn other_spellings_are_for_people_only() {
    let id = Id::parse("K7QF-3MZD-R2VA-9T1H").unwrap();
    assert_eq!(read("K7QF-3MZD-R2VA-9T1H"), Some(id));
    for typed in [
        "k7qf-3mzd-r2va-9t1h",
        "K7QF3MZDR2VA9T1H",
        "K7QF 3MZD R2VA 9T1H",
        "K7QF-3MZD-R2VA-9TIH",
        " K7QF-3MZD-R2VA-9T1H",
        "K7Q-F3MZ-DR2V-A9T1-H",
    ] {
        assert_eq!(Id::parse(typed), Ok(id), "{typed}");
        assert_eq!(read(typed), None, "{typed}");
    }
    for typed in [
        "",
        "K7QF-3MZD-R2VA-9T1",
        "K7QF-3MZD-R2VA-9TUH",
        "-------------------",
    ] {
        assert!(Id::parse(typed).is_err(), "{typed}");
        assert_eq!(read(typed), None, "{typed}");
    }
}

proptest! {
    #[test]
    fn what_is_read_is_what_would_be_written(bytes: [u8; 10], at in 0_usize..19, letter in "[ -~äµ]") {
        let id = Id::from_bytes(bytes);
        let written = id.to_string();
        prop_assert_eq!(read(&written), Some(id));
        let mut other = written;
        other.replace_range(at..=at, &letter);
        let same = Id::parse(&other).ok().filter(|id| id.to_string() == other);
        prop_assert_eq!(read(&other), same);
    }
}
