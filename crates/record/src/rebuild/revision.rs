//! A revision approved, or withdrawn, while a rebuild runs on another: the work stops at the next step until the choice is
//! recorded. A rebuild runs on its text to the end; going on with it takes a reason and the signature of an approver.

use reseat_procedure::model::Role;

use super::ask::{Bench, Point, Wants};
use super::body::{self, Body};
use super::command::Given;
use super::question::Question;
use super::state::{Line, Rebuild};
use crate::log::{Hash, Stamp};
use crate::refusal::{Refusal, Work};
use crate::register::{Fact, Register};

/// What the register says of the procedure since the rebuild began on its own revision of it.
pub(super) struct Overtaken {
    /// The newer revision; none where the bound one was withdrawn and nothing took its place.
    newer: Option<String>,
    /// Text of the newer revision, or of the bound one.
    pub(super) sha256: Hash,
    /// The approval of that text.
    approval: Fact,
}

impl Rebuild {
    /// The revision this rebuild runs on is superseded on the register, and nobody has recorded what follows from that.
    pub(super) fn overtaken(&self, register: &Register) -> Option<Overtaken> {
        let started = &self.started;
        let bound = register
            .approval(&started.procedure, &started.revision, &started.sha256)
            .filter(|approval| approval.superseded)?;
        let now = register.approved_now(&started.procedure);
        let overtaken = Overtaken {
            newer: now.map(|now| now.revision.clone()),
            sha256: now.map_or(bound.sha256, |now| now.sha256),
            approval: now.map_or(bound.fact, |now| now.fact),
        };
        (!self.revisions_kept.contains(&overtaken.sha256)).then_some(overtaken)
    }

    /// At the edge of a step: one that was begun is finished first, and an act that makes safer waits for nobody.
    pub(super) fn revision_due(&self, register: &Register, line: &Line) -> Option<Point> {
        let untouched = line.begun.is_none()
            && line.acted.is_none()
            && line.hands.is_empty()
            && line.asks.iter().all(|ask| ask.closed.is_none());
        if !untouched || self.step_of(line).is_some_and(|step| step.safer) {
            return None;
        }
        let overtaken = self.overtaken(register)?;
        let said = self
            .revision_reason
            .as_ref()
            .is_some_and(|(of, _)| *of == overtaken.sha256);
        Some(if said {
            Point::RevisionSigned(overtaken.sha256)
        } else {
            Point::Revision(overtaken.sha256)
        })
    }

    fn revision_words(&self, overtaken: &Overtaken) -> String {
        let started = &self.started;
        match &overtaken.newer {
            Some(newer) => format!(
                "Revision {newer} of {} is approved since. This rebuild runs on revision {}.",
                started.procedure, started.revision
            ),
            None => format!(
                "Revision {} of {} is withdrawn on this site, and this rebuild runs on it.",
                started.revision, started.procedure
            ),
        }
    }

    pub(super) fn revision_question(&self, register: &Register) -> Question {
        let kept = &self.started.revision;
        let question = Question::new(
            "text",
            format!("Why may the work go on with revision {kept}?"),
            Wants::Text,
        )
        .detail(format!(
            "Go on with revision {kept}: a reason here, then an approver signs it."
        ))
        .detail("Not decided: pause, and this is asked again when the work is taken up.")
        .detail("Not on this revision: close the work INCOMPLETE and start on the one approved.")
        .bench(Bench::Open);
        match self.overtaken(register) {
            Some(overtaken) => question.notice(self.revision_words(&overtaken)),
            None => question,
        }
    }

    pub(super) fn revision_sign_question(&self, register: &Register) -> Question {
        let among = Self::holders(register, Role::Approver);
        let nobody = among.is_empty();
        let reason = self
            .revision_reason
            .as_ref()
            .map(|(_, reason)| reason.clone())
            .unwrap_or_default();
        let mut question = Self::signature(
            format!(
                "Go on with revision {}: the approver signs",
                self.started.revision
            ),
            "decided",
            among,
        )
        .detail(format!("Reason: {reason}"))
        .detail("Not agreed? \"Typed wrong\" takes the reason back.")
        .bench(Bench::Open);
        if let Some(overtaken) = self.overtaken(register) {
            question = question.notice(self.revision_words(&overtaken));
        }
        if nobody {
            question = question.notice("Nobody on the register is an approver.");
        }
        question
    }

    /// The reason is kept, then the approver's signature over it.
    pub(super) fn answer_revision(
        &self,
        register: &Register,
        stamp: &Stamp,
        given: Given,
    ) -> Result<Body, Refusal> {
        let overtaken = self.overtaken(register).ok_or(Work::NotAskedNow)?;
        match given {
            Given::Text(reason) => Ok(body::RevisionReason {
                revision: overtaken.newer,
                sha256: overtaken.sha256,
                approval: overtaken.approval,
                reason,
            }
            .into()),
            Given::Person(_) => {
                let (_, reason) = self.revision_reason.clone().ok_or(Work::NotAskedNow)?;
                let person = Self::actor(register, stamp)?;
                Self::must_hold(register, &person, Role::Approver)?;
                Ok(body::RevisionKept {
                    kept: self.started.revision.clone(),
                    revision: overtaken.newer,
                    sha256: overtaken.sha256,
                    approval: overtaken.approval,
                    reason,
                    person,
                    role: Role::Approver.word().to_owned(),
                    register: register.head(),
                }
                .into())
            }
            _ => Err(Work::WrongKind.into()),
        }
    }

    /// What passes a step without doing it waits for the choice as well.
    pub(super) fn refuse_while_overtaken(
        &self,
        register: &Register,
        stamp: &Stamp,
    ) -> Result<(), Refusal> {
        match self.due_point(register, stamp) {
            Point::Revision(_) | Point::RevisionSigned(_) => Err(Work::Overtaken {
                kept: self.started.revision.clone(),
            }
            .into()),
            _ => Ok(()),
        }
    }

    pub(super) fn carry_revision(&mut self, body: &Body) {
        match body {
            Body::RevisionReason(body) => {
                self.revision_reason = Some((body.sha256, body.reason.clone()));
            }
            Body::RevisionReasonBack(_) => self.revision_reason = None,
            Body::RevisionKept(body) => {
                self.revision_reason = None;
                self.revisions_kept.insert(body.sha256);
            }
            _ => {}
        }
    }
}
