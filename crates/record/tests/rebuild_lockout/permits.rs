//! Permits and gas tests with their end times, and the clock they run by, across a zone.

use reseat_procedure::Choices;
use reseat_record::log::Clock;
use reseat_record::rebuild::{Command, Point, Wants};

use crate::act;
use crate::rebuild_site::{FALK, Site};

/// The work at this step with a permit that ends so many minutes later.
fn permitted(minutes: i64) -> Site {
    let mut site = Site::at("permit");
    site.types("4711 2026-03-13 06:00").unwrap();
    site.until("plug-on");
    // The permit of the rebuild under test is written anew at the moment its first one ended.
    site.seconds = 86_400;
    site.goes_on(|ask| matches!(ask.point, Point::Permit(_)));
    let local = chrono::DateTime::parse_from_rfc3339(&site.stamp(FALK).utc).unwrap()
        + chrono::Duration::minutes(60 + minutes);
    site.types(&format!("4712 until {}", local.format("%Y-%m-%d %H:%M")))
        .unwrap();
    site.until("plug-on");
    site
}

#[test]
fn an_end_time_passed_stops_hands_on_work_until_a_new_one_is_written() {
    let mut site = permitted(20);
    assert!(
        site.ask()
            .notice
            .iter()
            .any(|line| line.starts_with("Permit 4712 ends ") && line.ends_with("min left.")),
        "{:#?}",
        site.ask()
    );
    site.seconds += 21 * 60;
    assert_eq!(site.ask().point, Point::Permit("permit".into()));
    assert_eq!(site.refused(act("plug-on"), FALK), "permit-ended");
    let strip = site.rebuild().strip(&site.stamp(FALK));
    assert!(
        strip.state.starts_with("HANDS OFF: permit 4712 ENDED"),
        "{}",
        strip.state
    );
    // What makes safer is open.
    site.does(
        Command::Safer {
            step: None,
            words: "opened drain U".into(),
        },
        FALK,
    )
    .unwrap();
    assert_eq!(
        site.refused(site.ask().answer("4713").unwrap(), FALK),
        "permit-end"
    );
    assert_eq!(
        site.refused(site.ask().answer("4713 2026-03-12 07:00").unwrap(), FALK),
        "permit-past",
        "a time that is past is no end"
    );
    site.types("4713, 8 h").unwrap();
    assert_eq!(site.last("permit")["number"], "4713");
    assert_eq!(site.ask().point, Point::Act("plug-on".into()));
    assert!(site.ask().notice.is_empty(), "{:#?}", site.ask());
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn while_the_clock_is_not_trusted_a_person_says_whether_the_permit_is_valid() {
    let mut site = permitted(300);
    site.clock = Clock::Doubted;
    site.goes_on(|ask| matches!(ask.point, Point::PermitSeen(_)));
    assert!(site.ask().prompt.contains("4712"), "{:#?}", site.ask());
    assert_eq!(site.refused(act("plug-on"), FALK), "permit-ended");
    site.types("1").unwrap();
    assert_eq!(site.ask().point, Point::Act("plug-on".into()));
    // His word holds for half an hour and for no pause.
    site.seconds += 31 * 60;
    assert!(matches!(site.ask().point, Point::PermitSeen(_)));
    site.types("2").unwrap();
    assert_eq!(site.ask().point, Point::Permit("permit".into()));
    site.types("4713 23:00").unwrap();
    assert!(
        site.last("permit").get("ends").is_none(),
        "the day is not known"
    );
    assert!(matches!(site.ask().point, Point::PermitSeen(_)));
    site.types("1").unwrap();
    site.pauses(1, FALK);
    site.goes_on(|ask| matches!(ask.point, Point::PermitSeen(_)));
}

#[test]
fn a_permit_is_written_with_its_end_or_not_at_all() {
    let mut site = Site::at("permit");
    for typed in [
        "4711",
        "18:00",
        "4711 25:00",
        "4711 6:5",
        "4711 h",
        "4711 0 h",
        "4711 200 h",
    ] {
        assert_eq!(
            site.refused(site.ask().answer(typed).unwrap(), FALK),
            "permit-end",
            "{typed}"
        );
    }
    // Six in the morning UTC is seven by the clock of the place.
    for (typed, number, ends) in [
        ("4711 18:00", "4711", "2026-03-12T17:00:00.000Z"),
        (
            "PTW 3302, until 18:00",
            "PTW 3302",
            "2026-03-12T17:00:00.000Z",
        ),
        ("4711 06:30", "4711", "2026-03-13T05:30:00.000Z"),
        ("4711 2026-03-14 06:30", "4711", "2026-03-14T05:30:00.000Z"),
    ] {
        let entry = site
            .rebuild()
            .decide(
                &site.register,
                site.ask().answer(typed).unwrap(),
                &site.stamp(FALK),
            )
            .unwrap();
        assert_eq!(entry.body["permit"]["number"], number);
        assert_eq!(entry.body["permit"]["ends"], ends, "{typed}");
        assert_eq!(entry.body["text"], typed);
    }
    site.types("4711 18:00").unwrap();
}

#[test]
fn a_zone_change_moves_no_gate() {
    let mut site = permitted(300);
    let before = site.rebuild().strip(&site.stamp(FALK));
    for offset in ["-11:00", "+14:00", "+00:00"] {
        site.offset = offset;
        assert_eq!(site.ask().point, Point::Act("plug-on".into()), "{offset}");
    }
    assert!(before.state.contains("ZERO READ"), "{}", before.state);
    // Zero grows old by what has gone by, whatever the clock face shows.
    site.offset = "-11:00";
    site.seconds += i64::from(site.rebuild().started().zero_minutes) * 60 + 60;
    assert_eq!(site.ask().point, Point::Gate(0));
    // The permit ends at its instant, also where the face shows an earlier hour.
    site.goes_on(|ask| !matches!(ask.point, Point::Gate(_)));
    site.seconds += 300 * 60;
    site.goes_on(|ask| !matches!(ask.point, Point::Gate(_)));
    assert_eq!(site.ask().point, Point::Permit("permit".into()));
    // A rest is over after its minutes, across a zone.
    let mut site = Site::at("rest");
    site.types("").unwrap();
    site.offset = "+13:00";
    assert_eq!(
        site.refused(site.ask().answer("").unwrap(), FALK),
        "not-yet"
    );
    site.seconds += 241 * 60;
    assert!(matches!(site.ask().wants, Wants::Wait { over: true, .. }));
    // A short pause stays short, a long one long.
    let mut site = Site::at("plug-on");
    site.does(Command::Pause { by_itself: false }, FALK)
        .unwrap();
    site.offset = "-05:00";
    site.seconds += 5 * 60;
    site.resumes(FALK);
    assert_eq!(site.ask().point, Point::LookAgain);
}

#[test]
fn a_permit_under_a_clock_stepped_to_1970_or_2099_asks_a_person() {
    for seconds in [-1_773_000_000, 2_303_000_000] {
        let mut site = permitted(300);
        site.seconds += seconds;
        site.clock = Clock::Doubted;
        site.goes_on(|ask| matches!(ask.point, Point::PermitSeen(_)));
        assert_eq!(site.refused(act("plug-on"), FALK), "permit-ended");
    }
    // Stepped forward and still believed: ended is ended.
    let mut site = permitted(300);
    site.seconds += 86_400;
    site.goes_on(|ask| matches!(ask.point, Point::Permit(_)));
}

#[test]
fn a_gas_test_that_has_ended_stops_work_in_the_bilge_until_the_air_is_tested_again() {
    let bilge = include_bytes!("../../../../procedures/BL-NRV-06.json");
    let rubber = [("disc".to_owned(), "rubber".to_owned())];
    let mut site = Site::following(bilge, Choices(rubber.into()));
    site.start();
    site.until("read-oxygen-bilge-space");
    while site.due() == "read-oxygen-bilge-space" {
        match site.ask().wants {
            Wants::Text => site.types("GT-12, 1 h").unwrap(),
            _ => assert!(site.step()),
        }
    }
    let procedure = site.rebuild().procedure().clone();
    let hands = reseat_procedure::model::EnergyState::Zero;
    let first = procedure
        .sections
        .iter()
        .flat_map(|section| &section.steps)
        .find(|step| step.energy == hands && step.asks.is_empty())
        .unwrap()
        .id
        .clone();
    site.until(&first);
    site.goes_on(|ask| matches!(&ask.point, Point::Act(step) if *step == first));
    site.seconds += 61 * 60;
    assert_eq!(site.ask().point, Point::Permit("gas test".into()));
    assert_eq!(site.refused(act(&first), FALK), "permit-ended");
    let strip = site.rebuild().strip(&site.stamp(FALK));
    assert!(
        strip.state.starts_with("HANDS OFF: gas test GT-12 ENDED"),
        "{}",
        strip.state
    );
    // The work permit, a day long, does not stand in for it.
    assert_eq!(
        site.refused(site.ask().answer("GT-12").unwrap(), FALK),
        "permit-end"
    );
    site.types("GT-13, 8 h").unwrap();
    assert_eq!(site.last("permit")["number"], "GT-13");
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn a_permit_that_has_ended_is_refused_at_writing_and_an_end_on_another_day_says_the_day() {
    let mut site = Site::at("permit");
    let refusal = site.types("PTW 9 2020-01-01 10:00").unwrap_err();
    assert_eq!(refusal.code(), "permit-past");
    assert_eq!(refusal.sentence(), "That permit ended 2020-01-01 10:00.");
    site.types("PTW 9, 1 h").unwrap();
    site.until("plug-on");
    site.seconds += 2 * 86_400;
    site.goes_on(|ask| matches!(ask.point, Point::Permit(_)));
    let ended = site.ask().notice.join(" ");
    assert!(ended.contains("has ended (20"), "{ended}");
}
