//! A small model of lockout, written apart from the program: it reads entries as JSON and the procedure's own text, and
//! says whether hands-on work may be done. It knows nothing of the engine's types and asks it nothing.
//!
//! Its rules: before hands go in, every isolating lock that was ever hung is on, every worker who acts has a lock of his own on
//! the box, zero was proved since, no energy is in, and no permit has ended; before plant energy comes in, tools are counted
//! out, people are clear, and no own lock is on.

#![allow(unreachable_pub)] // shared by the tests that include it

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value};

mod late;

/// What the model knows of a step, taken from the procedure's JSON alone.
#[derive(Clone, Default)]
pub struct Step {
    pub safer: bool,
    pub energy: String,
    pub lets_in: bool,
    pub check: bool,
    /// Sides that this check proves by the vent alone.
    pub by_vent: Vec<String>,
    /// Sides proved by a reading of this step, by what is read.
    pub proves: Vec<(String, String)>,
    /// Isolating points that the step frees.
    pub frees: Vec<String>,
    /// Opens an isolating point or lets energy in.
    pub opens: bool,
    /// Says that tools, or people, are clear.
    pub clears: (bool, bool),
    /// Asks that count or wait and touch nothing: tools, parts, a rest.
    pub quiet: bool,
    /// Takes own locks off.
    pub own_off: bool,
    /// Operations take the unit back with it.
    pub hands_back: bool,
    /// Asks for the count of tools, by its place in the step.
    pub tools: Option<u64>,
    /// How many answers it asks for.
    pub asks: u64,
}

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
        let isolating: BTreeSet<String> = procedure["points"]
            .as_array()
            .into_iter()
            .flatten()
            .filter(|point| point["kind"] == "isolating")
            .filter_map(|point| point["id"].as_str().map(str::to_owned))
            .collect();
        let sections = procedure["sections"].as_array().into_iter().flatten();
        for section in sections {
            // The state a step without one stands in is that of its section (procedure format, by the section's place).
            let by_section = match section["energy"].as_str() {
                Some(energy) => energy,
                None => match section["id"].as_str().unwrap_or_default() {
                    "identify" | "as-found" => "running",
                    "make-safe" => "isolating",
                    "test" => "test",
                    "return" => "returning",
                    _ => "zero",
                },
            };
            for step in section["steps"].as_array().into_iter().flatten() {
                let asks: Vec<String> = step["asks"]
                    .as_array()
                    .into_iter()
                    .flatten()
                    .map(ToString::to_string)
                    .collect();
                let does: Vec<&Value> = step["does"].as_array().into_iter().flatten().collect();
                let asked: Vec<&Value> = step["asks"].as_array().into_iter().flatten().collect();
                let freed = |member: &str| -> Vec<String> {
                    does.iter()
                        .filter_map(|deed| deed[member].as_str())
                        .filter(|point| isolating.contains(*point))
                        .map(str::to_owned)
                        .collect()
                };
                let known = Step {
                    frees: freed("unlock"),
                    opens: !freed("restore").is_empty()
                        || step["lets_in"].is_string()
                        || does.iter().any(|deed| deed["let_in"].is_object()),
                    clears: (
                        does.iter().any(|deed| *deed == "tools_clear"),
                        does.iter().any(|deed| *deed == "people_clear"),
                    ),
                    quiet: asked.iter().any(|ask| {
                        *ask == "tools_out" || *ask == "balance" || ask["rest"].is_object()
                    }),
                    hands_back: step["hold"] == "operations",
                    own_off: asked.iter().any(|ask| *ask == "own_locks_off"),
                    tools: asked
                        .iter()
                        .position(|ask| *ask == "tools_out")
                        .map(|at| at as u64),
                    asks: asked.len() as u64,
                    proves: asked
                        .iter()
                        .filter_map(|ask| {
                            let reading = &ask["reading"];
                            Some((
                                reading["id"].as_str()?.to_owned(),
                                reading["proves"].as_str()?.to_owned(),
                            ))
                        })
                        .collect(),
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
        let tests_without_own = steps
            .values()
            .any(|step| step.energy == "test" && step.own_off);
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
        if let Some(why) = step.and_then(|step| self.lets_in_too_early(step, acts, kind)) {
            return Some(why);
        }
        if let Some(why) =
            step.and_then(|step| self.returned_without_a_permit(step, kind, utc, clock))
        {
            return Some(why);
        }
        if let Some(why) = step.and_then(|step| self.verified_without_a_lock(step, kind, body)) {
            return Some(why);
        }
        let step = step.filter(|_| acts)?;
        if step.safer || step.check || !matches!(step.energy.as_str(), "zero" | "test") {
            return None;
        }
        if self.paused.is_some() {
            return Some("paused".into());
        }
        // In a test the points it frees may be off; which of its steps is due the model does not know.
        let freed = |point: &str| {
            self.steps
                .values()
                .any(|known| known.energy == "test" && known.frees.iter().any(|free| free == point))
        };
        let mut off = self.hung_once.difference(&self.on);
        if let Some(point) = off.find(|point| step.energy == "zero" || !freed(point)) {
            return Some(format!("lock of {point} is off"));
        }
        // A test by plant energy takes own locks off; which of its steps is due the model does not know.
        let tested_without = step.energy == "test" && self.tests_without_own;
        if self.own_wanted && !tested_without && !self.own.contains(&self.who) {
            return Some("no own lock".into());
        }
        if let Some(what) = self.permit_ended(utc, clock) {
            return Some(format!("{what} has ended"));
        }
        if step.energy == "test" {
            return None;
        }
        if let Some(point) = self.ever.difference(&self.on).next() {
            return Some(format!("lock of {point} is off, whoever wrote it off"));
        }
        if self.own_ever && !self.own.contains(&self.who) {
            return Some("no own lock with the hands inside".into());
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

    /// Plant energy let in while somebody or something is in its way.
    fn lets_in_too_early(&self, step: &Step, acts: bool, kind: &str) -> Option<String> {
        let energizes = match step.energy.as_str() {
            "test" => !step.frees.is_empty() || (step.opens && !self.live.is_empty()),
            "returning" => !step.frees.is_empty() || step.opens,
            _ => false,
        };
        if !energizes || step.safer || !(acts || kind == "rest_begun/1") {
            return None;
        }
        if !self.own.is_empty() {
            return Some("energy let in with an own lock on".into());
        }
        if !self.tools_clear {
            return Some("energy let in, tools not counted out".into());
        }
        (!self.people_clear).then(|| "energy let in, people not clear".into())
    }

    /// An act at the unit in the return, before operations have it back, under a permit that has ended.
    fn returned_without_a_permit(
        &self,
        step: &Step,
        kind: &str,
        utc: &str,
        clock: &str,
    ) -> Option<String> {
        let clears = step.clears.0 || step.clears.1;
        if kind != "done/1" || step.energy != "returning" || step.safer || clears || self.back {
            return None;
        }
        let what = self.permit_ended(utc, clock)?;
        Some(format!("{what} has ended, and the unit is not returned"))
    }

    /// A verifier at the locked-out unit without a lock of his own.
    fn verified_without_a_lock(
        &self,
        step: &Step,
        kind: &str,
        body: &Map<String, Value>,
    ) -> Option<String> {
        let wanted = match step.energy.as_str() {
            "zero" => self.own_ever,
            "test" => self.own_wanted && !self.tests_without_own,
            _ => false,
        };
        if !wanted {
            return None;
        }
        match kind {
            "verified/1" => {
                let person = body["person"]["id"].as_str().unwrap_or_default();
                (!self.own.contains(person)).then(|| "verifier without an own lock".into())
            }
            "verified_answer/1" => (self.own.iter().filter(|own| **own != self.who).count() == 0)
                .then(|| "nobody but the performer has an own lock".into()),
            _ => None,
        }
    }

    /// The paper that has ended, or of which nobody can say that it has not.
    fn permit_ended(&self, utc: &str, clock: &str) -> Option<String> {
        let now = seconds(utc);
        let ended = |permit: &Permit| match (permit.ends, clock) {
            (Some(ends), "trusted" | "given") => ends <= now,
            _ => permit.word.as_ref().is_none_or(|(at, valid, by)| {
                !valid || by != clock || !(0..=30 * 60 + 59).contains(&(now - at))
            }),
        };
        self.permits
            .iter()
            .find(|(_, permit)| ended(permit))
            .map(|(what, _)| what.clone())
    }

    /// What an entry says of tools, people, permits and freed points.
    fn takes_clearing(
        &mut self,
        kind: &str,
        body: &Map<String, Value>,
        step: Option<&Step>,
        utc: &str,
        clock: &str,
    ) {
        let permit = |said: &Value| Permit {
            ends: said["ends"].as_str().map(seconds),
            word: None,
        };
        match kind {
            "wrote/1" | "permit/1" => {
                if let Some(said) = body.get("permit").filter(|said| said.is_object()) {
                    let what = said["what"].as_str().unwrap_or_default().to_owned();
                    self.permits.insert(what, permit(said));
                }
            }
            "permit_seen/1" => {
                if let Some(permit) = self.permits.get_mut(text(body, "what")) {
                    permit.word = Some((seconds(utc), body["valid"] == true, clock.to_owned()));
                }
            }
            "cleared/1" => {
                let clear = body["clear"] == true;
                match text(body, "what") {
                    "tools" => self.tools_clear = clear,
                    _ => self.people_clear = clear,
                }
            }
            "taken_up/1" => {
                for permit in self.permits.values_mut() {
                    permit.word = permit.word.take().filter(|(_, valid, _)| !valid);
                }
            }
            _ => {}
        }
        let Some(step) = step else { return };
        let left_alone =
            matches!(
                kind,
                "released/1"
                    | "verified/1"
                    | "verified_answer/1"
                    | "found/1"
                    | "not_applicable/1"
                    | "cleared/1"
                    | "permit/1"
                    | "permit_seen/1"
            ) || (matches!(kind, "vented/1" | "reading/1") && !body.contains_key("ask") && {
                // Parts of a check asked as a gate touch nothing.
                kind == "vented/1" || text(body, "thing").starts_with("zero/")
            });
        if step.energy == "zero" && !step.check && !step.quiet && !left_alone {
            self.tools_clear = false;
            self.people_clear = false;
        }
        if kind == "counted/1" && step.tools == body["ask"].as_u64() && body["counted"] == 0 {
            self.tools_clear |= step.tools.is_some();
        }
        let last = body
            .get("ask")
            .and_then(Value::as_u64)
            .map_or(0, |ask| ask + 1);
        if matches!(kind, "done/1" | "answered/1" | "rest_over/1") && last >= step.asks {
            self.tools_clear |= step.clears.0;
            self.people_clear |= step.clears.1;
        }
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
        self.takes_clearing(kind, body, step.as_ref(), utc, clock);
        let touches = !matches!(
            kind,
            "released/1"
                | "verified/1"
                | "verified_answer/1"
                | "found/1"
                | "not_applicable/1"
                | "cleared/1"
                | "permit/1"
                | "permit_seen/1"
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
                    self.live.remove(point);
                    if self.isolating.contains(point) {
                        self.ever.insert(point.clone());
                    }
                }
                for point in body
                    .get("locks_off")
                    .and_then(Value::as_object)
                    .into_iter()
                    .flat_map(Map::keys)
                {
                    self.on.remove(point);
                    self.hung_once.remove(point);
                    let test = self
                        .steps
                        .get(text(body, "step"))
                        .is_some_and(|step| step.energy == "test");
                    if test && self.isolating.contains(point) {
                        self.live.insert(point.clone());
                    }
                    // A lock that held a source back came off: what was proved before is proved and released anew.
                    let source = self.isolating.contains(point);
                    self.voids(source);
                }
            }
            "own_lock/1" => {
                let owner = body["owner"]["id"].as_str().unwrap_or_default().to_owned();
                if body["on"] == true {
                    self.own.insert(owner);
                    self.own_wanted |= body.contains_key("step");
                    self.own_ever |= body.contains_key("step");
                    self.people_clear = false;
                } else {
                    self.own.remove(&owner);
                    self.own_wanted &= !(self.own.is_empty() && body.contains_key("step"));
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
                    self.people_clear = false;
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
                // A reading of making safe proves the side its step names.
                let side = self.steps.get(text(body, "step")).and_then(|step| {
                    let (_, side) = step
                        .proves
                        .iter()
                        .find(|(id, _)| id == text(body, "thing"))?;
                    Some(side.clone())
                });
                if let Some(side) = side.filter(|_| text(body, "outcome") == "ACCEPT") {
                    self.gauge.insert(side, now);
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
                let step = self.steps.get(text(body, "step"));
                self.back |= step.is_some_and(|step| step.hands_back && step.energy == "returning");
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
