//! What stands on a screen, at whatever size: tag, warnings, question, reasons; what is hostile never.

use reseat::keys::Stroke;
use reseat::screen::message::Outcome;
use reseat::theme::Scheme;
use reseat_record::rebuild::Wants;

use crate::scenes::scenes;
use crate::{Seat, drawn, samples, text_of};

/// Instruments not offered, each with a reason of another length.
fn not_offered() -> reseat_record::rebuild::Offered {
    use reseat_record::refusal::Against;
    let not = |id: &str, against: Vec<Against>| reseat_record::rebuild::NotOffered {
        id: id.into(),
        against,
    };
    reseat_record::rebuild::Offered {
        fit: Vec::new(),
        unfit: vec![
            not(
                "TW-19",
                vec![Against::Overdue {
                    due: "2026-03-01".into(),
                }],
            ),
            not(
                "TW-17",
                vec![
                    Against::Booked {
                        tag: "PCV-2107".into(),
                        joint: "J4".into(),
                    },
                    Against::Quarantined {
                        why: "dropped at FV-3302, entry 412 of its rebuild".into(),
                    },
                ],
            ),
        ],
    }
}

#[test]
fn what_is_not_offered_stands_with_its_reason_at_80_by_24_on_joint_test_and_step() {
    for mut sight in [
        samples::joint::tightening(),
        samples::test::testing(),
        samples::acts::plain_act(),
    ] {
        let offered = not_offered();
        sight.ask.detail = offered.lines();
        sight.ask.offered = offered.clone();
        let mut seat = Seat::working(sight);
        let mut seen = seat.text();
        // What finds no room scrolls with the page keys, and the screen says so.
        if offered.lines().iter().any(|line| !said(&seen, line)) {
            assert!(seen.contains("more, PgDn"), "{seen}");
            for _ in 0..6 {
                seat.keys(&[Stroke::PageDown]);
                seen.push_str(&seat.text());
            }
        }
        for line in offered.lines() {
            assert!(said(&seen, &line), "{line}\n{seen}");
        }
    }
}

/// Whether every word of the line is on the screen.
fn said(screen: &str, line: &str) -> bool {
    line.split(' ').all(|word| screen.contains(word))
}

#[test]
fn what_is_hostile_reaches_no_terminal() {
    for (columns, rows) in [(80, 24), (160, 50)] {
        let mut seat = Seat::working(samples::acts::hostile());
        (seat.columns, seat.rows) = (columns, rows);
        let text = seat.text();
        assert!(
            !text
                .chars()
                .any(|letter| letter != '\n' && reseat::screen::draw::is_hidden(letter))
        );
    }
}

#[test]
fn below_the_least_size_a_notice_stands_and_nothing_typed_is_lost() {
    let mut seat = Seat::working(samples::joint::tightening());
    seat.types("12");
    for (columns, rows) in [(59, 24), (80, 19), (20, 5), (1, 1)] {
        (seat.columns, seat.rows) = (columns, rows);
        seat.screen();
    }
    (seat.columns, seat.rows) = (59, 24);
    assert!(seat.text().contains("Make it larger"));
    seat.types("2");
    (seat.columns, seat.rows) = (60, 20);
    assert!(seat.text().contains("[122 "), "{}", seat.text());
}

#[test]
fn drawing_any_screen_at_any_size_does_not_panic() {
    for (_, model) in scenes() {
        for columns in (1..170).step_by(13) {
            for rows in (1..60).step_by(7) {
                drawn(&model, columns, rows);
            }
        }
    }
}

#[test]
fn tag_warning_question_and_stop_key_are_on_every_screen_of_a_rebuild() {
    for sight in [
        samples::joint::tightening(),
        samples::joint::high(),
        samples::acts::isolating(),
        samples::test::testing(),
        samples::acts::orientation(),
    ] {
        for (columns, rows) in [(60, 20), (80, 24), (160, 50)] {
            let mut seat = Seat::working(sight.clone());
            (seat.columns, seat.rows) = (columns, rows);
            let text = seat.text();
            assert!(text.lines().next().unwrap().contains("FV-3302"), "{text}");
            let words: Vec<&str> = text.split_whitespace().collect();
            assert!(words.join(" ").contains(&sight.ask.prompt), "{text}");
            if let Wants::Choice(labels) = &sight.ask.wants {
                for (number, label) in (1..).zip(labels) {
                    let first = label.split(' ').next().unwrap();
                    assert!(
                        words.join(" ").contains(&format!("{number} {first}")),
                        "{text}"
                    );
                }
            }
            assert!(
                text.lines().last().unwrap().contains("F3 makes safer"),
                "{text}"
            );
            for warning in &sight.ask.warnings {
                assert!(text.contains(warning.word.word()), "{text}");
            }
            for line in text.lines() {
                assert!(!line.contains("SAFE"), "{line}");
            }
        }
    }
}

#[test]
fn the_longest_title_of_a_procedure_is_whole_on_the_smallest_screen() {
    let longest = reseat_procedure::builtin()
        .iter()
        .map(|(_, bytes)| reseat_procedure::read(bytes).unwrap().title)
        .max_by_key(|title| title.chars().count())
        .unwrap();
    let mut sight = samples::lists::start();
    sight.offers[0].title.clone_from(&longest);
    let seat = Seat::showing(Outcome::Start(sight));
    let shown = text_of(&drawn(&seat.model, 80, 24));
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words(&shown).contains(&words(&longest)),
        "{longest}:\n{shown}"
    );
}

#[test]
fn every_scheme_draws_the_same_words() {
    for (name, model) in scenes() {
        let mut model = model;
        let text = Scheme::ALL.map(|scheme| {
            model.common.scheme = scheme;
            text_of(&drawn(&model, 80, 24))
        });
        assert!(text[0] == text[1] && text[1] == text[2], "{name}");
    }
    let mut seat = Seat::working(samples::joint::tightening());
    assert!(seat.model.common.scheme == Scheme::Dim);
    seat.keys(&[Stroke::F(8)]);
    assert!(seat.model.common.scheme == Scheme::Plain);
}
