//! The page on safety rules names tests and files that exist, and every paragraph it must.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

const PAGE: &str = include_str!("../../../docs/safety.md");
const TESTS: &[(&str, &str)] = &[
    (
        "rebuild_flows/findings.rs",
        include_str!("rebuild_flows/findings.rs"),
    ),
    (
        "rebuild_flows/joints.rs",
        include_str!("rebuild_flows/joints.rs"),
    ),
    (
        "rebuild_flows/readings.rs",
        include_str!("rebuild_flows/readings.rs"),
    ),
    (
        "rebuild_flows/signatures.rs",
        include_str!("rebuild_flows/signatures.rs"),
    ),
    (
        "rebuild_flows/stops.rs",
        include_str!("rebuild_flows/stops.rs"),
    ),
    ("rebuild_fitness.rs", include_str!("rebuild_fitness.rs")),
    ("rebuild_adapter.rs", include_str!("rebuild_adapter.rs")),
    ("recall_adapter.rs", include_str!("recall_adapter.rs")),
    ("rebuild_zero.rs", include_str!("rebuild_zero.rs")),
    ("rebuild_kill.rs", include_str!("rebuild_kill.rs")),
    (
        "rebuild_kill_shifts.rs",
        include_str!("rebuild_kill_shifts.rs"),
    ),
    ("rebuild_workers.rs", include_str!("rebuild_workers.rs")),
    ("rebuild_model.rs", include_str!("rebuild_model.rs")),
    ("rebuild_order.rs", include_str!("rebuild_order.rs")),
    ("rebuild_page.rs", include_str!("rebuild_page.rs")),
    ("rebuild_lockout.rs", include_str!("rebuild_lockout.rs")),
    ("rebuild_grid.rs", include_str!("rebuild_grid.rs")),
    (
        "rebuild_prevailing.rs",
        include_str!("rebuild_prevailing.rs"),
    ),
    ("rebuild_rules.rs", include_str!("rebuild_rules.rs")),
    (
        "rebuild_recheck_state.rs",
        include_str!("rebuild_recheck_state.rs"),
    ),
    ("rebuild_release.rs", include_str!("rebuild_release.rs")),
    ("rebuild_late.rs", include_str!("rebuild_late.rs")),
    ("rebuild_revision.rs", include_str!("rebuild_revision.rs")),
    ("rebuild_handover.rs", include_str!("rebuild_handover.rs")),
    (
        "reseat/tests/handover.rs",
        include_str!("../../reseat/tests/handover.rs"),
    ),
];

#[test]
fn every_test_named_on_the_page_exists() {
    let mut named = 0;
    for word in PAGE.split('`').skip(1).step_by(2) {
        let (stem, open) = match word.strip_suffix('…') {
            Some(stem) => (stem, true),
            None => (word, false),
        };
        if !stem.contains('_') || stem.matches('_').count() < 3 {
            continue;
        }
        named += 1;
        let wanted = if open {
            format!("fn {stem}")
        } else {
            format!("fn {stem}(")
        };
        assert!(
            TESTS.iter().any(|(_, text)| text.contains(&wanted)),
            "{word} is no test"
        );
    }
    assert!(named > 25, "{named}");
}

#[test]
fn every_paragraph_is_named() {
    for paragraph in [
        "(d)(1)",
        "(d)(2)",
        "(d)(3)",
        "(d)(4)(i)",
        "(d)(4)(iii)",
        "(d)(5)(i)",
        "(d)(5)(ii)",
        "(d)(6)",
        "(e)(1)",
        "(e)(2)(i)",
        "(e)(2)(ii)",
        "(e)(3)",
        "(f)(1)(i), (ii)",
        "(f)(1)(iii)",
        "(f)(1)(iv)",
        "(f)(1)(v)",
        "(f)(3)(i)",
        "(f)(3)(ii)(B)",
        "(f)(3)(ii)(D)",
        "(f)(4)",
    ] {
        assert!(PAGE.contains(&format!("| {paragraph}")), "{paragraph}");
    }
}
