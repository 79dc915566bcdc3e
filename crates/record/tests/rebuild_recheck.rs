//! Whatever stands in an entry as worked out is worked out again: one entry told otherwise, sealed and signed right, is found and
//! named.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod forge;
mod rebuild_site;

use forge::{found, number, sealed, told};
use rebuild_site::{FALK, Site, procedure};
use reseat_record::log::Entry;
use reseat_record::rebuild::{AdapterSaid, Command, Inner, Point, recheck};
use serde_json::{Value, json};

/// A rebuild with a re-check that moved, a feeler, a count that was wrong once, and everything else a good day has.
fn whole() -> Site {
    let mut site = Site::new();
    site.start();
    site.until("");
    assert_eq!(recheck(&procedure(), &site.entries), []);
    site
}

#[test]
fn values_worked_out_from_readings_are_worked_out_again() {
    let site = whole();
    let computed = |wanted: &Value| {
        number(&site, |entry| {
            entry.kind == "reading/1" && entry.body["method"] == "computed" && {
                entry.body.get("thing") == Some(wanted)
            }
        })
    };
    let named: Vec<Value> = site
        .entries
        .iter()
        .filter(|one| one.entry.kind == "reading/1" && one.entry.body.contains_key("from"))
        .map(|one| one.entry.body["thing"].clone())
        .collect();
    assert!(
        named.len() > 2 && named.contains(&json!("gap/spread")),
        "{named:?}"
    );
    for thing in &named {
        let at = computed(thing);
        let body = &site.entries[usize::try_from(at).unwrap() - 1].entry.body;
        let unit = body["means"].as_str().unwrap().split_once(' ').unwrap().1;
        found(
            &site,
            at,
            "means",
            json!(format!("0.001 {unit}")),
            "not 0.001",
        );
        let from: Vec<u64> = serde_json::from_value(body["from"].clone()).unwrap();
        let mut other = from.clone();
        other.reverse();
        found(
            &site,
            at,
            "from",
            json!(other),
            "other entries than the readings that stand",
        );
        found(&site, at, "from", json!([at]), "is no reading before it");
    }
}

#[test]
fn what_an_answer_was_held_against_is_worked_out_again() {
    let site = whole();
    let kind = |kind: &'static str| number(&site, move |entry| entry.kind == kind);
    let with = |kind: &'static str, member: &'static str| {
        number(&site, move |entry| {
            entry.kind == kind && entry.body.contains_key(member)
        })
    };
    let rechecked = kind("rechecked/1");
    let condition = kind("condition/1");
    for (entry, member, other, words) in [
        (
            kind("round/1"),
            "at",
            json!("1 N·m"),
            "the torque of its round",
        ),
        (
            kind("pulled/1"),
            "to",
            json!("1 N·m"),
            "the torque of its pass",
        ),
        (
            rechecked,
            "at",
            json!("1 N·m"),
            "the torque of its re-check",
        ),
        (
            rechecked,
            "moved",
            json!(true),
            "whether it opens a finding",
        ),
        (
            condition,
            "written",
            json!("dry"),
            "the condition it must be",
        ),
        (
            condition,
            "condition",
            json!("dry"),
            "whether the condition is as written",
        ),
        (
            with("wrote/1", "agrees"),
            "text",
            json!("0389"),
            "the serial of the unit",
        ),
        (
            with("counted/1", "expected"),
            "expected",
            json!(99),
            "the count it must be",
        ),
        (kind("rest_begun/1"), "minutes", json!(1), "its minutes"),
        (
            kind("answered/1"),
            "leads",
            json!("again"),
            "what its answer leads to",
        ),
    ] {
        found(&site, entry, member, other, words);
    }
}

#[test]
fn side_values_and_settings_are_worked_out_again() {
    let site = whole();
    let beside = number(&site, |entry| entry.body.contains_key("with"));
    let mut with = site.entries[usize::try_from(beside).unwrap() - 1]
        .entry
        .body["with"]
        .clone();
    for value in with.as_object_mut().unwrap().values_mut() {
        *value = json!("9 bar g");
    }
    found(&site, beside, "with", with, "was read");
    let setting = number(&site, |entry| entry.kind == "setting/1");
    found(&site, setting, "typed", json!("9.5"), "on the scale");
}

#[test]
fn the_adapter_of_a_torque_or_setting_is_the_one_stated() {
    let mut site = Site::at("tighten-j1");
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Fastener(_, 3, 1))));
    let said = AdapterSaid {
        lever: "12 in".into(),
        length: "6 in".into(),
        angle: String::new(),
    };
    site.does(Command::Adapter { said: Some(said) }, FALK)
        .unwrap();
    site.types("81").unwrap();
    let at = site.entries.last().unwrap().entry.number;
    assert_eq!(
        told(&site, at, "attempt", json!(2)),
        [],
        "nothing is worked out from it"
    );
    let square = json!({"lever": "12 in", "length": "6 in", "angle": "90 °", "showed": "81 N·m"});
    found(
        &site,
        at,
        "adapter",
        square.clone(),
        "is 81.0000 N·m at the nut",
    );
    // Worked out right from another adapter than the one that is on.
    let mut forged = site.entries.clone();
    let last = forged.last_mut().unwrap();
    let mut entry = Entry::clone(&last.entry);
    entry.body.insert("adapter".into(), square);
    entry.body.insert("means".into(), "81.0000 N·m".into());
    *last = sealed(entry);
    let findings = recheck(site.rebuild().procedure(), &forged);
    assert!(
        findings[0]
            .1
            .contains("at J1 lever 12 in, adapter 6 in at 0 ° was stated"),
        "{findings:?}"
    );
    let stated = at - 1;
    found(&site, at, "adapter", Value::Null, "is not 121.5000 N·m");
    let off = told(&site, stated, "angle", json!("60 °"));
    assert!(off.len() == 1 && off[0].0 == at, "{off:?}");
}

#[test]
fn the_share_of_strength_after_a_high_is_worked_out_again() {
    let mut site = Site::at("tighten-j1");
    site.readings
        .insert("J1/1".into(), vec!["160".into(), "122".into()]);
    site.goes_on(|ask| matches!(ask.point, Point::AfterHigh(_)));
    site.types("1").unwrap();
    assert_eq!(site.last_kind(), "after_high/1");
    let at = site.entries.last().unwrap().entry.number;
    assert_eq!(recheck(site.rebuild().procedure(), &site.entries), []);
    found(&site, at, "percent", json!("12 %"), "its share of strength");
    let stretched = site.last("stretched").as_bool().unwrap_or_default();
    let other = if stretched { Value::Null } else { json!(true) };
    found(&site, at, "stretched", other, "may have stretched");
}
