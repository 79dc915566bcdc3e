//! Findings: what raises one, who decides it, and what its decision opens again.

use crate::rebuild_site::{FALK, QUIST, SEFTON, Site};
use crate::signed;
use reseat_record::rebuild::{Command, Inner, Point, Wants};

#[test]
fn a_count_wrong_twice_is_a_finding() {
    let mut site = Site::at("yoke-nuts-off");
    site.types("3").unwrap();
    assert!(site.last("finding").is_null());
    site.types("3").unwrap();
    assert_eq!(site.last("finding"), 1);
    site.decides("rework", SEFTON);
    assert_eq!(site.due(), "yoke-nuts-off");
    signed(site);
}

#[test]
fn nothing_from_a_vent_opened_for_the_first_time_is_no_zero() {
    let mut site = Site::at("open-drain-u");
    site.picks("nothing came");
    assert_eq!(site.last("clear"), false);
    assert_eq!(site.due(), "open-drain-u");
    site.picks("nothing came");
    assert!(matches!(site.ask().point, Point::Finding(_)));
    site.decides("use as is", QUIST);
    signed(site);
}

#[test]
fn a_finding_is_proposed_taken_back_and_decided_by_the_role() {
    let mut site = Site::at("draw-split-pin");
    site.does(
        Command::Find {
            words: "crack in the yoke".into(),
        },
        FALK,
    )
    .unwrap();
    site.picks("go on");
    let back = Command::Strike {
        entry: None,
        reason: "look again".into(),
        seen_by: None,
    };
    site.does(back, FALK).unwrap();
    assert_eq!(site.last_kind(), "withdrawn/1");
    site.picks("go on");
    let ask = site.ask();
    assert!(
        ask.answer(&FALK.to_string()).is_err(),
        "the performer is not among those who decide"
    );
    assert_eq!(
        site.refused(
            Command::Answer {
                point: ask.point,
                given: reseat_record::rebuild::Given::Person(FALK)
            },
            FALK
        ),
        "wrong-kind"
    );
    let command = site.ask().answer(&SEFTON.to_string()).unwrap();
    assert_eq!(site.refused(command.clone(), FALK), "signs-himself");
    site.does(command, SEFTON).unwrap();
    assert_eq!(site.due(), "draw-split-pin");
    signed(site);
}

#[test]
fn use_as_is_wants_an_approver() {
    let mut site = Site::at("live-upstream");
    site.types("70").unwrap();
    site.picks("use as is");
    let Wants::Signature { among, .. } = site.ask().wants else {
        panic!("{:#?}", site.ask())
    };
    assert_eq!(among.iter().map(|(id, _)| *id).collect::<Vec<_>>(), [QUIST]);
    let command = site.ask().answer(&QUIST.to_string()).unwrap();
    site.does(command, QUIST).unwrap();
    assert_eq!(site.due(), "live-downstream");
    signed(site);
}

#[test]
fn a_measured_value_out_waits_for_the_sections_decision_and_is_measured_again() {
    let mut site = Site::at("stem-runout");
    site.types("0.09").unwrap();
    assert_eq!(site.last("place"), "HIGH");
    assert_eq!(site.due(), "stem-diameter", "inspection goes on");
    site.until("decide");
    assert!(matches!(site.ask().point, Point::Finding(1)));
    site.decides("replace", SEFTON);
    assert_eq!(site.due(), "stem-runout");
    site.types("0.02").unwrap();
    assert_eq!(site.last("attempt"), 2);
    signed(site);
}

#[test]
fn a_computed_value_out_reopens_the_whole_step() {
    let mut site = Site::at("guide-clearance");
    site.types("16.300").unwrap();
    site.types("15.960").unwrap();
    site.types("").unwrap();
    assert_eq!(
        (site.last("place"), site.last("means")),
        ("HIGH".into(), "0.340 mm".into())
    );
    site.decides("replace", SEFTON);
    assert!(matches!(site.ask().point, Point::Asked(ref step, 0, _) if step == "guide-clearance"));
    signed(site);
}

#[test]
fn an_independent_look_is_blind_and_a_difference_is_a_finding() {
    let mut site = Site::at("verify-coupling");
    site.goes_on(|ask| matches!(ask.point, Point::VerifyAsked(..)));
    let ask = site.ask();
    assert!(ask.blank, "{ask:#?}");
    assert!(
        !format!("{:?}", (&ask.prompt, &ask.detail, &ask.notice)).contains('7'),
        "the first count is not shown"
    );
    site.types("9").unwrap();
    assert_eq!(
        (site.last("agrees"), site.last("finding")),
        (false.into(), 1.into())
    );
    site.decides("rework", SEFTON);
    assert_eq!(site.due(), "verify-coupling");
    assert!(matches!(site.ask().point, Point::Asked(..)));
    signed(site);
}

#[test]
fn a_miscount_that_stands_leaves_the_other_parts_to_be_decided() {
    let mut site = Site::at("dispositions");
    site.types("1").unwrap();
    site.types("1").unwrap();
    assert_eq!(site.last("finding"), serde_json::json!(1));
    // It waits for the section's own decision step, as every finding of an inspection does.
    site.goes_on(|ask| matches!(ask.point, Point::Finding(_)));
    site.decides("use as is", QUIST);
    let ask = site.ask();
    assert!(
        matches!(&ask.point, Point::Asked(step, _, Inner::Line(1)) if step == "dispositions"),
        "{ask:#?}"
    );
    signed(site);
}

#[test]
fn work_that_nobody_has_in_hand_holds_out_no_zero() {
    let site = Site::at("tighten-j1");
    let stamp = site.stamp(FALK);
    assert!(site.rebuild().strip(&stamp).state.contains("ZERO READ"));
    let left = site.rebuild().strip_untaken(&stamp);
    assert_eq!(left.who, "who?");
    assert!(
        left.state.starts_with("LEFT OPEN, ") && !left.state.contains("ZERO READ"),
        "{left:#?}"
    );
}

#[test]
fn a_dropped_item_stops_work_until_decided() {
    let mut site = Site::at("plug-on");
    site.does(
        Command::Dropped {
            what: "pick, 4 mm".into(),
        },
        FALK,
    )
    .unwrap();
    assert!(matches!(site.ask().point, Point::Finding(1)));
    site.decides("go on", SEFTON);
    signed(site);
}
