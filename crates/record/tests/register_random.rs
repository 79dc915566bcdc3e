//! Random commands by random people: whatever comes of them, replay equals live, the chain holds, and no finding and no
//! clash arises from what `decide` allowed.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod register_site;

use proptest::prelude::*;
use register_site::*;
use reseat_procedure::model::Role;
use reseat_record::log::{Chain, Entry, Id, Sealed, verify_chain};
use reseat_record::register::{Body, ClashOf, Command, Register, UnitSaid};
use reseat_record::verify::register_signatures;

fn person() -> impl Strategy<Value = Id> {
    prop_oneof![
        Just(SEFTON),
        Just(FALK),
        Just(BREL),
        Just(QUIST),
        Just(ODDE)
    ]
}

fn roles() -> impl Strategy<Value = Vec<Role>> {
    prop::collection::vec(prop::sample::select(Role::ALL.to_vec()), 0..3)
}

fn command() -> impl Strategy<Value = Command> {
    let tag = prop::sample::select(vec!["FV-3302", "fv-3303", "PRV-2107"]);
    let serial = prop::sample::select(vec!["TP-33-0417", "tp-33-0418", "TP-9"]);
    let name = prop::sample::select(vec!["Ines Falk", "Rurik Odde", "Mbali Sefton", ""]);
    let instrument = prop::sample::select(vec!["TW-19", "TW-20"]);
    let revision = prop::sample::select(vec!["A", "B", "C"]);
    let words = || String::from("said");
    prop_oneof![
        (person(), name, roles(), 0_u8..30).prop_map(|(person, name, roles, number)| {
            Command::Enrol {
                person,
                name: name.into(),
                roles: roles.into_iter().collect(),
                key: public(number),
            }
        }),
        (person(), roles()).prop_map(|(person, roles)| Command::GiveRoles {
            person,
            roles: roles.into_iter().collect()
        }),
        person().prop_map(move |person| Command::Retire {
            person,
            reason: words()
        }),
        (person(), roles(), 100_u8..200).prop_map(|(person, roles, number)| Command::TakeOnAgain {
            person,
            roles: roles.into_iter().collect(),
            key: public(number)
        }),
        (person(), 100_u8..200).prop_map(move |(person, number)| Command::ChangeKey {
            person,
            key: public(number),
            reason: words()
        }),
        tag.clone().prop_map(|tag| Command::AddPlace(place(tag))),
        serial
            .clone()
            .prop_map(|serial| Command::AddUnit(unit(serial))),
        (tag.clone(), serial.clone()).prop_map(|(tag, serial)| Command::Fit {
            tag: tag.into(),
            serial: serial.into()
        }),
        (tag, serial).prop_map(|(tag, serial)| Command::Remove {
            tag: tag.into(),
            serial: serial.into()
        }),
        instrument
            .clone()
            .prop_map(|id| Command::AddInstrument(wrench(id, &format!("serial of {id}")))),
        (instrument.clone(), any::<bool>()).prop_map(move |(id, passed)| Command::CheckForDay {
            id: id.into(),
            seen: words(),
            passed
        }),
        instrument.clone().prop_map(move |id| Command::Quarantine {
            id: id.into(),
            reason: words()
        }),
        instrument.prop_map(move |id| Command::Return {
            id: id.into(),
            reason: words()
        }),
        revision.prop_map(approve),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]
    #[test]
    fn whatever_is_allowed_replays_verifies_and_clashes_with_nothing(
        acts in prop::collection::vec((command(), prop::option::weighted(0.9, person())), 1..40),
        whole in any::<bool>(),
    ) {
        let mut bench = if whole { Bench::whole() } else { Bench::founded() };
        for (command, by) in acts {
            let before = bench.register.clone();
            if bench.does(command, by).is_err() {
                prop_assert_eq!(&bench.register, &before);
            }
            // Somebody can always go on: a lead, or the site key that makes one.
            let leads = bench.register.holders(Role::Lead).count();
            prop_assert!(leads > 0 || bench.register.people().any(|person| person.past.iter().any(|was| was.roles.contains(&Role::Lead))));
        }
        let read: Vec<Sealed> = bench.entries.iter().map(|sealed| Sealed::read(&sealed.bytes).unwrap()).collect();
        prop_assert_eq!(Register::replay(STREAM, &read).unwrap(), bench.register.clone());
        let chain = verify_chain(bench.entries.iter().map(|sealed| sealed.bytes.as_slice()));
        prop_assert_eq!(chain, Chain::Whole { head: bench.register.head() });
        prop_assert_eq!(register_signatures(&bench.register, &bench.entries), []);
        prop_assert_eq!(bench.register.clashes(), []);
        for unit in bench.register.units() {
            if let Some(tag) = &unit.place {
                prop_assert_eq!(bench.register.place(tag).unwrap().holds.as_deref(), Some(unit.serial.as_str()));
            }
        }
    }
}

#[test]
fn a_serial_or_name_written_twice_is_shown_and_the_first_is_kept() {
    let mut bench = Bench::whole();
    for (command, by) in [
        (Command::AddUnit(unit("TP-9")), SEFTON),
        (enrol(ODDE, "Rurik Odde", &[Role::Performer]), SEFTON),
    ] {
        let entry = bench
            .register
            .decide(command, &bench.stamp(Some(by)))
            .unwrap();
        let Some(body) = Body::read(&entry.kind, &entry.body) else {
            panic!("{}", entry.kind)
        };
        // The same with a name that is taken, as no `decide` would write it.
        let members = match body {
            Body::UnitAdded(mut added) => {
                added.serial = "tp-33-0417".into();
                added.model = "CV-80".into();
                Body::UnitAdded(added).members()
            }
            Body::Enrolled(mut enrolled) => {
                enrolled.name = "INES FALK".into();
                Body::Enrolled(enrolled).members()
            }
            other => other.members(),
        };
        let sealed = Entry {
            body: members,
            ..entry
        }
        .sign(&key(by.bytes()[0]))
        .unwrap();
        bench.register.apply(&sealed).unwrap();
        bench.entries.push(sealed);
    }
    let clashes = bench.register.clashes();
    assert_eq!(
        clashes.iter().map(|clash| clash.of).collect::<Vec<_>>(),
        [ClashOf::UnitSerial, ClashOf::PersonName]
    );
    assert_eq!(bench.register.unit("TP-33-0417").unwrap().model, "CV-50");
    assert_eq!(
        bench
            .register
            .people()
            .filter(|person| person.name.eq_ignore_ascii_case("Ines Falk"))
            .count(),
        2
    );
    assert!(
        clashes[0].sentence().contains("TP-33-0417"),
        "{}",
        clashes[0].sentence()
    );
}

#[test]
fn a_second_enrolment_of_one_identifier_takes_over_nothing() {
    let mut bench = Bench::whole();
    let entry = bench
        .register
        .decide(
            enrol(ODDE, "Rurik Odde", &[Role::Lead]),
            &bench.stamp(Some(SEFTON)),
        )
        .unwrap();
    let Some(Body::Enrolled(mut enrolled)) = Body::read(&entry.kind, &entry.body) else {
        panic!("{}", entry.kind)
    };
    enrolled.person = FALK;
    let before = bench.register.person(FALK).unwrap().clone();
    let sealed = Entry {
        body: Body::Enrolled(enrolled).members(),
        ..entry
    }
    .sign(&key(SEFTON.bytes()[0]))
    .unwrap();
    bench.register.apply(&sealed).unwrap();
    assert_eq!(bench.register.person(FALK), Some(&before));
    let clash = &bench.register.clashes()[0];
    assert_eq!(
        (clash.of, clash.text.as_str(), clash.second.number),
        (ClashOf::Person, "Ines Falk", sealed.entry.number)
    );
}

#[test]
fn two_registers_of_one_site_show_what_both_lay_claim_to() {
    let one = Bench::whole();
    let mut other = Bench::founded();
    // The same person under the same identifier is one person; another identifier with his name is a clash.
    other
        .does(enrol(FALK, "Ines Falk", &[Role::Performer]), Some(SEFTON))
        .unwrap();
    other
        .does(enrol(ODDE, "Tomas Brel", &[Role::Author]), Some(SEFTON))
        .unwrap();
    other
        .does(
            Command::AddUnit(UnitSaid {
                name: "spare".into(),
                ..unit("tp-33-0418")
            }),
            Some(SEFTON),
        )
        .unwrap();
    other
        .does(
            Command::AddInstrument(wrench("TW-44", "88-2041")),
            Some(SEFTON),
        )
        .unwrap();
    let found: Vec<ClashOf> = one
        .register
        .clashes_with(&other.register)
        .into_iter()
        .map(|clash| clash.of)
        .collect();
    assert_eq!(
        found,
        [
            ClashOf::PersonName,
            ClashOf::UnitSerial,
            ClashOf::InstrumentSerial
        ]
    );
}

#[test]
fn the_founding_names_its_lead_whoever_is_in_the_stamp() {
    let bench = Bench::new();
    for by in [None, Some(FALK), Some(SEFTON)] {
        let entry = bench.register.decide(found(), &bench.stamp(by)).unwrap();
        assert_eq!(entry.by, Some(SEFTON));
    }
}
