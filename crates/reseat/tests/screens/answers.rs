//! Keys that answer a question: which act, which only fill a field, and which come too early or are held.

use std::time::Duration;

use reseat::keys::Stroke;
use reseat::screen::message::{Effect, Message, Outcome, Said};
use reseat::screen::sight::WorkSight;
use reseat::screen::{Screen, update};
use reseat_record::rebuild::{Command, Given, Point};

use crate::{Seat, samples};

/// An answer of the question shown, with this content.
fn answered(sight: &WorkSight, given: Given) -> Effect {
    Effect::Act {
        command: Command::Answer {
            point: sight.ask.point.clone(),
            given,
        },
        signer: None,
    }
}

#[test]
fn a_plain_act_takes_one_key_and_the_next_one_the_other() {
    let sight = samples::acts::plain_act();
    let mut seat = Seat::working(sight.clone());
    assert!(seat.text().contains("Space or Enter: done"));
    assert_eq!(seat.keys(&[Stroke::Space]), [answered(&sight, Given::Done)]);
    seat.came(Outcome::Acted(Box::new(sight.clone())));
    assert!(seat.text().contains("Enter: done") && !seat.text().contains("Space or"));
    assert_eq!(seat.keys(&[Stroke::Space]), []);
    assert!(seat.said().sentence.contains("now Enter"));
    assert_eq!(seat.keys(&[Stroke::Enter]), [answered(&sight, Given::Done)]);
    seat.came(Outcome::Acted(Box::new(sight.clone())));
    assert!(seat.text().contains("Space: done"));
}

#[test]
fn a_held_key_completes_at_most_one_of_two_like_steps() {
    let spaced = [0, 250, 500, 660, 1000];
    let likes: [fn() -> WorkSight; 3] = [
        samples::acts::plain_act,
        || samples::joint::pass(1),
        || {
            let mut sight = samples::joint::high();
            sight.ask.point = Point::AfterHigh(1);
            sight
        },
    ];
    for stroke in [Stroke::Space, Stroke::Enter, Stroke::Char('1')] {
        for first_gap in spaced {
            for like in likes {
                for terminal_says_repeat in [false, true] {
                    let mut seat = Seat::working(like());
                    let mut taken = 0;
                    let mut gap = Duration::ZERO;
                    for press in 0..120 {
                        seat.now += gap;
                        gap = if press == 0 {
                            Duration::from_millis(first_gap)
                        } else {
                            Duration::from_micros(33_333)
                        };
                        let repeat = terminal_says_repeat && press > 0;
                        let effects =
                            update(&mut seat.model, Message::Key { stroke, repeat }, seat.now);
                        for effect in effects {
                            assert!(matches!(effect, Effect::Act { .. }));
                            taken += 1;
                            update(
                                &mut seat.model,
                                Message::Came(Box::new(Outcome::Acted(Box::new(like())))),
                                seat.now,
                            );
                        }
                        update(&mut seat.model, Message::Drawn, seat.now);
                    }
                    assert!(
                        taken <= 1,
                        "{stroke:?} with a gap of {first_gap} ms took {taken}"
                    );
                }
            }
        }
    }
}

#[test]
fn the_test_above_can_fail_because_the_keys_do_act() {
    for (stroke, sight, taken) in [
        (Stroke::Space, samples::acts::plain_act(), 1),
        (Stroke::Enter, samples::acts::plain_act(), 1),
        (Stroke::Char('1'), samples::joint::pass(1), 1),
        (Stroke::Char('1'), samples::acts::plain_act(), 0),
    ] {
        assert_eq!(Seat::working(sight).keys(&[stroke]).len(), taken);
    }
}

#[test]
fn nothing_is_taken_before_the_question_was_drawn_and_read() {
    let mut seat = Seat::working(samples::acts::plain_act());
    update(
        &mut seat.model,
        Message::Came(Box::new(Outcome::Acted(Box::new(
            samples::acts::plain_act(),
        )))),
        seat.now,
    );
    // Keys that came while the last question stood on the screen.
    let early = update(
        &mut seat.model,
        Message::Key {
            stroke: Stroke::Space,
            repeat: false,
        },
        seat.now,
    );
    assert_eq!(early, []);
    update(&mut seat.model, Message::Drawn, seat.now);
    seat.now += Duration::from_millis(299);
    assert_eq!(seat.press(Stroke::Space), []);
    seat.now += Duration::from_millis(1);
    assert_eq!(seat.press(Stroke::Space).len(), 1);
}

/// A passphrase typed where a plain act is asked: its blanks come as fast as its letters and complete nothing.
#[test]
fn words_typed_at_a_plain_act_complete_nothing_by_their_blanks() {
    let mut seat = Seat::working(samples::acts::plain_act());
    for letter in "tern day shift 24".chars() {
        let stroke = match letter {
            ' ' => Stroke::Space,
            letter => Stroke::Char(letter),
        };
        assert_eq!(seat.press(stroke), [], "{letter:?}");
        if letter == 'n' {
            let said = seat.said();
            assert!(said.sentence.contains("no words are wanted"), "{said:?}");
        }
        seat.now += Duration::from_millis(200);
    }
    // Read again, the act is done by its key as before.
    seat.read();
    assert_eq!(seat.keys(&[Stroke::Space]).len(), 1);
}

#[test]
fn a_fastener_is_one_key_and_a_digit_that_came_too_early_is_said() {
    let sight = samples::joint::pass(6);
    let mut seat = Seat::working(sight.clone());
    assert_eq!(
        seat.keys(&[Stroke::Char('6')]),
        [answered(&sight, Given::Fastener(6))]
    );
    let next = samples::joint::pass(4);
    update(
        &mut seat.model,
        Message::Came(Box::new(Outcome::Acted(Box::new(next.clone())))),
        seat.now,
    );
    update(&mut seat.model, Message::Drawn, seat.now);
    seat.now += Duration::from_millis(100);
    assert_eq!(seat.press(Stroke::Char('4')), []);
    assert!(seat.said().sentence.contains("4 came before"));
    seat.now += Duration::from_millis(300);
    assert_eq!(
        seat.press(Stroke::Char('4')),
        [answered(&next, Given::Fastener(4))]
    );
    // The next one is the same number again, as with one nut in three passes: another key must come between.
    seat.came(Outcome::Acted(Box::new(samples::joint::pass(4))));
    assert!(seat.text().contains("Space, then 4"));
    assert_eq!(seat.keys(&[Stroke::Char('4')]), []);
    assert_eq!(seat.keys(&[Stroke::Space, Stroke::Char('4')]).len(), 1);
}

#[test]
fn digits_typed_early_go_into_a_field_and_only_enter_takes_them() {
    let sight = samples::joint::tightening();
    let mut seat = Seat::working(sight.clone());
    update(
        &mut seat.model,
        Message::Came(Box::new(Outcome::Acted(Box::new(sight.clone())))),
        seat.now,
    );
    for letter in ['1', '2', '2'] {
        update(
            &mut seat.model,
            Message::Key {
                stroke: Stroke::Char(letter),
                repeat: false,
            },
            seat.now,
        );
    }
    seat.read();
    assert!(seat.text().contains("[122 "));
    assert_eq!(seat.keys(&[Stroke::Space]), []);
    assert_eq!(
        seat.keys(&[Stroke::Enter]),
        [answered(&sight, Given::Reading("122".into()))]
    );
}

#[test]
fn too_many_digits_clear_the_field_and_say_so() {
    let mut seat = Seat::working(samples::joint::tightening());
    seat.types("12345678901234567");
    assert_eq!(seat.said().code, "field-full");
    assert!(seat.text().contains("[            ]"), "{}", seat.text());
    assert_eq!(seat.keys(&[Stroke::Enter]), []);
}

#[test]
fn a_paste_fills_a_field_and_takes_nothing() {
    let sight = samples::joint::tightening();
    let mut seat = Seat::working(sight.clone());
    assert_eq!(
        update(&mut seat.model, Message::Paste("122\n".into()), seat.now),
        []
    );
    assert!(seat.text().contains("[122 "));
    assert_eq!(seat.keys(&[Stroke::Enter]).len(), 1);
    let mut seat = Seat::working(samples::acts::plain_act());
    assert_eq!(
        update(&mut seat.model, Message::Paste("\n\n \n".into()), seat.now),
        []
    );
    let mut seat = Seat::working(samples::joint::pass(1));
    assert_eq!(
        update(&mut seat.model, Message::Paste("1".into()), seat.now),
        []
    );
}

#[test]
fn esc_takes_and_discards_nothing() {
    for sight in [
        samples::joint::tightening(),
        samples::joint::high(),
        samples::acts::plain_act(),
        samples::acts::isolating(),
    ] {
        let mut seat = Seat::working(sight);
        seat.types("7");
        let typed = seat.model.clone();
        assert_eq!(seat.keys(&[Stroke::Esc]), []);
        assert!(
            matches!((&seat.model.screen, &typed.screen), (Screen::Work(now), Screen::Work(then)) if now == then)
        );
    }
    // An arrow that a slow line splits: Esc, `[`, `A`.
    let mut seat = Seat::working(samples::acts::plain_act());
    assert_eq!(
        seat.keys(&[Stroke::Esc, Stroke::Char('['), Stroke::Char('A')]),
        []
    );
    // A form that is left keeps what was typed, but no secrets.
    let mut seat = Seat::showing(Outcome::Register {
        sight: samples::lists::register(),
        changed: false,
    });
    seat.keys(&[Stroke::Char('a')]);
    seat.types("Lena Tarn");
    seat.keys(&[Stroke::Enter, Stroke::Char('1'), Stroke::Enter]);
    seat.types("geheim geheim");
    seat.keys(&[Stroke::Esc, Stroke::Char('a')]);
    let text = seat.text();
    assert!(
        text.contains("[Lena Tarn") && text.contains("[x]1performer") && !text.contains('•'),
        "{text}"
    );
}

#[test]
fn a_choice_is_a_digit_then_enter() {
    let sight = samples::joint::high();
    let mut seat = Seat::working(sight.clone());
    assert_eq!(seat.keys(&[Stroke::Char('2')]), []);
    assert_eq!(
        seat.keys(&[Stroke::Enter]),
        [answered(&sight, Given::Choice(2))]
    );
    let mut seat = Seat::working(sight);
    assert_eq!(seat.keys(&[Stroke::Char('7'), Stroke::Enter]), []);
    assert!(seat.said().refused && seat.text().contains("REFUSED") && seat.text().contains("[7 "));
}

#[test]
fn a_refusal_keeps_what_was_typed() {
    let mut seat = Seat::working(samples::joint::tightening());
    seat.types("222");
    assert_eq!(seat.keys(&[Stroke::Enter]).len(), 1);
    seat.came(Outcome::Refused(Said::refusal(
        "off-the-scale",
        "222 is off the scale.",
        "Read again.",
    )));
    assert!(seat.text().contains("[222 ") && seat.text().contains("Read again."));
    // The same key alone does not file it a second time.
    assert_eq!(seat.keys(&[Stroke::Enter]), []);
    assert_eq!(seat.keys(&[Stroke::Backspace, Stroke::Enter]).len(), 1);
}

#[test]
fn what_a_click_wrench_did_otherwise_begins_with_a_nought_and_wants_enter() {
    let mut seat = Seat::working(samples::joint::clicking(6));
    let point = samples::joint::clicking(6).ask.point;
    let act = |given| Effect::Act {
        command: Command::Answer {
            point: point.clone(),
            given,
        },
        signer: None,
    };
    assert!(
        seat.text().contains("01  clicked without moving"),
        "{}",
        seat.text()
    );
    assert!(seat.text().contains("6: clicked"), "{}", seat.text());
    seat.types("01");
    assert_eq!(seat.keys(&[Stroke::Enter]), [act(Given::Choice(1))]);
    let mut seat = Seat::working(samples::joint::clicking(6));
    assert_eq!(seat.keys(&[Stroke::Char('0')]), []);
    // Taken back, the nut's own number is one key again.
    assert_eq!(seat.keys(&[Stroke::Backspace]), []);
    assert_eq!(seat.keys(&[Stroke::Char('6')]), [act(Given::Fastener(6))]);
    let mut seat = Seat::working(samples::joint::clicking(6));
    seat.types("03");
    assert_eq!(seat.keys(&[Stroke::Enter]), []);
    assert!(seat.text().contains("1 to 2"), "{}", seat.text());
}

/// Keys of a joint of eight in four passes, the last one read: at most sixty, gap readings and signatures apart
/// (common practice, no source).
#[test]
fn a_joint_of_eight_in_four_passes_takes_at_most_sixty_keys() {
    let mut seat = Seat::working(samples::joint::pass(1));
    let mut keys = 0;
    let order = [1, 5, 3, 7, 2, 6, 4, 8];
    for _ in 0..3 {
        for nut in order {
            seat.came(Outcome::Acted(Box::new(samples::joint::pass(nut))));
            keys += 1;
            let digit = char::from_digit(nut, 10).unwrap();
            assert_eq!(seat.keys(&[Stroke::Char(digit)]).len(), 1, "nut {nut}");
        }
    }
    for _ in order {
        seat.came(Outcome::Acted(Box::new(samples::joint::tightening())));
        keys += 4;
        seat.types("122");
        assert_eq!(seat.keys(&[Stroke::Enter]).len(), 1);
    }
    assert!(keys <= 60, "{keys}");
    // With a click wrench: its setting once a pass, one key a nut, and the wrench set back.
    let mut keys = 1;
    for _ in 0..4 {
        keys += "122".len() + 1;
        for nut in order {
            seat.came(Outcome::Acted(Box::new(samples::joint::clicking(nut))));
            keys += 1;
            let digit = char::from_digit(nut, 10).unwrap();
            assert_eq!(seat.keys(&[Stroke::Char(digit)]).len(), 1, "nut {nut}");
        }
    }
    assert!(keys <= 60, "{keys}");
}
