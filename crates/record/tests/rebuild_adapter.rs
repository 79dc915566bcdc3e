//! A length-changing adapter on a wrench: what is dialled against what reaches the nut, and which of the two is judged.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, Site};
use reseat_record::rebuild::{AdapterSaid, Command, Inner, Point, Wants, recheck};

fn on(lever: &str, length: &str, angle: &str) -> Command {
    Command::Adapter {
        said: Some(AdapterSaid {
            lever: lever.into(),
            length: length.into(),
            angle: angle.into(),
        }),
    }
}

fn at_fastener(step: &str, pass: u32) -> Site {
    let mut site = Site::at(step);
    site.goes_on(
        |ask| matches!(ask.point, Point::Asked(_, _, Inner::Fastener(_, now, 1)) if now == pass),
    );
    site
}

/// Every verdict so far is worked out again from what the entries hold.
#[track_caller]
fn holds(site: &Site) {
    let findings = recheck(site.rebuild().procedure(), &site.entries);
    assert!(findings.is_empty(), "{findings:?}");
}

#[test]
fn the_verdict_is_on_the_torque_at_the_nut() {
    // Worked example of the formula S = T·L/(L + E), NAVEDTRA 14315 (from memory of its wording): a lever of 12 in with an
    // adapter of 6 in on the line of the wrench turns 81.3 on the scale into 81.3 × 18/12 = 121.95 at the nut.
    let mut site = at_fastener("tighten-j1", 3);
    site.does(on("12 in", "6 in", ""), FALK).unwrap();
    assert_eq!(site.last_kind(), "adapter/1");
    assert_eq!(site.last("angle"), "0 °");
    let ask = site.ask();
    let told = ask.detail.join(" ");
    assert!(
        told.contains("122 N·m at the nut is 81 N·m on TW-19"),
        "{told}"
    );
    let Wants::Reading {
        window: Some(window),
        ..
    } = &ask.wants
    else {
        panic!("{ask:#?}")
    };
    assert_eq!(
        window.to_string(),
        "76.7..86.6 N·m",
        "115..130 N·m divided by 1.5"
    );
    site.types("81").unwrap();
    let showed = site.last("adapter");
    assert_eq!(showed["showed"], "81 N·m");
    assert_eq!(
        (&showed["lever"], &showed["length"]),
        (&"12 in".into(), &"6 in".into())
    );
    assert_eq!(site.last("means"), "121.5000 N·m");
    assert_eq!(site.last("place"), "WITHIN");
    // 122 on the scale would be WITHIN without the adapter; at the nut it is 183.
    site.types("122").unwrap();
    assert_eq!(site.last("means"), "183.0000 N·m");
    assert_eq!(site.last("place"), "HIGH");
    holds(&site);
    let replayed =
        reseat_record::rebuild::Rebuild::replay(rebuild_site::procedure(), &site.entries);
    assert!(replayed.unwrap() == *site.rebuild());
}

#[test]
fn at_an_angle_the_cosine_counts_and_square_on_nothing_changes() {
    // 60 degrees: half of 6 in counts, 15/12; 90 degrees: none of it does (TM 9-254, square to the wrench).
    for (angle, means) in [("60 deg", "121.2500 N·m"), ("90 deg", "97.0000 N·m")] {
        let mut site = at_fastener("tighten-j1", 3);
        site.does(on("12 in", "6 in", angle), FALK).unwrap();
        site.types("97").unwrap();
        // What is queried as a slip of units is kept with the same torque at the nut.
        assert_eq!(site.last("means"), means, "{angle}");
        holds(&site);
    }
}

#[test]
fn a_click_wrench_is_set_to_the_mark_that_gives_the_pass_at_the_nut() {
    // J3: one pass of 9 N·m, window 8..10 N·m; lever 200 mm, adapter 50 mm: 9 / 1.25 = 7.2, on a scale of half marks 7.0.
    let mut site = Site::at("tighten-j3");
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Setting(1))));
    site.does(on("200 mm", "50 mm", "0 deg"), FALK).unwrap();
    let ask = site.ask();
    assert!(ask.prompt.contains("(pass 1: 7.0 N·m)"), "{}", ask.prompt);
    // 11.25 N·m at the nut would fit as lbf·ft wrongly taken (÷1.356 = 8.30), so it is asked about first.
    site.types("9").unwrap();
    assert_eq!(site.last_kind(), "reading_queried/1");
    site.types("1").unwrap();
    assert_eq!(
        (site.last("place"), site.last("means")),
        ("HIGH".into(), "11.2500 N·m".into())
    );
    holds(&site);
    site.types("7.0").unwrap();
    assert_eq!(
        (site.last("place"), site.last("means")),
        ("WITHIN".into(), "8.75000 N·m".into())
    );
    assert_eq!(
        site.last("required"),
        "7.0 N·m on the wrench, 8..10 N·m at the nut"
    );
    assert!(matches!(
        site.ask().point,
        Point::Asked(_, _, Inner::Fastener(..))
    ));
    holds(&site);
    // It comes off in the middle of the pass: what was dialled holds no longer.
    site.does(Command::Adapter { said: None }, FALK).unwrap();
    assert!(matches!(
        site.ask().point,
        Point::Asked(_, _, Inner::Setting(1))
    ));
    let lines = site.rebuild().record_lines(&site.register);
    assert!(
        lines
            .iter()
            .any(|line| line.text.contains("at the nut, 7.0 N·m on the wrench"))
    );
}

#[test]
fn an_adapter_that_is_none_or_takes_the_wrench_out_of_its_range_is_refused() {
    let site = at_fastener("tighten-j1", 2);
    assert_eq!(site.refused(on("12", "6 in", ""), FALK), "adapter");
    assert_eq!(site.refused(on("12 in", "6 N·m", ""), FALK), "adapter");
    assert_eq!(site.refused(on("0 in", "6 in", ""), FALK), "adapter");
    assert_eq!(site.refused(on("12 in", "-12 in", ""), FALK), "adapter");
    // Three times the lever: 40 N·m at the nut is 13 on a scale that may be used from 40.
    assert_eq!(
        site.refused(on("12 in", "24 in", ""), FALK),
        "instrument-out-of-range"
    );
    assert_eq!(
        Site::at("plug-on").refused(on("12 in", "6 in", ""), FALK),
        "no-wrench-at-work"
    );
}
