//! What a step does to the assembly beside its deeds, for the proof and for the stack alike.

use crate::assembly::{Act, State};
use crate::model::{Asked, Deed, Procedure, Step, ZeroSide};

/// What an answer does to the unit by itself, whatever deed stands beside it.
pub(crate) const fn act_of(ask: &Asked) -> Option<Act<'static>> {
    match ask {
        Asked::OwnLocks { .. } => Some(Act::OwnLocksOn),
        Asked::OwnLocksOff => Some(Act::OwnLocksOff),
        Asked::Wait { .. } => Some(Act::Waited),
        _ => None,
    }
}

/// Whether a step looks at this side by itself: a reading that proves it, its vent, or the zero check.
pub(crate) fn reads(step: &Step, side: &str) -> bool {
    step.asks.iter().any(|ask| match ask {
        Asked::Zero { .. } => true,
        Asked::Vent { side: vented } => vented == side,
        Asked::Reading(measured) => measured.proves.as_deref() == Some(side),
        _ => false,
    })
}

/// Whether a step is a hold that reads out every side, all of them proved: from there on the unit may be opened.
pub(crate) fn releases_zero(procedure: &Procedure, state: &State, step: &Step) -> bool {
    let reads_out = |side: &ZeroSide| {
        step.does
            .iter()
            .any(|deed| matches!(deed, Deed::Prove { side: read } if *read == side.id))
    };
    step.hold.is_some()
        && !procedure.zero.is_empty()
        && procedure.zero.iter().all(reads_out)
        && state.proved.iter().all(|proved| *proved)
}
