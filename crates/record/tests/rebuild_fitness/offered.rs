//! Which of several is offered first, which only by name, and which is at a joint of another rebuild.

use reseat_record::log::Id;
use reseat_record::rebuild::{Command, Given, Inner, Point, Wants};
use reseat_record::register::{self, Booking, InstrumentKind};

use crate::rebuild_site::{FALK, Site};
use crate::{refused_here, two_wrenches};

#[test]
fn the_better_of_two_is_offered_first_and_one_alone_takes_one_key() {
    let mut site = two_wrenches(InstrumentKind::DialWrench, "2 % of reading");
    let ask = site.ask();
    let offered: Vec<&str> = ask
        .offered
        .fit
        .iter()
        .map(|offer| offer.id.as_str())
        .collect();
    assert_eq!(
        offered,
        ["TW-20", "TW-19"],
        "the finer first, whatever the author's order"
    );
    let Wants::Choice(labels) = &ask.wants else {
        panic!("{ask:#?}")
    };
    assert!(labels[0].starts_with("TW-20 ") && labels[1].starts_with("TW-19 "));
    // What a stale screen showed as the first is taken, although it is the second by now.
    let first = ask.answer("1").unwrap();
    let (id, reason) = ("TW-20".to_owned(), "fell off the truck".to_owned());
    site.keep(register::Command::Quarantine { id, reason }, FALK);
    assert_eq!(site.refused(first, FALK), "instrument-quarantined");
    let ask = site.ask();
    assert_eq!(ask.wants, Wants::Act, "one alone takes one key");
    assert_eq!(
        ask.offered.lines(),
        ["Not offered: TW-20, quarantined: fell off the truck."]
    );
    site.types("").unwrap();
    assert_eq!(site.last_kind(), "ready/1");
    assert_eq!(site.last("instrument")["id"], "TW-19");
}

#[test]
fn an_instrument_the_procedure_does_not_name_is_told_why_by_name() {
    let mut site = Site::at("tighten-j1");
    let take = |id: &str| Command::TakeInstrument {
        instrument: id.into(),
    };
    assert_eq!(site.refused(take("TW-17"), FALK), "instrument-not-named");
    assert_eq!(site.refused(take("PG-7"), FALK), "instrument-wrong-kind");
    assert_eq!(site.refused(take("TW-99"), FALK), "instrument-unknown");
    site.types("").unwrap();
    let at = site.ask().point;
    assert!(
        matches!(at, Point::Asked(_, 0, Inner::Fastener(_, 1, 1))),
        "{at:?}"
    );
    // In the middle of the pattern another wrench goes on where this one stopped.
    for _ in 0..3 {
        site.step();
    }
    let next = site.ask().point;
    site.does(take("tw-19"), FALK).unwrap();
    assert_eq!(site.ask().point, next, "the nuts pulled stand");
    let elsewhere = Site::at("plug-on");
    assert_eq!(
        elsewhere.refused(take("TW-19"), FALK),
        "no-instrument-wanted"
    );
}

fn booking(stream: Id) -> Booking {
    Booking {
        instrument: "TW-19".into(),
        stream,
        tag: "PCV-2107".into(),
        joint: "J1".into(),
    }
}

#[test]
fn a_wrench_another_open_rebuild_has_at_a_joint_is_not_offered_and_names_where_it_is() {
    let mut site = Site::at("tighten-j1");
    site.register
        .set_bookings(vec![booking(Id::from_bytes([77; 10]))]);
    refused_here(&site, "TW-19", "", "instrument-booked");
    let told = site.ask().offered.lines().join(" ");
    assert!(told.contains("booked at J1 of PCV-2107"), "{told}");
    // This rebuild's own is none of the others'.
    site.register
        .set_bookings(vec![booking(site.rebuild().head().stream)]);
    assert!(site.rebuild().booked().is_empty());
    site.types("").unwrap();
    let held = site.rebuild().booked();
    assert_eq!(
        (held[0].instrument.as_str(), held[0].joint.as_str()),
        ("TW-19", "J1")
    );
    assert_eq!(held[0].tag, "FV-3302");
    // Taken elsewhere in the middle of the joint: no nut is pulled with it here.
    site.register
        .set_bookings(vec![booking(Id::from_bytes([77; 10]))]);
    let next = site.ask();
    let Wants::Fastener { next, .. } = next.wants else {
        panic!("{next:#?}")
    };
    let pull = site.ask().answer(&next.to_string()).unwrap();
    assert_eq!(site.refused(pull, FALK), "instrument-booked");
    site.register.set_bookings(Vec::new());
    site.goes_on(|ask| !matches!(&ask.point, Point::Asked(step, ..) if step == "tighten-j1"));
    assert!(
        site.rebuild().booked().is_empty(),
        "free when the joint closes"
    );
}

#[test]
fn an_answer_naming_an_instrument_is_no_answer_where_none_is_wanted() {
    let site = Site::at("plug-on");
    let command = Command::Answer {
        point: site.ask().point,
        given: Given::Instrument("TW-19".into()),
    };
    assert_eq!(site.refused(command, FALK), "no-instrument-wanted");
}
