//! What acts make of energy: points isolated, locked and put back, zero proved, test energy let in.

use crate::assembly::{Assembly, Fault, State};
use crate::codes;
use crate::model::{Deed, EnergyState, Point, PointKind, ZeroSide};

/// Whether a side of the zero check fills behind this point once it is shut.
fn lies_behind(side: &ZeroSide, point: &Point) -> bool {
    side.energy == point.energy || side.vent.as_ref() == Some(&point.id)
}

impl<'p> Assembly<'p> {
    pub(crate) fn isolation(
        &self,
        state: &mut State,
        deed: &Deed,
        energy: EnergyState,
        faults: &mut Vec<Fault>,
    ) {
        match deed {
            Deed::Isolate { point } => self.isolate(state, point, energy, faults),
            Deed::Lock { point } => self.lock(state, point, faults),
            Deed::Unlock { point } => self.unlock(state, point, energy, faults),
            Deed::Restore { point } => self.restore(state, point, faults),
            Deed::Release { energy } => self.release(state, energy, faults),
            Deed::Prove { side } => self.prove_side(state, side, energy, faults),
            _ => {}
        }
    }

    fn isolate(
        &self,
        state: &mut State,
        point: &str,
        energy: EnergyState,
        faults: &mut Vec<Fault>,
    ) {
        let Some(at) = self.points.get(point) else {
            return;
        };
        if state.points[*at].isolated {
            let written = &self.procedure.points[*at];
            let (stands, remedy) = match written.kind {
                PointKind::Isolating => ("is isolated already", "Leave one of the two out."),
                PointKind::Drain => (
                    "is open already",
                    "Leave one of the two out, or shut it between. A source released through its only drain has opened it.",
                ),
            };
            let message = format!("{point} {stands}.");
            faults.push(Fault::new(codes::ISOLATED_TWICE, message, remedy));
        }
        self.drain_opened(state, *at, faults);
        if energy == EnergyState::Isolating && state.points[*at].shut_again {
            self.watched(state, *at, faults);
        }
        state.points[*at].stands_isolated();
    }

    /// What refills shows only while the drain is shut, so each side behind it is read before it is opened again.
    fn watched(&self, state: &State, at: usize, faults: &mut Vec<Fault>) {
        let point = &self.procedure.points[at];
        let mut sides = self.procedure.zero.iter().zip(&state.proved);
        if let Some((side, _)) = sides.find(|(side, proved)| !**proved && lies_behind(side, point))
        {
            let message = format!(
                "{} is opened again before {} is read behind it.",
                point.id, side.id
            );
            faults.push(Fault::new(
                codes::REFILL_NOT_WATCHED,
                message,
                "Read the side while the drain is shut; what refills shows only then.",
            ));
        }
    }

    fn lock(&self, state: &mut State, point: &str, faults: &mut Vec<Fault>) {
        let Some(at) = self.points.get(point) else {
            return;
        };
        if state.points[*at].locked {
            faults.push(Fault::new(
                codes::LOCKED_TWICE,
                format!("{point} is locked already."),
                "Leave one of the two out.",
            ));
        }
        let (kind, now) = (self.procedure.points[*at].kind, &mut state.points[*at]);
        match kind {
            PointKind::Isolating if !now.isolated => {
                let message = format!("The lock goes on {point} before {point} is isolated.");
                faults.push(Fault::new(
                    codes::LOCKED_BEFORE_ISOLATED,
                    message,
                    "Isolate first, then lock (29 CFR 1910.147(d)(3) and (4)).",
                ));
            }
            PointKind::Drain if !now.isolated => {
                let (stands, remedy) = if now.shut_again {
                    (
                        "was shut and is not open again",
                        "Open it again in an earlier step; locked shut it hides what collects behind it.",
                    )
                } else {
                    (
                        "is not open yet",
                        "Open it in an earlier step, by isolate, or by the release of its source where that has no other drain.",
                    )
                };
                let message = format!("The lock goes on {point}, which {stands}.");
                faults.push(Fault::new(codes::LOCKED_BEFORE_ISOLATED, message, remedy));
                now.stands_isolated();
            }
            _ => {}
        }
        now.locked = true;
    }

    fn restore(&self, state: &mut State, point: &str, faults: &mut Vec<Fault>) {
        let Some(at) = self.points.get(point) else {
            return;
        };
        if state.points[*at].locked {
            let message = format!("{point} is put back while its lock is on.");
            faults.push(Fault::new(
                codes::RESTORED_UNDER_LOCK,
                message,
                "Take the lock off in an earlier step.",
            ));
        }
        self.restored(state, *at, faults);
        let written = &self.procedure.points[*at];
        let drain = written.kind == PointKind::Drain;
        state.points[*at].isolated = false;
        (state.points[*at].shut_again, state.points[*at].waited) = (drain, false);
        // A source put back may reach every side; behind a drain shut only its own side can fill again.
        for (side, proved) in self.procedure.zero.iter().zip(&mut state.proved) {
            *proved &= drain && !lies_behind(side, written);
        }
    }

    /// Stored energy goes out. A source with one drain goes out through it, which then stands open; of several a step
    /// says with `isolate` which it opens.
    fn release(&self, state: &mut State, energy: &str, faults: &mut Vec<Fault>) {
        if let Some(point) = self.unlocked_point(state, Some(energy)) {
            let message = format!("{energy} is released before {point} is isolated and locked.");
            faults.push(Fault::new(
                codes::RELEASED_TOO_EARLY,
                message,
                "Isolate and lock first, then release (29 CFR 1910.147(d)(5)).",
            ));
        }
        if let Some(at) = self.energies.get(energy) {
            if state.released[*at] {
                let message = format!("{energy} is released already.");
                faults.push(Fault::new(
                    codes::RELEASED_TWICE,
                    message,
                    "Leave one of the two out.",
                ));
            }
            state.released[*at] = true;
        }
        if let Some(at) = self.only_drain(energy) {
            state.points[at].stands_isolated();
        }
    }

    /// The drain of a source that has no other; its release opens it.
    pub(crate) fn only_drain(&self, energy: &str) -> Option<usize> {
        let points = self.procedure.points.iter().enumerate();
        let mut drains =
            points.filter(|(_, point)| point.kind == PointKind::Drain && point.energy == energy);
        let (at, _) = drains.next()?;
        drains.next().is_none().then_some(at)
    }

    /// A point goes back into service: once, and a source only with the drains of its side shut.
    fn restored(&self, state: &State, at: usize, faults: &mut Vec<Fault>) {
        let point = &self.procedure.points[at];
        if !state.points[at].isolated {
            let stands = match point.kind {
                PointKind::Isolating => "is put back, but it is in service",
                PointKind::Drain => "is shut here, but it is not open",
            };
            faults.push(Fault::new(
                codes::RESTORED_TWICE,
                format!("{} {stands}.", point.id),
                "Leave one of the two out.",
            ));
        }
        let drains = self.procedure.points.iter().zip(&state.points);
        let open = drains
            .filter(|(drain, now)| drain.kind == PointKind::Drain && now.isolated)
            .find(|(drain, _)| drain.energy == point.energy);
        if let (PointKind::Isolating, Some((drain, _))) = (point.kind, open) {
            let message = format!("{} is put back while {} is open.", point.id, drain.id);
            faults.push(Fault::new(
                codes::DRAIN_OPEN,
                message,
                "Shut the drain in an earlier step.",
            ));
        }
    }

    fn unlock(&self, state: &mut State, point: &str, energy: EnergyState, faults: &mut Vec<Fault>) {
        let Some(at) = self.points.get(point) else {
            return;
        };
        if !state.points[*at].locked {
            faults.push(Fault::new(
                codes::LOCK_NOT_ON,
                format!("The lock of {point} comes off, but it is not on."),
                "Hang it first, or leave this out.",
            ));
        }
        let isolating = self.procedure.points[*at].kind == PointKind::Isolating;
        if isolating && matches!(energy, EnergyState::Isolating | EnergyState::Zero) {
            let message = format!("The lock of {point} comes off while work goes on.");
            faults.push(Fault::new(
                codes::LOCK_OFF_EARLY,
                message,
                "Take isolation locks off on return, or in the written sequence of a test.",
            ));
        }
        if isolating
            && matches!(energy, EnergyState::Test | EnergyState::Returning)
            && state.own_locks
        {
            let message = format!("The lock of {point} comes off before the workers' own locks.");
            faults.push(Fault::new(
                codes::OWN_LOCKS_FIRST,
                message,
                "Own locks come off first, each by its owner.",
            ));
        }
        state.points[*at].locked = false;
    }

    fn prove_side(
        &self,
        state: &mut State,
        side: &str,
        energy: EnergyState,
        faults: &mut Vec<Fault>,
    ) {
        let Some(at) = self.sides.get(side) else {
            return;
        };
        self.waited(state, *at, energy, faults);
        let energy = &self.procedure.zero[*at].energy;
        if let Some(point) = self.unlocked_point(state, Some(energy)) {
            let message =
                format!("Zero is proved on {side} before {point} is isolated and locked.");
            faults.push(Fault::new(
                codes::PROVED_TOO_EARLY,
                message,
                "Isolate and lock every point of this source first.",
            ));
        }
        if self
            .energies
            .get(energy.as_str())
            .is_some_and(|energy| !state.released[*energy])
        {
            let message = format!("Zero is proved on {side} before {energy} is released.");
            faults.push(Fault::new(
                codes::PROVED_BEFORE_RELEASE,
                message,
                "Vent or bleed first, then read (29 CFR 1910.147(d)(6)).",
            ));
        }
        // One step proves every side; what is in is said once.
        let said = faults
            .iter()
            .any(|fault| fault.code == codes::PROVED_UNDER_TEST);
        if let (Some((inside, _)), false) = (state.let_in.first(), said) {
            let message = format!("Zero is proved on {side} while test energy is in {inside}.");
            faults.push(Fault::new(
                codes::PROVED_UNDER_TEST,
                message,
                "Vent the test first.",
            ));
        }
        state.proved[*at] = true;
    }

    /// A side read at once behind a drain just shut shows no refill.
    fn waited(&self, state: &State, side: usize, energy: EnergyState, faults: &mut Vec<Fault>) {
        let side = &self.procedure.zero[side];
        let mut points = self.procedure.points.iter().zip(&state.points);
        let unwatched =
            points.find(|(point, now)| now.shut_again && !now.waited && lies_behind(side, point));
        if let (EnergyState::Isolating, Some((drain, _))) = (energy, unwatched) {
            let message = format!(
                "Zero is proved on {} right after {} is shut, with no wait.",
                side.id, drain.id
            );
            faults.push(Fault::new(
                codes::REFILL_NOT_WATCHED,
                message,
                "Ask a wait after the drain is shut and before the side is read.",
            ));
        }
    }

    /// A drain that was open and was shut again.
    pub(crate) fn shut_again(&self, state: &State) -> Option<&'p str> {
        let mut points = self.procedure.points.iter().zip(&state.points);
        points
            .find(|(_, now)| now.shut_again)
            .map(|(point, _)| point.id.as_str())
    }

    /// A point of this energy, or of any, that is not isolated and locked as it must be.
    pub(crate) fn unlocked_point(&self, state: &State, energy: Option<&str>) -> Option<&'p str> {
        self.procedure
            .points
            .iter()
            .zip(&state.points)
            .filter(|(point, _)| {
                point.kind == PointKind::Isolating
                    && energy.is_none_or(|energy| point.energy == energy)
            })
            .find(|(point, now)| !now.isolated || (point.lock.is_some() && !now.locked))
            .map(|(point, _)| point.id.as_str())
    }
}
