//! Readings: slipped units, numbers off the scale, and what is struck, by whom, with what comes after.

use crate::rebuild_site::{FALK, ODDE, Site};
use crate::{fastener, last_pass, signed};
use reseat_record::rebuild::{Command, Inner, Point};

#[test]
fn a_slipped_unit_is_asked_about_and_never_converted() {
    for (answer, kind) in [("1", "reading/1"), ("2", "query_answered/1")] {
        let mut site = last_pass();
        // 90 lbf·ft is 122 N·m: the digits of the other scale (SP 811 factor, as in the measure crate's own test).
        site.types("90").unwrap();
        assert_eq!(site.last_kind(), "reading_queried/1");
        assert!(site.last("place").is_null(), "no verdict while it is asked");
        site.types(answer).unwrap();
        assert_eq!(site.last_kind(), kind);
        if answer == "1" {
            assert_eq!(site.last("place"), "LOW");
        } else {
            site.types("").unwrap();
            assert_eq!(site.last_kind(), "ready/1", "the wrench is asked first");
        }
        assert_eq!(fastener(&site.ask()), Some((1, 3)));
        signed(site);
    }
}

#[test]
fn a_number_off_the_scale_is_an_entry_and_no_reading() {
    let mut site = last_pass();
    site.types("900").unwrap();
    assert_eq!(site.last_kind(), "off_scale/1");
    assert_eq!(fastener(&site.ask()), Some((1, 3)));
    assert!(
        site.rebuild()
            .last_reading()
            .is_none_or(|number| number < site.rebuild().head().number)
    );
    signed(site);
}

#[test]
fn a_within_typed_wrong_is_struck_by_the_performer_alone() {
    let mut site = last_pass();
    site.types("121").unwrap();
    let strike = Command::Strike {
        entry: None,
        reason: "typed the wrong digits".into(),
        seen_by: None,
    };
    site.does(strike, FALK).unwrap();
    assert_eq!(site.last_kind(), "struck/1");
    assert_eq!(fastener(&site.ask()), Some((1, 3)));
    signed(site);
}

#[test]
fn a_failed_reading_is_struck_only_under_a_second_persons_eyes() {
    let mut site = last_pass();
    site.types("140").unwrap();
    let strike = |seen_by| Command::Strike {
        entry: None,
        reason: "it read 120".into(),
        seen_by,
    };
    assert_eq!(site.refused(strike(None), FALK), "second-look");
    assert_eq!(site.refused(strike(Some(FALK)), FALK), "own-work");
    assert_eq!(site.refused(strike(Some(ODDE)), FALK), "second-look");
    assert_eq!(
        site.refused(strike(Some(ODDE)), ODDE),
        "own-lock-first",
        "he looks at the hardware, so his lock is on the box"
    );
    let lock = Command::OwnLock {
        owner: ODDE,
        number: Some("422".into()),
    };
    site.does(lock, FALK).unwrap();
    site.does(strike(Some(ODDE)), ODDE).unwrap();
    assert_eq!(site.last_kind(), "struck_seen/1");
    assert_eq!(fastener(&site.ask()), Some((1, 3)));
    assert!(
        site.rebuild()
            .record_lines(&site.register)
            .iter()
            .any(|line| line.first_page && line.text.contains("HIGH"))
    );
    let struck = site.last("entry").as_u64();
    let again = Command::Strike {
        entry: struck,
        reason: "again".into(),
        seen_by: Some(ODDE),
    };
    assert_eq!(site.refused(again, ODDE), "not-strikable");
    signed(site);
}

#[test]
fn a_gap_reading_struck_is_read_again_at_all_four_points() {
    let mut site = last_pass();
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Gap(3))));
    site.does(
        Command::Strike {
            entry: None,
            reason: "typed wrong".into(),
            seen_by: None,
        },
        FALK,
    )
    .unwrap();
    assert!(matches!(
        site.ask().point,
        Point::Asked(_, _, Inner::Gap(1))
    ));
    signed(site);
}

#[test]
fn a_closed_joint_struck_reopens_rest_recheck_and_later_tests() {
    let mut site = Site::at("people-clear");
    let reading = site
        .rebuild()
        .record_lines(&site.register)
        .into_iter()
        .rfind(|line| line.text.starts_with("J1 8 pass 3"))
        .unwrap()
        .number;
    site.does(
        Command::Strike {
            entry: Some(reading),
            reason: "typed wrong".into(),
            seen_by: None,
        },
        FALK,
    )
    .unwrap();
    assert_eq!(site.due(), "tighten-j1");
    site.until("rest");
    site.until("recheck-j1");
    signed(site);
}

#[test]
fn a_failed_reading_struck_frees_its_finding_and_keeps_its_number() {
    let mut site = Site::at("live-upstream");
    site.types("70").unwrap();
    assert_eq!(site.last("finding"), 1);
    let strike = Command::Strike {
        entry: None,
        reason: "it read 60".into(),
        seen_by: Some(ODDE),
    };
    site.does(strike, ODDE).unwrap();
    assert!(
        matches!(site.ask().point, Point::Asked(ref step, ..) if step == "live-upstream"),
        "{:#?}",
        site.ask()
    );
    site.types("70").unwrap();
    assert_eq!(
        (site.last("finding"), site.last("attempt")),
        (2.into(), 2.into())
    );
}

#[test]
fn a_number_still_asked_about_is_taken_back_and_no_other_is_struck() {
    let mut site = last_pass();
    site.types("90").unwrap();
    site.does(
        Command::Strike {
            entry: None,
            reason: "misread".into(),
            seen_by: None,
        },
        FALK,
    )
    .unwrap();
    assert_eq!(site.last_kind(), "query_answered/1");
    assert_eq!(fastener(&site.ask()), Some((1, 3)));
    signed(site);
}
