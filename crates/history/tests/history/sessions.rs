//! Several programs on one home: busy, moved, held, killed, and a disk that fails under one of them.
//!
//! A second program is this test binary started anew on one of the tests named `a_peer_…`. Run by hand such a test
//! does its part in a home of its own.

use std::io::{BufRead, BufReader, Read, Write};
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Barrier};
use std::thread;
use std::time::{Duration, Instant};

use reseat_history::{History, Hold, Home, Standing, StorageFault};
use reseat_record::log::{Chain, Hash, verify_chain};
use rusqlite::Connection;

use crate::samples::{entry, grow, home, id};

const PEER_HOME: &str = "RESEAT_TEST_PEER_HOME";

/// The home a peer was started for, if this process is one.
fn peer_home() -> Option<Home> {
    std::env::var_os(PEER_HOME).map(|root| Home::open(PathBuf::from(root)).unwrap())
}

fn peer(test: &str, home: &Home, through: Option<&str>) -> Child {
    let program = std::env::current_exe().unwrap();
    let mut command = match through {
        None => Command::new(program),
        Some(script) => {
            let mut shell = Command::new("sh");
            shell.args(["-c", script]).arg(program);
            shell
        }
    };
    command
        .args([
            "--exact",
            &format!("sessions::{test}"),
            "--nocapture",
            "--test-threads",
            "1",
        ])
        .env(PEER_HOME, home.root())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Reads the peer's output up to its next line that begins with `word`, and gives the rest of that line.
fn heard(output: &mut impl BufRead, word: &str) -> String {
    let mut line = String::new();
    loop {
        line.clear();
        assert!(
            output.read_line(&mut line).unwrap() > 0,
            "the peer ended before it said {word}"
        );
        if let Some(place) = line.find(word) {
            return line[place + word.len()..].trim().to_owned();
        }
    }
}

#[test]
fn a_write_waits_then_says_that_another_session_writes() {
    let (_folder, home) = home();
    let mut history = History::open(&home).unwrap();
    history.wait_for(Duration::from_millis(120)).unwrap();
    let last = grow(&mut history, id(1), 1);
    let other = Connection::open(home.database()).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let next = entry(&last.head(), "meanwhile");
    let began = Instant::now();
    let fault = history.append(&next, None, &[]).unwrap_err();
    assert!(
        began.elapsed() >= Duration::from_millis(100),
        "it did not wait"
    );
    assert_eq!(fault, StorageFault::Busy);
    assert_eq!(
        fault.sentence(),
        "Another session is writing to this history. Nothing was written."
    );
    assert_eq!(fault.standing(), None);
    assert_eq!(
        history.head(&id(1)).unwrap(),
        last.head(),
        "reading goes on"
    );
    other.execute_batch("ROLLBACK").unwrap();
    history.append(&next, None, &[]).unwrap();
}

/// A write that looked before it took the write lock would be refused here, however long it was ready to wait.
#[test]
fn a_write_that_waited_goes_through() {
    let (_folder, home) = home();
    let mut history = History::open(&home).unwrap();
    let last = grow(&mut history, id(1), 1);
    let other = Connection::open(home.database()).unwrap();
    other
        .execute_batch(
            "BEGIN IMMEDIATE; INSERT INTO secrets VALUES ('2222-2222-2222-2222', 'p', x'01')",
        )
        .unwrap();
    let ending = thread::spawn(move || {
        thread::sleep(Duration::from_millis(150));
        other.execute_batch("COMMIT").unwrap();
    });
    let next = entry(&last.head(), "meanwhile");
    let text = b"a text that is looked for first".as_slice();
    history
        .append(&next, None, &[(Hash::of(text), text)])
        .unwrap();
    ending.join().unwrap();
    assert_eq!(history.head(&id(1)).unwrap(), next.head());
}

#[test]
fn a_session_that_read_before_another_wrote_is_told() {
    let (_folder, home) = home();
    let mut one = History::open(&home).unwrap();
    let mut two = History::open(&home).unwrap();
    let last = grow(&mut one, id(1), 1);
    assert!(
        one.moved().unwrap() && two.moved().unwrap(),
        "nothing is known at first"
    );
    assert!(!one.moved().unwrap() && !two.moved().unwrap());
    let stale = entry(&last.head(), "read before");
    let newest = grow(&mut two, id(1), 1);
    assert!(one.moved().unwrap(), "another program wrote");
    assert!(!two.moved().unwrap(), "what it wrote itself it knows");
    let fault = one.append(&stale, None, &[]).unwrap_err();
    assert_eq!(
        fault,
        StorageFault::NotNext {
            stream: id(1),
            number: 2,
            head: newest.head()
        }
    );
    assert_eq!(one.entries_after(&id(1), 1).unwrap(), [newest.bytes]);
    grow(&mut one, id(1), 1);
}

#[test]
fn several_sessions_open_and_write_at_once() {
    const SESSIONS: u8 = 6;
    let (_folder, home) = home();
    let start = Arc::new(Barrier::new(usize::from(SESSIONS)));
    let sessions: Vec<_> = (1..=SESSIONS)
        .map(|stream| {
            let (home, start) = (home.clone(), Arc::clone(&start));
            thread::spawn(move || {
                start.wait();
                let mut history = History::open(&home).unwrap();
                history.wait_for(Duration::from_secs(30)).unwrap();
                grow(&mut history, id(stream), 25)
            })
        })
        .collect();
    let last: Vec<_> = sessions
        .into_iter()
        .map(|session| session.join().unwrap())
        .collect();
    let history = History::open(&home).unwrap();
    for (stream, last) in (1..=SESSIONS).zip(last) {
        let entries = history.entries(&id(stream)).unwrap();
        assert_eq!(
            verify_chain(entries.iter().map(Vec::as_slice)),
            Chain::Whole { head: last.head() }
        );
        assert_eq!(last.entry.number, 25);
    }
}

#[test]
fn a_hold_is_held_once_and_ends_when_dropped() {
    let (_folder, home) = home();
    let hold = Hold::try_take(&home, &id(1)).unwrap().unwrap();
    assert!(Hold::try_take(&home, &id(1)).unwrap().is_none());
    assert!(
        Hold::try_take(&home, &id(2)).unwrap().is_some(),
        "another rebuild is free"
    );
    drop(hold);
    assert!(Hold::try_take(&home, &id(1)).unwrap().is_some());
}

#[test]
fn a_peer_holds_until_its_input_ends() {
    let (_folder, own) = home();
    let home = peer_home().unwrap_or(own);
    let hold = Hold::try_take(&home, &id(1)).unwrap();
    assert!(hold.is_some());
    println!("HELD");
    if peer_home().is_some() {
        std::io::stdin().read_to_end(&mut Vec::new()).unwrap();
    }
}

#[test]
fn a_hold_shuts_out_another_program_and_ends_with_its_death() {
    let (_folder, home) = home();
    let mut holder = peer("a_peer_holds_until_its_input_ends", &home, None);
    let mut output = BufReader::new(holder.stdout.take().unwrap());
    heard(&mut output, "HELD");
    assert!(Hold::try_take(&home, &id(1)).unwrap().is_none());
    holder.kill().unwrap();
    holder.wait().unwrap();
    assert!(Hold::try_take(&home, &id(1)).unwrap().is_some());
}

#[test]
fn a_peer_writes_without_end() {
    let (_folder, own) = home();
    let most = if peer_home().is_some() { 100_000 } else { 10 };
    let mut history = History::open(&peer_home().unwrap_or(own)).unwrap();
    for _ in 0..most {
        let last = grow(&mut history, id(1), 1);
        println!("WROTE {}", last.entry.number);
        std::io::stdout().flush().unwrap();
    }
    assert_eq!(history.head(&id(1)).unwrap().number, most);
}

#[test]
fn what_was_said_to_be_written_is_there_after_a_kill() {
    let (_folder, home) = home();
    let mut said = 0;
    for round in 1..=3 {
        let mut writer = peer("a_peer_writes_without_end", &home, None);
        let mut output = BufReader::new(writer.stdout.take().unwrap());
        for _ in 0..40 {
            said = heard(&mut output, "WROTE ").parse().unwrap();
        }
        writer.kill().unwrap();
        writer.wait().unwrap();
        let history = History::open(&home).unwrap();
        let entries = history.entries(&id(1)).unwrap();
        let head = history.head(&id(1)).unwrap();
        assert_eq!(
            verify_chain(entries.iter().map(Vec::as_slice)),
            Chain::Whole { head }
        );
        assert!(
            head.number >= said,
            "round {round}: entry {said} was shown as written"
        );
        assert!(history.quick_check().unwrap().is_empty());
    }
}

/// Appends until the disk fails, repeats the entry that was not kept, and says how far it came.
#[test]
fn a_peer_writes_until_the_disk_fails() {
    let (_folder, own) = home();
    let limited = peer_home().is_some();
    let mut history = History::open(&peer_home().unwrap_or(own)).unwrap();
    for _ in 0..if limited { 1_000 } else { 10 } {
        let next = entry(&history.head(&id(1)).unwrap(), "a note");
        if let Err(fault) = history.append(&next, None, &[]) {
            assert!(limited, "{fault}");
            let StorageFault::Write { standing, cause } = &fault else {
                unreachable!("{fault}")
            };
            assert_eq!(*standing, Standing::NotKept, "{fault}");
            assert!(
                matches!(
                    **cause,
                    StorageFault::Device { .. } | StorageFault::DiskFull
                ),
                "{fault}"
            );
            history.append(&next, None, &[]).unwrap();
            println!("KEPT {} {}", next.entry.number, next.hash);
            return;
        }
    }
    assert!(!limited, "the limit was never met");
}

/// A limit on the size of a file (the signal that comes with it passed over) makes a write fail half way, as a
/// failing disk would.
#[cfg(target_os = "linux")]
#[test]
fn a_failing_write_is_told_and_can_be_repeated() {
    let (_folder, home) = home();
    drop(History::open(&home).unwrap());
    let script = "trap '' XFSZ; ulimit -f 400; exec \"$0\" \"$@\"";
    let mut writer = peer("a_peer_writes_until_the_disk_fails", &home, Some(script));
    let mut output = BufReader::new(writer.stdout.take().unwrap());
    let said = heard(&mut output, "KEPT ");
    assert!(writer.wait().unwrap().success());
    let (number, hash) = said.split_once(' ').unwrap();
    let history = History::open(&home).unwrap();
    let head = history.head(&id(1)).unwrap();
    assert_eq!(head.number, number.parse::<u64>().unwrap());
    assert_eq!(head.hash, hash.parse::<Hash>().unwrap());
    let entries = history.entries(&id(1)).unwrap();
    assert_eq!(
        verify_chain(entries.iter().map(Vec::as_slice)),
        Chain::Whole { head }
    );
}
