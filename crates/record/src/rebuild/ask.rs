//! One question at a time: what is wanted now, and how an answer becomes a command.
//!
//! Screens and line mode only draw an [`Ask`] and hand back what was typed. An ask knows the exact [`Point`] it
//! asks about; `decide` refuses an answer to a point that is no longer due, so a stale screen can never file an
//! answer under another question.

use reseat_measure::{Reference, Unit, Window};
use reseat_procedure::model::{Role, Verify, Warning};

use super::command::{Command, Given};
use super::view::GuardBand;
use crate::log::{Hash, Id};
use crate::refusal::{Against, Refusal, Work};
use crate::text::clean_text;

/// Longest text answer, in characters.
pub const LONGEST_TEXT: usize = 400;

/// What is wanted now.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// The exact point asked about; goes back with the answer.
    pub point: Point,
    /// The step it belongs to; none for a gate, a resume question or the end.
    pub step: Option<StepAt>,
    /// Stable word for line mode: `act`, `choice`, `reading`, `count`, `text`, `fastener`, `signature`, `person`, `wait`, `none`.
    pub kind: &'static str,
    /// The one thing wanted, as it stands in the ask line.
    pub prompt: String,
    /// What to look at or do first; short sentences drawn above the ask line.
    pub detail: Vec<String>,
    /// What kind of answer is wanted.
    pub wants: Wants,
    /// Warnings of the step, pinned for as long as it is current.
    pub warnings: Vec<Warning>,
    /// A standing notice above everything: hands off, HIGH, paused. First line is the headline.
    pub notice: Vec<String>,
    /// Plain acts that follow each other and may be ticked one by one, the due one first (five at most).
    pub group: Vec<GroupLine>,
    /// The act's text and picture are hidden until the answer is in (orientation, blind verification).
    pub blank: bool,
    /// Which picture belongs to it.
    pub bench: Bench,
    /// Instruments it may be answered with, and why not the others; empty where none is wanted.
    pub offered: Offered,
    /// What the decision rule takes off the window of the reading asked for.
    pub guard: Option<GuardBand>,
}

/// The instruments an ask may be answered with.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Offered {
    /// May be used, best first.
    pub fit: Vec<Offer>,
    /// Named by the procedure and not offered.
    pub unfit: Vec<NotOffered>,
}

/// An instrument that may be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// Name on site.
    pub id: String,
    /// What it is, and its range.
    pub words: String,
}

/// An instrument that may not be used, with every reason.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotOffered {
    /// Name on site.
    pub id: String,
    /// What stands against it; never empty.
    pub against: Vec<Against>,
}

impl Offered {
    /// Whether no instrument is wanted.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.fit.is_empty() && self.unfit.is_empty()
    }

    /// One line for each that is not offered, with its reasons.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let line = |not: &NotOffered| {
            let reasons: Vec<String> = not.against.iter().map(Against::reason).collect();
            format!("Not offered: {}, {}.", not.id, reasons.join("; "))
        };
        self.unfit.iter().map(line).collect()
    }
}

/// Where in the rebuild an answer belongs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Point {
    /// The unit was left or the program ended: who, and are you at the unit.
    Resume,
    /// The day's check of an instrument at its first use.
    DayCheck(String),
    /// Look again after a short pause.
    LookAgain,
    /// An observed fact asked on resume, before work goes on.
    Observed,
    /// Zero asked as a gate: the numbered part of the check.
    Gate(u32),
    /// A required lock is off: put it back on.
    LockBack(String),
    /// The verifier of this step hangs his own lock before he acts at the unit.
    Worker(String),
    /// Before plant energy is let in: what is still to be cleared.
    Clear(Clearing),
    /// This paper (`permit`, `gas test`) has ended: a new number and end time.
    Permit(String),
    /// The clock cannot tell whether this paper has ended: a person does.
    PermitSeen(String),
    /// A step's start, where start and done are apart.
    Begin(String),
    /// A step's plain act.
    Act(String),
    /// A step's ask by index, and the part inside it (fastener, line, side).
    Asked(String, u32, Inner),
    /// Second person's verification of a step.
    Verify(String),
    /// Independent verification: the verifier's own answer to the step's ask by index.
    VerifyAsked(String, u32),
    /// Release of a step's hold point.
    Hold(String),
    /// A finding to be decided.
    Finding(u32),
    /// A proposed decision on a finding, to be signed.
    FindingSigned(u32),
    /// The revision this rebuild runs on was superseded by this text since: why may the work go on.
    Revision(Hash),
    /// The reason to go on with the bound revision, to be signed by an approver.
    RevisionSigned(Hash),
    /// What to do after a HIGH.
    AfterHigh(u64),
    /// Which scale was read, where a slipped unit would be WITHIN.
    Queried(u64),
    /// The rebuild is signed or closed.
    Closed,
    /// Nothing can be asked: a newer program wrote here.
    Newer,
}

/// What is cleared before plant energy is let in, in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clearing {
    /// Tools and everything else not needed counted out.
    Tools,
    /// People clear and told.
    People,
    /// Own locks off the box, each by its owner.
    OwnLocks,
}

/// A place inside one ask.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Inner {
    /// The whole of it.
    Whole,
    /// A line, side or part by its index.
    Line(u32),
    /// Choosing the wrench of a joint.
    Wrench,
    /// Numbers painted on the steel.
    Numbered,
    /// Setting of a click wrench in a pass (from 1).
    Setting(u32),
    /// A fastener (from 1) in a pass (from 1), with the attempt counted from 1.
    Fastener(u32, u32, u32),
    /// A circular round, from 1.
    Round(u32),
    /// A gap reading, from 1.
    Gap(u32),
    /// The click wrench set back to its lowest.
    SetBack,
    /// The side value beside a reading.
    Beside,
}

/// The step an ask belongs to, with its neighbours.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepAt {
    /// The author's id.
    pub id: String,
    /// Shown number on this route.
    pub number: u32,
    /// How many steps there are.
    pub of: u32,
    /// Section title.
    pub section: String,
    /// The act.
    pub text: String,
    /// What to wear in this section.
    pub ppe: Vec<String>,
    /// The step before and how it was proved.
    pub before: Option<Neighbour>,
    /// The step after.
    pub after: Option<Neighbour>,
    /// Verification written for it.
    pub verify: Option<Verify>,
    /// Hold point written for it.
    pub hold: Option<Role>,
    /// Whether "not applicable" is permitted.
    pub not_applicable: bool,
}

/// A neighbouring step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Neighbour {
    /// Shown number.
    pub number: u32,
    /// The act.
    pub text: String,
    /// How it stands: `done 14:46`, `not applicable`, or empty.
    pub stands: String,
}

/// A plain act in a group.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GroupLine {
    /// Shown number.
    pub number: u32,
    /// The act.
    pub text: String,
}

/// The kind of answer wanted.
#[derive(Debug, Clone, PartialEq)]
pub enum Wants {
    /// One key: the act is done.
    Act,
    /// One of these, by its number from 1.
    Choice(Vec<String>),
    /// The number of the fastener just pulled, one key where there are nine or fewer. The number says both which one it was
    /// and that it went as it should.
    Fastener {
        /// The one that is next.
        next: u32,
        /// How many there are.
        of: u32,
        /// What its number says of it: pulled, clicked, did not move.
        says: &'static str,
        /// What else may have happened, typed as `01`, `02`: no fastener's number begins with 0.
        instead: &'static [&'static str],
    },
    /// Digits, bound to this unit of this instrument.
    Reading {
        /// Scale of the instrument.
        unit: Unit,
        /// Pressure reference of the scale.
        reference: Option<Reference>,
        /// The instrument's name on site; empty for a count.
        instrument: String,
        /// Limits, if any.
        window: Option<Window>,
    },
    /// A whole number of pieces.
    Count,
    /// Words.
    Text,
    /// A signature: the person (one of these) and his PIN.
    Signature {
        /// What it means: performed, verified, released, approved.
        meaning: &'static str,
        /// Who may sign: id and name.
        among: Vec<(Id, String)>,
    },
    /// A person, one of these.
    Person(Vec<(Id, String)>),
    /// Nothing but time; the moment it is over, if the clock can be believed.
    Wait {
        /// When it is over, UTC as in entries; none while the clock is not trusted.
        until: Option<String>,
        /// Whether it is over by the clock, so that one key goes on.
        over: bool,
    },
    /// Nothing more is asked here.
    Nothing,
}

/// Which picture belongs to an ask.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Bench {
    /// The section's steps.
    Steps,
    /// The table of energies, locks and zero readings.
    Isolation,
    /// The joint's circle, passes and window.
    Joint(String),
    /// A measured value against its window.
    Window(String),
    /// The parts and their dispositions.
    Parts,
    /// What is still open.
    Open,
    /// The test's readings.
    Test,
}

impl Ask {
    /// The command that `text` answers this ask with. Signatures and persons are answered by the person's number in the
    /// list, from 1, or by the id; the PIN is the program's business.
    pub fn answer(&self, text: &str) -> Result<Command, Refusal> {
        let text = text.trim();
        if let Some(id) = self.instrument_named(text) {
            return Ok(Command::Answer {
                point: self.point.clone(),
                given: Given::Instrument(id),
            });
        }
        let given = match &self.wants {
            // Words meant for another question complete nothing.
            Wants::Act | Wants::Wait { .. } if text.is_empty() || text == "done" => Given::Done,
            Wants::Act | Wants::Wait { .. } => return Err(Work::WrongKind.into()),
            Wants::Nothing => return Err(Work::NothingAsked.into()),
            Wants::Choice(labels) => Given::Choice(pick(text, labels.len())?),
            Wants::Fastener { of, instead, .. } => match text.strip_prefix('0') {
                Some(place) if !instead.is_empty() => Given::Choice(pick(place, instead.len())?),
                _ => Given::Fastener(
                    whole(text)?
                        .try_into()
                        .ok()
                        .filter(|n| (1..=*of).contains(n))
                        .ok_or_else(|| Work::NotAnOffer {
                            typed: text.to_owned(),
                            high: u64::from(*of),
                        })?,
                ),
            },
            Wants::Reading { .. } => {
                if text.is_empty() {
                    return Err(Work::Empty.into());
                }
                Given::Reading(text.to_owned())
            }
            Wants::Count => Given::Count(whole(text)?),
            Wants::Text => {
                if text.is_empty() {
                    return Err(Work::Empty.into());
                }
                Given::Text(
                    clean_text(text, LONGEST_TEXT).map_err(|fault| Work::BadText {
                        why: fault.to_string(),
                    })?,
                )
            }
            Wants::Signature { among, .. } | Wants::Person(among) => {
                Given::Person(person(text, among)?)
            }
        };
        Ok(Command::Answer {
            point: self.point.clone(),
            given,
        })
    }
}

impl Ask {
    /// Whether the text names one of the instruments shown here, offered or not.
    #[must_use]
    pub fn offers(&self, text: &str) -> bool {
        let fit = self.offered.fit.iter().map(|offer| &offer.id);
        let unfit = self.offered.unfit.iter().map(|not| &not.id);
        fit.chain(unfit).any(|id| id.eq_ignore_ascii_case(text))
    }

    /// The instrument a text names here: by its number among the offers or its name where one is chosen, by its name where a
    /// reading is asked. A stale screen hands back the name it showed, never a place in a list that may have changed.
    fn instrument_named(&self, text: &str) -> Option<String> {
        if self.offered.is_empty() {
            return None;
        }
        let offered = &self.offered;
        let name = || {
            text.starts_with(char::is_alphabetic)
                .then(|| text.to_owned())
        };
        match (&self.point, &self.wants) {
            (Point::Asked(_, _, Inner::Numbered | Inner::Wrench), Wants::Choice(_)) => {
                let number: Option<usize> = text.parse().ok();
                let offer = number.and_then(|number| offered.fit.get(number.checked_sub(1)?));
                offer.map(|offer| offer.id.clone()).or_else(name)
            }
            // With none that may be used the first is named all the same: the answer then is why not.
            (Point::Asked(_, _, Inner::Numbered | Inner::Wrench), Wants::Act) => {
                let first = offered.fit.first().map(|offer| &offer.id);
                let first = first.or_else(|| offered.unfit.first().map(|not| &not.id));
                if text.is_empty() || text == "done" {
                    first.cloned()
                } else {
                    self.offers(text).then(|| text.to_owned())
                }
            }
            // Names hold a number; letters alone are meant for nothing that is asked here.
            (_, Wants::Reading { .. }) => name()
                .filter(|name| self.offers(name) || name.contains(|c: char| c.is_ascii_digit())),
            _ => None,
        }
    }
}

fn whole(text: &str) -> Result<u64, Refusal> {
    if text.is_empty() {
        return Err(Work::Empty.into());
    }
    text.parse().map_err(|_| {
        Work::NotAWholeNumber {
            typed: text.to_owned(),
        }
        .into()
    })
}

/// Words that are no answer on the list are told by it: its numbers are what is wanted.
fn pick(text: &str, of: usize) -> Result<u32, Refusal> {
    if text.is_empty() {
        return Err(Work::Empty.into());
    }
    let number: u64 = text.parse().unwrap_or(0);
    let high = of as u64;
    u32::try_from(number)
        .ok()
        .filter(|n| *n >= 1 && u64::from(*n) <= high)
        .ok_or_else(|| {
            Work::NotAnOffer {
                typed: text.to_owned(),
                high,
            }
            .into()
        })
}

fn person(text: &str, among: &[(Id, String)]) -> Result<Id, Refusal> {
    if let Some((id, _)) = among
        .iter()
        .find(|(id, name)| id.to_string() == text || name.eq_ignore_ascii_case(text))
    {
        return Ok(*id);
    }
    let index = pick(text, among.len())?;
    Ok(among[index as usize - 1].0)
}
