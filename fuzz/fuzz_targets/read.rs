//! Any bytes: reading and proving end without a panic, a hang or much memory.
//!
//! Bytes changed at random seldom get past the reader, so half of the changes keep the text JSON: members and elements
//! are taken away, doubled, swapped, or put where another one stood, and numbers and texts exchanged. Those reach the
//! proof. How it is run stands in `DEVELOPERS.md`.
#![no_main]

use std::hint::black_box;

use libfuzzer_sys::{fuzz_mutator, fuzz_target, fuzzer_mutate};
use serde_json::Value;

fuzz_target!(|bytes: &[u8]| {
    black_box(reseat_procedure::check(bytes));
});

fuzz_mutator!(|bytes: &mut [u8], size: usize, most: usize, seed: u32| {
    let mut chance = Chance(u64::from(seed) << 1 | 1);
    if chance.below(2) == 0
        && let Ok(mut text) = serde_json::from_slice::<Value>(&bytes[..size])
    {
        for _ in 0..=chance.below(3) {
            change(&mut text, &mut chance);
        }
        if let Ok(changed) = serde_json::to_vec(&text)
            && changed.len() <= most.min(bytes.len())
        {
            bytes[..changed.len()].copy_from_slice(&changed);
            return changed.len();
        }
    }
    fuzzer_mutate(bytes, size, most)
});

/// Numbers by xorshift: the same beginning gives the same change, so that a crash can be made again.
struct Chance(u64);

impl Chance {
    fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 >> 33).unwrap_or(0) % end.max(1)
    }
}

/// How many values there are in a text, itself included.
fn count(value: &Value) -> usize {
    1 + match value {
        Value::Array(items) => items.iter().map(count).sum(),
        Value::Object(members) => members.values().map(count).sum::<usize>(),
        _ => 0,
    }
}

/// The value of this number, counted from the outside in.
fn at<'v>(value: &'v mut Value, number: &mut usize) -> Option<&'v mut Value> {
    if *number == 0 {
        return Some(value);
    }
    *number -= 1;
    match value {
        Value::Array(items) => items.iter_mut().find_map(|item| at(item, number)),
        Value::Object(members) => members.values_mut().find_map(|item| at(item, number)),
        _ => None,
    }
}

fn change(text: &mut Value, chance: &mut Chance) {
    let all = count(text);
    let taken = at(text, &mut chance.below(all)).map(|value| value.clone());
    let Some(place) = at(text, &mut chance.below(all)) else {
        return;
    };
    match place {
        Value::Array(items) if !items.is_empty() => {
            let (one, other) = (chance.below(items.len()), chance.below(items.len()));
            match chance.below(4) {
                0 => items.swap(one, other),
                1 => drop(items.remove(one)),
                2 => items.insert(other, items[one].clone()),
                _ => items.insert(one, taken.unwrap_or_default()),
            }
        }
        Value::Object(members) if !members.is_empty() => {
            let name = members.keys().nth(chance.below(members.len())).cloned();
            if let Some(name) = name
                && chance.below(2) == 0
            {
                members.remove(&name);
            } else {
                members.extend(taken.as_ref().and_then(Value::as_object).cloned().unwrap_or_default());
            }
        }
        Value::Number(number) => *number = [0, 1, 2, 7, u32::MAX][chance.below(5)].into(),
        Value::Bool(flag) => *flag = !*flag,
        Value::String(_) if matches!(taken, Some(Value::String(_))) => *place = taken.unwrap_or_default(),
        _ => *place = taken.unwrap_or_default(),
    }
}
