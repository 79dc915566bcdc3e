//! `reseat check`: what is wrong with procedure files, each finding with its line and a mark under the place.

use std::path::{Path, PathBuf};

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use reseat_procedure::{Finding, Procedure, Severity, codes};
use serde_json::{Value, json};

use super::out::{Out, harmless};
use super::watch::Watch;
use super::{Answer, Context, Stop};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Procedure files
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Write JSON: an array of findings
    #[arg(long)]
    json: bool,
    /// Check again each time one of the files is written, until interrupted
    #[arg(long)]
    watch: bool,
}

/// Codes that say the file is no procedure at all, so that nothing of it was checked.
const NO_PROCEDURE: [&str; 6] = [
    codes::TOO_LARGE,
    codes::NOT_UTF8,
    codes::BYTE_ORDER_MARK,
    codes::TOO_DEEP,
    codes::NOT_JSON,
    codes::FORMAT_UNKNOWN,
];

/// A file with what was found in it.
pub(super) struct Checked {
    pub(super) bytes: Vec<u8>,
    pub(super) findings: Vec<Finding>,
}

impl Checked {
    /// Reads and proves a text.
    pub(super) fn of(bytes: Vec<u8>) -> Self {
        let findings = reseat_procedure::check(&bytes);
        Self { bytes, findings }
    }

    /// Whether a finding says that it must not be followed.
    pub(super) fn has_errors(&self) -> bool {
        self.findings
            .iter()
            .any(|finding| finding.severity == Severity::Error)
    }

    fn is_procedure(&self) -> bool {
        !self
            .findings
            .iter()
            .any(|finding| NO_PROCEDURE.contains(&finding.code))
    }
}

pub(super) fn run(args: &Args, context: &mut Context) -> Result<Answer, Stop> {
    if !args.watch {
        return once(args, context);
    }
    // Watching begins before the first look, so that nothing written meanwhile is missed.
    let mut watch = Watch::begin(&args.files)?;
    loop {
        match once(args, context) {
            // What is wrong with the files was said; the author mends it and is told anew.
            Ok(_) | Err(Stop::Words { .. }) => {}
            Err(other) => return Err(other),
        }
        if !args.json {
            context.out.line("waiting for a change; Ctrl+C ends")?;
        }
        context.out.finish()?;
        watch.wait()?;
    }
}

/// Looks at every file once.
fn once(args: &Args, context: &mut Context) -> Result<Answer, Stop> {
    let (mut answer, mut unreadable) = (Answer::Yes, 0);
    let mut found: Vec<Value> = Vec::new();
    for file in &args.files {
        match check(file) {
            Ok(checked) => {
                if checked.has_errors() {
                    answer = Answer::No;
                }
                unreadable += usize::from(!checked.is_procedure());
                if args.json {
                    found.extend(
                        checked
                            .findings
                            .iter()
                            .map(|finding| as_json(file, finding)),
                    );
                } else {
                    print(file, &checked, &mut context.out)?;
                }
            }
            Err(Stop::Words { sentence, remedy }) => {
                unreadable += 1;
                context.out.error(&sentence, &remedy);
            }
            Err(other) => return Err(other),
        }
    }
    if args.json {
        context.out.json(&json!(found))?;
    }
    // What could not be asked outweighs what was answered.
    if unreadable > 0 {
        Err(Stop::Words {
            sentence: String::new(),
            remedy: String::new(),
        })
    } else {
        Ok(answer)
    }
}

/// Reads a file and finds what is wrong with it.
pub(super) fn check(file: &Path) -> Result<Checked, Stop> {
    let bytes = std::fs::read(file).map_err(|error| {
        Stop::words(
            format!("{} cannot be read: {error}.", file.display()),
            "Give the path of a procedure file you may read.",
        )
    })?;
    Ok(Checked::of(bytes))
}

/// The procedure in a file, for commands that only read it. Where it is none, what is wrong is printed.
pub(super) fn procedure(file: &Path, context: &mut Context) -> Result<Procedure, Stop> {
    let checked = check(file)?;
    reseat_procedure::read(&checked.bytes).map_err(|findings| {
        let found = Checked {
            findings,
            ..checked
        };
        match print(file, &found, &mut context.out) {
            Ok(()) => Stop::words(
                format!("{} cannot be read as a procedure.", file.display()),
                "Mend what is named above, then ask again.",
            ),
            Err(stop) => stop,
        }
    })
}

/// Prints every finding under its source line, and a last line that counts them.
pub(super) fn print(file: &Path, checked: &Checked, out: &mut Out) -> Result<(), Stop> {
    let text = String::from_utf8_lossy(&checked.bytes);
    // Tabs and line ends stay; what would steer the terminal is shown as a square, so that columns still fit.
    let text: String = text
        .chars()
        .map(|letter| if steers(letter) { '\u{25a1}' } else { letter })
        .collect();
    let renderer = if Out::wants_colour() {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let renderer = renderer.decor_style(DecorStyle::Ascii);
    for finding in &checked.findings {
        out.drawn(&drawn(file, &text, finding, &renderer))?;
        out.drawn("")?;
    }
    let count = |severity| {
        checked
            .findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    };
    let name = file.display();
    if checked.findings.is_empty() {
        return out.line(&format!("{name}: nothing found"));
    }
    let counted = [Severity::Error, Severity::Warning, Severity::Note]
        .map(|severity| severity.counted(count(severity)));
    out.line(&format!("{name}: {}", counted.join(", ")))
}

fn steers(letter: char) -> bool {
    !matches!(letter, '\n' | '\r' | '\t')
        && harmless(letter.encode_utf8(&mut [0; 4])) != letter.to_string()
}

fn drawn(file: &Path, text: &str, finding: &Finding, renderer: &Renderer) -> String {
    let level = match finding.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    };
    let message = harmless(&finding.message);
    let remedy = harmless(&remedy_of(finding));
    let path = harmless(&file.display().to_string());
    let group = level.primary_title(message).id(finding.code);
    let group = if finding.line == 0 {
        group.element(Level::HELP.message(remedy))
    } else {
        let place = place_of(text, finding.line, finding.column);
        let snippet = Snippet::source(text)
            .path(path)
            .annotation(AnnotationKind::Primary.span(place));
        group.element(snippet).element(Level::HELP.message(remedy))
    };
    renderer.render(&[group])
}

fn remedy_of(finding: &Finding) -> String {
    if finding.options.is_empty() {
        return finding.remedy.clone();
    }
    let options: Vec<String> = finding
        .options
        .iter()
        .map(|(option, value)| format!("{option} = {value}"))
        .collect();
    format!("{} (with {})", finding.remedy, options.join(", "))
}

/// The bytes to mark: from line and column to the end of the JSON token there.
fn place_of(text: &str, line: usize, column: usize) -> std::ops::Range<usize> {
    let line_start: usize = text
        .split_inclusive('\n')
        .take(line - 1)
        .map(str::len)
        .sum();
    let rest = &text[line_start..];
    let skipped: usize = rest
        .chars()
        .take(column.saturating_sub(1))
        .map(char::len_utf8)
        .sum();
    let start = line_start + skipped;
    let token = &text[start..];
    let length = if let Some(inside) = token.strip_prefix('"') {
        let mut escaped = false;
        let end = inside.char_indices().find(|(_, letter)| {
            let ends = (*letter == '"' && !escaped) || *letter == '\n';
            escaped = *letter == '\\' && !escaped;
            ends
        });
        end.map_or(inside.len(), |(at, _)| at + 1) + 1
    } else {
        let end = token
            .find(|letter: char| letter.is_whitespace() || matches!(letter, ',' | ':' | ']' | '}'));
        end.unwrap_or(token.len())
    };
    let least = token.chars().next().map_or(0, char::len_utf8);
    start..start + length.clamp(least, token.len())
}

fn as_json(file: &Path, finding: &Finding) -> Value {
    json!({"file": file.display().to_string(), "code": finding.code, "severity": finding.severity.word(),
           "step": finding.step, "number": finding.number, "line": finding.line, "column": finding.column,
           "options": finding.options, "message": finding.message, "remedy": finding.remedy})
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mark_covers_the_token() {
        let text = "{\n  \"a\": \"x\\\"y\",\n  \"n\": 12 }\n";
        assert_eq!(&text[place_of(text, 2, 3)], "\"a\"");
        assert_eq!(&text[place_of(text, 2, 8)], "\"x\\\"y\"");
        assert_eq!(&text[place_of(text, 3, 8)], "12");
        assert_eq!(place_of(text, 99, 1), text.len()..text.len());
    }
}
