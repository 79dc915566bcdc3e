//! The index made anew from the entries.

use std::collections::HashMap;
use std::path::Path;

use reseat_history::{History, Home, RebuildRow};
use reseat_record::log::{Id, Sealed};
use reseat_record::rebuild::Rebuild;
use reseat_record::register::{Founded, Register};

use super::rebuilds::row_of;
use super::rows::register_row;
use super::{Desk, Fault, approval};

impl Desk {
    /// Throws the index of a home away and makes it again from its entries. Gives the records it could make no row of.
    ///
    /// # Errors
    /// Storage faults.
    pub fn reindex(root: &Path) -> Result<Vec<Id>, Fault> {
        Home::look(root)?;
        let mut history = History::open(&Home::open(root)?)?;
        let mut rows = HashMap::new();
        for copy in history.copies()? {
            let entries: Vec<Sealed> = history
                .entries_of(&copy)?
                .iter()
                .map_while(|bytes| Sealed::read(bytes).ok())
                .collect();
            if let Some(row) = row_from(&history, &entries)? {
                rows.insert(copy.number, row);
            }
        }
        let without = history.rebuild_indexes(|copy, _| rows.remove(&copy.number))?;
        Ok(without.into_iter().map(|copy| copy.stream).collect())
    }
}

fn row_from(history: &History, entries: &[Sealed]) -> Result<Option<RebuildRow>, Fault> {
    let (Some(first), Some(last)) = (entries.first(), entries.last()) else {
        return Ok(None);
    };
    if first.entry.kind == Founded::KIND {
        let register = Register::replay(first.entry.stream, entries).ok();
        return Ok(register.map(|register| register_row(&register, last)));
    }
    let Some(sha256) = Rebuild::bound_text(first) else {
        return Ok(None);
    };
    let Some(text) = history.text(&sha256)? else {
        return Ok(None);
    };
    let Ok(procedure) = approval::read_procedure(&text) else {
        return Ok(None);
    };
    let rebuild = Rebuild::replay(procedure, entries).ok();
    Ok(rebuild.map(|rebuild| row_of(&rebuild, first.entry.demo, last.entry.number)))
}
