//! The state of a rebuild: what replaying its entries leaves.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use reseat_measure::{Place, Quantity};
use reseat_procedure::model::{Asked, Deed, EnergyState, Procedure, Step};
use reseat_procedure::route::{Place as StepPlace, Route};

use super::body::{InstrumentCopy, PersonCopy, Started};
use super::let_in::LetIn;
use crate::log::{Clock, Hash, Head, Id};

/// Where and when something was entered, and by whom.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Mark {
    pub(super) entry: u64,
    pub(super) utc: String,
    pub(super) offset: String,
    pub(super) clock: Clock,
    pub(super) by: Option<Id>,
}

/// One ask of a step.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct AskState {
    /// Closed by this.
    pub(super) closed: Option<Mark>,
    /// Parts of it that are in (sides, lines, signatures).
    pub(super) lines: u32,
    /// Tries that did not close it.
    pub(super) tries: u32,
    /// What was answered last, for the blind comparison and for notices.
    pub(super) last: Option<String>,
    /// When a rest began.
    pub(super) rest: Option<Mark>,
    /// The side value entered beside the reading.
    pub(super) beside: Option<(u64, String)>,
    /// The entry of the reading that stands in this slot.
    pub(super) reading: Option<u64>,
    /// The instrument taken for it, where another than the best was.
    pub(super) taken: Option<String>,
}

/// A line of the route: a written step or one added by deviation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Line {
    pub(super) id: String,
    pub(super) place: Option<StepPlace>,
    pub(super) added: Option<String>,
    pub(super) begun: Option<Mark>,
    pub(super) acted: Option<Mark>,
    pub(super) asks: Vec<AskState>,
    /// What the independent verifier has answered: ask, entry and answer.
    pub(super) verify_asked: BTreeMap<u32, (u64, String)>,
    pub(super) verified: Option<Mark>,
    pub(super) released: Option<Mark>,
    pub(super) not_applicable: Option<(Mark, String)>,
    /// Deeds were carried into the state.
    pub(super) effective: bool,
    /// Everyone who entered something for it.
    pub(super) hands: BTreeSet<Id>,
    /// How often it was voided.
    pub(super) voided: u32,
}

impl Line {
    fn written(id: &str, place: StepPlace, asks: usize) -> Self {
        Self {
            place: Some(place),
            asks: vec![AskState::default(); asks],
            ..Self::added(id, None)
        }
    }

    pub(super) fn added(id: &str, text: Option<String>) -> Self {
        Self {
            id: id.to_owned(),
            place: None,
            added: text,
            begun: None,
            acted: None,
            asks: Vec::new(),
            verify_asked: BTreeMap::new(),
            verified: None,
            released: None,
            not_applicable: None,
            effective: false,
            hands: BTreeSet::new(),
            voided: 0,
        }
    }

    /// Whether something of it is in and something still open, where it is the line due: an answer, a side, a try or a wait.
    pub(super) fn begun_not_done(&self) -> bool {
        self.begun.is_some()
            || self.acted.is_some()
            || self.asks.iter().any(|ask| {
                ask.closed.is_some() || ask.lines > 0 || ask.tries > 0 || ask.rest.is_some()
            })
    }

    /// Opens it again from the ask on; earlier answers stay.
    pub(super) fn reopen(&mut self, from: usize) {
        for ask in self.asks.iter_mut().skip(from) {
            *ask = AskState::default();
        }
        self.acted = None;
        self.verify_asked.clear();
        self.verified = None;
        self.released = None;
        self.effective = false;
        self.voided += 1;
    }
}

/// A lock the rebuild knows of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Hung {
    pub(super) number: String,
    pub(super) owner: String,
    pub(super) owner_id: Option<Id>,
    pub(super) on: bool,
    pub(super) mark: Mark,
}

/// A worker's own lock on the box.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct OwnHung {
    pub(super) number: String,
    pub(super) name: String,
    pub(super) mark: Mark,
}

/// What proves zero on one side since it last went stale.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct SideProof {
    pub(super) reading: Option<(Mark, String)>,
    pub(super) vent: Option<(Mark, String)>,
    pub(super) by_vent: bool,
}

/// Why zero no longer stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stale {
    NeverProved,
    LockOff,
    DrainUnlocked,
    Handover,
    Restart,
    LongPause,
    Stopped,
    LetIn,
    NotZero,
    TooOld,
    ClockChanged,
    Late,
}

impl Stale {
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::NeverProved => "zero not proved",
            Self::LockOff => "a lock was off",
            Self::DrainUnlocked => "the drain lock came off",
            Self::Handover => "another person took over",
            Self::Restart => "the program ended since",
            Self::LongPause => "the pause was long",
            Self::Stopped => "work was stopped",
            Self::LetIn => "energy was let in",
            Self::Late => "work was entered late since",
            Self::NotZero => "the last look did not show zero",
            Self::TooOld => "the reading is too old",
            Self::ClockChanged => "the clock is not trusted as it was",
        }
    }
}

/// A pause or STOP under way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Pause {
    pub(super) mark: Mark,
    /// Time of the last key, from which the pause counts.
    pub(super) since: String,
    pub(super) who: Option<Id>,
    /// Words of a STOP; none for a plain pause.
    pub(super) stop: Option<String>,
    pub(super) waiting_for: Option<String>,
    pub(super) short_allowed: bool,
    /// Handed over: what the outgoing person wrote, and to whom.
    pub(super) handed_over: Option<super::handover::Part>,
}

/// What a finding is about, so that its decision can close or reopen it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum About {
    Slot {
        line: String,
        ask: usize,
    },
    Joint(String),
    /// A fastener pulled above its strength: only what replaces stud and nut may be decided.
    Stretched(String),
    Words,
}

/// A finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Finding {
    pub(super) number: u32,
    pub(super) words: String,
    pub(super) about: About,
    pub(super) mark: Mark,
    pub(super) proposed: Option<String>,
    pub(super) decided: Option<(Mark, String, String)>,
}

/// A joint under work.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct JointState {
    pub(super) condition: Option<String>,
    pub(super) wrench: Option<InstrumentCopy>,
    /// Pass under way, from 1; 0 before the first.
    pub(super) pass: u32,
    /// Fasteners in, in the pass under way.
    pub(super) pulled: Vec<u32>,
    pub(super) settings: BTreeMap<u32, String>,
    /// Values of the last pass by fastener.
    pub(super) values: BTreeMap<u32, (u64, String, Option<Place>)>,
    /// Attempts at the fastener due.
    pub(super) attempts: u32,
    /// The fastener due was LOW, or did not click.
    pub(super) again: Option<String>,
    pub(super) rounds: Vec<u32>,
    pub(super) gap: Vec<(u64, Quantity)>,
    pub(super) gap_closed: bool,
    pub(super) set_back: bool,
    pub(super) after_high: Option<u64>,
    /// A queried reading: entry, digits typed, candidates.
    pub(super) queried: Option<(u64, String, Vec<String>)>,
    pub(super) accepted: bool,
    /// Passes finished, in words, for the picture.
    pub(super) lines: Vec<String>,
    /// Loose: slackened or opened and not tightened since.
    pub(super) loose: bool,
    pub(super) rechecked: BTreeMap<u32, bool>,
    /// A length-changing adapter on the wrench.
    pub(super) adapter: Option<reseat_measure::Adapter>,
}

impl JointState {
    /// Forgets passes and readings; what was stated of threads and the wrench stays.
    pub(super) fn restart(&mut self) {
        *self = Self {
            condition: self.condition.take(),
            wrench: self.wrench.take(),
            adapter: self.adapter.take(),
            loose: true,
            ..Self::default()
        };
    }

    /// Whether a pass has begun; the joint may be closed since.
    pub(super) fn under_way(&self) -> bool {
        self.pass > 0
    }
}

/// A reading kept, and whether it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Kept {
    pub(super) line: String,
    pub(super) ask: Option<usize>,
    pub(super) joint: Option<(String, u32, u32)>,
    /// Joint whose gap it is.
    pub(super) gap_of: Option<String>,
    pub(super) place: Option<Place>,
    /// Whether its rule accepts it; true where it has no window.
    pub(super) accepted: bool,
    /// In the window but not accepted by its rule, and nearer to its low limit than to its high one.
    pub(super) near_low: bool,
    pub(super) means: String,
    pub(super) struck: bool,
    /// Its step was opened again since: it is read anew.
    pub(super) void: bool,
    pub(super) thing: Option<String>,
}

/// How the record ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// Signed off.
    Signed,
    /// Closed INCOMPLETE.
    Incomplete,
}

/// A rebuild: its procedure, route and everything its entries say.
#[derive(Debug, Clone, PartialEq)]
pub struct Rebuild {
    pub(super) procedure: Procedure,
    pub(super) route: Route,
    pub(super) started: Started,
    pub(super) started_mark: Mark,
    pub(super) demo: bool,
    pub(super) head: Head,
    pub(super) last: Mark,
    pub(super) lines: Vec<Line>,
    /// See [`Rebuild::due`].
    due: Option<usize>,
    pub(super) who: Option<PersonCopy>,
    pub(super) pause: Option<Pause>,
    /// Who handed over last, while his own lock is still on.
    pub(super) outgoing: Option<Id>,
    pub(super) locks: BTreeMap<String, Hung>,
    pub(super) own_locks: BTreeMap<Id, OwnHung>,
    /// Tools counted out, and people clear and told, since work was last done with the hands at the unit.
    pub(super) tools_clear: bool,
    pub(super) people_clear: bool,
    /// Permits and gas tests, by what paper it is.
    pub(super) permits: BTreeMap<String, super::permit::PermitState>,
    /// Everyone who had the work in hand.
    pub(super) performed_by: BTreeSet<Id>,
    pub(super) proofs: BTreeMap<String, SideProof>,
    pub(super) stale: Option<Stale>,
    pub(super) needs_release: bool,
    pub(super) look: bool,
    pub(super) look_read: bool,
    pub(super) observe: bool,
    pub(super) let_in: Vec<LetIn>,
    /// A test was broken off and zero is not released since: nothing else is due.
    pub(super) broken_off: bool,
    /// Where energy was let into the unit last, for a test or the return: entry and line.
    pub(super) energy_in: Option<(u64, usize)>,
    pub(super) joints: BTreeMap<String, JointState>,
    pub(super) off: BTreeMap<String, u32>,
    pub(super) on: BTreeMap<String, u32>,
    pub(super) covers: BTreeSet<String>,
    pub(super) dispositions: BTreeMap<String, String>,
    pub(super) findings: Vec<Finding>,
    /// A reason to go on with the bound revision although this text superseded it, not signed yet.
    pub(super) revision_reason: Option<(Hash, String)>,
    /// Texts that superseded the bound revision and did not stop it.
    pub(super) revisions_kept: BTreeSet<Hash>,
    pub(super) readings: BTreeMap<u64, Kept>,
    pub(super) not_applicable: Vec<String>,
    pub(super) safer: Vec<String>,
    pub(super) tools: super::tools::Tools,
    /// What was said of digits off the scale, until the next entry.
    pub(super) off_scale: Option<String>,
    /// What a check outside its step showed last that is not zero, until that part shows zero: its entry, and it in words.
    pub(super) not_zero: Option<(u64, String)>,
    pub(super) ended: Option<(Ended, Mark)>,
    pub(super) newer: bool,
    pub(super) entries: Vec<Arc<crate::log::Entry>>,
}

impl Rebuild {
    /// The state right after the start entry.
    pub(super) fn fresh(
        procedure: Procedure,
        route: Route,
        started: Started,
        mark: Mark,
        demo: bool,
        head: Head,
    ) -> Self {
        let lines = route
            .places
            .iter()
            .map(|place| {
                let step = procedure.step(*place);
                Line::written(&step.id, *place, step.asks.len())
            })
            .collect();
        let who = Some(started.performer.clone());
        let performed_by = BTreeSet::from([started.performer.id]);
        let mut fresh = Self {
            procedure,
            route,
            started,
            started_mark: mark.clone(),
            demo,
            head,
            last: mark,
            due: None,
            lines,
            who,
            pause: None,
            outgoing: None,
            locks: BTreeMap::new(),
            own_locks: BTreeMap::new(),
            tools_clear: false,
            people_clear: false,
            permits: BTreeMap::new(),
            performed_by,
            proofs: BTreeMap::new(),
            stale: Some(Stale::NeverProved),
            needs_release: false,
            look: false,
            look_read: false,
            observe: false,
            let_in: Vec::new(),
            broken_off: false,
            energy_in: None,
            joints: BTreeMap::new(),
            off: BTreeMap::new(),
            on: BTreeMap::new(),
            covers: BTreeSet::new(),
            dispositions: BTreeMap::new(),
            findings: Vec::new(),
            revision_reason: None,
            revisions_kept: BTreeSet::new(),
            readings: BTreeMap::new(),
            not_applicable: Vec::new(),
            safer: Vec::new(),
            tools: super::tools::Tools::default(),
            off_scale: None,
            not_zero: None,
            ended: None,
            newer: false,
            entries: Vec::new(),
        };
        fresh.find_due();
        fresh
    }

    /// The head of the stream.
    #[must_use]
    pub fn head(&self) -> Head {
        self.head
    }

    /// The procedure it runs on.
    #[must_use]
    pub fn procedure(&self) -> &Procedure {
        &self.procedure
    }

    /// What the start entry says.
    #[must_use]
    pub fn started(&self) -> &Started {
        &self.started
    }

    /// How it ended, if it did.
    #[must_use]
    pub fn ended(&self) -> Option<Ended> {
        self.ended.as_ref().map(|(ended, _)| *ended)
    }

    /// Who is at the keys.
    #[must_use]
    pub fn who(&self) -> Option<&PersonCopy> {
        self.who.as_ref()
    }

    /// Whether it is paused.
    #[must_use]
    pub fn is_paused(&self) -> bool {
        self.pause.is_some()
    }

    /// Whether a newer reseat wrote here, so that no state is claimed.
    #[must_use]
    pub fn is_newer(&self) -> bool {
        self.newer
    }

    pub(super) fn step_of(&self, line: &Line) -> Option<&Step> {
        line.place.map(|place| self.procedure.step(place))
    }

    pub(super) fn line(&self, id: &str) -> Option<&Line> {
        self.lines.iter().find(|line| line.id == id)
    }

    pub(super) fn line_mut(&mut self, id: &str) -> Option<&mut Line> {
        self.lines.iter_mut().find(|line| line.id == id)
    }

    pub(super) fn line_index(&self, id: &str) -> Option<usize> {
        self.lines.iter().position(|line| line.id == id)
    }

    /// Whether everything the line wants is in.
    pub(super) fn complete(&self, line: &Line) -> bool {
        if line.not_applicable.is_some() {
            return true;
        }
        let Some(step) = self.step_of(line) else {
            return line.acted.is_some();
        };
        self.acts_in(line, step)
            && (step.verify.is_none() || line.verified.is_some())
            && (step.hold.is_none() || line.released.is_some())
    }

    /// Whether the act and all its answers are in (verification and release apart).
    pub(super) fn acts_in(&self, line: &Line, step: &Step) -> bool {
        if step.asks.is_empty() {
            return line.acted.is_some();
        }
        line.asks
            .iter()
            .enumerate()
            .all(|(index, ask)| ask.closed.is_some() || self.parked(&line.id, index))
    }

    /// Index of the first line that is not complete, as the entries so far left it. While an entry is being carried in it is
    /// the line that was due when the entry was decided.
    pub(super) fn due(&self) -> Option<usize> {
        self.due
    }

    /// Looks for the line due. Every question asks for it many times over, and only an entry can move it.
    pub(super) fn find_due(&mut self) {
        self.due = self.lines.iter().position(|line| !self.complete(line));
    }

    /// The energy state of the line due. An added step is work with the hands, whatever the steps around it are, and wants zero;
    /// so does what is released again after energy was in.
    pub(super) fn energy_at(&self, index: usize) -> EnergyState {
        if self.is_release_again(index) {
            return EnergyState::Zero;
        }
        match self.lines.get(index) {
            Some(line) => self
                .step_of(line)
                .map_or(EnergyState::Zero, |step| step.energy),
            None => EnergyState::Returning,
        }
    }

    pub(super) fn has_deed(step: &Step, wanted: impl Fn(&Deed) -> bool) -> bool {
        step.does.iter().any(wanted)
    }

    /// Whether the step itself is a zero-energy check.
    pub(super) fn is_zero_check(step: &Step) -> bool {
        step.asks
            .iter()
            .any(|ask| matches!(ask, Asked::Zero { .. } | Asked::Vent { .. }))
            || step
                .asks
                .iter()
                .any(|ask| matches!(ask, Asked::Reading(measured) if measured.proves.is_some()))
    }

    /// Voids zero.
    pub(super) fn void_zero(&mut self, why: Stale) {
        self.proofs.clear();
        self.look = false;
        self.look_read = false;
        self.checks_begin_anew();
        if matches!(
            why,
            Stale::LockOff
                | Stale::Handover
                | Stale::Restart
                | Stale::LongPause
                | Stale::Stopped
                | Stale::NotZero
                | Stale::Late
        ) {
            self.needs_release = true;
        }
        self.stale = Some(why);
    }

    /// A written check that was cut in two proves nothing by its first half: it begins with its first side again.
    fn checks_begin_anew(&mut self) {
        for index in 0..self.lines.len() {
            let Some(step) = self.step_of(&self.lines[index]) else {
                continue;
            };
            let asks = step.asks.iter().enumerate();
            let checks: Vec<usize> = asks
                .filter(|(_, asked)| matches!(asked, Asked::Zero { .. }))
                .map(|(at, _)| at)
                .collect();
            for at in checks {
                let asks = &mut self.lines[index].asks;
                if let Some(check) = asks.get_mut(at).filter(|ask| ask.closed.is_none()) {
                    check.lines = 0;
                }
            }
        }
    }
}
