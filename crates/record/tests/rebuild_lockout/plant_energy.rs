//! 29 CFR 1910.147(f)(1): temporary removal of locks to test.

use reseat_record::rebuild::{Clearing, Point};
use serde_json::Value;

use crate::rebuild_site::{FALK, ODDE, Site};
use crate::{CO2, act, changed, following, kinds, own_lock, without};

/// Source: 29 CFR 1910.147(f)(1), in this order: (i) clear tools and materials, (ii) remove employees, (iii) remove the locks,
/// (iv) energize and test, (v) de-energize and reapply.
#[test]
fn a_test_by_plant_energy_goes_clear_locks_off_test_locks_on_zero() {
    let mut site = following(CO2);
    let strip = |site: &Site| site.rebuild().strip(&site.stamp(FALK)).state;
    site.until("test-unlock-b-1");
    assert!(site.rebuild().lock_box().unwrap().on.is_empty());
    assert!(strip(&site).contains("CO2") || !strip(&site).contains("HANDS OFF"));
    site.types("").unwrap();
    assert!(
        strip(&site).starts_with("UNDER TEST, HANDS OFF  V-C41"),
        "{}",
        strip(&site)
    );
    assert_eq!(site.refused(act("fit-main-spring"), FALK), "not-asked-now");
    site.until("soap-inlet-joints-250");
    assert!(
        strip(&site).starts_with("UNDER TEST, HANDS OFF  CO2 250 psi"),
        "{}",
        strip(&site)
    );
    site.until("test-end-vn-1");
    let shown = site.rebuild().lock_box().unwrap();
    assert_eq!(shown.on.len(), 1, "own lock on again");
    site.until("count-wrenches-picks-rags-again");
    let number = |wanted: &dyn Fn(&Value) -> bool| {
        site.entries
            .iter()
            .filter(|sealed| wanted(&Value::Object(sealed.entry.body.clone())))
            .map(|sealed| sealed.entry.number)
            .next_back()
            .unwrap()
    };
    let step = |id: &'static str| number(&|body| body["step"] == id);
    let sequence = [
        step("count-wrenches-picks-rags"),
        step("clear-people-second-person"),
        step("test-own-off"),
        step("test-unlock-b-1"),
        step("crack-v-c41-60-125"),
        step("left-creep"),
        step("test-end-shut-v-c41"),
        step("test-end-lock-b-1"),
        step("test-end-own"),
        step("test-end-vn-1"),
        step("zero-after-test"),
    ];
    assert!(sequence.is_sorted(), "{sequence:?}");
    assert_eq!(kinds(&site, "cleared/1"), 0, "the procedure asks it all");
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn energy_is_not_let_in_while_an_own_lock_is_on() {
    let mut site = following(CO2);
    site.until("test-unlock-b-1");
    site.does(own_lock(ODDE, Some("430")), FALK).unwrap();
    // A worker came back: people are asked about again, then his lock.
    assert_eq!(site.ask().point, Point::Clear(Clearing::People));
    assert_eq!(site.refused(act("test-unlock-b-1"), FALK), "not-cleared");
    site.types("2").unwrap();
    assert_eq!(site.last("clear"), false);
    assert_eq!(site.ask().point, Point::Clear(Clearing::People));
    site.types("1").unwrap();
    assert_eq!(site.ask().point, Point::Clear(Clearing::OwnLocks));
    let refusal = site
        .rebuild()
        .decide(&site.register, act("test-unlock-b-1"), &site.stamp(FALK))
        .unwrap_err();
    assert_eq!(
        refusal.sentence(),
        "Nothing is let in yet: still on the box: own lock 430 of Rurik Odde."
    );
    site.types("Rurik Odde").unwrap();
    assert_eq!(site.ask().point, Point::Act("test-unlock-b-1".into()));
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn energy_is_not_let_in_before_tools_and_people_are_cleared_though_nothing_written_asks_it() {
    let bytes = changed(CO2, |value| {
        without(
            value,
            &["count-wrenches-picks-rags", "clear-people-second-person"],
        );
    });
    let mut site = following(bytes);
    site.until("test-unlock-b-1");
    assert_eq!(site.ask().point, Point::Clear(Clearing::Tools));
    assert_eq!(site.refused(act("test-unlock-b-1"), FALK), "not-cleared");
    site.types("1").unwrap();
    assert_eq!(site.last("clear"), false, "one rag is left");
    assert_eq!(site.ask().point, Point::Clear(Clearing::Tools));
    site.types("0").unwrap();
    assert_eq!(site.ask().point, Point::Clear(Clearing::People));
    site.types("1").unwrap();
    assert_eq!(site.ask().point, Point::Act("test-unlock-b-1".into()));
    site.until("");
    assert_eq!(kinds(&site, "cleared/1"), 3);
}

#[test]
fn a_handover_in_the_middle_of_the_test_asks_about_people_again() {
    let mut site = following(CO2);
    site.until("crack-v-c41-60-125");
    site.pauses(90, ODDE);
    site.goes_on(|ask| !matches!(ask.point, Point::Observed));
    assert_eq!(site.ask().point, Point::Clear(Clearing::People));
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn after_the_test_zero_waits_for_every_lock_though_nothing_written_puts_it_back() {
    let bytes = changed(CO2, |value| {
        without(value, &["test-end-lock-b-1", "test-end-own"]);
    });
    let mut site = following(bytes);
    site.until("zero-after-test");
    assert_eq!(site.ask().point, Point::LockBack("V-C41".into()));
    site.types("B-1").unwrap();
    assert_eq!(site.ask().point, Point::LockBack("own".into()));
    site.types("417").unwrap();
    assert!(
        matches!(site.ask().point, Point::Asked(..)),
        "{:#?}",
        site.ask()
    );
    site.until("count-wrenches-picks-rags-again");
    assert!(
        site.rebuild()
            .lock_box()
            .unwrap()
            .keys
            .contains(&"B-1".to_owned())
    );
}

#[test]
fn every_test_by_plant_energy_shipped_is_held_by_the_program() {
    for bytes in [CO2, include_bytes!("../../../../procedures/SA-PRV-03.json")] {
        let mut site = following(bytes);
        let mut live = false;
        for _ in 0..3000 {
            let state = site.rebuild().strip(&site.stamp(FALK)).state;
            live |= state.contains("HANDS OFF");
            if !site.step() {
                break;
            }
        }
        assert!(live && site.rebuild().ended().is_some());
        assert_eq!(kinds(&site, "cleared/1"), 0, "nothing is asked twice");
    }
}
