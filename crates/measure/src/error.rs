//! Why a text is no quantity, or two quantities cannot be held against each other; each sentence says what to do.

use thiserror::Error;

/// Why a quantity, a unit or a window was refused.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum QuantityError {
    /// Nothing was typed.
    #[error("nothing was typed; type a number and its unit, for example 12.5 N·m")]
    Empty,
    /// A number stands alone.
    #[error("{0:?} has no unit; type the unit too, for example {0} N·m")]
    NoUnit(String),
    /// No number stands where one must.
    #[error(
        "{0:?} is not a number; type digits with at most one decimal point or comma, for example 12.5"
    )]
    NoNumber(String),
    /// Something that groups thousands, or may do so.
    #[error(
        "{0:?} can be read in two ways; type the number without thousands separators, and its decimals behind a point"
    )]
    Thousands(String),
    /// A power of ten was typed.
    #[error("{0:?} is written with a power of ten; type it out in digits")]
    PowerOfTen(String),
    /// Two numbers were typed.
    #[error("{0:?} holds two numbers; type one, or for a window low..high and the unit")]
    TwoNumbers(String),
    /// A fraction was typed.
    #[error("{0:?} is written as a fraction; type it with decimals, for example 0.375")]
    Fraction(String),
    /// More digits than a record can hold.
    #[error("more than 12 digits; type at most 12, or take a larger unit")]
    TooManyDigits,
    /// The unit is not in the table.
    #[error("{text:?} is not a unit known here{}", nearest_words(nearest))]
    UnknownUnit {
        /// What was typed.
        text: String,
        /// Table spellings that look like it.
        nearest: Vec<&'static str>,
    },
    /// Capital and small letters make two units of it.
    #[error(
        "{text:?} could be {first} or {second}; type it with the capital and small letters shown"
    )]
    UnitCase {
        /// What was typed.
        text: String,
        /// One reading of it.
        first: &'static str,
        /// Another reading of it.
        second: &'static str,
    },
    /// Inches of water or mercury whose density is not said.
    #[error("{text:?} does not say which column is meant; type one of {choices}")]
    ColumnReference {
        /// What was typed.
        text: String,
        /// The spellings that say it.
        choices: &'static str,
    },
    /// `g`, `a` or `d` behind something that is no pressure.
    #[error(
        "gauge, absolute and differential belong to pressures only, not to {0}; leave the letter out"
    )]
    ReferenceOnOther(&'static str),
    /// Two kinds of thing were to be compared.
    #[error(
        "{left} is a {left_kind} and {right} is a {right_kind}; give both in units of the same kind"
    )]
    DifferentKind {
        /// Unit of the one.
        left: &'static str,
        /// What it measures.
        left_kind: &'static str,
        /// Unit of the other.
        right: &'static str,
        /// What it measures.
        right_kind: &'static str,
    },
    /// Two pressures with different references.
    #[error("{left} and {right} pressure cannot be compared; read both on gauges of the same kind")]
    DifferentReference {
        /// Reference of the one, in words.
        left: &'static str,
        /// Reference of the other, in words.
        right: &'static str,
    },
    /// A unit was typed where the scale gives it, and it is another one.
    #[error(
        "the scale reads {scale}, but {typed:?} was typed; read the digits off the scale and type only them"
    )]
    NotTheScale {
        /// Unit (and reference) of the scale.
        scale: String,
        /// What was typed.
        typed: String,
    },
    /// A window without `..`.
    #[error(
        "{0:?} is not a window; type it as low..high unit, low.. unit or ..high unit, for example 115..130 N·m"
    )]
    NotAWindow(String),
    /// Low above high.
    #[error(
        "the window {low}..{high} is impossible: its low limit is above its high limit; swap or correct them"
    )]
    Impossible {
        /// Low limit as typed.
        low: String,
        /// High limit as typed.
        high: String,
    },
    /// A window so narrow that no value of the coarser scale lies in it.
    #[error("no mark of the scale lies inside {window}; choose an instrument with a finer scale")]
    NoMarkInside {
        /// The window as written.
        window: String,
    },
    /// A word that is none of those allowed.
    #[error("{text:?} is none of {choices}")]
    UnknownWord {
        /// What was read.
        text: String,
        /// What may stand there.
        choices: &'static str,
    },
    /// The numbers are too large to be worked out exactly.
    #[error("the numbers are too large to be compared exactly; use a unit that gives fewer digits")]
    Overflow,
}

fn nearest_words(nearest: &[&'static str]) -> String {
    if nearest.is_empty() {
        return "; type a unit of the list, for example N·m, lbf·ft, bar g, mm".to_owned();
    }
    format!("; did you mean {}?", nearest.join(" or "))
}
