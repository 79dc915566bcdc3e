//! What is typed at `reseat calc`, and the sentence for each thing typed wrongly.

use std::fmt::Display;

use reseat_measure::{Decimal, Dimension, Grade, Quantity, QuantityError, Thread};

use super::super::Stop;

/// Says what is wrong with one argument, and what to do.
pub(super) fn wrong(argument: &str, error: impl Display) -> Stop {
    let words = error.to_string();
    // Some sentences end in a question already.
    let end = if words.ends_with('?') { "" } else { "." };
    Stop::words(format!("{argument}: {words}{end}"), "")
}

/// A quantity of one kind.
pub(super) fn quantity(argument: &str, text: &str, dimension: Dimension) -> Result<Quantity, Stop> {
    let words = dimension.words();
    let example = example(dimension);
    let found = Quantity::parse(text).map_err(|error| match error {
        // The general example is a torque; here the kind is known.
        QuantityError::NoUnit(number) => wrong(
            argument,
            format!("{number:?} has no unit; type a {words} with its unit{example}"),
        ),
        QuantityError::Empty => wrong(
            argument,
            format!("nothing was typed; type a {words} with its unit{example}"),
        ),
        error => wrong(argument, error),
    })?;
    if found.dimension() == dimension {
        return Ok(found);
    }
    Err(wrong(
        argument,
        format!(
            "{found} is a {}; type a {words}{example}",
            found.dimension().words()
        ),
    ))
}

/// The same where it may be left out.
pub(super) fn optional(
    argument: &str,
    text: Option<&str>,
    dimension: Dimension,
) -> Result<Option<Quantity>, Stop> {
    text.map(|text| quantity(argument, text, dimension))
        .transpose()
}

/// The end of a sentence that asks for a quantity of a kind.
fn example(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Torque => ", for example 120 N·m",
        Dimension::Pressure => ", for example 6 bar g",
        Dimension::Length => ", for example 12 mm",
        Dimension::Volume => ", for example 2 L",
        Dimension::Force => ", for example 1250 N",
        Dimension::Temperature => ", for example 20 °C",
        Dimension::Time => ", for example 70 s",
        Dimension::Angle => ", for example 90 °",
        Dimension::Flow => ", for example 100 L/min",
        _ => "",
    }
}

/// A bare number, with no unit behind it.
pub(super) fn bare(text: &str) -> Result<Decimal, String> {
    if text.trim().is_empty() {
        return Err("nothing stands there; write a number without a unit".to_owned());
    }
    if text.chars().any(char::is_alphabetic) {
        return Err(format!(
            "{text:?} is not a bare number; write digits with at most one decimal point, and no unit"
        ));
    }
    Decimal::parse(text).map_err(|error| error.to_string())
}

/// The number of an argument that takes no unit.
pub(super) fn number(argument: &str, text: &str) -> Result<f64, Stop> {
    Ok(bare(text).map_err(|words| wrong(argument, words))?.to_f64())
}

/// A percentage, with or without its sign.
pub(super) fn percent(argument: &str, text: &str) -> Result<f64, Stop> {
    let text = text.trim();
    number(argument, text.strip_suffix('%').unwrap_or(text).trim_end())
}

/// A thread of the table.
pub(super) fn thread(text: &str) -> Result<Thread, Stop> {
    Thread::parse(text).map_err(|error| wrong("--thread", format!("{error}; type one of those")))
}

/// A grade of the table.
pub(super) fn grade(text: &str) -> Result<Grade, Stop> {
    Grade::parse(text).map_err(|error| wrong("--grade", format!("{error}; type one of those")))
}
