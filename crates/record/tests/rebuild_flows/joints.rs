//! Joints: LOW, HIGH, the count, the settling rounds, the rest, and a joint reopened.

use crate::rebuild_site::{FALK, QUIST, SEFTON, Site};
use crate::{fastener, last_pass, signed};
use reseat_record::rebuild::{Command, Ended, Inner, Point, Wants};

#[test]
fn low_is_pulled_on_and_both_readings_stay() {
    let mut site = last_pass();
    site.types("110").unwrap();
    assert_eq!(
        (site.last("place"), site.last("attempt")),
        ("LOW".into(), 1.into())
    );
    assert_eq!(site.last("distance"), "5 N·m");
    let ask = site.ask();
    assert_eq!(fastener(&ask), Some((1, 3)));
    assert!(
        ask.notice
            .join(" ")
            .contains("no backing off unless it sticks"),
        "{ask:#?}"
    );
    site.types("121").unwrap();
    assert_eq!(
        (site.last("place"), site.last("attempt")),
        ("WITHIN".into(), 2.into())
    );
    assert_eq!(fastener(&site.ask()), Some((5, 3)));
    // What is to be done stands there at every fastener, and after one that was WITHIN.
    site.types("110").unwrap();
    assert!(
        site.ask()
            .notice
            .iter()
            .any(|line| { line.starts_with("Nut 5 LOW by 5 N·m. Pull on in one smooth motion;") }),
        "{:#?}",
        site.ask().notice
    );
    site.types("121").unwrap();
    let lows = site
        .rebuild()
        .record_lines(&site.register)
        .into_iter()
        .filter(|line| line.first_page && line.text.contains("LOW"))
        .count();
    assert_eq!(lows, 2);
    signed(site);
}

#[test]
fn high_then_stud_replaced_takes_the_pass_from_its_first() {
    let mut site = last_pass();
    site.types("122").unwrap();
    site.types("140").unwrap();
    assert!(matches!(site.ask().point, Point::AfterHigh(_)));
    assert!(
        site.ask()
            .notice
            .join(" ")
            .contains("% of the 0.2 % yield at the highest friction"),
        "{:#?}",
        site.ask()
    );
    site.types("1").unwrap();
    assert_eq!(fastener(&site.ask()), Some((1, 3)));
    signed(site);
}

#[test]
fn high_then_new_gasket_takes_all_passes_again() {
    let mut site = last_pass();
    site.types("140").unwrap();
    site.types("2").unwrap();
    assert_eq!(fastener(&site.ask()), Some((1, 1)));
    signed(site);
}

#[test]
fn high_then_the_lead_decides_each_way() {
    for (decision, by, after) in [("rework", SEFTON, (1, 1)), ("use as is", QUIST, (5, 3))] {
        let mut site = last_pass();
        site.types("140").unwrap();
        site.types("3").unwrap();
        assert!(matches!(site.ask().point, Point::Finding(_)));
        assert_eq!(
            site.refused(
                Command::Reopen {
                    joint: "J9".into(),
                    reason: "x".into()
                },
                FALK
            ),
            "no-joint"
        );
        site.decides(decision, by);
        assert_eq!(fastener(&site.ask()), Some(after), "{decision}");
        signed(site);
    }
}

#[test]
fn clicked_without_moving_and_a_wrong_fastener_number() {
    let mut site = Site::at("tighten-j3");
    site.goes_on(|ask| fastener(ask).is_some());
    site.picks("clicked without moving");
    assert!(
        site.ask().notice.join(" ").contains("Back it off one turn"),
        "{:#?}",
        site.ask()
    );
    site.picks("did not click");
    // Its own number says that it clicked.
    let Wants::Fastener { next, says, .. } = site.ask().wants else {
        panic!("no fastener: {:#?}", site.ask())
    };
    assert_eq!(says, "clicked");
    let other = site
        .ask()
        .answer(if next == 1 { "2" } else { "1" })
        .unwrap();
    assert_eq!(site.refused(other, FALK), "not-next");
    site.types(&next.to_string()).unwrap();
    assert_eq!(site.last("did"), "clicked");
    signed(site);
    let mut site = Site::at("tighten-j1");
    site.goes_on(|ask| fastener(ask) == Some((1, 1)));
    let command = site.ask().answer("2").unwrap();
    assert_eq!(site.refused(command, FALK), "not-next");
}

#[test]
fn a_setting_that_is_not_the_pass_is_asked_again() {
    let mut site = Site::at("tighten-j3");
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Setting(1))));
    site.types("20").unwrap();
    assert_eq!(site.last("place"), "HIGH");
    assert!(matches!(
        site.ask().point,
        Point::Asked(_, _, Inner::Setting(1))
    ));
    signed(site);
}

#[test]
fn rounds_that_never_settle_end_in_a_finding() {
    for decision in ["use as is", "rework"] {
        let mut site = last_pass();
        site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Round(1))));
        for moved in ["3", "2", "1"] {
            site.types(moved).unwrap();
        }
        assert!(
            matches!(site.ask().point, Point::Finding(_)),
            "{:#?}",
            site.ask()
        );
        site.decides(decision, if decision == "rework" { SEFTON } else { QUIST });
        assert_eq!(
            matches!(site.ask().point, Point::Asked(_, _, Inner::Gap(1))),
            decision == "use as is"
        );
        signed(site);
    }
}

#[test]
fn a_gap_spread_out_is_a_finding_and_rework_begins_at_pass_one() {
    let mut site = last_pass();
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Gap(1))));
    for gap in ["0.10", "0.12", "0.25", "0.10"] {
        site.types(gap).unwrap();
    }
    site.types("").unwrap();
    assert_eq!(
        (site.last("place"), site.last("means")),
        ("HIGH".into(), "0.15 mm".into())
    );
    site.decides("rework", SEFTON);
    assert_eq!(fastener(&site.ask()), Some((1, 1)));
    signed(site);
}

#[test]
fn threads_in_another_condition_give_no_window() {
    let mut site = Site::at("condition-j1");
    site.picks("something else");
    assert_eq!(site.last("agrees"), false);
    assert_eq!(site.due(), "condition-j1");
    signed(site);
}

#[test]
fn a_nut_that_moved_after_the_rest_is_a_finding() {
    for (decision, by) in [("rework", SEFTON), ("use as is", QUIST)] {
        let mut site = Site::at("recheck-j1");
        site.picks("moved");
        assert_eq!(site.last("moved"), true);
        assert!(matches!(site.ask().point, Point::Finding(_)));
        site.decides(decision, by);
        assert_eq!(
            site.due(),
            if decision == "rework" {
                "tighten-j1"
            } else {
                "recheck-j1"
            }
        );
        signed(site);
    }
}

#[test]
fn a_joint_reopened_after_its_test_voids_what_came_after() {
    for (from, zero_first) in [("hold-70", true), ("ta1-off", false), ("gauges-off", true)] {
        let mut site = Site::at(from);
        site.does(
            Command::Reopen {
                joint: "J1".into(),
                reason: "weep at the bonnet".into(),
            },
            FALK,
        )
        .unwrap();
        let first = site.ask().point;
        if zero_first {
            assert!(
                matches!(first, Point::Gate(_) | Point::LockBack(_)),
                "{from}: {first:?}"
            );
        }
        let mut asked = Vec::new();
        for _ in 0..2000 {
            let due = site.due();
            if asked.last() != Some(&due) {
                asked.push(due);
            }
            if !site.step() {
                break;
            }
        }
        assert_eq!(
            site.rebuild().ended(),
            Some(Ended::Signed),
            "{from}: {:#?}",
            site.ask()
        );
        for again in [
            "condition-j1",
            "hand-start-j1",
            "tighten-j1",
            "rest",
            "recheck-j1",
            "stroke-five",
            "hold-70",
            "seat-leak",
        ] {
            assert!(
                asked.iter().any(|due| due == again),
                "{from}: {again} is not asked again: {asked:?}"
            );
        }
        let locks = site
            .entries
            .iter()
            .filter(|sealed| sealed.entry.kind == "lock_on/1")
            .count();
        assert!(locks > 0, "{from}: no lock was put back");
    }
}

#[test]
fn a_joint_reopened_counts_its_pieces_once() {
    let mut site = Site::at("sling-off");
    site.does(
        Command::Reopen {
            joint: "J4".into(),
            reason: "threads not as recorded".into(),
        },
        FALK,
    )
    .unwrap();
    assert_eq!(site.due(), "clevis-on");
    signed(site);
}

#[test]
fn a_joint_left_mid_pattern_starts_again_when_a_lock_moved() {
    let mut site = last_pass();
    site.does(
        Command::LockOff {
            point: "V-3301".into(),
            absent_owner: None,
        },
        FALK,
    )
    .unwrap();
    assert!(matches!(site.ask().point, Point::LockBack(ref point) if point == "V-3301"));
    site.goes_on(|ask| fastener(ask).is_some());
    assert_eq!(fastener(&site.ask()), Some((1, 1)));
    signed(site);
    // A joint that was closed before stays as it is.
    let mut site = Site::at("bottom-ring-on");
    site.does(
        Command::LockOff {
            point: "V-3301".into(),
            absent_owner: None,
        },
        FALK,
    )
    .unwrap();
    site.goes_on(|ask| matches!(ask.point, Point::Asked(..)));
    assert_eq!(site.due(), "bottom-ring-on");
    assert_eq!(
        site.rebuild().joint_view("J1").map(|view| view.pass),
        Some(4)
    );
    signed(site);
}
