//! The hold on one rebuild: who works on it, everyone else looks.
//!
//! A lock of the operating system on a file, freed by the system at the program's death, however it died. A lock in
//! the database would outlive a dead battery and ask a person to judge whether the other session still lives.

use std::fs::{File, OpenOptions, TryLockError};

use reseat_record::log::Id;

use crate::fault::StorageFault;
use crate::home::Home;

/// The right to work on one stream, held until dropped. The lock file stays behind, empty and without meaning.
#[derive(Debug)]
#[must_use = "the hold ends as soon as it is dropped"]
pub struct Hold {
    _file: File,
}

impl Hold {
    /// Takes the hold, or answers `None` if another program (or another part of this one) has it.
    pub fn try_take(home: &Home, stream: &Id) -> Result<Option<Self>, StorageFault> {
        let path = home.lock_file(stream);
        let failed = |error: std::io::Error| StorageFault::CannotOpen {
            path: path.clone(),
            why: error.to_string(),
        };
        let file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .open(&path)
            .map_err(failed)?;
        match file.try_lock() {
            Ok(()) => Ok(Some(Self { _file: file })),
            Err(TryLockError::WouldBlock) => Ok(None),
            Err(TryLockError::Error(error)) => Err(failed(error)),
        }
    }
}
