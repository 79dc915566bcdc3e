//! Entries printed and read again, chains verified, and chains damaged in every way a byte can be.

#![allow(clippy::unwrap_used, clippy::panic, clippy::needless_pass_by_value)] // test code: a failure is what the test shows

use ed25519_dalek::SigningKey;
use proptest::prelude::*;
use reseat_record::log::{
    Chain, Clock, Damage, Entry, Hash, Head, Id, MAX_ENTRY_BYTES, Sealed, Stamp, entry_hash,
    verify_chain,
};
use serde_json::{Map, Value, json};

fn stream() -> Id {
    Id::parse("K7QF-3MZD-R2VA-9TXH").unwrap()
}

fn stamp(demo: bool) -> Stamp {
    Stamp {
        home: Id::from_bytes([7; 10]),
        by: Some(Id::from_bytes([9; 10])),
        utc: "2026-03-12T12:55:02.120Z".into(),
        offset: "+01:00".into(),
        clock: Clock::Trusted,
        acted: None,
        demo,
    }
}

fn key() -> SigningKey {
    SigningKey::from_bytes(&[3; 32])
}

fn body(value: Value) -> Map<String, Value> {
    value.as_object().unwrap().clone()
}

/// Three entries, the second signed, the third late and without a person.
fn chain(demo: bool) -> Vec<Sealed> {
    let one = Entry::next(
        &Head::empty(stream()),
        &stamp(demo),
        "note/1",
        1,
        body(json!({"text": "größer, 5 °C \u{7}"})),
    )
    .seal()
    .unwrap();
    let two = Entry::next(
        &one.head(),
        &stamp(demo),
        "note/1",
        1,
        body(json!({"list": [1, true, {"a": "b"}]})),
    )
    .sign(&key())
    .unwrap();
    let late = Stamp {
        by: None,
        acted: Some("2026-03-12T11:00:00.000Z".into()),
        clock: Clock::Given,
        ..stamp(demo)
    };
    let three = Entry::next(&two.head(), &late, "note/1", 1, Map::new())
        .seal()
        .unwrap();
    vec![one, two, three]
}

fn verify(entries: &[Vec<u8>]) -> Chain {
    verify_chain(entries.iter().map(Vec::as_slice))
}

fn bytes(entries: &[Sealed]) -> Vec<Vec<u8>> {
    entries.iter().map(|sealed| sealed.bytes.clone()).collect()
}

/// The same members with one changed, printed canonically again and hashed as its own: what a forger without keys can do.
fn rewritten(sealed: &Sealed, change: impl FnOnce(&mut Map<String, Value>)) -> Vec<u8> {
    let mut object: Map<String, Value> = serde_json::from_slice(&sealed.bytes).unwrap();
    change(&mut object);
    reseat_record::log::canonical(&object).unwrap()
}

#[test]
fn a_whole_chain_gives_its_head() {
    for demo in [false, true] {
        let entries = chain(demo);
        assert_eq!(
            verify(&bytes(&entries)),
            Chain::Whole {
                head: entries[2].head()
            }
        );
    }
    assert_eq!(verify(&[]), Chain::Empty);
}

#[test]
fn what_is_sealed_reads_back_the_same() {
    for sealed in chain(true).into_iter().chain(chain(false)) {
        assert_eq!(Sealed::read(&sealed.bytes).unwrap(), sealed);
    }
}

#[test]
fn a_demo_entry_hashes_and_signs_apart_from_a_real_one() {
    let real = &chain(false)[1];
    assert_ne!(
        entry_hash(true, &real.bytes),
        entry_hash(false, &real.bytes)
    );
    // A demo entry with its mark taken off keeps a signature that no longer matches.
    let stripped = rewritten(&chain(true)[1], |object| drop(object.remove("demo")));
    assert_eq!(
        Sealed::read(&stripped).unwrap().check_signature(),
        Err(Damage::Signature)
    );
}

#[test]
fn every_flipped_bit_of_every_byte_is_found_at_its_entry_or_the_next() {
    let whole = bytes(&chain(false));
    for (place, entry) in whole.iter().enumerate() {
        for at in 0..entry.len() {
            for bit in 0..8 {
                let mut damaged = whole.clone();
                damaged[place][at] ^= 1 << bit;
                match verify(&damaged) {
                    Chain::Broken { number, .. } | Chain::Newer { number, .. } => {
                        let number = usize::try_from(number).unwrap();
                        assert!(
                            number == place + 1 || number == place + 2,
                            "entry {} byte {at} bit {bit}: {number}",
                            place + 1
                        );
                    }
                    // The last entry has no successor to hold its hash: its change shows against the head that is pinned elsewhere.
                    Chain::Whole { head } => {
                        assert_eq!(place, 2, "entry {} byte {at} bit {bit} passed", place + 1);
                        assert_ne!(head.hash, chain(false)[2].hash);
                    }
                    Chain::Empty => unreachable!("three entries are no empty chain"),
                }
            }
        }
    }
}

#[test]
fn a_signed_last_entry_is_held_by_its_signature() {
    let entries = chain(false);
    let two = bytes(&entries[..2]);
    for at in 0..two[1].len() {
        let mut damaged = two.clone();
        damaged[1][at] ^= 1;
        let found = verify(&damaged);
        assert!(
            !matches!(found, Chain::Whole { .. }),
            "byte {at}: {found:?}"
        );
    }
}

#[test]
fn a_missing_swapped_or_doubled_entry_is_found_where_it_is() {
    let whole = bytes(&chain(false));
    let broken = |entries: Vec<Vec<u8>>, at: u64, reason: Damage| {
        assert_eq!(verify(&entries), Chain::Broken { number: at, reason });
    };
    broken(
        whole[1..].to_vec(),
        1,
        Damage::NumberOrder {
            expected: 1,
            found: 2,
        },
    );
    broken(
        vec![whole[0].clone(), whole[2].clone()],
        2,
        Damage::NumberOrder {
            expected: 2,
            found: 3,
        },
    );
    broken(
        vec![whole[0].clone(), whole[0].clone()],
        2,
        Damage::NumberOrder {
            expected: 2,
            found: 1,
        },
    );
}

#[test]
fn a_rewritten_entry_is_found_by_its_successor() {
    let entries = chain(false);
    let mut forged = bytes(&entries);
    forged[0] = rewritten(&entries[0], |object| {
        drop(object.insert("body".into(), json!({"text": "other"})));
    });
    let expected = Sealed::read(&forged[0]).unwrap().hash;
    assert_eq!(
        verify(&forged),
        Chain::Broken {
            number: 2,
            reason: Damage::Previous {
                expected,
                found: entries[0].hash
            }
        }
    );
}

#[test]
fn another_stream_home_or_demo_mark_in_the_middle_is_found() {
    let one = chain(false).remove(0);
    let follow = |change: fn(&mut Entry)| {
        let mut entry = Entry::next(&one.head(), &stamp(false), "note/1", 1, Map::new());
        change(&mut entry);
        let two = entry.seal().unwrap();
        match verify(&[one.bytes.clone(), two.bytes]) {
            Chain::Broken { number: 2, reason } => reason,
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(
        follow(|entry| entry.stream = Id::from_bytes([1; 10])),
        Damage::Stream
    );
    assert_eq!(
        follow(|entry| entry.home = Id::from_bytes([1; 10])),
        Damage::Home
    );
    assert_eq!(follow(|entry| entry.demo = true), Damage::Demo);
    assert!(matches!(
        follow(|entry| entry.previous = Hash::ZERO),
        Damage::Previous { .. }
    ));
}

#[test]
fn a_newer_version_or_member_is_told_apart_from_damage() {
    let entries = chain(false);
    let later = rewritten(&entries[2], |object| {
        drop(object.insert("v".into(), 2.into()));
    });
    assert_eq!(Sealed::read(&later), Err(Damage::Newer(2)));
    let found = verify(&[entries[0].bytes.clone(), entries[1].bytes.clone(), later]);
    assert!(
        matches!(found, Chain::Newer { number: 3, head: Some(head), .. } if head == entries[1].head()),
        "{found:?}"
    );

    // A member this program does not know: signed by the newer program, the chain holds to the end and is said to be newer.
    let mut entry = Entry::next(&entries[0].head(), &stamp(false), "note/1", 1, Map::new());
    entry.beyond.insert("mood".into(), "calm".into());
    let two = entry.sign(&key()).unwrap();
    let three = Entry::next(&two.head(), &stamp(false), "note/1", 1, Map::new())
        .seal()
        .unwrap();
    let all = vec![
        entries[0].bytes.clone(),
        two.bytes.clone(),
        three.bytes.clone(),
    ];
    assert!(
        matches!(verify(&all), Chain::Newer { number: 2, head: Some(head), .. } if head == three.head())
    );
    // Damage after it is still damage.
    let mut damaged = all;
    damaged[1] = rewritten(&two, |object| {
        drop(object.insert("mood".into(), "cross".into()));
    });
    assert_eq!(
        verify(&damaged),
        Chain::Broken {
            number: 2,
            reason: Damage::Signature
        }
    );
}

#[test]
fn bytes_that_mean_the_same_but_are_not_the_one_form_are_refused() {
    let text = String::from_utf8(chain(false)[0].bytes.clone()).unwrap();
    let refused = |text: String| Sealed::read(text.as_bytes()).unwrap_err();
    assert!(matches!(
        refused(text.replacen(':', ": ", 1)),
        Damage::NotCanonical(_)
    ));
    assert!(matches!(
        refused(text.replacen("ö", "\\u00f6", 1)),
        Damage::NotCanonical(_)
    ));
    assert!(matches!(
        refused(format!("{text}\n")),
        Damage::NotCanonical(_)
    ));
    // A member given twice: the reader would keep the last.
    assert!(matches!(
        refused(text.replacen("\"v\":1", "\"v\":1,\"v\":1", 1)),
        Damage::NotCanonical(_)
    ));
    assert!(matches!(
        refused(format!("\u{feff}{text}")),
        Damage::NotJson(_)
    ));
    assert!(matches!(refused("[]".into()), Damage::NotJson(_)));
    assert!(matches!(refused("[".repeat(200_000)), Damage::NotJson(_)));
    assert!(matches!(
        refused(" ".repeat(MAX_ENTRY_BYTES + 1)),
        Damage::TooLong(_)
    ));
}

#[test]
fn each_member_of_the_envelope_is_held_to_its_form() {
    let one = &chain(false)[1];
    let with = |member: &str, value: Value| {
        Sealed::read(&rewritten(one, |object| {
            drop(object.insert(member.into(), value));
        }))
        .unwrap_err()
    };
    let wrong = [
        ("v", json!(0)),
        ("v", json!("1")),
        ("stream", json!("K7QF3MZDR2VA9TXH")),
        ("stream", json!("k7qf-3mzd-r2va-9txh")),
        ("number", json!(0)),
        ("number", json!(-1)),
        ("number", json!("1")),
        ("previous", json!("00")),
        ("home", json!(true)),
        ("kind", json!("reading")),
        ("kind", json!("reading/0")),
        ("kind", json!("reading/01")),
        ("kind", json!("Reading/1")),
        ("kind", json!("/1")),
        ("rules", json!(0)),
        ("rules", json!(5_000_000_000_i64)),
        ("by", json!("")),
        ("utc", json!("2026-03-12T12:55:02Z")),
        ("offset", json!("Z")),
        ("clock", json!("guessed")),
        ("acted", json!("yesterday")),
        ("demo", json!(false)),
        ("body", json!([])),
        ("signature", json!("none")),
        ("signature", json!({"key": "00", "ed25519": "00"})),
    ];
    for (member, value) in wrong {
        let found = with(member, value.clone());
        assert!(
            matches!(found, Damage::Member(name) if name == member),
            "{member} {value}: {found:?}"
        );
    }
    for member in [
        "v", "stream", "number", "previous", "home", "kind", "rules", "utc", "offset", "clock",
        "body",
    ] {
        let found =
            Sealed::read(&rewritten(one, |object| drop(object.remove(member)))).unwrap_err();
        assert!(
            matches!(found, Damage::Missing(name) if name == member),
            "{member}: {found:?}"
        );
    }
}

#[test]
fn an_entry_that_could_not_be_read_back_is_not_sealed() {
    let entry = || {
        Entry::next(
            &Head::empty(stream()),
            &stamp(false),
            "note/1",
            1,
            Map::new(),
        )
    };
    assert_eq!(
        Entry {
            utc: "now".into(),
            ..entry()
        }
        .seal(),
        Err(Damage::Member("utc"))
    );
    assert_eq!(
        Entry {
            kind: "Note".into(),
            ..entry()
        }
        .sign(&key()),
        Err(Damage::Member("kind"))
    );
    assert!(matches!(
        Entry {
            body: body(json!({"x": 1.5})),
            ..entry()
        }
        .seal(),
        Err(Damage::Number(_))
    ));
    let long = "x".repeat(MAX_ENTRY_BYTES);
    assert!(matches!(
        Entry {
            body: body(json!({"x": long})),
            ..entry()
        }
        .seal(),
        Err(Damage::TooLong(_))
    ));
}

#[test]
fn identifiers_are_read_forgivingly_and_written_in_one_way() {
    let id = stream();
    assert_eq!(id.to_string(), "K7QF-3MZD-R2VA-9TXH");
    for typed in [
        "k7qf3mzdr2va9txh",
        "K7QF 3MZD R2VA 9TXH",
        "k7qf-3mzdr2va-9txh",
    ] {
        assert_eq!(Id::parse(typed), Ok(id));
    }
    assert_eq!(
        Id::parse("OIL0-0000-0000-0000"),
        Id::parse("0110-0000-0000-0000")
    );
    for wrong in [
        "",
        "K7QF-3MZD-R2VA-9TX",
        "K7QF-3MZD-R2VA-9TXHH",
        "U7QF-3MZD-R2VA-9TXH",
        "K7QF-3MZD-R2VA-9TX!",
    ] {
        assert!(Id::parse(wrong).is_err(), "{wrong}");
    }
    assert!(
        id.begins_with("k7qf") && id.begins_with("K7QF-3") && id.begins_with("K7QF-3MZD-R2VA-9TXH")
    );
    assert!(
        !id.begins_with("k7q")
            && !id.begins_with("k7qg")
            && !id.begins_with("K7QF-3MZD-R2VA-9TXHH")
    );
    assert_eq!(id.ending(4), "9TXH");
}

fn value() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        any::<bool>().prop_map(Value::from),
        (-9_007_199_254_740_991_i64..=9_007_199_254_740_991).prop_map(Value::from),
        "[ -~äöü€°·\\x00-\\x1f]{0,12}".prop_map(Value::from),
    ];
    leaf.prop_recursive(4, 24, 4, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..4).prop_map(Value::from),
            prop::collection::btree_map("[a-zA-Z0-9_\"\\\\]{0,8}", inner, 0..4)
                .prop_map(|map| Value::Object(map.into_iter().collect())),
        ]
    })
}

proptest! {
    #[test]
    fn print_and_read_are_inverse(content in value(), random in any::<[u8; 10]>(), signed in any::<bool>(), demo in any::<bool>()) {
        let mut members = Map::new();
        members.insert("content".into(), content);
        let entry = Entry::next(&Head::empty(Id::from_bytes(random)), &stamp(demo), "note/1", 1, members);
        let sealed = if signed { entry.sign(&key()).unwrap() } else { entry.seal().unwrap() };
        prop_assert_eq!(Sealed::read(&sealed.bytes).unwrap(), sealed.clone());
        prop_assert_eq!(sealed.check_signature(), Ok(()));
    }

    #[test]
    fn an_identifier_reads_back_from_its_text(random in any::<[u8; 10]>()) {
        let id = Id::from_bytes(random);
        prop_assert_eq!(Id::parse(&id.to_string()), Ok(id));
        prop_assert_eq!(Id::parse(&id.to_string().to_lowercase().replace('-', "")), Ok(id));
        prop_assert_eq!(id.bytes(), random);
    }

    #[test]
    fn any_changed_byte_before_the_last_entry_is_found(place in 0_usize..2, at in any::<prop::sample::Index>(), to in any::<u8>()) {
        let mut entries = bytes(&chain(true));
        let at = at.index(entries[place].len());
        prop_assume!(entries[place][at] != to);
        entries[place][at] = to;
        let found = verify(&entries);
        prop_assert!(matches!(found, Chain::Broken { .. } | Chain::Newer { .. }), "{:?}", found);
    }
}
