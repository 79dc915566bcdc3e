//! What a question says of the answer before it, and a finding of what was measured: in the words of the procedure, and no
//! longer than it holds.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, Site};
use reseat_record::rebuild::{Command, Inner, Point, Wants};

#[test]
fn a_wrench_set_wrong_is_told_until_it_is_set_right() {
    let mut site = Site::new();
    site.start();
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Setting(_))));
    let set = |site: &Site| {
        let notice = site.ask().notice;
        notice
            .iter()
            .any(|line| line.to_lowercase().contains("set to "))
    };
    assert!(!set(&site));
    site.types("20").unwrap();
    assert!(set(&site), "{:?}", site.ask().notice);
    site.step();
    assert!(!matches!(
        site.ask().point,
        Point::Asked(_, _, Inner::Setting(_))
    ));
    assert!(!set(&site), "{:?}", site.ask().notice);
}

#[test]
fn single_use_pieces_miscounted_are_told_with_the_number_wanted() {
    let mut site = Site::new();
    site.start();
    site.goes_on(|ask| ask.prompt == "Single-use pieces discarded, count them");
    site.types("1").unwrap();
    let notice = site.ask().notice.join(" ");
    assert!(
        notice.contains("1 counted, ") && notice.contains(" wanted. Count again."),
        "{notice}"
    );
    site.step();
    assert!(!site.ask().notice.join(" ").contains("Count again"));
}

/// At the first measurement of a step that has a window, its label, and what was typed out of it.
fn measured_high() -> (Site, String, String) {
    let mut site = Site::new();
    site.start();
    site.goes_on(|ask| {
        matches!(&ask.point, Point::Asked(_, _, Inner::Whole))
            && ask.prompt.starts_with("travel at 0.4 bar, going up")
    });
    let id = match site.ask().bench {
        reseat_record::rebuild::Bench::Window(id) => id,
        other => panic!("{other:?}"),
    };
    site.types("3.00").unwrap();
    (site, id, "travel at 0.4 bar, going up: ".to_owned())
}

#[test]
fn a_finding_names_what_was_measured_by_its_label() {
    let (site, id, label) = measured_high();
    let ask = site.ask();
    let told = ask.notice.join(" ");
    assert!(told.contains(&label), "{told}");
    assert!(!told.contains(&id), "{told}");
    assert!(matches!(ask.point, Point::Finding(_)), "{:?}", ask.point);
}

#[test]
fn a_reading_of_a_step_opened_again_leaves_the_picture() {
    let mut site = Site::new();
    site.start();
    site.goes_on(|ask| {
        matches!(&ask.point, Point::Asked(_, _, Inner::Whole))
            && ask.prompt.starts_with("travel at 0.4 bar, going up")
    });
    let reseat_record::rebuild::Bench::Window(id) = site.ask().bench else {
        panic!("{:?}", site.ask().bench)
    };
    assert!(matches!(site.ask().wants, Wants::Reading { .. }));
    site.types("0.10").unwrap();
    let marks = |site: &Site| site.rebuild().gauge_of(&id).unwrap().readings.len();
    assert_eq!(marks(&site), 1);
    let strike = Command::Strike {
        entry: None,
        reason: "a digit too few".into(),
        seen_by: None,
    };
    site.does(strike, FALK).unwrap();
    assert_eq!(marks(&site), 0, "struck");
    site.goes_on(|ask| {
        matches!(&ask.point, Point::Asked(_, _, Inner::Whole))
            && ask.prompt.starts_with("travel at 0.4 bar, going up")
    });
    site.types("0.20").unwrap();
    assert_eq!(marks(&site), 1);
    let joint = Command::Reopen {
        joint: "J1".into(),
        reason: "weeps".into(),
    };
    site.does(joint, FALK).unwrap();
    assert_eq!(marks(&site), 0, "the test is void");
    site.restarts_alike();
}
