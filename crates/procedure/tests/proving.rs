//! The proof: shipped procedures and the sound case are free of errors and warnings; every bad case is named.

#![allow(clippy::unwrap_used)] // test code: a failure is what the test shows

mod told;

use std::fmt::Write as _;

use reseat_procedure::{Finding, Severity, builtin, check, codes};
use told::{case, cases, said};

#[test]
fn shipped_procedures_are_free_of_errors_and_warnings() {
    let mut wrong = String::new();
    for (name, bytes) in builtin() {
        let findings: Vec<Finding> = check(bytes)
            .into_iter()
            .filter(|finding| finding.severity != Severity::Note)
            .collect();
        if !findings.is_empty() {
            writeln!(wrong, "{name}\n{}", said(&findings)).unwrap();
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn the_sound_case_is_free_of_findings() {
    let findings = check(&case("sound.json"));
    assert!(findings.is_empty(), "{}", said(&findings));
}

/// Each case file is bad by the code in its name; a snapshot keeps what is said.
#[test]
fn every_bad_procedure_is_named_at_its_place() {
    let mut wrong = String::new();
    for (name, code) in &cases("prove-") {
        let findings = check(&case(name));
        if !findings.iter().any(|finding| finding.code == code) {
            writeln!(wrong, "{name}:\n{}", said(&findings)).unwrap();
        }
        assert!(
            findings
                .iter()
                .all(|finding| finding.line > 0 && finding.column > 0),
            "{name}"
        );
        insta::assert_snapshot!(name.trim_end_matches(".json"), said(&findings));
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// No code of the table is without a bad file.
#[test]
fn every_code_has_a_bad_file() {
    // These four are about bytes that no file in a tree of texts should hold; `reading.rs` has them as bytes.
    let as_bytes = [
        codes::TOO_LARGE,
        codes::NOT_UTF8,
        codes::BYTE_ORDER_MARK,
        codes::TOO_DEEP,
    ];
    let names: Vec<String> = cases("").into_iter().map(|(name, _)| name).collect();
    for (code, _) in codes::ALL {
        let has = ["read", "prove"]
            .iter()
            .any(|kind| names.contains(&format!("{kind}-{code}.json")));
        assert!(has || as_bytes.contains(code), "{code} has no bad file");
    }
}

/// The members of a finding as JSON, in their order; scripts read them.
#[test]
fn a_finding_has_its_documented_members() {
    let findings = check(&case("prove-part-covered.json"));
    let text = serde_json::to_string(&findings[0]).unwrap();
    assert_eq!(
        text,
        r#"{"code":"part-covered","severity":"error","step":"ring-on-fkm","number":23,"line":67,"column":7,"options":{"ring":"fkm"},"message":"ring-fkm goes on while cap is on.","remedy":"Change the order, or what lies under what."}"#
    );
}
