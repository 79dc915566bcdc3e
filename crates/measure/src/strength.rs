//! What a bolt of a grade may carry: proof stress, or 0.2 % yield where its standard gives no proof.

use core::fmt;
use core::str::FromStr;

use thiserror::Error;

use crate::thread::Thread;

const MPA_PER_KSI: f64 = 6.894_757_293_168_361;

/// Why no strength can be told.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum StrengthError {
    /// The grade is not in the table.
    #[error("{text:?} is not a grade known here; the nearest are {}", nearest.join(", "))]
    UnknownGrade {
        /// What was typed.
        text: String,
        /// Known grades that look like it.
        nearest: Vec<&'static str>,
    },
    /// The grade has no strength for that size.
    #[error(
        "{grade} has no strength for {thread} here; it is known up to {largest_mm} mm; take the value from the standard to an engineer"
    )]
    NoSuchSize {
        /// The grade.
        grade: &'static str,
        /// The thread.
        thread: String,
        /// Largest nominal diameter known.
        largest_mm: u32,
    },
}

/// What a strength stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Proof stress.
    Proof,
    /// 0.2 % yield; the standard gives no proof stress.
    Yield,
}

impl Basis {
    /// What a share of it is a share of: `84 % of proof`, `72 % of the 0.2 % yield`.
    #[must_use]
    pub const fn shared(self) -> &'static str {
        match self {
            Self::Proof => "proof",
            Self::Yield => "the 0.2 % yield",
        }
    }
}

impl fmt::Display for Basis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Proof => "proof",
            Self::Yield => "0.2 % yield",
        })
    }
}

/// A strength with where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strength {
    /// MPa.
    pub stress_mpa: f64,
    /// Proof or yield.
    pub basis: Basis,
    /// Standard and table; "from memory" where the passage was not read.
    pub source: &'static str,
}

macro_rules! grades {
    ($( $name:ident $text:literal $stainless:literal [$($spelling:literal),*]; )*) => {
        /// A grade or class of bolt.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum Grade {
            $( #[doc = $text] $name, )*
        }

        const GRADES: &[(Grade, &str, bool, &[&str])] = &[ $( (Grade::$name, $text, $stainless, &[$($spelling),*]), )* ];
    };
}

// Spellings are looked up without spaces, points, hyphens and the words grade, gr, class, cl.
grades! {
    Sae2 "SAE J429 2" false ["2", "sae2", "j4292"];
    Sae5 "SAE J429 5" false ["5", "sae5", "j4295"];
    Sae8 "SAE J429 8" false ["8", "sae8", "j4298"];
    B7 "ASTM A193 B7" false ["b7", "a193b7"];
    B8Class1 "ASTM A193 B8 class 1" true ["b8", "b81", "a193b81", "a193b8"];
    B8MClass1 "ASTM A193 B8M class 1" true ["b8m", "b8m1", "a193b8m1", "a193b8m"];
    B8Class2 "ASTM A193 B8 class 2" true ["b82", "a193b82"];
    B8MClass2 "ASTM A193 B8M class 2" true ["b8m2", "a193b8m2"];
    F593C "ASTM F593 C" true ["f593c"];
    Iso56 "ISO 898-1 5.6" false ["56"];
    Iso88 "ISO 898-1 8.8" false ["88"];
    Iso109 "ISO 898-1 10.9" false ["109"];
    Iso129 "ISO 898-1 12.9" false ["129"];
    A2_50 "ISO 3506-1 A2-50" true ["a250"];
    A2_70 "ISO 3506-1 A2-70" true ["a270"];
    A2_80 "ISO 3506-1 A2-80" true ["a280"];
    A4_50 "ISO 3506-1 A4-50" true ["a450"];
    A4_70 "ISO 3506-1 A4-70" true ["a470"];
    A4_80 "ISO 3506-1 A4-80" true ["a480"];
}

impl Grade {
    /// Every grade known here.
    pub fn all() -> impl Iterator<Item = Grade> {
        GRADES.iter().map(|(grade, ..)| *grade)
    }

    fn row(self) -> &'static (Grade, &'static str, bool, &'static [&'static str]) {
        &GRADES[self as usize]
    }

    /// Standard and grade as printed: `SAE J429 5`, `ISO 898-1 8.8`, `ASTM A193 B8M class 2`.
    pub fn name(self) -> &'static str {
        self.row().1
    }

    /// Whether it galls when it runs dry on its like.
    pub fn is_stainless(self) -> bool {
        self.row().2
    }

    /// Reads `SAE J429 5`, `Gr 5`, `B8M cl. 2`, `8.8`, `A4-70`, `F593C` and the like.
    pub fn parse(text: &str) -> Result<Self, StrengthError> {
        let key = key_of(text);
        let fits = |(_, name, _, spellings): &&(Grade, &str, bool, &[&str])| {
            key_of(name) == key || spellings.contains(&key.as_str())
        };
        if let Some((grade, ..)) = GRADES.iter().find(fits) {
            return Ok(*grade);
        }
        let far = |(_, name, _, spellings): &(Grade, &str, bool, &[&str])| {
            let keys = spellings
                .iter()
                .map(|s| (*s).to_owned())
                .chain([key_of(name)]);
            keys.map(|k| letters_apart(&k, &key))
                .min()
                .unwrap_or(usize::MAX)
        };
        let mut near: Vec<_> = GRADES.iter().collect();
        near.sort_by_key(|row| far(row));
        let near = near.into_iter().take(3).map(|row| row.1).collect();
        Err(StrengthError::UnknownGrade {
            text: text.trim().to_owned(),
            nearest: near,
        })
    }

    /// Its strength in a size.
    pub fn strength(self, thread: Thread) -> Result<Strength, StrengthError> {
        let size = thread.diameter_in();
        // The upper end of each size range belongs to the range; a hair is allowed for floats.
        let up_to = |inches: f64| size <= inches + 1e-9;
        let ksi = |value: f64, basis, source| {
            Some(Strength {
                stress_mpa: value * MPA_PER_KSI,
                basis,
                source,
            })
        };
        let mpa = |stress_mpa, basis, source| {
            Some(Strength {
                stress_mpa,
                basis,
                source,
            })
        };
        let (sae, a193, iso) = ("SAE J429", "ASTM A193", "ISO 898-1");
        let by_size = match self {
            Self::Sae2 if up_to(0.75) => ksi(55.0, Basis::Proof, sae),
            Self::Sae2 if up_to(1.5) => ksi(33.0, Basis::Proof, sae),
            Self::Sae5 if up_to(1.0) => ksi(85.0, Basis::Proof, sae),
            Self::Sae5 if up_to(1.5) => ksi(74.0, Basis::Proof, sae),
            Self::Sae8 if up_to(1.5) => ksi(120.0, Basis::Proof, sae),
            Self::B7 if up_to(2.5) => ksi(105.0, Basis::Yield, a193),
            Self::B8Class1 | Self::B8MClass1 => ksi(30.0, Basis::Yield, a193),
            Self::B8Class2 if up_to(0.75) => ksi(100.0, Basis::Yield, a193),
            Self::B8Class2 if up_to(1.0) => ksi(80.0, Basis::Yield, a193),
            Self::B8Class2 if up_to(1.25) => ksi(65.0, Basis::Yield, a193),
            Self::B8Class2 if up_to(1.5) => ksi(50.0, Basis::Yield, a193),
            Self::B8MClass2 if up_to(0.75) => ksi(
                95.0,
                Basis::Yield,
                "ASTM A193; sources disagree, 95 or 96 ksi, the lower is taken",
            ),
            Self::F593C if up_to(0.625) => ksi(65.0, Basis::Yield, "ASTM F593, from memory"),
            Self::Iso56 => mpa(280.0, Basis::Proof, "ISO 898-1, from memory"),
            Self::Iso88 if thread.diameter_mm() <= 16.0 + 1e-9 => mpa(580.0, Basis::Proof, iso),
            Self::Iso88 => mpa(600.0, Basis::Proof, iso),
            Self::Iso109 => mpa(830.0, Basis::Proof, iso),
            Self::Iso129 => mpa(970.0, Basis::Proof, iso),
            Self::A2_50 | Self::A4_50 => mpa(210.0, Basis::Yield, "ISO 3506-1, from memory"),
            Self::A2_70 | Self::A4_70 => mpa(450.0, Basis::Yield, "ISO 3506-1, from memory"),
            Self::A2_80 | Self::A4_80 => mpa(600.0, Basis::Yield, "ISO 3506-1, from memory"),
            _ => None,
        };
        let largest_mm = match self {
            Self::F593C => 15,
            Self::B8MClass2 => 19,
            Self::B7 => 63,
            _ => 38,
        };
        by_size.ok_or_else(|| StrengthError::NoSuchSize {
            grade: self.name(),
            thread: thread.to_string(),
            largest_mm,
        })
    }
}

fn key_of(text: &str) -> String {
    let plain: String = text
        .to_lowercase()
        .chars()
        .map(|c| if matches!(c, '.' | '-' | ',') { ' ' } else { c })
        .collect();
    plain
        .split_whitespace()
        .filter(|word| !matches!(*word, "grade" | "gr" | "class" | "cl" | "astm" | "property"))
        .collect()
}

/// How many letters must be put in, left out or exchanged to make one text of the other.
fn letters_apart(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.chars().enumerate() {
        let mut corner = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let exchanged = corner + usize::from(x != *y);
            corner = row[j + 1];
            row[j + 1] = exchanged.min(corner + 1).min(row[j] + 1);
        }
    }
    row[b.len()]
}

impl fmt::Display for Grade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

impl FromStr for Grade {
    type Err = StrengthError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

as_text!(Grade);
