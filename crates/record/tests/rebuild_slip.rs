//! The setting of a click wrench is asked about like a torque that was read, and "another" asks which wrench it was.
//!
//! J3 of FV-3302 is set to 9 N·m, 8..10 N·m, with TW-11 of 6..30 N·m: from the torque table of the invented site Tern Point.
//! Factors of the slips: NIST SP 811 (1 lbf·ft = 1.355818 N·m), as in the measure crate's own test.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, Site};
use reseat_record::rebuild::{Ask, Command, Inner, Point, Wants};

fn setting(ask: &Ask) -> bool {
    matches!(ask.point, Point::Asked(_, _, Inner::Setting(1)))
}

/// At the setting of the click wrench of J3.
fn set_j3() -> Site {
    let mut site = Site::at("tighten-j3");
    site.goes_on(setting);
    site
}

#[test]
fn a_setting_off_the_scale_is_no_setting() {
    let mut site = set_j3();
    // 80 lbf·in is 9 N·m, but the scale of TW-11 ends at 30.
    site.types("80").unwrap();
    assert_eq!(site.last_kind(), "off_scale/1");
    assert!(setting(&site.ask()));
    let told = site.ask().notice.join(" ");
    assert!(told.contains("80 is off the scale of TW-11"), "{told}");
    site.restarts_alike();
}

#[test]
fn a_setting_under_a_slipped_unit_is_asked_about_and_then_judged_as_typed() {
    let mut site = set_j3();
    // 12 is out of 8..10 N·m; 12 ÷ 1.355818 is 8.85, WITHIN.
    site.types("12").unwrap();
    let query = site.entries.last().unwrap().entry.number;
    assert_eq!(site.last_kind(), "reading_queried/1");
    assert_eq!(site.last("fastener"), 0, "no fastener, the setting");
    assert!(site.last("place").is_null(), "no verdict while it is asked");
    site.types("1").unwrap();
    assert_eq!(site.last_kind(), "setting/1");
    assert_eq!(site.last("place"), "HIGH");
    assert_eq!(site.last("queried"), query);
    let told = site.ask().notice.join(" ");
    assert!(told.contains("Set to 12 N·m, must be 8..10 N·m"), "{told}");
    let lines = site.rebuild().record_lines(&site.register);
    let told = lines.iter().find(|line| line.number == query).unwrap();
    assert!(
        told.text
            .starts_with("J3 setting, pass 1: 12 N·m queried, "),
        "{told:?}"
    );
    site.restarts_alike();
}

#[test]
fn what_was_said_of_a_wrong_setting_goes_when_a_right_one_is_kept() {
    let mut site = set_j3();
    // 20 N·m fits under none of the six slips.
    site.types("20").unwrap();
    assert_eq!(site.last("place"), "HIGH");
    assert!(!site.ask().notice.is_empty());
    site.types("9").unwrap();
    assert_eq!(site.last("place"), "WITHIN");
    assert!(matches!(site.ask().wants, Wants::Fastener { .. }));
    assert_eq!(site.ask().notice, Vec::<String>::new());
    site.restarts_alike();
}

#[test]
fn another_scale_or_wrench_asks_which_before_it_is_read_again() {
    let mut site = Site::at("tighten-j1");
    let last_pass = |ask: &Ask| matches!(ask.point, Point::Asked(_, _, Inner::Fastener(1, 3, _)));
    site.goes_on(last_pass);
    // 90 lbf·ft is 122 N·m, inside 115..130 N·m.
    site.types("90").unwrap();
    site.types("2").unwrap();
    assert_eq!(site.last_kind(), "query_answered/1");
    let ask = site.ask();
    assert!(
        matches!(ask.point, Point::Asked(_, _, Inner::Numbered)),
        "{ask:#?}"
    );
    assert!(
        ask.notice.join(" ").contains("another scale or wrench"),
        "{ask:#?}"
    );
    assert!(
        !ask.offered.fit.is_empty(),
        "the wrenches that fit: {ask:#?}"
    );
    assert!(ask.answer("122").is_err(), "no number before the wrench");
    let other = Command::TakeInstrument {
        instrument: "TW-11".into(),
    };
    assert_eq!(site.refused(other, FALK), "instrument-not-named");
    site.types("TW-19").unwrap();
    assert_eq!(site.last_kind(), "ready/1");
    assert!(
        matches!(
            site.ask().point,
            Point::Asked(_, _, Inner::Fastener(1, 3, 2))
        ),
        "the nuts pulled stand: {:#?}",
        site.ask()
    );
    site.types("122").unwrap();
    assert_eq!(site.last("place"), "WITHIN");
    site.restarts_alike();
}

#[test]
fn another_wrench_at_a_setting_is_set_anew_and_counts_as_no_pull() {
    let mut site = set_j3();
    site.types("12").unwrap();
    site.types("2").unwrap();
    assert!(matches!(
        site.ask().point,
        Point::Asked(_, _, Inner::Numbered)
    ));
    site.types("").unwrap();
    assert!(setting(&site.ask()));
    site.types("9").unwrap();
    assert!(matches!(
        site.ask().point,
        Point::Asked(_, _, Inner::Fastener(1, 1, 1))
    ));
    site.restarts_alike();
}
