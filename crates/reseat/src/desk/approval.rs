//! Approving a procedure: its exact bytes are read, named by their hash, and kept with the entry that approves them.

use reseat_procedure::{Finding, Procedure, Reading, Severity};
use reseat_record::log::{Hash, Id};
use reseat_record::register::{Command, FindingShown, ReadThrough};
use sha2::{Digest, Sha256};

use super::{Desk, Fault};

/// What an approval rests on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Approving {
    /// The file's exact bytes.
    pub bytes: Vec<u8>,
    /// Who wrote it.
    pub author: Id,
    /// Who walked it through at the unit.
    pub walked_by: Id,
    /// The day of the walk-through.
    pub walked_on: String,
    /// What the approver read of it before he signs.
    pub read: PagesRead,
}

/// How much of a procedure was read, page by page, and how fast.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PagesRead {
    /// Choices of options it has.
    pub routes: u32,
    /// Pages shown to their end.
    pub pages: u32,
    /// Pages there are.
    pub of: u32,
    /// Seconds from the first to the last.
    pub seconds: u64,
    /// Why warnings may stand.
    pub reason: Option<String>,
}

impl PagesRead {
    /// What was read of a procedure so far, in so many seconds.
    pub fn of(reading: &Reading, seconds: u64, reason: Option<String>) -> Self {
        let count = |many: usize| u32::try_from(many).unwrap_or(u32::MAX);
        let (pages, of) = reading.read_of();
        Self {
            routes: count(reading.routes().len()),
            pages: count(pages),
            of: count(of),
            seconds,
            reason,
        }
    }
}

impl Desk {
    /// Approves a procedure for this site, by the approver's signature. Gives number and revision.
    ///
    /// # Errors
    /// [`Fault::Procedure`] where the text cannot be read or is not proven; refusals; keys and storage.
    pub fn approve(&mut self, approving: &Approving, by: &Id) -> Result<(String, String), Fault> {
        let procedure = read_procedure(&approving.bytes)?;
        let sha256 = procedure_hash(&approving.bytes);
        let command = approval(approving, &procedure)?;
        let stamp = self.stamp(Some(*by));
        self.change_with(&command, &stamp, &[(sha256, &approving.bytes)])?;
        Ok((procedure.number, procedure.revision))
    }

    /// Whether it could be approved by this person, were it read to its end. Asked before he reads; writes nothing.
    ///
    /// # Errors
    /// As [`Desk::approve`], keys and storage apart.
    pub fn may_approve(&self, approving: &Approving, by: &Id) -> Result<(), Fault> {
        let procedure = read_procedure(&approving.bytes)?;
        let read = PagesRead {
            pages: 1,
            of: 1,
            ..approving.read.clone()
        };
        let approving = Approving {
            read,
            ..approving.clone()
        };
        let command = approval(&approving, &procedure)?;
        self.register.decide(command, &self.stamp(Some(*by)))?;
        Ok(())
    }

    /// The procedure kept under a hash.
    ///
    /// # Errors
    /// [`Fault::NoProcedure`], [`Fault::Procedure`]; storage faults.
    pub fn procedure(&self, sha256: &Hash) -> Result<Procedure, Fault> {
        let bytes = self
            .history
            .text(sha256)?
            .ok_or_else(|| Fault::NoProcedure {
                what: sha256.to_string()[..12].to_owned(),
            })?;
        read_procedure(&bytes)
    }
}

fn approval(approving: &Approving, procedure: &Procedure) -> Result<Command, Fault> {
    let findings = reseat_procedure::check(&approving.bytes);
    if let Some(first) = findings
        .iter()
        .find(|finding| finding.severity == Severity::Error)
    {
        return Err(Fault::Procedure { why: said(first) });
    }
    Ok(Command::Approve {
        number: procedure.number.clone(),
        revision: procedure.revision.clone(),
        sha256: procedure_hash(&approving.bytes),
        author: approving.author,
        walked_by: approving.walked_by,
        walked_on: approving.walked_on.clone(),
        read: ReadThrough {
            routes: approving.read.routes,
            pages: approving.read.pages,
            of: approving.read.of,
            seconds: approving.read.seconds,
            findings: findings.iter().map(shown).collect(),
            reason: approving.read.reason.clone(),
        },
    })
}

fn shown(finding: &Finding) -> FindingShown {
    FindingShown {
        code: finding.code.to_owned(),
        weight: finding.severity.word().to_owned(),
        step: finding.step.clone(),
    }
}

fn said(finding: &Finding) -> String {
    format!(
        "Line {}, column {}: {}",
        finding.line, finding.column, finding.message
    )
}

/// Reads a procedure, or says the first thing that is wrong with it.
pub(super) fn read_procedure(bytes: &[u8]) -> Result<Procedure, Fault> {
    reseat_procedure::read(bytes).map_err(|findings| {
        let first = findings
            .iter()
            .find(|finding| finding.severity == Severity::Error)
            .or(findings.first());
        let why = first.map_or_else(|| "The procedure cannot be read.".to_owned(), said);
        Fault::Procedure { why }
    })
}

/// The hash a procedure is named by: SHA-256 of its file's exact bytes.
pub fn procedure_hash(bytes: &[u8]) -> Hash {
    Hash(Sha256::digest(bytes).into())
}
