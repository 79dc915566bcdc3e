//! The pressure of a hold over its time, worked by hand: 70.0 to 69.4 bar in the minutes between the two entries.

#![allow(clippy::unwrap_used, clippy::panic, clippy::float_cmp)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::Site;
use reseat_procedure::Choices;
use reseat_record::rebuild::{Inner, Point};

fn held(procedure: Option<&'static [u8]>, reads: &[(&str, &str)]) -> Site {
    let mut site = match procedure {
        Some(bytes) => Site::following(bytes, Choices::default()),
        None => Site::new(),
    };
    for (thing, typed) in reads {
        site.readings.insert((*thing).into(), vec![(*typed).into()]);
    }
    site.start();
    site.until("hold-70");
    site
}

fn on_to(site: &mut Site, ask: u32) {
    site.goes_on(|now| matches!(&now.point, Point::Asked(step, at, Inner::Whole) if step == "hold-70" && *at == ask));
}

#[test]
fn two_readings_make_a_line_and_no_more_is_said_of_it() {
    let mut site = held(None, &[("shell-start", "70.0"), ("shell-end", "69.4")]);
    assert_eq!(site.rebuild().decay("hold-70"), None, "nothing is read yet");
    on_to(&mut site, 1);
    let view = site.rebuild().decay("hold-70").unwrap();
    assert_eq!(
        (view.readings.len(), view.line, view.whole),
        (1, None, false)
    );
    assert_eq!(view.limit, Some(69.0), "70.0 less 1.0 bar");
    assert_eq!(
        view.words(),
        "1 reading, 70.0 bar g; may fall 1.0 bar in 10 min"
    );
    on_to(&mut site, 3);
    let view = site.rebuild().decay("hold-70").unwrap();
    let between = view.readings[1].seconds;
    assert!(view.by_clock && view.whole && between >= 600.0, "{view:?}");
    let line = view.line.unwrap();
    assert!((line.start - 70.0).abs() < 1e-9);
    assert!((line.per_second * between + 0.6).abs() < 1e-9, "{line:?}");
    let minutes = (between / 6.0).round() / 10.0;
    let words = format!(
        "2 readings, 70.0 bar g to 69.4 bar g in {minutes} min; may fall 1.0 bar in 10 min"
    );
    assert_eq!(view.words(), words);
    // Nothing of it is kept; the record says it behind the value worked out.
    on_to(&mut site, 4);
    let lines = site.rebuild().record_lines(&site.register);
    let told: Vec<&String> = lines
        .iter()
        .map(|line| &line.text)
        .filter(|text| text.contains(&words))
        .collect();
    assert!(told.len() == 1 && told[0].contains("drop"), "{told:?}");
}

#[test]
fn more_readings_are_fitted() {
    let written = include_str!("../../../procedures/FV-3302.json");
    let wait = "{\"wait\": {\"minutes\": 10}},\n            {\"reading\": {\"id\": \"shell-end\"";
    assert!(written.contains(wait));
    let between = "{\"wait\": {\"minutes\": 4}},\n            {\"reading\": {\"id\": \"shell-mid\", \"label\": \"water on the way\", \"unit\": \"bar\", \"instruments\": [\"PG-12\"]}},\n            {\"wait\": {\"minutes\": 6}},\n            {\"reading\": {\"id\": \"shell-end\"";
    let bytes = written.replace(wait, between).leak().as_bytes();
    let reads = [
        ("shell-start", "70.0"),
        ("shell-mid", "69.7"),
        ("shell-end", "69.5"),
    ];
    let mut site = held(Some(bytes), &reads);
    on_to(&mut site, 5);
    let view = site.rebuild().decay("hold-70").unwrap();
    assert_eq!((view.readings.len(), view.minutes), (3, 10.0));
    let line = view.line.unwrap();
    // Least squares by hand: slope = Σ(t - t̄)(p - p̄) / Σ(t - t̄)².
    let times: Vec<f64> = view.readings.iter().map(|point| point.seconds).collect();
    let mean = (times[1] + times[2]) / 3.0;
    let above: f64 = times
        .iter()
        .zip([70.0, 69.7, 69.5])
        .map(|(t, p)| (t - mean) * (p - 209.2 / 3.0))
        .sum();
    let below: f64 = times.iter().map(|t| (t - mean).powi(2)).sum();
    assert!((line.per_second - above / below).abs() < 1e-12, "{line:?}");
    assert!(
        view.words()
            .starts_with("3 readings, 70.0 bar g to 69.5 bar g in "),
        "{}",
        view.words()
    );
    assert!(view.words().contains(", fitted -0.0"), "{}", view.words());
    assert_eq!(
        site.rebuild().decay("seat-leak"),
        None,
        "flow is no pressure held"
    );
}
