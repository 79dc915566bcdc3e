//! Quantities with their units, windows and verdicts, and the arithmetic of joints, pressure, leakage and life. Pure: no clock, no file.

#[macro_use]
extern crate uom;

pub mod adapter;
pub mod error;
pub mod exact;
pub mod instrument;
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
    Deviation, Fitness, Instrument, InstrumentError, Means, Standing, TorqueClass, Unfit, fitness,
};
pub use joint::{Assessment, Bolt, Condition, ConditionSlip, Joint, JointError};
pub use life::{Life, LifeError, kaplan_meier, weibull};
pub use order::{OrderError, Pattern, order};
pub use pressure::{Hold, HoldLine, HoldReading, Leak, PressureError};
pub use quantity::{Quantity, Reference, parse_scale};
pub use recall::{BenchPoint, CannotSay, ErrorCurve, RecallError, Rejudged};
pub use regulator::{Direction, RegulatorError, SetPoint};
pub use rule::{Decision, Outcome, Rule, RuleError, Uncertainty, decide};
pub use seat::{Allowance, SeatClass, SeatError};
pub use slip::{Slip, SlipCandidate, slip_candidates};
pub use strength::{Basis, Grade, Strength, StrengthError};
pub use thread::{Series, Thread, ThreadError};
pub use unit::{Dimension, Unit};
pub use window::{Judgement, Limit, Place, Window};
