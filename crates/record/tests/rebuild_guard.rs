//! The guard bands shown are those the reading is judged by: at the nut with an adapter on, in units as fine as the window's, and
//! none where the rule does not apply.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, SEFTON, Site};
use reseat_measure::{Decimal, Quantity};
use reseat_procedure::Choices;
use reseat_record::rebuild::{AdapterSaid, Bench, Command, Inner, Point, Wants};
use reseat_record::register::{self, Calibration, Coverage};

fn certify(site: &mut Site, instrument: &str, deviation: &str, uncertainty: &str) {
    let calibration = Calibration {
        certificate: "C-2".into(),
        calibrated: "2026-01-05".into(),
        due: "2026-12-01".into(),
        deviation: deviation.parse().unwrap(),
        uncertainty: Some(Quantity::parse(uncertainty).unwrap()),
        coverage: Some(Coverage(Decimal::parse("2").unwrap())),
    };
    let id = instrument.into();
    site.keep(
        register::Command::RenewCalibration { id, calibration },
        SEFTON,
    );
}

fn guarded(site: &mut Site) {
    let rule = "guarded".parse().unwrap();
    site.keep(register::Command::JudgeBy { rule }, SEFTON);
}

/// Lever 12 in, adapter 6 in: the wrench shows two thirds of the torque at the nut, 115..130 is 76.667..86.667 there, told inward as 76.7..86.6. By hand:
/// 2 N·m off each end of that is 3 N·m at the nut, 118..127; a share of the reading stays a share, 115 / 0.98 and 130 / 1.02 at the nut.
#[test]
fn with_an_adapter_on_the_band_is_on_the_scale_and_the_verdict_at_the_nut() {
    for (uncertainty, words, typed, accepted) in [
        (
            "2 N·m",
            "accepted 78.7..84.6 N·m (guarded, U 2 N·m)",
            "78.6",
            false,
        ),
        (
            "2 N·m",
            "accepted 78.7..84.6 N·m (guarded, U 2 N·m)",
            "78.7",
            true,
        ),
        (
            "2 N·m",
            "accepted 78.7..84.6 N·m (guarded, U 2 N·m)",
            "84.6",
            true,
        ),
        (
            "2 N·m",
            "accepted 78.7..84.6 N·m (guarded, U 2 N·m)",
            "84.7",
            false,
        ),
        (
            "2 %",
            "accepted 78.266..84.901 N·m (guarded, U 2 %)",
            "78.2",
            false,
        ),
        (
            "2 %",
            "accepted 78.266..84.901 N·m (guarded, U 2 %)",
            "78.3",
            true,
        ),
        (
            "2 %",
            "accepted 78.266..84.901 N·m (guarded, U 2 %)",
            "84.9",
            true,
        ),
        (
            "2 %",
            "accepted 78.266..84.901 N·m (guarded, U 2 %)",
            "85",
            false,
        ),
    ] {
        let mut site = Site::at("tighten-j1");
        certify(&mut site, "TW-19", "4 % of reading", uncertainty);
        guarded(&mut site);
        site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Fastener(_, 3, 1))));
        let said = AdapterSaid {
            lever: "12 in".into(),
            length: "6 in".into(),
            angle: String::new(),
        };
        site.does(Command::Adapter { said: Some(said) }, FALK)
            .unwrap();
        assert_eq!(site.ask().guard.unwrap().words, words);
        site.types(typed).unwrap();
        assert_eq!(
            site.last("outcome") == "ACCEPT",
            accepted,
            "{typed}: {}",
            site.last("means")
        );
    }
}

/// In inches, on a caliper that states 0.005 mm, 0.000 196 85 in: 0.0005 and 0.0045 less that, told to the fifth decimal and inward. To
/// the third it would have been 0.001..0.004, or nothing in a window narrower still.
#[test]
fn a_fine_window_is_told_as_fine() {
    let written = include_str!("../../../procedures/FV-3302.json");
    let window = r#""label": "stem runout", "window": "..0.05 mm""#;
    assert!(written.contains(window));
    let fine = written.replace(
        window,
        r#""label": "stem runout", "window": "0.0005..0.0045 in""#,
    );
    let mut site = Site::following(fine.leak().as_bytes(), Choices::default());
    site.start();
    site.goes_on(|ask| ask.bench == Bench::Window("stem-runout".into()));
    certify(&mut site, "RC-1", "0.002 mm", "0.005 mm");
    guarded(&mut site);
    assert_eq!(
        site.ask().guard.unwrap().words,
        "accepted 0.0007..0.0043 in (guarded, U 0.005 mm)"
    );
}

/// Zero is judged by its written limits alone; a band beside them would say otherwise.
#[test]
fn nothing_is_taken_off_the_limits_of_a_side() {
    let mut site = Site::at("read-upstream");
    certify(&mut site, "PG-12", "0.05 bar", "0.1 bar");
    guarded(&mut site);
    let ask = site.ask();
    assert!(
        matches!(
            ask.wants,
            Wants::Reading {
                window: Some(_),
                ..
            }
        ),
        "{ask:?}"
    );
    assert_eq!(ask.guard, None);
    site.step();
    assert_eq!(site.last("place"), "WITHIN");
    assert_eq!(site.last("rule"), "simple");
}
