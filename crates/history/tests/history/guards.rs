//! Append-only, held by the file itself: against other tools and against this package's own mistakes.

use reseat_history::{History, Home, StorageFault};
use reseat_record::log::{Hash, Head};
use rusqlite::{Connection, ErrorCode, params};
use tempfile::TempDir;

use crate::samples::{chain, entry, entry_on, grow, home, id, row};

/// A home with five entries in stream 1, a text and a sealed key, and the file opened by a tool that knows nothing
/// of the settings of this package.
fn opened_by_another_tool(recursive_triggers: bool) -> (TempDir, Home, Connection) {
    let (folder, home) = home();
    let mut history = History::open(&home).unwrap();
    let text = b"a procedure".as_slice();
    for (place, sealed) in chain(id(1), 5).iter().enumerate() {
        let texts = [(Hash::of(text), text)];
        history
            .append(sealed, None, if place == 0 { &texts } else { &[] })
            .unwrap();
    }
    let connection = Connection::open(home.database()).unwrap();
    connection
        .pragma_update(None, "recursive_triggers", recursive_triggers)
        .unwrap();
    (folder, home, connection)
}

fn refused(connection: &Connection, statement: &str) {
    let error = connection.execute(statement, []).expect_err(statement);
    assert_eq!(
        error.sqlite_error_code(),
        Some(ErrorCode::ConstraintViolation),
        "{statement}: {error}"
    );
}

fn untouched(home: &Home) {
    let history = History::open_read_only(home).unwrap();
    let kept = history.entries(&id(1)).unwrap();
    let written: Vec<Vec<u8>> = chain(id(1), 5)
        .into_iter()
        .map(|sealed| sealed.bytes)
        .collect();
    assert_eq!(kept, written);
    assert_eq!(
        history.text(&Hash::of(b"a procedure")).unwrap().as_deref(),
        Some(b"a procedure".as_slice())
    );
    assert_eq!(history.copies().unwrap().len(), 1);
}

const STATEMENTS: [&str; 21] = [
    "DELETE FROM entries",
    "DELETE FROM entries WHERE number = 5",
    "UPDATE entries SET bytes = x'00' WHERE number = 5",
    "UPDATE OR REPLACE entries SET number = 4 WHERE number = 5",
    "UPDATE entries SET number = number + 1",
    "INSERT OR REPLACE INTO entries SELECT copy, number, previous, hash, kind, x'00' FROM entries WHERE number = 5",
    "REPLACE INTO entries SELECT copy, 6, previous, hash, kind, bytes FROM entries WHERE number = 5",
    "REPLACE INTO entries SELECT copy, 6, hash, hash, kind, bytes FROM entries WHERE number = 5",
    "INSERT OR IGNORE INTO entries SELECT copy, number, previous, hash, kind, bytes FROM entries WHERE number = 5",
    "INSERT INTO entries SELECT copy, number, previous, hash, kind, bytes FROM entries WHERE number = 5
        ON CONFLICT (copy, number) DO UPDATE SET bytes = x'00'",
    "INSERT INTO entries SELECT copy, number, previous, hash, kind, bytes FROM entries WHERE number = 5
        ON CONFLICT DO NOTHING",
    "DELETE FROM copies",
    "UPDATE copies SET origin = 'copy: x'",
    "INSERT OR REPLACE INTO copies SELECT copy, stream, 'copy: x' FROM copies",
    "INSERT OR REPLACE INTO copies (stream, origin) SELECT stream, origin FROM copies",
    "INSERT OR IGNORE INTO copies (stream, origin) SELECT stream, origin FROM copies",
    "DELETE FROM texts",
    "UPDATE texts SET bytes = x'00'",
    "INSERT OR REPLACE INTO texts SELECT sha256, x'00' FROM texts",
    "INSERT OR IGNORE INTO texts SELECT sha256, x'00' FROM texts",
    "INSERT INTO texts SELECT sha256, x'00' FROM texts WHERE true ON CONFLICT DO UPDATE SET bytes = x'00'",
];

#[test]
fn no_statement_changes_or_removes_what_was_written() {
    for recursive in [true, false] {
        let (_folder, home, connection) = opened_by_another_tool(recursive);
        for statement in STATEMENTS {
            refused(&connection, statement);
        }
        untouched(&home);
    }
}

#[test]
fn gaps_forks_and_seen_hashes_are_refused() {
    let (_folder, home, connection) = opened_by_another_tool(true);
    let last: Vec<u8> = connection
        .query_row("SELECT hash FROM entries WHERE number = 5", [], |row| {
            row.get(0)
        })
        .unwrap();
    let third: Vec<u8> = connection
        .query_row("SELECT hash FROM entries WHERE number = 3", [], |row| {
            row.get(0)
        })
        .unwrap();
    let zero = vec![0; 32];
    let insert = |copy: i64, number: i64, previous: &[u8], hash: &[u8]| {
        connection.execute(
            "INSERT INTO entries VALUES (?1, ?2, ?3, ?4, 'x/1', x'00')",
            params![copy, number, previous, hash],
        )
    };
    let fresh = [9; 32].as_slice();
    for (number, previous, hash) in [
        (7, &last, fresh),            // a gap
        (0, &zero, fresh),            // before the first
        (1, &zero, fresh),            // founded anew
        (4, &third, fresh),           // a fork
        (6, &third, fresh),           // follows on another
        (6, &zero, fresh),            // follows on nothing
        (6, &last, third.as_slice()), // a hash that stands already
    ] {
        assert!(insert(1, number, previous, hash).is_err(), "{number}");
    }
    assert!(insert(2, 1, &zero, fresh).is_err(), "no such copy");
    untouched(&home);
    // The one that does follow is taken: the guard is not merely closed.
    insert(1, 6, &last, fresh).unwrap();
}

#[test]
fn append_says_why_an_entry_does_not_follow() {
    let mut history = History::in_memory().unwrap();
    let stream = id(1);
    let entries = chain(stream, 3);
    history.append(&entries[0], None, &[]).unwrap();
    let head = entries[0].head();
    let gap = history.append(&entries[2], None, &[]).unwrap_err();
    assert_eq!(
        gap,
        StorageFault::NotNext {
            stream,
            number: 3,
            head
        }
    );
    let again = history.append(&entries[0], None, &[]).unwrap_err();
    assert_eq!(
        again,
        StorageFault::NotNext {
            stream,
            number: 1,
            head
        }
    );
    let fork = entry(
        &Head {
            hash: Hash([9; 32]),
            ..head
        },
        "fork",
    );
    assert_eq!(
        history.append(&fork, None, &[]).unwrap_err(),
        StorageFault::NotNext {
            stream,
            number: 2,
            head
        }
    );
    assert_eq!(fork.entry.number, 2);
    history.append(&entries[1], None, &[]).unwrap();
    assert_eq!(history.head(&stream).unwrap(), entries[1].head());
}

#[test]
fn a_stream_that_begins_past_one_leaves_no_trace() {
    let mut history = History::in_memory().unwrap();
    let entries = chain(id(1), 2);
    assert_eq!(
        history.append(&entries[1], None, &[]).unwrap_err().code(),
        "not-next"
    );
    assert!(history.copies().unwrap().is_empty());
    // Nor does the session remember a copy that was taken back.
    history.append_many(&[]).unwrap();
    history.append(&entries[0], None, &[]).unwrap();
    history.append(&entries[1], None, &[]).unwrap();
}

#[test]
fn another_home_cannot_write_to_a_stream() {
    let (_folder, home) = home();
    let mut history = History::open(&home).unwrap();
    let last = grow(&mut history, id(1), 2);
    let foreign = entry_on(id(0x33), &last.head(), "from elsewhere");
    let wanted = StorageFault::ForeignHome {
        stream: id(1),
        founder: id(0x11),
        home: id(0x33),
    };
    assert_eq!(history.append(&foreign, None, &[]).unwrap_err(), wanted);
    let mut later = History::open(&home).unwrap();
    assert_eq!(
        later.append(&foreign, None, &[]).unwrap_err(),
        wanted,
        "found out from entry 1 as well"
    );
    assert_eq!(later.head(&id(1)).unwrap(), last.head());
}

#[test]
fn a_batch_is_kept_whole_or_not_at_all() {
    let mut history = History::in_memory().unwrap();
    let one = chain(id(1), 3);
    let two = chain(id(2), 2);
    let append = |sealed| reseat_history::Append {
        sealed,
        index: None,
        texts: &[],
    };
    let broken = [
        append(&one[0]),
        append(&two[0]),
        append(&one[1]),
        append(&one[1]),
    ];
    assert_eq!(history.append_many(&broken).unwrap_err().code(), "not-next");
    assert!(history.copies().unwrap().is_empty());
    let whole = [
        append(&one[0]),
        append(&two[0]),
        append(&one[1]),
        append(&two[1]),
        append(&one[2]),
    ];
    history.append_many(&whole).unwrap();
    assert_eq!(history.head(&id(1)).unwrap(), one[2].head());
    assert_eq!(history.head(&id(2)).unwrap(), two[1].head());
}

#[test]
fn texts_stand_under_their_own_hash_and_are_kept_once() {
    let mut history = History::in_memory().unwrap();
    let entries = chain(id(1), 3);
    let text = b"{\"format\":1}".as_slice();
    let wrong = history
        .append(&entries[0], None, &[(Hash([1; 32]), text)])
        .unwrap_err();
    assert_eq!(
        wrong,
        StorageFault::TextHash {
            named: Hash([1; 32])
        }
    );
    assert_eq!(
        history.head(&id(1)).unwrap().number,
        0,
        "the entry went with its text"
    );
    history
        .append(&entries[0], None, &[(Hash::of(text), text)])
        .unwrap();
    history
        .append(
            &entries[1],
            None,
            &[(Hash::of(text), text), (Hash::of(b""), b"")],
        )
        .unwrap();
    assert_eq!(
        history.text(&Hash::of(text)).unwrap().as_deref(),
        Some(text)
    );
    assert_eq!(
        history.text(&Hash::of(b"")).unwrap().as_deref(),
        Some([].as_slice())
    );
    assert_eq!(history.text(&Hash::of(b"unknown")).unwrap(), None);
}

#[test]
fn an_index_row_must_be_that_of_its_entry() {
    let mut history = History::in_memory().unwrap();
    let entries = chain(id(1), 2);
    let mut behind = row(&entries[0].head(), "S-1");
    behind.head = 2;
    let mismatch = StorageFault::IndexMismatch {
        stream: id(1),
        number: 1,
    };
    assert_eq!(
        history.append(&entries[0], Some(&behind), &[]).unwrap_err(),
        mismatch
    );
    let other = row(&chain(id(2), 1)[0].head(), "S-1");
    assert_eq!(
        history.append(&entries[0], Some(&other), &[]).unwrap_err(),
        mismatch
    );
    assert!(history.rebuilds().unwrap().is_empty());
}

#[test]
fn a_changed_text_or_column_is_noticed_on_reading() {
    let (_folder, home, connection) = opened_by_another_tool(true);
    connection
        .execute_batch(
            "DROP TRIGGER texts_kept; UPDATE texts SET bytes = 'b procedure';
             DROP TRIGGER entries_kept; UPDATE entries SET kind = 'reading/1' WHERE number = 2;
             UPDATE entries SET bytes = x'7b7d' WHERE number = 4;",
        )
        .unwrap_err();
    // STRICT refused text where bytes belong; with bytes of the same length it goes through.
    connection
        .execute_batch(
            "UPDATE texts SET bytes = CAST('b procedure' AS BLOB);
             DROP TRIGGER entries_kept; UPDATE entries SET kind = 'reading/1' WHERE number = 2;
             UPDATE entries SET bytes = x'7b7d' WHERE number = 4;",
        )
        .unwrap();
    let history = History::open_read_only(&home).unwrap();
    let hash = Hash::of(b"a procedure");
    assert_eq!(
        history.text(&hash).unwrap_err(),
        StorageFault::TextHash { named: hash }
    );
    let copy = history.copies().unwrap().remove(0);
    assert_eq!(history.disagreements(&copy).unwrap(), [2, 4]);
}
