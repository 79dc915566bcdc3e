//! No key press completes more than one step, and nothing is taken before it could be read.
//!
//! Three rules. The key that completed something is *spent* until a different key has come, however often it repeats.
//! A question takes nothing in the first [`READING_TIME`] after the frame that first showed it, and nothing at all
//! before that frame. The instant of the frame is told by the runner after drawing, so that keys which came while the
//! screen still showed the question before can never answer the next one.

use std::time::{Duration, Instant};

use crate::keys::Stroke;

/// How long a question must have been on the screen before anything completes it.
pub const READING_TIME: Duration = Duration::from_millis(300);

/// Why a key completes nothing now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeldBack {
    /// It completed the last step and no other key has come since.
    Spent,
    /// The question has not been on the screen long enough.
    TooEarly,
}

/// What is remembered of keys and of the question shown.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct KeyGuard {
    spent: Option<Stroke>,
    shown: Option<Instant>,
}

impl KeyGuard {
    /// A key came: another one than the spent key frees that.
    pub fn came(&mut self, stroke: Stroke) {
        if self.spent.is_some_and(|spent| spent != stroke) {
            self.spent = None;
        }
    }

    /// Whether `stroke` may complete something at `now`.
    pub fn allows(&self, stroke: Stroke, now: Instant) -> Result<(), HeldBack> {
        if self.spent == Some(stroke) {
            return Err(HeldBack::Spent);
        }
        match self.shown {
            Some(shown) if now.saturating_duration_since(shown) >= READING_TIME => Ok(()),
            _ => Err(HeldBack::TooEarly),
        }
    }

    /// `stroke` completed something: it is spent, and what comes now is a new question.
    pub fn completed(&mut self, stroke: Stroke) {
        self.spent = Some(stroke);
        self.shown = None;
    }

    /// Spends a key without a new question: it led up to the point where another one has to take it.
    pub fn spend(&mut self, stroke: Stroke) {
        self.spent = Some(stroke);
    }

    /// Another question stands on the screen from the next frame on.
    pub fn asked_anew(&mut self) {
        self.shown = None;
    }

    /// A frame was drawn at `at`.
    pub fn drawn(&mut self, at: Instant) {
        self.shown.get_or_insert(at);
    }

    /// The key that completed the last step, while it is spent.
    pub fn spent(&self) -> Option<Stroke> {
        self.spent
    }

    /// The keys that take a plain act now, in words.
    pub fn act_keys(&self) -> &'static str {
        match self.spent {
            Some(Stroke::Space) => "Enter",
            Some(Stroke::Enter) => "Space",
            _ => "Space or Enter",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_completes_before_it_was_shown_and_read() {
        let start = Instant::now();
        let mut guard = KeyGuard::default();
        assert_eq!(guard.allows(Stroke::Space, start), Err(HeldBack::TooEarly));
        guard.drawn(start);
        guard.drawn(start + Duration::from_secs(1));
        assert_eq!(
            guard.allows(Stroke::Space, start + Duration::from_millis(299)),
            Err(HeldBack::TooEarly)
        );
        assert_eq!(guard.allows(Stroke::Space, start + READING_TIME), Ok(()));
    }

    #[test]
    fn the_spent_key_is_freed_by_another_one_only() {
        let start = Instant::now();
        let later = start + Duration::from_secs(5);
        let mut guard = KeyGuard::default();
        guard.completed(Stroke::Space);
        guard.drawn(start);
        guard.came(Stroke::Space);
        assert_eq!(guard.allows(Stroke::Space, later), Err(HeldBack::Spent));
        assert_eq!(guard.act_keys(), "Enter");
        guard.came(Stroke::Char('1'));
        assert_eq!(guard.allows(Stroke::Space, later), Ok(()));
    }
}
