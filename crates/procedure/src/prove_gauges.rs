//! Gauges: whether they reach and suit what is read on them, in a test and in the zero-energy check.

use std::cmp::Ordering;

use reseat_measure::{Quantity, Window};

use crate::codes;
use crate::finding::{Finding, Severity};
use crate::model::{Deed, Instrument, Procedure, ZeroSide};

/// Full scale of a test gauge, in times the test pressure (from memory, no source read).
const FULL_SCALE: (f64, f64) = (1.5, 4.0);

/// What can be seen of gauges in the declarations.
pub(crate) fn gauges(procedure: &Procedure) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (at, side) in procedure.zero.iter().enumerate() {
        if let Some(message) = narrow(procedure, side) {
            findings.push(Finding::new(
                codes::ZERO_WINDOW_NARROW,
                codes::severity(codes::ZERO_WINDOW_NARROW),
                format!("/zero/{at}/window"),
                message,
                "Write limits at least as wide as the error of the gauge, such as -0.1..0.1 bar g.",
            ));
        }
    }
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
    let steps = procedure.sections.iter().flat_map(|section| &section.steps);
    steps.flat_map(|step| &step.does).any(|deed| {
        matches!(deed, Deed::LetIn { pressure: Some(_), gauge: Some(gauge), .. } if *gauge == instrument.id)
    })
}

/// Limits of zero that its gauge cannot hold: a true zero would be read as HIGH or LOW.
fn narrow(procedure: &Procedure, side: &ZeroSide) -> Option<String> {
    let (low, high) = (side.window.low()?, side.window.high()?);
    let gauge = &side.instrument;
    let stated = procedure
        .instruments
        .iter()
        .find(|instrument| instrument.id == *gauge)
        .and_then(|instrument| instrument.error.as_ref());
    let Some(error) = stated else {
        let nothing = low.cmp_exact(&high).is_ok_and(Ordering::is_eq);
        return nothing.then(|| format!("No gauge reads {} on {} exactly.", side.window, side.id));
    };
    // An error has no reference point, so sizes are compared: 0.1 bar with 0.1 bar g.
    let unit = side.window.unit();
    let (low, high, error) = (
        low.size_in(unit).ok()?,
        high.size_in(unit).ok()?,
        error.size_in(unit).ok()?,
    );
    (high < error || low.plus(error).ok()?.to_f64() > 0.0).then(|| {
        format!(
            "Zero on {} must be read within {}; {gauge} may be wrong by {}.",
            side.id,
            side.window,
            stated.map_or_else(String::new, ToString::to_string)
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
        .sections
        .iter()
        .flat_map(|section| &section.steps)
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
