//! Opening a history: the settings its promises rest on are set and then read back.
//!
//! What is checked rather than trusted: `journal_mode` answers with the word it really uses; a setting compiled out
//! of the library is silently ignored by SQLite. A history whose settings did not take is not opened.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use reseat_record::log::Id;
use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags};

use crate::append::Founded;
use crate::fault::StorageFault;
use crate::home::Home;
use crate::schema::{self, MIGRATIONS, SCHEMA, Shape};

/// How long a write waits for another session before it answers "busy". Short enough for a person at a key.
const PATIENCE: Duration = Duration::from_secs(2);

/// How long to leave a busy file alone before it is tried again at opening.
const PAUSE: Duration = Duration::from_millis(10);

/// Statements kept prepared: more than this package has, so that none is ever prepared twice.
const PREPARED: usize = 64;

/// Where a history stands, and what may be done to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Place {
    File { path: PathBuf, writable: bool },
    Memory,
}

/// The service history of one home, open.
///
/// One thread uses it at a time; other programs may have the same history open, and their writes are seen by
/// [`History::moved`].
#[derive(Debug)]
pub struct History {
    pub(crate) place: Place,
    /// `None` only after an error from which it could not be opened again.
    pub(crate) connection: Option<Connection>,
    /// Streams of this home already met: which copy, and which home founded it. Neither ever changes.
    pub(crate) founded: HashMap<Id, Founded>,
    /// SQLite's `data_version` when [`History::moved`] was last asked.
    pub(crate) version_seen: Option<i64>,
    kept_aside: Option<PathBuf>,
    patience: Duration,
}

impl History {
    /// Opens the home's history for work: makes it where it is missing, brings an older one up to date.
    pub fn open(home: &Home) -> Result<Self, StorageFault> {
        Self::at(Place::File {
            path: home.database(),
            writable: true,
        })
    }

    /// Opens the home's history for reading. Nothing is made and nothing brought up to date.
    pub fn open_read_only(home: &Home) -> Result<Self, StorageFault> {
        Self::at(Place::File {
            path: home.database(),
            writable: false,
        })
    }

    /// A history that lives as long as this value, for tests. It has every guard and no durability.
    pub fn in_memory() -> Result<Self, StorageFault> {
        Self::at(Place::Memory)
    }

    fn at(place: Place) -> Result<Self, StorageFault> {
        let (connection, kept_aside) = connect(&place, PATIENCE)?;
        Ok(Self {
            place,
            connection: Some(connection),
            founded: HashMap::new(),
            version_seen: None,
            kept_aside,
            patience: PATIENCE,
        })
    }

    /// The copy of the history made before an older schema was brought up to date at this opening.
    pub fn kept_aside(&self) -> Option<&Path> {
        self.kept_aside.as_deref()
    }

    /// Sets how long a write waits for another session before it answers [`StorageFault::Busy`]; 2 s at first.
    pub fn wait_for(&mut self, patience: Duration) -> Result<(), StorageFault> {
        self.connection()?.busy_timeout(patience)?;
        self.patience = patience;
        Ok(())
    }

    /// Whether this history can be written to, as it was opened.
    pub fn is_writable(&self) -> bool {
        !matches!(
            self.place,
            Place::File {
                writable: false,
                ..
            }
        )
    }

    pub(crate) fn connection(&self) -> Result<&Connection, StorageFault> {
        self.connection.as_ref().ok_or(StorageFault::Closed)
    }

    /// The connection for writing; opens the history again if an earlier error closed it.
    pub(crate) fn writer(&mut self) -> Result<&mut Connection, StorageFault> {
        if !self.is_writable() {
            return Err(StorageFault::OpenedForReading);
        }
        if self.connection.is_none() {
            self.reopen()?;
        }
        self.connection.as_mut().ok_or(StorageFault::Closed)
    }

    /// Closes and opens again. A history in memory cannot be opened again and stays as it is.
    pub(crate) fn reopen(&mut self) -> Result<(), StorageFault> {
        if self.place == Place::Memory {
            return Ok(());
        }
        drop(self.connection.take());
        self.version_seen = None;
        // A file that went away is not made anew: an empty history would answer that nothing was ever kept.
        if let Place::File { path, .. } = &self.place
            && !path.is_file()
        {
            return Err(StorageFault::NoHistory { path: path.clone() });
        }
        let (connection, _) = connect(&self.place, self.patience)?;
        self.connection = Some(connection);
        Ok(())
    }
}

fn connect(
    place: &Place,
    patience: Duration,
) -> Result<(Connection, Option<PathBuf>), StorageFault> {
    match place {
        Place::Memory => {
            let mut connection = Connection::open_in_memory()?;
            set_up(&connection, patience)?;
            schema::migrate(&mut connection, None, MIGRATIONS)?;
            Ok((connection, None))
        }
        Place::File { path, writable } => {
            let found = if *writable {
                open_patiently(path, patience)
            } else {
                open_to_look(path, patience)
            };
            found.map_err(|fault| fault.at(path))
        }
    }
}

/// Opens for work, again and again while another program is busy with the file and patience lasts. Two programs that
/// make a history at the same moment both need the whole file to turn its log on; SQLite answers "busy" to one of
/// them at once, because it will not wait with a lock in hand.
fn open_patiently(
    path: &Path,
    patience: Duration,
) -> Result<(Connection, Option<PathBuf>), StorageFault> {
    let began = Instant::now();
    loop {
        match open_for_work(path, patience) {
            Err(StorageFault::Busy) if began.elapsed() < patience => thread::sleep(PAUSE),
            outcome => return outcome,
        }
    }
}

fn open_for_work(
    path: &Path,
    patience: Duration,
) -> Result<(Connection, Option<PathBuf>), StorageFault> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
        | OpenFlags::SQLITE_OPEN_CREATE
        | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut connection = Connection::open_with_flags(path, flags)?;
    connection.busy_timeout(patience)?;
    // Before any setting that writes: a file that is not ours, or newer than this program, is not touched.
    schema::admit(&connection, path, MIGRATIONS)?;
    // SQLite opens a file it may not write for reading, without a word.
    if connection.is_readonly("main")? {
        return Err(StorageFault::ReadOnly);
    }
    set_up(&connection, patience)?;
    let word: String =
        connection.pragma_update_and_check(None, "journal_mode", "WAL", |row| row.get(0))?;
    require("journal_mode", "wal", &word)?;
    let aside = schema::migrate(&mut connection, Some(path), MIGRATIONS)?;
    Ok((connection, aside))
}

fn open_to_look(
    path: &Path,
    patience: Duration,
) -> Result<(Connection, Option<PathBuf>), StorageFault> {
    if !path.is_file() {
        return Err(StorageFault::NoHistory {
            path: path.to_path_buf(),
        });
    }
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(path, flags)?;
    connection.busy_timeout(patience)?;
    match schema::admit(&connection, path, MIGRATIONS)? {
        Shape::Schema(SCHEMA) => {}
        Shape::Schema(found) => {
            return Err(StorageFault::OlderSchema {
                path: path.to_path_buf(),
                found,
                known: SCHEMA,
            });
        }
        Shape::Empty | Shape::Foreign => {
            return Err(StorageFault::NoHistory {
                path: path.to_path_buf(),
            });
        }
    }
    set_up(&connection, patience)?;
    Ok((connection, None))
}

/// Sets what holds for every connection, and reads each back.
fn set_up(connection: &Connection, patience: Duration) -> Result<(), StorageFault> {
    connection.busy_timeout(patience)?;
    connection.set_prepared_statement_cache_capacity(PREPARED);
    // A mistyped column name in double quotes would otherwise be taken for a text.
    configure(
        connection,
        DbConfig::SQLITE_DBCONFIG_DQS_DDL,
        "double-quoted text",
        false,
    )?;
    configure(
        connection,
        DbConfig::SQLITE_DBCONFIG_DQS_DML,
        "double-quoted text",
        false,
    )?;
    configure(
        connection,
        DbConfig::SQLITE_DBCONFIG_DEFENSIVE,
        "defensive",
        true,
    )?;
    configure(
        connection,
        DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA,
        "trusted_schema",
        false,
    )?;
    // FULL: the log is synced at every commit, so a power cut takes no entry that was shown as kept.
    set(connection, "synchronous", "FULL", 2, "2")?;
    // Without this a REPLACE removes a row behind the back of the delete trigger.
    set(connection, "recursive_triggers", "ON", 1, "1")?;
    set(connection, "foreign_keys", "ON", 1, "1")?;
    // A replaced sealed key is overwritten, not merely forgotten.
    let erased: i64 =
        connection.pragma_update_and_check(None, "secure_delete", "ON", |row| row.get(0))?;
    require("secure_delete", "1", &erased.to_string())?;
    set(connection, "cell_size_check", "ON", 1, "1")
}

fn configure(
    connection: &Connection,
    option: DbConfig,
    name: &'static str,
    on: bool,
) -> Result<(), StorageFault> {
    let now = connection.set_db_config(option, on)?;
    require(name, if on { "true" } else { "false" }, &now.to_string())
}

fn set(
    connection: &Connection,
    name: &'static str,
    value: &str,
    number: i64,
    wanted: &'static str,
) -> Result<(), StorageFault> {
    connection.pragma_update(None, name, value)?;
    let found: i64 = connection.pragma_query_value(None, name, |row| row.get(0))?;
    if found == number {
        Ok(())
    } else {
        require(name, wanted, &found.to_string())
    }
}

fn require(name: &'static str, wanted: &'static str, found: &str) -> Result<(), StorageFault> {
    if found == wanted {
        Ok(())
    } else {
        Err(StorageFault::Setting {
            name,
            wanted,
            found: found.to_owned(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(connection: &Connection, pragma: &str) -> i64 {
        connection
            .pragma_query_value(None, pragma, |row| row.get(0))
            .unwrap()
    }

    #[test]
    fn every_connection_stands_as_promised() {
        let folder = tempfile::tempdir().unwrap();
        let home = Home::open(folder.path()).unwrap();
        let working = History::open(&home).unwrap();
        let looking = History::open_read_only(&home).unwrap();
        for history in [&working, &looking] {
            let connection = history.connection().unwrap();
            let word: String = connection
                .pragma_query_value(None, "journal_mode", |row| row.get(0))
                .unwrap();
            assert_eq!(word, "wal");
            for (pragma, value) in [
                ("synchronous", 2),
                ("recursive_triggers", 1),
                ("foreign_keys", 1),
                ("trusted_schema", 0),
                ("secure_delete", 1),
                ("cell_size_check", 1),
                ("busy_timeout", 2000),
                ("application_id", schema::APPLICATION_ID),
                ("user_version", SCHEMA),
            ] {
                assert_eq!(number(connection, pragma), value, "{pragma}");
            }
            assert!(
                connection
                    .db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE)
                    .unwrap()
            );
            assert!(
                connection
                    .prepare("SELECT \"nosuchcolumn\" FROM entries")
                    .is_err(),
                "no text in double quotes"
            );
        }
        let written = looking
            .connection()
            .unwrap()
            .execute("INSERT INTO secrets VALUES ('x', 'y', x'00')", []);
        assert_eq!(
            StorageFault::from(written.unwrap_err()),
            StorageFault::ReadOnly
        );
    }

    #[test]
    fn every_table_is_strict() {
        let history = History::in_memory().unwrap();
        let loose: i64 = history
            .connection()
            .unwrap()
            .query_row(
                "SELECT count(*) FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND NOT strict
                   AND name NOT LIKE 'sqlite_%'",
                [],
                |row| row.get(0),
            )
            .unwrap();
        assert_eq!(loose, 0);
    }
}
