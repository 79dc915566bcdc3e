//! A step added by deviation is work with the hands: it is added where work is done at zero, and waits for zero.

use reseat_record::rebuild::{Command, Point};

use crate::act;
use crate::rebuild_site::{FALK, SEFTON, Site};

fn add(text: &str) -> Command {
    Command::Deviate {
        text: text.into(),
        reason: "it weeps".into(),
    }
}

#[test]
fn none_is_added_as_found_isolating_under_test_or_returning() {
    for step in ["permit", "lock-a1", "hold-70", "unlock-a1"] {
        let site = Site::at(step);
        assert_eq!(
            site.refused(add("Pull nut 3 of J1 to 122 N·m"), SEFTON),
            "added-at-zero",
            "{step}"
        );
    }
}

#[test]
fn an_added_step_waits_for_locks_and_zero() {
    let mut site = Site::at("plug-on");
    site.does(add("Polish the stem"), SEFTON).unwrap();
    assert_eq!(site.ask().point, Point::Act("added-1".into()));
    site.does(
        Command::LockOff {
            point: "V-3301".into(),
            absent_owner: None,
        },
        FALK,
    )
    .unwrap();
    assert_eq!(site.refused(act("added-1"), FALK), "not-asked-now");
    assert!(matches!(site.ask().point, Point::LockBack(_)));
    site.goes_on(|ask| matches!(ask.point, Point::Gate(_)));
    site.goes_on(|ask| ask.point == Point::Act("added-1".into()));
    site.types("").unwrap();
    site.until("");
    site.restarts_alike();
}
