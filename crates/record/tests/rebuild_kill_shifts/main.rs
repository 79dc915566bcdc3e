//! A whole rebuild over several hands: handed over to a person, left to nobody, locks off and on again, done for an hour without
//! the laptop, tested by the plant's own energy, and taken back before it when the test fails. The program is killed after every
//! entry of it and taken up again: the same state, zero demanded anew, and the small model of lockout finds no act of what follows
//! that it forbids.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod kinds;
#[path = "../lockout/mod.rs"]
mod lockout;
#[path = "../rebuild_site/mod.rs"]
mod rebuild_site;
mod shifts;

use kinds::Kinds;
use lockout::Model;
use rebuild_site::{FALK, ODDE, Site};
use reseat_procedure::model::{Asked, EnergyState};
use reseat_record::log::Entry;
use reseat_record::rebuild::{Ended, Point, Rebuild};
use shifts::{CO2, shifts};

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

/// The program starts again and a person takes the rebuild up; whether hands-on work is due, which then waits for zero.
fn taken_up(site: &mut Site, next: reseat_record::log::Id, upto: usize) -> bool {
    let entry = site
        .rebuild()
        .take_up(&site.register, &site.stamp(next))
        .unwrap();
    site.performer = next;
    site.keeps(entry, next);
    let wants = wants_zero(site);
    let point = site.ask().point;
    assert!(
        !wants || matches!(point, Point::Gate(0) | Point::LockBack(_)),
        "entry {upto}: {point:?}"
    );
    wants
}

/// Goes on for a while, or to the signatures, under the eyes of the model.
fn goes_on_watched(site: &mut Site, upto: usize, whole_way: bool, mut model: Model) {
    for _ in 0..if whole_way { 3000 } else { 9 } {
        if !site.step() {
            break;
        }
    }
    for sealed in &site.entries[upto..] {
        let entry = &sealed.entry;
        let why = sees(&mut model, entry);
        assert_eq!(why, None, "entry {upto}: {} {:?}", entry.kind, entry.body);
    }
    assert!(
        !whole_way || site.rebuild().ended() == Some(Ended::Signed),
        "entry {upto}: {:#?}",
        site.ask()
    );
}

#[test]
fn killed_at_every_entry_of_a_rebuild_over_several_shifts() {
    let whole = shifts();
    let procedure = || reseat_procedure::read(CO2).unwrap();
    let mut live = Rebuild::begin(procedure(), &whole.entries[0]).unwrap();
    let mut watched = model(&whole);
    let mut kinds = Kinds::default();
    let (mut gates, mut under_test) = (0, 0);
    for upto in 1..whole.entries.len() - 1 {
        kinds.killed_after(&whole.entries[upto - 1].entry);
        let replayed = Rebuild::replay(procedure(), &whole.entries[..upto]).unwrap();
        assert!(replayed == live, "replay differs at entry {upto}");
        let mut site = at(&whole, upto, &live);
        // By turns the same person and the other one.
        let next = if upto % 2 == 0 { FALK } else { ODDE };
        gates += usize::from(taken_up(&mut site, next, upto));
        under_test += usize::from(site.ask().step.is_some_and(|at| at.section.contains("est")));
        // A written check cut in two must still come to its end.
        let last = &whole.entries[upto - 1].entry;
        let mid_check = last.kind == "vented/1" && last.body.contains_key("ask");
        let whole_way = upto % 97 == 0 || mid_check;
        goes_on_watched(&mut site, upto, whole_way, watched.clone());
        let entry = &whole.entries[upto].entry;
        let why = sees(&mut watched, entry);
        assert_eq!(why, None, "entry {} {entry:?}", upto + 1);
        live.apply(&whole.entries[upto]);
    }
    assert!(
        gates > 100 && under_test > 10,
        "{gates} gates, {under_test} under test"
    );
    kinds.holds();
    let [let_in, again, taken_back] = watched.stored_energy();
    assert!(
        let_in > 1 && again > 1 && taken_back > 10,
        "by the model: in {let_in}, relieved again {again}, hands in after it {taken_back}"
    );
}
