//! Which entries rest on an instrument: found by index, worked out from the entries, and made anew with the other indexes.

use reseat_history::History;
use reseat_record::log::{Clock, Entry, Head, Id, Sealed, Stamp};
use serde_json::{Value, json};

use crate::samples::{home, id, laptop, register_row, row};

fn entry_of(head: &Head, kind: &str, body: &Value) -> Sealed {
    let stamp = Stamp {
        home: laptop(),
        by: None,
        utc: "2026-03-12T12:55:02.120Z".into(),
        offset: "+01:00".into(),
        clock: Clock::Trusted,
        acted: None,
        demo: true,
    };
    let body = body.as_object().unwrap().clone();
    Entry::next(head, &stamp, kind, 1, body).seal().unwrap()
}

/// What the entries of one rebuild rest on, and the others that rest on nothing or are of another kind.
fn bodies() -> Vec<(&'static str, Value)> {
    vec![
        ("remark/1", json!({"instruments": [{"id": "TW-19"}]})),
        (
            "reading/1",
            json!({"instruments": [{"id": "TW-19"}, {"id": "PG-12"}]}),
        ),
        ("setting/1", json!({"instrument": {"id": "TW-11"}})),
        ("reading/1", json!({"instruments": []})),
        // Worked out from the second entry and the fourth.
        ("reading/1", json!({"from": [2, 4], "instruments": []})),
        (
            "reading/1",
            json!({"instruments": ["TW-19", 7, {"name": "TW-19"}, {"id": "TW-19"}]}),
        ),
        ("pulled/1", json!({"instrument": "TW-19"})),
    ]
}

fn write(history: &mut History, stream: Id) -> Vec<Sealed> {
    let mut head = Head::empty(stream);
    let mut written = Vec::new();
    for (kind, body) in bodies() {
        let sealed = entry_of(&head, kind, &body);
        head = sealed.head();
        history
            .append(&sealed, Some(&row(&head, "S-1")), &[])
            .unwrap();
        written.push(sealed);
    }
    written
}

fn uses(history: &History, instrument: &str) -> Vec<(String, u64, String, String)> {
    let mut found = Vec::new();
    history
        .each_use(instrument, |used| {
            assert!(!used.bytes.is_empty());
            found.push((
                used.stream.to_owned(),
                used.number,
                used.tag.to_owned(),
                used.serial.to_owned(),
            ));
        })
        .unwrap();
    found
}

#[test]
fn readings_settings_and_what_is_worked_out_of_them_are_found_by_instrument() {
    let (_folder, home) = home();
    let mut history = History::open(&home).unwrap();
    let entries = write(&mut history, id(1));
    write(&mut history, id(2));
    // A copy brought in from elsewhere is another home's to recall.
    history
        .bring_in("a stick", &entries[..2], None, &[])
        .unwrap();
    let wanted = |numbers: &[u64]| -> Vec<_> {
        [id(1), id(2)]
            .iter()
            .flat_map(|stream| {
                numbers.iter().map(|number| {
                    (
                        stream.to_string(),
                        *number,
                        "FV-3302".to_owned(),
                        "S-1".to_owned(),
                    )
                })
            })
            .collect()
    };
    assert_eq!(uses(&history, "TW-19"), wanted(&[2, 5, 6]));
    assert_eq!(uses(&history, "PG-12"), wanted(&[2, 5]));
    assert_eq!(uses(&history, "TW-11"), wanted(&[3]));
    assert_eq!(uses(&history, "TW-1"), []);
    assert_eq!(history.count_uses("TW-19").unwrap(), 6);
    assert_eq!(history.count_uses("TW-1").unwrap(), 0);
    let rows = [id(1), id(2)].map(|stream| row(&history.head(&stream).unwrap(), "S-1"));
    history
        .rebuild_indexes(|copy, _| {
            rows.iter()
                .find(|row| row.stream == copy.stream && copy.number < 3)
                .cloned()
        })
        .unwrap();
    assert_eq!(
        uses(&history, "TW-19"),
        wanted(&[2, 5, 6]),
        "made anew alike"
    );
    assert_eq!(uses(&history, "TW-11"), wanted(&[3]));
}

#[test]
fn an_entry_without_an_index_row_is_found_all_the_same() {
    let (_folder, home) = home();
    let mut history = History::open(&home).unwrap();
    let first = entry_of(&Head::empty(id(1)), "founded/1", &json!({}));
    history
        .append(&first, Some(&register_row(&first.head())), &[])
        .unwrap();
    let reading = entry_of(
        &Head::empty(id(2)),
        "reading/1",
        &json!({"instruments": [{"id": "TW-19"}]}),
    );
    history.append(&reading, None, &[]).unwrap();
    assert_eq!(
        uses(&history, "TW-19"),
        [(id(2).to_string(), 1, String::new(), String::new())]
    );
}
