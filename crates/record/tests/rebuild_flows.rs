//! What a real day holds, flow by flow, on FV-3302: each through the questions asked, as a technician meets it.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, ODDE, QUIST, SEFTON, Site, VRANG};
use reseat_record::rebuild::{Ask, Command, Ended, Inner, Point, StopKind, Wants};

/// At the last pass of the bonnet joint, fastener 1 due.
fn last_pass() -> Site {
    let mut site = Site::at("tighten-j1");
    site.goes_on(|ask| fastener(ask) == Some((1, 3)));
    site
}

fn fastener(ask: &Ask) -> Option<(u32, u32)> {
    match ask.point {
        Point::Asked(_, _, Inner::Fastener(fastener, pass, _)) => Some((fastener, pass)),
        _ => None,
    }
}

fn signed(mut site: Site) {
    site.until("");
    assert_eq!(
        site.rebuild().ended(),
        Some(Ended::Signed),
        "{:#?}",
        site.ask()
    );
}

#[test]
fn low_is_pulled_on_and_both_readings_stay() {
    let mut site = last_pass();
    site.types("110").unwrap();
    assert_eq!(
        (site.last("place"), site.last("attempt")),
        ("LOW".into(), 1.into())
    );
    assert_eq!(site.last("distance"), "5 N·m");
    let ask = site.ask();
    assert_eq!(fastener(&ask), Some((1, 3)));
    assert!(
        ask.notice
            .join(" ")
            .contains("no backing off unless it sticks"),
        "{ask:#?}"
    );
    site.types("121").unwrap();
    assert_eq!(
        (site.last("place"), site.last("attempt")),
        ("WITHIN".into(), 2.into())
    );
    assert_eq!(fastener(&site.ask()), Some((5, 3)));
    // What is to be done stands there at every fastener, and after one that was WITHIN.
    site.types("110").unwrap();
    assert!(
        site.ask()
            .notice
            .iter()
            .any(|line| { line.starts_with("Nut 5 LOW by 5 N·m. Pull on in one smooth motion;") }),
        "{:#?}",
        site.ask().notice
    );
    site.types("121").unwrap();
    let lows = site
        .rebuild()
        .record_lines(&site.register)
        .into_iter()
        .filter(|line| line.first_page && line.text.contains("LOW"))
        .count();
    assert_eq!(lows, 2);
    signed(site);
}

#[test]
fn high_then_stud_replaced_takes_the_pass_from_its_first() {
    let mut site = last_pass();
    site.types("122").unwrap();
    site.types("140").unwrap();
    assert!(matches!(site.ask().point, Point::AfterHigh(_)));
    assert!(
        site.ask()
            .notice
            .join(" ")
            .contains("% of yield at the highest friction"),
        "{:#?}",
        site.ask()
    );
    site.types("1").unwrap();
    assert_eq!(fastener(&site.ask()), Some((1, 3)));
    signed(site);
}

#[test]
fn high_then_new_gasket_takes_all_passes_again() {
    let mut site = last_pass();
    site.types("140").unwrap();
    site.types("2").unwrap();
    assert_eq!(fastener(&site.ask()), Some((1, 1)));
    signed(site);
}

#[test]
fn high_then_the_lead_decides_each_way() {
    for (decision, by, after) in [("rework", SEFTON, (1, 1)), ("use as is", QUIST, (5, 3))] {
        let mut site = last_pass();
        site.types("140").unwrap();
        site.types("3").unwrap();
        assert!(matches!(site.ask().point, Point::Finding(_)));
        assert_eq!(
            site.refused(
                Command::Reopen {
                    joint: "J9".into(),
                    reason: "x".into()
                },
                FALK
            ),
            "no-joint"
        );
        site.decides(decision, by);
        assert_eq!(fastener(&site.ask()), Some(after), "{decision}");
        signed(site);
    }
}

#[test]
fn a_slipped_unit_is_asked_about_and_never_converted() {
    for (answer, kind) in [("1", "reading/1"), ("2", "query_answered/1")] {
        let mut site = last_pass();
        // 90 lbf·ft is 122 N·m: the digits of the other scale (SP 811 factor, as in the measure crate's own test).
        site.types("90").unwrap();
        assert_eq!(site.last_kind(), "reading_queried/1");
        assert!(site.last("place").is_null(), "no verdict while it is asked");
        site.types(answer).unwrap();
        assert_eq!(site.last_kind(), kind);
        if answer == "1" {
            assert_eq!(site.last("place"), "LOW");
        }
        assert_eq!(fastener(&site.ask()), Some((1, 3)));
        signed(site);
    }
}

#[test]
fn a_number_off_the_scale_is_an_entry_and_no_reading() {
    let mut site = last_pass();
    site.types("900").unwrap();
    assert_eq!(site.last_kind(), "off_scale/1");
    assert_eq!(fastener(&site.ask()), Some((1, 3)));
    assert!(
        site.rebuild()
            .last_reading()
            .is_none_or(|number| number < site.rebuild().head().number)
    );
    signed(site);
}

#[test]
fn a_within_typed_wrong_is_struck_by_the_performer_alone() {
    let mut site = last_pass();
    site.types("121").unwrap();
    let strike = Command::Strike {
        entry: None,
        reason: "typed the wrong digits".into(),
        seen_by: None,
    };
    site.does(strike, FALK).unwrap();
    assert_eq!(site.last_kind(), "struck/1");
    assert_eq!(fastener(&site.ask()), Some((1, 3)));
    signed(site);
}

#[test]
fn a_failed_reading_is_struck_only_under_a_second_persons_eyes() {
    let mut site = last_pass();
    site.types("140").unwrap();
    let strike = |seen_by| Command::Strike {
        entry: None,
        reason: "it read 120".into(),
        seen_by,
    };
    assert_eq!(site.refused(strike(None), FALK), "second-look");
    assert_eq!(site.refused(strike(Some(FALK)), FALK), "own-work");
    assert_eq!(site.refused(strike(Some(ODDE)), FALK), "second-look");
    assert_eq!(
        site.refused(strike(Some(ODDE)), ODDE),
        "own-lock-first",
        "he looks at the hardware, so his lock is on the box"
    );
    let lock = Command::OwnLock {
        owner: ODDE,
        number: Some("422".into()),
    };
    site.does(lock, FALK).unwrap();
    site.does(strike(Some(ODDE)), ODDE).unwrap();
    assert_eq!(site.last_kind(), "struck_seen/1");
    assert_eq!(fastener(&site.ask()), Some((1, 3)));
    assert!(
        site.rebuild()
            .record_lines(&site.register)
            .iter()
            .any(|line| line.first_page && line.text.contains("HIGH"))
    );
    let struck = site.last("entry").as_u64();
    let again = Command::Strike {
        entry: struck,
        reason: "again".into(),
        seen_by: Some(ODDE),
    };
    assert_eq!(site.refused(again, ODDE), "not-strikable");
    signed(site);
}

#[test]
fn a_gap_reading_struck_is_read_again_at_all_four_points() {
    let mut site = last_pass();
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Gap(3))));
    site.does(
        Command::Strike {
            entry: None,
            reason: "typed wrong".into(),
            seen_by: None,
        },
        FALK,
    )
    .unwrap();
    assert!(matches!(
        site.ask().point,
        Point::Asked(_, _, Inner::Gap(1))
    ));
    signed(site);
}

#[test]
fn a_closed_joint_struck_reopens_rest_recheck_and_later_tests() {
    let mut site = Site::at("people-clear");
    let reading = site
        .rebuild()
        .record_lines(&site.register)
        .into_iter()
        .rfind(|line| line.text.starts_with("J1 8 pass 3"))
        .unwrap()
        .number;
    site.does(
        Command::Strike {
            entry: Some(reading),
            reason: "typed wrong".into(),
            seen_by: None,
        },
        FALK,
    )
    .unwrap();
    assert_eq!(site.due(), "tighten-j1");
    site.until("rest");
    site.until("recheck-j1");
    signed(site);
}

#[test]
fn clicked_without_moving_and_a_wrong_fastener_number() {
    let mut site = Site::at("tighten-j3");
    site.goes_on(|ask| fastener(ask).is_some());
    site.picks("clicked without moving");
    assert!(
        site.ask().notice.join(" ").contains("Back it off one turn"),
        "{:#?}",
        site.ask()
    );
    site.picks("did not click");
    // Its own number says that it clicked.
    let Wants::Fastener { next, says, .. } = site.ask().wants else {
        panic!("no fastener: {:#?}", site.ask())
    };
    assert_eq!(says, "clicked");
    let other = site
        .ask()
        .answer(if next == 1 { "2" } else { "1" })
        .unwrap();
    assert_eq!(site.refused(other, FALK), "not-next");
    site.types(&next.to_string()).unwrap();
    assert_eq!(site.last("did"), "clicked");
    signed(site);
    let mut site = Site::at("tighten-j1");
    site.goes_on(|ask| fastener(ask) == Some((1, 1)));
    let command = site.ask().answer("2").unwrap();
    assert_eq!(site.refused(command, FALK), "not-next");
}

#[test]
fn a_setting_that_is_not_the_pass_is_asked_again() {
    let mut site = Site::at("tighten-j3");
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Setting(1))));
    site.types("12").unwrap();
    assert_eq!(site.last("place"), "HIGH");
    assert!(matches!(
        site.ask().point,
        Point::Asked(_, _, Inner::Setting(1))
    ));
    signed(site);
}

#[test]
fn rounds_that_never_settle_end_in_a_finding() {
    for decision in ["use as is", "rework"] {
        let mut site = last_pass();
        site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Round(1))));
        for moved in ["3", "2", "1"] {
            site.types(moved).unwrap();
        }
        assert!(
            matches!(site.ask().point, Point::Finding(_)),
            "{:#?}",
            site.ask()
        );
        site.decides(decision, if decision == "rework" { SEFTON } else { QUIST });
        assert_eq!(
            matches!(site.ask().point, Point::Asked(_, _, Inner::Gap(1))),
            decision == "use as is"
        );
        signed(site);
    }
}

#[test]
fn a_gap_spread_out_is_a_finding_and_rework_begins_at_pass_one() {
    let mut site = last_pass();
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Gap(1))));
    for gap in ["0.10", "0.12", "0.25", "0.10"] {
        site.types(gap).unwrap();
    }
    site.types("").unwrap();
    assert_eq!(
        (site.last("place"), site.last("means")),
        ("HIGH".into(), "0.15 mm".into())
    );
    site.decides("rework", SEFTON);
    assert_eq!(fastener(&site.ask()), Some((1, 1)));
    signed(site);
}

#[test]
fn threads_in_another_condition_give_no_window() {
    let mut site = Site::at("condition-j1");
    site.picks("something else");
    assert_eq!(site.last("agrees"), false);
    assert_eq!(site.due(), "condition-j1");
    signed(site);
}

#[test]
fn a_count_wrong_twice_is_a_finding() {
    let mut site = Site::at("yoke-nuts-off");
    site.types("3").unwrap();
    assert!(site.last("finding").is_null());
    site.types("3").unwrap();
    assert_eq!(site.last("finding"), 1);
    site.decides("rework", SEFTON);
    assert_eq!(site.due(), "yoke-nuts-off");
    signed(site);
}

#[test]
fn nothing_from_a_vent_opened_for_the_first_time_is_no_zero() {
    let mut site = Site::at("open-drain-u");
    site.picks("nothing came");
    assert_eq!(site.last("clear"), false);
    assert_eq!(site.due(), "open-drain-u");
    site.picks("nothing came");
    assert!(matches!(site.ask().point, Point::Finding(_)));
    site.decides("use as is", QUIST);
    signed(site);
}

#[test]
fn a_finding_is_proposed_taken_back_and_decided_by_the_role() {
    let mut site = Site::at("draw-split-pin");
    site.does(
        Command::Find {
            words: "crack in the yoke".into(),
        },
        FALK,
    )
    .unwrap();
    site.picks("go on");
    let back = Command::Strike {
        entry: None,
        reason: "look again".into(),
        seen_by: None,
    };
    site.does(back, FALK).unwrap();
    assert_eq!(site.last_kind(), "withdrawn/1");
    site.picks("go on");
    let ask = site.ask();
    assert!(
        ask.answer(&FALK.to_string()).is_err(),
        "the performer is not among those who decide"
    );
    assert_eq!(
        site.refused(
            Command::Answer {
                point: ask.point,
                given: reseat_record::rebuild::Given::Person(FALK)
            },
            FALK
        ),
        "wrong-kind"
    );
    let command = site.ask().answer(&SEFTON.to_string()).unwrap();
    assert_eq!(site.refused(command.clone(), FALK), "signs-himself");
    site.does(command, SEFTON).unwrap();
    assert_eq!(site.due(), "draw-split-pin");
    signed(site);
}

#[test]
fn use_as_is_wants_an_approver() {
    let mut site = Site::at("live-upstream");
    site.types("70").unwrap();
    site.picks("use as is");
    let Wants::Signature { among, .. } = site.ask().wants else {
        panic!("{:#?}", site.ask())
    };
    assert_eq!(among.iter().map(|(id, _)| *id).collect::<Vec<_>>(), [QUIST]);
    let command = site.ask().answer(&QUIST.to_string()).unwrap();
    site.does(command, QUIST).unwrap();
    assert_eq!(site.due(), "live-downstream");
    signed(site);
}

#[test]
fn a_measured_value_out_waits_for_the_sections_decision_and_is_measured_again() {
    let mut site = Site::at("stem-runout");
    site.types("0.09").unwrap();
    assert_eq!(site.last("place"), "HIGH");
    assert_eq!(site.due(), "stem-diameter", "inspection goes on");
    site.until("decide");
    assert!(matches!(site.ask().point, Point::Finding(1)));
    site.decides("replace", SEFTON);
    assert_eq!(site.due(), "stem-runout");
    site.types("0.02").unwrap();
    assert_eq!(site.last("attempt"), 2);
    signed(site);
}

#[test]
fn a_computed_value_out_reopens_the_whole_step() {
    let mut site = Site::at("guide-clearance");
    site.types("16.300").unwrap();
    site.types("15.960").unwrap();
    site.types("").unwrap();
    assert_eq!(
        (site.last("place"), site.last("means")),
        ("HIGH".into(), "0.340 mm".into())
    );
    site.decides("replace", SEFTON);
    assert!(matches!(site.ask().point, Point::Asked(ref step, 0, _) if step == "guide-clearance"));
    signed(site);
}

#[test]
fn a_failed_reading_struck_frees_its_finding_and_keeps_its_number() {
    let mut site = Site::at("live-upstream");
    site.types("70").unwrap();
    assert_eq!(site.last("finding"), 1);
    let strike = Command::Strike {
        entry: None,
        reason: "it read 60".into(),
        seen_by: Some(ODDE),
    };
    site.does(strike, ODDE).unwrap();
    assert!(
        matches!(site.ask().point, Point::Asked(ref step, ..) if step == "live-upstream"),
        "{:#?}",
        site.ask()
    );
    site.types("70").unwrap();
    assert_eq!(
        (site.last("finding"), site.last("attempt")),
        (2.into(), 2.into())
    );
}

#[test]
fn an_independent_look_is_blind_and_a_difference_is_a_finding() {
    let mut site = Site::at("verify-coupling");
    site.goes_on(|ask| matches!(ask.point, Point::VerifyAsked(..)));
    let ask = site.ask();
    assert!(ask.blank, "{ask:#?}");
    assert!(
        !format!("{:?}", (&ask.prompt, &ask.detail, &ask.notice)).contains('7'),
        "the first count is not shown"
    );
    site.types("9").unwrap();
    assert_eq!(
        (site.last("agrees"), site.last("finding")),
        (false.into(), 1.into())
    );
    site.decides("rework", SEFTON);
    assert_eq!(site.due(), "verify-coupling");
    assert!(matches!(site.ask().point, Point::Asked(..)));
    signed(site);
}

#[test]
fn a_miscount_that_stands_leaves_the_other_parts_to_be_decided() {
    let mut site = Site::at("dispositions");
    site.types("1").unwrap();
    site.types("1").unwrap();
    assert_eq!(site.last("finding"), serde_json::json!(1));
    // It waits for the section's own decision step, as every finding of an inspection does.
    site.goes_on(|ask| matches!(ask.point, Point::Finding(_)));
    site.decides("use as is", QUIST);
    let ask = site.ask();
    assert!(
        matches!(&ask.point, Point::Asked(step, _, Inner::Line(1)) if step == "dispositions"),
        "{ask:#?}"
    );
    signed(site);
}

#[test]
fn work_that_nobody_has_in_hand_holds_out_no_zero() {
    let site = Site::at("tighten-j1");
    let stamp = site.stamp(FALK);
    assert!(site.rebuild().strip(&stamp).state.contains("ZERO READ"));
    let left = site.rebuild().strip_untaken(&stamp);
    assert_eq!(left.who, "who?");
    assert!(
        left.state.starts_with("LEFT OPEN, ") && !left.state.contains("ZERO READ"),
        "{left:#?}"
    );
}

#[test]
fn words_meant_for_another_question_complete_no_act() {
    let site = Site::at("mark-bonnet");
    let ask = site.ask();
    assert!(ask.answer("done").is_ok() && ask.answer("").is_ok());
    for words in ["no", "1", "not yet"] {
        assert_eq!(ask.answer(words).unwrap_err().code(), "wrong-kind");
    }
}

#[test]
fn the_verifiers_signature_takes_his_blind_answers_as_his_own() {
    let mut site = Site::at("verify-coupling");
    site.goes_on(|ask| matches!(ask.point, Point::VerifyAsked(..)));
    site.goes_on(|ask| matches!(ask.point, Point::Verify(_)));
    let blind = site.rebuild().head().number;
    let detail = site.ask().detail.join(" ");
    assert!(
        detail.contains("The answers he signs as his own: 7; both legs bent, flange square."),
        "{detail}"
    );
    site.goes_on(|ask| !matches!(ask.point, Point::Verify(_)));
    assert_eq!(site.last("answers"), serde_json::json!([blind - 1, blind]));
    signed(site);
}

#[test]
fn nobody_verifies_his_own_work_and_a_hold_wants_its_role() {
    let mut site = Site::at("seat-gasket-on");
    site.types("").unwrap();
    let Point::Verify(step) = site.ask().point else {
        panic!("{:#?}", site.ask())
    };
    let verify = |id| Command::Answer {
        point: Point::Verify(step.clone()),
        given: reseat_record::rebuild::Given::Person(id),
    };
    assert_eq!(site.refused(verify(FALK), FALK), "wrong-kind");
    assert_eq!(
        site.refused(verify(ODDE), ODDE),
        "wrong-kind",
        "no lock of his own on the box"
    );
    let lock = Command::OwnLock {
        owner: ODDE,
        number: Some("422".into()),
    };
    site.does(lock, FALK).unwrap();
    assert_eq!(site.refused(verify(ODDE), FALK), "signs-himself");
    site.does(verify(ODDE), ODDE).unwrap();

    let mut site = Site::at("zero-hold");
    site.goes_on(|ask| matches!(ask.point, Point::Hold(_)));
    let release = |id| Command::Answer {
        point: Point::Hold("zero-hold".into()),
        given: reseat_record::rebuild::Given::Person(id),
    };
    assert_eq!(site.refused(release(VRANG), VRANG), "wrong-kind");
    assert_eq!(site.refused(release(SEFTON), VRANG), "signs-himself");
    site.does(release(SEFTON), SEFTON).unwrap();
    assert_eq!(site.due(), "mark-bonnet");
}

#[test]
fn whoever_had_the_work_in_hand_does_not_verify_at_the_end() {
    let mut site = Site::at("open-item");
    site.pauses(5, ODDE);
    site.goes_on(|ask| ask.step.as_ref().is_some_and(|at| at.id == "open-item"));
    site.pauses(5, FALK);
    site.goes_on(|ask| {
        matches!(
            &ask.wants,
            Wants::Signature {
                meaning: "verified",
                ..
            }
        )
    });
    let Wants::Signature { among, .. } = site.ask().wants else {
        panic!()
    };
    assert!(
        among.iter().all(|(id, _)| *id != ODDE && *id != FALK),
        "{among:?}"
    );
    signed(site);
}

#[test]
fn not_applicable_only_where_the_procedure_permits_it() {
    let mut site = Site::at("gland-drops");
    let skip = |reason: &str| Command::NotApplicable {
        reason: reason.into(),
    };
    assert_eq!(site.refused(skip("  "), FALK), "empty");
    site.does(skip("train is down"), FALK).unwrap();
    assert_eq!(site.due(), "hang-pg12");
    assert_eq!(site.refused(skip("no gauge"), FALK), "must-be-done");
    signed(site);
}

#[test]
fn a_deviation_is_added_by_the_role_and_done() {
    let mut site = Site::at("plug-on");
    let add = Command::Deviate {
        text: "polish the stem".into(),
        reason: "scratch".into(),
    };
    assert_eq!(site.refused(add.clone(), FALK), "not-allowed");
    site.does(add, SEFTON).unwrap();
    assert!(
        matches!(site.ask().point, Point::Act(ref id) if id == "added-1"),
        "{:#?}",
        site.ask()
    );
    site.types("").unwrap();
    assert_eq!(site.due(), "plug-on");
    signed(site);
}

#[test]
fn a_dropped_item_stops_work_until_decided() {
    let mut site = Site::at("plug-on");
    site.does(
        Command::Dropped {
            what: "pick, 4 mm".into(),
        },
        FALK,
    )
    .unwrap();
    assert!(matches!(site.ask().point, Point::Finding(1)));
    site.decides("go on", SEFTON);
    signed(site);
}

#[test]
fn waiting_for_a_part_and_closing_incomplete_say_what_remains() {
    let mut site = Site::at("seat-gasket-on");
    site.does(
        Command::WaitForPart {
            part: "seat gasket".into(),
        },
        FALK,
    )
    .unwrap();
    assert!(
        site.rebuild()
            .summary()
            .state
            .starts_with("WAITING FOR PART (seat gasket), APART")
    );
    site.seconds += 86_400;
    site.resumes(FALK);
    assert!(matches!(site.ask().point, Point::Gate(0)));
    let close = Command::CloseIncomplete {
        reason: "seat cracked".into(),
    };
    site.does(close.clone(), FALK).unwrap();
    assert_eq!(site.rebuild().ended(), Some(Ended::Incomplete));
    let remains = site.last("remains");
    assert!(
        remains.as_array().is_some_and(|left| left
            .iter()
            .any(|item| item.as_str().is_some_and(|item| item.contains("Lock A-1")))),
        "{remains}"
    );
    assert_eq!(site.refused(close, FALK), "rebuild-ended");
}

#[test]
fn signing_is_refused_by_each_kind_of_open_thing() {
    let refused = |site: &mut Site| {
        site.goes_on(|ask| {
            matches!(
                ask.wants,
                Wants::Signature {
                    meaning: "performed",
                    ..
                }
            ) || matches!(ask.point, Point::Finding(_))
        });
        let command = site.ask().answer(&FALK.to_string()).unwrap();
        let refusal = site
            .rebuild()
            .decide(&site.register, command, &site.stamp(FALK))
            .unwrap_err();
        assert_eq!(refusal.code(), "still-open");
        refusal.sentence()
    };
    // A unit to be swapped cannot be signed as rebuilt.
    let mut site = Site::at("open-item");
    site.does(
        Command::Find {
            words: "body cracked".into(),
        },
        FALK,
    )
    .unwrap();
    site.decides("scrap unit", SEFTON);
    assert!(refused(&mut site).contains("scrap unit"));
    // An own lock of a person who went home.
    let mut site = Site::at("plug-on");
    site.pauses(5, ODDE);
    site.until("own-locks-off");
    site.types("Mbali Sefton").unwrap();
    site.types("Rurik Odde").unwrap();
    assert_eq!(site.due(), "own-locks-off", "Falk's lock is still on");
    assert!(
        site.ask().answer("Rurik Odde").is_err(),
        "it is off already"
    );
    site.types("Ines Falk").unwrap();
    assert_ne!(site.due(), "own-locks-off");
    signed(site);
}

#[test]
fn a_nut_that_moved_after_the_rest_is_a_finding() {
    for (decision, by) in [("rework", SEFTON), ("use as is", QUIST)] {
        let mut site = Site::at("recheck-j1");
        site.picks("moved");
        assert_eq!(site.last("moved"), true);
        assert!(matches!(site.ask().point, Point::Finding(_)));
        site.decides(decision, by);
        assert_eq!(
            site.due(),
            if decision == "rework" {
                "tighten-j1"
            } else {
                "recheck-j1"
            }
        );
        signed(site);
    }
}

#[test]
fn a_joint_reopened_after_its_test_voids_what_came_after() {
    for (from, zero_first) in [("hold-70", true), ("ta1-off", false), ("gauges-off", true)] {
        let mut site = Site::at(from);
        site.does(
            Command::Reopen {
                joint: "J1".into(),
                reason: "weep at the bonnet".into(),
            },
            FALK,
        )
        .unwrap();
        let first = site.ask().point;
        if zero_first {
            assert!(
                matches!(first, Point::Gate(_) | Point::LockBack(_)),
                "{from}: {first:?}"
            );
        }
        let mut asked = Vec::new();
        for _ in 0..2000 {
            let due = site.due();
            if asked.last() != Some(&due) {
                asked.push(due);
            }
            if !site.step() {
                break;
            }
        }
        assert_eq!(
            site.rebuild().ended(),
            Some(Ended::Signed),
            "{from}: {:#?}",
            site.ask()
        );
        for again in [
            "condition-j1",
            "hand-start-j1",
            "tighten-j1",
            "rest",
            "recheck-j1",
            "stroke-five",
            "hold-70",
            "seat-leak",
        ] {
            assert!(
                asked.iter().any(|due| due == again),
                "{from}: {again} is not asked again: {asked:?}"
            );
        }
        let locks = site
            .entries
            .iter()
            .filter(|sealed| sealed.entry.kind == "lock_on/1")
            .count();
        assert!(locks > 0, "{from}: no lock was put back");
    }
}

#[test]
fn a_joint_reopened_counts_its_pieces_once() {
    let mut site = Site::at("sling-off");
    site.does(
        Command::Reopen {
            joint: "J4".into(),
            reason: "threads not as recorded".into(),
        },
        FALK,
    )
    .unwrap();
    assert_eq!(site.due(), "clevis-on");
    signed(site);
}

#[test]
fn a_joint_left_mid_pattern_starts_again_when_a_lock_moved() {
    let mut site = last_pass();
    site.does(
        Command::LockOff {
            point: "V-3301".into(),
            absent_owner: None,
        },
        FALK,
    )
    .unwrap();
    assert!(matches!(site.ask().point, Point::LockBack(ref point) if point == "V-3301"));
    site.goes_on(|ask| fastener(ask).is_some());
    assert_eq!(fastener(&site.ask()), Some((1, 1)));
    signed(site);
    // A joint that was closed before stays as it is.
    let mut site = Site::at("bottom-ring-on");
    site.does(
        Command::LockOff {
            point: "V-3301".into(),
            absent_owner: None,
        },
        FALK,
    )
    .unwrap();
    site.goes_on(|ask| matches!(ask.point, Point::Asked(..)));
    assert_eq!(site.due(), "bottom-ring-on");
    assert_eq!(
        site.rebuild().joint_view("J1").map(|view| view.pass),
        Some(4)
    );
    signed(site);
}

#[test]
fn stop_is_there_at_every_moment_and_its_kinds_lead_back_through_proof() {
    for kind in StopKind::ALL {
        let mut site = Site::at("plug-on");
        site.does(Command::Stop { kind }, FALK).unwrap();
        site.seconds += 120;
        site.resumes(FALK);
        let short = kind == StopKind::CalledAway;
        assert_eq!(
            site.ask().point,
            if short {
                Point::LookAgain
            } else {
                Point::Gate(0)
            },
            "{kind:?}"
        );
        signed(site);
    }
}

#[test]
fn words_with_hidden_characters_are_refused_everywhere() {
    let site = Site::at("plug-on");
    let bad = || "a\u{202e}b".to_owned();
    for command in [
        Command::Find { words: bad() },
        Command::Dropped { what: bad() },
        Command::WaitForPart { part: bad() },
        Command::CloseIncomplete { reason: bad() },
        Command::Safer {
            step: None,
            words: bad(),
        },
        Command::HandOver {
            words: bad(),
            to: Some(ODDE),
            left: None,
        },
    ] {
        assert_eq!(site.refused(command, FALK), "bad-text");
    }
    assert_eq!(
        site.refused(
            Command::Deviate {
                text: bad(),
                reason: "x".into()
            },
            SEFTON
        ),
        "bad-text"
    );
}

#[test]
fn a_number_still_asked_about_is_taken_back_and_no_other_is_struck() {
    let mut site = last_pass();
    site.types("90").unwrap();
    site.does(
        Command::Strike {
            entry: None,
            reason: "misread".into(),
            seen_by: None,
        },
        FALK,
    )
    .unwrap();
    assert_eq!(site.last_kind(), "query_answered/1");
    assert_eq!(fastener(&site.ask()), Some((1, 3)));
    signed(site);
}
