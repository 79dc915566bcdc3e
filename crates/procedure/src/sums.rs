//! The sums of a joint: what its window does to its bolts at the top, and how firmly it clamps at the bottom.

use reseat_measure::{
    Assessment, Bolt, Condition, Grade, Joint as Arithmetic, Quantity, Thread, Unit,
};

use crate::model::Joint;

/// Why nothing can be worked out about a joint.
pub(crate) enum Unknown {
    /// The thread is in no table.
    Thread,
    /// The grade is in no table, or has no published strength for this thread.
    Grade(Thread),
    /// The letter names no thread condition.
    Condition,
    /// Stainless of this grade, tightened dry.
    DryStainless(&'static str),
}

/// Bolts and condition of a joint as the tables know them.
pub(crate) fn arithmetic(joint: &Joint) -> Result<Arithmetic, Unknown> {
    let thread = Thread::parse(&joint.thread).map_err(|_| Unknown::Thread)?;
    let bolt = Grade::parse(&joint.grade)
        .ok()
        .and_then(|grade| Bolt::new(thread, grade).ok())
        .ok_or(Unknown::Grade(thread))?;
    let condition = Condition::parse(&joint.condition).map_err(|_| Unknown::Condition)?;
    Arithmetic::new(bolt, condition).map_err(|_| Unknown::DryStainless(bolt.grade().name()))
}

/// The window held against the bolts; none where it is no torque window with both limits. A locking nut's greatest
/// prevailing torque counts at the top, where it twists the bolt too.
pub(crate) fn assessed(joint: &Joint, arithmetic: &Arithmetic) -> Option<Assessment> {
    let drag = joint.prevailing.and_then(|window| window.high());
    arithmetic.assess(&joint.window, drag.as_ref()).ok()
}

/// The highest top of the window that stays within 75 % of proof, in the window's unit, rounded down to three figures.
pub(crate) fn highest_top(joint: &Joint, assessed: &Assessment) -> String {
    let unit = joint.window.unit();
    let nm = Unit::NewtonMetre;
    let in_unit = |quantity: Quantity| quantity.to_f64_in(nm).unwrap_or(0.0);
    let drag = joint
        .prevailing
        .and_then(|window| window.high())
        .map_or(0.0, in_unit);
    let one = Quantity::parse(&format!("1 {}", unit.symbol())).map_or(1.0, in_unit);
    let top = (assessed.t75_nm - drag).max(0.0) / one;
    let decimals = match top {
        top if top < 10.0 => 2,
        top if top < 100.0 => 1,
        _ => 0,
    };
    let tens = 10_f64.powi(decimals);
    let top = (top * tens).floor() / tens;
    let decimals = usize::try_from(decimals).unwrap_or(0);
    format!("{top:.decimals$} {}", unit.symbol())
}

/// How far, as a share of it, a sum of binary digits may stand beside the figure meant, which is then not rounded away from.
const DIGITS_ASIDE: f64 = 1e-9;

/// The least force that clamps, in kilonewtons, rounded down to three figures: `36.1 kN`, `122 kN`.
pub(crate) fn at_least_kilonewtons(newtons: f64) -> String {
    let kilo = newtons / 1000.0 * (1.0 + DIGITS_ASIDE);
    let (decimals, tens) = match kilo {
        kilo if kilo < 10.0 => (2, 100.0),
        kilo if kilo < 100.0 => (1, 10.0),
        _ => (0, 1.0),
    };
    format!("{:.decimals$} kN", (kilo * tens).floor() / tens)
}

/// The greatest share that bolts are loaded to, rounded up to whole percents, with what it is a share of: `84 % of proof`.
pub(crate) fn at_most_of(percent: f64, arithmetic: &Arithmetic) -> String {
    let of = arithmetic.bolt().strength().basis.shared();
    format!("{:.0} % of {of}", (percent * (1.0 - DIGITS_ASIDE)).ceil())
}

/// Both ends of a joint's window, a line each: percent of proof (or of the 0.2 % yield) at the top for the lowest nut factor, clamp at the
/// bottom for the highest. None where a finding says what keeps it from being worked out.
pub(crate) fn both_ends(joint: &Joint) -> Option<[String; 2]> {
    let arithmetic = arithmetic(joint).ok()?;
    let (low, high) = (joint.window.low()?, joint.window.high()?);
    let sums = assessed(joint, &arithmetic)?;
    let (slippery, rough) = arithmetic.condition().nut_factors();
    let all = sums.clamp_n * f64::from(joint.fasteners);
    let each = match joint.fasteners {
        1 => String::new(),
        several => format!("{several} × {} = ", at_least_kilonewtons(sums.clamp_n)),
    };
    let drag = match joint.prevailing.and_then(|window| window.high()) {
        Some(drag) => format!(" with {drag} of prevailing torque"),
        None => String::new(),
    };
    let needed = match &joint.clamp_needed {
        Some(needed) => format!(", {needed} needed"),
        None => String::new(),
    };
    let id = &joint.id;
    Some([
        format!(
            "{id} at the top of its window, {high}{drag}: loaded to at most {} (nut factor {slippery:.2})",
            at_most_of(sums.percent_high, &arithmetic)
        ),
        format!(
            "{id} at the bottom, {low}: clamps with at least {each}{} (nut factor {rough:.2}){needed}",
            at_least_kilonewtons(all)
        ),
    ])
}

/// Both ends of a joint's window in one line for the bench, the same sums: how much its bolts are loaded at the top, how
/// firmly it clamps at the bottom, all fasteners together. None as for [`both_ends`].
#[must_use]
pub fn at_the_bench(joint: &Joint) -> Option<String> {
    let arithmetic = arithmetic(joint).ok()?;
    let sums = assessed(joint, &arithmetic)?;
    let clamp = at_least_kilonewtons(sums.clamp_n * f64::from(joint.fasteners));
    let load = at_most_of(sums.percent_high, &arithmetic);
    Some(format!("at most {load}, at least {clamp}"))
}
