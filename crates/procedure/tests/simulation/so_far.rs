//! Questions about what stands now, each answered by going through everything done so far.

use std::collections::BTreeMap;

use serde_json::Value;

use super::json::{bar, count, list, meets, names, text, word_of};
use super::{Done, Route};

impl<'a> Route<'a> {
    pub(super) fn declared(&self, member: &str) -> Vec<&'a Value> {
        list(self.procedure, member)
            .iter()
            .filter(|thing| meets(thing, self.choice))
            .collect()
    }

    pub(super) fn thing(&self, member: &str, name: &str) -> Option<&'a Value> {
        self.declared(member)
            .into_iter()
            .find(|thing| text(thing, "id") == name)
    }

    // What has been done so far.

    pub(super) fn before(&self) -> &[Done<'a>] {
        &self.done[..self.now]
    }

    /// Whether the last of these words done to a name is one of those that make it so.
    pub(super) fn last_is(
        &self,
        name: &str,
        makes: &[&str],
        ends: &[&str],
        at_first: bool,
    ) -> bool {
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

    /// A source held back, or a drain open. The only drain of a source is opened by the release of the source.
    pub(super) fn isolated(&self, point: &Value) -> bool {
        if text(point, "kind") != "drain" {
            return self.last_is(text(point, "id"), &["isolate"], &["restore"], false);
        }
        let source = text(point, "energy");
        let only = self
            .declared("points")
            .into_iter()
            .filter(|other| text(other, "kind") == "drain" && text(other, "energy") == source)
            .count()
            == 1;
        let last = self.before().iter().rev().find_map(|done| match done.word {
            "isolate" | "lock" if done.name == text(point, "id") => Some(true),
            "restore" if done.name == text(point, "id") => Some(false),
            "release" if only && done.name == source => Some(true),
            _ => None,
        });
        last == Some(true)
    }

    /// When a drain was shut that nobody opened since.
    pub(super) fn shut_at(&self, point: &Value) -> Option<usize> {
        let shut = |done: &Done<'_>| done.word == "restore" && done.name == text(point, "id");
        let stays_shut = text(point, "kind") == "drain" && !self.isolated(point);
        stays_shut.then(|| self.before().iter().rposition(shut))?
    }

    pub(super) fn a_drain_is_shut_again(&self) -> bool {
        let mut points = self.declared("points").into_iter();
        points.any(|point| self.shut_at(point).is_some())
    }

    /// A drain of this side is shut, and no wait ran out since.
    pub(super) fn shut_with_no_wait(&self, side: &str) -> bool {
        self.declared("points").into_iter().any(|point| {
            self.shut_at(point).is_some_and(|shut| {
                let waited = self.done[shut..self.now]
                    .iter()
                    .any(|done| done.word == "wait");
                self.is_behind(text(point, "id"), side) && !waited
            })
        })
    }

    /// A side behind this drain that is not proved.
    pub(super) fn a_side_behind_is_unread(&self, point: &str) -> bool {
        self.declared("zero").into_iter().any(|side| {
            let side = text(side, "id");
            self.is_behind(point, side) && !self.proved(side)
        })
    }

    fn is_behind(&self, point: &str, side: &str) -> bool {
        let (Some(point), Some(side)) = (self.thing("points", point), self.thing("zero", side))
        else {
            return false;
        };
        text(point, "energy") == text(side, "energy") || text(side, "vent") == text(point, "id")
    }

    pub(super) fn locked(&self, point: &str) -> bool {
        self.last_is(point, &["lock"], &["unlock"], false)
    }

    pub(super) fn not_locked_out(&self, energy: Option<&str>) -> bool {
        self.declared("points").into_iter().any(|point| {
            text(point, "kind") == "isolating"
                && energy.is_none_or(|energy| text(point, "energy") == energy)
                && !(self.isolated(point)
                    && (point["lock"].is_null() || self.locked(text(point, "id"))))
        })
    }

    /// Chambers with something in, and the highest pressure written since they were empty.
    pub(super) fn inside(&self) -> BTreeMap<&'a str, Option<f64>> {
        self.inside_then(self.now)
    }

    pub(super) fn inside_then(&self, then: usize) -> BTreeMap<&'a str, Option<f64>> {
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

    pub(super) fn looks_at(step: &Value, side: &str) -> bool {
        list(step, "asks").iter().any(|ask| match word_of(ask) {
            ("zero", _) => true,
            ("vent", of) => text(of, "side") == side,
            ("reading", of) => text(of, "proves") == side,
            _ => false,
        })
    }

    pub(super) fn proved(&self, side: &str) -> bool {
        self.proved_then(side, self.now)
    }

    pub(super) fn proved_then(&self, side: &str, then: usize) -> bool {
        let stands = self.done[..then]
            .iter()
            .rev()
            .find_map(|done| match done.word {
                "prove" if done.name == side && Self::looks_at(self.steps[done.step], side) => {
                    Some(true)
                }
                "let_in" => Some(false),
                "restore" if self.voids(done.name, side) => Some(false),
                _ => None,
            });
        stands == Some(true)
    }

    /// Whether zero on a side is worth nothing once this point is put back: any source, and a drain of that side.
    fn voids(&self, point: &str, side: &str) -> bool {
        let source = self
            .thing("points", point)
            .is_some_and(|point| text(point, "kind") == "isolating");
        source || self.is_behind(point, side)
    }

    pub(super) fn own_locks(&self) -> bool {
        let last = self
            .before()
            .iter()
            .rev()
            .find(|done| done.word.starts_with("own_locks"));
        last.is_some_and(|done| done.word == "own_locks")
    }

    /// A hold that read out every side, at whose end every side stood proved.
    pub(super) fn released_zero(&self) -> bool {
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
    pub(super) fn pieces(&self, part: &Value) -> (u64, u64, u64) {
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
    pub(super) fn verified(&self, part: &str) -> bool {
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

    pub(super) fn cleaned(&self, part: &Value) -> bool {
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

    /// How often a part was looked over since it last came off.
    pub(super) fn inspected(&self, part: &str) -> u64 {
        let since = self
            .before()
            .iter()
            .rposition(|done| done.word == "off" && done.name == part);
        let named = |done: &&Done<'_>| {
            let parts = done.of.as_array().map_or(&[][..], Vec::as_slice);
            parts.iter().filter(|named| *named == part).count() as u64
        };
        self.before()[since.unwrap_or(0)..]
            .iter()
            .filter(|done| done.word == "inspect")
            .map(|done| named(&done))
            .sum()
    }

    pub(super) fn on_then(&self, part: &Value, then: usize) -> u64 {
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

    pub(super) fn lies_over(&self, part: &Value) -> bool {
        names(part, "under")
            .into_iter()
            .any(|over| match self.thing("parts", over) {
                Some(over) => self.pieces(over).0 > 0,
                None => self.last_is(over, &["cover_on"], &["cover_off"], false),
            })
    }

    // A joint, each question by itself.

    pub(super) fn slack(&self, joint: &str) -> bool {
        self.slack_then(joint, self.now)
    }

    pub(super) fn slack_then(&self, joint: &str, then: usize) -> bool {
        let mut done = self.done[..then]
            .iter()
            .rev()
            .filter(|done| done.name == joint);
        done.find(|done| ["slacken", "tighten"].contains(&done.word))
            .is_some_and(|done| done.word == "slacken")
    }

    pub(super) fn fastened(&self, joint: &str) -> bool {
        self.last_is(joint, &["hand_start", "tighten"], &["unfasten"], true)
    }

    pub(super) fn hand_started(&self, joint: &str) -> bool {
        self.last_is(joint, &["hand_start"], &["unfasten"], true)
    }

    pub(super) fn lubricated(&self, joint: &str) -> bool {
        for done in self.before().iter().rev() {
            match done.word {
                "lubricate" if names(done.of, "joints").contains(&joint) => return true,
                "unfasten" if done.name == joint => return false,
                _ => {}
            }
        }
        true
    }

    pub(super) fn rested(&self, joint: &str) -> bool {
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

    pub(super) fn rechecked(&self, joint: &str) -> bool {
        self.last_is(joint, &["recheck"], &["tighten"], true)
    }

    /// Tested since it was last tightened: a test while its chamber held the pressure wanted.
    pub(super) fn proved_tight(&self, joint: &Value) -> bool {
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
}
