//! The self-locking nut J2 of BPR-VENT-11: its prevailing torque is read by a step and added to target and window.
//!
//! SOURCE: final torque is the wanted torque and the prevailing torque (FAA AC 43.13-1B, 7-40); window 90–105 lbf·in, target
//! 98 lbf·in and prevailing torque 6–20 lbf·in from the torque table of the invented site Copperbeck.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, ODDE, Site};
use reseat_measure::{Quantity, Window};
use reseat_procedure::{Choices, Procedure, read};
use reseat_record::log::Sealed;
use reseat_record::rebuild::{Ask, Command, Ended, Inner, Point, Wants, recheck};

const BYTES: &[u8] = include_bytes!("../../../procedures/BPR-VENT-11.json");

fn procedure() -> Procedure {
    read(BYTES).unwrap()
}

fn at(step: &str, prevailing: &[&str]) -> Site {
    let choices = [("size", "2"), ("pilot", "breathing")]
        .map(|(option, value)| (option.to_owned(), value.to_owned()));
    let mut site = Site::following(BYTES, Choices(choices.into()));
    site.readings.insert(
        "prevailing".into(),
        prevailing.iter().map(ToString::to_string).collect(),
    );
    site.start();
    site.until(step);
    site
}

fn at_the_nut(ask: &Ask) -> bool {
    matches!(&ask.point, Point::Asked(step, _, Inner::Fastener(..)) if step == "tighten-j2-98-in-lb")
}

fn at_j2(prevailing: &str) -> Site {
    let mut site = at("tighten-j2-98-in-lb", &[prevailing]);
    site.goes_on(at_the_nut);
    site
}

fn window_asked(site: &Site) -> Option<Window> {
    match site.ask().wants {
        Wants::Reading { window, .. } => window,
        _ => None,
    }
}

fn strike(site: &mut Site, entry: u64, seen_by: Option<reseat_record::log::Id>) {
    let command = Command::Strike {
        entry: Some(entry),
        reason: "typed wrong".into(),
        seen_by,
    };
    if let Some(owner) = seen_by {
        // He looks at the hardware: his own lock is on the box, from an earlier verification or from now on.
        let lock = Command::OwnLock {
            owner,
            number: Some("422".into()),
        };
        let _ = site.does(lock, FALK);
    }
    site.does(command, seen_by.unwrap_or(FALK)).unwrap();
}

fn number_of(site: &Site, thing: &str) -> u64 {
    let read = |sealed: &&Sealed| {
        sealed
            .entry
            .body
            .get("thing")
            .is_some_and(|named| named == thing)
    };
    site.entries.iter().rfind(read).unwrap().entry.number
}

#[test]
fn the_right_torque_is_within_where_the_written_window_alone_called_it_high() {
    for (prevailing, window, read, place) in [
        ("12", "102..117 lbf·in", "110", "WITHIN"),
        ("12", "102..117 lbf·in", "101", "LOW"),
        ("12", "102..117 lbf·in", "118", "HIGH"),
        ("6", "96..111 lbf·in", "96", "WITHIN"),
        ("20", "110..125 lbf·in", "125", "WITHIN"),
        // In the written window, and too little on top of this nut's drag.
        ("20", "110..125 lbf·in", "105", "LOW"),
    ] {
        let mut site = at_j2(prevailing);
        assert_eq!(
            window_asked(&site).unwrap().to_string(),
            window,
            "{prevailing}"
        );
        site.types(read).unwrap();
        assert_eq!(site.last("place"), place, "{prevailing} {read}");
        assert_eq!(site.last("window"), window);
        assert_eq!(site.last("prevailing"), format!("{prevailing} lbf·in"));
        assert_eq!(recheck(&procedure(), &site.entries), []);
    }
}

#[test]
fn screen_and_record_say_what_the_target_is_made_of() {
    let mut site = at_j2("12");
    let made_of = "98 lbf·in + prevailing 12 lbf·in";
    assert!(site.ask().prompt.contains(made_of), "{:#?}", site.ask());
    let view = site.rebuild().joint_view("J2").unwrap();
    assert_eq!(
        (view.target.as_str(), view.prevailing.as_str()),
        ("110 lbf·in", made_of)
    );
    let gauge = view.gauge.unwrap();
    assert_eq!(
        (gauge.low.as_str(), gauge.high.as_str()),
        ("102", "117 lbf·in")
    );
    site.types("110").unwrap();
    let lines = site.rebuild().record_lines(&site.register);
    let line = lines
        .iter()
        .find(|line| line.text.starts_with("J2 1"))
        .unwrap();
    assert!(
        line.text.contains(made_of) && line.text.contains("WITHIN 102..117"),
        "{}",
        line.text
    );
    assert!(
        site.rebuild().joint_view("J2").unwrap().lines[0].contains(made_of),
        "{:?}",
        site.rebuild().joint_view("J2").unwrap().lines
    );
}

#[test]
fn the_prevailing_torque_struck_undoes_what_was_tightened_by_it() {
    let mut site = at_j2("12");
    site.readings.insert("prevailing".into(), vec!["20".into()]);
    site.types("110").unwrap();
    let tightened = site.rebuild().last_reading().unwrap();
    let prevailing = number_of(&site, "prevailing");
    strike(&mut site, prevailing, None);
    assert_eq!(site.due(), "read-prevailing-torque-over");
    site.until("tighten-j2-98-in-lb");
    site.goes_on(at_the_nut);
    assert_eq!(window_asked(&site).unwrap().to_string(), "110..125 lbf·in");
    let lines = site.rebuild().record_lines(&site.register);
    let line = lines.iter().find(|line| line.number == tightened).unwrap();
    assert!(
        line.first_page && line.text.contains("STRUCK or void"),
        "{line:?}"
    );
    site.types("118").unwrap();
    assert_eq!(site.last("place"), "WITHIN");
    assert_eq!(recheck(&procedure(), &site.entries), []);
    site.until("");
    assert_eq!(site.rebuild().ended(), Some(Ended::Signed));
    site.restarts_alike();
}

#[test]
fn one_struck_before_the_nut_is_tightened_only_asks_it_again() {
    let mut site = at_j2("12");
    let prevailing = number_of(&site, "prevailing");
    strike(&mut site, prevailing, None);
    assert_eq!(site.due(), "read-prevailing-torque-over");
    assert!(
        site.rebuild()
            .joint_view("J2")
            .unwrap()
            .prevailing
            .is_empty(),
        "nothing is added that does not stand"
    );
    site.until("");
    assert_eq!(site.rebuild().ended(), Some(Ended::Signed));
}

#[test]
fn a_joint_opened_again_has_its_prevailing_torque_read_anew() {
    let mut site = at("fit-closing-spring", &["12", "15"]);
    site.does(
        Command::Reopen {
            joint: "J2".into(),
            reason: "plate on the wrong way".into(),
        },
        FALK,
    )
    .unwrap();
    site.until("read-prevailing-torque-over");
    site.until("tighten-j2-98-in-lb");
    site.goes_on(at_the_nut);
    assert_eq!(window_asked(&site).unwrap().to_string(), "105..120 lbf·in");
    site.until("");
    assert_eq!(site.rebuild().ended(), Some(Ended::Signed));
    assert_eq!(recheck(&procedure(), &site.entries), []);
}

#[test]
fn a_prevailing_torque_out_of_its_limits_struck_under_a_second_persons_eyes() {
    let mut site = at("read-prevailing-torque-over", &["25"]);
    site.types("25").unwrap();
    assert_eq!(site.last("place"), "HIGH");
    let entry = number_of(&site, "prevailing");
    strike(&mut site, entry, Some(ODDE));
    assert_eq!(site.due(), "read-prevailing-torque-over");
    site.until("");
    assert_eq!(site.rebuild().ended(), Some(Ended::Signed));
}

#[test]
fn verification_finds_a_window_that_is_not_raised_as_read() {
    let mut site = at_j2("12");
    site.types("110").unwrap();
    let number = site.rebuild().last_reading().unwrap();
    for (member, value, words) in [
        ("window", "90..105 lbf·in", "the procedure says 102..117"),
        ("prevailing", "20 lbf·in", "the reading says 12 lbf·in"),
        ("prevailing", "", "the reading says 12 lbf·in"),
    ] {
        let entries: Vec<Sealed> = site
            .entries
            .iter()
            .map(|sealed| {
                let mut entry = reseat_record::log::Entry::clone(&sealed.entry);
                if entry.number != number {
                    return sealed.clone();
                }
                if value.is_empty() {
                    entry.body.remove(member);
                } else {
                    entry.body.insert(member.into(), value.into());
                }
                entry.seal().unwrap()
            })
            .collect();
        let found = recheck(&procedure(), &entries);
        assert!(
            found.len() == 1 && found[0].0 == number && found[0].1.contains(words),
            "{member} {value}: {found:?}"
        );
    }
}

/// 1.4 N·m on a window in pound-force inches: added exactly where a decimal can say it, else to the nearest of twelve digits.
#[test]
fn a_prevailing_torque_in_another_unit_raises_the_window_by_the_same_torque() {
    let window = Window::parse("90..105 lbf·in").unwrap();
    let raised = window
        .raised_by(&Quantity::parse("1.4 N·m").unwrap())
        .unwrap();
    // NIST SP 811 B.8: 1 lbf·in = 0.112984829… N·m, so 1.4 N·m = 12.39104… lbf·in.
    let low = raised.low().unwrap().to_f64_in(window.unit()).unwrap();
    assert!((low - 102.391_043).abs() < 1e-5, "{low}");
}
