//! What a procedure declares by name, and whether a name used is declared.

use std::collections::{BTreeMap, BTreeSet};

use crate::codes;
use crate::finding::{Finding, Severity};
use crate::nearest::offer;
use crate::shape::shown;
use crate::wire;

/// Kinds of things that have names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    Option,
    Energy,
    Point,
    Chamber,
    Wanted,
    Side,
    Part,
    Joint,
    Cover,
    Instrument,
    Consumable,
}

impl Kind {
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::Option => "option",
            Self::Energy => "energy",
            Self::Point => "point",
            Self::Chamber => "chamber",
            Self::Wanted => "test",
            Self::Side => "side of the zero-energy check",
            Self::Part => "part",
            Self::Joint => "joint",
            Self::Cover => "cover",
            Self::Instrument => "instrument",
            Self::Consumable => "consumable",
        }
    }
}

/// All declared names.
pub(crate) struct Names<'w> {
    /// In the order of the text.
    of: BTreeMap<Kind, Vec<&'w str>>,
    known: BTreeMap<Kind, BTreeSet<&'w str>>,
    values: BTreeMap<&'w str, Vec<&'w str>>,
}

/// What is declared of one kind: its list in the text, and each name with the options it stands under.
type Declared<'w, 'a> = (Kind, &'static str, Vec<(&'w str, &'a wire::When)>);

/// Every list of named things. `always` stands for those that may share no name, whatever their options.
fn lists<'w: 'a, 'a>(wire: &'w wire::Procedure, always: &'a wire::When) -> [Declared<'w, 'a>; 11] {
    macro_rules! named {
        ($items:ident) => {
            wire.$items
                .iter()
                .map(|item| (item.id.as_str(), always))
                .collect()
        };
        ($items:ident by options) => {
            wire.$items
                .iter()
                .map(|item| (item.id.as_str(), &item.when))
                .collect()
        };
    }
    [
        (Kind::Option, "options", named!(options)),
        (Kind::Energy, "energies", named!(energies)),
        (Kind::Point, "points", named!(points)),
        (Kind::Chamber, "chambers", named!(chambers)),
        (Kind::Wanted, "tests", named!(tests by options)),
        (Kind::Side, "zero", named!(zero)),
        (Kind::Part, "parts", named!(parts by options)),
        (Kind::Joint, "joints", named!(joints by options)),
        (Kind::Cover, "covers", named!(covers)),
        (Kind::Instrument, "instruments", named!(instruments)),
        (Kind::Consumable, "consumables", named!(consumables)),
    ]
}

impl<'w> Names<'w> {
    /// Collects the names; a name given twice is a finding.
    pub(crate) fn collect(wire: &'w wire::Procedure, findings: &mut Vec<Finding>) -> Self {
        let mut names = Self {
            of: BTreeMap::new(),
            known: BTreeMap::new(),
            values: BTreeMap::new(),
        };
        let always: wire::When = BTreeMap::new();
        for (kind, member, items) in lists(wire, &always) {
            let mut seen: BTreeSet<(&str, &wire::When)> = BTreeSet::new();
            let mut once = BTreeSet::new();
            let mut ids = Vec::new();
            for (index, (id, when)) in items.into_iter().enumerate() {
                if !seen.insert((id, when)) {
                    findings.push(twice(kind.words(), id, format!("/{member}/{index}/id")));
                }
                if once.insert(id) {
                    ids.push(id);
                }
            }
            names.known.insert(kind, once);
            names.of.insert(kind, ids);
        }
        for option in &wire.options {
            names.values.insert(
                &option.id,
                option
                    .values
                    .iter()
                    .map(|value| value.id.as_str())
                    .collect(),
            );
        }
        names
    }

    /// Whether a thing of this kind is declared under this name.
    pub(crate) fn has(&self, kind: Kind, name: &str) -> bool {
        self.known
            .get(&kind)
            .is_some_and(|names| names.contains(name))
    }

    /// The declared names of a kind.
    pub(crate) fn all(&self, kind: Kind) -> &[&'w str] {
        self.of.get(&kind).map_or(&[], Vec::as_slice)
    }

    /// The declared values of an option.
    pub(crate) fn values(&self, option: &str) -> &[&'w str] {
        self.values.get(option).map_or(&[], Vec::as_slice)
    }
}

/// A name given twice.
pub(crate) fn twice(kind: &str, name: &str, pointer: String) -> Finding {
    let message = format!("A second {kind} is called \u{201c}{}\u{201d}.", shown(name));
    let remedy = "Give each its own name; what uses the name must know which is meant.";
    Finding::new(
        codes::DUPLICATE_NAME,
        Severity::Error,
        pointer,
        message,
        remedy,
    )
}

/// A name that is not declared.
pub(crate) fn unknown(kind: &str, name: &str, pointer: String, known: &[&str]) -> Finding {
    let message = format!("No {kind} is called \u{201c}{}\u{201d}.", shown(name));
    Finding::new(
        codes::UNKNOWN_NAME,
        Severity::Error,
        pointer,
        message,
        offer(name, known.iter().copied()),
    )
}
