//! The founding of a real site through the screens' own words, at 80x24: everything is typed where the screen asks for it,
//! until a rebuild stands at its first questions.

use std::path::Path;
use std::time::Duration;

use reseat::desk::{Desk, SystemTime};
use reseat_procedure::model::Role;

use crate::terminal::Terminal;

/// Time within which no key confirms, with some room.
const GUARD: Duration = Duration::from_millis(330);

/// Name, roles as they stand in the form, passphrase, PIN.
type Person = (&'static str, &'static str, &'static str, &'static str);

const LEAD: (&str, &str, &str) = ("Mbali Sefton", "tern lead hand", "240600");

/// A person ticks his roles by their words.
const CREW: [Person; 5] = [
    ("Ines Falk", "performer", "tern day shift", "240601"),
    (
        "Rurik Odde",
        "performer,verifier",
        "tern late shift",
        "240602",
    ),
    ("Piet Vrang", "operations", "tern control room", "240603"),
    ("Tomas Brel", "author", "tern writes it", "240604"),
    ("Yara Quist", "approver", "tern approves it", "240605"),
];

struct Hands {
    terminal: Terminal,
}

impl Hands {
    fn sees(&self, text: &str) {
        self.terminal.wait_for(text);
    }

    /// Answers the line of a form that the screen marks as current, then goes on.
    fn line(&mut self, label: &str, keys: &str) {
        self.terminal
            .wait_until(label, |shown| shown.contains(&format!("▸ {label}")));
        self.terminal.press(&format!("{keys}<enter>"));
    }

    /// Takes a form with the key that the screen names.
    fn takes(&mut self, words: &str) {
        self.terminal.wait_until(words, |shown| {
            shown.contains("▸ Space") && shown.contains(words)
        });
        std::thread::sleep(GUARD);
        self.terminal.press("<space>");
    }

    /// Ticks roles by the number that stands before each on the screen.
    fn ticks(&mut self, roles: &str) {
        self.sees("▸ roles");
        let shown = self.terminal.shows();
        for role in roles.split(',') {
            let (before, _) = shown
                .split_once(&format!("{role} "))
                .unwrap_or_else(|| panic!("no {role} on\n{shown}"));
            let number = before.chars().next_back().unwrap();
            assert!(number.is_ascii_digit(), "{role} has no number on\n{shown}");
            self.terminal.press(&number.to_string());
        }
        self.terminal.press("<enter>");
    }

    /// Signs: the number of a name on the list where several may sign, the passphrase where it is asked, then the PIN.
    fn signs(&mut self, name: &str, passphrase: &str, pin: &str) {
        self.sees("Signature: ");
        std::thread::sleep(GUARD);
        self.sees(name);
        if self.terminal.shows().contains(": passphrase   ") {
            self.sees(&format!("{name}: passphrase"));
            self.terminal.press(&format!("{passphrase}<enter>"));
            self.sees(&format!("{name}: PIN"));
            std::thread::sleep(GUARD);
        }
        self.terminal.press(pin);
    }

    /// A change of the register signed by the lead.
    fn lead_signs(&mut self) {
        self.signs(LEAD.0, LEAD.1, LEAD.2);
        self.sees("Written and signed.");
    }

    fn turns_to(&mut self, list: &str) {
        self.terminal.press("<right>");
        self.sees(&format!("[{list}]"));
    }
}

/// The words of the site's key as they stand on the screen, in their order.
fn words_on(shown: &str) -> Vec<String> {
    let mut numbered: Vec<(usize, String)> = Vec::new();
    for line in shown.lines() {
        let parts: Vec<&str> = line.split_whitespace().collect();
        for pair in parts.windows(2) {
            if let Ok(number) = pair[0].parse()
                && pair[1].chars().all(char::is_alphabetic)
            {
                numbered.push((number, pair[1].to_owned()));
            }
        }
    }
    numbered.sort();
    numbered.dedup_by_key(|(number, _)| *number);
    numbered.into_iter().map(|(_, word)| word).collect()
}

fn founds(hands: &mut Hands) -> Vec<String> {
    hands.sees("This home is empty");
    hands.line("name of the site", "Tern Point");
    hands.line("lockout rule the site follows", "29 CFR 1910.147");
    hands.line("name of the first lead", LEAD.0);
    hands.line("his passphrase", LEAD.1);
    hands.line("passphrase again", LEAD.1);
    hands.line("his PIN", LEAD.2);
    hands.line("PIN again", LEAD.2);
    hands.takes("found the home");
    hands.sees("from your paper: word ");
    let words = words_on(&hands.terminal.shows());
    assert_eq!(words.len(), reseat::desk::WORDS, "{words:?}");
    for _ in 0..2 {
        std::thread::sleep(GUARD);
        let shown = hands.terminal.shows();
        let (_, after) = shown.split_once("from your paper: word ").unwrap();
        let asked: String = after.chars().take_while(char::is_ascii_digit).collect();
        let number: usize = asked.parse().unwrap();
        hands
            .terminal
            .press(&format!("{}<enter>", words[number - 1]));
        hands.terminal.wait_until("the next word", |shown| {
            !shown.contains(&format!("from your paper: word {asked} "))
        });
    }
    words
}

fn enrols(hands: &mut Hands) {
    // The first lead gives himself what else he does.
    hands.sees("[People]");
    hands.terminal.press("c");
    hands.sees("Roles of Mbali Sefton");
    hands.ticks("releaser,verifier");
    hands.takes("give these roles");
    hands.lead_signs();
    for (name, roles, passphrase, pin) in CREW {
        hands.terminal.press("a");
        hands.line("name", name);
        hands.ticks(roles);
        hands.line("passphrase", passphrase);
        hands.line("passphrase again", passphrase);
        hands.line("PIN", pin);
        hands.line("PIN again", pin);
        hands.takes("enrol; signed by a lead");
        hands.lead_signs();
        hands.sees(name);
    }
}

fn equips(hands: &mut Hands) {
    hands.turns_to("Places");
    hands.terminal.press("a");
    hands.line("tag", "FV-3302");
    hands.line("name", "brine reject");
    hands.line("tag of its spare", "");
    hands.takes("add it");
    hands.lead_signs();
    hands.turns_to("Units");
    hands.terminal.press("a");
    hands.line("serial", "TP-0388");
    hands.line("model", "DN50 globe, Kv 25, air-to-shut");
    hands.line("name", "brine reject control valve");
    hands.takes("add it");
    hands.lead_signs();
    hands.terminal.press("f");
    hands.line("tag of the place", "FV-3302");
    hands.takes("write where it is");
    hands.lead_signs();
    hands.turns_to("Instruments");
    for (name, serial, kind, range, resolution, deviation) in [
        (
            "TW-19",
            "8812",
            "dial torque wrench",
            "40..200 N·m",
            "1 N·m",
            "4 % of reading",
        ),
        (
            "PG-12",
            "4471",
            "pressure gauge",
            "-1..160 bar g",
            "0.1 bar",
            "0.16 bar",
        ),
    ] {
        hands.terminal.press("a");
        hands.line("name on site", name);
        hands.line("maker's serial", serial);
        picks(hands, "kind", kind);
        hands.line("range with unit", range);
        hands.line("part that may be used", "");
        hands.line("resolution with unit", resolution);
        hands.line("largest permissible deviation", deviation);
        hands.line("certificate", "C-1");
        hands.line("calibrated on", "2026-01-05");
        hands.line("due on", "2099-01-05");
        hands.line("expanded uncertainty", "");
        hands.line("its coverage factor", "");
        hands.line("check it each day", "");
        hands.takes("add it");
        hands.lead_signs();
        hands.sees(name);
    }
}

/// Picks a choice by going through the list until the screen shows it.
fn picks(hands: &mut Hands, label: &str, wanted: &str) {
    let current = |shown: &str| {
        shown
            .lines()
            .find(|line| line.contains(&format!("▸ {label}")))
            .map(str::to_owned)
    };
    hands
        .terminal
        .wait_until(label, |shown| current(shown).is_some());
    for _ in 0..40 {
        let before = current(&hands.terminal.shows()).unwrap();
        if before.contains(wanted) {
            hands.terminal.press("<enter>");
            return;
        }
        hands.terminal.press("<right>");
        hands.terminal.wait_until("another choice", |shown| {
            current(shown).is_some_and(|now| now != before)
        });
    }
    panic!("{wanted} is no choice of {label}");
}

fn approves(hands: &mut Hands) {
    hands.turns_to("Procedures");
    let chosen = |shown: &str| {
        shown
            .lines()
            .any(|line| line.contains('▸') && line.contains("P-33-A"))
    };
    while !chosen(&hands.terminal.shows()) {
        let before = hands.terminal.shows();
        hands.terminal.press("<down>");
        hands
            .terminal
            .wait_until("the next line", |shown| shown != before);
    }
    hands.terminal.press("a");
    hands.sees("read 0 of");
    // Page after page, as an approver reads; a page higher than the screen takes two.
    for _ in 0..40 {
        hands.terminal.press(&"<enter>".repeat(10));
        if hands.terminal.shows().contains("every page was read") {
            break;
        }
    }
    hands.sees("every page was read");
    hands.terminal.press("a");
    hands.sees("Approve P-33-A");
    picks(hands, "who wrote it", "Tomas Brel");
    picks(hands, "who walked it through", "Ines Falk");
    hands.line("on which day", "2026-01-06");
    hands.takes("approve; signed by an approver");
    hands.signs("Yara Quist", "tern approves it", "240605");
    hands.sees("Written and signed.");
    hands.sees("approved by Yara Quist");
}

fn starts(hands: &mut Hands) {
    hands.terminal.press("<esc>");
    hands.sees("no rebuild is open");
    std::thread::sleep(GUARD);
    hands.terminal.press("FV-3302<enter>");
    hands.sees("S starts a rebuild.");
    hands.terminal.press("s");
    hands.line("work order", "WO-1");
    hands.line("tag, as read at the unit", "FV-3302");
    hands.line("serial, as read", "TP-0388");
    hands.line("procedure", "");
    hands.line("kit lot", "2418");
    picks(hands, "performer", "Rurik Odde");
    hands.takes("start; signed");
    hands.signs("Rurik Odde", "tern late shift", "240602");
}

#[test]
fn a_real_site_is_founded_from_the_screens_own_words() {
    let folder = tempfile::tempdir().unwrap();
    let home = folder.path().join("home");
    let mut hands = Hands {
        terminal: Terminal::start(folder.path(), &["--home", home.to_str().unwrap()], 80, 24),
    };
    let words = founds(&mut hands);
    hands.sees("F5 opens the register");
    assert!(!hands.terminal.shows().contains(&words[0]));
    hands.terminal.press("<f5>");
    enrols(&mut hands);
    equips(&mut hands);
    approves(&mut hands);
    starts(&mut hands);
    first_questions(&mut hands);
    std::thread::sleep(GUARD);
    hands.terminal.press("<f4>");
    hands.sees("PAUSED");
    hands.terminal.press("<f10>");
    assert_eq!(hands.terminal.ended(), 0);
    stands(&home);
}

/// The first question is asked and answered; then the next one stands there.
fn first_questions(hands: &mut Hands) {
    hands.sees("Permit number and end time");
    std::thread::sleep(GUARD);
    hands.terminal.press("PTW 3302, 24 h<enter>");
    hands.terminal.wait_until("the next question", |shown| {
        !shown.contains("Permit number and end time   [")
    });
}

/// What stands on the disk is what was typed.
fn stands(home: &Path) {
    let desk = Desk::read(home, Box::new(SystemTime::new())).unwrap();
    let register = desk.register();
    for role in Role::ALL {
        assert!(
            register.holders(role).next().is_some(),
            "nobody is {}",
            role.word()
        );
    }
    assert_eq!(
        register.place("FV-3302").unwrap().holds.as_deref(),
        Some("TP-0388")
    );
    assert_eq!(register.instruments().count(), 2);
    assert_eq!(register.approvals().len(), 1);
    let rows = desk.home_rows().unwrap();
    let stream = rows[0].open.unwrap();
    let rebuild = desk.look(&stream).unwrap();
    assert_eq!(rebuild.started().performer.name, "Rurik Odde");
    assert!(rebuild.is_paused());
    // The start, the permit and the pause are kept.
    assert!(rebuild.head().number >= 3, "{:?}", rebuild.head());
}
