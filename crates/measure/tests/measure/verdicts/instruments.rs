//! Instruments: usable range and deviation, fitness for a joint or a test, length-changing adapters.

use proptest::prelude::*;
use reseat_measure::instrument::full_scale_suits;
use reseat_measure::{
    Adapter, AdapterError, Decimal, Deviation, Instrument, InstrumentError, InstrumentKind, Place,
    Quantity, Rational, Standing, TorqueClass, Unfit, Unit, fitness,
};

use crate::{q, w};

#[test]
fn adapters_of_the_published_examples() {
    let straight = |lever, length| Adapter::new(q(lever), q(length), q("0 °")).expect("adapter");
    // US Navy NAVEDTRA 14315 figures 3-44/3-45: printed 66.7.
    let navy = straight("12 in", "6 in");
    assert_eq!(navy.setting(&q("100 lbf·in"), 1), Ok(q("66.7 lbf·in")));
    assert!(
        (navy.setting_f64(&q("100 lbf·in")).expect("setting") - 66.66666666666667).abs() < 1e-12
    );
    // Aeroplane maintenance manual paragraph 2-90 (28 February 1989): 30 lbf·ft, 1 ft, 0.25 ft gives 24.
    assert_eq!(
        straight("1 ft", "0.25 ft").setting(&q("30 lbf·ft"), 0),
        Ok(q("24 lbf·ft"))
    );
    assert_eq!(
        straight("1 ft", "3 in").setting(&q("30 lbf·ft"), 0),
        Ok(q("24 lbf·ft"))
    );
    assert_eq!(
        straight("12 in", "-4 in").setting(&q("60 lbf·in"), 0),
        Ok(q("90 lbf·in"))
    );
    // US Army TM 9-254 figure 4-6: only the part along the wrench counts.
    let angled = |angle| Adapter::new(q("300 mm"), q("100 mm"), q(angle)).expect("adapter");
    assert_eq!(angled("90 °").setting(&q("40 N·m"), 2), Ok(q("40.00 N·m")));
    assert_eq!(angled("180 °").setting(&q("40 N·m"), 2), Ok(q("60.00 N·m")));
    assert_eq!(angled("60 °").setting(&q("35 N·m"), 2), Ok(q("30.00 N·m")));
    assert_eq!(
        angled("60 °").torque_at_fastener(&q("30 N·m"), 2),
        Ok(q("35.00 N·m"))
    );
    assert!(matches!(
        Adapter::new(q("12 in"), q("-12 in"), q("0 °")),
        Err(AdapterError::NoLever(_))
    ));
    assert!(matches!(
        Adapter::new(q("0 in"), q("6 in"), q("0 °")),
        Err(AdapterError::Lever(_))
    ));
    assert!(matches!(
        Adapter::new(q("12 in"), q("6 lbf"), q("0 °")),
        Err(AdapterError::Kind { .. })
    ));
    assert!(matches!(
        navy.setting(&q("100 psi"), 1),
        Err(AdapterError::Kind { .. })
    ));
}

fn instrument(
    kind: InstrumentKind,
    range: &str,
    step: &str,
    deviation: &str,
) -> Result<Instrument, InstrumentError> {
    Instrument::new(kind, w(range), q(step), deviation.parse()?)
}

/// A wrench of ISO 6789 type II class A.
fn wrench(kind: InstrumentKind, range: &str, step: &str) -> Instrument {
    let greatest = w(range).high().expect("an upper mark");
    let deviation = TorqueClass::FourAboveTen
        .deviation(&greatest)
        .expect("class");
    Instrument::new(kind, w(range), q(step), deviation).expect("wrench")
}

#[test]
fn usable_ranges_and_deviations() {
    use InstrumentKind::{ClickWrench, ElectronicWrench, PressureGauge};
    let usable = |kind, range, step| {
        wrench(kind, range, step)
            .usable()
            .expect("usable")
            .to_string()
    };
    // 20 to 100 % of full scale mechanical, 10 to 100 % electronic (common practice, no source).
    assert_eq!(usable(ClickWrench, "40..200 N·m", "2 N·m"), "40..200 N·m");
    assert_eq!(usable(ClickWrench, "10..200 N·m", "2 N·m"), "40..200 N·m");
    assert_eq!(
        usable(ElectronicWrench, "3..30 N·m", "0.01 N·m"),
        "3..30 N·m"
    );
    assert_eq!(
        usable(ElectronicWrench, "0..30 N·m", "0.01 N·m"),
        "3..30 N·m"
    );
    assert_eq!(usable(ClickWrench, "50..100 N·m", "1 N·m"), "50..100 N·m");
    // ISO 6789: ±4 % above 10 N·m of greatest torque, else ±6 % (type II class A).
    let at = |range: &str, value: i128| {
        wrench(ClickWrench, range, &format!("1 {}", w(range).unit()))
            .deviation_at(Rational::new(value, 1).expect("value"))
    };
    assert_eq!(at("6..30 N·m", 20), Ok(Rational::new(4, 5).expect("0.8")));
    assert_eq!(at("2..10 N·m", 5), Ok(Rational::new(3, 10).expect("0.3")));
    // 150 lbf·in is 16.9 N·m, 80 lbf·in is 9.04.
    assert_eq!(
        at("30..150 lbf·in", 100),
        Ok(Rational::new(4, 1).expect("4"))
    );
    assert_eq!(at("16..80 lbf·in", 50), Ok(Rational::new(3, 1).expect("3")));
    assert_eq!(
        TorqueClass::Six
            .deviation(&q("200 N·m"))
            .map(|d| d.to_string()),
        Ok("6 % of reading".to_owned())
    );
    // ISO 6789:2017: an electronic wrench shows a quarter of its permissible deviation at least: 4 % of 3 N·m is 0.12, a quarter 0.03.
    assert_eq!(
        wrench(ElectronicWrench, "3..30 N·m", "0.03 N·m").resolution_suffices(),
        Ok(true)
    );
    assert_eq!(
        wrench(ElectronicWrench, "3..30 N·m", "0.031 N·m").resolution_suffices(),
        Ok(false)
    );
    let of_full =
        instrument(PressureGauge, "0..10 bar g", "0.1 bar", "1 % of full scale").expect("gauge");
    assert_eq!(
        of_full.deviation_at(Rational::new(2, 1).expect("2")),
        Rational::new(1, 10).map_err(Into::into)
    );
    let of_reading =
        instrument(PressureGauge, "0..10 bar g", "0.1 bar", "±1 % of reading").expect("gauge");
    assert_eq!(
        of_reading.deviation_at(Rational::new(2, 1).expect("2")),
        Rational::new(1, 50).map_err(Into::into)
    );
    let everywhere = instrument(PressureGauge, "0..10 bar g", "0.1 bar", "10 kPa").expect("gauge");
    assert_eq!(
        everywhere.deviation_at(Rational::new(2, 1).expect("2")),
        Rational::new(1, 10).map_err(Into::into)
    );
    // Full scale 1.5 to 4 times the test pressure (from memory).
    for (test, suits) in [
        ("4 bar g", true),
        ("8 bar g", false),
        ("2 bar g", false),
        ("2.5 bar g", true),
    ] {
        assert_eq!(full_scale_suits(&of_full, &q(test)), Ok(suits), "{test}");
    }
    assert_eq!(of_full.is_on_scale(&q("10.0 bar g")), Ok(true));
    assert_eq!(of_full.is_on_scale(&q("10.1 bar g")), Ok(false));
    assert_eq!(
        of_full.read("3,5").map(|q| q.to_string()),
        Ok("3.5 bar g".to_owned())
    );
}

#[test]
fn impossible_instruments_are_refused() {
    use InstrumentKind::{ClickWrench, PressureGauge};
    for (kind, range, step, deviation) in [
        (ClickWrench, "0..10 bar", "1 bar", "4 % of reading"),
        (ClickWrench, "..10 N·m", "1 N·m", "4 % of reading"),
        (ClickWrench, "2.. N·m", "1 N·m", "4 % of reading"),
        (ClickWrench, "2..10 N·m", "0 N·m", "4 % of reading"),
        (ClickWrench, "2..10 N·m", "1 lbf·ft", "4 % of reading"),
        (PressureGauge, "0..10 bar", "1 bar", "-1 bar"),
        (PressureGauge, "0..10 bar", "1 bar", "1 mm"),
        (PressureGauge, "0..10 bar", "1 bar", "-4 % of reading"),
        (PressureGauge, "0..10 bar", "1 bar", "4 bar of reading"),
        (PressureGauge, "0..10 bar", "1 bar", "4 %"),
        (PressureGauge, "0..10 bar", "1 bar", "about 4 %"),
    ] {
        assert!(
            instrument(kind, range, step, deviation).is_err(),
            "{range} {step} {deviation}"
        );
    }
    for text in ["4 % of reading", "0.5 % of full scale", "0.05 bar"] {
        let deviation: Deviation = text.parse().expect(text);
        assert_eq!(deviation.to_string(), text);
        let json = serde_json::to_string(&deviation).expect("json");
        assert_eq!(
            serde_json::from_str::<Deviation>(&json).expect("back"),
            deviation
        );
    }
}

#[test]
fn fitness_says_every_reason() {
    let dial = wrench(InstrumentKind::ClickWrench, "40..200 N·m", "2 N·m");
    let fit = |window: &str, standing| fitness(&dial, &w(window), standing).expect("looked at");
    assert!(fit("115..130 N·m", Standing::default()).fits());
    assert!(fit("85..95 lbf·ft", Standing::default()).fits());
    let all = Standing {
        quarantined: true,
        overdue: true,
        booked_elsewhere: true,
    };
    let found = fit("20..21 N·m", all);
    assert!(matches!(
        found.against.as_slice(),
        [
            Unfit::Quarantined,
            Unfit::Overdue,
            Unfit::BookedElsewhere,
            Unfit::OutOfRange { .. },
            Unfit::WindowTooNarrow { .. }
        ]
    ));
    // ±4 % of 104 is 4.16: a window of 8 is no wider than that, one of 9 is.
    assert!(matches!(
        fit("96..104 N·m", Standing::default()).against.as_slice(),
        [Unfit::WindowTooNarrow { .. }]
    ));
    assert!(fit("95..104 N·m", Standing::default()).fits());
    assert!(matches!(
        fit("1..2 bar", Standing::default()).against.as_slice(),
        [Unfit::OtherKind { .. }]
    ));
    let gauge = |error: &str, range: &str| {
        instrument(InstrumentKind::PressureGauge, range, "0.001 bar", error).expect("gauge")
    };
    // Zero checks of the invented sites: 0 ±0.1 bar on a gauge of 0.05 bar error, 0 ±0.2 on one of 0.1; a quarter of the tolerance exactly.
    let on = |error, range, window: &str| {
        fitness(&gauge(error, range), &w(window), Standing::default()).expect("looked at")
    };
    assert!(on("0.05 bar", "0..25 bar g", "-0.1..0.1 bar g").fits());
    assert!(on("0.1 bar", "0..10 bar g", "-0.2..0.2 bar g").fits());
    assert!(matches!(
        on("0.05 bar", "0..25 bar g", "-0.09..0.1 bar g")
            .against
            .as_slice(),
        [Unfit::ErrorTooLarge { .. }]
    ));
    assert!(matches!(
        on("0.05 bar", "0..25 bar a", "-0.1..0.1 bar g")
            .against
            .as_slice(),
        [Unfit::OtherReference { .. }]
    ));
    assert!(matches!(
        on("0.05 bar", "0..25 bar g", "20..26 bar g")
            .against
            .as_slice(),
        [Unfit::OutOfRange { .. }]
    ));
    assert!(on("0.05 bar", "0..25 bar g", "20..22 bar").fits());
    assert!(
        on("0.01 bar", "0..10 bar g", "5.6.. bar g").error_share
            < on("0.05 bar", "0..25 bar g", "5.6.. bar g").error_share
    );
    let caliper =
        instrument(InstrumentKind::Caliper, "0..150 mm", "0.01 mm", "0.03 mm").expect("caliper");
    assert!(
        fitness(&caliper, &w("64.5..65.5 mm"), Standing::default())
            .expect("looked at")
            .fits()
    );
    assert!(
        !fitness(&caliper, &w("..0.05 mm"), Standing::default())
            .expect("looked at")
            .fits()
    );
    for unfit in fit("20..21 N·m", all).against {
        assert!(unfit.to_string().len() > 10);
    }
    assert_eq!(
        dial.read("122").map(|q| q.to_string()),
        Ok("122 N·m".to_owned())
    );
    assert!(dial.read("122 ft-lb").is_err());
}

/// The wrenches of the three invented sites.
const WRENCHES: &[(&str, InstrumentKind, &str)] = &[
    ("TW-11", InstrumentKind::ClickWrench, "6..30 N·m"),
    ("TW-14", InstrumentKind::ClickWrench, "20..100 N·m"),
    ("TW-16", InstrumentKind::ElectronicWrench, "3..30 N·m"),
    ("TW-17", InstrumentKind::ElectronicWrench, "10..100 N·m"),
    ("TW-19", InstrumentKind::ClickWrench, "40..200 N·m"),
    ("TW-02", InstrumentKind::ClickWrench, "0..150 in-lb"),
    ("TW-03", InstrumentKind::ClickWrench, "0..250 in-lb"),
    ("TW-05", InstrumentKind::ClickWrench, "40..200 in-lb"),
    ("TW-06", InstrumentKind::ClickWrench, "0..30 in-lb"),
    ("TW-10", InstrumentKind::ClickWrench, "0..150 ft-lb"),
    ("TW-12", InstrumentKind::ElectronicWrench, "7..70 ft-lb"),
    ("TW-08", InstrumentKind::ClickWrench, "10..50 ft-lb"),
    ("TW-09", InstrumentKind::ClickWrench, "30..150 ft-lb"),
    ("TW-31", InstrumentKind::ClickWrench, "14..70 N·m"),
    ("TW-33", InstrumentKind::ClickWrench, "40..200 N·m"),
    ("TW-34", InstrumentKind::ClickWrench, "0..200 N·m"),
    ("TW-35", InstrumentKind::ElectronicWrench, "2..20 N·m"),
    ("TW-36", InstrumentKind::ElectronicWrench, "7..70 N·m"),
];

/// The joints of the three invented sites: window, the wrench the table names, its passes.
const JOINTS: &[(&str, &str, &str, &[f64])] = &[
    ("A1-J1 spring case", "9..11 N·m", "TW-16", &[3.0, 6.0, 10.0]),
    ("A1-J2 diaphragm nut", "16..20 N·m", "TW-16", &[18.0]),
    ("A1-J3 seat ring", "40..50 N·m", "TW-14", &[45.0]),
    ("A1-J4 screw lock nut", "20..26 N·m", "TW-16", &[23.0]),
    (
        "A2-J1 body–bonnet",
        "115..130 N·m",
        "TW-19",
        &[40.0, 80.0, 122.0],
    ),
    ("A2-J2 yoke", "55..63 N·m", "TW-17", &[30.0, 59.0]),
    ("A2-J3 gland", "8..10 N·m", "TW-11", &[9.0]),
    ("A2-J4 stem lock nut", "50..60 N·m", "TW-17", &[55.0]),
    ("A3-J1 bonnet", "19..22 N·m", "TW-16", &[7.0, 13.0, 20.5]),
    ("A3-J2 screw lock nut", "25..30 N·m", "TW-17", &[27.5]),
    (
        "A3-J3 inlet flange",
        "33..39 N·m",
        "TW-17",
        &[12.0, 24.0, 36.0],
    ),
    (
        "B1-J1 spring case",
        "62..72 in-lb",
        "TW-02",
        &[30.0, 48.0, 67.0],
    ),
    ("B1-J2 diaphragm nut", "60..72 in-lb", "TW-02", &[66.0]),
    ("B1-J3 screw lock nut", "120..150 in-lb", "TW-05", &[135.0]),
    (
        "B2-J1 body–bonnet",
        "95..106 ft-lb",
        "TW-10",
        &[30.0, 60.0, 100.0],
    ),
    ("B2-J2 yoke", "57..65 ft-lb", "TW-12", &[30.0, 61.0]),
    ("B2-J3 gland", "96..120 in-lb", "TW-02", &[108.0]),
    ("B2-J4 stem lock nut", "28..34 ft-lb", "TW-12", &[31.0]),
    (
        "B3-J1 diaphragm case",
        "22..26 ft-lb",
        "TW-12",
        &[8.0, 16.0, 24.0],
    ),
    ("B3-J2 pilot", "144..168 in-lb", "TW-03", &[78.0, 156.0]),
    (
        "B3-J3 top cap",
        "46..53 ft-lb",
        "TW-12",
        &[15.0, 30.0, 49.5],
    ),
    ("B3-J4 screw lock nut", "120..150 in-lb", "TW-05", &[135.0]),
    (
        "B4-J1, 2 in cover",
        "104..120 in-lb",
        "TW-02",
        &[35.0, 70.0, 112.0],
    ),
    (
        "B4-J1, 3 in cover",
        "15..17.5 ft-lb",
        "TW-12",
        &[7.0, 10.0, 16.3],
    ),
    (
        "B4-J1, 4 in cover",
        "24..28 ft-lb",
        "TW-12",
        &[8.0, 16.0, 26.0],
    ),
    (
        "B4-J2 diaphragm nut, self-locking",
        "90..105 in-lb",
        "TW-02",
        &[98.0],
    ),
    ("B4-J3 pilot cap", "60..70 in-lb", "TW-02", &[40.0, 65.0]),
    (
        "B4-J4 pilot screw lock nut",
        "60..80 in-lb",
        "TW-02",
        &[70.0],
    ),
    ("C1-J1 bonnet", "37..43 N·m", "TW-36", &[14.0, 26.0, 40.0]),
    ("C1-J2 diaphragm nut", "28..33 N·m", "TW-36", &[30.5]),
    ("C1-J3 bottom plug", "80..90 N·m", "TW-33", &[85.0]),
    ("C1-J4 screw lock nut", "35..45 N·m", "TW-31", &[40.0]),
    ("C2-J1 cover", "50..58 N·m", "TW-36", &[18.0, 34.0, 54.0]),
    ("C2-J2 gland", "5..6 N·m", "TW-35", &[5.5]),
    ("C3-J1 bonnet", "84..96 N·m", "TW-34", &[40.0, 60.0, 90.0]),
    ("C3-J2 disc nut, castle", "20..30 N·m", "TW-31", &[20.0]),
    ("C3-J3 gland", "7..9 N·m", "TW-35", &[8.0]),
];

#[test]
fn every_joint_of_the_sites_has_a_fitting_wrench() {
    let named = |name: &str| {
        let (_, kind, range) = WRENCHES.iter().find(|(n, ..)| *n == name).expect(name);
        wrench(*kind, range, &format!("0.01 {}", w(range).unit()))
    };
    for (joint, window, name, passes) in JOINTS {
        let (wrench, window) = (named(name), w(window));
        let found = fitness(&wrench, &window, Standing::default()).expect(joint);
        assert!(found.fits(), "{joint} {name}: {:?}", found.against);
        // "Every pass and window lies in its wrench's usable range", and the last pass in the window.
        let usable = wrench.usable().expect("usable");
        for pass in *passes {
            let torque = Quantity::new(
                Decimal::from_f64(*pass, 1).expect("torque"),
                wrench.unit(),
                None,
            )
            .expect("torque");
            assert_eq!(
                usable.judge(&torque).map(|j| j.place),
                Ok(Place::Within),
                "{joint} {pass}"
            );
        }
        let last = passes
            .last()
            .and_then(|pass| Decimal::from_f64(*pass, 1).ok())
            .expect("a pass");
        let last = Quantity::new(last, window.unit(), None).expect("torque");
        assert_eq!(
            window.judge(&last).map(|j| j.place),
            Ok(Place::Within),
            "{joint}"
        );
    }
    // There to be picked wrongly: it starts at 30 ft-lb, and the window ends at 14.
    assert!(
        !fitness(&named("TW-09"), &w("144..168 in-lb"), Standing::default())
            .expect("looked at")
            .fits()
    );
}

proptest! {
    #[test]
    fn adapter_there_and_back(torque in 1i64..100_000, lever in 100i64..1_000, length in -90i64..900, angle in 0i64..360) {
        let make = |n, unit| Quantity::new(Decimal::new(n, 0).expect("n"), unit, None).expect("quantity");
        let adapter = Adapter::new(make(lever, Unit::Millimetre), make(length, Unit::Millimetre), make(angle, Unit::Degree));
        prop_assume!(adapter.is_ok());
        let adapter = adapter.expect("adapter");
        prop_assume!(adapter.ratio() > 0.05);
        let wanted = Quantity::new(Decimal::new(torque, 2).expect("n"), Unit::NewtonMetre, None).expect("torque");
        let setting = adapter.setting(&wanted, 6).expect("setting");
        let back = adapter.torque_at_fastener(&setting, 2).expect("back");
        prop_assert!((back.decimal().to_f64() - wanted.decimal().to_f64()).abs() <= 0.011, "{} {}", back, wanted);
    }
}
