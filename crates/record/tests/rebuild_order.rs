//! The order of 29 CFR 1910.147(d)(1) to (6), held per source on FV-3302: the steps as written, and the entries as they come.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, Site, procedure};
use reseat_procedure::model::{Asked, Deed, EnergyState, PointKind, Step};
use reseat_procedure::{all_choices, builtin, read};
use reseat_record::log::Sealed;
use reseat_record::rebuild::{Command, Given, Point};

/// Source: 29 CFR 1910.147(d), "shall be done in the following sequence": (1) preparation, (2) shutdown, (3) isolation,
/// (4) lockout, (5) stored energy, (6) verification. Held for each source on its own.
#[test]
fn every_source_is_shut_down_isolated_locked_released_and_proved_in_that_order() {
    let procedure = procedure();
    let site = {
        let mut site = Site::at("mark-bonnet");
        site.seconds += 1;
        site
    };
    // Where each step was first done: the number of its first entry.
    let first = |step: &str| {
        site.entries
            .iter()
            .find(|sealed| {
                sealed
                    .entry
                    .body
                    .get("step")
                    .is_some_and(|named| named == step)
            })
            .map(|sealed| sealed.entry.number)
    };
    let steps: Vec<_> = procedure
        .sections
        .iter()
        .flat_map(|section| &section.steps)
        .collect();
    let done = |wanted: &dyn Fn(&Deed) -> bool| -> Vec<u64> {
        steps
            .iter()
            .filter(|step| step.energy <= EnergyState::Isolating && step.does.iter().any(wanted))
            .filter_map(|step| first(&step.id))
            .collect()
    };
    let shutdown = first("stop-train").unwrap();
    let prepared = first("permit").unwrap();
    assert!(prepared < shutdown, "(d)(1) before (d)(2)");
    for energy in &procedure.energies {
        let points: Vec<&str> = procedure
            .points
            .iter()
            .filter(|point| point.energy == energy.id && point.kind == PointKind::Isolating)
            .map(|point| point.id.as_str())
            .collect();
        for point in &points {
            let isolated =
                done(&|deed| matches!(deed, Deed::Isolate { point: named } if named == point));
            let locked =
                done(&|deed| matches!(deed, Deed::Lock { point: named } if named == point));
            assert!(
                !isolated.is_empty() && !locked.is_empty(),
                "{point} is isolated and locked"
            );
            assert!(shutdown < isolated[0], "(d)(2) before (d)(3) at {point}");
            assert!(isolated[0] < locked[0], "(d)(3) before (d)(4) at {point}");
            let released = done(
                &|deed| matches!(deed, Deed::Release { energy: named } if *named == energy.id),
            );
            assert!(
                released.iter().all(|released| locked[0] < *released),
                "(d)(4) at {point} before (d)(5) of {}",
                energy.label
            );
            assert!(!released.is_empty(), "(d)(5) of {}", energy.label);
        }
        let sides: Vec<&str> = procedure
            .zero
            .iter()
            .filter(|side| side.energy == energy.id)
            .map(|side| side.id.as_str())
            .collect();
        for side in sides {
            let released = done(
                &|deed| matches!(deed, Deed::Release { energy: named } if *named == energy.id),
            );
            let proved = steps
                .iter()
                .filter(|step| step.asks.iter().any(|asked| matches!(asked, Asked::Reading(measured) if measured.proves.as_deref() == Some(side))))
                .find_map(|step| first(&step.id))
                .unwrap();
            assert!(
                released.iter().all(|released| *released < proved),
                "(d)(5) before (d)(6) of {side}"
            );
            let hold = first("zero-hold").unwrap();
            let work = first("mark-bonnet");
            assert!(proved < hold, "(d)(6) of {side} before its release");
            assert!(work.is_none_or(|work| hold < work), "and before any work");
        }
    }
}

/// The same sequence at each isolating point of every shipped procedure, and no act of it before its turn: (1) every energy is on the
/// plan before the first point is shut, (3) isolated, (4) locked, (6) released by its hold, then the first hand inside.
#[test]
fn in_every_shipped_procedure_the_sequence_holds_and_no_act_is_taken_before_its_turn() {
    let mut points = 0;
    for (file, bytes) in builtin() {
        let procedure = read(bytes).unwrap();
        let choices = all_choices(&procedure).remove(0);
        let route = procedure.route(&choices);
        let places = route.places.iter();
        let steps: Vec<_> = places.map(|place| procedure.step(*place)).collect();
        let does = |wanted: &dyn Fn(&Deed) -> bool| {
            let isolating = |step: &&&Step| step.energy <= EnergyState::Isolating;
            let mut before = steps.iter().filter(isolating);
            before
                .find(|step| step.does.iter().any(wanted))
                .map(|step| step.id.clone())
        };
        let mut site = Site::following(bytes, choices.clone());
        site.start();
        let shuts = steps.iter().find(|step| {
            let isolates = |deed: &Deed| matches!(deed, Deed::Isolate { .. });
            step.does.iter().any(isolates)
        });
        site.until(&shuts.unwrap().id);
        let plan = site.rebuild().energy_lines(&site.stamp(FALK));
        for energy in &procedure.energies {
            let listed = plan.iter().any(|line| line.source.contains(&energy.label));
            assert!(listed, "(d)(1): {file} {}", energy.label);
        }
        let inside = steps
            .iter()
            .find(|step| step.energy == EnergyState::Zero)
            .unwrap();
        let too_early = Command::Answer {
            point: Point::Act(inside.id.clone()),
            given: Given::Done,
        };
        assert_eq!(site.refused(too_early, FALK), "not-asked-now", "{file}");
        site.until(&inside.id);
        let first = |step: &str| {
            let of_step = |sealed: &&Sealed| sealed.entry.body.get("step") == Some(&step.into());
            site.entries
                .iter()
                .find(of_step)
                .map(|sealed| sealed.entry.number)
        };
        let isolating = procedure
            .points
            .iter()
            .filter(|point| point.kind == PointKind::Isolating);
        for point in isolating {
            let named = |id: &String| *id == point.id;
            let isolated = does(&|deed| matches!(deed, Deed::Isolate { point } if named(point)));
            let locked = does(&|deed| matches!(deed, Deed::Lock { point } if named(point)));
            let (Some(isolated), Some(locked)) = (isolated, locked) else {
                continue;
            };
            let (isolated, locked) = (first(&isolated).unwrap(), first(&locked).unwrap());
            assert!(
                isolated <= locked,
                "(d)(3) before (d)(4): {file} {}",
                point.label
            );
            let released = site
                .entries
                .iter()
                .rfind(|one| one.entry.kind == "released/1")
                .unwrap();
            assert!(
                locked < released.entry.number,
                "(d)(4) before (d)(6): {file} {}",
                point.label
            );
            points += 1;
        }
    }
    assert!(points > 20, "{points} isolating points");
}
