//! The one byte form of a value: RFC 8785 (JSON Canonicalization Scheme), restricted to what reseat writes.
//!
//! Restricted means: strings, booleans, arrays, objects and whole numbers within ±(2^53-1); no null, no fractions; member
//! names ASCII; strings in normal form C. Within that subset the RFC's number printing is plain decimal, and its order of
//! members by UTF-16 code units is the order of bytes.

use serde_json::{Map, Value};
use unicode_normalization::is_nfc;

use super::Damage;

/// Largest whole number that every JSON reader keeps exactly: 2^53 - 1 (RFC 8785, 3.2.2.3 and appendix D).
pub const MAX_INTEGER: i64 = 9_007_199_254_740_991;

/// Deepest nesting of arrays and objects in an entry, the entry's own object counted.
pub const MAX_DEPTH: usize = 32;

/// Canonical bytes of one object.
///
/// # Errors
/// The [`Damage`] that names the first member which lies outside the subset.
pub fn canonical(object: &Map<String, Value>) -> Result<Vec<u8>, Damage> {
    let mut out = Vec::with_capacity(512);
    write_object(&mut out, object, Path::Entry, 1)?;
    Ok(out)
}

/// Canonical bytes of an object whose members stand in several places, none of them copied.
///
/// # Errors
/// As [`canonical`].
pub(super) fn canonical_of(mut members: Vec<(&str, Member<'_>)>) -> Result<Vec<u8>, Damage> {
    let mut out = Vec::with_capacity(1024);
    members.sort_unstable_by(|one, other| one.0.cmp(other.0));
    write_members(
        &mut out,
        members,
        Path::Entry,
        |out, member, path| match member {
            Member::Text(text) => write_text(out, text, path),
            Member::Value(value) => write_value(out, value, path, 1),
            Member::Object(object) => write_object(out, object, path, 2),
        },
    )?;
    Ok(out)
}

/// A member of an object that is printed without being put together first.
pub(super) enum Member<'a> {
    /// A string.
    Text(&'a str),
    /// Any value.
    Value(&'a Value),
    /// An object.
    Object(&'a Map<String, Value>),
}

/// Where a value stands. Put into words only for the sentence of an error.
#[derive(Clone, Copy)]
enum Path<'a> {
    Entry,
    Member(&'a Path<'a>, &'a str),
}

impl Path<'_> {
    fn shown(self) -> String {
        let mut names = Vec::new();
        let mut here = self;
        while let Path::Member(above, name) = here {
            names.push(name);
            here = *above;
        }
        names.reverse();
        if names.is_empty() {
            "the entry".to_owned()
        } else {
            format!("\"{}\"", names.join("."))
        }
    }
}

fn write_value(
    out: &mut Vec<u8>,
    value: &Value,
    path: Path<'_>,
    depth: usize,
) -> Result<(), Damage> {
    match value {
        Value::Null => Err(Damage::Null(path.shown())),
        Value::Bool(true) => {
            out.extend_from_slice(b"true");
            Ok(())
        }
        Value::Bool(false) => {
            out.extend_from_slice(b"false");
            Ok(())
        }
        Value::Number(number) => match number.as_i64() {
            Some(whole) if whole.abs() <= MAX_INTEGER => {
                out.extend_from_slice(whole.to_string().as_bytes());
                Ok(())
            }
            _ => Err(Damage::Number(path.shown())),
        },
        Value::String(text) => write_text(out, text, path),
        Value::Array(items) => write_array(out, items, path, depth + 1),
        Value::Object(object) => write_object(out, object, path, depth + 1),
    }
}

fn write_array(
    out: &mut Vec<u8>,
    items: &[Value],
    path: Path<'_>,
    depth: usize,
) -> Result<(), Damage> {
    if depth > MAX_DEPTH {
        return Err(Damage::TooDeep);
    }
    out.push(b'[');
    for (place, item) in items.iter().enumerate() {
        if place > 0 {
            out.push(b',');
        }
        write_value(out, item, path, depth)?;
    }
    out.push(b']');
    Ok(())
}

fn write_object(
    out: &mut Vec<u8>,
    object: &Map<String, Value>,
    path: Path<'_>,
    depth: usize,
) -> Result<(), Damage> {
    if depth > MAX_DEPTH {
        return Err(Damage::TooDeep);
    }
    // Sorted here and not trusted to the map: another package may switch serde_json to insertion order.
    let mut members: Vec<(&str, &Value)> = object
        .iter()
        .map(|(key, value)| (key.as_str(), value))
        .collect();
    members.sort_unstable_by(|one, other| one.0.cmp(other.0));
    write_members(out, members, path, |out, value, path| {
        write_value(out, value, path, depth)
    })
}

/// Members in the order given, which is that of their names.
fn write_members<T>(
    out: &mut Vec<u8>,
    members: Vec<(&str, T)>,
    path: Path<'_>,
    mut write: impl FnMut(&mut Vec<u8>, T, Path<'_>) -> Result<(), Damage>,
) -> Result<(), Damage> {
    out.push(b'{');
    for (place, (key, value)) in members.into_iter().enumerate() {
        if !key.is_ascii() {
            return Err(Damage::Key(path.shown()));
        }
        if place > 0 {
            out.push(b',');
        }
        write_string(out, key);
        out.push(b':');
        write(out, value, Path::Member(&path, key))?;
    }
    out.push(b'}');
    Ok(())
}

fn write_text(out: &mut Vec<u8>, text: &str, path: Path<'_>) -> Result<(), Damage> {
    // Most text is ASCII, which is its own normal form.
    if !text.is_ascii() && !is_nfc(text) {
        return Err(Damage::NotNfc(path.shown()));
    }
    write_string(out, text);
    Ok(())
}

/// String form of RFC 8785, 3.2.2.2: two-character escapes where JSON has them, `\u00xx` in lower case for the other
/// control characters below U+0020, everything else as it is.
fn write_string(out: &mut Vec<u8>, text: &str) {
    const HEX: &[u8; 16] = b"0123456789abcdef";
    out.push(b'"');
    let mut rest = text;
    // What needs no escape is copied in one piece.
    while let Some(at) = rest
        .bytes()
        .position(|byte| byte < 0x20 || byte == b'"' || byte == b'\\')
    {
        out.extend_from_slice(&rest.as_bytes()[..at]);
        match rest.as_bytes()[at] {
            b'"' => out.extend_from_slice(b"\\\""),
            b'\\' => out.extend_from_slice(b"\\\\"),
            0x08 => out.extend_from_slice(b"\\b"),
            0x09 => out.extend_from_slice(b"\\t"),
            0x0a => out.extend_from_slice(b"\\n"),
            0x0c => out.extend_from_slice(b"\\f"),
            0x0d => out.extend_from_slice(b"\\r"),
            byte => {
                out.extend_from_slice(b"\\u00");
                out.push(HEX[usize::from(byte >> 4)]);
                out.push(HEX[usize::from(byte & 15)]);
            }
        }
        rest = &rest[at + 1..];
    }
    out.extend_from_slice(rest.as_bytes());
    out.push(b'"');
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> Result<String, Damage> {
        let value: Map<String, Value> = serde_json::from_str(text).unwrap();
        canonical(&value).map(|bytes| String::from_utf8(bytes).unwrap())
    }

    #[test]
    fn whole_numbers_at_the_edge_pass_and_one_beyond_is_refused() {
        assert_eq!(
            of(r#"{"a":9007199254740991,"b":-9007199254740991}"#).unwrap(),
            r#"{"a":9007199254740991,"b":-9007199254740991}"#
        );
        for beyond in [
            "9007199254740992",
            "-9007199254740992",
            "18446744073709551615",
            "1.5",
            "1.0",
            "1e2",
            "-0",
        ] {
            assert_eq!(
                of(&format!("{{\"a\":{beyond}}}")),
                Err(Damage::Number("\"a\"".into())),
                "{beyond}"
            );
        }
    }

    #[test]
    fn null_foreign_keys_and_loose_marks_are_refused_with_their_place() {
        assert_eq!(
            of(r#"{"a":{"b":null}}"#),
            Err(Damage::Null("\"a.b\"".into()))
        );
        assert_eq!(of(r#"{"é":1}"#), Err(Damage::Key("the entry".into())));
        assert_eq!(
            of("{\"a\":\"A\\u030a\"}"),
            Err(Damage::NotNfc("\"a\"".into()))
        );
    }

    #[test]
    fn nesting_stops_at_the_limit() {
        let nested = |depth: usize| format!("{{\"a\":{}{}}}", "[".repeat(depth), "]".repeat(depth));
        assert!(of(&nested(MAX_DEPTH - 1)).is_ok());
        assert_eq!(of(&nested(MAX_DEPTH)), Err(Damage::TooDeep));
    }
}
