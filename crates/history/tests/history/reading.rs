//! What was written is found again: streams, heads, lists, beginnings of identifiers, keys, indexes made anew.

use reseat_history::{Found, History, Origin, RebuildRow, SealedKey};
use reseat_record::log::{Chain, Hash, Head, Id, verify_chain};

use crate::samples::{chain, entry, grow, home, id, register_row, row};

fn streams(listed: &[reseat_history::Listed]) -> Vec<Id> {
    listed.iter().map(|listed| listed.row.stream).collect()
}

#[test]
fn a_stream_reads_back_byte_for_byte() {
    let (_folder, home) = home();
    let mut history = History::open(&home).unwrap();
    let written = chain(id(1), 12);
    for sealed in &written {
        history.append(sealed, None, &[]).unwrap();
    }
    grow(&mut history, id(2), 3);
    let later = History::open(&home).unwrap();
    let bytes: Vec<Vec<u8>> = written.iter().map(|sealed| sealed.bytes.clone()).collect();
    assert_eq!(later.entries(&id(1)).unwrap(), bytes);
    assert_eq!(later.entries_after(&id(1), 10).unwrap(), bytes[10..]);
    assert_eq!(later.entry(&id(1), 7).unwrap().as_ref(), Some(&bytes[6]));
    assert_eq!(later.entry(&id(1), 13).unwrap(), None);
    assert_eq!(later.head(&id(1)).unwrap(), written[11].head());
    assert!(matches!(
        verify_chain(bytes.iter().map(Vec::as_slice)),
        Chain::Whole { .. }
    ));
    assert_eq!(
        later.head(&id(9)).unwrap(),
        Head {
            stream: id(9),
            number: 0,
            hash: Hash::ZERO
        }
    );
    assert!(later.entries(&id(9)).unwrap().is_empty());
}

#[test]
fn a_beginning_stands_for_a_stream_only_where_no_other_begins_so() {
    let mut history = History::in_memory().unwrap();
    let one = Id::parse("K7QF-3MZD-R2VA-9TXH").unwrap();
    let two = Id::parse("K7QF-3MZE-R2VA-9TXH").unwrap();
    let three = Id::parse("0123-4567-89AB-CDEF").unwrap();
    for stream in [one, two, three] {
        grow(&mut history, stream, 1);
    }
    assert_eq!(history.find("k7qf-3mzd").unwrap(), Found::One(one));
    assert_eq!(
        history.find("K7QF 3MZE R2VA 9TXH").unwrap(),
        Found::One(two)
    );
    assert_eq!(history.find("K7QF").unwrap(), Found::Many(vec![one, two]));
    assert_eq!(
        history.find("oi23").unwrap(),
        Found::One(three),
        "O and I are read as 0 and 1"
    );
    assert_eq!(history.find("K7Q-").unwrap(), Found::TooShort);
    assert_eq!(history.find("ZZZZ").unwrap(), Found::None);
    assert_eq!(history.find("K7QF%").unwrap(), Found::None);
}

/// A register and four rebuilds: two of S-1 (the first closed), one of S-2, one at another place.
fn listed() -> History {
    let mut history = History::in_memory().unwrap();
    let mut add = |stream: u8, make: &dyn Fn(&Head) -> RebuildRow| {
        let sealed = entry(&Head::empty(id(stream)), "begun");
        history
            .append(&sealed, Some(&make(&sealed.head())), &[])
            .unwrap();
    };
    add(1, &register_row);
    add(2, &|head| RebuildRow {
        closed: Some("2026-03-12T15:00:00.000Z".into()),
        outcome: Some("SIGNED".into()),
        ..row(head, "S-1")
    });
    add(3, &|head| row(head, "S-2"));
    // Its clock was behind: the order of coming decides all the same.
    add(4, &|head| RebuildRow {
        started: "2000-01-01T00:00:00.000Z".into(),
        ..row(head, "S-1")
    });
    add(5, &|head| RebuildRow {
        tag: Some("BPR-11".into()),
        ..row(head, "S-3")
    });
    history
}

#[test]
fn lists_are_by_order_of_coming() {
    let history = listed();
    assert_eq!(history.register().unwrap(), Some(id(1)));
    assert_eq!(streams(&history.registers().unwrap()), [id(1)]);
    assert_eq!(
        streams(&history.rebuilds().unwrap()),
        [id(5), id(4), id(3), id(2)]
    );
    assert_eq!(
        streams(&history.open_rebuilds().unwrap()),
        [id(5), id(4), id(3)]
    );
    assert_eq!(
        streams(&history.rebuilds_of_unit("s-1").unwrap()),
        [id(4), id(2)]
    );
    assert_eq!(
        streams(&history.rebuilds_at_place("fv-3302").unwrap()),
        [id(4), id(3), id(2)]
    );
    assert_eq!(
        streams(&history.newest_of_each_unit().unwrap()),
        [id(5), id(4), id(3)]
    );
    assert_eq!(streams(&history.rebuilds_of_unit("S").unwrap()), []);
    assert_eq!(History::in_memory().unwrap().register().unwrap(), None);
}

#[test]
fn a_row_is_replaced_whole_by_the_next() {
    let mut history = listed();
    let mut standing = history.rows_of(&id(3)).unwrap().remove(0).row;
    for change in 0..9 {
        let sealed = entry(&history.head(&id(3)).unwrap(), "on");
        standing.head = sealed.entry.number;
        match change {
            0 => standing.state = "HALF TIGHT".into(),
            1 => standing.tag = Some("fv-3302".into()),
            2 => standing.serial = Some("s-2".into()),
            3 => standing.tag = None,
            4 => standing.by = Some("R. Ost".into()),
            5 => standing.closed = Some("2026-03-12T16:00:00.000Z".into()),
            6 => standing.outcome = Some("INCOMPLETE".into()),
            7 => standing.closed = None,
            _ => standing.demo = false,
        }
        history.append(&sealed, Some(&standing), &[]).unwrap();
        assert_eq!(
            history.rows_of(&id(3)).unwrap()[0].row,
            standing,
            "change {change}"
        );
    }
    assert_eq!(history.rebuilds().unwrap().len(), 4);
}

#[test]
fn indexes_are_made_again_from_the_entries() {
    let mut history = listed();
    let before = (history.rebuilds().unwrap(), history.registers().unwrap());
    assert!(history.unindexed().unwrap().is_empty());
    let sealed = entry(&history.head(&id(2)).unwrap(), "without a row");
    history.append(&sealed, None, &[]).unwrap();
    let behind: Vec<Id> = history
        .unindexed()
        .unwrap()
        .into_iter()
        .map(|copy| copy.stream)
        .collect();
    assert_eq!(behind, [id(2)]);

    let rows: Vec<RebuildRow> = before
        .0
        .iter()
        .chain(&before.1)
        .map(|listed| listed.row.clone())
        .collect();
    let mut order = Vec::new();
    let without = history
        .rebuild_indexes(|copy, entries| {
            order.push(copy.stream);
            let row = rows.iter().find(|row| row.stream == copy.stream).unwrap();
            // One stream is beyond this program's reading.
            (copy.stream != id(5)).then(|| RebuildRow {
                head: entries.len() as u64,
                ..row.clone()
            })
        })
        .unwrap();
    assert_eq!(order, [id(1), id(2), id(3), id(4), id(5)]);
    assert_eq!(
        without.iter().map(|copy| copy.stream).collect::<Vec<_>>(),
        [id(5)]
    );
    assert_eq!(streams(&history.rebuilds().unwrap()), [id(4), id(3), id(2)]);
    assert_eq!(history.rows_of(&id(2)).unwrap()[0].row.head, 2);
    assert_eq!(history.registers().unwrap(), before.1);
    assert_eq!(history.unindexed().unwrap(), without);
}

#[test]
fn a_sealed_key_is_kept_and_may_be_replaced() {
    let (_folder, home) = home();
    let mut history = History::open(&home).unwrap();
    let key = |byte: u8| SealedKey {
        parameters: format!("argon2id {byte}"),
        sealed: vec![byte; 80],
    };
    assert_eq!(history.sealed_key(&id(1)).unwrap(), None);
    history.put_sealed_key(&id(1), &key(0xA1)).unwrap();
    history.put_sealed_key(&id(2), &key(0xA2)).unwrap();
    history.put_sealed_key(&id(1), &key(0xA3)).unwrap();
    assert_eq!(
        History::open(&home).unwrap().sealed_key(&id(1)).unwrap(),
        Some(key(0xA3))
    );
    assert_eq!(history.sealed_key(&id(2)).unwrap(), Some(key(0xA2)));
    assert_eq!(format!("{:?}", key(0xA3)), "SealedKey(80 bytes)");
    // Once the log is settled, the replaced key is nowhere in the file.
    history.settle().unwrap();
    let file = std::fs::read(home.database()).unwrap();
    let holds = |byte: u8| file.windows(80).any(|window| window == [byte; 80]);
    assert!(holds(0xA3) && holds(0xA2) && !holds(0xA1));
}

#[test]
fn what_was_brought_in_stands_beside_the_own() {
    let mut history = History::in_memory().unwrap();
    let own = chain(id(1), 3);
    for sealed in &own {
        history
            .append(sealed, Some(&row(&sealed.head(), "S-1")), &[])
            .unwrap();
    }
    let mut fork = own[..2].to_vec();
    fork.push(entry(&own[1].head(), "written elsewhere"));
    let text = b"a picture".as_slice();
    let fork_row = row(&fork[2].head(), "S-1");
    let copy = history
        .bring_in(
            "stick of 12 March",
            &fork,
            Some(&fork_row),
            &[(Hash::of(text), text)],
        )
        .unwrap()
        .unwrap();
    assert_eq!(copy.origin, Origin::Brought("stick of 12 March".into()));
    let copies = history.copies_of(&id(1)).unwrap();
    assert_eq!(
        copies.iter().map(|copy| &copy.origin).collect::<Vec<_>>(),
        [&Origin::Home, &copy.origin]
    );
    assert_eq!(history.entries_of(&copies[0]).unwrap()[2], own[2].bytes);
    assert_eq!(history.entries_of(&copies[1]).unwrap()[2], fork[2].bytes);
    assert_eq!(
        history.head(&id(1)).unwrap(),
        own[2].head(),
        "the own copy is the one that is written on"
    );
    assert_eq!(history.rows_of(&id(1)).unwrap().len(), 2);
    assert!(history.text(&Hash::of(text)).unwrap().is_some());
    // One that does not hold together comes in not at all.
    let broken = [own[0].clone(), own[2].clone()];
    assert_eq!(
        history
            .bring_in("x", &broken, None, &[])
            .unwrap_err()
            .code(),
        "not-next"
    );
    let mixed = [own[0].clone(), chain(id(2), 2)[1].clone()];
    assert_eq!(
        history.bring_in("x", &mixed, None, &[]).unwrap_err().code(),
        "damaged"
    );
    assert_eq!(history.bring_in("x", &[], None, &[]).unwrap(), None);
    assert_eq!(history.copies().unwrap().len(), 2);
}
