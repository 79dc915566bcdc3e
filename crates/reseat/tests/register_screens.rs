//! The forms of the register on a real home, each with bad input in every field: a sentence, nothing written, and what
//! was typed still there.

#![allow(clippy::unwrap_used, clippy::panic)]

mod hands;
mod house;

use hands::{Hands, desk, head};
use house::House;
use reseat::keys::Stroke;
use reseat_record::register::Service;

const LEAD: (&str, &str) = ("osmosis runs uphill", "314159");

/// At the register of a founded home, signing as its lead.
fn at_register(house: &House) -> Hands {
    let mut hands = Hands::at(&house.home(), LEAD);
    hands.keys(&[Stroke::F(5)]);
    hands
}

/// The good answers with one of them another.
fn with<'a>(good: &[(&'a str, &'a str)], name: &str, bad: &'a str) -> Vec<(&'a str, &'a str)> {
    good.iter()
        .map(|(line, answer)| (*line, if *line == name { bad } else { *answer }))
        .collect()
}

/// Takes the open form with each bad answer, then with the good ones; `signer` signs.
fn each_bad_then_good(
    hands: &mut Hands,
    house: &House,
    signer: &str,
    good: &[(&str, &str)],
    bad: &[(&str, &str, &str)],
) {
    let before = head(&house.home());
    for (name, answer, says) in bad {
        hands.fills(&with(good, name, answer));
        hands.signs(signer);
        let (code, text) = hands
            .said()
            .unwrap_or_else(|| panic!("{name} {answer:?} said nothing: {}", hands.text()));
        assert!(
            !code.is_empty() && text.contains(says),
            "{name} {answer:?}: {code}: {text}"
        );
        assert_eq!(head(&house.home()), before, "{name} {answer:?} was written");
        assert!(
            hands.form().is_some(),
            "{name} {answer:?}: the form is gone"
        );
    }
    hands.fills(good);
    hands.signs(signer);
    let written = hands.said();
    assert_eq!(
        written.map(|(code, _)| code),
        Some(String::new()),
        "{:?}",
        hands.said()
    );
    assert_eq!(
        head(&house.home()).number,
        before.number + 1,
        "{:?}",
        hands.said()
    );
}

const WRENCH: &[(&str, &str)] = &[
    ("name", "TW-19"),
    ("serial", "8812"),
    ("kind", "dial torque wrench"),
    ("range", "40..200 N·m"),
    ("usable", "50..200 N·m"),
    ("resolution", "1 N·m"),
    ("deviation", "ISO 6789 II A"),
    ("certificate", "C-26-19"),
    ("calibrated", "2026-01-10"),
    ("due", "2027-01-10"),
    ("uncertainty", "1.2 N·m"),
    ("coverage", "2"),
    ("day_check", "yes"),
];

#[test]
fn an_instrument_is_added_with_all_that_its_certificate_says() {
    let house = House::founded();
    let mut hands = at_register(&house);
    hands.turns_to("Instruments");
    hands.keys(&[Stroke::Char('a')]);
    each_bad_then_good(
        &mut hands,
        &house,
        "Mbali Sefton",
        WRENCH,
        &[
            ("name", "", "name on site"),
            ("name", "a\u{202e}b", "name on site"),
            ("serial", "", "maker's serial"),
            ("kind", "pressure gauge", "no pressure gauge does"),
            ("range", "", "range with unit"),
            ("range", "40..200", "range cannot be read"),
            ("range", "200..40 N·m", "range cannot be read"),
            ("range", "40.. N·m", "give the lowest and highest mark"),
            ("usable", "50 N·m", "usable part cannot be read"),
            ("usable", "30..200 N·m", "usable part goes beyond the range"),
            ("usable", "50..200 bar", "not given in a unit of the scale"),
            ("resolution", "", "resolution with unit"),
            ("resolution", "1", "resolution cannot be read"),
            ("resolution", "0 N·m", "not above zero"),
            ("resolution", "1 mm", "not given in a unit of the scale"),
            ("deviation", "", "largest permissible deviation"),
            ("deviation", "about right", "4 % of reading"),
            ("deviation", "-4 % of reading", "not negative"),
            ("deviation", "4 N·m of reading", "4 % of reading"),
            ("deviation", "ISO 6789 II Z", "4 % of reading"),
            ("deviation", "0.1 bar", "not given in a unit of the scale"),
            ("certificate", "", "certificate"),
            ("calibrated", "", "calibrated on"),
            ("calibrated", "10.1.2026", "10.1.2026"),
            ("calibrated", "2026-02-30", "2026-02-30"),
            ("due", "", "due on"),
            ("due", "2026-01-10", "due date is not after"),
            ("due", "next year", "next year"),
            ("uncertainty", "", "belong together"),
            ("uncertainty", "little", "uncertainty cannot be read"),
            ("uncertainty", "1 bar", "uncertainty is not given"),
            ("uncertainty", "0 N·m", "not above zero"),
            ("coverage", "", "belong together"),
            ("coverage", "two", "coverage factor cannot be read"),
            ("coverage", "0", "coverage factor is not above zero"),
        ],
    );
    let desk = desk(&house.home());
    let wrench = desk.register().instrument("TW-19").unwrap();
    assert_eq!(wrench.usable.unwrap().to_string(), "50..200 N·m");
    assert_eq!(wrench.calibration.deviation.to_string(), "4 % of reading");
    assert_eq!(
        wrench.calibration.uncertainty.unwrap().to_string(),
        "1.2 N·m"
    );
    assert_eq!(wrench.calibration.coverage.unwrap().0.to_string(), "2");
    assert!(wrench.day_check);
}

#[test]
fn a_new_certificate_keeps_its_uncertainty_and_the_deviation_where_none_is_typed() {
    let house = House::founded();
    house.adds_a_wrench();
    let mut hands = at_register(&house);
    hands.turns_to("Instruments");
    hands.keys(&[Stroke::Char('c')]);
    each_bad_then_good(
        &mut hands,
        &house,
        "Mbali Sefton",
        &[
            ("deviation", ""),
            ("certificate", "C-26-88"),
            ("calibrated", "2026-02-01"),
            ("due", "2027-02-01"),
            ("uncertainty", "1 %"),
            ("coverage", "2"),
        ],
        &[
            ("deviation", "about right", "4 % of reading"),
            ("deviation", "0.1 bar", "not given in a unit of the scale"),
            ("certificate", "", "certificate"),
            ("calibrated", "", "calibrated on"),
            ("calibrated", "yesterday", "yesterday"),
            ("due", "", "due on"),
            ("due", "2026-02-01", "due date is not after"),
            ("uncertainty", "", "belong together"),
            ("uncertainty", "1", "uncertainty cannot be read"),
            ("coverage", "", "belong together"),
            ("coverage", "-2", "coverage factor is not above zero"),
        ],
    );
    let desk = desk(&house.home());
    let said = &desk.register().instrument("TW-19").unwrap().calibration;
    assert_eq!(
        (said.certificate.as_str(), said.deviation.to_string()),
        ("C-26-88", "4 % of reading".to_owned())
    );
    assert_eq!(said.uncertainty.unwrap().to_string(), "1 %");
}

#[test]
fn quarantine_and_return_want_a_reason() {
    let house = House::founded();
    house.adds_a_wrench();
    let mut hands = at_register(&house);
    hands.turns_to("Instruments");
    for (service, reason) in [
        (Service::Quarantined, "dropped"),
        (Service::InService, "bench check, see C-26-90"),
    ] {
        hands.keys(&[Stroke::Char('q')]);
        each_bad_then_good(
            &mut hands,
            &house,
            "Mbali Sefton",
            &[("reason", reason)],
            &[
                ("reason", "", "has no answer yet"),
                ("reason", "   ", "has no answer yet"),
            ],
        );
        assert_eq!(
            desk(&house.home())
                .register()
                .instrument("TW-19")
                .unwrap()
                .service,
            service
        );
    }
}

#[test]
fn the_values_of_the_site_are_numbers_within_bounds() {
    let house = House::founded();
    let mut hands = at_register(&house);
    hands.keys(&[Stroke::Char('s')]);
    each_bad_then_good(
        &mut hands,
        &house,
        "Mbali Sefton",
        &[
            ("rule", "29 CFR 1910.147"),
            ("pause", "8"),
            ("zero", "45"),
            ("look_again", "20"),
            ("shift", "8"),
            ("decision", "simple"),
        ],
        &[
            ("rule", "", "lockout rule"),
            ("pause", "", "pause after minutes"),
            ("pause", "ten", "\"ten\" is not a whole number"),
            ("pause", "0", "is outside"),
            ("zero", "-1", "\"-1\" is not a whole number"),
            ("zero", "99999999", "is outside"),
            ("look_again", "1.5", "\"1.5\" is not a whole number"),
            ("look_again", "99999999", "is outside"),
            ("shift", "0", "is outside"),
            ("shift", "8 h", "\"8 h\" is not a whole number"),
        ],
    );
    assert_eq!(
        desk(&house.home()).register().site().unwrap().shift_hours,
        8
    );
}

#[test]
fn the_decision_rule_is_set_with_the_values_of_the_site() {
    let house = House::founded();
    let mut hands = at_register(&house);
    hands.keys(&[Stroke::Char('s')]);
    each_bad_then_good(
        &mut hands,
        &house,
        "Mbali Sefton",
        &[("decision", "guarded")],
        &[
            ("decision", "", "decision rule"),
            ("decision", "by eye", "\"by eye\" is no decision rule"),
            ("decision", "probability 1.5", "no probability to ask for"),
        ],
    );
    let desk = desk(&house.home());
    let site = desk.register().site().unwrap();
    assert_eq!(site.decision_rule.to_string(), "guarded");
    assert!(site.ruled.is_some_and(|ruled| ruled.number > 1));
}

#[test]
fn a_procedure_from_a_file_is_read_and_approved_by_one_who_did_not_write_it() {
    let house = House::founded();
    let shipped = reseat_procedure::builtin();
    let (_, bytes) = shipped.iter().min_by_key(|(_, bytes)| bytes.len()).unwrap();
    let good = house.path("procedure.json");
    std::fs::write(&good, bytes).unwrap();
    let broken = house.write("broken.json", "{");
    let folder = house.home();
    let [good, broken, folder] = [&good, &broken, &folder].map(|path| path.to_str().unwrap());
    let mut hands = Hands::at(&house.home(), ("Yara Quist types this", "271828"));
    hands.keys(&[Stroke::F(5)]);
    hands.turns_to("Procedures");
    hands.keys(&[Stroke::Char('o')]);
    for (path, says) in [
        ("", "file"),
        ("/no/such/file.json", "cannot be read"),
        (folder, "it is no file"),
        (broken, ""),
    ] {
        hands.fills(&[("path", path)]);
        let (code, text) = hands.said().unwrap();
        assert!(
            !code.is_empty() && text.contains(says),
            "{path}: {code}: {text}"
        );
        assert!(hands.form().is_some(), "{path}: the form is gone");
    }
    hands.fills(&[("path", good)]);
    // Every page to its end, under every choice of options; only then may it be approved.
    hands.keys(&[Stroke::Char('a')]);
    assert!(
        hands.form().is_none() && !hands.said().unwrap().0.is_empty(),
        "{}",
        hands.text()
    );
    for _ in 0..2000 {
        hands.keys(&[Stroke::Char('a')]);
        if hands.form().is_some() {
            break;
        }
        hands.keys(&[Stroke::Char('u'), Stroke::Enter, Stroke::Enter]);
    }
    let mut answers = vec![
        ("author", "Tomas Brel"),
        ("walked_by", "Mbali Sefton"),
        ("walked_on", "2026-03-01"),
    ];
    if hands
        .form()
        .unwrap()
        .lines
        .iter()
        .any(|line| line.name == "reason")
    {
        answers.push(("reason", "seen at the unit"));
    }
    each_bad_then_good(
        &mut hands,
        &house,
        "Yara Quist",
        &answers,
        &[
            ("author", "Yara Quist", "wrote"),
            ("walked_on", "", "on which day"),
            ("walked_on", "last week", "last week"),
        ],
    );
    let desk = desk(&house.home());
    let [approval] = desk.register().approvals() else {
        panic!()
    };
    let approver = desk.register().person(approval.approver).unwrap();
    assert_eq!(approver.name, "Yara Quist");
}

#[test]
fn a_lead_by_the_words_of_the_site_needs_the_words_and_a_secret_typed_twice() {
    let house = House::founded();
    let words = std::fs::read_to_string(house.path("words")).unwrap();
    let mut hands = at_register(&house);
    hands.turns_to("People");
    hands.keys(&[Stroke::Char('w')]);
    let wrong = words.replacen(' ', " zzz ", 1);
    let fewer = words.rsplit_once(' ').unwrap().0.to_owned();
    let good = [
        ("words", words.as_str()),
        ("whom", "Mbali Sefton"),
        ("name", ""),
        ("reason", "passphrase forgotten"),
        ("passphrase", "brine in the drain"),
        ("again", "brine in the drain"),
        ("pin", "161803"),
        ("pin_again", "161803"),
    ];
    let before = head(&house.home());
    for (name, answer, says) in [
        ("words", "", "the words"),
        ("words", wrong.as_str(), ""),
        ("words", fewer.as_str(), ""),
        ("reason", "", "why"),
        ("passphrase", "", "passphrase"),
        ("again", "brine in the drains", "not alike"),
        ("pin", "161804", "not alike"),
    ] {
        hands.fills(&with(&good, name, answer));
        let (code, text) = hands
            .said()
            .unwrap_or_else(|| panic!("{name}: {}", hands.text()));
        assert!(
            !code.is_empty() && text.contains(says),
            "{name}: {code}: {text}"
        );
        assert_eq!(head(&house.home()), before, "{name} was written");
    }
    // Twice alike and still too short.
    for (first, again, short) in [
        ("passphrase", "again", "short"),
        ("pin", "pin_again", "12345"),
    ] {
        let answers: Vec<_> = with(&with(&good, first, short), again, short);
        hands.fills(&answers);
        assert!(!hands.said().unwrap().0.is_empty(), "{first}");
        assert_eq!(head(&house.home()), before, "{first}");
    }
    // Somebody new needs a name.
    hands.fills(&with(&good, "whom", "somebody new"));
    assert!(hands.said().unwrap().1.contains("his name, if new"));
    assert_eq!(head(&house.home()), before);
    hands.fills(&good);
    assert_eq!(
        hands.said().map(|(code, _)| code),
        Some(String::new()),
        "{:?}",
        hands.said()
    );
    assert_eq!(head(&house.home()).number, before.number + 1);
    assert!(
        !hands.text().contains("brine"),
        "no secret stays on the screen"
    );
}

#[test]
fn people_places_and_units_are_refused_with_a_sentence() {
    let house = House::founded();
    let mut hands = at_register(&house);
    hands.turns_to("Places");
    hands.keys(&[Stroke::Char('a')]);
    each_bad_then_good(
        &mut hands,
        &house,
        "Mbali Sefton",
        &[("tag", "FV-3302"), ("name", "brine reject"), ("spare", "")],
        &[
            ("tag", "", "tag"),
            ("name", "", "name"),
            ("spare", "FV-9999", "FV-9999"),
            ("spare", "FV-3302", ""),
        ],
    );
    hands.turns_to("Units");
    hands.keys(&[Stroke::Char('a')]);
    each_bad_then_good(
        &mut hands,
        &house,
        "Mbali Sefton",
        &[
            ("serial", "TP-0388"),
            ("model", "DN50 globe"),
            ("name", "brine reject control valve"),
        ],
        &[
            ("serial", "", "serial"),
            ("model", "", "model"),
            ("name", "", "name"),
        ],
    );
    hands.keys(&[Stroke::Char('f')]);
    each_bad_then_good(
        &mut hands,
        &house,
        "Mbali Sefton",
        &[("tag", "FV-3302")],
        &[("tag", "FV-9999", "FV-9999")],
    );
}
