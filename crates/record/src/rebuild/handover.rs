//! The outgoing person's part of a handover. It stands alone: whoever comes later, or nobody, has only these words.
//!
//! The incoming person's part is the `taken_up/1` he signs after he has read and walked the unit; his own lock and his own
//! zero check follow from it.

use super::body::{self, Body};
use super::command::StopKind;
use super::decide::said;
use super::state::Rebuild;
use crate::log::{Id, Stamp};
use crate::refusal::{Refusal, Work};
use crate::register::Register;

/// What the outgoing person wrote, for as long as nobody has taken up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Part {
    by: String,
    words: String,
    to: Option<String>,
    left: Option<String>,
}

impl Part {
    pub(super) fn of(body: &body::HandedOver) -> Self {
        Self {
            by: body.person.name.clone(),
            words: body.words.clone(),
            to: body.to.as_ref().map(|to| to.name.clone()),
            left: body.left.clone(),
        }
    }

    /// The state the unit is left in to nobody.
    pub(super) fn left(&self) -> Option<&str> {
        self.left.as_deref()
    }

    /// The state of the record in words.
    pub(super) fn headline(&self) -> &'static str {
        if self.left.is_some() {
            "LEFT TO NOBODY"
        } else {
            "HANDED OVER"
        }
    }

    /// One sentence: when, by whom, to whom or how it was left, and his words.
    pub(super) fn words_at(&self, at: &str) -> String {
        let to = match (&self.to, &self.left) {
            (Some(to), _) => format!(" to {to}"),
            (None, Some(left)) => format!(", left: {left}"),
            (None, None) => String::new(),
        };
        format!(
            "{} {at} by {}{to}: {}",
            self.headline(),
            self.by,
            self.words
        )
    }
}

impl Rebuild {
    pub(super) fn decide_hand_over(
        &self,
        register: &Register,
        stamp: &Stamp,
        words: &str,
        to: Option<Id>,
        left: Option<String>,
    ) -> Result<Body, Refusal> {
        if self
            .pause
            .as_ref()
            .is_some_and(|pause| pause.handed_over.is_some())
        {
            return Err(Work::Paused.into());
        }
        let person = Self::actor(register, stamp)?;
        if self.who.as_ref().is_none_or(|who| who.id != person.id) {
            return Err(Work::SignsHimself.into());
        }
        let (to, left) = match (to, left) {
            (Some(to), None) if to != person.id => {
                let to = register
                    .person(to)
                    .filter(|person| !person.retired)
                    .map(|person| body::PersonCopy {
                        id: person.id,
                        name: person.name.clone(),
                        fact: person.fact,
                    })
                    .ok_or(Work::NobodySuch)?;
                Self::must_hold(register, &to, reseat_procedure::model::Role::Performer)?;
                (Some(to), None)
            }
            (None, Some(left)) => (None, Some(self.left_in(register, &left)?)),
            _ => return Err(Work::HandOverTo.into()),
        };
        Ok(body::HandedOver {
            words: said(words)?,
            unit: self.unit_words(),
            loose: self.loose(),
            next: self.next_words(),
            locks: self.locks_words(),
            to,
            left,
            own_lock: self.own_lock_of(person.id),
            person,
            register: register.head(),
        }
        .into())
    }

    /// The state as the site names it; none but those it allows, and never with test energy in.
    fn left_in(&self, register: &Register, left: &str) -> Result<String, Refusal> {
        if let Some(what) = self.in_it_words() {
            return Err(Work::LeftUnderTest { what }.into());
        }
        let allowed = register.left_states();
        let typed = left.trim();
        let known = allowed
            .iter()
            .find(|state| state.eq_ignore_ascii_case(typed));
        let Some(state) = known.cloned() else {
            return Err(Work::StateNotAllowed { allowed }.into());
        };
        match self.untrue(&state) {
            Some(why) => Err(Work::LeftUntrue { state, why }.into()),
            None => Ok(state),
        }
    }

    /// What the record holds against a state the unit is said to be left in; none where nothing speaks against it. A site words
    /// its states itself: held against the record are the words of the trade in them (opened, together, tight, in service,
    /// locked, vented), and no others.
    fn untrue(&self, state: &str) -> Option<String> {
        let state = state.to_lowercase();
        let says = |word: &str| state.contains(word);
        let whole = says("nothing opened") || says("together") || says("tight");
        if whole && let Some(first) = self.loose().first() {
            return Some(format!("{first} is recorded loose or off"));
        }
        if says("in service")
            && let Some(hung) = self.locks.values().find(|hung| hung.on)
        {
            return Some(format!("lock {} is recorded on", hung.number));
        }
        if says("locked") {
            let missing = self.lock_missing().filter(|lock| lock != "own");
            if let Some(lock) = missing {
                return Some(self.lock_missing_words(&lock));
            }
            if self.locks.values().all(|hung| !hung.on) {
                return Some("no lock is recorded on".to_owned());
            }
        }
        let zero_open = says("vented") && !self.sides_proved();
        zero_open.then(|| "zero is not proved on every side".to_owned())
    }

    /// Number of a person's own lock, while it is recorded on.
    pub(super) fn own_lock_of(&self, person: Id) -> Option<String> {
        self.own_locks.get(&person).map(|hung| hung.number.clone())
    }

    /// Why the own lock of the person who handed over stays on: the next person's goes on first.
    pub(super) fn outgoing_stays(&self, owner: Id) -> Result<(), Refusal> {
        if self.outgoing != Some(owner) {
            return Ok(());
        }
        let part = self
            .pause
            .as_ref()
            .and_then(|pause| pause.handed_over.as_ref());
        let next = match (part, &self.who) {
            (Some(part), _) => part.to.clone(),
            (None, Some(who)) if who.id != owner => {
                let due = self.due().unwrap_or(self.lines.len());
                self.own_lock_missing(due).then(|| who.name.clone())
            }
            _ => None,
        };
        match next {
            Some(name) => Err(Work::IncomingFirst { name }.into()),
            None => Ok(()),
        }
    }

    /// What must happen to the own lock of the person who handed over.
    pub(super) fn outgoing_lock_words(&self) -> Option<String> {
        let outgoing = self.outgoing?;
        let super::state::OwnHung { number, name, .. } = self.own_locks.get(&outgoing)?;
        let incoming = self
            .who
            .as_ref()
            .filter(|who| who.id != outgoing && self.pause.is_none());
        Some(match incoming {
            Some(who) if self.own_locks.contains_key(&who.id) => {
                format!(
                    "Own lock {number} of {name} is still on: {name} takes it off himself, now."
                )
            }
            None if self.left_to_nobody() => format!(
                "Own lock {number} of {name} is still on. Its owner takes it off, nobody else; the group's locks stay on."
            ),
            _ => format!(
                "Own lock {number} of {name} stays on until the next person's own lock is on; then {name} takes it off himself."
            ),
        })
    }

    fn left_to_nobody(&self) -> bool {
        let pause = self.pause.as_ref();
        pause.is_some_and(|pause| {
            let part = pause.handed_over.as_ref();
            part.is_some_and(|part| part.left().is_some())
        })
    }

    /// What each kind of STOP leads to.
    pub(super) fn after_stop_words(&self) -> Option<String> {
        let why = self.pause.as_ref()?.stop.as_deref()?;
        let kind = StopKind::ALL.into_iter().find(|kind| kind.words() == why)?;
        let words = match kind {
            StopKind::Leak => {
                "Keep clear. Vent and shut what can be reached without harm, and write it as made safer. A finding stays open until a releaser decides."
            }
            StopKind::LockMoved => {
                "Nobody touches the unit. Write which lock came off; look at every lock by its number. A finding is open, joints under way start again."
            }
            StopKind::Dropped => {
                "Look for it before anything hides it; write what it is and where it went. A finding stays open until a releaser decides."
            }
            StopKind::CalledAway => {
                "Nothing is decided for it. After a short time a look again is enough, later the full check."
            }
            StopKind::Hurt => {
                "Help people first. Leave the unit as it is, locks on. A finding stays open until a releaser decides."
            }
        };
        Some(words.to_owned())
    }
}
