//! What stands before an entry, as far as what is worked out in it rests on that.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use reseat_measure::{Adapter, Quantity};
use reseat_procedure::model::Joint;

use crate::rebuild::body::{AdapterUse, Body, Reading};

/// Lever, length and angle.
type Measures = (String, String, String);

/// What a reading means, and where it lies if it was judged.
pub(super) struct Read {
    pub(super) means: String,
    pub(super) place: Option<String>,
}

/// Readings that are not struck, and what was stated of each joint.
#[derive(Default)]
pub(super) struct Standing {
    /// The last reading of each thing, by joint (empty without one) and name.
    things: BTreeMap<(String, String), (u64, Quantity)>,
    /// What every reading means and where it lies, struck ones too.
    readings: BTreeMap<u64, Read>,
    /// Digits that were asked about, by entry.
    queried: BTreeMap<u64, String>,
    adapters: BTreeMap<String, Measures>,
    in_hand: BTreeSet<String>,
    conditions: BTreeMap<String, String>,
    serial: String,
}

impl Standing {
    /// Carries an entry that was looked at.
    pub(super) fn carry(&mut self, number: u64, body: &Body) {
        match body {
            Body::Started(body) => self.serial.clone_from(&body.unit_serial),
            Body::Reading(reading) => self.read(number, reading),
            Body::ReadingQueried(queried) => {
                self.queried.insert(number, queried.typed.clone());
            }
            Body::Struck(struck) => self.struck(struck.entry),
            Body::StruckSeen(struck) => self.struck(struck.entry),
            Body::AdapterOn(body) => {
                match (&body.lever, &body.length, &body.angle) {
                    (Some(lever), Some(length), Some(angle)) => self.adapters.insert(
                        body.joint.clone(),
                        (lever.clone(), length.clone(), angle.clone()),
                    ),
                    _ => self.adapters.remove(&body.joint),
                };
            }
            // Another wrench in the middle of the pattern: the adapter was on the one before.
            Body::Ready(body) if !self.in_hand.insert(body.joint.clone()) => {
                self.adapters.remove(&body.joint);
            }
            Body::Condition(body) => {
                self.conditions
                    .insert(body.joint.clone(), body.condition.clone());
            }
            Body::Reopened(body) => {
                self.adapters.remove(&body.joint);
                self.in_hand.remove(&body.joint);
                self.conditions.remove(&body.joint);
            }
            _ => {}
        }
    }

    fn read(&mut self, entry: u64, reading: &Reading) {
        if let (Some(thing), Ok(value)) = (&reading.thing, Quantity::parse(&reading.means)) {
            let joint = reading.joint.clone().unwrap_or_default();
            self.things.insert((joint, thing.clone()), (entry, value));
        }
        let read = Read {
            means: reading.means.clone(),
            place: reading.place.clone(),
        };
        self.readings.insert(entry, read);
    }

    fn struck(&mut self, entry: u64) {
        self.things.retain(|_, (read, _)| *read != entry);
    }

    /// The last reading of a thing, with its entry.
    pub(super) fn thing(&self, joint: Option<&str>, thing: &str) -> Option<&(u64, Quantity)> {
        let joint = joint.unwrap_or_default().to_owned();
        self.things.get(&(joint, thing.to_owned()))
    }

    /// A reading by its entry.
    pub(super) fn reading(&self, entry: u64) -> Option<&Read> {
        self.readings.get(&entry)
    }

    /// The digits of a queried reading, by its entry.
    pub(super) fn queried(&self, entry: u64) -> Option<&str> {
        self.queried.get(&entry).map(String::as_str)
    }

    /// The adapter stated at a joint; none where its wrench has none.
    pub(super) fn adapter(&self, joint: &str) -> Option<Adapter> {
        let (lever, length, angle) = self.adapters.get(joint)?;
        crate::rebuild::adapter::read(lever, length, angle).ok()
    }

    /// The condition stated of a joint.
    pub(super) fn condition(&self, joint: &str) -> Option<&str> {
        self.conditions.get(joint).map(String::as_str)
    }

    /// The unit's serial.
    pub(super) fn serial(&self) -> &str {
        &self.serial
    }

    /// The adapter of a setting or torque against the one stated at its joint.
    pub(super) fn adapter_fault(&self, joint: &str, used: Option<&AdapterUse>) -> Option<String> {
        let stated = self.adapters.get(joint);
        let used = used.map(|used| (used.lever.clone(), used.length.clone(), used.angle.clone()));
        let told = |measures: Option<&Measures>| match measures {
            Some((lever, length, angle)) => format!("lever {lever}, adapter {length} at {angle}"),
            None => "no adapter".to_owned(),
        };
        (stated != used.as_ref()).then(|| {
            format!(
                "It was taken with {}, at {joint} {} was stated.",
                told(used.as_ref()),
                told(stated)
            )
        })
    }

    /// The joint with what was read of its prevailing torque, for an entry that does not name it.
    pub(super) fn joint_read<'j>(&self, written: &'j Joint) -> Result<Cow<'j, Joint>, String> {
        let thing = written.prevailing_read.as_deref();
        let read = thing.and_then(|thing| self.thing(None, thing));
        self.joint(written, read.map(|(_, read)| read.to_string()).as_deref())
    }

    /// The joint with what was read of its prevailing torque; a fault where that and the entry differ.
    pub(super) fn joint<'j>(
        &self,
        written: &'j Joint,
        entered: Option<&str>,
    ) -> Result<Cow<'j, Joint>, String> {
        let Some(thing) = &written.prevailing_read else {
            return match entered {
                None => Ok(Cow::Borrowed(written)),
                Some(_) => Err(format!("{} has no prevailing torque.", written.id)),
            };
        };
        let Some((_, read)) = self.thing(None, thing) else {
            return Err(format!(
                "The prevailing torque of {} was not read before it.",
                written.id
            ));
        };
        if entered != Some(read.to_string().as_str()) {
            return Err(format!(
                "Its prevailing torque is \"{}\", the reading says {read}.",
                entered.unwrap_or_default()
            ));
        }
        crate::rebuild::prevailing::raised(written, read)
            .map(Cow::Owned)
            .map_err(|why| why.to_string())
    }
}
