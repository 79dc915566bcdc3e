//! What comes to the screens and what they want done: plain values that can be compared, logged and tested.

use reseat_procedure::model::Role;
use reseat_record::log::Id;
use reseat_record::rebuild::{Command, Start};
use reseat_record::register::UnitSaid;
use zeroize::Zeroizing;

use super::sight::{
    HomeSight, PagesSight, RecallSight, RegisterSight, ResumeSight, StartSight, UnitSight,
    WorkSight,
};
use crate::desk::{Approving, Row};
use crate::keys::Stroke;
use reseat_report::Record;

/// A text that is wiped when it goes and never printed.
#[derive(Clone, PartialEq, Eq)]
pub struct Secret(pub Zeroizing<String>);

impl std::fmt::Debug for Secret {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Secret(…)")
    }
}

/// What comes.
#[derive(Debug, Clone, PartialEq)]
pub enum Message {
    /// A key. `repeat`: the terminal said that it is held.
    Key {
        /// Which.
        stroke: Stroke,
        /// Whether it is held.
        repeat: bool,
    },
    /// Pasted text.
    Paste(String),
    /// The terminal has so many columns and rows now.
    Resized(u16, u16),
    /// A frame was drawn.
    Drawn,
    /// A deadline came: a wait is over, a minute went by, or nobody has pressed a key for long.
    Tick,
    /// What became of an effect.
    Came(Box<Outcome>),
}

/// What was said to a person: a refusal or a notice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// Whether something was refused; otherwise a notice.
    pub refused: bool,
    /// Stable code of a refusal; empty for a notice.
    pub code: String,
    /// What is wrong, or what is so.
    pub sentence: String,
    /// What to do.
    pub remedy: String,
}

impl Said {
    /// A refusal.
    pub fn refusal(
        code: impl Into<String>,
        sentence: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            refused: true,
            code: code.into(),
            sentence: sentence.into(),
            remedy: remedy.into(),
        }
    }

    /// Whether the disk kept nothing of what was to be written.
    pub fn is_of_the_disk(&self) -> bool {
        matches!(
            self.code.as_str(),
            "disk-full" | "device-error" | "write-not-kept" | "write-unknown" | "read-only"
        )
    }

    /// A notice.
    pub fn notice(sentence: impl Into<String>) -> Self {
        Self {
            refused: false,
            code: String::new(),
            sentence: sentence.into(),
            remedy: String::new(),
        }
    }
}

/// What became of an effect.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// The first screen's content.
    Home(HomeSight),
    /// Nothing is founded here yet.
    Unfounded,
    /// Founded: the words of the site's private key, shown once.
    Founded {
        /// The words, in order.
        words: Secret,
    },
    /// A unit and its past.
    Unit(UnitSight),
    /// What is needed to start.
    Start(StartSight),
    /// A paused rebuild.
    Resume(ResumeSight),
    /// A rebuild as it stands after an act was written.
    Acted(Box<WorkSight>),
    /// A rebuild as it stands after a form was taken that says for itself what came of it.
    Told(Box<WorkSight>, Said),
    /// A rebuild as it stands, nothing written.
    Seen(Box<WorkSight>),
    /// A record.
    Record(Record),
    /// The readings of an instrument found out.
    Recall(RecallSight),
    /// The register; after a change with what to say.
    Register {
        /// Its lists.
        sight: RegisterSight,
        /// Whether a change was just written.
        changed: bool,
    },
    /// A procedure to be read page by page.
    Pages(Box<PagesSight>),
    /// The person's key is unsealed; how many digits his PIN has.
    Unsealed(Id, usize),
    /// The PIN was right.
    PinRight(Id),
    /// Passphrase or PIN was wrong. `forgotten`: the key is sealed again.
    NotProved {
        /// What to say.
        said: Said,
        /// Whether the key was forgotten.
        forgotten: bool,
    },
    /// Refused, or could not be done; nothing was written.
    Refused(Said),
    /// The act is signed and nobody was named yet: by one of these, then it is written.
    WantsSignature {
        /// The act.
        command: Command,
        /// What the signature means.
        meaning: String,
        /// Who may sign.
        among: Vec<(Id, String)>,
    },
    /// All unsealed keys were forgotten: handover, end of the shift.
    Forgotten,
    /// The open rebuild was let go.
    Left,
}

/// What is wanted of the runner.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// Leave the program.
    Quit,
    /// Give the terminal back and stop until `fg`.
    Suspend,
    /// Draw every cell anew.
    Redraw,
    /// The first screen.
    LoadHome,
    /// A unit by its serial.
    LoadUnit(String),
    /// What is needed to start a rebuild of this serial.
    LoadStart(String),
    /// Look at a paused rebuild; writes nothing.
    LoadResume {
        /// The rebuild.
        stream: Id,
        /// What was typed to find it; where that ends its tag, the tag is not asked again.
        tag_typed: String,
    },
    /// Read a record; writes nothing.
    LoadRecord(Id),
    /// The register.
    LoadRegister,
    /// A procedure to be read page by page: shipped or kept, by its SHA-256.
    LoadPages(String),
    /// The same from a file of this laptop.
    LoadPagesOfFile(String),
    /// Found a home.
    Found(FoundingTyped),
    /// Unseal a person's key.
    Unseal(Id, Secret),
    /// Check a person's PIN.
    CheckPin(Id, Secret),
    /// Start a rebuild; signed by `signer`.
    Start {
        /// What was chosen.
        chosen: Start,
        /// The performer, or the lead where nameplate and register differ.
        signer: Id,
    },
    /// Take a rebuild up.
    TakeUp {
        /// Its stream.
        stream: Id,
        /// Who.
        by: Id,
    },
    /// An act in the open rebuild.
    Act {
        /// The command.
        command: Command,
        /// Who signs it, where it is signed.
        signer: Option<Id>,
    },
    /// Answers from now on were done at this local time; none: they are of now again. Writes nothing.
    Late(Option<String>),
    /// A whole pass of the joint at work.
    Row(Row),
    /// Work the open rebuild's question out again; writes nothing.
    LookAgain,
    /// Let the open rebuild go.
    LetGo,
    /// The clock of this home: agreed with, or given as local date and time.
    Clock {
        /// Local date and time as typed; none: the clock is right.
        typed: Option<String>,
        /// Who says so.
        by: Id,
    },
    /// A lead by the words of the site's key, where no lead can sign.
    LeadByWords(LeadByWords),
    /// The readings of an instrument found out, listed; writes nothing.
    LoadRecall(RecallAsked),
    /// The readings last listed, put in doubt; signed by `by`.
    SignRecall {
        /// Why.
        reason: String,
        /// Who signs.
        by: Id,
    },
    /// A change of the register, signed by `by`.
    Change {
        /// What.
        change: Change,
        /// Who signs.
        by: Id,
    },
}

/// What was typed to found a home.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundingTyped {
    /// Site name.
    pub site: String,
    /// Lockout rule.
    pub rule: String,
    /// First lead's name.
    pub lead: String,
    /// Passphrase.
    pub passphrase: Secret,
    /// PIN.
    pub pin: Secret,
}

/// A lead by the words of the site's key, as typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeadByWords {
    /// The words.
    pub words: Secret,
    /// The person on the register who is given a new key; none: somebody new.
    pub person: Option<Id>,
    /// Name of somebody new.
    pub name: String,
    /// Why.
    pub reason: String,
    /// Passphrase.
    pub passphrase: Secret,
    /// PIN.
    pub pin: Secret,
}

/// What the bench found of an instrument, as typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RecallAsked {
    /// Name of the instrument.
    pub instrument: String,
    /// Day of its last good check; none: that of its latest certificate.
    pub since: Option<String>,
    /// True value and what was shown, point by point.
    pub found: Vec<(String, String)>,
}

/// A change of the register as typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Change {
    /// Enrol a person.
    AddPerson {
        /// Name.
        name: String,
        /// Roles.
        roles: Vec<Role>,
        /// His passphrase.
        passphrase: Secret,
        /// His PIN.
        pin: Secret,
    },
    /// Give a person roles instead of those he has.
    GiveRoles {
        /// Who.
        person: Id,
        /// All his roles from now on.
        roles: Vec<Role>,
    },
    /// Put the name of a place and its spare anew.
    ChangePlace {
        /// Tag.
        tag: String,
        /// Name.
        name: String,
        /// Tag of the place that stands in for it; empty for none.
        spare: String,
    },
    /// Put model and name of a unit right.
    ChangeUnit(UnitSaid),
    /// Keep a new certificate of an instrument.
    RenewCalibration {
        /// Name on site.
        name: String,
        /// What it says; an empty deviation: as before.
        certificate: CertificateTyped,
    },
    /// Quarantine an instrument.
    Quarantine {
        /// Name on site.
        name: String,
        /// Why.
        reason: String,
    },
    /// Return an instrument from quarantine.
    ReturnInstrument {
        /// Name on site.
        name: String,
        /// Why.
        reason: String,
    },
    /// Set the values of the site, in the order of [`super::sight::SITE_VALUES`].
    SiteValues([String; 8]),
    /// Retire a person.
    RetirePerson {
        /// Who.
        person: Id,
        /// Why.
        reason: String,
    },
    /// A new key for a person.
    NewKey {
        /// Who.
        person: Id,
        /// Why.
        reason: String,
        /// His passphrase.
        passphrase: Secret,
        /// His PIN.
        pin: Secret,
    },
    /// Put a place on the register.
    AddPlace {
        /// Tag.
        tag: String,
        /// Name.
        name: String,
        /// Tag of the place that stands in for it; empty for none.
        spare: String,
    },
    /// Put a unit on the register.
    AddUnit(UnitSaid),
    /// Fit a unit in a place, or take it out where `tag` is empty.
    Fit {
        /// Serial of the unit.
        serial: String,
        /// Tag of the place.
        tag: String,
    },
    /// Put an instrument on the register; everything as typed.
    AddInstrument(InstrumentTyped),
    /// Withdraw an instrument.
    WithdrawInstrument {
        /// Name on site.
        name: String,
        /// Why.
        reason: String,
    },
    /// Approve a procedure for this site: the exact bytes that were read page by page.
    Approve(Approving),
    /// A revision may not be started any more.
    Supersede {
        /// SHA-256 of the file, as text.
        sha256: String,
        /// Why.
        reason: String,
    },
}

/// An instrument as typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InstrumentTyped {
    /// Name on site.
    pub name: String,
    /// Maker's serial.
    pub serial: String,
    /// Kind, a word of the register.
    pub kind: String,
    /// Range with its unit, such as `40..200 N·m`.
    pub range: String,
    /// Part that may be used, with its unit; empty: the whole range.
    pub usable: String,
    /// Resolution with its unit.
    pub resolution: String,
    /// Its certificate.
    pub certificate: CertificateTyped,
    /// Whether its first use of each day asks for the day's check.
    pub day_check: bool,
}

/// A certificate as typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CertificateTyped {
    /// Its number.
    pub number: String,
    /// Day calibrated.
    pub calibrated: String,
    /// Day due.
    pub due: String,
    /// Largest permissible deviation, such as `4 % of reading`.
    pub deviation: String,
    /// Expanded uncertainty; empty: none is stated.
    pub uncertainty: String,
    /// Its coverage factor; empty: none is stated.
    pub coverage: String,
}
