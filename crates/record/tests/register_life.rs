//! A register over its life: founded, people coming and going, units moving, instruments in and out of service, approvals.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod register_site;

use register_site::*;
use reseat_procedure::model::Role;
use reseat_record::log::{Chain, Hash, Id, Sealed, verify_chain};
use reseat_record::register::{Command, Register, Service, SiteSaid, check_site_signature};
use reseat_record::verify::register_signatures;

fn whole_chain(bench: &Bench) {
    let chain = verify_chain(bench.entries.iter().map(|sealed| sealed.bytes.as_slice()));
    assert_eq!(
        chain,
        Chain::Whole {
            head: bench.register.head()
        }
    );
    assert_eq!(register_signatures(&bench.register, &bench.entries), []);
}

#[test]
fn the_founding_carries_both_keys_and_both_signatures() {
    for demo in [false, true] {
        let mut bench = if demo { Bench::demo() } else { Bench::new() };
        let sealed = bench.does(found(), Some(SEFTON)).unwrap();
        assert_eq!(check_site_signature(&sealed.entry), Ok(()));
        assert_eq!(
            sealed.entry.signature.unwrap().key,
            public(SEFTON.bytes()[0])
        );
        let site = bench.register.site().unwrap();
        assert_eq!(
            (site.name.as_str(), site.rule.as_str()),
            ("Tern Point", "29 CFR 1910.147")
        );
        assert_eq!((site.pause_minutes, site.shift_hours), (10, 12));
        assert!(bench.register.person(SEFTON).unwrap().has(Role::Lead));
        assert_eq!(bench.register.is_demo(), demo);
        whole_chain(&bench);
        // The site's signature covers the body: another site name does not carry it.
        let mut other = reseat_record::log::Entry::clone(&sealed.entry);
        other.body.insert("site".into(), "Gull Point".into());
        assert!(check_site_signature(&other).is_err());
    }
}

#[test]
fn replay_equals_live_at_every_entry() {
    let bench = Bench::whole();
    let mut live = Register::empty(STREAM);
    for (count, sealed) in bench.entries.iter().enumerate() {
        live.apply(sealed).unwrap();
        let read: Vec<Sealed> = bench.entries[..=count]
            .iter()
            .map(|sealed| Sealed::read(&sealed.bytes).unwrap())
            .collect();
        assert_eq!(Register::replay(STREAM, &read).unwrap(), live);
    }
    assert_eq!(live, bench.register);
    whole_chain(&bench);
}

#[test]
fn an_entry_that_does_not_follow_changes_nothing() {
    let mut bench = Bench::whole();
    let before = bench.register.clone();
    let old = bench.entries[3].clone();
    assert!(bench.register.apply(&old).is_err());
    assert_eq!(bench.register, before);
}

#[test]
fn a_new_key_leaves_old_signatures_good_and_the_old_key_signs_nothing_more() {
    let mut bench = Bench::whole();
    let enrolled_at = bench.register.person(QUIST).unwrap().fact.number;
    bench
        .does(
            Command::ChangeKey {
                person: QUIST,
                key: public(44),
                reason: "forgot the passphrase".into(),
            },
            Some(SEFTON),
        )
        .unwrap();
    bench.does(approve("B"), Some(QUIST)).unwrap();
    whole_chain(&bench);
    let quist = bench.register.person(QUIST).unwrap();
    assert_eq!(
        quist.standing_at(enrolled_at).unwrap().key,
        public(QUIST.bytes()[0])
    );
    assert_eq!(quist.key, public(44));
    assert_eq!(quist.standing_at(enrolled_at - 1), None);
    // The same entry signed with the old key holds as a chain and is found as a finding.
    let entry = bench
        .register
        .decide(approve("C"), &bench.stamp(Some(QUIST)))
        .unwrap();
    let stale = entry.sign(&key(QUIST.bytes()[0])).unwrap();
    bench.register.apply(&stale).unwrap();
    bench.entries.push(stale);
    let findings = register_signatures(&bench.register, &bench.entries);
    assert_eq!(findings.len(), 1);
    assert_eq!(findings[0].number, bench.register.head().number);
    assert_eq!(
        findings[0].reason,
        "The key that signed was not Yara Quist's."
    );
}

#[test]
fn the_site_key_brings_a_lead_back_when_the_last_one_is_gone() {
    let mut bench = Bench::whole();
    assert_eq!(
        bench.refuses(enrol(ODDE, "Rurik Odde", &[Role::Lead]), None),
        "lead-is-there"
    );
    assert_eq!(
        bench.refuses(
            Command::Retire {
                person: SEFTON,
                reason: "left".into()
            },
            Some(SEFTON)
        ),
        "last-lead"
    );
    bench
        .does(
            Command::Retire {
                person: SEFTON,
                reason: "left the site".into(),
            },
            None,
        )
        .unwrap();
    assert_eq!(
        bench.refuses(enrol(ODDE, "Rurik Odde", &[Role::Performer]), None),
        "site-key-for-lead-only"
    );
    bench
        .does(enrol(ODDE, "Rurik Odde", &[Role::Lead]), None)
        .unwrap();
    assert_eq!(
        bench.refuses(
            enrol(Id::from_bytes([16; 10]), "Other", &[Role::Lead]),
            None
        ),
        "lead-is-there"
    );
    bench
        .does(
            Command::GiveRoles {
                person: FALK,
                roles: [Role::Verifier].into(),
            },
            Some(ODDE),
        )
        .unwrap();
    whole_chain(&bench);
}

#[test]
fn the_site_key_gives_the_last_lead_a_new_key() {
    let mut bench = Bench::whole();
    bench
        .does(
            Command::ChangeKey {
                person: SEFTON,
                key: public(55),
                reason: "forgot the passphrase".into(),
            },
            None,
        )
        .unwrap();
    bench
        .does(enrol(ODDE, "Rurik Odde", &[Role::Lead]), Some(SEFTON))
        .unwrap();
    assert_eq!(
        bench.refuses(
            Command::ChangeKey {
                person: SEFTON,
                key: public(56),
                reason: "again".into()
            },
            None
        ),
        "lead-is-there"
    );
    whole_chain(&bench);
}

#[test]
fn a_retired_person_comes_back_as_the_same_person() {
    let mut bench = Bench::whole();
    bench
        .does(
            Command::Retire {
                person: FALK,
                reason: "moved".into(),
            },
            Some(SEFTON),
        )
        .unwrap();
    assert!(bench.register.holders(Role::Performer).next().is_none());
    assert_eq!(
        bench.refuses(enrol(ODDE, "ines  falk", &[Role::Performer]), Some(SEFTON)),
        "name-taken"
    );
    bench
        .does(
            Command::TakeOnAgain {
                person: FALK,
                roles: [Role::Performer].into(),
                key: public(61),
            },
            Some(SEFTON),
        )
        .unwrap();
    let falk = bench.register.person(FALK).unwrap();
    assert_eq!((falk.past.len(), falk.retired), (3, false));
    whole_chain(&bench);
}

#[test]
fn a_unit_moves_and_place_and_unit_agree() {
    let mut bench = Bench::whole();
    let moved = |tag: &str, serial: &str| (tag.to_owned(), serial.to_owned());
    let (tag, serial) = moved("fv-3302", "tp-33-0417");
    bench
        .does(Command::Remove { tag, serial }, Some(FALK))
        .unwrap();
    assert_eq!(bench.register.place("FV-3302").unwrap().holds, None);
    assert_eq!(bench.register.unit("TP-33-0417").unwrap().place, None);
    let (tag, serial) = moved("FV-3302", "TP-33-0418");
    let sealed = bench
        .does(Command::Fit { tag, serial }, Some(FALK))
        .unwrap();
    assert_eq!(
        bench.register.place("FV-3302").unwrap().holds.as_deref(),
        Some("TP-33-0418")
    );
    let unit = bench.register.unit("TP-33-0418").unwrap();
    assert_eq!(unit.place.as_deref(), Some("FV-3302"));
    assert_eq!(
        (unit.fact.number, unit.fact.hash, unit.fact.register),
        (sealed.entry.number, sealed.hash, STREAM)
    );
}

#[test]
fn an_instrument_goes_out_of_service_and_comes_back() {
    let mut bench = Bench::whole();
    let id = || "TW-19".to_owned();
    let before = bench.register.instrument("TW-19").unwrap().fact;
    bench
        .does(
            Command::CheckForDay {
                id: id(),
                seen: "no damage, zeroed".into(),
                passed: true,
            },
            Some(FALK),
        )
        .unwrap();
    let wrench = bench.register.instrument("tw-19").unwrap();
    assert!(wrench.checked.is_some() && wrench.fact == before);
    bench
        .does(
            Command::Quarantine {
                id: id(),
                reason: "dropped".into(),
            },
            Some(FALK),
        )
        .unwrap();
    let wrench = bench.register.instrument("TW-19").unwrap();
    assert_eq!(
        (wrench.service, wrench.out_of_service.as_deref()),
        (Service::Quarantined, Some("dropped"))
    );
    assert!(wrench.checked.is_none());
    bench
        .does(
            Command::Return {
                id: id(),
                reason: "checked on the bench".into(),
            },
            Some(SEFTON),
        )
        .unwrap();
    bench
        .does(
            Command::CheckForDay {
                id: id(),
                seen: "needle bent".into(),
                passed: false,
            },
            Some(FALK),
        )
        .unwrap();
    assert!(bench.register.instrument("TW-19").unwrap().quarantined());
    let mut renewed = calibration();
    renewed.certificate = "C-2002".into();
    renewed.due = "2027-03-01".into();
    bench
        .does(
            Command::RenewCalibration {
                id: id(),
                calibration: renewed,
            },
            Some(SEFTON),
        )
        .unwrap();
    let wrench = bench.register.instrument("TW-19").unwrap();
    assert!(
        wrench.quarantined(),
        "a certificate alone brings nothing back"
    );
    assert!(!wrench.overdue_on("2027-03-01") && wrench.overdue_on("2027-03-02"));
}

#[test]
fn a_new_revision_supersedes_the_one_before() {
    let mut bench = Bench::whole();
    bench.does(approve("B"), Some(QUIST)).unwrap();
    let approvals = bench.register.approvals();
    assert_eq!(
        approvals
            .iter()
            .map(|approval| approval.superseded)
            .collect::<Vec<_>>(),
        [true, false]
    );
    assert_eq!(bench.register.approved_now("P-33-A").unwrap().revision, "B");
    let superseded = Command::Supersede {
        number: "P-33-A".into(),
        revision: "B".into(),
        sha256: Hash::of(b"B"),
        reason: "wrong torque table".into(),
    };
    bench.does(superseded, Some(QUIST)).unwrap();
    assert_eq!(bench.register.approved_now("P-33-A"), None);
    // What was superseded can be approved again, by a new entry.
    bench.does(approve("A"), Some(QUIST)).unwrap();
    assert_eq!(bench.register.approved_now("P-33-A").unwrap().revision, "A");
    whole_chain(&bench);
}

#[test]
fn site_values_and_clock() {
    let mut bench = Bench::whole();
    let values = SiteSaid {
        rule: "29 CFR 1910.147".into(),
        pause_minutes: 5,
        zero_minutes: 45,
        look_again_minutes: 20,
        shift_hours: 8,
        day_checks: false,
        left_states: Vec::new(),
    };
    bench
        .does(Command::SetSite(values.clone()), Some(SEFTON))
        .unwrap();
    let site = bench.register.site().unwrap();
    assert_eq!(
        (
            site.pause_minutes,
            site.zero_minutes,
            site.look_again_minutes,
            site.shift_hours
        ),
        (5, 45, 20, 8)
    );
    assert_eq!(
        bench.refuses(Command::SetSite(values), Some(SEFTON)),
        "nothing-changes"
    );
    let latest = bench.entries.last().unwrap().entry.utc.clone();
    assert_eq!(bench.register.floor(), Some(latest.as_str()));
    bench
        .does(
            Command::AgreeClock {
                day: "2026-03-12".into(),
            },
            Some(FALK),
        )
        .unwrap();
    assert_eq!(bench.register.agreed_day(), Some("2026-03-12"));
    bench
        .does(
            Command::GiveClock {
                given: "2026-03-10T08:00:00.000Z".into(),
                machine: None,
            },
            Some(FALK),
        )
        .unwrap();
    assert_eq!(bench.register.floor(), Some("2026-03-10T08:00:00.000Z"));
    assert_eq!(
        bench.refuses(Command::RunOn { seconds: 60 }, Some(FALK)),
        "demo-only"
    );
    let mut demo = Bench::demo();
    demo.does(found(), Some(SEFTON)).unwrap();
    demo.does(Command::RunOn { seconds: 90 }, Some(SEFTON))
        .unwrap();
    demo.does(Command::RunOn { seconds: 30 }, None).unwrap();
    assert_eq!(demo.register.ran_on_seconds(), 120);
}
