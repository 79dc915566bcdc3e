//! The rules that look at the whole route: before the first test, at the end, around the work.

use std::collections::BTreeSet;

use serde_json::Value;

use super::Route;
use super::json::{count, flag, list, text, word_of};

impl Route<'_> {
    pub(super) fn first_test(&mut self, step: usize) {
        let will = |word: &str, name: &str| {
            let mut later = self.done[self.now..].iter();
            later.any(|done| done.step > step && done.word == word && done.name == name)
        };
        let loose = self.declared("joints").into_iter().any(|joint| {
            let name = text(joint, "id");
            let slack = self.slack(name);
            slack && !flag(joint, "setting") && !flag(joint, "after_test") && will("tighten", name)
                || !joint["recheck_after"].is_null() && !self.rechecked(name) && !slack
        });
        let out = self.declared("parts").into_iter().any(|part| {
            self.pieces(part).0 < count(part)
                && !flag(part, "after_test")
                && will("on", text(part, "id"))
        });
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
    pub(super) fn opened_at(&self, name: &str, words: &[&str]) -> usize {
        let opened = self
            .done
            .iter()
            .rev()
            .find(|done| done.name == name && words.contains(&done.word));
        opened.map_or(self.steps.len().saturating_sub(1), |done| done.step)
    }

    /// The step that last opened a point: a drain that has none of its own word was opened by the release of its source.
    fn opened_point_at(&self, point: &Value) -> usize {
        let name = text(point, "id");
        let drains = self.declared("points").into_iter().filter(|other| {
            text(other, "kind") == "drain" && text(other, "energy") == text(point, "energy")
        });
        let only = text(point, "kind") == "drain" && drains.count() == 1;
        let opened = self.done.iter().rev().find(|done| {
            done.word == "isolate" && done.name == name
                || only && done.word == "release" && done.name == text(point, "energy")
        });
        opened.map_or(self.steps.len().saturating_sub(1), |done| done.step)
    }

    pub(super) fn left_open(&mut self) {
        let mut left: Vec<(&str, usize)> = Vec::new();
        for part in self.declared("parts") {
            let (on, off, fitted) = self.pieces(part);
            let step = self.opened_at(text(part, "id"), &["off"]);
            if on == 0 && off > 0 {
                left.push(("part-not-refitted", step));
            } else if on < count(part) || flag(part, "single_use") && off > 0 && fitted < off {
                left.push(("count-differs", step));
            }
            let gone = on == 0 && off > 0;
            if flag(part, "from_kit") && fitted < count(part) && !gone {
                if off > 0 {
                    left.push(("kit-part-not-fitted", step));
                } else {
                    self.found
                        .push(("kit-part-not-fitted".to_owned(), String::new()));
                }
            }
        }
        for joint in self.declared("joints") {
            let name = text(joint, "id");
            let step = self.opened_at(name, &["slacken", "crack", "unfasten"]);
            if self.slack(name) {
                left.push(("joint-not-tightened", step));
            } else if !joint["boundary"].is_null() && !self.proved_tight(joint) {
                // Where its chamber was raised in vain after the tightening, else where it was opened.
                let last = |word: &str, name: &str| {
                    let done = &self.done;
                    done.iter()
                        .rposition(|done| done.word == word && done.name == name)
                };
                let raised = last("let_in", text(joint, "boundary"))
                    .map(|at| self.done[at].step)
                    .filter(|raised| {
                        last("tighten", name).is_none_or(|at| *raised > self.done[at].step)
                    });
                left.push(("not-tested", raised.unwrap_or(step)));
            }
        }
        for point in self.declared("points") {
            let name = text(point, "id");
            if self.locked(name) {
                left.push(("lock-left-on", self.opened_at(name, &["lock"])));
            } else if self.isolated(point) {
                left.push(("point-not-restored", self.opened_point_at(point)));
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
            let hung = self.done.iter().rev().find(|done| done.word == "own_locks");
            let step = hung.map_or(self.steps.len().saturating_sub(1), |done| done.step);
            self.say("own-locks-left-on", step);
        }
    }

    /// What stands around the work: permission, taking back, signatures, and asks that match deeds.
    pub(super) fn around(&mut self) {
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
