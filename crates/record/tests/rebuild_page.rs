//! The page on the record format names every kind of a rebuild with its members; bodies go into entries and come back; every
//! verdict of a record is worked out again.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use std::collections::BTreeSet;

use rebuild_site::{FALK, ODDE, Site, procedure};
use reseat_record::log::Sealed;
use reseat_record::rebuild::body::KINDS;
use reseat_record::rebuild::{Body, Command, recheck};

const PAGE: &str = include_str!("../../../docs/record-format.md");

#[test]
fn every_kind_stands_on_the_page_once_with_its_members_and_its_signer() {
    let section = PAGE
        .split("## 8. ")
        .nth(1)
        .unwrap()
        .split("## 9. ")
        .next()
        .unwrap();
    let rows: Vec<(&str, Vec<String>, bool)> = section
        .lines()
        .filter_map(|line| line.strip_prefix("| `"))
        .map(|line| {
            let cells: Vec<&str> = line.split(" | ").collect();
            let members = cells[1]
                .split(", ")
                .map(|member| member.replace(['`', '?'], ""))
                .collect();
            (cells[0].trim_end_matches('`'), members, cells[2] != "–")
        })
        .collect();
    let known: Vec<(&str, Vec<String>, bool)> = KINDS
        .iter()
        .map(|(kind, signed, members)| {
            (
                *kind,
                members.iter().map(ToString::to_string).collect(),
                *signed,
            )
        })
        .collect();
    assert_eq!(rows, known, "in the order of the program's own list");
}

#[test]
fn every_body_of_a_whole_rebuild_comes_back_as_it_went_in() {
    let mut site = Site::at("fill");
    site.does(
        Command::Reopen {
            joint: "J1".into(),
            reason: "weeps".into(),
        },
        FALK,
    )
    .unwrap();
    site.until("");
    let mut kinds = BTreeSet::new();
    for sealed in &site.entries {
        let body = Body::read(&sealed.entry).unwrap();
        assert_eq!(body.members(), sealed.entry.body, "{}", sealed.entry.kind);
        assert_eq!(body.kind(), sealed.entry.kind);
        let again = Sealed::read(&sealed.bytes).unwrap();
        assert_eq!((again.hash, &again.entry), (sealed.hash, &sealed.entry));
        kinds.insert(sealed.entry.kind.clone());
    }
    assert!(kinds.len() > 25, "{kinds:?}");
}

#[test]
fn a_member_too_many_is_a_newer_record_and_claims_nothing() {
    let site = Site::at("draw-split-pin");
    let mut entry = site
        .rebuild()
        .decide(
            &site.register,
            Command::Find { words: "x".into() },
            &site.stamp(FALK),
        )
        .unwrap();
    entry.body.insert("colour".into(), "red".into());
    let mut rebuild = site.rebuild().clone();
    rebuild.apply(&entry.seal().unwrap());
    assert!(rebuild.is_newer());
    let refusal = rebuild
        .decide(
            &site.register,
            Command::Find { words: "x".into() },
            &site.stamp(FALK),
        )
        .unwrap_err();
    assert_eq!(refusal.code(), "written-by-newer");
    assert!(rebuild.take_up(&site.register, &site.stamp(ODDE)).is_err());
}

/// The record with one member of one reading told otherwise, sealed anew.
fn told(site: &Site, number: u64, member: &str, value: &str) -> Vec<(u64, String)> {
    let entries: Vec<Sealed> = site
        .entries
        .iter()
        .map(|sealed| {
            let mut entry = reseat_record::log::Entry::clone(&sealed.entry);
            if entry.number == number {
                entry.body.insert(member.into(), value.into());
                return entry.seal().unwrap();
            }
            sealed.clone()
        })
        .collect();
    recheck(&procedure(), &entries)
}

#[test]
fn each_verdict_is_worked_out_again_and_a_difference_is_a_finding() {
    let mut site = Site::at("tighten-j1");
    site.readings
        .insert("J1/1".into(), vec!["110".into(), "122".into()]);
    site.until("");
    assert_eq!(recheck(&procedure(), &site.entries), []);
    let number = |wanted: &dyn Fn(&Sealed) -> bool| {
        site.entries
            .iter()
            .find(|sealed| wanted(sealed))
            .unwrap()
            .entry
            .number
    };
    let low = number(&|sealed| {
        sealed
            .entry
            .body
            .get("place")
            .is_some_and(|place| place == "LOW")
    });
    for (member, value, words) in [
        (
            "place",
            "WITHIN",
            "its place is \"WITHIN\", worked out again \"LOW\"",
        ),
        ("outcome", "ACCEPT", "its outcome"),
        ("distance", "1 N·m", "its distance"),
        ("window", "100..130 N·m", "the procedure says 115..130 N·m"),
        ("means", "116 N·m", "is not 116 N·m"),
        ("typed", "116", "is not 110 N·m"),
        ("rule", "by eye", "no decision rule"),
    ] {
        let found = told(&site, low, member, value);
        assert!(
            found[0].0 == low && found[0].1.contains(words),
            "{member}: {found:?}"
        );
        // What is found after it rests on it, and says so.
        let rests = format!("Entry {low} before it is wrong.");
        assert!(
            found[1..].iter().all(|(_, why)| why.ends_with(&rests)),
            "{member}: {found:?}"
        );
    }
    let setting = number(&|sealed| sealed.entry.kind == "setting/1");
    assert!(
        told(&site, setting, "place", "LOW")[0]
            .1
            .contains("worked out again")
    );
    assert!(
        told(&site, setting, "required", "12 N·m")[0]
            .1
            .contains("the procedure says")
    );
}
