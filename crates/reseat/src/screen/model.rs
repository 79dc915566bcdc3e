//! What the screens remember. One screen, a stack of overlays above it, and what they have in common.

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use reseat_record::log::Id;

use super::founding::{Founding, Words};
use super::guard::{HeldBack, KeyGuard};
use super::home::Home;
use super::message::Said;
use super::overlay::Overlay;
use super::pages::{LeftReading, Pages};
use super::recall::Recall;
use super::record::Record;
use super::register::Register;
use super::resume::Resume;
use super::start::Start;
use super::unit::Unit;
use super::work::Work;
use crate::keys::{Action, Stroke};
use crate::screen::form::Form;
use crate::theme::Scheme;

/// The screen shown.
#[derive(Debug, Clone, PartialEq)]
pub enum Screen {
    /// Nothing yet: the first outcome is awaited.
    Blank,
    /// Founding a home.
    Founding(Founding),
    /// The words of the site key.
    Words(Words),
    /// Places and units.
    Home(Home),
    /// A unit and its past.
    Unit(Unit),
    /// Starting a rebuild.
    Start(Start),
    /// Taking one up again.
    Resume(Resume),
    /// A rebuild under way.
    Work(Box<Work>),
    /// A record read back.
    Record(Record),
    /// The register.
    Register(Register),
    /// A procedure page by page.
    Pages(Box<Pages>),
    /// An instrument found out.
    Recall(Recall),
}

/// What every screen shares.
#[derive(Debug, Clone, PartialEq)]
pub struct Common {
    /// Overlays, the top one last.
    pub overlays: Vec<Overlay>,
    /// What was last said to the person.
    pub said: Option<Said>,
    /// The last write failed at the disk: nothing can be kept, so the work may be left without the pause being kept.
    pub disk_failed: bool,
    /// The rules of the keys.
    pub guard: KeyGuard,
    /// Colours.
    pub scheme: Scheme,
    /// Columns and rows of the terminal, as last heard.
    pub size: (u16, u16),
    /// Whether this is a demo home.
    pub demo: bool,
    /// Whose keys are unsealed, and how many digits each one's PIN has.
    pub unsealed: BTreeMap<Id, usize>,
    /// Forms that were left with something in them.
    pub parked: Vec<Form>,
    /// Procedures whose pages were left before all were read.
    pub left_readings: Vec<LeftReading>,
    /// Minutes without a key before a rebuild pauses by itself (the site's value).
    pub pause_after: Duration,
    /// When a key last came.
    pub last_key: Option<Instant>,
    /// When the open rebuild was last worked out.
    pub seen_at: Option<Instant>,
}

/// Everything the screens remember.
#[derive(Debug, Clone, PartialEq)]
pub struct Model {
    /// The screen.
    pub screen: Screen,
    /// What every screen shares.
    pub common: Common,
}

/// A key with its meaning here and its instant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Press {
    /// The key.
    pub stroke: Stroke,
    /// What it means in this scope.
    pub action: Option<Action>,
    /// The terminal said that it is held.
    pub repeat: bool,
    /// When it came.
    pub now: Instant,
}

impl Model {
    /// A model before the first outcome.
    pub fn new(scheme: Scheme, pause_after: Duration) -> Self {
        Self {
            screen: Screen::Blank,
            common: Common {
                overlays: Vec::new(),
                said: None,
                disk_failed: false,
                guard: KeyGuard::default(),
                scheme,
                size: (80, 24),
                demo: false,
                unsealed: BTreeMap::new(),
                parked: Vec::new(),
                left_readings: Vec::new(),
                pause_after,
                last_key: None,
                seen_at: None,
            },
        }
    }
}

impl Common {
    /// Whether this key may complete what is asked. If so it is spent; if not, the person is told where a digit or a
    /// wish would otherwise seem to have been lost.
    pub fn takes(&mut self, press: &Press) -> bool {
        if press.repeat {
            return false;
        }
        match self.guard.allows(press.stroke, press.now) {
            Ok(()) => {
                self.guard.completed(press.stroke);
                self.said = None;
                true
            }
            Err(HeldBack::Spent) => {
                let other = if press.stroke == Stroke::Space {
                    "Enter"
                } else {
                    "another key first, such as Space"
                };
                self.note(format!("{} took the last one; now {other}.", press.stroke));
                false
            }
            Err(HeldBack::TooEarly) => {
                if press.stroke.digit().is_some() {
                    self.note(format!(
                        "{} came before the question could be read: not taken.",
                        press.stroke
                    ));
                }
                false
            }
        }
    }

    /// Says something that is no refusal; a refusal that stands is not covered by it.
    pub fn note(&mut self, sentence: impl Into<String>) {
        if !self.said.as_ref().is_some_and(|said| said.refused) {
            self.said = Some(Said::notice(sentence));
        }
    }

    /// Says why something typed is not taken.
    pub fn refuse(&mut self, code: &str, sentence: impl Into<String>, remedy: impl Into<String>) {
        self.said = Some(Said::refusal(code, sentence, remedy));
    }

    /// Another question stands from now on.
    pub fn asked_anew(&mut self) {
        self.guard.asked_anew();
        self.said = None;
    }

    /// Opens an overlay.
    pub fn open(&mut self, overlay: Overlay) {
        self.overlays.push(overlay);
        self.asked_anew();
    }

    /// The form as it was left, if one of this heading was left with something in it; otherwise this one.
    pub fn unparked(&mut self, fresh: Form) -> Form {
        match self
            .parked
            .iter()
            .position(|form| form.title == fresh.title)
        {
            Some(at) => {
                let kept = self.parked.remove(at);
                // The choices may have changed meanwhile: only a form of the same lines is taken up again.
                let same = kept.lines.len() == fresh.lines.len()
                    && kept.lines.iter().zip(&fresh.lines).all(|(old, new)| {
                        match (&old.slot, &new.slot) {
                            (
                                super::form::Slot::Pick { labels: old, .. },
                                super::form::Slot::Pick { labels: new, .. },
                            )
                            | (
                                super::form::Slot::Ticks { labels: old, .. },
                                super::form::Slot::Ticks { labels: new, .. },
                            ) => old == new,
                            _ => old.name == new.name,
                        }
                    });
                if same { kept } else { fresh }
            }
            None => fresh,
        }
    }

    /// Keeps a form that is left with something in it; secrets are wiped.
    pub fn park(&mut self, mut form: Form) {
        form.forget_secrets();
        self.parked.retain(|kept| kept.title != form.title);
        if form.touched() {
            form.at = 0;
            self.parked.push(form);
        }
    }
}
