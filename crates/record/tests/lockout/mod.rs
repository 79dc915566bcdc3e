//! A small model of lockout, written apart from the program: it reads entries as JSON and the procedure's own text, and
//! says whether hands-on work may be done. It knows nothing of the engine's types and asks it nothing.

#![allow(unreachable_pub)] // shared by the tests that include it

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value};

/// What the model knows of a step, taken from the procedure's JSON alone.
#[derive(Clone, Default)]
pub struct Step {
    pub safer: bool,
    pub energy: String,
    pub lets_in: bool,
    pub check: bool,
    /// Sides that this check proves by the vent alone.
    pub by_vent: Vec<String>,
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
}

fn text<'a>(body: &'a Map<String, Value>, name: &str) -> &'a str {
    body.get(name).and_then(Value::as_str).unwrap_or_default()
}

pub fn seconds(utc: &str) -> i64 {
    chrono::DateTime::parse_from_rfc3339(utc).map_or(0, |time| time.timestamp())
}

impl Model {
    pub fn new(procedure: &Value, performer: &str, limit_minutes: i64, look_minutes: i64) -> Self {
        let mut steps = BTreeMap::new();
        let sections = procedure["sections"].as_array().into_iter().flatten();
        for section in sections {
            // The state a step without one stands in is that of its section (procedure format, by the section's place).
            let by_section = match section["id"].as_str().unwrap_or_default() {
                "identify" | "as-found" => "running",
                "make-safe" => "isolating",
                "test" => "test",
                "return" => "returning",
                _ => "zero",
            };
            for step in section["steps"].as_array().into_iter().flatten() {
                let asks: Vec<String> = step["asks"]
                    .as_array()
                    .into_iter()
                    .flatten()
                    .map(ToString::to_string)
                    .collect();
                let known = Step {
                    safer: step["safer"] == true,
                    energy: step["energy"].as_str().unwrap_or(by_section).to_owned(),
                    lets_in: step["lets_in"].is_string(),
                    by_vent: step["asks"]
                        .as_array()
                        .into_iter()
                        .flatten()
                        .flat_map(|ask| ask["zero"]["by_vent"].as_array().into_iter().flatten())
                        .filter_map(|side| side.as_str().map(str::to_owned))
                        .collect(),
                    check: asks.iter().any(|ask| {
                        ask.starts_with("{\"zero\"")
                            || ask.contains("\"proves\"")
                            || ask.starts_with("{\"vent\"")
                    }),
                };
                steps.insert(step["id"].as_str().unwrap_or_default().to_owned(), known);
            }
        }
        let sides = procedure["zero"].as_array().into_iter().flatten();
        Self {
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
        }
    }

    fn voids(&mut self, wants_release: bool) {
        self.void = self.count;
        self.wants_release |= wants_release;
    }

    /// Whether this entry is work with the hands inside the unit, and why it must not have been taken if so.
    pub fn objects(
        &self,
        kind: &str,
        body: &Map<String, Value>,
        utc: &str,
        clock: &str,
    ) -> Option<String> {
        let step = self.steps.get(text(body, "step"));
        let acts = matches!(
            kind,
            "begun/1"
                | "done/1"
                | "answered/1"
                | "setting/1"
                | "clicked/1"
                | "pulled/1"
                | "ready/1"
                | "round/1"
                | "set_back/1"
                | "feeler/1"
                | "condition/1"
                | "rechecked/1"
                | "counted/1"
                | "disposed/1"
                | "wrote/1"
        ) || (kind == "reading/1" && !text(body, "thing").starts_with("zero/"));
        let step = step.filter(|_| acts)?;
        if step.safer || step.check || !matches!(step.energy.as_str(), "zero" | "test") {
            return None;
        }
        if self.paused.is_some() {
            return Some("paused".into());
        }
        if let Some(point) = self.hung_once.difference(&self.on).next() {
            return Some(format!("lock of {point} is off"));
        }
        if self.own_wanted && !self.own.contains(&self.who) {
            return Some("no own lock".into());
        }
        if step.energy == "test" {
            return None;
        }
        if self.energy_in {
            return Some("energy is in".into());
        }
        if self.look_due.is_some_and(|at| !self.proved_since(at)) {
            return Some("not looked again".into());
        }
        for (side, has_vent) in &self.sides {
            let fresh = |mark: Option<&(u64, i64, String)>| {
                mark.is_some_and(|(at, _, by)| *at > self.void && by == clock)
            };
            let gauge = fresh(self.gauge.get(side));
            let alone = self.alone.get(side).is_some_and(|at| *at > self.void);
            if !(gauge || alone) || (*has_vent && !fresh(self.vent.get(side))) {
                return Some(format!("{side} not proved"));
            }
            let oldest = if gauge {
                self.gauge.get(side)
            } else {
                self.vent.get(side)
            };
            let age = oldest.map_or(i64::MAX, |(_, read, _)| seconds(utc) - read);
            if age < 0 || age > self.limit_s {
                return Some(format!("{side} read {age} s ago"));
            }
        }
        (self.wants_release && self.released <= self.void).then(|| "not released".into())
    }

    /// Takes an entry in.
    pub fn takes(
        &mut self,
        kind: &str,
        body: &Map<String, Value>,
        by: &str,
        utc: &str,
        clock: &str,
    ) {
        self.count += 1;
        let now = (self.count, seconds(utc), clock.to_owned());
        let step = self.steps.get(text(body, "step")).cloned();
        let touches = !matches!(
            kind,
            "released/1" | "verified/1" | "verified_answer/1" | "found/1" | "not_applicable/1"
        );
        if let Some(step) = step.filter(|step| touches && step.lets_in) {
            self.energy_in |= step.energy != "returning";
            self.voids(false);
        }
        match kind {
            "done/1" => {
                for point in body
                    .get("locks_on")
                    .and_then(Value::as_object)
                    .into_iter()
                    .flat_map(Map::keys)
                {
                    self.on.insert(point.clone());
                    self.hung_once.insert(point.clone());
                }
                for point in body
                    .get("locks_off")
                    .and_then(Value::as_object)
                    .into_iter()
                    .flat_map(Map::keys)
                {
                    self.on.remove(point);
                    self.hung_once.remove(point);
                    self.voids(false);
                }
            }
            "own_lock/1" => {
                let owner = body["owner"]["id"].as_str().unwrap_or_default().to_owned();
                if body["on"] == true {
                    self.own.insert(owner);
                    self.own_wanted |= body.contains_key("step");
                } else {
                    self.own.remove(&owner);
                    self.own_wanted &= !self.own.is_empty();
                    self.voids(true);
                }
            }
            "lock_off/1" => {
                let point = text(body, "point");
                if let Some(owner) = point.strip_prefix("own:") {
                    self.own.remove(owner);
                } else if point == "own" {
                    self.own.remove(by);
                } else {
                    self.on.remove(point);
                }
                self.voids(true);
            }
            "deviation/1" => {
                // An added act stands in the state of the written step it comes before.
                let energy = self
                    .steps
                    .get(text(body, "before"))
                    .map(|step| step.energy.clone());
                let added = Step {
                    energy: energy.unwrap_or_else(|| "zero".into()),
                    ..Step::default()
                };
                self.steps.insert(text(body, "id").to_owned(), added);
            }
            "lock_on/1" => {
                self.on.insert(text(body, "point").to_owned());
            }
            "paused/1" | "waiting/1" | "stopped/1" | "handed_over/1" => {
                let short = kind == "paused/1" || text(body, "why") == "called away";
                let (since, short) = match &self.paused {
                    Some((since, before, _)) => (*since, short && *before),
                    None => (seconds(utc), short),
                };
                self.paused = Some((since, short, clock.to_owned()));
            }
            "taken_up/1" => {
                let person = body["person"]["id"].as_str().unwrap_or_default().to_owned();
                let pause = self.paused.take();
                let short = text(body, "after") == "pause"
                    && person == self.who
                    && clock != "doubted"
                    && pause.is_some_and(|(at, short, by)| {
                        short
                            && by == clock
                            && (0..=self.look_s + 59).contains(&(seconds(utc) - at))
                    });
                self.who = person;
                if short {
                    self.look_due = Some(self.count);
                } else {
                    self.look_due = None;
                    self.voids(true);
                }
            }
            "looked_again/1" => {
                self.look_due = None;
                if body["clear"] != true {
                    self.voids(true);
                }
            }
            "reading/1" => {
                if let (Some(side), true) = (
                    text(body, "thing").strip_prefix("zero/"),
                    text(body, "outcome") == "ACCEPT",
                ) {
                    self.gauge.insert(side.to_owned(), now.clone());
                }
                // The make-safe readings prove the side they are named after in this procedure.
                let side = match text(body, "thing") {
                    "zero-air" => "actuator air",
                    "zero-upstream" => "upstream",
                    "zero-downstream" => "downstream",
                    _ => "",
                };
                if !side.is_empty() && text(body, "outcome") == "ACCEPT" {
                    self.gauge.insert(side.to_owned(), now);
                }
            }
            "vented/1" if body["clear"] == true => {
                let side = text(body, "side").to_owned();
                let alone = self
                    .steps
                    .get(text(body, "step"))
                    .is_some_and(|step| step.by_vent.contains(&side));
                if alone && body.contains_key("ask") {
                    self.alone.insert(side.clone(), self.count);
                }
                self.vent.insert(side, now);
            }
            "released/1" => {
                self.released = self.count;
                self.wants_release = false;
            }
            _ => {}
        }
        if self.proved_since(self.void) {
            self.energy_in = false;
        }
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
