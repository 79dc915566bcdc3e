//! The JSON of a procedure, read as it stands.

use std::collections::BTreeMap;

use serde_json::Value;

pub(super) fn text<'a>(of: &'a Value, member: &str) -> &'a str {
    of[member].as_str().unwrap_or("")
}

pub(super) fn list<'a>(of: &'a Value, member: &str) -> &'a [Value] {
    of[member].as_array().map_or(&[], Vec::as_slice)
}

pub(super) fn flag(of: &Value, member: &str) -> bool {
    of[member] == Value::Bool(true)
}

pub(super) fn count(of: &Value) -> u64 {
    of["count"].as_u64().unwrap_or(1)
}

pub(super) fn names<'a>(of: &'a Value, member: &str) -> Vec<&'a str> {
    list(of, member).iter().filter_map(Value::as_str).collect()
}

/// A word alone, or an object of one member.
pub(super) fn word_of(value: &Value) -> (&str, &Value) {
    match value {
        Value::Object(members) => members
            .iter()
            .next()
            .map_or(("", &Value::Null), |(word, of)| (word, of)),
        other => (other.as_str().unwrap_or(""), &Value::Null),
    }
}

pub(super) fn bar(pressure: &str) -> Option<f64> {
    pressure.split(' ').next()?.parse().ok()
}

pub(super) fn meets(of: &Value, choice: &BTreeMap<&str, &str>) -> bool {
    of["when"].as_object().is_none_or(|when| {
        when.iter().all(|(option, values)| {
            choice.get(option.as_str()).is_some_and(|chosen| {
                values
                    .as_array()
                    .is_some_and(|values| values.iter().any(|value| value == chosen))
            })
        })
    })
}
