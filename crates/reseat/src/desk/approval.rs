//! Approving a procedure: its exact bytes are read, named by their hash, and kept with the entry that approves them.

use reseat_procedure::{Finding, Procedure, Severity};
use reseat_record::log::{Hash, Id};
use reseat_record::register::Command;
use sha2::{Digest, Sha256};

use super::{Desk, Fault};

/// What an approval rests on.
#[derive(Debug, Clone)]
pub struct Approving {
    /// The file's exact bytes.
    pub bytes: Vec<u8>,
    /// Who wrote it.
    pub author: Id,
    /// Who walked it through at the unit.
    pub walked_by: Id,
    /// The day of the walk-through.
    pub walked_on: String,
}

impl Desk {
    /// Approves a procedure for this site, by the approver's signature. Gives number and revision.
    ///
    /// # Errors
    /// [`Fault::Procedure`] where the text cannot be read or is not proven; refusals; keys and storage.
    pub fn approve(&mut self, approving: &Approving, by: &Id) -> Result<(String, String), Fault> {
        let procedure = read_procedure(&approving.bytes)?;
        let errors = reseat_procedure::check(&approving.bytes);
        if let Some(first) = errors
            .iter()
            .find(|finding| finding.severity == Severity::Error)
        {
            return Err(Fault::Procedure { why: said(first) });
        }
        let sha256 = procedure_hash(&approving.bytes);
        let command = Command::Approve {
            number: procedure.number.clone(),
            revision: procedure.revision.clone(),
            sha256,
            author: approving.author,
            walked_by: approving.walked_by,
            walked_on: approving.walked_on.clone(),
        };
        let stamp = self.stamp(Some(*by));
        self.change_with(&command, &stamp, &[(sha256, &approving.bytes)])?;
        Ok((procedure.number, procedure.revision))
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
