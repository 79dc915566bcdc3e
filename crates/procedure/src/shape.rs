//! The shape of the text against the schema of the wire types: every departure at once, with its place.
//!
//! The same schema is published for editors, so that an editor and this reader cannot disagree. Only the part of
//! JSON Schema that the wire types produce is understood; a test walks the schema and holds that.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use jsonc_parser::ast::{Object, Value as Tree};
use jsonc_parser::common::Ranged;
use serde_json::Value;

use crate::codes;
use crate::finding::{Finding, Severity};
use crate::nearest::offer;
use crate::read::MOST_FINDINGS;
use crate::source::{Source, escaped, name_offset};
use crate::wire;

static SCHEMA: LazyLock<Value> = LazyLock::new(|| {
    let mut schema = schemars::schema_for!(wire::Procedure).to_value();
    without_null(&mut schema);
    schema
});

/// The JSON Schema of a procedure, as published in `docs/procedure.schema.json`, with a line end.
pub fn schema() -> String {
    format!("{:#}\n", *SCHEMA)
}

/// A left-out member is left out, never `null`; schemars says both.
fn without_null(value: &mut Value) {
    match value {
        Value::Object(members) => {
            members.remove("default");
            if let Some(Value::Array(kinds)) = members.get_mut("type") {
                kinds.retain(|kind| kind != "null");
                if let [kind] = kinds.as_slice() {
                    let kind = kind.clone();
                    members.insert("type".to_owned(), kind);
                }
            }
            if let Some(Value::Array(ways)) = members.get_mut("anyOf") {
                ways.retain(|way| way.get("type").is_none_or(|kind| kind != "null"));
                if let [Value::Object(way)] = ways.as_slice() {
                    let way = way.clone();
                    members.remove("anyOf");
                    members.extend(way);
                }
            }
            members.values_mut().for_each(without_null);
        }
        Value::Array(items) => items.iter_mut().for_each(without_null),
        _ => {}
    }
}

/// Holds the whole text against the schema.
pub(crate) fn departures(source: &Source<'_>) -> Vec<Finding> {
    let mut walk = Walk {
        source,
        pointer: String::new(),
        findings: Vec::new(),
    };
    walk.value(source.root(), &SCHEMA);
    walk.findings
}

struct Walk<'s, 'a> {
    source: &'s Source<'a>,
    pointer: String,
    findings: Vec<Finding>,
}

impl Walk<'_, '_> {
    /// More than are told are not looked for: a text of nothing but slips would cost minutes.
    fn full(&self) -> bool {
        self.findings.len() >= MOST_FINDINGS
    }

    fn report(&mut self, code: &'static str, offset: usize, message: String, remedy: String) {
        if self.full() {
            return;
        }
        let mut finding =
            Finding::new(code, Severity::Error, self.pointer.clone(), message, remedy);
        (finding.line, finding.column) = self.source.place(offset);
        self.findings.push(finding);
    }

    fn under(&mut self, segment: &str, tree: &Tree<'_>, schema: &Value) {
        let length = self.pointer.len();
        self.pointer.push('/');
        self.pointer.push_str(&escaped(segment));
        self.value(tree, schema);
        self.pointer.truncate(length);
    }

    fn value(&mut self, tree: &Tree<'_>, schema: &Value) {
        let schema = resolved(schema);
        if let Tree::StringLit(text) = tree {
            self.characters(&text.value, text.range.start);
        }
        if let Some(ways) = schema.get("oneOf").and_then(Value::as_array) {
            return self.one_of(tree, ways);
        }
        if let Some(words) = schema.get("enum").and_then(Value::as_array) {
            return self.word(tree, words.iter().filter_map(Value::as_str).collect());
        }
        match (schema.get("type").and_then(Value::as_str), tree) {
            (Some("object"), Tree::Object(object)) => self.object(object, schema),
            (Some("array"), Tree::Array(array)) => {
                if let Some(items) = schema.get("items") {
                    for (index, element) in array.elements.iter().enumerate() {
                        self.under(&index.to_string(), element, items);
                    }
                }
            }
            (Some("string"), Tree::StringLit(text)) => {
                if text.value.trim().is_empty() {
                    let remedy =
                        "Write the words, or leave the whole member out where it is not needed."
                            .to_owned();
                    self.report(
                        codes::EMPTY_TEXT,
                        text.range.start,
                        "This text is empty.".to_owned(),
                        remedy,
                    );
                }
            }
            (Some("integer"), Tree::NumberLit(number)) => {
                if number.value.parse::<u32>().is_err() {
                    let message = format!(
                        "{} is not a whole number from 0 to {}.",
                        number.value,
                        u32::MAX
                    );
                    let remedy = "Write whole pieces or minutes; a quantity is a string with its unit, such as \"1.5 bar g\".";
                    self.report(
                        codes::BAD_NUMBER,
                        number.range.start,
                        message,
                        remedy.to_owned(),
                    );
                }
            }
            (Some("boolean"), Tree::BooleanLit(_)) | (None, _) => {}
            (Some(kind), other) => self.wrong_kind(other, kind),
        }
    }

    fn wrong_kind(&mut self, tree: &Tree<'_>, wanted: &str) {
        let message = format!(
            "Here stands {}; {} is wanted.",
            kind_words(tree),
            wanted_words(wanted)
        );
        let remedy = match (wanted, tree) {
            ("string", Tree::NumberLit(_)) => {
                "Put it in quotes; a quantity carries its unit inside, such as \"40 N·m\"."
                    .to_owned()
            }
            (_, Tree::NullKeyword(_)) => {
                "Leave the whole member out instead of writing null.".to_owned()
            }
            _ => format!("Write {}.", wanted_words(wanted)),
        };
        self.report(codes::WRONG_KIND, tree.range().start, message, remedy);
    }

    fn object(&mut self, object: &Object<'_>, schema: &Value) {
        static NONE: LazyLock<serde_json::Map<String, Value>> = LazyLock::new(serde_json::Map::new);
        let members = schema
            .get("properties")
            .and_then(Value::as_object)
            .unwrap_or(&NONE);
        let others = schema
            .get("additionalProperties")
            .filter(|others| others.is_object());
        self.duplicates(object);
        for member in &object.properties {
            if self.full() {
                return;
            }
            let name = member.name.as_str();
            if let Some(inner) = members.get(name).or(others) {
                self.under(name, &member.value, inner);
            } else {
                let message = format!("Nothing here is called \u{201c}{}\u{201d}.", shown(name));
                let remedy = offer(name, members.keys().map(String::as_str));
                self.report(
                    codes::UNKNOWN_MEMBER,
                    name_offset(&member.name),
                    message,
                    remedy,
                );
            }
        }
        for name in schema
            .get("required")
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
            .filter_map(Value::as_str)
        {
            if object.get(name).is_none() {
                let means = members
                    .get(name)
                    .and_then(|inner| resolved_text(inner))
                    .unwrap_or_default();
                let message = format!("\u{201c}{name}\u{201d} is missing here.");
                self.report(
                    codes::MISSING_MEMBER,
                    object.range.start,
                    message,
                    format!("Add \u{201c}{name}\u{201d}: {means}"),
                );
            }
        }
    }

    fn duplicates(&mut self, object: &Object<'_>) {
        let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
        for member in &object.properties {
            let name = member.name.as_str();
            let offset = name_offset(&member.name);
            if let Some(first) = seen.insert(name, offset) {
                let line = self.source.place(first).0;
                let message = format!(
                    "\u{201c}{}\u{201d} stands twice here, first in line {line}.",
                    shown(name)
                );
                self.report(
                    codes::DUPLICATE_MEMBER,
                    offset,
                    message,
                    "Keep one of the two.".to_owned(),
                );
            }
        }
    }

    fn one_of(&mut self, tree: &Tree<'_>, ways: &[Value]) {
        let words: Vec<&str> = ways.iter().flat_map(words_of).collect();
        let forms: BTreeMap<&str, &Value> = ways
            .iter()
            .filter_map(|way| way.get("properties").and_then(Value::as_object))
            .flat_map(|members| members.iter().map(|(name, inner)| (name.as_str(), inner)))
            .collect();
        match tree {
            Tree::StringLit(text) => {
                if let Some(form) = forms.get(&*text.value) {
                    let name = &text.value;
                    let message = format!("\u{201c}{name}\u{201d} needs its particulars.");
                    let inner: Vec<&str> = resolved(form)
                        .get("properties")
                        .and_then(Value::as_object)
                        .map_or(vec!["a name"], |members| {
                            members.keys().map(String::as_str).collect()
                        });
                    let remedy =
                        format!("Write {{\"{name}\": \u{2026}}} with: {}.", inner.join(", "));
                    return self.report(codes::WRONG_KIND, text.range.start, message, remedy);
                }
                self.word(
                    tree,
                    words.into_iter().chain(forms.keys().copied()).collect(),
                );
            }
            Tree::Object(object) if !forms.is_empty() => {
                let [member] = object.properties.as_slice() else {
                    let message = format!(
                        "Here must stand exactly one member; there are {}.",
                        object.properties.len()
                    );
                    let remedy = format!(
                        "Write one of: {}. One entry of the list says one thing.",
                        listed(&forms, &words)
                    );
                    return self.report(codes::WRONG_KIND, object.range.start, message, remedy);
                };
                let name = member.name.as_str();
                if let Some(inner) = forms.get(name) {
                    return self.under(name, &member.value, inner);
                }
                if words.contains(&name) {
                    let message = format!("\u{201c}{name}\u{201d} has no particulars.");
                    let remedy = format!("Write only \"{name}\", without braces.");
                    return self.report(codes::WRONG_KIND, object.range.start, message, remedy);
                }
                let message = format!("Nothing here is called \u{201c}{}\u{201d}.", shown(name));
                let remedy = offer(name, words.iter().copied().chain(forms.keys().copied()));
                self.report(
                    codes::UNKNOWN_MEMBER,
                    name_offset(&member.name),
                    message,
                    remedy,
                );
            }
            other => self.wrong_kind(other, if forms.is_empty() { "string" } else { "object" }),
        }
    }

    fn word(&mut self, tree: &Tree<'_>, words: Vec<&str>) {
        let Tree::StringLit(text) = tree else {
            return self.wrong_kind(tree, "string");
        };
        if !words.contains(&&*text.value) {
            let message = format!(
                "\u{201c}{}\u{201d} is not one of the words that may stand here.",
                shown(&text.value)
            );
            self.report(
                codes::UNKNOWN_WORD,
                text.range.start,
                message,
                offer(&text.value, words),
            );
        }
    }

    /// A text that could steer a terminal or turn the reading direction never becomes part of a procedure.
    fn characters(&mut self, text: &str, offset: usize) {
        if let Some(bad) = text.chars().find(|letter| steers(*letter)) {
            let message = format!(
                "The text holds the control or direction character U+{:04X}.",
                u32::from(bad)
            );
            self.report(
                codes::CONTROL_CHARACTER,
                offset,
                message,
                "Remove it; write one plain line.".to_owned(),
            );
        }
    }
}

/// Control characters, direction changes and other characters that show nothing and change what is shown.
fn steers(letter: char) -> bool {
    letter.is_control()
        || matches!(letter, '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{061C}' | '\u{FEFF}' | '\u{FFF9}'..='\u{FFFB}')
        || matches!(letter, '\u{E0000}'..='\u{E007F}')
}

/// A foreign name made fit for a message: short, and nothing that steers a terminal.
pub(crate) fn shown(name: &str) -> String {
    let mut short: String = name
        .chars()
        .take(40)
        .map(|letter| if steers(letter) { '\u{FFFD}' } else { letter })
        .collect();
    if name.chars().nth(40).is_some() {
        short.push('\u{2026}');
    }
    short
}

fn resolved(schema: &Value) -> &Value {
    let target = schema
        .get("$ref")
        .and_then(Value::as_str)
        .and_then(|path| path.strip_prefix("#/$defs/"));
    match target {
        Some(name) => SCHEMA
            .get("$defs")
            .and_then(|all| all.get(name))
            .unwrap_or(schema),
        None => schema,
    }
}

/// What the schema says a value is, its own words before those of its type.
fn resolved_text(schema: &Value) -> Option<&str> {
    let own = schema.get("description").and_then(Value::as_str);
    own.or_else(|| resolved(schema).get("description").and_then(Value::as_str))
}

fn words_of(way: &Value) -> Vec<&str> {
    let constant = way.get("const").and_then(Value::as_str);
    let several = way
        .get("enum")
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
        .filter_map(Value::as_str);
    constant.into_iter().chain(several).collect()
}

fn listed(forms: &BTreeMap<&str, &Value>, words: &[&str]) -> String {
    words
        .iter()
        .copied()
        .chain(forms.keys().copied())
        .collect::<Vec<_>>()
        .join(", ")
}

fn kind_words(tree: &Tree<'_>) -> &'static str {
    match tree {
        Tree::StringLit(_) => "a text",
        Tree::NumberLit(_) => "a number",
        Tree::BooleanLit(_) => "true or false",
        Tree::Object(_) => "an object in braces",
        Tree::Array(_) => "a list in brackets",
        Tree::NullKeyword(_) => "null",
    }
}

fn wanted_words(kind: &str) -> &'static str {
    match kind {
        "string" => "a text in quotes",
        "integer" => "a whole number",
        "boolean" => "true or false",
        "object" => "an object in braces",
        _ => "a list in brackets",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The walker understands only these; a wire type that needs more must teach it first.
    #[test]
    fn the_schema_uses_nothing_the_walker_does_not_understand() {
        fn look(value: &Value, of_members: bool) {
            match value {
                Value::Object(members) => {
                    for (name, inner) in members {
                        if !of_members {
                            let known = [
                                "$defs",
                                "$ref",
                                "$schema",
                                "title",
                                "description",
                                "type",
                                "properties",
                                "required",
                                "items",
                                "additionalProperties",
                                "enum",
                                "const",
                                "oneOf",
                                "format",
                                "minimum",
                            ];
                            assert!(known.contains(&name.as_str()), "{name} in {value}");
                        }
                        look(
                            inner,
                            !of_members && (name == "properties" || name == "$defs"),
                        );
                    }
                }
                Value::Array(items) => items.iter().for_each(|item| look(item, false)),
                _ => {}
            }
        }
        look(&SCHEMA, false);
    }
}
