//! Invented entries and rows that the tests write.

use reseat_history::{History, Home, RebuildRow};
use reseat_record::log::{Clock, Entry, Head, Id, Sealed, Stamp};
use tempfile::TempDir;

/// A home in a folder that goes away with the first value.
pub(crate) fn home() -> (TempDir, Home) {
    let folder = tempfile::tempdir().unwrap();
    let home = Home::open(folder.path().join("home")).unwrap();
    (folder, home)
}

/// The identifier that is ten times the same byte.
pub(crate) fn id(byte: u8) -> Id {
    Id::from_bytes([byte; 10])
}

/// The laptop the sample entries are written on.
pub(crate) fn laptop() -> Id {
    id(0x11)
}

fn stamp(home: Id) -> Stamp {
    Stamp {
        home,
        by: Some(id(0x22)),
        utc: "2026-03-12T12:55:02.120Z".into(),
        offset: "+01:00".into(),
        clock: Clock::Trusted,
        acted: None,
        demo: true,
    }
}

/// The entry that follows `head`, written on `home`.
pub(crate) fn entry_on(home: Id, head: &Head, note: &str) -> Sealed {
    let body = [("note".to_owned(), note.into())].into_iter().collect();
    Entry::next(head, &stamp(home), "remark/1", 1, body)
        .seal()
        .unwrap()
}

/// The entry that follows `head`.
pub(crate) fn entry(head: &Head, note: &str) -> Sealed {
    entry_on(laptop(), head, note)
}

/// `count` entries of a new stream.
pub(crate) fn chain(stream: Id, count: u64) -> Vec<Sealed> {
    let mut head = Head::empty(stream);
    let mut chain = Vec::new();
    for number in 1..=count {
        let sealed = entry(&head, &format!("note {number}"));
        head = sealed.head();
        chain.push(sealed);
    }
    chain
}

/// Appends `count` entries to a stream and answers the last.
pub(crate) fn grow(history: &mut History, stream: Id, count: u64) -> Sealed {
    let mut last = None;
    for number in 0..count {
        let sealed = entry(&history.head(&stream).unwrap(), &format!("grown {number}"));
        history.append(&sealed, None, &[]).unwrap();
        last = Some(sealed);
    }
    last.unwrap()
}

/// The row of an open rebuild of unit `serial` at FV-3302, standing at `head`.
pub(crate) fn row(head: &Head, serial: &str) -> RebuildRow {
    RebuildRow {
        stream: head.stream,
        is_register: false,
        serial: Some(serial.into()),
        tag: Some("FV-3302".into()),
        started: "2026-03-12T12:55:02.120Z".into(),
        closed: None,
        by: Some("I. Falk".into()),
        outcome: None,
        state: "APART".into(),
        demo: true,
        head: head.number,
    }
}

/// The row of a register standing at `head`.
pub(crate) fn register_row(head: &Head) -> RebuildRow {
    RebuildRow {
        is_register: true,
        serial: None,
        tag: None,
        by: None,
        state: "founded".into(),
        ..row(head, "")
    }
}
