//! What the random commands came to: a walk that never gets to what it is there to try shows nothing.

use std::collections::{BTreeMap, BTreeSet};

use reseat_record::log::{Clock, Entry};

use crate::lockout::Model;

/// How often each thing came about, and in how many procedures.
#[derive(Default)]
pub(crate) struct Reached {
    times: BTreeMap<&'static str, u64>,
    procedures: BTreeMap<&'static str, BTreeSet<String>>,
}

impl Reached {
    fn adds(&mut self, what: &'static str, procedure: &str, times: u64) {
        if times > 0 {
            *self.times.entry(what).or_default() += times;
            let named = self.procedures.entry(what).or_default();
            named.insert(procedure.to_owned());
        }
    }

    /// Counts one entry of a walk.
    pub(crate) fn entry(&mut self, procedure: &str, entry: &Entry) {
        let has = |member: &str| entry.body.get(member).is_some_and(|value| !value.is_null());
        let is = |kind: &str, more: bool| u64::from(entry.kind == kind && more);
        let late = u64::from(entry.acted.is_some());
        let doubted = u64::from(entry.clock == Clock::Doubted);
        self.adds("entered late", procedure, late);
        self.adds("under a doubted clock", procedure, doubted);
        for (what, times) in [
            ("handed over to a person", is("handed_over/1", has("to"))),
            ("left to nobody", is("handed_over/1", has("left"))),
            (
                "taken up by the next",
                is(
                    "taken_up/1",
                    entry.body.get("after") != Some(&"start".into()),
                ),
            ),
            ("looked again", is("looked_again/1", true)),
            (
                "lock off by the absent-owner route",
                is("lock_off/1", has("not_on_site")),
            ),
            ("lock on again", is("lock_on/1", true)),
            ("joint opened again", is("reopened/1", true)),
            ("locks off in a written act", is("done/1", has("locks_off"))),
        ] {
            self.adds(what, procedure, times);
        }
    }

    /// Counts what the model saw in a walk that began with it as before.
    pub(crate) fn model(&mut self, procedure: &str, before: &Model, now: &Model) {
        let (before, now) = (before.stored_energy(), now.stored_energy());
        for (at, what) in ["energy let in", "relieved again", "work taken back"]
            .into_iter()
            .enumerate()
        {
            self.adds(what, procedure, now[at] - before[at]);
        }
    }

    /// Whether everything came about, each in so many procedures.
    pub(crate) fn holds(&self) {
        for (what, least) in [
            ("entered late", 2),
            ("under a doubted clock", 3),
            ("handed over to a person", 3),
            ("left to nobody", 3),
            ("taken up by the next", 3),
            ("looked again", 2),
            ("lock off by the absent-owner route", 3),
            ("lock on again", 3),
            ("joint opened again", 3),
            ("locks off in a written act", 3),
            ("energy let in", 3),
            ("relieved again", 3),
            ("work taken back", 3),
        ] {
            let procedures = self.procedures.get(what).map_or(0, BTreeSet::len);
            assert!(
                procedures >= least,
                "{what} in {procedures} procedures only: {:?}",
                self.times
            );
        }
    }
}
