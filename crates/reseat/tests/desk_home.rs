//! A home from its founding on: keys, signatures, clock, and two sessions over one history.
#![allow(clippy::unwrap_used)]

use std::collections::BTreeSet;
use std::path::Path;
use std::time::Duration;

use reseat::desk::{
    ClockFault, Desk, Doubt, Enrolment, Fault, Founding, HomeFault, KeyFault, SetTime, SiteWords,
    Surroundings, SystemTime, Wall,
};
use reseat_procedure::model::Role;
use reseat_record::log::{Chain, Clock, Id, verify_chain};
use reseat_record::register::{Command, UnitSaid};
use zeroize::Zeroizing;

const START: &str = "2026-03-12T06:00:00.000Z+01:00";

fn founding() -> Founding {
    Founding {
        site: "Tern Point".into(),
        rule: "29 CFR 1910.147".into(),
        lead_name: "Mbali Sefton".into(),
        passphrase: Zeroizing::new("osmosis runs uphill".into()),
        pin: Zeroizing::new("314159".into()),
    }
}

fn enrolment(name: &str, roles: &[Role]) -> Enrolment {
    Enrolment {
        name: name.into(),
        roles: roles.iter().copied().collect::<BTreeSet<_>>(),
        passphrase: Zeroizing::new(format!("{name} types this")),
        pin: Zeroizing::new("271828".into()),
    }
}

fn demo(root: &Path) -> (Desk, SiteWords, SetTime, Id) {
    let time = SetTime::at(START).unwrap();
    let (desk, words) = Desk::found_demo(root, &founding(), Box::new(time.clone())).unwrap();
    let lead = desk.register().person_named("Mbali Sefton").unwrap().id;
    (desk, words, time, lead)
}

fn unit(serial: &str) -> Command {
    Command::AddUnit(UnitSaid {
        serial: serial.into(),
        model: "DN50 globe".into(),
        name: "brine reject".into(),
    })
}

#[test]
fn a_real_home_is_founded_opened_and_refuses_to_be_founded_again() {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path().join("home");
    assert!(!Desk::is_founded(&root).unwrap());
    let (desk, words) = Desk::found(&root, &founding(), Box::new(SystemTime::new())).unwrap();
    assert!(!desk.demo());
    assert_eq!(words.words().len(), 33);
    drop(desk);
    assert!(Desk::is_founded(&root).unwrap());
    let desk = Desk::open(&root, Box::new(SystemTime::new())).unwrap();
    let lead = desk.register().person_named("mbali sefton").unwrap();
    assert!(
        !desk.is_unsealed(&lead.id),
        "a key is opened once a run, not for ever"
    );
    let again = Desk::found(&root, &founding(), Box::new(SystemTime::new())).unwrap_err();
    assert_eq!(
        again,
        Fault::AlreadyFounded {
            site: "Tern Point".into()
        }
    );
}

#[test]
fn founding_refuses_a_short_passphrase_before_anything_is_made() {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path().join("home");
    let short = Founding {
        passphrase: Zeroizing::new("short".into()),
        ..founding()
    };
    let fault = Desk::found(&root, &short, Box::new(SystemTime::new())).unwrap_err();
    assert!(matches!(
        fault,
        Fault::Key(KeyFault::PassphraseShort { .. })
    ));
    let pin = Founding {
        pin: Zeroizing::new("12345".into()),
        ..founding()
    };
    assert!(matches!(
        Desk::found(&root, &pin, Box::new(SystemTime::new())).unwrap_err(),
        Fault::Key(KeyFault::PinForm)
    ));
    assert!(!root.exists());
}

#[test]
fn a_set_clock_stops_a_real_home() {
    let folder = tempfile::tempdir().unwrap();
    let set = || Box::new(SetTime::at(START).unwrap());
    assert_eq!(
        Desk::found(folder.path(), &founding(), set()).unwrap_err(),
        Fault::Clock(ClockFault::SetInRealHome)
    );
    Desk::found(folder.path(), &founding(), Box::new(SystemTime::new())).unwrap();
    assert_eq!(
        Desk::open(folder.path(), set()).unwrap_err(),
        Fault::Clock(ClockFault::SetInRealHome)
    );
}

#[test]
fn every_signature_takes_the_pin_once() {
    let folder = tempfile::tempdir().unwrap();
    let (mut desk, _, _, lead) = demo(folder.path());
    let falk = enrolment("Ines Falk", &[Role::Performer, Role::Verifier]);
    assert_eq!(
        desk.enrol(&falk, &lead).unwrap_err(),
        Fault::Key(KeyFault::PinFirst)
    );
    desk.check_pin(&lead, "314159").unwrap();
    let id = desk.enrol(&falk, &lead).unwrap();
    assert_eq!(desk.register().person(id).unwrap().name, "Ines Falk");
    let odde = enrolment("Rurik Odde", &[Role::Performer]);
    assert_eq!(
        desk.enrol(&odde, &lead).unwrap_err(),
        Fault::Key(KeyFault::PinFirst),
        "one PIN, one signature"
    );
    assert_eq!(
        desk.unseal(&id, "not his").unwrap_err(),
        Fault::Key(KeyFault::WrongPassphrase)
    );
    desk.unseal(&id, "Ines Falk types this").unwrap();
    assert!(desk.is_unsealed(&id));
}

#[test]
fn wrong_pins_handover_and_the_end_of_the_shift_forget_keys() {
    let folder = tempfile::tempdir().unwrap();
    let (mut desk, _, time, lead) = demo(folder.path());
    for left in [4, 3, 2, 1] {
        assert_eq!(
            desk.check_pin(&lead, "000000").unwrap_err(),
            Fault::Key(KeyFault::WrongPin { left })
        );
    }
    assert_eq!(
        desk.check_pin(&lead, "000000").unwrap_err(),
        Fault::Key(KeyFault::PinsSpent)
    );
    assert!(!desk.is_unsealed(&lead));
    desk.unseal(&lead, "osmosis runs uphill").unwrap();
    desk.forget_keys();
    assert!(!desk.is_unsealed(&lead));
    desk.unseal(&lead, "osmosis runs uphill").unwrap();
    time.pass(Duration::from_secs(43_199));
    assert!(desk.is_unsealed(&lead));
    time.pass(Duration::from_secs(1));
    assert!(!desk.is_unsealed(&lead));
    assert_eq!(
        desk.check_pin(&lead, "314159").unwrap_err(),
        Fault::Key(KeyFault::NotOpen)
    );
}

#[test]
fn a_new_key_is_enrolled_by_a_lead_and_a_new_passphrase_by_its_owner() {
    let folder = tempfile::tempdir().unwrap();
    let (mut desk, _, _, lead) = demo(folder.path());
    desk.check_pin(&lead, "314159").unwrap();
    let falk = desk
        .enrol(&enrolment("Ines Falk", &[Role::Performer]), &lead)
        .unwrap();
    let old_key = desk.register().person(falk).unwrap().key;
    desk.check_pin(&lead, "314159").unwrap();
    desk.new_key(
        &falk,
        "second try holds",
        "112233",
        "forgot the passphrase",
        &lead,
    )
    .unwrap();
    assert_ne!(desk.register().person(falk).unwrap().key, old_key);
    assert!(desk.unseal(&falk, "Ines Falk types this").is_err());
    desk.unseal(&falk, "second try holds").unwrap();
    desk.change_passphrase(&falk, "second try holds", "third one of mine", "445566")
        .unwrap();
    assert!(!desk.is_unsealed(&falk));
    desk.unseal(&falk, "third one of mine").unwrap();
    desk.check_pin(&falk, "445566").unwrap();
}

#[test]
fn the_words_enrol_a_lead_only_when_none_is_left() {
    let folder = tempfile::tempdir().unwrap();
    let (mut desk, words, _, lead) = demo(folder.path());
    let typed = SiteWords::read(&words.words().join(" ")).unwrap();
    let other = enrolment("Yara Quist", &[Role::Approver]);
    assert!(
        matches!(
            desk.enrol_lead_with_words(&typed, &other).unwrap_err(),
            Fault::Refused(_)
        ),
        "a lead is there"
    );
    desk.new_key_with_words(
        &typed,
        &lead,
        "osmosis runs downhill",
        "314159",
        "passphrase forgotten",
    )
    .unwrap();
    desk.unseal(&lead, "osmosis runs downhill").unwrap();

    let elsewhere = tempfile::tempdir().unwrap();
    let (_, foreign, _, _) = demo(elsewhere.path());
    let fault = desk
        .new_key_with_words(&foreign, &lead, "osmosis runs downhill", "314159", "x")
        .unwrap_err();
    assert_eq!(fault, Fault::Key(KeyFault::OtherSite));
}

#[test]
fn the_clock_is_agreed_once_a_day_or_given() {
    let folder = tempfile::tempdir().unwrap();
    let (mut desk, _, time, lead) = demo(folder.path());
    assert_eq!(desk.clock().doubt(), Some(Doubt::NotAgreed));
    assert_eq!(desk.stamp(None).clock, Clock::Doubted);
    desk.agree_clock(&lead).unwrap();
    assert_eq!(desk.stamp(None).clock, Clock::Trusted);
    time.pass(Duration::from_hours(1));
    desk.change(
        Command::Remark {
            text: "brine".into(),
            of: None,
        },
        &lead,
    )
    .unwrap();
    drop(desk);

    // The battery was dead: it is the year 2000 again.
    let dead = SetTime::at("2000-01-01T00:00:00.000Z+01:00").unwrap();
    let mut desk = Desk::open(folder.path(), Box::new(dead.clone())).unwrap();
    assert_eq!(desk.clock().doubt(), Some(Doubt::Early));
    assert!(matches!(
        desk.agree_clock(&lead).unwrap_err(),
        Fault::Clock(ClockFault::MustBeGiven { .. })
    ));
    desk.give_clock("2026-03-12 09:30", &lead).unwrap();
    assert_eq!(desk.stamp(None).clock, Clock::Given);
    dead.pass(Duration::from_mins(1));
    assert_eq!(desk.stamp(None).utc, "2026-03-12T08:31:00.000Z");
    drop(desk);

    // An hour behind the last trusted entry, and sixty days beyond it.
    let behind = SetTime::at("2026-03-12T06:30:00.000Z").unwrap();
    let desk = Desk::open(folder.path(), Box::new(behind)).unwrap();
    assert!(matches!(desk.clock().doubt(), Some(Doubt::Behind { .. })));
    drop(desk);
    let beyond = SetTime::at("2026-05-12T06:30:00.000Z").unwrap();
    let mut desk = Desk::open(folder.path(), Box::new(beyond)).unwrap();
    assert!(matches!(
        desk.clock().doubt(),
        Some(Doubt::FarBeyond { .. })
    ));
    desk.give_clock("2026-05-12 06:30", &lead).unwrap();
    assert_eq!(
        desk.stamp(None).clock,
        Clock::Trusted,
        "a person's time bore the machine's out"
    );
}

#[test]
fn the_clock_of_a_demo_runs_on_and_stays_run_on() {
    let folder = tempfile::tempdir().unwrap();
    let (mut desk, _, _, lead) = demo(folder.path());
    desk.run_on(4 * 3600, &lead).unwrap();
    assert_eq!(desk.stamp(None).utc, "2026-03-12T10:00:00.000Z");
    drop(desk);
    let desk = Desk::open(folder.path(), Box::new(SetTime::at(START).unwrap())).unwrap();
    assert_eq!(desk.stamp(None).utc, "2026-03-12T10:00:00.000Z");

    let real = tempfile::tempdir().unwrap();
    let (mut desk, _) = Desk::found(real.path(), &founding(), Box::new(SystemTime::new())).unwrap();
    let lead = desk.register().person_named("Mbali Sefton").unwrap().id;
    assert_eq!(
        desk.run_on(60, &lead).unwrap_err(),
        Fault::Clock(ClockFault::NoRunOn)
    );
}

#[test]
fn an_unreadable_zone_is_doubted_in_a_home() {
    let folder = tempfile::tempdir().unwrap();
    demo(folder.path());
    let time = SetTime::at(START).unwrap();
    time.set_wall(Wall {
        utc_ms: 1_773_300_000_000,
        offset_minutes: None,
    });
    let desk = Desk::open(folder.path(), Box::new(time)).unwrap();
    assert_eq!(desk.clock().doubt(), Some(Doubt::Zone));
}

#[test]
fn two_sessions_write_one_register() {
    let folder = tempfile::tempdir().unwrap();
    let (mut first, _, time, lead) = demo(folder.path());
    let mut second = Desk::open(folder.path(), Box::new(time)).unwrap();
    second.unseal(&lead, "osmosis runs uphill").unwrap();
    first.check_pin(&lead, "314159").unwrap();
    first.change(unit("TP-0388"), &lead).unwrap();
    second.check_pin(&lead, "314159").unwrap();
    second.change(unit("TP-0417"), &lead).unwrap();
    assert_eq!(second.register().units().count(), 2);
    assert!(first.catch_up().unwrap());
    assert_eq!(first.register().head(), second.register().head());
    assert_eq!(first.home_rows().unwrap().len(), 2);
    let entries = first.history().entries(&first.register().stream()).unwrap();
    assert!(matches!(
        verify_chain(entries.iter().map(Vec::as_slice)),
        Chain::Whole { .. }
    ));
}

#[test]
fn a_home_read_only_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let (desk, _, time, lead) = demo(folder.path());
    drop(desk);
    let mut desk = Desk::read(folder.path(), Box::new(time)).unwrap();
    assert_eq!(
        desk.change(unit("TP-0388"), &lead).unwrap_err(),
        Fault::ReadOnly
    );
}

#[test]
fn a_relative_home_is_refused_in_words() {
    let around = Surroundings {
        asked: Some("here".into()),
        ..Surroundings::default()
    };
    let fault = Fault::from(around.home().unwrap_err());
    assert_eq!(
        fault,
        Fault::Home(HomeFault::Relative {
            path: "here".into(),
            named: "--home"
        })
    );
    assert!(fault.sentence().contains("\"here\"") && fault.remedy().ends_with('.'));
}
