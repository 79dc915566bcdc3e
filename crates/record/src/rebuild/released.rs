//! How stored and residual energy was released: by which step, what was seen then, and whether energy was let in since. What a
//! gauge or vent proves is in `zero`; this is for what neither can: a spring, heat, a volume trapped between valves.

use reseat_procedure::model::{Asked, Deed, EnergyState, Step};

use super::state::{Line, Mark, Rebuild};

/// The step by which an energy was released, as done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Release {
    /// Its id.
    pub(super) step: String,
    /// Its last entry.
    pub(super) mark: Mark,
    /// What was answered or read there; `done` where nothing was asked that says it.
    pub(super) said: String,
    /// Whether nothing was let into the unit since.
    pub(super) stands: bool,
}

impl Rebuild {
    /// The release of an energy by its written step; none while the step is not done, or open again.
    pub(super) fn release_of(&self, energy: &str) -> Option<Release> {
        let (line, step) = self.releasing(energy).find(|(line, _)| line.effective)?;
        let mark = last_mark(line)?;
        let stands = self
            .energy_in
            .as_ref()
            .is_none_or(|(entry, _)| *entry < mark.entry);
        Some(Release {
            step: line.id.clone(),
            mark: mark.clone(),
            said: said(line, step),
            stands,
        })
    }

    /// Whether a step of the route releases the energy.
    pub(super) fn is_released_by_step(&self, energy: &str) -> bool {
        self.releasing(energy).next().is_some()
    }

    /// Whether a gauge or vent proves the energy gone; where not, its release is all there is.
    pub(super) fn has_side(&self, energy: &str) -> bool {
        self.procedure.zero.iter().any(|side| side.energy == energy)
    }

    /// Whether the line releases what was released before energy was let in: a hand on the unit, with test pressure gone but not
    /// proved gone.
    pub(super) fn is_release_again(&self, index: usize) -> bool {
        let line = &self.lines[index];
        self.energy_in.is_some()
            && line.voided > 0
            && !line.effective
            && self.step_of(line).is_some_and(|step| {
                Self::has_deed(step, |deed| matches!(deed, Deed::Release { .. }))
            })
    }

    fn releasing<'a>(&'a self, energy: &'a str) -> impl Iterator<Item = (&'a Line, &'a Step)> {
        self.lines
            .iter()
            .filter(|line| line.not_applicable.is_none())
            .filter_map(|line| Some((line, self.step_of(line)?)))
            .filter(move |(_, step)| {
                Self::has_deed(
                    step,
                    |deed| matches!(deed, Deed::Release { energy: named } if named == energy),
                )
            })
    }

    /// Work taken back to before the step that let energy in last (a joint opened again after a failed test) finds the spring
    /// wound, the body hot, the trapped volume filled: the steps that released what no gauge proves are asked anew before it
    /// (29 CFR 1910.147(d)(5)(i), (f)(1)(v)).
    pub(super) fn release_again(&mut self) {
        let Some((_, let_in_at)) = self.energy_in else {
            return;
        };
        let taken_back = self
            .due()
            .is_some_and(|due| due < let_in_at && self.energy_at(due) == EnergyState::Zero);
        if !taken_back {
            return;
        }
        let energies = self.procedure.energies.iter().map(|energy| &energy.id);
        let lapsed: Vec<String> = energies
            .filter(|energy| !self.has_side(energy))
            .filter_map(|energy| self.release_of(energy))
            .filter(|release| !release.stands)
            .map(|release| release.step)
            .collect();
        for step in &lapsed {
            if let Some(index) = self.line_index(step) {
                self.reopen_line(index, 0);
            }
        }
        if !lapsed.is_empty() {
            self.find_due();
        }
    }
}

/// The newest entry that closed the line.
fn last_mark(line: &Line) -> Option<&Mark> {
    line.asks
        .iter()
        .filter_map(|ask| ask.closed.as_ref())
        .chain(&line.acted)
        .max_by_key(|mark| mark.entry)
}

/// What was chosen, seen or read; a bare number of a count says nothing without its question.
fn said(line: &Line, step: &Step) -> String {
    let told: Vec<&str> = step
        .asks
        .iter()
        .zip(&line.asks)
        .filter(|(asked, _)| !matches!(asked, Asked::Count { .. } | Asked::Done))
        .filter_map(|(_, ask)| ask.last.as_deref())
        .collect();
    if told.is_empty() {
        "done".to_owned()
    } else {
        told.join(", ")
    }
}
