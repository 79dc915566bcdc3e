//! A whole rebuild over several hands: handed over to a person, left to nobody, done for an hour without the laptop, tested by the
//! plant's own energy. The program is killed after every entry of it and taken up again: the same state, zero demanded anew,
//! and the small model of lockout finds no act of what follows that it forbids.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod lockout;
mod rebuild_site;

use lockout::Model;
use rebuild_site::{FALK, ODDE, Site};
use reseat_procedure::Choices;
use reseat_procedure::model::{Asked, EnergyState};
use reseat_record::log::{Entry, Id, Stamp};
use reseat_record::rebuild::{Command, Ended, Point, Rebuild};
use reseat_record::register::LEFT_STATES;

/// Tested by the inlet's own pressure: locks come off for it and go on again.
const CO2: &[u8] = include_bytes!("../../../procedures/PRV-CO2-04.json");

/// Answers what is asked as of half an hour ago.
fn enters_late(site: &mut Site, acts: usize) {
    for _ in 0..acts {
        let now = site.stamp(site.performer);
        let then = chrono::DateTime::parse_from_rfc3339(&now.utc).unwrap();
        let then = then.with_timezone(&chrono::Utc) - chrono::Duration::minutes(30);
        let stamp = Stamp {
            acted: Some(then.to_rfc3339_opts(chrono::SecondsFormat::Millis, true)),
            ..now
        };
        let ask = site.rebuild().ask(&site.register, &stamp);
        let text = if ask.kind == "choice" { "1" } else { "" };
        let command = ask.answer(text).unwrap();
        let entry = site
            .rebuild()
            .decide(&site.register, command, &stamp)
            .unwrap_or_else(|refusal| panic!("{} at {ask:#?}", refusal.sentence()));
        let by = site.performer;
        site.keeps(entry, by);
    }
}

fn own_lock_off(site: &mut Site, owner: Id) {
    let own = Command::LockOff {
        point: "own".into(),
        absent_owner: None,
    };
    site.does(own, owner).unwrap();
}

/// From the start to the signatures, through everything that may come between.
fn shifts() -> Site {
    let mut site = Site::following(CO2, Choices::default());
    site.permit = "4711, 48 h";
    site.start();
    // Falk hands over to Odde, whose lock goes on before hers comes off.
    site.until("fit-main-spring");
    let hand_over = |to, left: Option<&str>| Command::HandOver {
        words: "spring lies on the cloth".into(),
        to,
        left: left.map(str::to_owned),
    };
    site.does(hand_over(Some(ODDE), None), FALK).unwrap();
    site.seconds += 1200;
    site.resumes(ODDE);
    site.goes_on(|ask| !matches!(ask.point, Point::LockBack(_)));
    own_lock_off(&mut site, FALK);
    for _ in 0..30 {
        site.step();
    }
    // Odde leaves it to nobody; Falk comes back in the morning.
    site.does(hand_over(None, Some(LEFT_STATES[0])), ODDE)
        .unwrap();
    site.seconds += 10 * 3600;
    site.resumes(FALK);
    // The laptop dies; what was done meanwhile is entered late.
    site.until("count-wrenches-picks-rags");
    site.seconds += 3600;
    site.restarts(FALK);
    enters_late_at_work(&mut site);
    // Energy comes in for the test, and a long pause while it is in.
    site.until("soap-inlet-joints-250");
    site.pauses(90, FALK);
    site.until("");
    assert_eq!(site.rebuild().ended(), Some(Ended::Signed));
    site
}

/// Two acts entered late, at the first questions that take them.
fn enters_late_at_work(site: &mut Site) {
    site.goes_on(|ask| matches!(ask.point, Point::Act(_)));
    site.seconds += 3600;
    site.restarts(site.performer);
    enters_late(site, 1);
    let last = site.entries.last().unwrap();
    assert!(last.entry.acted.is_some(), "{:?}", last.entry);
}

fn model(site: &Site) -> Model {
    let started = site.rebuild().started();
    Model::new(
        &serde_json::from_slice(CO2).unwrap(),
        &FALK.to_string(),
        started.zero_minutes.into(),
        started.look_again_minutes.into(),
    )
}

fn sees(model: &mut Model, entry: &Entry) -> Option<String> {
    let by = entry.by.map(|id| id.to_string()).unwrap_or_default();
    let clock = format!("{:?}", entry.clock).to_lowercase();
    let late = entry.acted.is_some();
    model.reads(&entry.kind, &entry.body, &by, &entry.utc, &clock, late)
}

/// Whether the step due is work with the hands inside: neither a check itself, nor time, nor an act that makes safer.
fn wants_zero(site: &Site) -> bool {
    let Some(at) = site.ask().step else {
        return false;
    };
    let sections = &site.rebuild().procedure().sections;
    let mut steps = sections.iter().flat_map(|section| &section.steps);
    steps.find(|step| step.id == at.id).is_some_and(|step| {
        let time_or_check = |asked: &Asked| {
            matches!(
                asked,
                Asked::Zero { .. } | Asked::Rest { .. } | Asked::Wait { .. } | Asked::Vent { .. }
            ) || matches!(asked, Asked::Reading(measured) if measured.proves.is_some())
        };
        step.energy == EnergyState::Zero && !step.safer && !step.asks.iter().any(time_or_check)
    })
}

/// A site whose rebuild is where the first `upto` entries leave it, a little later.
fn at(whole: &Site, upto: usize, live: &Rebuild) -> Site {
    let mut site = whole.clone();
    site.entries.truncate(upto);
    site.rebuild = Some(live.clone());
    let instant = |utc: &str| chrono::DateTime::parse_from_rfc3339(utc).unwrap();
    let start = instant("2026-03-12T06:00:00.000Z");
    site.seconds = (instant(&site.entries[upto - 1].entry.utc) - start).num_seconds() + 20;
    site
}

#[test]
fn killed_at_every_entry_of_a_rebuild_over_several_shifts() {
    let whole = shifts();
    let kinds = |kind: &str| {
        whole
            .entries
            .iter()
            .filter(|sealed| sealed.entry.kind == kind)
            .count()
    };
    assert_eq!(kinds("handed_over/1"), 2);
    let late = whole
        .entries
        .iter()
        .filter(|sealed| sealed.entry.acted.is_some());
    assert!(late.count() >= 1);
    let procedure = || reseat_procedure::read(CO2).unwrap();
    let mut live = Rebuild::begin(procedure(), &whole.entries[0]).unwrap();
    let mut watched = model(&whole);
    let (mut gates, mut under_test) = (0, 0);
    for upto in 1..whole.entries.len() - 1 {
        let replayed = Rebuild::replay(procedure(), &whole.entries[..upto]).unwrap();
        assert!(replayed == live, "replay differs at entry {upto}");
        let mut site = at(&whole, upto, &live);
        // By turns the same person and the other one.
        let next = if upto % 2 == 0 { FALK } else { ODDE };
        let entry = site
            .rebuild()
            .take_up(&site.register, &site.stamp(next))
            .unwrap();
        site.performer = next;
        site.keeps(entry, next);
        if wants_zero(&site) {
            gates += 1;
            assert!(
                matches!(site.ask().point, Point::Gate(0) | Point::LockBack(_)),
                "entry {upto}: {:?}",
                site.ask().point
            );
        }
        under_test += usize::from(site.ask().step.is_some_and(|at| at.section.contains("est")));
        let whole_way = upto % 97 == 0;
        for _ in 0..if whole_way { 3000 } else { 9 } {
            if !site.step() {
                break;
            }
        }
        let mut model = watched.clone();
        for sealed in &site.entries[upto..] {
            let why = sees(&mut model, &sealed.entry);
            assert_eq!(
                why, None,
                "entry {upto}: {} {:?}",
                sealed.entry.kind, sealed.entry.body
            );
        }
        assert!(
            !whole_way || site.rebuild().ended() == Some(Ended::Signed),
            "entry {upto}: {:#?}",
            site.ask()
        );
        let why = sees(&mut watched, &whole.entries[upto].entry);
        assert_eq!(
            why,
            None,
            "entry {} {:?}",
            upto + 1,
            whole.entries[upto].entry
        );
        live.apply(&whole.entries[upto]);
    }
    assert!(
        gates > 100 && under_test > 10,
        "{gates} gates, {under_test} under test"
    );
}
