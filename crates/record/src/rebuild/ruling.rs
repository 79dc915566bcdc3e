//! By which decision rule a reading is judged: the joint's own, else the site's; simple acceptance where no rule can apply.

use reseat_measure::rule::Rule;

use crate::register::{Fact, Instrument, Register};

/// A rule with the register entry that named it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Ruling {
    pub(super) rule: Rule,
    /// The entry of the register that named it; none for a joint's own rule, or while the site has named none.
    pub(super) fact: Option<Fact>,
}

impl Ruling {
    /// Simple acceptance, named by nobody: counts, values worked out, and zero, whose limits are never narrower than the
    /// error of the gauge already.
    pub(super) const SIMPLE: Self = Self {
        rule: Rule::Simple,
        fact: None,
    };

    /// The rule of a joint where it has its own, else the site's.
    pub(super) fn of(register: &Register, own: Option<Rule>) -> Self {
        match (own, register.site()) {
            (Some(rule), _) => Self { rule, fact: None },
            (None, Some(site)) => Self {
                rule: site.decision_rule,
                fact: site.ruled,
            },
            (None, None) => Self::SIMPLE,
        }
    }

    /// Whether readings of an instrument can be judged by it; every rule but the simple one needs an uncertainty.
    pub(super) fn suits(self, instrument: &Instrument) -> bool {
        self.rule == Rule::Simple || instrument.calibration.uncertainty.is_some()
    }
}
