//! The energy plan: a line for each source and each stored energy, and points the place has beside the procedure.

use reseat_procedure::{all_choices, builtin, read};
use reseat_record::rebuild::{Ask, Command, Point, Wants};
use reseat_record::register;

use crate::rebuild_site::{FALK, SEFTON, Site};

fn point(label: &str, energy: &str) -> register::PlacePoint {
    register::PlacePoint {
        label: label.into(),
        energy: energy.into(),
        kind: register::PointKind::Isolating,
        position: "shut".into(),
    }
}

/// The site with its own points on the register.
fn with_points(points: Vec<register::PlacePoint>) -> Site {
    let mut site = Site::new();
    site.keep(
        register::Command::ChangePlace(register::PlaceSaid {
            tag: "FV-3302".into(),
            name: "brine reject control valve".into(),
            points,
            redundant_with: None,
        }),
        SEFTON,
    );
    site.start();
    site
}

#[test]
fn each_source_and_each_stored_energy_has_its_own_line_with_all_it_needs() {
    let mut site = with_points(vec![
        point("V-3301", "brine, upstream"),
        point("V-3303", "brine, downstream"),
        point("P-31 breaker", "pump P-31"),
        point("IA-3302", "instrument air"),
    ]);
    site.until("plug-on");
    let procedure = site.rebuild().procedure().clone();
    let lines = site.rebuild().energy_lines(&site.stamp(FALK));
    assert_eq!(lines.len(), procedure.energies.len());
    for (line, energy) in lines.iter().zip(&procedure.energies) {
        assert!(line.source.contains(&energy.label) && line.source.contains(&energy.size));
        assert!(line.method.contains(&energy.method), "{line:?}");
    }
    site.until("");
    // After the return the record still says what was locked, by whom, how it was released and what proved zero.
    let plan = site.rebuild().energy_plan();
    let brine = plan
        .iter()
        .find(|line| line.source.contains("upstream"))
        .unwrap();
    assert_eq!(brine.kind, "process pressure");
    assert!(
        brine.isolated_at.iter().any(|at| at.starts_with("V-3301")),
        "{brine:?}"
    );
    assert!(
        brine
            .locks
            .iter()
            .any(|lock| lock.starts_with("A-2 on V-3301, Ines Falk ")),
        "{brine:?}"
    );
    assert!(
        brine.released.starts_with("vent of upstream: "),
        "{brine:?}"
    );
    assert!(brine.proof.contains("Ines Falk"), "{brine:?}");
    assert!(plan.iter().all(|line| line.note.is_empty()), "{plan:?}");
    assert_eq!(site.rebuild().started().rule, "29 CFR 1910.147");
}

#[test]
fn a_point_of_the_place_that_the_procedure_does_not_name_is_locked_before_zero() {
    let mut site = with_points(vec![
        point("v-3301", "brine, upstream"),
        point("V-3305", "brine, sample line"),
    ]);
    site.goes_on(|ask| matches!(ask.point, Point::LockBack(_)));
    assert_eq!(site.ask().point, Point::LockBack("V-3305".into()));
    assert!(
        site.entries
            .iter()
            .all(|sealed| !sealed.entry.body.contains_key("outcome")
                || sealed.entry.body["step"] != "zero-hold"),
        "before any zero reading"
    );
    site.types("A-9").unwrap();
    site.until("plug-on");
    let lines = site.rebuild().energy_lines(&site.stamp(FALK));
    let own = lines.last().unwrap();
    assert_eq!(
        (own.lock.as_str(), own.owner.as_str(), own.complete),
        ("A-9", "Falk", true)
    );
    let plan = site.rebuild().energy_plan();
    assert!(
        plan.iter()
            .any(|line| line.note.contains("not on the register") && line.note.contains("V-3303"))
    );
    // Off while work goes on: hands off at once.
    site.does(
        Command::LockOff {
            point: "V-3305".into(),
            absent_owner: None,
        },
        FALK,
    )
    .unwrap();
    assert_eq!(site.ask().point, Point::LockBack("V-3305".into()));
    site.until("sign");
    let remains: Vec<String> = site
        .rebuild()
        .open_items()
        .into_iter()
        .map(|item| item.text)
        .collect();
    assert!(
        remains.iter().any(|item| item.contains("V-3305")),
        "{remains:?}"
    );
}

/// A gauge read leaves its line open until its vent was looked at too, and the line told is the one asked about, in whatever order
/// the procedure lists sources and sides.
#[test]
fn in_a_full_check_the_line_told_is_that_of_the_side_asked_and_it_stays_open_until_its_vent() {
    for (file, bytes) in builtin() {
        let procedure = read(bytes).unwrap();
        let choices = all_choices(&procedure).remove(0);
        let mut site = Site::following(bytes, choices);
        site.start();
        let torn_down = |ask: &Ask| {
            let step = ask.step.as_ref();
            step.is_some_and(|step| step.section == "Clean and inspect")
        };
        site.goes_on(torn_down);
        site.restarts(FALK);
        let mut seen = Vec::new();
        while let Point::Gate(part) = site.ask().point {
            let Some(at) = site.rebuild().energy_asked(&Point::Gate(part)) else {
                break;
            };
            let lines = site.rebuild().energy_lines(&site.stamp(FALK));
            assert!(!lines[at].complete, "{file}: {:?}", lines[at]);
            let procedure = site.rebuild().procedure();
            let of_energy = |side: &&reseat_procedure::model::ZeroSide| {
                side.energy == procedure.energies[at].id
            };
            let side = procedure.zero.iter().find(of_energy).unwrap();
            if matches!(site.ask().wants, Wants::Reading { .. }) {
                assert!(site.ask().prompt.starts_with(&side.label));
                seen.push(side.id.clone());
            } else {
                assert_eq!(
                    seen.last(),
                    Some(&side.id),
                    "the vent of the side just read"
                );
            }
            site.step();
        }
        assert_eq!(seen.len(), site.rebuild().procedure().zero.len(), "{file}");
        assert!(matches!(site.ask().wants, Wants::Signature { .. }));
    }
}

/// While it is made safe, an act at an isolating point is about the energy of that point.
#[test]
fn an_act_at_a_point_is_about_the_energy_isolated_there() {
    let mut site = Site::new();
    site.start();
    let mut told = Vec::new();
    loop {
        let ask = site.ask();
        let Some(step) = ask.step.as_ref().filter(|_| ask.point != Point::Closed) else {
            break;
        };
        if step.section == "Teardown" {
            break;
        }
        if let Some(at) = site.rebuild().energy_asked(&ask.point) {
            let procedure = site.rebuild().procedure();
            let here = |point: &&reseat_procedure::model::Point| step.text.contains(&point.label);
            if let Some(point) = procedure.points.iter().find(here) {
                assert_eq!(procedure.energies[at].id, point.energy, "{}", step.text);
                told.push(point.label.clone());
            }
        }
        site.step();
    }
    for label in ["V-3301", "V-3303", "IA-3302", "drain U", "drain D"] {
        assert!(told.iter().any(|known| known == label), "{label}: {told:?}");
    }
}
