//! Every screen drawn from sample sights, with its styles, at 80x24 and 160x50; the key rules; the pictures of the docs.
//!
//! `INSTA_UPDATE=always` rewrites the snapshots, `UPDATE_PICTURES=1` the pictures and `docs/keys.md`.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

mod samples;

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::{Buffer, Cell};
use reseat::keys::{self, Stroke};
use reseat::screen::message::{Effect, Message, Outcome, Said, Secret};
use reseat::screen::sight::WorkSight;
use reseat::screen::{Model, Screen, deadline, update, view};
use reseat::svg;
use reseat::theme::Scheme;
use reseat_record::rebuild::{Command, Given, Point, StopKind, Wants};
use zeroize::Zeroizing;

/// A model with its own time and size: keys go in, effects and screens come out.
struct Seat {
    model: Model,
    now: Instant,
    columns: u16,
    rows: u16,
}

impl Seat {
    fn at(columns: u16, rows: u16) -> Self {
        let mut model = Model::new(Scheme::Dim, Duration::from_mins(10));
        let now = Instant::now();
        update(&mut model, Message::Resized(columns, rows), now);
        Self {
            model,
            now,
            columns,
            rows,
        }
    }

    fn showing(outcome: Outcome) -> Self {
        let mut seat = Self::at(80, 24);
        seat.came(outcome);
        seat
    }

    fn working(sight: WorkSight) -> Self {
        Self::showing(Outcome::Acted(Box::new(sight)))
    }

    /// An outcome comes, is drawn, and is looked at for a second.
    fn came(&mut self, outcome: Outcome) -> Vec<Effect> {
        let effects = update(&mut self.model, Message::Came(Box::new(outcome)), self.now);
        self.read();
        effects
    }

    /// The screen is drawn and looked at for a second.
    fn read(&mut self) {
        update(&mut self.model, Message::Drawn, self.now);
        self.now += Duration::from_secs(1);
    }

    fn press(&mut self, stroke: Stroke) -> Vec<Effect> {
        let effects = update(
            &mut self.model,
            Message::Key {
                stroke,
                repeat: false,
            },
            self.now,
        );
        update(&mut self.model, Message::Drawn, self.now);
        effects
    }

    /// Keys with a second before each.
    fn keys(&mut self, strokes: &[Stroke]) -> Vec<Effect> {
        let mut effects = Vec::new();
        for stroke in strokes {
            effects.extend(self.press(*stroke));
            self.read();
        }
        effects
    }

    fn types(&mut self, text: &str) -> Vec<Effect> {
        let strokes: Vec<Stroke> = text
            .chars()
            .map(|letter| {
                if letter == ' ' {
                    Stroke::Space
                } else {
                    Stroke::Char(letter)
                }
            })
            .collect();
        self.keys(&strokes)
    }

    fn screen(&self) -> Buffer {
        let mut terminal = Terminal::new(TestBackend::new(self.columns, self.rows)).unwrap();
        terminal.draw(|frame| view(&self.model, frame)).unwrap();
        terminal.backend().buffer().clone()
    }

    fn text(&self) -> String {
        text_of(&self.screen())
    }

    fn said(&self) -> &Said {
        self.model.common.said.as_ref().expect("something was said")
    }
}

fn text_of(screen: &Buffer) -> String {
    let width = usize::from(screen.area.width);
    let rows = screen
        .content
        .chunks(width)
        .map(|row| row.iter().map(Cell::symbol).collect::<String>());
    rows.map(|row| row.trim_end().to_owned())
        .collect::<Vec<_>>()
        .join("\n")
}

/// The text of a screen, then the stretches of each row by style; each style is named by a letter.
fn styled(screen: &Buffer) -> String {
    let mut out = text_of(screen);
    out.push_str("\n~\n");
    let mut names: BTreeMap<String, char> = BTreeMap::new();
    for (y, row) in screen
        .content
        .chunks(usize::from(screen.area.width))
        .enumerate()
    {
        let mut line = String::new();
        let mut last = String::new();
        for (x, cell) in row.iter().enumerate() {
            let look = format!("{:?}/{:?}/{:?}", cell.fg, cell.bg, cell.modifier);
            if look != last {
                let next = char::from(b'a' + u8::try_from(names.len()).unwrap());
                let name = names.entry(look.clone()).or_insert(next);
                let _ = write!(line, " {x}{name}");
                last = look;
            }
        }
        let _ = writeln!(out, "{y:>2}{line}");
    }
    for (look, name) in &names {
        let _ = writeln!(out, "{name} {look}");
    }
    out
}

/// Every screen by name, as a model ready to be drawn.
fn scenes() -> Vec<(&'static str, Model)> {
    let mut scenes: Vec<(&'static str, Model)> = Vec::new();
    let mut add = |name, seat: Seat| scenes.push((name, seat.model));
    add("home", Seat::showing(Outcome::Home(samples::home())));
    add("unit", Seat::showing(Outcome::Unit(samples::unit())));
    let mut start = Seat::showing(Outcome::Start(samples::start()));
    start.types("4711");
    start.keys(&[Stroke::Enter]);
    start.types("FV-3302");
    start.keys(&[Stroke::Enter]);
    start.types("TP-0389");
    start.keys(&[Stroke::Enter]);
    add("start", start);
    add("resume", Seat::showing(Outcome::Resume(samples::resume())));
    for (name, sight) in vec![
        ("isolating", samples::isolating()),
        ("lock_off", samples::lock_off()),
        ("tightening", samples::tightening()),
        ("pass", samples::pass(6)),
        ("click", samples::clicking(6)),
        ("guarded", samples::guarded()),
        ("high", samples::high()),
        ("stretched", samples::verdicts::stretched()),
        ("not_accepted", samples::verdicts::not_accepted()),
        ("prevailing", samples::verdicts::prevailing()),
        ("worn", samples::verdicts::worn()),
        ("orientation", samples::orientation()),
        ("plain_act", samples::plain_act()),
        ("waiting", samples::waiting(false)),
        ("testing", samples::testing()),
        ("holding", samples::holding()),
        ("held_of_two", samples::held_of_two()),
        ("balance", samples::balance()),
        ("open_items", samples::open_items()),
    ] {
        add(name, Seat::working(sight));
    }
    add("repeating", Seat::working(samples::repeating()));
    let mut refused = Seat::working(samples::tightening());
    refused.types("122");
    refused.keys(&[Stroke::Enter]);
    refused.came(Outcome::Refused(Said::refusal(
        "off-the-scale",
        "222 N·m is off the scale of TW-19, 40..200 N·m.",
        "Read the dial again; the number as typed is not a reading.",
    )));
    add("refused", refused);
    let mut stop = Seat::working(samples::tightening());
    stop.keys(&[Stroke::F(9)]);
    add("stop", stop);
    let mut more = Seat::working(samples::tightening());
    more.keys(&[Stroke::F(6)]);
    add("more", more);
    let mut wrong = Seat::working(samples::tightening());
    wrong.keys(&[Stroke::F(2)]);
    wrong.types("a digit too many");
    add("typed_wrong", wrong);
    let mut safer = Seat::working(samples::high());
    safer.keys(&[Stroke::F(3), Stroke::Char('1'), Stroke::Enter]);
    add("makes_safer", safer);
    let mut sign = Seat::working(samples::open_items());
    sign.types("odde");
    sign.keys(&[Stroke::Enter]);
    sign.types("geheim");
    add(
        "passphrase",
        Seat {
            model: sign.model.clone(),
            ..Seat::at(80, 24)
        },
    );
    sign.came(Outcome::Unsealed(samples::id(2)));
    sign.types("1234");
    add("pin", sign);
    let mut help = Seat::working(samples::tightening());
    help.keys(&[Stroke::F(1)]);
    add("help", help);
    add("record", Seat::showing(Outcome::Record(samples::record())));
    add(
        "register",
        Seat::showing(Outcome::Register {
            sight: samples::register(),
            changed: false,
        }),
    );
    add("recall", Seat::showing(Outcome::Recall(samples::recall())));
    let mut enrol = Seat::showing(Outcome::Register {
        sight: samples::register(),
        changed: false,
    });
    enrol.keys(&[Stroke::Char('a')]);
    enrol.types("Lena Tarn");
    enrol.keys(&[Stroke::Enter, Stroke::Char('1'), Stroke::Char('2')]);
    add("enrol", enrol);
    let mut founding = Seat::showing(Outcome::Unfounded);
    founding.types("Tern Point");
    add("founding", founding);
    let words: Vec<String> = (1..=33).map(|number| format!("word{number}")).collect();
    add(
        "words",
        Seat::showing(Outcome::Founded {
            words: Secret(Zeroizing::new(words.join(" "))),
        }),
    );
    let slip = (
        "\"does\": [{\"hand_start\": \"J1\"}]",
        "\"does\": [{\"clean\": []}]",
    );
    let mut pages = Seat::showing(Outcome::Pages(Box::new(samples::pages(
        "FV-3302.json",
        Some(slip),
    ))));
    pages.keys(&[Stroke::Char('n')]);
    add("pages", pages);
    let mut options = Seat::showing(Outcome::Pages(Box::new(samples::pages(
        "BPR-VENT-11.json",
        None,
    ))));
    add(
        "pages_cover",
        Seat {
            model: options.model.clone(),
            ..Seat::at(80, 24)
        },
    );
    options.keys(&[Stroke::Char('o'), Stroke::End]);
    options.keys(&[Stroke::Left; 60]);
    add("pages_options", options);
    add("hostile", Seat::working(samples::hostile()));
    scenes
}

fn drawn(model: &Model, columns: u16, rows: u16) -> Buffer {
    let mut seat = Seat::at(columns, rows);
    seat.model = model.clone();
    update(&mut seat.model, Message::Resized(columns, rows), seat.now);
    seat.screen()
}

#[test]
fn every_screen_at_80_by_24() {
    for (name, model) in scenes() {
        insta::assert_snapshot!(format!("{name}_80x24"), styled(&drawn(&model, 80, 24)));
    }
}

#[test]
fn every_screen_at_160_by_50() {
    for (name, model) in scenes() {
        insta::assert_snapshot!(format!("{name}_160x50"), styled(&drawn(&model, 160, 50)));
    }
}

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
        samples::tightening(),
        samples::testing(),
        samples::plain_act(),
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
        let mut seat = Seat::working(samples::hostile());
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
    let mut seat = Seat::working(samples::tightening());
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
        samples::tightening(),
        samples::high(),
        samples::isolating(),
        samples::testing(),
        samples::orientation(),
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
    let sight = samples::plain_act();
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
        samples::plain_act,
        || samples::pass(1),
        || {
            let mut sight = samples::high();
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
        (Stroke::Space, samples::plain_act(), 1),
        (Stroke::Enter, samples::plain_act(), 1),
        (Stroke::Char('1'), samples::pass(1), 1),
        (Stroke::Char('1'), samples::plain_act(), 0),
    ] {
        assert_eq!(Seat::working(sight).keys(&[stroke]).len(), taken);
    }
}

#[test]
fn nothing_is_taken_before_the_question_was_drawn_and_read() {
    let mut seat = Seat::working(samples::plain_act());
    update(
        &mut seat.model,
        Message::Came(Box::new(Outcome::Acted(Box::new(samples::plain_act())))),
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

#[test]
fn a_fastener_is_one_key_and_a_digit_that_came_too_early_is_said() {
    let sight = samples::pass(6);
    let mut seat = Seat::working(sight.clone());
    assert_eq!(
        seat.keys(&[Stroke::Char('6')]),
        [answered(&sight, Given::Fastener(6))]
    );
    let next = samples::pass(4);
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
    seat.came(Outcome::Acted(Box::new(samples::pass(4))));
    assert!(seat.text().contains("Space, then 4"));
    assert_eq!(seat.keys(&[Stroke::Char('4')]), []);
    assert_eq!(seat.keys(&[Stroke::Space, Stroke::Char('4')]).len(), 1);
}

#[test]
fn digits_typed_early_go_into_a_field_and_only_enter_takes_them() {
    let sight = samples::tightening();
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
    let mut seat = Seat::working(samples::tightening());
    seat.types("12345678901234567");
    assert_eq!(seat.said().code, "field-full");
    assert!(seat.text().contains("[            ]"), "{}", seat.text());
    assert_eq!(seat.keys(&[Stroke::Enter]), []);
}

#[test]
fn a_paste_fills_a_field_and_takes_nothing() {
    let sight = samples::tightening();
    let mut seat = Seat::working(sight.clone());
    assert_eq!(
        update(&mut seat.model, Message::Paste("122\n".into()), seat.now),
        []
    );
    assert!(seat.text().contains("[122 "));
    assert_eq!(seat.keys(&[Stroke::Enter]).len(), 1);
    let mut seat = Seat::working(samples::plain_act());
    assert_eq!(
        update(&mut seat.model, Message::Paste("\n\n \n".into()), seat.now),
        []
    );
    let mut seat = Seat::working(samples::pass(1));
    assert_eq!(
        update(&mut seat.model, Message::Paste("1".into()), seat.now),
        []
    );
}

#[test]
fn esc_takes_and_discards_nothing() {
    for sight in [
        samples::tightening(),
        samples::high(),
        samples::plain_act(),
        samples::isolating(),
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
    let mut seat = Seat::working(samples::plain_act());
    assert_eq!(
        seat.keys(&[Stroke::Esc, Stroke::Char('['), Stroke::Char('A')]),
        []
    );
    // A form that is left keeps what was typed, but no secrets.
    let mut seat = Seat::showing(Outcome::Register {
        sight: samples::register(),
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
    let sight = samples::high();
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
    let mut seat = Seat::working(samples::tightening());
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
fn a_signature_is_person_passphrase_once_then_pin() {
    let sight = samples::open_items();
    let mut seat = Seat::working(sight.clone());
    seat.types("odde");
    assert_eq!(seat.keys(&[Stroke::Enter]), []);
    seat.types("geheim");
    assert!(seat.text().contains("[••••••") && !seat.text().contains("geheim"));
    let odde = samples::id(2);
    assert_eq!(
        seat.keys(&[Stroke::Enter]),
        [Effect::Unseal(
            odde,
            Secret(Zeroizing::new("geheim".into()))
        )]
    );
    seat.came(Outcome::Unsealed(odde));
    seat.types("123456");
    assert!(seat.text().contains("6 digits"));
    let pin = Secret(Zeroizing::new("123456".into()));
    assert_eq!(
        seat.keys(&[Stroke::Enter]),
        [Effect::CheckPin(odde, pin.clone())]
    );
    seat.came(Outcome::NotProved {
        said: Said::refusal("pin", "The PIN is wrong.", "Type it again."),
        forgotten: false,
    });
    assert!(seat.text().contains("The PIN is wrong."));
    seat.types("123456");
    assert_eq!(seat.keys(&[Stroke::Enter]), [Effect::CheckPin(odde, pin)]);
    let signed = seat.came(Outcome::PinRight(odde));
    let command = Command::Answer {
        point: sight.ask.point,
        given: Given::Person(odde),
    };
    assert_eq!(
        signed,
        [Effect::Act {
            command,
            signer: Some(odde)
        }]
    );
    // The next signature of this shift asks the PIN only.
    let mut next = samples::open_items();
    next.ask.point = Point::Verify("s104".into());
    next.unsealed = [odde].into();
    seat.came(Outcome::Acted(Box::new(next)));
    seat.types("2");
    seat.keys(&[Stroke::Enter]);
    assert!(
        seat.text().contains("Rurik Odde: PIN   ["),
        "{}",
        seat.text()
    );
}

#[test]
fn stop_is_one_key_then_what_happened() {
    let mut seat = Seat::working(samples::tightening());
    assert_eq!(seat.keys(&[Stroke::F(9)]), []);
    assert_eq!(seat.keys(&[Stroke::Esc, Stroke::F(9)]), []);
    let stop = Effect::Act {
        command: Command::Stop {
            kind: StopKind::Dropped,
        },
        signer: None,
    };
    assert_eq!(seat.keys(&[Stroke::Char('3')]), [stop]);
}

#[test]
fn typed_wrong_needs_a_reason_and_may_need_a_second_person() {
    let mut seat = Seat::working(samples::tightening());
    seat.keys(&[Stroke::F(2), Stroke::Enter, Stroke::Enter]);
    assert_eq!(seat.keys(&[Stroke::Space]), []);
    assert_eq!(seat.said().code, "empty");
    seat.types("wrong nut");
    seat.keys(&[Stroke::Enter, Stroke::Char('1'), Stroke::Enter]);
    let strike = Command::Strike {
        entry: None,
        reason: "wrong nut".into(),
        seen_by: None,
    };
    assert_eq!(
        seat.keys(&[Stroke::Space]),
        [Effect::Act {
            command: strike,
            signer: None
        }]
    );
}

#[test]
fn the_work_pauses_by_itself_and_a_wait_does_not() {
    let mut seat = Seat::working(samples::tightening());
    seat.press(Stroke::Char('1'));
    let pause = Effect::Act {
        command: Command::Pause { by_itself: true },
        signer: None,
    };
    let mut ticks = 0;
    let effects = loop {
        seat.now = deadline(&seat.model).unwrap();
        let effects = update(&mut seat.model, Message::Tick, seat.now);
        ticks += 1;
        if effects != [Effect::LookAgain] {
            break effects;
        }
        update(
            &mut seat.model,
            Message::Came(Box::new(Outcome::Seen(Box::new(samples::tightening())))),
            seat.now,
        );
    };
    assert_eq!(effects, std::slice::from_ref(&pause));
    // Once a minute for the strip, no more.
    assert!(ticks <= 11, "{ticks}");
    // What was half typed is still there.
    assert!(seat.text().contains("[1 "));
    // The laptop slept: the first key only pauses.
    let mut seat = Seat::working(samples::plain_act());
    seat.press(Stroke::Char('x'));
    seat.now += Duration::from_mins(30);
    assert_eq!(seat.press(Stroke::Space), [pause]);
    let mut seat = Seat::working(samples::waiting(false));
    seat.now = deadline(&seat.model).unwrap();
    assert_eq!(
        update(&mut seat.model, Message::Tick, seat.now),
        [Effect::LookAgain]
    );
    let mut seat = Seat::showing(Outcome::Home(samples::home()));
    seat.press(Stroke::Char('x'));
    assert_eq!(deadline(&seat.model), None);
}

#[test]
fn home_finds_a_tag_as_typed_or_scanned() {
    let mut seat = Seat::showing(Outcome::Home(samples::home()));
    seat.types("pcv-21");
    assert!(seat.text().contains("PCV-2108") && !seat.text().contains("PSV-4110"));
    seat.types("08");
    assert_eq!(
        seat.keys(&[Stroke::Enter]),
        [Effect::LoadUnit("TP-0418".into())]
    );
    let mut seat = Seat::showing(Outcome::Home(samples::home()));
    update(
        &mut seat.model,
        Message::Paste("TP-0388\r".into()),
        seat.now,
    );
    assert_eq!(
        seat.keys(&[Stroke::Enter]),
        [Effect::LoadUnit("TP-0388".into())]
    );
    let mut seat = Seat::showing(Outcome::Home(samples::home()));
    seat.keys(&[Stroke::Down, Stroke::Down, Stroke::Down, Stroke::Enter]);
    assert_eq!(seat.said().code, "place-empty");
}

#[test]
fn the_longest_title_of_a_procedure_is_whole_on_the_smallest_screen() {
    let longest = reseat_procedure::builtin()
        .iter()
        .map(|(_, bytes)| reseat_procedure::read(bytes).unwrap().title)
        .max_by_key(|title| title.chars().count())
        .unwrap();
    let mut sight = samples::start();
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
fn a_nameplate_that_differs_needs_a_lead() {
    let mut seat = Seat::showing(Outcome::Start(samples::start()));
    for text in ["4711", "FV-3302", "TP-0389", "two plates swapped in May"] {
        seat.types(text);
        seat.keys(&[Stroke::Enter]);
    }
    seat.keys(&[Stroke::Enter, Stroke::Char('1'), Stroke::Enter]);
    seat.types("24-119");
    seat.keys(&[Stroke::Enter, Stroke::Char('2'), Stroke::Enter]);
    assert_eq!(
        seat.keys(&[Stroke::Enter]),
        [],
        "the key that led to the last line does not take it"
    );
    assert_eq!(seat.keys(&[Stroke::Space]), []);
    assert!(seat.text().contains("Mbali Sefton"), "{}", seat.text());
    seat.types("sefton says");
    seat.keys(&[Stroke::Enter]);
    let lead = samples::id(3);
    seat.came(Outcome::Unsealed(lead));
    let effects = seat.came(Outcome::PinRight(lead));
    let [Effect::Start { chosen, signer }] = effects.as_slice() else {
        panic!("{effects:?}")
    };
    assert_eq!(*signer, lead);
    assert_eq!(
        chosen.mismatch.as_deref(),
        Some("two plates swapped in May")
    );
    assert_eq!(
        (chosen.serial.as_str(), chosen.unit.as_str()),
        ("TP-0389", "TP-0388")
    );
    assert_eq!(chosen.performer, samples::id(2));
    assert_eq!(
        chosen.choices.0.get("positioner").map(String::as_str),
        Some("yes")
    );
}

#[test]
fn a_rebuild_is_taken_up_only_with_the_end_of_its_tag() {
    let mut seat = Seat::showing(Outcome::Resume(samples::resume()));
    seat.types("odde");
    seat.keys(&[Stroke::Enter]);
    seat.types("3301");
    seat.keys(&[Stroke::Enter]);
    assert_eq!(seat.said().code, "other-tag");
    seat.keys(&[Stroke::Backspace]);
    seat.types("2");
    seat.keys(&[Stroke::Enter]);
    assert!(
        seat.text().contains("Signature: takes the rebuild up"),
        "{}",
        seat.text()
    );
}

#[test]
fn the_words_of_the_site_key_are_asked_back_before_they_go() {
    let words: Vec<String> = (1..=33).map(|number| format!("word{number}")).collect();
    let mut seat = Seat::showing(Outcome::Founded {
        words: Secret(Zeroizing::new(words.join(" "))),
    });
    assert_eq!(seat.keys(&[Stroke::F(10)]), []);
    seat.types("nonsense");
    assert_eq!(seat.keys(&[Stroke::Enter]), []);
    seat.types("word12");
    assert_eq!(seat.keys(&[Stroke::Enter]), []);
    seat.types("word33");
    assert_eq!(seat.keys(&[Stroke::Enter]), [Effect::LoadHome]);
}

#[test]
fn the_record_is_read_from_the_running_rebuild_and_back() {
    let mut seat = Seat::working(samples::tightening());
    seat.types("12");
    assert_eq!(
        seat.keys(&[Stroke::F(7)]),
        [Effect::LoadRecord(samples::id(77))]
    );
    seat.came(Outcome::Record(samples::record()));
    let text = seat.text();
    let first = text.find("Failed, struck").unwrap();
    assert!(first < text.find("How energy was controlled").unwrap());
    seat.keys(&[Stroke::PageDown]);
    assert!(seat.text().contains("All 39 entries"));
    seat.keys(&[Stroke::End]);
    assert!(seat.text().contains("this record proves"));
    seat.keys(&[Stroke::Esc]);
    assert!(seat.text().contains("[12 "));
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
    let mut seat = Seat::working(samples::tightening());
    assert!(seat.model.common.scheme == Scheme::Dim);
    seat.keys(&[Stroke::F(8)]);
    assert!(seat.model.common.scheme == Scheme::Plain);
}

#[test]
fn what_a_click_wrench_did_otherwise_begins_with_a_nought_and_wants_enter() {
    let mut seat = Seat::working(samples::clicking(6));
    let point = samples::clicking(6).ask.point;
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
    let mut seat = Seat::working(samples::clicking(6));
    assert_eq!(seat.keys(&[Stroke::Char('0')]), []);
    // Taken back, the nut's own number is one key again.
    assert_eq!(seat.keys(&[Stroke::Backspace]), []);
    assert_eq!(seat.keys(&[Stroke::Char('6')]), [act(Given::Fastener(6))]);
    let mut seat = Seat::working(samples::clicking(6));
    seat.types("03");
    assert_eq!(seat.keys(&[Stroke::Enter]), []);
    assert!(seat.text().contains("1 to 2"), "{}", seat.text());
}

/// Keys of a joint of eight in four passes, the last one read: at most sixty, gap readings and signatures apart
/// (common practice, no source).
#[test]
fn a_joint_of_eight_in_four_passes_takes_at_most_sixty_keys() {
    let mut seat = Seat::working(samples::pass(1));
    let mut keys = 0;
    let order = [1, 5, 3, 7, 2, 6, 4, 8];
    for _ in 0..3 {
        for nut in order {
            seat.came(Outcome::Acted(Box::new(samples::pass(nut))));
            keys += 1;
            let digit = char::from_digit(nut, 10).unwrap();
            assert_eq!(seat.keys(&[Stroke::Char(digit)]).len(), 1, "nut {nut}");
        }
    }
    for _ in order {
        seat.came(Outcome::Acted(Box::new(samples::tightening())));
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
            seat.came(Outcome::Acted(Box::new(samples::clicking(nut))));
            keys += 1;
            let digit = char::from_digit(nut, 10).unwrap();
            assert_eq!(seat.keys(&[Stroke::Char(digit)]).len(), 1, "nut {nut}");
        }
    }
    assert!(keys <= 60, "{keys}");
}

fn docs() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../docs")
}

/// Holds a generated file fresh, or writes it where `UPDATE_PICTURES` is set.
fn fresh(name: &str, wanted: &str) {
    let path = docs().join(name);
    if std::env::var_os("UPDATE_PICTURES").is_some() {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, wanted).unwrap();
    }
    let stands = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        stands == wanted,
        "docs/{name} is out of date: UPDATE_PICTURES=1 cargo test -p reseat --test screens"
    );
}

#[test]
fn the_page_of_keys_is_fresh() {
    fresh("keys.md", &keys::page());
}

#[test]
fn the_pictures_are_fresh() {
    let shown = [
        ("home", "Places and units"),
        ("unit", "A unit and its past"),
        ("start", "Starting a rebuild whose nameplate differs"),
        ("resume", "Taking a rebuild up again"),
        ("isolating", "Isolating: the table of energies"),
        ("lock_off", "A lock recorded off"),
        ("tightening", "Tightening a joint"),
        ("high", "A reading that is HIGH"),
        ("orientation", "A part with a right way up"),
        ("testing", "Under test"),
        ("open_items", "What is still open before signing"),
        ("record", "A record read back"),
        ("register", "The register"),
        ("pages", "A procedure page by page"),
        ("recall", "An instrument found out, before anybody signs"),
        ("pin", "A signature"),
        ("stop", "STOP"),
    ];
    let scenes: BTreeMap<&str, Model> = scenes().into_iter().collect();
    for (name, title) in shown {
        let picture = svg::picture(&drawn(&scenes[name], 80, 24), title);
        fresh(&format!("pictures/{name}.svg"), &picture);
    }
    let mut sun = scenes["tightening"].clone();
    fresh(
        "pictures/tightening-wide.svg",
        &svg::picture(
            &drawn(&sun, 160, 50),
            "Tightening a joint on a large screen",
        ),
    );
    sun.common.scheme = Scheme::Sun;
    fresh(
        "pictures/tightening-sun.svg",
        &svg::picture(
            &drawn(&sun, 80, 24),
            "Tightening a joint, colours for daylight",
        ),
    );
}
