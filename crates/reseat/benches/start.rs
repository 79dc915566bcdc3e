//! Start of the program to its first whole frame on a pseudo-terminal, with 1,000 past rebuilds in the history, beside
//! `/bin/echo` under the same harness; and the memory the program holds then.
#![allow(
    clippy::print_stdout,
    reason = "a benchmark reports on standard output"
)]
#![allow(
    clippy::unwrap_used,
    reason = "a benchmark that cannot start has nothing to report"
)]

use std::io::Read;
use std::path::Path;
use std::process::Command;
use std::time::Instant;

use portable_pty::{CommandBuilder, PtySize, native_pty_system};
use reseat_history::{Append, History, Home, RebuildRow};
use reseat_record::log::{Hash, Id, Sealed};

/// Past rebuilds beside those of the demo.
const PAST: u32 = 1_000;
/// Interleaved rounds; the first is thrown away.
const ROUNDS: usize = 21;
const GOAL: f64 = 5.0;
const MEMORY_GOAL_KIB: u64 = 16 * 1024;

/// The signed rebuild of the demo again under a stream of its own, chained anew.
fn again(template: &[Sealed], number: u32) -> Vec<Sealed> {
    let mut id = [7; 10];
    id[..4].copy_from_slice(&number.to_be_bytes());
    let stream = Id::from_bytes(id);
    let mut previous = Hash::ZERO;
    template
        .iter()
        .map(|sealed| {
            let mut entry = reseat_record::log::Entry::clone(&sealed.entry);
            entry.stream = stream;
            entry.previous = previous;
            entry.signature = None;
            let sealed = entry.seal().unwrap();
            previous = sealed.hash;
            sealed
        })
        .collect()
}

fn fill(root: &Path) -> usize {
    let mut history = History::open(&Home::open(root).unwrap()).unwrap();
    let listed = history.rebuilds().unwrap();
    let signed = listed
        .iter()
        .find(|listed| listed.row.outcome.as_deref() == Some("signed"))
        .unwrap();
    let row = signed.row.clone();
    let template: Vec<Sealed> = history
        .entries(&row.stream)
        .unwrap()
        .iter()
        .map(|bytes| Sealed::read(bytes).unwrap())
        .collect();
    for number in 0..PAST {
        let entries = again(&template, number);
        let row = RebuildRow {
            stream: entries[0].entry.stream,
            ..row.clone()
        };
        let last = entries.len() - 1;
        let batch: Vec<Append<'_>> = entries
            .iter()
            .enumerate()
            .map(|(at, sealed)| Append {
                sealed,
                index: (at == last).then_some(&row),
                texts: &[],
            })
            .collect();
        history.append_many(&batch).unwrap();
    }
    history.settle().unwrap();
    template.len()
}

/// Runs a command on a pseudo-terminal until `seen` is shown; the time it took in milliseconds, and the memory held then in KiB.
fn shown(program: &str, arguments: &[&str], home: &Path, seen: &str) -> (f64, u64) {
    let size = PtySize {
        rows: 50,
        cols: 160,
        pixel_width: 0,
        pixel_height: 0,
    };
    let pair = native_pty_system().openpty(size).unwrap();
    let mut command = CommandBuilder::new(program);
    command.args(arguments);
    command.env_clear();
    for (name, value) in [
        ("HOME", home.to_str().unwrap()),
        ("TERM", "xterm-256color"),
        ("LANG", "C.UTF-8"),
        ("TZ", "UTC0"),
    ] {
        command.env(name, value);
    }
    let mut reader = pair.master.try_clone_reader().unwrap();
    let began = Instant::now();
    let mut child = pair.slave.spawn_command(command).unwrap();
    drop(pair.slave);
    let mut bytes = vec![0; 65_536];
    let mut all: Vec<u8> = Vec::new();
    while !String::from_utf8_lossy(&all).contains(seen) {
        let count = reader.read(&mut bytes).unwrap_or(0);
        assert!(count > 0, "{program} ended before it showed {seen}");
        all.extend_from_slice(&bytes[..count]);
    }
    let took = began.elapsed().as_secs_f64() * 1_000.0;
    let memory = child.process_id().map_or(0, resident_kib);
    // It may have ended by itself.
    let _ = child.kill();
    child.wait().unwrap();
    (took, memory)
}

/// Resident memory of a process in KiB, where the system tells; 0 elsewhere.
fn resident_kib(process: u32) -> u64 {
    let status = std::fs::read_to_string(format!("/proc/{process}/status")).unwrap_or_default();
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmRSS:"))
        .unwrap_or_default();
    line.split_whitespace()
        .next()
        .and_then(|number| number.parse().ok())
        .unwrap_or(0)
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path().join("home");
    let program = env!("CARGO_BIN_EXE_reseat");
    let made = Command::new(program)
        .args(["demo", "--no-screen", "--at", root.to_str().unwrap()])
        .env("HOME", folder.path())
        .output()
        .unwrap();
    assert!(made.status.success(), "{made:?}");
    let entries = fill(&root);
    let arguments = ["--home", root.to_str().unwrap()];
    let (mut own, mut echo, mut ratios, mut memory) = (Vec::new(), Vec::new(), Vec::new(), 0);
    for round in 0..=ROUNDS {
        // The label of the last key in the footer is the end of the first frame.
        let (mine, resident) = shown(program, &arguments, folder.path(), "F10");
        let (bare, _) = shown("/bin/echo", &["F10"], folder.path(), "F10");
        if round > 0 {
            own.push(mine);
            echo.push(bare);
            ratios.push(mine / bare);
            memory = memory.max(resident);
        }
    }
    let (low, high) = (
        ratios.iter().copied().fold(f64::INFINITY, f64::min),
        ratios.iter().copied().fold(0.0, f64::max),
    );
    let ratio = median(&mut ratios);
    println!(
        "start to first frame, {PAST} past rebuilds of {entries} entries, {ROUNDS} rounds, interleaved"
    );
    println!("  reseat      {:>7.2} ms", median(&mut own));
    println!("  /bin/echo   {:>7.2} ms", median(&mut echo));
    let word = |reached| if reached { "reached" } else { "missed" };
    println!(
        "  ratio       {ratio:>7.2}      ({low:.2} to {high:.2}), goal {GOAL}: {}",
        word(ratio <= GOAL)
    );
    println!(
        "  resident    {memory:>7} KiB  goal {MEMORY_GOAL_KIB}: {}",
        word(memory <= MEMORY_GOAL_KIB)
    );
}
