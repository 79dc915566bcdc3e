//! What can go wrong with storage, and the words for it.
//!
//! All sentences and remedies of this package stand here and nowhere else. Causes are told apart by SQLite's result
//! codes and by looking at the tables, never by the text of a message.

use std::path::PathBuf;

use reseat_record::log::{Hash, Head, Id};
use rusqlite::ErrorCode;

/// Whether an entry stands after a write that ended in an input or output error: found out by closing the history,
/// opening it again and reading the last entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// The entry is in the history and the disk has confirmed it.
    Kept,
    /// The entry is not in the history; nothing of it was kept.
    NotKept,
    /// The history could not be opened or read again.
    Unknown,
}

/// Why a home or its history could not be opened, read or written.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum StorageFault {
    /// The home folder was given by a path that depends on the folder the program was started in.
    #[error("The home folder {} is a relative path.", path.display())]
    RelativeHome {
        /// The path as given.
        path: PathBuf,
    },
    /// The home folder lies on a file system shared over a network.
    #[error("The home folder {} is on a network file system ({kind}). A history cannot be kept there: its locks do not hold between computers.", path.display())]
    NetworkHome {
        /// The home folder.
        path: PathBuf,
        /// The file system's own name for its type, such as `nfs4`.
        kind: String,
    },
    /// The home folder could not be made or written.
    #[error("The home folder cannot be written at {}: {why}.", path.display())]
    HomeNotWritable {
        /// The folder or file that failed.
        path: PathBuf,
        /// The system's words.
        why: String,
    },
    /// There is no history at this place, and only reading was asked for.
    #[error("There is no history at {}.", path.display())]
    NoHistory {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// The file is there and is no history of ours.
    #[error("The file {} is not a reseat history.", path.display())]
    NotAHistory {
        /// The file.
        path: PathBuf,
    },
    /// The history was written by a newer program.
    #[error("The history {} was written by a newer reseat (schema {found}; this program knows up to {known}). It was not touched.", path.display())]
    NewerSchema {
        /// The file.
        path: PathBuf,
        /// Its schema number.
        found: i64,
        /// The newest schema number this program knows.
        known: i64,
    },
    /// The history is of an older schema and was opened for reading only, which changes nothing.
    #[error("The history {} is of an older form (schema {found}; this program reads {known}). Reading changes nothing, so it was left as it is.", path.display())]
    OlderSchema {
        /// The file.
        path: PathBuf,
        /// Its schema number.
        found: i64,
        /// The schema number this program reads.
        known: i64,
    },
    /// A setting that durability or the guards rest on did not take.
    #[error("The database would not set {name} to {wanted}; it stands at {found}.")]
    Setting {
        /// The setting's name.
        name: &'static str,
        /// What it must be.
        wanted: &'static str,
        /// What it was after setting.
        found: String,
    },
    /// Another program holds the write lock.
    #[error("Another session is writing to this history. Nothing was written.")]
    Busy,
    /// No room left on the disk.
    #[error("The disk is full.")]
    DiskFull,
    /// The history stands on a medium or in a folder that cannot be written.
    #[error("The history cannot be written: its folder or medium is read-only.")]
    ReadOnly,
    /// The file could not be opened.
    #[error("{} cannot be opened: {why}.", path.display())]
    CannotOpen {
        /// The file or folder.
        path: PathBuf,
        /// The system's words, or SQLite's code.
        why: String,
    },
    /// The disk did not do what was asked.
    #[error("The disk reported an error (SQLite code {code}).")]
    Device {
        /// SQLite's extended result code.
        code: i32,
    },
    /// The file or something in it cannot be read as a history.
    #[error("The history is damaged: {what}.")]
    Damaged {
        /// What was found, where.
        what: String,
    },
    /// A write ended in an input or output error; the history was opened again and looked at.
    #[error("{cause} {}", standing_words(*standing))]
    Write {
        /// Whether the last entry of the write stands.
        standing: Standing,
        /// The error that came first.
        cause: Box<StorageFault>,
    },
    /// The history could not be opened again after an error.
    #[error("The history could not be opened again after an error.")]
    Closed,
    /// The entry does not follow on the last one kept.
    #[error("Entry {number} does not follow on {stream}, which stands at entry {}. Another session has written there. Nothing was written.", head.number)]
    NotNext {
        /// The stream.
        stream: Id,
        /// The number the entry carries.
        number: u64,
        /// The head that is kept.
        head: Head,
    },
    /// The entry was made by another home than the one that founded the stream.
    #[error(
        "{stream} was founded by home {founder}; home {home} cannot write to it. Nothing was written."
    )]
    ForeignHome {
        /// The stream.
        stream: Id,
        /// The home that founded it.
        founder: Id,
        /// The home that made the entry.
        home: Id,
    },
    /// A text was handed in, or is kept, under a hash that is not its own.
    #[error("A text does not match its SHA-256 {named}.")]
    TextHash {
        /// The hash it stands under.
        named: Hash,
    },
    /// An index row does not belong to the entry it came with.
    #[error("The index row is not that of entry {number} of {stream}. Nothing was written.")]
    IndexMismatch {
        /// The stream of the entry.
        stream: Id,
        /// The number of the entry.
        number: u64,
    },
    /// A write was asked of a history opened for reading only.
    #[error("The history was opened for reading only. Nothing was written.")]
    OpenedForReading,
    /// A copy would overwrite a file.
    #[error("{} exists already and was not overwritten.", path.display())]
    TargetExists {
        /// The file.
        path: PathBuf,
    },
    /// The database gave an answer that has no better name here.
    #[error("The database answered with an error ({code}): {text}.")]
    Database {
        /// SQLite's extended result code, 0 where the answer came from the binding.
        code: i32,
        /// Its words.
        text: String,
    },
}

impl StorageFault {
    /// A stable name in kebab-case, for machines.
    pub fn code(&self) -> &'static str {
        match self {
            Self::RelativeHome { .. } => "relative-home",
            Self::NetworkHome { .. } => "network-home",
            Self::HomeNotWritable { .. } => "home-not-writable",
            Self::NoHistory { .. } => "no-history",
            Self::NotAHistory { .. } => "not-a-history",
            Self::NewerSchema { .. } => "newer-schema",
            Self::OlderSchema { .. } => "older-schema",
            Self::Setting { .. } => "setting-refused",
            Self::Busy => "busy",
            Self::DiskFull => "disk-full",
            Self::ReadOnly => "read-only",
            Self::CannotOpen { .. } => "cannot-open",
            Self::Device { .. } => "device-error",
            Self::Damaged { .. } => "damaged",
            Self::Write {
                standing: Standing::Kept,
                ..
            } => "write-kept",
            Self::Write {
                standing: Standing::NotKept,
                ..
            } => "write-not-kept",
            Self::Write {
                standing: Standing::Unknown,
                ..
            } => "write-unknown",
            Self::Closed => "closed",
            Self::NotNext { .. } => "not-next",
            Self::ForeignHome { .. } => "foreign-home",
            Self::TextHash { .. } => "text-hash",
            Self::IndexMismatch { .. } => "index-mismatch",
            Self::OpenedForReading => "opened-for-reading",
            Self::TargetExists { .. } => "target-exists",
            Self::Database { .. } => "database",
        }
    }

    /// Whether the entry of a failed write stands; `None` where the failure came before anything was written, so
    /// that nothing can have been kept.
    pub fn standing(&self) -> Option<Standing> {
        match self {
            Self::Write { standing, .. } => Some(*standing),
            _ => None,
        }
    }

    /// Whether the disk or the system failed, so that the history must be opened again before anything is said.
    pub(crate) fn is_device(&self) -> bool {
        matches!(
            self,
            Self::DiskFull | Self::Device { .. } | Self::Damaged { .. } | Self::CannotOpen { .. }
        )
    }

    /// What is wrong and where, in one or two sentences: the words of its `Display`.
    pub fn sentence(&self) -> String {
        self.to_string()
    }

    /// What the person can do about it.
    pub fn remedy(&self) -> String {
        match self {
            Self::RelativeHome { .. } => "Give the whole path, beginning at the root.".into(),
            Self::NetworkHome { .. } => "Choose a folder on a disk of this computer.".into(),
            Self::HomeNotWritable { .. } => {
                "Choose another folder, or have the rights to this one put right.".into()
            }
            Self::NoHistory { .. } => "Check the path. A new home is made by starting reseat without a command.".into(),
            Self::NotAHistory { .. } => "Choose another folder. Nothing in this one was changed.".into(),
            Self::NewerSchema { .. } => "Use the newer reseat on this history.".into(),
            Self::OlderSchema { .. } => {
                "Start reseat once without a command; it keeps a copy and brings the history up to date.".into()
            }
            Self::Setting { .. } => {
                "Move the home folder to an ordinary disk of this computer, and tell whoever looks after it.".into()
            }
            Self::Busy => "Wait a moment and do it again, or end the other session.".into(),
            Self::DiskFull => "Free some room on the disk and do it again.".into(),
            Self::ReadOnly => "Make the folder writable, or copy the history to a disk that is.".into(),
            Self::CannotOpen { .. } => "Check that the file is there and may be read and written by you.".into(),
            Self::Device { .. } => "Stop, keep a copy of the history on another disk, and have the disk checked.".into(),
            Self::Damaged { .. } => {
                "Keep the file as it is and work on from a copy kept elsewhere; reseat verify names what still holds.".into()
            }
            Self::Write { standing: Standing::Kept, cause } => kept_remedy(cause),
            Self::Write { standing: Standing::NotKept, cause } => cause.remedy(),
            Self::Write { standing: Standing::Unknown, .. } | Self::Closed => {
                "End the program and start it again: it shows what was kept. Repeat nothing before that.".into()
            }
            Self::NotNext { .. } => "The record is read again; look at it and do the step again if it is still wanted.".into(),
            Self::ForeignHome { .. } => {
                "Write on the laptop where it was begun, or have it sent over and take it up here.".into()
            }
            Self::TextHash { .. } => "Get the text again from where it came.".into(),
            Self::IndexMismatch { .. } => "This is a fault of the program; please report it.".into(),
            Self::OpenedForReading => "Close the other session that works on it, and open it again for work.".into(),
            Self::TargetExists { .. } => "Choose another name.".into(),
            Self::Database { .. } => "Do it again; if it comes back, keep a copy of the home folder and report it.".into(),
        }
    }
}

/// Advice for an entry that stands although the disk failed: nothing is done again.
fn kept_remedy(cause: &StorageFault) -> String {
    let next = match cause {
        StorageFault::DiskFull => "free some room on the disk",
        _ => "keep a copy of the history on another disk, and have this one checked",
    };
    format!("The entry is kept and needs no repeating. Before the next one: {next}.")
}

fn standing_words(standing: Standing) -> &'static str {
    match standing {
        Standing::Kept => "The history was opened again and read: the entry was kept.",
        Standing::NotKept => "The history was opened again and read: the entry was not kept.",
        Standing::Unknown => "Whether the entry was kept could not be found out.",
    }
}

impl From<rusqlite::Error> for StorageFault {
    fn from(error: rusqlite::Error) -> Self {
        let rusqlite::Error::SqliteFailure(ref failure, _) = error else {
            return Self::from_binding(&error);
        };
        let code = failure.extended_code;
        match failure.code {
            ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => Self::Busy,
            ErrorCode::DiskFull => Self::DiskFull,
            ErrorCode::ReadOnly => Self::ReadOnly,
            ErrorCode::SystemIoFailure => Self::Device { code },
            ErrorCode::DatabaseCorrupt => Self::Damaged {
                what: format!("SQLite code {code}"),
            },
            ErrorCode::NotADatabase => Self::NotAHistory {
                path: PathBuf::new(),
            },
            ErrorCode::CannotOpen | ErrorCode::PermissionDenied => Self::CannotOpen {
                path: PathBuf::new(),
                why: format!("SQLite code {code}"),
            },
            _ => Self::Database {
                code,
                text: error.to_string(),
            },
        }
    }
}

impl StorageFault {
    /// Errors of the binding itself: a stored value of another type than the schema says is damage.
    fn from_binding(error: &rusqlite::Error) -> Self {
        use rusqlite::Error::{
            FromSqlConversionFailure, IntegralValueOutOfRange, InvalidColumnType, Utf8Error,
        };
        match error {
            FromSqlConversionFailure(..)
            | IntegralValueOutOfRange(..)
            | InvalidColumnType(..)
            | Utf8Error(..) => Self::Damaged {
                what: error.to_string(),
            },
            _ => Self::Database {
                code: 0,
                text: error.to_string(),
            },
        }
    }

    /// Puts the file's path into a fault that was made where the path was not known.
    pub(crate) fn at(self, file: &std::path::Path) -> Self {
        match self {
            Self::NotAHistory { .. } => Self::NotAHistory {
                path: file.to_path_buf(),
            },
            Self::CannotOpen { why, .. } => Self::CannotOpen {
                path: file.to_path_buf(),
                why,
            },
            other => other,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn from_code(code: i32) -> StorageFault {
        rusqlite::Error::SqliteFailure(rusqlite::ffi::Error::new(code), None).into()
    }

    // Result codes: sqlite.org/rescode.html.
    #[test]
    fn codes_of_the_database_get_their_own_words() {
        for (code, word) in [
            (5, "busy"),
            (6, "busy"),
            (517, "busy"),
            (8, "read-only"),
            (1032, "read-only"),
            (10, "device-error"),
            (778, "device-error"),
            (1034, "device-error"),
            (11, "damaged"),
            (13, "disk-full"),
            (14, "cannot-open"),
            (26, "not-a-history"),
            (1811, "database"),
        ] {
            assert_eq!(from_code(code).code(), word, "{code}");
        }
        assert_eq!(from_code(1034), StorageFault::Device { code: 1034 });
    }

    #[test]
    fn only_failures_of_the_disk_are_looked_into_again() {
        let looked: Vec<i32> = [5, 6, 8, 10, 11, 13, 14, 19, 21, 1034, 1811]
            .into_iter()
            .filter(|code| from_code(*code).is_device())
            .collect();
        assert_eq!(looked, [10, 11, 13, 14, 1034]);
        assert!(!StorageFault::Closed.is_device());
    }

    #[test]
    fn a_failed_write_says_what_failed_then_what_stands() {
        let write = |standing| StorageFault::Write {
            standing,
            cause: Box::new(StorageFault::DiskFull),
        };
        assert_eq!(
            write(Standing::NotKept).sentence(),
            "The disk is full. The history was opened again and read: the entry was not kept."
        );
        assert_eq!(
            write(Standing::NotKept).remedy(),
            "Free some room on the disk and do it again."
        );
        assert_eq!(
            write(Standing::Kept).remedy(),
            "The entry is kept and needs no repeating. Before the next one: free some room on the disk."
        );
        assert_eq!(
            write(Standing::Unknown).remedy(),
            "End the program and start it again: it shows what was kept. Repeat nothing before that."
        );
    }
}
