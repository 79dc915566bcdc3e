//! Whoever wrote an entry stands beside its words wherever they are shown; the words name him no second time.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use std::collections::BTreeSet;

use rebuild_site::{FALK, ODDE, SEFTON, Site};
use reseat_procedure::Choices;
use reseat_record::rebuild::{AbsentOwner, Command, Point};

/// Its procedure takes own locks off for a test.
const CO2: &[u8] = include_bytes!("../../../procedures/PRV-CO2-04.json");

fn lock_off(point: &str, absent_owner: Option<AbsentOwner>) -> Command {
    let point = point.into();
    Command::LockOff {
        point,
        absent_owner,
    }
}

fn facts() -> AbsentOwner {
    AbsentOwner {
        not_on_site: "gate log".into(),
        attempts: "phoned twice".into(),
        told: "note at the gate".into(),
    }
}

/// A deviation, a finding decided, a lock off and on by its owner and by the absent-owner route, a handover, a struck reading.
fn troubled(mut site: Site, joint: &str) -> Site {
    site.start();
    site.until(joint);
    site.does(
        Command::Deviate {
            text: "wipe it".into(),
            reason: "wet".into(),
        },
        SEFTON,
    )
    .unwrap();
    let words = "a scratch".into();
    site.does(Command::Find { words }, FALK).unwrap();
    site.goes_on(|ask| matches!(ask.point, Point::Finding(_)));
    site.decides("go on", SEFTON);
    let point = site.rebuild().procedure().points[0].id.clone();
    site.does(lock_off(&point, None), FALK).unwrap();
    site.goes_on(|ask| !matches!(ask.point, Point::LockBack(_)));
    site.does(lock_off(&point, Some(facts())), ODDE).unwrap();
    site.goes_on(|ask| !matches!(ask.point, Point::LockBack(_)));
    let words = "it lies on the cloth".into();
    let to = Some(ODDE);
    let left = None;
    site.does(Command::HandOver { words, to, left }, FALK)
        .unwrap();
    site.resumes(ODDE);
    site.goes_on(|ask| !matches!(ask.point, Point::LockBack(_)));
    site.does(lock_off("own", None), FALK).unwrap();
    site.until("");
    site
}

#[test]
fn no_line_names_the_person_who_wrote_it() {
    let mut named = BTreeSet::new();
    for site in [
        troubled(Site::new(), "tighten-j1"),
        troubled(Site::following(CO2, Choices::default()), "fit-main-spring"),
    ] {
        let lines = site.rebuild().record_lines(&site.register);
        assert_eq!(lines.len(), site.entries.len());
        for (line, sealed) in lines.iter().zip(&site.entries) {
            assert!(
                !line.by.is_empty() && !line.text.contains(&line.by),
                "{} twice: {line:?}",
                line.by
            );
            let body = &sealed.entry.body;
            if body.contains_key("person") || body.contains_key("owner") {
                named.insert(sealed.entry.kind.clone());
            }
        }
    }
    let named: Vec<&str> = named.iter().map(String::as_str).collect();
    assert_eq!(
        named,
        [
            "decided/1",
            "deviation/1",
            "handed_over/1",
            "lock_off/1",
            "lock_on/1",
            "named/1",
            "own_lock/1",
            "released/1",
            "signed_off/1",
            "taken_up/1",
            "verified/1"
        ]
    );
}

#[test]
fn another_person_is_named_and_the_last_kept_line_says_each_name_once() {
    let mut site = Site::at("tighten-j1");
    site.does(lock_off("V-3301", Some(facts())), ODDE).unwrap();
    let line = site.rebuild().record_lines(&site.register).pop().unwrap();
    assert_eq!(
        (line.by.as_str(), line.text.as_str()),
        ("Rurik Odde", "lock A-2 of Ines Falk recorded OFF at V-3301")
    );
    site.goes_on(|ask| !matches!(ask.point, Point::LockBack(_)));
    site.does(Command::Pause { by_itself: false }, FALK)
        .unwrap();
    let detail = site.ask().detail;
    let kept = detail.iter().find(|line| line.starts_with("Last kept: "));
    let kept = kept.unwrap();
    assert!(
        kept.starts_with("Last kept: lock 418 on V-3301 Ines Falk ("),
        "{kept}"
    );
    // Signed by another: named beside the words, without the register at hand.
    let mut site = Site::at("tighten-j1");
    site.goes_on(|ask| matches!(ask.point, Point::Verify(_)));
    site.step();
    site.does(Command::Pause { by_itself: false }, FALK)
        .unwrap();
    let detail = site.ask().detail;
    let kept = detail.iter().find(|line| line.starts_with("Last kept: "));
    let kept = kept.unwrap();
    assert!(
        kept.contains(": verified (concurrent), signed Mbali Sefton ("),
        "{kept}"
    );
}
