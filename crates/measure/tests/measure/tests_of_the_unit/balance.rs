//! The balance of spring and diaphragm, solved for the outlet pressure.

use crate::{close, q};
use reseat_measure::regulator::Balance;
use reseat_measure::{Loading, QuantityError, RegulatorError};

const PSI_PA: f64 = 6_894.757_293_168_361;

fn loading(seat: Option<&str>, spring: Option<&str>) -> Loading {
    let (seat, spring) = (seat.map(q), spring.map(q));
    Loading::new(
        &q("150 lbf/in"),
        &q("20 in²"),
        seat.as_ref(),
        spring.as_ref(),
    )
    .expect("figures")
}

fn psi(loading: &Loading, pressed: [&str; 2], inlet: Option<&str>) -> f64 {
    let inlet = inlet.map(q);
    let pascals = loading.outlet_pa(&q(pressed[0]), &q(pressed[1]), inlet.as_ref());
    pascals.expect("outlet pressure") / PSI_PA
}

#[test]
fn the_published_example_gives_its_pressure() {
    // "Droop or Offset at Pressure Regulator Valves" (instrumentation.web.id, 11-07-11): 150 lbf/in on 20 in², pressed 2.0 in: 15.0 psi.
    let plain = loading(None, None);
    assert!(close(psi(&plain, ["3.0 in", "1.0 in"], None), 15.0, 1e-12));
    // Its 1.5 in of travel leaves 0.5 in: 3.75 psi, worked out from its figures.
    assert!(close(psi(&plain, ["1.5 in", "1.0 in"], None), 3.75, 1e-12));
    // Heights in another unit are the same heights.
    assert!(close(
        psi(&plain, ["76.2 mm", "25.4 mm"], None),
        15.0,
        1e-12
    ));
    // The exact path: k·x/A in fractions.
    let exact = q("150 lbf/in")
        .base()
        .and_then(|k| k.times(q("2.0 in").base()?))
        .and_then(|force| force.over(q("20 in²").base()?))
        .expect("exact")
        .to_f64();
    let pascals = plain.outlet_pa(&q("3.0 in"), &q("1.0 in"), None);
    assert!(close(pascals.expect("outlet"), exact, 1e-12));
}

#[test]
fn inlet_on_the_seat_and_seat_spring_take_from_it() {
    // Three forces (hspworldwide.com): spring = P2·A_diaphragm + P1·A_poppet + F_poppet_spring. By hand: 300 lbf less
    // 100 psi · 0.5 in² = 50 lbf less 30 lbf is 220 lbf, on 20 in² 11 psi.
    let full = loading(Some("0.5 in²"), Some("30 lbf"));
    let carried = psi(&full, ["3.0 in", "1.0 in"], Some("100 psi g"));
    assert!(close(carried, 11.0, 1e-12), "{carried}");
    // Put back, the forces balance.
    let balance = Balance {
        spring_n: 300.0,
        diaphragm_n: carried * 20.0,
        poppet_n: 50.0,
        poppet_spring_n: 30.0,
    };
    assert!(balance.left_over_n().abs() < 1e-9);
    // A rising inlet lets the outlet fall, by the share of the areas.
    let higher = psi(&full, ["3.0 in", "1.0 in"], Some("140 psi g"));
    assert!(close(carried - higher, 40.0 * 0.5 / 20.0, 1e-12));
    assert_eq!(full.seat(), Some(q("0.5 in²")));
    assert_eq!(full.seat_spring(), Some(q("30 lbf")));
    assert_eq!(
        (full.rate(), full.diaphragm()),
        (q("150 lbf/in"), q("20 in²"))
    );
}

#[test]
fn a_screw_further_out_than_the_spring_carries_less_than_nothing() {
    assert!(close(
        psi(&loading(None, None), ["1.0 in", "3.0 in"], None),
        -15.0,
        1e-12
    ));
}

#[test]
fn figures_that_cannot_be_are_refused_with_what_is_wrong() {
    let said = |rate: &str, area: &str, seat: Option<&str>, spring: Option<&str>| {
        let (seat, spring) = (seat.map(q), spring.map(q));
        Loading::new(&q(rate), &q(area), seat.as_ref(), spring.as_ref())
            .expect_err("refused")
            .to_string()
    };
    for (text, wanted) in [
        (
            said("0 N/mm", "38.5 cm²", None, None),
            "0 N/mm is impossible; it must be above 0",
        ),
        (
            said("60 N", "38.5 cm²", None, None),
            "60 N is no spring rate; give a spring rate with its unit",
        ),
        (
            said("60 N/mm", "-1 cm²", None, None),
            "-1 cm² is impossible; it must be above 0",
        ),
        (
            said("60 N/mm", "70 mm", None, None),
            "70 mm is no surface; give a surface with its unit",
        ),
        (
            said("60 N/mm", "38.5 cm²", Some("0 cm²"), None),
            "0 cm² is impossible; it must be above 0",
        ),
        (
            said("60 N/mm", "38.5 cm²", None, Some("-5 N")),
            "-5 N is impossible; it must be above 0",
        ),
    ] {
        assert_eq!(text, wanted);
    }
}

#[test]
fn readings_that_do_not_fit_the_figures_are_refused() {
    let (one, other) = (q("3.0 in"), q("1.0 in"));
    let seat = loading(Some("0.5 in²"), None);
    assert!(matches!(
        seat.outlet_pa(&one, &other, None),
        Err(RegulatorError::InletMissing(_))
    ));
    assert!(matches!(
        loading(None, None).outlet_pa(&one, &other, Some(&q("100 psi g"))),
        Err(RegulatorError::SeatMissing(_))
    ));
    for inlet in ["100 psi a", "100 psi"] {
        assert_eq!(
            seat.outlet_pa(&one, &other, Some(&q(inlet))),
            Err(RegulatorError::NotGauge(inlet.to_owned()))
        );
    }
    assert!(matches!(
        seat.outlet_pa(&q("3.0 N"), &other, Some(&q("100 psi g"))),
        Err(RegulatorError::Quantity(
            QuantityError::DifferentKind { .. }
        ))
    ));
}
