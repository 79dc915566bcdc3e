//! Frozen bytes: a real and a demo register, computed apart from this program, read, verified and made again to the byte.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

use ed25519_dalek::SigningKey;
use reseat_procedure::model::Role;
use reseat_record::log::{Chain, Clock, Damage, Id, Sealed, Stamp, from_hex, verify_chain};
use reseat_record::register::{
    Command, Register, UnitSaid, check_site_signature, is_signed, with_site_signature,
};
use reseat_record::verify::register_signatures;
use serde_json::Value;

/// Source: named in the file itself.
const VECTORS: &str = include_str!("vectors/register_1.json");

fn vectors(name: &str) -> Vec<(Vec<u8>, String)> {
    let file: Value = serde_json::from_str(VECTORS).unwrap();
    let text = |entry: &Value, member: &str| entry[member].as_str().unwrap().to_owned();
    file[name]
        .as_array()
        .unwrap()
        .iter()
        .map(|entry| (text(entry, "bytes").into_bytes(), text(entry, "hash")))
        .collect()
}

/// Source: RFC 8032, 7.1, TEST 1 (the lead), TEST 2 (the site) and TEST 3 (the person enrolled).
fn key(secret: &str) -> SigningKey {
    SigningKey::from_bytes(&from_hex(secret).unwrap())
}

fn lead() -> SigningKey {
    key("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
}

fn site() -> SigningKey {
    key("4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb")
}

fn enrolled() -> SigningKey {
    key("c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7")
}

#[test]
fn frozen_entries_read_hash_and_verify() {
    for name in ["real", "demo"] {
        let vectors = vectors(name);
        let entries: Vec<Sealed> = vectors
            .iter()
            .map(|(bytes, _)| Sealed::read(bytes).unwrap())
            .collect();
        for (sealed, (_, hash)) in entries.iter().zip(&vectors) {
            assert_eq!(sealed.hash.to_string(), *hash);
            assert_eq!(sealed.entry.canonical().unwrap(), sealed.bytes);
            assert_eq!(sealed.entry.demo, name == "demo");
        }
        let chain = verify_chain(vectors.iter().map(|(bytes, _)| bytes.as_slice()));
        assert_eq!(
            chain,
            Chain::Whole {
                head: entries[3].head()
            }
        );
        assert_eq!(check_site_signature(&entries[0].entry), Ok(()));
        let register = Register::replay(entries[0].entry.stream, &entries).unwrap();
        assert_eq!(register_signatures(&register, &entries), []);
        assert_eq!(register.newer(), None);
        assert_eq!(
            register.person_named("åsa öberg").unwrap().roles,
            [Role::Performer, Role::Verifier].into()
        );
        assert_eq!(
            register.said()[0].text,
            "guard \"north\" loose; 5 °C, 30 N·m \\ see photo"
        );
    }
}

#[test]
fn the_program_makes_the_same_bytes_again() {
    for name in ["real", "demo"] {
        let lead_id = Id::parse("ZYXW-VTSR-QPNM-KJHG").unwrap();
        let other_id = Id::parse("2222-3333-4444-5555").unwrap();
        let mut register = Register::empty(Id::parse("K7QF-3MZD-R2VA-9TXH").unwrap());
        let stamp = |by, utc: &str| Stamp {
            home: Id::parse("0123-4567-89AB-CDEF").unwrap(),
            by: Some(by),
            utc: utc.into(),
            offset: "+01:00".into(),
            clock: Clock::Trusted,
            acted: None,
            demo: name == "demo",
        };
        let found = Command::Found {
            site: "Tern Point".into(),
            rule: "29 CFR 1910.147".into(),
            site_key: site().verifying_key().to_bytes(),
            lead: lead_id,
            lead_name: "Mbali Sefton".into(),
            lead_key: lead().verifying_key().to_bytes(),
        };
        let enrol = Command::Enrol {
            person: other_id,
            name: "A\u{30a}sa O\u{308}berg".into(),
            roles: [Role::Verifier, Role::Performer].into(),
            key: enrolled().verifying_key().to_bytes(),
        };
        let unit = UnitSaid {
            serial: "TP-33-0417".into(),
            model: "CV-50".into(),
            name: "brine reject control valve".into(),
        };
        let late = Stamp {
            clock: Clock::Given,
            acted: Some("2026-03-12T14:10:00.000Z".into()),
            ..stamp(other_id, "2026-03-12T15:00:00.000Z")
        };
        let remark = "guard \"north\" loose; 5 °C, 30 N·m \\ see photo".into();
        let acts = [
            (found, stamp(lead_id, "2026-03-12T12:55:02.120Z")),
            (enrol, stamp(lead_id, "2026-03-12T13:01:00.000Z")),
            (
                Command::AddUnit(unit),
                stamp(lead_id, "2026-03-12T13:02:30.500Z"),
            ),
            (
                Command::Remark {
                    text: remark,
                    of: None,
                },
                late,
            ),
        ];
        for ((command, stamp), (bytes, hash)) in acts.into_iter().zip(vectors(name)) {
            let mut entry = register.decide(command, &stamp).unwrap();
            if entry.number == 1 {
                entry = with_site_signature(entry, &site()).unwrap();
            }
            let sealed = if is_signed(&entry.kind) {
                entry.sign(&lead())
            } else {
                entry.seal()
            }
            .unwrap();
            assert_eq!(
                String::from_utf8_lossy(&sealed.bytes),
                String::from_utf8_lossy(&bytes)
            );
            assert_eq!(sealed.hash.to_string(), hash);
            register.apply(&sealed).unwrap();
        }
    }
}

#[test]
fn a_demo_founding_does_not_pass_for_a_real_one() {
    let (bytes, _) = vectors("demo").remove(0);
    let text = String::from_utf8(bytes)
        .unwrap()
        .replace("\"demo\":true,", "");
    let bare = Sealed::read(text.as_bytes()).unwrap();
    assert_eq!(bare.check_signature(), Err(Damage::Signature));
    assert_eq!(check_site_signature(&bare.entry), Err(Damage::Signature));
}
