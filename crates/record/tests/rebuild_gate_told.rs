//! What a check of zero tells: what failed stands on the next question, and the releaser is shown each side he releases.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, ODDE, Site};
use reseat_record::rebuild::{Command, Inner, PROVES_NOTHING, Point, Wants};

const WORK: &str = "plug-on";

/// At the check of zero that the program asks after it ended.
fn at_gate() -> Site {
    let mut site = Site::at(WORK);
    site.restarts(FALK);
    site.goes_on(|ask| matches!(ask.point, Point::Gate(_)));
    site
}

fn told(site: &Site, words: &str) -> bool {
    site.ask().notice.iter().any(|line| line == words)
}

#[test]
fn a_gauge_that_does_not_show_zero_is_told_with_the_question_that_comes_back() {
    let mut site = at_gate();
    let point = site.ask().point;
    let headline = site.ask().notice[0].clone();
    site.types("0.50").unwrap();
    let ask = site.ask();
    assert_eq!(ask.point, point);
    assert_eq!(ask.notice[0], headline);
    let words = "0.50 bar g HIGH: that is not zero. Vent, wait, look again.";
    assert!(told(&site, words), "{:?}", ask.notice);
    // It is told until that part shows zero, and after the program ended too.
    site.restarts(FALK);
    site.goes_on(|ask| matches!(ask.point, Point::Gate(_)));
    assert!(told(&site, words), "{:?}", site.ask().notice);
    site.types("0.05").unwrap();
    assert!(!told(&site, words), "{:?}", site.ask().notice);
    site.restarts_alike();
}

#[test]
fn a_vent_that_still_flows_or_cannot_be_told_is_told_too() {
    for came in ["still flowing", "cannot tell"] {
        let mut site = at_gate();
        site.types("0.05").unwrap();
        let point = site.ask().point;
        site.picks(came);
        assert_eq!(site.ask().point, point);
        let words = format!("{came}: that is not zero. Vent, wait, look again.");
        assert!(told(&site, &words), "{:?}", site.ask().notice);
        site.picks("nothing came");
        assert!(!told(&site, &words), "{:?}", site.ask().notice);
    }
}

#[test]
fn a_look_that_failed_is_told_at_the_check_it_leads_to() {
    for (came, words) in [
        (
            "0.50",
            "0.50 bar g HIGH: that is not zero. Vent, wait, look again.",
        ),
        (
            "still flowing",
            "still flowing: that is not zero. Vent, wait, look again.",
        ),
    ] {
        let mut site = Site::at(WORK);
        site.pauses(5, FALK);
        assert_eq!(site.ask().point, Point::LookAgain);
        if came == "0.50" {
            site.types(came).unwrap();
        } else {
            site.types("0.05").unwrap();
            site.picks(came);
        }
        assert_eq!(site.ask().point, Point::Gate(0));
        assert!(told(&site, words), "{:?}", site.ask().notice);
    }
}

#[test]
fn a_reading_struck_is_told_no_longer() {
    let mut site = at_gate();
    site.types("0.50").unwrap();
    // He looks at the hardware, so his own lock is on the box.
    let lock = Command::OwnLock {
        owner: ODDE,
        number: Some("422".into()),
    };
    site.does(lock, FALK).unwrap();
    let strike = Command::Strike {
        entry: None,
        reason: "a digit too many".into(),
        seen_by: Some(ODDE),
    };
    site.does(strike, ODDE).unwrap();
    assert!(matches!(site.ask().point, Point::Gate(_)));
    assert!(
        site.ask().notice.iter().all(|line| !line.contains("0.50")),
        "{:?}",
        site.ask().notice
    );
}

/// Each side with its value, gauge and what came from its vent, the locks, and what a screen cannot prove.
fn shows_what_is_released(site: &Site) {
    let ask = site.ask();
    assert!(matches!(ask.wants, Wants::Signature { .. }), "{ask:#?}");
    let line = |begins: &str| {
        ask.detail
            .iter()
            .find(|line| line.starts_with(begins))
            .unwrap_or_else(|| panic!("no {begins}: {:#?}", ask.detail))
    };
    for (side, gauge, vent) in [
        ("upstream: ", " on PG-12 at ", "; from drain U: "),
        ("downstream: ", " on PG-7 at ", "; from drain D: "),
        ("actuator air: ", " on PG-13 at ", ""),
    ] {
        let said = line(side);
        assert!(
            said.contains(" bar g") && said.contains(gauge) && said.contains(vent),
            "{said}"
        );
    }
    assert!(
        line("Locks recorded ").contains("A-1 on "),
        "{:?}",
        ask.detail
    );
    assert_eq!(ask.detail.last().map(String::as_str), Some(PROVES_NOTHING));
}

#[test]
fn the_releaser_of_the_written_check_and_of_the_gate_is_shown_each_side() {
    let mut site = Site::new();
    site.start();
    site.goes_on(|ask| ask.point == Point::Hold("zero-hold".into()));
    shows_what_is_released(&site);
    let mut site = at_gate();
    site.goes_on(|ask| {
        matches!(ask.point, Point::Gate(_)) && matches!(ask.wants, Wants::Signature { .. })
    });
    shows_what_is_released(&site);
}

#[test]
fn a_value_beside_a_reading_is_asked_in_the_unit_of_its_own_instrument() {
    let mut asked = 0;
    for (file, bytes) in reseat_procedure::builtin() {
        let procedure = reseat_procedure::read(bytes).unwrap();
        for choices in reseat_procedure::all_choices(&procedure) {
            let mut site = Site::following(bytes, choices);
            site.start();
            loop {
                let ask = site.ask();
                if let (
                    Point::Asked(_, _, Inner::Beside),
                    Wants::Reading {
                        unit, instrument, ..
                    },
                ) = (&ask.point, &ask.wants)
                {
                    let scale = site.register.instrument(instrument).unwrap().scale;
                    assert_eq!(*unit, scale, "{file}: {}", ask.prompt);
                    asked += 1;
                }
                if !site.step() {
                    break;
                }
            }
        }
    }
    assert!(asked > 10, "{asked} values beside readings were asked");
}
