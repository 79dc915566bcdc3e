//! Records altered and sealed or signed right again, by whoever holds the keys.

#![allow(clippy::unwrap_used, clippy::needless_pass_by_value)] // test code: a failure is what the test shows

use reseat_record::log::{Entry, Sealed};
use reseat_record::rebuild::{must_sign, recheck};
use serde_json::Value;

use crate::rebuild_site::{Site, key};

/// An entry sealed, and signed where its kind is.
pub(crate) fn sealed(entry: Entry) -> Sealed {
    if must_sign(&entry.kind) {
        let by = entry.by.unwrap();
        entry.sign(&key(by)).unwrap()
    } else {
        entry.seal().unwrap()
    }
}

/// The last entry of a kind that the test looks for.
#[track_caller]
pub(crate) fn number(site: &Site, wanted: impl Fn(&Entry) -> bool) -> u64 {
    let found = site.entries.iter().rfind(|sealed| wanted(&sealed.entry));
    found.unwrap().entry.number
}

/// The findings when one member of one entry is told otherwise; null leaves it out.
pub(crate) fn told(site: &Site, number: u64, member: &str, value: Value) -> Vec<(u64, String)> {
    let entries: Vec<Sealed> = site
        .entries
        .iter()
        .map(|one| {
            let mut entry = Entry::clone(&one.entry);
            if entry.number != number {
                return one.clone();
            }
            if value.is_null() {
                entry.body.remove(member).unwrap();
            } else {
                assert_ne!(entry.body.get(member), Some(&value), "nothing is changed");
                entry.body.insert(member.into(), value.clone());
            }
            sealed(entry)
        })
        .collect();
    recheck(site.rebuild().procedure(), &entries)
}

/// The entry told otherwise is the first found, and whatever is found after it says that it is wrong.
#[track_caller]
pub(crate) fn found(site: &Site, number: u64, member: &str, value: Value, words: &str) {
    let findings = told(site, number, member, value);
    alone(&findings, number, words);
}

/// One wrong entry: it stands first, and whatever stands after it says so.
#[track_caller]
pub(crate) fn alone(findings: &[(u64, String)], number: u64, words: &str) {
    let after = format!("Entry {number} before it is wrong.");
    assert!(!findings.is_empty(), "nothing found at {number}");
    let first = findings[0].0 == number && findings[0].1.contains(words);
    let rest = findings[1..]
        .iter()
        .all(|(at, why)| *at > number && why.ends_with(&after));
    assert!(first && rest, "{words}: {findings:?}");
}
