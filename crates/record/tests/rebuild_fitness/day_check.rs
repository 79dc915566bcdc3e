//! The check of the day: asked once, where the site or the instrument wants it; one that fails.

use reseat_record::rebuild::Point;
use reseat_record::register::{self, InstrumentSaid, SiteSaid};

use crate::rebuild_site::{FALK, SEFTON, Site};
use crate::{refused_here, tell, with, wrench};

fn with_day_checks() -> Site {
    let mut site = Site::new();
    let set = SiteSaid {
        rule: "29 CFR 1910.147".into(),
        pause_minutes: 10,
        zero_minutes: 240,
        look_again_minutes: 30,
        shift_hours: 12,
        day_checks: true,
        left_states: Vec::new(),
    };
    site.keep(register::Command::SetSite(set), SEFTON);
    site
}

#[test]
fn the_check_of_the_day_is_asked_once_a_day_for_each_instrument_and_only_where_the_site_wants_it() {
    let mut plain = Site::new();
    plain.start();
    let mut checks = 0;
    while plain.step() {
        checks += usize::from(plain.last_kind() == "checked/1");
    }
    assert_eq!(checks, 0, "no key more on the ordinary day");

    let mut site = with_day_checks();
    site.start();
    let mut asked: Vec<(String, String)> = Vec::new();
    loop {
        let point = site.ask().point;
        let day = site.stamp(FALK).utc[..10].to_owned();
        if !site.step() {
            break;
        }
        if let Point::DayCheck(id) = point {
            assert_eq!(site.last_kind(), "checked/1");
            assert_eq!(site.last("passed"), true);
            tell(&mut site);
            assert!(site.register.instrument(&id).unwrap().checked.is_some());
            asked.push((id, day));
        }
    }
    let before = asked.len();
    asked.sort();
    asked.dedup();
    assert_eq!(asked.len(), before, "once a day: {asked:?}");
    for id in [
        "PG-12", "PG-7", "PG-13", "DG-1", "TW-19", "TW-17", "MC-1", "PG-10",
    ] {
        assert!(
            asked.iter().any(|(named, _)| named == id),
            "{id}: {asked:?}"
        );
    }
}

#[test]
fn a_check_kept_on_the_register_today_is_not_asked_again_and_one_of_yesterday_is() {
    let mut site = with_day_checks();
    site.start();
    site.until("live-upstream");
    assert_eq!(site.ask().point, Point::DayCheck("PG-12".into()));
    let check = register::Command::CheckForDay {
        id: "PG-12".into(),
        seen: "zero when vented".into(),
        passed: true,
    };
    site.keep(check, FALK);
    assert!(
        matches!(site.ask().point, Point::Asked(..)),
        "{:?}",
        site.ask().point
    );
    site.seconds += 24 * 3600;
    assert_eq!(site.ask().point, Point::DayCheck("PG-12".into()));
}

#[test]
fn an_instrument_of_its_own_is_checked_where_the_site_asks_no_other() {
    let mut site = with(InstrumentSaid {
        day_check: true,
        ..wrench()
    });
    let mut asked = Vec::new();
    loop {
        if let Point::DayCheck(id) = site.ask().point {
            asked.push(id);
        }
        if !site.step() {
            break;
        }
    }
    assert_eq!(asked, ["TW-19"]);
}

#[test]
fn a_failed_check_takes_the_instrument_out_at_once_here_and_on_the_register() {
    let mut site = with_day_checks();
    site.start();
    site.until("live-upstream");
    site.picks("not so");
    assert_eq!(site.last("passed"), false);
    refused_here(&site, "PG-12", "60", "instrument-quarantined");
    tell(&mut site);
    refused_here(&site, "PG-12", "60", "instrument-quarantined");
    let (id, reason) = ("PG-12".to_owned(), "checked on the bench".to_owned());
    site.keep(register::Command::Return { id, reason }, SEFTON);
    assert_eq!(
        site.ask().point,
        Point::DayCheck("PG-12".into()),
        "it comes back unchecked"
    );
}
