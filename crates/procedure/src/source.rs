//! A procedure's text with the places of its values: strict JSON first, then a tree with byte ranges.

use jsonc_parser::ast::{ObjectPropName, Value};
use jsonc_parser::common::Ranged;
use jsonc_parser::{CollectOptions, ParseOptions, parse_to_ast};
use serde::de::IgnoredAny;

use crate::codes;
use crate::finding::{Finding, Severity};

/// Largest text read: 4 MiB, a hundred times the longest procedure known.
pub const MOST_BYTES: usize = 4 << 20;

/// Deepest nesting read; a procedure needs 10.
pub const MOST_DEPTH: usize = 64;

/// A text that is JSON, with the tree that knows where everything stands.
pub(crate) struct Source<'a> {
    text: &'a str,
    root: Value<'a>,
    line_starts: Vec<usize>,
}

impl<'a> Source<'a> {
    /// Reads the bytes strictly, or says the one thing that stopped it.
    pub(crate) fn parse(bytes: &'a [u8]) -> Result<Self, Box<Finding>> {
        let text = as_text(bytes)?;
        let line_starts = line_starts(text);
        if let Some(offset) = too_deep(text) {
            let message = format!("The text is nested deeper than {MOST_DEPTH} brackets.");
            return Err(stop(
                codes::TOO_DEEP,
                (&line_starts, text, offset),
                &message,
                "Remove the needless brackets from here on.",
            ));
        }
        if let Err(error) = serde_json::from_slice::<IgnoredAny>(bytes) {
            let start = line_starts
                .get(error.line().saturating_sub(1))
                .copied()
                .unwrap_or(0);
            let mut offset = (start + error.column().saturating_sub(1)).min(text.len());
            while !text.is_char_boundary(offset) {
                offset -= 1;
            }
            let said = error.to_string();
            let said = said.split(" at line ").next().unwrap_or(&said);
            let (message, remedy) = not_json(text, offset, said);
            return Err(stop(
                codes::NOT_JSON,
                (&line_starts, text, offset),
                &message,
                remedy,
            ));
        }
        let options = ParseOptions {
            allow_comments: false,
            allow_loose_object_property_names: false,
            allow_trailing_commas: false,
            allow_missing_commas: false,
            allow_single_quoted_strings: false,
            allow_hexadecimal_numbers: false,
            allow_unary_plus_numbers: false,
            allow_bare_decimal_point_numbers: false,
            allow_non_finite_numbers: false,
            allow_extended_string_escapes: false,
        };
        let remedy = "Mend the text at this place; an editor that knows JSON marks it.";
        match parse_to_ast(text, &CollectOptions::default(), &options) {
            Ok(parsed) => match parsed.value {
                Some(root) => Ok(Self {
                    text,
                    root,
                    line_starts,
                }),
                None => Err(stop(
                    codes::NOT_JSON,
                    (&line_starts, text, 0),
                    "The text is empty.",
                    remedy,
                )),
            },
            Err(error) => {
                let message = format!("The text is not JSON here: {}.", error.kind());
                Err(stop(
                    codes::NOT_JSON,
                    (&line_starts, text, error.range().start),
                    &message,
                    remedy,
                ))
            }
        }
    }

    /// The whole value.
    pub(crate) fn root(&self) -> &Value<'a> {
        &self.root
    }

    /// Gives a finding the line and column of its pointer, or of the nearest enclosing value that exists.
    pub(crate) fn locate(&self, finding: &mut Finding) {
        let offset = self.offset(&finding.pointer);
        (finding.line, finding.column) = place(&self.line_starts, self.text, offset);
    }

    /// Line and column of a byte offset.
    pub(crate) fn place(&self, offset: usize) -> (usize, usize) {
        place(&self.line_starts, self.text, offset)
    }

    fn offset(&self, pointer: &str) -> usize {
        let mut value = &self.root;
        for segment in pointer.split('/').skip(1) {
            let inner = match value {
                Value::Object(object) => {
                    let name = segment.replace("~1", "/").replace("~0", "~");
                    object
                        .properties
                        .iter()
                        .find(|member| member.name.as_str() == name)
                        .map(|member| &member.value)
                }
                Value::Array(array) => segment
                    .parse::<usize>()
                    .ok()
                    .and_then(|index| array.elements.get(index)),
                _ => None,
            };
            match inner {
                Some(inner) => value = inner,
                None => break,
            }
        }
        value.range().start
    }
}

/// Where a member's name starts.
pub(crate) fn name_offset(name: &ObjectPropName<'_>) -> usize {
    match name {
        ObjectPropName::String(text) => text.range.start,
        ObjectPropName::Word(word) => word.range.start,
    }
}

/// A pointer segment for a member name.
pub(crate) fn escaped(name: &str) -> String {
    name.replace('~', "~0").replace('/', "~1")
}

/// What stopped the reader, in words: the two slips that editors of other texts allow, else as the JSON reader says it.
fn not_json(text: &str, offset: usize, said: &str) -> (String, &'static str) {
    let (before, here) = text.split_at(offset);
    if here.starts_with('/') {
        return (
            "JSON has no comments.".to_owned(),
            "Take the comment out; a remark for the author belongs beside the file.",
        );
    }
    if here.starts_with([']', '}']) && before.trim_end().ends_with(',') {
        return (
            "A comma stands before the closing bracket.".to_owned(),
            "Take the comma out: JSON has commas between things, none behind the last.",
        );
    }
    (
        format!("The text is not JSON here: {said}."),
        "Mend the brackets, commas or quotes at this place; an editor that knows JSON marks it.",
    )
}

fn as_text(bytes: &[u8]) -> Result<&str, Box<Finding>> {
    let at_start =
        |code, message: &str, remedy: &str| Err(stop(code, (&[0], "", 0), message, remedy));
    if bytes.len() > MOST_BYTES {
        let message = format!(
            "The text has {} bytes; a procedure has at most {MOST_BYTES}.",
            bytes.len()
        );
        return at_start(
            codes::TOO_LARGE,
            &message,
            "Give the file of one procedure.",
        );
    }
    if bytes.starts_with(&[0xEF, 0xBB, 0xBF]) {
        let remedy = "Save it as UTF-8 without a byte-order mark; approval is of exact bytes, so nothing may hide in front.";
        return at_start(
            codes::BYTE_ORDER_MARK,
            "The text starts with a byte-order mark.",
            remedy,
        );
    }
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return at_start(
            codes::NOT_UTF8,
            "The text is UTF-16, not UTF-8.",
            "Save it as UTF-8 without a byte-order mark.",
        );
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok(text),
        Err(error) => {
            let good = std::str::from_utf8(&bytes[..error.valid_up_to()]).unwrap_or_default();
            let message = format!("Byte {} of the text is not UTF-8.", error.valid_up_to() + 1);
            Err(stop(
                codes::NOT_UTF8,
                (&line_starts(good), good, good.len()),
                &message,
                "Save the file as UTF-8.",
            ))
        }
    }
}

fn stop(
    code: &'static str,
    at: (&[usize], &str, usize),
    message: &str,
    remedy: &str,
) -> Box<Finding> {
    let mut finding = Finding::new(code, Severity::Error, "", message, remedy);
    (finding.line, finding.column) = place(at.0, at.1, at.2);
    Box::new(finding)
}

fn line_starts(text: &str) -> Vec<usize> {
    std::iter::once(0)
        .chain(
            text.bytes()
                .enumerate()
                .filter(|(_, byte)| *byte == b'\n')
                .map(|(at, _)| at + 1),
        )
        .collect()
}

fn place(line_starts: &[usize], text: &str, offset: usize) -> (usize, usize) {
    let line = line_starts.partition_point(|start| *start <= offset).max(1);
    let start = line_starts.get(line - 1).copied().unwrap_or(0);
    let column = text
        .get(start..offset.min(text.len()))
        .map_or(1, |front| front.chars().count() + 1);
    (line, column)
}

/// Offset of the bracket that goes too deep, if one does. Runs before any parser, so that none recurses on it.
fn too_deep(text: &str) -> Option<usize> {
    let mut depth = 0_usize;
    let mut in_string = false;
    let mut escaped = false;
    for (offset, byte) in text.bytes().enumerate() {
        if in_string {
            match byte {
                _ if escaped => escaped = false,
                b'\\' => escaped = true,
                b'"' => in_string = false,
                _ => {}
            }
            continue;
        }
        match byte {
            b'"' => in_string = true,
            b'[' | b'{' => {
                depth += 1;
                if depth > MOST_DEPTH {
                    return Some(offset);
                }
            }
            b']' | b'}' => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    None
}
