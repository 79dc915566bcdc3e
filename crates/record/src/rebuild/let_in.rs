//! Energy that a test has let into the unit and that is not proved out again, and in what words each place says so: whoever reads
//! the strip, a list, a tag or a handover must learn first of all that it is in.

use reseat_procedure::model::{Deed, Step};

use super::body::Body;
use super::decide_measured::NOTHING_CAME;
use super::state::{Rebuild, SideProof};

/// What one medium was let in as, until zero is proved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct LetIn {
    /// Which of several it is: the words without their figure, so that `air 2.0 bar` takes the place of `air 0.4 bar`.
    which: String,
    /// `water 70 bar`.
    words: String,
    /// Chambers it went into.
    chambers: Vec<String>,
    /// Whether it was let out of all of them since; that it is out is proved by the zero check alone.
    vented: bool,
}

impl Rebuild {
    /// A step lets energy in.
    pub(super) fn lets_in(&mut self, step: &Step) {
        let words = step.lets_in.clone().unwrap_or_default();
        let into = step.does.iter().filter_map(|deed| match deed {
            Deed::LetIn { chamber, .. } => Some(chamber.clone()),
            _ => None,
        });
        let let_in = LetIn {
            which: which(&words),
            words,
            chambers: into.collect(),
            vented: false,
        };
        self.let_in.retain(|known| known.which != let_in.which);
        self.let_in.push(let_in);
    }

    /// A chamber is vented.
    pub(super) fn lets_out(&mut self, chamber: &str) {
        for let_in in &mut self.let_in {
            if let_in.chambers.iter().any(|into| into == chamber) {
                let_in.chambers.retain(|into| into != chamber);
                let_in.vented = let_in.chambers.is_empty();
            }
        }
    }

    /// Whether something was let in that no written act has vented and no vent was seen to let out.
    pub(super) fn is_unvented(&self) -> bool {
        let flowed = |proof: &SideProof| {
            let vent = proof.vent.as_ref();
            vent.is_some_and(|(_, came)| came != NOTHING_CAME)
        };
        self.let_in.iter().any(|let_in| !let_in.vented) && !self.proofs.values().any(flowed)
    }

    /// Whether the last entry is a look at this vent from which nothing came.
    pub(super) fn nothing_came_last(&self, side: &str) -> bool {
        let last = self.entries.last().and_then(|entry| Body::read(entry));
        matches!(last, Some(Body::Vented(body))
            if body.side == side && body.came == NOTHING_CAME && !body.clear)
    }

    /// What a test has let in and no zero check has proved out since; none where nothing is.
    pub(super) fn let_in_words(&self) -> Option<String> {
        let words: Vec<String> = self
            .let_in
            .iter()
            .map(|let_in| {
                let vented = if let_in.vented {
                    ", vented, zero not read"
                } else {
                    ""
                };
                format!("{}{vented}", let_in.words)
            })
            .collect();
        (!words.is_empty()).then(|| words.join("; "))
    }

    /// The same, and in a test by plant energy each source that is not locked: it is as good as in.
    pub(super) fn in_it_words(&self) -> Option<String> {
        let live = self.due().map(|due| self.live_points(due));
        let open = live.unwrap_or_default().into_iter().map(|point| {
            let label = self.point(point).map_or(point, |point| &point.label);
            format!("{label} not locked")
        });
        let words: Vec<String> = self.let_in_words().into_iter().chain(open).collect();
        (!words.is_empty()).then(|| words.join("; "))
    }
}

/// The words without their figure and unit: `water 5 bar, outlet` is `water, outlet`.
fn which(words: &str) -> String {
    let (medium, into) = words.split_once(',').unwrap_or((words, ""));
    let medium = medium
        .split_once(|letter: char| letter.is_ascii_digit())
        .map_or(medium, |(before, _)| before);
    format!("{},{into}", medium.trim_end())
}
