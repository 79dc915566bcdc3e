//! The tables and how an older history is brought up to them.
//!
//! Migrations are ordered SQL files, all run in one transaction under the write lock, counted in `user_version`. A
//! history of an older schema is copied aside first. A newer one is refused before anything is touched.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::copies::copy_file;
use crate::fault::StorageFault;

/// The schema this program writes and reads.
pub const SCHEMA: i64 = 2;

/// Marks the file as a reseat history: the letters RSHT.
pub(crate) const APPLICATION_ID: i64 = 0x5253_4854;

/// One step from the schema before it to `to`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Migration {
    pub(crate) to: i64,
    pub(crate) sql: &'static str,
}

/// In rising order; a released one is never edited.
pub(crate) const MIGRATIONS: &[Migration] = &[
    Migration {
        to: 1,
        sql: include_str!("../migrations/1.sql"),
    },
    Migration {
        to: 2,
        sql: include_str!("../migrations/2.sql"),
    },
];

/// What kind of file was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shape {
    /// Nothing in it yet.
    Empty,
    /// A history of this schema.
    Schema(i64),
    /// A database of something else.
    Foreign,
}

/// Looks at a file without changing it. One statement, and so one moment: asked one by one, the answers may straddle
/// the making of the tables by another program.
pub(crate) fn shape(connection: &Connection) -> rusqlite::Result<Shape> {
    let (application, version, objects): (i64, i64, i64) = connection.query_row(
        "SELECT a.application_id, v.user_version, (SELECT count(*) FROM sqlite_schema)
           FROM pragma_application_id a, pragma_user_version v",
        [],
        |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
    )?;
    Ok(match (application, version, objects) {
        (0, 0, 0) => Shape::Empty,
        (APPLICATION_ID, 1.., _) => Shape::Schema(version),
        _ => Shape::Foreign,
    })
}

/// Refuses what is not ours, or newer than the last of `steps`.
pub(crate) fn admit(
    connection: &Connection,
    file: &Path,
    steps: &[Migration],
) -> Result<Shape, StorageFault> {
    let known = steps.last().map_or(0, |step| step.to);
    match shape(connection).map_err(|error| StorageFault::from(error).at(file))? {
        Shape::Foreign => Err(StorageFault::NotAHistory {
            path: file.to_path_buf(),
        }),
        Shape::Schema(found) if found > known => Err(StorageFault::NewerSchema {
            path: file.to_path_buf(),
            found,
            known,
        }),
        shape => Ok(shape),
    }
}

/// Brings the history up to the last of `steps`, all or nothing. An older history is first copied to a file beside
/// it, whose path is returned. `file` is `None` for a history in memory, which is never older.
pub(crate) fn migrate(
    connection: &mut Connection,
    file: Option<&Path>,
    steps: &[Migration],
) -> Result<Option<PathBuf>, StorageFault> {
    let known = steps.last().map_or(0, |step| step.to);
    let place = file.unwrap_or(Path::new("(memory)"));
    let before = match admit(connection, place, steps)? {
        Shape::Schema(found) if found < known => match file {
            Some(file) => Some(keep_aside(connection, file, found)?),
            None => None,
        },
        Shape::Schema(_) => return Ok(None),
        Shape::Empty | Shape::Foreign => None,
    };
    let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Looked at again under the write lock: another program may have done it meanwhile.
    let found = match admit(&change, place, steps)? {
        Shape::Schema(found) => found,
        Shape::Empty | Shape::Foreign => 0,
    };
    for step in steps.iter().filter(|step| step.to > found) {
        run_step(&change, step)?;
    }
    change.commit()?;
    Ok(before)
}

fn run_step(change: &Transaction<'_>, step: &Migration) -> Result<(), StorageFault> {
    change.execute_batch(step.sql)?;
    change.pragma_update(None, "application_id", APPLICATION_ID)?;
    change.pragma_update(None, "user_version", step.to)?;
    Ok(())
}

/// Copies the history to `history-schema-N.db` beside it (or `-N-2`, `-N-3` … where that name is taken). This copy
/// stays in the home and keeps the sealed keys, so that going back to it loses nothing.
fn keep_aside(connection: &Connection, file: &Path, found: i64) -> Result<PathBuf, StorageFault> {
    let folder = file.parent().unwrap_or(Path::new(""));
    let mut aside = folder.join(format!("history-schema-{found}.db"));
    for counter in 2.. {
        if !aside.exists() {
            break;
        }
        aside = folder.join(format!("history-schema-{found}-{counter}.db"));
    }
    copy_file(connection, &aside)?;
    Ok(aside)
}

#[cfg(test)]
mod tests {
    use super::*;

    const FIXTURE: &str = include_str!("../tests/fixtures/schema-1.sql");

    const NEXT: Migration = Migration {
        to: 2,
        sql: "ALTER TABLE secrets ADD COLUMN hint TEXT;",
    };
    const BROKEN: Migration = Migration {
        to: 3,
        sql: "CREATE TABLE half (a) STRICT;",
    };

    fn fixture(folder: &Path) -> (Connection, PathBuf) {
        let file = folder.join("history.db");
        let connection = Connection::open(&file).unwrap();
        connection.execute_batch(FIXTURE).unwrap();
        (connection, file)
    }

    #[test]
    fn numbers_rise_by_one_and_end_at_the_schema() {
        let numbers: Vec<i64> = MIGRATIONS.iter().map(|step| step.to).collect();
        assert_eq!(numbers, (1..=SCHEMA).collect::<Vec<_>>());
    }

    /// What the trigger asks about a new entry looks that entry up and those it names, however long the record is.
    #[test]
    fn a_new_entry_reads_no_others_than_those_it_names() {
        let mut connection = Connection::open_in_memory().unwrap();
        migrate(&mut connection, None, MIGRATIONS).unwrap();
        let asked = "EXPLAIN QUERY PLAN SELECT instrument, copy, number FROM uses_found
             WHERE instrument IS NOT NULL AND copy = 1 AND number = 2";
        let mut statement = connection.prepare(asked).unwrap();
        let plan: Vec<String> = statement
            .query_map([], |row| row.get("detail"))
            .unwrap()
            .map(Result::unwrap)
            .collect();
        let of_entries: Vec<&String> = plan
            .iter()
            .filter(|line| line.contains(" e ") || line.contains(" o "))
            .collect();
        assert_eq!(of_entries.len(), 4, "{plan:#?}");
        for line in of_entries {
            assert!(line.ends_with("(copy=? AND number=?)"), "{plan:#?}");
        }
    }

    #[test]
    fn an_older_history_is_kept_aside_and_brought_up() {
        let folder = tempfile::tempdir().unwrap();
        let (mut connection, file) = fixture(folder.path());
        std::fs::write(folder.path().join("history-schema-1.db"), "in the way").unwrap();
        let aside = migrate(&mut connection, Some(&file), &[MIGRATIONS[0], NEXT])
            .unwrap()
            .unwrap();
        assert_eq!(aside, folder.path().join("history-schema-1-2.db"));
        assert_eq!(shape(&connection).unwrap(), Shape::Schema(2));
        let old = Connection::open(&aside).unwrap();
        assert_eq!(shape(&old).unwrap(), Shape::Schema(1));
        for each in [&connection, &old] {
            let entries: i64 = each
                .query_row("SELECT count(*) FROM entries", [], |row| row.get(0))
                .unwrap();
            assert_eq!(entries, 5, "every entry of the fixture is still there");
        }
        let keys: i64 = old
            .query_row("SELECT count(*) FROM secrets", [], |row| row.get(0))
            .unwrap();
        assert_eq!(keys, 1, "going back loses no key");
    }

    #[test]
    fn a_step_that_fails_changes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let (mut connection, file) = fixture(folder.path());
        let fault =
            migrate(&mut connection, Some(&file), &[MIGRATIONS[0], NEXT, BROKEN]).unwrap_err();
        assert_eq!(fault.code(), "database");
        assert_eq!(shape(&connection).unwrap(), Shape::Schema(1));
        let hint: i64 = connection
            .query_row(
                "SELECT count(*) FROM pragma_table_info('secrets') WHERE name = 'hint'",
                [],
                |row| row.get(0),
            )
            .unwrap();
        assert_eq!(hint, 0, "the step before the broken one was taken back too");
    }
}
