//! Whose signatures they are: a rebuild's entries held against the register as of the entry each one pins.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod register_site;

use ed25519_dalek::SigningKey;
use register_site::*;
use reseat_procedure::model::Role;
use reseat_record::log::{Entry, Hash, Head, Id, Sealed};
use reseat_record::register::{Command, check_site_signature};
use reseat_record::verify::{PIN, pinned, register_signatures, signatures};
use serde_json::{Map, Value};

const REBUILD: Id = Id::from_bytes([77; 10]);

fn pin_of(head: &Head) -> Value {
    serde_json::to_value(head).unwrap()
}

/// Entries of a rebuild, each with a pin, a person and a key, or without.
fn rebuild(bench: &Bench, acts: &[(Option<Value>, Option<Id>, Option<SigningKey>)]) -> Vec<Sealed> {
    let mut head = Head::empty(REBUILD);
    let mut entries = Vec::new();
    for (pin, by, key) in acts {
        let mut body = Map::new();
        if let Some(pin) = pin {
            body.insert(PIN.into(), pin.clone());
        }
        let entry = Entry::next(&head, &bench.stamp(*by), "signed_off/1", 1, body);
        let sealed = match key {
            Some(key) => entry.sign(key).unwrap(),
            None => entry.seal().unwrap(),
        };
        head = sealed.head();
        entries.push(sealed);
    }
    entries
}

fn reasons(bench: &Bench, entries: &[Sealed], must: bool) -> Vec<(u64, String)> {
    signatures(&bench.register, entries, |_| must)
        .into_iter()
        .map(|finding| (finding.number, finding.reason))
        .collect()
}

#[test]
fn a_key_is_judged_at_the_pinned_entry_and_not_later() {
    let mut bench = Bench::whole();
    let before = pin_of(&bench.register.head());
    bench
        .does(
            Command::ChangeKey {
                person: FALK,
                key: public(70),
                reason: "forgot".into(),
            },
            Some(SEFTON),
        )
        .unwrap();
    let after = pin_of(&bench.register.head());
    bench
        .does(
            Command::Retire {
                person: FALK,
                reason: "left".into(),
            },
            Some(SEFTON),
        )
        .unwrap();
    let gone = pin_of(&bench.register.head());
    let old = || Some(key(FALK.bytes()[0]));
    let new = || Some(key(70));
    let good = rebuild(
        &bench,
        &[
            (Some(before.clone()), Some(FALK), old()),
            (Some(after.clone()), Some(FALK), new()),
        ],
    );
    assert_eq!(reasons(&bench, &good, true), []);
    assert_eq!(pinned(&good[0]).unwrap().unwrap().stream, STREAM);
    let bad = rebuild(
        &bench,
        &[
            (Some(before.clone()), Some(FALK), new()),
            (Some(after.clone()), Some(FALK), old()),
            (Some(gone), Some(FALK), new()),
            (Some(after), Some(FALK), new()),
        ],
    );
    let found = reasons(&bench, &bad, true);
    assert_eq!(
        found.iter().map(|(number, _)| *number).collect::<Vec<_>>(),
        [1, 2, 3, 4]
    );
    assert_eq!(found[0].1, "The key that signed was not Ines Falk's.");
    assert_eq!(found[1].1, "The key that signed was not Ines Falk's.");
    assert_eq!(found[2].1, "Ines Falk was retired when this was signed.");
    assert!(found[3].1.contains("an earlier entry on"), "{}", found[3].1);
}

#[test]
fn a_signature_needs_a_pin_that_is_here_and_a_name() {
    let bench = Bench::whole();
    let head = bench.register.head();
    let good = || Some(key(FALK.bytes()[0]));
    let with = |pin: Option<Value>, by: Option<Id>| {
        let found = reasons(&bench, &rebuild(&bench, &[(pin, by, good())]), true);
        assert_eq!(found.len(), 1);
        found[0].1.clone()
    };
    assert!(with(None, Some(FALK)).contains("does not say which entry"));
    assert!(with(Some("head".into()), Some(FALK)).contains("cannot be read"));
    assert!(
        with(
            Some(pin_of(&Head {
                hash: Hash::ZERO,
                ..head
            })),
            Some(FALK)
        )
        .contains("not the one here")
    );
    assert!(
        with(Some(pin_of(&Head { number: 99, ..head })), Some(FALK)).contains("which is not here")
    );
    assert!(
        with(Some(pin_of(&Head { number: 0, ..head })), Some(FALK)).contains("which is not here")
    );
    assert!(
        with(
            Some(pin_of(&Head {
                stream: REBUILD,
                ..head
            })),
            Some(FALK)
        )
        .contains("which is not here")
    );
    assert!(with(Some(pin_of(&head)), None).contains("names nobody"));
    assert!(with(Some(pin_of(&head)), Some(ODDE)).contains("not on the register"));
    // Before he was enrolled he was nobody yet.
    let first = Head {
        number: 1,
        hash: bench.entries[0].hash,
        ..head
    };
    assert!(with(Some(pin_of(&first)), Some(FALK)).contains("not on the register"));
    let unsigned = rebuild(&bench, &[(Some(pin_of(&head)), Some(FALK), None)]);
    assert!(
        reasons(&bench, &unsigned, true)[0]
            .1
            .contains("must be signed")
    );
    assert_eq!(reasons(&bench, &unsigned, false), []);
}

/// Appends an entry that `decide` would have refused, as somebody could who writes the file by hand.
fn forged(
    by: Option<Id>,
    key: Option<&SigningKey>,
    command: Command,
    decider: Option<Id>,
) -> Vec<String> {
    let mut bench = Bench::whole();
    let entry = bench
        .register
        .decide(command, &bench.stamp(decider))
        .unwrap();
    let entry = Entry { by, ..entry };
    let sealed = key
        .map_or_else(|| entry.clone().seal(), |key| entry.clone().sign(key))
        .unwrap();
    bench.register.apply(&sealed).unwrap();
    bench.entries.push(sealed);
    let last = bench.register.head().number;
    register_signatures(&bench.register, &bench.entries)
        .into_iter()
        .map(|finding| {
            assert_eq!(finding.number, last);
            finding.reason
        })
        .collect()
}

#[test]
fn a_register_entry_signed_by_the_wrong_one_is_found() {
    let odde = || enrol(ODDE, "Rurik Odde", &[Role::Performer]);
    let lead = Some(SEFTON);
    let falk_key = key(FALK.bytes()[0]);
    assert_eq!(
        forged(lead, Some(&key(SEFTON.bytes()[0])), odde(), lead),
        [""; 0]
    );
    assert_eq!(
        forged(lead, None, odde(), lead),
        ["The kind enrolled/1 must be signed and is not."]
    );
    assert_eq!(
        forged(lead, Some(&falk_key), odde(), lead),
        ["The key that signed was not Mbali Sefton's."]
    );
    assert_eq!(
        forged(Some(FALK), Some(&falk_key), odde(), lead),
        ["Ines Falk did not hold the role lead when he signed it."]
    );
    // A person cannot vouch for himself by the very entry that enrols him.
    assert_eq!(
        forged(Some(ODDE), Some(&key(ODDE.bytes()[0])), odde(), lead),
        ["The person who signed was not on the register."]
    );
    assert_eq!(
        forged(None, Some(&site_key()), odde(), lead),
        ["The site key signed although Mbali Sefton was lead."]
    );
    assert_eq!(
        forged(None, Some(&falk_key), odde(), lead),
        ["It names nobody and is not signed by the site key."]
    );
    assert_eq!(
        forged(None, Some(&site_key()), approve("B"), Some(QUIST)),
        ["The site key signed what it cannot sign."]
    );
    let sefton_key = key(SEFTON.bytes()[0]);
    assert_eq!(
        forged(lead, Some(&sefton_key), approve("B"), Some(QUIST)),
        ["Mbali Sefton did not hold the role approver when he signed it."]
    );
}

#[test]
fn a_founding_without_the_sites_signature_or_the_leads_is_found() {
    let bench = Bench::founded();
    let entry = Entry::clone(&bench.entries[0].entry);
    let judge = |entry: Entry, key: Option<&SigningKey>| {
        let entry = Entry {
            signature: None,
            ..entry
        };
        let sealed = key
            .map_or_else(|| entry.clone().seal(), |key| entry.clone().sign(key))
            .unwrap();
        register_signatures(&bench.register, [&sealed])
            .into_iter()
            .map(|finding| finding.reason)
            .collect::<Vec<_>>()
    };
    let lead_key = key(SEFTON.bytes()[0]);
    assert_eq!(judge(entry.clone(), Some(&lead_key)), [""; 0]);
    assert_eq!(
        judge(entry.clone(), None),
        ["The founding is not signed by the first lead."]
    );
    assert_eq!(
        judge(entry.clone(), Some(&site_key())),
        ["The founding is not signed by the lead it names."]
    );
    let mut unsigned = entry.clone();
    unsigned.body.remove("site_signature");
    assert!(check_site_signature(&unsigned).is_err());
    assert_eq!(
        judge(unsigned, Some(&lead_key)),
        ["The site key's signature does not match the founding."]
    );
}
