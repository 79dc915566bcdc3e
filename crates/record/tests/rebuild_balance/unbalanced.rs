//! A regulator whose inlet presses on its seat, with a spring that shuts it.
//!
//! SOURCE: spring = P2·A_diaphragm + P1·A_poppet + F_poppet_spring (hspworldwide.com, the three forces), worked by hand:
//! 150 N/mm · 20 mm = 3000 N, less 70 bar · 1 cm² = 700 N, less 50 N leaves 2250 N, on 50 cm² 4.5 bar.

use reseat_procedure::Choices;
use reseat_record::rebuild::{Inner, Point, recheck};
use serde_json::json;

use crate::forge::{found, number};
use crate::rebuild_site::Site;

/// The ask at which the balance is worked out.
const CARRIED: u32 = 4;

/// FV-3302 with the heights of a setting screw read in the step of its hold, and its water as the inlet of a regulator.
fn with_balance() -> &'static [u8] {
    let written = include_str!("../../../../procedures/FV-3302.json");
    let drop = r#"{"computed": {"id": "shell-drop", "label": "drop", "from": ["shell-start", "shell-end"], "how": "drop", "window": "..1.0 bar"}},"#;
    let heights = r#"{"reading": {"id": "touching", "label": "screw height, spring just touched", "unit": "mm", "instruments": ["DG-1"]}},
            {"reading": {"id": "set", "label": "screw height, set", "unit": "mm", "instruments": ["DG-1"]}},
            {"computed": {"id": "carried", "label": "outlet pressure the spring carries", "from": ["touching", "set", "shell-start"],
              "how": {"balance": {"rate": "150 N/mm", "area": "50 cm²", "seat_area": "1 cm²", "seat_spring": "50 N"}}, "window": "4..5 bar g"}},"#;
    let end = r#"{"reading": {"id": "shell-end", "label": "water at end", "unit": "bar", "instruments": ["PG-12"]}},"#;
    assert!(written.contains(drop) && written.contains(end));
    let text = written.replace(drop, heights).replace(end, "");
    text.leak().as_bytes()
}

/// Up to where the balance is worked out, with these heights and this inlet.
fn read(touching: &str, set: &str, inlet: &str) -> Site {
    let mut site = Site::following(with_balance(), Choices::default());
    for (thing, typed) in [("shell-start", inlet), ("touching", touching), ("set", set)] {
        site.readings
            .insert(thing.into(), [typed.to_owned()].into());
    }
    site.start();
    site.goes_on(|now| matches!(&now.point, Point::Asked(step, at, Inner::Whole) if step == "hold-70" && *at == CARRIED));
    site
}

#[test]
fn inlet_and_seat_spring_take_from_what_the_spring_carries() {
    let mut site = read("31.50", "11.50", "70.0");
    let ask = site.ask();
    assert_eq!(
        ask.detail[..3],
        [
            "outlet pressure the spring carries is 4.500 bar g, window 4..5 bar g.",
            "Worked out: spring 150 N/mm on 50 cm², pressed by the difference of screw height, spring just touched and screw height, set, \
             less water at start on a seat of 1 cm², less a seat spring of 50 N.",
            "HIGH: the spring is softer or the diaphragm larger than its figure. LOW: stiffer or smaller.",
        ]
    );
    site.step();
    assert_eq!(site.last("means"), "4.500 bar g");
    assert_eq!(site.last("place"), "WITHIN");
    assert_eq!(site.last("method"), "computed");
    assert_eq!(site.last("from").as_array().unwrap().len(), 3);
    assert_eq!(recheck(site.rebuild().procedure(), &site.entries), []);
    let lines = site.rebuild().record_lines(&site.register);
    let told = lines.last().unwrap();
    assert!(
        told.text.contains("4.500 bar g")
            && told.text.contains(
                "; worked out: spring 150 N/mm on 50 cm², pressed by the difference of screw height"
            ),
        "{told:?}"
    );
}

#[test]
fn a_value_told_otherwise_is_found() {
    let mut site = read("31.50", "11.50", "70.0");
    site.step();
    let at = number(&site, |entry| {
        entry.kind == "reading/1" && entry.body["thing"] == "carried"
    });
    found(
        &site,
        at,
        "means",
        json!("4.900 bar g"),
        "it is 4.500 bar g, not 4.900 bar g",
    );
    let body = &site.entries[usize::try_from(at).unwrap() - 1].entry.body;
    let mut other: Vec<u64> = serde_json::from_value(body["from"].clone()).unwrap();
    other.swap(0, 1);
    found(
        &site,
        at,
        "from",
        json!(other),
        "other entries than the readings that stand",
    );
}

#[test]
fn a_higher_inlet_or_a_screw_wound_in_less_carries_less() {
    // 71 bar takes 10 N more: 2240 N, 4.48 bar. 2 mm less: 300 N less, 1950 N, 3.9 bar.
    for (set, inlet, means, place) in [
        ("11.50", "71.0", "4.480 bar g", "WITHIN"),
        ("13.50", "70.0", "3.900 bar g", "LOW"),
        ("7.50", "70.0", "5.700 bar g", "HIGH"),
        // Heights typed the wrong way round give less than nothing, which is LOW too: −3750 N.
        ("51.50", "70.0", "-7.500 bar g", "LOW"),
    ] {
        let mut site = read("31.50", set, inlet);
        site.step();
        assert_eq!(site.last("means"), means);
        assert_eq!(site.last("place"), place);
        assert_eq!(site.last("finding").is_number(), place != "WITHIN");
    }
}
