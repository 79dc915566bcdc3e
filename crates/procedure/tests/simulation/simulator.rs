//! A slow simulator of a rebuild, written apart from the proof and sharing no code with it.
//!
//! It reads the JSON of a procedure as it stands and keeps no state at all: each question ("is this lock on?", "how many
//! pieces are on?") is answered by going through everything that was done before, from the first act. Slow, and so
//! simple that each rule can be read against the sentence in `docs/authoring.md`.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

/// A finding code and the id of the step it is named at; no id where the whole route is meant.
pub(crate) type Fault = (String, String);

/// Codes that one omission brings about at every later act: named at the first of them on a route.
const NAMED_FIRST: [&str; 6] = [
    "opened-before-locked",
    "opened-under-pressure",
    "zero-not-released",
    "own-locks-missing",
    "energy-not-released",
    "hands-on-under-test",
];

/// Every code this simulator knows; the proof is compared on these.
pub(crate) const KNOWN: [&str; 66] = [
    "isolated-twice",
    "locked-twice",
    "locked-before-isolated",
    "lock-not-on",
    "lock-off-early",
    "own-locks-first",
    "restored-under-lock",
    "restored-twice",
    "drain-open",
    "released-too-early",
    "released-twice",
    "proved-too-early",
    "proved-before-release",
    "proved-under-test",
    "read-out-unproved",
    "pressure-falls",
    "lets-in-unsaid",
    "vented-empty",
    "test-without-energy",
    "hands-on-under-test",
    "own-locks-missing",
    "energy-not-released",
    "opened-before-locked",
    "opened-under-pressure",
    "zero-not-released",
    "opened-twice",
    "crack-order",
    "clamped-part-missing",
    "hand-start-twice",
    "lubricant-missing",
    "no-hand-start",
    "tightened-twice",
    "recheck-too-early",
    "part-covered",
    "part-still-clamped",
    "part-not-on",
    "part-never-off",
    "part-fitted-twice",
    "count-differs",
    "single-use-refitted",
    "not-cleaned",
    "hidden-unverified",
    "verified-too-early",
    "verified-hidden",
    "lubricant-late",
    "lubricant-wrong",
    "part-not-on-route",
    "no-window",
    "cover-on-twice",
    "cover-not-on",
    "test-too-early",
    "part-not-refitted",
    "kit-part-not-fitted",
    "joint-not-tightened",
    "not-tested",
    "lock-left-on",
    "point-not-restored",
    "cover-left-on",
    "energy-left-in",
    "own-locks-left-on",
    "no-permission",
    "not-taken-back",
    "pass-order",
    "asks-differ",
    "step-unreachable",
    "own-locks-not-on",
];

/// One thing done: its word, the name it is done to, and the words around it.
struct Done<'a> {
    step: usize,
    word: &'a str,
    name: &'a str,
    of: &'a Value,
}

fn text<'a>(of: &'a Value, member: &str) -> &'a str {
    of[member].as_str().unwrap_or("")
}

fn list<'a>(of: &'a Value, member: &str) -> &'a [Value] {
    of[member].as_array().map_or(&[], Vec::as_slice)
}

fn flag(of: &Value, member: &str) -> bool {
    of[member] == Value::Bool(true)
}

fn count(of: &Value) -> u64 {
    of["count"].as_u64().unwrap_or(1)
}

fn names<'a>(of: &'a Value, member: &str) -> Vec<&'a str> {
    list(of, member).iter().filter_map(Value::as_str).collect()
}

/// A word alone, or an object of one member.
fn word_of(value: &Value) -> (&str, &Value) {
    match value {
        Value::Object(members) => members
            .iter()
            .next()
            .map_or(("", &Value::Null), |(word, of)| (word, of)),
        other => (other.as_str().unwrap_or(""), &Value::Null),
    }
}

fn bar(pressure: &str) -> Option<f64> {
    pressure.split(' ').next()?.parse().ok()
}

fn meets(of: &Value, choice: &BTreeMap<&str, &str>) -> bool {
    of["when"].as_object().is_none_or(|when| {
        when.iter().all(|(option, values)| {
            choice.get(option.as_str()).is_some_and(|chosen| {
                values
                    .as_array()
                    .is_some_and(|values| values.iter().any(|value| value == chosen))
            })
        })
    })
}

/// Every fault on every route.
pub(crate) fn faults(procedure: &Value) -> BTreeSet<Fault> {
    let mut choices: Vec<BTreeMap<&str, &str>> = vec![BTreeMap::new()];
    for option in list(procedure, "options") {
        choices = choices
            .iter()
            .flat_map(|choice| {
                list(option, "values").iter().map(move |value| {
                    let mut choice = choice.clone();
                    choice.insert(text(option, "id"), text(value, "id"));
                    choice
                })
            })
            .collect();
    }
    let mut all = BTreeSet::new();
    for choice in &choices {
        all.extend(Route::new(procedure, choice).walk());
    }
    for joint in list(procedure, "joints") {
        let passes: Vec<f64> = names(joint, "passes").into_iter().filter_map(bar).collect();
        if passes.windows(2).any(|pair| pair[1] <= pair[0]) {
            all.insert(("pass-order".to_owned(), String::new()));
        }
    }
    all
}

struct Route<'a> {
    procedure: &'a Value,
    choice: &'a BTreeMap<&'a str, &'a str>,
    steps: Vec<&'a Value>,
    energies: Vec<&'a str>,
    /// Everything done on the whole route; `now` is how much of it is done.
    done: Vec<Done<'a>>,
    now: usize,
    found: Vec<Fault>,
}

impl<'a> Route<'a> {
    fn new(procedure: &'a Value, choice: &'a BTreeMap<&'a str, &'a str>) -> Self {
        let mut route = Self {
            procedure,
            choice,
            steps: Vec::new(),
            energies: Vec::new(),
            done: Vec::new(),
            now: 0,
            found: Vec::new(),
        };
        for section in list(procedure, "sections") {
            for step in list(section, "steps")
                .iter()
                .filter(|step| meets(step, choice))
            {
                route.steps.push(step);
                route
                    .energies
                    .push(step["energy"].as_str().unwrap_or(text(section, "energy")));
            }
        }
        for (at, step) in route.steps.iter().enumerate() {
            for deed in list(step, "does") {
                let (word, of) = word_of(deed);
                let name = ["part", "chamber"]
                    .iter()
                    .find_map(|member| of[*member].as_str());
                route.done.push(Done {
                    step: at,
                    word,
                    name: name.or(of.as_str()).unwrap_or(""),
                    of,
                });
            }
            for ask in list(step, "asks") {
                let (word, of) = word_of(ask);
                if ["own_locks", "own_locks_off", "orientation"].contains(&word) {
                    route.done.push(Done {
                        step: at,
                        word,
                        name: "",
                        of,
                    });
                }
            }
            route.done.push(Done {
                step: at,
                word: "end of step",
                name: "",
                of: &Value::Null,
            });
        }
        route
    }

    fn say(&mut self, code: &str, step: usize) {
        self.found
            .push((code.to_owned(), text(self.steps[step], "id").to_owned()));
    }

    fn walk(mut self) -> Vec<Fault> {
        let mut tested = false;
        for now in 0..self.done.len() {
            self.now = now;
            let step = self.done[now].step;
            if now == 0 || self.done[now - 1].step != step {
                self.comes_in_unsaid(step);
            }
            for code in self.wrong_with(&self.done[now]) {
                self.say(code, step);
            }
            if self.done[now].word == "test" && !tested {
                tested = true;
                self.now = now + 1;
                self.first_test(step);
            }
        }
        self.now = self.done.len();
        self.left_open();
        self.around();
        let mut named = BTreeSet::new();
        self.found.retain(|(code, _)| {
            !NAMED_FIRST.contains(&code.as_str()) || named.insert(code.clone())
        });
        self.found
    }

    // What stands in the declarations.

    fn declared(&self, member: &str) -> Vec<&'a Value> {
        list(self.procedure, member)
            .iter()
            .filter(|thing| meets(thing, self.choice))
            .collect()
    }

    fn thing(&self, member: &str, name: &str) -> Option<&'a Value> {
        self.declared(member)
            .into_iter()
            .find(|thing| text(thing, "id") == name)
    }

    // What has been done so far.

    fn before(&self) -> &[Done<'a>] {
        &self.done[..self.now]
    }

    /// Whether the last of these words done to a name is one of those that make it so.
    fn last_is(&self, name: &str, makes: &[&str], ends: &[&str], at_first: bool) -> bool {
        self.before()
            .iter()
            .rev()
            .filter(|done| done.name == name)
            .find_map(|done| {
                if makes.contains(&done.word) {
                    Some(true)
                } else {
                    ends.contains(&done.word).then_some(false)
                }
            })
            .unwrap_or(at_first)
    }

    fn isolated(&self, point: &Value) -> bool {
        let makes: &[&str] = if text(point, "kind") == "drain" {
            &["isolate", "lock"]
        } else {
            &["isolate"]
        };
        self.last_is(text(point, "id"), makes, &["restore"], false)
    }

    fn locked(&self, point: &str) -> bool {
        self.last_is(point, &["lock"], &["unlock"], false)
    }

    fn not_locked_out(&self, energy: Option<&str>) -> bool {
        self.declared("points").into_iter().any(|point| {
            text(point, "kind") == "isolating"
                && energy.is_none_or(|energy| text(point, "energy") == energy)
                && !(self.isolated(point)
                    && (point["lock"].is_null() || self.locked(text(point, "id"))))
        })
    }

    /// Chambers with something in, and the highest pressure written since they were empty.
    fn inside(&self) -> BTreeMap<&'a str, Option<f64>> {
        self.inside_then(self.now)
    }

    fn inside_then(&self, then: usize) -> BTreeMap<&'a str, Option<f64>> {
        let mut inside = BTreeMap::new();
        for done in &self.done[..then] {
            match done.word {
                "let_in" => {
                    let pressure = done.of["pressure"].as_str().and_then(bar);
                    let held = inside.entry(done.name).or_insert(None);
                    *held = pressure.or(*held);
                }
                "let_out" => drop(inside.remove(done.name)),
                "test" if self.energies[done.step] == "returning" => inside.clear(),
                _ => {}
            }
        }
        inside
    }

    fn looks_at(step: &Value, side: &str) -> bool {
        list(step, "asks").iter().any(|ask| match word_of(ask) {
            ("zero", _) => true,
            ("vent", of) => text(of, "side") == side,
            ("reading", of) => text(of, "proves") == side,
            _ => false,
        })
    }

    fn proved(&self, side: &str) -> bool {
        self.proved_then(side, self.now)
    }

    fn proved_then(&self, side: &str, then: usize) -> bool {
        let stands = self.done[..then]
            .iter()
            .rev()
            .find_map(|done| match done.word {
                "prove" if done.name == side && Self::looks_at(self.steps[done.step], side) => {
                    Some(true)
                }
                "let_in" | "restore" => Some(false),
                _ => None,
            });
        stands == Some(true)
    }

    fn own_locks(&self) -> bool {
        let last = self
            .before()
            .iter()
            .rev()
            .find(|done| done.word.starts_with("own_locks"));
        last.is_some_and(|done| done.word == "own_locks")
    }

    /// A hold that read out every side, at whose end every side stood proved.
    fn released_zero(&self) -> bool {
        let sides: Vec<&str> = self
            .declared("zero")
            .into_iter()
            .map(|side| text(side, "id"))
            .collect();
        (0..self.now).any(|end| {
            let step = self.steps[self.done[end].step];
            let reads_out = |side: &&str| {
                list(step, "does")
                    .iter()
                    .any(|deed| deed["prove"] == **side)
            };
            self.done[end].word == "end of step"
                && !step["hold"].is_null()
                && !sides.is_empty()
                && sides.iter().all(reads_out)
                && sides.iter().all(|side| self.proved_then(side, end))
        })
    }

    /// Pieces of a part on, taken off so far, and fitted so far.
    fn pieces(&self, part: &Value) -> (u64, u64, u64) {
        let whole = count(part);
        let (mut on, mut off, mut fitted) = (whole, 0, 0);
        for done in self
            .before()
            .iter()
            .filter(|done| done.name == text(part, "id"))
        {
            match done.word {
                "off" => (on, off) = (on.saturating_sub(count(done.of)), off + count(done.of)),
                "on" => (on, fitted) = ((on + count(done.of)).min(whole), fitted + count(done.of)),
                _ => {}
            }
        }
        (on, off, fitted)
    }

    /// Looked at since it was last handled: a verification of it, or the orientation asked where it was fitted.
    fn verified(&self, part: &str) -> bool {
        for done in self.before().iter().rev() {
            match done.word {
                "verify"
                    if done
                        .of
                        .as_array()
                        .is_some_and(|parts| parts.iter().any(|named| named == part)) =>
                {
                    return true;
                }
                "orientation"
                    if list(self.steps[done.step], "does")
                        .iter()
                        .any(|deed| text(&deed["on"], "part") == part) =>
                {
                    return true;
                }
                "on" | "off" if done.name == part => return false,
                _ => {}
            }
        }
        false
    }

    fn cleaned(&self, part: &Value) -> bool {
        let name = text(part, "id");
        for at in (0..self.now).rev() {
            let done = &self.done[at];
            match done.word {
                "off" if done.name == name => return false,
                "clean" => {
                    let named = done.of.as_array().map_or(&[][..], Vec::as_slice);
                    let all_off = named.is_empty() && self.on_then(part, at) == 0;
                    if all_off || named.iter().any(|named| named == name) {
                        return true;
                    }
                }
                _ => {}
            }
        }
        false
    }

    fn on_then(&self, part: &Value, then: usize) -> u64 {
        let whole = count(part);
        let mut on = whole;
        for done in self.done[..then]
            .iter()
            .filter(|done| done.name == text(part, "id"))
        {
            match done.word {
                "off" => on = on.saturating_sub(count(done.of)),
                "on" => on = (on + count(done.of)).min(whole),
                _ => {}
            }
        }
        on
    }

    fn lies_over(&self, part: &Value) -> bool {
        names(part, "under")
            .into_iter()
            .any(|over| match self.thing("parts", over) {
                Some(over) => self.pieces(over).0 > 0,
                None => self.last_is(over, &["cover_on"], &["cover_off"], false),
            })
    }

    // A joint, each question by itself.

    fn slack(&self, joint: &str) -> bool {
        self.slack_then(joint, self.now)
    }

    fn slack_then(&self, joint: &str, then: usize) -> bool {
        let mut done = self.done[..then]
            .iter()
            .rev()
            .filter(|done| done.name == joint);
        done.find(|done| ["slacken", "tighten"].contains(&done.word))
            .is_some_and(|done| done.word == "slacken")
    }

    fn fastened(&self, joint: &str) -> bool {
        self.last_is(joint, &["hand_start", "tighten"], &["unfasten"], true)
    }

    fn hand_started(&self, joint: &str) -> bool {
        self.last_is(joint, &["hand_start"], &["unfasten"], true)
    }

    fn lubricated(&self, joint: &str) -> bool {
        for done in self.before().iter().rev() {
            match done.word {
                "lubricate" if names(done.of, "joints").contains(&joint) => return true,
                "unfasten" if done.name == joint => return false,
                _ => {}
            }
        }
        true
    }

    fn rested(&self, joint: &str) -> bool {
        for at in (0..self.now).rev() {
            let done = &self.done[at];
            match done.word {
                "slacken" | "tighten" if done.name == joint => return false,
                // A rest counts for a joint that was tight then.
                "rest" if !self.slack_then(joint, at) => return true,
                _ => {}
            }
        }
        true
    }

    fn rechecked(&self, joint: &str) -> bool {
        self.last_is(joint, &["recheck"], &["tighten"], true)
    }

    /// Tested since it was last tightened: a test while its chamber held the pressure wanted.
    fn proved_tight(&self, joint: &Value) -> bool {
        let chamber = text(joint, "boundary");
        let wanted = self
            .thing("chambers", chamber)
            .and_then(|chamber| chamber["test"].as_str())
            .and_then(bar);
        for at in (0..self.now).rev() {
            let done = &self.done[at];
            if done.word == "tighten" && done.name == text(joint, "id") {
                return false;
            }
            if done.word == "test" {
                let then = self.inside_then(at);
                let reached = then.get(chamber).is_some_and(|held| {
                    wanted.is_none_or(|wanted| held.is_some_and(|held| held >= wanted))
                });
                if reached {
                    return true;
                }
            }
        }
        true
    }

    // The rules, act by act.

    fn comes_in_unsaid(&mut self, step: usize) {
        let lets_in = list(self.steps[step], "does")
            .iter()
            .any(|deed| !deed["let_in"].is_null());
        if lets_in && self.steps[step]["lets_in"].is_null() && self.inside().is_empty() {
            self.say("lets-in-unsaid", step);
        }
    }

    fn wrong_with(&self, done: &Done<'a>) -> Vec<&'static str> {
        match done.word {
            "isolate" | "lock" | "unlock" | "restore" => self.wrong_at_a_point(done),
            "release" | "prove" => self.wrong_with_zero(done),
            "let_in" | "let_out" | "test" => self.wrong_with_pressure(done),
            "slacken" | "crack" | "unfasten" => self.wrong_opening(done),
            "hand_start" | "tighten" | "recheck" => self.wrong_closing(done),
            "off" | "on" => self.wrong_with_a_part(done),
            "verify" => self.wrong_looks(done),
            "own_locks_off" if !self.own_locks() => vec!["own-locks-not-on"],
            "lubricate" => self.wrong_lubricant(done),
            "cover_on" | "cover_off" => {
                let on = self.last_is(done.name, &["cover_on"], &["cover_off"], false);
                let mut codes = if self.energies[done.step] == "zero" {
                    self.not_hands_on()
                } else {
                    Vec::new()
                };
                match (done.word, on) {
                    ("cover_on", true) => codes.push("cover-on-twice"),
                    ("cover_off", false) => codes.push("cover-not-on"),
                    _ => {}
                }
                codes
            }
            _ => Vec::new(),
        }
    }

    fn wrong_at_a_point(&self, done: &Done<'_>) -> Vec<&'static str> {
        let Some(point) = self.thing("points", done.name) else {
            return Vec::new();
        };
        let (isolating, isolated, locked) = (
            text(point, "kind") == "isolating",
            self.isolated(point),
            self.locked(done.name),
        );
        let energy = self.energies[done.step];
        let let_out = self
            .before()
            .iter()
            .any(|done| done.word == "release" && done.name == text(point, "energy"));
        let drains = || {
            self.declared("points").into_iter().any(|drain| {
                text(drain, "kind") == "drain"
                    && text(drain, "energy") == text(point, "energy")
                    && self.isolated(drain)
            })
        };
        let rules: [(bool, &'static str); 9] = [
            (done.word == "isolate" && isolated, "isolated-twice"),
            (done.word == "lock" && locked, "locked-twice"),
            (
                done.word == "lock" && !isolated && (isolating || !let_out),
                "locked-before-isolated",
            ),
            (done.word == "unlock" && !locked, "lock-not-on"),
            (
                done.word == "unlock" && isolating && ["isolating", "zero"].contains(&energy),
                "lock-off-early",
            ),
            (
                done.word == "unlock"
                    && isolating
                    && ["test", "returning"].contains(&energy)
                    && self.own_locks(),
                "own-locks-first",
            ),
            (done.word == "restore" && locked, "restored-under-lock"),
            (done.word == "restore" && !isolated, "restored-twice"),
            (
                done.word == "restore" && isolating && drains(),
                "drain-open",
            ),
        ];
        rules
            .into_iter()
            .filter_map(|(wrong, code)| wrong.then_some(code))
            .collect()
    }

    fn wrong_with_zero(&self, done: &Done<'_>) -> Vec<&'static str> {
        let released = |energy: &str| {
            self.before()
                .iter()
                .any(|done| done.word == "release" && done.name == energy)
        };
        if done.word == "release" {
            let rules = [
                (self.not_locked_out(Some(done.name)), "released-too-early"),
                (released(done.name), "released-twice"),
            ];
            return rules
                .into_iter()
                .filter_map(|(wrong, code)| wrong.then_some(code))
                .collect();
        }
        let Some(side) = self.thing("zero", done.name) else {
            return Vec::new();
        };
        if !Self::looks_at(self.steps[done.step], done.name) {
            return if self.proved(done.name) {
                Vec::new()
            } else {
                vec!["read-out-unproved"]
            };
        }
        let energy = text(side, "energy");
        let rules = [
            (self.not_locked_out(Some(energy)), "proved-too-early"),
            (
                self.thing("energies", energy).is_some() && !released(energy),
                "proved-before-release",
            ),
            (!self.inside().is_empty(), "proved-under-test"),
        ];
        rules
            .into_iter()
            .filter_map(|(wrong, code)| wrong.then_some(code))
            .collect()
    }

    fn wrong_with_pressure(&self, done: &Done<'_>) -> Vec<&'static str> {
        let inside = self.inside();
        match done.word {
            "let_in" => {
                let held = inside.get(done.name).copied().flatten();
                let now = done.of["pressure"].as_str().and_then(bar);
                match (held, now) {
                    (Some(held), Some(now)) if now < held => vec!["pressure-falls"],
                    _ => Vec::new(),
                }
            }
            "let_out" if !inside.contains_key(done.name) => vec!["vented-empty"],
            "test" if inside.is_empty() => vec!["test-without-energy"],
            _ => Vec::new(),
        }
    }

    fn not_hands_on(&self) -> Vec<&'static str> {
        let unread = |energy: &Value| {
            let of = |thing: &&Value| text(thing, "energy") == text(energy, "id");
            let drains = self
                .declared("points")
                .into_iter()
                .filter(|point| text(point, "kind") == "drain");
            drains.into_iter().any(|point| of(&point))
                && !self.declared("zero").into_iter().any(|side| of(&side))
        };
        let stored = self.declared("energies").into_iter().any(|energy| {
            (["spring", "trapped", "gravity", "heat"].contains(&text(energy, "kind"))
                || unread(energy))
                && !self
                    .before()
                    .iter()
                    .any(|done| done.word == "release" && done.name == text(energy, "id"))
        });
        let rules = [
            (!self.inside().is_empty(), "hands-on-under-test"),
            (!self.own_locks(), "own-locks-missing"),
            (stored, "energy-not-released"),
        ];
        rules
            .into_iter()
            .filter_map(|(wrong, code)| wrong.then_some(code))
            .collect()
    }

    fn not_to_be_opened(&self) -> Vec<&'static str> {
        let mut codes = Vec::new();
        if self.not_locked_out(None) {
            codes.push("opened-before-locked");
        }
        if !self.released_zero() {
            let all = self
                .declared("zero")
                .into_iter()
                .all(|side| self.proved(text(side, "id")));
            codes.push(if all {
                "zero-not-released"
            } else {
                "opened-under-pressure"
            });
        }
        codes
    }

    fn wrong_opening(&self, done: &Done<'_>) -> Vec<&'static str> {
        let Some(joint) = self.thing("joints", done.name) else {
            return vec!["no-window"];
        };
        let mut codes = Vec::new();
        if !flag(joint, "setting") {
            codes.extend(self.not_hands_on());
            codes.extend(self.not_to_be_opened());
        }
        let (slack, fastened) = (self.slack(done.name), self.fastened(done.name));
        let cracked = self.last_is(done.name, &["crack"], &["tighten"], false);
        let many = joint["fasteners"].as_u64().unwrap_or(0) >= 4 && !joint["boundary"].is_null();
        let rules = [
            (done.word == "slacken" && slack, "opened-twice"),
            (
                done.word == "crack" && (!slack || !fastened || cracked),
                "crack-order",
            ),
            (done.word == "unfasten" && !fastened, "opened-twice"),
            (
                done.word == "unfasten" && (!slack || many && !cracked),
                "crack-order",
            ),
        ];
        codes.extend(
            rules
                .into_iter()
                .filter_map(|(wrong, code)| wrong.then_some(code)),
        );
        codes
    }

    fn wrong_closing(&self, done: &Done<'_>) -> Vec<&'static str> {
        let Some(joint) = self.thing("joints", done.name) else {
            return vec!["no-window"];
        };
        let mut codes = if flag(joint, "setting") {
            Vec::new()
        } else {
            self.not_hands_on()
        };
        let missing = names(joint, "clamps")
            .into_iter()
            .filter_map(|part| self.thing("parts", part))
            .any(|part| self.pieces(part).0 < count(part));
        let rules = [
            (missing, "clamped-part-missing"),
            (
                done.word == "hand_start" && self.fastened(done.name),
                "hand-start-twice",
            ),
            (
                done.word == "hand_start"
                    && !joint["lubricant"].is_null()
                    && !self.lubricated(done.name),
                "lubricant-missing",
            ),
            (
                done.word == "tighten" && !self.hand_started(done.name),
                "no-hand-start",
            ),
            (
                done.word == "tighten" && !self.slack(done.name),
                "tightened-twice",
            ),
            (
                done.word == "recheck" && (self.slack(done.name) || !self.rested(done.name)),
                "recheck-too-early",
            ),
        ];
        codes.extend(
            rules
                .into_iter()
                .filter_map(|(wrong, code)| wrong.then_some(code)),
        );
        codes
    }

    fn wrong_with_a_part(&self, done: &Done<'_>) -> Vec<&'static str> {
        let Some(part) = self.thing("parts", done.name) else {
            return vec!["part-not-on-route"];
        };
        let mut codes = Vec::new();
        if !flag(part, "long_tool") {
            codes.extend(self.not_hands_on());
            if done.word == "off" {
                codes.extend(self.not_to_be_opened());
            }
        }
        let (on, off, _) = self.pieces(part);
        let (pieces, whole) = (count(done.of), count(part));
        let clamped = self.declared("joints").into_iter().any(|joint| {
            let name = text(joint, "id");
            names(joint, "clamps").contains(&done.name)
                && match (text(joint, "pattern") == "single", done.word) {
                    (true, "off") => !self.slack(name),
                    (true, _) => false,
                    (false, _) => self.fastened(name),
                }
        });
        let hides = done.word == "on"
            && self.declared("parts").into_iter().any(|hidden| {
                (flag(hidden, "from_kit") || flag(hidden, "oriented"))
                    && names(hidden, "under").contains(&done.name)
                    && self.pieces(hidden).2 > 0
                    && !self.verified(text(hidden, "id"))
            });
        let fits = done.word == "on";
        let rules = [
            (self.lies_over(part), "part-covered"),
            (clamped, "part-still-clamped"),
            (hides, "hidden-unverified"),
            (!fits && pieces > on, "part-not-on"),
            (fits && off == 0, "part-never-off"),
            (fits && off > 0 && on == whole, "part-fitted-twice"),
            (
                fits && off > 0 && on < whole && on + pieces > whole,
                "count-differs",
            ),
            (
                fits && flag(part, "single_use") && !flag(part, "from_kit"),
                "single-use-refitted",
            ),
            (
                fits && !flag(part, "single_use") && off > 0 && !self.cleaned(part),
                "not-cleaned",
            ),
        ];
        codes.extend(
            rules
                .into_iter()
                .filter_map(|(wrong, code)| wrong.then_some(code)),
        );
        codes
    }

    fn wrong_looks(&self, done: &Done<'_>) -> Vec<&'static str> {
        let mut codes = Vec::new();
        for name in done
            .of
            .as_array()
            .map_or(&[][..], Vec::as_slice)
            .iter()
            .filter_map(Value::as_str)
        {
            match self.thing("parts", name) {
                None => codes.push("part-not-on-route"),
                Some(part) => {
                    if self.pieces(part).0 < count(part) {
                        codes.push("verified-too-early");
                    }
                    if self.lies_over(part) {
                        codes.push("verified-hidden");
                    }
                }
            }
        }
        codes
    }

    fn wrong_lubricant(&self, done: &Done<'_>) -> Vec<&'static str> {
        let with = text(done.of, "with");
        let never = list(self.procedure, "consumables")
            .iter()
            .find(|item| text(item, "id") == with)
            .map_or(Vec::new(), |item| names(item, "never_on"));
        let mut codes = Vec::new();
        for name in names(done.of, "parts") {
            match self.thing("parts", name) {
                None => codes.push("part-not-on-route"),
                Some(part) => {
                    if self.pieces(part).0 > 0 {
                        codes.push("lubricant-late");
                    }
                    if never.contains(&text(part, "elastomer")) {
                        codes.push("lubricant-wrong");
                    }
                }
            }
        }
        for name in names(done.of, "joints") {
            match self.thing("joints", name) {
                None => codes.push("no-window"),
                Some(joint) => {
                    if self.fastened(name) {
                        codes.push("lubricant-late");
                    }
                    if text(joint, "lubricant") != with {
                        codes.push("lubricant-wrong");
                    }
                }
            }
        }
        codes
    }

    // The rules that look at the whole.

    fn first_test(&mut self, step: usize) {
        let loose = self.declared("joints").into_iter().any(|joint| {
            let name = text(joint, "id");
            let slack = self.slack(name);
            slack && !flag(joint, "setting") && !flag(joint, "after_test")
                || !joint["recheck_after"].is_null() && !self.rechecked(name) && !slack
        });
        let out = self
            .declared("parts")
            .into_iter()
            .any(|part| self.pieces(part).0 < count(part) && !flag(part, "after_test"));
        let later = self.steps[step + 1..].iter().any(|step| {
            let deeds = list(step, "does")
                .iter()
                .any(|deed| ["rest", "recheck", "verify"].contains(&word_of(deed).0));
            deeds
                || list(step, "asks")
                    .iter()
                    .any(|ask| ["balance", "decisions"].contains(&word_of(ask).0))
        });
        if loose || out || later {
            self.say("test-too-early", step);
        }
    }

    /// The step that last did one of these to a name, or the last step of all.
    fn opened_at(&self, name: &str, words: &[&str]) -> usize {
        let opened = self
            .done
            .iter()
            .rev()
            .find(|done| done.name == name && words.contains(&done.word));
        opened.map_or(self.steps.len().saturating_sub(1), |done| done.step)
    }

    fn left_open(&mut self) {
        let mut left: Vec<(&str, usize)> = Vec::new();
        for part in self.declared("parts") {
            let (on, off, fitted) = self.pieces(part);
            let step = self.opened_at(text(part, "id"), &["off"]);
            if on == 0 && off > 0 {
                left.push(("part-not-refitted", step));
            } else if on < count(part) || flag(part, "single_use") && off > 0 && fitted < off {
                left.push(("count-differs", step));
            }
            if flag(part, "from_kit") && fitted < count(part) {
                left.push(("kit-part-not-fitted", step));
            }
        }
        for joint in self.declared("joints") {
            let name = text(joint, "id");
            let step = self.opened_at(name, &["slacken", "crack", "unfasten"]);
            if self.slack(name) {
                left.push(("joint-not-tightened", step));
            } else if !joint["boundary"].is_null() && !self.proved_tight(joint) {
                left.push(("not-tested", step));
            }
        }
        for point in self.declared("points") {
            let name = text(point, "id");
            if self.locked(name) {
                left.push(("lock-left-on", self.opened_at(name, &["lock"])));
            } else if self.isolated(point) {
                left.push(("point-not-restored", self.opened_at(name, &["isolate"])));
            }
        }
        for cover in self.declared("covers") {
            let name = text(cover, "id");
            if self.last_is(name, &["cover_on"], &["cover_off"], false) {
                left.push(("cover-left-on", self.opened_at(name, &["cover_on"])));
            }
        }
        for chamber in self.inside().keys() {
            left.push(("energy-left-in", self.opened_at(chamber, &["let_in"])));
        }
        for (code, step) in left {
            self.say(code, step);
        }
        if self.own_locks() {
            self.found
                .push(("own-locks-left-on".to_owned(), String::new()));
        }
    }

    /// What stands around the work: permission, taking back, signatures, and asks that match deeds.
    fn around(&mut self) {
        let with = |word: &str, step: &&Value| {
            list(step, "does")
                .iter()
                .any(|deed| word_of(deed).0 == word)
        };
        let operations: Vec<usize> = (0..self.steps.len())
            .filter(|at| self.steps[*at]["hold"] == "operations")
            .collect();
        if let Some(first) = self.steps.iter().position(|step| with("isolate", step))
            && !operations.iter().any(|hold| *hold <= first)
        {
            self.say("no-permission", first);
        }
        if let Some(last) = self.steps.iter().rposition(|step| with("restore", step))
            && !operations.iter().any(|hold| *hold >= last)
        {
            self.say("not-taken-back", last);
        }
        let signs = self
            .steps
            .iter()
            .position(|step| list(step, "asks").iter().any(|ask| ask == "sign"));
        if let Some(signs) = signs.filter(|signs| signs + 1 < self.steps.len()) {
            self.say("step-unreachable", signs + 1);
        }
        for at in 0..self.steps.len() {
            let step = self.steps[at];
            let pairs = |member: &str| -> BTreeSet<(&str, &str)> {
                let of_member = list(step, member).iter().map(word_of);
                of_member
                    .filter(|(word, _)| ["tighten", "recheck", "rest"].contains(word))
                    .map(|(word, of)| (word, of.as_str().unwrap_or(text(of, "joint"))))
                    .collect()
            };
            let unseen = list(step, "does")
                .iter()
                .filter_map(|deed| deed["prove"].as_str())
                .any(|side| step["hold"].is_null() && !Self::looks_at(step, side));
            if pairs("asks") != pairs("does") || unseen {
                self.say("asks-differ", at);
            }
        }
    }
}
