//! One lock hangs in one place: a number recorded on is refused for another person and another point; a lock that came off is
//! named by its point or by its number.

use reseat_record::rebuild::{Command, Point};

use crate::own_lock;
use crate::rebuild_site::{FALK, ODDE, Site};

fn off(said: &str) -> Command {
    Command::LockOff {
        point: said.into(),
        absent_owner: None,
    }
}

#[test]
fn the_number_of_another_mans_lock_is_refused() {
    let mut site = Site::at("plug-on");
    let taken = site.rebuild().lock_box().unwrap().on[0].clone();
    assert_eq!(taken.name, "Ines Falk");
    for typed in [
        taken.number.clone(),
        format!(" {} ", taken.number),
        "a-1".into(),
    ] {
        assert_eq!(
            site.refused(own_lock(ODDE, Some(&typed)), FALK),
            "lock-number-taken",
            "{typed}"
        );
    }
    site.pauses(5, ODDE);
    let refusal = site.types(&taken.number).unwrap_err();
    assert_eq!(refusal.code(), "lock-number-taken");
    assert!(
        refusal.sentence().contains("on at the box, Ines Falk"),
        "{refusal}"
    );
    site.types("431").unwrap();
    assert_eq!(site.last("number"), "431");
}

#[test]
fn the_number_of_another_points_lock_is_refused_when_a_lock_goes_back_on() {
    let mut site = Site::at("plug-on");
    site.does(off("V-3301"), FALK).unwrap();
    assert_eq!(site.ask().point, Point::LockBack("V-3301".into()));
    assert!(site.rebuild().asks_lock_number(&site.ask().point));
    let own = site.rebuild().lock_box().unwrap().on[0].number.clone();
    for typed in ["A-1", "a-1", own.as_str()] {
        let command = site.ask().answer(typed).unwrap();
        assert_eq!(site.refused(command, FALK), "lock-number-taken", "{typed}");
    }
    // The one that came off hangs nowhere.
    site.types("A-2").unwrap();
    assert_eq!(site.last_kind(), "lock_on/1");
}

#[test]
fn a_lock_that_came_off_is_named_by_the_number_on_it() {
    let mut site = Site::at("plug-on");
    assert_eq!(site.refused(off("A-99"), FALK), "no-lock");
    site.does(off("a-2"), FALK).unwrap();
    assert_eq!(
        (site.last("point"), site.last("number")),
        ("V-3301".into(), "A-2".into())
    );
    assert_eq!(site.ask().point, Point::LockBack("V-3301".into()));
    site.restarts_alike();
    let mut site = Site::at("plug-on");
    let own = site.rebuild().lock_box().unwrap().on[0].number.clone();
    site.does(off(&own), FALK).unwrap();
    assert_eq!(site.ask().point, Point::LockBack("own".into()));
    let line = site.rebuild().record_lines(&site.register).pop().unwrap();
    assert_eq!(
        line.text,
        format!("own lock {own} recorded OFF by its owner"),
        "no identifier stands in the line"
    );
}

#[test]
fn the_table_shows_who_has_the_locks_now() {
    let mut site = Site::at("plug-on");
    let owners = |site: &Site| {
        let mut owners: Vec<String> = site
            .rebuild()
            .energy_lines(&site.stamp(FALK))
            .into_iter()
            .map(|line| line.owner)
            .filter(|owner| !owner.is_empty())
            .collect();
        owners.dedup();
        owners
    };
    assert_eq!(owners(&site), ["Falk"]);
    site.pauses(5, ODDE);
    assert_eq!(owners(&site), ["Odde"]);
    // The record keeps who hung them.
    let plan = site.rebuild().energy_plan();
    assert!(
        plan.iter()
            .flat_map(|line| &line.locks)
            .all(|lock| lock.contains("Falk")),
        "{plan:#?}"
    );
}
