//! Index rows: one line a stream, for lists and for finding. Worked out from entries by the program and handed in.
//!
//! Nothing here is evidence. A row that is lost or wrong is made again from the entries, which never change.

use reseat_record::log::{Id, Sealed};
use rusqlite::{
    Connection, OptionalExtension, Params, Row, TransactionBehavior, named_params, params,
};

use crate::append::integer;
use crate::fault::StorageFault;
use crate::open::History;
use crate::read::{Copy, Origin, each_of, stored_id, stored_number};

/// What lists show of one stream: of a rebuild, or of a register (which has no unit).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RebuildRow {
    /// The stream.
    pub stream: Id,
    /// Whether the stream is a register and no rebuild.
    pub is_register: bool,
    /// Serial of the unit.
    pub serial: Option<String>,
    /// Tag of the place.
    pub tag: Option<String>,
    /// UTC time of the first entry, as the entry has it.
    pub started: String,
    /// UTC time of the entry that closed it; `None` while it is open.
    pub closed: Option<String>,
    /// Who performs it, or performed it, in words.
    pub by: Option<String>,
    /// How it ended, in words; `None` while it is open.
    pub outcome: Option<String>,
    /// The state of the unit, in words.
    pub state: String,
    /// Whether it was written in a demo home.
    pub demo: bool,
    /// Number of the last entry this row has taken in.
    pub head: u64,
}

/// An index row as it is found, with the copy it speaks of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// Which copy of the stream.
    pub copy: Copy,
    /// The row.
    pub row: RebuildRow,
}

/// The columns of a listed row; the rest of the statement follows.
const LISTED: &str =
    "SELECT s.copy, c.stream, c.origin, s.is_register, s.serial, s.tag, s.started, s.closed,
        s.performer, s.outcome, s.state, s.demo, s.head FROM streams s JOIN copies c USING (copy) ";

impl History {
    /// The register that was founded in this home; `None` in a home where nothing was founded yet.
    pub fn register(&self) -> Result<Option<Id>, StorageFault> {
        let found = self.listed(
            "WHERE s.is_register = 1 AND c.origin = 'home' ORDER BY s.copy",
            [],
        )?;
        Ok(found.first().map(|listed| listed.row.stream))
    }

    /// All registers held here, the own one and copies, in the order they came.
    pub fn registers(&self) -> Result<Vec<Listed>, StorageFault> {
        self.listed("WHERE s.is_register = 1 ORDER BY s.copy", [])
    }

    /// All rebuilds, the one begun last first (by order of coming into this home, never by clock).
    pub fn rebuilds(&self) -> Result<Vec<Listed>, StorageFault> {
        self.listed("WHERE s.is_register = 0 ORDER BY s.copy DESC", [])
    }

    /// Rebuilds that are not closed, the one begun last first.
    pub fn open_rebuilds(&self) -> Result<Vec<Listed>, StorageFault> {
        self.listed(
            "WHERE s.is_register = 0 AND s.closed IS NULL ORDER BY s.copy DESC",
            [],
        )
    }

    /// Rebuilds of one unit by its serial, in any case of letters, the one begun last first.
    pub fn rebuilds_of_unit(&self, serial: &str) -> Result<Vec<Listed>, StorageFault> {
        self.listed(
            "WHERE s.is_register = 0 AND s.serial = ?1 ORDER BY s.copy DESC",
            [serial],
        )
    }

    /// Rebuilds at one place by its tag, in any case of letters, the one begun last first.
    pub fn rebuilds_at_place(&self, tag: &str) -> Result<Vec<Listed>, StorageFault> {
        self.listed(
            "WHERE s.is_register = 0 AND s.tag = ?1 ORDER BY s.copy DESC",
            [tag],
        )
    }

    /// For each unit its rebuild begun last, the newest of all first.
    pub fn newest_of_each_unit(&self) -> Result<Vec<Listed>, StorageFault> {
        self.listed(
            "WHERE s.copy IN (SELECT max(copy) FROM streams WHERE is_register = 0 AND serial IS NOT NULL GROUP BY serial)
             ORDER BY s.copy DESC",
            [],
        )
    }

    /// Of this home's own closed rebuilds those that were closed last by the time they were closed at, the latest first.
    pub fn closed_last(&self, most: u32) -> Result<Vec<Listed>, StorageFault> {
        self.listed(
            "WHERE s.is_register = 0 AND c.origin = 'home' AND s.closed IS NOT NULL ORDER BY s.closed DESC LIMIT ?1",
            [most],
        )
    }

    /// Puts the row of a stream of this home right, after an entry that was written with the row as it stood before it.
    ///
    /// # Errors
    /// [`StorageFault::IndexMismatch`] if the row does not stand at the last entry.
    pub fn put_index(&mut self, row: &RebuildRow) -> Result<(), StorageFault> {
        let change = self
            .writer()?
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let found: Option<(i64, i64)> = change
            .query_row(
                "SELECT copy, (SELECT max(number) FROM entries e WHERE e.copy = c.copy) FROM copies c
                  WHERE stream = ?1 AND origin = 'home'",
                [row.stream.to_string()],
                |found| Ok((found.get(0)?, found.get(1)?)),
            )
            .optional()?;
        match found {
            Some((copy, head)) if head == integer(row.head)? => put_row(&change, copy, row)?,
            _ => {
                return Err(StorageFault::IndexMismatch {
                    stream: row.stream,
                    number: row.head,
                });
            }
        }
        Ok(change.commit()?)
    }

    /// The rows of every copy of one stream, the own one first.
    pub fn rows_of(&self, stream: &Id) -> Result<Vec<Listed>, StorageFault> {
        self.listed(
            "WHERE c.stream = ?1 ORDER BY c.origin <> 'home', s.copy",
            [stream.to_string()],
        )
    }

    /// Copies whose index row is missing or does not stand at their last entry: a reason to rebuild the indexes.
    pub fn unindexed(&self) -> Result<Vec<Copy>, StorageFault> {
        self.copies_where(
            "WHERE NOT EXISTS (SELECT 1 FROM streams s WHERE s.copy = c.copy
                    AND s.head = (SELECT max(number) FROM entries e WHERE e.copy = c.copy)) ORDER BY c.copy",
            [],
        )
    }

    /// Throws all index rows away and makes them again, in one transaction.
    ///
    /// `make` is given each copy in the order they came (so a home's register comes before its rebuilds) with its
    /// entries in order, and answers the row; `None` where it can make none of a damaged or newer stream. Those
    /// copies are returned and appear in no list until they can be read.
    pub fn rebuild_indexes<F>(&mut self, mut make: F) -> Result<Vec<Copy>, StorageFault>
    where
        F: FnMut(&Copy, &[Vec<u8>]) -> Option<RebuildRow>,
    {
        let copies = self.copies_where("ORDER BY c.copy", [])?;
        let change = self
            .writer()?
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        change.execute("DELETE FROM streams", [])?;
        let mut without = Vec::new();
        for copy in copies {
            let mut entries = Vec::new();
            each_of(&change, copy.number, 0, |bytes| {
                entries.push(bytes.to_vec());
            })?;
            match make(&copy, &entries) {
                Some(row) if row.stream == copy.stream => put_row(&change, copy.number, &row)?,
                Some(_) | None => without.push(copy),
            }
        }
        change.execute_batch(
            "DELETE FROM uses;
             INSERT OR IGNORE INTO uses (instrument, copy, number)
             SELECT instrument, copy, number FROM uses_found WHERE instrument IS NOT NULL;",
        )?;
        change.commit()?;
        Ok(without)
    }

    fn listed<P: Params>(&self, rest: &str, params: P) -> Result<Vec<Listed>, StorageFault> {
        let mut statement = self
            .connection()?
            .prepare_cached(&[LISTED, rest].concat())?;
        let mut rows = statement.query(params)?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            found.push(listed_from(row)?);
        }
        Ok(found)
    }
}

fn listed_from(row: &Row<'_>) -> Result<Listed, StorageFault> {
    let stream = stored_id(&row.get::<_, String>("stream")?)?;
    Ok(Listed {
        copy: Copy {
            number: row.get("copy")?,
            stream,
            origin: Origin::from_stored(row.get("origin")?),
        },
        row: RebuildRow {
            stream,
            is_register: row.get("is_register")?,
            serial: row.get("serial")?,
            tag: row.get("tag")?,
            started: row.get("started")?,
            closed: row.get("closed")?,
            by: row.get("performer")?,
            outcome: row.get("outcome")?,
            state: row.get("state")?,
            demo: row.get("demo")?,
            head: stored_number(row.get("head")?)?,
        },
    })
}

/// Writes the row that came with an entry.
pub(crate) fn write_row(
    change: &Connection,
    copy: i64,
    sealed: &Sealed,
    row: &RebuildRow,
) -> Result<(), StorageFault> {
    let entry = &sealed.entry;
    if row.stream != entry.stream || row.head != entry.number {
        return Err(StorageFault::IndexMismatch {
            stream: entry.stream,
            number: entry.number,
        });
    }
    // Most entries move head and state only. Setting just these leaves the indexes on the other columns unwritten,
    // which is a page or more less to sync for each of them.
    let moved = change
        .prepare_cached(
            "UPDATE streams SET state = :state, head = :head WHERE copy = :copy AND is_register = :is_register
                AND serial IS :serial COLLATE BINARY AND tag IS :tag COLLATE BINARY AND started = :started
                AND closed IS :closed AND performer IS :performer AND outcome IS :outcome AND demo = :demo",
        )?
        .execute(named_params! {
            ":copy": copy, ":is_register": row.is_register, ":serial": row.serial, ":tag": row.tag,
            ":started": row.started, ":closed": row.closed, ":performer": row.by, ":outcome": row.outcome,
            ":state": row.state, ":demo": row.demo, ":head": integer(row.head)?,
        })?;
    if moved == 0 {
        put_row(change, copy, row)
    } else {
        Ok(())
    }
}

/// Writes a whole row, new or in place of the one that stands.
pub(crate) fn put_row(
    change: &Connection,
    copy: i64,
    row: &RebuildRow,
) -> Result<(), StorageFault> {
    change
        .prepare_cached(
            "INSERT INTO streams (copy, is_register, serial, tag, started, closed, performer, outcome, state, demo, head)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)
             ON CONFLICT (copy) DO UPDATE SET is_register = excluded.is_register, serial = excluded.serial,
                tag = excluded.tag, started = excluded.started, closed = excluded.closed,
                performer = excluded.performer, outcome = excluded.outcome, state = excluded.state,
                demo = excluded.demo, head = excluded.head",
        )?
        .execute(params![
            copy,
            row.is_register,
            row.serial,
            row.tag,
            row.started,
            row.closed,
            row.by,
            row.outcome,
            row.state,
            row.demo,
            integer(row.head)?,
        ])?;
    Ok(())
}
