//! Pauses, STOP and the program ended: when another look is enough, and when the full check is due.

use reseat_record::rebuild::{Command, Point, StopKind};

use crate::rebuild_site::{FALK, ODDE, Site};
use crate::{WORK, gate_leads_back};

#[test]
fn the_program_ended_and_a_long_pause_want_the_full_check() {
    let mut site = Site::at(WORK);
    site.restarts(FALK);
    gate_leads_back(&mut site, true);
    let mut site = Site::at(WORK);
    site.pauses(
        i64::from(site.rebuild().started().look_again_minutes) + 1,
        FALK,
    );
    gate_leads_back(&mut site, true);
}

#[test]
fn a_short_pause_wants_another_look_and_no_release() {
    let mut site = Site::at(WORK);
    site.pauses(
        i64::from(site.rebuild().started().look_again_minutes) - 1,
        FALK,
    );
    assert_eq!(site.ask().point, Point::LookAgain);
    gate_leads_back(&mut site, false);
}

#[test]
fn a_pause_by_itself_counts_from_the_last_key() {
    let mut site = Site::at(WORK);
    let (pause, look) = (
        site.rebuild().started().pause_minutes,
        site.rebuild().started().look_again_minutes,
    );
    site.seconds += i64::from(pause) * 60;
    site.does(Command::Pause { by_itself: true }, FALK).unwrap();
    site.seconds += i64::from(look - pause) * 60 + 60;
    site.resumes(FALK);
    assert_eq!(
        site.ask().point,
        Point::Gate(0),
        "the ten minutes without a key are part of the pause"
    );
}

#[test]
fn a_look_that_shows_pressure_or_flow_is_no_look() {
    for flow in [false, true] {
        let mut site = Site::at(WORK);
        site.pauses(5, FALK);
        if flow {
            site.types("0.0").unwrap();
            site.picks("still flowing");
        } else {
            site.types("1.5").unwrap();
            assert_eq!(site.last("place"), "HIGH");
        }
        assert_eq!(site.ask().point, Point::Gate(0));
        gate_leads_back(&mut site, true);
    }
}

#[test]
fn every_stop_but_called_away_wants_the_full_check() {
    for kind in StopKind::ALL
        .into_iter()
        .filter(|kind| *kind != StopKind::CalledAway)
    {
        let mut site = Site::at(WORK);
        site.does(Command::Stop { kind }, FALK).unwrap();
        site.resumes(FALK);
        assert_eq!(site.ask().point, Point::Gate(0), "{kind:?}");
        gate_leads_back(&mut site, true);
    }
}

#[test]
fn a_stop_on_top_of_a_pause_makes_it_neither_shorter_nor_lighter() {
    let mut site = Site::at(WORK);
    site.does(Command::Pause { by_itself: false }, FALK)
        .unwrap();
    site.seconds += 3 * 3600;
    let called_away = Command::Stop {
        kind: StopKind::CalledAway,
    };
    site.does(called_away.clone(), FALK).unwrap();
    site.resumes(FALK);
    assert_eq!(site.ask().point, Point::Gate(0));
    let mut site = Site::at(WORK);
    let words = "end of shift".to_owned();
    site.does(
        Command::HandOver {
            words,
            to: Some(ODDE),
            left: None,
        },
        FALK,
    )
    .unwrap();
    site.does(called_away, FALK).unwrap();
    site.resumes(FALK);
    assert_eq!(site.ask().point, Point::Gate(0));
}

#[test]
fn a_check_that_a_short_pause_cuts_in_two_begins_anew() {
    let mut site = Site::at(WORK);
    site.restarts(FALK);
    site.step();
    assert_eq!(site.ask().point, Point::Gate(1));
    site.pauses(1, FALK);
    assert_eq!(site.ask().point, Point::Gate(0));
    gate_leads_back(&mut site, true);
}
