//! Stored energy: its release stands on its own line of the energy plan, and is asked anew when work goes back to before energy
//! was let in (29 CFR 1910.147(d)(5)(i): relieved, disconnected, restrained or otherwise rendered safe; (f)(1)(v): controls
//! applied again after a test).

#[path = "rebuild_site/mod.rs"]
mod rebuild_site;

use rebuild_site::{FALK, Site};
use reseat_procedure::model::{Asked, Deed, EnergyState};
use reseat_procedure::{all_choices, builtin, read};
use reseat_record::rebuild::command::Command;
use reseat_record::rebuild::view::{EnergyLine, PlanLine};
use reseat_record::rebuild::{Ended, Point};

fn spring(site: &Site) -> EnergyLine {
    let lines = site.rebuild().energy_lines(&site.stamp(FALK));
    let spring = lines
        .into_iter()
        .find(|line| line.source.starts_with("actuator spring"));
    spring.expect("the actuator spring has its line")
}

fn recorded(site: &Site, source: &str) -> PlanLine {
    let plan = site.rebuild().energy_plan();
    let line = plan
        .into_iter()
        .find(|line| line.source.starts_with(source));
    line.expect("the energy has its line in the record")
}

#[test]
fn nothing_is_complete_before_it_was_done_a_spring_not_before_its_release() {
    let mut site = Site::at("breaker-open");
    let lines = site.rebuild().energy_lines(&site.stamp(FALK));
    assert!(
        lines.iter().all(|line| !line.complete),
        "nothing is locked or released yet: {lines:?}"
    );
    site.until("spring-free");
    let line = spring(&site);
    assert!(!line.complete && line.released.is_empty(), "{line:?}");
    assert_eq!(line.isolated_at, "nothing to lock");
    assert!(site.step());
    while site.due() == "spring-free" {
        assert!(site.step());
    }
    let line = spring(&site);
    assert!(line.complete, "{line:?}");
    assert!(line.released.starts_with("turns by hand "), "{line:?}");
}

#[test]
fn the_signed_record_says_how_each_energy_was_released_first() {
    let mut site = Site::at("");
    assert!(!site.step(), "the rebuild is signed");
    let spring = recorded(&site, "actuator spring");
    assert!(
        spring.released.starts_with("turns by hand, Ines Falk "),
        "{spring:?}"
    );
    let air = recorded(&site, "actuator air");
    assert!(air.released.contains("Ines Falk"), "{air:?}");
    // The vent first opened, before the unit was; how often zero was proved after it, and when last.
    let brine = recorded(&site, "brine, upstream");
    let opened = site
        .entries
        .iter()
        .find(|sealed| sealed.entry.kind == "vented/1" && sealed.entry.body["side"] == "upstream")
        .expect("the drain was opened");
    let first = &opened.entry.utc[11..16];
    assert!(
        brine.released.contains(" more, the last ") && brine.released.contains("Ines Falk"),
        "{brine:?}"
    );
    let told = brine.released.split(" (").next().unwrap();
    assert_eq!(minutes(&told[told.len() - 5..]) % 60, minutes(first) % 60);
    assert!(brine.proof.contains(" more, the last "), "{brine:?}");
}

/// Minutes of a clock face.
fn minutes(face: &str) -> u32 {
    let (hours, minutes) = face.split_once(':').expect("hours and minutes");
    let number = |digits: &str| digits.parse::<u32>().expect("digits");
    number(hours) * 60 + number(minutes)
}

#[test]
fn a_joint_opened_again_after_energy_was_in_wants_the_spring_released_before_hands() {
    let mut site = Site::at("hold-70");
    let line = spring(&site);
    assert!(!line.complete, "{line:?}");
    assert_eq!(line.released, "energy in since");
    site.does(
        Command::Reopen {
            joint: "J1".into(),
            reason: "weeps at 70 bar".into(),
        },
        FALK,
    )
    .unwrap();
    assert_eq!(site.due(), "spring-free", "before the joint itself");
    // Turning the pin is a hand at the unit: locks back on and zero read come before it.
    assert!(
        matches!(site.ask().point, Point::LockBack(_)),
        "{:?}",
        site.ask().point
    );
    site.goes_on(|ask| !matches!(ask.point, Point::LockBack(_) | Point::Gate(_)));
    assert!(
        site.ask()
            .notice
            .iter()
            .any(|line| line.contains("Release it again"))
    );
    assert!(matches!(&site.ask().point, Point::Asked(step, ..) if step == "spring-free"));
    site.until("tighten-j1");
    assert!(spring(&site).complete);
    site.restarts_alike();
    // Once for the work taken back, not for each act of it.
    site.until("sign");
    let asked = site
        .entries
        .iter()
        .filter(|sealed| {
            sealed.entry.kind == "answered/1" && sealed.entry.body["step"] == "spring-free"
        })
        .count();
    assert_eq!(asked, 2);
}

#[test]
fn a_test_that_is_gone_on_with_asks_no_release_twice() {
    let mut site = Site::at("stroke-five");
    let before = site.entries.len();
    site.until("ts2-off");
    let again = site.entries[before..]
        .iter()
        .filter(|sealed| {
            sealed
                .entry
                .body
                .get("step")
                .is_some_and(|step| step == "spring-free")
        })
        .count();
    assert_eq!(again, 0);
}

#[test]
fn in_every_shipped_procedure_a_joint_opened_after_the_tests_wants_what_no_gauge_proves_released_again()
 {
    let mut released_again = 0;
    for (file, bytes) in builtin() {
        let procedure = read(bytes).expect("shipped");
        let choices = all_choices(&procedure).into_iter().next().expect("a route");
        let steps: Vec<_> = procedure
            .route(&choices)
            .places
            .iter()
            .map(|place| procedure.step(*place).clone())
            .collect();
        let releases = |energy: &str| {
            steps.iter().find(|step| {
                step.does
                    .iter()
                    .any(|deed| matches!(deed, Deed::Release { energy: named } if named == energy))
            })
        };
        let no_gauge: Vec<&str> = procedure
            .energies
            .iter()
            .map(|energy| energy.id.as_str())
            .filter(|energy| !procedure.zero.iter().any(|side| side.energy == *energy))
            .filter_map(|energy| Some(releases(energy)?.id.as_str()))
            .collect();
        let tightens = |asked: &Asked| match asked {
            Asked::Tighten { joint } => Some(joint.clone()),
            _ => None,
        };
        let (at, joint) = steps
            .iter()
            .enumerate()
            .filter(|(_, step)| step.energy == EnergyState::Zero)
            .find_map(|(at, step)| Some((at, step.asks.iter().find_map(tightens)?)))
            .expect("a joint");
        let later = &steps[at..];
        let after_tests = later
            .iter()
            .skip_while(|step| step.energy != EnergyState::Test)
            .find(|step| step.energy == EnergyState::Returning)
            .expect("a return after the tests");
        let mut site = Site::following(bytes, choices);
        site.start();
        site.until(&after_tests.id);
        let reason = "weeps".to_owned();
        site.does(Command::Reopen { joint, reason }, FALK)
            .expect("the joint is opened again");
        // As far as the tests, which begin anew.
        let mut asked: Vec<String> = Vec::new();
        let in_test = |due: &str| {
            later
                .iter()
                .any(|step| step.id == due && step.energy == EnergyState::Test)
        };
        while !in_test(&site.due()) {
            if asked.last() != Some(&site.due()) {
                asked.push(site.due());
            }
            assert!(site.step() && asked.len() < 200, "{file}: {asked:?}");
        }
        for step in no_gauge {
            let times = asked.iter().filter(|due| *due == step).count();
            assert_eq!(times, 1, "{file}: {step} among {asked:?}");
            released_again += 1;
        }
        site.until("");
        assert_eq!(site.rebuild().ended(), Some(Ended::Signed), "{file}");
    }
    assert!(released_again >= 9, "{released_again}");
}
