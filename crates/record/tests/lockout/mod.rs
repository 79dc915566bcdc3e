//! A small model of lockout, written apart from the program: it reads entries as JSON and the procedure's own text, and
//! says whether hands-on work may be done. It knows nothing of the engine's types and asks it nothing.
//!
//! Its rules: before hands go in, every isolating lock that was ever hung is on, every worker who acts has a lock of his own on
//! the box, zero was proved since, no energy is in, no permit has ended, and what no gauge shows was relieved since energy was in;
//! before plant energy comes in, tools are counted out, people are clear, and no own lock is on.

#![allow(unreachable_pub)] // shared by the tests that include it

mod late;
mod objects;
mod relieves;
mod steps;
mod takes;

use std::collections::{BTreeMap, BTreeSet};

use relieves::Stored;
use serde_json::{Map, Value};
use steps::{Step, steps};

/// Kinds that say something of a step and touch nothing.
const TOUCH_NOTHING: &[&str] = &[
    "released/1",
    "verified/1",
    "verified_answer/1",
    "found/1",
    "not_applicable/1",
    "cleared/1",
    "permit/1",
    "permit_seen/1",
];

/// A permit as the model keeps it: when it ends, and a person's word at a moment by a clock.
#[derive(Clone, Default)]
struct Permit {
    ends: Option<i64>,
    word: Option<(i64, bool, String)>,
}

#[derive(Clone)]
pub struct Model {
    steps: BTreeMap<String, Step>,
    sides: Vec<(String, bool)>,
    limit_s: i64,
    look_s: i64,
    /// Locks on, by point.
    on: BTreeSet<String>,
    /// Points whose lock was taken off outside the written acts, or by them.
    hung_once: BTreeSet<String>,
    own: BTreeSet<String>,
    own_wanted: bool,
    who: String,
    paused: Option<(i64, bool, String)>,
    /// The taking up after a short pause that wants another look.
    look_due: Option<u64>,
    /// Newest moment something voided zero.
    void: u64,
    energy_in: bool,
    gauge: BTreeMap<String, (u64, i64, String)>,
    vent: BTreeMap<String, (u64, i64, String)>,
    /// When the vent alone last proved a side.
    alone: BTreeMap<String, u64>,
    released: u64,
    wants_release: bool,
    count: u64,
    /// Isolating points of the procedure, and those that ever carried a lock.
    isolating: BTreeSet<String>,
    ever: BTreeSet<String>,
    /// Isolating points that a test has freed.
    live: BTreeSet<String>,
    /// A test of this procedure takes own locks off.
    tests_without_own: bool,
    /// Own locks were ever wanted.
    own_ever: bool,
    tools_clear: bool,
    people_clear: bool,
    permits: BTreeMap<String, Permit>,
    /// Operations have the unit back.
    back: bool,
    /// Springs, heat, trapped volumes.
    stored: Stored,
}

fn text<'a>(body: &'a Map<String, Value>, name: &str) -> &'a str {
    body.get(name).and_then(Value::as_str).unwrap_or_default()
}

pub fn seconds(utc: &str) -> i64 {
    chrono::DateTime::parse_from_rfc3339(utc).map_or(0, |time| time.timestamp())
}

impl Model {
    pub fn new(procedure: &Value, performer: &str, limit_minutes: i64, look_minutes: i64) -> Self {
        let isolating: BTreeSet<String> = procedure["points"]
            .as_array()
            .into_iter()
            .flatten()
            .filter(|point| point["kind"] == "isolating")
            .filter_map(|point| point["id"].as_str().map(str::to_owned))
            .collect();
        let steps = steps(procedure, &isolating);
        let tests_without_own = steps
            .values()
            .any(|step| step.energy == "test" && step.own_off);
        let sides = procedure["zero"].as_array().into_iter().flatten();
        Self {
            stored: Stored::of(procedure, &steps),
            steps,
            sides: sides
                .map(|side| {
                    (
                        side["id"].as_str().unwrap_or_default().to_owned(),
                        side["vent"].is_string(),
                    )
                })
                .collect(),
            limit_s: limit_minutes * 60,
            look_s: look_minutes * 60,
            on: BTreeSet::new(),
            hung_once: BTreeSet::new(),
            own: BTreeSet::new(),
            own_wanted: false,
            who: performer.to_owned(),
            paused: None,
            look_due: None,
            void: 0,
            energy_in: false,
            gauge: BTreeMap::new(),
            vent: BTreeMap::new(),
            alone: BTreeMap::new(),
            released: 0,
            wants_release: true,
            count: 0,
            isolating,
            tests_without_own,
            ever: BTreeSet::new(),
            live: BTreeSet::new(),
            own_ever: false,
            tools_clear: false,
            people_clear: false,
            permits: BTreeMap::new(),
            back: false,
        }
    }

    fn voids(&mut self, wants_release: bool) {
        self.void = self.count;
        self.wants_release |= wants_release;
    }

    /// Whether every side was proved after the entry of this count.
    fn proved_since(&self, count: u64) -> bool {
        self.sides.iter().all(|(side, has_vent)| {
            let since = |marks: &BTreeMap<String, (u64, i64, String)>| {
                marks.get(side).is_some_and(|(at, ..)| *at > count)
            };
            let alone = self.alone.get(side).is_some_and(|at| *at > count);
            (since(&self.gauge) || alone) && (!*has_vent || since(&self.vent))
        })
    }
}
