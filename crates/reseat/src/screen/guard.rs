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
    /// Spent with it: what habit presses behind the key that completed.
    behind: Option<Stroke>,
    shown: Option<Instant>,
}

impl KeyGuard {
    /// A key came: another one than the spent key frees that.
    pub fn came(&mut self, stroke: Stroke) {
        if !self.is_spent(stroke) {
            self.spent = None;
            self.behind = None;
        }
    }

    /// Whether the key completed the last step, or is what habit presses behind it, and no other has come since.
    pub fn is_spent(&self, stroke: Stroke) -> bool {
        self.spent == Some(stroke) || self.behind == Some(stroke)
    }

    /// Whether `stroke` may complete something at `now`.
    pub fn allows(&self, stroke: Stroke, now: Instant) -> Result<(), HeldBack> {
        if self.is_spent(stroke) {
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
        self.behind = None;
        self.shown = None;
    }

    /// The key that completed had no Enter to wait for: one that comes behind it all the same is spent with it.
    pub fn enter_comes_behind(&mut self) {
        self.behind = Some(Stroke::Enter);
    }

    /// Whether this is the Enter of habit behind a PIN: it does nothing anywhere, and is then spent like a key that completed.
    pub fn swallows(&mut self, stroke: Stroke) -> bool {
        let swallowed = self.behind == Some(stroke);
        if swallowed {
            self.behind = None;
            self.spent = Some(stroke);
        }
        swallowed
    }

    /// Something was typed into a field in sight: the Enter that comes now is meant for it, also where the digit typed is the one
    /// that completed the PIN before.
    pub fn typed(&mut self) {
        self.behind = None;
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

    /// The keys that take a plain act now, in words.
    pub fn act_keys(&self) -> &'static str {
        match (self.is_spent(Stroke::Space), self.is_spent(Stroke::Enter)) {
            (true, _) => "Enter",
            (_, true) => "Space",
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

    #[test]
    fn an_enter_of_habit_behind_the_last_digit_completes_nothing() {
        let start = Instant::now();
        let later = start + Duration::from_secs(5);
        let mut guard = KeyGuard::default();
        guard.completed(Stroke::Char('1'));
        guard.enter_comes_behind();
        guard.drawn(start);
        for stroke in [Stroke::Enter, Stroke::Char('1'), Stroke::Enter] {
            guard.came(stroke);
            assert_eq!(guard.allows(stroke, later), Err(HeldBack::Spent));
        }
        assert_eq!(guard.act_keys(), "Space");
        // Typed into a field the same digit is an answer begun, and Enter takes it.
        let mut typed = guard.clone();
        typed.typed();
        assert_eq!(typed.allows(Stroke::Enter, later), Ok(()));
        assert!(!typed.swallows(Stroke::Enter));
        assert!(guard.swallows(Stroke::Enter) && !guard.swallows(Stroke::Enter));
        assert_eq!(guard.allows(Stroke::Enter, later), Err(HeldBack::Spent));
        guard.came(Stroke::Space);
        assert_eq!(guard.allows(Stroke::Space, later), Ok(()));
        assert_eq!(guard.allows(Stroke::Enter, later), Ok(()));
    }
}
