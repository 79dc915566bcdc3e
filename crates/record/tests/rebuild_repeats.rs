//! What repeats of one value at a test tell, worked out from the readings that stand: on the bench of the test and behind the last
//! reading in the record.
//!
//! SOURCE: worked by hand. Opening 11.9, 12.0, 12.1 rising, holding 11.7, 11.8, 11.9 falling, window 11.5..12.5: mean 11.9, so
//! −0.1 from the middle 12.0; spread of either way 0.2; means 12.0 and 11.8, so 0.2 between them. The windows are those of the
//! test tables of the invented sites.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::Site;
use reseat_procedure::Choices;
use reseat_record::rebuild::view::Way;
use reseat_record::rebuild::{Ask, Command, Point, recheck};

const BYTES: &[u8] = include_bytes!("../../../procedures/BPR-VENT-11.json");

fn vent_regulator() -> Site {
    let choices = [("size", "2"), ("pilot", "breathing")]
        .map(|(option, value)| (option.to_owned(), value.to_owned()));
    let mut site = Site::following(BYTES, Choices(choices.into()));
    for (thing, typed) in [
        ("opening-1", "11.9"),
        ("opening-2", "12.0"),
        ("opening-3", "12.1"),
        ("holding-1", "11.7"),
        ("holding-2", "11.8"),
        ("holding-3", "11.9"),
    ] {
        site.readings
            .insert(thing.into(), [typed.to_owned()].into());
    }
    site.start();
    site
}

fn asks(step: &str, ask: u32) -> impl Fn(&Ask) -> bool + use<'_> {
    move |now| matches!(&now.point, Point::Asked(at, index, _) if at == step && *index == ask)
}

const TOLD: &str = "opening and holding pressure: error -0.10 inH2O(conv) from 12 inH2O(conv) g, the middle of the window; \
                    repeatability 0.20; hysteresis 0.20";

#[test]
fn repeats_rising_and_falling_tell_error_repeatability_and_hysteresis() {
    let mut site = vent_regulator();
    site.goes_on(asks("read-opening-rising-0", 1));
    let view = site.rebuild().repeats_of("opening-1").unwrap();
    assert_eq!((view.readings.len(), view.of), (1, 6));
    assert_eq!(view.words(), "opening and holding pressure, 1 of 6 in");
    assert!(site.rebuild().repeats().is_empty());

    site.goes_on(asks("read-holding-pressure-falling", 0));
    let told = site.rebuild().repeats()[0].words();
    assert_eq!(
        told,
        "opening and holding pressure, 3 of 6 in: error +0.00 inH2O(conv) from 12 inH2O(conv) g, the middle of the window; \
         repeatability 0.20"
    );

    site.until("read-reseat-three-times");
    let view = site.rebuild().repeats_of("holding-2").unwrap();
    assert_eq!(view.words(), TOLD);
    let ways: Vec<Option<Way>> = view.readings.iter().map(|one| one.way).collect();
    let (up, down) = (Some(Way::Rising), Some(Way::Falling));
    assert_eq!(ways, [up, up, up, down, down, down]);
    let at: Vec<i64> = view.marks.readings.iter().map(|(at, _)| *at).collect();
    assert_eq!(at, [400, 500, 600, 200, 300, 400]);

    let lines = site.rebuild().record_lines(&site.register);
    let last = view.readings.iter().map(|one| one.entry).max().unwrap();
    for line in &lines {
        assert_eq!(line.text.contains(TOLD), line.number == last, "{line:?}");
    }
    // A window with one limit has no middle: reseats are no repeats of a set value.
    assert!(site.rebuild().repeats_of("reseat-1").is_none());
    site.until("");
    assert_eq!(
        recheck(&reseat_procedure::read(BYTES).unwrap(), &site.entries),
        []
    );
    site.restarts_alike();
}

#[test]
fn a_reading_struck_is_out_of_what_the_repeats_tell() {
    let mut site = vent_regulator();
    site.until("read-holding-pressure-falling");
    let before = site.rebuild().repeats_of("opening-1").unwrap();
    assert_eq!(before.readings.len(), 3);
    let struck = before.readings[1].entry;
    let by = site.performer;
    let command = Command::Strike {
        entry: Some(struck),
        reason: "typed wrong".into(),
        seen_by: None,
    };
    site.does(command, by).unwrap();
    let after = site.rebuild().repeats_of("opening-1").unwrap();
    assert!(after.readings.len() < 3, "{after:?}");
    assert!(after.readings.iter().all(|one| one.entry != struck));
    // Read anew it counts again, with its new entry.
    site.until("read-holding-pressure-falling");
    let anew = site.rebuild().repeats_of("opening-1").unwrap();
    assert_eq!(anew.readings.len(), 3);
    assert!(anew.readings.iter().all(|one| one.entry != struck));
}

#[test]
fn travel_up_and_down_has_its_hysteresis_at_each_point() {
    let mut site = Site::new();
    for (thing, typed) in [("left-up-0-8", "5.10"), ("left-down-0-8", "4.85")] {
        site.readings
            .insert(thing.into(), [typed.to_owned()].into());
    }
    site.start();
    site.until("travel-table");
    site.goes_on(site_passed);
    let told: Vec<String> = site
        .rebuild()
        .repeats()
        .iter()
        .map(reseat_record::rebuild::view::RepeatsView::words)
        .collect();
    // 4.975 less 5.0 mm; 5.10 less 4.85 mm; one reading either way has no repeatability.
    assert!(
        told.contains(&"travel at 0.8 bar: error -0.025 mm from 5 mm, the middle of the window; hysteresis 0.250".to_owned()),
        "{told:#?}"
    );
    assert_eq!(
        told.iter()
            .filter(|line| line.starts_with("travel at"))
            .count(),
        4
    );
}

/// Whether the table is behind.
fn site_passed(ask: &Ask) -> bool {
    ask.step
        .as_ref()
        .is_some_and(|step| step.id != "travel-table")
}

#[test]
fn pops_are_repeats_that_come_from_one_side() {
    let bytes: &[u8] = include_bytes!("../../../procedures/PSV-2115.json");
    let plain = [("cap".to_owned(), "plain".to_owned())];
    let mut site = Site::following(bytes, Choices(plain.into()));
    for (thing, typed) in [("pop-1", "6.00"), ("pop-2", "6.06"), ("pop-3", "6.03")] {
        site.readings
            .insert(thing.into(), [typed.to_owned()].into());
    }
    site.start();
    site.until("read-three-reseats-each");
    let told: Vec<String> = site
        .rebuild()
        .repeats()
        .iter()
        .map(reseat_record::rebuild::view::RepeatsView::words)
        .collect();
    assert_eq!(
        told,
        ["pop: error +0.030 bar from 6 bar g, the middle of the window; repeatability 0.060"]
    );
}
