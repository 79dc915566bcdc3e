//! The rules, act by act.

use serde_json::Value;

use super::json::{bar, count, flag, list, names, text};
use super::{Done, Route};

impl<'a> Route<'a> {
    pub(super) fn comes_in_unsaid(&mut self, step: usize) {
        let lets_in = list(self.steps[step], "does")
            .iter()
            .any(|deed| !deed["let_in"].is_null());
        if lets_in && self.steps[step]["lets_in"].is_null() && self.inside().is_empty() {
            self.say("lets-in-unsaid", step);
        }
    }

    pub(super) fn wrong_with(&self, done: &Done<'a>) -> Vec<&'static str> {
        match done.word {
            "isolate" | "lock" | "unlock" | "restore" => self.wrong_at_a_point(done),
            "release" | "prove" => self.wrong_with_zero(done),
            "let_in" | "let_out" | "test" => self.wrong_with_pressure(done),
            "slacken" | "crack" | "unfasten" => self.wrong_opening(done),
            "hand_start" | "tighten" | "recheck" => self.wrong_closing(done),
            "off" | "on" => self.wrong_with_a_part(done),
            "verify" => self.wrong_looks(done),
            "inspect" => {
                let parts = done.of.as_array().map_or(&[][..], Vec::as_slice);
                let named = parts.iter().filter_map(Value::as_str);
                let out = named.filter(|name| self.thing("parts", name).is_none());
                out.map(|_| "part-not-on-route").collect()
            }
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

    pub(super) fn wrong_at_a_point(&self, done: &Done<'_>) -> Vec<&'static str> {
        let Some(point) = self.thing("points", done.name) else {
            return Vec::new();
        };
        let (isolating, isolated, locked) = (
            text(point, "kind") == "isolating",
            self.isolated(point),
            self.locked(done.name),
        );
        let energy = self.energies[done.step];
        let drains = || {
            self.declared("points").into_iter().any(|drain| {
                text(drain, "kind") == "drain"
                    && text(drain, "energy") == text(point, "energy")
                    && self.isolated(drain)
            })
        };
        let refill = done.word == "isolate"
            && energy == "isolating"
            && self.shut_at(point).is_some()
            && self.a_side_behind_is_unread(done.name);
        let rules: [(bool, &'static str); 10] = [
            (refill, "refill-not-watched"),
            (done.word == "isolate" && isolated, "isolated-twice"),
            (done.word == "lock" && locked, "locked-twice"),
            (done.word == "lock" && !isolated, "locked-before-isolated"),
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

    pub(super) fn wrong_with_zero(&self, done: &Done<'_>) -> Vec<&'static str> {
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
            let read_out = !self.steps[done.step]["hold"].is_null();
            return if read_out && !self.proved(done.name) {
                vec!["read-out-unproved"]
            } else {
                Vec::new()
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
            (
                self.energies[done.step] == "isolating" && self.shut_with_no_wait(done.name),
                "refill-not-watched",
            ),
        ];
        rules
            .into_iter()
            .filter_map(|(wrong, code)| wrong.then_some(code))
            .collect()
    }

    pub(super) fn wrong_with_pressure(&self, done: &Done<'_>) -> Vec<&'static str> {
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

    pub(super) fn not_hands_on(&self) -> Vec<&'static str> {
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

    pub(super) fn not_to_be_opened(&self) -> Vec<&'static str> {
        let mut codes = Vec::new();
        if self.not_locked_out(None) {
            codes.push("opened-before-locked");
        }
        if self.a_drain_is_shut_again() {
            codes.push("drain-shut");
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

    pub(super) fn wrong_opening(&self, done: &Done<'_>) -> Vec<&'static str> {
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

    pub(super) fn wrong_closing(&self, done: &Done<'_>) -> Vec<&'static str> {
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

    pub(super) fn wrong_with_a_part(&self, done: &Done<'_>) -> Vec<&'static str> {
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
            (
                fits && off > 0
                    && self.inspected(done.name) < part["inspections"].as_u64().unwrap_or(0),
                "not-inspected",
            ),
        ];
        codes.extend(
            rules
                .into_iter()
                .filter_map(|(wrong, code)| wrong.then_some(code)),
        );
        codes
    }

    pub(super) fn wrong_looks(&self, done: &Done<'_>) -> Vec<&'static str> {
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

    pub(super) fn wrong_lubricant(&self, done: &Done<'_>) -> Vec<&'static str> {
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
}
