//! The parts of a record in the order they are read, and their text at any width.

use reseat_record::rebuild::view::{PlanLine, RecordLine, Tone};
use reseat_report::{Record, text};
use unicode_width::UnicodeWidthStr;

fn line(number: u64, by: &str, text: &str, first_page: bool) -> RecordLine {
    RecordLine {
        number,
        time: "14:53".into(),
        by: by.into(),
        text: text.into(),
        tone: Tone::Plain,
        first_page,
    }
}

fn record(lines: Vec<RecordLine>) -> Record {
    Record {
        title: "FV-3302 brine reject control valve, serial TP-0388".into(),
        state: vec![
            "P-33-A rev C   started 2026-03-12 by Ines Falk   signed 2026-03-13".into(),
            "signed".into(),
            "Record K7QF-3MZD-R2VA-9TXH. Chain of 3 entries: whole.".into(),
        ],
        lines,
        rule: "29 CFR 1910.147".into(),
        plan: vec![PlanLine {
            source: "actuator spring".into(),
            kind: "spring".into(),
            size: String::new(),
            isolated_at: Vec::new(),
            method: "plug open, coupling pin turns by hand".into(),
            locks: Vec::new(),
            released: "turns by hand, Ines Falk 06:47".into(),
            proof: String::new(),
            note: String::new(),
        }],
        demo: true,
    }
}

#[test]
fn failures_stand_first_then_energy_then_every_entry_in_order() {
    // The record hands its first page in front; the whole is in order of number all the same.
    let lines = vec![
        line(8, "Rurik Odde", "J1 6: 169 N·m HIGH by 39 N·m", true),
        line(2, "Ines Falk", "Permit number and end time PTW 3302", false),
        line(7, "Rurik Odde", "J1 2: 122 N·m WITHIN", false),
    ];
    let text = text(&record(lines), None);
    let rows: Vec<&str> = text.lines().collect();
    let expected = [
        "DEMO RECORD: invented site, invented people.",
        "FV-3302 brine reject control valve, serial TP-0388",
        "P-33-A rev C   started 2026-03-12 by Ines Falk   signed 2026-03-13",
        "signed",
        "Record K7QF-3MZD-R2VA-9TXH. Chain of 3 entries: whole.",
        "",
        "Failed, struck, overridden, not applicable, deviations, findings: 1",
        "   8  14:53  Rurik Odde  J1 6: 169 N·m HIGH by 39 N·m",
        "",
        "How energy was controlled, by the rule 29 CFR 1910.147",
        "  actuator spring: spring",
        "    by           plug open, coupling pin turns by hand",
        "    released     turns by hand, Ines Falk 06:47",
        "",
        "All 3 entries in order",
        "   2  14:53  Ines Falk   Permit number and end time PTW 3302",
        "   7  14:53  Rurik Odde  J1 2: 122 N·m WITHIN",
        "   8  14:53  Rurik Odde  J1 6: 169 N·m HIGH by 39 N·m",
        "",
        "Whether a unit may be pressurized is decided at the unit; this record proves nothing about energy.",
    ];
    assert_eq!(rows, expected);
}

#[test]
fn a_record_without_failures_says_so() {
    let text = text(&record(vec![line(1, "Ines Falk", "started", false)]), None);
    assert!(text.contains("Nothing failed, was struck, overridden"));
    assert!(text.contains("The one entry"));
}

#[test]
fn no_line_is_wider_than_asked_and_nothing_is_lost() {
    let long = "a word and another ".repeat(20) + &"x".repeat(200);
    let whole = text(&record(vec![line(1, "Ines Falk", &long, true)]), None);
    let letters = |text: &str| text.split_whitespace().collect::<String>();
    for width in [40, 60, 80, 120, 160] {
        let text = text(
            &record(vec![line(1, "Ines Falk", &long, true)]),
            Some(width),
        );
        for row in text.lines() {
            assert!(row.width() <= width, "{width}: {row}");
            assert_eq!(row, row.trim_end());
        }
        assert_eq!(letters(&text), letters(&whole), "{width}");
    }
    // Less than 40 columns are not asked of it.
    let narrow = text(
        &record(vec![line(1, "Ines Falk", "started", false)]),
        Some(7),
    );
    assert!(narrow.lines().all(|row| row.width() <= 40));
}
