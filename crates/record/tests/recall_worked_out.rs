//! Values worked out from readings of an instrument found out, worked out again by hand.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::Site;
use reseat_measure::Quantity;
use reseat_record::recall::{Looked, Recall, Since, Touched};
use reseat_record::register::{BenchPoint, StillStands};

/// Every reading of the instrument in a whole rebuild of FV-3302, judged again.
fn recalled(instrument: &str, points: &[(&str, &str)]) -> Vec<Touched> {
    let mut site = Site::new();
    for (slot, typed) in [
        ("leak-1", "37"),
        ("leak-2", "41"),
        ("leak-3", "38"),
        ("bush-bore", "12.15"),
        ("stem-in-bush", "12.00"),
    ] {
        site.readings.insert(slot.into(), vec![typed.into()]);
    }
    site.start();
    site.until("vent-3-5");
    let instrument = site.register.instrument(instrument).unwrap();
    let found: Vec<BenchPoint> = points
        .iter()
        .map(|(bench, showed)| BenchPoint {
            bench: Quantity::parse(bench).unwrap(),
            showed: Quantity::parse(showed).unwrap(),
        })
        .collect();
    let since = Since::of(instrument, Some("2000-01-01"), "+00:00").unwrap();
    let mut recall = Recall::new(instrument, &since, &found).unwrap();
    let mut list = Vec::new();
    for sealed in &site.entries {
        if let Looked::Touched(touched) = recall.look(&sealed.bytes, sealed.hash) {
            list.push(*touched);
        }
    }
    for one in list.iter_mut().filter(|one| one.rests) {
        recall.work_out(one, site.rebuild().procedure(), &site.entries);
    }
    list
}

fn of<'a>(list: &'a [Touched], what: &str) -> &'a Touched {
    list.iter().find(|one| one.what == what).unwrap()
}

type Stands<'a> = (Option<&'a str>, &'a str, Option<&'static str>);

fn stands(one: &Touched) -> Stands<'_> {
    (one.corrected.as_deref(), &one.stands, one.why)
}

#[test]
fn a_mean_is_worked_out_again_from_true_readings() {
    // By hand, straight between true 10, shown 10 and true 100, shown 110 mL/min: truth(R) = 10 + (R - 10) × 90 / 100.
    //   37: 10 + 27 × 0.9 = 34.3;  41: 10 + 31 × 0.9 = 37.9;  38: 10 + 28 × 0.9 = 35.2
    //   mean (34.3 + 37.9 + 35.2) / 3 = 107.4 / 3 = 35.8, WITHIN ..78.
    let bench = [("10 mL/min", "10 mL/min"), ("100 mL/min", "110 mL/min")];
    let list = recalled("MC-1", &bench);
    let no_window = Some("it has no window");
    for (what, truth) in [
        ("leak-1", "34.3 mL/min"),
        ("leak-2", "37.9 mL/min"),
        ("leak-3", "35.2 mL/min"),
    ] {
        assert_eq!(
            stands(of(&list, what)),
            (Some(truth), "cannot say", no_window)
        );
    }
    let mean = of(&list, "seat-leak");
    assert_eq!(stands(mean), (Some("35.8 mL/min"), "still WITHIN", None));
    assert_eq!(mean.place, StillStands::Within);
}

#[test]
fn a_mean_that_the_error_hid_is_out_now() {
    // By hand: true 200 where 100 was shown, through nought: truth(R) = 2 R; 74, 82, 76, mean 232 / 3 = 77.33, WITHIN ..78;
    // with true 210 at 100: 2.1 R = 77.7, 86.1, 79.8, mean 243.6 / 3 = 81.2, above 78: HIGH.
    let within = recalled(
        "MC-1",
        &[("0 mL/min", "0 mL/min"), ("200 mL/min", "100 mL/min")],
    );
    assert_eq!(
        stands(of(&within, "seat-leak")),
        (Some("77.3 mL/min"), "still WITHIN", None)
    );
    let high = recalled(
        "MC-1",
        &[("0 mL/min", "0 mL/min"), ("210 mL/min", "100 mL/min")],
    );
    assert_eq!(
        stands(of(&high, "seat-leak")),
        (Some("81.2 mL/min"), "now HIGH", None)
    );
}

#[test]
fn a_difference_keeps_the_reading_of_the_other_instrument() {
    // By hand: the bore gauge showed 0.04 mm too little at both points; 12.15 is 12.19, less the stem's 12.00: 0.19, WITHIN
    // 0.08..0.20 mm.
    let list = recalled("BG-1", &[("10.04 mm", "10 mm"), ("20.04 mm", "20 mm")]);
    assert_eq!(
        stands(of(&list, "guide-clearance")),
        (Some("0.19 mm"), "still WITHIN", None)
    );
    // 0.06 mm too little: 12.21 less 12.00 is 0.21, above 0.20: HIGH.
    let list = recalled("BG-1", &[("10.06 mm", "10 mm"), ("20.06 mm", "20 mm")]);
    assert_eq!(
        stands(of(&list, "guide-clearance")),
        (Some("0.21 mm"), "now HIGH", None)
    );
}

#[test]
fn what_rests_on_a_reading_outside_the_bench_says_so() {
    let list = recalled(
        "MC-1",
        &[("10 mL/min", "10 mL/min"), ("36 mL/min", "40 mL/min")],
    );
    let why = Some("outside the bench points");
    assert_eq!(stands(of(&list, "leak-2")), (None, "cannot say", why));
    assert_eq!(stands(of(&list, "seat-leak")), (None, "cannot say", why));
}
