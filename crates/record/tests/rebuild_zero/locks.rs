//! Locks that come off and people who change: whose lock, whose zero.

use reseat_record::rebuild::{Command, Point};

use crate::rebuild_site::{FALK, ODDE, Site};
use crate::{WORK, absent, gate_leads_back, lock_off};

#[test]
fn a_lock_off_by_its_owner_wants_it_back_and_zero_anew() {
    let mut site = Site::at(WORK);
    site.does(lock_off("V-3301"), FALK).unwrap();
    assert_eq!(site.ask().point, Point::LockBack("V-3301".into()));
    gate_leads_back(&mut site, true);
}

#[test]
fn another_persons_lock_comes_off_only_by_the_absent_owner_route() {
    let mut site = Site::at(WORK);
    assert_eq!(site.refused(lock_off("V-3301"), ODDE), "not-owner");
    assert_eq!(site.refused(lock_off("own"), ODDE), "no-lock");
    assert_eq!(
        site.refused(lock_off(&format!("own:{FALK}")), ODDE),
        "not-owner"
    );
    let mut hollow = absent("V-3301");
    if let Command::LockOff {
        absent_owner: Some(facts),
        ..
    } = &mut hollow
    {
        facts.attempts = " ".into();
    }
    assert_eq!(site.refused(hollow, ODDE), "empty");
    site.does(absent("V-3301"), ODDE).unwrap();
    assert_eq!(site.last("attempts"), "phoned twice, home and mobile");
    gate_leads_back(&mut site, true);
    let mut site = Site::at(WORK);
    site.does(absent(&format!("own:{FALK}")), ODDE).unwrap();
    assert_eq!(site.ask().point, Point::LockBack("own".into()));
    gate_leads_back(&mut site, true);
}

#[test]
fn the_owner_takes_his_lock_off_also_while_another_has_the_work() {
    let mut site = Site::at(WORK);
    site.pauses(5, ODDE);
    site.does(lock_off("V-3301"), FALK).unwrap();
    assert_eq!(site.last("owner"), "Ines Falk");
    gate_leads_back(&mut site, true);
}

#[test]
fn a_handover_wants_the_incoming_persons_own_lock_and_own_zero() {
    let mut site = Site::at(WORK);
    let words = || "plug lies on the cloth".to_owned();
    assert_eq!(
        site.refused(
            Command::HandOver {
                words: words(),
                to: Some(ODDE),
                left: None
            },
            ODDE
        ),
        "signs-himself"
    );
    site.does(
        Command::HandOver {
            words: words(),
            to: Some(ODDE),
            left: None,
        },
        FALK,
    )
    .unwrap();
    assert!(
        site.last("next")
            .as_str()
            .is_some_and(|next| next.contains("plug"))
    );
    assert!(site.rebuild().summary().state.starts_with("HANDED OVER"));
    assert!(site.ask().notice[0].contains("plug lies on the cloth"));
    site.resumes(ODDE);
    assert_eq!(site.ask().point, Point::LockBack("own".into()));
    gate_leads_back(&mut site, true);
}

#[test]
fn a_handover_to_nobody_taken_back_by_the_same_person_is_proved_in_full() {
    let mut site = Site::at(WORK);
    site.does(
        Command::HandOver {
            words: "end of shift".into(),
            to: None,
            left: Some("isolated and locked, vented, openings covered".into()),
        },
        FALK,
    )
    .unwrap();
    site.resumes(FALK);
    assert_eq!(site.ask().point, Point::Gate(0));
    gate_leads_back(&mut site, true);
}

#[test]
fn a_drain_lock_taken_off_where_nothing_is_let_in_voids_zero() {
    // In FV-3302 A-5 comes off with air in; taken off by hand before, it is a lock off like any other.
    let mut site = Site::at(WORK);
    site.does(lock_off("drain U"), FALK).unwrap();
    assert_eq!(site.ask().point, Point::LockBack("drain U".into()));
    gate_leads_back(&mut site, true);
}
