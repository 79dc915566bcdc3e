//! Everything that can go wrong at an open home, with the sentence and the remedy a person is shown.
//!
//! Refusals and storage faults bring their own words; those about keys, clock and home folder stand here.

use std::path::PathBuf;

use reseat_history::StorageFault;
use reseat_record::log::{Damage, Id};
use reseat_record::refusal::Refusal;

use super::seal::{
    PASSPHRASE_CHARS, PASSPHRASE_DIGITS, PASSPHRASE_LONGEST, PIN_DIGITS, PIN_LONGEST,
};
use super::words::WordsFault;

/// Why something could not be done. Nothing was lost by it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// A rule says no.
    Refused(Refusal),
    /// The history could not be read or written.
    Storage(StorageFault),
    /// A passphrase, PIN or key.
    Key(KeyFault),
    /// The words of the site's key.
    Words(WordsFault),
    /// The clock.
    Clock(ClockFault),
    /// The home folder.
    Home(HomeFault),
    /// Nothing was founded in this home.
    NotFounded {
        /// The home.
        root: PathBuf,
    },
    /// This home has a site already.
    AlreadyFounded {
        /// Its name.
        site: String,
    },
    /// The home holds entries and its index does not say so.
    IndexLost,
    /// Another program works on this rebuild.
    HeldElsewhere,
    /// The unit has an open rebuild.
    OpenAlready {
        /// Serial of the unit.
        serial: String,
        /// The open record.
        record: Id,
    },
    /// A stream's chain does not hold.
    Broken {
        /// The stream.
        stream: Id,
        /// The first bad entry, where it is known.
        number: u64,
        /// What is wrong.
        reason: String,
    },
    /// No rebuild has this identifier.
    NoRebuild {
        /// As typed.
        typed: String,
    },
    /// More than one record begins so.
    ManyRecords {
        /// As typed.
        typed: String,
        /// Those that do.
        ids: Vec<Id>,
    },
    /// Too short to name a record.
    ShortBeginning {
        /// As typed.
        typed: String,
    },
    /// The text of the procedure is not in this home.
    NoProcedure {
        /// What was looked for.
        what: String,
    },
    /// The procedure's text cannot be followed.
    Procedure {
        /// Why, a sentence.
        why: String,
    },
    /// The home was opened for reading only.
    ReadOnly,
}

/// What can be wrong with passphrases, PINs and keys.
#[derive(Debug, Clone, PartialEq, Eq)]
#[expect(missing_docs, reason = "the members are named by the sentences below")]
pub enum KeyFault {
    /// Too short.
    PassphraseShort { least: usize, digits_only: bool },
    /// Too long.
    PassphraseLong,
    /// Not six to twelve digits.
    PinForm,
    /// The passphrase opens nothing.
    WrongPassphrase,
    /// A wrong PIN.
    WrongPin { left: u32 },
    /// Five wrong PINs: the key was forgotten.
    PinsSpent,
    /// The passphrase was not typed this shift.
    NotOpen,
    /// A signature without its PIN.
    PinFirst,
    /// This home holds no key for the person.
    NoKeyHere { name: String },
    /// The key in this home is not the one on the register.
    OtherKey { name: String },
    /// What is stored is no sealed key of ours.
    Unreadable,
    /// The system gave no random bytes.
    Random,
    /// The words are another site's.
    OtherSite,
}

/// What can be wrong with a time that was set or typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ClockFault {
    /// A demo clock is set and the home is a real one.
    SetInRealHome,
    /// Not an instant.
    NoInstant {
        /// As given.
        typed: String,
    },
    /// Not a local date and time.
    NoLocalTime {
        /// As typed.
        typed: String,
    },
    /// Agreeing is not enough here.
    MustBeGiven {
        /// Why, a sentence.
        why: String,
    },
    /// The clock runs on in a demo home only.
    NoRunOn,
}

/// What can be wrong with the choice of a home folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum HomeFault {
    /// The path depends on the folder the program was started in.
    Relative {
        /// The path.
        path: PathBuf,
        /// What named it.
        named: &'static str,
    },
    /// The system knows no data folder for this user.
    NoDataFolder,
    /// A demo was asked for where a real home stands, or in a folder that holds something else.
    NotADemo {
        /// The folder.
        path: PathBuf,
    },
    /// A folder could not be cleared or made.
    Folder {
        /// The folder.
        path: PathBuf,
        /// The system's words.
        why: String,
    },
}

impl Fault {
    /// A stable name in kebab-case.
    pub fn code(&self) -> &str {
        match self {
            Self::Refused(refusal) => refusal.code(),
            Self::Storage(fault) => fault.code(),
            Self::Key(fault) => fault.code(),
            Self::Words(_) => "site-words",
            Self::Clock(fault) => fault.code(),
            Self::Home(fault) => fault.code(),
            Self::NotFounded { .. } => "home-not-founded",
            Self::AlreadyFounded { .. } => "home-already-founded",
            Self::IndexLost => "index-lost",
            Self::HeldElsewhere => "held-elsewhere",
            Self::OpenAlready { .. } => "rebuild-open-already",
            Self::Broken { .. } => "chain-broken",
            Self::NoRebuild { .. } => "no-such-rebuild",
            Self::ManyRecords { .. } => "many-records",
            Self::ShortBeginning { .. } => "short-beginning",
            Self::NoProcedure { .. } => "no-procedure-text",
            Self::Procedure { .. } => "procedure-unreadable",
            Self::ReadOnly => "opened-for-reading",
        }
    }

    /// What is wrong, a sentence.
    pub fn sentence(&self) -> String {
        match self {
            Self::Refused(refusal) => refusal.sentence(),
            Self::Storage(fault) => fault.sentence(),
            Self::Key(fault) => fault.sentence(),
            Self::Words(fault) => sentence_of(&fault.to_string()),
            Self::Clock(fault) => fault.sentence(),
            Self::Home(fault) => fault.sentence(),
            Self::NotFounded { root } => format!("No site was founded in {}.", root.display()),
            Self::AlreadyFounded { site } => format!("This home belongs to {site} already."),
            Self::IndexLost => "The index of this home is missing; its records are there.".into(),
            Self::OpenAlready { serial, record } => {
                format!("Unit {serial} has an open rebuild, {record}.")
            }
            Self::HeldElsewhere => "Another session on this laptop works on this rebuild.".into(),
            Self::Broken {
                stream,
                number,
                reason,
            } => format!("The record {stream} does not hold at entry {number}: {reason}."),
            Self::NoRebuild { typed } => format!("No record here begins with \"{typed}\"."),
            Self::ManyRecords { typed, ids } => {
                let ids: Vec<String> = ids.iter().take(5).map(Id::to_string).collect();
                format!(
                    "More than one record begins with \"{typed}\": {}.",
                    ids.join(", ")
                )
            }
            Self::ShortBeginning { typed } => format!("\"{typed}\" is too short to name a record."),
            Self::NoProcedure { what } => {
                format!("The text of procedure {what} is not in this home.")
            }
            Self::Procedure { why } => why.clone(),
            Self::ReadOnly => "This home was opened for reading only.".into(),
        }
    }

    /// What to do, a sentence.
    pub fn remedy(&self) -> String {
        match self {
            Self::Refused(refusal) => refusal.remedy(),
            Self::Storage(fault) => fault.remedy(),
            Self::Key(fault) => fault.remedy().into(),
            Self::Words(_) => "Type the words from the paper again, in its order.".into(),
            Self::Clock(fault) => fault.remedy().into(),
            Self::Home(fault) => fault.remedy().into(),
            Self::NotFounded { .. } => {
                "Found the site with `reseat`, or look at the demo with `reseat demo`.".into()
            }
            Self::AlreadyFounded { .. } => {
                "Give another folder with --home to found another site.".into()
            }
            Self::IndexLost => "Make the index anew with `reseat reindex`.".into(),
            Self::OpenAlready { .. } => "Take that one up, or close it first.".into(),
            Self::HeldElsewhere => {
                "Go on there, or end that session; until then it can be looked at.".into()
            }
            Self::Broken { .. } => {
                "Do not work on it. Run `reseat verify --all` and keep a copy of the home folder."
                    .into()
            }
            Self::NoRebuild { .. } => {
                "List records with `reseat history TAG`, and type at least four characters of one."
                    .into()
            }
            Self::ManyRecords { .. } => "Type more of its characters.".into(),
            Self::ShortBeginning { .. } => "Type at least four of its characters.".into(),
            Self::NoProcedure { .. } => {
                "Approve the procedure's file here with `reseat approve FILE`.".into()
            }
            Self::Procedure { .. } => "Run `reseat check FILE` and put right what it finds.".into(),
            Self::ReadOnly => "Open the home for work.".into(),
        }
    }

    /// Whether the answer is no (a rule, a wrong passphrase), and not that it could not be asked.
    pub fn is_no(&self) -> bool {
        match self {
            Self::Refused(refusal) => !refusal.is_no_value(),
            Self::Words(_)
            | Self::HeldElsewhere
            | Self::OpenAlready { .. }
            | Self::AlreadyFounded { .. }
            | Self::Broken { .. } => true,
            Self::Key(fault) => !matches!(
                fault,
                KeyFault::Unreadable | KeyFault::Random | KeyFault::NoKeyHere { .. }
            ),
            Self::Clock(fault) => !matches!(
                fault,
                ClockFault::SetInRealHome | ClockFault::NoInstant { .. }
            ),
            _ => false,
        }
    }
}

impl KeyFault {
    /// A stable name in kebab-case.
    pub fn code(&self) -> &'static str {
        match self {
            Self::PassphraseShort { .. } => "passphrase-short",
            Self::PassphraseLong => "passphrase-long",
            Self::PinForm => "pin-form",
            Self::WrongPassphrase => "wrong-passphrase",
            Self::WrongPin { .. } => "wrong-pin",
            Self::PinsSpent => "pins-spent",
            Self::NotOpen => "passphrase-first",
            Self::PinFirst => "pin-first",
            Self::NoKeyHere { .. } => "no-key-here",
            Self::OtherKey { .. } => "other-key",
            Self::Unreadable => "key-unreadable",
            Self::Random => "no-random-bytes",
            Self::OtherSite => "words-of-other-site",
        }
    }

    /// What is wrong, a sentence.
    pub fn sentence(&self) -> String {
        match self {
            Self::PassphraseShort {
                least,
                digits_only: true,
            } => {
                format!("A passphrase of digits only needs {least} of them.")
            }
            Self::PassphraseShort {
                least,
                digits_only: false,
            } => format!("The passphrase is shorter than {least} characters."),
            Self::PassphraseLong => {
                format!("The passphrase is longer than {PASSPHRASE_LONGEST} characters.")
            }
            Self::PinForm => format!("The PIN is not {PIN_DIGITS} to {PIN_LONGEST} digits."),
            Self::WrongPassphrase => "The passphrase does not open this person's key.".into(),
            Self::WrongPin { left: 1 } => "Wrong PIN. One try is left.".into(),
            Self::WrongPin { left } => format!("Wrong PIN. {left} tries are left."),
            Self::PinsSpent => "Five wrong PINs: the key is shut.".into(),
            Self::NotOpen => "The passphrase was not typed this shift.".into(),
            Self::PinFirst => "The PIN was not typed for this signature.".into(),
            Self::NoKeyHere { name } => format!("This laptop holds no key of {name}."),
            Self::OtherKey { name } => {
                format!("The key of {name} on this laptop is not the one on the register.")
            }
            Self::Unreadable => "The stored key cannot be read.".into(),
            Self::Random => "The system gave no random bytes.".into(),
            Self::OtherSite => "These words are not the key of this site.".into(),
        }
    }

    /// What to do, a sentence.
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::PassphraseShort { .. } => {
                const {
                    assert!(
                        PASSPHRASE_CHARS == 8 && PASSPHRASE_DIGITS == 10,
                        "the words below say so"
                    );
                };
                "Choose 8 characters or more, or 10 digits or more."
            }
            Self::PassphraseLong => "Choose a shorter one.",
            Self::PinForm => "Choose 6 to 12 digits.",
            Self::WrongPassphrase => {
                "Type it again; if it is forgotten, a lead enrols a new key for you."
            }
            Self::WrongPin { .. } => "Type the PIN again.",
            Self::PinsSpent | Self::NotOpen => "Type the passphrase.",
            Self::PinFirst => "Type the PIN.",
            Self::NoKeyHere { .. } | Self::OtherKey { .. } => {
                "A lead enrols a new key for the person on this laptop."
            }
            Self::Unreadable => {
                "A lead enrols a new key for the person; keep a copy of the home folder."
            }
            Self::Random => "Start the computer anew and try again.",
            Self::OtherSite => "Look for the paper of this site.",
        }
    }
}

impl ClockFault {
    /// A stable name in kebab-case.
    pub fn code(&self) -> &'static str {
        match self {
            Self::SetInRealHome => "clock-set-in-real-home",
            Self::NoInstant { .. } => "no-instant",
            Self::NoLocalTime { .. } => "no-local-time",
            Self::MustBeGiven { .. } => "clock-must-be-given",
            Self::NoRunOn => "demo-only",
        }
    }

    /// What is wrong, a sentence.
    pub fn sentence(&self) -> String {
        match self {
            Self::SetInRealHome => format!("{SET_CLOCK} is set, and this is not a demo home."),
            Self::NoInstant { typed } => format!("{SET_CLOCK} is no instant: \"{typed}\"."),
            Self::NoLocalTime { typed } => format!("\"{typed}\" is no date and time."),
            Self::MustBeGiven { why } => why.clone(),
            Self::NoRunOn => "The clock is let run on in a demo home only.".into(),
        }
    }

    /// What to do, a sentence.
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::SetInRealHome => "Take the variable out of the environment and start again.",
            Self::NoInstant { .. } => {
                "Write it as 2026-03-12T12:55:02.120Z, with an offset such as +01:00 behind it if wanted."
            }
            Self::NoLocalTime { .. } => "Type it as 2026-03-12 13:55.",
            Self::MustBeGiven { .. } => "Give the date and time from another clock.",
            Self::NoRunOn => "Wait.",
        }
    }
}

impl HomeFault {
    /// A stable name in kebab-case.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Relative { .. } => "relative-home",
            Self::NoDataFolder => "no-data-folder",
            Self::NotADemo { .. } => "not-a-demo",
            Self::Folder { .. } => "folder",
        }
    }

    /// What is wrong, a sentence.
    pub fn sentence(&self) -> String {
        match self {
            Self::Relative { path, named } => {
                format!(
                    "{named} gives \"{}\", which depends on the folder the program is started in.",
                    path.display()
                )
            }
            Self::NoDataFolder => "The system knows no data folder for this user.".into(),
            Self::NotADemo { path } => {
                format!("{} is not empty and holds no demo site.", path.display())
            }
            Self::Folder { path, why } => format!("{} cannot be used: {why}.", path.display()),
        }
    }

    /// What to do, a sentence.
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::Relative { .. } => "Give the whole path, beginning at the root.",
            Self::NoDataFolder => "Give a folder with --home DIR.",
            Self::NotADemo { .. } => "Give another folder with --at DIR.",
            Self::Folder { .. } => "Make it writable, or give another folder.",
        }
    }
}

/// The hidden variable that sets the clock of a demo home.
pub const SET_CLOCK: &str = "RESEAT_DEMO_CLOCK";

fn sentence_of(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters
        .next()
        .map(|letter| letter.to_uppercase().to_string())
        .unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.sentence(), self.remedy())
    }
}

impl std::error::Error for Fault {}

impl From<Refusal> for Fault {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(refusal)
    }
}

impl From<StorageFault> for Fault {
    fn from(fault: StorageFault) -> Self {
        Self::Storage(fault)
    }
}

impl From<KeyFault> for Fault {
    fn from(fault: KeyFault) -> Self {
        Self::Key(fault)
    }
}

impl From<WordsFault> for Fault {
    fn from(fault: WordsFault) -> Self {
        Self::Words(fault)
    }
}

impl From<ClockFault> for Fault {
    fn from(fault: ClockFault) -> Self {
        Self::Clock(fault)
    }
}

impl From<HomeFault> for Fault {
    fn from(fault: HomeFault) -> Self {
        Self::Home(fault)
    }
}

impl Fault {
    /// Damage found in a stream at an entry.
    pub(crate) fn broken(stream: Id, number: u64, damage: &Damage) -> Self {
        Self::Broken {
            stream,
            number,
            reason: damage.to_string(),
        }
    }
}
