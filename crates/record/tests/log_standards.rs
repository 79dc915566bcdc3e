//! The building blocks against the values their standards publish.

#![allow(clippy::unwrap_used, clippy::panic, clippy::needless_pass_by_value)] // test code: a failure is what the test shows

use ed25519_dalek::SigningKey;
use reseat_record::log::{
    Damage, Hash, canonical, from_hex, sign_detached, to_hex, verify_detached,
};
use serde_json::{Map, Value};

/// Source: FIPS 180-4 examples, as in NIST CAVP SHA256ShortMsg.rsp.
#[test]
fn sha256_gives_the_published_values() {
    for (message, hex) in [
        (
            "",
            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
        ),
        (
            "abc",
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
        ),
        (
            "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
        ),
    ] {
        assert_eq!(Hash::of(message.as_bytes()).to_string(), hex, "{message:?}");
    }
}

struct Rfc8032 {
    secret: &'static str,
    public: &'static str,
    message: &'static [u8],
    signature: &'static str,
}

/// Source: RFC 8032, 7.1, TEST 1 to TEST 3.
const RFC_8032: [Rfc8032; 3] = [
    Rfc8032 {
        secret: "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        public: "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        message: b"",
        signature: "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    },
    Rfc8032 {
        secret: "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        public: "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        message: &[0x72],
        signature: "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    },
    Rfc8032 {
        secret: "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        public: "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        message: &[0xaf, 0x82],
        signature: "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    },
];

#[test]
fn ed25519_signs_and_verifies_the_published_values() {
    for vector in RFC_8032 {
        let key = SigningKey::from_bytes(&from_hex(vector.secret).unwrap());
        assert_eq!(to_hex(key.verifying_key().as_bytes()), vector.public);
        let signature = sign_detached(&key, b"", vector.message);
        assert_eq!(to_hex(&signature), vector.signature);
        let public = from_hex(vector.public).unwrap();
        assert_eq!(
            verify_detached(&public, b"", vector.message, &signature),
            Ok(())
        );
        assert_eq!(
            verify_detached(&public, b"x", vector.message, &signature),
            Err(Damage::Signature)
        );
    }
}

/// A small-order key accepts signatures on anything under plain verification; strict verification refuses it.
/// Source: RFC 8032, 5.1.7 leaves the cofactor open; the point (0, 1) is the group's neutral element, 5.1.
#[test]
fn a_small_order_key_is_refused() {
    let mut neutral = [0; 32];
    neutral[0] = 1;
    let mut forged = [0; 64];
    forged[0] = 1;
    assert_eq!(
        verify_detached(&neutral, b"", b"any message", &forged),
        Err(Damage::Signature)
    );
}

/// Source: RFC 8785, 3.2.2.2 and the test data published with it ("structures", "arrays" and the string of "values"), with the
/// members outside the record's subset taken out: 56.0 written 56, the null left out.
#[test]
fn canonical_json_gives_the_published_form_within_the_subset() {
    for (input, output) in [
        (
            r#"{"1":{"f":{"f":"hi","F":5} ,"\n":56},"10":{ },"":"empty","a":{ },"111":[ {"e":"yes","E":"no" } ],"A":{ }}"#,
            r#"{"":"empty","1":{"\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{"E":"no","e":"yes"}],"A":{},"a":{}}"#,
        ),
        (
            r#"{"v":[56,{"d":true,"1":[ ]}]}"#,
            r#"{"v":[56,{"1":[],"d":true}]}"#,
        ),
        (
            r#"{"string":"\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/","literals":[true,false]}"#,
            "{\"literals\":[true,false],\"string\":\"€$\\u000f\\nA'B\\\"\\\\\\\\\\\"/\"}",
        ),
    ] {
        let object: Map<String, Value> = serde_json::from_str(input).unwrap();
        assert_eq!(
            String::from_utf8(canonical(&object).unwrap()).unwrap(),
            output
        );
    }
}

/// The rest of the same test data lies outside the subset and is refused, not printed.
#[test]
fn published_examples_outside_the_subset_are_refused() {
    let refused = |input: &str| {
        canonical(&serde_json::from_str::<Map<String, Value>>(input).unwrap()).unwrap_err()
    };
    assert!(matches!(
        refused(r#"{"péché":"is wrong according to French"}"#),
        Damage::Key(_)
    ));
    assert!(matches!(
        refused(r#"{"Unnormalized Unicode":"A\u030a"}"#),
        Damage::NotNfc(_)
    ));
    assert!(matches!(
        refused(r#"{"literals":[null,true,false]}"#),
        Damage::Null(_)
    ));
    for number in [
        "333333333.33333329",
        "1E30",
        "4.50",
        "2e-3",
        "0.000000000000000000000000001",
    ] {
        assert!(
            matches!(refused(&format!("{{\"n\":{number}}}")), Damage::Number(_)),
            "{number}"
        );
    }
}
