//! 29 CFR 1910.147(f)(3)(ii)(D): an own lock of each worker, on when he begins.

use reseat_record::rebuild::{Point, Wants};

use crate::rebuild_site::{FALK, ODDE, SEFTON, Site};
use crate::{act, own_lock};

#[test]
fn a_verifier_acts_at_the_unit_only_with_his_own_lock_on_the_box() {
    let mut site = Site::at("permit");
    site.goes_on(|ask| matches!(ask.point, Point::Worker(_)));
    let due = site.due();
    let ask = site.ask();
    assert!(
        ask.detail.iter().any(|line| line == "2 Rurik Odde"),
        "{ask:#?}"
    );
    assert!(
        !ask.detail.iter().any(|line| line.contains("Ines Falk")),
        "who is at the keys verifies nothing"
    );
    assert_eq!(
        site.refused(act(&due), FALK),
        "own-lock-first",
        "the act he is to watch waits for his lock"
    );
    for (typed, code) in [
        ("421", "worker-lock"),
        ("9 421", "worker-lock"),
        ("0 421", "worker-lock"),
        ("2 1234567890123456789012345", "worker-lock"),
    ] {
        assert_eq!(
            site.refused(ask.answer(typed).unwrap(), FALK),
            code,
            "{typed}"
        );
    }
    site.types("2 421").unwrap();
    assert_eq!(site.last_kind(), "own_lock/1");
    assert_eq!(site.last("owner")["name"], "Rurik Odde");
    assert_eq!(site.last("number"), "421");
    site.goes_on(|ask| matches!(ask.point, Point::Verify(_)));
    let Wants::Signature { among, .. } = site.ask().wants else {
        panic!("{:#?}", site.ask())
    };
    assert_eq!(among, [(ODDE, "Rurik Odde".to_owned())], "no lock, no look");
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn the_verifier_who_took_his_lock_off_is_asked_for_it_again() {
    let mut site = Site::at("plug-on");
    let holder = site.rebuild().lock_box().unwrap().on[1].clone();
    assert_eq!(holder.name, "Mbali Sefton");
    assert_eq!(site.refused(own_lock(SEFTON, None), FALK), "not-owner");
    assert_eq!(
        site.refused(own_lock(SEFTON, Some("500")), FALK),
        "lock-on-already"
    );
    assert_eq!(site.refused(own_lock(ODDE, None), ODDE), "no-lock");
    site.does(own_lock(SEFTON, None), SEFTON).unwrap();
    site.goes_on(|ask| matches!(ask.point, Point::Worker(_)));
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn whoever_takes_the_work_up_while_making_safe_hangs_his_own_lock_first() {
    let mut site = Site::at("own-locks");
    site.types("417").unwrap();
    site.pauses(5, ODDE);
    site.goes_on(|ask| !matches!(ask.point, Point::Observed));
    // Acts that make safer wait for nothing; the first that does not, waits for his lock.
    site.goes_on(|ask| matches!(&ask.point, Point::LockBack(lock) if lock == "own"));
    assert!(
        site.rebuild()
            .strip(&site.stamp(ODDE))
            .state
            .contains("NOT LOCKED")
    );
    site.types("430").unwrap();
    assert_eq!(site.last("owner")["name"], "Rurik Odde");
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn who_is_still_on_the_box_is_shown_with_number_and_time() {
    let mut site = Site::at("plug-on");
    site.does(own_lock(ODDE, Some("430")), FALK).unwrap();
    let shown = site.rebuild().lock_box().unwrap();
    assert_eq!(shown.name, "LB-A");
    assert_eq!(shown.keys.len(), 4, "{shown:?}");
    let on: Vec<(&str, &str)> = shown
        .on
        .iter()
        .map(|own| (own.number.as_str(), own.name.as_str()))
        .collect();
    assert_eq!(
        on,
        [
            ("417", "Ines Falk"),
            ("421", "Mbali Sefton"),
            ("430", "Rurik Odde")
        ]
    );
    assert!(
        shown.words().starts_with("Box LB-A: 417 Ines Falk since 0"),
        "{}",
        shown.words()
    );
    site.until("own-locks-off");
    let Wants::Person(among) = site.ask().wants else {
        panic!("{:#?}", site.ask())
    };
    assert_eq!(among.len(), 3, "each takes off his own");
    for name in ["Rurik Odde", "Ines Falk", "Mbali Sefton"] {
        assert_eq!(site.due(), "own-locks-off");
        site.types(name).unwrap();
    }
    assert_ne!(site.due(), "own-locks-off");
}
