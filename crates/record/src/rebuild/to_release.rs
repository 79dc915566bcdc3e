//! What the releaser of zero signs, line by line: he is not at the gauges, so the question has to bring them to him.

use reseat_procedure::model::ZeroSide;

use super::state::{Mark, Rebuild};
use super::time::clock_face;

/// What stands under everything a release rests on.
pub const PROVES_NOTHING: &str =
    "This screen proves nothing about energy. Permit and local rules come first.";

impl Rebuild {
    /// Each side with its reading, gauge and time and what came from its vent; the locks recorded; what a screen cannot prove.
    pub(super) fn release_lines(&self) -> Vec<String> {
        let sides = self.procedure.zero.iter();
        let mut lines: Vec<String> = sides.map(|side| self.side_words(side)).collect();
        lines.push(self.locks_words());
        lines.push(PROVES_NOTHING.to_owned());
        lines
    }

    fn side_words(&self, side: &ZeroSide) -> String {
        let at = |mark: &Mark| clock_face(&mark.utc, &mark.offset);
        let proof = self.proofs.get(&side.id);
        let mut words = match proof.and_then(|proof| proof.reading.as_ref()) {
            Some((mark, read)) => format!(
                "{}: {read} on {} at {}",
                side.label,
                side.instrument,
                at(mark)
            ),
            None if proof.is_some_and(|proof| proof.by_vent) => {
                format!("{}: proved by its vent", side.label)
            }
            None => format!("{}: NOT READ on {}", side.label, side.instrument),
        };
        if let Some(vent) = &side.vent {
            let came = proof.and_then(|proof| proof.vent.as_ref());
            let came = came.map_or_else(
                || "NOT LOOKED AT".to_owned(),
                |(mark, came)| format!("{came} at {}", at(mark)),
            );
            words = format!("{words}; from {vent}: {came}");
        }
        words.push('.');
        words
    }
}
