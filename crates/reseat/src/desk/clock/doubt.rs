//! Why the clock of a home is not trusted, and what to do then.

use super::BEYOND_DAYS;

/// Why the clock is not trusted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Doubt {
    /// The time zone cannot be read.
    Zone,
    /// Before any time this program can have run.
    Early,
    /// Behind the latest trusted time of this home.
    Behind {
        /// That time.
        floor: String,
    },
    /// More than thirty days beyond the latest trusted time.
    FarBeyond {
        /// That time.
        floor: String,
    },
    /// Nobody has agreed with it today.
    NotAgreed,
}

impl Doubt {
    /// What is wrong, a sentence.
    pub fn sentence(&self) -> String {
        match self {
            Self::Zone => "The time zone of this laptop cannot be read.".into(),
            Self::Early => "The clock of this laptop stands before 2024.".into(),
            Self::Behind { floor } => format!(
                "The clock of this laptop is behind the last entry, {}.",
                day_minute(floor)
            ),
            Self::FarBeyond { floor } => {
                format!(
                    "The clock of this laptop is more than {BEYOND_DAYS} days beyond the last entry, {}.",
                    day_minute(floor)
                )
            }
            Self::NotAgreed => "Nobody has agreed with the clock today.".into(),
        }
    }

    /// What to do, a sentence.
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::NotAgreed => "Compare it with another clock, then agree or give date and time.",
            _ => "Give the date and time from another clock.",
        }
    }

    /// Whether agreeing is enough; else date and time must be given.
    pub fn agreeing_is_enough(&self) -> bool {
        *self == Self::NotAgreed
    }
}

fn day_minute(utc: &str) -> String {
    format!("{} {} UTC", &utc[..10], &utc[11..16])
}
