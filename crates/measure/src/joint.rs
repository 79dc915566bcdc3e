//! Torque and tension of a joint: `T = K·D·F`.
//!
//! Strength is judged at the **lowest** nut factor of the thread condition (the tension is then greatest), clamp at the **highest**.

use core::fmt;
use core::str::FromStr;

use thiserror::Error;
use uom::si::area::square_millimeter;
use uom::si::f64::{Area, Force, Length, Pressure, Torque};
use uom::si::force::newton;
use uom::si::length::millimeter;
use uom::si::pressure::megapascal;
use uom::si::torque::newton_meter;

use crate::error::QuantityError;
use crate::quantity::Quantity;
use crate::strength::{Grade, Strength, StrengthError};
use crate::thread::Thread;
use crate::typed;
use crate::typed::exact_force::pound_force;
use crate::typed::exact_torque::pound_force_foot;
use crate::unit::Unit;
use crate::window::Window;

/// Nut factor of anti-seize, the slipperiest thing a dry joint may get by mistake (Shigley Table 8-15).
pub const K_ANTI_SEIZE: f64 = 0.12;

/// Nut factor of a dry joint at its highest, what a lubricated joint left dry may have (published tables: 0.20 and 0.22).
pub const K_DRY: f64 = 0.22;

/// The most percent of proof a window may reach without an engineer's reason (common practice, from the published 75 % tables).
pub const MOST_PERCENT_OF_PROOF: f64 = 75.0;

/// The percent of proof above which one slip of condition is warned of (common practice, no source).
pub const SLIP_WARNING_PERCENT: f64 = 90.0;

/// Why a joint cannot be worked out.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum JointError {
    /// Stainless run dry on stainless.
    #[error(
        "{grade} run dry galls and seizes; put a named lubricant on threads and nut faces, then state that"
    )]
    DryStainless {
        /// The grade.
        grade: &'static str,
    },
    /// A condition that is none of the list.
    #[error("{0:?} is no thread condition known here; choose one of {choices}", choices = Condition::choices())]
    UnknownCondition(String),
    /// A nut factor that cannot be.
    #[error("the nut factor {0} is impossible; give one between 0.05 and 0.5")]
    NutFactor(String),
    /// A torque that tightens nothing.
    #[error("a torque of {0} tightens nothing; give one above 0")]
    NoTorque(String),
    /// A share of proof that cannot be.
    #[error("{0} percent of proof is impossible; give a number above 0")]
    Percent(String),
    /// No strength for grade and thread.
    #[error(transparent)]
    Strength(#[from] StrengthError),
    /// A torque that is none, or numbers too large.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
}

/// State of threads and nut faces, as asked before the first pass.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Condition {
    /// Nickel anti-seize (N).
    NickelAntiSeize,
    /// Graphite anti-seize (H).
    GraphiteAntiSeize,
    /// Food-grade grease (G).
    FoodGrease,
    /// PFPE grease (P).
    PfpeGrease,
    /// Oiled (O).
    Oiled,
    /// Zinc-plated, dry (Z).
    ZincDry,
    /// Plain steel, dry (D).
    PlainDry,
}

impl Condition {
    /// Every condition, in the order they are offered.
    pub const ALL: [Self; 7] = [
        Self::NickelAntiSeize,
        Self::GraphiteAntiSeize,
        Self::FoodGrease,
        Self::PfpeGrease,
        Self::Oiled,
        Self::ZincDry,
        Self::PlainDry,
    ];

    /// The words for it.
    pub fn name(self) -> &'static str {
        match self {
            Self::NickelAntiSeize => "nickel anti-seize",
            Self::GraphiteAntiSeize => "graphite anti-seize",
            Self::FoodGrease => "food-grade grease",
            Self::PfpeGrease => "PFPE grease",
            Self::Oiled => "oiled",
            Self::ZincDry => "zinc-plated, dry",
            Self::PlainDry => "plain steel, dry",
        }
    }

    /// Its letter in tables.
    pub fn letter(self) -> char {
        match self {
            Self::NickelAntiSeize => 'N',
            Self::GraphiteAntiSeize => 'H',
            Self::FoodGrease => 'G',
            Self::PfpeGrease => 'P',
            Self::Oiled => 'O',
            Self::ZincDry => 'Z',
            Self::PlainDry => 'D',
        }
    }

    /// Lowest and highest nut factor.
    pub fn nut_factors(self) -> (f64, f64) {
        match self {
            Self::NickelAntiSeize | Self::GraphiteAntiSeize => (0.12, 0.16),
            Self::FoodGrease | Self::PfpeGrease => (0.12, 0.18),
            Self::Oiled => (0.15, 0.18),
            Self::ZincDry => (0.15, 0.22),
            Self::PlainDry => (0.18, 0.22),
        }
    }

    /// Where the nut factors come from.
    pub fn source(self) -> &'static str {
        match self {
            Self::NickelAntiSeize | Self::GraphiteAntiSeize => {
                "0.12 Shigley Table 8-15; 0.16 common practice, no source"
            }
            Self::FoodGrease | Self::PfpeGrease => {
                "0.18 Shigley Table 8-15 (lubricated); 0.12 common practice, no source"
            }
            Self::Oiled => "0.15 and 0.18, published tables (lightly oiled; lubricated)",
            Self::ZincDry => "0.15, 0.20 and 0.22: published tables disagree, so the whole span",
            Self::PlainDry => "0.20 published, ± 10 % common practice, no source",
        }
    }

    /// Whether nothing lubricates.
    pub fn is_dry(self) -> bool {
        matches!(self, Self::ZincDry | Self::PlainDry)
    }

    /// All letters with their names in one line, for sentences.
    pub fn choices() -> String {
        Self::ALL
            .map(|condition| format!("{} {}", condition.letter(), condition.name()))
            .join("; ")
    }

    /// Reads the words, or the letter of the tables.
    pub fn parse(text: &str) -> Result<Self, JointError> {
        let typed = text.trim().to_lowercase();
        Self::ALL
            .into_iter()
            .find(|c| {
                c.name().to_lowercase() == typed || c.letter().to_lowercase().to_string() == typed
            })
            .ok_or_else(|| JointError::UnknownCondition(text.trim().to_owned()))
    }
}

impl fmt::Display for Condition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

impl FromStr for Condition {
    type Err = JointError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

as_text!(Condition);

/// Tension in newtons that a torque (N·m) gives at a nut factor.
pub fn tension_n(torque_nm: f64, thread: Thread, nut_factor: f64) -> f64 {
    let torque = Torque::new::<newton_meter>(torque_nm);
    typed::tension(torque, nut_factor, diameter(thread)).get::<newton>()
}

/// Torque in N·m that a tension (N) needs at a nut factor.
pub fn torque_nm(tension_n: f64, thread: Thread, nut_factor: f64) -> f64 {
    let tension = Force::new::<newton>(tension_n);
    typed::torque(tension, nut_factor, diameter(thread)).get::<newton_meter>()
}

fn diameter(thread: Thread) -> Length {
    Length::new::<millimeter>(thread.diameter_mm())
}

/// A nut factor that can be: between 0.05 and 0.5.
pub fn checked_nut_factor(nut_factor: f64) -> Result<f64, JointError> {
    if (0.05..=0.5).contains(&nut_factor) {
        Ok(nut_factor)
    } else {
        Err(JointError::NutFactor(nut_factor.to_string()))
    }
}

/// The bolts of a joint: thread, grade, and what they may carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bolt {
    thread: Thread,
    grade: Grade,
    strength: Strength,
}

impl Bolt {
    /// A bolt of a thread and grade that the tables know.
    pub fn new(thread: Thread, grade: Grade) -> Result<Self, StrengthError> {
        Ok(Self {
            thread,
            grade,
            strength: grade.strength(thread)?,
        })
    }

    /// Its thread.
    pub fn thread(&self) -> Thread {
        self.thread
    }

    /// Its grade.
    pub fn grade(&self) -> Grade {
        self.grade
    }

    /// Its strength and where that comes from.
    pub fn strength(&self) -> Strength {
        self.strength
    }

    /// The tension at proof (or yield) in newtons.
    pub fn proof_load_n(&self) -> f64 {
        let area = Area::new::<square_millimeter>(self.thread.stress_area_mm2());
        let stress = Pressure::new::<megapascal>(self.strength.stress_mpa);
        typed::load(area, stress).get::<newton>()
    }

    /// Percent of proof that a torque reaches at a nut factor.
    pub fn percent_of_proof(&self, torque_nm: f64, nut_factor: f64) -> f64 {
        100.0 * tension_n(torque_nm, self.thread, nut_factor) / self.proof_load_n()
    }

    /// Torque in N·m that reaches a percent of proof at a nut factor.
    pub fn torque_at_percent_nm(&self, percent: f64, nut_factor: f64) -> f64 {
        torque_nm(
            percent / 100.0 * self.proof_load_n(),
            self.thread,
            nut_factor,
        )
    }

    /// What a torque above 0 does to the bolt at a nut factor.
    pub fn preload(&self, torque: &Quantity, nut_factor: f64) -> Result<Preload, JointError> {
        checked_nut_factor(nut_factor)?;
        let torque_nm = torque.to_f64_in(Unit::NewtonMetre)?;
        if torque_nm <= 0.0 {
            return Err(JointError::NoTorque(torque.to_string()));
        }
        let tension_n = tension_n(torque_nm, self.thread, nut_factor);
        Ok(Preload {
            tension_n,
            tension_lbf: Force::new::<newton>(tension_n).get::<pound_force>(),
            percent_of_proof: self.percent_of_proof(torque_nm, nut_factor),
        })
    }

    /// The torque that a percent of proof above 0 asks for at a nut factor.
    pub fn tightening(&self, percent: f64, nut_factor: f64) -> Result<Tightening, JointError> {
        checked_nut_factor(nut_factor)?;
        if !(percent > 0.0 && percent.is_finite()) {
            return Err(JointError::Percent(percent.to_string()));
        }
        let torque_nm = self.torque_at_percent_nm(percent, nut_factor);
        Ok(Tightening {
            torque_nm,
            torque_lbf_ft: Torque::new::<newton_meter>(torque_nm).get::<pound_force_foot>(),
            tension_n: tension_n(torque_nm, self.thread, nut_factor),
        })
    }
}

/// What a torque does to one bolt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Preload {
    /// Tension, N.
    pub tension_n: f64,
    /// The same, lbf.
    pub tension_lbf: f64,
    /// Percent of proof (or yield).
    pub percent_of_proof: f64,
}

/// The torque that a share of proof asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tightening {
    /// Torque, N·m.
    pub torque_nm: f64,
    /// The same, lbf·ft.
    pub torque_lbf_ft: f64,
    /// Tension, N.
    pub tension_n: f64,
}

/// What one wrong condition would do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConditionSlip {
    /// Percent of proof then reached: at the window's top for a dry joint that got anti-seize, at its bottom for a lubricated one left dry.
    pub percent: f64,
    /// The nut factor then.
    pub nut_factor: f64,
    /// Whether it over-tightens (a dry joint that got anti-seize) rather than leaving it loose.
    pub over: bool,
}

/// A joint's window held against what its bolts carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Assessment {
    /// Percent of proof at the window's bottom, lowest nut factor.
    pub percent_low: f64,
    /// Percent of proof at the window's top, lowest nut factor, the greatest prevailing torque added.
    pub percent_high: f64,
    /// Torque at 75 % of proof, lowest nut factor, N·m.
    pub t75_nm: f64,
    /// Torque at 100 % of proof, lowest nut factor, N·m; above it the bolt is replaced.
    pub t100_nm: f64,
    /// Clamp of one bolt at the window's bottom, highest nut factor, N.
    pub clamp_n: f64,
    /// One wrong condition.
    pub slip: ConditionSlip,
}

/// Bolts with the condition they are tightened in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joint {
    bolt: Bolt,
    condition: Condition,
}

impl Joint {
    /// Bolts in a condition; dry stainless is refused.
    pub fn new(bolt: Bolt, condition: Condition) -> Result<Self, JointError> {
        if bolt.grade.is_stainless() && condition.is_dry() {
            return Err(JointError::DryStainless {
                grade: bolt.grade.name(),
            });
        }
        Ok(Self { bolt, condition })
    }

    /// Its bolts.
    pub fn bolt(&self) -> &Bolt {
        &self.bolt
    }

    /// Its condition.
    pub fn condition(&self) -> Condition {
        self.condition
    }

    /// Percent of proof that a torque reaches at the lowest nut factor.
    pub fn percent_at(&self, torque: &Quantity) -> Result<f64, JointError> {
        Ok(self.bolt.percent_of_proof(
            torque.to_f64_in(Unit::NewtonMetre)?,
            self.condition.nut_factors().0,
        ))
    }

    /// Clamp of one bolt in newtons at the highest nut factor.
    pub fn clamp_n_at(&self, torque: &Quantity) -> Result<f64, JointError> {
        Ok(tension_n(
            torque.to_f64_in(Unit::NewtonMetre)?,
            self.bolt.thread,
            self.condition.nut_factors().1,
        ))
    }

    /// Torque in N·m at a percent of proof, lowest nut factor.
    pub fn torque_at_percent_nm(&self, percent: f64) -> f64 {
        self.bolt
            .torque_at_percent_nm(percent, self.condition.nut_factors().0)
    }

    /// Holds a window with both limits against the bolts; a locking nut's greatest prevailing torque is added at the top.
    pub fn assess(
        &self,
        window: &Window,
        prevailing: Option<&Quantity>,
    ) -> Result<Assessment, JointError> {
        let nm = |limit: Option<Quantity>| {
            let limit = limit.ok_or_else(|| QuantityError::NotAWindow(window.to_string()))?;
            limit.to_f64_in(Unit::NewtonMetre)
        };
        let (low, top) = (nm(window.low())?, nm(window.high())?);
        let dragged = prevailing.map_or(Ok(0.0), |drag| drag.to_f64_in(Unit::NewtonMetre))?;
        let (k_low, k_high) = self.condition.nut_factors();
        let over = self.condition.is_dry();
        let (at, nut_factor) = if over {
            (top + dragged, K_ANTI_SEIZE)
        } else {
            (low, K_DRY)
        };
        Ok(Assessment {
            percent_low: self.bolt.percent_of_proof(low, k_low),
            percent_high: self.bolt.percent_of_proof(top + dragged, k_low),
            t75_nm: self.torque_at_percent_nm(75.0),
            t100_nm: self.torque_at_percent_nm(100.0),
            clamp_n: tension_n(low, self.bolt.thread, k_high),
            slip: ConditionSlip {
                percent: self.bolt.percent_of_proof(at, nut_factor),
                nut_factor,
                over,
            },
        })
    }
}
