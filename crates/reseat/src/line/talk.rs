//! Whoever line mode talks with: lines out, lines in, and secrets that are never shown.

use std::time::Duration;

use reseat_record::log::Id;
use reseat_record::refusal::Refusal;
use zeroize::Zeroizing;

use crate::desk::Fault;

/// The other side of the talk.
pub trait Talk {
    /// What is left when it cannot be talked with any more.
    type Lost;

    /// Shows one line, at once.
    fn say(&mut self, line: &str) -> Result<(), Self::Lost>;

    /// The next line typed; waits for it at most this long, where the system lets it.
    fn hear(&mut self, patience: Option<Duration>) -> Result<Heard, Self::Lost>;

    /// Passphrase or PIN of a person; none where it cannot be had.
    fn secret(
        &mut self,
        id: Id,
        name: &str,
        part: Part,
    ) -> Result<Option<Zeroizing<String>>, Self::Lost>;
}

/// What came.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Heard {
    /// A whole line, without its end.
    Line(String),
    /// A line that cannot be taken.
    Spoilt(Spoilt),
    /// Nothing, for as long as it was waited.
    Silence,
    /// The input has ended.
    End,
}

/// Why a line cannot be taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spoilt {
    /// The input ended in the middle of it: half a number is another number.
    Cut,
    /// It is longer than any answer.
    TooLong,
    /// It is no UTF-8.
    NotText,
}

/// Which secret.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Typed once a shift.
    Passphrase,
    /// Typed for each signature.
    Pin,
}

/// Something not taken: code, sentence, remedy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Refused {
    pub(super) code: String,
    pub(super) sentence: String,
    pub(super) remedy: String,
}

impl Refused {
    pub(super) fn new(code: &str, sentence: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            code: code.to_owned(),
            sentence: sentence.into(),
            remedy: remedy.into(),
        }
    }

    /// The line it is told in.
    pub(super) fn line(&self) -> String {
        format!("! {}: {} {}", self.code, self.sentence, self.remedy)
            .trim_end()
            .to_owned()
    }
}

impl From<&Fault> for Refused {
    fn from(fault: &Fault) -> Self {
        Self::new(fault.code(), fault.sentence(), fault.remedy())
    }
}

impl From<Refusal> for Refused {
    fn from(refusal: Refusal) -> Self {
        Self::from(&Fault::from(refusal))
    }
}

impl From<Spoilt> for Refused {
    fn from(spoilt: Spoilt) -> Self {
        match spoilt {
            Spoilt::Cut => Self::new(
                "line-cut",
                "The input ended in the middle of a line; that line was not taken.",
                "End every line with a line feed.",
            ),
            Spoilt::TooLong => Self::new(
                "line-too-long",
                "That line is longer than any answer and was not taken.",
                "Say it shorter.",
            ),
            Spoilt::NotText => Self::new(
                "not-text",
                "That line is no UTF-8 text and was not taken.",
                "Set the terminal or the script to UTF-8.",
            ),
        }
    }
}
