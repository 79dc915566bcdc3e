//! Why an instrument may not be used here and now: one code, one reason and one remedy each.

use reseat_measure::{Quantity, Window};

/// A reason against an instrument.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Against {
    /// It is not on the register.
    NotOnRegister,
    /// The procedure does not name it for this.
    NotNamed {
        /// Those it names.
        named: String,
    },
    /// It is another kind of thing.
    WrongKind {
        /// What it is.
        is: &'static str,
        /// What is wanted.
        wanted: &'static str,
    },
    /// Its scale shows another quantity than the window is written in.
    OtherQuantity {
        /// What it reads.
        reads: &'static str,
        /// What is wanted.
        wanted: &'static str,
    },
    /// Its scale counts from another reference than the window.
    OtherReference {
        /// What it reads.
        reads: &'static str,
        /// What is wanted.
        wanted: &'static str,
    },
    /// Quarantined, by the register or in this rebuild.
    Quarantined {
        /// Why.
        why: String,
    },
    /// Withdrawn for good.
    Withdrawn {
        /// Why.
        why: String,
    },
    /// Its calibration has run out.
    Overdue {
        /// The last day it was good for.
        due: String,
    },
    /// Another open rebuild has it at a joint that is begun and not closed.
    Booked {
        /// Tag of that unit.
        tag: String,
        /// The joint.
        joint: String,
    },
    /// What is to be read or pulled lies outside the part of its range that may be used.
    OutOfRange {
        /// The usable part.
        usable: Window,
        /// What must lie inside.
        wanted: String,
    },
    /// The window is no wider than what it may be wrong by.
    WindowNarrow {
        /// Permissible deviation at the window.
        deviation: Quantity,
        /// The window.
        window: Window,
    },
    /// Its error is above a quarter of the tolerance.
    ErrorLarge {
        /// Its error.
        error: Quantity,
        /// The window.
        window: Window,
    },
    /// Its full scale is not 1.5 to 4 times the test pressure.
    FullScale {
        /// Its range.
        range: Window,
        /// Highest pressure of the test it is read at.
        pressure: Quantity,
    },
    /// The decision rule needs an uncertainty, and its certificate states none.
    NoUncertainty {
        /// The rule.
        rule: String,
    },
    /// It cannot be held against the window at all.
    NotJudged {
        /// The quantity's own sentence.
        why: String,
    },
}

impl Against {
    /// Stable code.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NotOnRegister => "instrument-unknown",
            Self::NotNamed { .. } => "instrument-not-named",
            Self::WrongKind { .. } => "instrument-wrong-kind",
            Self::OtherQuantity { .. } => "instrument-other-quantity",
            Self::OtherReference { .. } => "instrument-other-reference",
            Self::Quarantined { .. } => "instrument-quarantined",
            Self::Withdrawn { .. } => "instrument-withdrawn",
            Self::Overdue { .. } => "instrument-overdue",
            Self::Booked { .. } => "instrument-booked",
            Self::OutOfRange { .. } => "instrument-out-of-range",
            Self::WindowNarrow { .. } => "instrument-window-narrow",
            Self::ErrorLarge { .. } => "instrument-error-large",
            Self::FullScale { .. } => "instrument-full-scale",
            Self::NoUncertainty { .. } => "instrument-no-uncertainty",
            Self::NotJudged { .. } => "instrument-not-judged",
        }
    }

    /// The reason, as it follows the instrument's name and a colon.
    #[must_use]
    pub fn reason(&self) -> String {
        match self {
            Self::NotOnRegister => "it is not on the register".to_owned(),
            Self::NotNamed { named } if named.is_empty() => {
                "the procedure names no instrument here".to_owned()
            }
            Self::NotNamed { named } => format!("the procedure names {named} here"),
            Self::WrongKind { is, wanted } => format!("it is a {is}, wanted is a {wanted}"),
            Self::OtherQuantity { reads, wanted } => {
                format!("its scale shows {reads}, the window is {wanted}")
            }
            Self::OtherReference { reads, wanted } => {
                format!("it reads {reads} pressure, the window is {wanted}")
            }
            Self::Quarantined { why } => format!("quarantined: {why}"),
            Self::Withdrawn { why } => format!("withdrawn for good: {why}"),
            Self::Overdue { due } => format!("overdue, calibration was due {due}"),
            Self::Booked { tag, joint } => format!("booked at {joint} of {tag}, not closed yet"),
            Self::OutOfRange { usable, wanted } => {
                format!("{wanted} lies outside its usable range {usable}")
            }
            Self::NoUncertainty { rule } => {
                format!("its certificate states no uncertainty, and the rule \"{rule}\" needs one")
            }
            Self::WindowNarrow { deviation, window } => format!(
                "it may be wrong by {deviation} either way, as much as the whole window {window}"
            ),
            Self::ErrorLarge { error, window } => {
                format!("it may be wrong by {error}, above a quarter of the tolerance of {window}")
            }
            Self::FullScale { range, pressure } => {
                format!("its range {range} is not 1.5 to 4 times the test pressure {pressure}")
            }
            Self::NotJudged { why } => format!("it cannot be held against the window: {why}"),
        }
    }

    /// What to do.
    #[must_use]
    pub const fn remedy(&self) -> &'static str {
        match self {
            Self::NotOnRegister => {
                "Read its mark again, or have a lead add it under Register, instruments."
            }
            Self::NotNamed { .. } | Self::WrongKind { .. } => "Take one that the procedure names.",
            Self::OtherQuantity { .. } | Self::OtherReference { .. } => {
                "Take one whose scale shows what the window is written in."
            }
            Self::Quarantined { .. } => "Take another; a lead returns this one once it is checked.",
            Self::Withdrawn { .. } => "Take another.",
            Self::Overdue { .. } => {
                "Take another, or have a lead keep its new certificate under Register, instruments."
            }
            Self::Booked { .. } => {
                "Take another, or close that joint or take another wrench there first."
            }
            Self::OutOfRange { .. } => "Take one of a range that fits.",
            Self::WindowNarrow { .. } | Self::ErrorLarge { .. } => "Take a finer one.",
            Self::FullScale { .. } => "Take a gauge whose full scale fits the test.",
            Self::NoUncertainty { .. } => {
                "Take one whose certificate states it, or have a lead keep a certificate that does."
            }
            Self::NotJudged { .. } => "Have its entry on the register put right.",
        }
    }
}
