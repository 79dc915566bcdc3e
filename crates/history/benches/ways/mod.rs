//! Three ways to keep an entry: through `History::append`, the same rows by plain statements, one row into a bare table.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    unreachable_pub,
    reason = "a benchmark reports on standard output, and one that cannot write has nothing to report"
)]

use reseat_history::{History, Home, RebuildRow};
use reseat_record::log::{Id, Sealed};
use rusqlite::{Connection, TransactionBehavior, params};
use tempfile::TempDir;

/// The settings a plain connection needs to promise the same.
fn plain(folder: &TempDir) -> Connection {
    let connection = Connection::open(folder.path().join("home/history.db")).unwrap();
    connection
        .pragma_update(None, "synchronous", "FULL")
        .unwrap();
    connection
        .pragma_update(None, "recursive_triggers", "ON")
        .unwrap();
    connection
}

pub struct Ways {
    _folders: [TempDir; 3],
    history: History,
    same: Connection,
    bare: Connection,
}

impl Ways {
    pub fn new(stream: Id) -> Self {
        let folders = [(); 3].map(|()| tempfile::tempdir().unwrap());
        let homes =
            [0, 1, 2].map(|place: usize| Home::open(folders[place].path().join("home")).unwrap());
        let history = History::open(&homes[0]).unwrap();
        drop(History::open(&homes[1]).unwrap());
        let same = plain(&folders[1]);
        same.execute(
            "INSERT INTO copies VALUES (1, ?1, 'home')",
            [stream.to_string()],
        )
        .unwrap();
        let bare = plain(&folders[2]);
        bare.pragma_update_and_check(None, "journal_mode", "WAL", |_| Ok(()))
            .unwrap();
        bare.execute(
            "CREATE TABLE bare (number INTEGER PRIMARY KEY, bytes BLOB NOT NULL) STRICT",
            [],
        )
        .unwrap();
        Self {
            _folders: folders,
            history,
            same,
            bare,
        }
    }

    pub fn append(&mut self, sealed: &Sealed, row: &RebuildRow) {
        self.history.append(sealed, Some(row), &[]).unwrap();
    }

    pub fn same(&mut self, sealed: &Sealed, row: &RebuildRow) {
        let entry = &sealed.entry;
        let number = i64::try_from(entry.number).unwrap();
        let change = self
            .same
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .unwrap();
        change
            .prepare_cached("INSERT INTO entries VALUES (1, ?1, ?2, ?3, ?4, ?5)")
            .unwrap()
            .execute(params![
                number,
                entry.previous.0,
                sealed.hash.0,
                entry.kind,
                sealed.bytes
            ])
            .unwrap();
        let moved = change
            .prepare_cached("UPDATE streams SET state = ?1, head = ?2 WHERE copy = 1")
            .unwrap()
            .execute(params![row.state, number])
            .unwrap();
        if moved == 0 {
            change
                .prepare_cached(
                    "INSERT INTO streams VALUES (1, 0, ?1, ?2, ?3, NULL, ?4, NULL, ?5, 1, ?6)",
                )
                .unwrap()
                .execute(params![
                    row.serial,
                    row.tag,
                    row.started,
                    row.by,
                    row.state,
                    number
                ])
                .unwrap();
        }
        change.commit().unwrap();
    }

    pub fn bare(&mut self, sealed: &Sealed) {
        let change = self
            .bare
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .unwrap();
        change
            .prepare_cached("INSERT INTO bare (bytes) VALUES (?1)")
            .unwrap()
            .execute([&sealed.bytes])
            .unwrap();
        change.commit().unwrap();
    }
}

fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted[sorted.len() / 2]
}

fn spread(values: &[f64]) -> (f64, f64) {
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    (low, values.iter().copied().fold(0.0, f64::max))
}

/// Prints the rate of each way and the ratio of the first to the others, each held against its goal.
pub fn report(names: [&str; 3], goals: [f64; 2], rates: &[Vec<f64>; 3]) {
    for (name, rates) in names.iter().zip(rates) {
        let (low, high) = spread(rates);
        println!(
            "  {name:<28} {:>7.0} /s   ({low:.0} to {high:.0})",
            median(rates)
        );
    }
    for (place, (name, goal)) in ["same rows", "bare row"].iter().zip(goals).enumerate() {
        let ratios: Vec<f64> = rates[0]
            .iter()
            .zip(&rates[place + 1])
            .map(|(own, other)| own / other)
            .collect();
        let (low, high) = spread(&ratios);
        let word = if median(&ratios) >= goal {
            "reached"
        } else {
            "missed"
        };
        println!(
            "  own to {name:<21} {:>7.2}      ({low:.2} to {high:.2}), goal {goal}: {word}",
            median(&ratios)
        );
    }
}
