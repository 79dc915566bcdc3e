//! The order of 29 CFR 1910.147(d)(1) to (6), held per source on FV-3302: the steps as written, and the entries as they come.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{Site, procedure};
use reseat_procedure::model::{Asked, Deed, EnergyState, PointKind};

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
