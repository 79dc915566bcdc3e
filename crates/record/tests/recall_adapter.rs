//! A recall of a wrench that turned its nuts through an adapter, worked by hand: the error comes out of what the wrench showed.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::{FALK, Site};
use reseat_measure::Quantity;
use reseat_record::log::{Entry, Sealed};
use reseat_record::rebuild::{AdapterSaid, Command, Inner, Point};
use reseat_record::recall::{Looked, Recall, Since, Touched};
use reseat_record::register::{BenchPoint, StillStands};

fn on(lever: &str, length: &str) -> Command {
    Command::Adapter {
        said: Some(AdapterSaid {
            lever: lever.into(),
            length: length.into(),
            angle: "0 deg".into(),
        }),
    }
}

fn recall(site: &Site, instrument: &str, points: &[(&str, &str)]) -> Recall {
    let instrument = site.register.instrument(instrument).unwrap();
    let found: Vec<BenchPoint> = points
        .iter()
        .map(|(bench, showed)| BenchPoint {
            bench: Quantity::parse(bench).unwrap(),
            showed: Quantity::parse(showed).unwrap(),
        })
        .collect();
    let since = Since::of(instrument, Some("2000-01-01"), "+00:00").unwrap();
    Recall::new(instrument, &since, &found).unwrap()
}

fn looked(recall: &mut Recall, sealed: &Sealed) -> Touched {
    match recall.look(&sealed.bytes, sealed.hash) {
        Looked::Touched(touched) => *touched,
        other => panic!("{other:?}"),
    }
}

/// The wrench of the last pass of J1 with an adapter of half its lever, after these were read on its scale.
fn read_through(shown: &[&str]) -> Site {
    let mut site = Site::at("tighten-j1");
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Fastener(_, 3, 1))));
    site.does(on("12 in", "6 in"), FALK).unwrap();
    for digits in shown {
        site.types(digits).unwrap();
    }
    site
}

fn changed(sealed: &Sealed, change: impl Fn(&mut Entry)) -> Sealed {
    let mut entry = Entry::clone(&sealed.entry);
    change(&mut entry);
    entry.seal().unwrap()
}

#[test]
fn the_error_comes_out_of_what_the_wrench_showed_and_the_rest_is_brought_to_the_nut() {
    let site = read_through(&["81", "86"]);
    // By hand, true 72 at 80 shown and true 111 at 120 shown: truth(R) = 72 + (R - 80) × 39/40; lever 12 in, adapter 6 in: × 1.5
    // at the nut, against 115..130 N·m.
    //   R = 81: 72 + 0.975 = 72.975, × 1.5 = 109.4625, below 115: LOW (121.5 was WITHIN)
    //   R = 86: 72 + 5.85  = 77.85,  × 1.5 = 116.775, WITHIN (129 was WITHIN)
    let mut recall = recall(
        &site,
        "TW-19",
        &[("72 N·m", "80 N·m"), ("111 N·m", "120 N·m")],
    );
    let last = &site.entries[site.entries.len() - 2..];
    for (sealed, means, truth, stands, place) in [
        (
            &last[0],
            "121.5000 N·m",
            "109.4625 N·m",
            "now LOW",
            StillStands::Low,
        ),
        (
            &last[1],
            "129.0000 N·m",
            "116.775 N·m",
            "still WITHIN",
            StillStands::Within,
        ),
    ] {
        let one = looked(&mut recall, sealed);
        assert_eq!(
            (
                &*one.means,
                one.corrected.as_deref(),
                &*one.stands,
                one.place
            ),
            (means, Some(truth), stands, place)
        );
        assert_eq!(one.window.as_deref(), Some("115..130 N·m"));
    }
    // The same torque without an adapter lies beyond what the bench looked at, and one with another adapter is another torque:
    // neither is taken for the other.
    let bare = changed(&last[0], |entry| {
        entry.body.remove("adapter");
    });
    assert_eq!(looked(&mut recall, &bare).place, StillStands::CannotSay);
    assert_eq!(looked(&mut recall, &last[0]).place, StillStands::Low);
    let square = changed(&last[0], |entry| {
        entry.body["adapter"]["angle"] = "90 °".into();
    });
    assert_eq!(
        looked(&mut recall, &square).corrected.as_deref(),
        Some("72.975 N·m")
    );
}

#[test]
fn beyond_the_bench_or_beside_another_wrench_nothing_is_claimed() {
    let site = read_through(&["81"]);
    let sealed = site.entries.last().unwrap();
    // 121.5 at the nut lies between these points; what the wrench showed, 81, does not.
    let mut above = recall(
        &site,
        "TW-19",
        &[("91 N·m", "100 N·m"), ("130 N·m", "140 N·m")],
    );
    let one = looked(&mut above, sealed);
    assert_eq!((one.place, one.corrected), (StillStands::CannotSay, None));
    // Another wrench showed it, this one only stood beside it.
    let mut near = recall(
        &site,
        "TW-19",
        &[("72 N·m", "80 N·m"), ("111 N·m", "120 N·m")],
    );
    let beside = changed(sealed, |entry| {
        let mut other = entry.body["instruments"][0].clone();
        other["id"] = "TW-99".into();
        let instruments = entry.body["instruments"].as_array_mut().unwrap();
        instruments.insert(0, other);
    });
    let one = looked(&mut near, &beside);
    assert_eq!((one.place, one.corrected), (StillStands::CannotSay, None));
}

#[test]
fn the_setting_of_a_click_wrench_is_judged_again_at_the_nut() {
    let mut site = Site::at("tighten-j3");
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Setting(1))));
    site.does(on("200 mm", "50 mm"), FALK).unwrap();
    site.types("7.0").unwrap();
    let sealed = site.entries.last().unwrap();
    let wrench = sealed.entry.body["instrument"]["id"].as_str().unwrap();
    // By hand, true 5.5 at 6.0 shown and true 7.3 at 8.0 shown: truth(7.0) = 5.5 + 1.0 × 1.8/2.0 = 6.4; × 250/200 = 8.0 at the
    // nut, on the low limit of 8..10 N·m.
    let mut recall = recall(
        &site,
        wrench,
        &[("5.5 N·m", "6.0 N·m"), ("7.3 N·m", "8.0 N·m")],
    );
    let one = looked(&mut recall, sealed);
    assert_eq!(
        (one.corrected.as_deref(), &*one.stands),
        (Some("8 N·m"), "still WITHIN")
    );
    // Before the last pass the mark on the wrench is what must be dialled: 6.4 is not 7.0.
    let earlier = changed(sealed, |entry| {
        entry.body["required"] = "7.0 N·m on the wrench, 9 N·m at the nut".into();
    });
    assert_eq!(looked(&mut recall, &earlier).place, StillStands::Low);
}

#[test]
fn readings_of_many_digits_are_said_too() {
    let site = read_through(&["81"]);
    let long = changed(site.entries.last().unwrap(), |entry| {
        entry.body["means"] = "1830.8250000 N·m".into();
        entry.body["window"] = "1700..1900 N·m".into();
        entry.body["adapter"]["showed"] = "1220.550 N·m".into();
    });
    // By hand: true is 10 less everywhere, 1210.55 × 1.5 = 1815.825.
    let mut recall = recall(
        &site,
        "TW-19",
        &[("990 N·m", "1000 N·m"), ("1490 N·m", "1500 N·m")],
    );
    let one = looked(&mut recall, &long);
    assert_eq!(
        (one.corrected.as_deref(), one.place),
        (Some("1815.825 N·m"), StillStands::Within)
    );
}
