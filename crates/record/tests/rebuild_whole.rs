//! A whole rebuild of FV-3302 by its own questions, and what must hold of any record.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{SERIAL, Site, procedure};
use reseat_record::log::{Chain, verify_chain};
use reseat_record::rebuild::{Ended, Rebuild};

fn whole() -> Site {
    let mut site = Site::new();
    site.start();
    site.until("");
    site
}

#[test]
fn a_whole_rebuild_is_signed_and_verifies() {
    let site = whole();
    assert_eq!(site.rebuild().ended(), Some(Ended::Signed));
    let chain = verify_chain(site.entries.iter().map(|sealed| sealed.bytes.as_slice()));
    assert!(matches!(chain, Chain::Whole { .. }), "{chain:?}");
    let summary = site.rebuild().summary();
    assert_eq!(
        (summary.serial.as_str(), summary.outcome.as_deref()),
        (SERIAL, Some("signed"))
    );
    assert!(
        site.rebuild().open_items().is_empty(),
        "{:#?}",
        site.rebuild().open_items()
    );
}

#[test]
fn replay_equals_live_after_every_entry() {
    let site = whole();
    let mut live = Rebuild::begin(procedure(), &site.entries[0]).unwrap();
    for upto in 1..site.entries.len() {
        live.apply(&site.entries[upto]);
        if upto % 25 == 0 {
            let replayed = Rebuild::replay(procedure(), &site.entries[..=upto]).unwrap();
            assert!(replayed == live, "differs at entry {}", upto + 1);
        }
    }
    assert!(live == *site.rebuild());
}
