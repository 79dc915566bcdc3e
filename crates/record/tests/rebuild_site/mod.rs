//! A rebuild on the invented Tern Point site, of FV-3302 where no other procedure is given, and a technician who answers
//! what is asked.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::needless_pass_by_value,
    dead_code,
    unreachable_pub
)] // test code: a failure is what the test shows

mod furnished;
mod technician;

use std::collections::BTreeMap;

use ed25519_dalek::SigningKey;
use reseat_measure::{Quantity, Window};
use reseat_procedure::{Choices, Procedure};
use reseat_record::log::{Clock, Hash, Id, Sealed, Stamp};
use reseat_record::rebuild::{Ask, Command, Point, Rebuild, Start, must_sign};
use reseat_record::refusal::Refusal;
use reseat_record::register::{
    self, Calibration, InstrumentKind, InstrumentSaid, Register, Scale, is_signed,
    with_site_signature,
};

pub const FALK: Id = Id::from_bytes([12; 10]);
pub const ODDE: Id = Id::from_bytes([15; 10]);
pub const SEFTON: Id = Id::from_bytes([11; 10]);
pub const VRANG: Id = Id::from_bytes([16; 10]);
pub const BREL: Id = Id::from_bytes([13; 10]);
pub const QUIST: Id = Id::from_bytes([14; 10]);
const REGISTER: Id = Id::from_bytes([1; 10]);
const HOME: Id = Id::from_bytes([2; 10]);
const STREAM: Id = Id::from_bytes([3; 10]);
pub const SERIAL: &str = "TP-0388";
const PROCEDURE: &[u8] = include_bytes!("../../../../procedures/FV-3302.json");

pub fn key(person: Id) -> SigningKey {
    SigningKey::from_bytes(&[person.bytes()[0]; 32])
}

#[derive(Clone)]
/// The site, a clock that moves on by a second an entry, and one rebuild under work.
pub struct Site {
    pub register: Register,
    pub rebuild: Option<Rebuild>,
    pub entries: Vec<Sealed>,
    pub seconds: i64,
    pub clock: Clock,
    /// Offset of the laptop's zone.
    pub offset: &'static str,
    /// What is written for a permit.
    pub permit: &'static str,
    pub performer: Id,
    /// Values the technician reads instead of the middle of the window, by thing or `J1/6`.
    pub readings: BTreeMap<String, Vec<String>>,
    pub keys_pressed: usize,
    /// Every command given, by whom and when, refused ones too.
    pub commands: Vec<(Command, Id, i64)>,
    /// The procedure followed, and the options chosen.
    pub bytes: &'static [u8],
    pub choices: Choices,
    /// What was read last, by thing.
    last_read: BTreeMap<String, f64>,
}

pub fn procedure() -> Procedure {
    reseat_procedure::read(PROCEDURE).unwrap_or_else(|findings| panic!("{findings:#?}"))
}

/// What the approver read: all there is, nothing found.
pub fn read_through() -> register::ReadThrough {
    register::ReadThrough {
        routes: 1,
        pages: 170,
        of: 170,
        seconds: 2400,
        findings: Vec::new(),
        reason: None,
    }
}

/// An instrument with a certificate of its own, calibrated and due as the site's others are.
pub fn instrument(
    id: &str,
    kind: InstrumentKind,
    scale: Scale,
    range: &str,
    resolution: &str,
    deviation: &str,
) -> InstrumentSaid {
    InstrumentSaid {
        id: id.into(),
        serial: format!("S-{id}"),
        kind,
        scale,
        range: Window::parse(range).unwrap(),
        usable: None,
        resolution: Quantity::parse(resolution).unwrap(),
        calibration: Calibration {
            certificate: format!("C-{id}"),
            calibrated: "2025-12-01".into(),
            due: "2026-12-01".into(),
            deviation: deviation.parse().unwrap(),
            uncertainty: None,
            coverage: None,
        },
        day_check: false,
    }
}

impl Site {
    pub fn new() -> Self {
        Self::following(PROCEDURE, Choices::default())
    }

    /// The site before these instruments are put on its register.
    pub fn without(instruments: &[&str]) -> Self {
        Self::furnished(PROCEDURE, Choices::default(), instruments)
    }

    /// The site with another procedure, before these instruments are put on its register.
    pub fn followed_without(bytes: &'static [u8], instruments: &[&str]) -> Self {
        Self::furnished(bytes, Choices::default(), instruments)
    }

    /// The site with another procedure and these options.
    pub fn following(bytes: &'static [u8], choices: Choices) -> Self {
        Self::furnished(bytes, choices, &[])
    }

    fn furnished(bytes: &'static [u8], choices: Choices, left_out: &[&str]) -> Self {
        let mut site = Self {
            register: Register::empty(REGISTER),
            rebuild: None,
            entries: Vec::new(),
            commands: Vec::new(),
            seconds: 0,
            clock: Clock::Trusted,
            offset: "+01:00",
            permit: "4711, 24 h",
            performer: FALK,
            readings: BTreeMap::new(),
            keys_pressed: 0,
            bytes,
            choices,
            last_read: BTreeMap::new(),
        };
        site.found();
        site.furnish(left_out);
        site
    }

    fn followed(&self) -> Procedure {
        reseat_procedure::read(self.bytes).unwrap_or_else(|findings| panic!("{findings:#?}"))
    }

    pub fn stamp(&self, by: Id) -> Stamp {
        let start = chrono::DateTime::parse_from_rfc3339("2026-03-12T06:00:00.000Z").unwrap();
        let now = start + chrono::Duration::seconds(self.seconds);
        Stamp {
            home: HOME,
            by: Some(by),
            utc: now
                .with_timezone(&chrono::Utc)
                .to_rfc3339_opts(chrono::SecondsFormat::Millis, true),
            offset: self.offset.into(),
            clock: self.clock,
            acted: None,
            demo: false,
        }
    }

    pub fn keep(&mut self, command: register::Command, by: Id) {
        let founding = matches!(command, register::Command::Found { .. });
        let mut entry = self.register.decide(command, &self.stamp(by)).unwrap();
        if founding {
            entry = with_site_signature(entry, &SigningKey::from_bytes(&[99; 32])).unwrap();
        }
        let sealed = if is_signed(&entry.kind) {
            entry.sign(&key(by)).unwrap()
        } else {
            entry.seal().unwrap()
        };
        self.register.apply(&sealed).unwrap();
        self.seconds += 1;
    }

    pub fn start_with() -> Start {
        Start {
            work_order: "4471".into(),
            tag: "FV-3302".into(),
            serial: SERIAL.into(),
            mismatch: None,
            unit: SERIAL.into(),
            procedure: Hash::of(PROCEDURE),
            choices: Choices::default(),
            kit_lot: "24-119".into(),
            performer: FALK,
        }
    }

    pub fn start(&mut self) {
        let entry = Rebuild::start(
            &self.register,
            &self.followed(),
            Hash::of(self.bytes),
            Start {
                procedure: Hash::of(self.bytes),
                choices: self.choices.clone(),
                ..Self::start_with()
            },
            STREAM,
            &self.stamp(FALK),
        )
        .unwrap();
        let sealed = entry.sign(&key(FALK)).unwrap();
        self.rebuild = Some(Rebuild::begin(self.followed(), &sealed).unwrap());
        self.entries.push(sealed);
        self.seconds += 20;
    }

    pub fn rebuild(&self) -> &Rebuild {
        self.rebuild.as_ref().unwrap()
    }

    pub fn ask(&self) -> Ask {
        self.rebuild()
            .ask(&self.register, &self.stamp(self.performer))
    }

    pub fn does(&mut self, command: Command, by: Id) -> Result<(), Refusal> {
        self.commands.push((command.clone(), by, self.seconds));
        let entry = self
            .rebuild()
            .decide(&self.register, command, &self.stamp(by))?;
        self.keeps(entry, by);
        Ok(())
    }

    /// A refused command's code; an entry is a failure of the test.
    pub fn refused(&self, command: Command, by: Id) -> &'static str {
        match self
            .rebuild()
            .decide(&self.register, command.clone(), &self.stamp(by))
        {
            Ok(entry) => panic!("{command:?} gave {} {:?}", entry.kind, entry.body),
            Err(refusal) => refusal.code(),
        }
    }

    /// Keeps an entry decided elsewhere.
    pub fn keeps(&mut self, entry: reseat_record::log::Entry, by: Id) {
        let sealed = if must_sign(&entry.kind) {
            entry.sign(&key(by)).unwrap()
        } else {
            entry.seal().unwrap()
        };
        self.rebuild.as_mut().unwrap().apply(&sealed);
        self.entries.push(sealed);
        self.seconds += 20;
    }

    /// Replaying the entries gives the live state, and what is worked out in them comes out alike.
    pub fn restarts_alike(&self) {
        let replayed = Rebuild::replay(self.followed(), &self.entries).unwrap();
        assert!(replayed == *self.rebuild(), "replay differs");
        let findings = reseat_record::rebuild::recheck(replayed.procedure(), &self.entries);
        assert!(findings.is_empty(), "{findings:?}");
    }

    /// The program ends and starts again; the person opens the rebuild for work.
    pub fn restarts(&mut self, by: Id) {
        let replayed = Rebuild::replay(self.followed(), &self.entries).unwrap();
        assert!(replayed == *self.rebuild(), "replay differs");
        self.rebuild = Some(replayed);
        let entry = self
            .rebuild()
            .take_up(&self.register, &self.stamp(by))
            .unwrap();
        self.performer = by;
        self.keeps(entry, by);
    }

    /// Pauses, lets minutes go by, and the person takes the work up again.
    pub fn pauses(&mut self, minutes: i64, by: Id) {
        let before = self.performer;
        self.does(Command::Pause { by_itself: false }, before)
            .unwrap();
        self.seconds += minutes * 60;
        self.resumes(by);
    }

    /// Takes the work up after a pause, a stop or a handover.
    pub fn resumes(&mut self, by: Id) {
        assert_eq!(self.ask().point, Point::Resume);
        self.performer = by;
        let command = self.ask().answer(&by.to_string()).unwrap();
        self.does(command, by).unwrap();
    }

    /// The last entry's kind.
    pub fn last_kind(&self) -> String {
        self.entries.last().unwrap().entry.kind.clone()
    }

    /// A member of the last entry's body.
    pub fn last(&self, member: &str) -> serde_json::Value {
        let body = &self.entries.last().unwrap().entry.body;
        body.get(member).cloned().unwrap_or_default()
    }

    /// Id of the step asked about; empty where it is none.
    pub fn due(&self) -> String {
        self.ask().step.map(|step| step.id).unwrap_or_default()
    }

    /// A site with the rebuild under work up to this step.
    pub fn at(step: &str) -> Self {
        let mut site = Self::new();
        site.start();
        site.until(step);
        site
    }
}
