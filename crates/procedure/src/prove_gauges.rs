//! Gauges: whether they reach and suit what is read on them, in a test and in the zero-energy check.

use std::cmp::Ordering;

use reseat_measure::{Quantity, Window};

use crate::codes;
use crate::finding::{Finding, Severity};
use crate::model::{Asked, Deed, Instrument, Procedure, ZeroSide};

/// Full scale of a test gauge, in times the test pressure (from memory, no source read).
const FULL_SCALE: (f64, f64) = (1.5, 4.0);

/// What can be seen of gauges in the declarations.
pub(crate) fn gauges(procedure: &Procedure) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (at, side) in procedure.zero.iter().enumerate() {
        let told = [
            narrow(procedure, side).map(|told| (codes::ZERO_WINDOW_NARROW, told)),
            wide(procedure, side).map(|told| (codes::ZERO_WINDOW_WIDE, told)),
        ];
        for (code, (message, remedy)) in told.into_iter().flatten() {
            findings.push(Finding::new(
                code,
                codes::severity(code),
                format!("/zero/{at}/window"),
                message,
                remedy,
            ));
        }
    }
    readings_of_zero(procedure, &mut findings);
    for (at, instrument) in procedure.instruments.iter().enumerate() {
        if instrument.range.is_none() && raises(procedure, instrument) {
            findings.push(Finding::new(
                codes::GAUGE_WITHOUT_RANGE,
                codes::severity(codes::GAUGE_WITHOUT_RANGE),
                format!("/instruments/{at}/id"),
                format!(
                    "Pressure is let in on {}, which states no range.",
                    instrument.id
                ),
                "Write the range at the instrument, such as 0..16 bar g.",
            ));
        }
    }
    findings
}

fn raises(procedure: &Procedure, instrument: &Instrument) -> bool {
    let mut deeds = procedure.steps().flat_map(|step| &step.does);
    deeds.any(|deed| {
        matches!(deed, Deed::LetIn { pressure: Some(_), gauge: Some(gauge), .. } if *gauge == instrument.id)
    })
}

/// A reading that proves a side is held against the limits of that side and no others.
fn readings_of_zero(procedure: &Procedure, findings: &mut Vec<Finding>) {
    for (section_at, section) in procedure.sections.iter().enumerate() {
        for (step_at, step) in section.steps.iter().enumerate() {
            for (ask_at, ask) in step.asks.iter().enumerate() {
                let Asked::Reading(measured) = ask else {
                    continue;
                };
                let (Some(proves), Some(window)) = (&measured.proves, &measured.window) else {
                    continue;
                };
                let Some(side) = procedure.zero.iter().find(|side| side.id == *proves) else {
                    continue;
                };
                if same(window, &side.window) {
                    continue;
                }
                findings.push(Finding::new(
                    codes::ZERO_WINDOW_DIFFERS,
                    Severity::Error,
                    format!("/sections/{section_at}/steps/{step_at}/asks/{ask_at}/reading/window"),
                    format!(
                        "{} is read as zero within {window}; under zero it has {}.",
                        side.id, side.window
                    ),
                    "Write the same limits in both places.",
                ));
            }
        }
    }
}

fn same(one: &Window, other: &Window) -> bool {
    let equal = |one: Option<Quantity>, other: Option<Quantity>| match (one, other) {
        (Some(one), Some(other)) => one.cmp_exact(&other).is_ok_and(Ordering::is_eq),
        (one, other) => one.is_none() && other.is_none(),
    };
    equal(one.low(), other.low()) && equal(one.high(), other.high())
}

fn gauge<'p>(procedure: &'p Procedure, side: &ZeroSide) -> Option<&'p Instrument> {
    let mut instruments = procedure.instruments.iter();
    instruments.find(|instrument| instrument.id == side.instrument)
}

/// Limits of zero in which the whole scale of the gauge is zero.
fn wide(procedure: &Procedure, side: &ZeroSide) -> Option<(String, String)> {
    let (high, full) = (side.window.high()?, gauge(procedure, side)?.range?.high()?);
    let reaches = high.cmp_exact(&full).is_ok_and(Ordering::is_ge);
    reaches.then(|| {
        (
            format!(
                "Zero on {} may be as high as {high}, and {} reads no further than {full}.",
                side.id, side.instrument
            ),
            format!(
                "Write the limits of zero in the unit of {}, as wide as its error.",
                side.instrument
            ),
        )
    })
}

/// Limits of zero that its gauge cannot hold: a true zero would be read as HIGH or LOW.
fn narrow(procedure: &Procedure, side: &ZeroSide) -> Option<(String, String)> {
    let (low, high) = (side.window.low()?, side.window.high()?);
    let name = &side.instrument;
    let Some(stated) = gauge(procedure, side).and_then(|gauge| gauge.error.as_ref()) else {
        let nothing = low.cmp_exact(&high).is_ok_and(Ordering::is_eq);
        return nothing.then(|| {
            (
                format!("No gauge reads {} on {} exactly.", side.window, side.id),
                format!("Write the error of {name} at the instrument, and limits of zero as wide on both sides."),
            )
        });
    };
    // An error has no reference point, so sizes are compared: 0.1 bar with 0.1 bar g.
    let unit = side.window.unit();
    let (low, high, error) = (
        low.size_in(unit).ok()?,
        high.size_in(unit).ok()?,
        stated.size_in(unit).ok()?,
    );
    (high < error || low.plus(error).ok()?.to_f64() > 0.0).then(|| {
        (
            format!(
                "Zero on {} must be read within {}; {name} may be wrong by {stated}.",
                side.id, side.window
            ),
            format!("Write limits of zero at least as wide as {stated} on both sides."),
        )
    })
}

/// Pressure that goes into a chamber: within its limit, read on a gauge that suits it.
pub(crate) fn let_in(
    procedure: &Procedure,
    chamber: &str,
    pressure: &Quantity,
    gauge: Option<&str>,
    pointer: &str,
    findings: &mut Vec<Finding>,
) {
    let limit = procedure
        .chambers
        .iter()
        .find(|known| known.id == chamber)
        .and_then(|known| known.limit);
    if let Some(limit) = limit
        && pressure.cmp_exact(&limit).is_ok_and(Ordering::is_gt)
    {
        let message = format!("{pressure} goes into {chamber}, whose limit is {limit}.");
        findings.push(Finding::new(
            codes::TEST_OVER_LIMIT,
            Severity::Error,
            pointer,
            message,
            "Lower the pressure; never raise a limit to suit a test.",
        ));
    }
    let range = gauge
        .and_then(|name| {
            procedure
                .instruments
                .iter()
                .find(|instrument| instrument.id == name)
        })
        .map(|gauge| gauge.range);
    match range {
        None => {
            let message = format!("{pressure} goes into {chamber}, but no gauge is named.");
            findings.push(Finding::new(
                codes::TEST_WITHOUT_GAUGE,
                Severity::Error,
                pointer,
                message,
                "Name the gauge that is read.",
            ));
        }
        Some(None) => {}
        Some(Some(range)) => suits(
            procedure,
            chamber,
            (pressure, gauge.unwrap_or_default(), &range),
            pointer,
            findings,
        ),
    }
}

/// A gauge must reach the pressure; its scale is held against the highest pressure it reads in this chamber.
fn suits(
    procedure: &Procedure,
    chamber: &str,
    (pressure, gauge, range): (&Quantity, &str, &Window),
    pointer: &str,
    findings: &mut Vec<Finding>,
) {
    let Some(top) = range.high() else { return };
    let (Ok(full), Ok(wanted)) = (top.to_f64_in(top.unit()), pressure.to_f64_in(top.unit())) else {
        return;
    };
    if full < wanted {
        let message = format!("{gauge} reads to {top}; {pressure} goes into {chamber}.");
        findings.push(Finding::new(
            codes::TEST_WITHOUT_GAUGE,
            Severity::Error,
            pointer,
            message,
            "Name a gauge that reaches the pressure.",
        ));
        return;
    }
    let highest = procedure
        .steps()
        .flat_map(|step| &step.does)
        .filter_map(|deed| match deed {
            Deed::LetIn {
                chamber: other,
                pressure: Some(pressure),
                gauge: Some(read),
                ..
            } if other == chamber && read == gauge => pressure.to_f64_in(top.unit()).ok(),
            _ => None,
        })
        .fold(wanted, f64::max);
    if highest > wanted {
        return;
    }
    if full < FULL_SCALE.0 * wanted || full > FULL_SCALE.1 * wanted {
        let message = format!(
            "The full scale of {gauge}, {top}, is {:.1} times the test pressure.",
            full / wanted
        );
        findings.push(Finding::new(
            codes::GAUGE_SCALE,
            Severity::Warning,
            pointer,
            message,
            "Take a gauge with 1.5 to 4 times the test pressure.",
        ));
    }
}
