//! Where a value lies with the error of its instrument taken out, or why that cannot be said, in words.

use reseat_measure::recall::{CannotSay, Rejudged};
use reseat_measure::{Place, Quantity};

use crate::register::StillStands;

/// It only stood beside what gave the reading.
pub(super) const BESIDE: &str = "it only stood beside";

/// Until it is worked out again.
pub(super) const WORKED_OUT: &str = "worked out from other readings";

/// Of another kind than the points of the bench.
pub(super) const NOT_COMPARABLE: &str = "no value of the kind the bench looked at";

/// Numbers that no sum holds.
pub(super) const OUT_OF_REACH: &str = "it cannot be worked out from these numbers";

/// Where a value lies with the error taken out, in words.
pub(super) struct Again {
    pub(super) place: StillStands,
    pub(super) stands: String,
    pub(super) corrected: Option<String>,
    pub(super) why: Option<&'static str>,
}

impl Again {
    pub(super) fn placed(before: Place, now: Place, truth: &Quantity) -> Self {
        let place = match now {
            Place::Within => StillStands::Within,
            Place::Low => StillStands::Low,
            Place::High => StillStands::High,
        };
        let corrected = *truth;
        let rejudged = Rejudged::Placed {
            before,
            now,
            corrected,
        };
        Self {
            place,
            stands: rejudged.to_string(),
            corrected: Some(truth.to_string()),
            why: None,
        }
    }

    pub(super) fn cannot(why: &'static str) -> Self {
        Self {
            place: StillStands::CannotSay,
            stands: "cannot say".to_owned(),
            corrected: None,
            why: Some(why),
        }
    }

    /// A reading that nothing was asked of: its true value is said, and no verdict.
    pub(super) fn without_window(truth: &Quantity) -> Self {
        Self {
            corrected: Some(truth.to_string()),
            ..Self::cannot("it has no window")
        }
    }
}

impl From<Rejudged> for Again {
    fn from(rejudged: Rejudged) -> Self {
        match rejudged {
            Rejudged::Placed {
                before,
                now,
                corrected,
            } => Self::placed(before, now, &corrected),
            Rejudged::CannotSay(reason) => Self::cannot(why(reason)),
        }
    }
}

pub(super) const fn why(reason: CannotSay) -> &'static str {
    match reason {
        CannotSay::OutsideBench => "outside the bench points",
        CannotSay::BenchNotRising => "the bench points do not rise there",
    }
}
