//! Lockout of a group: own locks of every worker, tests by plant energy, the release checks before energy is let in, permits
//! with their end times, and the energy plan.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, ODDE, SEFTON, Site, VRANG};
use reseat_procedure::Choices;
use reseat_record::log::Clock;
use reseat_record::rebuild::{Clearing, Command, Given, Point, Wants};
use reseat_record::register;
use serde_json::Value;

const FV: &[u8] = include_bytes!("../../../procedures/FV-3302.json");
const CO2: &[u8] = include_bytes!("../../../procedures/PRV-CO2-04.json");

/// A procedure as shipped but for one change.
fn changed(bytes: &[u8], change: impl Fn(&mut Value)) -> &'static [u8] {
    let mut value: Value = serde_json::from_slice(bytes).unwrap();
    change(&mut value);
    Box::leak(serde_json::to_vec(&value).unwrap().into_boxed_slice())
}

/// Drops the steps of these ids.
fn without(value: &mut Value, steps: &[&str]) {
    let mut dropped = 0;
    for section in value["sections"].as_array_mut().unwrap() {
        section["steps"].as_array_mut().unwrap().retain(|step| {
            let listed = steps.iter().any(|id| step["id"] == *id);
            dropped += usize::from(listed);
            !listed
        });
    }
    assert_eq!(dropped, steps.len(), "{steps:?}");
}

fn following(bytes: &'static [u8]) -> Site {
    let mut site = Site::following(bytes, Choices::default());
    site.start();
    site
}

fn own_lock(owner: reseat_record::log::Id, number: Option<&str>) -> Command {
    Command::OwnLock {
        owner,
        number: number.map(str::to_owned),
    }
}

fn act(step: &str) -> Command {
    Command::Answer {
        point: Point::Act(step.into()),
        given: Given::Done,
    }
}

fn kinds(site: &Site, kind: &str) -> usize {
    site.entries
        .iter()
        .filter(|sealed| sealed.entry.kind == kind)
        .count()
}

// 29 CFR 1910.147(f)(3)(ii)(D): an own lock of each worker, on when he begins.

#[test]
fn a_verifier_acts_at_the_unit_only_with_his_own_lock_on_the_box() {
    let mut site = Site::at("permit");
    site.goes_on(|ask| matches!(ask.point, Point::Worker(_)));
    let due = site.due();
    let ask = site.ask();
    assert!(
        ask.detail.iter().any(|line| line == "2 Rurik Odde"),
        "{ask:#?}"
    );
    assert!(
        !ask.detail.iter().any(|line| line.contains("Ines Falk")),
        "who is at the keys verifies nothing"
    );
    assert_eq!(
        site.refused(act(&due), FALK),
        "own-lock-first",
        "the act he is to watch waits for his lock"
    );
    for (typed, code) in [
        ("421", "worker-lock"),
        ("9 421", "worker-lock"),
        ("0 421", "worker-lock"),
        ("2 1234567890123456789012345", "worker-lock"),
    ] {
        assert_eq!(
            site.refused(ask.answer(typed).unwrap(), FALK),
            code,
            "{typed}"
        );
    }
    site.types("2 421").unwrap();
    assert_eq!(site.last_kind(), "own_lock/1");
    assert_eq!(site.last("owner")["name"], "Rurik Odde");
    assert_eq!(site.last("number"), "421");
    site.goes_on(|ask| matches!(ask.point, Point::Verify(_)));
    let Wants::Signature { among, .. } = site.ask().wants else {
        panic!("{:#?}", site.ask())
    };
    assert_eq!(among, [(ODDE, "Rurik Odde".to_owned())], "no lock, no look");
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn the_verifier_who_took_his_lock_off_is_asked_for_it_again() {
    let mut site = Site::at("plug-on");
    let holder = site.rebuild().lock_box().unwrap().on[1].clone();
    assert_eq!(holder.name, "Mbali Sefton");
    assert_eq!(site.refused(own_lock(SEFTON, None), FALK), "not-owner");
    assert_eq!(
        site.refused(own_lock(SEFTON, Some("500")), FALK),
        "lock-on-already"
    );
    assert_eq!(site.refused(own_lock(ODDE, None), ODDE), "no-lock");
    site.does(own_lock(SEFTON, None), SEFTON).unwrap();
    site.goes_on(|ask| matches!(ask.point, Point::Worker(_)));
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn whoever_takes_the_work_up_while_making_safe_hangs_his_own_lock_first() {
    let mut site = Site::at("own-locks");
    site.types("417").unwrap();
    site.pauses(5, ODDE);
    site.goes_on(|ask| !matches!(ask.point, Point::Observed));
    // Acts that make safer wait for nothing; the first that does not, waits for his lock.
    site.goes_on(|ask| matches!(&ask.point, Point::LockBack(lock) if lock == "own"));
    assert!(
        site.rebuild()
            .strip(&site.stamp(ODDE))
            .state
            .contains("NOT LOCKED")
    );
    site.types("430").unwrap();
    assert_eq!(site.last("owner")["name"], "Rurik Odde");
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn who_is_still_on_the_box_is_shown_with_number_and_time() {
    let mut site = Site::at("plug-on");
    site.does(own_lock(ODDE, Some("430")), FALK).unwrap();
    let shown = site.rebuild().lock_box().unwrap();
    assert_eq!(shown.name, "LB-A");
    assert_eq!(shown.keys.len(), 4, "{shown:?}");
    let on: Vec<(&str, &str)> = shown
        .on
        .iter()
        .map(|own| (own.number.as_str(), own.name.as_str()))
        .collect();
    assert_eq!(
        on,
        [
            ("417", "Ines Falk"),
            ("421", "Mbali Sefton"),
            ("430", "Rurik Odde")
        ]
    );
    assert!(
        shown.words().starts_with("Box LB-A: 417 Ines Falk since 0"),
        "{}",
        shown.words()
    );
    site.until("own-locks-off");
    let Wants::Person(among) = site.ask().wants else {
        panic!("{:#?}", site.ask())
    };
    assert_eq!(among.len(), 3, "each takes off his own");
    for name in ["Rurik Odde", "Ines Falk", "Mbali Sefton"] {
        assert_eq!(site.due(), "own-locks-off");
        site.types(name).unwrap();
    }
    assert_ne!(site.due(), "own-locks-off");
}

// 29 CFR 1910.147(f)(1): temporary removal of locks to test.

/// Source: 29 CFR 1910.147(f)(1), in this order: (i) clear tools and materials, (ii) remove employees, (iii) remove the locks,
/// (iv) energize and test, (v) de-energize and reapply.
#[test]
fn a_test_by_plant_energy_goes_clear_locks_off_test_locks_on_zero() {
    let mut site = following(CO2);
    let strip = |site: &Site| site.rebuild().strip(&site.stamp(FALK)).state;
    site.until("test-unlock-b-1");
    assert!(site.rebuild().lock_box().unwrap().on.is_empty());
    assert!(strip(&site).contains("CO2") || !strip(&site).contains("HANDS OFF"));
    site.types("").unwrap();
    assert!(
        strip(&site).starts_with("UNDER TEST, HANDS OFF  V-C41"),
        "{}",
        strip(&site)
    );
    assert_eq!(site.refused(act("fit-main-spring"), FALK), "not-asked-now");
    site.until("soap-inlet-joints-250");
    assert!(
        strip(&site).starts_with("UNDER TEST, HANDS OFF  CO2 250 psi"),
        "{}",
        strip(&site)
    );
    site.until("test-end-vn-1");
    let shown = site.rebuild().lock_box().unwrap();
    assert_eq!(shown.on.len(), 1, "own lock on again");
    site.until("count-wrenches-picks-rags-again");
    let number = |wanted: &dyn Fn(&Value) -> bool| {
        site.entries
            .iter()
            .filter(|sealed| wanted(&Value::Object(sealed.entry.body.clone())))
            .map(|sealed| sealed.entry.number)
            .next_back()
            .unwrap()
    };
    let step = |id: &'static str| number(&|body| body["step"] == id);
    let sequence = [
        step("count-wrenches-picks-rags"),
        step("clear-people-second-person"),
        step("test-own-off"),
        step("test-unlock-b-1"),
        step("crack-v-c41-60-125"),
        step("left-creep"),
        step("test-end-shut-v-c41"),
        step("test-end-lock-b-1"),
        step("test-end-own"),
        step("test-end-vn-1"),
        step("zero-after-test"),
    ];
    assert!(sequence.is_sorted(), "{sequence:?}");
    assert_eq!(kinds(&site, "cleared/1"), 0, "the procedure asks it all");
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn energy_is_not_let_in_while_an_own_lock_is_on() {
    let mut site = following(CO2);
    site.until("test-unlock-b-1");
    site.does(own_lock(ODDE, Some("430")), FALK).unwrap();
    // A worker came back: people are asked about again, then his lock.
    assert_eq!(site.ask().point, Point::Clear(Clearing::People));
    assert_eq!(site.refused(act("test-unlock-b-1"), FALK), "not-cleared");
    site.types("2").unwrap();
    assert_eq!(site.last("clear"), false);
    assert_eq!(site.ask().point, Point::Clear(Clearing::People));
    site.types("1").unwrap();
    assert_eq!(site.ask().point, Point::Clear(Clearing::OwnLocks));
    let refusal = site
        .rebuild()
        .decide(&site.register, act("test-unlock-b-1"), &site.stamp(FALK))
        .unwrap_err();
    assert_eq!(
        refusal.sentence(),
        "Nothing is let in yet: still on the box: own lock 430 of Rurik Odde."
    );
    site.types("Rurik Odde").unwrap();
    assert_eq!(site.ask().point, Point::Act("test-unlock-b-1".into()));
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn energy_is_not_let_in_before_tools_and_people_are_cleared_though_nothing_written_asks_it() {
    let bytes = changed(CO2, |value| {
        without(
            value,
            &["count-wrenches-picks-rags", "clear-people-second-person"],
        );
    });
    let mut site = following(bytes);
    site.until("test-unlock-b-1");
    assert_eq!(site.ask().point, Point::Clear(Clearing::Tools));
    assert_eq!(site.refused(act("test-unlock-b-1"), FALK), "not-cleared");
    site.types("1").unwrap();
    assert_eq!(site.last("clear"), false, "one rag is left");
    assert_eq!(site.ask().point, Point::Clear(Clearing::Tools));
    site.types("0").unwrap();
    assert_eq!(site.ask().point, Point::Clear(Clearing::People));
    site.types("1").unwrap();
    assert_eq!(site.ask().point, Point::Act("test-unlock-b-1".into()));
    site.until("");
    assert_eq!(kinds(&site, "cleared/1"), 3);
}

#[test]
fn a_handover_in_the_middle_of_the_test_asks_about_people_again() {
    let mut site = following(CO2);
    site.until("crack-v-c41-60-125");
    site.pauses(90, ODDE);
    site.goes_on(|ask| !matches!(ask.point, Point::Observed));
    assert_eq!(site.ask().point, Point::Clear(Clearing::People));
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn after_the_test_zero_waits_for_every_lock_though_nothing_written_puts_it_back() {
    let bytes = changed(CO2, |value| {
        without(value, &["test-end-lock-b-1", "test-end-own"]);
    });
    let mut site = following(bytes);
    site.until("zero-after-test");
    assert_eq!(site.ask().point, Point::LockBack("V-C41".into()));
    site.types("B-1").unwrap();
    assert_eq!(site.ask().point, Point::LockBack("own".into()));
    site.types("417").unwrap();
    assert!(
        matches!(site.ask().point, Point::Asked(..)),
        "{:#?}",
        site.ask()
    );
    site.until("count-wrenches-picks-rags-again");
    assert!(
        site.rebuild()
            .lock_box()
            .unwrap()
            .keys
            .contains(&"B-1".to_owned())
    );
}

#[test]
fn every_test_by_plant_energy_shipped_is_held_by_the_program() {
    for bytes in [CO2, include_bytes!("../../../procedures/SA-PRV-03.json")] {
        let mut site = following(bytes);
        let mut live = false;
        for _ in 0..3000 {
            let state = site.rebuild().strip(&site.stamp(FALK)).state;
            live |= state.contains("HANDS OFF");
            if !site.step() {
                break;
            }
        }
        assert!(live && site.rebuild().ended().is_some());
        assert_eq!(kinds(&site, "cleared/1"), 0, "nothing is asked twice");
    }
}

// 29 CFR 1910.147(e)(1) to (3): release from lockout.

#[test]
fn before_the_first_lock_comes_off_in_the_return_tools_people_and_own_locks_are_cleared() {
    let bytes = changed(FV, |value| {
        without(value, &["tools-at-end", "tell-return", "own-locks-off"]);
        // The count before the test is followed by work at the unit.
    });
    let mut site = following(bytes);
    site.until("unlock-a4");
    let asked = |site: &mut Site| {
        let Point::Clear(clearing) = site.ask().point else {
            panic!("{:#?}", site.ask())
        };
        clearing
    };
    if asked(&mut site) == Clearing::Tools {
        assert_eq!(site.refused(act("unlock-a4"), FALK), "not-cleared");
        site.types("0").unwrap();
    }
    assert_eq!(asked(&mut site), Clearing::People);
    site.types("1").unwrap();
    while matches!(site.ask().point, Point::Clear(_)) {
        assert_eq!(asked(&mut site), Clearing::OwnLocks);
        assert_eq!(site.refused(act("unlock-a4"), FALK), "not-cleared");
        site.step();
    }
    assert!(site.rebuild().lock_box().unwrap().on.is_empty());
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn what_the_procedure_asks_before_the_return_is_not_asked_twice() {
    let mut site = Site::at("permit");
    site.until("");
    assert!(site.rebuild().ended().is_some());
    assert_eq!(kinds(&site, "cleared/1"), 0);
}

#[test]
fn work_at_the_unit_after_the_count_of_tools_wants_it_counted_again() {
    let mut site = Site::at("unlock-a4");
    site.does(
        Command::Reopen {
            joint: "J1".into(),
            reason: "weeps".into(),
        },
        FALK,
    )
    .unwrap();
    site.goes_on(|ask| {
        matches!(ask.point, Point::Clear(Clearing::Tools))
            || ask.step.as_ref().is_some_and(|at| at.id == "unlock-a4")
    });
    let counted = site
        .entries
        .iter()
        .rev()
        .find(|sealed| matches!(sealed.entry.kind.as_str(), "counted/1" | "cleared/1"));
    let reopened = site
        .entries
        .iter()
        .find(|sealed| sealed.entry.kind == "reopened/1")
        .unwrap();
    assert!(
        site.ask().point == Point::Clear(Clearing::Tools)
            || counted.is_some_and(|counted| counted.entry.number > reopened.entry.number),
        "{:#?}",
        site.ask()
    );
    site.until("");
    assert!(site.rebuild().ended().is_some());
}

#[test]
fn operations_sign_the_unit_over_and_take_it_back() {
    let mut site = Site::at("sign-over");
    for (step, next) in [("sign-over", "tell-control"), ("take-back", "")] {
        site.until(step);
        site.goes_on(|ask| matches!(ask.point, Point::Hold(_)));
        let release = |id| Command::Answer {
            point: Point::Hold(step.into()),
            given: Given::Person(id),
        };
        assert_eq!(site.refused(release(SEFTON), SEFTON), "wrong-kind");
        assert_eq!(site.refused(release(VRANG), FALK), "signs-himself");
        site.does(release(VRANG), VRANG).unwrap();
        assert_eq!(site.last("role"), "operations");
        assert!(next.is_empty() || site.due() == next);
    }
}

// Permits and gas tests with their end times.

/// The work at this step with a permit that ends so many minutes later.
fn permitted(minutes: i64) -> Site {
    let mut site = Site::at("permit");
    site.types("4711 2026-03-13 06:00").unwrap();
    site.until("plug-on");
    // The permit of the rebuild under test is written anew at this very moment.
    let now = site.seconds;
    site.seconds = 86_400;
    site.goes_on(|ask| matches!(ask.point, Point::Permit(_)));
    let _ = now;
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
        "permit-end",
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

// The clock, across a zone.

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

// The energy plan.

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
