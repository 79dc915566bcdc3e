//! What repeats of one value at a test tell: error, repeatability, hysteresis, worked out from the readings that stand and never
//! kept. Which readings are repeats is read from the procedure: one window with two limits and one name, in one step; two steps
//! that follow each other where the one comes from below and the other from above.

use reseat_measure::{Direction, Quantity, Rational, Window, regulator::set_point};
use reseat_procedure::model::{Asked, EnergyState, Measured};

use super::state::Rebuild;
use super::view::{Gauge, RecordLine, Repeat, RepeatsView, Way};

/// One place in the procedure where the value is read.
struct Slot<'a> {
    measured: &'a Measured,
    name: String,
    way: Option<Way>,
    entry: Option<u64>,
}

/// Readings of one value, and the line of the last of them.
struct Group<'a> {
    line: usize,
    window: Window,
    slots: Vec<Slot<'a>>,
}

impl Rebuild {
    /// The repeats of the test steps that have at least two readings in, in the order of the procedure.
    #[must_use]
    pub fn repeats(&self) -> Vec<RepeatsView> {
        let groups = self.groups();
        groups
            .iter()
            .filter_map(|group| self.told(group, 2))
            .collect()
    }

    /// The repeats that a measured thing belongs to, with no reading in or more; none where it is read only once.
    #[must_use]
    pub fn repeats_of(&self, thing: &str) -> Option<RepeatsView> {
        let groups = self.groups();
        let group = groups
            .iter()
            .find(|group| group.slots.iter().any(|slot| slot.measured.id == thing))?;
        self.told(group, 0)
    }

    /// Puts what complete repeats tell behind the last reading of each.
    pub(super) fn tell_repeats(&self, lines: &mut [RecordLine]) {
        for view in self.repeats() {
            let last = view.readings.iter().map(|repeat| repeat.entry).max();
            let line = lines.iter_mut().find(|line| Some(line.number) == last);
            if let Some(line) = line.filter(|_| view.readings.len() == view.of) {
                line.text = format!("{}; {}", line.text, view.words());
            }
        }
    }

    fn groups(&self) -> Vec<Group<'_>> {
        let mut groups: Vec<Group<'_>> = Vec::new();
        for (index, line) in self.lines.iter().enumerate() {
            let step = self.step_of(line);
            let Some(step) = step.filter(|step| step.energy == EnergyState::Test) else {
                continue;
            };
            for (ask, asked) in line.asks.iter().zip(&step.asks) {
                let Asked::Reading(measured) = asked else {
                    continue;
                };
                let Some(window) = two_sided(measured) else {
                    continue;
                };
                let (name, way) = name_and_way(&measured.label);
                let slot = Slot {
                    measured,
                    name,
                    way,
                    entry: ask.reading,
                };
                match groups.iter_mut().find(|group| group.takes(index, &slot)) {
                    Some(group) => {
                        group.line = index;
                        group.slots.push(slot);
                    }
                    None => groups.push(Group {
                        line: index,
                        window,
                        slots: vec![slot],
                    }),
                }
            }
        }
        groups.retain(|group| group.slots.len() > 1);
        groups
    }

    fn told(&self, group: &Group<'_>, least: usize) -> Option<RepeatsView> {
        let unit = group.window.unit();
        let readings: Vec<Repeat> = group
            .slots
            .iter()
            .filter_map(|slot| {
                let entry = slot.entry?;
                let kept = self.readings.get(&entry).filter(|kept| !kept.struck)?;
                Some(Repeat {
                    entry,
                    way: slot.way,
                    value: Self::quantity(&kept.means)?,
                })
            })
            .collect();
        if readings.len() < least {
            return None;
        }
        let set = middle(&group.window, readings.first())?;
        let ways: Vec<(Quantity, Direction)> = readings
            .iter()
            .map(|repeat| {
                let falling = repeat.way == Some(Way::Falling);
                let way = if falling {
                    Direction::Falling
                } else {
                    Direction::Rising
                };
                (repeat.value, way)
            })
            .collect();
        let mut names: Vec<String> = Vec::new();
        for slot in &group.slots {
            if !names.contains(&slot.name) {
                names.push(slot.name.clone());
            }
        }
        let figures = set_point(&set, &ways).ok();
        let decimals = readings
            .iter()
            .map(|repeat| repeat.value.decimal().decimals())
            .max();
        Some(RepeatsView {
            name: names.join(" and "),
            set: set.to_string(),
            unit: unit.to_string(),
            decimals: decimals.unwrap_or_default() + 1,
            figures: figures.filter(|_| readings.len() > 1),
            marks: Gauge::of(
                &group.window,
                &readings
                    .iter()
                    .map(|repeat| repeat.value)
                    .collect::<Vec<_>>(),
            ),
            of: group.slots.len(),
            readings,
        })
    }
}

impl Group<'_> {
    /// Whether a place is a repeat of these: the same window, gauges and name, in the same step; or come to the other way, in the
    /// step that follows.
    fn takes(&self, line: usize, slot: &Slot<'_>) -> bool {
        let Some(first) = self.slots.first() else {
            return false;
        };
        let alike = Some(self.window) == slot.measured.window
            && first.measured.instruments == slot.measured.instruments;
        let named = self
            .slots
            .iter()
            .any(|one| one.name == slot.name && (one.way.is_some() == slot.way.is_some()));
        let other_way = slot.way.is_some()
            && self
                .slots
                .iter()
                .all(|one| one.way.is_some() && one.way != slot.way);
        alike && ((self.line == line && named) || (self.line + 1 == line && other_way))
    }
}

fn two_sided(measured: &Measured) -> Option<Window> {
    measured
        .window
        .filter(|window| window.low().is_some() && window.high().is_some())
}

/// The middle of a window as what is set, measured from where the readings are.
fn middle(window: &Window, like: Option<&Repeat>) -> Option<Quantity> {
    let (low, high) = (window.low()?.decimal(), window.high()?.decimal());
    let sum = Rational::from(low).plus(Rational::from(high)).ok()?;
    let half = sum.over(Rational::new(2, 1).ok()?).ok()?;
    let reference = like.map_or(window.reference(), |repeat| repeat.value.reference());
    Quantity::new(half.to_short_decimal().ok()?, window.unit(), reference).ok()
}

/// `opening 2, rising` is the second `opening`, come to from below.
fn name_and_way(label: &str) -> (String, Option<Way>) {
    let mut way = None;
    let mut parts: Vec<String> = Vec::new();
    for part in label.split(", ") {
        match part {
            "rising" | "going up" => way = Some(Way::Rising),
            "falling" | "going down" => way = Some(Way::Falling),
            part => {
                let numbered = part
                    .rsplit_once(' ')
                    .filter(|(_, last)| last.bytes().all(|byte| byte.is_ascii_digit()));
                parts.push(numbered.map_or(part, |(name, _)| name).to_owned());
            }
        }
    }
    (parts.join(", "), way)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_label_says_its_name_and_the_way_it_was_come_to() {
        for (label, name, way) in [
            ("opening 2, rising", "opening", Some(Way::Rising)),
            (
                "holding pressure 3, falling",
                "holding pressure",
                Some(Way::Falling),
            ),
            (
                "travel at 0.8 bar, going down",
                "travel at 0.8 bar",
                Some(Way::Falling),
            ),
            ("pop 3", "pop", None),
            ("falling weight", "falling weight", None),
        ] {
            assert_eq!(name_and_way(label), (name.to_owned(), way), "{label}");
        }
    }
}
