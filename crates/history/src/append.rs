//! Writing: one or many entries in one transaction, with their index rows and the texts they name.
//!
//! The transaction takes the write lock at once (`IMMEDIATE`): one that read first and wrote later would be refused
//! without waiting as soon as another session had written in between. When the disk fails, what was kept is not
//! guessed: the history is closed, opened again and read, and the answer goes out with the fault.

use reseat_record::log::{Hash, Id, Sealed};
use rusqlite::{
    Connection, ErrorCode, OptionalExtension, Transaction, TransactionBehavior, params,
};

use crate::fault::{Standing, StorageFault};
use crate::index::{RebuildRow, write_row};
use crate::open::History;
use crate::read::{OWN, head_of};

/// One entry to write, with what goes into the same transaction.
#[derive(Debug, Clone, Copy)]
pub struct Append<'a> {
    /// The entry.
    pub sealed: &'a Sealed,
    /// The index row of its stream as it is after this entry; `None` leaves the row as it stands.
    pub index: Option<&'a RebuildRow>,
    /// Texts and pictures it names, each with the SHA-256 of its exact bytes. One that is kept already is left alone.
    pub texts: &'a [(Hash, &'a [u8])],
}

/// What is known for good of a stream of this home.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Founded {
    pub(crate) copy: i64,
    pub(crate) home: Id,
}

impl History {
    /// Writes one entry. When this answers `Ok`, the entry is on disk.
    ///
    /// # Errors
    /// [`StorageFault::Busy`], [`StorageFault::NotNext`] and the like before anything is written;
    /// [`StorageFault::Write`] when the disk failed, which says whether the entry stands.
    pub fn append(
        &mut self,
        sealed: &Sealed,
        index: Option<&RebuildRow>,
        texts: &[(Hash, &[u8])],
    ) -> Result<(), StorageFault> {
        self.append_many(&[Append {
            sealed,
            index,
            texts,
        }])
    }

    /// Writes many entries, of one stream or several, in the order given: all of them or none.
    ///
    /// # Errors
    /// As [`History::append`]; the standing is that of the last entry, and so of all.
    pub fn append_many(&mut self, batch: &[Append<'_>]) -> Result<(), StorageFault> {
        match self.write(batch) {
            Err(cause) if cause.is_device() => Err(self.look_again(batch, cause)),
            outcome => outcome,
        }
    }

    fn write(&mut self, batch: &[Append<'_>]) -> Result<(), StorageFault> {
        self.writer()?;
        let Self {
            connection: Some(connection),
            founded,
            ..
        } = self
        else {
            return Err(StorageFault::Closed);
        };
        let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut met = Vec::new();
        for item in batch {
            let stream = item.sealed.entry.stream;
            let known = founded.get(&stream).or_else(|| {
                met.iter()
                    .rev()
                    .find(|(other, _)| *other == stream)
                    .map(|(_, founded)| founded)
            });
            let found = if let Some(known) = known {
                *known
            } else {
                let found = own_copy(&change, item.sealed)?;
                met.push((stream, found));
                found
            };
            write_one(&change, found, item)?;
        }
        change.commit()?;
        // Only now: a transaction taken back leaves nothing to know.
        founded.extend(met);
        Ok(())
    }

    /// Closes, opens again and reads whether the last entry of the batch stands.
    fn look_again(&mut self, batch: &[Append<'_>], cause: StorageFault) -> StorageFault {
        let standing = match batch.last() {
            Some(last) => self.standing(last.sealed).unwrap_or(Standing::Unknown),
            None => Standing::NotKept,
        };
        StorageFault::Write {
            standing,
            cause: Box::new(cause),
        }
    }

    fn standing(&mut self, sealed: &Sealed) -> Result<Standing, StorageFault> {
        self.reopen()?;
        let connection = self.connection()?;
        let kept: Option<Hash> = connection
            .query_row(
                "SELECT e.hash FROM entries e JOIN copies c USING (copy)
                  WHERE c.stream = ?1 AND c.origin = 'home' AND e.number = ?2",
                params![
                    sealed.entry.stream.to_string(),
                    integer(sealed.entry.number)?
                ],
                |row| Ok(Hash(row.get(0)?)),
            )
            .optional()?;
        if kept != Some(sealed.hash) {
            return Ok(Standing::NotKept);
        }
        // Read back is not yet on disk: a checkpoint syncs the log, and fails where the disk still does.
        connection.query_row("PRAGMA wal_checkpoint(PASSIVE)", [], |_| Ok(()))?;
        Ok(Standing::Kept)
    }
}

/// A number of an entry as the database keeps it.
pub(crate) fn integer(number: u64) -> Result<i64, StorageFault> {
    i64::try_from(number).map_err(|_| StorageFault::Damaged {
        what: format!("entry number {number} is out of range"),
    })
}

fn write_one(
    change: &Transaction<'_>,
    founded: Founded,
    item: &Append<'_>,
) -> Result<(), StorageFault> {
    let entry = &item.sealed.entry;
    if entry.home != founded.home {
        return Err(StorageFault::ForeignHome {
            stream: entry.stream,
            founder: founded.home,
            home: entry.home,
        });
    }
    for (hash, bytes) in item.texts {
        write_text(change, hash, bytes)?;
    }
    write_entry(change, founded.copy, item.sealed)?;
    if let Some(row) = item.index {
        write_row(change, founded.copy, item.sealed, row)?;
    }
    Ok(())
}

/// Writes one entry under a copy. The guard in the table speaks; why it did is looked up only then.
pub(crate) fn write_entry(
    change: &Connection,
    copy: i64,
    sealed: &Sealed,
) -> Result<(), StorageFault> {
    let entry = &sealed.entry;
    let written = change
        .prepare_cached("INSERT INTO entries (copy, number, previous, hash, kind, bytes) VALUES (?1, ?2, ?3, ?4, ?5, ?6)")?
        .execute(params![copy, integer(entry.number)?, entry.previous.0, sealed.hash.0, entry.kind, sealed.bytes]);
    match written {
        Ok(_) => Ok(()),
        Err(error) if error.sqlite_error_code() == Some(ErrorCode::ConstraintViolation) => {
            let head = head_of(change, copy, entry.stream)?;
            if sealed.follows(&head).is_err() {
                Err(StorageFault::NotNext {
                    stream: entry.stream,
                    number: entry.number,
                    head,
                })
            } else {
                Err(error.into())
            }
        }
        Err(error) => Err(error.into()),
    }
}

/// Keeps a text under its hash, unless it is kept already.
pub(crate) fn write_text(
    change: &Connection,
    hash: &Hash,
    bytes: &[u8],
) -> Result<(), StorageFault> {
    // Checked here because nothing could ever put it right: a text is never changed.
    if Hash::of(bytes) != *hash {
        return Err(StorageFault::TextHash { named: *hash });
    }
    let kept = change
        .prepare_cached("SELECT 1 FROM texts WHERE sha256 = ?1")?
        .exists([hash.0])?;
    if !kept {
        change
            .prepare_cached("INSERT INTO texts (sha256, bytes) VALUES (?1, ?2)")?
            .execute(params![hash.0, bytes])?;
    }
    Ok(())
}

/// The own copy of the entry's stream and the home that founded it; made where the entry founds it.
fn own_copy(change: &Transaction<'_>, sealed: &Sealed) -> Result<Founded, StorageFault> {
    let stream = sealed.entry.stream;
    if let Some(copy) = find_own(change, &stream)? {
        let first: Option<Vec<u8>> = change
            .query_row(
                "SELECT bytes FROM entries WHERE copy = ?1 AND number = 1",
                [copy],
                |row| row.get(0),
            )
            .optional()?;
        return match first {
            None => Ok(Founded {
                copy,
                home: sealed.entry.home,
            }),
            Some(bytes) => {
                let first = Sealed::read(&bytes).map_err(|damage| StorageFault::Damaged {
                    what: format!("entry 1 of {stream} cannot be read ({damage})"),
                })?;
                Ok(Founded {
                    copy,
                    home: first.entry.home,
                })
            }
        };
    }
    let copy = new_copy(change, &stream, OWN)?;
    Ok(Founded {
        copy,
        home: sealed.entry.home,
    })
}

pub(crate) fn find_own(connection: &Connection, stream: &Id) -> Result<Option<i64>, StorageFault> {
    let mut find = connection
        .prepare_cached("SELECT copy FROM copies WHERE stream = ?1 AND origin = 'home'")?;
    Ok(find
        .query_row([stream.to_string()], |row| row.get(0))
        .optional()?)
}

pub(crate) fn new_copy(
    change: &Connection,
    stream: &Id,
    origin: &str,
) -> Result<i64, StorageFault> {
    change
        .prepare_cached("INSERT INTO copies (stream, origin) VALUES (?1, ?2)")?
        .execute(params![stream.to_string(), origin])?;
    Ok(change.last_insert_rowid())
}

#[cfg(test)]
mod tests {
    use reseat_record::log::{Clock, Entry, Stamp};

    use super::*;
    use crate::home::Home;

    fn next(history: &History, stream: Id, note: &str) -> Sealed {
        let stamp = Stamp {
            home: Id::from_bytes([7; 10]),
            by: None,
            utc: "2026-03-12T12:55:02.120Z".into(),
            offset: "+01:00".into(),
            clock: Clock::Trusted,
            acted: None,
            demo: true,
        };
        let body = [("note".to_owned(), note.into())].into_iter().collect();
        Entry::next(&history.head(&stream).unwrap(), &stamp, "remark/1", 1, body)
            .seal()
            .unwrap()
    }

    #[test]
    fn a_full_disk_keeps_nothing_says_so_and_loses_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let mut history = History::open(&Home::open(folder.path()).unwrap()).unwrap();
        let stream = Id::from_bytes([1; 10]);
        let first = next(&history, stream, "before");
        history.append(&first, None, &[]).unwrap();
        // The limit holds for this connection only: after opening again there is room, as after clearing a disk.
        let pages: i64 = history
            .connection()
            .unwrap()
            .pragma_query_value(None, "page_count", |row| row.get(0))
            .unwrap();
        history
            .connection()
            .unwrap()
            .pragma_update_and_check(None, "max_page_count", pages, |_| Ok(()))
            .unwrap();
        let large = next(&history, stream, &"x".repeat(40_000));
        let fault = history.append(&large, None, &[]).unwrap_err();
        assert_eq!(
            fault,
            StorageFault::Write {
                standing: Standing::NotKept,
                cause: Box::new(StorageFault::DiskFull)
            }
        );
        assert_eq!(fault.standing(), Some(Standing::NotKept));
        assert_eq!(history.head(&stream).unwrap(), first.head());
        history.append(&large, None, &[]).unwrap();
        assert_eq!(history.head(&stream).unwrap(), large.head());
    }

    #[test]
    fn looking_again_tells_what_stands() {
        let folder = tempfile::tempdir().unwrap();
        let mut history = History::open(&Home::open(folder.path()).unwrap()).unwrap();
        let stream = Id::from_bytes([1; 10]);
        let first = next(&history, stream, "kept");
        history.append(&first, None, &[]).unwrap();
        let second = next(&history, stream, "never written");
        let cause = || StorageFault::Device { code: 1034 };
        let asked = |history: &mut History, sealed: &Sealed| {
            let fault = history.look_again(
                &[Append {
                    sealed,
                    index: None,
                    texts: &[],
                }],
                cause(),
            );
            (fault.standing(), fault.code())
        };
        assert_eq!(
            asked(&mut history, &first),
            (Some(Standing::Kept), "write-kept")
        );
        assert_eq!(
            asked(&mut history, &second),
            (Some(Standing::NotKept), "write-not-kept")
        );
        // The same number with other bytes is another entry.
        let other = Entry {
            kind: "other/1".into(),
            ..Entry::clone(&first.entry)
        }
        .seal()
        .unwrap();
        assert_eq!(asked(&mut history, &other).0, Some(Standing::NotKept));
        std::fs::remove_file(folder.path().join("history.db")).unwrap();
        assert_eq!(
            asked(&mut history, &first),
            (Some(Standing::Unknown), "write-unknown")
        );
        assert_eq!(history.head(&stream).unwrap_err(), StorageFault::Closed);
        assert!(
            !folder.path().join("history.db").exists(),
            "no empty history took its place"
        );
    }
}
