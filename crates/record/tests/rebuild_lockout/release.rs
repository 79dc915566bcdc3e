//! 29 CFR 1910.147(e)(1) to (3): release from lockout.

use reseat_record::rebuild::{Clearing, Command, Given, Point};

use crate::rebuild_site::{FALK, SEFTON, Site, VRANG};
use crate::{FV, act, changed, following, kinds, without};

#[test]
fn before_the_first_lock_comes_off_in_the_return_tools_people_and_own_locks_are_cleared() {
    let bytes = changed(FV, |value| {
        without(value, &["tools-at-end", "tell-return", "own-locks-off"]);
        // The count before the test is followed by work at the unit.
    });
    let mut site = following(bytes);
    site.until("unlock-a4");
    let asked = |site: &mut Site| {
        let Point::Clear(clearing) = site.ask().point else {
            panic!("{:#?}", site.ask())
        };
        clearing
    };
    if asked(&mut site) == Clearing::Tools {
        assert_eq!(site.refused(act("unlock-a4"), FALK), "not-cleared");
        site.types("0").unwrap();
    }
    assert_eq!(asked(&mut site), Clearing::People);
    site.types("1").unwrap();
    while matches!(site.ask().point, Point::Clear(_)) {
        assert_eq!(asked(&mut site), Clearing::OwnLocks);
        assert_eq!(site.refused(act("unlock-a4"), FALK), "not-cleared");
        site.step();
    }
    assert!(site.rebuild().lock_box().unwrap().on.is_empty());
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn what_the_procedure_asks_before_the_return_is_not_asked_twice() {
    let mut site = Site::at("permit");
    site.until("");
    assert!(site.rebuild().ended().is_some());
    assert_eq!(kinds(&site, "cleared/1"), 0);
}

#[test]
fn work_at_the_unit_after_the_count_of_tools_wants_it_counted_again() {
    let mut site = Site::at("unlock-a4");
    site.does(
        Command::Reopen {
            joint: "J1".into(),
            reason: "weeps".into(),
        },
        FALK,
    )
    .unwrap();
    site.goes_on(|ask| {
        matches!(ask.point, Point::Clear(Clearing::Tools))
            || ask.step.as_ref().is_some_and(|at| at.id == "unlock-a4")
    });
    let counted = site
        .entries
        .iter()
        .rev()
        .find(|sealed| matches!(sealed.entry.kind.as_str(), "counted/1" | "cleared/1"));
    let reopened = site
        .entries
        .iter()
        .find(|sealed| sealed.entry.kind == "reopened/1")
        .unwrap();
    assert!(
        site.ask().point == Point::Clear(Clearing::Tools)
            || counted.is_some_and(|counted| counted.entry.number > reopened.entry.number),
        "{:#?}",
        site.ask()
    );
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn operations_sign_the_unit_over_and_take_it_back() {
    let mut site = Site::at("sign-over");
    for (step, next) in [("sign-over", "tell-control"), ("take-back", "")] {
        site.until(step);
        site.goes_on(|ask| matches!(ask.point, Point::Hold(_)));
        let release = |id| Command::Answer {
            point: Point::Hold(step.into()),
            given: Given::Person(id),
        };
        assert_eq!(site.refused(release(SEFTON), SEFTON), "wrong-kind");
        assert_eq!(site.refused(release(VRANG), FALK), "signs-himself");
        site.does(release(VRANG), VRANG).unwrap();
        assert_eq!(site.last("role"), "operations");
        assert!(next.is_empty() || site.due() == next);
    }
}
