//! At 80x24 nothing that is signed, read or chosen stays out of reach: the page keys bring every row, people stay in view; an
//! Enter of habit behind a number that answered takes nothing.

use reseat::keys::Stroke;
use reseat::screen::message::{Effect, Outcome};
use reseat::screen::sight::WorkSight;
use reseat_procedure::model::SignalWord;
use reseat_record::rebuild::view::Tone;
use reseat_record::rebuild::{Bench, Command, Given, Inner, PROVES_NOTHING, Point, Wants};

use crate::{Seat, samples};

/// Words with single blanks: what is wrapped is found again.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The gate at a vent: warnings of the step, what failed, every kind of what may come.
fn gate(wants: Wants) -> WorkSight {
    let mut sight = samples::acts::isolating();
    sight.strip = samples::strip("Reassemble", "LOCKED 4 of 4, ZERO NOT PROVED", Tone::Stop);
    sight.ask.point = Point::Gate(3);
    sight.ask.wants = wants;
    sight.ask.prompt = "What came from drain D?".into();
    sight.ask.notice = vec![
        "Hands off. Zero does not stand: another person took over.".into(),
        "still flowing: that is not zero. Vent, wait, look again.".into(),
    ];
    sight.ask.detail = vec!["Prove zero on every side before the next act at the unit.".into()];
    let mut warning = sight.ask.warnings[0].clone();
    warning.word = SignalWord::Danger;
    warning.text = "Brine trapped under the bonnet kills. Stand on the far side of the crack, face turned away.".into();
    sight.ask.warnings.push(warning);
    sight
}

fn vents() -> Wants {
    let kinds = [
        "nothing came",
        "flowed and stopped",
        "still flowing",
        "cannot tell",
    ];
    Wants::Choice(kinds.map(str::to_owned).to_vec())
}

#[test]
fn every_row_of_the_table_of_energies_is_seen_by_paging() {
    for asked in [None, Some(3)] {
        let mut sight = gate(vents());
        sight.energy_asked = asked;
        let wanted: Vec<String> = sight
            .energy
            .iter()
            .flat_map(|line| [line.isolated_at.clone(), line.method.clone()])
            .chain(sight.lockout.clone())
            .collect();
        let mut seat = Seat::working(sight);
        let mut seen = flat(&seat.text());
        // To the first row, then down to the last.
        for _ in 0..20 {
            seat.keys(&[Stroke::PageUp]);
            seen.push_str(&flat(&seat.text()));
        }
        for _ in 0..20 {
            seat.keys(&[Stroke::PageDown]);
            seen.push_str(&flat(&seat.text()));
        }
        for row in wanted {
            assert!(seen.contains(&flat(&row)), "{row}\n{}", seat.text());
        }
        // Beyond the end it goes no further: one page up shows other rows again.
        let last = seat.text();
        seat.keys(&[Stroke::PageUp]);
        assert_ne!(seat.text(), last);
    }
}

#[test]
fn at_the_gate_an_energy_is_in_view_and_what_failed_stands_above_it() {
    let text = Seat::working(gate(vents())).text();
    assert!(
        text.contains("still flowing: that is not zero. Vent, wait"),
        "{text}"
    );
    assert!(text.contains("HV-3304 shut"), "{text}");
    for choice in ["1 nothing came", "4 cannot tell"] {
        assert!(flat(&text).contains(choice), "{text}");
    }
}

/// Told on STOP or after a handover: more than the screen has rows for.
fn taken_up() -> WorkSight {
    let mut sight = samples::acts::open_items();
    sight.ask.point = Point::Resume;
    sight.ask.step = None;
    sight.ask.bench = Bench::Steps;
    sight.ask.wants = Wants::Signature {
        meaning: "taken up",
        among: samples::people(),
    };
    sight.ask.prompt = "Who takes the work up, and are you at the unit?".into();
    sight.ask.notice = vec![format!(
        "HANDED OVER 14:52 by Ines Falk to Rurik Odde. {}",
        "J1 pass 2 of 3 is in at five of eight nuts, the lid is off the case. ".repeat(6)
    )];
    sight.ask.detail = (1..=14)
        .map(|number| format!("Loose: thing number {number} of the joint."))
        .collect();
    sight
}

#[test]
fn who_may_take_up_stays_in_view_however_much_is_told() {
    let mut seat = Seat::working(taken_up());
    for _ in 0..4 {
        let text = seat.text();
        for (number, (_, name)) in (1..).zip(samples::people()) {
            assert!(
                flat(&text).contains(&format!("{number} {name}")),
                "{name}\n{text}"
            );
        }
        assert!(
            text.contains("number: who is at the unit") || text.contains("number: who"),
            "{text}"
        );
        seat.keys(&[Stroke::PageDown]);
    }
    let mut seen = String::new();
    for _ in 0..20 {
        seat.keys(&[Stroke::PageUp]);
    }
    for _ in 0..20 {
        seen.push_str(&flat(&seat.text()));
        seat.keys(&[Stroke::PageDown]);
    }
    for line in taken_up().ask.detail {
        assert!(seen.contains(&line), "{line}");
    }
}

#[test]
fn forty_people_are_still_all_in_reach() {
    let mut sight = taken_up();
    let people = (1..=40).map(|number| (samples::id(number), format!("Person Number{number}")));
    sight.ask.wants = Wants::Signature {
        meaning: "taken up",
        among: people.collect(),
    };
    let mut seat = Seat::working(sight);
    let mut seen = String::new();
    for _ in 0..10 {
        seen.push_str(&flat(&seat.text()));
        seat.keys(&[Stroke::PageDown]);
    }
    for number in 1..=40 {
        assert!(
            seen.contains(&format!("{number} Person Number{number}")),
            "{number}"
        );
    }
}

/// The release of zero, as the record asks for it.
fn release(sides: usize) -> WorkSight {
    let mut sight = gate(Wants::Signature {
        meaning: "released",
        among: samples::people()[2..3].to_vec(),
    });
    sight.ask.prompt = "Zero read on every side: released by the releaser".into();
    sight.ask.notice.truncate(1);
    sight.ask.detail = (1..=sides)
        .map(|side| format!("side {side}: 0.05 bar g on PG-{side} at 14:46; from drain {side}: nothing came at 14:47."))
        .collect();
    sight.ask.detail.push(
        "Locks recorded 2 of 2: A-1 on V-3301, A-2 on V-3303; own locks 417 Ines Falk.".into(),
    );
    sight.ask.detail.push(PROVES_NOTHING.into());
    sight
}

#[test]
fn a_signature_shows_what_is_signed_before_the_pin() {
    let sight = release(3);
    let told = sight.ask.detail.clone();
    let mut seat = Seat::working(sight);
    seat.types("t");
    let text = seat.text();
    assert!(text.contains("Signature: released"), "{text}");
    assert!(text.contains("Mbali Sefton: passphrase"), "{text}");
    let seen = flat(&text);
    assert!(
        seen.contains("Zero read on every side: released by the releaser"),
        "{text}"
    );
    for line in told {
        assert!(seen.contains(&line), "{line}\n{text}");
    }
}

#[test]
fn what_is_signed_pages_where_it_is_long_and_typing_goes_on() {
    let sight = release(20);
    let told = sight.ask.detail.clone();
    let mut seat = Seat::working(sight);
    seat.types("t");
    let mut seen = String::new();
    for _ in 0..8 {
        seen.push_str(&flat(&seat.text()));
        seen.push(' ');
        seat.keys(&[Stroke::PageDown]);
    }
    for line in told {
        let half = line.split("; ").next().unwrap();
        assert!(seen.contains(half), "{half}");
    }
    seat.keys(&[Stroke::PageUp]);
    seat.types("e");
    assert!(seat.text().contains("[••"), "{}", seat.text());
}

/// Two own locks on the box, asked one by one.
fn own_locks(among: &[(reseat_record::log::Id, String)]) -> WorkSight {
    let mut sight = samples::acts::isolating();
    sight.ask.point = Point::Asked("s31".into(), 0, Inner::Line(0));
    sight.ask.prompt = "Whose own lock came off, by his own hand?".into();
    sight.ask.wants = Wants::Person(among.to_vec());
    sight
}

#[test]
fn an_enter_of_habit_behind_a_persons_number_takes_off_no_other_lock() {
    let people = samples::people();
    let sight = own_locks(&people[..2]);
    let answer = Command::Answer {
        point: sight.ask.point.clone(),
        given: Given::Person(people[0].0),
    };
    let mut seat = Seat::working(sight);
    let effects = seat.keys(&[Stroke::Char('1')]);
    assert_eq!(
        effects,
        [Effect::Act {
            command: answer,
            signer: None
        }]
    );
    // What comes then is one key: the lock of whoever has the work in hand.
    let mut next = samples::acts::isolating();
    next.ask.wants = Wants::Act;
    next.ask.prompt = "Own locks are off, each by its owner.".into();
    seat.came(Outcome::Acted(Box::new(next)));
    assert_eq!(seat.keys(&[Stroke::Enter]), []);
    assert_eq!(
        seat.keys(&[Stroke::Enter]),
        [],
        "a second one is still habit"
    );
    assert!(seat.text().contains("Space: done"), "{}", seat.text());
    assert_eq!(seat.keys(&[Stroke::Space]).len(), 1);
}

#[test]
fn an_enter_of_habit_behind_the_last_fastener_takes_no_act() {
    let mut sight = samples::joint::tightening();
    sight.ask.wants = Wants::Fastener {
        next: 8,
        of: 8,
        says: "pulled",
        instead: &[],
    };
    let mut seat = Seat::working(sight);
    assert_eq!(seat.keys(&[Stroke::Char('8')]).len(), 1);
    seat.came(Outcome::Acted(Box::new(samples::acts::plain_act())));
    assert_eq!(seat.keys(&[Stroke::Enter]), []);
    assert_eq!(seat.keys(&[Stroke::Space]).len(), 1);
}
