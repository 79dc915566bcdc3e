//! What an entry says of the state it was written in is held against that state: one entry told otherwise, sealed and signed
//! right, is found and named.

#![allow(clippy::unwrap_used)] // test code: a failure is what the test shows

mod forge;
mod rebuild_site;

use forge::{alone, found, number, sealed, told};
use rebuild_site::{FALK, Site};
use reseat_procedure::model::Asked;
use reseat_record::log::Entry;
use reseat_record::rebuild::{Ask, Inner, Point, recheck};
use serde_json::{Value, json};

fn whole() -> Site {
    let mut site = Site::new();
    site.start();
    site.until("");
    site.restarts_alike();
    site
}

/// A rebuild up to the first question that this says of.
fn whole_until(stop: impl Fn(&Site, &Ask) -> bool) -> Site {
    let mut site = Site::new();
    site.start();
    while !stop(&site, &site.ask()) {
        assert!(site.step(), "never came there");
    }
    site
}

fn asked(site: &Site, step: &str, ask: u32) -> Option<Asked> {
    let sections = &site.rebuild().procedure().sections;
    let mut steps = sections.iter().flat_map(|section| &section.steps);
    let written = steps.find(|written| written.id == step)?;
    written.asks.get(ask as usize).cloned()
}

fn is(kind: &'static str) -> impl Fn(&Entry) -> bool {
    move |entry| entry.kind == kind
}

fn body(site: &Site, number: u64) -> &serde_json::Map<String, Value> {
    &site.entries[usize::try_from(number).unwrap() - 1]
        .entry
        .body
}

#[test]
fn pieces_and_parts_that_came_off_are_counted_again() {
    let site = whole();
    let single_use = number(&site, |entry| {
        entry.kind == "disposed/1" && entry.body.contains_key("counted")
    });
    let counted = body(&site, single_use)["counted"].as_u64().unwrap();
    found(
        &site,
        single_use,
        "counted",
        json!(counted - 1),
        "the single-use pieces discarded",
    );
    let mut parts = body(&site, single_use)["parts"].clone();
    parts.as_array_mut().unwrap().pop();
    found(&site, single_use, "parts", parts, "its parts");
    let kept = number(&site, |entry| {
        entry.kind == "disposed/1" && entry.body["disposition"] == "keep"
    });
    found(&site, kept, "parts", json!(["a bolt"]), "its parts");
}

#[test]
fn a_wrong_count_of_single_use_pieces_is_held_against_what_came_off() {
    let mut site = whole_until(|site, ask| {
        let Point::Asked(step, at, Inner::Line(0)) = &ask.point else {
            return false;
        };
        asked(site, step, *at) == Some(Asked::Dispositions)
    });
    site.types("1").unwrap();
    assert_eq!(site.last_kind(), "counted/1");
    let at = number(&site, is("counted/1"));
    assert_eq!(told(&site, at, "counted", json!(2)), [], "as wrong as 1");
    let pieces = body(&site, at)["expected"].as_u64().unwrap();
    found(
        &site,
        at,
        "expected",
        json!(pieces + 1),
        "the pieces that came off",
    );
    found(&site, at, "finding", json!(1), "whether it opens a finding");
}

#[test]
fn the_fact_asked_on_taking_up_is_the_one_the_record_says() {
    let mut site = Site::at("tighten-j1");
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Fastener(_, 3, 1))));
    site.pauses(600, FALK);
    site.goes_on(|ask| matches!(ask.point, Point::Observed));
    site.step();
    site.restarts_alike();
    let at = number(&site, is("observed/1"));
    let recorded = body(&site, at)["recorded"].clone();
    assert_eq!(body(&site, at)["answer"], recorded);
    found(
        &site,
        at,
        "recorded",
        json!("nut 3"),
        "what the record said",
    );
    found(
        &site,
        at,
        "question",
        json!("Is it warm?"),
        "what was asked",
    );
    found(&site, at, "answer", json!("nut 2"), "whether they agree");
    found(
        &site,
        at,
        "answer",
        json!("nut 99"),
        "was not among its answers",
    );
    found(&site, at, "finding", json!(1), "whether it opens a finding");
}

#[test]
fn whether_the_verifier_agrees_is_worked_out_again() {
    let site = whole();
    let at = number(&site, is("verified_answer/1"));
    let answer = body(&site, at)["answer"].as_str().unwrap().to_owned();
    found(&site, at, "answer", json!("another"), "the work says");
    found(
        &site,
        at,
        "agrees",
        json!(false),
        &format!("\"{answer}\" differs, it says"),
    );
    found(&site, at, "finding", json!(1), "whether it opens a finding");
    let verified = number(&site, |entry| {
        entry.kind == "verified/1" && entry.body.contains_key("answers")
    });
    found(
        &site,
        verified,
        "answers",
        json!([1]),
        "the verifier's own answers",
    );
    found(
        &site,
        verified,
        "how",
        json!("concurrent"),
        "how it was verified",
    );
}

#[test]
fn what_came_from_a_vent_is_judged_again() {
    let site = whole();
    let written = number(&site, |entry| {
        entry.kind == "vented/1" && entry.body["came"] == "flowed and stopped"
    });
    found(
        &site,
        written,
        "came",
        json!("nothing came"),
        "whether it lets zero stand",
    );
    found(
        &site,
        written,
        "came",
        json!("still flowing"),
        "whether it lets zero stand",
    );
    found(
        &site,
        written,
        "clear",
        json!(false),
        "whether it lets zero stand",
    );
    found(
        &site,
        written,
        "finding",
        json!(1),
        "whether it opens a finding",
    );
    found(&site, written, "side", json!("moon"), "its side");
    // At a later look a vent from which nothing comes is clear.
    let later = number(&site, |entry| {
        entry.kind == "vented/1" && entry.body["came"] == "nothing came"
    });
    found(
        &site,
        later,
        "came",
        json!("cannot tell"),
        "whether it lets zero stand",
    );
    let released = number(&site, is("released/1"));
    assert!(released > written);
}

#[test]
fn looking_again_is_judged_again() {
    let mut site = Site::at("tighten-j1");
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Fastener(_, 3, 1))));
    site.pauses(5, FALK);
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Fastener(_, 3, 1))));
    site.types("122").unwrap();
    site.restarts_alike();
    let at = number(&site, is("looked_again/1"));
    found(
        &site,
        at,
        "came",
        json!("cannot tell"),
        "whether it lets zero stand",
    );
    // Left out of the record's sense, the next act stands without it.
    let mut entries = site.entries.clone();
    let looked = usize::try_from(at).unwrap() - 1;
    let mut entry = Entry::clone(&entries[looked].entry);
    entry.kind = "found/1".into();
    entry.body = json!({"finding": 1, "words": "a rag"})
        .as_object()
        .unwrap()
        .clone();
    entries[looked] = sealed(entry);
    let findings = recheck(site.rebuild().procedure(), &entries);
    assert!(
        findings.len() == 1 && findings[0].0 > at && findings[0].1.contains("looked again"),
        "{findings:?}"
    );
}

#[test]
fn the_units_that_a_queried_torque_would_fit_in_are_worked_out_again() {
    let mut site = Site::at("tighten-j1");
    site.readings.insert("J1/1".into(), vec!["90".into()]);
    site.goes_on(|ask| matches!(ask.point, Point::Queried(_)));
    site.types("1").unwrap();
    assert_eq!(site.last_kind(), "reading/1");
    site.restarts_alike();
    let judged = number(&site, is("reading/1"));
    let queried = number(&site, is("reading_queried/1"));
    found(
        &site,
        queried,
        "candidates",
        json!([]),
        "the units it would fit in",
    );
    found(&site, queried, "means", json!("91 N·m"), "is not 91 N·m");
    found(
        &site,
        judged,
        "from",
        Value::Null,
        "without asking which scale was read",
    );
    found(&site, judged, "from", json!([1]), "no torque asked about");
    let other = told(&site, queried, "typed", json!("9"));
    assert!(other[0].0 == queried && other[1].0 == judged, "{other:?}");
    assert!(
        other[1].1.contains("where \"9\" was asked about"),
        "{other:?}"
    );
}

#[test]
fn a_permit_says_what_was_written_and_no_act_stands_after_its_end() {
    let site = whole();
    let permit = number(&site, |entry| entry.body.contains_key("permit"));
    let mut said = body(&site, permit)["permit"].clone();
    let text = body(&site, permit)["text"].as_str().unwrap().to_owned();
    said["number"] = json!("another");
    found(
        &site,
        permit,
        "permit",
        said.clone(),
        "what it says of the paper",
    );
    found(
        &site,
        permit,
        "permit",
        Value::Null,
        "gives no number and end",
    );
    said["number"] = body(&site, permit)["permit"]["number"].clone();
    said["ends"] = json!("2026-12-31T00:00:00.000Z");
    found(&site, permit, "permit", said, "what it says of the paper");
    found(
        &site,
        permit,
        "text",
        json!("PTW"),
        "gives no number and end of a permit",
    );
    // Written for an hour, and the work went on.
    let mut entry = Entry::clone(&site.entries[usize::try_from(permit).unwrap() - 1].entry);
    let ends = format!(
        "{:02}{}",
        entry.utc[11..13].parse::<u32>().unwrap() + 1,
        &entry.utc[13..]
    );
    entry.body["permit"]["ends"] = json!(format!("{}{ends}", &entry.utc[..11]));
    entry.body["text"] = json!(text.replace("24 h", "1 h"));
    let mut entries = site.entries.clone();
    entries[usize::try_from(permit).unwrap() - 1] = sealed(entry);
    let findings = recheck(site.rebuild().procedure(), &entries);
    assert!(
        findings.len() == 1
            && findings[0].0 > permit
            && findings[0].1.contains("It was done after permit")
            && findings[0].1.contains("had ended"),
        "{findings:?}"
    );
}

#[test]
fn no_act_with_the_hands_inside_stands_without_zero() {
    let site = whole();
    // As if the site allowed a check of zero to be five minutes old.
    let old = told(&site, 1, "zero_minutes", json!(5));
    assert!(
        old.len() == 1
            && old[0]
                .1
                .contains("zero did not stand: the reading is too old"),
        "{old:?}"
    );
    let own = number(&site, |entry| {
        entry.kind == "own_lock/1" && entry.body["on"] == true
    });
    let off = told(&site, own, "on", json!(false));
    assert!(off[0].0 > own, "{off:?}");
    alone(&off, off[0].0, "zero did not stand: a lock was off");
}

#[test]
fn nothing_is_signed_while_something_is_open() {
    let site = whole();
    let signed = number(&site, is("signed_off/1"));
    let before = usize::try_from(signed).unwrap() - 2;
    let mut entries = site.entries.clone();
    let mut entry = Entry::clone(&entries[before].entry);
    entry.kind = "found/1".into();
    entry.signature = None;
    entry.body = json!({"finding": 1, "words": "a crack"})
        .as_object()
        .unwrap()
        .clone();
    entries[before] = sealed(entry);
    let findings = recheck(site.rebuild().procedure(), &entries);
    assert!(
        findings.len() == 1
            && findings[0].0 == signed
            && findings[0].1.contains("signed while this was open"),
        "{findings:?}"
    );
}
