//! The age of zero and the clock it is read by: doubted, stepped, given by a person.

use reseat_record::log::Clock;
use reseat_record::rebuild::{Command, Point, Wants};

use crate::rebuild_site::{FALK, Site};
use crate::{WORK, gate_leads_back};

#[test]
fn zero_grows_old_and_is_read_anew_by_the_performer_alone() {
    let mut site = Site::at(WORK);
    site.seconds += i64::from(site.rebuild().started().zero_minutes) * 60 + 60;
    assert_eq!(site.ask().point, Point::Gate(0));
    assert!(
        site.ask().notice.join(" ").contains("too old"),
        "{:#?}",
        site.ask()
    );
    gate_leads_back(&mut site, false);
}

#[test]
fn a_clock_doubted_after_the_proof_and_believed_again_each_want_proof() {
    let mut site = Site::at(WORK);
    site.clock = Clock::Doubted;
    assert_eq!(site.ask().point, Point::Gate(0));
    assert!(
        site.ask().notice.join(" ").contains("clock"),
        "{:#?}",
        site.ask()
    );
    while site.ask().point != Point::Act(WORK.into()) {
        assert!(site.step());
    }
    // A person gives date and time: what was read by the other clock counts no longer.
    let utc = site.stamp(FALK).utc;
    site.does(Command::GiveClock { utc }, FALK).unwrap();
    site.clock = Clock::Given;
    assert_eq!(site.ask().point, Point::Gate(0));
    gate_leads_back(&mut site, false);
}

#[test]
fn a_clock_stepped_back_to_1970_or_ahead_to_2099_voids_zero() {
    for seconds in [-86_400, -1_773_000_000, 2_303_000_000] {
        let mut site = Site::at(WORK);
        site.seconds += seconds;
        // A clock that far off is not believed; a day back it may be, and zero is void all the same.
        if seconds.abs() > 86_400 {
            site.clock = Clock::Doubted;
        }
        assert_eq!(site.ask().point, Point::Gate(0), "{seconds}");
        gate_leads_back(&mut site, false);
    }
}

#[test]
fn a_pause_under_a_doubted_clock_is_never_short() {
    let mut site = Site::at(WORK);
    site.clock = Clock::Doubted;
    while site.ask().point != Point::Act(WORK.into()) {
        assert!(site.step());
    }
    site.pauses(1, FALK);
    gate_leads_back(&mut site, true);
}

#[test]
fn a_given_time_lies_after_what_was_believed_and_may_lie_before_what_was_not() {
    let mut site = Site::at(WORK);
    let give = |utc: &str| Command::GiveClock { utc: utc.into() };
    assert_eq!(
        site.refused(give("1970-01-01T00:00:00.000Z"), FALK),
        "bad-time"
    );
    assert_eq!(
        site.refused(give("2026-03-12T23:00:00.000+01:00"), FALK),
        "bad-time"
    );
    let now = site.stamp(FALK).utc;
    // The clock runs to 2099 and is doubted; an entry is made; the right time can still be given.
    site.clock = Clock::Doubted;
    site.seconds += 2_303_000_000;
    site.does(
        Command::Find {
            words: "clock shows 2099".into(),
        },
        FALK,
    )
    .unwrap();
    site.does(give(&now), FALK).unwrap();
}

#[test]
fn a_rest_asks_a_person_while_the_clock_is_doubted() {
    let mut site = Site::at("rest");
    site.types("").unwrap();
    assert_eq!(site.last_kind(), "rest_begun/1");
    assert_eq!(
        site.refused(site.ask().answer("").unwrap(), FALK),
        "not-yet"
    );
    site.clock = Clock::Doubted;
    site.seconds += 60;
    assert!(
        site.ask().notice.join(" ").contains("CLOCK NOT TRUSTED"),
        "{:#?}",
        site.ask()
    );
    assert_eq!(
        site.refused(site.ask().answer("2").unwrap(), FALK),
        "not-yet"
    );
    site.types("1").unwrap();
    assert_eq!(site.last("judged_by"), "person");
    // A rest begun under doubt asks a person although the clock is believed again.
    let mut site = Site::at("rest");
    site.clock = Clock::Doubted;
    site.goes_on(|ask| ask.kind == "act" && ask.step.as_ref().is_some_and(|at| at.id == "rest"));
    site.types("").unwrap();
    site.clock = Clock::Trusted;
    assert!(
        matches!(site.ask().wants, Wants::Choice(_)),
        "{:#?}",
        site.ask()
    );
}

#[test]
fn the_age_of_zero_is_not_asked_to_end_a_wait() {
    let mut site = Site::at("rest");
    site.types("").unwrap();
    site.seconds += 241 * 60;
    site.types("").unwrap();
    assert_eq!(site.last_kind(), "rest_over/1");
    assert_eq!(
        site.due(),
        "zero-after-rest",
        "the written check serves as the gate, never asked twice"
    );
    assert!(matches!(site.ask().point, Point::Asked(..)));
}
