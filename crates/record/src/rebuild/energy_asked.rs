//! Which energy the question is about, so that the table of energies marks the line that is asked and no other.

use reseat_procedure::model::{Asked, Deed, Step};

use super::ask::{Inner, Point};
use super::state::Rebuild;
use super::zero::ZeroPart;

impl Rebuild {
    /// The place in [`Self::energy_lines`] of the energy that the question due is about; none where it is about no single one.
    #[must_use]
    pub fn energy_asked(&self, point: &Point) -> Option<usize> {
        match point {
            Point::Gate(part) => self.line_of_part(&[], *part),
            Point::LookAgain => self.line_of_part(&[], 0),
            Point::LockBack(lock) => self.line_of_point(lock),
            Point::Begin(id) | Point::Act(id) => self.line_of_deeds(self.written_step(id)?),
            Point::Asked(id, ask, inner) => {
                let step = self.written_step(id)?;
                self.line_of_asked(step.asks.get(*ask as usize)?, inner)
                    .or_else(|| self.line_of_deeds(step))
            }
            _ => None,
        }
    }

    fn written_step(&self, id: &str) -> Option<&Step> {
        self.step_of(self.line(id)?)
    }

    fn line_of_asked(&self, asked: &Asked, inner: &Inner) -> Option<usize> {
        match (asked, inner) {
            (Asked::Vent { side }, _) => self.line_of_side(side),
            (Asked::Reading(measured), _) => self.line_of_side(measured.proves.as_deref()?),
            (Asked::Zero { by_vent }, Inner::Line(part)) => self.line_of_part(by_vent, *part),
            _ => None,
        }
    }

    fn line_of_part(&self, by_vent: &[String], part: u32) -> Option<usize> {
        match self.zero_parts(by_vent).get(part as usize)? {
            ZeroPart::Gauge(side) | ZeroPart::Vent(side) => self.line_of_side(side),
        }
    }

    fn line_of_side(&self, side: &str) -> Option<usize> {
        let sides = &self.procedure.zero;
        let side = sides.iter().find(|known| known.id == side)?;
        self.line_of_energy(&side.energy)
    }

    fn line_of_energy(&self, id: &str) -> Option<usize> {
        let energies = &self.procedure.energies;
        energies.iter().position(|energy| energy.id == id)
    }

    /// A point of the procedure, or one that the place has beside it: those stand behind.
    fn line_of_point(&self, id: &str) -> Option<usize> {
        if let Some(point) = self.point(id) {
            return self.line_of_energy(&point.energy);
        }
        let own = self.points_of_the_place().position(|label| label == id)?;
        Some(self.procedure.energies.len() + own)
    }

    fn line_of_deeds(&self, step: &Step) -> Option<usize> {
        step.does.iter().find_map(|deed| match deed {
            Deed::Isolate { point }
            | Deed::Lock { point }
            | Deed::Unlock { point }
            | Deed::Restore { point } => self.line_of_point(point),
            Deed::Release { energy } => self.line_of_energy(energy),
            Deed::Prove { side } => self.line_of_side(side),
            _ => None,
        })
    }
}
