//! Colours by role. A role's words carry the meaning; its colour repeats it.
//!
//! Three schemes: *sun* is dark on light without greys, *dim* is for pits and night, *plain* uses one colour and the
//! terminal's own bold, underline and reverse. The colours are entries 16 to 255 of the 256-colour table, whose values
//! are fixed everywhere, so that their contrast can be computed: at least 7:1 in sun and 4.5:1 in dim (WCAG 2.2,
//! 1.4.6 and 1.4.3), which a test below does for every role.

use ratatui::style::{Color, Modifier, Style};

/// Which colours are used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Scheme {
    /// Dark on light, for daylight.
    Sun,
    /// Light on dark, for pits and night.
    #[default]
    Dim,
    /// One colour.
    Plain,
}

impl Scheme {
    /// All schemes in the order of the key.
    pub const ALL: [Self; 3] = [Self::Sun, Self::Dim, Self::Plain];

    /// The next one on the key.
    #[must_use]
    pub const fn next(self) -> Self {
        match self {
            Self::Sun => Self::Dim,
            Self::Dim => Self::Plain,
            Self::Plain => Self::Sun,
        }
    }

    /// Its name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sun => "sun",
            Self::Dim => "dim",
            Self::Plain => "plain",
        }
    }

    /// The scheme named by a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|scheme| scheme.word() == word)
    }

    /// The scheme to begin with: plain where `NO_COLOR` is set to anything but nothing (no-color.org).
    pub fn first(no_color: Option<&std::ffi::OsStr>) -> Self {
        if no_color.is_some_and(|value| !value.is_empty()) {
            Self::Plain
        } else {
            Self::default()
        }
    }
}

/// What a stretch of the screen is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    /// Running text on the ground of the screen.
    Text,
    /// The strip's tag and headings.
    Heading,
    /// Lines between the places, and the open marks of a picture.
    Rule,
    /// What stands beside the matter: the steps before and after, units, hints.
    Aside,
    /// The one question.
    Question,
    /// A field being typed in.
    Field,
    /// Keys in the footer and beside the prompt.
    Key,
    /// The line due or chosen.
    Due,
    /// Done.
    Done,
    /// WITHIN.
    Within,
    /// LOW.
    Low,
    /// HIGH.
    High,
    /// DANGER.
    Danger,
    /// WARNING.
    Warning,
    /// CAUTION.
    Caution,
    /// NOTICE.
    Notice,
    /// Locked and zero read.
    Held,
    /// Not locked, stale, waiting.
    Watch,
    /// Hands off; a refusal.
    Stop,
    /// The demo mark.
    Demo,
}

impl Role {
    /// Every role.
    pub const ALL: [Self; 20] = [
        Self::Text,
        Self::Heading,
        Self::Rule,
        Self::Aside,
        Self::Question,
        Self::Field,
        Self::Key,
        Self::Due,
        Self::Done,
        Self::Within,
        Self::Low,
        Self::High,
        Self::Danger,
        Self::Warning,
        Self::Caution,
        Self::Notice,
        Self::Held,
        Self::Watch,
        Self::Stop,
        Self::Demo,
    ];
}

/// Foreground, background, weight of a role in one scheme; indices into the 256-colour table.
struct Paint(u8, u8, Modifier);

const NONE: Modifier = Modifier::empty();
const BOLD: Modifier = Modifier::BOLD;
const SUN_GROUND: u8 = 231;
const DIM_GROUND: u8 = 233;

const fn sun(role: Role) -> Paint {
    match role {
        Role::Text | Role::Aside | Role::Rule => Paint(16, SUN_GROUND, NONE),
        Role::Heading | Role::Question | Role::Key => Paint(16, SUN_GROUND, BOLD),
        Role::Field => Paint(16, 230, BOLD),
        Role::Due => Paint(17, SUN_GROUND, BOLD),
        Role::Done | Role::Within | Role::Held => Paint(22, SUN_GROUND, BOLD),
        Role::Low => Paint(18, SUN_GROUND, BOLD),
        Role::High => Paint(88, SUN_GROUND, BOLD),
        Role::Danger | Role::Stop => Paint(231, 88, BOLD),
        Role::Warning => Paint(16, 214, BOLD),
        Role::Caution => Paint(16, 227, BOLD),
        Role::Notice => Paint(231, 18, BOLD),
        Role::Watch => Paint(16, 222, BOLD),
        Role::Demo => Paint(231, 53, BOLD),
    }
}

const fn dim(role: Role) -> Paint {
    match role {
        Role::Text => Paint(252, DIM_GROUND, NONE),
        Role::Heading | Role::Question => Paint(231, DIM_GROUND, BOLD),
        Role::Aside => Paint(247, DIM_GROUND, NONE),
        Role::Rule => Paint(245, DIM_GROUND, NONE),
        Role::Field => Paint(231, 236, BOLD),
        Role::Key | Role::Low => Paint(117, DIM_GROUND, BOLD),
        Role::Due => Paint(228, DIM_GROUND, BOLD),
        Role::Done => Paint(114, DIM_GROUND, NONE),
        Role::Within | Role::Held => Paint(114, DIM_GROUND, BOLD),
        Role::High => Paint(210, DIM_GROUND, BOLD),
        Role::Danger | Role::Stop => Paint(231, 124, BOLD),
        Role::Warning => Paint(16, 208, BOLD),
        Role::Caution => Paint(16, 220, BOLD),
        Role::Notice => Paint(231, 25, BOLD),
        Role::Watch => Paint(16, 179, BOLD),
        Role::Demo => Paint(231, 90, BOLD),
    }
}

const fn plain(role: Role) -> Modifier {
    match role {
        Role::Heading
        | Role::Question
        | Role::Key
        | Role::Due
        | Role::Within
        | Role::Low
        | Role::Held => BOLD,
        Role::Field => Modifier::UNDERLINED,
        Role::High
        | Role::Danger
        | Role::Warning
        | Role::Caution
        | Role::Notice
        | Role::Watch
        | Role::Stop
        | Role::Demo => Modifier::REVERSED,
        Role::Text | Role::Rule | Role::Aside | Role::Done => NONE,
    }
}

/// The style of a role in a scheme.
pub const fn style(scheme: Scheme, role: Role) -> Style {
    let Paint(front, back, weight) = match scheme {
        Scheme::Plain => return Style::new().add_modifier(plain(role)),
        Scheme::Sun => sun(role),
        Scheme::Dim => dim(role),
    };
    Style::new()
        .fg(Color::Indexed(front))
        .bg(Color::Indexed(back))
        .add_modifier(weight)
}

/// Red, green and blue of an entry of the 256-colour table, 16 to 255.
pub const fn rgb(index: u8) -> (u8, u8, u8) {
    const LEVELS: [u8; 6] = [0, 95, 135, 175, 215, 255];
    if index >= 232 {
        let grey = 8 + 10 * (index - 232);
        return (grey, grey, grey);
    }
    let cube = index.saturating_sub(16);
    (
        LEVELS[(cube / 36) as usize],
        LEVELS[(cube / 6 % 6) as usize],
        LEVELS[(cube % 6) as usize],
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance, WCAG 2.2 (definition "relative luminance").
    fn luminance((red, green, blue): (u8, u8, u8)) -> f64 {
        let part = |value: u8| {
            let value = f64::from(value) / 255.0;
            if value <= 0.04045 {
                value / 12.92
            } else {
                ((value + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * part(red) + 0.7152 * part(green) + 0.0722 * part(blue)
    }

    /// Contrast ratio, WCAG 2.2 (definition "contrast ratio").
    fn contrast(one: (u8, u8, u8), other: (u8, u8, u8)) -> f64 {
        let (one, other) = (luminance(one), luminance(other));
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    #[test]
    fn the_formula_gives_its_published_ends() {
        // WCAG 2.2: contrast ratios range from 1 to 21.
        assert!((contrast((0, 0, 0), (255, 255, 255)) - 21.0).abs() < 1e-9);
        assert!((contrast((9, 9, 9), (9, 9, 9)) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_formula_gives_published_ratios() {
        // WCAG 2.x contrast against white: grey or colour, ratio computed by its formula; the first four also printed, as 4.54,
        // 4.48, 7.0 and 3.5.
        for (letters, ratio) in [
            ((0x76, 0x76, 0x76), 4.5422),
            ((0x77, 0x77, 0x77), 4.4781),
            ((0x59, 0x59, 0x59), 7.0047),
            ((0x88, 0x88, 0x88), 3.5449),
            ((0x99, 0x99, 0x99), 2.849),
            ((0x94, 0x94, 0x94), 3.0335),
            ((0x6b, 0x72, 0x80), 4.8345),
            ((0xff, 0x00, 0x00), 3.9985),
            ((0x00, 0x00, 0xff), 8.5925),
        ] {
            let found = contrast(letters, (255, 255, 255));
            assert!((found - ratio).abs() < 5e-5, "{letters:?}: {found}");
        }
    }

    #[test]
    fn every_role_is_readable() {
        for (scheme, least) in [(Scheme::Sun, 7.0), (Scheme::Dim, 4.5)] {
            for role in Role::ALL {
                let style = style(scheme, role);
                let (Some(Color::Indexed(front)), Some(Color::Indexed(back))) =
                    (style.fg, style.bg)
                else {
                    panic!("{role:?} has no colours in {scheme:?}");
                };
                assert!(
                    front >= 16 && back >= 16,
                    "{role:?}: the first sixteen have no fixed values"
                );
                let ratio = contrast(rgb(front), rgb(back));
                assert!(ratio >= least, "{scheme:?} {role:?}: {ratio:.2}:1");
            }
        }
    }

    #[test]
    fn sun_has_no_greys_in_its_letters() {
        for role in Role::ALL {
            let Some(Color::Indexed(front)) = style(Scheme::Sun, role).fg else {
                panic!()
            };
            assert!(front < 232, "{role:?}");
        }
    }

    #[test]
    fn plain_has_no_colour_and_nothing_blinks() {
        for role in Role::ALL {
            let plain = style(Scheme::Plain, role);
            assert_eq!((plain.fg, plain.bg), (None, None));
            for scheme in Scheme::ALL {
                let weight = style(scheme, role).add_modifier;
                assert!(!weight.intersects(Modifier::SLOW_BLINK | Modifier::RAPID_BLINK));
            }
        }
    }

    #[test]
    fn no_color_means_plain() {
        assert_eq!(Scheme::first(Some("1".as_ref())), Scheme::Plain);
        assert_eq!(Scheme::first(Some("".as_ref())), Scheme::Dim);
        assert_eq!(Scheme::first(None), Scheme::Dim);
    }
}
