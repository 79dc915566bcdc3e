//! The energy plan: a line for each source and each stored energy, and points the place has beside the procedure.

use reseat_record::rebuild::{Command, Point, Wants};
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

/// The line marked is the one asked about: a gauge read leaves it open until its vent was looked at too.
#[test]
fn in_a_full_check_the_first_open_line_is_the_side_that_is_asked() {
    let mut site = Site::at("tighten-j1");
    site.restarts(FALK);
    let mut asked = 0;
    while let Point::Gate(_) = site.ask().point {
        let ask = site.ask();
        if matches!(ask.wants, Wants::Signature { .. }) {
            break;
        }
        let lines = site.rebuild().energy_lines(&site.stamp(FALK));
        let first_open = lines.iter().find(|line| !line.complete).unwrap();
        let procedure = site.rebuild().procedure();
        // The words of a reading name its side, those of a vent the vent.
        let side = procedure
            .zero
            .iter()
            .find(|side| {
                let vent = side.vent.as_deref().and_then(|vent| {
                    let point = procedure.points.iter().find(|point| point.id == vent)?;
                    Some(point.label.as_str())
                });
                ask.prompt.starts_with(&side.label)
                    || vent.is_some_and(|vent| ask.prompt.contains(vent))
            })
            .unwrap_or_else(|| panic!("{ask:#?}"));
        let energy = procedure
            .energies
            .iter()
            .find(|energy| energy.id == side.energy)
            .unwrap();
        assert!(
            first_open.source.starts_with(&energy.label),
            "{}: {first_open:?}",
            ask.prompt
        );
        asked += 1;
        site.step();
    }
    assert_eq!(asked, 5, "three gauges and two vents");
}
