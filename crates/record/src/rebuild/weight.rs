//! An entry in words, with its weight and whether it belongs on the first page.

use super::view::Tone;

/// Words, weight, and whether they belong on the first page.
pub(super) type Weighed = (String, Tone, bool);

/// As it must be.
pub(super) fn plain(text: String) -> Weighed {
    (text, Tone::Plain, false)
}

/// Out of the ordinary: told on the first page.
pub(super) fn told(text: String) -> Weighed {
    (text, Tone::Watch, true)
}

/// What hurt or could have: told on the first page as grave.
pub(super) fn grave(text: String) -> Weighed {
    (text, Tone::Stop, true)
}
