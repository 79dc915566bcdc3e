//! Which folders and files are taken for a home, and what is said of the others.

use std::fs;
use std::path::Path;

use reseat_history::{History, Home, SCHEMA, StorageFault};
use rusqlite::Connection;

use crate::samples::{entry, grow, home, id};

const FIXTURE: &str = include_str!("../fixtures/schema-1.sql");

/// Every statement that makes up the schema, in order of name.
fn schema_of(file: &Path) -> Vec<String> {
    let connection = Connection::open(file).unwrap();
    let mut list = connection
        .prepare("SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY type, name")
        .unwrap();
    list.query_map([], |row| row.get(0))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap()
}

#[test]
fn a_relative_home_is_refused() {
    let fault = Home::open("records").unwrap_err();
    assert_eq!(
        fault,
        StorageFault::RelativeHome {
            path: "records".into()
        }
    );
    assert_eq!(
        fault.to_string(),
        "The home folder records is a relative path."
    );
    assert_eq!(
        fault.remedy(),
        "Give the whole path, beginning at the root."
    );
    assert!(!Path::new("records").exists());
}

#[test]
fn a_home_that_cannot_be_made_or_written_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a-file");
    fs::write(&file, "in the way").unwrap();
    for path in [file.clone(), file.join("home")] {
        let fault = Home::open(&path).unwrap_err();
        assert_eq!(fault.code(), "home-not-writable", "{fault}");
        assert!(fault.sentence().contains("a-file"), "{fault}");
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), "in the way");
}

#[test]
fn opening_leaves_only_the_history_and_the_locks() {
    let (_folder, home) = home();
    let history = History::open(&home).unwrap();
    assert_eq!(history.kept_aside(), None);
    drop(history);
    let mut names: Vec<_> = fs::read_dir(home.root())
        .unwrap()
        .map(|item| item.unwrap().file_name())
        .collect();
    names.sort();
    assert_eq!(names, ["history.db", "locks"]);
}

#[cfg(unix)]
#[test]
fn a_home_that_is_made_is_its_owners_alone() {
    use std::os::unix::fs::PermissionsExt;
    let (_folder, home) = home();
    let mode = fs::metadata(home.root()).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o700);
}

#[test]
fn looking_makes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path().join("home");
    assert_eq!(
        Home::look(&root).unwrap_err(),
        StorageFault::NoHistory {
            path: root.join("history.db")
        }
    );
    assert!(!root.exists());
    let home = Home::open(&root).unwrap();
    assert_eq!(
        History::open_read_only(&home).unwrap_err().code(),
        "no-history"
    );
    assert!(!home.database().exists());
}

#[test]
fn what_is_no_history_is_refused_and_left_alone() {
    let (_folder, home) = home();
    let text = "This is a letter and no database, and it is rather longer than the header of one would be, all told.";
    fs::write(home.database(), text).unwrap();
    for fault in [
        History::open(&home).unwrap_err(),
        History::open_read_only(&home).unwrap_err(),
    ] {
        assert_eq!(
            fault,
            StorageFault::NotAHistory {
                path: home.database()
            }
        );
    }
    assert_eq!(fs::read_to_string(home.database()).unwrap(), text);
    fs::remove_file(home.database()).unwrap();
    Connection::open(home.database())
        .unwrap()
        .execute_batch("CREATE TABLE songs (name TEXT)")
        .unwrap();
    let before = fs::read(home.database()).unwrap();
    for fault in [
        History::open(&home).unwrap_err(),
        History::open_read_only(&home).unwrap_err(),
    ] {
        assert_eq!(
            fault,
            StorageFault::NotAHistory {
                path: home.database()
            }
        );
    }
    assert_eq!(fs::read(home.database()).unwrap(), before);
}

#[test]
fn a_newer_history_is_refused_and_left_alone() {
    let (_folder, home) = home();
    grow(&mut History::open(&home).unwrap(), id(1), 1);
    let newer = SCHEMA + 1;
    let connection = Connection::open(home.database()).unwrap();
    connection
        .pragma_update(None, "user_version", newer)
        .unwrap();
    connection
        .pragma_update_and_check(None, "journal_mode", "DELETE", |_| Ok(()))
        .unwrap();
    drop(connection);
    let before = fs::read(home.database()).unwrap();
    let wanted = StorageFault::NewerSchema {
        path: home.database(),
        found: newer,
        known: SCHEMA,
    };
    assert_eq!(History::open(&home).unwrap_err(), wanted);
    assert_eq!(History::open_read_only(&home).unwrap_err(), wanted);
    assert_eq!(fs::read(home.database()).unwrap(), before);
    assert_eq!(wanted.remedy(), "Use the newer reseat on this history.");
}

#[test]
fn a_history_of_schema_1_opens_and_ends_as_a_new_one_would() {
    let (_folder, old) = home();
    Connection::open(old.database())
        .unwrap()
        .execute_batch(FIXTURE)
        .unwrap();
    let mut history = History::open(&old).unwrap();
    let streams: Vec<_> = history
        .copies()
        .unwrap()
        .into_iter()
        .map(|copy| copy.stream)
        .collect();
    assert_eq!(streams, [id(1), id(2)]);
    assert_eq!(history.register().unwrap(), Some(id(1)));
    assert_eq!(history.entries(&id(2)).unwrap().len(), 3);
    assert_eq!(history.rebuilds_at_place("FV-3302").unwrap().len(), 1);
    assert!(history.sealed_key(&id(0x22)).unwrap().is_some());
    for copy in history.copies().unwrap() {
        assert_eq!(history.disagreements(&copy).unwrap(), [] as [u64; 0]);
    }
    let next = entry(&history.head(&id(2)).unwrap(), "written by a later program");
    history.append(&next, None, &[]).unwrap();
    drop(history);
    let (_other, new) = crate::samples::home();
    drop(History::open(&new).unwrap());
    assert_eq!(schema_of(&old.database()), schema_of(&new.database()));
}
