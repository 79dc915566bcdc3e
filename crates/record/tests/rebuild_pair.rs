//! The second of a redundant pair: another person verifies each joint and each zero check.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, Site, key};
use reseat_procedure::model::{Asked, Verify};
use reseat_record::log::{Hash, Id};
use reseat_record::rebuild::body::Beside;
use reseat_record::rebuild::{Ended, Point, Rebuild, Start};

fn started_beside() -> Site {
    let mut site = Site::new();
    let beside = Beside {
        tag: "FV-3303".into(),
        record: Id::from_bytes([7; 10]),
    };
    let entry = Rebuild::start_beside(
        &site.register,
        &rebuild_site::procedure(),
        Hash::of(site.bytes),
        Start {
            procedure: Hash::of(site.bytes),
            choices: site.choices.clone(),
            ..Site::start_with()
        },
        Some(beside),
        Id::from_bytes([3; 10]),
        &site.stamp(FALK),
    )
    .unwrap();
    let sealed = entry.sign(&key(FALK)).unwrap();
    site.rebuild = Some(Rebuild::begin(rebuild_site::procedure(), &sealed).unwrap());
    site.entries.push(sealed);
    site.seconds += 20;
    site
}

#[test]
fn every_joint_and_zero_check_of_the_second_wants_other_eyes() {
    let mut site = started_beside();
    assert_eq!(site.entries[0].entry.body["beside"]["tag"], "FV-3303");
    let wanted = |procedure: &reseat_procedure::Procedure| -> Vec<String> {
        let steps = procedure.sections.iter().flat_map(|section| &section.steps);
        steps
            .filter(|step| {
                step.asks
                    .iter()
                    .any(|ask| matches!(ask, Asked::Tighten { .. } | Asked::Zero { .. }))
            })
            .map(|step| step.id.clone())
            .collect()
    };
    let ids = wanted(site.rebuild().procedure());
    assert!(ids.len() > 3);
    for section in &site.rebuild().procedure().sections {
        for step in section.steps.iter().filter(|step| ids.contains(&step.id)) {
            assert!(step.verify.is_some(), "{}", step.id);
        }
    }
    let plain = rebuild_site::procedure();
    let unwritten: Vec<String> = plain
        .sections
        .iter()
        .flat_map(|section| &section.steps)
        .filter(|step| ids.contains(&step.id) && step.verify.is_none())
        .map(|step| step.id.clone())
        .collect();
    assert!(
        !unwritten.is_empty(),
        "FV-3302 writes none for some of them"
    );
    let mut seen = Vec::new();
    loop {
        let ask = site.ask();
        if let (Point::Verify(step), Some(at)) = (&ask.point, &ask.step) {
            assert!(!ask.blank || at.verify.is_some());
            if unwritten.contains(step) {
                assert_eq!(at.verify, Some(Verify::Independent));
                seen.push(step.clone());
            }
        }
        if !site.step() {
            break;
        }
    }
    assert_eq!(site.rebuild().ended(), Some(Ended::Signed));
    for step in &unwritten {
        let on_route = site.entries.iter().any(|sealed| {
            sealed.entry.kind == "verified/1" && sealed.entry.body["step"] == step.as_str()
        });
        assert_eq!(seen.contains(step), on_route, "{step}");
    }
    assert!(seen.iter().any(|step| step.contains("tighten")), "{seen:?}");
    let replayed = Rebuild::replay(rebuild_site::procedure(), &site.entries).unwrap();
    assert!(&replayed == site.rebuild());
}
