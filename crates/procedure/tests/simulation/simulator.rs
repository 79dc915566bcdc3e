//! A slow simulator of a rebuild, written apart from the proof and sharing no code with it.
//!
//! It reads the JSON of a procedure as it stands and keeps no state at all: each question ("is this lock on?", "how many
//! pieces are on?") is answered by going through everything that was done before, from the first act. Slow, and so
//! simple that each rule can be read against the sentence in `docs/authoring.md`.

mod json;
mod so_far;
mod whole;
mod wrong;

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use json::{bar, list, meets, names, text, word_of};

/// A finding code and the id of the step it is named at; no id where the whole route is meant.
pub(crate) type Fault = (String, String);

/// Codes that one omission brings about at every later act: named at the first of them on a route.
const NAMED_FIRST: [&str; 8] = [
    "own-locks-first",
    "drain-shut",
    "opened-before-locked",
    "opened-under-pressure",
    "zero-not-released",
    "own-locks-missing",
    "energy-not-released",
    "hands-on-under-test",
];

/// Every code this simulator knows; the proof is compared on these.
pub(crate) const KNOWN: [&str; 69] = [
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
    "refill-not-watched",
    "read-out-unproved",
    "pressure-falls",
    "lets-in-unsaid",
    "vented-empty",
    "test-without-energy",
    "hands-on-under-test",
    "own-locks-missing",
    "energy-not-released",
    "opened-before-locked",
    "drain-shut",
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
    "not-inspected",
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
                if ["own_locks", "own_locks_off", "orientation", "wait"].contains(&word) {
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

    /// Joints or parts handled here that this route does not have; each is named at its first step alone.
    fn not_there(&self, done: &Done<'a>, code: &str) -> Vec<&'a str> {
        let (member, list) = match code {
            "no-window" => ("joints", "joints"),
            "part-not-on-route" => ("parts", "parts"),
            _ => return Vec::new(),
        };
        let of: &'a Value = done.of;
        let handled = match done.word {
            "lubricate" => names(of, list),
            "verify" | "inspect" => {
                let parts = of.as_array().map_or(&[][..], Vec::as_slice);
                parts.iter().filter_map(Value::as_str).collect()
            }
            _ => vec![done.name],
        };
        handled
            .into_iter()
            .filter(|name| self.thing(member, name).is_none())
            .collect()
    }

    fn walk(mut self) -> Vec<Fault> {
        let mut tested = false;
        let mut lacking = BTreeSet::new();
        for now in 0..self.done.len() {
            self.now = now;
            let step = self.done[now].step;
            if now == 0 || self.done[now - 1].step != step {
                self.comes_in_unsaid(step);
            }
            for code in self.wrong_with(&self.done[now]) {
                let names = self.not_there(&self.done[now], code);
                let new = names.iter().filter(|name| lacking.insert((code, **name)));
                if names.is_empty() || new.count() > 0 {
                    self.say(code, step);
                }
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
}
