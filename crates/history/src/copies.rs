//! Copies in and out: a whole history to another file, a stream brought in, and the check of the file itself.

use std::fs::{self, File, OpenOptions};
use std::path::{Path, PathBuf};
use std::time::Duration;

use reseat_record::log::{Hash, Id, Sealed};
use rusqlite::backup::Backup;
use rusqlite::{Connection, TransactionBehavior};

use crate::append::{new_copy, write_entry, write_text};
use crate::fault::StorageFault;
use crate::index::{RebuildRow, write_row};
use crate::open::History;
use crate::read::{Copy, Origin};

/// Pages copied at one go; between two of them other sessions may write.
const PAGES: i32 = 1024;

impl History {
    /// Copies the history to one new file: entries, texts and indexes as they stand now, without the sealed keys.
    ///
    /// It is whole as soon as it has its name, and is never written over a file that is there.
    pub fn backup(&self, target: &Path) -> Result<(), StorageFault> {
        if target.exists() {
            return Err(StorageFault::TargetExists {
                path: target.to_path_buf(),
            });
        }
        let part = with_ending(target, ".part");
        let made = self.write_backup(&part, target);
        if made.is_err() {
            // What is left of a failed copy is worth nothing, and the first fault is the one to tell.
            let _ = fs::remove_file(&part);
        }
        made
    }

    fn write_backup(&self, part: &Path, target: &Path) -> Result<(), StorageFault> {
        copy_file(self.connection()?, part)?;
        let copy = Connection::open(part).map_err(|error| StorageFault::from(error).at(part))?;
        // One file without a log beside it, and no trace of the keys in free pages.
        copy.pragma_update(None, "secure_delete", "ON")?;
        copy.pragma_update_and_check(None, "journal_mode", "DELETE", |_| Ok(()))?;
        copy.execute_batch("DELETE FROM secrets; VACUUM;")?;
        copy.close().map_err(|(_, error)| error)?;
        let failed = |error: std::io::Error| cannot_open(target, &error);
        OpenOptions::new()
            .write(true)
            .open(part)
            .and_then(|file| file.sync_all())
            .map_err(failed)?;
        // A hard link fails where the name is taken; a rename would take it over.
        fs::hard_link(part, target)
            .or_else(|_| {
                if target.exists() {
                    Err(taken())
                } else {
                    fs::rename(part, target)
                }
            })
            .map_err(|error| match error.kind() {
                std::io::ErrorKind::AlreadyExists => StorageFault::TargetExists {
                    path: target.to_path_buf(),
                },
                _ => failed(error),
            })?;
        if part.exists() {
            fs::remove_file(part).map_err(failed)?;
        }
        sync_folder(target);
        Ok(())
    }

    /// Brings in a stream from elsewhere as one more copy, whole or not at all. Where it came from is kept in words.
    ///
    /// The entries must follow on one another from number 1. Whether they may come in at all (signatures, vouching,
    /// demo or real) is judged before.
    pub fn bring_in(
        &mut self,
        from: &str,
        entries: &[Sealed],
        index: Option<&RebuildRow>,
        texts: &[(Hash, &[u8])],
    ) -> Result<Option<Copy>, StorageFault> {
        let Some(last) = entries.last() else {
            return Ok(None);
        };
        let stream: Id = last.entry.stream;
        let origin = Origin::Brought(from.to_owned());
        let change = self
            .writer()?
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let number = new_copy(&change, &stream, &origin.stored())?;
        for (hash, bytes) in texts {
            write_text(&change, hash, bytes)?;
        }
        for sealed in entries {
            if sealed.entry.stream != stream {
                return Err(StorageFault::Damaged {
                    what: format!(
                        "an entry of {} among those of {stream}",
                        sealed.entry.stream
                    ),
                });
            }
            write_entry(&change, number, sealed)?;
        }
        if let Some(row) = index {
            write_row(&change, number, last, row)?;
        }
        change.commit()?;
        Ok(Some(Copy {
            number,
            stream,
            origin,
        }))
    }

    /// Has SQLite look through the whole file; what it finds wrong, one sentence each. Empty: nothing found.
    ///
    /// This checks the file's structure. What entries say is checked by verifying their chains.
    pub fn quick_check(&self) -> Result<Vec<String>, StorageFault> {
        let mut check = self.connection()?.prepare("PRAGMA quick_check")?;
        let found: Vec<String> = check
            .query_map([], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        Ok(if found == ["ok"] { Vec::new() } else { found })
    }

    /// Moves what stands in the log beside the file into the file itself, at the end of a job.
    ///
    /// Entries are safe without it. It is asked for because SQLite does it unasked and keeps silent when it fails.
    /// Where other sessions still read, what could be moved was moved, and that is enough.
    pub fn settle(&mut self) -> Result<(), StorageFault> {
        Ok(self
            .writer()?
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?)
    }
}

/// Copies a database, as one moment of it, to a file that must not exist.
pub(crate) fn copy_file(from: &Connection, target: &Path) -> Result<(), StorageFault> {
    OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(target)
        .map_err(|error| match error.kind() {
            std::io::ErrorKind::AlreadyExists => StorageFault::TargetExists {
                path: target.to_path_buf(),
            },
            _ => cannot_open(target, &error),
        })?;
    let mut to = Connection::open(target).map_err(|error| StorageFault::from(error).at(target))?;
    let backup = Backup::new(from, &mut to)?;
    backup.run_to_completion(PAGES, Duration::ZERO, None)?;
    drop(backup);
    to.close().map_err(|(_, error)| error)?;
    Ok(())
}

fn cannot_open(path: &Path, error: &std::io::Error) -> StorageFault {
    StorageFault::CannotOpen {
        path: path.to_path_buf(),
        why: error.to_string(),
    }
}

fn taken() -> std::io::Error {
    std::io::ErrorKind::AlreadyExists.into()
}

fn with_ending(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// A new name in a folder is on disk when the folder is. Only some systems let a folder be synced; elsewhere the
/// name is safe when the system writes it.
fn sync_folder(file: &Path) {
    if let Some(folder) = file.parent()
        && let Ok(folder) = File::open(folder)
    {
        let _ = folder.sync_all();
    }
}
