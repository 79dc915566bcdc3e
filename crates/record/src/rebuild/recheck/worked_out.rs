//! Values worked out from readings before, against those readings.

use reseat_measure::Quantity;
use reseat_procedure::model::{Asked, Computation, Procedure};

use super::standing::Standing;
use crate::rebuild::body::Reading;
use crate::rebuild::compute::compute;

/// The things that a value is worked out from, in order, and how.
struct Recipe {
    from: Vec<String>,
    how: Computation,
}

/// A value that is not what the readings it names give, or that names others than the procedure does; a side value that was read
/// otherwise.
pub(super) fn fault(
    procedure: &Procedure,
    reading: &Reading,
    value: &Quantity,
    standing: &Standing,
) -> Option<String> {
    let step = super::step(procedure, &reading.step);
    let asks = step.map(|step| step.asks.as_slice()).unwrap_or_default();
    if let Some(fault) = beside_fault(asks, reading, standing) {
        return Some(fault);
    }
    if reading.method != "computed" || reading.from.is_empty() {
        return None;
    }
    let unread = |entry: &u64| standing.reading(*entry).is_none();
    if reading.from.iter().any(unread) {
        return Some("It is worked out from an entry that is no reading before it.".to_owned());
    }
    let recipe = recipe(asks, reading)?;
    let joint = reading.joint.as_deref();
    let mut values = Vec::with_capacity(recipe.from.len());
    let mut entries = Vec::with_capacity(recipe.from.len());
    for thing in &recipe.from {
        let Some((entry, read)) = standing.thing(joint, thing) else {
            return Some(format!(
                "It is worked out from {thing}, which was not read."
            ));
        };
        entries.push(*entry);
        values.push(*read);
    }
    if entries != reading.from {
        let named: Vec<String> = entries.iter().map(ToString::to_string).collect();
        return Some(format!(
            "It is worked out from other entries than the readings that stand, {}.",
            named.join(", ")
        ));
    }
    let now = compute(&values, recipe.how)?;
    (now.to_string() != reading.means || now.decimal().to_string() != reading.typed).then(|| {
        let values: Vec<String> = values.iter().map(ToString::to_string).collect();
        format!("From {} it is {now}, not {value}.", values.join(", "))
    })
}

fn recipe(asks: &[Asked], reading: &Reading) -> Option<Recipe> {
    let thing = reading.thing.as_deref()?;
    if reading.joint.is_some() {
        return (thing == "gap/spread").then(|| Recipe {
            from: (1..=reading.from.len())
                .map(|number| format!("gap/{number}"))
                .collect(),
            how: Computation::Spread,
        });
    }
    asks.iter().find_map(|asked| match asked {
        Asked::Computed { id, from, how, .. } if id == thing => Some(Recipe {
            from: from.clone(),
            how: *how,
        }),
        _ => None,
    })
}

/// A side value in `with` is the one read before it.
fn beside_fault(asks: &[Asked], reading: &Reading, standing: &Standing) -> Option<String> {
    reading.with.iter().find_map(|(label, value)| {
        let measured = asks.iter().find_map(|asked| match asked {
            Asked::Reading(measured) if Some(measured.id.as_str()) == reading.thing.as_deref() => {
                Some(measured)
            }
            _ => None,
        })?;
        let thing = format!("{}/beside", measured.id);
        let read = standing
            .thing(None, &thing)
            .map(|(_, read)| read.to_string());
        (read.as_ref() != Some(value)).then(|| {
            format!(
                "Its {label} is {value}, {} was read.",
                read.as_deref().unwrap_or("nothing")
            )
        })
    })
}
