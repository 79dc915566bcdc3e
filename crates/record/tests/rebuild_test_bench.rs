//! What the technician sees while the unit is under test: which wait of several it is, and what was read, by its name.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::Site;
use reseat_procedure::model::Asked;
use reseat_record::rebuild::Wants;

#[test]
fn of_several_waits_in_a_step_each_says_which_it_is_and_a_single_one_does_not() {
    let mut site = Site::at("raise-70");
    let mut begun = Vec::new();
    while site.due() == "raise-70" {
        let ask = site.ask();
        match ask.wants {
            Wants::Act => begun.push(ask.prompt.clone()),
            Wants::Wait { .. } => assert!(ask.prompt.starts_with("Wait "), "{}", ask.prompt),
            _ => panic!("{ask:#?}"),
        }
        site.step();
    }
    let told: Vec<String> = (1..=3)
        .map(|number| format!("Wait {number} of 3. Start the 2 min now"))
        .collect();
    assert_eq!(begun, told);
    site.goes_on(|ask| ask.prompt.contains("10 min"));
    assert_eq!(site.ask().prompt, "Start the 10 min now");
}

#[test]
fn the_bench_of_a_test_names_its_readings_as_the_procedure_does() {
    let mut site = Site::at("raise-70");
    site.until("tools-at-end");
    let ids: Vec<String> = site
        .rebuild()
        .procedure()
        .sections
        .iter()
        .flat_map(|section| &section.steps)
        .flat_map(|step| &step.asks)
        .filter_map(|asked| match asked {
            Asked::Reading(read) => Some(read.id.clone()),
            Asked::Computed { id, .. } => Some(id.clone()),
            _ => None,
        })
        .collect();
    let read = site.rebuild().test_readings();
    let named = |label: &str| read.iter().any(|(_, told, _)| told == label);
    assert!(named("travel at 2.0 bar, going up") && named("seat leak, mean"));
    assert!(named("zero, upstream"), "{read:#?}");
    for (_, label, _) in &read {
        assert!(!ids.contains(label) || label == "drop", "{label} is an id");
    }
}
