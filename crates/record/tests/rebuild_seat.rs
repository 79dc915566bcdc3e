//! A seat test by its leakage class: what the class allows is said when it is read and stands behind the reading in the record.
//!
//! SOURCE: ANSI/FCI 70-2, Class VI, port 2 in: 3 bubbles a minute, 0.45 mL/min; Class IV: 0.01 % of the rated flow. The steps and
//! limits are those of the test tables of the invented sites.

#![allow(clippy::unwrap_used)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::Site;
use reseat_procedure::Choices;
use reseat_record::rebuild::{Ask, Point};

const VENT: &str = include_str!("../../../procedures/BPR-VENT-11.json");

fn asks(step: &str, ask: u32) -> impl Fn(&Ask) -> bool + use<'_> {
    move |now| matches!(&now.point, Point::Asked(at, index, _) if at == step && *index == ask)
}

fn vent_regulator(text: &'static str, bubbles: &str) -> Site {
    let choices = [("size", "2"), ("pilot", "breathing")]
        .map(|(option, value)| (option.to_owned(), value.to_owned()));
    let mut site = Site::following(text.as_bytes(), Choices(choices.into()));
    site.readings
        .insert("seat-leak-2".into(), [bubbles.to_owned()].into());
    site.start();
    site.goes_on(|ask| asks("seat-leak-2", 2)(ask) && ask.prompt.starts_with("seat leak"));
    site
}

const CLASS: &str = "Class VI, port 2 in, allows 3 bubbles/min (ANSI/FCI 70-2)";

#[test]
fn the_class_is_said_when_it_is_read_and_stands_behind_the_reading() {
    let mut site = vent_regulator(VENT, "3");
    assert_eq!(site.ask().detail, [format!("{CLASS}.")]);
    site.types("3").unwrap();
    let lines = site.rebuild().record_lines(&site.register);
    let told: Vec<&str> = lines
        .iter()
        .filter(|line| line.text.contains("Class"))
        .map(|line| line.text.as_str())
        .collect();
    assert_eq!(
        told,
        [format!(
            "seat leak, mean of 2 min: 3 bubbles/min WITHIN ..3 bubbles/min; {CLASS}"
        )]
    );
}

#[test]
fn without_a_written_window_the_reading_is_judged_by_the_class() {
    let written = r#""window": "..3 bubbles/min", "seat""#;
    assert!(VENT.contains(written));
    let text = VENT.replace(written, r#""unit": "bubbles/min", "seat""#);
    let mut site = vent_regulator(text.leak(), "4");
    site.types("4").unwrap();
    let body = &site.entries.last().unwrap().entry.body;
    assert_eq!(
        (body["window"].as_str(), body["place"].as_str()),
        (Some("..3 bubbles/min"), Some("HIGH"))
    );
}

#[test]
fn a_mean_is_held_against_its_class() {
    let mut site = Site::at("seat-leak");
    site.goes_on(asks("seat-leak", 3));
    let class = "Class IV, rated flow 46.8 m³/h, allows 78 mL/min (ANSI/FCI 70-2)";
    assert_eq!(site.ask().detail[1], format!("{class}."));
    site.types("").unwrap();
    let lines = site.rebuild().record_lines(&site.register);
    let last = lines.iter().rfind(|line| line.text.contains("Class IV"));
    assert!(last.unwrap().text.ends_with(class), "{last:?}");
}
