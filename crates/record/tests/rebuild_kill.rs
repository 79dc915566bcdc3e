//! The program is killed after every entry of a whole rebuild and taken up again: the same state, zero demanded anew, and a
//! way on to the end.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, ODDE, Site, procedure};
use reseat_procedure::model::{Asked, EnergyState};
use reseat_record::log::{Chain, verify_chain};
use reseat_record::rebuild::{Ended, Point, Rebuild};

/// A site whose rebuild is where the first `upto` entries leave it.
fn at(whole: &Site, upto: usize, live: &Rebuild) -> Site {
    let mut site = whole.clone();
    site.entries.truncate(upto);
    site.rebuild = Some(live.clone());
    let last = &site.entries[upto - 1].entry.utc;
    let start = chrono::DateTime::parse_from_rfc3339("2026-03-12T06:00:00.000Z").unwrap();
    let last = chrono::DateTime::parse_from_rfc3339(last).unwrap();
    site.seconds = (last - start).num_seconds() + 20;
    site
}

/// Whether the step due is hands-on work that wants zero: neither a check itself, nor a wait, nor an act that makes safer.
fn wants_zero(site: &Site) -> bool {
    let Some(at) = site.ask().step else {
        return false;
    };
    let procedure = procedure();
    procedure
        .sections
        .iter()
        .flat_map(|section| &section.steps)
        .find(|step| step.id == at.id)
        .is_some_and(|step| {
            step.energy == EnergyState::Zero
                && !step.safer
                && !step.asks.iter().any(|asked| {
                    matches!(
                        asked,
                        Asked::Zero { .. } | Asked::Rest { .. } | Asked::Wait { .. }
                    )
                })
        })
}

fn drive(site: &mut Site, most: usize) {
    for _ in 0..most {
        if !site.step() {
            return;
        }
    }
}

fn killed_at_every(stride: usize, next: reseat_record::log::Id) {
    let mut whole = Site::new();
    whole.start();
    whole.until("");
    let mut live = Rebuild::begin(procedure(), &whole.entries[0]).unwrap();
    for upto in 1..whole.entries.len() - 1 {
        if upto % stride != 0 {
            live.apply(&whole.entries[upto]);
            continue;
        }
        let replayed = Rebuild::replay(procedure(), &whole.entries[..upto]).unwrap();
        assert!(replayed == live, "replay differs at entry {upto}");
        let mut site = at(&whole, upto, &live);
        let entry = site
            .rebuild()
            .take_up(&site.register, &site.stamp(next))
            .unwrap();
        site.performer = next;
        site.keeps(entry, next);
        if wants_zero(&site) {
            assert!(
                matches!(site.ask().point, Point::Gate(0) | Point::LockBack(_)),
                "entry {upto}: {:?}",
                site.ask().point
            );
        }
        drive(&mut site, if upto % 60 == 0 { 3000 } else { 14 });
        if upto % 60 == 0 {
            assert_eq!(
                site.rebuild().ended(),
                Some(Ended::Signed),
                "entry {upto}: {:#?}",
                site.ask()
            );
        }
        live.apply(&whole.entries[upto]);
    }
}

#[test]
fn killed_at_every_entry_and_taken_up_by_the_same_person() {
    killed_at_every(1, FALK);
}

#[test]
fn killed_at_any_entry_and_taken_up_by_another() {
    killed_at_every(4, ODDE);
}

#[test]
fn a_flipped_byte_anywhere_is_found_at_its_entry() {
    let whole = Site::at("draw-split-pin");
    let bytes: Vec<Vec<u8>> = whole
        .entries
        .iter()
        .map(|sealed| sealed.bytes.clone())
        .collect();
    // The last entry has no successor to miss it: its own signature, or the next entry, finds a change there.
    for entry in 0..bytes.len() - 1 {
        for at in (entry % 7..bytes[entry].len()).step_by(41) {
            let mut spoiled = bytes.clone();
            spoiled[entry][at] ^= 0x04;
            let chain = verify_chain(spoiled.iter().map(Vec::as_slice));
            let found = match chain {
                Chain::Whole { .. } => panic!("byte {at} of entry {} not found", entry + 1),
                Chain::Empty => panic!("no entry"),
                Chain::Broken { number, .. } | Chain::Newer { number, .. } => number,
            };
            // A change that is canonical all the same is found where the next entry names the hash of this one.
            let itself = entry as u64 + 1;
            assert!(
                found == itself || found == itself + 1,
                "byte {at} of {itself} found at {found}"
            );
        }
    }
}
