//! What one act of a rebuild costs from the command to the state: decide, seal or sign, write and index, apply; beside the same
//! rows written by plain statements, and beside one row into a bare table.
//!
//! The acts are those of a whole rebuild of FV-3302. The three ways are taken in turn, each round in files of their own.
#![allow(
    clippy::print_stdout,
    reason = "a benchmark reports on standard output"
)]
#![allow(
    clippy::unwrap_used,
    reason = "a benchmark that cannot write has nothing to report"
)]

#[path = "../../record/tests/rebuild_site/mod.rs"]
mod rebuild_site;
mod ways;

use std::time::Instant;

use rebuild_site::{Site, key, procedure};
use reseat_history::RebuildRow;
use reseat_record::log::{Id, Sealed};
use reseat_record::rebuild::{Command, Rebuild, must_sign};
use ways::{Ways, report};

/// Interleaved rounds; the first is thrown away.
const ROUNDS: usize = 11;
const GOALS: [f64; 2] = [0.85, 0.6];

fn row(rebuild: &Rebuild, sealed: &Sealed) -> RebuildRow {
    let summary = rebuild.summary();
    RebuildRow {
        stream: sealed.entry.stream,
        is_register: false,
        serial: Some(summary.serial),
        tag: Some(summary.tag),
        started: summary.started,
        closed: summary.closed,
        by: Some(summary.by),
        outcome: summary.outcome,
        state: summary.state,
        demo: false,
        head: sealed.entry.number,
    }
}

/// Decides, seals, writes and applies every act again, in an empty history.
fn works(
    site: &mut Site,
    mut rebuild: Rebuild,
    first: &Sealed,
    acts: &[(Command, Id, i64)],
    ways: &mut Ways,
) {
    ways.append(first, &row(&rebuild, first));
    for (command, by, seconds) in acts {
        site.seconds = *seconds;
        let stamp = site.stamp(*by);
        let entry = rebuild
            .decide(&site.register, command.clone(), &stamp)
            .unwrap();
        let sealed = if must_sign(&entry.kind) {
            entry.sign(&key(*by)).unwrap()
        } else {
            entry.seal().unwrap()
        };
        // The row of an unsigned act keeps the state it found; the program puts its words right in the same way.
        ways.append(&sealed, &row(&rebuild, &sealed));
        rebuild.apply(&sealed);
    }
}

fn main() {
    let mut site = Site::new();
    site.start();
    site.until("");
    let acts = std::mem::take(&mut site.commands);
    let entries = site.entries.clone();
    let whole = site.rebuild.clone().unwrap();
    let rows: Vec<RebuildRow> = entries.iter().map(|sealed| row(&whole, sealed)).collect();
    let mut rates: [Vec<f64>; 3] = Default::default();
    for round in 0..=ROUNDS {
        for turn in 0..3 {
            let way = (round + turn) % 3;
            let mut ways = Ways::new(entries[0].entry.stream);
            // Reading the procedure belongs to taking a rebuild up, not to its acts.
            let rebuild = Rebuild::begin(procedure(), &entries[0]).unwrap();
            let began = Instant::now();
            match way {
                0 => works(&mut site, rebuild, &entries[0], &acts, &mut ways),
                1 => entries
                    .iter()
                    .zip(&rows)
                    .for_each(|(sealed, row)| ways.same(sealed, row)),
                _ => entries.iter().for_each(|sealed| ways.bare(sealed)),
            }
            if round > 0 {
                let each = u32::try_from(entries.len()).map_or(f64::NAN, f64::from);
                rates[way].push(each / began.elapsed().as_secs_f64());
            }
        }
    }
    println!(
        "one act of FV-3302, {} entries a round, {ROUNDS} rounds, interleaved",
        entries.len()
    );
    report(
        [
            "decide, write, index, apply",
            "same rows, plain statements",
            "one bare row",
        ],
        GOALS,
        &rates,
    );
}
