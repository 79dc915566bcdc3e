//! Between which readings a decision rule accepts outright: the window with its guard bands taken off, for pictures and words.
//! The verdict itself is [`rule::decide`](crate::rule::decide)'s, compared exactly; these limits are floats.

use crate::error::QuantityError;
use crate::exact::Rational;
use crate::rule::{Rule, RuleError, Uncertainty, conformity};
use crate::window::Window;

/// Halvings of the search for a limit: more than a float has digits.
const HALVINGS: u32 = 80;

/// The readings a rule accepts outright, in the unit of the window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Acceptance {
    /// The lowest; none where the window has no lower limit.
    pub low: Option<f64>,
    /// The highest; none where the window has no upper limit.
    pub high: Option<f64>,
}

/// Where a rule accepts (JCGM 106:2012, 8.3: acceptance limits; ILAC-G8:09/2019, 4.2); none where it accepts nothing, because the
/// guard bands meet.
///
/// # Errors
/// A window without a limit, and quantities that cannot be compared.
pub fn acceptance(
    window: &Window,
    uncertainty: &Uncertainty,
    rule: Rule,
) -> Result<Option<Acceptance>, RuleError> {
    let ends = [window.low(), window.high()].map(|end| end.map(|end| end.decimal().to_f64()));
    // The expanded uncertainty is an amount, or a share of the reading: a straight line, known from two points of it.
    let at = |whole: i128| -> Result<f64, QuantityError> {
        let value = Rational::new(whole, 1)?;
        Ok(uncertainty.expanded_in(window.unit(), value)?.to_f64())
    };
    let (amount, share) = (at(0)?, at(1)? - at(0)?);
    let expanded = |value: f64| amount + share * value.abs();
    let accepts = |value: f64| {
        let inside =
            ends[0].is_none_or(|low| value >= low) && ends[1].is_none_or(|high| value <= high);
        match rule {
            Rule::Simple => inside,
            Rule::Guarded | Rule::Four => {
                ends[0].is_none_or(|low| value - low >= expanded(value))
                    && ends[1].is_none_or(|high| high - value >= expanded(value))
            }
            Rule::Probability(asked) => {
                let standard = expanded(value) / uncertainty.coverage().to_f64();
                conformity(value, standard, ends[0], ends[1]) >= asked.to_f64()
            }
        }
    };
    // A place well inside, and how far outside a limit may lie.
    let (inside, far) = match ends {
        [Some(low), Some(high)] => (
            f64::midpoint(low, high),
            high - low + expanded(low.max(high)),
        ),
        [Some(low), None] => {
            let far = 1.0 + low.abs() + 10.0 * expanded(low);
            (low + 10.0 * far, far)
        }
        [None, Some(high)] => {
            let far = 1.0 + high.abs() + 10.0 * expanded(high);
            (high - 10.0 * far, far)
        }
        [None, None] => return Err(QuantityError::NotAWindow("..".to_owned()).into()),
    };
    if !accepts(inside) {
        return Ok(None);
    }
    let edge = |out: f64| {
        let (mut taken, mut refused) = (inside, out);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(taken, refused);
            if accepts(middle) {
                taken = middle;
            } else {
                refused = middle;
            }
        }
        taken
    };
    Ok(Some(Acceptance {
        low: ends[0].map(|low| edge(low - far)),
        high: ends[1].map(|high| edge(high + far)),
    }))
}
