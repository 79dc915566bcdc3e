//! Records in which an entry was left out of the record's sense: what it should have held back is found at the entry that stands
//! without it, and nothing that is wrong later stays unsaid.

#![allow(clippy::unwrap_used)] // test code: a failure is what the test shows

mod forge;
mod rebuild_site;

use forge::{alone, found, number, sealed};
use rebuild_site::{FALK, ODDE, Site};
use reseat_procedure::Choices;
use reseat_record::log::{Clock, Entry, Sealed};
use reseat_record::rebuild::{Clearing, Command, Point, recheck};
use serde_json::{Value, json};

/// Tested by plant energy: locks come off for it.
const CO2: &[u8] = include_bytes!("../../../procedures/PRV-CO2-04.json");

fn whole() -> Site {
    let mut site = Site::new();
    site.start();
    site.until("");
    site.restarts_alike();
    site
}

/// The findings when an entry says something else altogether, sealed right.
fn instead(site: &Site, number: u64, kind: &str, body: &Value) -> Vec<(u64, String)> {
    recheck(
        site.rebuild().procedure(),
        &told_instead(&site.entries, number, kind, body),
    )
}

fn told_instead(entries: &[Sealed], number: u64, kind: &str, body: &Value) -> Vec<Sealed> {
    let mut entries = entries.to_vec();
    let at = usize::try_from(number).unwrap() - 1;
    let mut entry = Entry::clone(&entries[at].entry);
    entry.kind = kind.into();
    entry.signature = None;
    entry.body.clone_from(body.as_object().unwrap());
    entries[at] = sealed(entry);
    entries
}

/// An entry that says nothing of what was asked.
fn left_out(site: &Site, number: u64) -> Vec<(u64, String)> {
    instead(
        site,
        number,
        "safer/1",
        &json!({"words": "wiped the bench"}),
    )
}

fn last_of_step(site: &Site, step: &str) -> u64 {
    number(site, |entry| {
        entry.body.get("step") == Some(&json!(step)) && entry.kind != "verified/1"
    })
}

#[test]
fn a_balance_without_a_part_on_is_found() {
    let site = whole();
    let fitted = last_of_step(&site, "plug-on");
    let skipped = json!({"step": "plug-on", "reason": "not on this unit"});
    let findings = instead(&site, fitted, "not_applicable/1", &skipped);
    let balance = number(&site, |entry| {
        entry.kind == "counted/1" && entry.body["step"] == "balance" && entry.body["ask"] == 0
    });
    alone(
        &findings,
        balance,
        "Nothing is left over, it says, and plug with stem: off 1, on 0.",
    );
    // Signed all the same: told as well, since it is another fault.
    assert!(
        findings.iter().any(|(_, why)| why.contains("signed while")),
        "{findings:?}"
    );
}

#[test]
fn a_gate_released_without_each_side_is_found() {
    let mut site = Site::at("tighten-j1");
    site.restarts(FALK);
    site.until("recheck-j1");
    site.restarts_alike();
    let gate = |entry: &Entry| entry.kind == "released/1" && entry.body["gate"] == true;
    let released = number(&site, gate);
    let taken_up = number(&site, |entry| entry.kind == "taken_up/1");
    let parts: Vec<u64> = site
        .entries
        .iter()
        .map(|one| &one.entry)
        .filter(|entry| (taken_up..released).contains(&entry.number))
        .filter(|entry| matches!(entry.kind.as_str(), "reading/1" | "vented/1"))
        .map(|entry| entry.number)
        .collect();
    assert!(parts.len() > 3, "{parts:?}");
    for part in parts {
        alone(
            &left_out(&site, part),
            released,
            "It releases zero, and a side was not read.",
        );
    }
    let without = left_out(&site, released);
    assert!(without[0].0 > released, "{without:?}");
    alone(
        &without,
        without[0].0,
        "zero did not stand: the check is not released",
    );
}

#[test]
fn a_paper_nobody_saw_or_that_had_ended_is_found() {
    let mut site = Site::new();
    site.permit = "4711, 5 h";
    site.start();
    site.until("plug-on");
    site.clock = Clock::Doubted;
    site.goes_on(|ask| matches!(ask.point, Point::PermitSeen(_)));
    site.step();
    site.until("tighten-j1");
    site.restarts_alike();
    let seen = number(&site, |entry| entry.kind == "permit_seen/1");
    found(
        &site,
        seen,
        "number",
        json!("4712"),
        "the number of the paper",
    );
    let unseen = left_out(&site, seen);
    assert!(unseen[0].0 > seen, "{unseen:?}");
    alone(
        &unseen,
        unseen[0].0,
        "nobody had said that the permit was still valid",
    );

    let mut site = Site::new();
    site.permit = "4711, 5 h";
    site.start();
    site.until("plug-on");
    site.seconds += 6 * 3600;
    site.goes_on(|ask| matches!(ask.point, Point::Permit(_)));
    site.permit = "4712, 9 h";
    site.step();
    site.until("tighten-j1");
    site.restarts_alike();
    let anew = number(&site, |entry| entry.kind == "permit/1");
    let gone = left_out(&site, anew);
    assert!(gone[0].0 > anew, "{gone:?}");
    alone(&gone, gone[0].0, "It was done after permit 4711 had ended");
    // A paper that had ended when it was entered.
    let body = &site.entries[usize::try_from(anew).unwrap() - 1].entry.body;
    let mut ended = Value::Object(body.clone());
    ended["text"] = json!("4712 2026-03-12 08:00");
    ended["permit"]["ends"] = json!("2026-03-12T07:00:00.000Z");
    let ended = instead(&site, anew, "permit/1", &ended);
    alone(&ended, anew, "It had ended when it was entered.");
}

#[test]
fn energy_let_in_with_nobody_asked_is_found() {
    let mut site = Site::following(CO2, Choices::default());
    site.permit = "4711, 48 h";
    site.start();
    site.until("test-unlock-b-1");
    // A worker came back, and went again: people are asked about anew, and his lock comes off.
    let number_of = Some("430".to_owned());
    let owner = ODDE;
    let number = number_of;
    site.does(Command::OwnLock { owner, number }, FALK).unwrap();
    assert_eq!(site.ask().point, Point::Clear(Clearing::People));
    site.types("1").unwrap();
    site.types("Rurik Odde").unwrap();
    site.until("soap-inlet-joints-250");
    site.restarts_alike();
    let let_in = last_of_step(&site, "test-unlock-b-1");
    let cleared = forge::number(&site, |entry| entry.kind == "cleared/1");
    found(
        &site,
        cleared,
        "answer",
        json!("not yet"),
        "whether it lets energy in",
    );
    alone(
        &left_out(&site, cleared),
        let_in,
        "people are not recorded as clear and told",
    );
    let own_off = forge::number(&site, |entry| entry.kind == "own_lock/1");
    alone(
        &left_out(&site, own_off),
        let_in,
        "still on the box: own lock 430 of Rurik Odde",
    );
    // Tools that were not all out: the next act then stands while they are still to be counted.
    let tools = last_of_step(&site, "count-wrenches-picks-rags");
    let one_left = forge::told(&site, tools, "counted", json!(1));
    alone(&one_left, one_left[0].0, "another step was due: ");
    assert!(
        one_left[0].0 > tools && one_left[0].1.contains("Count wrenches"),
        "{one_left:?}"
    );
}

#[test]
fn a_second_fault_is_told_though_an_entry_before_it_is_wrong() {
    let site = whole();
    let first = number(&site, |entry| {
        entry.kind == "disposed/1" && entry.body["disposition"] == "keep"
    });
    let verified = number(&site, |entry| {
        entry.kind == "verified/1" && entry.body.contains_key("answers")
    });
    assert!(first < verified);
    let mut parts = site.entries[usize::try_from(first).unwrap() - 1]
        .entry
        .body
        .clone();
    parts.insert("parts".into(), json!(["a bolt"]));
    let entries = told_instead(&site.entries, first, "disposed/1", &Value::Object(parts));
    let at = usize::try_from(verified).unwrap() - 1;
    let mut entry = Entry::clone(&entries[at].entry);
    entry.body.insert("answers".into(), json!([1]));
    let mut entries = entries;
    entries[at] = sealed(entry);
    let findings = recheck(site.rebuild().procedure(), &entries);
    assert!(
        findings[0].0 == first && findings[0].1.contains("its parts"),
        "{findings:?}"
    );
    let later = findings.iter().find(|(number, _)| *number == verified);
    let (_, why) = later.unwrap();
    assert!(
        why.contains("the verifier's own answers")
            && why.ends_with(&format!("Entry {first} before it is wrong.")),
        "{why}"
    );
}
