//! What is wrong with a procedure, where, and what to do about it.

use std::collections::BTreeMap;

use serde::Serialize;

/// How much a finding weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// A rebuild must not be started on it.
    Error,
    /// Worth an author's second look.
    Warning,
    /// Said for completeness.
    Note,
}

impl Severity {
    /// So many of them in words: `1 error`, `2 warnings`.
    pub fn counted(self, count: usize) -> String {
        let plural = if count == 1 { "" } else { "s" };
        format!("{count} {}{plural}", self.word())
    }

    /// The word used in output.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
            Self::Note => "note",
        }
    }
}

/// One finding about a procedure text. As JSON it is what `check --json` prints, the file apart.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// Stable kebab-case code, explained by [`explain`](crate::explain).
    pub code: &'static str,
    /// How much it weighs.
    pub severity: Severity,
    /// The step it is about, by its author's id.
    pub step: Option<String>,
    /// Number of that step on the route of `options`, from 1; none where it differs between routes.
    pub number: Option<usize>,
    /// Line from 1; 0 where the finding was made without the text (see [`check`](crate::check)).
    pub line: usize,
    /// Column from 1 in Unicode scalars; 0 like `line`.
    pub column: usize,
    /// The smallest choice of options that brings it about; empty: every route.
    pub options: BTreeMap<String, String>,
    /// What is wrong, a sentence.
    pub message: String,
    /// What to do, a sentence.
    pub remedy: String,
    /// Place in the text as a JSON pointer (RFC 6901), such as `/sections/3/steps/2/text`.
    #[serde(skip)]
    pub pointer: String,
}

impl Finding {
    /// A finding of a code at a place, not yet given line and column.
    pub(crate) fn new(
        code: &'static str,
        severity: Severity,
        pointer: impl Into<String>,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            code,
            severity,
            step: None,
            number: None,
            line: 0,
            column: 0,
            options: BTreeMap::new(),
            message: message.into(),
            remedy: remedy.into(),
            pointer: pointer.into(),
        }
    }
}
