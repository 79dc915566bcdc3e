//! Copies of a whole history, and the check of the file.

use std::fs;

use reseat_history::{History, Home, SealedKey, StorageFault};
use reseat_record::log::Hash;

use crate::samples::{chain, grow, home, id, row};

#[test]
fn a_backup_is_one_file_with_everything_but_the_keys() {
    let (folder, home) = home();
    let mut history = History::open(&home).unwrap();
    let text = b"a procedure".as_slice();
    for sealed in chain(id(1), 4) {
        history
            .append(
                &sealed,
                Some(&row(&sealed.head(), "S-1")),
                &[(Hash::of(text), text)],
            )
            .unwrap();
    }
    history
        .put_sealed_key(
            &id(2),
            &SealedKey {
                parameters: "argon2id".into(),
                sealed: vec![0xA7; 80],
            },
        )
        .unwrap();
    let elsewhere = folder.path().join("elsewhere");
    fs::create_dir(&elsewhere).unwrap();
    let target = elsewhere.join("history.db");
    history.backup(&target).unwrap();
    let bytes = fs::read(&target).unwrap();
    assert!(
        !bytes.windows(80).any(|window| window == [0xA7; 80]),
        "no sealed key, not even in a free page"
    );
    let names: Vec<_> = fs::read_dir(&elsewhere)
        .unwrap()
        .map(|item| item.unwrap().file_name())
        .collect();
    assert_eq!(names, ["history.db"]);

    // Looked at as it lies, as on a medium that cannot be written: nothing comes to stand beside it.
    let looking = History::open_read_only(&Home::look(&elsewhere).unwrap()).unwrap();
    assert_eq!(looking.entries(&id(1)).unwrap().len(), 4);
    assert_eq!(fs::read_dir(&elsewhere).unwrap().count(), 1);
    drop(looking);
    assert_eq!(fs::read(&target).unwrap(), bytes);

    let copy = History::open(&Home::open(&elsewhere).unwrap()).unwrap();
    assert_eq!(
        copy.entries(&id(1)).unwrap(),
        history.entries(&id(1)).unwrap()
    );
    assert_eq!(copy.text(&Hash::of(text)).unwrap().as_deref(), Some(text));
    assert_eq!(copy.rebuilds().unwrap(), history.rebuilds().unwrap());
    assert_eq!(copy.sealed_key(&id(2)).unwrap(), None);
    assert!(history.sealed_key(&id(2)).unwrap().is_some());
    assert!(copy.quick_check().unwrap().is_empty());

    assert_eq!(
        history.backup(&target).unwrap_err(),
        StorageFault::TargetExists {
            path: target.clone()
        }
    );
}

#[test]
fn a_backup_that_cannot_be_made_leaves_nothing() {
    let (folder, home) = home();
    let mut history = History::open(&home).unwrap();
    grow(&mut history, id(1), 1);
    let nowhere = folder.path().join("no-such-folder").join("copy.db");
    assert_eq!(history.backup(&nowhere).unwrap_err().code(), "cannot-open");
    assert!(!folder.path().join("no-such-folder").exists());
}

#[test]
fn the_check_finds_a_file_with_a_hole() {
    let (_folder, home) = home();
    let mut history = History::open(&home).unwrap();
    grow(&mut history, id(1), 60);
    assert!(history.quick_check().unwrap().is_empty());
    history.settle().unwrap();
    drop(history);
    let mut bytes = fs::read(home.database()).unwrap();
    // The second half of the file, page headers included.
    let half = bytes.len() / 2;
    bytes[half..].fill(0);
    fs::write(home.database(), bytes).unwrap();
    match History::open(&home) {
        Ok(history) => match history.quick_check() {
            Ok(found) => assert!(!found.is_empty()),
            Err(fault) => assert_eq!(fault.code(), "damaged"),
        },
        Err(fault) => assert_eq!(fault.code(), "damaged"),
    }
}

#[test]
fn a_history_for_reading_takes_no_write() {
    let (_folder, home) = home();
    let last = grow(&mut History::open(&home).unwrap(), id(1), 2);
    let mut looking = History::open_read_only(&home).unwrap();
    assert!(!looking.is_writable());
    assert_eq!(looking.head(&id(1)).unwrap(), last.head());
    let next = crate::samples::entry(&last.head(), "not to be");
    let refused = StorageFault::OpenedForReading;
    assert_eq!(looking.append(&next, None, &[]).unwrap_err(), refused);
    assert_eq!(looking.rebuild_indexes(|_, _| None).unwrap_err(), refused);
    assert_eq!(looking.settle().unwrap_err(), refused);
    let key = SealedKey {
        parameters: String::new(),
        sealed: vec![1],
    };
    assert_eq!(looking.put_sealed_key(&id(2), &key).unwrap_err(), refused);
}
