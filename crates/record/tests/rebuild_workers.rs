//! Own locks of several workers: taken off for a test in any order, and put over at a handover one after the other.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, SEFTON, Site};
use reseat_procedure::Choices;
use reseat_record::rebuild::{Point, Wants};

const CO2: &[u8] = include_bytes!("../../../procedures/PRV-CO2-04.json");

/// Two own locks on the box where the test takes them off.
fn two_locks_before_the_test() -> Site {
    let mut site = Site::following(CO2, Choices::default());
    site.start();
    site.until("test-own-off");
    site.goes_on(|ask| matches!(&ask.wants, Wants::Person(among) if among.len() == 2));
    site
}

#[test]
fn for_a_test_own_locks_come_off_in_any_order() {
    // Sefton verified at the unit.
    for first in [FALK, SEFTON] {
        let mut site = two_locks_before_the_test();
        assert_eq!(site.due(), "test-own-off");
        site.types(&first.to_string()).unwrap();
        assert_eq!(site.due(), "test-own-off", "the other's lock is still on");
        assert!(
            !matches!(site.ask().point, Point::LockBack(_)),
            "whoever took his off first is not asked for it again: {:#?}",
            site.ask()
        );
        site.step();
        assert_ne!(site.due(), "test-own-off");
        site.restarts_alike();
    }
}

#[test]
fn a_lock_is_hung_now_and_never_late_whoever_wrote_it() {
    let mut site = Site::at("lock-a5");
    let command = site.ask().answer("").unwrap();
    let mut stamp = site.stamp(FALK);
    stamp.acted = Some(stamp.utc.clone());
    let refused = site
        .rebuild()
        .decide(&site.register, command.clone(), &stamp);
    assert_eq!(refused.unwrap_err().code(), "not-late");
    // An entry of another hand, whose chain holds, hangs none either.
    let now = site.stamp(FALK);
    let mut entry = site
        .rebuild()
        .decide(&site.register, command, &now)
        .unwrap();
    entry.acted = Some(entry.utc.clone());
    site.keeps(entry, FALK);
    assert_eq!(site.due(), "lock-a5", "it is still to be hung");
    site.restarts_alike();
}
