//! A recall worked by hand: a wrench that showed 9 N·m too much at 100 N·m and 10 N·m too much at 140 N·m.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::Site;
use reseat_measure::Quantity;
use reseat_record::log::Hash;
use reseat_record::log::Sealed;
use reseat_record::recall::{Looked, Recall, Since, Touched, bench_point, error_of};
use reseat_record::register::{BenchPoint, Instrument, StillStands};

fn found(points: &[(&str, &str)]) -> Vec<BenchPoint> {
    points
        .iter()
        .map(|(bench, showed)| BenchPoint {
            bench: Quantity::parse(bench).unwrap(),
            showed: Quantity::parse(showed).unwrap(),
        })
        .collect()
}

/// What the bench found of TW-19.
fn bench() -> Vec<BenchPoint> {
    found(&[("91 N·m", "100 N·m"), ("130 N·m", "140 N·m")])
}

fn site() -> Site {
    let mut site = Site::new();
    for (slot, typed) in [
        ("J1/1", "123"),
        ("J1/2", "125"),
        ("J1/3", "124"),
        ("J1/4", "129"),
        ("J1/5", "130"),
    ] {
        site.readings.insert(slot.into(), vec![typed.into()]);
    }
    site.start();
    site.until("bottom-ring-on");
    site
}

fn wrench(site: &Site) -> &Instrument {
    site.register.instrument("TW-19").unwrap()
}

/// From long before everything.
fn long_ago(site: &Site) -> Since {
    Since::of(wrench(site), Some("2000-01-01"), "+00:00").unwrap()
}

/// What is in question among these, without what was worked out from other readings.
fn touched(recall: &mut Recall, entries: &[Sealed]) -> Vec<Touched> {
    entries
        .iter()
        .filter(|sealed| !sealed.entry.body.contains_key("from"))
        .filter_map(|sealed| match recall.look(&sealed.bytes, sealed.hash) {
            Looked::Touched(touched) => Some(*touched),
            Looked::Not => None,
            Looked::Unread => panic!("{:?}", sealed.entry),
        })
        .collect()
}

#[test]
fn each_reading_is_judged_again_with_the_error_taken_out() {
    let site = site();
    let mut recall = Recall::new(wrench(&site), &long_ago(&site), &bench()).unwrap();
    let touched = touched(&mut recall, &site.entries);
    assert_eq!(
        touched.len(),
        8,
        "one reading for each nut of the last pass"
    );
    // By hand, against 115..130 N·m, between the two points: truth(R) = 91 + (R - 100) × (130 - 91) / (140 - 100)
    //   = 91 + (R - 100) × 0.975.
    //   R = 123: 91 + 23 × 0.975 = 91 + 22.425 = 113.425, below 115: LOW
    //   R = 125: 91 + 25 × 0.975 = 91 + 24.375 = 115.375, WITHIN
    //   R = 124: 91 + 24 × 0.975 = 91 + 23.4   = 114.4,   below 115: LOW
    //   R = 129: 91 + 29 × 0.975 = 91 + 28.275 = 119.275, WITHIN
    //   R = 130: 91 + 30 × 0.975 = 91 + 29.25  = 120.25,  WITHIN
    for (what, reading, truth, stands, place) in [
        (
            "J1 1",
            "123 N·m",
            "113.425 N·m",
            "now LOW",
            StillStands::Low,
        ),
        (
            "J1 2",
            "125 N·m",
            "115.375 N·m",
            "still WITHIN",
            StillStands::Within,
        ),
        ("J1 3", "124 N·m", "114.4 N·m", "now LOW", StillStands::Low),
        (
            "J1 4",
            "129 N·m",
            "119.275 N·m",
            "still WITHIN",
            StillStands::Within,
        ),
        (
            "J1 5",
            "130 N·m",
            "120.25 N·m",
            "still WITHIN",
            StillStands::Within,
        ),
    ] {
        let one = touched.iter().find(|one| one.what == what).unwrap();
        assert_eq!(
            (
                &*one.means,
                one.corrected.as_deref(),
                &*one.stands,
                one.place
            ),
            (reading, Some(truth), stands, place)
        );
        assert_eq!(
            one.was,
            Some(reseat_measure::Place::Within),
            "as it was judged then"
        );
        let entry = &site.entries[usize::try_from(one.number).unwrap() - 1];
        assert_eq!((one.hash, one.stream), (entry.hash, entry.entry.stream));
    }
}

#[test]
fn a_wrench_that_showed_too_little_had_readings_go_high() {
    let site = site();
    // By hand: 8 N·m too little everywhere, so truth(R) = R + 8: 123 → 131, above 130: HIGH; 130 → 138: HIGH.
    let low = found(&[("108 N·m", "100 N·m"), ("148 N·m", "140 N·m")]);
    let mut recall = Recall::new(wrench(&site), &long_ago(&site), &low).unwrap();
    let touched = touched(&mut recall, &site.entries);
    assert_eq!(
        (&*touched[0].stands, touched[0].corrected.as_deref()),
        ("now HIGH", Some("131 N·m"))
    );
    assert!(
        touched.iter().all(|one| &*one.stands == "now HIGH"),
        "{touched:?}"
    );
}

#[test]
fn only_what_was_read_since_the_last_good_check_counts_by_the_time_it_was_read() {
    let site = site();
    let first = site
        .entries
        .iter()
        .position(|sealed| {
            sealed.entry.kind == "reading/1" && sealed.entry.body["instruments"][0]["id"] == "TW-19"
        })
        .unwrap();
    let utc = site.entries[first].entry.utc.clone();
    let (day, count) = (&utc[..10], |since: &Since| {
        touched(
            &mut Recall::new(wrench(&site), since, &bench()).unwrap(),
            &site.entries,
        )
        .len()
    });
    let of = |day: &str, offset: &str| Since::of(wrench(&site), Some(day), offset).unwrap();
    assert_eq!(
        count(&of(day, "+00:00")),
        8,
        "the day itself counts from its beginning"
    );
    assert_eq!(count(&of("2099-01-01", "+00:00")), 0);
    // A day begins at its own midnight: 14 hours earlier in the east, 12 hours later in the west.
    assert_eq!(of("2026-03-12", "+14:00").from, "2026-03-11T10:00:00.000Z");
    assert_eq!(of("2026-03-12", "-12:00").from, "2026-03-12T12:00:00.000Z");
    let at = |from: String| Since {
        day: day.to_owned(),
        from,
        fact: None,
    };
    assert_eq!(count(&at(utc.clone())), 8, "the moment itself counts");
    // The same moment written another way is the same moment, and a later one leaves the reading out.
    let as_offset = chrono::DateTime::parse_from_rfc3339(&utc)
        .unwrap()
        .with_timezone(&chrono::FixedOffset::east_opt(5 * 3600).unwrap());
    assert_eq!(count(&at(as_offset.to_rfc3339())), 8);
    let later = as_offset + chrono::Duration::milliseconds(1);
    assert_eq!(count(&at(later.to_rfc3339())), 7);
    // Not the entry's time but the act's, where it came late; and a time nobody believes is never taken for older.
    let mut recall = Recall::new(wrench(&site), &at(utc.clone()), &bench()).unwrap();
    let mut changed = |change: &dyn Fn(&mut reseat_record::log::Entry)| {
        let mut entry = reseat_record::log::Entry::clone(&site.entries[first].entry);
        change(&mut entry);
        let sealed = entry.seal().unwrap();
        touched(&mut recall, &[sealed]).len()
    };
    let early = "2001-01-01T00:00:00.000Z";
    assert_eq!(changed(&|entry| entry.acted = Some(early.into())), 0);
    assert_eq!(changed(&|entry| entry.utc = early.into()), 0);
    assert_eq!(
        changed(&|entry| {
            entry.utc = early.into();
            entry.clock = reseat_record::log::Clock::Doubted;
        }),
        1
    );
}

#[test]
fn the_last_good_check_is_the_latest_certificate_or_the_day_given() {
    let site = site();
    let wrench = wrench(&site);
    let latest = Since::of(wrench, None, "+00:00").unwrap();
    assert_eq!(latest.day, wrench.calibration.calibrated);
    assert_eq!(latest.fact, Some(wrench.certified[0].fact));
    assert_eq!(
        Since::of(wrench, Some("2001-02-03"), "+00:00")
            .unwrap()
            .fact,
        None
    );
    for wrong in ["", "yesterday", "2026-02-30", "2026-2-3"] {
        let refused = Since::of(wrench, Some(wrong), "+00:00").unwrap_err();
        assert_eq!(refused.code(), "no-day", "{wrong}");
    }
}

#[test]
fn other_instruments_and_what_is_no_reading_are_left_alone() {
    let site = site();
    let mut other = wrench(&site).clone();
    other.id = "TW-99".into();
    let mut recall = Recall::new(&other, &long_ago(&site), &bench()).unwrap();
    assert_eq!(touched(&mut recall, &site.entries), []);
    assert_eq!(
        recall.look(&site.entries[0].bytes, site.entries[0].hash),
        Looked::Not,
        "a start is no reading"
    );
    assert_eq!(recall.look(b"{}", Hash::ZERO), Looked::Unread);
    assert_eq!(recall.look(b"\xff", Hash::ZERO), Looked::Unread);
}

#[test]
fn what_was_worked_out_from_a_reading_is_in_question_and_cannot_be_said() {
    let site = site();
    let mut recall = Recall::new(wrench(&site), &long_ago(&site), &bench()).unwrap();
    let computed = |sealed: &&Sealed| sealed.entry.body.contains_key("from");
    let computed = site.entries.iter().find(computed).unwrap();
    let Looked::Touched(one) = recall.look(&computed.bytes, computed.hash) else {
        panic!("{computed:?}");
    };
    assert_eq!(one.place, StillStands::CannotSay);
}

#[test]
fn beyond_the_bench_nothing_is_claimed() {
    let site = site();
    let narrow = &bench()[..1];
    let mut recall = Recall::new(wrench(&site), &long_ago(&site), narrow).unwrap();
    let touched = touched(&mut recall, &site.entries);
    assert!(!touched.is_empty());
    assert!(
        touched
            .iter()
            .all(|one| one.place == StillStands::CannotSay && one.corrected.is_none()),
        "{touched:?}"
    );
}

#[test]
fn bench_points_are_checked_for_kind_and_order() {
    let site = site();
    let wrench = wrench(&site);
    let code = |points: &[(&str, &str)]| {
        error_of(wrench, &found(points))
            .map_or_else(|refused| refused.code().to_owned(), |_| "taken".to_owned())
    };
    assert_eq!(
        code(&[("91 N·m", "100 N·m"), ("130 N·m", "140 N·m")]),
        "taken"
    );
    assert_eq!(
        code(&[("67 lbf·ft", "100 N·m"), ("130 N·m", "140 N·m")]),
        "taken",
        "90.8 N·m"
    );
    assert_eq!(
        code(&[("98 lbf·ft", "100 N·m"), ("130 N·m", "140 N·m")]),
        "bench-order",
        "132.9 N·m"
    );
    assert_eq!(
        code(&[("130 N·m", "140 N·m"), ("91 N·m", "100 N·m")]),
        "bench-order"
    );
    assert_eq!(
        code(&[("91 N·m", "100 N·m"), ("91 N·m", "101 N·m")]),
        "bench-order"
    );
    assert_eq!(
        code(&[("91 N·m", "100 N·m"), ("92 N·m", "100 N·m")]),
        "bench-says-nothing"
    );
    assert_eq!(code(&[]), "bench-says-nothing");
    assert_eq!(code(&[("91 bar", "100 bar")]), "not-on-scale");
    assert_eq!(code(&[("91 N·m", "100 mm")]), "not-on-scale");
    // Typed at the bench: digits are the scale's; a unit says itself; anything else is refused.
    let typed = |bench: &str, showed: &str| bench_point(wrench, bench, showed);
    assert_eq!(
        typed("91", " 100 ").unwrap(),
        found(&[("91 N·m", "100 N·m")])[0]
    );
    assert_eq!(
        typed("67 ft-lb", "100").unwrap(),
        found(&[("67 lbf·ft", "100 N·m")])[0]
    );
    for (bench, showed, code) in [
        ("", "100", "bench-point"),
        ("ninety", "100", "bench-point"),
        ("91", "9 % high", "bench-point"),
        ("91", "100 bar", "not-on-scale"),
        ("91 furlong", "100", "bench-point"),
        ("91..92", "100", "bench-point"),
    ] {
        assert_eq!(
            typed(bench, showed).unwrap_err().code(),
            code,
            "{bench} {showed}"
        );
    }
    let gauge = site
        .register
        .instruments()
        .find(|one| one.reference.is_some())
        .unwrap();
    let point = bench_point(gauge, "5", "5.2").unwrap();
    assert_eq!(
        point.bench.reference(),
        gauge.reference,
        "digits take the scale's reference"
    );
    assert_eq!(
        bench_point(gauge, "5 bar a", "5.2").unwrap_err().code(),
        "not-on-scale"
    );
}
