//! What a recall over 10,000 rebuilds costs: every reading of one wrench found by its index, judged again, named in one signed
//! entry and written. Beside it, a bare read of the same rows where they lie, by one plain statement on the same file, and one
//! durable entry of the same size in a table without anything. Reported besides, without a limit: the same with the rows copied
//! into a table that holds nothing else, which no history of whole rebuilds can be.
//!
//! The readings are those of a whole rebuild of FV-3302, under streams of their own. The ways are taken in turn.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a benchmark reports on standard output, and one that cannot write has nothing to report"
)]

#[path = "../../record/tests/rebuild_site/mod.rs"]
mod rebuild_site;
#[path = "../../record/tests/register_site/mod.rs"]
mod register_site;

use std::path::Path;
use std::time::Instant;

use reseat_history::{Append, History, Home, RebuildRow};
use reseat_measure::Quantity;
use reseat_record::log::{Hash, Id, Sealed};
use reseat_record::recall::{Looked, Recall, Since, Touched, named};
use reseat_record::register::{BenchPoint, Command, Register};
use rusqlite::{Connection, TransactionBehavior};

/// Rebuilds in the home.
const REBUILDS: u32 = 10_000;
/// Readings of the wrench in each, and entries that rest on others.
const OF_THE_WRENCH: usize = 4;
const OF_OTHERS: usize = 4;
/// Interleaved rounds; the first is thrown away.
const ROUNDS: usize = 11;
const GOAL: f64 = 5.0;

/// A few entries of a whole rebuild: readings of TW-19 among entries of all sorts.
fn template() -> Vec<Sealed> {
    let mut site = rebuild_site::Site::new();
    site.start();
    site.until("bottom-ring-on");
    let rests = |sealed: &Sealed| {
        sealed.entry.kind == "reading/1" && sealed.entry.body["instruments"][0]["id"] == "TW-19"
    };
    let wrench = site.entries.iter().filter(|sealed| rests(sealed));
    let others = site.entries.iter().rev().filter(|sealed| !rests(sealed));
    let chosen: Vec<Sealed> = others
        .take(OF_OTHERS)
        .chain(wrench.take(OF_THE_WRENCH))
        .cloned()
        .collect();
    assert_eq!(chosen.len(), OF_THE_WRENCH + OF_OTHERS);
    chosen
}

/// The same entries under a stream of their own, chained anew.
fn again(template: &[Sealed], number: u32) -> Vec<Sealed> {
    let mut id = [7; 10];
    id[..4].copy_from_slice(&number.to_be_bytes());
    let mut previous = Hash::ZERO;
    (1..)
        .zip(template)
        .map(|(at, sealed)| {
            let mut entry = reseat_record::log::Entry::clone(&sealed.entry);
            entry.stream = Id::from_bytes(id);
            entry.home = register_site::HOME;
            entry.number = at;
            entry.previous = previous;
            entry.signature = None;
            let sealed = entry.seal().unwrap();
            previous = sealed.hash;
            sealed
        })
        .collect()
}

/// Writes the rebuilds; gives the bytes of every reading of the wrench.
fn fill(history: &mut History) -> Vec<Vec<u8>> {
    let template = template();
    let mut readings = Vec::new();
    for number in 0..REBUILDS {
        let entries = again(&template, number);
        let last = entries.last().unwrap();
        let row = RebuildRow {
            stream: last.entry.stream,
            is_register: false,
            serial: Some(format!("TP-{:04}", number % 400)),
            tag: Some(format!("FV-{:04}", number % 400)),
            started: last.entry.utc.clone(),
            closed: Some(last.entry.utc.clone()),
            by: Some("Ines Falk".into()),
            outcome: Some("signed".into()),
            state: "SIGNED".into(),
            demo: false,
            head: last.entry.number,
        };
        let batch: Vec<Append<'_>> = entries
            .iter()
            .map(|sealed| Append {
                sealed,
                index: (sealed.entry.number == row.head).then_some(&row),
                texts: &[],
            })
            .collect();
        history.append_many(&batch).unwrap();
        readings.extend(
            entries[OF_OTHERS..]
                .iter()
                .map(|sealed| sealed.bytes.clone()),
        );
    }
    history.settle().unwrap();
    readings
}

/// A plain table with the same promise of durability.
fn bare(file: &Path, readings: &[Vec<u8>]) -> Connection {
    let mut connection = Connection::open(file).unwrap();
    connection
        .pragma_update_and_check(None, "journal_mode", "WAL", |_| Ok(()))
        .unwrap();
    connection
        .pragma_update(None, "synchronous", "FULL")
        .unwrap();
    connection
        .execute_batch(
            "CREATE TABLE bare (number INTEGER PRIMARY KEY, bytes BLOB NOT NULL) STRICT;
             CREATE TABLE kept (number INTEGER PRIMARY KEY, bytes BLOB NOT NULL) STRICT;",
        )
        .unwrap();
    let change = connection.transaction().unwrap();
    for bytes in readings {
        change
            .prepare_cached("INSERT INTO bare (bytes) VALUES (?1)")
            .unwrap()
            .execute([bytes])
            .unwrap();
    }
    change.commit().unwrap();
    connection
}

/// The rows of the wrench where they lie.
const IN_PLACE: &str =
    "SELECT e.bytes FROM uses u JOIN entries e ON e.copy = u.copy AND e.number = u.number
                         WHERE u.instrument = 'TW-19' ORDER BY u.copy, u.number";
/// The same rows in a table of their own.
const APART: &str = "SELECT bytes FROM bare ORDER BY number";

/// Reads every row by this statement, then keeps one entry.
fn bare_way(rows: &Connection, statement: &str, kept: &mut Connection, entry: &[u8]) -> usize {
    let mut length = 0;
    {
        let mut list = rows.prepare_cached(statement).unwrap();
        let mut rows = list.query([]).unwrap();
        while let Some(row) = rows.next().unwrap() {
            length += row.get_ref(0).unwrap().as_blob().unwrap().len();
        }
    }
    let change = kept
        .transaction_with_behavior(TransactionBehavior::Immediate)
        .unwrap();
    change
        .prepare_cached("INSERT INTO kept (bytes) VALUES (?1)")
        .unwrap()
        .execute([entry])
        .unwrap();
    change.commit().unwrap();
    length
}

/// Lists, decides, signs, writes and applies, as the program does; gives the entry.
fn own_way(history: &mut History, register: &mut Register, bench: &register_site::Bench) -> Sealed {
    let wrench = register.instrument("TW-19").unwrap();
    let since = Since::of(wrench, Some("2000-01-01"), "+01:00").unwrap();
    let point = |bench: &str, showed: &str| BenchPoint {
        bench: Quantity::parse(bench).unwrap(),
        showed: Quantity::parse(showed).unwrap(),
    };
    let found = vec![point("91 N·m", "100 N·m"), point("130 N·m", "140 N·m")];
    let mut recall = Recall::new(wrench, &since, &found).unwrap();
    let mut lines: Vec<(String, String, Touched)> = Vec::new();
    history
        .each_use("TW-19", |used| {
            if let Looked::Touched(touched) = recall.look(used.bytes, used.hash) {
                lines.push((used.tag.to_owned(), used.serial.to_owned(), *touched));
            }
        })
        .unwrap();
    let command = Command::Recall {
        instrument: "TW-19".into(),
        since: since.fact,
        from: Some(since.from),
        found,
        rebuilds: named(lines.iter().map(|(.., touched)| touched)),
        reason: "found out on the bench".into(),
    };
    let stamp = bench.stamp(Some(register_site::SEFTON));
    let entry = register.decide(command.clone(), &stamp).unwrap();
    let sealed = entry
        .sign(&register_site::key(register_site::SEFTON.bytes()[0]))
        .unwrap();
    history.append(&sealed, None, &[]).unwrap();
    register.apply(&sealed).unwrap();
    sealed
}

fn middle(values: &mut [f64]) -> (f64, f64, f64) {
    values.sort_by(f64::total_cmp);
    (
        values[values.len() / 2],
        values[0],
        values[values.len() - 1],
    )
}

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let home = Home::open(folder.path().join("home")).unwrap();
    let mut history = History::open(&home).unwrap();
    let bench = register_site::Bench::whole();
    for sealed in &bench.entries {
        history.append(sealed, None, &[]).unwrap();
    }
    let readings = fill(&mut history);
    let mut kept = bare(&folder.path().join("bare.db"), &readings);
    let in_place = Connection::open(home.database()).unwrap();
    let apart = Connection::open(folder.path().join("bare.db")).unwrap();
    let length: usize = readings.iter().map(Vec::len).sum();
    let mut register = bench.register.clone();
    let mut entry = own_way(&mut history, &mut register, &bench);
    let (mut own, mut there, mut copied) = (Vec::new(), Vec::new(), Vec::new());
    let (mut ratios, mut to_copied) = (Vec::new(), Vec::new());
    for round in 0..=ROUNDS {
        let mut timed = |rows: &Connection, statement: &str| {
            let began = Instant::now();
            let read = bare_way(rows, statement, &mut kept, &entry.bytes);
            let ms = began.elapsed().as_secs_f64() * 1e3;
            assert_eq!(read, length);
            ms
        };
        let (there_ms, copied_ms) = (timed(&in_place, IN_PLACE), timed(&apart, APART));
        let began = Instant::now();
        entry = own_way(&mut history, &mut register, &bench);
        let own_ms = began.elapsed().as_secs_f64() * 1e3;
        if round > 0 {
            own.push(own_ms);
            there.push(there_ms);
            copied.push(copied_ms);
            ratios.push(own_ms / there_ms);
            to_copied.push(own_ms / copied_ms);
        }
    }
    let named = entry.entry.body["rebuilds"].as_array().unwrap();
    let named: usize = named
        .iter()
        .flat_map(|rebuild| ["within", "low", "high", "cannot_say"].map(|place| &rebuild[place]))
        .filter_map(|list| Some(list.as_array()?.len()))
        .sum();
    println!(
        "a recall over {REBUILDS} rebuilds, {named} readings in one signed entry of {} KiB, {ROUNDS} rounds, interleaved",
        entry.bytes.len() / 1024
    );
    for (name, values) in [
        ("listed, judged again, signed, written", &mut own),
        ("bare read of the rows, one durable entry", &mut there),
        ("the same, rows copied into a table apart", &mut copied),
    ] {
        let (median, low, high) = middle(values);
        println!("  {name:<42} {median:>8.1} ms   ({low:.1} to {high:.1})");
    }
    let (median, low, high) = middle(&mut ratios);
    let word = if median <= GOAL { "reached" } else { "missed" };
    println!("  own to bare {median:>39.2} ×    ({low:.2} to {high:.2}), limit {GOAL}: {word}");
    let (median, low, high) = middle(&mut to_copied);
    println!("  own to the table apart {median:>28.2} ×    ({low:.2} to {high:.2})");
}
