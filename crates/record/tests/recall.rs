//! A recall worked by hand: a wrench that showed 9 N·m too much at 100 N·m and 10 N·m too much at 140 N·m.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::Site;
use reseat_measure::Quantity;
use reseat_record::recall::Recall;
use reseat_record::register::{BenchPoint, StillStands};

fn found() -> Vec<BenchPoint> {
    [("91 N·m", "100 N·m"), ("130 N·m", "140 N·m")]
        .into_iter()
        .map(|(bench, showed)| BenchPoint {
            bench: Quantity::parse(bench).unwrap(),
            showed: Quantity::parse(showed).unwrap(),
        })
        .collect()
}

fn site() -> Site {
    let mut site = Site::new();
    site.readings.insert("J1/1".into(), vec!["123".into()]);
    site.readings.insert("J1/5".into(), vec!["130".into()]);
    site.start();
    site.until("bottom-ring-on");
    site
}

#[test]
fn each_reading_is_judged_again_with_the_error_taken_out() {
    let site = site();
    let recall = Recall::new("TW-19", None, &found()).unwrap();
    let touched: Vec<_> = site
        .entries
        .iter()
        .filter_map(|sealed| recall.judge(sealed))
        .collect();
    // By hand: truth(123) = 91 + 39/40 × 23 = 113.425, below 115: LOW. truth(130) = 91 + 39/40 × 30 = 120.25: WITHIN.
    assert_eq!(
        touched.len(),
        8,
        "one reading for each nut of the last pass"
    );
    assert_eq!(
        (touched[0].what.as_str(), touched[0].stands.as_str()),
        ("J1 1", "now LOW")
    );
    assert!(
        touched[0]
            .corrected
            .as_deref()
            .unwrap()
            .starts_with("113.4"),
        "{touched:?}"
    );
    assert_eq!(touched[0].doubted.place, StillStands::Low);
    assert_eq!(
        (touched[1].what.as_str(), touched[1].stands.as_str()),
        ("J1 5", "still WITHIN")
    );
}

#[test]
fn readings_before_the_last_good_check_and_of_other_instruments_are_left_alone() {
    let site = site();
    let later = Recall::new("TW-19", Some("2026-03-13"), &found()).unwrap();
    assert_eq!(
        site.entries
            .iter()
            .filter_map(|sealed| later.judge(sealed))
            .count(),
        0
    );
    let other = Recall::new("TW-99", None, &found()).unwrap();
    assert_eq!(
        site.entries
            .iter()
            .filter_map(|sealed| other.judge(sealed))
            .count(),
        0
    );
}

#[test]
fn beyond_the_bench_nothing_is_claimed() {
    let site = site();
    let narrow = &found()[..1];
    let recall = Recall::new("TW-19", None, narrow).unwrap();
    let touched: Vec<_> = site
        .entries
        .iter()
        .filter_map(|sealed| recall.judge(sealed))
        .collect();
    assert!(!touched.is_empty());
    assert!(
        touched
            .iter()
            .all(|touched| touched.doubted.place == StillStands::CannotSay),
        "{touched:?}"
    );
}
