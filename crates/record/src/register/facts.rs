//! What the register knows: people, places, units, instruments, approvals, and the values of the site.

use std::collections::BTreeSet;

use reseat_measure::rule::Rule;
use reseat_procedure::model::Role;
use serde::{Deserialize, Serialize};

use crate::log::{Hash, Id};

/// The register entry a thing rests on; a decision copies it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fact {
    /// The register's stream.
    pub register: Id,
    /// Number of the entry.
    pub number: u64,
    /// Hash of the entry.
    pub hash: Hash,
}

/// How a person stood from one entry on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    /// Number of the register entry from which it holds.
    pub from: u64,
    /// Roles held.
    pub roles: BTreeSet<Role>,
    /// Public key.
    pub key: [u8; 32],
    /// Whether he was retired.
    pub retired: bool,
}

/// A person on the register.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Person {
    /// Identifier, for ever the same person.
    pub id: Id,
    /// Name as shown and printed.
    pub name: String,
    /// Roles held now.
    pub roles: BTreeSet<Role>,
    /// Public key now.
    pub key: [u8; 32],
    /// Retired people sign nothing more; what they signed stays good.
    pub retired: bool,
    /// The entry that last spoke of him.
    pub fact: Fact,
    /// Every standing he had, oldest first, the present one last.
    pub past: Vec<Standing>,
}

impl Person {
    /// Whether he holds the role and is not retired.
    #[must_use]
    pub fn has(&self, role: Role) -> bool {
        !self.retired && self.roles.contains(&role)
    }

    /// How he stood when the register's last entry was `number`; none if he was not enrolled yet.
    #[must_use]
    pub fn standing_at(&self, number: u64) -> Option<&Standing> {
        self.past
            .iter()
            .rev()
            .find(|standing| standing.from <= number)
    }
}

/// What a point of a place does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum PointKind {
    /// Holds a source back.
    Isolating,
    /// Lets pressure out.
    Drain,
}

/// A point where a place is isolated, drained or vented.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlacePoint {
    /// As on its tag in the plant, such as `V-3301`.
    pub label: String,
    /// The energy it holds back or lets out, such as `brine, upstream`.
    pub energy: String,
    /// Isolating point, or drain or vent.
    pub kind: PointKind,
    /// Position while work goes on: `shut`, `open`, `off`.
    pub position: String,
}

/// A place in the plant, known by its tag.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// Tag as hung, such as `FV-3302`.
    pub tag: String,
    /// Name.
    pub name: String,
    /// The site's own isolating and drain points.
    pub points: Vec<PlacePoint>,
    /// Tag of the place that stands in for it, where there is one.
    pub redundant_with: Option<String>,
    /// Serial of the unit fitted now.
    pub holds: Option<String>,
    /// The entry that last spoke of it.
    pub fact: Fact,
}

/// A unit, known by its serial.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unit {
    /// Serial as on the nameplate.
    pub serial: String,
    /// Model, which procedures name.
    pub model: String,
    /// Name.
    pub name: String,
    /// Tag of the place it is fitted in now.
    pub place: Option<String>,
    /// The entry that last spoke of it.
    pub fact: Fact,
}

/// What an approver read of a procedure before he signed: every page of every route, and the findings shown with them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadThrough {
    /// Choices of options the procedure has: its routes.
    pub routes: u32,
    /// Pages shown to their end. A page that says the same on several routes is one.
    pub pages: u32,
    /// Pages there are.
    pub of: u32,
    /// Seconds from the first page to the last. A glance that read nothing shows as one.
    pub seconds: u64,
    /// Findings shown, in the order of the text.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub findings: Vec<FindingShown>,
    /// Why the warnings may stand; none where there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

impl ReadThrough {
    /// How many of the findings shown weigh so much.
    #[must_use]
    pub fn count(&self, weight: &str) -> usize {
        self.findings
            .iter()
            .filter(|finding| finding.weight == weight)
            .count()
    }
}

/// A finding as the approver was shown it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FindingShown {
    /// Its code.
    pub code: String,
    /// error, warning or note.
    pub weight: String,
    /// The step it is about, by its author's name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub step: Option<String>,
}

/// The approval of one revision of a procedure for this site.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Approval {
    /// Number of the procedure, such as `P-33-A`.
    pub number: String,
    /// Revision.
    pub revision: String,
    /// SHA-256 of the file's exact bytes.
    pub sha256: Hash,
    /// Who wrote it.
    pub author: Id,
    /// Who approved it; never its author.
    pub approver: Id,
    /// Who walked it through at the unit before first use.
    pub walked_by: Id,
    /// The day of the walk-through, `2026-03-12`.
    pub walked_on: String,
    /// What the approver read before he signed; none in an entry that was written before it was kept.
    pub read: Option<ReadThrough>,
    /// Superseded by a later revision or by an entry that says so.
    pub superseded: bool,
    /// The entry of the approval.
    pub fact: Fact,
}

/// The values a site sets for itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Site {
    /// Name of the site.
    pub name: String,
    /// The lockout rule the site follows, such as `29 CFR 1910.147`.
    pub rule: String,
    /// The site's public key.
    pub public_key: [u8; 32],
    /// Minutes without a key after which a rebuild pauses by itself.
    pub pause_minutes: u32,
    /// Minutes a zero reading holds before it must be read again.
    pub zero_minutes: u32,
    /// Longest pause, in minutes, after which a look again is enough.
    pub look_again_minutes: u32,
    /// Hours after which an unsealed key is forgotten.
    pub shift_hours: u32,
    /// Whether the check of every instrument is asked at its first use of each day.
    pub day_checks: bool,
    /// States a unit may be left in to nobody; none: [`LEFT_STATES`].
    pub left_states: Vec<String>,
    /// The decision rule its readings are judged by (simple acceptance until it names another; ILAC-G8:09/2019, 4.2.1).
    pub decision_rule: Rule,
    /// The entry that named the rule; none while nobody has.
    pub ruled: Option<Fact>,
    /// Every rule it has named, with the entry that did, oldest first.
    pub rulings: Vec<(Fact, Rule)>,
    /// The entry that last spoke of them.
    pub fact: Fact,
}

/// Minutes without a key before a pause. Source: field practice, ten minutes; common practice.
pub const PAUSE_MINUTES: u32 = 10;
/// Minutes a zero reading holds while every lock stays on and the vents are locked open. Common practice, no source.
pub const ZERO_MINUTES: u32 = 240;
/// Longest short pause in minutes. Common practice, no source.
pub const LOOK_AGAIN_MINUTES: u32 = 30;
/// Hours of a shift. Common practice, no source.
pub const SHIFT_HOURS: u32 = 12;
/// States a unit may be left in to nobody, where the site names none of its own. Common practice, no source.
pub const LEFT_STATES: [&str; 3] = [
    "isolated and locked, vented, openings covered",
    "isolated and locked, vented, together and tight",
    "in service, nothing opened",
];
/// Most states a site names.
pub const MOST_LEFT_STATES: usize = 9;
