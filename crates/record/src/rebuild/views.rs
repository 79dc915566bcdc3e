//! Views of a rebuild, worked out for screens, line mode and reports alike.

use reseat_measure::{Place, Quantity};
use reseat_procedure::model::Asked;

use super::joint::order_of;
use super::state::Rebuild;
use super::time::clock_face;
use super::view::{Gauge, JointView, Mark as FastenerMark, PartLine, StepLine, Strip};
use crate::log::{Clock, Stamp};

impl Rebuild {
    /// The strip of every screen of this rebuild.
    #[must_use]
    pub fn strip(&self, stamp: &Stamp) -> Strip {
        let (state, tone) = self.strip_state(stamp);
        let who = match (&self.who, &self.pause) {
            (Some(who), None) => surname(&who.name).to_owned(),
            _ => "who?".to_owned(),
        };
        let time = match stamp.clock {
            Clock::Doubted => "CLOCK NOT TRUSTED".to_owned(),
            _ => clock_face(&stamp.utc, &stamp.offset),
        };
        let section = self.due().and_then(|due| self.section_of(due));
        Strip {
            tag: self.started.place_tag.clone(),
            name: self.started.unit_name.clone(),
            serial: self.started.unit_serial.clone(),
            who,
            time,
            procedure: format!("{} rev {}", self.started.procedure, self.started.revision),
            section: section.map_or_else(|| "Closed".to_owned(), |section| section.title.clone()),
            state,
            tone,
            demo: self.demo,
        }
    }

    /// The strip while nobody has the work in hand: what the record last knew of zero is not held out to whoever comes next.
    #[must_use]
    pub fn strip_untaken(&self, stamp: &Stamp) -> Strip {
        let mut strip = self.strip(stamp);
        if self.ended.is_none() && self.pause.is_none() && !self.newer {
            "who?".clone_into(&mut strip.who);
            strip.state = format!("LEFT OPEN, {}: zero not proved since", self.unit_words());
            strip.tone = super::view::Tone::Watch;
        }
        strip
    }

    /// A joint as it stands; none if the procedure has none of this name.
    pub fn joint_view(&self, id: &str) -> Option<JointView> {
        let written = self.joint(id)?;
        let joint = &self.joint_now(id).unwrap_or_else(|| written.clone());
        let state = self.joint_state(id);
        let order = order_of(joint);
        let passes = joint.passes.len() as u32;
        let pass = state.pass.max(1);
        let next = (pass <= passes)
            .then(|| {
                order
                    .iter()
                    .copied()
                    .find(|fastener| !state.pulled.contains(fastener))
            })
            .flatten();
        let marks = (1..=joint.fasteners)
            .map(|fastener| {
                let place = state.values.get(&fastener).and_then(|(_, _, place)| *place);
                match (pass > passes || state.pulled.contains(&fastener), place) {
                    (true, _) => FastenerMark::Done,
                    (false, Some(Place::High)) if pass == passes => FastenerMark::High,
                    (false, Some(Place::Low)) if pass == passes => FastenerMark::Low,
                    _ if next == Some(fastener) => FastenerMark::Next,
                    _ => FastenerMark::Open,
                }
            })
            .collect();
        let values = (1..=joint.fasteners)
            .map(|fastener| {
                state
                    .values
                    .get(&fastener)
                    .map_or((String::new(), None), |(_, means, place)| {
                        (means.clone(), *place)
                    })
            })
            .collect();
        let readings: Vec<Quantity> = state
            .values
            .values()
            .filter_map(|(_, means, _)| Self::quantity(means))
            .collect();
        Some(JointView {
            title: format!("{} {}", joint.id, joint.label),
            wrench: state
                .wrench
                .as_ref()
                .map(|wrench| format!("{} {}, {}", wrench.id, wrench.kind, wrench.range))
                .unwrap_or_default(),
            condition: state.condition.clone().unwrap_or_default(),
            fasteners_named: joint.fasteners_named.clone(),
            fasteners: joint.fasteners,
            order,
            pass,
            passes,
            target: joint
                .passes
                .get((pass.min(passes).max(1) - 1) as usize)
                .map(ToString::to_string)
                .unwrap_or_default(),
            prevailing: self
                .prevailing_words(id, pass.min(passes).max(1))
                .unwrap_or_default(),
            load: Self::load_words(written, &state),
            next,
            marks,
            lines: state.lines.clone(),
            values,
            // Before the last pass the window would only mislead.
            gauge: (pass >= passes).then(|| Gauge::of(&joint.window, &readings)),
        })
    }

    /// A measured thing against its window, with every reading of it that was taken.
    #[must_use]
    pub fn gauge_of(&self, id: &str) -> Option<Gauge> {
        let window = self
            .procedure
            .steps()
            .flat_map(|step| &step.asks)
            .find_map(|asked| match asked {
                Asked::Reading(measured) if measured.id == id => measured.window,
                Asked::Computed {
                    id: named, window, ..
                } if named == id => Some(*window),
                _ => None,
            })?;
        let readings: Vec<Quantity> = self
            .readings
            .values()
            .filter(|kept| kept.thing.as_deref() == Some(id) && !kept.struck && !kept.void)
            .filter_map(|kept| Self::quantity(&kept.means))
            .collect();
        Some(Gauge::of(&window, &readings))
    }

    /// The steps of the section that is due.
    #[must_use]
    pub fn section_steps(&self) -> Vec<StepLine> {
        let Some(due) = self.due() else {
            return Vec::new();
        };
        let Some(section) = self.lines[due..]
            .iter()
            .find_map(|line| line.place)
            .map(|place| place.section)
        else {
            return Vec::new();
        };
        self.lines
            .iter()
            .enumerate()
            .filter(|(index, line)| {
                line.place
                    .map_or(*index == due, |place| place.section == section)
            })
            .map(|(index, line)| StepLine {
                number: self.number(index),
                text: self.text_of(line),
                stands: if index == due {
                    "due".to_owned()
                } else {
                    self.stands(line)
                },
                due: index == due,
            })
            .collect()
    }

    /// The parts ledger.
    #[must_use]
    pub fn part_lines(&self) -> Vec<PartLine> {
        self.procedure
            .parts_on(&self.route.choices)
            .map(|part| PartLine {
                part: part.label.clone(),
                required: part.count,
                off: self.off.get(&part.id).copied().unwrap_or(0),
                on: self.on.get(&part.id).copied().unwrap_or(0),
                disposition: self.dispositions.get(&part.id).cloned().unwrap_or_default(),
            })
            .collect()
    }

    /// What was measured beside the joints, each thing with its last reading that was not struck: id, label, value. The
    /// thing read last comes last.
    #[must_use]
    pub fn things_read(&self) -> Vec<(String, String, String)> {
        let mut things: Vec<(String, String, String)> = Vec::new();
        for kept in self.readings.values().filter(|kept| !kept.struck) {
            let Some(thing) = &kept.thing else { continue };
            let label = self
                .procedure
                .steps()
                .flat_map(|step| &step.asks)
                .find_map(|asked| match asked {
                    Asked::Reading(measured) if measured.id == *thing => Some(&measured.label),
                    _ => None,
                });
            let Some(label) = label else { continue };
            things.retain(|(id, ..)| id != thing);
            things.push((thing.clone(), label.clone(), kept.means.clone()));
        }
        things
    }

    /// The readings of the test sections: local time, what was read by its label, value.
    #[must_use]
    pub fn test_readings(&self) -> Vec<(String, String, String)> {
        self.readings
            .iter()
            .filter(|(_, kept)| !kept.struck)
            .filter(|(_, kept)| {
                self.line(&kept.line)
                    .and_then(|line| self.step_of(line))
                    .is_some_and(|step| step.energy == reseat_procedure::model::EnergyState::Test)
            })
            .filter_map(|(number, kept)| {
                let entry = self
                    .entries
                    .get(usize::try_from(*number).ok()?.checked_sub(1)?)?;
                let read = match (&kept.thing, &kept.joint) {
                    (Some(thing), _) => self.thing_words(thing),
                    (None, Some((joint, fastener, _))) => format!("{joint} {fastener}"),
                    (None, None) => return None,
                };
                let time = clock_face(&entry.utc, &entry.offset);
                Some((time, read, kept.means.clone()))
            })
            .collect()
    }
}

/// The family name, for the strip.
pub(super) fn surname(name: &str) -> &str {
    name.rsplit(' ').next().unwrap_or(name)
}
