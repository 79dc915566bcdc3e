//! Energy that is in is told first, everywhere and under every name of the state; nobody closes or leaves the unit over it, and
//! nobody leaves it in a state that the record contradicts.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, ODDE, Site};
use reseat_procedure::{Choices, all_choices, builtin, read};
use reseat_record::rebuild::{Command, Ended, Point};
use reseat_record::register::LEFT_STATES;

fn co2_under_test() -> Site {
    let named = |(file, _): &&(&str, &'static [u8])| *file == "PRV-CO2-04.json";
    let bytes = builtin().iter().find(named).unwrap().1;
    let mut site = Site::following(bytes, Choices::default());
    site.start();
    site.until("crack-v-c41-60-125");
    site.step();
    site
}

fn pause(site: &mut Site) {
    let by = site.performer;
    site.does(Command::Pause { by_itself: false }, by).unwrap();
}

fn left(state: &str) -> Command {
    Command::HandOver {
        words: "end of shift".into(),
        to: None,
        left: Some(state.into()),
    }
}

/// Every place that tells the state, as it stands now.
fn told(site: &Site) -> Vec<String> {
    let (rebuild, stamp) = (site.rebuild(), site.stamp(FALK));
    let tag = rebuild.tag_lines(&site.register, &stamp).join(" ");
    vec![
        rebuild.strip_untaken(&stamp).state,
        rebuild.outgoing_lines()[0].clone(),
        rebuild.summary().state,
        tag,
    ]
}

#[test]
fn plant_energy_let_in_for_a_test_is_told_in_every_state() {
    let mut site = co2_under_test();
    pause(&mut site);
    for told in told(&site) {
        for words in ["UNDER TEST, HANDS OFF", "CO2 250 psi", "V-C41 not locked"] {
            let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(told.contains(words), "{words}: {told}");
        }
    }
    // The locks that are off are named, not left out of the count.
    let locks = site.rebuild().outgoing_lines()[2].clone();
    assert!(
        locks.contains("2 of 4") && locks.contains("Not locked: V-C41"),
        "{locks}"
    );
    site.does(
        Command::HandOver {
            words: "soap is on".into(),
            to: Some(ODDE),
            left: None,
        },
        FALK,
    )
    .unwrap();
    assert!(site.rebuild().summary().state.contains("CO2 250 psi"));
}

#[test]
fn with_energy_in_no_record_is_closed_and_no_unit_left() {
    let mut site = co2_under_test();
    let close = |reason: &str| Command::CloseIncomplete {
        reason: reason.into(),
    };
    assert_eq!(site.refused(close("called away"), FALK), "left-under-test");
    let mut water = Site::at("hold-70");
    assert_eq!(water.refused(close("called away"), FALK), "left-under-test");
    assert_eq!(water.refused(left(LEFT_STATES[0]), FALK), "left-under-test");
    // Vented by its steps and proved, it may be closed.
    water.until("ts2-off");
    water.does(close("no time"), FALK).unwrap();
    pause(&mut site);
    assert_eq!(site.refused(close("called away"), FALK), "left-under-test");
}

#[test]
fn each_medium_is_told_and_a_vented_one_until_zero_is_read() {
    let mut site = Site::at("hold-70");
    let state = |site: &Site| site.rebuild().strip(&site.stamp(FALK)).state;
    assert!(state(&site).contains("air ") && state(&site).contains("water 70 bar"));
    site.until("drain-d-cylinder");
    assert!(
        state(&site).contains("water 70 bar, vented, zero not read"),
        "{}",
        state(&site)
    );
    site.until("seat-leak");
    assert!(
        !state(&site).contains("70 bar"),
        "3.5 bar took its place: {}",
        state(&site)
    );
    assert!(state(&site).contains("water 3.5 bar"));
    site.until("ts2-off");
    assert!(!state(&site).contains("water"), "{}", state(&site));
}

#[test]
fn a_unit_is_left_to_nobody_only_in_a_state_the_record_bears_out() {
    let [covered, together, in_service] = LEFT_STATES;
    let mut site = Site::at("tighten-j1");
    for untrue in [together, in_service] {
        assert_eq!(site.refused(left(untrue), FALK), "left-untrue", "{untrue}");
    }
    // Zero void since a restart: vented is what nobody has read.
    site.restarts(FALK);
    assert_eq!(site.refused(left(covered), FALK), "left-untrue");
    let mut site = Site::at("tighten-j1");
    site.does(left(covered), FALK).unwrap();
    // Before anything was isolated nothing is locked or vented; after it nothing is in service.
    let mut early = Site::new();
    early.start();
    early.until("live-upstream");
    assert_eq!(early.refused(left(covered), FALK), "left-untrue");
    early.does(left(in_service), FALK).unwrap();
}

#[test]
fn a_test_broken_off_is_vented_and_proved_before_anything_else_and_begins_anew() {
    let mut site = Site::at("hold-70");
    let break_off = || Command::BreakOff {
        reason: "J3 drips".into(),
    };
    site.does(break_off(), FALK).unwrap();
    for drain in ["drain U", "drain D"] {
        assert_eq!(site.ask().point, Point::LockBack(drain.into()));
        site.step();
    }
    // The gauge, then the vent: nothing was seen to flow since the water went in, so nothing is believed at once.
    assert_eq!(site.ask().point, Point::Gate(0));
    site.step();
    for clear in [false, true] {
        site.picks("nothing came");
        assert_eq!(site.last("clear"), clear);
        assert_eq!(site.last_kind(), "vented/1");
    }
    assert!(
        site.rebuild().open_items()[0]
            .text
            .contains("may be blocked")
    );
    // Seen to flow, it is believed.
    let mut site = Site::at("hold-70");
    site.does(break_off(), FALK).unwrap();
    site.goes_on(|ask| ask.point == Point::Gate(1));
    site.picks("flowed and stopped");
    site.goes_on(|ask| !matches!(ask.point, Point::Gate(_)));
    // Air was in since the actuator spring was released: that is asked again, then the test from its beginning.
    assert_eq!(site.due(), "spring-free");
    site.goes_on(|ask| ask.step.as_ref().unwrap().id != "spring-free");
    assert_eq!(site.due(), "tools-before-test");
    assert!(
        site.rebuild()
            .strip(&site.stamp(FALK))
            .state
            .starts_with("LOCKED")
    );
    assert_eq!(site.refused(break_off(), FALK), "no-test");
    site.until("");
    assert_eq!(site.rebuild().ended(), Some(Ended::Signed));
}

#[test]
fn in_every_shipped_procedure_a_test_broken_off_leads_through_zero_to_the_signatures() {
    for (file, bytes) in builtin() {
        let procedure = read(bytes).unwrap();
        let choices = all_choices(&procedure).remove(0);
        let mut site = Site::following(bytes, choices);
        site.start();
        let in_it = |site: &Site| {
            let strip = site.rebuild().strip(&site.stamp(site.performer));
            strip.state.starts_with("UNDER TEST")
        };
        while !in_it(&site) {
            assert!(site.step(), "{file}: nothing was let in");
        }
        let reason = "it leaks".to_owned();
        let by = site.performer;
        site.does(Command::BreakOff { reason }, by).unwrap();
        let mut gates = 0;
        while site.step() {
            gates += usize::from(site.last_kind() == "released/1" && site.last("gate") == true);
            if gates == 0 {
                let ask = site.ask();
                let proves = matches!(
                    ask.point,
                    Point::LockBack(_) | Point::Gate(_) | Point::Finding(_) | Point::Worker(_)
                );
                assert!(proves, "{file}: {ask:#?}");
            }
        }
        assert!(gates > 0, "{file}");
        assert_eq!(site.rebuild().ended(), Some(Ended::Signed), "{file}");
    }
}

#[test]
fn a_joint_opened_again_in_a_test_says_what_is_in_and_how_each_point_is_brought_back() {
    let mut site = Site::at("hold-70");
    site.does(
        Command::Reopen {
            joint: "J1".into(),
            reason: "it drips".into(),
        },
        FALK,
    )
    .unwrap();
    let strip = site.rebuild().strip(&site.stamp(FALK)).state;
    assert!(
        strip.contains("water 70 bar") && strip.contains("drain U not locked"),
        "{strip}"
    );
    assert!(!strip.contains("your own lock"), "{strip}");
    let ask = site.ask();
    assert_eq!(ask.point, Point::LockBack("drain U".into()));
    assert!(
        ask.notice
            .iter()
            .any(|line| line.contains("drain U is not locked")),
        "{ask:#?}"
    );
    let detail = ask.detail.join(" ");
    assert!(
        detail.contains("Vent it slowly") && detail.contains("Bring drain U to open"),
        "{ask:#?}"
    );
}
