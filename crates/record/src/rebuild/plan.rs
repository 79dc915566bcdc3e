//! The energy plan: each source and each stored energy on its own line, with what isolates it, its lock and owner, its release
//! and its proof; the procedure's list joined with the points the register has for the place.

use reseat_procedure::model::{Asked, Energy, EnergyKind, PointKind, ZeroSide};

use super::body::Body;
use super::released::Release;
use super::state::{Mark, Rebuild};
use super::time::clock_face;
use super::view::{EnergyLine, PlanLine};
use super::views::surname;
use crate::log::{Clock, Entry, Stamp};
use crate::register::{PlacePoint, PointKind as Kind};

impl Rebuild {
    /// One line for each energy: where it is isolated, its lock, how it was released, how zero was read.
    #[must_use]
    pub fn energy_lines(&self, stamp: &Stamp) -> Vec<EnergyLine> {
        let mut lines: Vec<EnergyLine> = self
            .procedure
            .energies
            .iter()
            .map(|energy| self.energy_line(energy, stamp))
            .collect();
        lines.extend(self.own_points().map(|point| self.own_point_line(point)));
        lines
    }

    fn energy_line(&self, energy: &Energy, stamp: &Stamp) -> EnergyLine {
        let points: Vec<_> = self
            .procedure
            .points
            .iter()
            .filter(|point| point.energy == energy.id)
            .collect();
        let isolating: Vec<_> = points
            .iter()
            .filter(|point| point.kind == PointKind::Isolating)
            .collect();
        let labels: Vec<String> = isolating
            .iter()
            .map(|point| format!("{} {}", point.label, point.position))
            .collect();
        let hung: Vec<_> = points
            .iter()
            .filter_map(|point| self.locks.get(&point.id))
            .collect();
        let numbers: Vec<&str> = hung
            .iter()
            .filter(|hung| hung.on)
            .map(|hung| hung.number.as_str())
            .collect();
        let owner = hung
            .first()
            .map(|hung| surname(&self.holder_of(hung)).to_owned())
            .unwrap_or_default();
        let sides: Vec<_> = self
            .procedure
            .zero
            .iter()
            .filter(|side| side.energy == energy.id)
            .collect();
        let read: Vec<String> = sides
            .iter()
            .filter_map(|side| self.zero_words(side, stamp))
            .collect();
        let locked = isolating.iter().all(|point| {
            self.locks.get(&point.id).is_some_and(|hung| hung.on) || point.lock.is_none()
        });
        let release = self.release_of(&energy.id);
        // What no gauge proves is complete once its release is done, and no longer once energy was let in again.
        let let_go = !sides.is_empty()
            || !self.is_released_by_step(&energy.id)
            || release.as_ref().is_some_and(|release| release.stands);
        EnergyLine {
            source: format!("{}, {}", energy.label, energy.size),
            method: format!("{}, by {}", kind_word(energy.kind), energy.method),
            isolated_at: if labels.is_empty() {
                "nothing to lock".to_owned()
            } else {
                labels.join(", ")
            },
            lock: numbers.join(", "),
            owner,
            released: self.released_words(&sides, release.as_ref()),
            zero: read.join("; "),
            complete: locked && let_go && sides.iter().all(|side| self.is_proved(side)),
        }
    }

    /// What was read of a side or seen at its vent, when, and how long ago where the clock is believed.
    fn zero_words(&self, side: &ZeroSide, stamp: &Stamp) -> Option<String> {
        let proof = self.proofs.get(&side.id)?;
        let (mark, what) = proof
            .reading
            .as_ref()
            .or(proof.vent.as_ref().filter(|_| proof.by_vent))?;
        let age = super::time::minutes_between(&mark.utc, &stamp.utc)
            .filter(|_| stamp.clock != Clock::Doubted)
            .map_or_else(String::new, |age| format!(", {age} min"));
        Some(format!(
            "{what} {} {}{age}",
            side.instrument,
            clock_face(&mark.utc, &mark.offset)
        ))
    }

    /// What came from the vents in the proofs that stand; where no vent says it, the step that released the energy.
    fn released_words(&self, sides: &[&ZeroSide], release: Option<&Release>) -> String {
        let came: Vec<&str> = sides
            .iter()
            .filter_map(|side| self.proofs.get(&side.id)?.vent.as_ref())
            .map(|(_, came)| came.as_str())
            .collect();
        match release {
            _ if !came.is_empty() => came.join(", "),
            Some(release) if release.stands => format!(
                "{} {}",
                release.said,
                clock_face(&release.mark.utc, &release.mark.offset)
            ),
            // A side is proved anew by its gauge; here nothing else says that it came back.
            Some(_) if sides.is_empty() => "energy in since".to_owned(),
            _ => String::new(),
        }
    }

    /// Isolating points the register has for the place and the procedure does not name: each wants a lock before zero.
    pub(super) fn own_points(&self) -> impl Iterator<Item = &PlacePoint> {
        self.started
            .points
            .iter()
            .filter(|point| point.kind == Kind::Isolating && !self.procedure_names(&point.label))
    }

    /// Their labels, by which their locks are kept.
    pub(super) fn points_of_the_place(&self) -> impl Iterator<Item = &str> {
        self.own_points().map(|point| point.label.as_str())
    }

    fn procedure_names(&self, label: &str) -> bool {
        self.procedure.points.iter().any(|point| {
            point.label.eq_ignore_ascii_case(label) || point.id.eq_ignore_ascii_case(label)
        })
    }

    fn own_point_line(&self, point: &PlacePoint) -> EnergyLine {
        let hung = self.locks.get(&point.label).filter(|hung| hung.on);
        EnergyLine {
            source: point.energy.clone(),
            method: "on the register of this place, not in the procedure".to_owned(),
            isolated_at: format!("{} {}", point.label, point.position),
            lock: hung.map(|hung| hung.number.clone()).unwrap_or_default(),
            owner: hung
                .map(|hung| surname(&self.holder_of(hung)).to_owned())
                .unwrap_or_default(),
            released: String::new(),
            zero: String::new(),
            complete: hung.is_some(),
        }
    }

    /// The rule the site follows and who is still on the lock box, for the foot of the table.
    #[must_use]
    pub fn lockout_words(&self) -> Vec<String> {
        let mut words = vec![format!("Rule followed: {}.", self.started.rule)];
        words.extend(self.lock_box().map(|shown| format!("{}.", shown.words())));
        words
    }

    /// The energy plan as the record has it, from its entries alone: it stays readable after every lock is off again.
    #[must_use]
    pub fn energy_plan(&self) -> Vec<PlanLine> {
        let mut plan: Vec<PlanLine> = self
            .procedure
            .energies
            .iter()
            .map(|energy| self.plan_line(energy))
            .collect();
        plan.extend(self.own_points().map(|point| PlanLine {
            source: point.energy.clone(),
            kind: "own point of this place".to_owned(),
            size: String::new(),
            isolated_at: vec![format!("{} {}", point.label, point.position)],
            method: format!("{} {}, locked", point.label, point.position),
            locks: self.lock_hung(&point.label).into_iter().collect(),
            released: String::new(),
            proof: String::new(),
            note: "on the register of this place, not in the procedure".to_owned(),
        }));
        plan
    }

    fn plan_line(&self, energy: &Energy) -> PlanLine {
        let points: Vec<_> = self
            .procedure
            .points
            .iter()
            .filter(|point| point.energy == energy.id)
            .collect();
        let isolating = points
            .iter()
            .filter(|point| point.kind == PointKind::Isolating);
        let unknown: Vec<&str> = isolating
            .clone()
            .filter(|point| {
                !self.started.points.is_empty()
                    && !self.started.points.iter().any(|known| {
                        known.label.eq_ignore_ascii_case(&point.label)
                            || known.label.eq_ignore_ascii_case(&point.id)
                    })
            })
            .map(|point| point.label.as_str())
            .collect();
        let note = if unknown.is_empty() {
            String::new()
        } else {
            format!("not on the register of this place: {}", unknown.join(", "))
        };
        let sides: Vec<&str> = self
            .procedure
            .zero
            .iter()
            .filter(|side| side.energy == energy.id)
            .map(|side| side.id.as_str())
            .collect();
        PlanLine {
            source: energy.label.clone(),
            kind: kind_word(energy.kind).to_owned(),
            size: energy.size.clone(),
            isolated_at: isolating
                .map(|point| format!("{} {}", point.label, point.position))
                .collect(),
            method: energy.method.clone(),
            locks: points
                .iter()
                .filter_map(|point| self.lock_hung(&point.id))
                .collect(),
            released: self.released_as_recorded(&energy.id, &sides),
            proof: self.per_side(&sides, |body, side| match body {
                Body::Reading(reading) if reading.outcome.as_deref() == Some("ACCEPT") => {
                    let read = self.side_of(reading.thing.as_deref()?)?;
                    let gauge = reading.instruments.first()?;
                    (read == side).then(|| format!("{side}: {} on {}", reading.means, gauge.id))
                }
                _ => None,
            }),
            note,
        }
    }

    /// What came from the vent of the energy; without one, what the step that released it says.
    fn released_as_recorded(&self, energy: &str, sides: &[&str]) -> String {
        let vented = self.per_side(sides, |body, side| match body {
            Body::Vented(vented) if vented.clear && vented.side == side => {
                Some(format!("vent of {side}: {}", vented.came))
            }
            _ => None,
        });
        if !vented.is_empty() {
            return vented;
        }
        self.release_of(energy).map_or_else(String::new, |release| {
            self.signed_words(&release.mark, &release.said)
        })
    }

    /// The side of the seat a reading proves.
    fn side_of(&self, thing: &str) -> Option<String> {
        if let Some(side) = thing.strip_prefix("zero/") {
            return Some(side.to_owned());
        }
        self.lines
            .iter()
            .filter_map(|line| self.step_of(line))
            .flat_map(|step| &step.asks)
            .find_map(|asked| match asked {
                Asked::Reading(measured) if measured.id == thing => measured.proves.clone(),
                _ => None,
            })
    }

    /// The lock last hung at a point: `A-2 on V-3301, I. Falk 07:41`.
    fn lock_hung(&self, point: &str) -> Option<String> {
        let label = self
            .point(point)
            .map_or(point, |known| known.label.as_str())
            .to_owned();
        let told = self.last_of(|body| {
            let number = match body {
                Body::Done(done) => done.locks_on.get(point)?,
                Body::LockOn(lock) if lock.point == point => &lock.number,
                _ => return None,
            };
            Some(format!("{number} on {label}"))
        });
        (!told.is_empty()).then_some(told)
    }

    /// The newest entry of which something is to be said, with who and when; empty where there is none.
    fn last_of(&self, said: impl Fn(&Body) -> Option<String>) -> String {
        self.entries
            .iter()
            .rev()
            .find_map(|entry| {
                Some(self.signed_words(&Mark::of(entry), &said(&Body::read(entry)?)?))
            })
            .unwrap_or_default()
    }

    /// For each side what the record says of it; sides of which it says nothing are left out.
    fn per_side(&self, sides: &[&str], said: impl Fn(&Body, &str) -> Option<String>) -> String {
        sides
            .iter()
            .map(|side| self.first_and_last_of(|body| said(body, side)))
            .filter(|told| !told.is_empty())
            .collect::<Vec<_>>()
            .join("; ")
    }

    /// The first entry of which something is to be said, struck ones apart: that one went before the work. Of those after it, how
    /// many and the time of the last.
    fn first_and_last_of(&self, said: impl Fn(&Body) -> Option<String>) -> String {
        let struck = |entry: &Entry| {
            self.readings
                .get(&entry.number)
                .is_some_and(|kept| kept.struck)
        };
        let told: Vec<(Mark, String)> = self
            .entries
            .iter()
            .filter(|entry| !struck(entry))
            .filter_map(|entry| Some((Mark::of(entry), said(&Body::read(entry)?)?)))
            .collect();
        let Some((mark, text)) = told.first() else {
            return String::new();
        };
        let words = self.signed_words(mark, text);
        match told.last() {
            Some((last, _)) if told.len() > 1 => format!(
                "{words} ({} more, the last {})",
                told.len() - 1,
                clock_face(&last.utc, &last.offset)
            ),
            _ => words,
        }
    }

    fn signed_words(&self, mark: &Mark, text: &str) -> String {
        let by = mark
            .by
            .and_then(|id| self.name_known(id))
            .unwrap_or_default();
        format!("{text}, {by} {}", clock_face(&mark.utc, &mark.offset))
    }
}

/// The word for a kind of energy.
pub(super) const fn kind_word(kind: EnergyKind) -> &'static str {
    match kind {
        EnergyKind::Process => "process pressure",
        EnergyKind::Air => "air",
        EnergyKind::Electric => "electricity",
        EnergyKind::Heat => "heat or cold",
        EnergyKind::Gravity => "weight",
        EnergyKind::Chemical => "chemical",
        EnergyKind::Spring => "spring",
        EnergyKind::Trapped => "trapped fluid",
    }
}
