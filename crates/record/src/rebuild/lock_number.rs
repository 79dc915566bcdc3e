//! The number on a lock: one lock hangs in one place, so one number is recorded on in one place.

use reseat_procedure::model::{Asked, Deed};

use super::ask::Point;
use super::state::{Hung, Rebuild};
use crate::refusal::{Refusal, Work};

/// Whether two numbers are the same on a tag: blanks around it and capitals do not tell locks apart.
fn same(one: &str, other: &str) -> bool {
    one.trim().to_lowercase() == other.trim().to_lowercase()
}

impl Rebuild {
    /// Refuses a number that is recorded on elsewhere now: at another point, or on the box as an own lock.
    ///
    /// # Errors
    /// `lock-number-taken`, with where and whose.
    pub(super) fn number_free(&self, number: &str, point: Option<&str>) -> Result<(), Refusal> {
        let elsewhere = self
            .locks
            .iter()
            .find(|(at, hung)| hung.on && point != Some(at.as_str()) && same(&hung.number, number))
            .map(|(at, hung)| (self.point_words(at), self.holder_of(hung)));
        let own = || {
            let hung = self.own_locks.values();
            let mut taken = hung.filter(|hung| same(&hung.number, number));
            taken
                .next()
                .map(|hung| ("the box".to_owned(), hung.name.clone()))
        };
        match elsewhere.or_else(own) {
            Some((at, whose)) => Err(Work::LockNumberTaken {
                number: number.to_owned(),
                at,
                whose,
            }
            .into()),
            None => Ok(()),
        }
    }

    /// Refuses a written act that would hang a lock whose number is recorded on elsewhere. Points to which the procedure gives
    /// one lock are no conflict: that is as written.
    pub(super) fn written_numbers_free(&self, step: &str) -> Result<(), Refusal> {
        let written = self.line(step).and_then(|line| self.step_of(line));
        for deed in written.map_or(&[][..], |step| &step.does) {
            let Deed::Lock { point } = deed else { continue };
            let Some(number) = self.point(point).and_then(|known| known.lock.as_deref()) else {
                continue;
            };
            let shared = self.procedure.points.iter().any(|other| {
                let lock = other.lock.as_deref();
                other.id != *point && lock.is_some_and(|lock| same(lock, number))
            });
            if !shared {
                self.number_free(number, Some(point))?;
            }
        }
        Ok(())
    }

    /// Who has a lock of the group now: whoever took the work up last took it over by signature.
    pub(super) fn holder_of(&self, hung: &Hung) -> String {
        let who = self.who.as_ref().map(|who| who.name.clone());
        who.unwrap_or_else(|| hung.owner.clone())
    }

    /// The key under which a lock is kept, from a point or a number as a person says it; as said where none is recorded on.
    pub(super) fn lock_said(&self, said: &str) -> String {
        let on = |point: &str| self.locks.get(point).is_some_and(|hung| hung.on);
        if said == "own" || said.starts_with("own:") || on(said) {
            return said.to_owned();
        }
        let kept = self.locks.iter().filter(|(_, hung)| hung.on);
        let by_label = kept.clone().find(|(at, _)| {
            let label = self.point(at).map(|point| point.label.as_str());
            same(at, said) || label.is_some_and(|label| same(label, said))
        });
        let mut by_number = kept.filter(|(_, hung)| same(&hung.number, said));
        if let Some((at, _)) = by_label.or_else(|| by_number.next()) {
            return at.clone();
        }
        let mut own = self.own_locks.iter();
        own.find(|(_, hung)| same(&hung.number, said))
            .map_or_else(|| said.to_owned(), |(id, _)| format!("own:{id}"))
    }

    /// Whether the answer to this point is, or ends with, the number of a lock.
    #[must_use]
    pub fn asks_lock_number(&self, point: &Point) -> bool {
        match point {
            Point::LockBack(_) | Point::Worker(_) => true,
            Point::Asked(step, ask, _) => {
                matches!(self.asked(step, *ask), Some(Asked::OwnLocks { .. }))
            }
            _ => false,
        }
    }

    fn point_words(&self, point: &str) -> String {
        self.point(point)
            .map_or(point, |known| known.label.as_str())
            .to_owned()
    }
}
