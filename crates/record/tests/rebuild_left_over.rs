//! What must not be left in, on or off the unit keeps the record from being signed: a part, a cover, a lock (29 CFR
//! 1910.147(e)(1): nonessential items removed, components operationally intact).

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, Site, procedure};
use reseat_record::log::Entry;
use reseat_record::rebuild::Rebuild;
use serde_json::json;

/// What the last signature says when a written act was never done, as if the record had called it not applicable.
fn refusal_without(whole: &Site, step: &str) -> String {
    let mut entries = whole.entries.clone();
    let at = entries
        .iter()
        .rposition(|one| one.entry.kind == "done/1" && one.entry.body["step"] == step)
        .unwrap_or_else(|| panic!("{step} was not done"));
    let mut entry = Entry::clone(&entries[at].entry);
    entry.kind = "not_applicable/1".into();
    let body = json!({"step": step, "reason": "not on this unit"});
    entry.body.clone_from(body.as_object().unwrap());
    entries[at] = entry.seal().unwrap();
    let mut site = whole.clone();
    site.rebuild = Some(Rebuild::replay(procedure(), &entries).unwrap());
    let command = whole.ask().answer(&FALK.to_string()).unwrap();
    let refused = site
        .rebuild()
        .decide(&site.register, command, &site.stamp(FALK))
        .unwrap_err();
    assert_eq!(refused.code(), "still-open", "{step}");
    refused.sentence()
}

#[test]
fn a_part_not_on_a_cover_left_on_and_a_lock_left_on_keep_the_record_from_being_signed() {
    let whole = Site::at("sign");
    for (step, words) in [
        ("plug-on", "plug with stem: off 1, on 0"),
        ("unlock-a4", "is recorded on"),
        ("ts2-off", "TS-2 is recorded on the unit"),
    ] {
        let told = refusal_without(&whole, step);
        assert!(told.contains(words), "{step}: {told}");
    }
}
