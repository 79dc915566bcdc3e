//! A unit whose stand-in is being rebuilt too: the same mistake made on both would leave nothing running, so that another
//! person looks at each joint and each zero check of the one started second.

use reseat_procedure::Procedure;
use reseat_procedure::model::{Asked, Verify};

use super::body::Beside;
use super::command::Start;
use super::state::Rebuild;
use crate::log::{Entry, Hash, Id, Stamp};
use crate::refusal::{Refusal, Work};
use crate::register::Register;

impl Rebuild {
    /// As [`Rebuild::start`], while the rebuild `beside` is open on the unit of the place that stands in for this one.
    ///
    /// # Errors
    /// As [`Rebuild::start`].
    pub fn start_beside(
        register: &Register,
        procedure: &Procedure,
        sha256: Hash,
        start: Start,
        beside: Option<Beside>,
        stream: Id,
        stamp: &Stamp,
    ) -> Result<Entry, Refusal> {
        Self::start_entry(register, procedure, sha256, start, beside, (stream, stamp))
    }

    /// With a stand-in open, whoever has the work in hand does not release his own zero check.
    pub(super) fn other_eyes(&self, person: Id, name: &str) -> Result<(), Refusal> {
        let own = self.who.as_ref().is_some_and(|who| who.id == person);
        if own && self.started.beside.is_some() {
            return Err(Work::OwnWork {
                name: name.to_owned(),
            }
            .into());
        }
        Ok(())
    }
}

/// Independent verification of every joint and every zero check that has none written.
pub(super) fn demand_verification(procedure: &mut Procedure) {
    let steps = procedure
        .sections
        .iter_mut()
        .flat_map(|section| &mut section.steps);
    for step in steps {
        let joint = step
            .asks
            .iter()
            .any(|asked| matches!(asked, Asked::Tighten { .. }));
        if step.verify.is_none() && (joint || Rebuild::is_zero_check(step)) {
            step.verify = Some(Verify::Independent);
        }
    }
}
