//! Units against NIST SP 811 (2008) B.8, and the exact path against `uom` with exact units.

use proptest::prelude::*;
use reseat_measure::typed::{exact_force, exact_pressure, exact_torque};
use reseat_measure::{Decimal, Dimension, Quantity, Unit};
use uom::si::f64::{Force, Length, Pressure, ThermodynamicTemperature, Torque, Volume};

use crate::q;

fn one(unit: &str) -> Quantity {
    q(&format!("1 {unit}"))
}

/// From, to, factor as NIST SP 811 B.8 prints it (seven digits; none where the line was not read), exact or 15-digit factor.
/// The transcription was cross-checked with pint 0.25.3, scipy 1.17.1, GNU units 2.22 and UDUNITS 2.2.28.
const FACTORS: &[(&str, &str, Option<f64>, f64)] = &[
    ("lbf·ft", "N·m", Some(1.355818), 1.3558179483314003),
    ("lbf·in", "N·m", Some(0.1129848), 0.1129848290276167),
    ("ozf·in", "N·m", Some(0.007061552), 0.007061551814226044),
    ("kgf·m", "N·m", Some(9.80665), 9.80665),
    ("kgf·cm", "N·m", None, 0.0980665),
    ("lbf", "N", Some(4.448222), 4.4482216152605),
    ("ozf", "N", Some(0.2780139), 0.2780138509537812),
    ("kgf", "N", Some(9.80665), 9.80665),
    ("psi", "Pa", Some(6894.757), 6894.757293168361),
    ("bar", "Pa", Some(100000.0), 100000.0),
    ("ozf/in²", "Pa", None, 430.92233082302255),
    ("inH2O(conv)", "Pa", Some(249.0889), 249.08891),
    ("inH2O(4°C)", "Pa", Some(249.082), 249.0826502),
    ("inH2O(60°F)", "Pa", Some(248.84), 248.8440761),
    ("inHg(conv)", "Pa", Some(3386.389), 3386.388640341),
    ("atm", "Pa", Some(101325.0), 101325.0),
    ("ft³", "m³", Some(0.02831685), 0.028316846592),
    ("ft³/min", "m³/s", Some(0.0004719474), 0.0004719474432),
    ("ft³/h", "m³/s", None, 7.86579072e-06),
    ("in", "m", Some(0.0254), 0.0254),
    ("lbf/in", "N/m", Some(175.1268), 175.1268352464764),
];

#[test]
fn factors_of_nist_sp_811() {
    for (from, to, printed, exact) in FACTORS {
        let to = if *to == "N/m" {
            Unit::NewtonPerMetre
        } else {
            Unit::parse(to).expect(to)
        };
        let found = one(from).to_f64_in(to).expect(from);
        // Columns of water and mercury are defined by the printed value; all else by the exact one.
        if from.starts_with("inH") {
            assert_eq!(Some(found), *printed, "{from}");
            continue;
        }
        assert!(
            (found / exact - 1.0).abs() < 4e-16,
            "{from}: {found} {exact}"
        );
        if let Some(printed) = printed {
            assert!(
                (found / printed - 1.0).abs() < 5e-7,
                "{from}: {found} {printed}"
            );
        }
    }
}

#[test]
fn temperatures() {
    // T/K = (t/°F + 459.67)/1.8 and t/°C = (t/°F − 32)/1.8 (from memory for the wording of SP 811; values computed with pint).
    assert!((q("60 °F").to_f64_in(Unit::Kelvin).expect("K") - 288.7055555555556).abs() < 1e-12);
    assert_eq!(q("-40 °F").to_f64_in(Unit::Celsius), Ok(-40.0));
    assert_eq!(q("212 °F").to_f64_in(Unit::Celsius), Ok(100.0));
    assert_eq!(q("32 °F").to_f64_in(Unit::Kelvin), Ok(273.15));
    assert_eq!(q("0 K").to_f64_in(Unit::Fahrenheit), Ok(-459.67));
}

#[test]
fn the_three_inches_of_water_differ() {
    let [conventional, cold, warm] = ["inH2O(conv)", "inH2O(4°C)", "inH2O(60°F)"]
        .map(|u| one(u).to_f64_in(Unit::Pascal).expect("Pa"));
    assert!(conventional > cold && cold > warm);
    assert!(
        (conventional / warm - 1.0).abs() > 9e-4,
        "they differ by a thousandth"
    );
}

#[test]
fn finite_factors_are_exact_decimals() {
    let exact = |from: &str, to| {
        q(from)
            .exact_in(to)
            .ok()
            .and_then(reseat_measure::Rational::to_exact_decimal)
            .map(|d| d.to_string())
    };
    assert_eq!(
        exact("25 lbf·ft", Unit::PoundForceInch),
        Some("300".to_owned())
    );
    assert_eq!(
        exact("1 kgf·cm", Unit::NewtonMetre),
        Some("0.0980665".to_owned())
    );
    assert_eq!(exact("1 thou", Unit::Micrometre), Some("25.4".to_owned()));
    assert_eq!(exact("1 gal(US)", Unit::CubicInch), Some("231".to_owned()));
    assert_eq!(exact("1 turns", Unit::Flat), Some("6".to_owned()));
    assert_eq!(exact("1 psi", Unit::Pascal), None);
    assert_eq!(exact("90 min", Unit::Hour), Some("1.5".to_owned()));
}

/// A number a person could type.
fn number() -> impl Strategy<Value = Decimal> {
    (1i64..=999_999, 0u8..=4)
        .prop_map(|(digits, decimals)| Decimal::new(digits, decimals).expect("in bounds"))
}

fn agree(exact: f64, typed: f64) -> bool {
    (exact / typed - 1.0).abs() <= 1e-12
}

proptest! {
    #[test]
    fn uom_with_exact_units_agrees_on_torque(number in number(), from in 0usize..4, to in 0usize..4) {
        use uom::si::torque::newton_meter;
        let units = [Unit::NewtonMetre, Unit::PoundForceFoot, Unit::PoundForceInch, Unit::OunceForceInch];
        let value = number.to_f64();
        let typed = match from {
            0 => Torque::new::<newton_meter>(value),
            1 => Torque::new::<exact_torque::pound_force_foot>(value),
            2 => Torque::new::<exact_torque::pound_force_inch>(value),
            _ => Torque::new::<exact_torque::ounce_force_inch>(value),
        };
        let back = match to {
            0 => typed.get::<newton_meter>(),
            1 => typed.get::<exact_torque::pound_force_foot>(),
            2 => typed.get::<exact_torque::pound_force_inch>(),
            _ => typed.get::<exact_torque::ounce_force_inch>(),
        };
        let quantity = Quantity::new(number, units[from], None).expect("quantity");
        prop_assert!(agree(quantity.to_f64_in(units[to]).expect("same kind"), back));
        prop_assert!(agree(Torque::try_from(&quantity).expect("torque").get::<newton_meter>(), typed.get::<newton_meter>()));
    }

    #[test]
    fn uom_agrees_on_pressure_force_and_length(number in number()) {
        let value = number.to_f64();
        let quantity = |unit| Quantity::new(number, unit, None).expect("quantity");
        let psi = Pressure::new::<exact_pressure::psi>(value);
        prop_assert!(agree(quantity(Unit::Psi).to_f64_in(Unit::Bar).expect("bar"), psi.get::<uom::si::pressure::bar>()));
        prop_assert!(agree(Pressure::try_from(&quantity(Unit::Psi)).expect("pressure").value, psi.value));
        let pounds = Force::new::<exact_force::pound_force>(value);
        prop_assert!(agree(quantity(Unit::PoundForce).to_f64_in(Unit::Kilonewton).expect("kN"), pounds.get::<uom::si::force::kilonewton>()));
        let inches = Length::new::<uom::si::length::inch>(value);
        prop_assert!(agree(quantity(Unit::Inch).to_f64_in(Unit::Millimetre).expect("mm"), inches.get::<uom::si::length::millimeter>()));
        let cubic = Volume::new::<uom::si::volume::liter>(value);
        prop_assert!(agree(Volume::try_from(&quantity(Unit::Litre)).expect("volume").value, cubic.value));
        let warm = ThermodynamicTemperature::new::<uom::si::thermodynamic_temperature::degree_celsius>(value);
        prop_assert!(agree(ThermodynamicTemperature::try_from(&quantity(Unit::Celsius)).expect("temperature").value, warm.value));
        prop_assert!(Force::try_from(&quantity(Unit::Bar)).is_err());
    }

    #[test]
    fn only_units_of_one_kind_convert(number in number(), a in any::<prop::sample::Index>(), b in any::<prop::sample::Index>()) {
        let (a, b) = (*a.get(Unit::all()), *b.get(Unit::all()));
        let quantity = Quantity::new(number, a, None).expect("quantity");
        prop_assert_eq!(quantity.exact_in(b).is_ok(), a.dimension() == b.dimension());
        prop_assert!(a.dimension() != Dimension::Torque || a.factor().to_f64() > 0.0);
    }
}
