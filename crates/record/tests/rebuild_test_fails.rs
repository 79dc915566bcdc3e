//! A unit whose test fails twice: each time its joint is opened again, everything after it begins anew, and the unit is brought to
//! the signatures all the same.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, SEFTON, Site};
use reseat_procedure::model::{Asked, EnergyState, Leads, Procedure, Step};
use reseat_procedure::{Choices, all_choices, builtin, read};
use reseat_record::rebuild::{Command, Ended, Point, Wants};

/// The steps of the way chosen, in order.
fn way(procedure: &Procedure, choices: &Choices) -> Vec<Step> {
    let route = procedure.route(choices);
    let places = route.places.iter();
    places.map(|place| procedure.step(*place).clone()).collect()
}

fn tightens(asked: &Asked) -> Option<String> {
    match asked {
        Asked::Tighten { joint } => Some(joint.clone()),
        _ => None,
    }
}

/// The joint tightened first, and the last step of the tests that can fail after energy was let in.
fn joint_and_test(steps: &[Step]) -> (String, Step) {
    let joint = steps
        .iter()
        .filter(|step| step.energy == EnergyState::Zero)
        .find_map(|step| step.asks.iter().find_map(tightens))
        .expect("a joint");
    let can_fail = |asked: &Asked| match asked {
        Asked::Reading(measured) => measured.window.is_some() && measured.proves.is_none(),
        Asked::Choice { answers, .. } => {
            answers.iter().any(|answer| answer.leads == Leads::Finding)
        }
        _ => false,
    };
    let test = steps
        .iter()
        .filter(|step| step.energy == EnergyState::Test)
        .rfind(|step| step.asks.iter().any(can_fail))
        .expect("a test that can fail");
    (joint, test.clone())
}

/// Answers what fails the test: a reading outside its window, or the answer that leads to a finding.
fn fails(site: &mut Site, test: &Step) {
    loop {
        let ask = site.ask();
        let texts: Vec<String> = match (&ask.point, &ask.wants) {
            (
                Point::Asked(step, ..),
                Wants::Reading {
                    window: Some(window),
                    unit,
                    ..
                },
            ) if *step == test.id => {
                let ends = [window.high(), window.low()].into_iter().flatten();
                let ends = ends.map(|end| end.to_f64_in(*unit).unwrap());
                ends.flat_map(|end| [end * 1.3 + 0.2, end * 0.7 - 0.2])
                    .map(|off| format!("{off:.2}"))
                    .collect()
            }
            (Point::Asked(step, at, _), Wants::Choice(_)) if *step == test.id => {
                match &test.asks[*at as usize] {
                    Asked::Choice { answers, .. } => answers
                        .iter()
                        .position(|answer| answer.leads == Leads::Finding)
                        .map(|at| (at + 1).to_string())
                        .into_iter()
                        .collect(),
                    _ => Vec::new(),
                }
            }
            _ => Vec::new(),
        };
        for text in texts {
            let command = ask.answer(&text).unwrap();
            let entry = site
                .rebuild()
                .decide(&site.register, command.clone(), &site.stamp(FALK))
                .unwrap();
            let leads = entry.body.get("leads").and_then(|leads| leads.as_str());
            let found = leads.is_some_and(|leads| leads.starts_with("finding"));
            if found || entry.body.contains_key("finding") {
                site.does(command, FALK).unwrap();
                return;
            }
        }
        assert!(
            site.step() && site.due() == test.id,
            "{} did not fail: {ask:#?}",
            test.id
        );
    }
}

#[test]
fn a_unit_whose_test_fails_twice_is_brought_to_the_end() {
    for (file, bytes) in builtin() {
        let procedure = read(bytes).expect("shipped");
        let choices = all_choices(&procedure).into_iter().next().expect("a route");
        let steps = way(&procedure, &choices);
        let (joint, test) = joint_and_test(&steps);
        let mut site = Site::following(bytes, choices);
        site.permit = "4711, 120 h";
        site.start();
        for _ in 0..2 {
            site.until(&test.id);
            fails(&mut site, &test);
            site.goes_on(|ask| matches!(ask.point, Point::Finding(_)));
            site.decides("rework", SEFTON);
            let reason = "weeps".to_owned();
            let joint = joint.clone();
            site.does(Command::Reopen { joint, reason }, FALK).unwrap();
        }
        site.until("");
        assert_eq!(site.rebuild().ended(), Some(Ended::Signed), "{file}");
        site.restarts_alike();
        let count = |kind: &str| {
            let entries = site.entries.iter();
            entries.filter(|one| one.entry.kind == kind).count()
        };
        assert_eq!(
            (count("decided/1"), count("reopened/1")),
            (2, 2),
            "{file}: {} failed twice and no more",
            test.id
        );
    }
}

/// A re-check of one joint stands among what another joint's opening makes void: it goes round from its first nut again.
#[test]
fn whichever_joint_is_opened_again_after_the_tests_the_unit_is_brought_to_the_end() {
    let mut rechecked_anew = 0;
    for (file, bytes) in builtin() {
        let procedure = read(bytes).expect("shipped");
        let choices = all_choices(&procedure).into_iter().next().expect("a route");
        let steps = way(&procedure, &choices);
        let tested = steps
            .iter()
            .skip_while(|step| step.energy != EnergyState::Test);
        let back = tested
            .into_iter()
            .find(|step| step.energy == EnergyState::Returning)
            .expect("a return");
        let mut tested = Site::following(bytes, choices);
        tested.permit = "4711, 120 h";
        tested.start();
        tested.until(&back.id);
        let joints = steps
            .iter()
            .take_while(|step| step.id != back.id)
            .flat_map(|step| step.asks.iter().filter_map(tightens));
        for joint in joints {
            let mut site = tested.clone();
            let before = site.entries.len();
            let reason = "weeps".to_owned();
            let opened = joint.clone();
            site.does(
                Command::Reopen {
                    joint: opened,
                    reason,
                },
                FALK,
            )
            .unwrap();
            site.until("");
            assert_eq!(
                site.rebuild().ended(),
                Some(Ended::Signed),
                "{file}: {joint}"
            );
            let first = |one: &&reseat_record::log::Sealed| {
                one.entry.kind == "rechecked/1" && one.entry.body["joint"] != joint.as_str()
            };
            rechecked_anew += site.entries[before..].iter().filter(first).count();
        }
    }
    assert!(rechecked_anew > 0, "no joint was re-checked for another");
}
