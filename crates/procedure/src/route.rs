//! One choice of options and the steps it leaves.

use std::collections::BTreeMap;

use crate::model::{Deed, Joint, Part, Procedure, Section, Step, When};

/// The chosen value of each option, by option id.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Choices(pub BTreeMap<String, String>);

impl Choices {
    /// Whether `when` holds for these choices.
    pub fn meet(&self, when: &When) -> bool {
        when.0.iter().all(|(option, values)| {
            self.0
                .get(option)
                .is_some_and(|value| values.contains(value))
        })
    }
}

/// Where a step stands in its procedure, and the number shown for it on this route.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Index of the section.
    pub section: usize,
    /// Index of the step in its section.
    pub step: usize,
}

/// The steps for one choice of options, in order. Step numbers shown are positions here, from 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Route {
    /// The choices made.
    pub choices: Choices,
    /// Where each step stands.
    pub places: Vec<Place>,
}

impl Route {
    /// How many steps there are.
    pub fn len(&self) -> usize {
        self.places.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.places.is_empty()
    }
}

impl Procedure {
    /// The steps that remain under `choices`.
    pub fn route(&self, choices: &Choices) -> Route {
        let mut places = Vec::new();
        for (section_index, section) in self.sections.iter().enumerate() {
            for (step_index, step) in section.steps.iter().enumerate() {
                if choices.meet(&step.when) {
                    places.push(Place {
                        section: section_index,
                        step: step_index,
                    });
                }
            }
        }
        Route {
            choices: choices.clone(),
            places,
        }
    }

    /// The same procedure with only the energies, points, zero sides and tests present under `choices`; steps, parts and
    /// joints keep their places.
    #[must_use]
    pub fn under(mut self, choices: &Choices) -> Self {
        self.energies.retain(|energy| choices.meet(&energy.when));
        self.points.retain(|point| choices.meet(&point.when));
        self.zero.retain(|side| choices.meet(&side.when));
        self.tests.retain(|test| choices.meet(&test.when));
        self
    }

    /// Every step, section by section, whatever the route.
    pub fn steps(&self) -> impl Iterator<Item = &Step> {
        self.sections.iter().flat_map(|section| &section.steps)
    }

    /// How much there is to prove on a route: steps with their answers and effects, and what is declared.
    pub(crate) fn size(&self) -> usize {
        let acts: usize = self
            .steps()
            .map(|step| 1 + step.asks.len() + step.does.len())
            .sum();
        let energies = self.energies.len() + self.points.len() + self.zero.len();
        let unit = self.chambers.len() + self.parts.len() + self.joints.len() + self.covers.len();
        let in_hand = self.tests.len() + self.instruments.len() + self.consumables.len();
        acts + energies + unit + in_hand
    }

    /// How much is done on a route: each deed, and each name in it.
    pub(crate) fn handled(&self) -> usize {
        let names = |deed: &Deed| match deed {
            Deed::Clean { parts } | Deed::Inspect { parts } | Deed::Verify { parts } => parts.len(),
            Deed::Lubricate { parts, joints, .. } => parts.len() + joints.len(),
            _ => 0,
        };
        // Own locks and waits are acts upon the points.
        let of_step = |step: &Step| {
            step.asks.len() + step.does.iter().map(|deed| 1 + names(deed)).sum::<usize>()
        };
        self.steps().map(of_step).sum()
    }

    /// How much an act may have to look through: everything declared that has a state, with the names it lists.
    pub(crate) fn declared(&self) -> usize {
        let points = self.points.iter().map(|point| 1 + point.drains.len());
        let parts = self
            .parts
            .iter()
            .map(|part| 1 + part.under.len() + part.spared_by.len());
        let joints = self
            .joints
            .iter()
            .map(|joint| 1 + joint.clamps.len() + joint.under.len());
        let tests = self
            .tests
            .iter()
            .map(|test| 1 + test.needs.len() + test.points.open.len() + test.points.shut.len());
        let named: usize = points.chain(parts).chain(joints).chain(tests).sum();
        named + self.energies.len() + self.zero.len() + self.chambers.len() + self.covers.len()
    }

    /// The declarations alone.
    pub(crate) fn without_steps(&self) -> Self {
        Self {
            format: self.format,
            number: self.number.clone(),
            revision: self.revision.clone(),
            title: self.title.clone(),
            author: self.author.clone(),
            models: self.models.clone(),
            options: self.options.clone(),
            energies: self.energies.clone(),
            points: self.points.clone(),
            chambers: self.chambers.clone(),
            tests: self.tests.clone(),
            zero: self.zero.clone(),
            zero_release: self.zero_release,
            parts: self.parts.clone(),
            joints: self.joints.clone(),
            covers: self.covers.clone(),
            instruments: self.instruments.clone(),
            consumables: self.consumables.clone(),
            kit: self.kit.clone(),
            sections: Vec::new(),
        }
    }

    /// The step at a place.
    pub fn step(&self, place: Place) -> &Step {
        &self.sections[place.section].steps[place.step]
    }

    /// The section of a place.
    pub fn section(&self, place: Place) -> &Section {
        &self.sections[place.section]
    }

    /// The joint of this name under `choices`.
    pub fn joint(&self, id: &str, choices: &Choices) -> Option<&Joint> {
        self.joints
            .iter()
            .find(|joint| joint.id == id && choices.meet(&joint.when))
    }

    /// The parts present under `choices`.
    pub fn parts_on<'a>(&'a self, choices: &'a Choices) -> impl Iterator<Item = &'a Part> {
        self.parts.iter().filter(|part| choices.meet(&part.when))
    }
}
