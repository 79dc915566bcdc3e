//! What one durable entry costs beside the least that SQLite could charge for it.
//!
//! Three ways to keep one entry on disk, each in a file of its own with the same settings, taken in turn round by
//! round so that a drifting machine drifts for all: through `History::append`; the same rows into the same schema by
//! plain prepared statements; and one row into a bare table. Printed: the median rate of each with its spread, and the
//! median of the ratios, which are the measure (rates depend on the disk's sync).
#![allow(
    clippy::print_stdout,
    reason = "a benchmark reports on standard output"
)]
#![allow(
    clippy::unwrap_used,
    reason = "a benchmark that cannot write has nothing to report"
)]

mod ways;

use std::time::Instant;

use reseat_history::RebuildRow;
use reseat_record::log::{Clock, Entry, Head, Id, Sealed, Stamp};
use ways::{Ways, report};

/// Interleaved rounds; the first is thrown away, because the log file grows in it.
const ROUNDS: usize = 15;
/// Entries a round.
const ENTRIES: usize = 400;
/// What `append` must reach of the same rows by plain statements, and of one bare row.
const GOALS: [f64; 2] = [0.85, 0.6];

/// One reading as it is written in a rebuild, about 800 bytes.
fn reading(head: &Head) -> Sealed {
    let stamp = Stamp {
        home: Id::from_bytes([1; 10]),
        by: Some(Id::from_bytes([2; 10])),
        utc: "2026-03-12T12:55:02.120Z".into(),
        offset: "+01:00".into(),
        clock: Clock::Trusted,
        acted: None,
        demo: true,
    };
    let body = serde_json::json!({
        "step": "tighten-bonnet", "joint": "bonnet", "fastener": head.number % 8 + 1, "pass": 2, "attempt": 1,
        "typed": "25.3", "means": "25.3 lbf·ft", "method": "dial", "condition": "oiled", "place": "WITHIN",
        "outcome": "ACCEPT", "rule": "simple", "distance": "0.3 lbf·ft", "window": "25..30 lbf·ft",
        "instruments": [{
            "id": "TW-19", "register": {"register": "K7QF-3MZD-R2VA-9TXH", "number": 14, "hash": "5".repeat(64)},
            "kind": "dial wrench", "scale": "lbf·ft", "range": "10..75 lbf·ft", "resolution": "0.5 lbf·ft",
            "certificate": "C-2207", "due": "2026-09-01"
        }]
    });
    let serde_json::Value::Object(body) = body else {
        return reading(head);
    };
    Entry::next(head, &stamp, "reading/1", 1, body)
        .seal()
        .unwrap()
}

fn readings(count: usize, head: &mut Head) -> Vec<Sealed> {
    let mut all = Vec::with_capacity(count);
    for _ in 0..count {
        let sealed = reading(head);
        *head = sealed.head();
        all.push(sealed);
    }
    all
}

fn row(sealed: &Sealed) -> RebuildRow {
    RebuildRow {
        stream: sealed.entry.stream,
        is_register: false,
        serial: Some("TP-4471".into()),
        tag: Some("FV-3302".into()),
        started: "2026-03-12T12:55:02.120Z".into(),
        closed: None,
        by: Some("I. Falk".into()),
        outcome: None,
        state: "HALF TIGHT".into(),
        demo: true,
        head: sealed.entry.number,
    }
}

fn main() {
    let stream = Id::from_bytes([3; 10]);
    let mut head = Head::empty(stream);
    let mut ways = Ways::new(stream);
    let mut rates: [Vec<f64>; 3] = Default::default();
    let mut size = 0;
    for round in 0..=ROUNDS {
        let entries: Vec<_> = readings(ENTRIES, &mut head)
            .into_iter()
            .map(|sealed| (row(&sealed), sealed))
            .collect();
        size = entries[0].1.bytes.len();
        // Who goes first changes from round to round, so that no way always runs on a warm or a tired disk.
        for turn in 0..3 {
            let way = (round + turn) % 3;
            let began = Instant::now();
            for (row, sealed) in &entries {
                match way {
                    0 => ways.append(sealed, row),
                    1 => ways.same(sealed, row),
                    _ => ways.bare(sealed),
                }
            }
            if round > 0 {
                let each = u32::try_from(ENTRIES).map_or(f64::NAN, f64::from);
                rates[way].push(each / began.elapsed().as_secs_f64());
            }
        }
    }
    println!("one durable entry of {size} bytes: {ROUNDS} rounds of {ENTRIES}, interleaved");
    report(
        ["append", "same rows, plain statements", "one bare row"],
        GOALS,
        &rates,
    );
}
