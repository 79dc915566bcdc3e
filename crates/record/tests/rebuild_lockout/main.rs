//! Lockout of a group: own locks of every worker, tests by plant energy, the release checks before energy is let in, permits
//! with their end times, and the energy plan.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod added_steps;
mod energy_plan;
mod lock_numbers;
mod own_locks;
mod permits;
mod plant_energy;
#[path = "../rebuild_site/mod.rs"]
mod rebuild_site;
mod release;
mod taken_up;

use rebuild_site::Site;
use reseat_procedure::Choices;
use reseat_record::rebuild::{Command, Given, Point};
use serde_json::Value;

const FV: &[u8] = include_bytes!("../../../../procedures/FV-3302.json");

const CO2: &[u8] = include_bytes!("../../../../procedures/PRV-CO2-04.json");

/// A procedure as shipped but for one change.
fn changed(bytes: &[u8], change: impl Fn(&mut Value)) -> &'static [u8] {
    let mut value: Value = serde_json::from_slice(bytes).unwrap();
    change(&mut value);
    Box::leak(serde_json::to_vec(&value).unwrap().into_boxed_slice())
}

/// Drops the steps of these ids.
fn without(value: &mut Value, steps: &[&str]) {
    let mut dropped = 0;
    for section in value["sections"].as_array_mut().unwrap() {
        section["steps"].as_array_mut().unwrap().retain(|step| {
            let listed = steps.iter().any(|id| step["id"] == *id);
            dropped += usize::from(listed);
            !listed
        });
    }
    assert_eq!(dropped, steps.len(), "{steps:?}");
}

fn following(bytes: &'static [u8]) -> Site {
    let mut site = Site::following(bytes, Choices::default());
    site.start();
    site
}

fn own_lock(owner: reseat_record::log::Id, number: Option<&str>) -> Command {
    Command::OwnLock {
        owner,
        number: number.map(str::to_owned),
    }
}

fn act(step: &str) -> Command {
    Command::Answer {
        point: Point::Act(step.into()),
        given: Given::Done,
    }
}

fn kinds(site: &Site, kind: &str) -> usize {
    site.entries
        .iter()
        .filter(|sealed| sealed.entry.kind == kind)
        .count()
}
