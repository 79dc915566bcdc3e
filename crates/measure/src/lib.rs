//! Quantities with their units, windows and verdicts, and the arithmetic of joints, pressure, leakage and life. Pure: no clock, no file.

pub mod error;
pub mod exact;
pub mod quantity;
pub mod unit;
pub mod window;

pub use error::QuantityError;
pub use exact::{Decimal, Rational, Rounding};
pub use quantity::{Quantity, Reference, parse_scale};
pub use unit::{Dimension, Unit};
pub use window::{Judgement, Limit, Place, Window};
