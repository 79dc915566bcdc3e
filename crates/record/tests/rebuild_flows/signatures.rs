//! Signatures: who verifies, who releases a hold, who permits what is left out, and what keeps work unsigned.

use crate::rebuild_site::{FALK, ODDE, SEFTON, Site, VRANG};
use crate::signed;
use reseat_record::rebuild::{Command, Point, Wants};

#[test]
fn the_verifiers_signature_takes_his_blind_answers_as_his_own() {
    let mut site = Site::at("verify-coupling");
    site.goes_on(|ask| matches!(ask.point, Point::VerifyAsked(..)));
    site.goes_on(|ask| matches!(ask.point, Point::Verify(_)));
    let blind = site.rebuild().head().number;
    let detail = site.ask().detail.join(" ");
    assert!(
        detail.contains("The answers he signs as his own: 7; both legs bent, flange square."),
        "{detail}"
    );
    site.goes_on(|ask| !matches!(ask.point, Point::Verify(_)));
    assert_eq!(site.last("answers"), serde_json::json!([blind - 1, blind]));
    signed(site);
}

#[test]
fn nobody_verifies_his_own_work_and_a_hold_wants_its_role() {
    let mut site = Site::at("seat-gasket-on");
    site.types("").unwrap();
    let Point::Verify(step) = site.ask().point else {
        panic!("{:#?}", site.ask())
    };
    let verify = |id| Command::Answer {
        point: Point::Verify(step.clone()),
        given: reseat_record::rebuild::Given::Person(id),
    };
    assert_eq!(site.refused(verify(FALK), FALK), "wrong-kind");
    assert_eq!(
        site.refused(verify(ODDE), ODDE),
        "wrong-kind",
        "no lock of his own on the box"
    );
    let lock = Command::OwnLock {
        owner: ODDE,
        number: Some("422".into()),
    };
    site.does(lock, FALK).unwrap();
    assert_eq!(site.refused(verify(ODDE), FALK), "signs-himself");
    site.does(verify(ODDE), ODDE).unwrap();

    let mut site = Site::at("zero-hold");
    site.goes_on(|ask| matches!(ask.point, Point::Hold(_)));
    let release = |id| Command::Answer {
        point: Point::Hold("zero-hold".into()),
        given: reseat_record::rebuild::Given::Person(id),
    };
    assert_eq!(site.refused(release(VRANG), VRANG), "wrong-kind");
    assert_eq!(site.refused(release(SEFTON), VRANG), "signs-himself");
    site.does(release(SEFTON), SEFTON).unwrap();
    assert_eq!(site.due(), "mark-bonnet");
}

#[test]
fn whoever_had_the_work_in_hand_does_not_verify_at_the_end() {
    let mut site = Site::at("open-item");
    site.pauses(5, ODDE);
    site.goes_on(|ask| ask.step.as_ref().is_some_and(|at| at.id == "open-item"));
    site.pauses(5, FALK);
    site.goes_on(|ask| {
        matches!(
            &ask.wants,
            Wants::Signature {
                meaning: "verified",
                ..
            }
        )
    });
    let Wants::Signature { among, .. } = site.ask().wants else {
        panic!()
    };
    assert!(
        among.iter().all(|(id, _)| *id != ODDE && *id != FALK),
        "{among:?}"
    );
    signed(site);
}

#[test]
fn not_applicable_only_where_the_procedure_permits_it() {
    let mut site = Site::at("gland-drops");
    let skip = |reason: &str| Command::NotApplicable {
        reason: reason.into(),
    };
    assert_eq!(site.refused(skip("  "), FALK), "empty");
    site.does(skip("train is down"), FALK).unwrap();
    assert_eq!(site.due(), "hang-pg12");
    assert_eq!(site.refused(skip("no gauge"), FALK), "must-be-done");
    signed(site);
}

#[test]
fn a_deviation_is_added_by_the_role_and_done() {
    let mut site = Site::at("plug-on");
    let add = Command::Deviate {
        text: "polish the stem".into(),
        reason: "scratch".into(),
    };
    assert_eq!(site.refused(add.clone(), FALK), "not-allowed");
    site.does(add, SEFTON).unwrap();
    assert!(
        matches!(site.ask().point, Point::Act(ref id) if id == "added-1"),
        "{:#?}",
        site.ask()
    );
    site.types("").unwrap();
    assert_eq!(site.due(), "plug-on");
    signed(site);
}

#[test]
fn signing_is_refused_by_each_kind_of_open_thing() {
    let refused = |site: &mut Site| {
        site.goes_on(|ask| {
            matches!(
                ask.wants,
                Wants::Signature {
                    meaning: "performed",
                    ..
                }
            ) || matches!(ask.point, Point::Finding(_))
        });
        let command = site.ask().answer(&FALK.to_string()).unwrap();
        let refusal = site
            .rebuild()
            .decide(&site.register, command, &site.stamp(FALK))
            .unwrap_err();
        assert_eq!(refusal.code(), "still-open");
        refusal.sentence()
    };
    // A unit to be swapped cannot be signed as rebuilt.
    let mut site = Site::at("open-item");
    site.does(
        Command::Find {
            words: "body cracked".into(),
        },
        FALK,
    )
    .unwrap();
    site.decides("scrap unit", SEFTON);
    assert!(refused(&mut site).contains("scrap unit"));
    // An own lock of a person who went home.
    let mut site = Site::at("plug-on");
    site.pauses(5, ODDE);
    site.until("own-locks-off");
    site.types("Mbali Sefton").unwrap();
    site.types("Rurik Odde").unwrap();
    assert_eq!(site.due(), "own-locks-off", "Falk's lock is still on");
    assert!(
        site.ask().answer("Rurik Odde").is_err(),
        "it is off already"
    );
    site.types("Ines Falk").unwrap();
    assert_ne!(site.due(), "own-locks-off");
    signed(site);
}
