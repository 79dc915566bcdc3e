//! Every record says by which decision rule it was judged, the simple one too.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{SEFTON, Site};
use reseat_measure::{Decimal, Quantity};
use reseat_record::rebuild::{Inner, Point};
use reseat_record::register::{self, Calibration, Coverage};

#[test]
fn a_record_says_that_simple_acceptance_judged_it() {
    let mut site = Site::new();
    site.start();
    assert_eq!(site.rebuild().judged_by(), "Nothing is judged yet");
    site.until("bottom-ring-on");
    assert_eq!(
        site.rebuild().judged_by(),
        "Judged by simple acceptance, the site's rule"
    );
}

#[test]
fn a_rule_named_on_the_way_stands_with_the_entry_it_begins_at() {
    let mut site = Site::at("tighten-j1");
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Fastener(1, 3, _))));
    site.types("122").unwrap();
    let calibration = Calibration {
        certificate: "C-2".into(),
        calibrated: "2026-01-05".into(),
        due: "2026-12-01".into(),
        deviation: "4 % of reading".parse().unwrap(),
        uncertainty: Some(Quantity::parse("2 N·m").unwrap()),
        coverage: Some(Coverage(Decimal::parse("2").unwrap())),
    };
    let id = "TW-19".into();
    site.keep(
        register::Command::RenewCalibration { id, calibration },
        SEFTON,
    );
    let rule = "guarded".parse().unwrap();
    site.keep(register::Command::JudgeBy { rule }, SEFTON);
    let named = site.register.site().unwrap().ruled.unwrap().number;
    site.types("122").unwrap();
    let from = site.entries.last().unwrap().entry.number;
    assert_eq!(
        site.rebuild().judged_by(),
        format!(
            "Judged by simple acceptance, the site's rule; from entry {from} on by the rule guarded, the site's rule by entry \
             {named} of the register"
        )
    );
}
