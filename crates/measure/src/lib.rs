//! Quantities with their units, windows and verdicts, and the arithmetic of joints, pressure, leakage and life. Pure: no clock, no file.
//!
//! A number without a unit does not exist here. What was typed stays as typed; comparison is exact; only physics uses floats.
//!
//! ```
//! use reseat_measure::{Place, Quantity, Unit, Window};
//!
//! let window = Window::parse("25..30 ft-lb")?;
//! let reading = Quantity::from_digits("300", Unit::PoundForceInch, None)?;
//! assert_eq!(window.judge(&reading)?.place, Place::Within);
//! assert_eq!(window.shown_in(Unit::NewtonMetre, 1)?.to_string(), "33.9..40.6 N·m");
//! # Ok::<(), reseat_measure::QuantityError>(())
//! ```
//!
//! - [`mod@quantity`], [`mod@unit`], [`window`], [`exact`]: text to quantity and back, verdicts.
//! - [`rule`], [`instrument`], [`slip`], [`adapter`], [`recall`]: what a reading is worth.
//! - [`thread`], [`strength`], [`joint`], [`mod@order`]: fasteners.
//! - [`pressure`], [`seat`], [`regulator`], [`life`]: tests of the unit, and how long it lasts.
//! - [`typed`]: the same quantities as values whose kinds the compiler checks.
#![warn(clippy::too_many_lines)]

#[macro_use]
extern crate uom;

#[macro_use]
mod as_text;

pub mod acceptance;
pub mod adapter;
pub mod error;
pub mod exact;
pub mod instrument;
pub mod instrument_kind;
pub mod joint;
pub mod life;
pub mod order;
pub mod pressure;
pub mod quantity;
pub mod recall;
pub mod regulator;
pub mod rule;
pub mod seat;
pub mod slip;
pub mod strength;
pub mod thread;
pub mod typed;
pub mod unit;
pub mod window;

pub use adapter::{Adapter, AdapterError};
pub use error::QuantityError;
pub use exact::{Decimal, Rational, Rounding};
pub use instrument::{
    Deviation, Fitness, Instrument, InstrumentError, Standing, TorqueClass, Unfit, fitness,
};
pub use instrument_kind::InstrumentKind;
pub use joint::{
    Assessment, Bolt, Condition, ConditionSlip, Joint, JointError, Preload, Tightening,
};
pub use life::{Life, LifeError, kaplan_meier, weibull};
pub use order::{OrderError, Pattern, order};
pub use pressure::{Hold, HoldLine, HoldReading, Leak, PressureError};
pub use quantity::{Quantity, Reference, parse_scale};
pub use recall::{BenchPoint, CannotSay, ErrorCurve, RecallError, Rejudged};
pub use regulator::{Direction, Loading, RegulatorError, SetPoint};
pub use rule::{Decision, Outcome, Rule, RuleError, Uncertainty, decide};
pub use seat::{Allowance, SeatClass, SeatError};
pub use slip::{Slip, SlipCandidate, slip_candidates};
pub use strength::{Basis, Grade, Strength, StrengthError};
pub use thread::{Series, Thread, ThreadError};
pub use unit::{Dimension, Unit};
pub use window::{Judgement, Limit, Place, Window};
