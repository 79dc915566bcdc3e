//! Rebuilds made in memory for the demo: the same decisions and signatures, kept all at once.

use reseat_history::Append;
use reseat_record::log::{Id, Sealed};
use reseat_record::rebuild::{Command, Rebuild, Start, must_sign};

use super::founding::new_id;
use super::rebuilds::row_of;
use super::{Desk, Fault};

impl Desk {
    /// The start of a rebuild, not written.
    pub(crate) fn rehearse_start(&mut self, start: Start) -> Result<(Rebuild, Sealed), Fault> {
        let (sha256, performer) = (start.procedure, start.performer);
        let procedure = self.procedure(&sha256)?;
        let (stream, stamp) = (new_id()?, self.stamp(Some(performer)));
        let entry = Rebuild::start(&self.register, &procedure, sha256, start, stream, &stamp)?;
        let damaged = |damage| Fault::broken(stream, 1, &damage);
        let sealed = entry.sign(self.keys.key(&performer)?).map_err(damaged)?;
        let rebuild = Rebuild::begin(procedure, &sealed).map_err(damaged)?;
        self.written(&sealed);
        Ok((rebuild, sealed))
    }

    /// One command, decided, signed and applied, not written.
    pub(crate) fn rehearse(
        &mut self,
        rebuild: &mut Rebuild,
        command: Command,
        by: &Id,
    ) -> Result<Sealed, Fault> {
        let entry = rebuild.decide(&self.register, command, &self.stamp(Some(*by)))?;
        let (stream, number) = (entry.stream, entry.number);
        let sealed = if must_sign(&entry.kind) {
            entry.sign(self.keys.key(by)?)
        } else {
            entry.seal()
        }
        .map_err(|damage| Fault::broken(stream, number, &damage))?;
        rebuild.apply(&sealed);
        self.written(&sealed);
        Ok(sealed)
    }

    /// Keeps rebuilds made in memory, all of their entries in one transaction.
    pub(crate) fn keep_rehearsed(
        &mut self,
        rebuilds: &[(Rebuild, Vec<Sealed>)],
    ) -> Result<(), Fault> {
        let rows: Vec<_> = rebuilds
            .iter()
            .map(|(rebuild, entries)| {
                row_of(
                    rebuild,
                    self.demo(),
                    entries.last().map_or(0, |last| last.entry.number),
                )
            })
            .collect();
        let mut batch: Vec<Append<'_>> = Vec::new();
        for ((_, entries), row) in rebuilds.iter().zip(&rows) {
            batch.extend(entries.iter().map(|sealed| Append {
                sealed,
                index: None,
                texts: &[],
            }));
            if let Some(last) = batch.last_mut() {
                last.index = Some(row);
            }
        }
        Ok(self.history.append_many(&batch)?)
    }

    /// The people of a demo that is being made stay at the desk, however far its clock is moved.
    pub(crate) fn stay(&mut self) {
        self.keys.stay(self.clock.elapsed());
    }
}
