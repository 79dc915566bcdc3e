//! The typed layer for physics: quantities as `uom` values, whose kinds the compiler checks.
//!
//! A value goes over by its exact worth in SI units and is rounded once, to the nearest float. The imperial factors that `uom` ships are
//! rounded to seven digits (lbf·in is off by 8.65e-8), so none of them is used; exact ones stand in the modules below.

use uom::ConstZero;
use uom::si::f64::{Force, Length, Pressure, ThermodynamicTemperature, Time, Torque, Volume};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::pressure::pascal;
use uom::si::thermodynamic_temperature::kelvin;
use uom::si::time::second;
use uom::si::torque::newton_meter;
use uom::si::volume::cubic_meter;

use crate::error::QuantityError;
use crate::quantity::Quantity;
use crate::unit::{Dimension, Unit};

/// Torque units with factors that are exact to the last digit of a float.
pub mod exact_torque {
    unit! {
        system: uom::si;
        quantity: uom::si::torque;
        @pound_force_foot: 1.355_817_948_331_400_4; "lbf·ft", "pound-force foot", "pound-force feet";
        @pound_force_inch: 0.112_984_829_027_616_7; "lbf·in", "pound-force inch", "pound-force inches";
        @ounce_force_inch: 0.007_061_551_814_226_044; "ozf·in", "ounce-force inch", "ounce-force inches";
    }
}

/// Pressure units with factors that are exact to the last digit of a float.
pub mod exact_pressure {
    unit! {
        system: uom::si;
        quantity: uom::si::pressure;
        @psi: 6_894.757_293_168_361; "psi", "pound-force per square inch", "pounds-force per square inch";
    }
}

/// Force units with factors that are exact to the last digit of a float.
pub mod exact_force {
    unit! {
        system: uom::si;
        quantity: uom::si::force;
        @pound_force: 4.448_221_615_260_5; "lbf", "pound-force", "pounds-force";
    }
}

/// A quantity's exact worth in SI units of one kind, as the nearest float.
fn si(quantity: &Quantity, dimension: Dimension, base: Unit) -> Result<f64, QuantityError> {
    if quantity.dimension() == dimension {
        return Ok(quantity.base()?.to_f64());
    }
    Err(QuantityError::DifferentKind {
        left: quantity.unit().symbol(),
        left_kind: quantity.dimension().words(),
        right: base.symbol(),
        right_kind: dimension.words(),
    })
}

macro_rules! typed {
    ($($quantity:ident $dimension:ident $base:ident $unit:ident;)*) => { $(
        impl TryFrom<&Quantity> for $quantity {
            type Error = QuantityError;

            fn try_from(quantity: &Quantity) -> Result<Self, Self::Error> {
                Ok(Self::new::<$unit>(si(quantity, Dimension::$dimension, Unit::$base)?))
            }
        }
    )* };
}

typed! {
    Torque Torque NewtonMetre newton_meter;
    Pressure Pressure Pascal pascal;
    Length Length Metre meter;
    Force Force Newton newton;
    ThermodynamicTemperature Temperature Kelvin kelvin;
    Time Time Second second;
    Volume Volume CubicMetre cubic_meter;
}

/// `F = T/(K·D)`: the tension a torque gives at a nut factor on a thread of that diameter; nought on no diameter.
pub fn tension(torque: Torque, nut_factor: f64, diameter: Length) -> Force {
    let arm = nut_factor * diameter;
    if arm == Length::ZERO {
        return Force::ZERO;
    }
    // uom keeps torque and energy apart by kind; torque over an arm is a force all the same.
    let work: uom::si::f64::Energy = torque.into();
    work / arm
}

/// `T = K·D·F`: the torque that gives a tension.
pub fn torque(force: Force, nut_factor: f64, diameter: Length) -> Torque {
    (force * (nut_factor * diameter)).into()
}

/// `F = A·S`: what an area of thread carries at a stress.
pub fn load(area: uom::si::f64::Area, stress: Pressure) -> Force {
    area * stress
}

/// `F = G·d⁴·x/(8·D³·N)`: the force of a coil spring pressed together by a length, from shear modulus, wire, mean coil diameter and active
/// coils.
pub fn spring_force(
    modulus: Pressure,
    wire: Length,
    mean: Length,
    coils: f64,
    pressed: Length,
) -> Force {
    let slenderness = wire / mean;
    modulus * (wire * pressed) * (slenderness * slenderness * slenderness) / (8.0 * coils)
}
