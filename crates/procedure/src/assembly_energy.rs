//! What acts make of energy: points isolated, locked and put back, zero proved, test energy let in.

use crate::assembly::{Assembly, Fault, State};
use crate::codes;
use crate::model::{Deed, EnergyState, PointKind};

impl<'p> Assembly<'p> {
    pub(crate) fn isolation(
        &self,
        state: &mut State,
        deed: &Deed,
        energy: EnergyState,
        faults: &mut Vec<Fault>,
    ) {
        match deed {
            Deed::Isolate { point } => {
                if let Some(at) = self.points.get(point.as_str()) {
                    if state.points[*at].isolated {
                        faults.push(Fault::new(
                            codes::ISOLATED_TWICE,
                            format!("{point} is isolated already."),
                            "Leave one of the two out.",
                        ));
                    }
                    self.drain_opened(state, *at, faults);
                    state.points[*at].isolated = true;
                }
            }
            Deed::Lock { point } => {
                let Some(at) = self.points.get(point.as_str()) else {
                    return;
                };
                if state.points[*at].locked {
                    faults.push(Fault::new(
                        codes::LOCKED_TWICE,
                        format!("{point} is locked already."),
                        "Leave one of the two out.",
                    ));
                }
                if self.procedure.points[*at].kind == PointKind::Isolating
                    && !state.points[*at].isolated
                {
                    let message = format!("The lock goes on {point} before {point} is isolated.");
                    faults.push(Fault::new(
                        codes::LOCKED_BEFORE_ISOLATED,
                        message,
                        "Isolate first, then lock (29 CFR 1910.147(d)(3) and (4)).",
                    ));
                }
                let drain = self.procedure.points[*at].kind == PointKind::Drain;
                let source = &self.procedure.points[*at].energy;
                let let_out = self.energies.get(source.as_str());
                if drain
                    && !state.points[*at].isolated
                    && !let_out.is_some_and(|energy| state.released[*energy])
                {
                    let message = format!("The lock goes on {point} before {point} is open.");
                    faults.push(Fault::new(
                        codes::LOCKED_BEFORE_ISOLATED,
                        message,
                        "Open the drain first, or release what it lets out; a drain locked shut proves nothing.",
                    ));
                }
                state.points[*at].isolated |= drain;
                state.points[*at].locked = true;
            }
            Deed::Unlock { point } => self.unlock(state, point, energy, faults),
            Deed::Restore { point } => {
                let Some(at) = self.points.get(point.as_str()) else {
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
                state.points[*at].isolated = false;
                state.proved.iter_mut().for_each(|side| *side = false);
            }
            Deed::Release { energy } => {
                if let Some(point) = self.unlocked_point(state, Some(energy)) {
                    let message =
                        format!("{energy} is released before {point} is isolated and locked.");
                    faults.push(Fault::new(
                        codes::RELEASED_TOO_EARLY,
                        message,
                        "Isolate and lock first, then release (29 CFR 1910.147(d)(5)).",
                    ));
                }
                if let Some(at) = self.energies.get(energy.as_str()) {
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
            }
            Deed::Prove { side } => self.prove_side(state, side, faults),
            _ => {}
        }
    }

    /// A point goes back into service: once, and a source only with the drains of its side shut.
    fn restored(&self, state: &State, at: usize, faults: &mut Vec<Fault>) {
        let point = &self.procedure.points[at];
        if !state.points[at].isolated {
            let message = format!("{} is put back, but it is in service.", point.id);
            faults.push(Fault::new(
                codes::RESTORED_TWICE,
                message,
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

    fn prove_side(&self, state: &mut State, side: &str, faults: &mut Vec<Fault>) {
        let Some(at) = self.sides.get(side) else {
            return;
        };
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
        if let Some((inside, _)) = state.let_in.first() {
            let message = format!("Zero is proved on {side} while test energy is in {inside}.");
            faults.push(Fault::new(
                codes::PROVED_UNDER_TEST,
                message,
                "Vent the test first.",
            ));
        }
        state.proved[*at] = true;
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
