//! How the model takes an entry in.

use serde_json::{Map, Value};

use super::{Model, Permit, Step, TOUCH_NOTHING, seconds, text};

impl Model {
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
        let step = self.steps.get(text(body, "step")).cloned();
        self.takes_clearing(kind, body, step.as_ref(), utc, clock);
        let touches = !TOUCH_NOTHING.contains(&kind);
        self.takes_relief(kind, body);
        self.notes_taken_back(kind, body);
        if let Some(step) = step.filter(|step| touches && step.lets_in) {
            self.fills_again(step.place);
            self.energy_in |= step.energy != "returning";
            self.voids(false);
        }
        match kind {
            "done/1" => self.takes_act(body),
            "deviation/1" => self.takes_added(body),
            _ => {}
        }
        self.takes_locks(kind, body, by);
        self.takes_pauses(kind, body, utc, clock);
        self.takes_proofs(kind, body, utc, clock);
        if self.proved_since(self.void) {
            self.energy_in = false;
        }
    }

    /// Locks that a written act hung or took off.
    fn takes_act(&mut self, body: &Map<String, Value>) {
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

    /// An added act is work with the hands at zero, whatever the written step it comes before.
    fn takes_added(&mut self, body: &Map<String, Value>) {
        let before = self.steps.get(text(body, "before"));
        let added = Step {
            energy: "zero".into(),
            place: before.map_or(0, |step| step.place),
            ..Step::default()
        };
        self.steps.insert(text(body, "id").to_owned(), added);
    }

    /// Locks on and off beside the written acts.
    fn takes_locks(&mut self, kind: &str, body: &Map<String, Value>, by: &str) {
        match kind {
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
            "lock_on/1" => {
                // Hung back by hand on a point that a test had freed: shut and locked, it lets nothing in.
                let point = text(body, "point");
                self.live.remove(point);
                self.on.insert(point.to_owned());
            }
            _ => {}
        }
    }

    /// Pauses, and who takes the work up after them.
    fn takes_pauses(&mut self, kind: &str, body: &Map<String, Value>, utc: &str, clock: &str) {
        match kind {
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
            _ => {}
        }
    }

    /// What proves a side, and the release.
    fn takes_proofs(&mut self, kind: &str, body: &Map<String, Value>, utc: &str, clock: &str) {
        let now = (self.count, seconds(utc), clock.to_owned());
        match kind {
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
        // Parts of a check asked as a gate touch nothing.
        let gate = !body.contains_key("ask")
            && (kind == "vented/1"
                || (kind == "reading/1" && text(body, "thing").starts_with("zero/")));
        let left_alone = TOUCH_NOTHING.contains(&kind) || gate;
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
}
