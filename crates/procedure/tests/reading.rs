//! Reading: a sound text gives a procedure; every bad text gives its findings, each at its place.
//!
//! `tests/cases/CODE.json` are bad files, one or more a code; what is said about each is a reviewed snapshot.

#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "a test reads its files"
)]

mod told;

use std::fmt::Write as _;
use std::path::Path;

use reseat_procedure::model::{Asked, Deed, Leads};
use reseat_procedure::{Choices, Procedure, check, codes, explain, read, schema};
use told::{case, cases, said};

fn sound() -> Procedure {
    read(&case("sound.json")).unwrap()
}

#[test]
fn a_sound_text_is_read_in_full() {
    let procedure = sound();
    assert_eq!(
        (procedure.number.as_str(), procedure.revision.as_str()),
        ("P-1", "A")
    );
    let joint = &procedure.joints[0];
    assert_eq!(joint.window.to_string(), "19..22 N·m");
    assert_eq!(
        joint
            .passes
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>(),
        ["7 N·m", "13 N·m", "20.5 N·m"]
    );
    let of = |ring: &str| Choices([("ring".to_owned(), ring.to_owned())].into());
    assert_eq!(
        procedure.route(&of("epdm")).len(),
        procedure.route(&of("fkm")).len()
    );
    let places = procedure.route(&of("fkm")).places;
    let ids: Vec<&str> = places
        .iter()
        .map(|place| procedure.step(*place).id.as_str())
        .collect();
    assert!(ids.contains(&"ring-on-fkm") && !ids.contains(&"ring-on-epdm"));
    let hold = places
        .iter()
        .map(|place| procedure.step(*place))
        .find(|step| step.id == "hold")
        .unwrap();
    assert!(matches!(&hold.asks[3], Asked::Computed { from, .. } if from == &["start", "end"]));
    assert!(
        matches!(&hold.asks[4], Asked::Choice { answers, .. } if answers[1].leads == Leads::Finding)
    );
    let basket = places
        .iter()
        .map(|place| procedure.step(*place))
        .find(|step| step.id == "basket-on")
        .unwrap();
    assert!(matches!(
        &basket.asks[1],
        Asked::Orientation { right: 0, .. }
    ));
    assert!(matches!(&basket.does[0], Deed::On { part, count: 1 } if part == "basket"));
}

/// Each case file is bad by the code in its name; a snapshot keeps what is said.
#[test]
fn every_bad_text_is_named() {
    let cases = cases("read-");
    assert!(cases.len() >= 15, "{cases:?}");
    for (name, code) in cases {
        let findings = read(&case(&name)).expect_err(&name);
        assert!(
            findings.iter().any(|finding| finding.code == code),
            "{name}: {}",
            said(&findings)
        );
        assert!(
            findings
                .iter()
                .all(|finding| finding.line > 0 && finding.column > 0),
            "{name}"
        );
        insta::assert_snapshot!(name.trim_end_matches(".json"), said(&findings));
    }
}

#[test]
fn texts_that_no_file_can_hold_are_named_too() {
    let code = |bytes: &[u8]| {
        read(bytes)
            .expect_err("bad")
            .into_iter()
            .map(|finding| finding.code)
            .collect::<Vec<_>>()
    };
    assert_eq!(
        code(&vec![b' '; reseat_procedure::MOST_BYTES + 1]),
        [codes::TOO_LARGE]
    );
    assert_eq!(code(b"\xEF\xBB\xBF{}"), [codes::BYTE_ORDER_MARK]);
    assert_eq!(code(b"\xFF\xFE{\0}\0"), [codes::NOT_UTF8]);
    assert_eq!(code(b"{\"format\": \"\xC3\x28\"}"), [codes::NOT_UTF8]);
    assert_eq!(code("[".repeat(200_000).as_bytes()), [codes::TOO_DEEP]);
    assert_eq!(code(b""), [codes::NOT_JSON]);
    assert_eq!(code(b"{\"format\": 1,}"), [codes::NOT_JSON]);
    assert_eq!(code(b"{\"a\": \"\n\"}"), [codes::NOT_JSON]);
    assert_eq!(
        code(b"{\"number\": \"\\ud800\"}").first(),
        Some(&codes::NOT_JSON)
    );
    assert_eq!(code(b"[]"), [codes::WRONG_KIND]);
    let place = |bytes: &[u8]| {
        read(bytes)
            .map(|_| ())
            .expect_err("bad")
            .first()
            .map(|finding| (finding.line, finding.column))
            .unwrap()
    };
    // Columns count Unicode scalars: "ö" and "·" are one each.
    assert_eq!(place("{\n \"ö·\": 1 x}".as_bytes()), (2, 10));
    assert_eq!(place(b"{\"format\": \"\xC3\x28\"}"), (1, 13));
}

/// However a sound text is cut short, the reader answers with findings.
#[test]
fn a_text_cut_short_anywhere_is_refused() {
    let bytes = case("sound.json");
    let end = bytes.iter().rposition(|byte| *byte == b'}').unwrap();
    for length in (0..=end).step_by(7) {
        assert!(read(&bytes[..length]).is_err(), "cut at {length}");
    }
}

#[test]
fn every_code_is_explained_once() {
    let mut seen = std::collections::BTreeSet::new();
    for (code, text) in codes::ALL {
        assert!(seen.insert(*code), "{code} stands twice");
        assert!(
            code.bytes()
                .all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-'),
            "{code}"
        );
        assert_eq!(explain(code), Some(*text));
        assert!(text.ends_with('.') && text.len() > 40, "{code}: {text}");
    }
    assert_eq!(explain("no-such-code"), None);
}

/// The published schema is the one the reader uses. After a change of the wire types run
/// `RESEAT_BLESS=1 cargo test -p reseat-procedure published_schema`.
#[test]
fn the_published_schema_is_fresh() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/procedure.schema.json");
    if std::env::var_os("RESEAT_BLESS").is_some() {
        std::fs::write(&path, schema()).unwrap();
    }
    assert!(
        std::fs::read_to_string(&path).unwrap_or_default() == schema(),
        "docs/procedure.schema.json is stale"
    );
}

/// A joint's own decision rule is one of four, or the text is refused where it stands.
#[test]
fn a_decision_rule_of_a_joint_is_read_or_refused_at_its_place() {
    let text = include_str!("../../../procedures/FV-3302.json");
    let with = |rule: &str| {
        let own = format!("\"window\": \"115..130 N·m\", \"rule\": \"{rule}\",");
        let changed = text.replacen("\"window\": \"115..130 N·m\",", &own, 1);
        assert_ne!(changed, text);
        read(changed.as_bytes())
    };
    for rule in ["simple", "guarded", "four", "probability 0.95"] {
        let procedure = with(rule).unwrap();
        assert_eq!(procedure.joints[0].rule.unwrap().to_string(), rule);
    }
    assert_eq!(read(text.as_bytes()).unwrap().joints[0].rule, None);
    for rule in ["by eye", "probability 1.5"] {
        let findings = with(rule).unwrap_err();
        assert!(
            findings[0].code == codes::UNKNOWN_WORD && findings[0].pointer == "/joints/0/rule",
            "{rule}: {findings:?}"
        );
    }
}

/// Nested, huge, not UTF-8, members twice: each is named in a sentence, soon, and what is said of it stays short.
#[test]
fn a_text_made_to_hurt_is_named_soon_and_shortly() {
    let deep = "[".repeat(10_000) + &"]".repeat(10_000);
    let objects = "{\"a\":".repeat(10_000) + "1" + &"}".repeat(10_000);
    let huge = format!("{{\"number\": \"{}\"}}", "x".repeat(8 << 20));
    let mut foreign = sound_text();
    foreign[200] = 0xFF;
    let twice = "{\"format\": 1, \"format\": 1}".to_owned();
    let mut members = String::new();
    for at in 0..100_000 {
        write!(members, "\"m{at}\": [], ").unwrap();
    }
    let unknown = format!("{{{members}\"format\": 1}}");
    let cases: [(&str, &[u8], &str); 6] = [
        ("brackets", deep.as_bytes(), codes::TOO_DEEP),
        ("objects", objects.as_bytes(), codes::TOO_DEEP),
        ("eight megabytes", huge.as_bytes(), codes::TOO_LARGE),
        ("not UTF-8", &foreign, codes::NOT_UTF8),
        ("a member twice", twice.as_bytes(), codes::DUPLICATE_MEMBER),
        ("unknown members", unknown.as_bytes(), codes::UNKNOWN_MEMBER),
    ];
    for (name, bytes, code) in cases {
        let began = std::time::Instant::now();
        let findings = read(bytes).expect_err(name);
        assert!(
            findings.iter().any(|finding| finding.code == code),
            "{name}: {findings:?}"
        );
        assert!(
            findings.len() <= reseat_procedure::MOST_FINDINGS,
            "{name}: {}",
            findings.len()
        );
        for finding in &findings {
            assert!(
                finding.line > 0 && finding.column > 0,
                "{name}: {finding:?}"
            );
            assert!(finding.message.ends_with('.'), "{name}: {finding:?}");
            let said = finding.message.chars().count() + finding.remedy.chars().count();
            assert!(said < 400, "{name}: {said} characters");
        }
        // Soon, even unoptimized on a loaded machine: a quadratic reader would take minutes.
        assert!(
            began.elapsed().as_secs() < 20,
            "{name}: {:?}",
            began.elapsed()
        );
    }
}

fn sound_text() -> Vec<u8> {
    case("sound.json")
}

/// The two slips that editors of other texts allow are told in words, at their place.
#[test]
fn a_comment_and_a_comma_too_many_are_told_in_words() {
    let told = |text: &str| {
        let findings = check(text.as_bytes());
        let found = &findings[0];
        assert_eq!((findings.len(), found.code), (1, codes::NOT_JSON));
        (found.line, found.column, found.message.clone())
    };
    assert_eq!(
        told("{\"format\": 1,\n  // the unit\n \"number\": 2}"),
        (2, 3, "JSON has no comments.".to_owned())
    );
    for text in ["{\"parts\": [1,\n  ]}", "{\"parts\": 1,\n  }"] {
        assert_eq!(
            told(text),
            (
                2,
                3,
                "A comma stands before the closing bracket.".to_owned()
            )
        );
    }
    let other = told("{\"parts\": ]");
    assert!(
        other.2.starts_with("The text is not JSON here: "),
        "{other:?}"
    );
}
